// test_sequence.c - the study `sequence`: known cases, judged set-ups, amps, clashes, units.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/format.h"
#include "study/sequence/sequence.h"

#include "study/sequence/meter.h"
#include "study/sequence/record.h"
#include "support/ask.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#define THREE "\"machine\": \"examples/three-head.yaml\", \"passes\": 1, "
#define ONE "\"machine\": \"examples/one-head.yaml\", "

static struct bw_arena *arena;
static int begin(void **state) {
    (void)state;
    arena = bw_arena_new(0);
    return arena == NULL ? 1 : 0;
}
static int end(void **state) {
    (void)state;
    bw_arena_free(arena);
    return 0;
}

static const struct sequence_output *ask(const char *json) {
    return must_ask(arena, &bw_study_sequence, json);
}
static const struct sequence_plan *plan_at(const struct sequence_output *out, size_t i) {
    assert_true(i < out->plans.n);
    return (const struct sequence_plan *)out->plans.items + i;
}
static const struct sequence_step *step_at(const struct sequence_plan *plan, size_t i) {
    assert_true(i < plan->steps.n);
    return (const struct sequence_step *)plan->steps.items + i;
}
static const struct sequence_line *line_at(const struct bw_list *list, size_t i) {
    assert_true(i < list->n);
    return (const struct sequence_line *)list->items + i;
}
static bool some_line(const struct bw_list *list, const char *about, const char *text) {
    for (size_t i = 0; i < list->n; i++)
        if (strstr(line_at(list, i)->about, about) != NULL &&
            strstr(line_at(list, i)->text, text) != NULL)
            return true;
    return false;
}

static void the_answer_keeps_the_rules_it_states(void **state) {
    (void)state;
    const struct sequence_output *out =
        ask("{" THREE "\"wood\": \"hard maple\", \"width\": \"600 mm\", \"finish\": \"stain\"}");
    for (size_t k = 0; k < out->plans.n; k++) {
        const struct sequence_plan *plan = plan_at(out, k);
        double sum = 0;
        for (size_t i = 0; i < plan->steps.n; i++) {
            const struct sequence_step *step = step_at(plan, i);
            sum += step->takes.v;
            assert_true(step->takes.v <= step->most.v * (1 + 1e-6));
            assert_true(step->load_dull.v <= 1 + 1e-6);
        }
        assert_true(fabs(sum - plan->removed.v) < 1e-9);
        assert_true(sum >= 300e-6 * (1 - 1e-6));  // 0.2 mm spread and 0.1 mm of marks
        assert_non_null(strstr(step_at(plan, plan->steps.n - 1)->part, "platen"));
    }
    assert_true(out->bound.v >= 0 && out->bound.v < 0.02);
    assert_int_equal(out->clashes.n, 0);
}

// 120-180-220 taking 0.015 in polishes the wood: the article's own case.
static void the_published_fault_is_found(void **state) {
    (void)state;
    const struct sequence_output *out =
        ask("{" THREE "\"wood\": \"hard maple\", \"finish\": \"stain\", \"setup\": [\"P120 on 1 "
            "takes 0.015 in\", \"P180 on 2 takes 0.004 in\", \"P220 on 3 takes 0.001 in\"]}");
    assert_string_equal(line_at(&out->judged, 0)->kind, "overloaded-head");
    assert_string_equal(line_at(&out->judged, 0)->about, "head 1");
    assert_true(fabs(line_at(&out->judged, 0)->share.v - 1.5) < 0.02);
}

struct pair {
    const char *from, *to;
    bool allowed;
};

static void steps_are_judged_as_the_article_does(void **state) {
    (void)state;
    static const struct pair PAIRS[] = {{"P80", "P180", false},
                                        {"P80", "P120", true},
                                        {"P100", "P150", true},
                                        {"P60", "P100", true},
                                        {"P60", "P120", false}};
    for (size_t i = 0; i < sizeof PAIRS / sizeof *PAIRS; i++) {
        char json[400];
        (void)bw_format(json, sizeof json,
                        "{" THREE
                        "\"wood\": \"hard maple\", \"setup\": [\"%s on 1\", \"%s on 2\"], "
                        "\"largest_skip\": 6}",
                        PAIRS[i].from, PAIRS[i].to);
        const struct sequence_output *out = ask(json);
        bool skipped = false;
        for (size_t k = 0; k < out->judged.n; k++) {
            const char *kind = line_at(&out->judged, k)->kind;
            skipped |= kind != NULL && strcmp(kind, "skipped-grit") == 0;
        }
        if (skipped == PAIRS[i].allowed) fail_msg("%s to %s", PAIRS[i].from, PAIRS[i].to);
    }
}

static void inches_and_millimetres_get_the_same_plan(void **state) {
    (void)state;
    const struct sequence_output *inch =
        ask("{" ONE "\"wood\": \"red oak\", \"finish\": \"oil\", \"width\": \"24 in\", "
            "\"spread\": \"0.02 in\", \"marks\": \"0.005 in\", \"batch\": \"1000 ft2\"}");
    const struct sequence_output *metric =
        ask("{" ONE "\"wood\": \"red oak\", \"finish\": \"oil\", \"width\": \"609.6 mm\", "
            "\"spread\": \"0.508 mm\", \"marks\": \"127 µm\", \"batch\": \"92.90304 m2\"}");
    assert_int_equal(inch->plans.n, metric->plans.n);
    for (size_t k = 0; k < inch->plans.n; k++) {
        const struct sequence_plan *a = plan_at(inch, k), *b = plan_at(metric, k);
        assert_string_equal(a->words, b->words);
        for (size_t i = 0; i < a->steps.n; i++) {
            assert_true(step_at(a, i)->takes.v == step_at(b, i)->takes.v);
            assert_true(step_at(a, i)->feed.v == step_at(b, i)->feed.v);
        }
    }
}

// By number CAMI 320 is coarser than P400; by size it is P400's neighbour and finer than P360.
static void a_mixed_shelf_is_ordered_by_size(void **state) {
    (void)state;
    const struct sequence_output *out =
        ask("{" THREE "\"wood\": \"sealer\", \"finish\": \"sealed\", \"came_from\": \"CAMI 240\", "
            "\"belts\": [\"CAMI 320\", \"P320\"], \"heads\": [\"1 is out\", \"2 "
            "from 3 m/s to 8 m/s\", \"3 from 3 m/s to 8 m/s\"]}");
    const struct sequence_plan *plan = plan_at(out, 0);
    for (size_t i = 1; i < plan->steps.n; i++)
        assert_false(strcmp(step_at(plan, i - 1)->grit, "CAMI 320") == 0 &&
                     strcmp(step_at(plan, i)->grit, "P320") == 0);
    // Judged: P320 (46 µm) behind CAMI 320 (36 µm) goes back to a coarser belt.
    out = ask("{" THREE "\"wood\": \"sealer\", \"finish\": \"sealed\", \"setup\": [\"CAMI 320 on "
              "2\", \"P320 on 3\"]}");
    assert_true(some_line(&out->judged, "head 3", "coarser"));
}

static void amps_follow_the_square_law(void **state) {
    (void)state;
    // 15 kW, 28 A plate, 11 A idle: at 30 % load 13.4 A, which a straight line reads as 14 %.
    assert_true(fabs(meter_amps(11, 28, 0.3) - 13.4) < 0.05);
    assert_true(fabs((13.4 - 11) / (28 - 11) - 0.14) < 0.005);
    for (double share = 0; share <= 1.2; share += 0.1)
        assert_true(fabs(meter_share(11, 28, meter_amps(11, 28, share)) - share) < 1e-9);
    assert_true(meter_share(11, 28, 10) == 0);
}

static void amps_calibrate_the_energy(void **state) {
    (void)state;
    // Head 2 has 22 kW; half load is 11 kW. P120 taking 0.2 mm of 600 mm at 6 m/min is 12,000
    // mm3/s, so 11 kW x 0.9 / 12,000 = 0.825 J/mm3.
    double amps = meter_amps(15, 42, 0.5);
    char json[500];
    (void)bw_format(
        json, sizeof json,
        "{" THREE "\"wood\": \"hard maple\", \"width\": \"600 mm\", \"heads\": [\"2 "
        "idles 15 A full 42 A\"], \"setup\": [\"P120 on 2 takes 0.2 mm at 6 m/min reads "
        "%.6f A\"]}",
        amps);
    const struct sequence_output *out = ask(json);
    assert_true(some_line(&out->measured, "head 2", "0.82 J/mm³") ||
                some_line(&out->measured, "head 2", "0.83 J/mm³"));
    // Nearly idle: nothing follows.
    out = ask("{" THREE "\"wood\": \"hard maple\", \"heads\": [\"2 idles 15 A full 42 A\"], "
              "\"setup\": [\"P120 on 2 takes 0.2 mm at 6 m/min reads 16 A\"]}");
    assert_true(some_line(&out->measured, "head 2", "cannot decide"));
}

static void clashes_name_a_set_and_what_frees_it(void **state) {
    (void)state;
    // P80 and P180 alone: the scratch of one is too deep for the other.
    const struct sequence_output *out =
        ask("{" THREE "\"wood\": \"hard maple\", \"spread\": \"0.6 mm\", "
            "\"belts\": [\"P80\", \"P180\"]}");
    assert_int_equal(out->plans.n, 0);
    assert_true(out->clashes.n >= 2);
    assert_true(some_line(&out->clashes, "one belt more", "P1"));
    // A veneer that cannot stand what the marks ask for: named alone with the stock.
    out = ask("{" THREE "\"wood\": \"red oak\", \"veneer\": \"0.5 mm\", \"marks\": \"0.6 mm\"}");
    assert_int_equal(out->plans.n, 0);
    assert_true(some_line(&out->clashes, "sanding through", ""));
    assert_true(some_line(&out->clashes, "the stock to take off", ""));
}

static void a_diagnosis_changes_the_plan(void **state) {
    (void)state;
    const struct sequence_output *sound =
        ask("{" ONE "\"wood\": \"red oak\", \"finish\": \"stain\"}");
    const struct sequence_output *weak = ask(
        "{" ONE "\"wood\": \"red oak\", \"finish\": \"stain\", \"heads\": [\"1 is weak air\"]}");
    assert_true(plan_at(weak, 0)->output.v <= plan_at(sound, 0)->output.v);
    const struct sequence_output *hard = ask(
        "{" ONE "\"wood\": \"red oak\", \"finish\": \"stain\", \"heads\": [\"1 is hard drum\"]}");
    assert_int_equal(hard->plans.n, 0);
    assert_true(some_line(&hard->clashes, "drum", ""));
}

static void money_needs_the_shops_prices(void **state) {
    (void)state;
    const struct sequence_output *out =
        ask("{" ONE "\"wood\": \"red oak\", \"hour\": 55, \"belts\": [\"P100 costs 30 lasts 1200 "
            "m2\", \"P150 costs 28 lasts 900 m2\"]}");
    assert_int_equal(out->money, 1);
    assert_true(plan_at(out, 0)->cost.v > 0.05 && plan_at(out, 0)->cost.v < 5);
    out = ask("{" ONE "\"wood\": \"red oak\", \"hour\": 55, \"belts\": [\"P100 costs 30 lasts 1200 "
              "m2\", \"P150\"]}");
    assert_int_equal(out->money, 0);
    assert_false(bw_known(plan_at(out, 0)->cost));
}

static void every_goal_is_best_at_its_own(void **state) {
    (void)state;
    static const char *const GOALS[] = {"cheapest", "fastest", "safest", "fewest passes",
                                        "weighted"};
    double cost[5], output[5], reserve[5];
    long passes[5];
    for (size_t i = 0; i < 5; i++) {
        char json[300];
        (void)bw_format(json, sizeof json,
                        "{" ONE "\"wood\": \"red oak\", \"spread\": \"0.6 mm\", \"goal\": \"%s\", "
                        "\"front\": \"yes\"}",
                        GOALS[i]);
        const struct sequence_output *out = ask(json);
        const struct sequence_plan *plan = plan_at(out, 0);
        cost[i] = plan->relative.v;
        output[i] = plan->output.v;
        reserve[i] = plan->reserve.v;
        passes[i] = plan->passes;
        assert_true(out->front.n > 0);
    }
    for (size_t i = 0; i < 5; i++) {
        assert_true(cost[0] <= cost[i] * (1 + 1e-9));
        assert_true(output[1] >= output[i] * 0.97);
        assert_true(passes[3] <= passes[i]);
    }
    assert_true(reserve[2] >= reserve[0] - 1e-9);
}

static void short_parts_are_refused(void **state) {
    (void)state;
    struct bw_err err = {0};
    assert_null(ask_study(arena, &bw_study_sequence,
                          "{" THREE "\"wood\": \"red oak\", \"length\": \"200 mm\"}", &err));
    assert_int_equal(err.code, BW_REFUSED);
    assert_string_equal(err.field, "length");
}

struct refused {
    const char *json, *field, *mend;
};

static void what_cannot_be_taken_is_told(void **state) {
    (void)state;
    static const struct refused CASES[] = {
        {"{" THREE "\"wood\": \"red mapel\"}", "wood", "red maple"},
        {"{" THREE "\"wood\": \"red oak\", \"finish\": \"satin\"}", "finish", "stain"},
        {"{" THREE "\"wood\": \"red oak\", \"belts\": [\"120\"]}", "belts[0].grit", "P120"},
        {"{" THREE "\"wood\": \"red oak\", \"heads\": [\"4 idles 3 A\"]}", "heads[0].head", ""},
        {"{" THREE "\"wood\": \"red oak\", \"width\": \"2 m\"}", "width", "1300"},
        {"{" THREE "\"wood\": \"red oak\", \"setup\": [\"P80 on 7\"]}", "setup[0].head", ""},
        {"{" THREE "\"wood\": \"red oak\", \"traces\": [\"F180 gives 4 µm\"]}", "traces[0].grit",
         ""},
        {"{" THREE "\"wood\": \"red oak\", \"came_from\": \"P80\", \"marks\": \"0.1 mm\"}",
         "came_from", ""},
        {"{" THREE "\"wood\": \"red oak\", \"heads\": [\"1 idles 30 A full 20 A\"]}",
         "heads[0].full", ""},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        struct bw_err err = {0};
        assert_null(ask_study(arena, &bw_study_sequence, CASES[i].json, &err));
        assert_string_equal(err.field, CASES[i].field);
        if (strstr(err.mend, CASES[i].mend) == NULL) fail_msg("%s: %s", err.field, err.mend);
    }
}

static bool ask_again(void *with) {
    struct bw_err err = {0};
    struct bw_arena *fresh = bw_arena_new(0);
    bool done = fresh != NULL && ask_study(fresh, &bw_study_sequence, with, &err) != NULL;
    if (!done && fresh != NULL) assert_int_equal(err.code, BW_MEMORY);
    bw_arena_free(fresh);
    return done;
}

static void memory_may_run_out_anywhere(void **state) {
    (void)state;
    static char plain[] = "{" ONE "\"wood\": \"red oak\", \"belts\": [\"P150\"], \"spread\": \"0 "
                          "mm\", \"feed\": \"5 m/min\", \"passes\": 1, \"setup\": [\"P150 on 1\"]}";
    static char clash[] = "{" ONE "\"wood\": \"red oak\", \"belts\": [\"P80\"], \"feed\": \"5 "
                          "m/min\", \"passes\": 1, \"marks\": \"0.02 mm\", \"spread\": \"0 mm\"}";
    assert_true(torture(ask_again, plain) > 3);
    assert_true(torture(ask_again, clash) > 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_answer_keeps_the_rules_it_states),
        cmocka_unit_test(the_published_fault_is_found),
        cmocka_unit_test(steps_are_judged_as_the_article_does),
        cmocka_unit_test(inches_and_millimetres_get_the_same_plan),
        cmocka_unit_test(a_mixed_shelf_is_ordered_by_size),
        cmocka_unit_test(amps_follow_the_square_law),
        cmocka_unit_test(amps_calibrate_the_energy),
        cmocka_unit_test(clashes_name_a_set_and_what_frees_it),
        cmocka_unit_test(a_diagnosis_changes_the_plan),
        cmocka_unit_test(money_needs_the_shops_prices),
        cmocka_unit_test(every_goal_is_best_at_its_own),
        cmocka_unit_test(short_parts_are_refused),
        cmocka_unit_test(what_cannot_be_taken_is_told),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests_name("sequence", tests, begin, end);
}
