// test_contact.c - what holds between the functions of contact.h whatever the numbers.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Their values are checked against worked examples by data/checks/contact.txt.
#include "machine/contact.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

static void a_ridge_rises_with_pitch_and_stops_at_the_radius(void **state) {
    (void)state;
    double before = 0;
    for (int i = 1; i <= 250; i++) {
        double ridge = bw_ridge(i * 0.001, 0.1);
        assert_true(ridge >= before && ridge <= 0.1);
        before = ridge;
    }
    assert_true(bw_ridge(0.2, 0.1) == 0.1 && bw_ridge(1, 0.1) == 0.1);
    // Small pitches: the series' first term is right to p^2/(16 R^2), without cancellation.
    double p = 1e-6, series = p * p / (8 * 0.1);
    assert_true(fabs(bw_ridge(p, 0.1) / series - 1) < 1e-10);
}

static void the_ridge_is_where_two_circles_meet(void **state) {
    (void)state;
    // Independent of the formula: lowest common height of two unit circles whose centres stand p
    // apart.
    for (double p = 0.1; p < 2; p += 0.1) {
        double low = 0, high = 1;  // height above the valley at which half the gap is spanned
        for (int i = 0; i < 60; i++) {
            double h = (low + high) / 2;
            double half = sqrt(1 - (1 - h) * (1 - h));
            *(half < p / 2 ? &low : &high) = h;
        }
        assert_true(fabs(bw_ridge(p, 1) - low) < 1e-12);
    }
}

static void a_contact_passes_between_nothing_and_all(void **state) {
    (void)state;
    assert_true(bw_contact_share(0, 0.01) == 1);
    for (int i = 1; i < 400; i++) {
        double share = bw_contact_share(0.05, 0.001 * i);
        assert_true(share >= 0 && share <= 1);
    }
    for (int n = 1; n < 6; n++) assert_true(bw_contact_share(n * 0.007, 0.007) < 1e-12);
}

static void a_contact_passes_the_mean_of_a_wave(void **state) {
    (void)state;
    // The share is the height left of cos(2 pi x / p) after a running mean over the contact, by
    // summing.
    const double contact = 0.008, pitch = 0.0106;
    double sum = 0;
    const int n = 20000;
    for (int i = 0; i < n; i++) sum += cos(2 * M_PI * ((i + 0.5) / n - 0.5) * contact / pitch);
    assert_true(fabs(bw_contact_share(contact, pitch) - fabs(sum / n)) < 1e-8);
}

static void beats_are_symmetric(void **state) {
    (void)state;
    assert_true(isinf(bw_beat_pitch(0.01, 0.01)));
    assert_true(bw_beat_pitch(0.01, 0.012) == bw_beat_pitch(0.012, 0.01));
    assert_true(fabs(bw_beat_pitch(0.010, 0.020) - 0.020) < 1e-15);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_ridge_rises_with_pitch_and_stops_at_the_radius),
        cmocka_unit_test(the_ridge_is_where_two_circles_meet),
        cmocka_unit_test(a_contact_passes_between_nothing_and_all),
        cmocka_unit_test(a_contact_passes_the_mean_of_a_wave),
        cmocka_unit_test(beats_are_symmetric),
    };
    return cmocka_run_group_tests_name("contact", tests, NULL, NULL);
}
