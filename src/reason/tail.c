// tail.c - how much the sets of more than three causes could weigh.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method. Each answer's likelihood is a + b R with R a product over the causes, so a product of m
// answers is a sum of 2^m terms, each a constant times a product over the causes; and for such a
// term the sum over all sets of four and more causes is a running sum of elementary symmetric
// polynomials (this is the expansion known as quickscore, Heckerman 1989, kept to the sets
// wanted; from memory). Ten answers make 1024 terms. Further answers are held at their largest
// likelihood, which can only raise the sum.
//
// The terms alternate in sign. They are added in long double, and the rounding that could have
// been lost is added on top, so that the result stays a bound.
#include "reason/belief.h"

#include <assert.h>
#include <float.h>
#include <math.h>

#define EXPANDED 10

struct term {
    double a, b;  // likelihood = a + b * product of miss
    double pull;  // how many times its smallest its largest value is
    const double *miss;
};

struct expansion {
    size_t causes, n;
    struct term term[EXPANDED];
    long double *level;  // [(n + 1) * causes]: odds times the misses chosen so far
    long double sum, size;
};

static double largest(const struct term *t) { return t->b > 0 ? t->a + t->b : t->a; }

static double pull_of(const struct term *t) {
    double least = t->b > 0 ? t->a : t->a + t->b;
    return least > 0 ? largest(t) / least : DBL_MAX;
}

// Sum over all sets of at least four causes of the products of x.
static long double four_and_more(const long double *x, size_t n) {
    long double e1 = 0, e2 = 0, e3 = 0, more = 0;
    for (size_t c = 0; c < n; c++) {
        more += (more + e3) * x[c];
        e3 += e2 * x[c];
        e2 += e1 * x[c];
        e1 += x[c];
    }
    return more;
}

static void expand(struct expansion *e, size_t depth, long double coefficient) {
    long double *x = e->level + depth * e->causes;
    if (depth == e->n) {
        long double term = coefficient * four_and_more(x, e->causes);
        e->sum += term;
        e->size += fabsl(term);
        return;
    }
    const struct term *t = &e->term[depth];
    long double *next = x + e->causes;
    if (t->a > 0) {
        for (size_t c = 0; c < e->causes; c++) next[c] = x[c];
        expand(e, depth + 1, coefficient * (long double)t->a);
    }
    for (size_t c = 0; c < e->causes; c++) next[c] = x[c] * (long double)t->miss[c];
    expand(e, depth + 1, coefficient * (long double)t->b);
}

// Puts `t` among the expanded if it pulls more than the weakest of them; returns the one left out.
static struct term take(struct expansion *e, struct term t) {
    if (e->n < EXPANDED) {
        e->term[e->n++] = t;
        return (struct term){.a = 1};
    }
    size_t weakest = 0;
    for (size_t i = 1; i < e->n; i++)
        if (e->term[i].pull < e->term[weakest].pull) weakest = i;
    if (!(t.pull > e->term[weakest].pull)) return t;
    struct term out = e->term[weakest];
    e->term[weakest] = t;
    return out;
}

bool bw_belief_tail(const struct bw_evidence *evidence, const double *scale, struct bw_arena *arena,
                    double *out, struct bw_err *err) {
    const struct bw_net *net = evidence->net;
    struct expansion e = {.causes = net->causes};
    long double held = 1.0L;
    for (size_t f = 0; f < evidence->n; f++) {
        const struct bw_answer *said = &evidence->answers[f];
        double s = scale == NULL ? 1.0 : scale[f];
        struct term t = {.a = said->if_yes * s,
                         .b = (said->if_no - said->if_yes) * s * net->quiet[said->check],
                         .miss = net->miss + said->check * net->causes};
        t.pull = pull_of(&t);
        struct term left = take(&e, t);
        held *= (long double)largest(&left);
    }
    e.level = bw_arena_array(arena, (e.n + 1) * e.causes, sizeof *e.level);
    if (e.level == NULL) return bw_fail_memory(err);
    for (size_t c = 0; c < e.causes; c++) e.level[c] = (long double)net->odds[c];
    expand(&e, 0, 1.0L);
    // Each term takes a rounding per cause and answer; the sum itself one per term.
    long double rounding =
        e.size * (long double)(4 * e.causes + (1 << EXPANDED) + EXPANDED) * LDBL_EPSILON;
    long double bound = (e.sum > 0 ? e.sum : 0) + rounding;
    *out = (double)(bound * held);
    return true;
}
