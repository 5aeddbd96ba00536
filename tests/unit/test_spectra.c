// test_spectra.c - levels, lines and beats against scipy and against what was put in.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/spectra.h"

#include "numeric/random.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define NEAR(a, b, relative) assert_true(fabs((a) / (b)-1) < (relative))

// scipy 1.10: signal.welch(x, 1000, "hann", nperseg=512, noverlap=256, detrend=False) of the same
// samples, a linear congruential sequence with a sine in it.
static void welch_is_scipys(void **state) {
    (void)state;
    static const struct {
        int bin;
        double power;
    } SCIPY[] = {{5, 0.00015972500512876668},   {32, 0.01584357084523294},
                 {33, 0.0042633013529103925},   {100, 0.00015184987532058169},
                 {200, 0.00019956661853945406}, {256, 8.06457394789222e-05}};
    enum { N = 8192 };
    static float x[N], out[257];
    uint32_t s = 12345;
    for (int i = 0; i < N; i++) {
        s = (s * 1103515245u + 12345u) % 0x80000000u;
        x[i] = (float)(s / 2147483648.0 - 0.5 + 0.3 * sin(2 * M_PI * 0.0625 * i));
    }
    const struct bw_record_of record = {x, N, 1, 1000};
    struct bw_err err = {0};
    assert_true(bw_spectra_welch(&record, 512, out, &err));
    for (size_t i = 0; i < sizeof SCIPY / sizeof *SCIPY; i++)
        NEAR((double)out[SCIPY[i].bin], SCIPY[i].power, 2e-5);
}

static float *noise(size_t n, double rms) {
    float *x = malloc(n * sizeof *x);
    uint64_t random = 3;
    assert_non_null(x);
    for (size_t i = 0; i < n; i++) x[i] = (float)(rms * bw_random_normal(&random));
    return x;
}

static void make(struct bw_arena *arena, const float *x, size_t n, struct bw_spectra *out) {
    const struct bw_record_of record = {x, n, 1, 8000};
    struct bw_err err = {0};
    if (!bw_spectra_make(arena, &record, out, &err)) fail_msg("%s", err.what);
}

// A sine of amplitude 0.2 has mean square 0.02; noise of rms 0.1 has 0.01 spread over 4 kHz.
static void levels_are_what_was_put_in(void **state) {
    (void)state;
    enum { N = 240000 };
    float *x = noise(N, 0.1);
    for (size_t i = 0; i < N; i++) x[i] += 0.2f * (float)sin(2 * M_PI * 437 * (double)i / 8000);
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_spectra s;
    make(arena, x, N, &s);
    assert_int_equal(s.segments, 3);
    size_t at = (size_t)lround(437 / s.lines.step_hz);
    NEAR((double)s.power[at], 0.02, 0.05);
    assert_true((double)s.lines.ratio[at] > 500);
    double all = 0, floor = 0;
    for (size_t c = 0; c < s.n_cells; c++) {
        all += s.level[c] * s.cell_hz;
        floor += s.floor[c] / (double)s.n_cells;
    }
    NEAR(all, 0.03, 0.02);
    NEAR(floor, 0.01 / 4000, 0.02);
    bw_arena_free(arena);
    free(x);
}

// Noise alone lies about 1 over its floor, in the lines and in the beats of every band.
static void noise_is_flat(void **state) {
    (void)state;
    enum { N = 240000 };
    float *x = noise(N, 0.1);
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_spectra s;
    make(arena, x, N, &s);
    for (int b = -1; b < BW_SPECTRA_BANDS; b++) {
        const struct bw_lines *lines = b < 0 ? &s.lines : &s.bands[b].lines;
        double sum = 0, high = 0;
        for (size_t i = 50; i < lines->n; i++) {
            sum += (double)lines->ratio[i] / (double)(lines->n - 50);
            high = fmax(high, (double)lines->ratio[i]);
        }
        assert_true(lines->n > 4000);
        NEAR(sum, 1.0, 0.05);
        assert_true(high < 8);  // three spectra averaged: 1e-7 a bin
    }
    bw_arena_free(arena);
    free(x);
}

// Noise whose loudness swells at 37 Hz has a line there in its beats and none in its sound.
static void beats_are_heard(void **state) {
    (void)state;
    enum { N = 160000 };
    float *x = noise(N, 0.1);
    for (size_t i = 0; i < N; i++) x[i] *= 1 + 0.4f * (float)sin(2 * M_PI * 37 * (double)i / 8000);
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_spectra s;
    make(arena, x, N, &s);
    size_t at = (size_t)lround(37 / s.lines.step_hz);
    assert_true((double)s.bands[0].lines.ratio[at] > 100);
    assert_true((double)s.bands[3].lines.ratio[at] > 20);
    assert_true((double)s.lines.ratio[at] < 10);
    bw_arena_free(arena);
    free(x);
}

// A low-pass leaves the top empty: the bands end below it.
static void the_empty_top_is_left_out(void **state) {
    (void)state;
    enum { N = 160000 };
    float *x = noise(N, 0.1), held[9] = {0};
    for (int pass = 0; pass < 9; pass++)  // nine zeros at the very top
        for (size_t i = 0; i < N; i++) {
            float before = held[pass];
            held[pass] = x[i];
            x[i] = x[i] + before;
        }
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_spectra s;
    make(arena, x, N, &s);
    assert_true(s.top_hz < 3500 && s.top_hz > 2000);
    assert_true(s.bands[4].high_hz <= s.top_hz + 1);
    bw_arena_free(arena);
    free(x);
}

static void a_picture_shows_when_it_was_loud(void **state) {
    (void)state;
    enum { N = 80000 };
    float *x = noise(N, 0.001);
    for (size_t i = N / 2; i < N; i++) x[i] += (float)sin(2 * M_PI * 1000 * (double)i / 8000);
    static float out[20 * 40];
    const struct bw_gram gram = {.columns = 40, .rows = 20, .top_hz = 4000};
    const struct bw_record_of record = {x, N, 1, 8000};
    struct bw_err err = {0};
    assert_true(bw_spectra_gram(&record, &gram, out, &err));
    // 1 kHz is the middle between rows 4 and 5 from below; the top row comes first.
    size_t row = 20 - 1 - 4;
    double early = (double)fmaxf(out[row * 40 + 5], out[(row - 1) * 40 + 5]);
    double late = (double)fmaxf(out[row * 40 + 35], out[(row - 1) * 40 + 35]);
    assert_true(late > early + 20);
    free(x);
}

static void what_is_no_record_is_refused(void **state) {
    (void)state;
    static float x[2000];
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_spectra s;
    struct bw_err err = {0};
    struct bw_record_of record = {x, 2000, 1, 8000};
    assert_false(bw_spectra_make(arena, &record, &s, &err));
    assert_non_null(strstr(err.what, "silent"));
    bw_err_clear(&err);
    record.n = 10;
    assert_false(bw_spectra_make(arena, &record, &s, &err));
    bw_err_clear(&err);
    record.n = 2000;
    x[3] = INFINITY;
    assert_false(bw_spectra_make(arena, &record, &s, &err));
    assert_non_null(strstr(err.what, "sample 4"));
    bw_arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(welch_is_scipys),
        cmocka_unit_test(levels_are_what_was_put_in),
        cmocka_unit_test(noise_is_flat),
        cmocka_unit_test(beats_are_heard),
        cmocka_unit_test(the_empty_top_is_left_out),
        cmocka_unit_test(a_picture_shows_when_it_was_loud),
        cmocka_unit_test(what_is_no_record_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
