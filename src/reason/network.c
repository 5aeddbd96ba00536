// network.c - rows of a network from knowledge, machine and doubt.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/network.h"

#include <assert.h>
#include <math.h>

#define MISJUDGED                                                                                  \
    0.05  // how often "still there" or "gone" after a repair is wrong: estimate, no source

// Trapezoid over the normal density; for analytic integrands it converges faster than any power
// of the step.
double bw_mean_chance(double chance, double doubt) {
    if (chance <= 0 || chance >= 1 || doubt <= 0) return chance;
    double logit = log(chance / (1 - chance)), sum = 0, weight = 0;
    for (int i = -48; i <= 48; i++) {
        double z = i / 6.0, w = exp(-z * z / 2);
        sum += w / (1 + exp(-logit - doubt * z));
        weight += w;
    }
    return sum / weight;
}

struct maker {
    const struct bw_knowledge *k;
    struct bw_network *n;
    double *odds, *quiet, *miss, *wrong;
    size_t *cause, *index;
    unsigned *heads;
    bool *check_open, *remedy_open;
};

static unsigned head_bits(unsigned needs) {
    unsigned bits = 0;
    for (int f = 0; f < BW_FEATURE_COUNT; f++)
        if ((needs >> f & 1) != 0 && bw_feature_of_head(f)) bits |= 1u << f;
    return bits;
}

// Which causes this machine can have, and on which heads.
static size_t choose_causes(struct maker *m) {
    const struct bw_features *features = &m->n->features;
    size_t n = 0;
    for (size_t c = 0; c < m->k->causes; c++) {
        unsigned needs = m->k->cause_needs[c];
        unsigned heads = bw_features_heads(features, needs);
        m->index[c] = heads == 0 ? BW_NO_INDEX : n;
        if (heads == 0) continue;
        m->cause[n] = c;
        bool bound = m->k->cause[c].per_head == BW_YES && features->heads > 0;
        m->heads[n] = bound ? bw_features_heads(features, head_bits(needs)) : 0;
        n++;
    }
    m->cause[n] = BW_NO_INDEX;
    m->heads[n] = 0;
    return n + 1;
}

// Weights to odds: two causes at once are as frequent as `together` says, and what is on no list
// has its share.
static void set_odds(struct maker *m, size_t n) {
    double sum = 0, together = 2 * m->k->assume.together.v, unlisted = m->k->assume.unlisted.v;
    for (size_t i = 0; i + 1 < n; i++) sum += m->k->cause[m->cause[i]].weight.v;
    for (size_t i = 0; i + 1 < n; i++)
        m->odds[i] = together * (1 - unlisted) * m->k->cause[m->cause[i]].weight.v / sum;
    m->odds[n - 1] = together * unlisted;
}

// "Something else" answers as the listed causes do on average.
static double average(const struct maker *m, const double *chance, size_t n) {
    double sum = 0, weight = 0;
    for (size_t i = 0; i + 1 < n; i++) {
        sum += m->odds[i] * chance[m->cause[i]];
        weight += m->odds[i];
    }
    return weight > 0 ? sum / weight : 0;
}

static double usually_wrong(const struct bw_knowledge *k, const struct bw_known_check *check) {
    const struct bw_quantity wrong[BW_CHECK_KINDS] = {k->assume.wrong_symptom, k->assume.wrong_ask,
                                                      k->assume.wrong_look, k->assume.wrong_measure,
                                                      k->assume.wrong_swap};
    return bw_known(check->wrong) ? check->wrong.v : wrong[check->kind].v;
}

static void set_check_rows(struct maker *m, size_t n) {
    double doubt = m->k->assume.doubt.v;
    for (size_t f = 0; f < m->k->checks; f++) {
        const double *link = m->k->link + f * m->k->causes;
        double *miss = m->miss + f * n;
        m->quiet[f] = 1 - bw_mean_chance(m->k->check[f].leak.v, doubt);
        for (size_t i = 0; i + 1 < n; i++) miss[i] = 1 - bw_mean_chance(link[m->cause[i]], doubt);
        miss[n - 1] = 1 - bw_mean_chance(average(m, link, n), doubt);
        m->wrong[f] = usually_wrong(m->k, &m->k->check[f]);
        m->check_open[f] = bw_features_heads(&m->n->features, m->k->check_needs[f]) != 0;
    }
}

// After a remedy the fault is gone only if every cause at work is cured; it is less if one of
// them is. Chances of cure are taken as they stand: whoever repairs can see whether it took.
static void set_remedy_rows(struct maker *m, size_t n) {
    for (size_t r = 0; r < m->k->remedies; r++) {
        const double *cure = m->k->cure + r * m->k->causes;
        size_t still = bw_remedy_row(m->n, r), helped = bw_helped_row(m->n, r);
        m->quiet[still] = 1;
        m->quiet[helped] = 1 - MISJUDGED;
        for (size_t i = 0; i < n; i++) {
            double chance = m->cause[i] == BW_NO_INDEX ? 0 : cure[m->cause[i]];
            m->miss[still * n + i] = chance > 0 ? chance : 0.01;
            m->miss[helped * n + i] = 1 - chance;
        }
        m->wrong[still] = m->wrong[helped] = MISJUDGED;
        m->remedy_open[r] = bw_features_heads(&m->n->features, m->k->remedy_needs[r]) != 0;
    }
}

bool bw_network_make(const struct bw_knowledge *knowledge, const struct bw_features *features,
                     struct bw_arena *arena, struct bw_network *out, struct bw_err *err) {
    struct bw_network made = {.knowledge = knowledge, .features = *features};
    size_t most = knowledge->causes + 1, rows = knowledge->checks + 2 * knowledge->remedies;
    struct maker m = {.k = knowledge,
                      .n = &made,
                      .odds = bw_arena_array(arena, most, sizeof(double)),
                      .quiet = bw_arena_array(arena, rows, sizeof(double)),
                      .miss = bw_arena_array(arena, rows * most, sizeof(double)),
                      .wrong = bw_arena_array(arena, rows, sizeof(double)),
                      .cause = bw_arena_array(arena, most, sizeof(size_t)),
                      .index = bw_arena_array(arena, most, sizeof(size_t)),
                      .heads = bw_arena_array(arena, most, sizeof(unsigned)),
                      .check_open = bw_arena_array(arena, knowledge->checks, sizeof(bool)),
                      .remedy_open = bw_arena_array(arena, knowledge->remedies, sizeof(bool))};
    if (m.odds == NULL || m.quiet == NULL || m.miss == NULL || m.wrong == NULL || m.cause == NULL ||
        m.index == NULL || m.heads == NULL || m.check_open == NULL || m.remedy_open == NULL)
        return bw_fail_memory(err);
    size_t n = choose_causes(&m);
    if (n == 1) return bw_fail(err, BW_INPUT, "no cause of the knowledge files fits this machine");
    set_odds(&m, n);
    set_check_rows(&m, n);
    set_remedy_rows(&m, n);
    made.net = (struct bw_net){.causes = n,
                               .checks = rows,
                               .odds = m.odds,
                               .nothing = 0,
                               .quiet = m.quiet,
                               .miss = m.miss};
    made.cause = m.cause;
    made.index = m.index;
    made.heads = m.heads;
    made.check_open = m.check_open;
    made.remedy_open = m.remedy_open;
    made.wrong = m.wrong;
    *out = made;
    return true;
}
