// test_svg.c - drawings: well-formed whatever the plot holds, the same bytes every time, readable.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/number.h"
#include "report/svg.h"
#include "support/torture.h"
#include "support/xml.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static struct bw_plots begin(void) {
    struct bw_plots plots = {.arena = bw_arena_new(0)};
    assert_non_null(plots.arena);
    return plots;
}

static struct bw_buffer draw(const struct bw_plot *plot, int width, enum bw_units units) {
    struct bw_buffer out = {0};
    struct bw_err err = {0};
    struct bw_svg_options options = {.width = width, .units = units};
    assert_true(bw_svg_write(plot, &options, &out, &err));
    const char *fault = xml_fault(out.data, out.length);
    if (fault != NULL) fail_msg("not well-formed at: %.80s", fault);
    return out;
}

static size_t count(const char *text, const char *piece) {
    size_t n = 0;
    for (; (text = strstr(text, piece)) != NULL; text += strlen(piece)) n++;
    return n;
}

// Behind the style, where the drawing itself begins.
static const char *body(const struct bw_buffer *svg) {
    const char *at = strstr(svg->data, "</style>");
    assert_non_null(at);
    return at + strlen("</style>\n");
}

static void test_xml_check_itself(void **state) {
    (void)state;
    static const char *const BAD[] = {
        "",
        "<a>",
        "<a></b>",
        "<a/><b/>",
        "<a b=c/>",
        "<a>&</a>",
        "<a>&x;</a>",
        "<a b=\"<\"/>",
        "<a b=\"\" b=\"\"/>",
        "<a>\x01</a>",
        "<a>\xff</a>",
        "text",
        "<a/>text",
        "<a b=\"c\"d=\"e\"/>",
        "<!-- x --><a/>",
    };
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++)
        assert_non_null(xml_fault(BAD[i], strlen(BAD[i])));
    static const char GOOD[] = "<a b=\"1 &lt;\" c=\"\">\n <b/>µ &amp; &quot;\n</a>\n";
    assert_null(xml_fault(GOOD, strlen(GOOD)));
}

// A small plot with everything in it.
static struct bw_plot *small_plot(struct bw_plots *plots) {
    static const double X[] = {0.05, 0.1, 0.2}, PITCH[] = {0.005, 0.01, 0.02},
                        SD[] = {1e-4, 2e-4, 3e-4};
    struct bw_plot *plot = bw_plot_new(plots, "pitch", "Pitch against feed");
    plot->alternative = "The splice's pitch rises with the feed speed.";
    plot->x_title = "Feed speed";
    plot->y_title = "Pitch";
    plot->x_dim = BW_DIM_FEED;
    plot->y_dim = BW_DIM_LENGTH;
    bw_plot_series(plots, plot,
                   (struct bw_series){.kind = BW_MARK_BAND,
                                      .name = "splice",
                                      .style = "main",
                                      .x = X,
                                      .y = PITCH,
                                      .sd = SD,
                                      .n = 3});
    bw_plot_series(
        plots, plot,
        (struct bw_series){
            .kind = BW_MARK_LINE, .name = "splice", .style = "main", .x = X, .y = PITCH, .n = 3});
    bw_plot_series(plots, plot,
                   (struct bw_series){.kind = BW_MARK_DOTS,
                                      .name = "measured",
                                      .style = "measured",
                                      .x = X,
                                      .y = PITCH,
                                      .sd = SD,
                                      .n = 3});
    bw_plot_series(
        plots, plot,
        (struct bw_series){
            .kind = BW_MARK_STEMS, .name = "stems", .style = "warn", .x = X, .y = PITCH, .n = 3});
    bw_plot_series(
        plots, plot,
        (struct bw_series){
            .kind = BW_MARK_BARS, .name = "bars", .style = "muted", .x = X, .y = PITCH, .n = 3});
    bw_plot_note(plots, plot, 0.1, 0.01, "chalked");
    return plot;
}

#define GOLDEN "tests/golden/plot.svg"

// BW_UPDATE_GOLDEN=1 build/dev/test_svg writes the file anew; look at it before it is kept.
static void test_golden(void **state) {
    (void)state;
    struct bw_plots plots = begin();
    struct bw_buffer svg = draw(small_plot(&plots), 360, BW_UNITS_SI);
    if (getenv("BW_UPDATE_GOLDEN") != NULL) {
        FILE *file = fopen(GOLDEN, "wb");
        assert_non_null(file);
        assert_int_equal(fwrite(svg.data, 1, svg.length, file), svg.length);
        assert_int_equal(fclose(file), 0);
    }
    FILE *file = fopen(GOLDEN, "rb");
    assert_non_null(file);
    char *kept = calloc(1, 1 << 16);
    assert_non_null(kept);
    size_t length = fread(kept, 1, (1 << 16) - 1, file);
    assert_int_equal(fclose(file), 0);
    assert_int_equal(length, svg.length);
    assert_memory_equal(kept, svg.data, length);
    free(kept);
    bw_buffer_free(&svg);
    bw_arena_free(plots.arena);
}

static void test_same_bytes(void **state) {
    (void)state;
    struct bw_plots plots = begin();
    const struct bw_plot *plot = small_plot(&plots);
    struct bw_buffer one = draw(plot, 800, BW_UNITS_US), two = draw(plot, 800, BW_UNITS_US);
    assert_int_equal(one.length, two.length);
    assert_memory_equal(one.data, two.data, one.length);
    bw_buffer_free(&one);
    bw_buffer_free(&two);
    bw_arena_free(plots.arena);
}

static void test_words_and_units(void **state) {
    (void)state;
    struct bw_plots plots = begin();
    const struct bw_plot *plot = small_plot(&plots);
    struct bw_buffer si = draw(plot, 0, BW_UNITS_SI), us = draw(plot, 0, BW_UNITS_US);
    assert_non_null(strstr(si.data, "<title>Pitch against feed</title>"));
    assert_non_null(strstr(si.data, "<desc>The splice's pitch rises with the feed speed.</desc>"));
    assert_non_null(strstr(si.data, ">Feed speed, m/min</text>"));
    assert_non_null(strstr(si.data, ">Pitch, mm</text>"));
    assert_non_null(strstr(us.data, ">Feed speed, ft/min</text>"));
    assert_non_null(strstr(us.data, ">Pitch, in</text>"));
    assert_non_null(strstr(si.data, "width=\"640\""));
    // A band and its line share one name.
    assert_int_equal(count(si.data, ">splice</text>"), 1);
    // Colours live in the style alone.
    assert_null(strstr(body(&si), "#"));
    assert_null(strstr(body(&si), "style="));
    assert_null(strstr(body(&si), " fill="));
    assert_non_null(strstr(si.data, "prefers-color-scheme:dark"));
    bw_buffer_free(&si);
    bw_buffer_free(&us);
    bw_arena_free(plots.arena);
}

static void test_hostile_words(void **state) {
    (void)state;
    static const char *const WORDS[] = {
        "</text><script>alert(1)</script>",
        "\" onload=\"alert(1)",
        "' x='",
        "a & b &amp; &#1;",
        "]]> <!-- -->",
        "\x01\x02\t\n\r\x1b[31m\x7f",
        "\xff\xfe \xed\xa0\x80 \xc3",
        "\xef\xbf\xbe \xef\xbf\xbf",
        "a very long name that goes on and on and on, far beyond what fits beside any drawing",
        "日本日本日本日本日本日本日本日本日本日本日本日本日本日本日本日本",
        "",
        "%s%n",
    };
    static const double X[] = {1, 2}, Y[] = {1, 2};
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        struct bw_plots plots = begin();
        struct bw_plot *plot = bw_plot_new(&plots, WORDS[i], WORDS[i]);
        plot->alternative = plot->x_title = plot->y_title = WORDS[i];
        bw_plot_series(
            &plots, plot,
            (struct bw_series){
                .kind = BW_MARK_LINE, .name = WORDS[i], .style = WORDS[i], .x = X, .y = Y, .n = 2});
        bw_plot_series(&plots, plot,
                       (struct bw_series){.kind = BW_MARK_DOTS,
                                          .name = WORDS[i],
                                          .style = "measured",
                                          .x = X,
                                          .y = Y,
                                          .n = 2});
        bw_plot_note(&plots, plot, 1.5, 1.5, WORDS[i]);
        struct bw_buffer narrow = draw(plot, 360, BW_UNITS_SI), wide = draw(plot, 800, BW_UNITS_SI);
        assert_null(strstr(narrow.data, "<script"));
        assert_null(strstr(wide.data, "onload=\""));
        bw_buffer_free(&narrow);
        bw_buffer_free(&wide);
        bw_arena_free(plots.arena);
    }
}

// The data of the first path with this class.
static const char *path_of(const struct bw_buffer *svg, const char *class) {
    const char *at = strstr(body(svg), class);
    assert_non_null(at);
    at = strstr(at, " d=\"");
    assert_non_null(at);
    return at + 4;
}

static size_t count_in_path(const char *path, char letter) {
    size_t n = 0;
    for (; *path != '"'; path++) n += *path == letter;
    return n;
}

static void test_points_without_a_place_leave_gaps(void **state) {
    (void)state;
    static const double X[] = {1, 2, 3, 4, 5, 6, 7, 8},
                        Y[] = {1, NAN, 2, 3, INFINITY, 4, -INFINITY, 1e300};
    static const double SD[] = {0.1, 0.1, NAN, INFINITY, 0.1, -1, 0, 0.1};
    static const enum bw_mark_kind KINDS[] = {BW_MARK_LINE, BW_MARK_DOTS, BW_MARK_BAND,
                                              BW_MARK_STEMS, BW_MARK_BARS};
    for (size_t i = 0; i < 5; i++) {
        struct bw_plots plots = begin();
        struct bw_plot *plot = bw_plot_new(&plots, "gaps", "Gaps");
        bw_plot_series(&plots, plot,
                       (struct bw_series){.kind = KINDS[i],
                                          .name = "gaps",
                                          .style = "main",
                                          .x = X,
                                          .y = Y,
                                          .sd = SD,
                                          .n = 8});
        struct bw_buffer svg = draw(plot, 360, BW_UNITS_SI);
        assert_null(strstr(body(&svg), "nan"));
        assert_null(strstr(body(&svg), "inf"));
        if (KINDS[i] == BW_MARK_LINE) {
            const char *path = path_of(&svg, "p-line");
            assert_int_equal(count_in_path(path, 'M'), 3);  // 1; 3 and 4; 6
            assert_int_equal(count_in_path(path, 'L'), 1);
            assert_int_equal(count_in_path(path, 'h'), 2);  // points alone show as dots
        }
        if (KINDS[i] == BW_MARK_DOTS) assert_int_equal(count(body(&svg), "<circle"), 4 + 1);  // key
        bw_buffer_free(&svg);
        bw_arena_free(plots.arena);
    }
}

static void test_nothing_to_show(void **state) {
    (void)state;
    static const double NONE[] = {NAN};
    struct bw_plots plots = begin();
    struct bw_plot *plot = bw_plot_new(&plots, NULL, NULL);
    struct bw_buffer bare = draw(plot, 360, BW_UNITS_SI);
    assert_non_null(strstr(bare.data, "nothing to show"));
    bw_plot_series(&plots, plot,
                   (struct bw_series){.kind = BW_MARK_LINE, .name = "empty", .style = "main"});
    bw_plot_series(&plots, plot,
                   (struct bw_series){.kind = BW_MARK_BAND,
                                      .name = "no sd",
                                      .style = "second",
                                      .x = NONE,
                                      .y = NONE,
                                      .n = 1});
    struct bw_buffer empty = draw(plot, 800, BW_UNITS_SI);
    assert_non_null(strstr(empty.data, "nothing to show"));
    bw_buffer_free(&bare);
    bw_buffer_free(&empty);
    bw_arena_free(plots.arena);
}

static void test_single_point(void **state) {
    (void)state;
    static const double X[] = {0.1}, Y[] = {293.15};
    for (int kind = BW_MARK_LINE; kind <= BW_MARK_BARS; kind++) {
        struct bw_plots plots = begin();
        struct bw_plot *plot = bw_plot_new(&plots, "single", "One");
        plot->x_dim = BW_DIM_FEED;
        plot->y_dim = BW_DIM_TEMPERATURE;
        bw_plot_series(&plots, plot,
                       (struct bw_series){.kind = (enum bw_mark_kind)kind,
                                          .name = "one",
                                          .style = "main",
                                          .x = X,
                                          .y = Y,
                                          .n = 1});
        struct bw_buffer svg = draw(plot, 360, BW_UNITS_SI);
        assert_null(strstr(svg.data, "nothing to show"));
        assert_non_null(strstr(svg.data, ">20</text>"));
        bw_buffer_free(&svg);
        bw_arena_free(plots.arena);
    }
}

static void test_log_axes(void **state) {
    (void)state;
    static const double X[] = {-1, 0, 0.001, 0.01, 0.1, 1}, Y[] = {1, 1, 1e-6, 0, 1e-4, 1e-3};
    static const double SD[] = {1, 1, 1, 1, 1, 1};  // below zero: the band and bars end at the foot
    for (int kind = BW_MARK_LINE; kind <= BW_MARK_BARS; kind++) {
        struct bw_plots plots = begin();
        struct bw_plot *plot = bw_plot_new(&plots, "log", "Log");
        plot->x_log = plot->y_log = true;
        plot->x_dim = plot->y_dim = BW_DIM_LENGTH;
        plot->x_min = -1;  // no use on a log axis: taken from the data
        plot->x_max = 1;
        bw_plot_series(&plots, plot,
                       (struct bw_series){.kind = (enum bw_mark_kind)kind,
                                          .name = "one",
                                          .style = "main",
                                          .x = X,
                                          .y = Y,
                                          .sd = SD,
                                          .n = 6});
        struct bw_buffer svg = draw(plot, 640, BW_UNITS_SI);
        assert_non_null(strstr(svg.data, ">1000</text>"));
        assert_null(strstr(body(&svg), "nan"));
        bw_buffer_free(&svg);
        bw_arena_free(plots.arena);
    }
}

static void test_given_limits_cut(void **state) {
    (void)state;
    static const double X[] = {0, 10, 5}, Y[] = {0, 10, 50};
    struct bw_plots plots = begin();
    struct bw_plot *plot = bw_plot_new(&plots, "cut", "Cut");
    plot->x_max = plot->y_max = 10;
    bw_plot_series(
        &plots, plot,
        (struct bw_series){
            .kind = BW_MARK_LINE, .name = "line", .style = "main", .x = X, .y = Y, .n = 3});
    bw_plot_series(
        &plots, plot,
        (struct bw_series){
            .kind = BW_MARK_DOTS, .name = "dots", .style = "measured", .x = X, .y = Y, .n = 3});
    bw_plot_note(&plots, plot, 5, 50, "outside");
    struct bw_buffer svg = draw(plot, 800, BW_UNITS_SI);
    assert_int_equal(count(body(&svg), "<circle"), 2 + 1);  // the third dot lies outside; the key's
    assert_null(strstr(svg.data, "outside"));
    assert_null(strstr(svg.data, ">50</text>"));
    bw_buffer_free(&svg);
    bw_arena_free(plots.arena);
}

// Every style and every further series of a style looks different without colour.
static void test_looks_differ_without_colour(void **state) {
    (void)state;
    static const double X[] = {0, 1}, Y[] = {0, 1};
    struct bw_plots plots = begin();
    struct bw_plot *plot = bw_plot_new(&plots, "looks", "Looks");
    static const char *const NAMES[] = {"a", "b", "c", "d"};
    for (size_t i = 0; i < 4; i++)
        bw_plot_series(
            &plots, plot,
            (struct bw_series){
                .kind = BW_MARK_LINE, .name = NAMES[i], .style = "main", .x = X, .y = Y, .n = 2});
    bw_plot_series(
        &plots, plot,
        (struct bw_series){
            .kind = BW_MARK_LINE, .name = "e", .style = "second", .x = X, .y = Y, .n = 2});
    bw_plot_series(&plots, plot,
                   (struct bw_series){
                       .kind = BW_MARK_LINE, .name = "f", .style = "warn", .x = X, .y = Y, .n = 2});
    struct bw_buffer svg = draw(plot, 360, BW_UNITS_SI);
    static const char *const LOOKS[] = {"p-main p-0", "p-main p-1",   "p-main p-2",
                                        "p-main p-3", "p-second p-1", "p-warn p-3"};
    for (size_t i = 0; i < 6; i++) assert_int_equal(count(svg.data, LOOKS[i]), 2);  // and the key
    bw_buffer_free(&svg);
    bw_arena_free(plots.arena);
}

static void test_many_points_stay_small(void **state) {
    (void)state;
    enum { N = 200000 };
    struct bw_plots plots = begin();
    struct bw_plot *plot = bw_plot_new(&plots, "spectrum", "Spectrum");
    double *x = calloc(N, sizeof *x), *y = calloc(N, sizeof *y);
    assert_true(x != NULL && y != NULL);
    for (int i = 0; i < N; i++) {
        x[i] = i;
        y[i] = i % 7;
    }
    y[123456] = 100;  // a peak one point wide must not be lost
    bw_plot_series(
        &plots, plot,
        (struct bw_series){.kind = BW_MARK_LINE, .style = "main", .x = x, .y = y, .n = N});
    struct bw_buffer svg = draw(plot, 800, BW_UNITS_SI);
    assert_true(svg.length < 100000);
    // The top tick is 100, so the peak reaches the top of the axes, which lie 60 px below the edge.
    assert_non_null(strstr(body(&svg), ">100</text>"));
    assert_non_null(strstr(path_of(&svg, "p-line"), ",60L"));
    free(x);
    free(y);
    bw_buffer_free(&svg);
    bw_arena_free(plots.arena);
}

static void test_many_names(void **state) {
    (void)state;
    static const double X[] = {0, 1}, Y[] = {1, 1};
    struct bw_plots plots = begin();
    struct bw_plot *plot = bw_plot_new(&plots, "many", "Many");
    for (int i = 0; i < 60; i++)
        bw_plot_series(&plots, plot,
                       (struct bw_series){.kind = BW_MARK_LINE,
                                          .name = bw_arena_format(plots.arena, "line %d", i),
                                          .style = "main",
                                          .x = X,
                                          .y = Y,
                                          .n = 2});
    struct bw_buffer svg = draw(plot, 800, BW_UNITS_SI);
    assert_int_equal(count(svg.data, "class=\"p-key\""), 60);
    assert_int_equal(count(svg.data, "class=\"p-lead\""), 0);  // too many for the ends: a key
    bw_buffer_free(&svg);
    bw_arena_free(plots.arena);
}

// An attribute of the text element that holds `name`.
static double attribute_before(const struct bw_buffer *svg, const char *name,
                               const char *attribute) {
    char piece[40];
    (void)snprintf(piece, sizeof piece, ">%s</text>", name);
    const char *at = strstr(svg->data, piece);
    assert_non_null(at);
    while (strncmp(at, attribute, strlen(attribute)) != 0) at--;
    at += strlen(attribute);
    double value;
    struct bw_err err = {0};
    assert_true(bw_number(at, strcspn(at, "\""), &value, &err));
    return value;
}

static double y_of_name(const struct bw_buffer *svg, const char *name) {
    return attribute_before(svg, name, " y=\"");
}

static void test_end_names_keep_apart(void **state) {
    (void)state;
    static const double X[] = {0, 1};
    static const char *const NAMES[] = {"a", "b", "c", "d", "e"};
    struct bw_plots plots = begin();
    struct bw_plot *plot = bw_plot_new(&plots, "ends", "Ends");
    for (size_t i = 0; i < 5; i++) {
        double y[] = {0, i == 4 ? 10.0 : 0.01 * (double)i};
        bw_plot_series(
            &plots, plot,
            (struct bw_series){
                .kind = BW_MARK_LINE, .name = NAMES[i], .style = "muted", .x = X, .y = y, .n = 2});
    }
    struct bw_buffer svg = draw(plot, 800, BW_UNITS_SI);
    for (size_t i = 0; i < 5; i++)
        for (size_t k = 0; k < i; k++)
            assert_true(fabs(y_of_name(&svg, NAMES[i]) - y_of_name(&svg, NAMES[k])) >= 15.9);
    bw_buffer_free(&svg);
    bw_arena_free(plots.arena);
}

// As bw_label_width reckons: 0.6 of 13 px a column.
static void box_of_note(const struct bw_buffer *svg, const char *word, double box[4]) {
    box[1] = y_of_name(svg, word);
    box[0] = attribute_before(svg, word, " x=\"");
    box[2] = box[0] + 0.6 * 13 * (double)strlen(word);
    box[3] = box[1] - 13;
}

static void test_notes_keep_apart(void **state) {
    (void)state;
    static const double X[] = {0, 10}, Y[] = {5, 5};
    static const char *const WORDS[] = {"first", "second", "third", "fourth", "fifth"};
    struct bw_plots plots = begin();
    struct bw_plot *plot = bw_plot_new(&plots, "notes", "Notes");
    bw_plot_series(&plots, plot,
                   (struct bw_series){
                       .kind = BW_MARK_LINE, .name = "l", .style = "main", .x = X, .y = Y, .n = 2});
    for (size_t i = 0; i < 5; i++) bw_plot_note(&plots, plot, 5, 5, WORDS[i]);
    bw_plot_note(&plots, plot, 9.9, 5, "at the edge");
    struct bw_buffer svg = draw(plot, 640, BW_UNITS_SI);
    double boxes[6][4];
    for (size_t i = 0; i < 6; i++) {
        box_of_note(&svg, i < 5 ? WORDS[i] : "at the edge", boxes[i]);
        assert_true(boxes[i][2] <= 640);
        for (size_t k = 0; k < i; k++) {
            bool apart = boxes[i][0] >= boxes[k][2] || boxes[k][0] >= boxes[i][2] ||
                         boxes[i][1] <= boxes[k][3] || boxes[k][1] <= boxes[i][3];
            assert_true(apart);
        }
    }
    bw_buffer_free(&svg);
    bw_arena_free(plots.arena);
}

static void test_note_without_room_keeps_its_spot(void **state) {
    (void)state;
    struct bw_plots plots = begin();
    struct bw_plot *plot = bw_plot_new(&plots, "notes", "Notes");
    static const char LONG[] = "a note that is far too long to stand anywhere in a narrow drawing";
    plot->x_max = plot->y_max = 1;
    bw_plot_note(&plots, plot, 0.5, 0.5, LONG);
    for (int i = 0; i < 60; i++) bw_plot_note(&plots, plot, 0.1, 0.1, "w");
    struct bw_buffer svg = draw(plot, 360, BW_UNITS_SI);
    assert_int_equal(count(svg.data, "class=\"p-spot\""), 61);
    assert_int_equal(count(svg.data, LONG), 1);  // the spot's title
    assert_true(count(svg.data, "class=\"p-note\"") <= 12);
    bw_buffer_free(&svg);
    bw_arena_free(plots.arena);
}

static void test_width_is_kept_in_bounds(void **state) {
    (void)state;
    struct bw_plots plots = begin();
    const struct bw_plot *plot = small_plot(&plots);
    struct bw_buffer tiny = draw(plot, 1, BW_UNITS_SI), huge = draw(plot, 1000000, BW_UNITS_SI);
    assert_non_null(strstr(tiny.data, "width=\"280\""));
    assert_non_null(strstr(huge.data, "width=\"2000\""));
    bw_buffer_free(&tiny);
    bw_buffer_free(&huge);
    bw_arena_free(plots.arena);
}

static bool draw_under_torture(void *with) {
    struct bw_buffer out = {0};
    struct bw_err err = {0};
    struct bw_svg_options options = {0};
    bool done = bw_svg_write(with, &options, &out, &err);
    assert_true(done || err.code == BW_MEMORY);
    bw_buffer_free(&out);
    return done;
}

static void test_out_of_memory(void **state) {
    (void)state;
    struct bw_plots plots = begin();
    assert_true(torture(draw_under_torture, small_plot(&plots)) > 3);
    bw_arena_free(plots.arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_xml_check_itself),
        cmocka_unit_test(test_golden),
        cmocka_unit_test(test_same_bytes),
        cmocka_unit_test(test_words_and_units),
        cmocka_unit_test(test_hostile_words),
        cmocka_unit_test(test_points_without_a_place_leave_gaps),
        cmocka_unit_test(test_nothing_to_show),
        cmocka_unit_test(test_single_point),
        cmocka_unit_test(test_log_axes),
        cmocka_unit_test(test_given_limits_cut),
        cmocka_unit_test(test_looks_differ_without_colour),
        cmocka_unit_test(test_many_points_stay_small),
        cmocka_unit_test(test_many_names),
        cmocka_unit_test(test_end_names_keep_apart),
        cmocka_unit_test(test_notes_keep_apart),
        cmocka_unit_test(test_note_without_room_keeps_its_spot),
        cmocka_unit_test(test_width_is_kept_in_bounds),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
