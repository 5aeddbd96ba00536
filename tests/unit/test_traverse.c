// test_traverse.c - the averaging rules against the integral of a known profile; readings as typed.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/airflow/traverse.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

// Error in % of a rule on the profile (2 y/D)^(1/7), whose mean over a round duct is
// 2 n^2 / ((n + 1)(2 n + 1)), n = 7.
static double round_error(int rule, int points) {
    double fractions[TRAVERSE_MOST], sum = 0;
    assert_true(traverse_points(rule, true, points, fractions));
    for (int i = 0; i < points; i++)
        sum += pow(2 * fmin(fractions[i], 1 - fractions[i]), 1.0 / 7);
    return 100 * (sum / points / (98.0 / 120) - 1);
}

// The same in a rectangular duct, power law both ways; the mean is (n/(n+1))^2.
static double rectangle_error(int points) {
    double fractions[TRAVERSE_MOST], sum = 0;
    assert_true(traverse_points(RULE_TCHEBYCHEFF, false, points, fractions));
    for (int i = 0; i < points; i++)
        sum += pow(2 * fmin(fractions[i], 1 - fractions[i]), 1.0 / 7);
    return 100 * (sum / points * (sum / points) / (49.0 / 64) - 1);
}

// Expected values: own arithmetic in another program from the positions printed in ISO 5802:2001
// tables 2 and 3 (rectangles: two instrument manuals).
static void rules_integrate_a_power_law(void **state) {
    (void)state;
    static const struct {
        int rule, points;
        double error;
    } CASES[] = {{RULE_TCHEBYCHEFF, 6, -0.358}, {RULE_LINEAR, 6, -0.274},
                 {RULE_TCHEBYCHEFF, 8, -0.200}, {RULE_LINEAR, 8, -0.090},
                 {RULE_LINEAR, 10, -0.112},     {RULE_AREA, 6, 0.920},
                 {RULE_AREA, 8, 0.681},         {RULE_AREA, 10, 0.538}};
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
        assert_true(fabs(round_error(CASES[i].rule, CASES[i].points) - CASES[i].error) < 0.0006);
    // Ten log-tchebycheff points to four digits (from memory): the law's own bound holds.
    assert_true(fabs(round_error(RULE_TCHEBYCHEFF, 10)) < 0.7);
    assert_true(fabs(rectangle_error(5) - -0.195) < 0.0006);
    assert_true(fabs(rectangle_error(6) - -0.447) < 0.0006);
    assert_true(fabs(rectangle_error(7) - -0.079) < 0.0006);
}

static void log_linear_is_not_log_tchebycheff(void **state) {
    (void)state;
    // ISO 5802:2001 table 3, six points; instrument manuals print them under the other rule's name.
    double t[6], l[6];
    assert_true(traverse_points(RULE_TCHEBYCHEFF, true, 6, t));
    assert_true(traverse_points(RULE_LINEAR, true, 6, l));
    assert_true(fabs(t[2] - 0.312) < 1e-12 && fabs(l[2] - 0.321) < 1e-12);
    assert_false(traverse_points(RULE_LINEAR, false, 6, l));
    assert_false(traverse_points(RULE_TCHEBYCHEFF, true, 7, l));
}

static struct airflow_section pitot(const char *readings) {
    return (struct airflow_section){.at = "main", .readings = readings, .diameter = bw_exactly(0.2),
                                    .width = BW_UNKNOWN, .height = BW_UNKNOWN};
}

static void the_worked_traverse(void **state) {
    (void)state;
    struct traverse t;
    struct bw_err err = {.code = BW_OK};
    struct airflow_section s =
        pitot("150 185 205 212 190 155 | 148 180 203 210 188 152 Pa");
    assert_true(traverse_read(&s, 1.189, &t, &err));
    assert_true(fabs(t.mean - 17.43560) < 2e-5);  // own arithmetic in another program
    assert_true(fabs(t.mean - 17.47280) > 0.03);  // the root of the mean pressure
    assert_int_equal(t.missing, 0);
}

static void missing_and_wild_readings_are_made_up_and_told(void **state) {
    (void)state;
    struct traverse whole, t;
    struct bw_err err = {.code = BW_OK};
    struct airflow_section all = pitot("150 185 205 212 190 155 | 148 180 203 210 188 152 Pa");
    struct airflow_section some = pitot("150 185 - 212 190 155 | 148 180 203 -210 188 152 Pa");
    assert_true(traverse_read(&all, 1.189, &whole, &err));
    assert_true(traverse_read(&some, 1.189, &t, &err));
    assert_int_equal(t.missing, 1);
    assert_int_equal(t.wild, 1);
    assert_true(t.filled[2] && t.filled[9] && !t.filled[0]);
    assert_true(fabs(t.mean / whole.mean - 1) < 0.01);
}

static void what_cannot_be_read_is_refused(void **state) {
    (void)state;
    static const char *const WRONG[] = {
        "150 185 205 212 190 155",                  // no unit
        "150 185 205 212 190 155 m/s",              // a velocity from a pitot tube
        "150 185 205 212 190 155 | 148 180 Pa",     // rows of unequal length
        "150 185 205 212 190 Pa",                   // five points to a diameter
        "150 185 x5 212 190 155 Pa",                // not a number (taken for a unit)
        "150 1,85 205 212 190 155 Pa",              // a comma: parts it into seven
        "- - 205 212 190 155 Pa",                   // a third missing
        "| 150 185 205 212 190 155 Pa", "Pa", ""};
    for (size_t i = 0; i < sizeof WRONG / sizeof WRONG[0]; i++) {
        struct traverse t = {.rows = -1};
        struct bw_err err = {.code = BW_OK};
        struct airflow_section s = pitot(WRONG[i]);
        assert_false(traverse_read(&s, 1.2, &t, &err));
        assert_int_equal(err.code, BW_INPUT);
        assert_int_equal(t.rows, -1);
    }
    char many[600] = "";
    for (int i = 0; i < 101; i++) memcpy(many + 3 * i, "10 ", 4);
    struct traverse t;
    struct bw_err err = {.code = BW_OK};
    struct airflow_section s = pitot(many);
    assert_false(traverse_read(&s, 1.2, &t, &err));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rules_integrate_a_power_law),
        cmocka_unit_test(log_linear_is_not_log_tchebycheff),
        cmocka_unit_test(the_worked_traverse),
        cmocka_unit_test(missing_and_wild_readings_are_made_up_and_told),
        cmocka_unit_test(what_cannot_be_read_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
