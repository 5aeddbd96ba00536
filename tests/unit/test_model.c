// test_model.c - machines into sources: rates, what ties them, what is unknown.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/bind.h"
#include "base/yaml.h"
#include "machine/model.h"
#include "support/faults.h"
#include "support/torture.h"

#include <math.h>
#include <string.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

static struct bw_model *model_of(struct bw_arena *arena, const char *yaml) {
    struct bw_err err = {0};
    struct bw_node *root;
    struct bw_machine *machine = bw_arena_get(arena, sizeof *machine);
    struct bw_binding binding = {.arena = arena, .file = "m.yaml"};
    struct bw_model *model;
    if (!bw_yaml_read(arena, "m.yaml", yaml, strlen(yaml), &root, &err) ||
        !bw_bind(&binding, root, &bw_machine_record, machine, &err) ||
        !bw_model_build(arena, machine, &model, &err)) {
        fail_msg("%s: %s", err.field, err.what);
        return NULL;
    }
    return model;
}

static double rate_of(const struct bw_model *model, const char *id) {
    const struct bw_source *source = bw_model_find(model, id);
    if (source == NULL) fail_msg("no source %s", id);
    return exp(bw_gauss_mean(model->belief, &source->form));
}

static double sd_of(const struct bw_model *model, const char *id) {
    return bw_gauss_sd(model->belief, &bw_model_find(model, id)->form);
}

#define NEAR(a, b, relative) assert_true(fabs((a) / (b)-1) < (relative))

// Belt 1900 mm at 18 m/s over a 160 mm drum: splice 9.474 Hz, drum 35.588 Hz with a 1 mm belt (own
// arithmetic from the definitions).
static void rates_follow_from_the_file(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct bw_model *m =
        model_of(arena, "heads:\n"
                        "  - contact: steel drum\n"
                        "    belt: {length: 1900 mm ± 1 mm, speed: 18 m/s ± 1 %, thickness: 1 mm}\n"
                        "    drum: {diameter: 160 mm by tape, bearing: '6205'}\n"
                        "    rollers: [{diameter: 99 mm by caliper}]\n"
                        "    oscillation: 15 /min\n"
                        "conveyor: {belt length: 2 m, parts: [{name: sprocket, diameter: 100 mm by "
                        "tape, teeth: 20}]}\n"
                        "planer: {feed: 20 ft/min, speed: 5000 rpm, knives: 4, showing: 4}\n"
                        "supply: 60 Hz\n");
    NEAR(rate_of(m, "head1.splice"), 18 / 1.9, 1e-9);
    NEAR(rate_of(m, "head1.drum"), 35.588, 2e-5);
    NEAR(rate_of(m, "head1.roller1"), 18 / (M_PI * 0.1), 1e-9);
    NEAR(rate_of(m, "head1.oscillation"), 0.25, 1e-9);
    NEAR(rate_of(m, "mains"), 120, 1e-9);
    NEAR(rate_of(m, "feed.belt"), 2, 1e-9);
    NEAR(rate_of(m, "feed.part1"), M_PI * 0.1 / 20, 1e-9);
    NEAR(rate_of(m, "planer"), 20 * 0.3048 / 60 / (5000.0 / 60), 1e-9);
    // Orders of a 6205, published for that geometry: 0.3983, 4.7135, 3.5848, 5.4152 of the shaft.
    NEAR(rate_of(m, "head1.drum.bearing.cage"), 35.588 * 0.3983, 1e-4);
    NEAR(rate_of(m, "head1.drum.bearing.balls"), 35.588 * 4.7135, 1e-4);
    NEAR(rate_of(m, "head1.drum.bearing.outer"), 35.588 * 3.5848, 1e-4);
    NEAR(rate_of(m, "head1.drum.bearing.inner"), 35.588 * 5.4152, 1e-4);
    NEAR(sd_of(m, "head1.splice"), hypot(0.01, 1.0 / 1900), 1e-6);
    bw_arena_free(arena);
}

static void a_plate_diameter_allows_for_regrinding_and_a_tape_does_not(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    static const char FORM[] =
        "heads: [{contact: steel drum, belt: {length: 2 m, speed: 20 m/s, thickness: "
        "1 mm}, drum: {diameter: 200 mm%s}}]";
    char text[300];
    (void)snprintf(text, sizeof text, FORM, " by plate");
    const struct bw_model *plate = model_of(arena, text);
    (void)snprintf(text, sizeof text, FORM, " by tape");
    const struct bw_model *tape = model_of(arena, text);
    NEAR(rate_of(tape, "head1.drum"), 20 / (M_PI * 0.201), 1e-9);
    assert_true(rate_of(plate, "head1.drum") > rate_of(tape, "head1.drum"));
    // Ratio of drum to splice: belt speed cancels, the drum decides.
    struct bw_form ratio = bw_form_sum(&bw_model_find(tape, "head1.drum")->form, -1,
                                       &bw_model_find(tape, "head1.splice")->form);
    assert_true(bw_gauss_sd(tape->belief, &ratio) < 0.006);
    assert_true(bw_gauss_sd(plate->belief, &ratio) > 0.012);
    assert_int_equal(tape->n_costs, 0);
    assert_int_equal(plate->n_costs, 1);
    bw_arena_free(arena);
}

static void the_motor_is_a_second_route_to_the_drum(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    // 1760 rpm through 7.0 : 5.6 in. is 36.67 turns a second: the plate's belt speed, 5 % too
    // high, is drawn towards it.
    const struct bw_model *m =
        model_of(arena, "heads: [{contact: rubber drum, belt: {length: 75 in, speed: 19.5 m/s by "
                        "plate, thickness: 1 mm},"
                        " drum: {circumference: 500 mm by tape},"
                        " motor: {speed: 1760 rpm, pulley: 7.0 in, driven pulley: 5.6 in}}]");
    // By hand: the gap between the two routes is shared out in proportion to the variances of
    // plate (5 %), drum (0.3 %), motor (1 %) and pulleys (1.5 %); the drum's rate keeps what
    // motor and pulleys take.
    double tied = 1760.0 / 60 * 7.0 / 5.6, plate = 19.5 / (0.5 + M_PI * 0.001);
    double kept = (1 + 2.25) / (25 + 0.09 + 1 + 2.25);
    NEAR(rate_of(m, "head1.drum"), tied * exp(kept * log(plate / tied)), 1e-5);
    assert_true(sd_of(m, "head1.drum") < 0.02);
    assert_int_equal(m->n_costs, 0);
    // Disagreeing by 40 %: said, and not dragged along.
    m = model_of(arena, "heads: [{contact: rubber drum, belt: {length: 75 in, speed: 27 m/s by "
                        "plate, thickness: 1 mm},"
                        " drum: {circumference: 500 mm by tape},"
                        " motor: {speed: 1760 rpm, pulley: 7.0 in, driven pulley: 5.6 in}}]");
    assert_int_equal(m->n_costs, 1);
    assert_non_null(strstr(m->costs[0].text, "check the pulleys"));
    NEAR(rate_of(m, "head1.splice"), 27 / (75 * 0.0254), 1e-6);
    bw_arena_free(arena);
}

static void unknown_values_keep_their_place_and_say_what_they_cost(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct bw_model *m = model_of(
        arena, "heads: [{contact: rubber drum}, {contact: platen, belt: {length: unknown}}]\n"
               "hold downs: [{name: infeed roll}]\n");
    assert_non_null(bw_model_find(m, "head1.splice"));
    assert_true(bw_model_find(m, "head1.splice")->wide);
    assert_true(bw_model_find(m, "head1.drum")->wide);
    assert_null(bw_model_find(m, "head2.drum"));
    assert_true(bw_model_find(m, "holddown1")->wide);
    assert_int_equal(m->n_costs, 6);  // two belt speeds, two belt lengths, a drum, a roll
    bw_arena_free(arena);
}

static void a_segmented_belt_is_strongest_at_its_joints(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct bw_model *m = model_of(
        arena, "heads: [{contact: steel drum, belt: {length: 3 m, speed: 20 m/s, splices: 3}}]");
    const struct bw_source *splice = bw_model_find(m, "head1.splice");
    assert_int_equal(splice->n_harmonics, 6);
    double sum = 0, most = 0, at = 0;
    for (int k = 0; k < splice->n_harmonics; k++) {
        sum += splice->harmonics[k].share;
        if (splice->harmonics[k].share > most) at = splice->harmonics[k].order;
        if (splice->harmonics[k].share > most) most = splice->harmonics[k].share;
    }
    assert_true(at == 3 && fabs(sum - 1) < 1e-9);
    bw_arena_free(arena);
}

static void weights_are_a_prior(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct bw_model *m = model_of(
        arena,
        "heads: [{contact: steel drum, belt: {length: 3 m, speed: 20 m/s, splices: 12}},"
        "{contact: brush, brush speed: 600 rpm}]\nplaner: {knives: 4, showing: 2}\nsupply: 50 Hz\n"
        "conveyor: {belt length: 3 m, parts: [{name: chain, pitch: 19 mm}]}\n");
    double sum = 0;
    for (int i = 0; i < m->n_sources; i++) {
        double shares = 0;
        for (int k = 0; k < m->sources[i].n_harmonics; k++) {
            shares += m->sources[i].harmonics[k].share;
            assert_true(m->sources[i].harmonics[k].narrow > 0 &&
                        m->sources[i].harmonics[k].narrow < 1);
        }
        assert_true(fabs(shares - 1) < 1e-9);
        sum += m->sources[i].weight;
    }
    assert_true(fabs(sum - 1) < 1e-9);
    bw_arena_free(arena);
}

static void close_drums_make_waves(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct bw_model *m = model_of(
        arena, "heads:\n"
               "  - {contact: steel drum, belt: {length: 2 m, speed: 20 m/s ± 0.1 %}}\n"
               "  - {contact: steel drum, belt: {length: 1.8 m, speed: 20 m/s ± 0.1 %}}\n");
    // 10 and 11.11 Hz: 1.111 Hz.
    NEAR(rate_of(m, "beat.head1.splice.head2.splice"), 20 / 1.8 - 10, 1e-6);
    // Each rate is uncertain by 0.1 % of speed and 0.3 % of length: 0.0316 and 0.0351 Hz.
    double sd = hypot(10 * hypot(0.001, 0.003), 20 / 1.8 * hypot(0.001, 0.003)) / (20 / 1.8 - 10);
    NEAR(sd_of(m, "beat.head1.splice.head2.splice"), sd, 1e-3);
    bw_arena_free(arena);
}

static void an_unknown_bearing_names_its_place(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_roller roller = {.bearing = "9999",
                               .diameter = bw_exactly(0.1),
                               .circumference = BW_UNKNOWN,
                               .role = BW_ROLE_IDLER,
                               .shaft_fixed = BW_NO};
    struct bw_head head = {.contact = BW_PLATEN,
                           .rollers = {&roller, 1},
                           .oscillation = BW_UNKNOWN,
                           .brush_speed = BW_UNKNOWN};
    struct bw_machine machine = {.heads = {&head, 1}, .supply = BW_UNKNOWN};
    struct bw_err err = {0};
    struct bw_model *model = NULL;
    assert_false(bw_model_build(arena, &machine, &model, &err));
    assert_null(model);
    assert_int_equal(err.code, BW_NOT_FOUND);
    assert_string_equal(err.field, "heads[0].rollers[0].bearing");
    assert_true(err.mend[0] != '\0');
    bw_arena_free(arena);
}

static bool build_again(void *with) {
    struct bw_err err = {0};
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_model *model;
    bool done = arena != NULL && bw_model_build(arena, with, &model, &err);
    if (!done && arena != NULL) assert_int_equal(err.code, BW_MEMORY);
    bw_arena_free(arena);
    return done;
}

static void memory_may_run_out_anywhere(void **state) {
    (void)state;
    struct bw_drum drum = {.diameter = bw_exactly(0.2),
                           .circumference = BW_UNKNOWN,
                           .contact = BW_UNKNOWN,
                           .bearing = "6205"};
    struct bw_head head = {.contact = BW_STEEL_DRUM,
                           .drum = &drum,
                           .oscillation = BW_UNKNOWN,
                           .brush_speed = BW_UNKNOWN};
    struct bw_machine machine = {.heads = {&head, 1}, .supply = BW_UNKNOWN};
    assert_true(torture(build_again, &machine) > 1);
}

static void every_fault_in_a_machine_file_is_told(void **state) {
    (void)state;
    struct faults_report report;
    if (!faults_check(&bw_machine_record, 7, 60, &report)) fail_msg("%s", report.failed);
    assert_true(report.made > 1000);
    if (report.reached < report.fields) fail_msg("no fault reached %s", report.unreached);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rates_follow_from_the_file),
        cmocka_unit_test(a_plate_diameter_allows_for_regrinding_and_a_tape_does_not),
        cmocka_unit_test(the_motor_is_a_second_route_to_the_drum),
        cmocka_unit_test(unknown_values_keep_their_place_and_say_what_they_cost),
        cmocka_unit_test(a_segmented_belt_is_strongest_at_its_joints),
        cmocka_unit_test(weights_are_a_prior),
        cmocka_unit_test(close_drums_make_waves),
        cmocka_unit_test(an_unknown_bearing_names_its_place),
        cmocka_unit_test(memory_may_run_out_anywhere),
        cmocka_unit_test(every_fault_in_a_machine_file_is_told),
    };
    return cmocka_run_group_tests_name("model", tests, NULL, NULL);
}
