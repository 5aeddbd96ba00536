// test_replay.c - what a job says: corrections, two at once, what is taken back, erased, not here.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/replay.h"

#include "support/jobs.h"
#include "support/torture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#define MOST 12

struct bench {
    struct bw_arena *arena;
    struct bw_entry items[MOST];
    size_t n;
    struct bw_entries set;
    struct bw_job job;
};

static void open_job(struct bench *b) {
    *b = (struct bench){.arena = bw_arena_new(0)};
    b->items[b->n++] =
        job_entry(b->arena, NULL, 1, BW_ENTRY_OPENED,
                  "{\"title\":\"bars across\",\"kind\":\"complaint\",\"site\":\"Hollow Creek\"}");
}

static const char *add(struct bench *b, long tick, enum bw_entry_kind kind, const char *body) {
    b->items[b->n] = job_entry(b->arena, b->items[0].id, tick, kind, body);
    return bw_arena_text(b->arena, b->items[b->n++].id, BW_ID_TEXT - 1);
}

static const char *correct(struct bench *b, long tick, const char *of, const char *over,
                           const char *text) {
    return add(b, tick, BW_ENTRY_CORRECTION,
               bw_arena_format(b->arena,
                               "{\"of\":\"%s\",\"over\":[%s%s%s],\"body\":{\"text\":\"%s\"}}", of,
                               over == NULL ? "" : "\"", over == NULL ? "" : over,
                               over == NULL ? "" : "\"", text));
}

static const char *withdraw(struct bench *b, long tick, const char *of) {
    return add(b, tick, BW_ENTRY_WITHDRAWN, bw_arena_format(b->arena, "{\"of\":\"%s\"}", of));
}

static void replay(struct bench *b) {
    struct bw_err err = {0};
    b->set = job_set(b->arena, b->items, b->n);
    assert_true(bw_job_replay(b->arena, &b->set, &b->job, &err));
}

static const struct bw_line *line(const struct bench *b, const char *id) {
    const struct bw_line *found = bw_job_line(&b->job, id);
    assert_non_null(found);
    return found;
}

static void the_first_entry_says_what_the_job_is(void **state) {
    (void)state;
    struct bench b;
    open_job(&b);
    replay(&b);
    assert_string_equal(b.job.title, "bars across");
    assert_string_equal(b.job.kind, "complaint");
    assert_string_equal(b.job.site, "Hollow Creek");
    assert_string_equal(b.job.machine, "");
    assert_string_equal(b.job.id, b.items[0].id);
    assert_false(b.job.closed);
    bw_arena_free(b.arena);
}

static void a_correction_counts_in_place_of_the_old(void **state) {
    (void)state;
    struct bench b;
    open_job(&b);
    const char *note = add(&b, 2, BW_ENTRY_NOTE, "{\"text\":\"14 mm\"}");
    const char *first = correct(&b, 3, note, NULL, "14.6 mm");
    const char *second = correct(&b, 4, note, first, "14.8 mm");
    replay(&b);
    assert_int_equal(b.job.n, 2);  // corrections have no line of their own
    assert_string_equal(bw_body_text(line(&b, note)->body, "text"), "14.8 mm");
    assert_string_equal(line(&b, note)->by->id, second);
    assert_int_equal(line(&b, note)->n_also, 0);  // the second knew the first
    bw_arena_free(b.arena);
}

static void of_two_corrections_at_once_the_larger_wins_and_both_are_shown(void **state) {
    (void)state;
    struct bench b;
    open_job(&b);
    const char *note = add(&b, 2, BW_ENTRY_NOTE, "{\"text\":\"14 mm\"}");
    const char *one = correct(&b, 3, note, NULL, "here"),
               *two = correct(&b, 3, note, NULL, "there");
    replay(&b);
    bool one_wins = strcmp(one, two) > 0;
    const struct bw_line *told = line(&b, note);
    assert_string_equal(bw_body_text(told->body, "text"), one_wins ? "here" : "there");
    assert_int_equal(told->n_also, 1);
    assert_string_equal(bw_body_text(told->also[0], "text"), one_wins ? "there" : "here");
    // Who settles it names both, and nothing else is said any more.
    add(&b, 4, BW_ENTRY_CORRECTION,
        bw_arena_format(b.arena,
                        "{\"of\":\"%s\",\"over\":[\"%s\",\"%s\"],\"body\":{\"text\":\"both\"}}",
                        note, one, two));
    replay(&b);
    assert_string_equal(bw_body_text(line(&b, note)->body, "text"), "both");
    assert_int_equal(line(&b, note)->n_also, 0);
    bw_arena_free(b.arena);
}

static void what_is_taken_back_does_not_count_and_can_come_back(void **state) {
    (void)state;
    struct bench b;
    open_job(&b);
    const char *note = add(&b, 2, BW_ENTRY_NOTE, "{\"text\":\"first\"}");
    const char *mend = correct(&b, 3, note, NULL, "mended");
    const char *back = withdraw(&b, 4, mend);
    replay(&b);
    assert_string_equal(bw_body_text(line(&b, note)->body, "text"), "first");
    withdraw(&b, 5, back);  // the correction counts after all
    replay(&b);
    assert_string_equal(bw_body_text(line(&b, note)->body, "text"), "mended");
    const char *gone = withdraw(&b, 6, note);
    replay(&b);
    assert_int_equal(line(&b, note)->state, BW_LINE_WITHDRAWN);
    assert_null(line(&b, note)->body);
    assert_string_equal(line(&b, note)->by->id, gone);
    assert_null(bw_job_last(&b.job));
    bw_arena_free(b.arena);
}

static void a_correction_of_something_not_here_waits(void **state) {
    (void)state;
    struct bench b;
    open_job(&b);
    const char *note = add(&b, 2, BW_ENTRY_NOTE, "{\"text\":\"14 mm\"}");
    const char *mend = correct(&b, 3, note, NULL, "15 mm");
    struct bw_entry kept = b.items[1];
    b.items[1] = b.items[2];
    b.n = 2;
    replay(&b);
    assert_int_equal(line(&b, mend)->state, BW_LINE_WAITING);
    b.items[b.n++] = kept;  // it arrives
    replay(&b);
    assert_string_equal(bw_body_text(line(&b, note)->body, "text"), "15 mm");
    assert_null(bw_job_line(&b.job, mend));
    bw_arena_free(b.arena);
}

// A correction with a tick not above what it names was not written by rule.
static void a_correction_out_of_order_says_nothing(void **state) {
    (void)state;
    struct bench b;
    open_job(&b);
    const char *note = add(&b, 5, BW_ENTRY_NOTE, "{\"text\":\"14 mm\"}");
    correct(&b, 5, note, NULL, "forged");
    replay(&b);
    assert_string_equal(bw_body_text(line(&b, note)->body, "text"), "14 mm");
    bw_arena_free(b.arena);
}

static void erased_leaves_that_something_was_there(void **state) {
    (void)state;
    struct bench b;
    open_job(&b);
    const char *party = add(&b, 2, BW_ENTRY_PARTY, "{\"name\":\"A. Nobody\"}");
    const char *mend = correct(&b, 3, party, NULL, "B. Nobody");
    b.items[1] = job_erased(&b.items[1]);
    replay(&b);
    assert_int_equal(line(&b, party)->state, BW_LINE_ERASED);
    assert_int_equal(line(&b, party)->entry->tick, 2);
    assert_int_equal(line(&b, mend)->state, BW_LINE_ERASED);  // it repeated what was erased
    assert_null(strstr(job_told(b.arena, &b.set), "Nobody"));
    bw_arena_free(b.arena);
}

static void closing_and_reopening(void **state) {
    (void)state;
    struct bench b;
    open_job(&b);
    add(&b, 2, BW_ENTRY_CLOSED, "{\"outcome\":\"verified\",\"causes\":[\"belt_splice\"]}");
    replay(&b);
    assert_true(b.job.closed);
    assert_string_equal(bw_body_text(b.job.closing->body, "outcome"), "verified");
    add(&b, 3, BW_ENTRY_REOPENED, "{\"note\":\"it is back\"}");
    replay(&b);
    assert_false(b.job.closed);
    assert_null(b.job.closing);
    bw_arena_free(b.arena);
}

static void entries_of_a_newer_program_are_kept_and_shown_as_such(void **state) {
    (void)state;
    static const char *const NEW[] = {"\"kind\":\"hologram\",\"shape\":\"hologram/1\"",
                                      "\"kind\":\"note\",\"new\":[1],\"shape\":\"note/2\""};
    struct bench b;
    open_job(&b);
    for (size_t i = 0; i < 2; i++) {
        struct bw_err err = {0};
        char text[400];
        (void)snprintf(text, sizeof text,
                       "{\"body\":{},\"device\":\"d\",\"job\":\"%s\",%s,\"offset\":0,\"tick\":2,"
                       "\"time\":5}",
                       b.items[0].id, NEW[i]);
        assert_true(bw_entry_read(b.arena, text, strlen(text), &b.items[b.n++], &err));
    }
    replay(&b);
    assert_int_equal(line(&b, b.items[1].id)->state, BW_LINE_NEWER);
    assert_int_equal(line(&b, b.items[2].id)->state, BW_LINE_NEWER);
    assert_non_null(strstr(b.items[2].line, "\"new\":[1]"));  // kept as it came
    bw_arena_free(b.arena);
}

static bool replay_again(void *with) {
    struct bench *b = with;
    struct bw_err err = {0};
    struct bw_job job;
    struct bw_arena *arena = bw_arena_new(0);
    bool done = arena != NULL && bw_job_replay(arena, &b->set, &job, &err);
    if (!done && arena != NULL) assert_int_equal(err.code, BW_MEMORY);
    bw_arena_free(arena);
    return done;
}

static void memory_may_run_out_anywhere(void **state) {
    (void)state;
    struct bench b;
    open_job(&b);
    const char *note = add(&b, 2, BW_ENTRY_NOTE, "{\"text\":\"14 mm\"}");
    correct(&b, 3, note, NULL, "one");
    correct(&b, 3, note, NULL, "two");
    replay(&b);
    assert_true(torture(replay_again, &b) > 1);
    bw_arena_free(b.arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_first_entry_says_what_the_job_is),
        cmocka_unit_test(a_correction_counts_in_place_of_the_old),
        cmocka_unit_test(of_two_corrections_at_once_the_larger_wins_and_both_are_shown),
        cmocka_unit_test(what_is_taken_back_does_not_count_and_can_come_back),
        cmocka_unit_test(a_correction_of_something_not_here_waits),
        cmocka_unit_test(a_correction_out_of_order_says_nothing),
        cmocka_unit_test(erased_leaves_that_something_was_there),
        cmocka_unit_test(closing_and_reopening),
        cmocka_unit_test(entries_of_a_newer_program_are_kept_and_shown_as_such),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests_name("replay", tests, NULL, NULL);
}
