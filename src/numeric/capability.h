// capability.h - how a spread fits between two limits, with intervals.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_CAPABILITY_H
#define BW_NUMERIC_CAPABILITY_H

#include <stddef.h>

struct bw_spread {
    double mean, sd;
    double degrees;  // of freedom of the sd; fewer than readings - 1 where they come in groups
    double count;    // independent readings that the mean is worth
};
// All values as one sample. n >= 2.
struct bw_spread bw_spread_plain(const double *values, size_t n);
// Values in groups (panels), `group[i]` in 0..groups-1: the sd of one value from a group not yet
// seen, with Satterthwaite's degrees of freedom. n >= 2; falls back to one sample for one group.
struct bw_spread bw_spread_grouped(const double *values, const size_t *group, size_t n,
                                   size_t groups);

struct bw_capability {
    double cp, cp_low, cp_high;     // width of the limits over six sd
    double cpk, cpk_low, cpk_high;  // distance of the mean from the nearer limit over three sd
    double outside;                 // share expected beyond the limits, if normal
};
// Limits low < high; `level` of the intervals, such as 0.95. Cp: chi square (exact); Cpk: Bissell,
// "How Reliable is Your Capability Index?", Applied Statistics 39 (1990) 331 (close above 25
// degrees of freedom, somewhat short below).
struct bw_capability bw_capability_of(const struct bw_spread *spread, double low, double high,
                                      double level);

#endif
