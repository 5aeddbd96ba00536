// record.h - what the study `marks` is told and what it answers, as C records.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_MARKS_RECORD_H
#define BW_STUDY_MARKS_RECORD_H

#include "base/field.h"

enum marks_along { ALONG_AUTO, ALONG_X, ALONG_Y };

struct marks_line {  // two points a known distance apart
    const char *ends;
    struct bw_quantity length;
};
struct marks_rectangle {
    const char *corners;
    struct bw_quantity width, height;
};
struct marks_ruler {
    const char *ends;
    struct bw_quantity step;
};
struct marks_input {
    struct bw_file picture, turned, machine;
    struct bw_quantity feed, dpi, skew, known_pitch, scale_off;
    struct bw_list lines, rectangles, rulers;
    const char *bank_card, *part;
    int along, card;
};

struct marks_sentence {
    const char *text;
};
struct marks_source {
    const char *id, *name;
    struct bw_quantity harmonic, probability;
};
struct marks_third {
    struct bw_quantity pitch, pitch_px;
};
enum marks_origin { ORIGIN_OPEN, ORIGIN_PANEL, ORIGIN_CAMERA };
struct marks_answer {
    struct bw_quantity pitch, pitch_px, direction_deg, contrast, false_alarm, width_share;
    long harmonics;
    int origin;
    const char *steadiness;
    struct bw_list thirds;   // struct marks_third
    struct bw_list signs;    // struct marks_sentence
    struct bw_list sources;  // struct marks_source
};
struct marks_drawing;
struct marks_output {
    const char *answer, *verdict, *feed_along, *feed_by, *scale_by;
    int usable, scale_holds;
    struct bw_quantity grain_deg, pixel, scale_off, board_dpi;
    struct bw_list mends, mark_sets, notes, next, card;
    void *source;                         // struct source_output or NULL
    const struct marks_drawing *drawing;  // for the plots; no field
};

extern const struct bw_record marks_input_record, marks_output_record;

#endif
