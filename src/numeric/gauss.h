// gauss.h - a joint normal belief over a few dozen quantities, told linear facts.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_GAUSS_H
#define BW_NUMERIC_GAUSS_H

#include "base/arena.h"

struct bw_term {  // one summand of a linear form: coefficient times variable
    int variable;
    double coefficient;
};
#define BW_MAX_TERMS 8

struct bw_form {  // constant + sum of terms
    double constant;
    int n;
    struct bw_term terms[BW_MAX_TERMS];
};

struct bw_gauss {
    int n, capacity;
    double *mean;        // n
    double *covariance;  // capacity x capacity, row-major, symmetric
    double *scratch;     // n, for bw_gauss_observe
};

// Room for `capacity` variables. NULL: out of memory.
struct bw_gauss *bw_gauss_new(struct bw_arena *arena, int capacity) BW_CHECKED;
struct bw_gauss *bw_gauss_copy(struct bw_arena *arena, const struct bw_gauss *from) BW_CHECKED;
// A new independent variable; its index. The capacity is a promise of the caller (asserted).
int bw_gauss_add(struct bw_gauss *gauss, double mean, double sd);

double bw_gauss_mean(const struct bw_gauss *gauss, const struct bw_form *form);
double bw_gauss_covariance(const struct bw_gauss *gauss, const struct bw_form *a,
                           const struct bw_form *b);
double bw_gauss_sd(const struct bw_gauss *gauss, const struct bw_form *form);

// Tells the belief that form = value with standard deviation `sd` (> 0), independent of all else.
void bw_gauss_observe(struct bw_gauss *gauss, const struct bw_form *form, double value, double sd);

void bw_form_add(struct bw_form *form, int variable, double coefficient);  // asserted: room is left
// out = a + factor * b, terms of the same variable joined.
struct bw_form bw_form_sum(const struct bw_form *a, double factor, const struct bw_form *b);

// Several observations are judged together by growing a Cholesky factor one row at a time.
#define BW_MAX_CHAIN 24
struct bw_chain {
    int n;
    double factor[BW_MAX_CHAIN * (BW_MAX_CHAIN + 1) / 2];  // lower triangle by rows
    double white[BW_MAX_CHAIN];                            // whitened residuals
    double distance;                                       // their squared length
    double log_determinant;
};

// Adds one observation: `residual` = value - predicted mean, `covariance[i]` with the earlier
// ones, its own `variance`. A variance not above what the earlier ones explain is raised to 1e-12
// of itself.
void bw_chain_add(struct bw_chain *chain, double residual, const double *covariance,
                  double variance);
// Log density of the observations under a multivariate Student t with `degrees` (> 2) of freedom
// and the chain's covariance: one common factor makes all errors larger together, which is what a
// wrong plate or a careless hand does. degrees = INFINITY: normal.
double bw_chain_log_density(const struct bw_chain *chain, double degrees);

#endif
