// doubt.c - what the spread of the losses makes of the flows, narrowed by what was measured.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Each item's loss is multiplied by exp(s z - s^2/2), z normal, s its relative spread, and the
// system solved again; the ± of a flow is the standard deviation over the draws. With readings each
// draw is first moved by the gain that calibration found (suspect.c), towards the readings with
// their own errors drawn: randomised maximum likelihood (Kitanidis 1995; Oliver, He and Reynolds
// 1996), exact for a linear model, and duct flows are nearly linear in the logarithms of losses.
#include "study/ducts/part.h"

#include <math.h>

static uint64_t next(uint64_t *state) {  // splitmix64 (Steele, Lea and Flood 2014)
    uint64_t z = *state += 0x9E3779B97F4A7C15u;
    z = (z ^ z >> 30) * 0xBF58476D1CE4E5B9u;
    z = (z ^ z >> 27) * 0x94D049BB133111EBu;
    return z ^ z >> 31;
}

static double normal(uint64_t *state) {  // Box and Muller 1958
    double u = ((double)(next(state) >> 11) + 0.5) / 9007199254740992.0;
    double v = (double)(next(state) >> 11) / 9007199254740992.0;
    return sqrt(-2 * log(u)) * cos(2 * M_PI * v);
}

struct draw {
    struct ducts_work *w;
    uint64_t state;
    const double *scale;  // as they are
};

static bool draw_losses(struct draw *d, struct bw_err *err) {
    struct ducts_model *m = d->w->model;
    for (int i = 0; i < m->n_items; i++) {
        double s = m->items[i].spread;
        m->items[i].scale = d->scale[i] * exp(s * normal(&d->state) - s * s / 2);
    }
    if (!ducts_solve(m, err)) return false;
    if (d->w->gain == NULL) return true;
    size_t n = d->w->n_readings;
    for (size_t k = 0; k < n; k++) {
        const struct ducts_reading *r = &d->w->readings[k];
        d->w->off[k] = r->value + r->sd * normal(&d->state) - ducts_predict(m, r);
    }
    for (int i = 0; i < m->n_items; i++) {
        double move = 0;
        for (size_t k = 0; k < n; k++) move += d->w->gain[(size_t)i * n + k] * d->w->off[k];
        m->items[i].scale *= exp(fmin(fmax(move, -4), 4));
    }
    return ducts_solve(m, err);
}

bool ducts_spread(struct ducts_work *w, struct bw_err *err) {
    struct ducts_model *m = w->model;
    long n = w->in->draws;
    double *sum = ducts_array(w, (size_t)m->n_runs, sizeof *sum);
    double *square = ducts_array(w, (size_t)m->n_runs, sizeof *square);
    double *scale = ducts_array(w, (size_t)m->n_items, sizeof *scale);
    if (w->failed) return bw_fail_memory(err);
    if (n < 2) return true;
    struct draw d = {w, w->run->seed, scale};
    for (int i = 0; i < m->n_items; i++) scale[i] = m->items[i].scale;
    for (long k = 0; k < n; k++) {
        if (!draw_losses(&d, err)) return false;
        for (int r = 0; r < m->n_runs; r++) {
            sum[r] += m->flow[r];
            square[r] += m->flow[r] * m->flow[r];
        }
    }
    for (int i = 0; i < m->n_items; i++) m->items[i].scale = scale[i];
    for (int r = 0; r < m->n_runs; r++) {
        double mean = sum[r] / (double)n;
        w->sd[r] = sqrt(fmax(square[r] / (double)n - mean * mean, 0) * (double)n / (double)(n - 1));
    }
    return ducts_solve(m, err);
}
