// test_png.c - pictures we write, read back by the reader's own PNG library; base64; overlays.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/number.h"
#include "read/picture.h"
#include "report/png.h"
#include "report/svg.h"
#include "support/torture.h"
#include "support/xml.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

// Writes the bytes to a file and reads it through the jailed reader. false: no full jail here.
static bool read_back(const struct bw_buffer *bytes, struct bw_picture *out) {
    char name[] = "/tmp/beltwright-png-XXXXXX";
    int fd = mkstemp(name);
    struct bw_err err = {0};
    assert_true(fd >= 0);
    assert_int_equal(write(fd, bytes->data, bytes->length), bytes->length);
    assert_int_equal(close(fd), 0);
    bool done = bw_picture_read(name, NULL, out, &err);
    if (!done && err.code != BW_REFUSED) fail_msg("%s", err.what);
    assert_int_equal(unlink(name), 0);
    return done;
}

// Every size from a single pixel up, with codes that wrap in the row filter.
static void grey_comes_back(void **state) {
    (void)state;
    static const size_t SIZES[][2] = {{1, 1}, {1, 7}, {7, 1}, {64, 33}, {1000, 700}};
    for (size_t k = 0; k < sizeof SIZES / sizeof SIZES[0]; k++) {
        size_t n = SIZES[k][0] * SIZES[k][1];
        uint8_t *codes = malloc(n);
        uint32_t x = 12345;
        assert_non_null(codes);
        for (size_t i = 0; i < n; i++) codes[i] = (uint8_t)((x = x * 1664525 + 1013904223) >> 24);
        const struct bw_png png = {codes, SIZES[k][0], SIZES[k][1], 1};
        struct bw_buffer out = {0};
        struct bw_picture picture = {0};
        assert_true(bw_png_write(&png, &out));
        if (!read_back(&out, &picture)) skip();
        assert_int_equal(picture.width, png.width);
        assert_int_equal(picture.height, png.height);
        assert_int_equal(picture.about.file_channels, 1);
        assert_memory_equal(picture.codes, codes, n);
        bw_picture_free(&picture);
        bw_buffer_free(&out);
        free(codes);
    }
}

static int letter(char c) {
    if (c >= 'A' && c <= 'Z') return c - 'A';
    if (c >= 'a' && c <= 'z') return c - 'a' + 26;
    if (c >= '0' && c <= '9') return c - '0' + 52;
    return c == '+' ? 62 : 63;
}

// Undone by the table of RFC 4648, section 4, for each of the three ends a file can have.
static void base64_is_undone(void **state) {
    (void)state;
    bool ends[3] = {false};
    for (size_t width = 1; width < 12; width++) {
        const uint8_t codes[12] = {255, 0, 251, 3, 190, 62, 63, 7, 1, 99, 12, 200};
        const struct bw_png png = {codes, width, 1, 1};
        struct bw_buffer bytes = {0}, text = {0};
        assert_true(bw_png_write(&png, &bytes) && bw_png_base64(&png, &text));
        assert_int_equal(text.length, (bytes.length + 2) / 3 * 4);
        for (size_t i = 0; i < bytes.length; i++) {
            size_t bit = 8 * i, at = bit / 6;
            int two = letter(text.data[at]) << 6 | letter(text.data[at + 1]);
            assert_int_equal((unsigned char)bytes.data[i], two >> (4 - bit % 6) & 255);
        }
        for (size_t pad = 0; pad < (3 - bytes.length % 3) % 3; pad++)
            assert_int_equal(text.data[text.length - 1 - pad], '=');
        ends[bytes.length % 3] = true;
        bw_buffer_free(&bytes);
        bw_buffer_free(&text);
    }
    assert_true(ends[0] && ends[1] && ends[2]);
}

// A picture 0.4 m wide and 0.2 m high, mid-grey, with a line up the middle.
static struct bw_plots photo(struct bw_plot **plot) {
    static const uint8_t GREY[40 * 20] = {[0] = 128};
    static const double X[] = {0.2, 0.2}, Y[] = {-1, 0.5};
    struct bw_plots plots = {.arena = bw_arena_new(0)};
    assert_non_null(plots.arena);
    *plot = bw_plot_new(&plots, "marks", "Marks");
    (*plot)->x_dim = (*plot)->y_dim = BW_DIM_TRAVEL;
    bw_plot_raster(&plots, *plot, (struct bw_raster){GREY, 40, 20, 0, 0.4, 0, 0.2});
    bw_plot_series(
        &plots, *plot,
        (struct bw_series){.kind = BW_MARK_LINE, .style = "main", .x = X, .y = Y, .n = 2});
    return plots;
}

static double attribute(const char *element, const char *name) {
    const char *at = strstr(element, name);
    assert_non_null(at);
    double value = NAN;
    struct bw_err err = {0};
    at += strlen(name);
    assert_true(bw_number(at, strcspn(at, "\""), &value, &err));
    return value;
}

static void a_picture_lies_under_the_plot(void **state) {
    (void)state;
    struct bw_plot *plot;
    struct bw_plots plots = photo(&plot);
    for (int width = 300; width <= 1200; width += 300) {
        struct bw_buffer svg = {0};
        struct bw_err err = {0};
        assert_true(bw_svg_write(plot, &(struct bw_svg_options){.width = width}, &svg, &err));
        assert_null(xml_fault(svg.data, svg.length));
        const char *image = strstr(svg.data, "<image ");
        assert_non_null(image);
        double wide = attribute(image, " width=\""), high = attribute(image, " height=\"");
        assert_true(wide > 0.7 * width && fabs(wide - 2 * high) < 0.3);  // equal scales
        assert_non_null(strstr(svg.data, "p-case"));
        bw_buffer_free(&svg);
    }
    bw_arena_free(plots.arena);
}

static void lines_are_drawn_into_the_picture(void **state) {
    (void)state;
    struct bw_plot *plot;
    struct bw_plots plots = photo(&plot);
    struct bw_buffer out = {0};
    struct bw_err err = {0};
    struct bw_picture picture = {0};
    assert_true(bw_overlay_write(plot, &out, &err));
    bw_arena_free(plots.arena);
    bool jailed = read_back(&out, &picture);
    bw_buffer_free(&out);
    if (!jailed) skip();
    assert_int_equal(picture.about.file_channels, 3);
    const uint8_t *codes = picture.codes;
    for (size_t y = 0; y < 20; y++) {
        assert_int_equal(codes[40 * y + 10], 0);
        assert_int_equal(codes[40 * y + 20], 77);  // 0.299 * 11 + 0.587 * 92 + 0.114 * 173
    }
    assert_int_equal(codes[0], 128);
    bw_picture_free(&picture);
}

static bool overlay(void *with) {
    struct bw_buffer out = {0};
    struct bw_err err = {0};
    bool done = bw_overlay_write(with, &out, &err);
    if (!done) assert_int_equal(err.code, BW_MEMORY);
    bw_buffer_free(&out);
    return done;
}

static bool drawing(void *with) {
    struct bw_buffer out = {0};
    struct bw_err err = {0};
    bool done = bw_svg_write(with, &(struct bw_svg_options){0}, &out, &err);
    if (!done) assert_int_equal(err.code, BW_MEMORY);
    bw_buffer_free(&out);
    return done;
}

static void want_of_memory_is_said(void **state) {
    (void)state;
    struct bw_plot *plot;
    struct bw_plots plots = photo(&plot);
    torture(overlay, plot);
    torture(drawing, plot);
    bw_arena_free(plots.arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(grey_comes_back),
        cmocka_unit_test(base64_is_undone),
        cmocka_unit_test(a_picture_lies_under_the_plot),
        cmocka_unit_test(lines_are_drawn_into_the_picture),
        cmocka_unit_test(want_of_memory_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
