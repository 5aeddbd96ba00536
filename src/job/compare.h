// compare.h - before and after: what a study found twice, and whether it changed.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_JOB_COMPARE_H
#define BW_JOB_COMPARE_H

#include "study/study.h"

// The rule. With d = after - before and its standard deviation s = sqrt(sb^2 + sa^2), the interval
// is d -+ 1.96 s (95 %, both errors normal and independent).
//   the interval lies on one side of 0     the value went up, or down
//   it holds 0 and is narrower than the    no difference shown
//   change that would matter, either way
//   else, or a ± is missing                not enough data
enum bw_change { BW_CHANGE_UP, BW_CHANGE_DOWN, BW_CHANGE_NONE_SHOWN, BW_CHANGE_UNKNOWN };

enum bw_better { BW_BETTER_NOT_SAID, BW_BETTER_LESS, BW_BETTER_MORE };

struct bw_compared {
    const char *kind, *about;
    enum bw_dim dim;
    double before, before_sd, after, after_sd;  // SI; NaN: not found there, not stated
    double difference, low, high;               // NaN where not known
    enum bw_change change;
};
struct bw_comparison {
    struct bw_compared *items;  // in the order of `before`, then what only `after` has
    size_t n;
};

// `matters`: the change that would matter, as a fraction of the value before (0.5: by half).
// Findings are matched by kind and about. Error BW_MEMORY.
bool bw_compare(struct bw_arena *arena, const struct bw_findings *before,
                const struct bw_findings *after, double matters, struct bw_comparison *out,
                struct bw_err *err) BW_CHECKED;

// "improved", "worse", "more", "less", "no difference shown", "not enough data".
const char *bw_change_word(enum bw_change change, enum bw_better better);

#endif
