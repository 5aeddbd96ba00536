// test_texture.c - parameters of profiles whose values are known in closed form.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/texture.h"

#include "numeric/random.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

static void near_to(double value, double expected, double within) {
    if (!(fabs(value - expected) <= within))
        fail_msg("%.12g is not within %.2g of %.12g", value, within, expected);
}

enum { N = 40000, PERIOD = 800 };  // five sections of ten periods

static double sine(double x) { return 3 * sin(2 * M_PI * x); }
static double triangle(double x) { return x < 0.5 ? 3 - 12 * x : 12 * x - 9; }
static double square(double x) { return x < 0.5 ? 3 : -3; }

static struct bw_texture_result measure(double (*shape)(double), enum bw_texture_rule rule) {
    static double z[N];
    for (int i = 0; i < N; i++) z[i] = shape((i % PERIOD + 0.5) / PERIOD);
    const struct bw_heights heights = {z, N, 0.5, N * 0.5 / 5, 5};
    struct bw_texture_result out;
    bw_texture_measure(&heights, rule, &out);
    return out;
}

// Integrals over whole periods: Ra 2A/pi, A/2, A; Rku 3/2, 9/5, 1; Rdq sqrt 2 pi A/L, 4A/L.
static void shapes_have_their_integrals(void **state) {
    (void)state;
    for (int rule = 0; rule < 2; rule++) {
        struct bw_texture s = measure(sine, (enum bw_texture_rule)rule).value;
        near_to(s.a, 6 / M_PI, 1e-5);
        near_to(s.q, 3 / M_SQRT2, 1e-12);
        near_to(s.sk, 0, 1e-12);
        near_to(s.ku, 1.5, 1e-12);
        near_to(s.p, 3, 1e-4);
        near_to(s.v, 3, 1e-4);
        near_to(s.z, 6, 1e-4);
        near_to(s.t, 6, 1e-4);
        near_to(s.dq, M_SQRT2 * M_PI * 3 / 400, 4e-4 * s.dq);  // edges of sections have no slope
        near_to(s.sm, 400, 0.25);
        struct bw_texture t = measure(triangle, (enum bw_texture_rule)rule).value;
        near_to(t.a, 1.5, 1e-9);
        near_to(t.q, sqrt(3), 1e-5);
        near_to(t.ku, 1.8, 2e-5);
        near_to(t.dq, 4 * 3 / 400., 2e-3 * t.dq);  // the corners are rounded by the rule
        struct bw_texture q = measure(square, (enum bw_texture_rule)rule).value;
        near_to(q.a, 3, 1e-12);
        near_to(q.ku, 1, 1e-12);
        near_to(q.z, 6, 0);
    }
}

// Two sections of unlike height: ISO 4287 takes the mean of both, ISO 21920-2 the whole.
static void the_standards_differ_where_they_do(void **state) {
    (void)state;
    enum { HALF = 1000 };
    double z[2 * HALF];
    for (int i = 0; i < 2 * HALF; i++)
        z[i] = (i < HALF ? 1 : 3) * (i % 2 == 0 ? 1.0 : -1.0) + (i == 500 ? 4 : 0);
    const struct bw_heights heights = {z, 2 * HALF, 1, HALF, 2};
    struct bw_texture_result new, old;
    bw_texture_measure(&heights, BW_ISO_21920, &new);
    bw_texture_measure(&heights, BW_ISO_4287, &old);
    near_to(new.value.q, sqrt((1000 - 1 + 25 + 9000) / 2000.), 1e-12);
    near_to(old.value.q, (sqrt(1.024) + 3) / 2, 1e-12);
    near_to(new.value.a, old.value.a, 1e-12);
    near_to(new.value.p, (5 + 3) / 2., 1e-12);
    near_to(new.value.z, (6 + 6) / 2., 1e-12);
    near_to(new.value.t, 8, 1e-12);
    near_to(old.value.t, 8, 1e-12);
    near_to(old.scatter.q, (3 - sqrt(1.024)) / 2, 1e-12);  // of two: half their difference
    assert_true(isnan(old.scatter.t));
}

static void spacing_passes_over_what_is_small_or_narrow(void **state) {
    (void)state;
    enum { POINTS = 4000 };
    double z[POINTS];
    for (int i = 0; i < POINTS; i++) z[i] = sin(2 * M_PI * (i + 0.3) / 200);
    near_to(bw_texture_spacing(z, POINTS, 0.5, 0.1, 1), 100, 1e-3);
    for (int i = 0; i < POINTS; i++) z[i] += 0.05 * sin(2 * M_PI * i / 7.0);  // low ripple
    near_to(bw_texture_spacing(z, POINTS, 0.5, 0.2, 1), 100, 0.5);
    for (int i = 50; i < POINTS; i += 200) z[i] = -2;  // deep, but one point wide
    near_to(bw_texture_spacing(z, POINTS, 0.5, 0.2, 2), 100, 0.5);
    assert_true(bw_texture_spacing(z, POINTS, 0.5, 0.2, 0) < 60);
    assert_true(isnan(bw_texture_spacing(z, 150, 0.5, 0.2, 1)));
}

static struct bw_material material_of(double (*height)(double share), size_t n) {
    double *z = calloc(n, sizeof *z);
    struct bw_material out;
    assert_non_null(z);
    for (size_t i = 0; i < n; i++) z[i] = height((double)i / (double)(n - 1));
    bw_material_measure(z, n, &out);
    free(z);
    return out;
}

static double straight(double share) { return 3 - 6 * share; }
static double cosine(double share) { return cos(M_PI * share); }
// The normal law's curve, by bisection of its distribution.
static double normal(double share) {
    double low = -6, high = 6;
    for (int i = 0; i < 80; i++) {
        double middle = (low + high) / 2;
        if (0.5 * erfc(middle / M_SQRT2) > share)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2;
}

static void material_curves_have_their_closed_forms(void **state) {
    (void)state;
    struct bw_material m = material_of(straight, 10001);
    near_to(m.k, 6, 1e-9);
    near_to(m.pk, 0, 1e-9);
    near_to(m.vk, 0, 1e-9);
    near_to(m.mr1, 0, 1e-9);
    near_to(m.mr2, 1, 1e-9);
    // Normal: Rk = 2 z(0.3)/0.4 = 2.622003, cut at the shares beyond Rk/2 = 1.311: 9.4929 %.
    m = material_of(normal, 200001);
    near_to(m.k, 2.622003, 1e-5);
    near_to(m.mr1, 0.094929, 1e-5);
    near_to(m.mr2, 0.905071, 1e-5);
    near_to(m.pk, 0.936982, 2e-4);
    near_to(m.vk, 0.936982, 2e-4);
    // A sine's curve cos(pi s) is flattest at its ends: the upper one is taken. Rk = (1 -
    // cos(0.4 pi))/0.4, Mr1 = 0, cut below where cos(pi s) = 1 - Rk.
    m = material_of(cosine, 200001);
    near_to(m.k, 1.727461, 1e-5);
    near_to(m.mr1, 0, 1e-5);
    near_to(m.pk, 0, 1e-5);
    double cut = acos(1 - 1.7274575) / M_PI;
    near_to(m.mr2, cut, 1e-4);
    // The triangle of the same area as what lies below: 2 (area)/(1 - cut).
    double area = (1 - 1.7274575) * (1 - cut) + sin(M_PI * cut) / M_PI;
    near_to(m.vk, 2 * area / (1 - cut), 1e-4);
}

static void sorting_sorts(void **state) {
    (void)state;
    uint64_t seed = 4;
    static double z[5000];
    struct bw_err err = {0};
    double sum = 0, after = 0;
    for (int i = 0; i < 5000; i++) {
        z[i] = i % 7 == 0 ? 0 : i % 11 == 0 ? -0.0 : ldexp(bw_random_normal(&seed), i % 60 - 30);
        sum += fabs(z[i]) > 1e-3 ? 1 / z[i] : 0;
    }
    assert_true(bw_heights_sort(z, 5000, &err));
    for (int i = 0; i < 5000; i++) {
        if (i > 0) assert_true(z[i] <= z[i - 1]);
        after += fabs(z[i]) > 1e-3 ? 1 / z[i] : 0;
    }
    near_to(after, sum, 1e-6 * fabs(sum) + 1e-6);
}

// Normal sanding of sd 2 under 8 % of pores and 1 % of fibres: the core is found again.
static void the_core_is_found_under_pores(void **state) {
    (void)state;
    enum { POINTS = 100000 };
    static double z[POINTS];
    uint64_t seed = 8;
    struct bw_err err = {0};
    struct bw_core core;
    for (int i = 0; i < POINTS; i++) {
        double u = bw_random_uniform(&seed);
        z[i] = 2 * bw_random_normal(&seed);
        if (u < 0.08) z[i] = -bw_random_between(&seed, 8, 60);
        if (u > 0.99) z[i] = bw_random_between(&seed, 8, 30);
    }
    assert_true(bw_heights_sort(z, POINTS, &err));
    bw_core_find(z, POINTS, &core);
    near_to(core.mean, 0, 0.03);
    near_to(core.sd, 2, 0.03);
    near_to(core.below, 0.08 + 0.00135, 0.003);
    near_to(core.above, 0.01 + 0.00135, 0.002);
    near_to(core.low, core.mean - 3 * core.sd, 1e-12);
}

static bool sort_some(void *with) {
    struct bw_err err = {0};
    bool ok = bw_heights_sort(with, 20, &err);
    if (!ok) assert_int_equal(err.code, BW_MEMORY);
    return ok;
}

static void memory_may_run_out(void **state) {
    (void)state;
    double z[20] = {3, 1, 2};
    assert_int_equal(torture(sort_some, z), 2);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shapes_have_their_integrals),
        cmocka_unit_test(the_standards_differ_where_they_do),
        cmocka_unit_test(spacing_passes_over_what_is_small_or_narrow),
        cmocka_unit_test(material_curves_have_their_closed_forms),
        cmocka_unit_test(sorting_sorts),
        cmocka_unit_test(the_core_is_found_under_pores),
        cmocka_unit_test(memory_may_run_out),
    };
    return cmocka_run_group_tests_name("texture", tests, NULL, NULL);
}
