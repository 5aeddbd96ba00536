// test_timber.c - equilibrium moisture against the whole published table, movement, soils, rods.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/earth.h"
#include "trade/timber.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

// Wood Handbook, FPL-GTR-190, table 4-2: temperature in Celsius (from whole tens of Fahrenheit),
// then moisture in % at 5, 10, ... 95 % humidity.
static const double TABLE[8][20] = {
    {-1.1, 1.4, 2.6, 3.7, 4.6, 5.5, 6.3, 7.1, 7.9, 8.7,
     9.5, 10.4, 11.3, 12.4, 13.5, 14.9, 16.5, 18.5, 21.0, 24.3},
    {4.4, 1.4, 2.6, 3.7, 4.6, 5.5, 6.3, 7.1, 7.9, 8.7,
     9.5, 10.4, 11.3, 12.3, 13.5, 14.9, 16.5, 18.5, 21.0, 24.3},
    {10.0, 1.4, 2.6, 3.6, 4.6, 5.5, 6.3, 7.1, 7.9, 8.7,
     9.5, 10.3, 11.2, 12.3, 13.4, 14.8, 16.4, 18.4, 20.9, 24.3},
    {15.6, 1.3, 2.5, 3.6, 4.6, 5.4, 6.2, 7.0, 7.8, 8.6,
     9.4, 10.2, 11.1, 12.1, 13.3, 14.6, 16.2, 18.2, 20.7, 24.1},
    {21.1, 1.3, 2.5, 3.5, 4.5, 5.4, 6.2, 6.9, 7.7, 8.5,
     9.2, 10.1, 11.0, 12.0, 13.1, 14.4, 16.0, 17.9, 20.5, 23.9},
    {26.7, 1.3, 2.4, 3.5, 4.4, 5.3, 6.1, 6.8, 7.6, 8.3,
     9.1, 9.9, 10.8, 11.7, 12.9, 14.2, 15.7, 17.7, 20.2, 23.6},
    {32.2, 1.2, 2.3, 3.4, 4.3, 5.1, 5.9, 6.7, 7.4, 8.1,
     8.9, 9.7, 10.5, 11.5, 12.6, 13.9, 15.4, 17.3, 19.8, 23.3},
    {37.8, 1.2, 2.3, 3.3, 4.2, 5.0, 5.8, 6.5, 7.2, 7.9,
     8.7, 9.5, 10.3, 11.2, 12.3, 13.6, 15.1, 17.0, 19.5, 22.9}};

static void moisture_is_the_handbooks(void **state) {
    (void)state;
    for (int i = 0; i < 8; i++) {
        // The table's own temperatures are 30, 40, ... 100 F.
        double t = (30 + 10 * i - 32) / 1.8 + 273.15;
        for (int k = 1; k < 20; k++) {
            double got = 100 * bw_wood_moisture(t, 0.05 * k);
            assert_true(fabs(got - TABLE[i][k]) < 0.06);
        }
    }
}

static void wood_and_soil_are_found_by_name(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {.code = BW_OK};
    const struct bw_movement *wood;
    const struct bw_soil *soil;
    assert_true(bw_movement_find(arena, "Sugar Maple", &wood, &err));
    assert_true(fabs(wood->tangential.v - 0.00353) < 1e-9);
    assert_true(bw_soil_find(arena, "rock", &soil, &err));
    assert_false(bw_movement_find(arena, "sugar mapel", &wood, &err));
    assert_non_null(strstr(err.mend, "sugar maple"));
    bw_err_clear(&err);
    assert_false(bw_soil_find(arena, "claay or loam", &soil, &err));
    assert_non_null(strstr(err.mend, "clay or loam"));
    bw_arena_free(arena);
}

static void more_rods_never_read_more(void **state) {
    (void)state;
    for (long n = 2; n <= 24; n++) assert_true(bw_rods(25, n) < bw_rods(25, n - 1));
    assert_true(fabs(bw_rods(40, 1) - 40) < 1e-12);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(moisture_is_the_handbooks),
        cmocka_unit_test(wood_and_soil_are_found_by_name),
        cmocka_unit_test(more_rods_never_read_more),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
