// test_utf8.c - UTF-8, columns and distances against tables and oracles from elsewhere.
// SPDX-License-Identifier: GPL-3.0-or-later
#define _XOPEN_SOURCE 700  // wcwidth
#include "base/utf8.h"

#include <locale.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <wchar.h>

#include <cmocka.h>

// The Unicode Standard, table 3-7 "Well-Formed UTF-8 Byte Sequences": from memory.
static const struct {
    unsigned char low[4], high[4];
    size_t size;
} TABLE[] = {
    {{0x00}, {0x7f}, 1},
    {{0xc2, 0x80}, {0xdf, 0xbf}, 2},
    {{0xe0, 0xa0, 0x80}, {0xe0, 0xbf, 0xbf}, 3},
    {{0xe1, 0x80, 0x80}, {0xec, 0xbf, 0xbf}, 3},
    {{0xed, 0x80, 0x80}, {0xed, 0x9f, 0xbf}, 3},
    {{0xee, 0x80, 0x80}, {0xef, 0xbf, 0xbf}, 3},
    {{0xf0, 0x90, 0x80, 0x80}, {0xf0, 0xbf, 0xbf, 0xbf}, 4},
    {{0xf1, 0x80, 0x80, 0x80}, {0xf3, 0xbf, 0xbf, 0xbf}, 4},
    {{0xf4, 0x80, 0x80, 0x80}, {0xf4, 0x8f, 0xbf, 0xbf}, 4},
};

static size_t by_table(const unsigned char *bytes, size_t length) {
    for (size_t row = 0; row < sizeof TABLE / sizeof *TABLE; row++) {
        bool fits = length >= TABLE[row].size;
        for (size_t i = 0; fits && i < TABLE[row].size; i++)
            fits = bytes[i] >= TABLE[row].low[i] && bytes[i] <= TABLE[row].high[i];
        if (fits) return TABLE[row].size;
    }
    return 0;
}

// Every lead byte with bytes from either side of every limit behind it, at every length.
static void test_step_follows_the_standard(void **state) {
    (void)state;
    static const unsigned char NEXT[] = {0x00, 0x41, 0x7f, 0x80, 0x8f, 0x90,
                                         0x9f, 0xa0, 0xbf, 0xc0, 0xff};
    size_t n = sizeof NEXT;
    for (unsigned lead = 0; lead < 256; lead++) {
        for (size_t k = 0; k < n * n * n; k++) {
            unsigned char bytes[4] = {(unsigned char)lead, NEXT[k % n], NEXT[k / n % n],
                                      NEXT[k / n / n]};
            for (size_t length = 0; length <= 4; length++) {
                uint32_t point = 0;
                size_t step = bw_utf8_step((const char *)bytes, length, &point);
                assert_int_equal(step, by_table(bytes, length));
            }
        }
    }
}

static size_t encode(uint32_t point, char out[4]) {
    if (point < 0x80) {
        out[0] = (char)point;
        return 1;
    }
    size_t size = point < 0x800 ? 2 : point < 0x10000 ? 3 : 4;
    static const unsigned LEAD[] = {0, 0, 0xc0, 0xe0, 0xf0};
    for (size_t i = size; i-- > 1; point >>= 6) out[i] = (char)(0x80 | (point & 0x3f));
    out[0] = (char)(LEAD[size] | point);
    return size;
}

static void test_every_code_point_comes_back(void **state) {
    (void)state;
    for (uint32_t point = 0; point <= 0x10ffff; point++) {
        char text[4];
        size_t size = encode(point, text);
        bool surrogate = point >= 0xd800 && point <= 0xdfff;
        uint32_t back = 0;
        assert_int_equal(bw_utf8_step(text, size, &back), surrogate ? 0 : size);
        if (!surrogate) assert_int_equal(back, point);
    }
}

static void test_valid_and_characters(void **state) {
    (void)state;
    assert_true(bw_utf8_valid("", 0));
    assert_true(bw_utf8_valid("14.6 ± 0.2 µm", strlen("14.6 ± 0.2 µm")));
    assert_false(bw_utf8_valid("a\xc2", 2));
    assert_false(bw_utf8_valid("\xc0\xaf", 2));      // overlong /
    assert_false(bw_utf8_valid("\xed\xa0\x80", 3));  // a surrogate
    assert_int_equal(bw_utf8_characters("5 µm", strlen("5 µm")), 4);
    assert_int_equal(bw_utf8_characters("\xff\xfe", 2), 2);
    assert_int_equal(bw_utf8_characters("", 0), 0);
}

static void test_cut_never_splits(void **state) {
    (void)state;
    static const char TEXT[] = "a±€\xf0\x9f\xaa\x9a-";  // 1, 2, 3 and 4 bytes, 1
    static const size_t CUTS[] = {0, 1, 1, 3, 3, 3, 6, 6, 6, 6, 10, 11};
    for (size_t n = 0; n <= strlen(TEXT); n++) assert_int_equal(bw_utf8_cut(TEXT, n), CUTS[n]);
    assert_int_equal(bw_utf8_cut("\x80\x80\x80\x80\x80", 5), 5);  // nothing to keep whole
}

static size_t columns(const char *text) { return bw_utf8_columns(text, strlen(text)); }

static void test_columns(void **state) {
    (void)state;
    assert_int_equal(columns("14.6 ± 0.2 µm"), 13);
    assert_int_equal(columns("e\xcc\x81"), 1);                 // e and a combining acute
    assert_int_equal(columns("\xe6\x9c\xa8\xe6\x9d\x90"), 4);  // two ideographs
    assert_int_equal(columns("\xef\xbb\xbf"
                             "a"),
                     1);  // a byte order mark
    assert_int_equal(columns("\xff"), 1);
    assert_int_equal(columns(""), 0);
}

// The C library's table is of another version of Unicode, and private and control characters have
// no width there. Compared are characters that both know, 1 % of which may differ.
static void test_columns_agree_with_the_c_library(void **state) {
    (void)state;
    locale_t utf8 = newlocale(LC_CTYPE_MASK, "C.UTF-8", (locale_t)0);
    if (utf8 == (locale_t)0) skip();
    locale_t before = uselocale(utf8);
    size_t known = 0, differ = 0;
    for (uint32_t point = 0x20; point < 0x30000; point++) {
        char text[4];
        int width = wcwidth((wchar_t)point);
        if (width < 0 || (point >= 0xd800 && point <= 0xf8ff)) continue;
        known++;
        if (bw_utf8_columns(text, encode(point, text)) != (size_t)width) differ++;
    }
    (void)uselocale(before);
    freelocale(utf8);
    print_message("# %zu of %zu characters differ from the C library\n", differ, known);
    assert_true(known > 100000);
    assert_true(differ * 100 < known);
}

// The definition of optimal string alignment, word for word.
static size_t plain_distance(const char *a, size_t i, const char *b, size_t j) {
    if (i == 0 || j == 0) return i + j;
    size_t best = plain_distance(a, i - 1, b, j) + 1;
    size_t other = plain_distance(a, i, b, j - 1) + 1;
    if (other < best) best = other;
    other = plain_distance(a, i - 1, b, j - 1) + (a[i - 1] == b[j - 1] ? 0 : 1);
    if (other < best) best = other;
    if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        other = plain_distance(a, i - 2, b, j - 2) + 1;
        if (other < best) best = other;
    }
    return best;
}

static void test_distance(void **state) {
    (void)state;
    assert_int_equal(bw_text_distance("kitten", "sitting"), 3);  // the textbooks' pair
    assert_int_equal(bw_text_distance("ca", "abc"), 3);          // what tells it from Damerau's 2
    assert_int_equal(bw_text_distance("DRUM", "durm"), 1);
    assert_int_equal(bw_text_distance("", "drum"), 4);
    assert_int_equal(bw_text_distance("", ""), 0);
    unsigned seed = 7;
    for (int n = 0; n < 3000; n++) {
        char text[2][7] = {"", ""};
        for (int which = 0; which < 2; which++) {
            seed = seed * 1664525U + 1013904223U;
            size_t length = seed >> 16 & 7U;
            for (size_t i = 0; i < length && i < 6; i++) {
                seed = seed * 1664525U + 1013904223U;
                text[which][i] = (char)('a' + (seed >> 16) % 3U);
            }
        }
        assert_int_equal(bw_text_distance(text[0], text[1]),
                         plain_distance(text[0], strlen(text[0]), text[1], strlen(text[1])));
    }
}

static void test_distance_of_long_texts(void **state) {
    (void)state;
    char longest[BW_DISTANCE_TEXT + 1], longer[BW_DISTANCE_TEXT + 2];
    memset(longest, 'x', sizeof longest);
    memset(longer, 'x', sizeof longer);
    longest[BW_DISTANCE_TEXT] = longer[BW_DISTANCE_TEXT + 1] = '\0';
    assert_int_equal(bw_text_distance(longest, longest), 0);
    assert_int_equal(bw_text_distance(longest, longer), BW_DISTANCE_TEXT + 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_step_follows_the_standard),
        cmocka_unit_test(test_every_code_point_comes_back),
        cmocka_unit_test(test_valid_and_characters),
        cmocka_unit_test(test_cut_never_splits),
        cmocka_unit_test(test_columns),
        cmocka_unit_test(test_columns_agree_with_the_c_library),
        cmocka_unit_test(test_distance),
        cmocka_unit_test(test_distance_of_long_texts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
