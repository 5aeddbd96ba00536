// test_place.c - lines and columns of a byte, and the characters no document may hold.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/place.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void assert_at(struct bw_place *place, size_t offset, int line, int column) {
    bw_place_move(place, offset);
    assert_int_equal(place->line, line);
    assert_int_equal(place->column, column);
}

static void test_lines_and_columns(void **state) {
    (void)state;
    static const char TEXT[] = "aµ\r\nb\rc\n\td";
    struct bw_place place = bw_place_begin("f", TEXT, strlen(TEXT));
    assert_at(&place, 0, 1, 1);
    assert_at(&place, 3, 1, 3);   // \r of \r\n
    assert_at(&place, 5, 2, 1);   // b
    assert_at(&place, 7, 3, 1);   // c, after a lone \r
    assert_at(&place, 10, 4, 2);  // d, after a tab
    assert_at(&place, 11, 4, 3);  // the end
    assert_at(&place, 1, 1, 2);   // back again
    assert_int_equal(bw_place_line_begin(&place, 10), 9);
    assert_int_equal(bw_place_line_end(&place, 0), 3);
}

static void test_byte_order_mark_is_not_text(void **state) {
    (void)state;
    struct bw_place place = bw_place_begin("f", "\xef\xbb\xbfx", 4);
    assert_int_equal(place.length, 1);
    assert_int_equal(place.text[0], 'x');
    place = bw_place_begin("f", "\xef\xbb", 2);
    assert_int_equal(place.length, 2);
}

static void test_blame(void **state) {
    (void)state;
    static const char TEXT[] = "one\r\ntwo µ three\r\nfour";
    struct bw_place place = bw_place_begin("m.yaml", TEXT, strlen(TEXT));
    struct bw_err err = {0};
    (void)bw_fail(&err, BW_SYNTAX, "wrong");
    assert_false(bw_place_blame(&place, 12, &err));
    assert_string_equal(err.file, "m.yaml");
    assert_int_equal(err.line, 2);
    assert_int_equal(err.column, 7);
    assert_string_equal(err.excerpt, "two µ three");
}

static void test_refused_characters(void **state) {
    (void)state;
    static const struct {
        const char *text;
        size_t length;
        int column;
        const char *what;  // NULL: taken
    } CASES[] = {
        {"tab\t, lines\r\n", 13, 0, NULL},
        {"µ\x00", 3, 2, "a NUL byte in the text"},
        {"ab\x1b", 3, 3, "a control character (U+001B) in the text"},
        {"\x7f", 1, 1, "a control character (U+007F) in the text"},
        {"a\xef\xbb\xbf", 4, 2, "a byte order mark inside the text"},
        {"a\xc3", 2, 2, "this is not UTF-8 text"},
        {"\xed\xa0\x80", 3, 1, "this is not UTF-8 text"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        struct bw_place place = bw_place_begin("f", CASES[i].text, CASES[i].length);
        struct bw_err err = {0};
        bool taken = bw_place_check_text(&place, &err);
        assert_int_equal(taken, CASES[i].what == NULL);
        if (taken) continue;
        assert_int_equal(err.code, BW_SYNTAX);
        assert_string_equal(err.what, CASES[i].what);
        assert_int_equal(err.column, CASES[i].column);
        assert_true(err.mend[0] != '\0');
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_lines_and_columns),
        cmocka_unit_test(test_byte_order_mark_is_not_text),
        cmocka_unit_test(test_blame),
        cmocka_unit_test(test_refused_characters),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
