// test_random.c - the random numbers: the published generator, and the laws they are said to have.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/random.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

// First outputs of splitmix64 from 1234567, as the reference implementation's users publish them
// (from memory; the same numbers stand in the tests of several languages' ports).
static void the_generator_is_the_published_one(void **state) {
    (void)state;
    uint64_t s = 1234567;
    assert_int_equal(bw_random_next(&s), 6457827717110365317u);
    assert_int_equal(bw_random_next(&s), 3203168211198807973u);
    assert_int_equal(bw_random_next(&s), 9817491932198370423u);
    assert_int_equal(bw_random_next(&s), 4593380528125082431u);
    assert_int_equal(bw_random_next(&s), 16408922859458223821u);
}

static void uniform_numbers_fill_their_range_evenly(void **state) {
    (void)state;
    uint64_t s = 7;
    enum { N = 200000, CELLS = 20 };
    int count[CELLS] = {0};
    for (int i = 0; i < N; i++) {
        double u = bw_random_between(&s, 3, 5);
        assert_true(u > 3 && u < 5);
        count[(int)((u - 3) / 2 * CELLS)]++;
    }
    double chi = 0, expected = (double)N / CELLS;
    for (int i = 0; i < CELLS; i++) chi += pow(count[i] - expected, 2) / expected;
    assert_true(chi < 43.8);  // chi square with 19 degrees, 0.1 %
}

static void normal_numbers_have_the_normal_moments(void **state) {
    (void)state;
    uint64_t s = 11;
    enum { N = 200000 };
    double sum = 0, square = 0, fourth = 0;
    int beyond = 0;
    for (int i = 0; i < N; i++) {
        double z = bw_random_normal(&s);
        sum += z;
        square += z * z;
        fourth += z * z * z * z;
        beyond += fabs(z) > 1.959964;
    }
    assert_true(fabs(sum / N) < 4 / sqrt(N));
    assert_true(fabs(square / N - 1) < 4 * sqrt(2.0 / N));
    assert_true(fabs(fourth / N - 3) < 4 * sqrt(96.0 / N));
    assert_true(fabs(beyond - 0.05 * N) < 4 * sqrt(0.05 * 0.95 * N));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_generator_is_the_published_one),
        cmocka_unit_test(uniform_numbers_fill_their_range_evenly),
        cmocka_unit_test(normal_numbers_have_the_normal_moments),
    };
    return cmocka_run_group_tests_name("random", tests, NULL, NULL);
}
