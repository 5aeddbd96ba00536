// case.c - replies, and the belief that follows from them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/case.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define SETTLED_RATIO 5.0  // a likelihood ratio that makes asking needless: estimate, no source

bool bw_case_begin(const struct bw_network *network, struct bw_arena *arena, struct bw_case *out,
                   struct bw_err *err) {
    struct bw_reply *replies = bw_arena_array(arena, BW_MAX_REPLIES, sizeof *replies);
    if (replies == NULL) return bw_fail_memory(err);
    *out = (struct bw_case){.network = network, .replies = replies};
    return true;
}

// Where one stands is a function of the replies, so that undo needs nothing else. A symptom, a
// question and a finding move nobody.
static void move(const struct bw_network *network, const struct bw_reply *reply,
                 struct bw_stand *stand) {
    const struct bw_knowledge *k = network->knowledge;
    if (reply->kind != BW_REPLY_GRADED || reply->from != NULL) return;
    if (reply->row >= k->checks) {
        const struct bw_known_remedy *remedy = &k->remedy[(reply->row - k->checks) % k->remedies];
        if (remedy->who == BW_TECHNICIAN || remedy->who == BW_SPECIALIST) stand->on_site = true;
        stand->locked = false;
        return;
    }
    const struct bw_known_check *check = &k->check[reply->row];
    if (check->place == BW_AT_MACHINE) stand->on_site = true;
    if (check->lock == BW_YES) stand->locked = true;
    if (check->belts == BW_RUNNING || bw_known(check->fit)) stand->locked = false;
}

static void find_stand(struct bw_case *c) {
    c->stand = c->start;
    for (size_t i = 0; i < c->n; i++) move(c->network, &c->replies[i], &c->stand);
}

bool bw_case_reply(struct bw_case *c, struct bw_reply reply, struct bw_err *err) {
    assert(reply.row < c->network->net.checks);
    if (c->n == BW_MAX_REPLIES)
        return bw_fail(err, BW_LIMIT, "at most %d answers are taken for one case", BW_MAX_REPLIES);
    c->replies[c->n++] = reply;
    move(c->network, &reply, &c->stand);
    return true;
}

bool bw_case_tried(struct bw_case *c, size_t remedy, bool less, struct bw_err *err) {
    struct bw_reply still = bw_reply_graded(bw_remedy_row(c->network, remedy), 1);
    struct bw_reply helped = bw_reply_graded(bw_helped_row(c->network, remedy), less ? 1 : 0);
    return bw_case_reply(c, still, err) && bw_case_reply(c, helped, err);
}

bool bw_case_intake_done(struct bw_case *c, struct bw_err *err) {
    const struct bw_knowledge *k = c->network->knowledge;
    for (size_t f = 0; f < k->checks; f++) {
        if (k->check[f].kind != BW_SYMPTOM || !c->network->check_open[f]) continue;
        if (bw_case_reply_to(c, f) != NULL) continue;
        struct bw_reply unsaid = {.row = f, .kind = BW_REPLY_UNSAID, .reading = BW_NAN};
        if (!bw_case_reply(c, unsaid, err)) return false;
    }
    return true;
}

void bw_case_rewind(struct bw_case *c, size_t n) {
    assert(n <= c->n);
    c->n = n;
    find_stand(c);
}

bool bw_case_undo(struct bw_case *c) {
    if (c->n == 0) return false;
    const struct bw_reply *last = &c->replies[--c->n];
    bool remedy = last->row >= c->network->knowledge->checks;
    while (c->n > 0 && last->kind == BW_REPLY_UNSAID && last[-1].kind == BW_REPLY_UNSAID)
        last = &c->replies[--c->n];
    if (remedy && c->n > 0) c->n--;  // its two rows go together
    find_stand(c);
    return true;
}

struct bw_reply bw_reply_reading(const struct bw_knowledge *knowledge, size_t check, double value,
                                 double sd) {
    const struct bw_limit *limit = &knowledge->limit[check];
    assert(limit->given);
    double spread = sqrt(limit->blur * limit->blur + (isnan(sd) ? 0 : sd * sd));
    double over = limit->yes_above ? value - limit->at : limit->at - value;
    double yes = spread > 0 ? 0.5 * erfc(-over / spread / sqrt(2.0)) : over > 0 ? 1 : 0;
    return (struct bw_reply){.row = check, .yes = yes, .reading = value};
}

const struct bw_reply *bw_case_reply_to(const struct bw_case *c, size_t row) {
    for (size_t i = c->n; i > 0; i--)
        if (c->replies[i - 1].row == row) return &c->replies[i - 1];
    return NULL;
}

bool bw_case_has(const struct bw_case *c, size_t symptom) {
    const struct bw_reply *reply = bw_case_reply_to(c, symptom);
    if (reply == NULL || reply->kind == BW_REPLY_UNKNOWN || reply->kind == BW_REPLY_UNSAID)
        return false;
    return reply->kind == BW_REPLY_RATIO ? reply->ratio > 1 : reply->yes > 0.5;
}

bool bw_case_open(const struct bw_case *c, size_t check) {
    const struct bw_knowledge *k = c->network->knowledge;
    const struct bw_reply *reply = bw_case_reply_to(c, check);
    if (!c->network->check_open[check]) return false;
    if (reply != NULL && (reply->kind == BW_REPLY_GRADED || reply->kind == BW_REPLY_UNKNOWN))
        return false;
    // A finding that leans far enough was the check; asking again would count one thing twice.
    if (reply != NULL && reply->kind == BW_REPLY_RATIO &&
        (reply->ratio >= SETTLED_RATIO || reply->ratio <= 1 / SETTLED_RATIO))
        return false;
    if (k->always[check]) return true;
    for (size_t s = 0; s < k->checks; s++)
        if (k->when[check * k->checks + s] && bw_case_has(c, s)) return true;
    return false;
}

static bool superseded(const struct bw_case *c, size_t i) {
    if (c->replies[i].kind == BW_REPLY_RATIO) return false;
    for (size_t j = i + 1; j < c->n; j++)
        if (c->replies[j].row == c->replies[i].row && c->replies[j].kind != BW_REPLY_RATIO)
            return true;
    return false;
}

size_t bw_case_answers(const struct bw_case *c, size_t skip, struct bw_answer *out) {
    size_t n = 0;
    for (size_t i = 0; i < c->n; i++) {
        const struct bw_reply *reply = &c->replies[i];
        if (reply->row == skip || reply->kind == BW_REPLY_UNKNOWN || superseded(c, i)) continue;
        struct bw_answer answer = {.check = reply->row};
        if (reply->kind == BW_REPLY_RATIO) {
            double most = fmax(reply->ratio, 1.0);
            answer.if_yes = reply->ratio / most;
            answer.if_no = 1.0 / most;
        } else if (reply->kind == BW_REPLY_UNSAID) {
            answer.if_yes = c->network->knowledge->assume.unsaid.v;
            answer.if_no = 1.0;
        } else {
            double wrong = c->network->wrong[reply->row];
            answer.if_yes = wrong + (1 - 2 * wrong) * reply->yes;
            answer.if_no = wrong + (1 - 2 * wrong) * (1 - reply->yes);
        }
        out[n++] = answer;
    }
    return n;
}

// ---- heads ----

// How well a reply that names a head fits cause `i` on head `h`; on average 1 over its heads.
// Only causes that make such a reply likely are touched.
static double head_fit(const struct bw_case *c, const struct bw_reply *reply, size_t i, size_t h) {
    const struct bw_net *net = &c->network->net;
    if (reply->head == 0 || reply->kind == BW_REPLY_UNKNOWN) return 1;
    if (reply->kind == BW_REPLY_GRADED && reply->yes <= 0.5) return 1;
    if (net->miss[reply->row * net->causes + i] > 0.7) return 1;
    double heads = (double)c->network->features.heads;
    if (heads < 2) return 1;
    return h + 1 == reply->head ? reply->head_sure * heads
                                : (1 - reply->head_sure) * heads / (heads - 1);
}

// Fills `head` and makes a copy of the odds in which a cause that cannot sit on the named head
// counts less.
static bool weigh_heads(const struct bw_case *c, size_t skip, struct bw_arena *arena,
                        struct bw_thought *thought, double *odds) {
    const struct bw_network *network = c->network;
    size_t n = network->net.causes, heads = network->features.heads;
    thought->heads = heads;
    memcpy(odds, network->net.odds, n * sizeof *odds);
    if (heads == 0) return true;
    double *head = bw_arena_array(arena, n * heads, sizeof *head);
    if (head == NULL) return false;
    for (size_t i = 0; i < n; i++) {
        double sum = 0, can = 0;
        for (size_t h = 0; h < heads; h++) {
            if ((network->heads[i] >> h & 1) == 0) continue;
            double fit = 1;
            for (size_t r = 0; r < c->n; r++)
                if (c->replies[r].row != skip && !superseded(c, r))
                    fit *= head_fit(c, &c->replies[r], i, h);
            head[i * heads + h] = fit;
            sum += fit;
            can += 1;
        }
        if (can > 0) odds[i] *= sum / can;
        for (size_t h = 0; h < heads && sum > 0; h++) head[i * heads + h] /= sum;
    }
    thought->head = head;
    return true;
}

bool bw_case_think(const struct bw_case *c, size_t skip, size_t sets_wanted, struct bw_arena *arena,
                   struct bw_thought *out, struct bw_err *err) {
    struct bw_net net = c->network->net;
    struct bw_thought thought = {.heads = 0};
    struct bw_answer *answers = bw_arena_array(arena, c->n, sizeof *answers);
    double *odds = bw_arena_array(arena, net.causes, sizeof *odds);
    if (answers == NULL || odds == NULL) return bw_fail_memory(err);
    size_t n = bw_case_answers(c, skip, answers);
    if (!weigh_heads(c, skip, arena, &thought, odds)) return bw_fail_memory(err);
    net.odds = odds;
    const struct bw_evidence evidence = {&net, answers, n};
    if (!bw_belief_find(&evidence, sets_wanted, arena, &thought.belief, err)) return false;
    *out = thought;
    return true;
}
