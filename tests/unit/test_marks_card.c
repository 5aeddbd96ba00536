// test_marks_card.c - the photo card, and scales tried on a board of known pitch.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/marks/card.h"
#include "study/marks/marks.h"

#include "support/ask.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#define NEAR(a, b, tolerance) assert_true(fabs((a) - (b)) <= (tolerance))

static void without_a_photo_there_is_a_card(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct marks_output *out = must_ask(arena, &bw_study_marks, "{}");
    assert_int_equal(out->card.n, 8);
    assert_int_equal(out->mark_sets.n, 0);
    static const char *const FIELDS[] = {"\"dpi\": 300", "\"known_pitch\": \"4 mm\"",
                                         "\"machine\": \"examples/one-head.yaml\""};
    for (size_t i = 0; i < sizeof FIELDS / sizeof *FIELDS; i++) {
        char json[100];
        (void)snprintf(json, sizeof json, "{%s}", FIELDS[i]);
        struct bw_err err = {0};
        assert_null(ask_study(arena, &bw_study_marks, json, &err));
        assert_string_equal(err.field, "picture");
    }
    bw_arena_free(arena);
}

static struct marks_answer set_of(double pitch, double sd) {  // m; 100 micrometres a pixel
    return (struct marks_answer){.pitch = bw_about(pitch, sd),
                                 .pitch_px = bw_about(pitch / 1e-4, 0.001 * pitch / 1e-4)};
}

static void check(struct marks_input *in, struct marks_output *out, struct marks_answer *sets,
                  size_t n) {
    bw_record_clear(&marks_output_record, out);
    out->mark_sets = (struct bw_list){sets, n};
    marks_check_scale(in, out);
}

static void a_board_tells_how_far_a_scale_is_off(void **state) {
    (void)state;
    struct marks_input in;
    bw_record_clear(&marks_input_record, &in);
    in.known_pitch = bw_about(4e-3, 4e-6);
    struct marks_answer sets[2] = {set_of(12e-3, 24e-6), set_of(4.04e-3, 8e-6)};
    struct marks_output out;
    check(&in, &out, sets, 2);
    NEAR(out.scale_off.v, 0.01, 1e-12);  // the nearer set, not the surest
    NEAR(out.scale_off.sd, 1.01 * hypot(0.001, 0.001), 1e-12);
    assert_int_equal(out.scale_holds, 0);  // 1 % off, claimed 0.24 %
    NEAR(out.board_dpi.v, 25.4 / 4 * 40.4, 1e-9);
    sets[1] = set_of(4.01e-3, 20e-6);
    check(&in, &out, sets, 2);
    assert_int_equal(out.scale_holds, 1);
    check(&in, &out, sets, 1);  // 12 mm is not this board
    assert_false(bw_known(out.scale_off) || bw_known(out.board_dpi));
    sets[0].pitch = BW_UNKNOWN;  // no scale: the surest set makes one
    check(&in, &out, sets, 1);
    assert_false(bw_known(out.scale_off));
    NEAR(out.board_dpi.v, 25.4 / 4 * 120, 1e-9);
}

static void what_a_board_showed_is_taken_out(void **state) {
    (void)state;
    struct marks_input in;
    bw_record_clear(&marks_input_record, &in);
    struct marks_frame frame = {.pixel = bw_about(1e-4, 2e-7)};
    marks_correct(&in, &frame);
    assert_true(frame.pixel.v == 1e-4);
    in.scale_off = bw_about(0.01, 0.003);
    marks_correct(&in, &frame);
    NEAR(frame.pixel.v, 1e-4 / 1.01, 1e-16);
    NEAR(frame.pixel.sd / frame.pixel.v, hypot(0.002, 0.003 / 1.01), 1e-9);
    frame.pixel = BW_UNKNOWN;
    marks_correct(&in, &frame);
    assert_false(bw_known(frame.pixel));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_a_photo_there_is_a_card),
        cmocka_unit_test(a_board_tells_how_far_a_scale_is_off),
        cmocka_unit_test(what_a_board_showed_is_taken_out),
    };
    return cmocka_run_group_tests_name("marks_card", tests, NULL, NULL);
}
