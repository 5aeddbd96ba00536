// test_harmonics.c - families of lines: found, refined, and not seen where there are none.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The spectra are drawn here: noise by the law of averaged periodograms, lines put in by hand.
#include "numeric/harmonics.h"

#include "base/quantity.h"
#include "numeric/random.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

enum { N = 8000 };
static float ratio[N];

static void draw_noise(uint64_t seed, int segments) {
    uint64_t random = seed;
    for (int i = 0; i < N; i++) {
        double sum = 0;
        for (int s = 0; s < segments; s++) sum -= log(bw_random_uniform(&random));
        ratio[i] = (float)(sum / segments);
    }
}

// A line as a Hann window shows it, three bins wide, its top at `f`.
static void put_line(double f, double step, double height) {
    long middle = lround(f / step);
    for (long i = middle - 2; i <= middle + 2; i++) {
        double off = (double)i - f / step;
        if (i > 0 && i < N) ratio[i] += (float)(height * exp(-1.3 * off * off));
    }
}

static struct bw_family family_of(int n) {
    struct bw_family family = {.n = n, .fall_db = BW_NAN};
    for (int k = 0; k < n; k++) family.chance[k] = 0.7;
    return family;
}

static struct bw_found find(const struct bw_family *family, double middle, double sd,
                            int segments) {
    const struct bw_lines lines = {ratio, N, 0.1, segments};
    struct bw_search search = {
        .lines = &lines, .family = family, .middle = middle, .relative_sd = sd, .reach = 3};
    struct bw_found found;
    bw_harmonics_find(&search, &found);
    return found;
}

static void a_family_is_found_and_refined(void **state) {
    (void)state;
    struct bw_family family = family_of(10);
    for (uint64_t seed = 1; seed <= 20; seed++) {
        double truth = 9.3 + 0.013 * (double)seed;
        draw_noise(seed, 3);
        for (int k = 1; k <= 10; k++) put_line(k * truth, 0.1, 30);
        struct bw_found found = find(&family, 9.8, 0.03, 3);
        assert_true(found.log_evidence > 15);
        assert_true(fabs(found.f / truth - 1) < 0.0005);
        assert_true(fabs(found.f - truth) < 4 * found.sd);
        assert_true(found.sd < 0.001 * truth);
        assert_int_equal(found.counted, 10);
    }
}

// Lines too weak to stand out one by one add up.
static void weak_lines_add_up(void **state) {
    (void)state;
    struct bw_family family = family_of(20);
    int heard = 0;
    for (uint64_t seed = 1; seed <= 20; seed++) {
        draw_noise(seed, 4);
        for (int k = 1; k <= 20; k++) put_line(k * 9.43, 0.1, 3);
        struct bw_found found = find(&family, 9.6, 0.02, 4);
        heard += found.log_evidence > 3 && fabs(found.f / 9.43 - 1) < 0.002;
    }
    assert_true(heard >= 18);
}

// Evidence is a Bayes factor: under noise its mean over many draws is 1, so it exceeds 50 in at
// most one of 50 (Markov).
static void noise_has_no_family(void **state) {
    (void)state;
    struct bw_family family = family_of(6);
    double mean = 0;
    int high = 0;
    for (uint64_t seed = 1; seed <= 300; seed++) {
        draw_noise(seed, 1 + (int)(seed % 4));
        double evidence = find(&family, 35, 0.02, 1 + (int)(seed % 4)).log_evidence;
        mean += exp(evidence) / 300;
        high += evidence > log(50);
    }
    assert_true(mean < 2);
    assert_true(high <= 6);
}

// One strong tone is no family, however strong; capped, it cannot outweigh what is missing.
static void one_tone_is_no_family(void **state) {
    (void)state;
    struct bw_family family = family_of(10);
    draw_noise(4, 3);
    put_line(35.2, 0.1, 1e5);
    assert_true(find(&family, 35, 0.02, 3).log_evidence < 2);
}

static void octaves_are_told_apart(void **state) {
    (void)state;
    struct bw_family family = family_of(8);
    draw_noise(6, 3);
    for (int k = 1; k <= 8; k++) put_line(k * 20.0, 0.1, 40);
    double right = find(&family, 20, 0.005, 3).log_evidence;
    assert_true(right > find(&family, 10, 0.005, 3).log_evidence + 5);
    assert_true(right > find(&family, 40, 0.005, 3).log_evidence + 5);
}

static void explained_lines_say_nothing(void **state) {
    (void)state;
    struct bw_family family = family_of(5);
    const struct bw_lines lines = {ratio, N, 0.1, 3};
    const struct bw_explained explained = {20};
    draw_noise(8, 3);
    for (int k = 1; k <= 20; k++) put_line(k * 20.0, 0.1, 100);
    struct bw_search search = {
        .lines = &lines, .family = &family, .middle = 60, .relative_sd = 0.001, .reach = 3};
    assert_true(bw_harmonics_at(&search, 60) > 10);
    search.explained = &explained;
    search.n_explained = 1;
    assert_true(fabs(bw_harmonics_at(&search, 60)) < 1e-12);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_family_is_found_and_refined),
        cmocka_unit_test(weak_lines_add_up),
        cmocka_unit_test(noise_has_no_family),
        cmocka_unit_test(one_tone_is_no_family),
        cmocka_unit_test(octaves_are_told_apart),
        cmocka_unit_test(explained_lines_say_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
