// test_moist_air.c - moist air against an independent library over a dense grid, and round trips.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/moist_air.h"

#include "base/number.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void near(double got, double expected, double tolerance, const char *row) {
    if (fabs(got - expected) <= tolerance) return;
    print_error("%s: got %.10g, expected %.10g\n", row, got, expected);
    fail();
}

// The reference solves dew point and wet bulb to 0.001 K only, which sets those tolerances.
static void agrees_with_the_reference_library(void **state) {
    (void)state;
    FILE *file = fopen("tests/fixtures/psychrometrics.csv", "r");
    assert_non_null(file);
    char line[200];
    int rows = 0;
    while (fgets(line, sizeof line, file) != NULL) {
        double v[8];
        char *at = line;
        int n = 0;
        while (n < 8) {
            size_t length = strcspn(at, ",\r\n");
            struct bw_err ignored = {.code = BW_OK};
            if (!bw_number(at, length, &v[n], &ignored)) break;
            n++;
            at += length + (at[length] == ',');
        }
        if (n < 8) continue;
        rows++;
        struct bw_moist_air air;
        struct bw_err err = {.code = BW_OK};
        struct bw_moist_given given = {v[0] + BW_ZERO_C, v[1], (double)NAN, (double)NAN};
        assert_true(bw_air_of(given, v[2], &air, &err));
        near(air.ratio, v[3], 1e-9 + 1e-9 * v[3], line);
        near(air.dew_point - BW_ZERO_C, v[4], 0.002, line);
        near(air.wet_bulb - BW_ZERO_C, v[5], 0.002, line);
        near(air.enthalpy, v[6], 0.01, line);
        near(air.volume, v[7], 1e-7 * v[7], line);
    }
    assert_int_equal(fclose(file), 0);
    assert_int_equal(rows, 41 * 11 * 4);
}

// Any two of the four give the same air, wherever both are defined.
static void any_two_give_the_same_air(void **state) {
    (void)state;
    const double none = (double)NAN;
    for (double t = -30; t <= 55; t += 5) {
        for (double h = 0.05; h < 1; h += 0.15) {
            struct bw_err err = {.code = BW_OK};
            struct bw_moist_air a, b;
            double k = t + BW_ZERO_C;
            assert_true(bw_air_of((struct bw_moist_given){k, h, none, none}, 95e3, &a, &err));
            const struct bw_moist_given pairs[] = {{k, none, a.wet_bulb, none},
                                                   {k, none, none, a.dew_point},
                                                   {none, h, a.wet_bulb, none},
                                                   {none, h, none, a.dew_point},
                                                   {none, none, a.wet_bulb, a.dew_point}};
            for (int i = 0; i < 5; i++) {
                // Near an ice bulb of 0 °C two temperatures share one: the band is skipped.
                bool bulb = !isnan(pairs[i].wet_bulb);
                if (bulb && fabs(a.wet_bulb - BW_ZERO_C) < 0.6) continue;
                assert_true(bw_air_of(pairs[i], 95e3, &b, &err));
                assert_true(fabs(b.temperature - a.temperature) < 1e-4);
                assert_true(fabs(b.ratio - a.ratio) < 1e-6 * (1 + a.ratio));
            }
        }
    }
}

static void converges_wherever_it_may_be_asked(void **state) {
    (void)state;
    for (double t = -100; t <= 199; t += 7.3) {
        for (double h = 0; h <= 0.9; h += 0.09) {
            for (double p = 60e3; p <= 110e3; p += 25e3) {
                double vapour = h * bw_air_saturation(t + BW_ZERO_C);
                if (vapour > 0.9 * p) continue;
                struct bw_moist_air air =
                    bw_air_of_ratio(t + BW_ZERO_C, bw_air_ratio(vapour, p), p);
                assert_true(air.dew_point <= air.wet_bulb + 1e-6);
                assert_true(air.wet_bulb <= air.temperature + 1e-6);
                assert_true(air.density > 0 && air.volume > 0);
            }
        }
    }
}

static void air_that_cannot_be_is_refused(void **state) {
    (void)state;
    const double none = (double)NAN;
    const struct bw_moist_given wrong[] = {
        {none, none, none, none},         {293, 0.5, 290, none},      {293, none, 294, none},
        {293, none, none, 294},           {293, none, 270, none},     {none, none, 280, 285},
        {none, 1e-9, none, 330}};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        struct bw_err err = {.code = BW_OK};
        struct bw_moist_air air;
        assert_false(bw_air_of(wrong[i], 101325, &air, &err));
        assert_int_equal(err.code, BW_INPUT);
        assert_true(err.mend[0] != '\0');
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_the_reference_library),
        cmocka_unit_test(any_two_give_the_same_air),
        cmocka_unit_test(converges_wherever_it_may_be_asked),
        cmocka_unit_test(air_that_cannot_be_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
