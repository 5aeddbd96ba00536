// test_trace.c - the study `trace` on readings, on made profiles, and on bad ones.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/trace/trace.h"

#include "numeric/random.h"
#include "read/profile.h"
#include "study/trace/record.h"
#include "support/ask.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void near_to(double value, double expected, double within) {
    if (!(fabs(value - expected) <= within))
        fail_msg("%.12g is not within %.2g of %.12g", value, within, expected);
}

static bool remarked(const struct trace_output *out, const char *words) {
    const struct trace_remark *remarks = out->remarks.items;
    for (size_t i = 0; i < out->remarks.n; i++)
        if (strstr(remarks[i].text, words) != NULL) return true;
    return false;
}

// --- typed readings ----------------------------------------------------------------------------

static void readings_of_one_kind_are_one_group(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct trace_output *out =
        must_ask(arena, &bw_study_trace,
                 "{\"readings\": [\"Ra 5 um Rz 40 um cut-off 2.5 mm after P120 on oak\","
                 "\"Ra 7 um cut-off 2.5 mm after p120 on Oak\","
                 "\"Ra 6 um mean of 2 cut-off 2.5 mm after P120 on oak\","
                 "\"Ra 6 um cut-off 0.8 mm after P120 on oak\"]}");
    assert_int_equal(out->groups.n, 2);
    const struct trace_group *group = out->groups.items;
    assert_int_equal(group[0].readings, 4);
    near_to(group[0].ra.v, 6e-6, 1e-12);
    // Weights 1, 1, 2: squares about the mean 1 + 1 + 0 over two degrees; the mean of four places.
    near_to(group[0].ra.sd, 1e-6 / 2, 1e-12);
    near_to(group[0].scatter.v, 1 / 6., 1e-9);
    near_to(group[0].rz.v, 40e-6, 1e-12);
    assert_false(bw_sd_known(group[0].rz));
    assert_non_null(strstr(group[0].compared, "not calibrated"));
    assert_false(bw_sd_known(group[1].ra));
    bw_arena_free(arena);
}

static void a_testers_settings_are_judged(void **state) {
    (void)state;
    static const struct {
        const char *reading, *words;
    } CASES[] = {
        {"Ra 5 um cut-off 0.8 mm", "asks for a cut-off of 2.5 mm"},
        {"Ra 5 um", "Write down the cut-off"},
        {"Ra 5 um cut-off 2.5 mm over 4 mm", "less than five cut-offs"},
        {"Ra 5 um cut-off 2.5 mm measured along", "reads low"},
        {"Ra 5 um Rz 3 um cut-off 2.5 mm", "mixed up"},
        {"Ra 5 um Rz 15 um cut-off 2.5 mm", "more a wave"},
        {"Ra 5 um Rz 90 um cut-off 2.5 mm", "few deep places"},
        {"Ra 5 um cut-off 2.5 mm mean of 4", "Fewer than five places"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        char question[200];
        (void)snprintf(question, sizeof question, "{\"readings\": [\"%s\"]}", CASES[i].reading);
        const struct trace_output *out = must_ask(arena, &bw_study_trace, question);
        if (!remarked(out, CASES[i].words)) fail_msg("%s", CASES[i].reading);
        bw_arena_free(arena);
    }
    struct bw_arena *arena = bw_arena_new(0);
    const struct trace_output *out =
        must_ask(arena, &bw_study_trace,
                 "{\"readings\": [\"Ra 5 um Rz 40 um cut-off 2.5 mm over 12.5 mm mean of 5\"]}");
    assert_int_equal(out->remarks.n, 0);
    bw_arena_free(arena);
}

// Ra = 0.5 um + 0.04 times the grain (P80 201, P120 125, P180 82 um), on the line but for +-0.1.
#define RECORD                                                                                     \
    "\"record\": {\"readings\": [\"Ra 8.64 um after P80\", \"Ra 8.44 um after P80\", "             \
    "\"Ra 5.6 um after P120\", \"Ra 5.4 um after P120\", \"Ra 3.88 um after P180\", "              \
    "\"Ra 3.68 um after P180\"]}"

static void the_shops_own_line_is_what_is_expected(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct trace_output *out =
        must_ask(arena, &bw_study_trace,
                 "{\"readings\": [\"Ra 7 um after P100\", \"Ra 9.5 um after P100 cut-off 2.5 mm\", "
                 "\"Ra 4 um after P100 cut-off 0.8 mm\"], " RECORD "}");
    const struct trace_group *group = out->groups.items;
    near_to(group[0].expected.v, 0.5e-6 + 0.04 * 162e-6, 1e-9);
    // Residuals +-0.1 with four degrees: sd 0.1225 um; of one more place a little larger.
    assert_true(group[0].expected.sd > 0.1225e-6 && group[0].expected.sd < 0.14e-6);
    assert_non_null(strstr(group[0].compared, "as P100 usually"));
    assert_non_null(strstr(group[1].compared, "rougher than P100"));
    assert_non_null(strstr(group[2].compared, "smoother than P100"));
    struct bw_findings findings = {.arena = arena};
    trace_findings(out, &findings);
    assert_int_equal(findings.n, 5);
    assert_string_equal(findings.items[2].kind, "rougher-than-grit");
    assert_string_equal(findings.items[4].kind, "smoother-than-grit");
    bw_arena_free(arena);
}

static void two_grits_do_not_calibrate(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct trace_output *out =
        must_ask(arena, &bw_study_trace,
                 "{\"readings\": [\"Ra 7 um after P100 on oak\"], \"record\": {\"readings\": ["
                 "\"Ra 8 um after P80\", \"Ra 8 um after P80\", \"Ra 8 um after P80\", "
                 "\"Ra 5 um after P120\", \"Ra 3 um after P180 on maple\"]}}");
    const struct trace_group *group = out->groups.items;
    assert_false(bw_known(group->expected));
    assert_non_null(strstr(group->compared, "2 of the three grits"));
    bw_arena_free(arena);
}

static void a_grit_that_cannot_be_read_is_told_with_its_place(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    assert_null(ask_study(arena, &bw_study_trace, "{\"readings\": [\"Ra 7 um after 320\"]}", &err));
    assert_string_equal(err.field, "readings[0].grit");
    assert_true(err.mend[0] != '\0');
    bw_err_clear(&err);
    assert_null(ask_study(arena, &bw_study_trace,
                          "{\"readings\": [\"Ra 7 um after P80\"], \"record\": {\"readings\": ["
                          "\"Ra 8 um after P80\", \"Ra 8 um after F80\"]}}",
                          &err));
    assert_string_equal(err.field, "record.readings[1].grit");
    bw_arena_free(arena);
}

// --- profiles ----------------------------------------------------------------------------------

// Heights as a reader would hand them over.
static struct bw_profile made(const double *heights, size_t columns, size_t rows, double dx) {
    struct bw_profile profile = {.heights = heights};
    profile.about = (struct bw_profile_header){.columns = columns,
                                               .rows = rows,
                                               .dx = dx,
                                               .dy = rows > 1 ? dx : 0,
                                               .format = BW_PROFILE_SMD};
    return profile;
}

static const struct trace_output *ask_about(struct bw_arena *arena,
                                            const struct bw_profile *profile,
                                            void (*set)(struct trace_input *), struct bw_err *err) {
    struct trace_input in;
    void *out;
    struct bw_run run = {.arena = arena};
    bw_record_clear(&trace_input_record, &in);
    in.file = (struct bw_file){.name = "made", .content = profile};
    in.direction = TRACE_ACROSS;
    in.surface = TRACE_PLAIN;
    in.filter = TRACE_GAUSSIAN;
    in.lines = TRACE_ROWS;
    in.form = 1;
    if (set != NULL) set(&in);
    out = bw_arena_get(arena, bw_study_trace.out->size);
    if (out == NULL) {
        (void)bw_fail_memory(err);
        return NULL;
    }
    return bw_study_trace.run(&run, &in, out, err) ? out : NULL;
}

static const struct trace_output *must(struct bw_arena *arena, const struct bw_profile *profile,
                                       void (*set)(struct trace_input *)) {
    struct bw_err err = {0};
    const struct trace_output *out = ask_about(arena, profile, set, &err);
    if (out == NULL) fail_msg("%s: %s", err.field, err.what);
    return out;
}

enum { POINTS = 20000 };  // 20 mm, 1 um apart

static double *waves(double rough, double wavy) {
    double *z = calloc(POINTS, sizeof *z);
    assert_non_null(z);
    for (int i = 0; i < POINTS; i++)
        z[i] = 1e-6 * (rough * sin(2 * M_PI * i / 100) + wavy * sin(2 * M_PI * i / 10000)) +
               1e-4 * i / POINTS;
    return z;
}

static const struct trace_parameters *standard(const struct trace_output *out, int which) {
    return (const struct trace_parameters *)out->parameters.items + which;
}

static void short_waves_are_rough_and_long_ones_wavy(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    double *z = waves(3, 20);
    const struct bw_profile profile = made(z, POINTS, 1, 1e-6);
    const struct trace_output *out = must(arena, &profile, NULL);
    // Ra 1.91 um: class up to 2 um, cut-off 0.8 mm; a wave of 100 um keeps 1 - 2^-64 of itself.
    near_to(out->cut_off.v, 0.8e-3, 1e-12);
    // The 2.5 um that go with it are under three points.
    assert_false(bw_known(out->short_cut_off));
    assert_true(remarked(out, "too far apart for the short cut-off"));
    bw_arena_free(arena);
    free(z);
}

static void set_cut_off(struct trace_input *in) {
    in->cut_off = bw_exactly(0.8e-3);
    in->short_cut_off = bw_exactly(8e-6);
}

static void heights_of_waves_come_out(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    double *z = waves(3, 20);
    const struct bw_profile profile = made(z, POINTS, 1, 1e-6);
    const struct trace_output *out = must(arena, &profile, set_cut_off);
    const struct trace_parameters *p = standard(out, TRACE_21920);
    double kept = exp2(-0.08 * 0.08);  // of 100 um by the short cut-off
    // The long wave keeps 1 - 2^-0.0064 = 0.44 % in the roughness.
    double left = 20 * (1 - exp2(-0.08 * 0.08));
    near_to(p->rq.v, 1e-6 * sqrt((9 * kept * kept + left * left) / 2), 2e-9);
    near_to(p->rsm.v, 100e-6, 1e-7);
    // A line through two whole waves of a sine takes 6/(pi 2)^2 of its power.
    near_to(p->wq.v, 1e-6 * 20 / M_SQRT2 * sqrt(1 - 6 / (4 * M_PI * M_PI)), 0.1e-6);
    assert_int_equal(out->sections, 25);
    assert_int_equal(out->voids, 0);
    bw_arena_free(arena);
    free(z);
}

static void set_wave_limit(struct trace_input *in) {
    set_cut_off(in);
    in->wave_limit = bw_exactly(2e-3);
    in->form = 0;
}

static void a_wave_limit_parts_waviness_from_form(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    double *z = calloc(POINTS, sizeof *z);
    assert_non_null(z);
    for (int i = 0; i < POINTS; i++) z[i] = 1e-5 * cos(2 * M_PI * i / 2000);
    const struct bw_profile profile = made(z, POINTS, 1, 1e-6);
    const struct trace_output *out = must(arena, &profile, set_wave_limit);
    // Half of a wave as long as the limit stays, 2^-0.16 of it after the cut-off; ends apart.
    near_to(standard(out, 0)->wq.v, 0.5 * exp2(-0.16) * 1e-5 / M_SQRT2, 0.2e-6);
    near_to(out->wave_limit.v, 2e-3, 0);
    bw_arena_free(arena);
    free(z);
}

static void gaps_are_filled_and_too_many_refused(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    double *z = waves(3, 0);
    for (int i = 0; i < 10; i++) z[i] = z[POINTS - 1 - i] = BW_NAN;  // ends are cut off
    for (int i = 5000; i < 5010; i++) z[i] = BW_NAN;
    const struct bw_profile profile = made(z, POINTS, 1, 1e-6);
    const struct trace_output *out = must(arena, &profile, set_cut_off);
    assert_int_equal(out->voids, 10);
    assert_int_equal(out->points, POINTS - 20);
    for (int i = 5000; i < 7500; i++) z[i] = BW_NAN;
    assert_null(ask_about(arena, &profile, NULL, &err));
    assert_int_equal(err.code, BW_INPUT);
    assert_non_null(strstr(err.what, "more than one in ten"));
    bw_arena_free(arena);
    free(z);
}

static void set_wood(struct trace_input *in) {
    in->surface = TRACE_WOOD;
    in->cut_off = bw_exactly(2.5e-3);
}

// Sanding of sd 3 um; pores 40 um deep on 6 % of the length.
static void pores_are_told_from_the_sanding(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    double *z = calloc(POINTS, sizeof *z);
    uint64_t seed = 6;
    assert_non_null(z);
    for (int i = 0; i < POINTS; i++) z[i] = 3e-6 * bw_random_normal(&seed);
    for (int i = 300; i < POINTS - 60; i += 1000)
        for (int k = 0; k < 60; k++) z[i + k] -= 40e-6;
    const struct bw_profile profile = made(z, POINTS, 1, 1e-6);
    const struct trace_output *out = must(arena, &profile, set_wood);
    assert_non_null(out->sanding);
    // Points are 1 um apart: the short cut-off of 8 um leaves sd 3 um times sqrt(1/(2 sqrt pi s)),
    // s = 8 x 0.18739.
    double sd = 3e-6 * sqrt(1 / (2 * sqrt(M_PI) * 8 * 0.18739));
    near_to(out->sanding->rq.v, sd, 0.06 * sd);
    near_to(out->sanding->ra.v, sd * sqrt(2 / M_PI), 0.06 * sd);
    near_to(out->sanding->pores.v, 0.06, 0.01);
    assert_true(standard(out, 0)->rq.v > 4 * out->sanding->rq.v);
    assert_true(out->rounds > 1);
    bw_arena_free(arena);
    free(z);
}

static void set_columns(struct trace_input *in) {
    set_cut_off(in);
    in->lines = TRACE_COLUMNS;
}

static void a_surface_gives_profiles_both_ways(void **state) {
    (void)state;
    enum { SIDE = 2000 };
    struct bw_arena *arena = bw_arena_new(0);
    double *z = calloc((size_t)SIDE * SIDE, sizeof *z);
    assert_non_null(z);
    for (int y = 0; y < SIDE; y++)
        for (int x = 0; x < SIDE; x++)
            z[y * SIDE + x] = 1e-6 * (sin(2 * M_PI * x / 100) + 4 * sin(2 * M_PI * y / 50));
    const struct bw_profile profile = made(z, SIDE, SIDE, 1e-6);
    const struct trace_output *out = must(arena, &profile, set_cut_off);
    double kept = exp2(-0.08 * 0.08);
    assert_int_equal(out->profiles, 9);
    near_to(standard(out, 0)->rq.v, 1e-6 * kept / M_SQRT2, 1e-8);
    out = must(arena, &profile, set_columns);
    near_to(standard(out, 0)->rq.v, 4e-6 * exp2(-0.16 * 0.16) / M_SQRT2, 5e-8);
    bw_arena_free(arena);
    free(z);
}

static void uneven_places_are_evened_out(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    double *z = calloc(POINTS, sizeof *z), *x = calloc(POINTS, sizeof *x);
    assert_true(z != NULL && x != NULL);
    for (int i = 0; i < POINTS; i++) {
        x[i] = 1e-6 * (i + 0.4 * sin(i * 0.01));
        z[i] = 3e-6 * sin(2 * M_PI * x[i] / 100e-6);
    }
    struct bw_profile profile = made(z, POINTS, 1, (x[POINTS - 1] - x[0]) / (POINTS - 1));
    profile.x = x;
    const struct trace_output *out = must(arena, &profile, set_cut_off);
    near_to(standard(out, 0)->rq.v, 3e-6 * exp2(-0.08 * 0.08) / M_SQRT2, 3e-9);
    assert_true(remarked(out, "unevenly spaced"));
    bw_arena_free(arena);
    free(z);
    free(x);
}

static void set_units(struct trace_input *in) {
    in->height_unit = 0;  // um
    in->spacing = bw_exactly(1e-6);
    set_cut_off(in);
}

static void what_a_file_leaves_unsaid_must_be_given(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    double *z = waves(3, 0);
    for (int i = 0; i < POINTS; i++) z[i] *= 1e6;
    struct bw_profile profile = made(z, POINTS, 1, 1);
    profile.about.flags = BW_PROFILE_BARE_HEIGHTS | BW_PROFILE_BARE_PLACES | BW_PROFILE_NO_PLACES;
    assert_null(ask_about(arena, &profile, NULL, &err));
    assert_string_equal(err.field, "height_unit");
    const struct trace_output *out = must(arena, &profile, set_units);
    near_to(standard(out, 0)->rq.v, 3e-6 * exp2(-0.08 * 0.08) / M_SQRT2, 3e-9);
    profile.about.flags = 0;
    bw_err_clear(&err);
    assert_null(ask_about(arena, &profile, set_units, &err));
    assert_string_equal(err.field, "height_unit");
    assert_non_null(strstr(err.what, "tells this unit itself"));
    bw_arena_free(arena);
    free(z);
}

static void a_trace_too_short_or_too_coarse_is_told(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    double z[60];
    for (int i = 0; i < 60; i++) z[i] = 1e-6 * (i % 7);
    struct bw_profile profile = made(z, 60, 1, 1e-6);
    assert_null(ask_about(arena, &profile, NULL, &err));
    assert_int_equal(err.code, BW_INPUT);
    bw_err_clear(&err);
    assert_null(ask_about(arena, &profile, set_cut_off, &err));
    assert_non_null(strstr(err.what, "less than one cut-off"));
    profile.about.dx = 1e-3;
    bw_err_clear(&err);
    assert_null(ask_about(arena, &profile, set_cut_off, &err));
    assert_non_null(strstr(err.what, "too far for a cut-off"));
    bw_arena_free(arena);
}

static void set_along(struct trace_input *in) {
    in->direction = TRACE_ALONG;
    in->cut_off = bw_exactly(2.5e-3);
}

// Brown and white noise, and on it marks of 3 um every 1.7 mm that are no sine.
static void marks_are_found_with_their_pitch_and_height(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    double *z = calloc(POINTS, sizeof *z), walk = 0;
    uint64_t seed = 12;
    assert_non_null(z);
    for (int i = 0; i < POINTS; i++) {
        double phase = i / 1700.0 - floor(i / 1700.0);
        walk += 2e-8 * bw_random_normal(&seed);
        z[i] = walk + 1e-6 * bw_random_normal(&seed) + 3e-6 * exp(-pow((phase - 0.5) / 0.12, 2));
    }
    const struct bw_profile profile = made(z, POINTS, 1, 1e-6);
    const struct trace_output *out = must(arena, &profile, set_along);
    const struct trace_mark_set *sets = out->mark_sets.items;
    assert_int_equal(out->mark_sets.n, 1);
    near_to(sets[0].pitch.v, 1.7e-3, 4 * sets[0].pitch.sd);
    assert_true(sets[0].pitch.sd < 0.01e-3);
    near_to(sets[0].height.v, 3e-6, 0.5e-6);
    assert_true(sets[0].harmonics >= 2);
    assert_int_equal(sets[0].found, 11);
    assert_string_equal(sets[0].on, "roughness");
    bw_arena_free(arena);
    free(z);
}

// Noise of a slope between white and brown: of 30 traces at most one shows marks (1 % each).
static void noise_shows_no_marks(void **state) {
    (void)state;
    double *z = calloc(POINTS, sizeof *z);
    uint64_t seed = 40;
    int false_alarms = 0;
    assert_non_null(z);
    for (int round = 0; round < 30; round++) {
        struct bw_arena *arena = bw_arena_new(0);
        double walk = 0, step = bw_random_between(&seed, 0, 5e-8);
        for (int i = 0; i < POINTS; i++) {
            walk += step * bw_random_normal(&seed);
            z[i] = walk + 1e-6 * bw_random_normal(&seed);
        }
        const struct bw_profile profile = made(z, POINTS, 1, 1e-6);
        false_alarms += must(arena, &profile, set_along)->mark_sets.n > 0;
        bw_arena_free(arena);
    }
    if (false_alarms > 1) fail_msg("%d", false_alarms);
    free(z);
}

static bool ask_again(void *with) {
    struct bw_err err = {0};
    struct bw_arena *arena = bw_arena_new(0);
    bool done = arena != NULL && ask_about(arena, with, set_wood, &err) != NULL;
    if (!done && arena != NULL) assert_int_equal(err.code, BW_MEMORY);
    bw_arena_free(arena);
    return done;
}

static void memory_may_run_out_anywhere(void **state) {
    (void)state;
    double z[3000];
    for (int i = 0; i < 3000; i++) z[i] = 1e-6 * sin(i * 0.3) - (i % 90 == 0 ? 1e-5 : 0);
    struct bw_profile profile = made(z, 3000, 1, 2e-6);
    assert_true(torture(ask_again, &profile) > 10);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readings_of_one_kind_are_one_group),
        cmocka_unit_test(a_testers_settings_are_judged),
        cmocka_unit_test(the_shops_own_line_is_what_is_expected),
        cmocka_unit_test(two_grits_do_not_calibrate),
        cmocka_unit_test(a_grit_that_cannot_be_read_is_told_with_its_place),
        cmocka_unit_test(short_waves_are_rough_and_long_ones_wavy),
        cmocka_unit_test(heights_of_waves_come_out),
        cmocka_unit_test(a_wave_limit_parts_waviness_from_form),
        cmocka_unit_test(gaps_are_filled_and_too_many_refused),
        cmocka_unit_test(pores_are_told_from_the_sanding),
        cmocka_unit_test(a_surface_gives_profiles_both_ways),
        cmocka_unit_test(uneven_places_are_evened_out),
        cmocka_unit_test(what_a_file_leaves_unsaid_must_be_given),
        cmocka_unit_test(a_trace_too_short_or_too_coarse_is_told),
        cmocka_unit_test(marks_are_found_with_their_pitch_and_height),
        cmocka_unit_test(noise_shows_no_marks),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests_name("trace", tests, NULL, NULL);
}
