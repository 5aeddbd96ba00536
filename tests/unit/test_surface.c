// test_surface.c - the surface a machine leaves: against brute force and closed forms.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "machine/surface.h"

#include "machine/contact.h"
#include "numeric/random.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

enum { MOST = 4000 };

static struct bw_arena *arena;
static int set_up(void **state) {
    (void)state;
    arena = bw_arena_new(0);
    return arena == NULL;
}
static int tear_down(void **state) {
    (void)state;
    bw_arena_free(arena);
    return 0;
}

// --- the envelope --------------------------------------------------------------------------------

static double brute(struct bw_circles c, double radius, double x) {
    double lowest = (double)INFINITY;
    for (size_t i = 0; i < c.n; i++) {
        double d = x - c.at[i];
        if (fabs(d) > radius) continue;
        lowest = fmin(lowest, c.low[i] + radius - sqrt(radius * radius - d * d));
    }
    return lowest;
}

// Where an arc just ends, rounding decides whether it is there.
static bool at_an_end(struct bw_circles c, double radius, double x) {
    for (size_t i = 0; i < c.n; i++)
        if (fabs(fabs(x - c.at[i]) - radius) < 1e-9) return true;
    return false;
}

static void check_envelope(const double *at, const double *low, size_t n, double radius) {
    struct bw_circles circles = {at, low, n};
    struct bw_line line = {-0.3, 0.01, 700};
    double out[700];
    assert_true(bw_surface_envelope(arena, circles, radius, line, out));
    for (size_t i = 0; i < line.n; i++) {
        double x = line.start + line.step * (double)i;
        if (at_an_end(circles, radius, x)) continue;
        double expected = brute(circles, radius, x);
        if (isinf(expected))
            assert_true(isinf(out[i]));
        else
            assert_true(fabs(out[i] - expected) < 1e-12 * radius + 1e-13);
    }
}

static void the_envelope_is_the_lowest_of_all_circles(void **state) {
    (void)state;
    uint64_t s = 3;
    static double at[60], low[60];
    for (int round = 0; round < 400; round++) {
        size_t n = 1 + (size_t)(bw_random_uniform(&s) * 59);
        // From a drum's gentle runout to circles that hide each other and stand apart.
        double radius = exp(bw_random_between(&s, log(0.05), log(8)));
        double spread = radius * exp(bw_random_between(&s, log(1e-4), log(3)));
        double x = 0, gap = bw_random_between(&s, 0, 12.0 / (double)n);
        for (size_t i = 0; i < n; i++) {
            at[i] = x;
            low[i] = spread * bw_random_normal(&s);
            x += gap * bw_random_uniform(&s);
        }
        check_envelope(at, low, n, radius);
    }
}

static void no_circle_leaves_nothing(void **state) {
    (void)state;
    check_envelope(NULL, NULL, 0, 1);
    double at[3] = {1, 1, 1}, low[3] = {0.2, 0.1, 0.3};  // all at one place
    check_envelope(at, low, 3, 1);
}

static void even_circles_leave_ridges_of_the_closed_form(void **state) {
    (void)state;
    const double radius = 0.080;
    for (double pitch = 0.002; pitch < 0.05; pitch *= 1.3) {
        double at[9], low[9] = {0}, out[2001], highest = 0;
        for (int i = 0; i < 9; i++) at[i] = pitch * i;
        struct bw_line line = {2 * pitch, pitch / 500, 2001};
        assert_true(bw_surface_envelope(arena, (struct bw_circles){at, low, 9}, radius, line, out));
        for (int i = 0; i < 2001; i++) highest = fmax(highest, out[i]);
        assert_true(fabs(highest / bw_ridge(pitch, radius) - 1) < 1e-9);
        assert_true(fabs(highest / (pitch * pitch / (8 * radius)) - 1) < 0.03);
    }
}

// --- the running mean ----------------------------------------------------------------------------

static void the_running_mean_is_the_mean(void **state) {
    (void)state;
    uint64_t s = 5;
    double values[200], out[200];
    for (int i = 0; i < 200; i++) values[i] = bw_random_normal(&s);
    struct bw_line line = {0, 0.001, 200};
    for (double contact = 0.0012; contact < 0.3; contact *= 1.7) {
        assert_true(bw_surface_running_mean(arena, values, line, contact, out));
        for (int i = 0; i < 200; i += 7) {
            double sum = 0;
            enum { PARTS = 20000 };
            for (int k = 0; k < PARTS; k++) {
                double x = i + 0.5 + ((k + 0.5) / PARTS - 0.5) * contact / line.step;
                int cell = x < 0 ? 0 : x >= 200 ? 199 : (int)x;
                sum += values[cell];
            }
            assert_true(fabs(out[i] - sum / PARTS) < 0.02);
        }
    }
    // Shorter than a step: the values themselves.
    assert_true(bw_surface_running_mean(arena, values, line, 0.0005, out));
    for (int i = 0; i < 200; i++) assert_true(out[i] == values[i]);
}

// --- a panel -------------------------------------------------------------------------------------

static struct bw_panel panel_of(struct bw_pass *pass) {
    return (struct bw_panel){
        .length = 0.4, .width = 0.01, .step = 1e-4, .fade = 1, .passes = pass, .n_passes = 1};
}

static const float *row_of(const struct bw_panel *panel, size_t row, size_t *n) {
    struct bw_surface made;
    struct bw_err err = {0};
    if (!bw_surface_make(arena, panel, &made, &err)) fail_msg("%s", err.what);
    if (n != NULL) *n = made.nx;
    return made.z + row * made.nx;
}

// Amplitude of the line of that pitch over whole periods in the middle.
static double amplitude(const float *z, size_t n, double step, double pitch) {
    size_t periods = (size_t)((double)n * step / pitch) - 2;
    size_t from = (size_t)lround(pitch / step);
    size_t count = (size_t)lround((double)periods * pitch / step);
    double c = 0, s = 0;
    for (size_t i = 0; i < count; i++) {
        double phase = 2 * M_PI * (double)i * step / pitch;
        c += (double)z[from + i] * cos(phase);
        s += (double)z[from + i] * sin(phase);
    }
    return 2 * hypot(c, s) / (double)count;
}

static void a_pad_weakens_a_wave_by_its_transfer_function(void **state) {
    (void)state;
    for (double contact = 0.003; contact < 0.03; contact += 0.0031) {
        struct bw_imprint wave = {.kind = BW_IMPRINT_WAVE, .pitch = 0.01, .depth = 20e-6};
        struct bw_pass pass = {BW_LAW_PRESSURE, 0, contact, 100e-6, &wave, 1};
        struct bw_panel panel = panel_of(&pass);
        size_t n;
        const float *z = row_of(&panel, 0, &n);
        double share = amplitude(z, n, panel.step, 0.01) / wave.depth;
        assert_true(fabs(share - bw_contact_share(contact, 0.01)) < 2e-3);
    }
    // A notch: the pad is two pitches long and nothing is left.
    struct bw_imprint wave = {.kind = BW_IMPRINT_WAVE, .pitch = 0.01, .depth = 20e-6};
    struct bw_pass pass = {BW_LAW_PRESSURE, 0, 0.02, 100e-6, &wave, 1};
    struct bw_panel panel = panel_of(&pass);
    size_t n;
    const float *z = row_of(&panel, 0, &n);
    assert_true(amplitude(z, n, panel.step, 0.01) < 1e-3 * wave.depth);
}

static void a_splice_under_a_pad_is_a_comb_seen_through_it(void **state) {
    (void)state;
    const double contact = 0.008, pitch = 0.0125, depth = 15e-6;
    struct bw_imprint splice = {.kind = BW_IMPRINT_BUMP, .pitch = pitch, .depth = depth};
    struct bw_pass pass = {BW_LAW_PRESSURE, 0, contact, 100e-6, &splice, 1};
    struct bw_panel panel = panel_of(&pass);
    size_t n;
    const float *z = row_of(&panel, 0, &n);
    for (int k = 1; k <= 5; k++) {  // a train of boxes: 2 depth (c/p) |sinc(k c/p)|
        double expected = 2 * depth * contact / pitch * bw_contact_share(contact, pitch / k);
        assert_true(fabs(amplitude(z, n, panel.step, pitch / k) - expected) < 0.02 * depth);
    }
}

static void a_steel_drum_leaves_a_scallop_no_higher_than_the_ridge(void **state) {
    (void)state;
    const double radius = 0.08, pitch = 0.0106;
    for (double depth = 5e-6; depth < 1e-3; depth *= 3) {
        struct bw_imprint splice = {.kind = BW_IMPRINT_BUMP, .pitch = pitch, .depth = depth};
        struct bw_pass pass = {BW_LAW_DISPLACEMENT, radius, 0, 0.5e-3, &splice, 1};
        struct bw_panel panel = panel_of(&pass);
        size_t n;
        const float *z = row_of(&panel, 0, &n);
        double low = 1, high = -1;
        for (size_t i = n / 4; i < n * 3 / 4; i++) {
            low = fmin(low, (double)z[i]);
            high = fmax(high, (double)z[i]);
        }
        double expected = fmin(depth, bw_ridge(pitch, radius));
        assert_true(fabs(high - low - expected) < 3e-8 + 2e-3 * expected);
        assert_true(fabs(low - (-0.5e-3 - depth)) < 3e-8);
    }
}

static void a_narrow_scallop_has_the_width_of_its_chord(void **state) {
    (void)state;
    // 25 um on R 80: the chord 2 sqrt(2 R h) is 4 mm.
    struct bw_imprint splice = {.kind = BW_IMPRINT_BUMP, .pitch = 0.0303127, .depth = 25e-6};
    struct bw_pass pass = {BW_LAW_DISPLACEMENT, 0.08, 0, 0.5e-3, &splice, 1};
    struct bw_panel panel = panel_of(&pass);
    size_t n, inside = 0;
    const float *z = row_of(&panel, 0, &n);
    for (size_t i = 0; i < n; i++) inside += (double)z[i] < -0.5e-3 - 1e-8;
    double marks = floor(0.4 / 0.0303127);
    assert_true(fabs((double)inside * panel.step / marks / 0.004 - 1) < 0.02);
}

static void knives_leave_their_ridge_and_a_later_head_only_the_valleys(void **state) {
    (void)state;
    const double pitch = 0.004, radius = 0.0625, ridge = bw_ridge(pitch, radius);
    struct bw_imprint knife = {.kind = BW_IMPRINT_BUMP, .pitch = pitch};
    struct bw_pass passes[2] = {{BW_LAW_KNIVES, radius, 0, 0, &knife, 1},
                                {BW_LAW_PRESSURE, 0, 0.008, -0.4 * ridge, NULL, 0}};
    struct bw_panel panel = panel_of(passes);
    size_t n;
    const float *z = row_of(&panel, 0, &n);
    double high = -1;
    for (size_t i = n / 4; i < n / 2; i++) high = fmax(high, (double)z[i]);
    // 0 is the incoming face, the knives' lowest points; ridges above it were never there.
    assert_true(fabs(high) < 1e-12);
    passes[0].takes = 2 * ridge;  // cut deeper, so that the whole ridge stands
    z = row_of(&panel, 0, &n);
    high = -1;
    for (size_t i = n / 4; i < n / 2; i++) high = fmax(high, (double)z[i]);
    assert_true(fabs(high + ridge) < 2e-9);
    panel.n_passes = 2;  // the second head stands 0.4 ridges above the knives' lowest points
    z = row_of(&panel, 0, &n);
    size_t flat = 0, valley = 0;
    for (size_t i = n / 4; i < n / 2; i++) {
        double above = (double)z[i] + 2 * ridge;
        assert_true(above < 0.4 * ridge + 1e-10);
        flat += above > 0.4 * ridge - 1e-10;
        valley++;
    }
    // The arcs stay below the plane for sqrt(0.4) of the pitch.
    assert_true(fabs(1 - (double)flat / (double)valley - sqrt(0.4)) < 0.03);
}

// --- slant, slip, fading, rubbing ----------------------------------------------------------------

// Places where the row is lowest in each neighbourhood: the bumps.
static size_t valleys(const float *z, size_t n, double step, double *at) {
    size_t found = 0;
    double low = 1, high = -1;
    for (size_t i = 0; i < n; i++) {
        low = fmin(low, (double)z[i]);
        high = fmax(high, (double)z[i]);
    }
    double level = low + 0.2 * (high - low);
    for (size_t i = 1; i < n; i++) {
        if (!((double)z[i - 1] >= level && (double)z[i] < level)) continue;
        size_t end = i;
        while (end < n && (double)z[end] < level) end++;
        if (end < n) at[found++] = step * (double)(i + end - 1) / 2;
        i = end;
    }
    return found;
}

static void a_slanted_joint_lags_across_the_panel(void **state) {
    (void)state;
    struct bw_imprint splice = {.kind = BW_IMPRINT_BUMP,
                                .pitch = 0.0106,
                                .depth = 20e-6,
                                .slant = bw_splice_lag(0.0106, 1, 0.4363, 1.9)};
    struct bw_pass pass = {BW_LAW_DISPLACEMENT, 0.08, 0, 0.5e-3, &splice, 1};
    struct bw_panel panel = panel_of(&pass);
    panel.width = 0.5;
    panel.step = 5e-4;
    double near[100], far[100];
    size_t n;
    const float *z = row_of(&panel, 0, &n);
    size_t a = valleys(z, n, panel.step, near), b = valleys(z + 900 * n, n, panel.step, far);
    assert_true(a > 30 && b > 30);
    double lag = fmod(far[5] - near[5] + 10.6e-3, 10.6e-3);
    assert_true(fabs(lag - splice.slant * 0.45) < 3e-4);
}

static void slip_squeezes_the_marks_near_the_edge(void **state) {
    (void)state;
    struct bw_imprint splice = {.kind = BW_IMPRINT_BUMP, .pitch = 0.01, .depth = 20e-6};
    struct bw_pass pass = {BW_LAW_DISPLACEMENT, 0.08, 0, 0.5e-3, &splice, 1};
    struct bw_panel panel = panel_of(&pass);
    panel.length = 0.8;
    panel.travel = (struct bw_travel){.lead_slip = -0.05, .lead_length = 0.1};
    double at[200];
    size_t n;
    const float *z = row_of(&panel, 0, &n);
    size_t found = valleys(z, n, panel.step, at);
    assert_true(found > 70);
    for (size_t i = 1; i < found; i++) {
        double x = (at[i] + at[i - 1]) / 2;
        assert_true(fabs(at[i] - at[i - 1] - 0.01 * (1 - 0.05 * exp(-x / 0.1))) < 1.5e-4);
    }
}

static void a_wandering_part_has_spacings_of_the_stated_sd(void **state) {
    (void)state;
    struct bw_imprint splice = {
        .kind = BW_IMPRINT_BUMP, .pitch = 0.01, .depth = 15e-6, .wander = 0.02, .seed = 9};
    struct bw_pass pass = {BW_LAW_DISPLACEMENT, 0.08, 0, 0.5e-3, &splice, 1};
    struct bw_panel panel = panel_of(&pass);
    panel.length = 8;
    panel.width = 2e-4;
    static double at[1000];
    size_t n;
    const float *z = row_of(&panel, 0, &n);
    size_t found = valleys(z, n, panel.step, at);
    assert_true(found > 750 && found < 850);
    double square = 0;
    for (size_t i = 1; i < found; i++) square += pow((at[i] - at[i - 1]) / 0.01 - 1, 2);
    double sd = sqrt(square / (double)(found - 1));
    assert_true(fabs(sd / 0.02 - 1) < 0.12);  // 800 spacings: 2.5 % of the sd, and the grid's own
}

static void stick_and_slip_keeps_the_mean_but_not_the_spacing(void **state) {
    (void)state;
    struct bw_travel travel = {.stick = 0.1, .stick_length = 0.05, .seed = 4};
    static double out[100000];
    struct bw_line line = {0, 1e-3, 100000};
    bw_surface_travel(&travel, 100, line, out);
    assert_true(fabs(out[99999] / 99.999 - 1.01) < 0.012);  // E 1/(1+s) is 1 + var(s)
    double square = 0;
    for (int i = 1; i < 100000; i++) square += pow((out[i] - out[i - 1]) / 1e-3 - 1, 2);
    assert_true(fabs(sqrt(square / 1e5) - 0.1) < 0.02);
    for (int i = 1; i < 100000; i++) assert_true(out[i] > out[i - 1]);
}

static void marks_fade_across_and_are_rubbed_out(void **state) {
    (void)state;
    struct bw_imprint wave = {.kind = BW_IMPRINT_WAVE, .pitch = 0.02, .depth = 10e-6};
    struct bw_pass pass = {BW_LAW_PRESSURE, 0, 0.004, 100e-6, &wave, 1};
    struct bw_panel panel = panel_of(&pass);
    panel.width = 0.1;
    panel.step = 5e-4;
    panel.fade = 0.25;
    size_t n;
    const float *z = row_of(&panel, 0, &n);
    double first = amplitude(z, n, panel.step, 0.02);
    double middle = amplitude(z + 100 * n, n, panel.step, 0.02);
    assert_true(fabs(middle / first - 0.625) < 0.01);
    struct bw_patch patch = {0.2, 0.05, 0.5, 0.02, 0.8};
    panel.patches = &patch;
    panel.n_patches = 1;
    z = row_of(&panel, 100, &n);
    assert_true(fabs(amplitude(z + n / 2 - 80, 160, panel.step, 0.02) / (0.2 * 0.625 * first) - 1) <
                0.02);
}

// --- refusals and memory -------------------------------------------------------------------------

static void impossible_grids_are_refused(void **state) {
    (void)state;
    struct bw_pass pass = {.law = BW_LAW_PRESSURE, .contact = 0.01};
    static const double sizes[][3] = {
        {1, 1, 0}, {1e-5, 1, 1e-4}, {1, 0, 1e-4}, {100, 100, 1e-4}, {(double)NAN, 1, 1}};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        struct bw_panel panel = panel_of(&pass);
        panel.length = sizes[i][0];
        panel.width = sizes[i][1];
        panel.step = sizes[i][2];
        struct bw_surface made = {.nx = 77};
        struct bw_err err = {0};
        assert_false(bw_surface_make(arena, &panel, &made, &err));
        assert_int_equal(err.code, BW_INPUT);
        assert_int_equal(made.nx, 77);
    }
}

static bool make_all(void *data) {
    (void)data;
    struct bw_err err = {0};
    struct bw_imprint imprints[2] = {
        {.kind = BW_IMPRINT_BUMP, .pitch = 0.01, .depth = 15e-6, .wander = 0.02},
        {.kind = BW_IMPRINT_WAVE, .pitch = 0.004, .depth = 5e-6}};
    struct bw_pass passes[2] = {{BW_LAW_DISPLACEMENT, 0.08, 0, 0.3e-3, imprints, 2},
                                {BW_LAW_PRESSURE, 0, 0.008, 0.1e-3, imprints, 2}};
    struct bw_panel panel = panel_of(passes);
    panel.n_passes = 2;
    panel.width = 3e-4;
    struct bw_arena *own = bw_arena_new(0);
    if (own == NULL) return false;
    struct bw_surface made;
    bool done = bw_surface_make(own, &panel, &made, &err);
    bw_arena_free(own);
    return done;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    assert_in_range(torture(make_all, NULL), 8, 200);
}

// --- heads of a machine file ---------------------------------------------------------------------

static void a_head_presses_by_its_law(void **state) {
    (void)state;
    struct bw_belt belt = {.thickness = bw_exactly(0.0013)};
    struct bw_drum drum = {
        .diameter = bw_exactly(0.16), .circumference = BW_UNKNOWN, .contact = bw_exactly(0.008)};
    struct bw_head head = {.contact = BW_STEEL_DRUM, .belt = &belt, .drum = &drum};
    struct bw_pass pass = bw_surface_pass(&head, 1e-4);
    assert_true(pass.law == BW_LAW_DISPLACEMENT && fabs(pass.radius - 0.0813) < 1e-12);
    head.contact = BW_RUBBER_DRUM;
    pass = bw_surface_pass(&head, 1e-4);
    assert_true(pass.law == BW_LAW_PRESSURE && pass.contact == 0.008 && pass.takes == 1e-4);
    head.contact = BW_PLATEN;
    struct bw_platen platen = {.contact = bw_exactly(0.05)};
    head.platen = &platen;
    pass = bw_surface_pass(&head, 1e-4);
    assert_true(pass.law == BW_LAW_PRESSURE && pass.contact == 0.05);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_envelope_is_the_lowest_of_all_circles),
        cmocka_unit_test(no_circle_leaves_nothing),
        cmocka_unit_test(even_circles_leave_ridges_of_the_closed_form),
        cmocka_unit_test(the_running_mean_is_the_mean),
        cmocka_unit_test(a_pad_weakens_a_wave_by_its_transfer_function),
        cmocka_unit_test(a_splice_under_a_pad_is_a_comb_seen_through_it),
        cmocka_unit_test(a_steel_drum_leaves_a_scallop_no_higher_than_the_ridge),
        cmocka_unit_test(a_narrow_scallop_has_the_width_of_its_chord),
        cmocka_unit_test(knives_leave_their_ridge_and_a_later_head_only_the_valleys),
        cmocka_unit_test(a_slanted_joint_lags_across_the_panel),
        cmocka_unit_test(slip_squeezes_the_marks_near_the_edge),
        cmocka_unit_test(a_wandering_part_has_spacings_of_the_stated_sd),
        cmocka_unit_test(stick_and_slip_keeps_the_mean_but_not_the_spacing),
        cmocka_unit_test(marks_fade_across_and_are_rubbed_out),
        cmocka_unit_test(impossible_grids_are_refused),
        cmocka_unit_test(every_allocation_may_fail),
        cmocka_unit_test(a_head_presses_by_its_law),
    };
    return cmocka_run_group_tests_name("surface", tests, set_up, tear_down);
}
