// test_marks_join.c - mark sets go on to the parts of a machine, and nonsense does not stop them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/marks/join.h"

#include "base/bind.h"
#include "machine/machine.h"
#include "study/source/record.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

struct setting {
    struct bw_arena *arena;
    struct bw_run run;
    struct marks_input in;
    struct marks_output out;
    struct marks_answer sets[3];
    struct marks_sentence notes[4];
};

static const struct bw_record *set_record(void) {
    return bw_field_find(&marks_output_record, "mark_sets")->of;
}

static void set_up_sets(struct setting *s, const double *pitches, size_t n) {
    s->arena = bw_arena_new(0);
    assert_non_null(s->arena);
    s->run = (struct bw_run){.arena = s->arena, .seed = 1};
    bw_record_clear(&marks_input_record, &s->in);
    bw_record_clear(&marks_output_record, &s->out);
    struct bw_binding binding = {.arena = s->arena};
    struct bw_err err = {0};
    assert_true(bw_load_file(NULL, &bw_machine_file, "examples/one-head.yaml", &s->in.machine,
                             &binding, &err));
    s->in.feed = bw_about(0.1128, 0.0003);
    for (size_t i = 0; i < n; i++) {
        bw_record_clear(set_record(), &s->sets[i]);
        s->sets[i].pitch = bw_about(pitches[i], 0.003 * pitches[i]);
        s->sets[i].harmonics = 5;
        s->sets[i].origin = ORIGIN_OPEN;
    }
    s->out.mark_sets = (struct bw_list){s->sets, n};
    s->out.notes.items = s->notes;
}

static void join(struct setting *s) {
    struct bw_err err = {0};
    if (!marks_join(&s->run, &s->in, -1, &s->out, &err)) fail_msg("%s", err.what);
}

static const char *first(const struct marks_answer *set) {
    return set->sources.n == 0 ? "" : ((const struct marks_source *)set->sources.items)->id;
}

// 75 in of belt at 3600 ft/min pass 9.6 times a second: 11.75 mm at 0.1128 m/s.
static void a_set_goes_on_to_its_part(void **state) {
    (void)state;
    struct setting s = {0};
    set_up_sets(&s, (const double[]){0.01175}, 1);
    join(&s);
    assert_non_null(s.out.source);
    assert_string_equal(first(&s.sets[0]), "head1.splice");
    assert_int_equal(s.out.notes.n, 0);
    bw_arena_free(s.arena);
}

static void what_nothing_explains_is_left_aside(void **state) {
    (void)state;
    struct setting s = {0};
    set_up_sets(&s, (const double[]){0.01175, 0}, 2);  // no part leaves marks of no pitch
    join(&s);
    assert_non_null(s.out.source);
    assert_string_equal(first(&s.sets[0]), "head1.splice");
    assert_string_equal(first(&s.sets[1]), "");
    assert_int_equal(s.out.notes.n, 1);
    bw_arena_free(s.arena);
    set_up_sets(&s, (const double[]){0}, 1);
    join(&s);
    assert_null(s.out.source);
    bw_arena_free(s.arena);
}

static void the_cameras_own_bands_are_not_asked_about(void **state) {
    (void)state;
    struct setting s = {0};
    set_up_sets(&s, (const double[]){0.0301, 0.01175}, 2);
    s.sets[0].origin = ORIGIN_CAMERA;
    join(&s);
    assert_string_equal(first(&s.sets[0]), "");
    assert_string_equal(first(&s.sets[1]), "head1.splice");
    bw_arena_free(s.arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_set_goes_on_to_its_part),
        cmocka_unit_test(what_nothing_explains_is_left_aside),
        cmocka_unit_test(the_cameras_own_bands_are_not_asked_about),
    };
    return cmocka_run_group_tests_name("marks_join", tests, NULL, NULL);
}
