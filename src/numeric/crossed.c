// crossed.c - see crossed.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: analysis of variance of a balanced two-way random layout; components by equating mean
// squares with their expectations. Where parts and people do not act together (chance above 0.25)
// that square is joined with the repeats, which is what the automotive industry's measurement
// systems handbook does. Rejected: the ranges method, which gives no interaction and was made for
// pencils.
#include "numeric/crossed.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

#define JOIN 0.25

// Mean of value[from + k * stride], k < n, each itself a run of `run` values.
static double mean_of(const double *value, size_t n, size_t stride, size_t run) {
    double sum = 0;
    for (size_t k = 0; k < n; k++)
        for (size_t r = 0; r < run; r++) sum += value[k * stride + r];
    return sum / (double)(n * run);
}

static double root(double variance) { return variance > 0 ? sqrt(variance) : 0; }

static void squares(const double *value, const size_t size[3], struct bw_crossed *out) {
    size_t a = size[0], b = size[1], r = size[2];
    double mean = mean_of(value, 1, 0, a * b * r);
    double part = 0, person = 0, both = 0, repeat = 0;
    for (size_t j = 0; j < b; j++)
        person += pow(mean_of(value + j * r, a, b * r, r) - mean, 2) * (double)(a * r);
    for (size_t i = 0; i < a; i++) {
        double own = mean_of(value + i * b * r, 1, 0, b * r);
        part += pow(own - mean, 2) * (double)(b * r);
        for (size_t j = 0; j < b; j++) {
            const double *cell = value + (i * b + j) * r;
            double middle = mean_of(cell, 1, 0, r);
            double other = mean_of(value + j * r, a, b * r, r);
            both += pow(middle - own - other + mean, 2) * (double)r;
            for (size_t k = 0; k < r; k++) repeat += pow(cell[k] - middle, 2);
        }
    }
    out->part_square = part / (double)(a - 1);
    out->person_square = b > 1 ? person / (double)(b - 1) : 0;
    out->both_square = b > 1 ? both / (double)((a - 1) * (b - 1)) : 0;
    out->repeat_square = repeat / (double)(a * b * (r - 1));
}

struct bw_crossed bw_crossed_of(const double *value, size_t parts, size_t people, size_t repeats) {
    struct bw_crossed c = {0};
    double a = (double)parts, b = (double)people, r = (double)repeats;
    squares(value, (size_t[]){parts, people, repeats}, &c);
    double inside = a * b * (r - 1), crossing = (a - 1) * (b - 1);
    double noise = c.repeat_square, above = c.repeat_square;  // what people and parts are held by
    c.chance = 1;
    if (people > 1) {
        c.f = c.repeat_square > 0 ? c.both_square / c.repeat_square : (double)INFINITY;
        c.chance = isfinite(c.f) ? gsl_cdf_fdist_Q(c.f, crossing, inside) : 0;
        c.joined = c.chance > JOIN;
        noise = c.joined
                    ? (c.repeat_square * inside + c.both_square * crossing) / (inside + crossing)
                    : c.repeat_square;
        above = c.joined ? noise : c.both_square;
        c.person_sd = root((c.person_square - above) / (a * r));
        c.both_sd = c.joined ? 0 : root((c.both_square - c.repeat_square) / r);
    }
    c.repeat_sd = root(noise);
    c.part_sd = root((c.part_square - above) / (b * r));
    c.gauge_sd = sqrt(pow(c.repeat_sd, 2) + pow(c.person_sd, 2) + pow(c.both_sd, 2));
    c.total_sd = hypot(c.gauge_sd, c.part_sd);
    c.categories = c.gauge_sd > 0 ? M_SQRT2 * c.part_sd / c.gauge_sd : (double)INFINITY;
    return c;
}
