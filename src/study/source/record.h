// record.h - what the study `source` is told and what it answers, as C records.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SOURCE_RECORD_H
#define BW_STUDY_SOURCE_RECORD_H

#include "base/field.h"

#define SOURCE_MAX_MARKS 8
#define SOURCE_MAX_RATES 6
#define SOURCE_MAX_TRIALS 12

enum source_look { LOOK_SMOOTH, LOOK_NARROW };
enum source_result { MARK_GONE, MARK_STAYS };

struct source_mark {
    struct bw_quantity pitch, feed, depth, lag, over;
    const char *is;
    int look;
    long only, same_as;  // 1-based, BW_NO_COUNT
};
struct source_rate {
    struct bw_quantity rate;
    const char *is;
};
struct source_trial {
    long only, belt;  // head, 1-based
    int result;
};
struct source_input {
    struct bw_file machine;
    struct bw_list marks, rates, trials;
    struct bw_quantity feed, depth;
};

struct source_candidate {
    const char *id, *name, *fault;
    struct bw_quantity order, probability, pitch;  // pitch: predicted for this mark
};
struct source_answer {
    long mark;  // 1-based
    struct bw_quantity pitch, feed;
    const char *verdict;
    int decided;
    struct bw_list candidates;  // struct source_candidate
    struct bw_quantity unlisted, timed;
};
struct source_head_share {
    const char *name;
    struct bw_quantity probability;
};
struct source_part {
    const char *name;
    struct bw_quantity probability;
    int head_decided;
    struct bw_list heads;  // struct source_head_share
};
struct source_speed {
    const char *name;
    struct bw_quantity stated, found;  // m/s
};
struct source_prediction {
    const char *name, *outcome;
    struct bw_quantity pitch, rate, length, speed;
};
struct source_experiment {
    const char *id, *title, *how, *caution, *part;
    long head;  // 1-based
    struct bw_quantity feed, minutes, settles, right;
    struct bw_list predictions;  // struct source_prediction
};
struct source_stop_gap {
    const char *title, *costs, *stands;
    struct bw_quantity feed, left;
};
struct source_line {
    const char *text;
};
struct source_output {
    const char *machine, *answer;
    int decided;
    struct bw_list marks;        // struct source_answer
    struct bw_list parts;        // struct source_part
    struct bw_list speeds;       // struct source_speed
    struct bw_list suspicions;   // struct source_head_share: discrete speed errors
    struct bw_list experiments;  // struct source_experiment, best first
    const char *proof, *proof_caution;
    struct bw_list stop_gaps;    // struct source_stop_gap
    struct bw_list assumptions;  // struct source_line
    struct bw_list chart;        // struct source_chart
};
// For the chart of pitch against feed: one line a source.
struct source_chart {
    const char *name;
    int kind;  // 0 timed: pitch = slope x feed; 1 paced: pitch = slope
    struct bw_quantity slope, probability;
};

extern const struct bw_record source_input_record, source_output_record;

#endif
