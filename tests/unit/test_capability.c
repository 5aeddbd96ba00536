// test_capability.c - capability and its intervals against published examples.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/capability.h"

#include "numeric/random.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#define NEAR(a, b, tolerance) assert_true(fabs((a) - (b)) <= (tolerance))

// SAS/QC User's Guide, CAPABILITY procedure, example "Displaying a Confidence Interval for Cpk":
// 75 amplifiers, limits 4 and 6 dB, 90 % interval 0.328 to 0.496 (read in; the data stand in its
// sample library as CAPSPEC3).
static void the_interval_of_cpk_is_the_published_one(void **state) {
    (void)state;
    static const double DB[75] = {
        4.54, 4.87, 4.66, 4.90, 4.68, 5.22, 4.43, 5.14, 3.07, 4.22, 5.09, 3.41, 5.75, 5.16, 3.96,
        5.37, 5.70, 4.11, 4.83, 4.51, 4.57, 4.16, 5.73, 3.64, 5.48, 4.95, 4.57, 4.46, 4.75, 5.38,
        5.19, 4.35, 4.98, 4.87, 3.53, 4.46, 4.57, 4.69, 5.27, 4.67, 5.03, 4.50, 5.35, 4.55, 4.05,
        6.63, 5.32, 5.24, 5.73, 5.08, 5.07, 5.42, 5.05, 5.70, 4.79, 4.34, 5.06, 4.64, 4.82, 3.24,
        4.79, 4.46, 3.84, 5.05, 5.46, 4.64, 6.13, 4.31, 4.81, 4.98, 4.95, 5.57, 4.11, 4.15, 5.95};
    struct bw_spread spread = bw_spread_plain(DB, 75);
    struct bw_capability c = bw_capability_of(&spread, 4, 6, 0.90);
    NEAR(c.cpk_low, 0.328, 0.0005);
    NEAR(c.cpk_high, 0.496, 0.0005);
}

// NIST/SEMATECH e-Handbook 6.1.6: limits 8 and 20, mean 16, sd 2: Cp 1.0, Cpk 0.6667 (from memory).
static void the_handbook_example_comes_out(void **state) {
    (void)state;
    struct bw_spread spread = {16, 2, 49, 50};
    struct bw_capability c = bw_capability_of(&spread, 8, 20, 0.95);
    NEAR(c.cp, 1, 1e-12);
    NEAR(c.cpk, 2.0 / 3, 1e-12);
    NEAR(c.outside, 0.0227501 + 0.0000317, 1e-7);  // normal tails beyond 2 and 4 sd
    // Chi square with 49 degrees, 2.5 % and 97.5 %: 31.555 and 70.222 (common tables).
    NEAR(c.cp_low, sqrt(31.555 / 49), 1e-4);
    NEAR(c.cp_high, sqrt(70.222 / 49), 1e-4);
}

static void groups_widen_the_interval(void **state) {
    (void)state;
    uint64_t random = 5;
    double values[60];
    size_t group[60];
    for (size_t g = 0; g < 5; g++) {
        double own = 0.05 * bw_random_normal(&random);
        for (size_t k = 0; k < 12; k++) {
            group[g * 12 + k] = g;
            values[g * 12 + k] = 18 + own + 0.02 * bw_random_normal(&random);
        }
    }
    struct bw_spread spread = bw_spread_grouped(values, group, 60, 5);
    struct bw_spread plain = bw_spread_plain(values, 60);
    assert_true(spread.degrees < 10 && plain.degrees == 59);
    assert_true(spread.count < 15 && spread.mean == plain.mean);
    assert_true(spread.sd > plain.sd);
    // One group, or groups that do not differ: the plain sample.
    assert_true(bw_spread_grouped(values, group, 12, 1).degrees == 11);
}

// The interval of Cp holds the truth in 95 of 100, panels and all.
static void the_interval_covers(void **state) {
    (void)state;
    uint64_t random = 8;
    enum { RUNS = 1000 };
    int held = 0, plain_held = 0;
    const double truth = 0.2 / (6 * hypot(0.03, 0.02));
    for (int run = 0; run < RUNS; run++) {
        double values[40];
        size_t group[40];
        for (size_t i = 0; i < 40; i++) group[i] = i / 4;
        for (size_t g = 0; g < 10; g++) {
            double own = 0.03 * bw_random_normal(&random);
            for (size_t k = 0; k < 4; k++)
                values[4 * g + k] = own + 0.02 * bw_random_normal(&random);
        }
        struct bw_spread spread = bw_spread_grouped(values, group, 40, 10);
        struct bw_capability c = bw_capability_of(&spread, -0.1, 0.1, 0.95);
        held += c.cp_low <= truth && truth <= c.cp_high;
        spread = bw_spread_plain(values, 40);
        c = bw_capability_of(&spread, -0.1, 0.1, 0.95);
        plain_held += c.cp_low <= truth && truth <= c.cp_high;
    }
    assert_in_range(held, 920, 980);
    assert_true(plain_held < held);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_interval_of_cpk_is_the_published_one),
        cmocka_unit_test(the_handbook_example_comes_out),
        cmocka_unit_test(groups_widen_the_interval),
        cmocka_unit_test(the_interval_covers),
    };
    return cmocka_run_group_tests_name("capability", tests, NULL, NULL);
}
