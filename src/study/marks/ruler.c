// ruler.c - the ticks of a ruler lying in the picture, see frame.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: the light along the row of ticks, a running mean of three ticks' width taken off, then
// the power at every step from 3 pixels to a tenth of the row. Ticks of 1, 5 and 10 differ in
// length, so the finest row is the most even one: the strongest step. Range: ten ticks at least.
#include "study/marks/frame.h"

#include "base/alloc.h"

#include <complex.h>
#include <math.h>

#define STANDS 12.0  // peak over mean power; the ticks of a ruler give hundreds
#define WIDE 3       // pixels each side of the row that are averaged

static double power(const double *light, size_t n, double f) {
    double re = 0, im = 0;
    for (size_t i = 0; i < n; i++) {
        double taper = sin(M_PI * ((double)i + 0.5) / (double)n), phase = 2 * M_PI * f * (double)i;
        re += taper * light[i] * cos(phase);
        im += taper * light[i] * sin(phase);
    }
    return re * re + im * im;
}

static void sample(const struct bw_picture *picture, const struct marks_point end[2], size_t n,
                   double *light) {
    double length = hypot(end[1].x - end[0].x, end[1].y - end[0].y);
    double ux = (end[1].x - end[0].x) / length, uy = (end[1].y - end[0].y) / length;
    for (size_t i = 0; i < n; i++) {
        light[i] = 0;
        for (int side = -WIDE; side <= WIDE; side++) {
            struct marks_point p = {end[0].x + ux * (double)i - uy * side,
                                    end[0].y + uy * (double)i + ux * side};
            light[i] += (double)marks_light(picture, p);
        }
    }
}

// Differences of neighbours: a cheap high pass that favours the finest ticks.
static void sharpen(double *light, size_t n) {
    for (size_t i = 0; i + 1 < n; i++) light[i] = light[i + 1] - light[i];
    light[n - 1] = 0;
}

bool marks_ruler_step(const struct bw_picture *picture, const struct marks_point end[2],
                      double *out) {
    double length = hypot(end[1].x - end[0].x, end[1].y - end[0].y);
    if (length < 40) return false;
    size_t n = (size_t)length;
    double *light = bw_alloc(n * sizeof *light);
    if (light == NULL) return false;
    sample(picture, end, n, light);
    sharpen(light, n);
    double step = 0.25 / length, best_f = 0, best = 0, sum = 0;
    long count = 0;
    for (double f = 10 / length; f <= 1.0 / 3; f += step) {
        double here = power(light, n, f);
        sum += here;
        count++;
        if (here > best) {
            best = here;
            best_f = f;
        }
    }
    for (double width = step / 2; best_f > 0 && width > 1e-4 / length; width /= 2)
        for (int side = -1; side <= 1; side += 2) {
            double here = power(light, n, best_f + side * width);
            if (here > best) {
                best = here;
                best_f += side * width;
            }
        }
    bw_free(light);
    if (count == 0 || best < STANDS * sum / (double)count) return false;
    *out = 1 / best_f;
    return true;
}
