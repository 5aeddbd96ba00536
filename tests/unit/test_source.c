// test_source.c - what the study `source` must conclude, on cases worked out by hand.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/source/source.h"

#include "base/alloc.h"

#include "study/source/record.h"
#include "support/ask.h"
#include "support/faults.h"
#include "support/torture.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

// Worked example of the trade (own arithmetic): belt 1900 mm at 18 m/s, drum 160 mm, feed 6
// m/min: splice 10.56 mm, drum 2.81 mm with a 1 mm belt. Round the same numbers an invented
// machine.
#define HEAD(speed)                                                                                \
    "{\"contact\": \"steel drum\", \"belt\": {\"length\": \"1900 mm\", \"speed\": \"" speed "\", " \
    "\"thickness\": \"1 mm\", \"joint_angle\": \"25 deg\"}, \"drum\": {\"diameter\": "             \
    "\"160 mm by tape\"}, \"rollers\": [{\"diameter\": \"115 mm by caliper\"}]}"
#define REST                                                                                       \
    "\"conveyor\": {\"belt_length\": \"2640 mm\", \"parts\": [{\"name\": \"chain\", \"pitch\": "   \
    "\"19.05 mm\"}]}, \"feed_min\": \"2 m/min\", \"feed_max\": \"16 m/min\", \"supply\": "         \
    "\"50 Hz\", \"plate_supply\": \"50 Hz\""
#define ONE "{\"machine\": {\"heads\": [" HEAD("18 m/s ± 3 %") "], " REST "}, "
#define TWO "{\"machine\": {\"heads\": [" HEAD("18 m/s") ", " HEAD("18 m/s") "], " REST "}, "

static const struct source_output *ask(struct bw_arena *arena, const char *json) {
    return must_ask(arena, &bw_study_source, json);
}

static double chance(const struct source_output *out, size_t mark, const char *id) {
    const struct source_answer *answer = (const struct source_answer *)out->marks.items + mark;
    for (size_t i = 0; i < answer->candidates.n; i++) {
        const struct source_candidate *c =
            (const struct source_candidate *)answer->candidates.items + i;
        if (strcmp(c->id, id) == 0) return c->probability.v;
    }
    return 0;
}

static const struct source_answer *mark(const struct source_output *out, size_t i) {
    return (const struct source_answer *)out->marks.items + i;
}

static void the_worked_example_names_splice_and_drum(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct source_output *out =
        ask(arena, ONE "\"marks\": [\"10.56 mm at 6 m/min by film\"]}");
    assert_true(chance(out, 0, "head1.splice") > 0.8);
    out = ask(arena, ONE "\"marks\": [\"2.81 mm at 6 m/min by film\"]}");
    assert_true(chance(out, 0, "head1.drum") > 0.8);
    out = ask(arena, ONE "\"marks\": [\"19.05 mm ± 0.1 at 6 m/min by film\"]}");
    assert_true(chance(out, 0, "feed.part1") > 0.8);
    bw_arena_free(arena);
}

static void another_feed_tells_timed_from_paced(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    // Pitch in proportion to the feed: turns in time. The same pitch at both: tied to travel.
    const struct source_output *out = ask(
        arena, ONE "\"marks\": [\"27 mm at 6 m/min by film\", \"19.4 mm at 4.32 m/min by film\"]}");
    assert_true(mark(out, 0)->timed.v > 0.97);
    out = ask(arena,
              ONE "\"marks\": [\"27 mm at 6 m/min by film\", \"27 mm at 4.32 m/min by film\"]}");
    assert_true(mark(out, 0)->timed.v < 0.03);
    assert_true(mark(out, 0)->unlisted.v > 0.9);
    bw_arena_free(arena);
}

static void a_chalked_splice_replaces_every_speed(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    // The belt really runs 20 % slow and the feed is unknown: only the ratio of lengths is left,
    // and it is enough. Splice 13.2 mm, drum 13.2 x pi 161 / 1900 = 3.514 mm.
    const struct source_output *out =
        ask(arena, ONE "\"marks\": [\"13.2 mm ± 0.05 is splice\", \"3.514 mm ± 0.015\"]}");
    assert_true(chance(out, 1, "head1.drum") > 0.9);
    assert_true(chance(out, 0, "head1.splice") > 0.999);
    // With the feed known, the belt's speed is found: 1.9 m x 0.1 m/s / 13.2 mm.
    out = ask(arena, ONE "\"marks\": [\"13.2 mm ± 0.05 at 6 m/min by film is splice of head 1\", "
                         "\"3.514 mm ± 0.015 at 6 m/min by film\"]}");
    assert_true(out->speeds.n >= 1);
    const struct source_speed *speed = out->speeds.items;
    double expected = 1.9 * 0.1 / 0.0132;
    assert_true(fabs(speed->found.v - expected) < 2 * speed->found.sd);
    assert_true(speed->found.sd < 0.01 * expected);
    bw_arena_free(arena);
}

static void equal_belts_leave_the_head_open_until_one_runs_alone(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct source_output *out =
        ask(arena, TWO "\"marks\": [\"10.56 mm at 6 m/min by film\"]}");
    double first = chance(out, 0, "head1.splice"), second = chance(out, 0, "head2.splice");
    assert_true(fabs(first - second) < 0.01 && first > 0.35);
    const struct source_part *part = out->parts.items;
    assert_string_equal(part->name, "belt splice");
    assert_int_equal(part->head_decided, 0);
    assert_non_null(strstr(out->answer, "which head is not decided"));
    out = ask(arena, TWO "\"marks\": [\"10.56 mm at 6 m/min by film\"], "
                         "\"trials\": [\"only head 2 mark stays\"]}");
    assert_true(chance(out, 0, "head2.splice") > 0.9);
    out = ask(arena, TWO "\"marks\": [\"10.56 mm at 6 m/min by film only head 1\"]}");
    assert_true(chance(out, 0, "head1.splice") > 0.8);
    out = ask(arena, TWO "\"marks\": [\"10.56 mm at 6 m/min by film\"], "
                         "\"trials\": [\"new belt on head 1 mark gone\"]}");
    assert_true(chance(out, 0, "head1.splice") > 0.9);
    bw_arena_free(arena);
}

static void depth_above_the_ceiling_clears_a_drum(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    // 2.81 mm on R 81 mm leaves at most 12.2 µm.
    const struct source_output *plain =
        ask(arena, ONE "\"marks\": [\"2.81 mm at 6 m/min by film\"]}");
    const struct source_output *low =
        ask(arena, ONE "\"marks\": [\"2.81 mm at 6 m/min by film depth 8 um\"]}");
    const struct source_output *high =
        ask(arena, ONE "\"marks\": [\"2.81 mm at 6 m/min by film depth 40 um\"]}");
    const struct source_output *apart =
        ask(arena, ONE "\"marks\": [\"2.81 mm at 6 m/min by film\"], \"depth\": \"40 um\"}");
    assert_true(chance(low, 0, "head1.drum") > chance(plain, 0, "head1.drum") - 0.02);
    // Against what nothing bounds, the drum's odds fall at least tenfold: a wrong trace is not
    // that rare.
    double before = chance(plain, 0, "head1.drum") / mark(plain, 0)->unlisted.v;
    double after = chance(high, 0, "head1.drum") / mark(high, 0)->unlisted.v;
    assert_true(after < before / 10);
    assert_true(chance(apart, 0, "head1.drum") == chance(high, 0, "head1.drum"));
    bw_arena_free(arena);
}

// Drum circumference a quarter of the belt's length: pitch alone cannot tell the 4th splice
// harmonic from the drum.
#define NEAR_FOUR                                                                                  \
    "{\"machine\": {\"heads\": [{\"contact\": \"steel drum\", \"belt\": {\"length\": \"1900 mm\"," \
    " \"speed\": \"18 m/s ± 1 %\", \"thickness\": \"1 mm\", \"joint_angle\": \"25 deg\"}, "       \
    "\"drum\": {\"circumference\": \"471.9 mm by tape\"}}], " REST "}, "

static void slant_and_look_decide_where_pitch_cannot(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    // At 24 m/min the drum's marks lie 10.56 mm apart and the splice's fourth harmonic with them.
    // Over 1.3 m a joint leaning 25 degrees lags 1.3 tan(25)/1.9 of its own pitch of 42.2 mm:
    // 13.5 mm.
#define AT "\"marks\": [\"10.56 mm ± 0.05 at 24 m/min by film"
    const struct source_output *plain = ask(arena, NEAR_FOUR AT "\"]}");
    const struct source_output *slanted = ask(arena, NEAR_FOUR AT " lag 13.5 mm over 1.3 m\"]}");
    const struct source_output *square = ask(arena, NEAR_FOUR AT " lag 0 mm over 1.3 m\"]}");
    const struct source_output *narrow = ask(arena, NEAR_FOUR AT " look narrow\"]}");
    const struct source_output *smooth = ask(arena, NEAR_FOUR AT " look smooth\"]}");
#undef AT
    double odds = chance(plain, 0, "head1.splice") / chance(plain, 0, "head1.drum");
    assert_true(chance(slanted, 0, "head1.splice") / chance(slanted, 0, "head1.drum") > 2 * odds);
    assert_true(chance(square, 0, "head1.splice") / chance(square, 0, "head1.drum") < odds);
    // No slant does not clear the splice: a joint may lift the whole head.
    assert_true(chance(square, 0, "head1.splice") > 0.1 * chance(plain, 0, "head1.splice"));
    assert_true(chance(smooth, 0, "head1.drum") > chance(narrow, 0, "head1.drum"));
    bw_arena_free(arena);
}

static void a_recorded_rate_corrects_the_plate(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    // 8.5 Hz instead of 9.474: the belt runs 16.15 m/s; the splice is then 11.76 mm, not 10.56.
    const struct source_output *out =
        ask(arena, ONE "\"marks\": [\"11.76 mm ± 0.05 at 6 m/min by film\"], "
                       "\"rates\": [\"8.5 Hz by recording is splice\"]}");
    assert_true(chance(out, 0, "head1.splice") > 0.9);
    out = ask(arena, ONE "\"marks\": [\"10.56 mm ± 0.05 at 6 m/min by film\"], "
                         "\"rates\": [\"8.5 Hz by recording is splice\"]}");
    assert_true(chance(out, 0, "head1.splice") < 0.3);
    bw_arena_free(arena);
}

static void a_wrong_mains_frequency_is_suspected(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    // Both rolls turn a fifth too slow: one wrong speed explains two marks.
#define OPEN "{\"machine\": {\"heads\": [" HEAD("18 m/s by plate") "]}, "
    const struct source_output *out = ask(
        arena, OPEN "\"marks\": [\"12.67 mm ± 0.05 at 6 m/min by film\", \"3.371 mm ± 0.015 at 6 "
                    "m/min by film\"]}");
#undef OPEN
    assert_true(chance(out, 0, "head1.splice") > 0.8 && chance(out, 1, "head1.drum") > 0.8);
    bool suspected = false;
    for (size_t i = 0; i < out->suspicions.n; i++) {
        const struct source_head_share *s =
            (const struct source_head_share *)out->suspicions.items + i;
        suspected =
            suspected || strstr(s->name, "50 Hz") != NULL || strstr(s->name, "plate") != NULL;
    }
    assert_true(suspected);
    bw_arena_free(arena);
}

static void what_is_not_in_the_file_is_not_forced_on_it(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct source_output *out = ask(
        arena, ONE "\"marks\": [\"33.3 mm ± 0.1 at 6 m/min by film\", \"24 mm ± 0.1 at 4.32 m/min "
                   "by film same as mark 1\"]}");
    assert_true(mark(out, 0)->unlisted.v > 0.9);
    assert_non_null(strstr(out->answer, "Nothing in the machine file"));
    bw_arena_free(arena);
}

static void probabilities_are_probabilities(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct source_output *out =
        ask(arena,
            TWO "\"marks\": [\"10.5 mm at 6 m/min\", \"2.8 mm at 6 m/min\", \"7 mm at 4 m/min\"]}");
    for (size_t i = 0; i < out->marks.n; i++) {
        double sum = 0, before = 1;
        for (size_t k = 0; k < mark(out, i)->candidates.n; k++) {
            double p = ((const struct source_candidate *)mark(out, i)->candidates.items + k)
                           ->probability.v;
            assert_true(p > 0 && p <= before + 1e-12);
            before = p;
            sum += p;
        }
        assert_true(sum <= 1 + 1e-9 && sum > 0.8);
        assert_true(mark(out, i)->timed.v >= 0 && mark(out, i)->timed.v <= 1 + 1e-9);
    }
    bw_arena_free(arena);
}

// Truth by hand: at the advised feed every candidate's own pitch must be the one predicted.
static void experiments_are_safe_and_their_predictions_hold(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct source_output *out =
        ask(arena, TWO "\"marks\": [\"19.2 mm at 11 m/min by watch\"]}");
    assert_true(out->experiments.n >= 1);
    for (size_t i = 0; i < out->experiments.n; i++) {
        const struct source_experiment *x =
            (const struct source_experiment *)out->experiments.items + i;
        assert_true(strlen(x->caution) > 10);
        assert_true(x->right.v > 0 && x->right.v <= 1 + 1e-9 && x->settles.v <= 1 + 1e-9);
        static const char *const FORBIDDEN[] = {"open the door", "strobe", "hand near", "defeat"};
        for (size_t k = 0; k < 4; k++) {
            assert_null(strstr(x->how, FORBIDDEN[k]));
            assert_null(strstr(x->title, FORBIDDEN[k]));
        }
        if (!bw_known(x->feed)) continue;
        double ratio = x->feed.v / (11.0 / 60);
        assert_true(ratio < 1 && ratio > 0.5);
        assert_true(fabs(ratio - 0.5) > 0.02 && fabs(ratio - 2.0 / 3) > 0.02);
        if (strcmp(x->id, "feed") != 0 && strcmp(x->id, "scrap-panel") != 0) continue;
        for (size_t k = 0; k < x->predictions.n; k++) {
            const struct source_prediction *p =
                (const struct source_prediction *)x->predictions.items + k;
            if (!bw_known(p->pitch)) continue;
            bool travel = strstr(p->name, "chain") != NULL || strstr(p->name, "travel") != NULL;
            double expected = 0.0192 * (travel ? 1 : ratio);
            assert_true(fabs(p->pitch.v - expected) < 3 * p->pitch.sd + 0.001 * expected);
        }
    }
    bw_arena_free(arena);
}

static void a_slow_machine_is_not_told_to_go_slower(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct source_output *out =
        ask(arena, TWO "\"marks\": [\"5 mm at 2.2 m/min by watch\"]}");
    for (size_t i = 0; i < out->experiments.n; i++) {
        const struct source_experiment *x =
            (const struct source_experiment *)out->experiments.items + i;
        if (bw_known(x->feed)) assert_true(x->feed.v >= 2.0 / 60 - 1e-9);
        if (bw_known(x->feed) && x->feed.v > 2.2 / 60)
            assert_non_null(strstr(x->caution, "halve the cut"));
    }
    for (size_t i = 0; i < out->stop_gaps.n; i++)
        assert_true(((const struct source_stop_gap *)out->stop_gaps.items + i)->feed.v >=
                    2.0 / 60 - 1e-9);
    bw_arena_free(arena);
}

static void a_platen_hides_marks_where_its_length_is_whole_pitches(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct source_output *out =
        ask(arena, "{\"machine\": {\"heads\": [{\"contact\": \"platen\", \"belt\": {\"length\": "
                   "\"2620 mm\", \"speed\": "
                   "\"18 m/s ± 1 %\"}, \"platen\": {\"contact\": \"50 mm\"}}], \"supply\": \"50 "
                   "Hz\", \"plate_supply\": "
                   "\"50 Hz\"}, \"marks\": [\"14.56 mm at 6 m/min by film\"]}");
    assert_true(chance(out, 0, "head1.splice") > 0.5);
    assert_true(out->stop_gaps.n >= 1);
    const struct source_stop_gap *gap = out->stop_gaps.items;
    // 50 mm over 4 pitches: 12.5 mm at 6.87 a second.
    assert_true(fabs(gap->feed.v - 0.0125 * 18 / 2.62) < 0.001);
    bw_arena_free(arena);
}

static void bad_names_say_what_would_do(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    assert_null(ask_study(arena, &bw_study_source, ONE "\"marks\": [\"10 mm is splise\"]}", &err));
    assert_int_equal(err.code, BW_NOT_FOUND);
    assert_string_equal(err.field, "marks[0].is");
    assert_string_equal(err.value, "splise");
    assert_non_null(strstr(err.mend, "belt splice of head 1"));
    bw_err_clear(&err);
    assert_null(ask_study(arena, &bw_study_source,
                          ONE "\"marks\": [\"10 mm\"], \"rates\": [\"9 Hz is splice of head 7\"]}",
                          &err));
    assert_string_equal(err.field, "rates[0].is");
    bw_arena_free(arena);
}

static char *as_text(struct bw_arena *arena, const char *json) {
    struct bw_text text = {.arena = arena};
    source_text(ask(arena, json), &text);
    return bw_buffer_take(&text.out);
}

static void the_same_question_gives_the_same_bytes(void **state) {
    (void)state;
    struct bw_arena *one = bw_arena_new(0), *two = bw_arena_new(0);
    static const char ASKED[] = TWO "\"marks\": [\"19.2 mm at 11 m/min\", \"5 mm at 6 m/min\"]}";
    char *first = as_text(one, ASKED), *second = as_text(two, ASKED);
    assert_string_equal(first, second);
    bw_free(first);
    bw_free(second);
    bw_arena_free(one);
    bw_arena_free(two);
}

static bool ask_again(void *with) {
    struct bw_err err = {0};
    struct bw_arena *arena = bw_arena_new(0);
    bool done = arena != NULL && ask_study(arena, &bw_study_source, with, &err) != NULL;
    if (!done && arena != NULL) assert_int_equal(err.code, BW_MEMORY);
    bw_arena_free(arena);
    return done;
}

static void memory_may_run_out_anywhere(void **state) {
    (void)state;
    static char asked[] = TWO "\"marks\": [\"19.2 mm at 11 m/min\", \"5 mm at 6 m/min\"]}";
    assert_true(torture(ask_again, asked) > 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_worked_example_names_splice_and_drum),
        cmocka_unit_test(another_feed_tells_timed_from_paced),
        cmocka_unit_test(a_chalked_splice_replaces_every_speed),
        cmocka_unit_test(equal_belts_leave_the_head_open_until_one_runs_alone),
        cmocka_unit_test(depth_above_the_ceiling_clears_a_drum),
        cmocka_unit_test(slant_and_look_decide_where_pitch_cannot),
        cmocka_unit_test(a_recorded_rate_corrects_the_plate),
        cmocka_unit_test(a_wrong_mains_frequency_is_suspected),
        cmocka_unit_test(what_is_not_in_the_file_is_not_forced_on_it),
        cmocka_unit_test(probabilities_are_probabilities),
        cmocka_unit_test(experiments_are_safe_and_their_predictions_hold),
        cmocka_unit_test(a_slow_machine_is_not_told_to_go_slower),
        cmocka_unit_test(a_platen_hides_marks_where_its_length_is_whole_pitches),
        cmocka_unit_test(bad_names_say_what_would_do),
        cmocka_unit_test(the_same_question_gives_the_same_bytes),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests_name("source", tests, NULL, NULL);
}
