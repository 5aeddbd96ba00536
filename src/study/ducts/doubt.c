// doubt.c - what the spread of the losses makes of the flows, and what measured flows say.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Spread: each item's loss is multiplied by exp(s z - s^2/2), z normal, s its relative spread, and
// the system solved again; the ± of a flow is the standard deviation over the draws.
//
// Suspects: one fault at a time. For each line the factor on its losses is sought that brings the
// computed flows closest to the measured ones (golden section on its logarithm; the misfit is the
// sum of squares in units of the ± of measurement and model together). A line is a suspect if
// chance explains what its factor leaves, but not what stands without it. Two faults at once are
// not looked for.
#include "study/ducts/part.h"

#include <math.h>

// --- draws -------------------------------------------------------------------------------------

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

bool ducts_spread(struct ducts_work *w, struct bw_err *err) {
    struct ducts_model *m = w->model;
    long n = w->in->draws;
    double *sum = ducts_array(w, (size_t)m->n_runs, sizeof *sum);
    double *square = ducts_array(w, (size_t)m->n_runs, sizeof *square);
    double *scale = ducts_array(w, (size_t)m->n_items, sizeof *scale);
    if (w->failed) return bw_fail_memory(err);
    if (n < 2) return true;
    uint64_t state = w->run->seed;
    for (int i = 0; i < m->n_items; i++) scale[i] = m->items[i].scale;
    for (long k = 0; k < n; k++) {
        for (int i = 0; i < m->n_items; i++) {
            double s = m->items[i].spread;
            m->items[i].scale = scale[i] * exp(s * normal(&state) - s * s / 2);
        }
        if (!ducts_solve(m, err)) return false;
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

// --- suspects ----------------------------------------------------------------------------------

struct reading {
    int run;
    double flow, sd;
};
struct fit {
    struct ducts_work *w;
    struct reading *readings;
    size_t n;
};

// A setting that cannot be solved fits nothing.
static double misfit(const struct fit *fit) {
    struct bw_err ignored = {.code = BW_OK};
    if (!ducts_solve(fit->w->model, &ignored)) return 1e12;
    double sum = 0;
    for (size_t i = 0; i < fit->n; i++) {
        const struct reading *r = &fit->readings[i];
        double off = (fit->w->model->flow[r->run] - r->flow) / r->sd;
        sum += off * off;
    }
    return sum;
}

static double with_factor(const struct fit *fit, int run, double log_factor) {
    double *scale = &fit->w->model->runs[run].scale;
    *scale = exp(log_factor);
    double value = misfit(fit);
    *scale = 1;
    return value;
}

#define LEAST_FACTOR -3.0  // a twentieth: a hose that came off
#define MOST_FACTOR 6.0    // four hundred times: a plug
#define GOLDEN 0.6180339887498949

static double best_factor(const struct fit *fit, int run, double *left) {
    double low = LEAST_FACTOR, high = MOST_FACTOR;
    double a = high - GOLDEN * (high - low), b = low + GOLDEN * (high - low);
    double at_a = with_factor(fit, run, a), at_b = with_factor(fit, run, b);
    for (int i = 0; i < 24; i++) {
        if (at_a < at_b) {
            high = b;
            b = a;
            at_b = at_a;
            at_a = with_factor(fit, run, a = high - GOLDEN * (high - low));
        } else {
            low = a;
            a = b;
            at_a = at_b;
            at_b = with_factor(fit, run, b = low + GOLDEN * (high - low));
        }
    }
    *left = fmin(at_a, at_b);
    return exp((low + high) / 2);
}

static const char *meaning(const struct ducts_run *run, double factor) {
    if (factor < 1)
        return run->gate >= 0 ? "loses less than its plate says: a hose that leaks or came off, or "
                                "a gate that does not shut"
                              : "loses less than its plate says: a leak, or a door left open";
    if (run->filter >= 0) return "loses more: the filter is blinded, or the fan is weaker";
    return "loses more than its plate says: plugged, crushed hose, or a gate half shut";
}

static bool read_measured(struct fit *fit, struct bw_err *err) {
    const struct bw_list *list = &fit->w->in->measured;
    for (size_t i = 0; i < list->n; i++) {
        const struct ducts_measured *given = (const struct ducts_measured *)list->items + i;
        int run = ducts_run_find(fit->w->model, given->at);
        if (run < 0) {
            bw_fail(err, BW_INPUT, "no line has this name");
            bw_err_value(err, given->at);
            bw_err_mend(err, "name a line of the network file");
            bw_err_within_index(err, "measured", i);
            return false;
        }
        // A field traverse is worth 5 % (common practice) unless its ± is given.
        double sd = bw_sd_known(given->flow) ? given->flow.sd : 0.05 * given->flow.v;
        fit->readings[i] = (struct reading){run, given->flow.v, hypot(sd, fit->w->sd[run])};
    }
    fit->n = list->n;
    return true;
}

// Chance exceeds n + 3 sqrt(2 n) about once in a few hundred.
static double chance(size_t n) { return (double)n + 3 * sqrt(2 * (double)n); }

bool ducts_suspects(struct ducts_work *w, struct bw_err *err) {
    struct ducts_model *m = w->model;
    if (w->in->measured.n == 0) return true;
    struct fit fit = {w, ducts_array(w, w->in->measured.n, sizeof(struct reading)), 0};
    struct ducts_suspect_row *rows = ducts_array(w, (size_t)m->n_runs, sizeof *rows);
    if (w->failed) return bw_fail_memory(err);
    if (!read_measured(&fit, err)) return false;
    double whole = misfit(&fit);
    w->out->misfit = bw_exactly(whole);
    if (whole <= chance(fit.n)) return true;
    size_t n = 0;
    for (int i = 0; i < m->n_runs; i++) {
        double left, factor = best_factor(&fit, i, &left);
        if (left > chance(fit.n)) continue;
        size_t k = n++;
        for (; k > 0 && rows[k - 1].misfit.v > left; k--) rows[k] = rows[k - 1];
        rows[k] = (struct ducts_suspect_row){m->runs[i].name, meaning(&m->runs[i], factor),
                                             bw_exactly(factor), bw_exactly(left)};
    }
    w->out->suspects = (struct bw_list){rows, n};
    return ducts_solve(m, err);
}
