// linear.h - a linear model fitted by least squares, wrong readings set aside.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_LINEAR_H
#define BW_NUMERIC_LINEAR_H

#include "base/arena.h"

#include <math.h>

struct bw_linear {    // y[i] = sum of x[i * p + k] * value[k] + error
    const double *x;  // n rows of p
    const double *y;  // n
    size_t n;
    size_t p;
};
struct bw_linear_fit {
    double *value;     // p; 0 where not told
    bool *told;        // p; false: the columns before it explain this one, nothing can be said
    double *unit;      // p x p: covariance of the values where one reading has sd 1
    double *residual;  // n, of all readings
    bool *wrong;       // n; set aside
    size_t n_wrong;
    size_t rank;
    double sigma;    // sd of one reading; NaN without degrees of freedom
    double degrees;  // of freedom of sigma
};

// Ordinary least squares over all readings. Errors: BW_MEMORY; BW_INPUT for fewer readings than 1.
bool bw_linear_fit(struct bw_arena *arena, const struct bw_linear *model, struct bw_linear_fit *out,
                   struct bw_err *err) BW_CHECKED;
struct bw_doubt {
    double chance;  // that a set of sound readings loses one; 0.01 is usual
    double least;   // sd that a reading has at the very least: no reading is wrong by less than
                    // that, however well the others agree (rounded readings often agree too well)
};
// The same after wrong readings were found and set aside. Errors as above.
bool bw_linear_fit_sound(struct bw_arena *arena, const struct bw_linear *model,
                         struct bw_doubt doubt, struct bw_linear_fit *out,
                         struct bw_err *err) BW_CHECKED;

// Standard deviation of value k where one reading has sd `sigma`; NaN: not told.
static inline double bw_linear_sd(const struct bw_linear_fit *fit, size_t p, size_t k,
                                  double sigma) {
    return fit->told[k] ? sigma * sqrt(fit->unit[k * p + k]) : (double)NAN;
}

// Student's t: the value that is exceeded with chance `tail`, and the chance of exceeding a value.
double bw_student_limit(double tail, double degrees);
double bw_student_tail(double t, double degrees);

#endif
