// plan.h - the exact planner behind the study `sequence`: whole steps of removal, whole costs.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// It knows no trade. Everything is counted: removal in steps (PLAN_STEP_M each), costs in whole
// numbers of any unit, so that equal plans are equal to the last bit whatever units people typed.
#ifndef BW_STUDY_SEQUENCE_PLAN_H
#define BW_STUDY_SEQUENCE_PLAN_H

#include "base/arena.h"

#include <stdint.h>

#define PLAN_STEP_M 2.54e-6  // one ten-thousandth of an inch
#define PLAN_MOST_FEEDS 32
#define PLAN_MOST_BELTS 40
#define PLAN_MOST_HEADS 6  // with several passes; up to BW_MAX_HEADS with one
#define PLAN_MOST_PASSES 12
#define PLAN_MOST_STEPS (PLAN_MOST_PASSES * 12)
#define PLAN_NEVER INT64_MAX

// One way of using a head: with this belt, this part pressing.
struct plan_way {
    int head, belt;
    int most[PLAN_MOST_FEEDS];  // removal at most, by feed; 0: cannot be used at that feed
    // Cost of using it for removal r: fixed up to r = floor, then `slope` a step, from `knee` on
    // `steep` a step. floor <= knee, slope <= steep.
    int64_t fixed, slope, steep;
    int floor, knee;
    bool ends;  // the plan may end on it
    int tag;    // the caller's
};

struct plan_problem {
    int heads, belts, feeds, passes;  // passes: the most allowed
    int need;                         // removal in all
    bool exact;                       // just that and no more
    int cap;                          // at most; ignored where exact, -1: none
    int first[PLAN_MOST_BELTS];       // least removal of a belt that begins; -1: may not
    bool last[PLAN_MOST_BELTS];       // it may be the last
    // Least removal when [b] follows [a]; -1: may not. Belts follow in their order only, b >= a.
    int step[PLAN_MOST_BELTS][PLAN_MOST_BELTS];
    const struct plan_way *ways;
    size_t n_ways;
    int64_t feed_cost[PLAN_MOST_FEEDS];  // of one pass at that feed
    int64_t mount;                       // of putting another belt on a head
};

struct plan_step {
    int pass, head, way, removal;
};
struct plan_answer {
    int64_t cost;  // PLAN_NEVER: there is no plan
    int passes, feed[PLAN_MOST_PASSES];
    struct plan_step steps[PLAN_MOST_STEPS];
    int n_steps, removed;
};

// The plan of least cost; of equals always the same one. Proven: no plan in whole steps that keeps
// all limits costs less. `scratch` holds working memory and may be freed after. Error: BW_MEMORY;
// that there is no plan is an answer.
bool plan_solve(struct bw_arena *scratch, const struct plan_problem *problem,
                struct plan_answer *out, struct bw_err *err) BW_CHECKED;

// Cost of one use with removal r, without mounting.
int64_t plan_use_cost(const struct plan_way *way, int removal);

#endif
