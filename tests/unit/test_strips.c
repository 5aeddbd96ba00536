// test_strips.c - a picture cut into strips: means, both directions, slow light, outliers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/strips.h"

#include "support/panel.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

static struct bw_strips cut(const struct panel *panel, bool down) {
    struct bw_rows rows = panel_rows(panel);
    struct bw_strips_options options = {down, 8, 60};
    struct bw_strips strips;
    struct bw_err err = {0};
    if (!bw_strips_take(&rows, &options, &strips, &err)) fail_msg("%s", err.what);
    return strips;
}

static struct panel turned(const struct panel *panel) {
    struct panel other = panel_new(panel->height, panel->width, 0, 1);
    for (size_t y = 0; y < panel->height; y++)
        for (size_t x = 0; x < panel->width; x++)
            other.light[x * other.width + y] = panel->light[y * panel->width + x];
    return other;
}

static void both_directions_give_the_same(void **state) {
    (void)state;
    struct panel panel = panel_new(500, 210, 0.1, 3), other = turned(&panel);
    struct bw_strips along = cut(&panel, false), down = cut(&other, true);
    assert_int_equal(along.n, 26);
    assert_int_equal(along.length, 250);
    assert_int_equal(down.n, along.n);
    assert_int_equal(down.length, along.length);
    for (size_t i = 0; i < along.n * along.length; i++)
        assert_true(fabsf(along.light[i] - down.light[i]) < 2e-6f);
    bw_strips_free(&along);
    bw_strips_free(&down);
    panel_free(&panel);
    panel_free(&other);
}

// A lamp's fall-off goes, a wave of 20 pixels stays: its strength within 2 % of what averaging over
// a sample of two pixels leaves.
static void slow_light_goes_and_marks_stay(void **state) {
    (void)state;
    struct panel panel = panel_new(600, 64, 0, 1);
    for (size_t y = 0; y < panel.height; y++)
        for (size_t x = 0; x < panel.width; x++)
            panel.light[y * panel.width + x] *= (float)(0.3 + 1.5 * (double)x / 600);
    panel_mark(&panel, &(struct panel_marks){20, 0, 0.02, 1, false});
    struct bw_strips strips = cut(&panel, false);
    double re = 0, im = 0;
    for (size_t i = 50; i < 250; i++) {  // ten periods of ten samples, twice
        double phase = 2 * M_PI * (double)i / 10;
        re += (double)strips.light[i] * cos(phase) / 100;
        im += (double)strips.light[i] * sin(phase) / 100;
    }
    assert_true(fabs(hypot(re, im) / (0.02 * cos(M_PI / 20)) - 1) < 0.02);
    bw_strips_free(&strips);
    panel_free(&panel);
}

// A crack a hundred times stronger than the texture is cut to three of its standard deviations.
static void an_outlier_is_cut(void **state) {
    (void)state;
    struct panel panel = panel_new(600, 64, 0.05, 9);
    for (size_t y = 0; y < panel.height; y++)
        for (size_t x = 300; x < 304; x++) panel.light[y * panel.width + x] = 0.001f;
    struct bw_strips strips = cut(&panel, false);
    float sd = 0.05f / 4;  // of a mean of 16 pixels
    for (size_t i = 0; i < strips.n * strips.length; i++)
        assert_true(fabsf(strips.light[i]) < 4 * sd);
    bw_strips_free(&strips);
    panel_free(&panel);
}

static void a_small_picture_is_refused(void **state) {
    (void)state;
    struct panel panel = panel_new(100, 200, 0.1, 1);
    struct bw_rows rows = panel_rows(&panel);
    struct bw_strips_options options = {false, 8, 20};
    struct bw_strips strips = {.n = 77};
    struct bw_err err = {0};
    assert_false(bw_strips_take(&rows, &options, &strips, &err));
    assert_int_equal(err.code, BW_INPUT);
    assert_string_not_equal(err.mend, "");
    assert_int_equal(strips.n, 77);
    panel_free(&panel);
}

static bool take(void *with) {
    struct bw_rows rows = panel_rows(with);
    struct bw_strips_options options = {false, 8, 60};
    struct bw_strips strips;
    struct bw_err err = {0};
    bool done = bw_strips_take(&rows, &options, &strips, &err);
    if (done)
        bw_strips_free(&strips);
    else
        assert_int_equal(err.code, BW_MEMORY);
    return done;
}

static void want_of_memory_is_told(void **state) {
    (void)state;
    struct panel panel = panel_new(300, 100, 0.1, 1);
    torture(take, &panel);
    panel_free(&panel);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(both_directions_give_the_same),
        cmocka_unit_test(slow_light_goes_and_marks_stay),
        cmocka_unit_test(an_outlier_is_cut),
        cmocka_unit_test(a_small_picture_is_refused),
        cmocka_unit_test(want_of_memory_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
