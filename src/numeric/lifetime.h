// lifetime.h - how long things last, from records some of which are still running.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Ages in any one unit, > 0. Weibull and log-normal by maximum likelihood with right censoring;
// intervals by profile likelihood.
#ifndef BW_NUMERIC_LIFETIME_H
#define BW_NUMERIC_LIFETIME_H

#include "base/arena.h"
#include "base/err.h"

#include <stdint.h>

enum bw_life_family { BW_WEIBULL, BW_LOGNORMAL };

struct bw_life {
    double age;
    bool ended;  // false: still running, or taken off for another reason
};
struct bw_lives {  // borrowed
    const struct bw_life *items;
    size_t n;
};

// ln(age) = location + scale * e, e of the smallest extreme value (Weibull) or the normal law.
struct bw_life_fit {
    enum bw_life_family family;
    double location, scale;
    double log_likelihood;  // of the ages themselves, densities per unit of age
    int iterations;
    bool converged;
};

// Errors: BW_INPUT with what is missing (two different ended ages at least), BW_MEMORY, BW_FAILED.
bool bw_life_fit(struct bw_arena *arena, enum bw_life_family family, const struct bw_lives *lives,
                 struct bw_life_fit *out, struct bw_err *err) BW_CHECKED;

double bw_life_shape(const struct bw_life_fit *fit);  // Weibull shape; 1/scale for both
double bw_life_survival(const struct bw_life_fit *fit, double age);
double bw_life_quantile(const struct bw_life_fit *fit, double share_ended);
double bw_life_mean(const struct bw_life_fit *fit);
double bw_life_sd(const struct bw_life_fit *fit);

// Interval within which twice the log likelihood falls by less than `drop` (3.841: 95 %, 1: 68 %),
// of the age by which `share_ended` have ended. An open end is INFINITY (0 below).
struct bw_interval {
    double low, high;
};
bool bw_life_quantile_interval(struct bw_arena *arena, const struct bw_lives *lives,
                               const struct bw_life_fit *fit, const double share_and_drop[2],
                               struct bw_interval *out, struct bw_err *err) BW_CHECKED;
bool bw_life_shape_interval(struct bw_arena *arena, const struct bw_lives *lives,
                            const struct bw_life_fit *fit, double drop, struct bw_interval *out,
                            struct bw_err *err) BW_CHECKED;

// Ratio of the second group's lives to the first's under one common shape, with its interval. Same
// errors as the fit (each group needs one ended life).
struct bw_life_ratio {
    double ratio;
    struct bw_interval interval;
    double scale;  // common
};
bool bw_life_compare(struct bw_arena *arena, enum bw_life_family family,
                     const struct bw_lives groups[2], double drop, struct bw_life_ratio *out,
                     struct bw_err *err) BW_CHECKED;

// Kaplan-Meier: share surviving just after each ended age, ascending. `ages` and `shares` hold
// lives->n;
// returns how many steps.
size_t bw_life_record(struct bw_arena *arena, const struct bw_lives *lives, double *ages,
                      double *shares) BW_CHECKED;

// Largest gap between the record and the fitted curve, and the share of `rounds` simulated records
// from the fit with a gap at least as large (small: the family does not fit).
struct bw_life_check {
    double gap, chance;
};
bool bw_life_goodness(struct bw_arena *arena, const struct bw_lives *lives,
                      const struct bw_life_fit *fit, const uint64_t rounds_and_seed[2],
                      struct bw_life_check *out, struct bw_err *err) BW_CHECKED;

// Age replacement: cost per unit of age when each is replaced at `age` (planned cost) or on ending
// before (failure cost). INFINITY as the age: never planned.
double bw_life_cost(const struct bw_life_fit *fit, double age, double planned, double failure);
// The cheapest age; INFINITY where waiting for the end is cheapest to within 0.1 %.
double bw_life_best_age(const struct bw_life_fit *fit, double planned, double failure);

#endif
