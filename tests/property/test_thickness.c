// test_thickness.c - one reading in twelve wrong by half a millimetre moves nothing that matters.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Random machines, panels and slips; every term of the spoilt fit is held against the sound one.
#include "study/thickness/thickness.h"

#include "base/format.h"
#include "numeric/random.h"
#include "study/thickness/record.h"
#include "support/ask.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

enum { COLUMNS = 3, ROWS = 4, PLACES = COLUMNS * ROWS, PANELS = 4, RUNS = 400 };

struct panels {
    double value[PANELS][PLACES];  // mm
};

static struct panels draw(uint64_t *random) {
    struct panels panels;
    double taper = bw_random_between(random, -0.4, 0.4),
           crown = bw_random_between(random, -0.1, 0.1);
    double lead = bw_random_between(random, -0.2, 0.05),
           trail = bw_random_between(random, -0.2, 0.05);
    for (int p = 0; p < PANELS; p++) {
        double step = 0.1 * bw_random_normal(random);
        for (int k = 0; k < PLACES; k++) {
            double u = k % COLUMNS - 1;
            int row = k / COLUMNS;
            panels.value[p][k] = 18 + step + taper * u * 0.27 + crown * (1.0 / 3 - u * u) +
                                 lead * (row == 0) + trail * (row == ROWS - 1) +
                                 0.02 * bw_random_normal(random);
        }
    }
    return panels;
}

static const struct thickness_output *fit(struct bw_arena *arena, const struct panels *panels,
                                          int n_panels) {
    static char json[40000];
    size_t n = (size_t)bw_format(json, sizeof json,
                                 "{\"panel_length\": \"900 mm\", \"panel_width\": \"600 mm\", "
                                 "\"readings\": [");
    for (int p = 0; p < n_panels; p++)
        for (int k = 0; k < PLACES; k++)
            n += (size_t)bw_format(json + n, sizeof json - n,
                                   "%s{\"value\": \"%.6f mm\", \"across\": \"%d mm\", "
                                   "\"along\": \"%d mm\", \"panel\": \"%d\"}",
                                   p + k > 0 ? ", " : "", panels->value[p][k],
                                   30 + 270 * (k % COLUMNS), 30 + 280 * (k / COLUMNS), p);
    (void)bw_format(json + n, sizeof json - n, "]}");
    return must_ask(arena, &bw_study_thickness, json);
}

// How far terms and panel steps moved, in the spoilt fit's own standard deviations.
struct count {
    int terms, over;
    double worst;
};

static void count_move(struct bw_quantity sound, struct bw_quantity spoilt, struct count *count) {
    double moved = fabs(sound.v - spoilt.v) / spoilt.sd;
    count->terms++;
    count->over += moved > 1;
    count->worst = fmax(count->worst, moved);
}

static void count_moves(const struct thickness_output *sound, const struct thickness_output *spoilt,
                        struct count *count) {
    assert_int_equal(sound->terms.n, spoilt->terms.n);
    for (size_t i = 0; i < sound->terms.n; i++)
        count_move(((const struct thickness_term *)sound->terms.items + i)->value,
                   ((const struct thickness_term *)spoilt->terms.items + i)->value, count);
    for (size_t i = 0; i < sound->panels.n; i++)
        count_move(((const struct thickness_panel *)sound->panels.items + i)->mean,
                   ((const struct thickness_panel *)spoilt->panels.items + i)->mean, count);
}

// Leaving a reading out moves a term by chance, whatever finds it: with 4 of 48 gone by 0.3 of its
// standard deviation usually, by more than one where several slips hit one end of the panels. So
// one term in a hundred may move by more than one and none by two; and the fit is that of the
// readings without the slips, which nobody can better.
static void one_reading_in_twelve_may_be_wrong(void **state) {
    (void)state;
    uint64_t random = 2026;
    struct count count = {0};
    for (int run = 0; run < RUNS; run++) {
        struct bw_arena *arena = bw_arena_new(0);
        assert_non_null(arena);
        struct panels panels = draw(&random);
        const struct thickness_output *sound = fit(arena, &panels, PANELS);
        for (int p = 0; p < PANELS; p++) {
            int k = (int)(bw_random_uniform(&random) * PLACES);
            panels.value[p][k] += bw_random_uniform(&random) < 0.5 ? 0.5 : -0.5;
        }
        const struct thickness_output *spoilt = fit(arena, &panels, PANELS);
        count_moves(sound, spoilt, &count);
        size_t found = 0;
        for (size_t i = 0; i < spoilt->wrong.n; i++)
            found +=
                fabs(((const struct thickness_wrong *)spoilt->wrong.items + i)->off.v) > 0.4e-3;
        assert_int_equal(found, PANELS);
        bw_arena_free(arena);
    }
    print_message("moved by more than 1 sd: %d of %d terms, worst by %.2f\n", count.over,
                  count.terms, count.worst);
    assert_true(count.over * 100 <= count.terms);
    assert_true(count.worst < 2);
}

// Each of the twelve places of one panel in turn, both ways: found every time, and no other.
static void each_place_of_one_panel_in_turn(void **state) {
    (void)state;
    uint64_t random = 5;
    struct panels panels = draw(&random);
    for (int k = 0; k < 2 * PLACES; k++) {
        struct bw_arena *arena = bw_arena_new(0);
        assert_non_null(arena);
        struct panels spoilt = panels;
        spoilt.value[0][k / 2] += k % 2 == 0 ? 0.5 : -0.5;
        const struct thickness_output *out = fit(arena, &spoilt, 1);
        assert_int_equal(out->wrong.n, 1);
        const struct thickness_wrong *wrong = out->wrong.items;
        assert_true(fabs(wrong->value.v * 1e3 - spoilt.value[0][k / 2]) < 1e-6);
        bw_arena_free(arena);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_reading_in_twelve_may_be_wrong),
        cmocka_unit_test(each_place_of_one_panel_in_turn),
    };
    return cmocka_run_group_tests_name("thickness", tests, NULL, NULL);
}
