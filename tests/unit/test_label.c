// test_label.c - words that fit, and labels that keep apart.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/label.h"

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

static void test_width_and_fit(void **state) {
    (void)state;
    assert_near(bw_label_width("µm 日", 10), 30, 1e-9);
    assert_int_equal(bw_label_fit("drum", 4, 10, 24), 4);
    assert_int_equal(bw_label_fit("drum head", 9, 10, 24), 3);  // and an ellipsis
    assert_int_equal(bw_label_fit("µµµµ", 8, 10, 19), 4);       // characters stay whole
    assert_int_equal(bw_label_fit("日日日", 9, 10, 20), 3);
    assert_int_equal(bw_label_fit("drum", 4, 10, 0), 0);
}

static void assert_heights(const double *heights, const double *expected, size_t n) {
    for (size_t i = 0; i < n; i++) assert_near(heights[i], expected[i], 1e-9);
}

static void test_spread(void **state) {
    (void)state;
    double apart[] = {10, 50, 90};
    bw_label_spread(apart, 3, 16, 0, 100);
    assert_heights(apart, (double[]){10, 50, 90}, 3);
    double same[] = {50, 50, 50};  // ties keep their order
    bw_label_spread(same, 3, 16, 0, 100);
    assert_heights(same, (double[]){34, 50, 66}, 3);
    double mixed[] = {52, 10, 50};
    bw_label_spread(mixed, 3, 16, 0, 100);
    assert_heights(mixed, (double[]){59, 10, 43}, 3);
    double edges[] = {2, 99, 0, 100};
    bw_label_spread(edges, 4, 16, 5, 95);
    assert_heights(edges, (double[]){21, 79, 5, 95}, 4);
    double full[] = {1, 2, 3};  // no room: left alone
    bw_label_spread(full, 3, 16, 0, 20);
    assert_heights(full, (double[]){1, 2, 3}, 3);
}

static double draw(uint32_t *seed) {
    *seed = (uint32_t)((uint64_t)*seed * 16807 % 2147483647);
    return (double)*seed / 2147483647;
}

static double cost(const double *a, const double *b) {
    double sum = 0;
    for (int i = 0; i < 3; i++) sum += (a[i] - b[i]) * (a[i] - b[i]);
    return sum;
}

// The oracle tries every placement of three on a grid of whole px.
static double least_cost(const double *wished, int gap, int top, int bottom) {
    double best = INFINITY;
    for (int a = top; a <= bottom; a++)
        for (int b = top; b <= bottom; b++)
            for (int c = top; c <= bottom; c++) {
                double placed[] = {a, b, c};
                bool clear = fabs(placed[0] - placed[1]) >= gap &&
                             fabs(placed[1] - placed[2]) >= gap &&
                             fabs(placed[0] - placed[2]) >= gap;
                if (clear) best = fmin(best, cost(placed, wished));
            }
    return best;
}

static void test_spread_is_least(void **state) {
    (void)state;
    uint32_t seed = 7;
    for (int i = 0; i < 300; i++) {
        double wished[3], placed[3];
        for (int k = 0; k < 3; k++) wished[k] = placed[k] = round(50 * draw(&seed) - 5);
        bw_label_spread(placed, 3, 12, 0, 40);
        for (int k = 0; k < 3; k++) {
            assert_true(placed[k] >= -1e-9 && placed[k] <= 40 + 1e-9);
            for (int j = 0; j < k; j++) assert_true(fabs(placed[k] - placed[j]) >= 12 - 1e-9);
        }
        assert_true(cost(placed, wished) <= least_cost(wished, 12, 0, 40) + 1e-9);
    }
}

static void test_boxes(void **state) {
    (void)state;
    const struct bw_box box = {10, 10, 20, 20}, near = {19, 19, 30, 30}, beside = {20, 10, 30, 20};
    assert_true(bw_box_overlaps(&box, &near));
    assert_false(bw_box_overlaps(&box, &beside));
    assert_true(bw_box_inside(&box, &(struct bw_box){10, 10, 20, 20}));
    assert_false(bw_box_inside(&near, &box));
    assert_true(bw_box_is_crossed(&box, 0, 0, 30, 30));
    assert_true(bw_box_is_crossed(&box, 15, 15, 15, 15));
    assert_true(bw_box_is_crossed(&box, 15, 0, 15, 100));
    assert_false(bw_box_is_crossed(&box, 0, 0, 9, 9));
    assert_false(bw_box_is_crossed(&box, 0, 25, 25, 50));
    assert_false(bw_box_is_crossed(&box, 0, 15, 5, 15));
    assert_false(bw_box_is_crossed(&box, 25, 25, 25, 25));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_width_and_fit),
        cmocka_unit_test(test_spread),
        cmocka_unit_test(test_spread_is_least),
        cmocka_unit_test(test_boxes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
