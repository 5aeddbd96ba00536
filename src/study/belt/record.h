// record.h - what the study `belt` is told and what it answers, as C records.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_BELT_RECORD_H
#define BW_STUDY_BELT_RECORD_H

#include "base/field.h"
#include "study/study.h"

struct belt_input {
    struct bw_file machine;
    long head, count;
    const char *grit, *wood, *finish;
    struct bw_quantity length, width;          // m, in place of the machine file's
    struct bw_quantity edge_left, edge_right;  // m, of an old belt
    struct bw_quantity roll;                   // m, widest the maker's roll is
    const char *fitted_grit, *fitted_backing, *fitted_coat, *fitted_mineral, *fitted_joint;
    int reverses;
    struct bw_quantity temperature, humidity;
};
struct belt_part {
    const char *part, *choice, *reason, *fitted;
    int change;  // 1: differs from what is fitted
};
struct belt_line {
    const char *text;
};
struct belt_output {
    const char *answer, *order, *machine_lines;
    struct bw_quantity length, width, length_tolerance, width_tolerance;
    struct bw_quantity skew;         // m, one edge longer than the other
    struct bw_quantity splice_rate;  // Hz
    long splices;
    struct bw_list parts;     // struct belt_part
    struct bw_list against;   // struct belt_line: fitted now
    struct bw_list label;     // struct belt_line
    struct bw_list storage;   // struct belt_line
    struct bw_list notes;     // struct belt_line
    struct bw_list cautions;  // struct belt_line
};

extern const struct bw_record belt_input_record, belt_output_record;

void belt_text(const void *out, struct bw_text *text);

#endif
