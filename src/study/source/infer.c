// infer.c - see infer.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: a search over joint assignments (which source left which mark) that keeps the best few
// hundred after each observation, under each scenario of discrete speed errors. All observations
// of one assignment are judged together, so that what they share (feed, belt speed, drum, scale)
// is fitted and not counted against each: the density is a multivariate Student t over their
// joint covariance, whose tails forgive a careless reading. Two marks at different feeds mostly
// have one source (the same mark, followed); two marks on one panel mostly have two. Rejected:
// nearest pitch (no odds, no shared errors), one mark at a time (a chalked splice could then not
// calibrate anything), sampling (not the same bytes twice without care).
#include "study/source/infer.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BEAM 240  // states kept after each observation and scenario
#define FAR 16.0  // nats behind the best at which a state is dropped
#define DEGREES                                                                                    \
    5.0  // of the t: readings and plates are worse than their sd more often than normal errors
#define FOLLOW_OTHER 0.8  // share of marks at another feed that are the same mark followed
#define FOLLOW_SAME 0.05  // of marks on the same panel

struct candidate {
    int state, choice;
    double score, log_prior;
};

struct search {
    const struct evidence *e;
    const struct bw_gauss *gauss;
    struct state *states, *next;
    double *priors;  // log prior of each state's assignment
    double *next_priors;
    struct candidate *candidates;
    int n;
};

// Rows of the chain of a state: for every item its pitch, then its slant where one was read.
static int rows(const struct evidence *e, const struct state *state, int items,
                const struct bw_form *out[BW_MAX_CHAIN]) {
    int n = 0;
    for (int i = 0; i < items; i++) {
        out[n++] = &e->items[i].hypotheses[state->choice[i]].form;
        if (e->items[i].has_slant) out[n++] = &e->items[i].crook;
    }
    return n;
}

// Adds an observation `form` = mean + `residual`, with `noise` of its own, to a chain whose rows
// so far are `earlier`.
struct row {
    const struct bw_form *form;
    double residual, noise;
};
static void add_row(const struct bw_gauss *gauss, struct bw_chain *chain,
                    const struct bw_form *const *earlier, const struct row *row) {
    double covariance[BW_MAX_CHAIN];
    for (int i = 0; i < chain->n; i++)
        covariance[i] = bw_gauss_covariance(gauss, earlier[i], row->form);
    bw_chain_add(chain, row->residual, covariance,
                 bw_gauss_covariance(gauss, row->form, row->form) + row->noise);
}

// The chain of `from` with item `i` explained by its hypothesis `choice`.
static void extend(const struct search *s, const struct state *from, int i, int choice,
                   struct bw_chain *out) {
    const struct bw_form *earlier[BW_MAX_CHAIN];
    int n = rows(s->e, from, i, earlier);
    const struct item *item = &s->e->items[i];
    const struct hypothesis *h = &item->hypotheses[choice];
    struct row pitch = {&h->form, item->value - bw_gauss_mean(s->gauss, &h->form),
                        item->sd * item->sd};
    *out = from->chain;
    add_row(s->gauss, out, earlier, &pitch);
    if (!item->has_slant) return;
    earlier[n] = &h->form;
    struct row slant = {&item->crook, item->slant - h->slant,
                        item->slant_reading_sd * item->slant_reading_sd +
                            h->slant_sd * h->slant_sd};
    add_row(s->gauss, out, earlier, &slant);
}

// Prior of a hypothesis for item i given what the earlier marks were taken for.
static double log_prior(const struct evidence *e, const struct state *state, int i,
                        const struct hypothesis *h, double total) {
    const struct item *item = &e->items[i];
    double own = total > 0 ? h->weight / total : 0;
    if (item->given) return log(own);
    if (item->follows >= 0) {
        const struct item *other = &e->items[item->follows];
        return same_hypothesis(h, &other->hypotheses[state->choice[item->follows]]) ? 0 : -HUGE_VAL;
    }
    double most = 0, sum = 0, match = 0;
    for (int j = 0; j < i; j++) {
        const struct item *other = &e->items[j];
        if (other->mark < 0 || other->given) continue;
        double follow = other->setting == item->setting ? FOLLOW_SAME : FOLLOW_OTHER;
        most = fmax(most, follow);
        sum += follow;
        if (same_hypothesis(h, &other->hypotheses[state->choice[j]])) match += follow;
    }
    return log(sum > 0 ? (1 - most) * own + most * match / sum : own);
}

static int by_score(const void *x, const void *y) {
    const struct candidate *a = x, *b = y;
    if (a->score != b->score) return a->score < b->score ? 1 : -1;
    if (a->state != b->state) return a->state < b->state ? -1 : 1;
    return (a->choice > b->choice) - (a->choice < b->choice);
}

// One observation: every state with every hypothesis, the best BEAM kept.
static void step(struct search *s, int i) {
    const struct item *item = &s->e->items[i];
    double total = 0;
    for (int k = 0; k < item->n; k++) total += item->hypotheses[k].weight;
    int found = 0;
    double best = -HUGE_VAL;
    for (int j = 0; j < s->n; j++) {
        for (int k = 0; k < item->n; k++) {
            double prior = log_prior(s->e, &s->states[j], i, &item->hypotheses[k], total);
            if (isinf(prior)) continue;
            struct bw_chain chain;
            extend(s, &s->states[j], i, k, &chain);
            prior += s->priors[j];
            double score = prior + bw_chain_log_density(&chain, DEGREES);
            if (score < best - FAR) continue;
            best = fmax(best, score);
            s->candidates[found++] = (struct candidate){j, k, score, prior};
        }
    }
    qsort(s->candidates, (size_t)found, sizeof *s->candidates, by_score);
    int keep = 0;
    for (; keep < found && keep < BEAM && s->candidates[keep].score >= best - FAR; keep++) {
        const struct candidate *c = &s->candidates[keep];
        struct state *to = &s->next[keep];
        *to = s->states[c->state];
        extend(s, &s->states[c->state], i, c->choice, &to->chain);
        to->choice[i] = c->choice;
        to->log_weight = c->score;
        s->next_priors[keep] = c->log_prior;
    }
    s->n = keep;
    struct state *states = s->states;
    s->states = s->next;
    s->next = states;
    double *priors = s->priors;
    s->priors = s->next_priors;
    s->next_priors = priors;
}

static struct bw_gauss *under(const struct evidence *e, const struct scenario *scenario) {
    struct bw_gauss *gauss = bw_gauss_copy(e->arena, e->model->belief);
    if (gauss == NULL) return NULL;
    for (int i = 0; i < scenario->n; i++) {
        int v = scenario->shifts[i].variable;
        gauss->mean[v] += scenario->shifts[i].shift;
        gauss->covariance[(size_t)v * (size_t)gauss->capacity + (size_t)v] +=
            scenario->shifts[i].extra_sd * scenario->shifts[i].extra_sd;
    }
    return gauss;
}

static int by_weight(const void *x, const void *y) {
    const struct state *a = x, *b = y;
    if (a->log_weight != b->log_weight) return a->log_weight < b->log_weight ? 1 : -1;
    if (a->scenario != b->scenario) return a->scenario < b->scenario ? -1 : 1;
    return memcmp(a->choice, b->choice, sizeof a->choice);
}

static void normalise(struct belief *belief) {
    qsort(belief->states, (size_t)belief->n, sizeof *belief->states, by_weight);
    double best = belief->n > 0 ? belief->states[0].log_weight : 0, sum = 0;
    int keep = 0;
    for (; keep < belief->n && belief->states[keep].log_weight > best - FAR; keep++)
        sum += exp(belief->states[keep].log_weight - best);
    belief->n = keep;
    for (int i = 0; i < keep; i++)
        belief->states[i].weight = exp(belief->states[i].log_weight - best) / sum;
}

bool infer(struct bw_run *run, const struct evidence *e, struct belief *out, struct bw_err *err) {
    size_t most = 1;
    for (int i = 0; i < e->n_items; i++)
        if ((size_t)e->items[i].n > most) most = (size_t)e->items[i].n;
    struct belief belief = {.evidence = e};
    belief.states = bw_arena_array(e->arena, BEAM * (size_t)e->n_scenarios, sizeof *belief.states);
    struct state *a = bw_arena_array(e->arena, BEAM, sizeof *a);
    struct state *b = bw_arena_array(e->arena, BEAM, sizeof *b);
    double *priors = bw_arena_array(e->arena, 2 * BEAM, sizeof *priors);
    struct candidate *candidates = bw_arena_array(e->arena, BEAM * most, sizeof *candidates);
    if (belief.states == NULL || a == NULL || b == NULL || priors == NULL || candidates == NULL)
        return bw_fail_memory(err);
    for (int i = 0; i < e->n_scenarios; i++) {
        if (run->cancel != NULL && atomic_load(run->cancel))
            return bw_fail(err, BW_CANCELLED, "stopped on request");
        belief.gauss[i] = under(e, &e->scenarios[i]);
        if (belief.gauss[i] == NULL) return bw_fail_memory(err);
        struct search search = {e, belief.gauss[i], a, b, priors, priors + BEAM, candidates, 1};
        memset(&search.states[0], 0, sizeof search.states[0]);
        search.states[0].scenario = i;
        search.priors[0] = log(e->scenarios[i].weight);
        for (int j = 0; j < e->n_items; j++) step(&search, j);
        memcpy(belief.states + belief.n, search.states, (size_t)search.n * sizeof *a);
        belief.n += search.n;
    }
    normalise(&belief);
    if (belief.n == 0) return bw_fail(err, BW_FAILED, "no source explains these readings together");
    *out = belief;
    return true;
}

void state_predict_joint(const struct belief *belief, const struct state *state,
                         const struct bw_form *forms, int n, struct joint *out) {
    const struct evidence *e = belief->evidence;
    const struct bw_gauss *gauss = belief->gauss[state->scenario];
    const struct bw_form *row[BW_MAX_CHAIN];
    int m = rows(e, state, e->n_items, row);
    double white[MOST_FORMS][BW_MAX_CHAIN];
    for (int f = 0; f < n; f++) {
        out->mean[f] = bw_gauss_mean(gauss, &forms[f]);
        for (int i = 0; i < m; i++) {
            const double *factor = state->chain.factor + i * (i + 1) / 2;
            double sum = bw_gauss_covariance(gauss, row[i], &forms[f]);
            for (int k = 0; k < i; k++) sum -= factor[k] * white[f][k];
            white[f][i] = sum / factor[i];
            out->mean[f] += white[f][i] * state->chain.white[i];
        }
        for (int g = 0; g <= f; g++) {
            double left = bw_gauss_covariance(gauss, &forms[f], &forms[g]);
            for (int i = 0; i < m; i++) left -= white[f][i] * white[g][i];
            if (f == g && left < 0) left = 0;
            out->covariance[f][g] = out->covariance[g][f] = left;
        }
    }
}

void state_predict(const struct belief *belief, const struct state *state,
                   const struct bw_form *form, double *mean, double *variance) {
    struct joint joint;
    state_predict_joint(belief, state, form, 1, &joint);
    *mean = joint.mean[0];
    *variance = joint.covariance[0][0];
}
