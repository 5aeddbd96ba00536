// test_profile_filter.c - mean lines against their published transmission and slow plain sums.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/profile_filter.h"

#include "numeric/random.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static double *noise(size_t n, uint64_t seed) {
    double *z = calloc(n, sizeof *z);
    assert_non_null(z);
    for (size_t i = 0; i < n; i++) z[i] = bw_random_normal(&seed);
    return z;
}

static double *line_of(const double *z, size_t n, double cut_off) {
    struct bw_err err = {0};
    double *line = calloc(n, sizeof *line);
    assert_true(line != NULL && bw_filter_gaussian(z, n, cut_off, line, &err));
    return line;
}

// Share of a wave's height that is left in the middle of a long profile, by its two phases.
static double passed(double cut_off, double wave) {
    size_t n = (size_t)(8 * cut_off + 6 * wave), middle = n / 2;
    struct bw_err err = {0};
    double *z = calloc(n, sizeof *z), *line = calloc(n, sizeof *line);
    assert_true(z != NULL && line != NULL);
    for (size_t i = 0; i < n; i++) z[i] = cos(2 * M_PI * ((double)i - (double)middle) / wave);
    assert_true(bw_filter_gaussian(z, n, cut_off, line, &err));
    double share = line[middle];
    free(z);
    free(line);
    return share;
}

// ISO 16610-21: the roughness keeps 1 - 2^-(cut_off/wave)^2; the table as that formula gives it
// (the standard from memory).
static void the_transmission_table_comes_out(void **state) {
    (void)state;
    static const struct {
        double wave, rough;
    } TABLE[] = {{.5, .9375},     {2. / 3, .789776}, {.8, .661436}, {1, .5},
                 {1.25, .358287}, {1.5, .265133},    {2, .159104},  {3, .074125},
                 {4, .042397},    {5, .027345},      {10, .006908}, {1. / 3, .998047}};
    static const double CUT_OFFS[] = {40, 250, 1600};
    for (size_t c = 0; c < sizeof CUT_OFFS / sizeof CUT_OFFS[0]; c++) {
        for (size_t i = 0; i < sizeof TABLE / sizeof TABLE[0]; i++) {
            double wave = TABLE[i].wave * CUT_OFFS[c];
            double share = passed(CUT_OFFS[c], wave);
            assert_true(fabs(1 - share - TABLE[i].rough) < 1e-6);
            assert_true(fabs(share - bw_filter_transmission(CUT_OFFS[c], wave)) < 1e-11);
        }
    }
}

static double weight(double t, double sigma) { return exp(-t * t / (2 * sigma * sigma)); }

// The plain sum: a straight line fitted under the whole window, by its own normal equations.
static double slow_line(const double *z, size_t n, double sigma, size_t at) {
    double s0 = 0, s1 = 0, s2 = 0, t0 = 0, t1 = 0;
    for (size_t j = 0; j < n; j++) {
        double x = (double)j - (double)at, w = weight(x, sigma);
        s0 += w;
        s1 += w * x;
        s2 += w * x * x;
        t0 += w * z[j];
        t1 += w * x * z[j];
    }
    return (t0 * s2 - t1 * s1) / (s0 * s2 - s1 * s1);
}

static void it_is_the_plain_sum_everywhere(void **state) {
    (void)state;
    static const double CUT_OFFS[] = {3, 11, 60, 64.5, 65, 130, 333, 2000};
    const size_t n = 1500;
    double *z = noise(n, 5);
    for (size_t c = 0; c < sizeof CUT_OFFS / sizeof CUT_OFFS[0]; c++) {
        double sigma = CUT_OFFS[c] * 0.18739062512880226, *line = line_of(z, n, CUT_OFFS[c]);
        for (size_t i = 0; i < n; i++)
            if (!(fabs(line[i] - slow_line(z, n, sigma, i)) < 2e-11))
                fail_msg("cut-off %g, point %zu: %.15g is not %.15g", CUT_OFFS[c], i, line[i],
                         slow_line(z, n, sigma, i));
        free(line);
    }
    free(z);
}

static void a_tilted_line_has_no_ends(void **state) {
    (void)state;
    enum { N = 400 };
    double z[N], line[N];
    struct bw_err err = {0};
    for (int i = 0; i < N; i++) z[i] = 3 - 0.25 * i;
    for (double cut_off = 4; cut_off < 900; cut_off *= 3) {
        assert_true(bw_filter_gaussian(z, N, cut_off, line, &err));
        for (int i = 0; i < N; i++) assert_true(fabs(line[i] - z[i]) < 1e-9);
    }
    for (int i = 0; i < N; i++) z[i] = 0.001 * i * i - 0.25 * i;
    for (double cut_off = 12; cut_off < 400; cut_off *= 3) {
        assert_true(bw_filter_robust(z, N, cut_off, line, NULL, &err));
        for (int i = 0; i < N; i++) assert_true(fabs(line[i] - z[i]) < 1e-7);
    }
}

static void even_one_point_has_a_line(void **state) {
    (void)state;
    double z[3] = {4, 5, 9}, line[3] = {0};
    struct bw_err err = {0};
    assert_true(bw_filter_gaussian(z, 1, 10, line, &err));
    assert_true(fabs(line[0] - 4) < 1e-12);
    assert_true(bw_filter_robust(z, 1, 10, line, NULL, &err) && line[0] == 4);
    assert_true(bw_filter_gaussian(z, 2, 100, line, &err));
    assert_true(fabs(line[0] - 4) < 1e-9 && fabs(line[1] - 5) < 1e-9);
}

// --- robust ------------------------------------------------------------------------------------

static int by_value(const void *x, const void *y) {
    double a = *(const double *)x, b = *(const double *)y;
    return (a > b) - (a < b);
}

// One weighted parabola by Cramer's rule on its normal equations.
static double slow_parabola(const double *z, const double *w, size_t n, double sigma, size_t at) {
    double s[5] = {0}, t[3] = {0};
    for (size_t j = 0; j < n; j++) {
        double x = ((double)j - (double)at) / sigma, p = w[j] * exp(-x * x / 2);
        for (int k = 0; k < 5; k++, p *= x) {
            s[k] += p;
            if (k < 3) t[k] += p * z[j];
        }
    }
    double det = s[0] * (s[2] * s[4] - s[3] * s[3]) - s[1] * (s[1] * s[4] - s[2] * s[3]) +
                 s[2] * (s[1] * s[3] - s[2] * s[2]);
    double top = t[0] * (s[2] * s[4] - s[3] * s[3]) - s[1] * (t[1] * s[4] - s[3] * t[2]) +
                 s[2] * (t[1] * s[3] - s[2] * t[2]);
    return top / det;
}

static void slow_robust(const double *z, size_t n, double sigma, double *line, int rounds) {
    double *w = calloc(n, sizeof *w), *d = calloc(n, sizeof *d);
    assert_true(w != NULL && d != NULL);
    for (size_t i = 0; i < n; i++) w[i] = 1;
    for (int round = 0; round < rounds; round++) {
        for (size_t i = 0; i < n; i++) line[i] = slow_parabola(z, w, n, sigma, i);
        for (size_t i = 0; i < n; i++) d[i] = fabs(z[i] - line[i]);
        qsort(d, n, sizeof *d, by_value);
        double c = 4.4478 * d[n / 2];
        for (size_t i = 0; i < n; i++) {
            double x = (z[i] - line[i]) / c;
            w[i] = fabs(x) < 1 ? pow(1 - x * x, 2) : 0;
        }
    }
    free(w);
    free(d);
}

static void the_robust_line_is_the_plain_one(void **state) {
    (void)state;
    enum { N = 500 };
    double *z = noise(N, 9), line[N], slow[N];
    for (size_t i = 0; i < N; i += 17) z[i] -= 30;  // pores
    static const double CUT_OFFS[] = {20, 60, 150};
    for (size_t c = 0; c < 3; c++) {
        int rounds;
        struct bw_err err = {0};
        // exp(-u)(1 + u) = 1/2 at u = 1.678346990016661: sigma = cut_off sqrt(u/2)/pi
        double sigma = CUT_OFFS[c] * sqrt(1.678346990016661 / 2) / M_PI;
        assert_true(bw_filter_robust(z, N, CUT_OFFS[c], line, &rounds, &err));
        assert_true(rounds > 2 && rounds < BW_FILTER_ROUNDS);
        slow_robust(z, N, sigma, slow, rounds);
        for (size_t i = 0; i < N; i++)
            if (!(fabs(line[i] - slow[i]) < 1e-8))
                fail_msg("cut-off %g, point %zu: %.12g is not %.12g", CUT_OFFS[c], i, line[i],
                         slow[i]);
    }
    free(z);
}

// The weights move with the line. With a = mean weight and b = mean of distance times the weight's
// slope, a small wave of the cut-off keeps (a + b)/(2 a + b) of itself; under normal noise cut at
// three sd, a = 1 - 2/9 + 3/81 and b = -4/9 (1 - 3/9). With weights held at 1 it would be half.
static void a_small_wave_passes_the_robust_filter_as_derived(void **state) {
    (void)state;
    enum { N = 6000 };
    const double cut_off = 150;
    double *z = noise(N, 3), *with = calloc(N, sizeof *with), *a = calloc(N, sizeof *a);
    double *b = calloc(N, sizeof *b), sum = 0, norm = 0;
    struct bw_err err = {0};
    assert_true(with != NULL && a != NULL && b != NULL);
    for (size_t i = 0; i < N; i++) with[i] = z[i] + 1e-3 * cos(2 * M_PI * (double)i / cut_off);
    assert_true(bw_filter_robust(z, N, cut_off, a, NULL, &err));
    assert_true(bw_filter_robust(with, N, cut_off, b, NULL, &err));
    for (size_t i = 500; i < N - 500; i++) {
        double wave = 1e-3 * cos(2 * M_PI * (double)i / cut_off);
        sum += (b[i] - a[i]) * wave;
        norm += wave * wave;
    }
    double mean = 1 - 2 / 9. + 3 / 81., turn = -4 / 9. * (1 - 3 / 9.);
    assert_true(fabs(sum / norm - (mean + turn) / (2 * mean + turn)) < 0.01);
    free(z);
    free(with);
    free(a);
    free(b);
}

static void pores_do_not_pull_the_line_down(void **state) {
    (void)state;
    enum { N = 4000 };
    double *z = noise(N, 1), *plain = line_of(z, N, 500), *robust = calloc(N, sizeof *robust);
    struct bw_err err = {0};
    for (size_t i = 200; i + 40 < N; i += 400)
        for (size_t k = 0; k < 40; k++) z[i + k] -= 50;  // a tenth of it is pores
    double *pulled = line_of(z, N, 500), mean[2] = {0};
    assert_true(robust != NULL && bw_filter_robust(z, N, 500, robust, NULL, &err));
    for (size_t i = 0; i < N; i++) {
        mean[0] += (pulled[i] - plain[i]) / N;
        mean[1] += (robust[i] - plain[i]) / N;
    }
    assert_true(mean[0] < -4.5);
    assert_true(fabs(mean[1]) < 0.05);
    free(z);
    free(plain);
    free(pulled);
    free(robust);
}

// --- form and the rest ---------------------------------------------------------------------------

static void form_of_any_degree_goes_and_nothing_else(void **state) {
    (void)state;
    for (int degree = 0; degree <= 8; degree++) {
        double z[200], again[200];
        for (int i = 0; i < 200; i++) {
            double x = i / 100.0 - 1;
            z[i] = 1e3 * pow(x, degree) - 4 * x * (degree > 0) + 7;
        }
        bw_profile_level(z, 200, degree);
        for (int i = 0; i < 200; i++) assert_true(fabs(z[i]) < 1e-10);
        // What is left of anything is square to every polynomial: levelling twice changes nothing.
        for (int i = 0; i < 200; i++) z[i] = again[i] = sin(i * i * 0.1) + i;
        bw_profile_level(z, 200, degree);
        memcpy(again, z, sizeof z);
        bw_profile_level(again, 200, degree);
        double moment = 0;
        for (int i = 0; i < 200; i++) {
            assert_true(fabs(again[i] - z[i]) < 1e-10);
            moment += z[i] * pow(i / 100.0 - 1, degree);
        }
        assert_true(fabs(moment) < 1e-9);
    }
    double two[2] = {5, 9};
    bw_profile_level(two, 2, 8);
    assert_true(fabs(two[0]) < 1e-12 && fabs(two[1]) < 1e-12);
}

static void the_median_is_the_middle_one(void **state) {
    (void)state;
    uint64_t seed = 77;
    for (size_t n = 1; n < 60; n++) {
        double v[60], sorted[60];
        for (size_t i = 0; i < n; i++) v[i] = sorted[i] = floor(10 * bw_random_uniform(&seed));
        qsort(sorted, n, sizeof *sorted, by_value);
        assert_true(bw_median(v, n) == sorted[n / 2]);
    }
}

static bool filter_both(void *with) {
    double line[300];
    struct bw_err err = {0};
    if (!bw_filter_gaussian(with, 300, 90, line, &err) ||
        !bw_filter_robust(with, 300, 90, line, NULL, &err)) {
        assert_int_equal(err.code, BW_MEMORY);
        return false;
    }
    return true;
}

static void memory_may_run_out_anywhere(void **state) {
    (void)state;
    double *z = noise(300, 2);
    assert_true(torture(filter_both, z) > 4);
    free(z);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_transmission_table_comes_out),
        cmocka_unit_test(it_is_the_plain_sum_everywhere),
        cmocka_unit_test(a_tilted_line_has_no_ends),
        cmocka_unit_test(even_one_point_has_a_line),
        cmocka_unit_test(the_robust_line_is_the_plain_one),
        cmocka_unit_test(a_small_wave_passes_the_robust_filter_as_derived),
        cmocka_unit_test(pores_do_not_pull_the_line_down),
        cmocka_unit_test(form_of_any_degree_goes_and_nothing_else),
        cmocka_unit_test(the_median_is_the_middle_one),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests_name("profile_filter", tests, NULL, NULL);
}
