// test_read_exif.c - what is read of EXIF blocks, whole and broken.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The reader's own file is built in.
#include "read/picture/exif.c"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

static void near_to(double value, double expected, double within) {
    if (!(value >= expected - within && value <= expected + within))
        fail_msg("%.9g is not within %.2g of %.9g", value, within, expected);
}

// Orientation 6, 300 dpi both ways, taken in May, offset; both byte orders (TIFF 6.0 layout, by
// hand).
static const unsigned char LITTLE[] = {
    'I',  'I',  42,  0,   8,   0,   0,   0,                      // header
    5,    0,                                                     // entries at 8
    0x12, 1,    3,   0,   1,   0,   0,   0,   6,   0,   0,   0,  // orientation
    0x1a, 1,    5,   0,   1,   0,   0,   0,   74,  0,   0,   0,  // across
    0x1b, 1,    5,   0,   1,   0,   0,   0,   74,  0,   0,   0,  // down
    0x28, 1,    3,   0,   1,   0,   0,   0,   2,   0,   0,   0,  // inch
    0x69, 0x87, 4,   0,   1,   0,   0,   0,   82,  0,   0,   0,  // the camera's directory
    0,    0,    0,   0,                                          // no next, at 70
    44,   1,    0,   0,   1,   0,   0,   0,                      // 300/1 at 74
    2,    0,                                                     // entries at 82
    0x03, 0x90, 2,   0,   20,  0,   0,   0,   112, 0,   0,   0,  // taken
    0x11, 0x90, 2,   0,   7,   0,   0,   0,   132, 0,   0,   0,  // offset
    0,    0,    0,   0,                                          // at 108
    '2',  '0',  '2', '4', ':', '0', '5', ':', '0', '1', ' ', '1', '0', ':',
    '2',  '0',  ':', '3', '0', 0,   '-', '0', '5', ':', '3', '0', 0,   0};

static void test_whole(void **state) {
    (void)state;
    struct exif exif;
    exif_read(LITTLE, sizeof LITTLE, &exif);
    assert_int_equal(exif.orientation, 6);
    near_to(exif.x_per_m, 300 / 0.0254, 1e-6);
    near_to(exif.y_per_m, 300 / 0.0254, 1e-6);
    assert_string_equal(exif.taken_at, "2024-05-01T10:20:30-05:30");
}

// Cut anywhere, in a block of exactly that size so that a sanitizer sees a byte too many.
static void test_cut(void **state) {
    (void)state;
    for (size_t n = 0; n < sizeof LITTLE; n++) {
        unsigned char *exact = malloc(n == 0 ? 1 : n);
        assert_non_null(exact);
        memcpy(exact, LITTLE, n);
        struct exif exif;
        exif_read(exact, n, &exif);
        if (n < 22) assert_int_equal(exif.orientation, 0);
        if (n < 131) assert_string_equal(exif.taken_at, "");
        free(exact);
    }
}

static void with(size_t at, unsigned char byte, struct exif *exif) {
    unsigned char copy[sizeof LITTLE];
    memcpy(copy, LITTLE, sizeof LITTLE);
    copy[at] = byte;
    exif_read(copy, sizeof copy, exif);
}

static void test_nonsense(void **state) {
    (void)state;
    struct exif exif;
    with(18, 0, &exif);  // orientation 0
    assert_int_equal(exif.orientation, 0);
    with(18, 9, &exif);
    assert_int_equal(exif.orientation, 0);
    with(78, 0, &exif);  // 300/0
    assert_true(exif.x_per_m == 0);
    with(54, 1, &exif);  // no unit
    assert_true(exif.x_per_m == 0);
    with(54, 3, &exif);  // centimetres
    near_to(exif.x_per_m, 30000, 1e-9);
    with(0, 'X', &exif);
    assert_int_equal(exif.orientation, 0);
    with(117, '9', &exif);  // month 95
    assert_string_equal(exif.taken_at, "");
    with(132, 'Z', &exif);  // offset that is none
    assert_string_equal(exif.taken_at, "2024-05-01T10:20:30");
}

// Every single byte changed to some values: never a crash, never a value out of range.
static void test_any_byte(void **state) {
    (void)state;
    static const unsigned char VALUES[] = {0, 1, 0x7f, 0x80, 0xff};
    for (size_t at = 0; at < sizeof LITTLE; at++) {
        for (size_t i = 0; i < sizeof VALUES; i++) {
            struct exif exif;
            with(at, VALUES[i], &exif);
            assert_in_range(exif.orientation, 0, 8);
            assert_true(exif.x_per_m >= 0 && exif.y_per_m >= 0);
            assert_non_null(memchr(exif.taken_at, 0, sizeof exif.taken_at));
        }
    }
}

static void test_time(void **state) {
    (void)state;
    char out[32];
    exif_time("1999:12:31 23:59:60", "+14:00", out);
    assert_string_equal(out, "1999-12-31T23:59:60+14:00");
    static const char *const BAD[] = {
        "0000:00:00 00:00:00", "    :  :     :  :  ", "2024-05-01 10:20:30", "2024:13:01 10:20:30",
        "2024:05:32 10:20:30", "2024:05:01 24:20:30", "2024:05:01T10:20:30", "2024:05:01 10:60:30"};
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        exif_time(BAD[i], NULL, out);
        assert_string_equal(out, "");
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_whole),    cmocka_unit_test(test_cut),
        cmocka_unit_test(test_nonsense), cmocka_unit_test(test_any_byte),
        cmocka_unit_test(test_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
