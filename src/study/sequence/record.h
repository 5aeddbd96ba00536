// record.h - what the study `sequence` is told and what it answers, as C records.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SEQUENCE_RECORD_H
#define BW_STUDY_SEQUENCE_RECORD_H

#include "base/field.h"
#include "study/study.h"

enum sequence_orientation { ALONG_GRAIN, ACROSS_GRAIN, END_GRAIN };
enum sequence_goal { GOAL_CHEAPEST, GOAL_FASTEST, GOAL_SAFEST, GOAL_FEWEST, GOAL_WEIGHTED };
enum sequence_state { STATE_HARD_DRUM, STATE_WEAK_AIR, STATE_OUT };
enum sequence_backing { BACKING_PAPER, BACKING_CLOTH, BACKING_POLYESTER, BACKING_FILM };

struct sequence_belt {
    const char *grit;
    int backing;
    struct bw_quantity price, life;  // money, m2
    long head;                       // fits this head only
};
struct sequence_head {
    long head;
    struct bw_quantity idle, full;  // A
    struct bw_quantity slow, fast;  // m/s
    struct bw_quantity power;       // W
    int state;
};
struct sequence_use {  // a belt at work: as set up, or a good case
    const char *grit;
    long head;
    struct bw_quantity takes, feed, reads;
};
struct sequence_trace {
    const char *grit;
    struct bw_quantity ra;
};
struct sequence_input {
    struct bw_file machine;
    const char *wood, *came_from, *finish;
    int orientation, goal, front;
    struct bw_quantity length, width;
    struct bw_quantity remove, spread, marks;
    struct bw_quantity veneer, core_spread, parallelism, removal_sd, edge, risk;
    struct bw_list belts;   // struct sequence_belt
    struct bw_list heads;   // struct sequence_head
    struct bw_list setup;   // struct sequence_use
    struct bw_list good;    // struct sequence_use
    struct bw_list traces;  // struct sequence_trace
    struct bw_quantity roughest;
    struct bw_quantity feed, least_feed, most_feed;
    long passes, largest_skip;
    struct bw_quantity hour, change, batch, dull, end_grain;
    struct bw_quantity weight_cost, weight_time, weight_passes;
};

struct sequence_step {
    long pass;
    const char *head, *grit, *part, *meter;
    struct bw_quantity feed, speed;
    struct bw_quantity takes, most;            // m
    struct bw_quantity clears;                 // m, what the belt before asks
    struct bw_quantity load_sharp, load_dull;  // share of the motor's power
    struct bw_quantity amps_low, amps_high;
    struct bw_quantity heat;
};
struct sequence_plan {
    const char *name, *words, *lifted;
    struct bw_quantity cost, relative;  // money a m2; over the cheapest
    struct bw_quantity output;          // m2 an hour
    struct bw_quantity removed, through, through_edge, ra, reserve;
    long passes;
    struct bw_list steps;  // struct sequence_step
};
struct sequence_line {
    const char *about, *kind, *text;
    struct bw_quantity share;
};
struct sequence_point {
    long passes;
    struct bw_quantity feed, cost, output;
    const char *words;
};
struct sequence_output {
    const char *answer, *machine;
    struct bw_list plans;      // struct sequence_plan: the one asked for first
    struct bw_list binds;      // struct sequence_line: limits and what they cost
    struct bw_list runner_up;  // struct sequence_line
    struct bw_list doubts;     // struct sequence_line
    struct bw_list clashes;    // struct sequence_line
    struct bw_list judged;     // struct sequence_line: share is the load
    struct bw_list measured;   // struct sequence_line: share is energy over the table's
    struct bw_list front;      // struct sequence_point
    struct bw_list assumed;    // struct sequence_line
    struct bw_list cautions;   // struct sequence_line
    struct bw_quantity bound;  // no plan whatever its removals is cheaper than this share
    int money;                 // 1: cost is the shop's own money
};

extern const struct bw_record sequence_input_record, sequence_output_record;

void sequence_text(const void *out, struct bw_text *text);
void sequence_findings(const void *out, struct bw_findings *findings);

#endif
