// belief.c - enumeration of all cause sets of up to three, with running products.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method. An answer's likelihood given the set S is a + b * product of (1 - link) over S, with a
// = if_yes and b = (if_no - if_yes)(1 - leak): one multiply-add per answer and set once the
// product over the first two causes is at hand. A hundred causes make 166,751 sets.
//
// Why not the inclusion-exclusion sum over all sets ("quickscore"): it is exact for any number of
// causes at once, but alternates in sign, and what one wants next (which sets, which pairs) it
// does not give. Here every term is positive, so nothing cancels. The expansion serves only for
// the tail (tail.c).
//
// Scale. Each answer is divided by its own probability before any answer is in, so that products
// of dozens of answers stay near 1 where the answers agree; the sum of all weights is then
// exp(-conflict).
#include "reason/belief.h"

#include <assert.h>
#include <math.h>
#include <string.h>

// One answer made ready: likelihood(S) = a + b * product of miss over S.
struct factor {
    double a, b;
    const double *miss;
};

// The k most probable sets as a heap, least probable at the root.
struct keep {
    struct bw_set *set;
    size_t n, room;
};

struct work {
    const struct bw_net *net;
    const struct factor *factor;
    size_t n_factors;
    double *row;    // [causes]: weights of {i, j, k} for all k
    double *cause;  // [causes]
    double *share;  // [causes]
    double total, nothing;
    struct keep keep;
};

double bw_net_yes(const struct bw_net *net, size_t check, const unsigned short *set, size_t n) {
    double no = net->quiet[check];
    for (size_t i = 0; i < n; i++) no *= net->miss[check * net->causes + set[i]];
    return 1.0 - no;
}

// Probability of "no" before any answer, over sets of any size.
static double prior_no(const struct bw_net *net, size_t check) {
    const double *miss = net->miss + check * net->causes;
    double all = 1.0, silent = 1.0;
    for (size_t c = 0; c < net->causes; c++) {
        all *= 1.0 + net->odds[c];
        silent *= 1.0 + net->odds[c] * miss[c];
    }
    double mass = net->nothing + all - 1.0;
    return mass > 0 ? net->quiet[check] * (net->nothing + silent - 1.0) / mass : net->quiet[check];
}

static bool less_probable(const struct bw_set *x, const struct bw_set *y) {
    if (x->probability < y->probability || x->probability > y->probability)
        return x->probability < y->probability;
    if (x->n != y->n) return x->n > y->n;
    return memcmp(x->cause, y->cause, sizeof x->cause) > 0;
}

static void swap(struct bw_set *x, struct bw_set *y) {
    struct bw_set t = *x;
    *x = *y;
    *y = t;
}

static void sift_down(struct keep *keep, size_t i) {
    for (;;) {
        size_t least = i, left = 2 * i + 1;
        for (size_t child = left; child < left + 2 && child < keep->n; child++)
            if (less_probable(&keep->set[child], &keep->set[least])) least = child;
        if (least == i) return;
        swap(&keep->set[i], &keep->set[least]);
        i = least;
    }
}

static void keep_set(struct keep *keep, const struct bw_set *set) {
    if (keep->n < keep->room) {
        size_t i = keep->n++;
        keep->set[i] = *set;
        for (; i > 0 && less_probable(&keep->set[i], &keep->set[(i - 1) / 2]); i = (i - 1) / 2)
            swap(&keep->set[i], &keep->set[(i - 1) / 2]);
    } else if (keep->room > 0 && less_probable(&keep->set[0], set)) {
        keep->set[0] = *set;
        sift_down(keep, 0);
    }
}

// Takes the sets out of the heap, most probable first.
static void keep_sort(struct keep *keep) {
    size_t n = keep->n;
    for (; keep->n > 1; keep->n--, sift_down(keep, 0)) swap(&keep->set[0], &keep->set[keep->n - 1]);
    keep->n = n;
}

static void count_set(struct work *w, const unsigned short *cause, unsigned char n, double weight) {
    w->total += weight;
    for (unsigned char i = 0; i < n; i++) {
        w->cause[cause[i]] += weight;
        w->share[cause[i]] += weight / n;
    }
    struct bw_set set = {.n = n, .probability = weight};
    memcpy(set.cause, cause, n * sizeof *cause);
    keep_set(&w->keep, &set);
}

static void single_sets(struct work *w) {
    double weight = w->net->nothing;
    for (size_t f = 0; f < w->n_factors; f++) weight *= w->factor[f].a + w->factor[f].b;
    w->nothing = weight;
    w->total += weight;
    struct bw_set none = {.n = 0, .probability = weight};
    keep_set(&w->keep, &none);
    for (size_t i = 0; i < w->net->causes; i++) {
        weight = w->net->odds[i];
        for (size_t f = 0; f < w->n_factors; f++)
            weight *= w->factor[f].a + w->factor[f].b * w->factor[f].miss[i];
        unsigned short cause[1] = {(unsigned short)i};
        count_set(w, cause, 1, weight);
    }
}

// row[k] = weight of {i, j, k}, k > j; row[j] = weight of {i, j}: a cause twice counts once.
static void fill_row(struct work *w, size_t i, size_t j) {
    size_t n = w->net->causes;
    const double *odds = w->net->odds;
    double pair = odds[i] * odds[j];
    double *row = w->row;
    for (size_t k = j + 1; k < n; k++) row[k] = pair * odds[k];
    for (size_t f = 0; f < w->n_factors; f++) {
        const double *miss = w->factor[f].miss;
        double a = w->factor[f].a, b = w->factor[f].b * miss[i] * miss[j];
        for (size_t k = j + 1; k < n; k++) row[k] *= a + b * miss[k];
        pair *= a + b;
    }
    row[j] = pair;
}

static void count_row(struct work *w, size_t i, size_t j) {
    const double *row = w->row;
    unsigned short cause[3] = {(unsigned short)i, (unsigned short)j, 0};
    count_set(w, cause, 2, row[j]);
    double sum = 0.0;
    for (size_t k = j + 1; k < w->net->causes; k++) {
        sum += row[k];
        w->cause[k] += row[k];
        w->share[k] += row[k] / 3.0;
        if (w->keep.n == w->keep.room && row[k] < w->keep.set[0].probability) continue;
        struct bw_set set = {{cause[0], cause[1], (unsigned short)k}, 3, row[k]};
        keep_set(&w->keep, &set);
    }
    w->total += sum;
    w->cause[i] += sum;
    w->cause[j] += sum;
    w->share[i] += sum / 3.0;
    w->share[j] += sum / 3.0;
}

// Makes the answers ready; `scale` gets what each was multiplied by.
static void prepare(const struct bw_evidence *evidence, struct factor *factor, double *scale) {
    const struct bw_net *net = evidence->net;
    for (size_t f = 0; f < evidence->n; f++) {
        const struct bw_answer *said = &evidence->answers[f];
        assert(said->check < net->checks);
        double no = prior_no(net, said->check);
        double alone = said->if_yes * (1.0 - no) + said->if_no * no;
        scale[f] = alone > 0 ? 1.0 / alone : 1.0;
        factor[f].a = said->if_yes * scale[f];
        factor[f].b = (said->if_no - said->if_yes) * scale[f] * net->quiet[said->check];
        factor[f].miss = net->miss + said->check * net->causes;
    }
}

static double prior_mass(const struct bw_net *net) {
    double all = 1.0;
    for (size_t c = 0; c < net->causes; c++) all *= 1.0 + net->odds[c];
    return net->nothing + all - 1.0;
}

bool bw_belief_find(const struct bw_evidence *evidence, size_t sets_wanted, struct bw_arena *arena,
                    struct bw_belief *out, struct bw_err *err) {
    const struct bw_net *net = evidence->net;
    size_t n = net->causes, n_answers = evidence->n;
    assert(n <= 65535 && sets_wanted <= 65535);
    struct factor *factor = bw_arena_array(arena, n_answers, sizeof *factor);
    double *scale = bw_arena_array(arena, n_answers, sizeof *scale);
    double *room = bw_arena_array(arena, 3 * n, sizeof *room);
    struct bw_set *set = bw_arena_array(arena, sets_wanted, sizeof *set);
    if (factor == NULL || scale == NULL || room == NULL || set == NULL) return bw_fail_memory(err);
    prepare(evidence, factor, scale);

    struct work w = {.net = net,
                     .factor = factor,
                     .n_factors = n_answers,
                     .row = room,
                     .cause = room + n,
                     .share = room + 2 * n,
                     .keep = {set, 0, sets_wanted}};
    single_sets(&w);
    for (size_t i = 0; i < n; i++) {
        if (net->odds[i] <= 0) continue;
        for (size_t j = i + 1; j < n; j++) {
            if (net->odds[j] <= 0) continue;
            fill_row(&w, i, j);
            count_row(&w, i, j);
        }
    }
    if (!(w.total > 0) || !isfinite(w.total))
        return bw_fail(err, BW_FAILED, "these answers cannot all be true of one machine");
    double tail;
    if (!bw_belief_tail(evidence, scale, arena, &tail, err)) return false;

    keep_sort(&w.keep);
    for (size_t c = 0; c < n; c++) {
        w.cause[c] /= w.total;
        w.share[c] /= w.total;
    }
    for (size_t s = 0; s < w.keep.n; s++) set[s].probability /= w.total;
    double conflict = log(prior_mass(net)) - log(w.total), log_scale = 0.0;
    for (size_t f = 0; f < n_answers; f++) log_scale += log(scale[f]);
    *out = (struct bw_belief){.causes = n,
                              .cause = w.cause,
                              .share = w.share,
                              .nothing = w.nothing / w.total,
                              .conflict = conflict,
                              .log_evidence = -conflict - log_scale,
                              .left_out = tail / (tail + w.total),
                              .sets = set,
                              .n_sets = w.keep.n};
    return true;
}
