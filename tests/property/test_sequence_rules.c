// test_sequence_rules.c - no plan ever breaks a limit: random shops, checked by rules written anew.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The limits are reckoned here from the article's figures in inches and plain formulas, with none
// of the program's own functions.
#include "base/alloc.h"
#include "base/buffer.h"
#include "study/sequence/record.h"
#include "study/sequence/sequence.h"
#include "support/ask.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#define SHOPS 40
#define INCH 0.0254

static uint64_t seed = 9026;
static int pick(int low, int high) {
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return low + (int)(seed % (uint64_t)(high - low + 1));
}

struct grit {
    const char *name;
    double most, clear;  // in
    double energy;       // J/mm3 at 700 kg/m3, 0: between rows
    bool stain;          // may be last under stain
};
static const struct grit GRITS[] = {
    {"P60", 0.035, 0.015, 0.20, false},   {"P80", 0.024, 0.008, 0.25, false},
    {"P100", 0.017, 0.006, 0, false},     {"P120", 0.010, 0.004, 0.40, false},
    {"P150", 0.006, 0.002, 0, true},      {"P180", 0.004, 0.001, 0.70, true},
    {"P220", 0.002, 0.0005, 1.00, false},
};
enum { GRIT_COUNT = sizeof GRITS / sizeof *GRITS };

static int grit_named(const char *name) {
    for (int i = 0; i < GRIT_COUNT; i++)
        if (strcmp(GRITS[i].name, name) == 0) return i;
    fail_msg("%s was not on the shelf", name);
    return -1;
}

struct shop {
    double need, width, cap;  // m
    bool shelf[GRIT_COUNT];
};

// The one-head example: 15 hp, 8 to 30 ft/min, rubber of 60 Shore A (0.6 mm at 70, 0.3 mm at 55).
static void check_step(const struct shop *shop, const struct sequence_step *step, int before) {
    int g = grit_named(step->grit);
    double takes = step->takes.v * (1 - 1e-6), feed = step->feed.v;
    assert_true(shop->shelf[g]);
    assert_true(takes <= GRITS[g].most * INCH);
    assert_true(takes <= 0.6e-3 * pow(0.5, 10.0 / 15));
    assert_true(before < 0 || g >= before);
    if (before >= 0 && g > before) {
        assert_true(g - before <= 2);  // one grade left out at most
        assert_true(step->takes.v >= GRITS[before].clear * INCH * (1 - 1e-6));
    }
    assert_true(feed >= 8 * 0.3048 / 60 * (1 - 1e-9) && feed <= 12.0 / 60 * (1 + 1e-9));
    if (GRITS[g].energy > 0) {
        double u = GRITS[g].energy * 1e9 * pow(705.0 / 700, 1.15);  // northern red oak
        double power = 1.5 * u * shop->width * takes * feed / 0.9;
        assert_true(power <= 15 * 745.7 * 1.001);
    }
}

static void check_plan(const struct shop *shop, const struct sequence_plan *plan) {
    double sum = 0;
    int before = -1;
    const struct sequence_step *steps = plan->steps.items;
    for (size_t i = 0; i < plan->steps.n; i++) {
        check_step(shop, &steps[i], before);
        before = grit_named(steps[i].grit);
        sum += steps[i].takes.v;
    }
    assert_true(GRITS[before].stain);
    assert_true(sum >= shop->need * (1 - 1e-6) && sum <= shop->cap * (1 + 1e-6));
}

static const char *draw(struct bw_buffer *doc, struct shop *shop) {
    double spread = 0.01 * pick(0, 80), marks = 0.01 * pick(1, 20);
    bool exact = pick(0, 2) == 0;
    *shop = (struct shop){.need = 1e-3 * (spread + marks), .width = 1e-3 * pick(100, 900)};
    shop->cap = 1;
    bw_buffer_format(doc,
                     "{\"machine\": \"examples/one-head.yaml\", \"wood\": \"red oak\", "
                     "\"spread\": \"%.2f mm\", \"marks\": \"%.2f mm\", \"width\": \"%.0f mm\", "
                     "\"passes\": %d",
                     spread, marks, 1e3 * shop->width, pick(1, 4));
    if (exact) {
        double remove = spread + marks + 0.01 * pick(0, 30);
        bw_buffer_format(doc, ", \"remove\": \"%.2f mm\"", remove);
        shop->need = 1e-3 * remove - 3e-6;  // whole steps within
        shop->cap = 1e-3 * remove;
    }
    bw_buffer_text(doc, ", \"belts\": [\"P150\"");
    shop->shelf[4] = true;
    for (int i = 0; i < GRIT_COUNT; i++) {
        if (i == 4 || pick(0, 1) == 0) continue;
        shop->shelf[i] = true;
        bw_buffer_format(doc, ", \"%s\"", GRITS[i].name);
    }
    bw_buffer_text(doc, "]}");
    return bw_buffer_take(doc);
}

static void no_plan_breaks_a_limit(void **state) {
    (void)state;
    size_t planned = 0, clashed = 0;
    for (int i = 0; i < SHOPS; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_buffer doc = {0};
        struct shop shop;
        char *json = (char *)draw(&doc, &shop);
        const struct sequence_output *out = must_ask(arena, &bw_study_sequence, json);
        for (size_t k = 0; k < out->plans.n; k++)
            check_plan(&shop, (const struct sequence_plan *)out->plans.items + k);
        planned += out->plans.n > 0;
        clashed += out->clashes.n > 0;
        assert_true((out->plans.n > 0) != (out->clashes.n > 0));
        bw_free(json);
        bw_arena_free(arena);
    }
    assert_true(planned > SHOPS / 4 && clashed > 3);  // the draw is worth something
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(no_plan_breaks_a_limit)};
    return cmocka_run_group_tests_name("sequence rules", tests, NULL, NULL);
}
