// plan.h - what to do next: the step with the least expected cost to a repair that is proven.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pure arithmetic over one troubleshooting problem: which cause (one at a time, by its share of
// the blame), tests with yes/no answers, fixes with chances of cure, and what each costs from
// where one stands. It knows no trade; plan problems are made from knowledge and belief in
// steps.h.
#ifndef BW_REASON_PLAN_H
#define BW_REASON_PLAN_H

#include "base/arena.h"

#include <stdint.h>

// Where one stands. Travel is paid once; locking out (isolate, wait, open) once for every run of
// steps done behind the door; closing up again before anything may turn.
struct bw_stand {
    bool on_site, locked;
};

enum bw_belts {
    BW_BELTS_EITHER,   // a panel, a gauge, a duct outside: the belts don't matter
    BW_BELTS_STOPPED,  // behind the door: locked out
    BW_BELTS_RUNNING   // doors shut, belts running
};

struct bw_work {
    double minutes;      // own time, money already turned into minutes
    double fit_minutes;  // locked-out fitting before it is read with the doors shut; 0: none
    bool on_site;        // false: can be asked or done by the owner on the phone
    bool again;          // takes a later visit: parts or people that are not on the van
    enum bw_belts belts;
};

struct bw_plan_costs {  // minutes
    double travel;      // there and back
    double lock_out, close_up;
    double prove;   // run the panels that show the fault is gone, after each fix
    double failed;  // what a repair that did not help costs beyond its work
    double
        specialist;  // stop and call one: his fee; what the cause then costs to cure comes on top
};

struct bw_plan_problem {
    size_t hypotheses;   // causes, and last "none of these", which no fix cures
    const double *mass;  // [hypotheses], sums to 1
    size_t tests;
    const double *yes;  // [tests * hypotheses]: chance of hearing yes
    const struct bw_work *test_work;
    size_t fixes;
    const double *cure;  // [fixes * hypotheses]
    const struct bw_work *fix_work;
    const bool *done;  // [fixes]: tried already, not to be tried again; NULL: none
    struct bw_stand stand;
    struct bw_plan_costs costs;
};

enum bw_act { BW_ACT_TEST, BW_ACT_FIX, BW_ACT_TWO_FIXES, BW_ACT_SPECIALIST };

struct bw_choice_made {
    enum bw_act act;
    size_t which;     // of tests or fixes
    size_t second;    // TWO_FIXES: done in the same lock-out, proven together
    double minutes;   // of this step, travel and lock-out included
    double expected;  // minutes to a proven repair if this is done next
};

struct bw_plan {
    struct bw_choice_made
        *choices;  // by falling merit (rising `expected`); [0] is the step to take
    size_t n;
    double
        mend_now;  // expected minutes if one only repairs from here, likeliest for its cost first
};

// At most `wanted` choices. Deterministic; ties go to tests before fixes, then the lower number.
// Error: BW_MEMORY.
bool bw_plan_next(const struct bw_plan_problem *problem, size_t wanted, struct bw_arena *arena,
                  struct bw_plan *out, struct bw_err *err) BW_CHECKED;

// Minutes that `work` takes from `stand`, which becomes where one stands afterwards.
double bw_work_cost(const struct bw_work *work, const struct bw_plan_costs *costs,
                    struct bw_stand *stand);
// The same for a fix: what it takes, closing up and proving. A second visit is paid when parts
// are not there.
double bw_fix_cost(const struct bw_work *work, const struct bw_plan_costs *costs,
                   struct bw_stand *stand);

#endif
