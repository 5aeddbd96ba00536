// test_belt.c - the study `belt`: the trade's rules, sizes, segmented belts, what is refused.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/belt/belt.h"

#include "study/belt/record.h"
#include "support/ask.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#define THREE "\"machine\": \"examples/three-head.yaml\", "

static struct bw_arena *arena;
static int begin(void **state) {
    (void)state;
    arena = bw_arena_new(0);
    return arena == NULL ? 1 : 0;
}
static int end(void **state) {
    (void)state;
    bw_arena_free(arena);
    return 0;
}

static const struct belt_output *ask(const char *json) {
    return must_ask(arena, &bw_study_belt, json);
}
static const char *choice(const struct belt_output *out, const char *part) {
    for (size_t i = 0; i < out->parts.n; i++) {
        const struct belt_part *at = (const struct belt_part *)out->parts.items + i;
        if (strcmp(at->part, part) == 0) return at->choice;
    }
    fail_msg("no %s", part);
    return NULL;
}
static bool some(const struct bw_list *list, const char *words) {
    for (size_t i = 0; i < list->n; i++)
        if (strstr(((const struct belt_line *)list->items + i)->text, words) != NULL) return true;
    return false;
}

struct rule {
    int head;
    const char *grit, *wood, *part, *choice;
};

// Common practice, no source: what the trade orders.
static void the_trades_rules_hold(void **state) {
    (void)state;
    static const struct rule RULES[] = {
        {1, "P40", "red oak", "backing", "Y polyester"},
        {1, "P60", "red oak", "joint", "overlap with full coat"},
        {1, "P60", "red oak", "mineral", "zirconia alumina"},
        {1, "P60", "jatoba", "mineral", "ceramic alumina"},
        {1, "P80", "red oak", "backing", "X cloth"},
        {2, "P120", "red oak", "backing", "X cloth"},
        {2, "P120", "red oak", "joint", "overlap, grain partly removed"},
        {3, "P120", "red oak", "joint", "butt with tape, straight"},
        {3, "P150", "red oak", "backing", "F paper"},
        {3, "P150", "red oak", "joint", "overlap, grain removed"},
        {3, "P180", "red oak", "direction", "by the arrow"},
        {3, "P220", "red oak", "backing", "E paper"},
        {3, "P150", "Scots pine", "coat", "open"},
        {3, "P150", "Scots pine", "topcoat", "stearate"},
        {3, "P150", "yellow poplar", "coat", "semi-open"},
        {3, "P150", "sugar maple", "coat", "closed"},
        {3, "P150", "MDF", "mineral", "silicon carbide"},
        {3, "P320", "sealer", "backing", "3 mil film"},
        {3, "P320", "sealer", "joint", "butt with tape let in"},
        {3, "CAMI 120", "red oak", "backing", "X cloth"},
    };
    for (size_t i = 0; i < sizeof RULES / sizeof *RULES; i++) {
        const struct rule *r = &RULES[i];
        char json[300];
        (void)snprintf(json, sizeof json,
                       "{" THREE "\"head\": %d, \"grit\": \"%s\", \"wood\": \"%s\"}", r->head,
                       r->grit, r->wood);
        const char *got = choice(ask(json), r->part);
        if (strcmp(got, r->choice) != 0)
            fail_msg("%s on %s, head %d: %s is %s", r->grit, r->wood, r->head, r->part, got);
    }
}

static void a_belt_that_turns_has_no_overlap(void **state) {
    (void)state;
    const struct belt_output *out = ask(
        "{" THREE "\"head\": 2, \"grit\": \"P120\", \"wood\": \"red oak\", \"reverses\": \"yes\"}");
    assert_string_equal(choice(out, "joint"), "butt with tape, straight");
    assert_string_equal(choice(out, "direction"), "either way");
}

static void an_old_belt_gives_the_size(void **state) {
    (void)state;
    const struct belt_output *out =
        ask("{" THREE "\"grit\": \"P80\", \"wood\": \"red oak\", \"edge_left\": \"2616 mm\", "
            "\"edge_right\": \"2619 mm\"}");
    assert_true(fabs(out->skew.v - 3e-3) < 1e-9);
    assert_true(some(&out->notes, "send it back"));
    assert_true(fabs(out->length.v - 103 * 0.0254) < 1e-9);  // the print stands
    assert_true(fabs(out->length_tolerance.v - 5e-3) < 1e-12);
    assert_true(fabs(out->width_tolerance.v - 3e-3) < 1e-12);
    out = ask("{" THREE "\"grit\": \"P80\", \"wood\": \"red oak\", \"edge_left\": \"2600 mm\", "
              "\"edge_right\": \"2600 mm\"}");
    assert_true(some(&out->notes, "measure once more"));
}

static void wider_than_the_roll_is_segmented(void **state) {
    (void)state;
    const struct belt_output *out =
        ask("{" THREE "\"grit\": \"P80\", \"wood\": \"MDF\", \"width\": \"2100 mm\", \"length\": "
            "\"3250 mm\", \"roll\": \"1600 mm\"}");
    // 3250 cos 20 deg = 3054 mm, in strips of 1600 mm: two.
    assert_int_equal(out->splices, 2);
    assert_true(fabs(out->splice_rate.v - 2 * 24 / 3.25) < 1e-9);
    assert_non_null(strstr(out->machine_lines, "splices: 2, joint: segmented"));
    assert_string_equal(choice(out, "joint"), "segmented, strips on the bias");
}

static void the_shops_air_and_the_wood_are_minded(void **state) {
    (void)state;
    const struct belt_output *out =
        ask("{" THREE "\"grit\": \"P40\", \"wood\": \"white oak\", \"humidity\": \"70 %\", "
            "\"temperature\": \"8 °C\"}");
    assert_true(some(&out->storage, "damp") && some(&out->storage, "8 °C"));
    assert_true(some(&out->storage, "set in the cold"));
    assert_true(some(&out->notes, "blue-black"));
}

static void against_what_is_fitted(void **state) {
    (void)state;
    const struct belt_output *out =
        ask("{" THREE "\"head\": 3, \"grit\": \"P180\", \"wood\": \"red oak\", \"fitted_backing\": "
            "\"x cloth\", \"fitted_joint\": \"overlap, grain removed\"}");
    assert_int_equal(out->against.n, 1);  // the grit and the joint are what is fitted
    assert_true(some(&out->against, "backing: x cloth now"));
    out =
        ask("{" THREE "\"head\": 3, \"grit\": \"P180\", \"wood\": \"red oak\", \"fitted_backing\": "
            "\"X cloth\", \"fitted_coat\": \"open\"}");
    assert_true(some(&out->against, "one of them first"));
}

struct refused {
    const char *json, *field;
};
static void what_cannot_be_taken_is_told(void **state) {
    (void)state;
    static const struct refused CASES[] = {
        {"{" THREE "\"head\": 4, \"grit\": \"P80\", \"wood\": \"red oak\"}", "head"},
        {"{" THREE "\"grit\": \"80\", \"wood\": \"red oak\"}", "grit"},
        {"{" THREE "\"grit\": \"P80\", \"wood\": \"cheese\"}", "wood"},
        {"{" THREE "\"grit\": \"P80\", \"wood\": \"red oak\", \"edge_left\": \"2 m\"}",
         "edge_right"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        struct bw_err err = {0};
        assert_null(ask_study(arena, &bw_study_belt, CASES[i].json, &err));
        assert_string_equal(err.field, CASES[i].field);
    }
}

static bool ask_again(void *with) {
    struct bw_err err = {0};
    struct bw_arena *fresh = bw_arena_new(0);
    bool done = fresh != NULL && ask_study(fresh, &bw_study_belt, with, &err) != NULL;
    if (!done && fresh != NULL) assert_int_equal(err.code, BW_MEMORY);
    bw_arena_free(fresh);
    return done;
}
static void memory_may_run_out_anywhere(void **state) {
    (void)state;
    static char asked[] = "{" THREE "\"grit\": \"P80\", \"wood\": \"red oak\"}";
    assert_true(torture(ask_again, asked) > 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_trades_rules_hold),
        cmocka_unit_test(a_belt_that_turns_has_no_overlap),
        cmocka_unit_test(an_old_belt_gives_the_size),
        cmocka_unit_test(wider_than_the_roll_is_segmented),
        cmocka_unit_test(the_shops_air_and_the_wood_are_minded),
        cmocka_unit_test(against_what_is_fitted),
        cmocka_unit_test(what_cannot_be_taken_is_told),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests_name("belt", tests, begin, end);
}
