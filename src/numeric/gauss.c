// gauss.c - see gauss.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: the prior is kept as mean and full covariance (at most a few hundred variables, so
// dense is simplest); a fact is one rank-one Kalman update. Several observations are judged by
// the innovation form: their joint covariance A P A' + R is factored row by row, which lets a
// search over assignments share prefixes. Sources: Kalman 1960; the multivariate t density, Kotz
// and Nadarajah 2004, eq. 1.1 (both from memory; the test compares with scipy's values).
// Rejected: information form (singular for wide priors), normal tails (one careless reading would
// then decide against the true source).
#include "numeric/gauss.h"

#include <assert.h>
#include <math.h>
#include <string.h>

struct bw_gauss *bw_gauss_new(struct bw_arena *arena, int capacity) {
    assert(capacity > 0);
    size_t n = (size_t)capacity;
    struct bw_gauss *gauss = bw_arena_get(arena, sizeof *gauss);
    if (gauss == NULL) return NULL;
    gauss->capacity = capacity;
    gauss->mean = bw_arena_array(arena, n, sizeof(double));
    gauss->covariance = bw_arena_array(arena, n * n, sizeof(double));
    gauss->scratch = bw_arena_array(arena, n, sizeof(double));
    bool whole = gauss->mean != NULL && gauss->covariance != NULL && gauss->scratch != NULL;
    return whole ? gauss : NULL;
}

struct bw_gauss *bw_gauss_copy(struct bw_arena *arena, const struct bw_gauss *from) {
    struct bw_gauss *gauss = bw_gauss_new(arena, from->capacity);
    if (gauss == NULL) return NULL;
    size_t n = (size_t)from->capacity;
    gauss->n = from->n;
    memcpy(gauss->mean, from->mean, n * sizeof(double));
    memcpy(gauss->covariance, from->covariance, n * n * sizeof(double));
    return gauss;
}

static double *cell(const struct bw_gauss *gauss, int i, int j) {
    return gauss->covariance + (size_t)i * (size_t)gauss->capacity + (size_t)j;
}

int bw_gauss_add(struct bw_gauss *gauss, double mean, double sd) {
    assert(gauss->n < gauss->capacity);
    int i = gauss->n++;
    gauss->mean[i] = mean;
    *cell(gauss, i, i) = sd * sd;
    return i;
}

double bw_gauss_mean(const struct bw_gauss *gauss, const struct bw_form *form) {
    double sum = form->constant;
    for (int i = 0; i < form->n; i++)
        sum += form->terms[i].coefficient * gauss->mean[form->terms[i].variable];
    return sum;
}

double bw_gauss_covariance(const struct bw_gauss *gauss, const struct bw_form *a,
                           const struct bw_form *b) {
    double sum = 0;
    for (int i = 0; i < a->n; i++)
        for (int j = 0; j < b->n; j++)
            sum += a->terms[i].coefficient * b->terms[j].coefficient *
                   *cell(gauss, a->terms[i].variable, b->terms[j].variable);
    return sum;
}

double bw_gauss_sd(const struct bw_gauss *gauss, const struct bw_form *form) {
    double variance = bw_gauss_covariance(gauss, form, form);
    return variance > 0 ? sqrt(variance) : 0;
}

static double with_form(const struct bw_gauss *gauss, int i, const struct bw_form *form) {
    double sum = 0;
    for (int j = 0; j < form->n; j++)
        sum += form->terms[j].coefficient * *cell(gauss, i, form->terms[j].variable);
    return sum;
}

void bw_gauss_observe(struct bw_gauss *gauss, const struct bw_form *form, double value, double sd) {
    assert(sd > 0);
    double variance = bw_gauss_covariance(gauss, form, form) + sd * sd;
    double residual = value - bw_gauss_mean(gauss, form);
    double *gain = gauss->scratch;  // needed whole before the covariance changes
    for (int i = 0; i < gauss->n; i++) gain[i] = with_form(gauss, i, form);
    for (int i = 0; i < gauss->n; i++) {
        if (gain[i] == 0) continue;
        gauss->mean[i] += gain[i] / variance * residual;
        for (int j = 0; j < gauss->n; j++) *cell(gauss, i, j) -= gain[i] * gain[j] / variance;
    }
}

void bw_form_add(struct bw_form *form, int variable, double coefficient) {
    for (int i = 0; i < form->n; i++) {
        if (form->terms[i].variable == variable) {
            form->terms[i].coefficient += coefficient;
            return;
        }
    }
    assert(form->n < BW_MAX_TERMS);
    form->terms[form->n++] = (struct bw_term){variable, coefficient};
}

struct bw_form bw_form_sum(const struct bw_form *a, double factor, const struct bw_form *b) {
    struct bw_form out = *a;
    out.constant += factor * b->constant;
    for (int i = 0; i < b->n; i++)
        bw_form_add(&out, b->terms[i].variable, factor * b->terms[i].coefficient);
    return out;
}

void bw_chain_add(struct bw_chain *chain, double residual, const double *covariance,
                  double variance) {
    assert(chain->n < BW_MAX_CHAIN);
    int n = chain->n;
    double *row = chain->factor + n * (n + 1) / 2;
    double left = variance, rest = residual;
    for (int i = 0; i < n; i++) {
        const double *other = chain->factor + i * (i + 1) / 2;
        double sum = covariance[i];
        for (int k = 0; k < i; k++) sum -= row[k] * other[k];
        row[i] = sum / other[i];
        left -= row[i] * row[i];
        rest -= row[i] * chain->white[i];
    }
    double least = 1e-12 * variance;
    row[n] = sqrt(left > least ? left : least);
    chain->white[n] = rest / row[n];
    chain->distance += chain->white[n] * chain->white[n];
    chain->log_determinant += 2 * log(row[n]);
    chain->n = n + 1;
}

double bw_chain_log_density(const struct bw_chain *chain, double degrees) {
    double n = chain->n;
    if (n == 0) return 0;
    if (isinf(degrees))
        return -0.5 * (chain->distance + chain->log_determinant + n * log(2 * M_PI));
    // The t's scale matrix is smaller than its covariance by this factor.
    double scale = (degrees - 2) / degrees;
    return lgamma((degrees + n) / 2) - lgamma(degrees / 2) - n / 2 * log(degrees * M_PI * scale) -
           0.5 * chain->log_determinant -
           (degrees + n) / 2 * log1p(chain->distance / (degrees * scale));
}
