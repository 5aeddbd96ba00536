// verdict.c - leave one answer out, turn one answer round, and see what becomes of the causes.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method. Under a noisy-OR answers do not add up, so the weight of one is what its removal takes
// from the log odds of the likeliest cause (weight of evidence by leave-one-out; Good 1950, from
// memory). The answer that fits least is the one whose removal lowers the conflict most.
#include "reason/verdict.h"

#include <math.h>
#include <string.h>

#define SETS 2000
#define SHOWN 0.03    // causes under this are not listed
#define MATTERS 0.25  // |ln factor| under this is no reason
#define ODD 0.7       // ln 2: beside the others the answer is half as likely as alone
#define HEAD_STANDS_OUT 0.6

struct judge {
    const struct bw_case *c;
    struct bw_arena *arena;
    struct bw_thought thought;
    size_t first;  // cause of the network
    struct bw_verdict v;
};

static double log_odds(double p) { return log(fmax(p, 1e-12) / fmax(1 - p, 1e-12)); }

static size_t likeliest(const struct bw_belief *b) {
    size_t best = 0;
    for (size_t i = 1; i < b->causes; i++)
        if (b->cause[i] > b->cause[best]) best = i;
    return best;
}

static size_t head_of(const struct bw_thought *thought, size_t cause) {
    if (thought->head == NULL || thought->heads < 2) return 0;
    for (size_t h = 0; h < thought->heads; h++)
        if (thought->head[cause * thought->heads + h] > HEAD_STANDS_OUT) return h + 1;
    return 0;
}

static void list_causes(struct judge *j) {
    const struct bw_belief *b = &j->thought.belief;
    struct bw_verdict *v = &j->v;
    for (size_t i = 0; i < b->causes; i++) {
        double p = b->cause[i];
        size_t at = v->n_causes;
        if (p < SHOWN) continue;
        while (at > 0 && v->causes[at - 1].probability < p) at--;
        if (at == BW_MAX_VERDICT_CAUSES) continue;
        if (v->n_causes < BW_MAX_VERDICT_CAUSES) v->n_causes++;
        memmove(&v->causes[at + 1], &v->causes[at], (v->n_causes - 1 - at) * sizeof v->causes[0]);
        v->causes[at] =
            (struct bw_verdict_cause){j->c->network->cause[i], p, head_of(&j->thought, i)};
    }
}

static void add_reason(struct bw_verdict_reason *list, size_t *n, struct bw_verdict_reason reason) {
    size_t at = *n;
    while (at > 0 && fabs(list[at - 1].weight) < fabs(reason.weight)) at--;
    if (at == BW_MAX_VERDICT_REASONS) return;
    if (*n < BW_MAX_VERDICT_REASONS) (*n)++;
    memmove(&list[at + 1], &list[at], (*n - 1 - at) * sizeof *list);
    list[at] = reason;
}

static void add_turn(struct judge *j, struct bw_verdict_turn turn) {
    if (j->v.n_turns < BW_MAX_VERDICT_REASONS) j->v.turns[j->v.n_turns++] = turn;
}

// The reply counts, and somebody gave it.
static bool was_said(const struct bw_case *c, size_t i) {
    const struct bw_reply *reply = &c->replies[i];
    if (reply->kind == BW_REPLY_UNKNOWN || reply->kind == BW_REPLY_UNSAID) return false;
    return bw_case_reply_to(c, reply->row) == reply;
}

// Without the answer.
static bool leave_out(struct judge *j, size_t i, double *conflict, struct bw_err *err) {
    struct bw_thought without;
    size_t row = j->c->replies[i].row;
    if (!bw_case_think(j->c, row, 0, j->arena, &without, err)) return false;
    double weight =
        log_odds(j->thought.belief.cause[j->first]) - log_odds(without.belief.cause[j->first]);
    struct bw_verdict_reason reason = {row, i, weight};
    if (weight > MATTERS) add_reason(j->v.speaks_for, &j->v.n_for, reason);
    if (weight < -MATTERS) add_reason(j->v.speaks_against, &j->v.n_against, reason);
    *conflict = without.belief.conflict;
    return true;
}

static bool think_changed(const struct judge *j, struct bw_reply *changed, struct bw_reply to,
                          size_t *first, struct bw_err *err) {
    struct bw_thought other;
    struct bw_reply was = *changed;
    struct bw_case c = *j->c;
    *changed = to;
    bool thought = bw_case_think(&c, BW_NO_INDEX, 0, j->arena, &other, err);
    *changed = was;
    if (thought) *first = likeliest(&other.belief);
    return thought;
}

// Were the answer wrong.
static bool turn_round(struct judge *j, size_t i, struct bw_err *err) {
    struct bw_reply *reply = &j->c->replies[i];
    if (reply->kind != BW_REPLY_GRADED || reply->row >= j->c->network->knowledge->checks)
        return true;
    struct bw_reply to = *reply;
    to.yes = 1 - to.yes;
    size_t first;
    if (!think_changed(j, reply, to, &first, err)) return false;
    if (first != j->first)
        add_turn(j, (struct bw_verdict_turn){.row = reply->row,
                                             .answered = true,
                                             .yes = to.yes > 0.5,
                                             .cause = j->c->network->cause[first]});
    return true;
}

static bool weigh_answers(struct judge *j, struct bw_err *err) {
    double least = j->thought.belief.conflict;
    size_t odd = BW_NO_INDEX;
    for (size_t i = 0; i < j->c->n; i++) {
        double conflict;
        if (!was_said(j->c, i)) continue;
        if (!leave_out(j, i, &conflict, err) || !turn_round(j, i, err)) return false;
        if (conflict >= least) continue;
        least = conflict;
        odd = j->c->replies[i].row;
    }
    j->v.conflict = j->thought.belief.conflict;
    j->v.misfit = j->v.conflict - least;
    j->v.odd = j->v.misfit > ODD ? odd : BW_NO_INDEX;
    return true;
}

// Questions still open whose less likely answer would put another cause first.
static bool look_ahead(struct judge *j, const struct bw_options *options, struct bw_err *err) {
    for (size_t o = 0; options != NULL && o < options->n; o++) {
        const struct bw_next *next = &options->items[o];
        if (next->kind != BW_NEXT_CHECK || j->c->n == BW_MAX_REPLIES) continue;
        for (int yes = 0; yes < 2; yes++) {
            struct bw_case c = *j->c;
            struct bw_thought other;
            c.replies[c.n++] = bw_reply_graded(next->which, yes);  // room beyond the last is ours
            if (!bw_case_think(&c, BW_NO_INDEX, 0, j->arena, &other, err)) return false;
            size_t first = likeliest(&other.belief);
            if (first == j->first) continue;
            add_turn(j, (struct bw_verdict_turn){.row = next->which,
                                                 .yes = yes == 1,
                                                 .cause = j->c->network->cause[first],
                                                 .minutes = next->minutes});
        }
    }
    return true;
}

bool bw_verdict_find(const struct bw_case *c, const struct bw_options *options,
                     struct bw_arena *arena, struct bw_verdict *out, struct bw_err *err) {
    struct judge j = {.c = c, .arena = arena};
    if (!bw_case_think(c, BW_NO_INDEX, SETS, arena, &j.thought, err)) return false;
    j.first = likeliest(&j.thought.belief);
    j.v.left_out = j.thought.belief.left_out;
    list_causes(&j);
    if (!look_ahead(&j, options, err) || !weigh_answers(&j, err) ||
        !bw_case_advice(c, &j.thought, BW_CURE, arena, &j.v.cures, err) ||
        !bw_case_advice(c, &j.thought, BW_STOP_GAP, arena, &j.v.stop_gaps, err))
        return false;
    *out = j.v;
    return true;
}
