// interview.c - the order of events in a call.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/interview.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define SETS 3000  // cause sets kept for planning; beyond them a set has less than 1e-5
#define CHOICES 4  // steps handed out, the first is asked
#define MOST_UNCLEAR 5
#define UNCLEAR 0.7  // a symptom whose words fit another as well, when nobody says which

// What undo goes back to.
struct bw_mark {
    size_t replies, steps, n_symptoms;
    enum bw_stage stage;
    const size_t *symptoms;
};

static bool list_symptoms(struct bw_interview *i, struct bw_err *err) {
    const struct bw_knowledge *k = i->c.network->knowledge;
    size_t *all = bw_arena_array(i->arena, k->checks, sizeof *all), n = 0;
    if (all == NULL) return bw_fail_memory(err);
    for (size_t f = 0; f < k->checks; f++)
        if (k->check[f].kind == BW_SYMPTOM && i->c.network->check_open[f]) all[n++] = f;
    i->symptoms = all;
    i->n_symptoms = n;
    return true;
}

bool bw_interview_begin(const struct bw_network *network, struct bw_arena *arena,
                        struct bw_interview *out, struct bw_err *err) {
    struct bw_interview i = {.arena = arena, .cured_by = BW_NO_INDEX, .cured_second = BW_NO_INDEX};
    i.marks = bw_arena_array(arena, BW_MAX_INTERVIEW_STEPS, sizeof *i.marks);
    if (i.marks == NULL) return bw_fail_memory(err);
    if (!bw_case_begin(network, arena, &i.c, err) || !list_symptoms(&i, err)) return false;
    *out = i;
    return true;
}

void bw_interview_end(struct bw_interview *i) {
    bw_arena_free(i->work);
    i->work = NULL;
}

static bool mark(struct bw_interview *i, struct bw_err *err) {
    if (i->n_marks == BW_MAX_INTERVIEW_STEPS)
        return bw_fail(err, BW_LIMIT, "at most %d steps are taken in one call",
                       BW_MAX_INTERVIEW_STEPS);
    i->heard.n = 0;
    i->marks[i->n_marks++] =
        (struct bw_mark){i->c.n, i->steps++, i->n_symptoms, i->stage, i->symptoms};
    return true;
}

// Belief and the next step, in an arena of their own that replaces the last one.
static bool ponder(struct bw_interview *i, struct bw_err *err) {
    struct bw_arena *work = bw_arena_new(0);
    struct bw_thought thought;
    struct bw_options options;
    if (work == NULL) return bw_fail_memory(err);
    if (!bw_case_think(&i->c, BW_NO_INDEX, SETS, work, &thought, err) ||
        !bw_case_next(&i->c, &thought, CHOICES, work, &options, err)) {
        bw_arena_free(work);
        return false;
    }
    bw_arena_free(i->work);
    i->work = work;
    i->thought = thought;
    i->options = options;
    return true;
}

// ---- the complaint ----

static bool take_heard(struct bw_interview *i, const struct bw_heard *heard, struct bw_err *err) {
    struct bw_reply reply = bw_reply_graded(heard->check, heard->yes ? 1 : 0);
    if (bw_case_reply_to(&i->c, heard->check) != NULL) return true;
    return bw_case_reply(&i->c, reply, err);
}

// The symptoms that were not told apart are what one chooses from next.
static bool ask_which(struct bw_interview *i, struct bw_err *err) {
    size_t *unclear = bw_arena_array(i->arena, i->heard.n, sizeof *unclear), n = 0;
    if (unclear == NULL) return bw_fail_memory(err);
    for (size_t h = 0; h < i->heard.n; h++)
        if (i->heard.items[h].unclear && i->heard.items[h].yes &&
            bw_case_reply_to(&i->c, i->heard.items[h].check) == NULL)
            unclear[n++] = i->heard.items[h].check;
    if (n == 0) {
        i->stage = BW_STAGE_MORE;
        return list_symptoms(i, err);
    }
    i->stage = BW_STAGE_WHICH;
    i->symptoms = unclear;
    i->n_symptoms = n;
    return true;
}

static bool any_symptom(const struct bw_interview *i) {
    for (size_t f = 0; f < i->c.network->knowledge->checks; f++)
        if (i->c.network->knowledge->check[f].kind == BW_SYMPTOM && bw_case_has(&i->c, f))
            return true;
    return false;
}

static bool intake_done(struct bw_interview *i, struct bw_err *err) {
    if (!bw_case_intake_done(&i->c, err) || !ponder(i, err)) return false;
    i->stage = BW_STAGE_STEP;
    return true;
}

bool bw_interview_say(struct bw_interview *i, const char *text, struct bw_err *err) {
    assert(i->stage <= BW_STAGE_MORE);
    struct bw_hearing heard;
    bool first = i->stage != BW_STAGE_MORE;
    if (!bw_hear(i->c.network, text, i->arena, &heard, err) || !mark(i, err)) return false;
    i->heard = heard;
    for (size_t h = 0; h < heard.n; h++)
        if (!(heard.items[h].unclear && heard.items[h].yes) && !take_heard(i, &heard.items[h], err))
            return false;
    if (!ask_which(i, err)) return false;
    if (i->stage == BW_STAGE_WHICH) return true;
    if (first && !any_symptom(i)) i->stage = BW_STAGE_WHICH;
    return first ? true : intake_done(i, err);
}

bool bw_interview_choose(struct bw_interview *i, const size_t *places, size_t n,
                         struct bw_err *err) {
    assert(i->stage <= BW_STAGE_MORE);
    size_t before = i->n_symptoms;
    const size_t *symptoms = i->symptoms;
    bool nobody_knows = i->stage == BW_STAGE_WHICH && n == 0 && before <= MOST_UNCLEAR;
    if (!mark(i, err)) return false;
    for (size_t s = 0; s < n; s++) {
        assert(places[s] < before);
        if (bw_case_reply_to(&i->c, symptoms[places[s]]) == NULL &&
            !bw_case_reply(&i->c, bw_reply_graded(symptoms[places[s]], 1), err))
            return false;
    }
    // Nobody could say which: each of the two or three counts as likely.
    for (size_t s = 0; nobody_knows && s < before; s++)
        if (!bw_case_reply(&i->c, bw_reply_graded(symptoms[s], UNCLEAR), err)) return false;
    i->stage = BW_STAGE_MORE;
    return list_symptoms(i, err);
}

bool bw_interview_enough(struct bw_interview *i, struct bw_err *err) {
    return mark(i, err) && intake_done(i, err);
}

// ---- steps ----

static bool reply_check(struct bw_interview *i, size_t check, struct bw_said said,
                        struct bw_err *err) {
    const struct bw_knowledge *k = i->c.network->knowledge;
    if (said.head > i->c.network->features.heads)
        return bw_fail(err, BW_INPUT, "this machine has no head %zu", said.head);
    if (said.word == BW_SAID_READING && !k->limit[check].given)
        return bw_fail(err, BW_INPUT, "this question takes y, n or ?, not a number");
    struct bw_reply reply = bw_reply_graded(check, said.word == BW_SAID_YES  ? 1
                                                   : said.word == BW_SAID_NO ? 0
                                                                             : 0.75);
    if (said.word == BW_SAID_UNKNOWN) reply.kind = BW_REPLY_UNKNOWN;
    if (said.word == BW_SAID_READING)
        reply = bw_reply_reading(k, check, said.reading.v, said.reading.sd);
    reply.head = said.head;
    reply.head_sure = 0.9;
    return bw_case_reply(&i->c, reply, err);
}

static bool finish(struct bw_interview *i, enum bw_ending ending) {
    i->ending = ending;
    i->stage = BW_STAGE_END;
    return true;
}

// Two remedies done in one lock-out are proven together.
static bool reply_remedy(struct bw_interview *i, const struct bw_next *next, struct bw_said said,
                         struct bw_err *err) {
    if (said.word == BW_SAID_READING)
        return bw_fail(err, BW_INPUT, "is the fault gone? y, n, or less");
    if (said.word == BW_SAID_YES) {
        i->cured_by = next->which;
        i->cured_second = next->second;
        return finish(i, BW_ENDING_CURED);
    }
    bool less = said.word == BW_SAID_PARTLY;
    if (said.word == BW_SAID_UNKNOWN) return finish(i, BW_ENDING_STOPPED);
    return bw_case_tried(&i->c, next->which, less, err) &&
           (next->second == BW_NO_INDEX || bw_case_tried(&i->c, next->second, less, err));
}

static void go_back(struct bw_interview *i) {
    const struct bw_mark *last = &i->marks[--i->n_marks];
    bw_case_rewind(&i->c, last->replies);
    i->steps = last->steps;
    i->stage = last->stage;
    i->symptoms = last->symptoms;
    i->n_symptoms = last->n_symptoms;
    i->cured_by = i->cured_second = BW_NO_INDEX;
}

bool bw_interview_answer(struct bw_interview *i, struct bw_said said, struct bw_err *err) {
    assert(i->stage == BW_STAGE_STEP);
    const struct bw_next next = i->options.items[0];
    if (!mark(i, err)) return false;
    if (next.kind == BW_NEXT_SPECIALIST) return finish(i, BW_ENDING_SPECIALIST);
    bool taken = next.kind == BW_NEXT_CHECK ? reply_check(i, next.which, said, err)
                                            : reply_remedy(i, &next, said, err);
    if (taken && (i->stage == BW_STAGE_END || ponder(i, err))) return true;
    go_back(i);
    return false;
}

// Chance that what was done ends cause `i` of the network.
static double ended(const struct bw_interview *i, size_t cause) {
    const struct bw_network *network = i->c.network;
    size_t c = network->cause[cause], both[2] = {i->cured_by, i->cured_second};
    double left = 1;
    for (size_t r = 0; r < 2 && c != BW_NO_INDEX; r++)
        if (both[r] != BW_NO_INDEX)
            left *= 1 - network->cures[both[r] * network->knowledge->causes + c];
    return fmax(1 - left, 0.01);  // faults go away by themselves as well
}

struct bw_culprit bw_interview_culprit(const struct bw_interview *i) {
    const struct bw_belief *b = &i->thought.belief;
    struct bw_culprit best = {BW_NO_INDEX, 0};
    double total = 0;
    for (size_t s = 0; s < b->n_sets; s++) {
        double weight = b->sets[s].probability;
        for (size_t k = 0; k < b->sets[s].n; k++) weight *= ended(i, b->sets[s].cause[k]);
        total += weight;
    }
    for (size_t c = 0; c < b->causes && total > 0; c++) {
        double sum = 0;
        for (size_t s = 0; s < b->n_sets; s++) {
            double weight = b->sets[s].probability;
            bool in = false;
            for (size_t k = 0; k < b->sets[s].n; k++) {
                weight *= ended(i, b->sets[s].cause[k]);
                in = in || b->sets[s].cause[k] == c;
            }
            sum += in ? weight : 0;
        }
        if (sum / total <= best.probability) continue;
        best = (struct bw_culprit){i->c.network->cause[c], sum / total};
    }
    return best;
}

void bw_interview_stop(struct bw_interview *i) { finish(i, BW_ENDING_STOPPED); }

bool bw_interview_undo(struct bw_interview *i, struct bw_err *err) {
    if (i->n_marks == 0) return false;
    go_back(i);
    return i->stage == BW_STAGE_STEP ? ponder(i, err) : true;
}
