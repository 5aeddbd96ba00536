// linear.c - see linear.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method. Least squares by orthogonalisation (Gram and Schmidt, each column twice, which is as good
// as Householder: Giraud and Langou 2005); a column that loses all but 1e-7 of its length is not
// told. Wrong readings: start from the least sum of absolute errors, take the half that it fits
// best, and let the set grow a little at a time as long as the nearest reading outside lies where
// a sound one would (Hadi and Simonoff, "Procedures for the Identification of Multiple Outliers
// in Linear Models", JASA 88 (1993) 1264, method 1). The limit is Student's t for the readings in
// the set so far, so it is right for a dozen readings as for a thousand. What is left over is set
// aside and the rest fitted plainly, so that anybody can repeat the result.
//
// Range: up to some thousand readings and a hundred columns. Rejected: weights that fade (Tukey,
// Huber), which no one can check by hand and whose standard deviation is rough for a dozen
// readings; starting from random subsets, which designs with a column for each panel make singular.
#include "numeric/linear.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LOST 1e-7  // share of a column's length below which it is taken as explained
#define ROUNDS 60  // of reweighting for the start

struct work {
    struct bw_arena *arena;
    const struct bw_linear *model;
    double *q, *r, *inverse;  // n x p, p x p, p x p: upper triangles
    double *qy;               // p
    double *weights;          // n; 0: not in the set
    struct bw_linear_fit fit;
    double *distance;  // n
    size_t *order;     // n
};

static bool work_new(struct bw_arena *arena, const struct bw_linear *model, struct work *w) {
    size_t n = model->n, p = model->p;
    *w = (struct work){.arena = arena, .model = model};
    w->q = bw_arena_array(arena, n * p + 1, sizeof *w->q);
    w->r = bw_arena_array(arena, p * p + 1, sizeof *w->r);
    w->inverse = bw_arena_array(arena, p * p + 1, sizeof *w->inverse);
    w->qy = bw_arena_array(arena, p + 1, sizeof *w->qy);
    w->weights = bw_arena_array(arena, n, sizeof *w->weights);
    w->distance = bw_arena_array(arena, n, sizeof *w->distance);
    w->order = bw_arena_array(arena, n, sizeof *w->order);
    w->fit.value = bw_arena_array(arena, p + 1, sizeof *w->fit.value);
    w->fit.told = bw_arena_array(arena, p + 1, sizeof *w->fit.told);
    w->fit.unit = bw_arena_array(arena, p * p + 1, sizeof *w->fit.unit);
    w->fit.residual = bw_arena_array(arena, n, sizeof *w->fit.residual);
    w->fit.wrong = bw_arena_array(arena, n, sizeof *w->fit.wrong);
    return !bw_arena_failed(arena);
}

// --- weighted least squares ----------------------------------------------------------------------

static double dot(const double *a, const double *b, size_t n, size_t stride) {
    double sum = 0;
    for (size_t i = 0; i < n; i++) sum += a[i * stride] * b[i * stride];
    return sum;
}

static void orthogonalise(struct work *w, size_t k) {
    size_t n = w->model->n, p = w->model->p;
    double *column = w->q + k;
    double before = sqrt(dot(column, column, n, p));
    for (int twice = 0; twice < 2; twice++) {
        for (size_t j = 0; j < k; j++) {
            if (!w->fit.told[j]) continue;
            double along = dot(w->q + j, column, n, p);
            w->r[j * p + k] += along;
            for (size_t i = 0; i < n; i++) column[i * p] -= along * w->q[i * p + j];
        }
    }
    double length = sqrt(dot(column, column, n, p));
    w->fit.told[k] = length > LOST * before && length > 0;
    w->fit.rank += w->fit.told[k];
    w->r[k * p + k] = w->fit.told[k] ? length : 1;
    for (size_t i = 0; i < n; i++) column[i * p] = w->fit.told[k] ? column[i * p] / length : 0;
}

// Upper triangle inverted; columns not told stay out.
static void invert(struct work *w) {
    size_t p = w->model->p;
    memset(w->inverse, 0, p * p * sizeof *w->inverse);
    for (size_t k = 0; k < p; k++) {
        if (!w->fit.told[k]) continue;
        w->inverse[k * p + k] = 1 / w->r[k * p + k];
        for (size_t i = k; i-- > 0;) {
            if (!w->fit.told[i]) continue;
            double sum = 0;
            for (size_t j = i + 1; j <= k; j++) sum += w->r[i * p + j] * w->inverse[j * p + k];
            w->inverse[i * p + k] = -sum / w->r[i * p + i];
        }
    }
}

// Fits the readings by their weights; fills everything of the fit but wrong, sigma, unit.
static void solve(struct work *w) {
    size_t n = w->model->n, p = w->model->p;
    memset(w->r, 0, p * p * sizeof *w->r);
    w->fit.rank = 0;
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < p; k++)
            w->q[i * p + k] = sqrt(w->weights[i]) * w->model->x[i * p + k];
    for (size_t k = 0; k < p; k++) orthogonalise(w, k);
    invert(w);
    for (size_t k = 0; k < p; k++) {
        w->qy[k] = 0;
        for (size_t i = 0; i < n; i++)
            w->qy[k] += w->q[i * p + k] * sqrt(w->weights[i]) * w->model->y[i];
    }
    for (size_t k = 0; k < p; k++) {
        w->fit.value[k] = 0;
        for (size_t j = k; j < p; j++) w->fit.value[k] += w->inverse[k * p + j] * w->qy[j];
    }
    for (size_t i = 0; i < n; i++) {
        double fitted = 0;
        for (size_t k = 0; k < p; k++) fitted += w->model->x[i * p + k] * w->fit.value[k];
        w->fit.residual[i] = w->model->y[i] - fitted;
    }
}

// Variance of a fitted value at reading i, over sigma squared.
static double leverage(const struct work *w, size_t i) {
    size_t p = w->model->p;
    double sum = 0;
    for (size_t k = 0; k < p; k++) {
        double u = 0;
        for (size_t j = 0; j <= k; j++) u += w->inverse[j * p + k] * w->model->x[i * p + j];
        sum += u * u;
    }
    return sum;
}

static size_t set_sigma(struct work *w) {
    size_t inside = 0;
    double square = 0;
    for (size_t i = 0; i < w->model->n; i++) {
        if (w->weights[i] == 0) continue;
        inside++;
        square += w->fit.residual[i] * w->fit.residual[i];
    }
    w->fit.degrees = (double)inside - (double)w->fit.rank;
    w->fit.sigma = w->fit.degrees > 0 ? sqrt(square / w->fit.degrees) : (double)NAN;
    return inside;
}

static void finish(struct work *w, struct bw_linear_fit *out) {
    size_t p = w->model->p;
    solve(w);
    (void)set_sigma(w);
    for (size_t a = 0; a < p; a++) {
        for (size_t b = 0; b < p; b++) {
            double sum = 0;
            for (size_t k = a > b ? a : b; k < p; k++)
                sum += w->inverse[a * p + k] * w->inverse[b * p + k];
            w->fit.unit[a * p + b] = sum;
        }
    }
    w->fit.n_wrong = 0;
    for (size_t i = 0; i < w->model->n; i++) {
        w->fit.wrong[i] = w->weights[i] == 0;
        w->fit.n_wrong += w->fit.wrong[i];
    }
    *out = w->fit;
}

// --- wrong readings ------------------------------------------------------------------------------

// Least sum of absolute errors, by weights that are one over the error of the round before.
static void absolute_start(struct work *w) {
    size_t n = w->model->n;
    for (size_t i = 0; i < n; i++) w->weights[i] = 1;
    for (int round = 0; round < ROUNDS; round++) {
        solve(w);
        double sum = 0;
        for (size_t i = 0; i < n; i++) sum += fabs(w->fit.residual[i]);
        double least = fmax(1e-4 * sum / (double)n, 1e-300);
        for (size_t i = 0; i < n; i++) w->weights[i] = 1 / fmax(fabs(w->fit.residual[i]), least);
    }
}

// Indices by distance, ties by index; an insertion sort, since the order changes little from round
// to round.
static void sort_order(struct work *w) {
    for (size_t i = 1; i < w->model->n; i++) {
        size_t which = w->order[i], k = i;
        for (; k > 0; k--) {
            double other = w->distance[w->order[k - 1]];
            if (other < w->distance[which] ||
                (other == w->distance[which] && w->order[k - 1] < which))
                break;
            w->order[k] = w->order[k - 1];
        }
        w->order[k] = which;
    }
}

// The first m readings in order make the set; more, until it tells as much as all readings do.
static size_t take(struct work *w, size_t m, size_t rank) {
    size_t n = w->model->n;
    for (;; m++) {
        for (size_t i = 0; i < n; i++) w->weights[w->order[i]] = i < m ? 1 : 0;
        solve(w);
        if (w->fit.rank == rank || m == n) return m;
    }
}

// How far each reading lies from the fit of the set, in its own standard deviations.
static void measure(struct work *w, double sigma) {
    for (size_t i = 0; i < w->model->n; i++) {
        bool inside = w->weights[i] > 0;
        double h = leverage(w, i), share = inside ? 1 - h : 1 + h;
        w->distance[i] = share < 1e-9 ? 0 : fabs(w->fit.residual[i]) / (sigma * sqrt(share));
    }
}

static void grow(struct work *w, struct bw_doubt doubt, size_t rank) {
    size_t n = w->model->n, m = take(w, (n + rank + 1) / 2, rank);
    while (m < n) {
        (void)set_sigma(w);
        double sigma = fmax(w->fit.sigma, doubt.least);
        // Nothing to judge by: readings that agree to the last digit, or none to spare.
        if (!(w->fit.degrees >= 1) || !(sigma > 0)) {
            m = take(w, m + 1, rank);
            continue;
        }
        measure(w, sigma);
        sort_order(w);
        double limit = bw_student_limit(doubt.chance / 2 / (double)(m + 1), w->fit.degrees);
        if (w->distance[w->order[m]] >= limit) {
            for (size_t i = 0; i < n; i++) w->weights[i] = w->distance[i] < limit ? 1 : 0;
            return;
        }
        m = take(w, m + 1 + (n - m) / 16, rank);
    }
}

// --- the doors -----------------------------------------------------------------------------------

static bool begin(struct bw_arena *arena, const struct bw_linear *model, struct work *w,
                  struct bw_err *err) {
    if (model->n == 0) return bw_fail(err, BW_INPUT, "no readings to fit");
    if (!work_new(arena, model, w)) return bw_fail_memory(err);
    for (size_t i = 0; i < model->n; i++) w->weights[i] = 1;
    return true;
}

bool bw_linear_fit(struct bw_arena *arena, const struct bw_linear *model, struct bw_linear_fit *out,
                   struct bw_err *err) {
    struct work w;
    if (!begin(arena, model, &w, err)) return false;
    finish(&w, out);
    return true;
}

bool bw_linear_fit_sound(struct bw_arena *arena, const struct bw_linear *model,
                         struct bw_doubt doubt, struct bw_linear_fit *out, struct bw_err *err) {
    struct work w;
    if (!begin(arena, model, &w, err)) return false;
    solve(&w);
    size_t rank = w.fit.rank, n = model->n;
    if (n > rank + 1) {
        absolute_start(&w);
        for (size_t i = 0; i < n; i++) {
            w.distance[i] = fabs(w.fit.residual[i]);
            w.order[i] = i;
        }
        sort_order(&w);
        grow(&w, doubt, rank);
    }
    finish(&w, out);
    return true;
}

double bw_student_limit(double tail, double degrees) { return gsl_cdf_tdist_Qinv(tail, degrees); }

double bw_student_tail(double t, double degrees) { return gsl_cdf_tdist_Q(t, degrees); }
