// test_learn.c - what closed jobs teach: proven ones, shared ones, guesses; near and far.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/learn.h"

#include "support/jobs.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

struct bench {
    struct bw_arena *arena;
    struct bw_knowledge k;
    struct bw_lessons lessons;
    long number;
};

static void begin(struct bench *b) {
    struct bw_err err = {0};
    *b = (struct bench){.arena = bw_arena_new(0)};
    assert_true(bw_knowledge_load(b->arena, NULL, 0, NULL, &b->k, &err));
    b->lessons = (struct bw_lessons){.knowledge = &b->k, .arena = b->arena};
}

// A job at a site with one answer, closed so; taken as a lesson.
static void close_job(struct bench *b, const char *site, const char *machine, const char *closing) {
    struct bw_err err = {0};
    struct bw_job job;
    struct bw_entry items[4];
    items[0] = job_entry(b->arena, NULL, 1, BW_ENTRY_OPENED,
                         bw_arena_format(b->arena,
                                         "{\"title\":\"n %ld\",\"site\":\"%s\",\"machine\":\"%s\"}",
                                         ++b->number, site, machine));
    items[1] = job_entry(b->arena, items[0].id, 2, BW_ENTRY_ANSWER,
                         "{\"check\":\"chatter\",\"answer\":\"y\"}");
    items[2] = job_entry(b->arena, items[0].id, 3, BW_ENTRY_FIX,
                         "{\"text\":\"done\",\"remedy\":\"fit_new_belt\",\"result\":\"gone\"}");
    items[3] = job_entry(b->arena, items[0].id, 4, BW_ENTRY_CLOSED, closing);
    struct bw_entries set = job_set(b->arena, items, 4);
    assert_true(bw_job_replay(b->arena, &set, &job, &err));
    if (!bw_lessons_take(&b->lessons, &job, &err)) fail_msg("%s", err.what);
}

#define VERIFIED(cause) "{\"causes\":[\"" cause "\"],\"outcome\":\"verified\"}"

static double share_of(struct bench *b, const char *site, const char *machine, const char *cause,
                       double *shipped_out) {
    struct bw_err err = {0};
    double *shipped = bw_arena_array(b->arena, b->k.causes + 1, sizeof *shipped);
    double *learned = bw_arena_array(b->arena, b->k.causes + 1, sizeof *learned);
    assert_true(bw_lessons_shares(&b->lessons, site, machine, shipped, learned, &err));
    double one = 0, two = 0;
    for (size_t c = 0; c <= b->k.causes; c++) one += shipped[c], two += learned[c];
    assert_true(fabs(one - 1) < 1e-12 && fabs(two - 1) < 1e-12);
    size_t at = bw_cause_find(&b->k, cause);
    assert_true(at != SIZE_MAX);
    if (shipped_out != NULL) *shipped_out = shipped[at];
    return learned[at];
}

static void nothing_learned_is_what_is_shipped(void **state) {
    (void)state;
    struct bench b;
    double shipped;
    begin(&b);
    double learned = share_of(&b, "S", "m", "drum_bearing", &shipped);
    assert_true(fabs(learned - shipped) < 1e-15);
    bw_arena_free(b.arena);
}

// By hand: with q shipped, 5 cases elsewhere, 3 at the site, 2 at the machine, all of one cause:
// all (40 q + 5) / 45, site (60 all + 3) / 63, machine (160 site + 2) / 162.
static void three_levels_are_shrunk_towards_each_other(void **state) {
    (void)state;
    struct bench b;
    double q;
    begin(&b);
    for (int i = 0; i < 5; i++) close_job(&b, "elsewhere", "x", VERIFIED("drum_bearing"));
    for (int i = 0; i < 3; i++) close_job(&b, "S", "other", VERIFIED("drum_bearing"));
    for (int i = 0; i < 2; i++) close_job(&b, "S", "m", VERIFIED("drum_bearing"));
    double learned = share_of(&b, "S", "m", "drum_bearing", &q);
    double strength = b.k.assume.strength_weight.v;
    double all = (strength * q + 5) / (strength + 5), site = (60 * all + 3) / 63;
    assert_true(fabs(learned - (160 * site + 2) / 162) < 1e-12);
    // The same cases, seen from a place nobody has worked at.
    double far = share_of(&b, "new", "n", "drum_bearing", NULL);
    assert_true(fabs(far - (strength * q + 10) / (strength + 10)) < 1e-12);
    bw_arena_free(b.arena);
}

static void guesses_and_open_jobs_teach_nothing(void **state) {
    (void)state;
    struct bench b;
    begin(&b);
    close_job(&b, "S", "m", "{\"causes\":[\"drum_bearing\"],\"outcome\":\"guess\"}");
    close_job(&b, "S", "m", "{\"causes\":[],\"outcome\":\"not found\"}");
    close_job(&b, "S", "m", VERIFIED("no_such_cause"));
    assert_int_equal(b.lessons.n, 0);
    assert_true(b.lessons.guesses == 1 && b.lessons.not_found == 1 && b.lessons.unknown == 1);
    bw_arena_free(b.arena);
}

static void one_of_these_is_shared_by_belief(void **state) {
    (void)state;
    struct bench b;
    begin(&b);
    close_job(&b, "S", "m",
              "{\"causes\":[\"drum_bearing\",\"splice_high\"],\"outcome\":\"one of these\"}");
    assert_int_equal(b.lessons.n, 1);
    const struct bw_lesson *lesson = &b.lessons.items[0];
    assert_true(lesson->shared && lesson->n == 2);
    assert_true(fabs(lesson->share[0] + lesson->share[1] - 1) < 1e-12);
    assert_true(lesson->share[0] > 0.01 && lesson->share[1] > 0.01);
    // Chatter is far likelier a splice than a bearing in the shipped numbers.
    assert_true(lesson->share[1] > lesson->share[0]);
    bw_arena_free(b.arena);
}

static void answers_teach_the_links_that_are_there(void **state) {
    (void)state;
    struct bench b;
    struct bw_err err = {0};
    struct bw_learned learned;
    begin(&b);
    for (int i = 0; i < 4; i++) close_job(&b, "S", "m", VERIFIED("drum_bearing"));
    assert_true(bw_lessons_learned(&b.lessons, "S", "m", b.arena, &learned, &err));
    size_t cause = bw_cause_find(&b.k, "drum_bearing"), check = bw_check_find(&b.k, "chatter");
    assert_true(b.k.link[check * b.k.causes + cause] > 0);
    assert_true(fabs(learned.yes[check * b.k.causes + cause] - 4) < 1e-12);
    double sum = 0;
    for (size_t i = 0; i < b.k.checks * b.k.causes; i++) {
        sum += learned.yes[i] + learned.no[i];
        if (!(b.k.link[i] > 0)) assert_true(learned.yes[i] + learned.no[i] < 1e-12);
    }
    assert_true(fabs(sum - 4) < 1e-12);
    // The network takes the counts: the cause is believed more than as shipped.
    const struct bw_features none = bw_features_none();
    const struct bw_network_from plain = {&b.k, &none, NULL}, wise = {&b.k, &none, &learned};
    struct bw_network before, after;
    assert_true(bw_network_make(&plain, b.arena, &before, &err));
    assert_true(bw_network_make(&wise, b.arena, &after, &err));
    assert_true(after.net.odds[after.index[cause]] > 1.5 * before.net.odds[before.index[cause]]);
    bw_arena_free(b.arena);
}

static void a_job_speaks_to_the_reasoning(void **state) {
    (void)state;
    struct bench b;
    struct bw_err err = {0};
    struct bw_job job;
    struct bw_network network;
    struct bw_case c;
    begin(&b);
    struct bw_entry items[4];
    items[0] = job_entry(b.arena, NULL, 1, BW_ENTRY_OPENED, "{\"title\":\"dust everywhere\"}");
    items[1] = job_entry(b.arena, items[0].id, 2, BW_ENTRY_ANSWER,
                         "{\"check\":\"chatter\",\"answer\":\"y\",\"head\":\"2\"}");
    items[2] = job_entry(b.arena, items[0].id, 3, BW_ENTRY_ANSWER,
                         "{\"check\":\"known_good_belt\",\"answer\":\"?\"}");
    items[3] = job_entry(b.arena, items[0].id, 4, BW_ENTRY_ANSWER,
                         "{\"check\":\"of a newer knowledge\",\"answer\":\"y\"}");
    struct bw_entries set = job_set(b.arena, items, 4);
    assert_true(bw_job_replay(b.arena, &set, &job, &err));
    const struct bw_features none = bw_features_none();
    const struct bw_network_from from = {&b.k, &none, NULL};
    assert_true(bw_network_make(&from, b.arena, &network, &err));
    assert_true(bw_case_begin(&network, b.arena, &c, &err));
    assert_true(bw_job_case(&job, b.arena, &c, &err));
    const struct bw_reply *chatter = bw_case_reply_to(&c, bw_check_find(&b.k, "chatter"));
    assert_true(chatter != NULL && chatter->yes > 0.9 && chatter->head == 2);
    const struct bw_reply *belt = bw_case_reply_to(&c, bw_check_find(&b.k, "known_good_belt"));
    assert_true(belt != NULL && belt->kind == BW_REPLY_UNKNOWN);
    bw_arena_free(b.arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_learned_is_what_is_shipped),
        cmocka_unit_test(three_levels_are_shrunk_towards_each_other),
        cmocka_unit_test(guesses_and_open_jobs_teach_nothing),
        cmocka_unit_test(one_of_these_is_shared_by_belief),
        cmocka_unit_test(answers_teach_the_links_that_are_there),
        cmocka_unit_test(a_job_speaks_to_the_reasoning),
    };
    return cmocka_run_group_tests_name("learn", tests, NULL, NULL);
}
