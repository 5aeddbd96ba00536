// test_fft.c - fast transforms against the sum written out; sizes; want of memory.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/fft.h"

#include "numeric/random.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

static double complex sum_out(const double complex *in, size_t n, size_t k) {
    double complex sum = 0;
    for (size_t i = 0; i < n; i++) {
        double phase = -2 * M_PI * (double)(k * i % n) / (double)n;
        sum += in[i] * (cos(phase) + sin(phase) * (double complex)I);
    }
    return sum;
}

static void check(size_t n, bool real) {
    struct bw_fft fft;
    struct bw_err err = {0};
    double complex in[400];
    uint64_t seed = n;
    assert_true(real ? bw_fft_real(n, &fft, &err) : bw_fft_complex(n, &fft, &err));
    for (size_t i = 0; i < n; i++) {
        float re = (float)bw_random_normal(&seed), im = (float)bw_random_normal(&seed);
        in[i] = (double)re + (real ? 0 : (double)im) * (double complex)I;
        if (real)
            fft.in[i] = re;
        else
            fft.cin[i] = re + im * I;
    }
    bw_fft_run(&fft);
    for (size_t k = 0; k < (real ? n / 2 + 1 : n); k++)
        assert_true(cabs(sum_out(in, n, k) - (double complex)fft.out[k]) < 2e-5 * sqrt((double)n));
    bw_fft_free(&fft);
    assert_null(fft.out);
}

static void it_is_the_sum_written_out(void **state) {
    (void)state;
    static const size_t SIZES[] = {2, 4, 6, 14, 30, 70, 128, 210, 384};
    for (size_t i = 0; i < sizeof SIZES / sizeof *SIZES; i++) {
        check(SIZES[i], true);
        check(SIZES[i], false);
    }
}

static void sizes_are_the_next_good_ones(void **state) {
    (void)state;
    for (size_t n = 0; n < 3000; n++) {
        size_t size = bw_fft_size(n);
        assert_true(size >= n && size >= 2 && size % 2 == 0);
        for (size_t other = n < 2 ? 2 : n; other <= size; other++) {  // good ones: the first is it
            size_t rest = other;
            while (rest % 2 == 0) rest /= 2;
            while (rest % 3 == 0) rest /= 3;
            while (rest % 5 == 0) rest /= 5;
            while (rest % 7 == 0) rest /= 7;
            assert_int_equal(rest == 1 && other % 2 == 0, other == size);
        }
    }
}

static bool make(void *with) {
    struct bw_fft fft;
    struct bw_err err = {0};
    bool real = *(bool *)with;
    bool done = real ? bw_fft_real(96, &fft, &err) : bw_fft_complex(96, &fft, &err);
    if (done)
        bw_fft_free(&fft);
    else
        assert_int_equal(err.code, BW_MEMORY);
    return done;
}

static void want_of_memory_is_told(void **state) {
    (void)state;
    for (int real = 0; real < 2; real++) {
        bool which = real == 1;
        assert_int_equal(torture(make, &which), 2);
    }
    bw_fft_free(NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_is_the_sum_written_out),
        cmocka_unit_test(sizes_are_the_next_good_ones),
        cmocka_unit_test(want_of_memory_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
