// test_comb.c - planes of waves, combs found in them, and the fit: on pictures of known truth.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/comb.h"

#include "numeric/wave.h"
#include "support/panel.h"
#include "support/torture.h"

#include <complex.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#define TAIL 1.4
#define LIMIT (-4.6)
#define SLOPE 0.364

struct seen {
    struct panel panel;
    struct bw_strips strips;
    struct bw_plane plane;
};

static bool look(const struct panel *panel, struct seen *seen, struct bw_err *err) {
    struct bw_rows rows = panel_rows(panel);
    struct bw_strips_options cut = {false, 6, 90};
    struct bw_plane_options search = {6, 90, SLOPE};
    *seen = (struct seen){.panel = *panel};
    return bw_strips_take(&rows, &cut, &seen->strips, err) &&
           bw_plane_make(&seen->strips, &search, &seen->plane, err);
}

static struct seen must_look(struct panel panel) {
    struct seen seen;
    struct bw_err err = {0};
    if (!look(&panel, &seen, &err)) fail_msg("%s", err.what);
    return seen;
}

static void done(struct seen *seen) {
    bw_plane_free(&seen->plane);
    bw_strips_free(&seen->strips);
    panel_free(&seen->panel);
}

// Noise over its floor: exponential, mean 1, median ln 2.
static void the_floor_fits_noise(void **state) {
    (void)state;
    struct seen seen = must_look(panel_new(900, 700, 0.1, 5));
    double sum = 0;
    long n = 0, below = 0;
    for (size_t i = 0; i < seen.plane.n_f * seen.plane.n_g; i++) {
        double ratio = (double)seen.plane.ratio[i];
        if (ratio == 0) continue;
        sum += ratio;
        below += ratio < M_LN2;
        n++;
    }
    assert_true(n > 10000);
    assert_true(fabs(sum / (double)n - 1) < 0.05);
    assert_true(fabs((double)below / (double)n - 0.5) < 0.02);
    done(&seen);
}

// The power of one bin before anything was divided: the sum written out, from whitened strips.
static void a_bins_floor_times_ratio_is_its_power(void **state) {
    (void)state;
    struct panel panel = panel_new(400, 300, 0.1, 8);
    panel_mark(&panel, &(struct panel_marks){17, 0.1, 0.02, 1, false});
    struct seen seen = must_look(panel);
    const struct bw_strips *s = &seen.strips;
    size_t k = (size_t)lround(1 / 17.0 / seen.plane.df), j = 3;
    double complex sum = 0;
    double across = 0, along = 0;
    for (size_t i = 0; i < s->length; i++)
        along += pow(sin(M_PI * ((double)i + 0.5) / (double)s->length), 4);
    for (size_t n = 0; n < s->n; n++) {
        double t = sqrt(sin(M_PI * ((double)n + 0.5) / (double)s->n));
        across += t * t;
        double complex strip = 0;
        for (size_t i = 0; i < s->length; i++) {
            double h = pow(sin(M_PI * ((double)i + 0.5) / (double)s->length), 2);
            double phase = -2 * M_PI * (double)(k * i) * seen.plane.df * s->step;
            strip += (double)s->light[n * s->length + i] * h *
                     (cos(phase) + sin(phase) * (double complex)I);
        }
        double level = bw_plane_level(&seen.plane, n, (double)k * seen.plane.df) * along;
        double phase = -2 * M_PI * (double)(j * n) * seen.plane.dg * s->width;
        sum += t * strip / sqrt(level) * (cos(phase) + sin(phase) * (double complex)I);
    }
    double f = (double)k * seen.plane.df, g = (double)j * seen.plane.dg;
    double power = bw_plane_floor(&seen.plane, f, g) * bw_plane_ratio(&seen.plane, f, g);
    assert_true(fabs(power / (pow(cabs(sum), 2) / across) - 1) < 1e-3);
    done(&seen);
}

static void noise_holds_no_comb(void **state) {
    (void)state;
    struct seen seen = must_look(panel_new(800, 600, 0.1, 4));
    struct bw_comb comb = {.harmonics = 99};
    assert_false(bw_comb_find(&seen.plane, TAIL, LIMIT, &comb));
    assert_int_equal(comb.harmonics, 99);
    done(&seen);
}

// Pitch, slant, strength and phase come back, each within four of its own standard deviations.
static void a_wave_is_measured(void **state) {
    (void)state;
    for (int i = 0; i < 6; i++) {
        double pitch = 11.3 + 9.7 * i, slant = -0.15 + 0.06 * i, share = 0.01;
        struct panel panel = panel_new(800, 600, 0.1, 20 + (uint64_t)i);
        panel_mark(&panel, &(struct panel_marks){pitch, slant, share, 1, false});
        struct seen seen = must_look(panel);
        struct bw_comb comb;
        struct bw_wave wave;
        struct bw_err err = {0};
        assert_true(bw_comb_find(&seen.plane, TAIL, LIMIT, &comb));
        assert_int_equal(comb.harmonics, 1);
        assert_true(bw_wave_fit(&seen.strips, &seen.plane, &comb, &wave, &err));
        assert_true(fabs(wave.f - cos(slant) / pitch) < 4 * sqrt(wave.ff));
        assert_true(fabs(wave.g - sin(slant) / pitch) < 4 * sqrt(wave.gg));
        assert_true(sqrt(wave.ff) < 0.1 / 800 && sqrt(wave.gg) < 0.1 / 600);
        // Strength: sd of an amplitude in noise sd is sd sqrt(2 / pixels), and some for cuts.
        assert_true(fabs(wave.amplitude[0] / share - 1) < 0.12);
        // The strips used end a few pixels before the picture does, hence its middle is not theirs.
        double du = (seen.strips.u_size - 800) / 2, dv = (seen.strips.v_size - 600) / 2;
        double expected = 2 * M_PI * (wave.f * du + wave.g * dv);
        assert_true(fabs(remainder(wave.phase[0] - expected, 2 * M_PI)) < 0.25);
        assert_true(wave.coherence > 0.8 && wave.spread > 0.6 && wave.lane > 0.6);
        for (int t = 0; t < 3; t++)
            assert_true(fabs(wave.thirds[t].f - wave.f) < 5 * wave.thirds[t].f_sd);
        done(&seen);
    }
}

// Narrow marks: as many harmonics as fit, the fundamental right even where it is missing.
static void a_comb_is_taken_as_one(void **state) {
    (void)state;
    struct panel panel = panel_new(900, 600, 0.1, 31);
    panel_mark(&panel, &(struct panel_marks){61, 0.02, 0.012, 6, false});
    struct seen seen = must_look(panel);
    struct bw_comb comb;
    assert_true(bw_comb_find(&seen.plane, TAIL, LIMIT, &comb));
    assert_int_equal(comb.harmonics, 6);
    assert_true(fabs(1 / hypot(comb.f, comb.g) / 61 - 1) < 0.004);
    bw_comb_strike(&seen.plane, &comb);
    assert_false(bw_comb_find(&seen.plane, TAIL, LIMIT, &comb));
    done(&seen);
}

// A strong wave and another at no whole ratio are two sets, not the 4th and 7th of one.
static void two_sets_stay_two(void **state) {
    (void)state;
    struct panel panel = panel_new(900, 600, 0.1, 32);
    panel_mark(&panel, &(struct panel_marks){35, 0, 0.03, 1, false});
    panel_mark(&panel, &(struct panel_marks){20, 0.05, 0.03, 1, false});
    struct seen seen = must_look(panel);
    struct bw_comb comb;
    double pitch[2];
    for (int i = 0; i < 2; i++) {
        assert_true(bw_comb_find(&seen.plane, TAIL, LIMIT, &comb));
        assert_int_equal(comb.harmonics, 1);
        pitch[i] = 1 / hypot(comb.f, comb.g);
        bw_comb_strike(&seen.plane, &comb);
    }
    assert_true(fabs(pitch[0] + pitch[1] - 55) < 0.5);
    assert_false(bw_comb_find(&seen.plane, TAIL, LIMIT, &comb));
    done(&seen);
}

// The second half of the picture has another pitch: agreement falls and the thirds tell.
static void a_change_of_pitch_shows(void **state) {
    (void)state;
    struct panel panel = panel_new(900, 600, 0.05, 33), other = panel_new(900, 600, 0.05, 34);
    panel_mark(&panel, &(struct panel_marks){24, 0, 0.03, 1, false});
    panel_mark(&other, &(struct panel_marks){24.5, 0, 0.03, 1, false});
    for (size_t y = 0; y < 600; y++)
        for (size_t x = 450; x < 900; x++) panel.light[y * 900 + x] = other.light[y * 900 + x];
    panel_free(&other);
    struct seen seen = must_look(panel);
    struct bw_comb comb;
    struct bw_wave wave;
    struct bw_err err = {0};
    assert_true(bw_comb_find(&seen.plane, TAIL, LIMIT, &comb));
    assert_true(bw_wave_fit(&seen.strips, &seen.plane, &comb, &wave, &err));
    double first = 1 / wave.thirds[0].f, last = 1 / wave.thirds[2].f;
    assert_true(fabs(first - 24) < 0.1 && fabs(last - 24.5) < 0.1);
    assert_true(wave.coherence < 0.95);
    done(&seen);
}

static bool find(void *with) {
    struct seen seen;
    struct bw_comb comb;
    struct bw_wave wave;
    struct bw_err err = {0};
    bool ok = look(with, &seen, &err);
    ok = ok && bw_comb_find(&seen.plane, TAIL, LIMIT, &comb) &&
         bw_wave_fit(&seen.strips, &seen.plane, &comb, &wave, &err);
    bw_plane_free(&seen.plane);
    bw_strips_free(&seen.strips);
    if (!ok) assert_int_equal(err.code, BW_MEMORY);
    return ok;
}

static void want_of_memory_is_told(void **state) {
    (void)state;
    struct panel panel = panel_new(300, 200, 0.05, 1);
    panel_mark(&panel, &(struct panel_marks){14, 0, 0.05, 1, false});
    torture(find, &panel);
    panel_free(&panel);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_floor_fits_noise),
        cmocka_unit_test(a_bins_floor_times_ratio_is_its_power),
        cmocka_unit_test(noise_holds_no_comb),
        cmocka_unit_test(a_wave_is_measured),
        cmocka_unit_test(a_comb_is_taken_as_one),
        cmocka_unit_test(two_sets_stay_two),
        cmocka_unit_test(a_change_of_pitch_shows),
        cmocka_unit_test(want_of_memory_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
