// test_crossed.c - the analysis of a gauge study against the published one.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/crossed.h"

#include "numeric/random.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#define NEAR(a, b, tolerance) assert_true(fabs((a) - (b)) <= (tolerance))

// The automotive industry's measurement systems handbook (4th edition, appendix): 10 parts, 3
// appraisers, 3 trials. Data read in, components as printed there and by another statistics
// program: EV 0.200, AV 0.227, GRR 0.302, PV 1.04, 4 categories; sums of squares 88.3619, 3.1673,
// 0.3590, 2.7589.
static const double HANDBOOK[10][3][3] = {
    {{0.29, 0.41, 0.64}, {0.08, 0.25, 0.07}, {0.04, -0.11, -0.15}},
    {{-0.56, -0.68, -0.58}, {-0.47, -1.22, -0.68}, {-1.38, -1.13, -0.96}},
    {{1.34, 1.17, 1.27}, {1.19, 0.94, 1.34}, {0.88, 1.09, 0.67}},
    {{0.47, 0.50, 0.64}, {0.01, 1.03, 0.20}, {0.14, 0.20, 0.11}},
    {{-0.80, -0.92, -0.84}, {-0.56, -1.20, -1.28}, {-1.46, -1.07, -1.45}},
    {{0.02, -0.11, -0.21}, {-0.20, 0.22, 0.06}, {-0.29, -0.67, -0.49}},
    {{0.59, 0.75, 0.66}, {0.47, 0.55, 0.83}, {0.02, 0.01, 0.21}},
    {{-0.31, -0.20, -0.17}, {-0.63, 0.08, -0.34}, {-0.46, -0.56, -0.49}},
    {{2.26, 1.99, 2.01}, {1.80, 2.12, 2.19}, {1.77, 1.45, 1.87}},
    {{-1.36, -1.25, -1.31}, {-1.68, -1.62, -1.50}, {-1.49, -1.77, -2.16}},
};

static void the_handbook_study_comes_out(void **state) {
    (void)state;
    struct bw_crossed c = bw_crossed_of(&HANDBOOK[0][0][0], 10, 3, 3);
    NEAR(c.part_square * 9, 88.3619, 5e-4);
    NEAR(c.person_square * 2, 3.1673, 5e-4);
    NEAR(c.both_square * 18, 0.3590, 5e-4);
    NEAR(c.repeat_square * 60, 2.7589, 5e-4);
    NEAR(c.f, 0.434, 5e-4);
    NEAR(c.chance, 0.974, 5e-4);
    assert_true(c.joined);
    NEAR(c.repeat_sd, 0.199933, 5e-6);
    NEAR(c.person_sd, 0.226838, 5e-6);
    NEAR(c.gauge_sd, 0.302373, 5e-6);
    NEAR(c.part_sd, 1.042327, 5e-5);
    NEAR(c.gauge_sd / c.total_sd, 0.2786, 5e-5);
    assert_int_equal((int)c.categories, 4);
}

// Houf and Burman (1988), the example of the SAS/STAT guide's VARCOMP procedure, method GRR: 10
// parts, 3 operators, 3 times (data read in). Mean squares 437.33, 19.63, 2.70, 0.511 and
// components 48.29, 0.5646, 0.7280, 0.5111 as in the literature on it (from memory).
static void parts_and_people_may_act_together(void **state) {
    (void)state;
    static const double DATA[10][3][3] = {
        {{37, 38, 37}, {41, 41, 40}, {41, 42, 41}}, {{42, 41, 43}, {42, 42, 42}, {43, 42, 43}},
        {{30, 31, 31}, {31, 31, 31}, {29, 30, 28}}, {{42, 43, 42}, {43, 43, 43}, {42, 42, 42}},
        {{28, 30, 29}, {29, 30, 29}, {31, 29, 29}}, {{42, 42, 43}, {45, 45, 45}, {44, 46, 45}},
        {{25, 26, 27}, {28, 28, 30}, {29, 27, 27}}, {{40, 40, 40}, {43, 42, 42}, {43, 43, 41}},
        {{25, 25, 25}, {27, 29, 28}, {26, 26, 26}}, {{35, 34, 34}, {35, 35, 34}, {35, 34, 35}}};
    struct bw_crossed c = bw_crossed_of(&DATA[0][0][0], 10, 3, 3);
    NEAR(c.part_square, 437.33, 0.01);
    NEAR(c.person_square, 19.63, 0.01);
    NEAR(c.both_square, 2.70, 0.01);
    NEAR(c.repeat_square, 0.511, 0.001);
    assert_false(c.joined);
    NEAR(c.part_sd * c.part_sd, 48.29, 0.01);
    NEAR(c.person_sd * c.person_sd, 0.5646, 0.0005);
    NEAR(c.both_sd * c.both_sd, 0.7280, 0.0005);
    NEAR(c.repeat_sd * c.repeat_sd, 0.5111, 0.0005);
}

static void one_person_gives_repeats_and_parts(void **state) {
    (void)state;
    uint64_t random = 3;
    static double value[400][2];
    for (int i = 0; i < 400; i++) {
        double part = 0.10 * bw_random_normal(&random);
        for (int k = 0; k < 2; k++) value[i][k] = part + 0.02 * bw_random_normal(&random);
    }
    struct bw_crossed c = bw_crossed_of(&value[0][0], 400, 1, 2);
    NEAR(c.repeat_sd, 0.02, 0.002);
    NEAR(c.part_sd, 0.10, 0.01);
    assert_true(c.person_sd == 0 && c.both_sd == 0 && c.gauge_sd == c.repeat_sd);
}

static void readings_that_never_differ_are_survived(void **state) {
    (void)state;
    double value[2][2][2] = {{{1, 1}, {1, 1}}, {{2, 2}, {2, 2}}};
    struct bw_crossed c = bw_crossed_of(&value[0][0][0], 2, 2, 2);
    assert_true(c.gauge_sd == 0 && c.part_sd > 0 && isinf(c.categories));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_handbook_study_comes_out),
        cmocka_unit_test(parts_and_people_may_act_together),
        cmocka_unit_test(one_person_gives_repeats_and_parts),
        cmocka_unit_test(readings_that_never_differ_are_survived),
    };
    return cmocka_run_group_tests_name("crossed", tests, NULL, NULL);
}
