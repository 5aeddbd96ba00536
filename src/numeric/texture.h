// texture.h - numbers that describe a filtered profile, as ISO 21920-2 and ISO 4287 define them.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Heights are told from the mean line that the filter took off, in any unit; results come in it.
#ifndef BW_NUMERIC_TEXTURE_H
#define BW_NUMERIC_TEXTURE_H

#include "base/err.h"

#include <stddef.h>

// Where the two standards differ: ISO 4287 takes every number in each section (sampling length) and
// then the mean; ISO 21920-2 takes mean heights, slope, skew and spacing over the whole evaluation
// length, and only the extremes section by section.
enum bw_texture_rule { BW_ISO_21920, BW_ISO_4287 };

struct bw_heights {  // an evenly spaced profile, borrowed
    const double *z;
    size_t n;
    double dx;        // between points, in the unit wanted for spacing and slope
    double section;   // length of one section, in the same unit
    size_t sections;  // whole ones in it; all that is measured
};

// By the names of the standards: mean height a, root mean square q, extremes p and v, their sum z,
// whole height t, skew sk, kurtosis ku, spacing sm (NaN: fewer than two elements), slope dq (by the
// seven-point rule; NaN under seven points).
struct bw_texture {
    double a, q, z, t, p, v, sk, ku, sm, dq;
};
// `scatter`: standard deviation of each number's mean, from the differences between sections; NaN
// with a single section and for t.
struct bw_texture_result {
    struct bw_texture value, scatter;
};
void bw_texture_measure(const struct bw_heights *heights, enum bw_texture_rule rule,
                        struct bw_texture_result *out);

// Mean width of profile elements, a hill and the dale after it, told apart by height (`least` on
// both sides of the mean line) and by width (at least `narrow`). Mean-line crossings are
// interpolated. NaN: fewer than two hills.
double bw_texture_spacing(const double *z, size_t n, double dx, double least, double narrow);

// Material ratio curve: heights from the highest, point i of n at the share i/(n - 1).
// Rk and its kin (ISO 13565-2, ISO 21920-2): the secant over 40 % with the least slope, of several
// (within 1e-9 of it) the uppermost, drawn on to 0 and 100 %; peaks and valleys beyond as triangles
// of equal area. Ratios are shares of 1.
struct bw_material {
    double k, pk, vk, mr1, mr2;
};
void bw_material_measure(const double *descending, size_t n, struct bw_material *out);

// Sorts from high to low; NaN and infinities are not allowed. Error: BW_MEMORY.
bool bw_heights_sort(double *z, size_t n, struct bw_err *err) BW_CHECKED;

// The sanding told apart from what wood adds: pores below it, fibres that stand up above it. The
// core of the heights is taken for normal: its mean and sd are found from points within three sd of
// the mean, corrected for the cut, until they stay. `descending` as above.
struct bw_core {
    double mean, sd;
    double low, high;     // mean -+ 3 sd: below are pores, above is fuzz
    double below, above;  // shares of points
};
void bw_core_find(const double *descending, size_t n, struct bw_core *out);

#endif
