// test_lifetime.c - lives with censoring, against a published worked example and scipy.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/lifetime.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#define NEAR(a, b, relative) assert_true(fabs((a) / (b)-1) < (relative))
#define DROP_95 3.841458820694124

// NIST/SEMATECH e-Handbook of Statistical Methods 8.4.1.3 (read in): ten failures, ten running at
// 500 hours; published eta 606.5280, beta 1.7208, log likelihood -75.135, mean 540.737, sd
// 323.806; AIC 154.27, log-normal 154.39.
static const double FAILED[] = {54, 187, 216, 240, 244, 335, 361, 373, 375, 386};

static size_t handbook(struct bw_life lives[20]) {
    for (size_t i = 0; i < 10; i++) lives[i] = (struct bw_life){FAILED[i], true};
    for (size_t i = 10; i < 20; i++) lives[i] = (struct bw_life){500, false};
    return 20;
}

static struct bw_life_fit fit_of(struct bw_arena *arena, enum bw_life_family family,
                                 const struct bw_life *items, size_t n) {
    const struct bw_lives lives = {items, n};
    struct bw_life_fit fit;
    struct bw_err err = {0};
    if (!bw_life_fit(arena, family, &lives, &fit, &err)) fail_msg("%s", err.what);
    return fit;
}

static void the_handbooks_example_comes_out(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_life lives[20];
    size_t n = handbook(lives);
    struct bw_life_fit weibull = fit_of(arena, BW_WEIBULL, lives, n);
    assert_true(fabs(exp(weibull.location) - 606.5280) < 6e-5 * 10);
    assert_true(fabs(bw_life_shape(&weibull) - 1.7208) < 6e-5);
    assert_true(fabs(weibull.log_likelihood + 75.135) < 6e-4);
    assert_true(fabs(bw_life_mean(&weibull) - 540.737) < 6e-3);
    assert_true(fabs(bw_life_sd(&weibull) - 323.806) < 6e-3);
    struct bw_life_fit lognormal = fit_of(arena, BW_LOGNORMAL, lives, n);
    assert_true(fabs(4 - 2 * weibull.log_likelihood - 154.27) < 6e-3);
    assert_true(fabs(4 - 2 * lognormal.log_likelihood - 154.39) < 6e-3);
    bw_arena_free(arena);
}

// Lieblein and Zelen 1956, 23 ball bearings, none running (data and estimates from memory: shape
// 2.102, scale 81.87, log likelihood -113.69).
static void the_ball_bearings_come_out(void **state) {
    (void)state;
    static const double TURNS[] = {17.88, 28.92, 33,     41.52,  42.12,  45.6,   48.4,  51.84,
                                   51.96, 54.12, 55.56,  67.8,   68.64,  68.64,  68.88, 84.12,
                                   93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.4};
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_life lives[23];
    for (size_t i = 0; i < 23; i++) lives[i] = (struct bw_life){TURNS[i], true};
    struct bw_life_fit fit = fit_of(arena, BW_WEIBULL, lives, 23);
    assert_true(fabs(bw_life_shape(&fit) - 2.102) < 6e-4);
    assert_true(fabs(exp(fit.location) - 81.87) < 6e-3);
    assert_true(fabs(fit.log_likelihood + 113.69) < 6e-3);
    bw_arena_free(arena);
}

// Same data; maximum and profile likelihood by scipy 1.10 (Nelder-Mead and Brent on the plain
// formulas).
static void estimates_and_intervals_are_scipys(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_life lives[20];
    size_t n = handbook(lives);
    const struct bw_lives record = {lives, n};
    static const struct {
        enum bw_life_family family;
        double location, scale, median, low, high, shape_low, shape_high;
    } CASES[] = {
        {BW_WEIBULL, 6.4077501697653405, 0.581125990970476, 490.17378210650827, 344.711487770963,
         815.078382103013, 0.9056453587521911, 2.885737865741298},
        {BW_LOGNORMAL, 6.226015045973709, 0.9089140354590929, 505.7361274302643, 326.90321110610245,
         993.7747289312288, 0.6239770316180797, 1.6827639138879342},
    };
    for (size_t i = 0; i < 2; i++) {
        struct bw_err err = {0};
        struct bw_interval median, shape;
        struct bw_life_fit fit = fit_of(arena, CASES[i].family, lives, n);
        NEAR(fit.location, CASES[i].location, 1e-7);
        NEAR(fit.scale, CASES[i].scale, 1e-6);
        NEAR(bw_life_quantile(&fit, 0.5), CASES[i].median, 1e-6);
        const double half[2] = {0.5, DROP_95};
        assert_true(bw_life_quantile_interval(arena, &record, &fit, half, &median, &err));
        NEAR(median.low, CASES[i].low, 1e-6);
        NEAR(median.high, CASES[i].high, 1e-6);
        assert_true(bw_life_shape_interval(arena, &record, &fit, DROP_95, &shape, &err));
        NEAR(shape.low, CASES[i].shape_low, 1e-6);
        NEAR(shape.high, CASES[i].shape_high, 1e-6);
    }
    bw_arena_free(arena);
}

static void a_ratio_and_its_interval_are_scipys(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    static const struct bw_life A[] = {
        {54, true}, {187, true}, {216, true}, {240, true}, {500, false}};
    static const struct bw_life B[] = {{335, true},  {361, true},  {373, true},
                                       {500, false}, {500, false}, {386, true}};
    const struct bw_lives groups[2] = {{A, 5}, {B, 6}};
    struct bw_life_ratio ratio;
    struct bw_err err = {0};
    assert_true(bw_life_compare(arena, BW_WEIBULL, groups, DROP_95, &ratio, &err));
    NEAR(ratio.ratio, 1.6367888522681053, 1e-6);
    NEAR(ratio.scale, 0.5145642959039349, 1e-6);
    NEAR(ratio.interval.low, 0.7461261162640308, 1e-6);
    NEAR(ratio.interval.high, 4.37495136704032, 1e-6);
    bw_arena_free(arena);
}

// Optimum of the cost rate by scipy (quad and bounded minimiser): shape 2.5, scale 1000, planned
// 1, failure 5.
static void the_best_age_is_scipys(void **state) {
    (void)state;
    const struct bw_life_fit fit = {BW_WEIBULL, log(1000), 1 / 2.5, 0, 1, true};
    double age = bw_life_best_age(&fit, 1, 5);
    NEAR(age, 493.0469504204619, 1e-4);
    NEAR(bw_life_cost(&fit, age, 1, 5), 0.0034620427387821915, 1e-7);
    NEAR(bw_life_cost(&fit, (double)INFINITY, 1, 5), 0.005635302489916138, 1e-7);
    // Ends by chance or early: never change what still works.
    const struct bw_life_fit chance = {BW_WEIBULL, log(1000), 1, 0, 1, true};
    const struct bw_life_fit early = {BW_WEIBULL, log(1000), 1 / 0.7, 0, 1, true};
    assert_true(isinf(bw_life_best_age(&chance, 1, 5)) && isinf(bw_life_best_age(&early, 1, 5)));
    assert_true(isinf(bw_life_best_age(&fit, 1, 1)));  // a failure that costs nothing more
}

static void the_record_is_kaplan_and_meiers(void **state) {
    (void)state;
    // By hand: of 5, one ends at 2 (4/5); one runs at 3; two end at 4 (4/5 x 1/3); one runs at 6.
    struct bw_arena *arena = bw_arena_new(0);
    static const struct bw_life LIVES[] = {{4, true}, {2, true}, {6, false}, {3, false}, {4, true}};
    const struct bw_lives lives = {LIVES, 5};
    double ages[6], shares[6];
    assert_int_equal(bw_life_record(arena, &lives, ages, shares), 2);
    assert_true(ages[0] == 2 && ages[1] == 4);
    NEAR(shares[0], 0.8, 1e-12);
    NEAR(shares[1], 0.8 / 3, 1e-12);
    bw_arena_free(arena);
}

static void a_misfit_is_noticed_and_a_fit_is_not(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_life good[40], mixed[40];
    const struct bw_life_fit truth = {BW_WEIBULL, log(1000), 1 / 2.0, 0, 1, true};
    for (size_t i = 0; i < 40; i++) {
        good[i] = (struct bw_life){bw_life_quantile(&truth, ((double)i + 0.5) / 40), true};
        mixed[i] = (struct bw_life){i % 2 == 0 ? 10 + 0.1 * (double)i : 1000 + (double)i, true};
    }
    const uint64_t rounds[2] = {99, 5};
    struct bw_life_check check;
    struct bw_err err = {0};
    struct bw_life_fit fit = fit_of(arena, BW_WEIBULL, good, 40);
    assert_true(bw_life_goodness(arena, &(struct bw_lives){good, 40}, &fit, rounds, &check, &err));
    assert_true(check.chance > 0.5);
    fit = fit_of(arena, BW_WEIBULL, mixed, 40);
    assert_true(bw_life_goodness(arena, &(struct bw_lives){mixed, 40}, &fit, rounds, &check, &err));
    assert_true(check.chance < 0.05);
    bw_arena_free(arena);
}

static void too_little_is_said(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    static const struct bw_life ONE[] = {{4, true}, {9, false}};
    static const struct bw_life SAME[] = {{4, true}, {4, true}};
    struct bw_life_fit fit;
    struct bw_err err = {0};
    assert_false(bw_life_fit(arena, BW_WEIBULL, &(struct bw_lives){ONE, 2}, &fit, &err));
    assert_int_equal(err.code, BW_INPUT);
    bw_err_clear(&err);
    assert_false(bw_life_fit(arena, BW_LOGNORMAL, &(struct bw_lives){SAME, 2}, &fit, &err));
    assert_int_equal(err.code, BW_INPUT);
    bw_arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_handbooks_example_comes_out),
        cmocka_unit_test(the_ball_bearings_come_out),
        cmocka_unit_test(estimates_and_intervals_are_scipys),
        cmocka_unit_test(a_ratio_and_its_interval_are_scipys),
        cmocka_unit_test(the_best_age_is_scipys),
        cmocka_unit_test(the_record_is_kaplan_and_meiers),
        cmocka_unit_test(a_misfit_is_noticed_and_a_fit_is_not),
        cmocka_unit_test(too_little_is_said),
    };
    return cmocka_run_group_tests_name("lifetime", tests, NULL, NULL);
}
