// curves.c - what the plots draw: the middle profile thinned, roughness against grain size.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/trace/work.h"

#include <math.h>
#include <string.h>

#define STRETCHES 700  // each drawn by its lowest and highest point
#define SHARES 200

static bool curve(struct trace_work *w, struct trace_curve *out, const char *name,
                  const double *z) {
    size_t n = w->heights.n, stretches = n < 2 * STRETCHES ? n / 2 : STRETCHES;
    struct trace_point *points = bw_arena_array(w->arena, 2 * stretches + 1, sizeof *points);
    if (points == NULL) return false;
    for (size_t s = 0; s < stretches; s++) {
        size_t begin = s * n / stretches, end = (s + 1) * n / stretches, low = begin, high = begin;
        for (size_t i = begin; i < end; i++) {
            if (z[i] < z[low]) low = i;
            if (z[i] > z[high]) high = i;
        }
        size_t first = low < high ? low : high, second = low < high ? high : low;
        points[2 * s] =
            (struct trace_point){bw_exactly((double)first * w->heights.dx), bw_exactly(z[first])};
        points[2 * s + 1] =
            (struct trace_point){bw_exactly((double)second * w->heights.dx), bw_exactly(z[second])};
    }
    *out = (struct trace_curve){name, {points, 2 * stretches}};
    return true;
}

static bool material(struct trace_work *w) {
    size_t n = w->middle.measured, shares = n < SHARES ? n : SHARES;
    struct trace_share *items = bw_arena_array(w->arena, shares + 1, sizeof *items);
    if (items == NULL) return false;
    for (size_t i = 0; i < shares; i++) {
        size_t at = i * (n - 1) / (shares - 1);
        items[i] = (struct trace_share){bw_exactly((double)at / (double)(n - 1)),
                                        bw_exactly(w->middle.descending[at])};
    }
    w->out.material = (struct bw_list){items, shares};
    return true;
}

bool trace_curves(struct trace_work *w, const struct trace_settings *s) {
    const struct trace_measured *m = &w->middle;
    struct trace_curve *curves = bw_arena_array(w->arena, 4, sizeof *curves);
    if (curves == NULL || !curve(w, &curves[0], "trace", m->primary) ||
        !curve(w, &curves[1], "mean line", m->line) || !curve(w, &curves[2], "roughness", m->r))
        return false;
    w->out.curves = (struct bw_list){curves, 3};
    if (s->wood) {
        if (!curve(w, &curves[3], "without the robust mean line", m->drawn_core)) return false;
        w->out.curves.n = 4;
    }
    return material(w);
}

bool trace_grains(struct trace_work *w, const struct trace_expected *expected,
                  const struct bw_grit *grit, struct bw_quantity ra) {
    size_t before = w->out.grains.n, more = before == 0 ? expected->grains.n : 0;
    if (grit == NULL || !bw_known(ra)) return true;
    struct trace_grain *all = bw_arena_array(w->arena, before + more + 1, sizeof *all);
    if (all == NULL) return false;
    if (before > 0) memcpy(all, w->out.grains.items, before * sizeof *all);
    if (more > 0) memcpy(all, expected->grains.items, more * sizeof *all);
    all[before + more] = (struct trace_grain){TRACE_MEASURED, bw_exactly(grit->size.v), ra};
    w->out.grains = (struct bw_list){all, before + more + 1};
    return true;
}
