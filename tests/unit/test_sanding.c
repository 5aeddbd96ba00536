// test_sanding.c - removal, scratch, energy and pressing parts against the rules they come from.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/sanding.h"
#include "trade/wood.h"

#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static struct bw_arena *arena;
static struct bw_grits grits;
static struct bw_sanding sanding;

static int load(void **state) {
    (void)state;
    struct bw_err err = {0};
    arena = bw_arena_new(0);
    return bw_grits_load(arena, &grits, &err) && bw_sanding_load(arena, &grits, &sanding, &err)
               ? 0
               : 1;
}
static int unload(void **state) {
    (void)state;
    bw_arena_free(arena);
    return 0;
}

static double size_of(const char *name) {
    struct bw_err err = {0};
    const struct bw_grit *grit;
    assert_true(bw_grit_read(&grits, name, strlen(name), &grit, &err));
    return grit->size.v;
}

// The article's three worked totals, in thousandths of an inch: the first belt's most, then what
// clears the belt before.
static double total(const char *a, const char *b, const char *c) {
    double first = bw_sanding_most(&sanding, size_of(a));
    double second = bw_sanding_clear(&sanding, size_of(a));
    double third = bw_sanding_clear(&sanding, size_of(b));
    assert_true(size_of(c) < size_of(b));
    return (first + second + third) / 25.4e-6;
}

static void the_articles_totals_come_out(void **state) {
    (void)state;
    assert_true(fabs(total("P120", "P150", "P180") - 16) < 1e-6);
    assert_true(fabs(total("P100", "P150", "P180") - 25) < 1e-6);
    assert_true(fabs(total("P80", "P120", "P180") - 36) < 1e-6);
}

static void curves_fall_with_the_grain_everywhere(void **state) {
    (void)state;
    for (size_t i = 1; i < grits.n; i++) {
        double a = grits.items[i - 1].size.v, b = grits.items[i].size.v;
        if (grits.items[i].series != grits.items[i - 1].series) continue;
        assert_true(bw_sanding_most(&sanding, a) > bw_sanding_most(&sanding, b));
        assert_true(bw_sanding_clear(&sanding, a) > bw_sanding_clear(&sanding, b));
        assert_true(bw_sanding_energy(&sanding, a, 700) < bw_sanding_energy(&sanding, b, 700));
        // Each grit clears its coarser neighbour within its own most, as the trade's steps do.
        assert_true(bw_sanding_clear(&sanding, a) <= bw_sanding_most(&sanding, b) * 1.3);
    }
    assert_true(fabs(bw_sanding_energy(&sanding, size_of("P80"), 700) - 0.25e9) < 1);
}

static void rubber_between_two_hardnesses_lies_between(void **state) {
    (void)state;
    double hard = bw_pressing_limits(&sanding, BW_PRESS_RUBBER, 95).most.v;
    double last = hard;
    assert_true(fabs(hard - 1e-3) < 1e-12);
    for (double shore = 84; shore > 10; shore -= 3) {
        double most = bw_pressing_limits(&sanding, BW_PRESS_RUBBER, shore).most.v;
        assert_true(most <= last);
        last = most;
    }
    assert_true(fabs(last - 0.05e-3) < 1e-12);
    assert_true(bw_pressing_limits(&sanding, BW_PRESS_PLATEN, (double)NAN).most.v < 0.1e-3);
}

static void woods_are_found_by_either_name(void **state) {
    (void)state;
    struct bw_err err = {0};
    const struct bw_wood *wood, *same;
    assert_true(bw_wood_find(arena, "Sugar Maple", &wood, &err));
    assert_true(bw_wood_find(arena, "hard maple", &same, &err));
    assert_string_equal(wood->name, same->name);
    assert_true(fabs(wood->hardness.v - 1450 * 4.4482216) < 1);
    assert_false(bw_wood_find(arena, "red mapel", &wood, &err));
    assert_non_null(strstr(err.mend, "red maple"));
}

static bool load_again(void *with) {
    (void)with;
    struct bw_err err = {0};
    struct bw_arena *fresh = bw_arena_new(0);
    struct bw_grits g;
    struct bw_sanding s;
    const struct bw_wood *wood;
    bool done = fresh != NULL && bw_grits_load(fresh, &g, &err) &&
                bw_sanding_load(fresh, &g, &s, &err) && bw_wood_find(fresh, "teak", &wood, &err);
    if (!done && fresh != NULL) assert_int_equal(err.code, BW_MEMORY);
    bw_arena_free(fresh);
    return done;
}

static void memory_may_run_out_anywhere(void **state) {
    (void)state;
    assert_true(torture(load_again, NULL) > 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_articles_totals_come_out),
        cmocka_unit_test(curves_fall_with_the_grain_everywhere),
        cmocka_unit_test(rubber_between_two_hardnesses_lies_between),
        cmocka_unit_test(woods_are_found_by_either_name),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests_name("sanding", tests, load, unload);
}
