// capability.c - see capability.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: for readings in groups the variance of a value from a new group is the sum of the
// between and the within component of a one-way analysis of variance with random groups; as a
// combination of two mean squares its degrees of freedom are Satterthwaite's (Biometrics Bulletin 2
// (1946) 110). Treating 12 readings of each of 5 panels as 60 independent ones would make intervals
// half as wide as they are. Rejected: the within spread alone ("short term"), which answers another
// question than whether panels will be in tolerance.
#include "numeric/capability.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

struct bw_spread bw_spread_plain(const double *values, size_t n) {
    double mean = 0, square = 0;
    for (size_t i = 0; i < n; i++) mean += values[i] / (double)n;
    for (size_t i = 0; i < n; i++) square += (values[i] - mean) * (values[i] - mean);
    double degrees = (double)n - 1;
    return (struct bw_spread){mean, sqrt(square / degrees), degrees, (double)n};
}

struct sums {
    double between, within, squares;  // sums of squares; sum of squared group sizes
    double k;                         // groups with values
};

static struct sums sum_up(const double *values, const size_t *group, size_t n, double mean) {
    struct sums s = {0};
    size_t most = 0;
    for (size_t i = 0; i < n; i++) most = group[i] > most ? group[i] : most;
    for (size_t g = 0; g <= most; g++) {
        double count = 0, own = 0;
        for (size_t i = 0; i < n; i++) {
            if (group[i] != g) continue;
            count++;
            own += values[i];
        }
        if (count == 0) continue;
        own /= count;
        s.k++;
        s.squares += count * count;
        s.between += count * (own - mean) * (own - mean);
        for (size_t i = 0; i < n; i++)
            if (group[i] == g) s.within += (values[i] - own) * (values[i] - own);
    }
    return s;
}

struct bw_spread bw_spread_grouped(const double *values, const size_t *group, size_t n,
                                   size_t groups) {
    struct bw_spread plain = bw_spread_plain(values, n);
    if (groups < 2) return plain;
    struct sums s = sum_up(values, group, n, plain.mean);
    double inside = (double)n - s.k;
    if (s.k < 2 || inside < 1) return plain;
    double size = ((double)n - s.squares / (double)n) / (s.k - 1);  // n0 of the unbalanced case
    double msb = s.between / (s.k - 1), msw = s.within / inside;
    if (msb <= msw) return plain;  // no spread between groups to be seen
    double a = msb / size, b = (1 - 1 / size) * msw, total = a + b;
    double degrees = total * total / (a * a / (s.k - 1) + b * b / inside);
    // The mean is worth as many readings as give its variance, that of balanced groups: msb / n.
    return (struct bw_spread){plain.mean, sqrt(total), degrees, total / msb * (double)n};
}

struct bw_capability bw_capability_of(const struct bw_spread *spread, double low, double high,
                                      double level) {
    double tail = (1 - level) / 2, nu = spread->degrees, sd = spread->sd;
    struct bw_capability c;
    c.cp = (high - low) / (6 * sd);
    c.cp_low = c.cp * sqrt(gsl_cdf_chisq_Pinv(tail, nu) / nu);
    c.cp_high = c.cp * sqrt(gsl_cdf_chisq_Qinv(tail, nu) / nu);
    c.cpk = fmin(high - spread->mean, spread->mean - low) / (3 * sd);
    double z = gsl_cdf_ugaussian_Qinv(tail);
    double half = z * sqrt(1 / (9 * spread->count) + c.cpk * c.cpk / (2 * nu));
    c.cpk_low = c.cpk - half;
    c.cpk_high = c.cpk + half;
    c.outside = gsl_cdf_ugaussian_Q((high - spread->mean) / sd) +
                gsl_cdf_ugaussian_P((low - spread->mean) / sd);
    return c;
}
