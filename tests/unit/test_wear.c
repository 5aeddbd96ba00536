// test_wear.c - the study `wear` on records worked out elsewhere, and on bad ones.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/wear/wear.h"

#include "study/wear/record.h"
#include "support/ask.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

// The ten failures and ten survivors of the NIST/SEMATECH handbook 8.4.1.3, as square metres.
#define WORN(n) "\"" #n " m2 removed worn\", "
#define HANDBOOK                                                                                   \
    WORN(54)                                                                                       \
    WORN(187)                                                                                      \
    WORN(216) WORN(240) WORN(244) WORN(335) WORN(361) WORN(373) WORN(375)                          \
        WORN(386) "\"500 m2\", \"500 m2\", \"500 m2\", \"500 m2\", \"500 m2\", "                   \
                  "\"500 m2 removed planned\", \"500 m2 removed damaged\", \"500 m2\", "           \
                  "\"500 m2\", \"500 m2\""

static const struct wear_life *life_of(const struct wear_output *out, size_t i) {
    return (const struct wear_life *)out->lives.items + i;
}

static void the_handbooks_example_comes_out(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct wear_output *out = must_ask(arena, &bw_study_wear, "{\"belts\": [" HANDBOOK "]}");
    const struct wear_life *life = life_of(out, 0);
    assert_int_equal(life->belts, 20);
    assert_int_equal(life->ended, 10);  // planned and damaged did not wear out
    assert_string_equal(life->family, "Weibull");
    assert_true(fabs(life->weibull_shape.v - 1.7208) < 6e-5);
    assert_true(fabs(life->mean.v - 540.737) < 6e-3);
    assert_true(fabs(life->other_family.v - (154.39 - 154.27)) < 0.011);
    assert_true(fabs(life->typical_low.v - 344.711) < 0.01);
    assert_true(fabs(life->typical_high.v - 815.078) < 0.01);
    assert_false(bw_known(life->cost));
    bw_arena_free(arena);
}

static void money_follows_from_the_fit(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct wear_output *out =
        must_ask(arena, &bw_study_wear,
                 "{\"belts\": [" HANDBOOK "], \"kinds\": [\"belts costs 40\"], \"change\": 5, "
                 "\"failure\": 0, \"area_a_day\": \"108.1474 m2\", \"lead_time\": \"10 d\"}");
    const struct wear_life *life = life_of(out, 0);
    // Nothing lost by running to the end: price and change over the mean life.
    assert_true(fabs(life->cost.v - 45 / 540.737) < 1e-5);
    assert_false(bw_known(life->best_age));
    // Two mean lives are used up in the lead time; variance 2 (sd/mean)^2 = 0.7172: 2 + 1.645 x
    // 0.847.
    assert_int_equal(life->stock, 4);
    bw_arena_free(arena);
}

static void a_file_and_single_belts_are_one_record(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct wear_output *out =
        must_ask(arena, &bw_study_wear, "{\"file\": \"examples/belts.csv\"}");
    assert_int_equal(out->lives.n, 2);
    assert_int_equal(out->pairs.n, 1);
    const struct wear_pair *pair = out->pairs.items;
    assert_true(pair->high.v < 1 && strstr(pair->verdict, "P120 cloth lasts longer") != NULL);
    long before = life_of(out, 0)->belts;
    out = must_ask(arena, &bw_study_wear,
                   "{\"file\": \"examples/belts.csv\", \"belts\": [\"2000 m2 of P120 cloth\"]}");
    assert_int_equal(life_of(out, 0)->belts, before + 1);
    bw_arena_free(arena);
}

static void a_record_too_short_is_said_and_the_rest_goes_on(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct wear_output *out = must_ask(
        arena, &bw_study_wear,
        "{\"belts\": [" HANDBOOK ", \"700 m2 of film removed worn\", \"900 m2 of film\"]}");
    assert_int_equal(out->lives.n, 2);
    assert_true(bw_known(life_of(out, 0)->mean) && !bw_known(life_of(out, 1)->mean));
    assert_int_equal(out->pairs.n, 0);
    assert_int_equal(out->remarks.n, 1);
    assert_non_null(strstr(((const struct wear_remark *)out->remarks.items)->text, "film"));
    bw_arena_free(arena);
}

static void no_difference_says_how_many_more(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct wear_output *out = must_ask(
        arena, &bw_study_wear,
        "{\"belts\": [\"100 m2 of a removed worn\", \"220 m2 of a removed worn\", \"300 m2 of a "
        "removed worn\", \"150 m2 of b removed worn\", \"290 m2 of b removed worn\", \"400 m2 of b "
        "removed worn\"]}");
    const struct wear_pair *pair = out->pairs.items;
    assert_string_equal(pair->verdict, "no difference shown");
    assert_true(pair->low.v < 1 && pair->high.v > 1 && pair->more > 3);
    bw_arena_free(arena);
}

static bool ask_again(void *with) {
    struct bw_err err = {0};
    struct bw_arena *arena = bw_arena_new(0);
    bool done = arena != NULL && ask_study(arena, &bw_study_wear, with, &err) != NULL;
    if (!done && arena != NULL) assert_int_equal(err.code, BW_MEMORY);
    bw_arena_free(arena);
    return done;
}

static void memory_may_run_out_anywhere(void **state) {
    (void)state;
    static char asked[] =
        "{\"belts\": [\"100 m2 of a removed worn\", \"220 m2 of a removed worn\", "
        "\"150 m2 of b removed worn\", \"290 m2 of b removed worn\"]}";
    assert_true(torture(ask_again, asked) > 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_handbooks_example_comes_out),
        cmocka_unit_test(money_follows_from_the_fit),
        cmocka_unit_test(a_file_and_single_belts_are_one_record),
        cmocka_unit_test(a_record_too_short_is_said_and_the_rest_goes_on),
        cmocka_unit_test(no_difference_says_how_many_more),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests_name("wear", tests, NULL, NULL);
}
