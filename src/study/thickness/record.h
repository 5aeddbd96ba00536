// record.h - what the study `thickness` takes and gives.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_THICKNESS_RECORD_H
#define BW_STUDY_THICKNESS_RECORD_H

#include "base/field.h"

enum thickness_when { READ_BEFORE, READ_AFTER };
enum thickness_lane { LANE_LEFT, LANE_CENTRE, LANE_RIGHT };
enum thickness_edge { EDGE_LEAD, EDGE_TRAIL };
enum thickness_side { SIDE_LEFT, SIDE_RIGHT };
enum thickness_turned { RAN_AS_MARKED, RAN_TURNED };

struct thickness_reading {
    struct bw_quantity value, across, along, middle, readout, minutes;
    const char *place, *panel, *by, *belt;
    int when, lane, turned;
    long upto, only, run;
};
struct thickness_timing {
    struct bw_quantity length, feed;
    int edge;
};
struct thickness_strokes {
    const char *left, *right;
    int turned;
};
struct thickness_input {
    struct bw_file machine, file;
    struct bw_list readings, timings, strokes;
    struct bw_quantity panel_length, panel_width, machine_width, inset, snipe;
    struct bw_quantity target, tolerance, adjuster_span, thread, gauge, accuracy;
};

// --- answers
struct thickness_term {
    const char *id, *name, *text;
    struct bw_quantity value, came_in;
    int shown;  // enum bw_yes_no
};
struct thickness_wrong {
    const char *panel, *place;
    struct bw_quantity value, off;
};
struct thickness_panel {
    const char *panel;
    struct bw_quantity mean, off;
};
struct thickness_head {
    const char *head;
    struct bw_quantity taper, removal;
};
struct thickness_adjust {
    int side;
    struct bw_quantity closer, turns;
};
struct thickness_readout {
    const char *belt;
    struct bw_quantity off;
    long panels;
};
struct thickness_shoe {
    const char *edge, *text;
    struct bw_quantity delay, place;
};
struct thickness_spot {
    struct bw_quantity across, along, off;
    long readings;
};
struct thickness_place {
    const char *name;
    struct bw_quantity across, along;
};
struct thickness_note {
    const char *text;
};
struct thickness_output {
    const char *answer, *machine, *tracking;
    long readings, panels_to_measure, columns, rows;
    struct bw_quantity sigma, slope, over, wanted, planned;
    struct bw_list terms, wrong, panels, heads, adjust, readouts, shoes, map, places, notes;
    struct bw_quantity repeatability, people, gauge_spread, gauge_share, categories;
    struct bw_quantity cp, cp_low, cp_high, cpk, cpk_low, cpk_high, outside;
    struct bw_quantity drift, stroke_left, stroke_right;
};

extern const struct bw_record thickness_input_record, thickness_output_record;

#endif
