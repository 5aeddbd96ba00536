// test_compare.c - the rule by which before and after are judged, worked by hand.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/compare.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

struct bench {
    struct bw_arena *arena;
    struct bw_findings before, after;
    struct bw_comparison all;
};

static void begin(struct bench *b) {
    *b = (struct bench){.arena = bw_arena_new(0)};
    b->before.arena = b->after.arena = b->arena;
}

static void found(struct bw_findings *in, const char *about, double v, double sd) {
    bw_findings_add(
        in, (struct bw_finding){
                .kind = "port-flow", .about = about, .v = v, .sd = sd, .dim = BW_DIM_NUMBER});
}

static const struct bw_compared *only(struct bench *b, double matters) {
    struct bw_err err = {0};
    assert_true(bw_compare(b->arena, &b->before, &b->after, matters, &b->all, &err));
    assert_int_equal(b->all.n, 1);
    return &b->all.items[0];
}

// 10 +- 1 to 7 +- 1: -3, sd 1.414214, interval -3 -+ 2.771808 (by hand).
static void a_change_is_told_with_its_interval(void **state) {
    (void)state;
    struct bench b;
    begin(&b);
    found(&b.before, "head 1", 10, 1);
    found(&b.after, "head 1", 7, 1);
    const struct bw_compared *c = only(&b, 0.5);
    assert_true(fabs(c->difference + 3) < 1e-12);
    assert_true(fabs(c->low + 5.771808) < 1e-6 && fabs(c->high + 0.228192) < 1e-6);
    assert_int_equal(c->change, BW_CHANGE_DOWN);
    assert_string_equal(bw_change_word(c->change, BW_BETTER_LESS), "improved");
    assert_string_equal(bw_change_word(c->change, BW_BETTER_MORE), "worse");
    assert_string_equal(bw_change_word(c->change, BW_BETTER_NOT_SAID), "less");
    bw_arena_free(b.arena);
}

// 10 +- 1 to 8 +- 1: zero is within; half width 2.77: a change by half (5) would show, by 20 % not.
static void no_difference_is_said_only_where_one_would_have_shown(void **state) {
    (void)state;
    struct bench b;
    begin(&b);
    found(&b.before, "head 1", 10, 1);
    found(&b.after, "head 1", 8, 1);
    assert_int_equal(only(&b, 0.5)->change, BW_CHANGE_NONE_SHOWN);
    assert_int_equal(only(&b, 0.2)->change, BW_CHANGE_UNKNOWN);
    bw_arena_free(b.arena);
}

static void without_a_standard_deviation_nothing_is_decided(void **state) {
    (void)state;
    struct bench b;
    begin(&b);
    found(&b.before, "head 1", 10, 1);
    found(&b.after, "head 1", 1, (double)NAN);
    assert_int_equal(only(&b, 0.5)->change, BW_CHANGE_UNKNOWN);
    assert_string_equal(bw_change_word(BW_CHANGE_UNKNOWN, BW_BETTER_LESS), "not enough data");
    bw_arena_free(b.arena);
}

static void what_only_one_has_stays_visible(void **state) {
    (void)state;
    struct bench b;
    struct bw_err err = {0};
    begin(&b);
    found(&b.before, "head 1", 10, 1);
    found(&b.before, "head 2", 10, 1);
    found(&b.after, "head 3", 9, 1);
    found(&b.after, "head 2", 20, 1);
    assert_true(bw_compare(b.arena, &b.before, &b.after, 0.5, &b.all, &err));
    assert_int_equal(b.all.n, 3);
    assert_true(isnan(b.all.items[0].after) && b.all.items[0].change == BW_CHANGE_UNKNOWN);
    assert_int_equal(b.all.items[1].change, BW_CHANGE_UP);
    assert_true(isnan(b.all.items[2].before) && b.all.items[2].change == BW_CHANGE_UNKNOWN);
    bw_arena_free(b.arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_change_is_told_with_its_interval),
        cmocka_unit_test(no_difference_is_said_only_where_one_would_have_shown),
        cmocka_unit_test(without_a_standard_deviation_nothing_is_decided),
        cmocka_unit_test(what_only_one_has_stays_visible),
    };
    return cmocka_run_group_tests_name("compare", tests, NULL, NULL);
}
