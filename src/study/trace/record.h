// record.h - what the study `trace` is told and what it answers, as C records.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_TRACE_RECORD_H
#define BW_STUDY_TRACE_RECORD_H

#include "base/field.h"
#include "study/study.h"

enum trace_direction { TRACE_ACROSS, TRACE_ALONG };
enum trace_filter { TRACE_GAUSSIAN, TRACE_ROBUST };
enum trace_surface { TRACE_WOOD, TRACE_PLAIN };
enum trace_lines { TRACE_ROWS, TRACE_COLUMNS };
enum trace_standard { TRACE_21920, TRACE_4287 };

struct trace_reading {
    struct bw_quantity ra, rz, cut_off, length;
    long places;
    int direction;
    const char *grit, *stock, *at;
};
struct trace_input {
    struct bw_file file, record;
    struct bw_list readings;  // struct trace_reading
    struct bw_quantity cut_off, short_cut_off, wave_limit, spacing;
    int height_unit, place_unit, filter, surface, lines, direction;
    long form, sections;
    const char *grit, *stock;
};

// --- answers
struct trace_group {  // readings that may be compared with each other
    const char *grit, *stock, *compared;
    int direction;
    long readings;
    struct bw_quantity cut_off, ra, rz, scatter, expected;
};
struct trace_parameters {
    int standard;
    struct bw_quantity ra, rq, rz, rt, rp, rv, rsk, rku, rsm, rdq;
    struct bw_quantity rk, rpk, rvk, mr1, mr2, wa, wq;
};
struct trace_sanding {  // wood: without pores and fuzz
    struct bw_quantity ra, rq, rk, pores, pore_depth, fuzz, low, high;
};
struct trace_point {
    struct bw_quantity at, height;
};
struct trace_curve {
    const char *name;
    struct bw_list points;  // struct trace_point
};
struct trace_share {
    struct bw_quantity share, height;
};
struct trace_mark_set {
    struct bw_quantity pitch, height, false_alarm;
    long harmonics, found;  // found: marks counted along the trace
    const char *on, *mark;  // mark: as `source --mark` takes it
};
enum trace_dot { TRACE_ON_RECORD, TRACE_EXPECTED, TRACE_MEASURED };
struct trace_grain {  // one point of roughness against grain size
    int dot;
    struct bw_quantity size, ra;
};
struct trace_remark {
    const char *text;
};
struct trace_output {
    const char *answer, *file, *kind;
    struct bw_list groups;  // struct trace_group
    struct bw_quantity length, spacing, cut_off, short_cut_off, wave_limit;
    long points, profiles, sections, voids, rounds;
    struct bw_list parameters;  // struct trace_parameters
    struct trace_sanding *sanding;
    struct bw_quantity expected;
    const char *compared;
    struct bw_list mark_sets;  // struct trace_mark_set
    struct bw_list curves;     // struct trace_curve: for the plots
    struct bw_list material;   // struct trace_share
    struct bw_list grains;     // struct trace_grain
    struct bw_list remarks;    // struct trace_remark
};

extern const struct bw_record trace_input_record, trace_output_record;

void trace_text(const void *out, struct bw_text *text);
void trace_plots(const void *out, struct bw_plots *plots);
void trace_findings(const void *out, struct bw_findings *findings);

#endif
