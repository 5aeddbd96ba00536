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
    const struct bw_learned *learned;
    struct bw_network *n;
    double *odds, *quiet, *miss, *wrong, *cures;
    double *link;  // [causes]: one row at a time
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

static double count(const double *counts, size_t i) { return counts == NULL ? 0 : counts[i]; }

// Weights to odds: two causes at once are as frequent as `together` says, and what is on no list
// has its share.
static void set_odds(struct maker *m, size_t n) {
    double sum = 0, together = 2 * m->k->assume.together.v, unlisted = m->k->assume.unlisted.v;
    double strength = m->k->assume.strength_weight.v, cases = strength + m->learned->unlisted;
    for (size_t i = 0; i + 1 < n; i++) {
        sum += m->k->cause[m->cause[i]].weight.v;
        cases += count(m->learned->cause, m->cause[i]);
    }
    for (size_t i = 0; i + 1 < n; i++) {
        double shipped = (1 - unlisted) * m->k->cause[m->cause[i]].weight.v / sum;
        double seen = count(m->learned->cause, m->cause[i]);
        m->odds[i] = together * (strength * shipped + seen) / cases;
    }
    m->odds[n - 1] = together * (strength * unlisted + m->learned->unlisted) / cases;
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

// The link behind `yes` and `no` answers heard while the cause alone was at work, on top of the
// pseudo-cases behind `link`; leak and wrong answers are in what was heard and are taken out again.
static double learned_link(const struct maker *m, size_t f, double link, double yes, double no) {
    double leak = m->k->check[f].leak.v, wrong = m->wrong[f],
           strength = m->k->assume.strength_link.v;
    double heard = wrong + (1 - 2 * wrong) * (1 - (1 - leak) * (1 - link));
    heard = (strength * heard + yes) / (strength + yes + no);
    double truly = (heard - wrong) / (1 - 2 * wrong);
    double learned = 1 - (1 - truly) / (1 - leak);
    return learned < 0 ? 0 : learned > 0.999 ? 0.999 : learned;
}

// One check's links as they are believed: learned, and averaged over the doubt that is left.
static void set_links(struct maker *m, size_t f, size_t n) {
    const double *shipped = m->k->link + f * m->k->causes;
    double doubt = m->k->assume.doubt.v, strength = m->k->assume.strength_link.v;
    for (size_t i = 0; i + 1 < n; i++) {
        size_t c = m->cause[i], at = f * m->k->causes + c;
        double yes = count(m->learned->yes, at), no = count(m->learned->no, at);
        double link = yes + no > 0 ? learned_link(m, f, shipped[c], yes, no) : shipped[c];
        m->link[c] = bw_mean_chance(link, doubt * sqrt(strength / (strength + yes + no)));
    }
}

static void set_check_rows(struct maker *m, size_t n) {
    for (size_t f = 0; f < m->k->checks; f++) {
        double *miss = m->miss + f * n;
        m->wrong[f] = usually_wrong(m->k, &m->k->check[f]);
        set_links(m, f, n);
        m->quiet[f] = 1 - bw_mean_chance(m->k->check[f].leak.v, m->k->assume.doubt.v);
        for (size_t i = 0; i + 1 < n; i++) miss[i] = 1 - m->link[m->cause[i]];
        miss[n - 1] = 1 - average(m, m->link, n);
        m->check_open[f] = bw_features_heads(&m->n->features, m->k->check_needs[f]) != 0;
    }
}

static void set_cures(struct maker *m) {
    double strength = m->k->assume.strength_link.v;
    for (size_t i = 0; i < m->k->remedies * m->k->causes; i++) {
        double cured = count(m->learned->cured, i), uncured = count(m->learned->uncured, i);
        m->cures[i] = (strength * m->k->cure[i] + cured) / (strength + cured + uncured);
    }
}

// After a remedy the fault is gone only if every cause at work is cured; it is less if one of
// them is. Chances of cure are taken as they stand: whoever repairs can see whether it took.
static void set_remedy_rows(struct maker *m, size_t n) {
    for (size_t r = 0; r < m->k->remedies; r++) {
        const double *cure = m->cures + r * m->k->causes;
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

static const struct bw_learned NOTHING_LEARNED = {.unlisted = 0};

bool bw_network_make(const struct bw_network_from *from, struct bw_arena *arena,
                     struct bw_network *out, struct bw_err *err) {
    const struct bw_knowledge *knowledge = from->knowledge;
    struct bw_network made = {.knowledge = knowledge, .features = *from->features};
    size_t most = knowledge->causes + 1, rows = knowledge->checks + 2 * knowledge->remedies;
    struct maker m = {
        .k = knowledge,
        .learned = from->learned == NULL ? &NOTHING_LEARNED : from->learned,
        .n = &made,
        .odds = bw_arena_array(arena, most, sizeof(double)),
        .quiet = bw_arena_array(arena, rows, sizeof(double)),
        .miss = bw_arena_array(arena, rows * most, sizeof(double)),
        .wrong = bw_arena_array(arena, rows, sizeof(double)),
        .cures = bw_arena_array(arena, knowledge->remedies * knowledge->causes, sizeof(double)),
        .link = bw_arena_array(arena, most, sizeof(double)),
        .cause = bw_arena_array(arena, most, sizeof(size_t)),
        .index = bw_arena_array(arena, most, sizeof(size_t)),
        .heads = bw_arena_array(arena, most, sizeof(unsigned)),
        .check_open = bw_arena_array(arena, knowledge->checks, sizeof(bool)),
        .remedy_open = bw_arena_array(arena, knowledge->remedies, sizeof(bool))};
    if (bw_arena_failed(arena)) return bw_fail_memory(err);
    size_t n = choose_causes(&m);
    if (n == 1) return bw_fail(err, BW_INPUT, "no cause of the knowledge files fits this machine");
    set_odds(&m, n);
    set_check_rows(&m, n);
    set_cures(&m);
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
    made.cures = m.cures;
    *out = made;
    return true;
}
