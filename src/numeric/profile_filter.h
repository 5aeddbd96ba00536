// profile_filter.h - a surface profile parted into short and long waves, as ISO 16610 defines it.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Lengths are counted in points of an evenly spaced profile. Nothing is cut off at the ends: there
// the mean line is a straight line (Gaussian) or a parabola (robust) fitted under what is left of
// the window, so that a tilted or bent profile has no run-off.
#ifndef BW_NUMERIC_PROFILE_FILTER_H
#define BW_NUMERIC_PROFILE_FILTER_H

#include "base/err.h"

#include <stddef.h>

// Cut-offs are lengths of a wave of which half passes; from BW_LEAST_CUT_OFF on, in points.
#define BW_LEAST_CUT_OFF 3.0

// Takes the polynomial of least squares of `degree` (0 the mean, 1 a line, at most 8) off the n > 0
// heights. A degree of n or more is taken as n - 1.
void bw_profile_level(double *z, size_t n, int degree);

// Gaussian mean line (ISO 16610-21): a wave of length l keeps 2^-(cut_off/l)^2 of its height,
// accurate to 1e-11 of the largest height. `line` may not be `z`. Error: BW_MEMORY.
bool bw_filter_gaussian(const double *z, size_t n, double cut_off, double *line,
                        struct bw_err *err) BW_CHECKED;

// Robust Gaussian regression of the second order (ISO 16610-31): points far from the line (pores,
// fibres that stand up) lose their say, by Tukey's biweight at 4.4478 times the median distance.
// The window is that whose line keeps half of a wave of cut_off when every point has its full say.
// `rounds_out` (may be NULL): rounds taken until the median distance changed by less than 1e-6 of
// itself; BW_FILTER_ROUNDS: it still moved.
#define BW_FILTER_ROUNDS 60
bool bw_filter_robust(const double *z, size_t n, double cut_off, double *line, int *rounds_out,
                      struct bw_err *err) BW_CHECKED;

// Share of a wave's height that the Gaussian mean line keeps.
double bw_filter_transmission(double cut_off, double wave);

// The middle one of n > 0 values, which are put in another order: smaller ones before n / 2.
double bw_median(double *values, size_t n);

#endif
