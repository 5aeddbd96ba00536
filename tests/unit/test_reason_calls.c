// test_reason_calls.c - the calls of examples/calls, from the first sentence to the proven repair.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Regression, not evidence: the calls are ours, and so is the knowledge. Each is also run with
// every answer it gives turned round, one at a time.
#include "base/bind.h"
#include "reason/call.h"
#include "reason/verdict.h"

#include <setjmp.h>
#include <stdarg.h>
#include <string.h>

#include <cmocka.h>

#define MOST_STEPS 13        // of a call answered truly
#define MOST_STEPS_WRONG 50  // a wrong answer may lead astray, but not for ever

static const char *const CALLS[] = {"winter-static", "splice-thump",      "monday-flat",
                                    "platen-nick",   "oscillation-stuck", "gates-open",
                                    "skipped-grit",  "planer-marks",      "taper-after-head",
                                    "resin-loading", "damp-belts",        "dull-belt"};
#define CALL_COUNT (sizeof CALLS / sizeof *CALLS)

static struct bw_arena *arena;
static struct bw_knowledge knowledge;

static void must(bool done, const struct bw_err *err) {
    if (!done)
        fail_msg("%s:%d: %s %s (%s)", err->file, err->line, err->field, err->what, err->value);
}

static int setup(void **unused) {
    struct bw_err err = {0};
    (void)unused;
    arena = bw_arena_new(0);
    return arena == NULL || !bw_knowledge_load(arena, NULL, 0, NULL, &knowledge, &err);
}
static int teardown(void **unused) {
    (void)unused;
    bw_arena_free(arena);
    return 0;
}

static void load(const char *name, struct bw_call *call, struct bw_network *network) {
    struct bw_err err = {0};
    struct bw_binding binding = {.arena = arena};
    struct bw_file file, machine;
    const char *path = bw_arena_format(arena, "examples/calls/%s.yaml", name);
    must(bw_load_file(NULL, &bw_call_file, path, &file, &binding, &err), &err);
    *call = *(const struct bw_call *)file.content;
    binding.file = file.name;
    must(bw_load_file(NULL, &bw_machine_file, call->machine, &machine, &binding, &err), &err);
    must(bw_call_check(call, &knowledge, &err), &err);
    struct bw_features features = bw_features_of(machine.content);
    const struct bw_network_from from = {&knowledge, &features, NULL};
    must(bw_network_make(&from, arena, network, &err), &err);
}

// How a call went.
struct course {
    size_t steps, asked[BW_MAX_INTERVIEW_STEPS], n_asked;
    size_t rank;  // of the true cause when the first repair was proposed, from 1; 0: not listed
    enum bw_ending ending;
    const char *culprit;
};

static size_t rank_of(const struct bw_interview *i, const char *cause) {
    struct bw_verdict v;
    struct bw_err err = {0};
    struct bw_arena *work = bw_arena_new(0);
    must(bw_verdict_find(&i->c, NULL, work, &v, &err), &err);
    bw_arena_free(work);
    for (size_t c = 0; c < v.n_causes; c++)
        if (v.causes[c].cause == bw_cause_find(&knowledge, cause)) return c + 1;
    return 0;
}

static struct bw_said turned(struct bw_said said, size_t check) {
    bool yes = said.word == BW_SAID_YES;
    if (said.word == BW_SAID_READING)
        yes = bw_reply_reading(&knowledge, check, said.reading.v, said.reading.sd).yes > 0.5;
    if (said.word != BW_SAID_UNKNOWN) said.word = yes ? BW_SAID_NO : BW_SAID_YES;
    return said;
}

// `wrong`: the check that is answered the wrong way round.
static void answer(const struct bw_call *call, struct bw_interview *i, size_t wrong,
                   struct course *out) {
    struct bw_err err = {0};
    struct bw_said said;
    const struct bw_next *next = bw_interview_next(i);
    size_t check = next->kind == BW_NEXT_CHECK ? next->which : BW_NO_INDEX;
    if (check == BW_NO_INDEX && out->rank == SIZE_MAX) out->rank = rank_of(i, call->cause);
    must(bw_said_read(&knowledge, check, bw_call_line(call, i, arena), &said, &err), &err);
    if (check != BW_NO_INDEX) out->asked[out->n_asked++] = check;
    if (check == wrong && check != BW_NO_INDEX) said = turned(said, check);
    must(bw_interview_answer(i, said, &err), &err);
}

static struct course follow(const struct bw_call *call, const struct bw_network *network,
                            size_t wrong, size_t most) {
    struct bw_interview i;
    struct bw_err err = {0};
    struct course out = {.rank = SIZE_MAX};
    must(bw_interview_begin(network, arena, &i, &err), &err);
    while (i.stage != BW_STAGE_END && i.steps < most) {
        const char *line = bw_call_line(call, &i, arena);
        if (i.stage == BW_STAGE_STEP)
            answer(call, &i, wrong, &out);
        else if (i.stage == BW_STAGE_WHICH)
            must(bw_interview_choose(&i, NULL, 0, &err), &err);
        else if (line[0] == '\0')
            must(bw_interview_enough(&i, &err), &err);
        else
            must(bw_interview_say(&i, line, &err), &err);
    }
    out.steps = i.steps;
    out.ending = i.stage == BW_STAGE_END ? i.ending : BW_ENDING_STOPPED;
    if (out.ending == BW_ENDING_CURED) {
        size_t cause = bw_interview_culprit(&i).cause;
        out.culprit = cause == BW_NO_INDEX ? "unlisted" : knowledge.cause[cause].id;
    }
    bw_interview_end(&i);
    return out;
}

static void every_call_ends_at_its_cause(void **unused) {
    (void)unused;
    for (size_t n = 0; n < CALL_COUNT; n++) {
        struct bw_call call;
        struct bw_network network;
        load(CALLS[n], &call, &network);
        struct course c = follow(&call, &network, BW_NO_INDEX, BW_MAX_INTERVIEW_STEPS);
        if (c.ending != BW_ENDING_CURED) fail_msg("%s: ends without a cure", CALLS[n]);
        if (strcmp(c.culprit, call.cause) != 0)
            fail_msg("%s: %s, not %s", CALLS[n], c.culprit, call.cause);
        if (c.rank == 0 || c.rank > 2) fail_msg("%s: the cause is number %zu", CALLS[n], c.rank);
        if (c.steps > MOST_STEPS) fail_msg("%s: %zu steps", CALLS[n], c.steps);
    }
}

// When the first repair is proposed; the answer in the middle is the wrong one.
static void one_wrong_answer_leaves_it_in_the_first_three(void **unused) {
    (void)unused;
    size_t runs = 0;
    for (size_t n = 0; n < CALL_COUNT; n++) {
        struct bw_call call;
        struct bw_network network;
        load(CALLS[n], &call, &network);
        struct course right = follow(&call, &network, BW_NO_INDEX, BW_MAX_INTERVIEW_STEPS);
        if (right.n_asked == 0) continue;
        size_t wrong = right.asked[right.n_asked / 2];
        struct course c = follow(&call, &network, wrong, MOST_STEPS_WRONG);
        if (c.rank == 0 || c.rank > 3)
            fail_msg("%s, %s answered wrong: number %zu", CALLS[n], knowledge.check[wrong].id,
                     c.rank);
        runs++;
    }
    assert_true(runs >= 10);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_call_ends_at_its_cause),
        cmocka_unit_test(one_wrong_answer_leaves_it_in_the_first_three),
    };
    return cmocka_run_group_tests_name("reason calls", tests, setup, teardown);
}
