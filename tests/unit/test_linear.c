// test_linear.c - least squares: worked by hand, with columns that cannot be told, with wrong ones.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// tests/oracle/thickness.py compares the study that uses it with numpy.
#include "numeric/linear.h"

#include "numeric/random.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#define NEAR(a, b, tolerance) assert_true(fabs((a) - (b)) <= (tolerance))

static struct bw_arena *arena;
static int set_up(void **state) {
    (void)state;
    arena = bw_arena_new(0);
    return arena == NULL;
}
static int tear_down(void **state) {
    (void)state;
    bw_arena_free(arena);
    return 0;
}

static struct bw_linear_fit fit(const struct bw_linear *model, double doubt) {
    struct bw_linear_fit out;
    struct bw_err err = {0};
    struct bw_doubt how = {doubt, 0};
    bool done = doubt > 0 ? bw_linear_fit_sound(arena, model, how, &out, &err)
                          : bw_linear_fit(arena, model, &out, &err);
    if (!done) fail_msg("%s", err.what);
    return out;
}

// NIST StRD, Norris (linear regression, lower difficulty): intercept -0.262323073774029 (sd
// 0.232818234301152), slope 1.00211681802045 (sd 0.429796848199937e-3), residual sd
// 0.884796396144373, 36 observations (from memory; the certified values agree with the data).
static void norris_comes_out(void **state) {
    (void)state;
    static const double D[36][2] = {{0.1, 0.2},     {338.8, 337.4}, {118.1, 118.2}, {888.0, 884.6},
                                    {9.2, 10.1},    {228.1, 226.5}, {668.5, 666.3}, {998.5, 996.3},
                                    {449.1, 448.6}, {778.9, 777.0}, {559.2, 558.2}, {0.3, 0.4},
                                    {0.1, 0.6},     {778.1, 775.5}, {668.8, 666.9}, {339.3, 338.0},
                                    {448.9, 447.5}, {10.8, 11.6},   {557.7, 556.0}, {228.3, 228.1},
                                    {998.0, 995.8}, {888.8, 887.6}, {119.6, 120.2}, {0.3, 0.3},
                                    {0.6, 0.3},     {557.6, 556.8}, {339.3, 339.1}, {888.0, 887.2},
                                    {998.5, 999.0}, {778.9, 779.0}, {10.2, 11.1},   {117.6, 118.3},
                                    {228.9, 229.2}, {668.4, 669.1}, {449.2, 448.9}, {0.2, 0.5}};
    double x[72], y[36];
    for (int i = 0; i < 36; i++) {  // published as y, x
        x[2 * i] = 1;
        x[2 * i + 1] = D[i][1];
        y[i] = D[i][0];
    }
    struct bw_linear model = {x, y, 36, 2};
    struct bw_linear_fit out = fit(&model, 0);
    NEAR(out.value[0], -0.262323073774029, 1e-9);
    NEAR(out.value[1], 1.00211681802045, 1e-12);
    NEAR(bw_linear_sd(&out, 2, 0, out.sigma), 0.232818234301152, 1e-9);
    NEAR(bw_linear_sd(&out, 2, 1, out.sigma), 0.429796848199937e-3, 1e-12);
    NEAR(out.sigma, 0.884796396144373, 1e-9);
    assert_true(out.degrees == 34 && out.n_wrong == 0);
}

static void a_column_that_others_explain_is_not_told(void **state) {
    (void)state;
    double x[6 * 4], y[6];
    for (int i = 0; i < 6; i++) {
        x[4 * i] = 1;
        x[4 * i + 1] = i < 3;
        x[4 * i + 2] = i >= 3;  // one less the column before
        x[4 * i + 3] = i;
        y[i] = 2 + 3 * (i < 3) + 0.5 * i;
    }
    struct bw_linear model = {x, y, 6, 4};
    struct bw_linear_fit out = fit(&model, 0);
    assert_true(out.told[0] && out.told[1] && !out.told[2] && out.told[3]);
    NEAR(out.value[0], 2, 1e-12);
    NEAR(out.value[1], 3, 1e-12);
    assert_true(out.value[2] == 0 && isnan(bw_linear_sd(&out, 4, 2, 1)));
    NEAR(out.value[3], 0.5, 1e-12);
    assert_int_equal(out.rank, 3);
}

static void too_few_readings_have_no_sd(void **state) {
    (void)state;
    double x[4] = {1, 0, 1, 1}, y[2] = {3, 4};
    struct bw_linear model = {x, y, 2, 2};
    struct bw_linear_fit out = fit(&model, 0.01);
    NEAR(out.value[1], 1, 1e-12);
    assert_true(isnan(out.sigma) && isnan(bw_linear_sd(&out, 2, 1, out.sigma)) && out.n_wrong == 0);
    struct bw_err err = {0};
    model.n = 0;
    assert_false(bw_linear_fit(arena, &model, &out, &err));
    assert_int_equal(err.code, BW_INPUT);
}

// --- wrong readings ------------------------------------------------------------------------------

enum { N = 24, P = 5 };
static double grid_x[N * P];
static void fill_grid(void) {  // two panels of 3 x 4 places: offset, taper, crown, lead, trail
    for (int i = 0; i < N; i++) {
        double across = (i % 3 - 1) / 2.0;
        int along = i / 3 % 4;
        double row[P] = {1, across, 1.0 / 3 - 4 * across * across / 1.0 + 0.0, along == 0,
                         along == 3};
        memcpy(grid_x + (size_t)i * P, row, sizeof row);
    }
}

static void sound_readings_are_kept(void **state) {
    (void)state;
    fill_grid();
    uint64_t random = 17;
    int lost = 0;
    enum { RUNS = 1000 };
    for (int run = 0; run < RUNS; run++) {
        double y[N];
        for (int i = 0; i < N; i++) y[i] = 18e-3 + 20e-6 * bw_random_normal(&random);
        struct bw_linear model = {grid_x, y, N, P};
        lost += fit(&model, 0.01).n_wrong > 0;
    }
    // One in a hundred is asked; the order the set grows in makes it somewhat more.
    assert_in_range(lost, 1, 40);
}

static void wrong_readings_are_found_wherever_they_stand(void **state) {
    (void)state;
    fill_grid();
    uint64_t random = 23;
    int found = 0, tried = 0;
    for (int round = 0; round < 20; round++) {
        double y[N], spoilt[N];
        for (int i = 0; i < N; i++) y[i] = 18e-3 + 20e-6 * bw_random_normal(&random);
        for (int a = 0; a < N; a++) {
            int b = (a + 5 + round) % N;
            if (b == a) continue;
            memcpy(spoilt, y, sizeof y);
            spoilt[a] += 0.5e-3;
            spoilt[b] += round % 2 == 0 ? 0.5e-3 : -0.5e-3;
            struct bw_linear model = {grid_x, spoilt, N, P};
            struct bw_linear_fit out = fit(&model, 0.01);
            found += out.wrong[a] && out.wrong[b];
            tried++;
        }
    }
    assert_int_equal(found, tried);
}

static void readings_that_agree_exactly_are_fitted(void **state) {
    (void)state;
    fill_grid();
    double y[N];
    for (int i = 0; i < N; i++) y[i] = 0.018 + 2e-4 * grid_x[i * P + 1];
    y[7] += 0.0005;
    struct bw_linear model = {grid_x, y, N, P};
    struct bw_linear_fit out = fit(&model, 0.01);
    NEAR(out.value[1], 2e-4, 1e-9);
}

// Rounded to a tenth, ten of twelve agree to the last digit; the other two are no slips.
static void rounded_readings_are_not_doubted(void **state) {
    (void)state;
    double x[24], y[12] = {18.1, 18.1, 18.1, 18.1, 18.1, 18.2, 18.1, 18.1, 18.0, 18.1, 18.1, 18.1};
    for (int i = 0; i < 12; i++) {
        x[2 * i] = 1;
        x[2 * i + 1] = i % 3;
    }
    struct bw_linear model = {x, y, 12, 2};
    struct bw_linear_fit out;
    struct bw_err err = {0};
    assert_true(bw_linear_fit_sound(arena, &model, (struct bw_doubt){0.01, 0.03}, &out, &err));
    assert_int_equal(out.n_wrong, 0);
    y[5] = 18.6;
    assert_true(bw_linear_fit_sound(arena, &model, (struct bw_doubt){0.01, 0.03}, &out, &err));
    assert_true(out.n_wrong == 1 && out.wrong[5]);
}

static bool fit_all(void *with) {
    (void)with;
    fill_grid();
    double y[N];
    for (int i = 0; i < N; i++) y[i] = i * i % 7;
    struct bw_arena *own = bw_arena_new(0);
    if (own == NULL) return false;
    struct bw_linear model = {grid_x, y, N, P};
    struct bw_linear_fit out;
    struct bw_err err = {0};
    bool done = bw_linear_fit_sound(own, &model, (struct bw_doubt){0.01, 0}, &out, &err);
    bw_arena_free(own);
    return done;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    assert_in_range(torture(fit_all, NULL), 2, 100);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(norris_comes_out),
        cmocka_unit_test(a_column_that_others_explain_is_not_told),
        cmocka_unit_test(too_few_readings_have_no_sd),
        cmocka_unit_test(sound_readings_are_kept),
        cmocka_unit_test(wrong_readings_are_found_wherever_they_stand),
        cmocka_unit_test(readings_that_agree_exactly_are_fitted),
        cmocka_unit_test(rounded_readings_are_not_doubted),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests_name("linear", tests, set_up, tear_down);
}
