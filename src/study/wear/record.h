// record.h - what the study `wear` is told and what it answers, as C records.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_WEAR_RECORD_H
#define BW_STUDY_WEAR_RECORD_H

#include "base/field.h"
#include "study/study.h"

enum wear_reason { WEAR_WORN, WEAR_LOADED, WEAR_BURNING, WEAR_FINISH, WEAR_DAMAGED, WEAR_PLANNED };

struct wear_belt {
    struct bw_quantity area;  // m2 sanded so far
    const char *kind, *stock;
    int reason;  // BW_NO_CHOICE: still running
};
struct wear_kind {
    const char *name;
    struct bw_quantity price;  // money a belt
};
struct wear_input {
    struct bw_list belts;                // struct wear_belt
    struct bw_file file;                 // the same as CSV
    struct bw_list kinds;                // struct wear_kind
    struct bw_quantity change, failure;  // money a planned change; more if it ends in production
    struct bw_quantity area_a_day;
    struct bw_quantity lead_time;  // s
    long seed;
};

struct wear_life {
    const char *kind, *pattern, *family;
    long belts, ended, running;
    struct bw_quantity mean;
    struct bw_quantity typical, typical_low, typical_high;
    struct bw_quantity early;  // by which one in ten has ended
    struct bw_quantity weibull_shape, weibull_low, weibull_high;
    struct bw_quantity other_family;  // AIC of the other less this one's
    struct bw_quantity gap, chance;
    struct bw_quantity cost, best_age, saves;
    struct bw_list ages, survived;  // struct wear_number, for the plot
    long stock;
};
struct wear_number {
    struct bw_quantity v;
};
struct wear_pair {
    const char *first, *second, *verdict;
    struct bw_quantity ratio, low, high;
    long more;
};
struct wear_output {
    struct bw_list lives;    // struct wear_life
    struct bw_list pairs;    // struct wear_pair
    struct bw_list remarks;  // struct wear_remark
};
struct wear_remark {
    const char *text;
};

extern const struct bw_record wear_input_record, wear_output_record, wear_belt_record;

void wear_text(const void *out, struct bw_text *text);
void wear_plots(const void *out, struct bw_plots *plots);
void wear_findings(const void *out, struct bw_findings *findings);

#endif
