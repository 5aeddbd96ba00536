// test_axis.c - ranges, ticks and places of an axis.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/number.h"
#include "report/axis.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void assert_near(double value, double expected, double tolerance) {
    assert_true(fabs(value - expected) <= tolerance);
}

static struct bw_axis axis_over(double lo, double hi, bool log, size_t most, bool round_out) {
    struct bw_axis axis = bw_axis_begin(BW_DIM_NUMBER, BW_UNITS_SI, log);
    axis.whole = false;
    bw_axis_cover(&axis, lo);
    bw_axis_cover(&axis, hi);
    bw_axis_settle(&axis, most, round_out);
    return axis;
}

// The ticks' words with a space between.
static void assert_ticks(const struct bw_axis *axis, const char *expected) {
    char all[400] = "";
    size_t used = 0;
    for (size_t i = 0; i < axis->n; i++) {
        int n =
            snprintf(all + used, sizeof all - used, "%s%s", i == 0 ? "" : " ", axis->ticks[i].text);
        assert_true(n > 0);
        used += (size_t)n;
    }
    assert_string_equal(all, expected);
}

static void test_linear_ticks(void **state) {
    (void)state;
    static const struct {
        double lo, hi;
        size_t most;
        const char *ticks;
    } CASES[] = {
        {0, 10, 6, "0 2 4 6 8 10"},
        {0, 10, 11, "0 1 2 3 4 5 6 7 8 9 10"},
        {3, 12, 9, "4 6 8 10 12"},
        {0, 1, 6, "0 0.2 0.4 0.6 0.8 1"},
        {-0.5, 0.5, 6, "-0.4 -0.2 0 0.2 0.4"},
        {18.2, 18.8, 8, "18.2 18.3 18.4 18.5 18.6 18.7 18.8"},
        {0, 0.00035, 8, "0 0.00005 0.0001 0.00015 0.0002 0.00025 0.0003 0.00035"},
        {0, 12600, 4, "0 5000 10000"},
        {1e9, 1.5e9, 4, "1000000000 1200000000 1400000000"},
        {0, 3e-12, 4, "0 1e-12 2e-12 3e-12"},
        {-2.4e12, -1e12, 8, "-2.4e12 -2.2e12 -2e12 -1.8e12 -1.6e12 -1.4e12 -1.2e12 -1e12"},
        {1.2e-7, 1.5e-7, 4, "1.2e-7 1.3e-7 1.4e-7 1.5e-7"},
        {0, 0.000003, 4, "0 0.000001 0.000002 0.000003"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        struct bw_axis axis = axis_over(CASES[i].lo, CASES[i].hi, false, CASES[i].most, false);
        assert_ticks(&axis, CASES[i].ticks);
    }
}

static void test_rounding_out(void **state) {
    (void)state;
    struct bw_axis axis = axis_over(1.3, 28.2, false, 8, true);
    assert_ticks(&axis, "0 5 10 15 20 25 30");
    assert_true(axis.lo == 0 && axis.hi == 30);
    axis = axis_over(0.9, 4.1, false, 5, true);  // 0.9 to 4.1 in steps of 1 would be six ticks
    assert_ticks(&axis, "0 2 4 6");
}

static void test_log_ticks(void **state) {
    (void)state;
    static const struct {
        double lo, hi;
        size_t most;
        const char *ticks;
    } CASES[] = {
        {1, 1000, 10, "1 2 5 10 20 50 100 200 500 1000"},
        {1, 1000, 6, "1 10 100 1000"},
        {0.4, 20, 9, "0.5 1 2 5 10 20"},
        {1e-9, 1e9, 5, "1e-9 0.00001 0.1 1000 10000000"},
        {2.1, 4.9, 6, "2.5 3 3.5 4 4.5"},  // within a decade: even steps
        {1e-6, 3e-6, 6, "0.000001 0.0000015 0.000002 0.0000025 0.000003"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        struct bw_axis axis = axis_over(CASES[i].lo, CASES[i].hi, true, CASES[i].most, false);
        assert_ticks(&axis, CASES[i].ticks);
    }
}

static void test_whole_numbers(void **state) {
    (void)state;
    struct bw_axis axis = bw_axis_begin(BW_DIM_NUMBER, BW_UNITS_SI, false);
    bw_axis_cover(&axis, 1);
    bw_axis_cover(&axis, 3);
    bw_axis_settle(&axis, 9, false);
    assert_ticks(&axis, "1 2 3");
}

static void test_what_has_no_place(void **state) {
    (void)state;
    struct bw_axis axis = bw_axis_begin(BW_DIM_LENGTH, BW_UNITS_SI, true);
    static const double NONE[] = {NAN, INFINITY, -INFINITY, 0, -1, 1e300, 1e-300};
    double px = 7;
    for (size_t i = 0; i < sizeof NONE / sizeof NONE[0]; i++) bw_axis_cover(&axis, NONE[i]);
    bw_axis_settle(&axis, 6, true);
    assert_true(axis.lo == 1 && axis.hi == 10);
    for (size_t i = 0; i < sizeof NONE / sizeof NONE[0]; i++)
        assert_false(bw_axis_place(&axis, NONE[i], &px));
    assert_true(px == 7);
}

static void test_nothing_and_one_value(void **state) {
    (void)state;
    struct bw_axis axis = bw_axis_begin(BW_DIM_LENGTH, BW_UNITS_SI, false);
    bw_axis_settle(&axis, 6, true);
    assert_true(axis.lo == 0 && axis.hi == 1);
    axis = axis_over(5, 5, false, 6, false);
    assert_true(axis.lo == 4.5 && axis.hi == 5.5);
    axis = axis_over(0, 0, false, 6, false);
    assert_true(axis.lo == -1 && axis.hi == 1);
    axis = axis_over(5, 5, true, 6, false);
    assert_true(axis.lo == 2.5 && axis.hi == 10);
    axis = axis_over(1e6, 1e6 + 1e-5, false, 6, false);  // noise of the last digits
    assert_true(axis.hi - axis.lo > 1e5);
}

static void test_places(void **state) {
    (void)state;
    double px;
    struct bw_axis axis = bw_axis_begin(BW_DIM_FEED, BW_UNITS_SI, false);
    bw_axis_cover(&axis, 0);
    bw_axis_cover(&axis, 0.2);  // 12 m/min
    bw_axis_settle(&axis, 7, false);
    axis.begin = 100;
    axis.end = 400;
    assert_true(bw_axis_place(&axis, 0.1, &px));
    assert_near(px, 250, 1e-9);
    assert_true(bw_axis_place(&axis, 1e90, &px));  // far off, but printable
    assert_near(px, 400 + 1e5, 1e-6);
    struct bw_axis down = axis_over(1, 100, true, 7, false);
    down.begin = 300;
    down.end = 100;
    assert_true(bw_axis_place(&down, 10, &px));
    assert_near(px, 200, 1e-9);
}

// Numerical Recipes' minimal generator, so that every machine draws the same.
static double draw(uint32_t *seed) {
    *seed = (uint32_t)((uint64_t)*seed * 16807 % 2147483647);
    return (double)*seed / 2147483647;
}

static void assert_one_two_five(double step) {
    double power = pow(10, floor(log10(step) + 1e-5)), digit = step / power;
    bool good = fabs(digit - 1) < 1e-4 || fabs(digit - 2) < 1e-4 || fabs(digit - 5) < 1e-4;
    assert_true(good);
}

static void test_any_range(void **state) {
    (void)state;
    uint32_t seed = 1;
    for (int i = 0; i < 20000; i++) {
        double lo = (draw(&seed) - 0.5) * pow(10, 20 * draw(&seed) - 10);
        double hi = lo + pow(10, 20 * draw(&seed) - 10);
        size_t most = 3 + (size_t)(13 * draw(&seed));
        struct bw_axis axis = axis_over(lo, hi, false, most, i % 2 == 0);
        assert_true(axis.lo < axis.hi && axis.n <= most && axis.n >= 1);
        for (size_t k = 0; k < axis.n; k++) {
            double value, size = axis.hi - axis.lo;
            struct bw_err err = {0};
            const char *text = axis.ticks[k].text;
            assert_true(bw_number(text, strlen(text), &value, &err));
            assert_near(value / size, axis.ticks[k].at / size, 1e-6);
            assert_true(value >= axis.lo - 1e-6 * size && value <= axis.hi + 1e-6 * size);
            if (k > 0) assert_one_two_five(axis.ticks[k].at - axis.ticks[k - 1].at);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_linear_ticks),
        cmocka_unit_test(test_rounding_out),
        cmocka_unit_test(test_log_ticks),
        cmocka_unit_test(test_whole_numbers),
        cmocka_unit_test(test_what_has_no_place),
        cmocka_unit_test(test_nothing_and_one_value),
        cmocka_unit_test(test_places),
        cmocka_unit_test(test_any_range),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
