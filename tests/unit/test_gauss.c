// test_gauss.c - the joint belief and its densities against numpy and scipy.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/gauss.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

// Expected numbers: numpy 1.24 linear algebra and scipy.stats.multivariate_t /
// multivariate_normal, on the same three variables and two facts.
static struct bw_gauss *three(struct bw_arena *arena) {
    struct bw_gauss *gauss = bw_gauss_new(arena, 4);
    assert_non_null(gauss);
    assert_int_equal(bw_gauss_add(gauss, 0.3, 0.1), 0);
    assert_int_equal(bw_gauss_add(gauss, -1.2, 0.5), 1);
    assert_int_equal(bw_gauss_add(gauss, 2.0, 0.05), 2);
    struct bw_form difference = {.constant = 0.2};
    bw_form_add(&difference, 0, 1);
    bw_form_add(&difference, 1, -1);
    bw_gauss_observe(gauss, &difference, 1.9, 0.03);
    struct bw_form sum = {.constant = 0};
    bw_form_add(&sum, 1, 1);
    bw_form_add(&sum, 2, 1);
    bw_gauss_observe(gauss, &sum, 0.75, 0.1);
    return gauss;
}

static void facts_update_mean_and_covariance(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_gauss *gauss = three(arena);
    static const double MEAN[] = {0.3668198, -1.32716642, 2.01543328};
    static const double COVARIANCE[3][3] = {{0.00561495, 0.0052203, -0.00104406},
                                            {0.0052203, 0.00569012, -0.00113802},
                                            {-0.00104406, -0.00113802, 0.0022276}};
    for (int i = 0; i < 3; i++) {
        struct bw_form a = {.constant = 0};
        bw_form_add(&a, i, 1);
        assert_true(fabs(bw_gauss_mean(gauss, &a) - MEAN[i]) < 1e-8);
        for (int j = 0; j < 3; j++) {
            struct bw_form b = {.constant = 7};
            bw_form_add(&b, j, 1);
            assert_true(fabs(bw_gauss_covariance(gauss, &a, &b) - COVARIANCE[i][j]) < 1e-8);
        }
        assert_true(fabs(bw_gauss_sd(gauss, &a) - sqrt(COVARIANCE[i][i])) < 1e-6);
    }
    bw_arena_free(arena);
}

static void joint_density_is_scipys(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_gauss *gauss = three(arena);
    struct bw_form first = {.constant = 0}, second = {.constant = 0};
    bw_form_add(&first, 0, 1);
    bw_form_add(&first, 2, -1);
    bw_form_add(&second, 1, 1);
    bw_form_add(&second, 2, 2);
    struct bw_chain chain = {.n = 0};
    bw_chain_add(&chain, -1.6 - bw_gauss_mean(gauss, &first), NULL,
                 bw_gauss_covariance(gauss, &first, &first) + 0.02 * 0.02);
    double between = bw_gauss_covariance(gauss, &first, &second);
    bw_chain_add(&chain, 2.9 - bw_gauss_mean(gauss, &second), &between,
                 bw_gauss_covariance(gauss, &second, &second) + 0.05 * 0.05);
    assert_true(fabs(bw_chain_log_density(&chain, 5) - 0.536360077624022) < 1e-7);
    assert_true(fabs(bw_chain_log_density(&chain, (double)INFINITY) - 0.9738186643221385) < 1e-7);
    bw_arena_free(arena);
}

static void order_of_observations_does_not_matter(void **state) {
    (void)state;
    const double residual[3] = {0.4, -1.1, 0.2};
    const double c[3][3] = {{2, 0.5, 0.3}, {0.5, 1, -0.2}, {0.3, -0.2, 0.7}};
    static const int ORDERS[][3] = {{0, 1, 2}, {2, 0, 1}, {1, 2, 0}, {2, 1, 0}};
    double expected = 0;
    for (int k = 0; k < 4; k++) {
        struct bw_chain chain = {.n = 0};
        for (int i = 0; i < 3; i++) {
            double with[2];
            for (int j = 0; j < i; j++) with[j] = c[ORDERS[k][i]][ORDERS[k][j]];
            bw_chain_add(&chain, residual[ORDERS[k][i]], with, c[ORDERS[k][i]][ORDERS[k][i]]);
        }
        double density = bw_chain_log_density(&chain, 5);
        if (k == 0) expected = density;
        assert_true(fabs(density - expected) < 1e-12);
    }
}

static void a_repeated_reading_does_not_break_the_factor(void **state) {
    (void)state;
    struct bw_chain chain = {.n = 0};
    double same = 1;
    bw_chain_add(&chain, 0.5, NULL, 1);
    bw_chain_add(&chain, 0.5, &same, 1);  // wholly explained by the first
    assert_true(isfinite(bw_chain_log_density(&chain, 5)));
}

static void forms_join_their_terms(void **state) {
    (void)state;
    struct bw_form a = {.constant = 1}, b = {.constant = 10};
    bw_form_add(&a, 3, 2);
    bw_form_add(&b, 3, 1);
    bw_form_add(&b, 5, 4);
    struct bw_form sum = bw_form_sum(&a, -2, &b);
    assert_true(sum.constant == -19 && sum.n == 2);
    assert_true(sum.terms[0].variable == 3 && sum.terms[0].coefficient == 0);
    assert_true(sum.terms[1].variable == 5 && sum.terms[1].coefficient == -8);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(facts_update_mean_and_covariance),
        cmocka_unit_test(joint_density_is_scipys),
        cmocka_unit_test(order_of_observations_does_not_matter),
        cmocka_unit_test(a_repeated_reading_does_not_break_the_factor),
        cmocka_unit_test(forms_join_their_terms),
    };
    return cmocka_run_group_tests_name("gauss", tests, NULL, NULL);
}
