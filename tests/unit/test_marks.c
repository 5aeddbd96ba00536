// test_marks.c - the study `marks` on drawn pictures: scales, directions, verdicts, the part.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/marks/marks.h"

#include "study/marks/record.h"
#include "support/panel.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

struct asked {
    struct bw_arena *arena;
    struct bw_picture picture;
    struct marks_input in;
    struct marks_output out;
    struct bw_err err;
};

// Everything not given, and the picture of the panel, which is freed.
static struct asked about(struct panel panel) {
    struct asked asked = {.arena = bw_arena_new(0), .picture = panel_picture(&panel)};
    bw_record_clear(&marks_input_record, &asked.in);
    asked.in.along = ALONG_AUTO;
    asked.in.skew = bw_exactly(0);
    panel_free(&panel);
    return asked;
}

static bool ask(struct asked *asked) {
    struct bw_run run = {.arena = asked->arena};
    asked->in.picture = (struct bw_file){.name = "panel.png", .content = &asked->picture};
    return bw_study_marks.run(&run, &asked->in, &asked->out, &asked->err);
}

static void must_ask_marks(struct asked *asked) {
    if (!ask(asked)) fail_msg("%s: %s", asked->err.field, asked->err.what);
}

static const struct marks_answer *set_of(const struct asked *asked, size_t i) {
    assert_true(i < asked->out.mark_sets.n);
    return (const struct marks_answer *)asked->out.mark_sets.items + i;
}

static void done(struct asked *asked) {
    panel_picture_free(&asked->picture);
    bw_arena_free(asked->arena);
}

static struct panel marked(bool down) {
    struct panel panel = panel_new(900, 800, 0.05, 7);
    panel_mark(&panel, &(struct panel_marks){31.7, 0.03, 0.02, 1, down});
    return panel;
}

// Without a scale the pitch is in pixels; which way the marks lie is found out.
static void direction_and_lean_are_found(void **state) {
    (void)state;
    for (int down = 0; down < 2; down++) {
        struct asked asked = about(marked(down));
        must_ask_marks(&asked);
        const struct marks_answer *set = set_of(&asked, 0);  // the surest
        assert_string_equal(asked.out.feed_along, down ? "y" : "x");
        assert_string_equal(asked.out.verdict, "usable");
        assert_true(fabs(set->pitch_px.v - 31.7) < 4 * set->pitch_px.sd);
        assert_true(set->pitch_px.sd < 0.05);
        // Drawn as a lean of the wave by 0.03 towards the next axis, which is clockwise.
        assert_true(fabs(set->direction_deg.v - 0.03) < 4 * set->direction_deg.sd);
        assert_false(bw_known(set->pitch));
        assert_false(bw_known(asked.out.pixel));
        done(&asked);
    }
}

static void a_plain_panel_yields_nothing(void **state) {
    (void)state;
    struct asked asked = about(panel_new(900, 800, 0.05, 11));
    must_ask_marks(&asked);
    assert_int_equal(asked.out.mark_sets.n, 0);
    assert_non_null(strstr(asked.out.answer, "No repeating marks"));
    done(&asked);
}

// Scale errors by hand: 600 mm over 600 px, 0.25 % and a pixel at either end.
static void two_points_give_the_scale(void **state) {
    (void)state;
    struct marks_line line = {"100,400 700,400", bw_exactly(0.6)};
    struct asked asked = about(marked(false));
    asked.in.lines = (struct bw_list){&line, 1};
    must_ask_marks(&asked);
    assert_true(fabs(asked.out.pixel.v - 0.001) < 1e-12);
    double sd = hypot(0.0025, sqrt(2) / 600);
    assert_true(fabs(asked.out.pixel.sd / 0.001 - sd) < 1e-9);
    const struct marks_answer *set = set_of(&asked, 0);
    assert_true(fabs(set->pitch.v / set->pitch_px.v - 0.001) < 1e-12);
    assert_true(set->pitch.sd >= set->pitch.v * sd);
    done(&asked);
}

static void dots_per_inch_give_the_scale(void **state) {
    (void)state;
    struct asked asked = about(marked(false));
    asked.in.dpi = bw_exactly(254);
    must_ask_marks(&asked);
    assert_true(fabs(asked.out.pixel.v - 0.0001) < 1e-12);
    done(&asked);
    // The file's own only where a scanner may have written it.
    asked = about(marked(false));
    asked.picture.about.x_per_m = asked.picture.about.y_per_m = 10000;
    must_ask_marks(&asked);
    assert_true(fabs(asked.out.pixel.v - 0.0001) < 1e-12);
    done(&asked);
    asked = about(marked(false));
    asked.picture.about.x_per_m = asked.picture.about.y_per_m = 72 / 0.0254;
    must_ask_marks(&asked);
    assert_false(bw_known(asked.out.pixel));
    done(&asked);
}

// A panel seen askew: the plane's x, y (mm) to the picture's; the far side is smaller.
static struct marks_point seen(double x, double y) {
    double w = 1 + 0.0004 * x + 0.0002 * y;
    return (struct marks_point){(40 + 2 * x) / w, (30 + 2 * y) / w};
}

static struct panel askew(double pitch_mm) {
    struct panel panel = panel_new(1000, 800, 0.03, 13);
    for (size_t py = 0; py < 800; py++)
        for (size_t px = 0; px < 1000; px++) {
            // Solve 40 + 2x = px w, 30 + 2y = py w for x and y.
            double a = 2 - 0.0004 * (double)px, b = -0.0002 * (double)px, e = (double)px - 40;
            double c = -0.0004 * (double)py, d = 2 - 0.0002 * (double)py, g = (double)py - 30;
            double x = (e * d - b * g) / (a * d - b * c);
            panel.light[py * 1000 + px] *= (float)(1 + 0.02 * cos(2 * M_PI * x / pitch_mm));
        }
    return panel;
}

static const char *corners_of(struct bw_arena *arena, double w, double h) {
    struct marks_point p[4] = {seen(0, 0), seen(w, 0), seen(w, h), seen(0, h)};
    return bw_arena_format(arena, "%.3f,%.3f %.3f,%.3f %.3f,%.3f %.3f,%.3f", p[0].x, p[0].y, p[1].x,
                           p[1].y, p[2].x, p[2].y, p[3].x, p[3].y);
}

static void four_corners_square_it_up(void **state) {
    (void)state;
    struct asked asked = about(askew(15));
    struct marks_rectangle rectangle = {corners_of(asked.arena, 400, 300), bw_exactly(0.4),
                                        bw_exactly(0.3)};
    asked.in.rectangles = (struct bw_list){&rectangle, 1};
    must_ask_marks(&asked);
    const struct marks_answer *set = set_of(&asked, 0);
    assert_true(fabs(set->pitch.v / 0.015 - 1) < 0.001);
    assert_true(fabs(set->direction_deg.v) < 0.002);
    assert_non_null(strstr(set->steadiness, "the same all along"));
    done(&asked);
    // As it stands the pitch seems to grow.
    asked = about(askew(15));
    must_ask_marks(&asked);
    assert_non_null(strstr(set_of(&asked, 0)->steadiness, "grows"));
    done(&asked);
}

static void a_bank_card_does_too(void **state) {
    (void)state;
    struct asked asked = about(askew(15));
    asked.in.bank_card = corners_of(asked.arena, 85.6, 53.98);
    must_ask_marks(&asked);
    assert_true(fabs(set_of(&asked, 0)->pitch.v / 0.015 - 1) < 0.002);
    assert_true(set_of(&asked, 0)->pitch.sd / 0.015 > 0.008);
    done(&asked);
}

static void a_rulers_ticks_are_counted(void **state) {
    (void)state;
    struct panel panel = marked(false);
    for (size_t y = 20; y < 40; y++)  // ticks 5.3 pixels apart, two wide
        for (size_t x = 50; x < 850; x++)
            if (fmod((double)x, 5.3) < 2) panel.light[y * 900 + x] = 0.05f;
    struct asked asked = about(panel);
    struct marks_ruler ruler = {"60,30 840,30", bw_exactly(0.001)};
    asked.in.rulers = (struct bw_list){&ruler, 1};
    must_ask_marks(&asked);
    assert_true(fabs(asked.out.pixel.v * 5.3 / 0.001 - 1) < 0.001);
    assert_int_equal(asked.out.mark_sets.n, 1);  // the ticks are no marks
    done(&asked);
    asked = about(marked(false));
    asked.in.rulers = (struct bw_list){&ruler, 1};
    assert_false(ask(&asked));
    assert_int_equal(asked.err.code, BW_INPUT);
    assert_string_equal(asked.err.field, "rulers[0].ends");
    done(&asked);
}

// A skewed feed is turned straight: the lean is then against the feed.
static void a_skewed_feed_is_turned(void **state) {
    (void)state;
    struct panel panel = panel_new(1000, 900, 0.05, 17);
    panel_mark(&panel, &(struct panel_marks){25, 0.26, 0.02, 1, false});
    struct asked asked = about(panel);
    asked.in.skew = bw_exactly(0.26);
    must_ask_marks(&asked);
    const struct marks_answer *set = set_of(&asked, 0);
    assert_true(fabs(set->pitch_px.v - 25) < 0.05);
    assert_true(fabs(set->direction_deg.v) < 0.01);
    done(&asked);
}

// Bands that stay with the camera, marks that turn with the panel.
static void a_second_shot_tells_the_cameras_bands(void **state) {
    (void)state;
    struct panel first = panel_new(900, 800, 0.05, 21), second = panel_new(900, 800, 0.05, 22);
    struct panel_marks bands = {47, 0, 0.02, 1, false}, marks = {29, 0.02, 0.02, 1, false};
    panel_mark(&first, &bands);
    panel_mark(&first, &marks);
    panel_mark(&second, &bands);
    marks.down = true;
    panel_mark(&second, &marks);
    struct asked asked = about(first);
    struct bw_picture turned = panel_picture(&second);
    asked.in.turned = (struct bw_file){.name = "turned.png", .content = &turned};
    must_ask_marks(&asked);
    assert_int_equal(asked.out.mark_sets.n, 2);
    for (size_t i = 0; i < 2; i++) {
        const struct marks_answer *set = set_of(&asked, i);
        bool camera = fabs(set->pitch_px.v - 47) < 1;
        assert_int_equal(set->origin, camera ? ORIGIN_CAMERA : ORIGIN_PANEL);
    }
    panel_picture_free(&turned);
    panel_free(&second);
    done(&asked);
}

// The blocks of a JPEG are not marks; the same lines in a file that has no blocks are.
static void a_jpegs_blocks_are_left_aside(void **state) {
    (void)state;
    for (int jpeg = 0; jpeg < 2; jpeg++) {
        struct panel panel = panel_new(900, 800, 0.05, 23);
        panel_mark(&panel, &(struct panel_marks){16, 0, 0.01, 1, false});
        struct asked asked = about(panel);
        asked.picture.about.format = jpeg ? BW_FORMAT_JPEG : BW_FORMAT_PNG;
        must_ask_marks(&asked);
        assert_int_equal(asked.out.mark_sets.n, jpeg ? 0 : 1);
        assert_int_equal(asked.out.notes.n, jpeg ? 1 : 0);
        done(&asked);
    }
}

// Nothing finer than some thirty pixels.
static struct panel blurred(void) {
    struct panel panel = panel_new(900, 800, 0.002, 25);
    for (size_t y = 0; y < 800; y++)
        for (size_t x = 0; x < 900; x++)
            panel.light[y * 900 + x] *=
                (float)(1 + 0.4 * sin((double)x / 6 + sin((double)y / 40)) * sin((double)y / 7));
    return panel;
}

static void the_picture_is_judged_first(void **state) {
    (void)state;
    struct asked asked = about(blurred());
    must_ask_marks(&asked);
    assert_string_equal(asked.out.verdict, "blurred");
    assert_int_equal(asked.out.usable, 0);
    done(&asked);
    asked = about(panel_new(300, 300, 0.1, 26));
    must_ask_marks(&asked);
    assert_string_equal(asked.out.verdict, "too small");
    done(&asked);
    struct panel panel = panel_new(900, 800, 0.1, 27);
    for (size_t i = 0; i < 300000; i++) panel.light[i] = 1;
    asked = about(panel);
    must_ask_marks(&asked);
    assert_string_equal(asked.out.verdict, "wrong light: burnt out");
    done(&asked);
    panel = panel_new(900, 800, 0.1, 27);
    for (size_t i = 0; i < 300000; i++) panel.light[i] = 0;
    asked = about(panel);
    must_ask_marks(&asked);
    assert_string_equal(asked.out.verdict, "too dark");
    done(&asked);
    asked = about(panel_new(1280, 960, 0.1, 28));
    asked.picture.about.format = BW_FORMAT_JPEG;
    must_ask_marks(&asked);
    assert_string_equal(asked.out.verdict, "shrunk");
    done(&asked);
}

static void faults_are_told_where_they_stand(void **state) {
    (void)state;
    static const struct {
        const char *ends, *what;
    } CASES[] = {
        {"100,200", "needs 2 points"},
        {"100,200 300", "needs 2 points"},
        {"100,200 300,400 5", "needs 2 points"},
        {"one,two three,four", "needs 2 points"},
        {"100,200 5000,200", "outside the picture"},
        {"100,200 110,200", "closer than 20 pixels"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        struct asked asked = about(panel_new(300, 300, 0.1, 1));
        struct marks_line line = {CASES[i].ends, bw_exactly(0.1)};
        asked.in.lines = (struct bw_list){&line, 1};
        assert_false(ask(&asked));
        assert_int_equal(asked.err.code, BW_INPUT);
        assert_non_null(strstr(asked.err.what, CASES[i].what));
        assert_string_equal(asked.err.field, "lines[0].ends");
        done(&asked);
    }
    struct asked asked = about(panel_new(300, 300, 0.1, 1));
    asked.in.bank_card = "10,10 200,10 10,200 200,200";  // crosswise
    assert_false(ask(&asked));
    assert_string_equal(asked.err.field, "bank_card");
    done(&asked);
    asked = about(panel_new(300, 300, 0.1, 1));
    asked.in.part = "10,10 40,200";
    assert_false(ask(&asked));
    assert_string_equal(asked.err.field, "part");
    done(&asked);
}

// Only the part is looked at: the marks are in the other half.
static void a_part_is_looked_at_alone(void **state) {
    (void)state;
    struct panel panel = panel_new(900, 1200, 0.05, 31), plain = panel_new(900, 600, 0.05, 32);
    panel_mark(&panel, &(struct panel_marks){31.7, 0, 0.03, 1, false});
    memcpy(panel.light, plain.light, sizeof(float) * 900 * 600);
    panel_free(&plain);
    struct asked asked = about(panel);
    asked.in.part = "0,0 900,590";
    must_ask_marks(&asked);
    assert_int_equal(asked.out.mark_sets.n, 0);
    asked.in.part = "0,610 900,1200";
    must_ask_marks(&asked);
    assert_int_equal(asked.out.mark_sets.n, 1);
    done(&asked);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(direction_and_lean_are_found),
        cmocka_unit_test(a_plain_panel_yields_nothing),
        cmocka_unit_test(two_points_give_the_scale),
        cmocka_unit_test(dots_per_inch_give_the_scale),
        cmocka_unit_test(four_corners_square_it_up),
        cmocka_unit_test(a_bank_card_does_too),
        cmocka_unit_test(a_rulers_ticks_are_counted),
        cmocka_unit_test(a_skewed_feed_is_turned),
        cmocka_unit_test(a_second_shot_tells_the_cameras_bands),
        cmocka_unit_test(a_jpegs_blocks_are_left_aside),
        cmocka_unit_test(the_picture_is_judged_first),
        cmocka_unit_test(faults_are_told_where_they_stand),
        cmocka_unit_test(a_part_is_looked_at_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
