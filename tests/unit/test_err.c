// test_err.c - errors: the first one stands, the path grows outwards, odd texts are made fit.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/err.h"

#include "base/utf8.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void test_the_first_stands(void **state) {
    (void)state;
    struct bw_err err = {0};
    assert_false(bw_fail(&err, BW_INPUT, "needs %s", "a length"));
    bw_err_place(&err, 12, 15);
    bw_err_file(&err, "doors.yaml");
    bw_err_value(&err, "12 m/s");
    bw_err_mend(&err, "write it as %d mm", 160);
    bw_err_excerpt(&err, "diameter: 12 m/s, more", 16);
    // Callers further up know less.
    assert_false(bw_fail(&err, BW_IO, "later"));
    assert_false(bw_fail_memory(&err));
    bw_err_place(&err, 1, 1);
    bw_err_file(&err, "other.yaml");
    bw_err_file(&err, NULL);
    bw_err_value(&err, "other");
    bw_err_mend(&err, "other");
    bw_err_excerpt(&err, "other", 5);
    assert_int_equal(err.code, BW_INPUT);
    assert_string_equal(err.what, "needs a length");
    assert_string_equal(err.file, "doors.yaml");
    assert_int_equal(err.line, 12);
    assert_int_equal(err.column, 15);
    assert_string_equal(err.value, "12 m/s");
    assert_string_equal(err.mend, "write it as 160 mm");
    assert_string_equal(err.excerpt, "diameter: 12 m/s");
    bw_err_clear(&err);
    assert_int_equal(err.code, BW_OK);
    assert_false(bw_fail_memory(&err));
    assert_int_equal(err.code, BW_MEMORY);
    assert_string_equal(err.what, "out of memory");
}

static void test_path_grows_outwards(void **state) {
    (void)state;
    struct bw_err err = {0};
    (void)bw_fail(&err, BW_INPUT, "no");
    bw_err_within(&err, "diameter");
    assert_string_equal(err.field, "diameter");
    bw_err_within(&err, "drum");
    bw_err_within_index(&err, "heads", 1);
    assert_string_equal(err.field, "heads[1].drum.diameter");
    bw_err_clear(&err);
    bw_err_within_index(&err, "", 3);  // an item of a list without a name
    bw_err_within(&err, "marks");
    assert_string_equal(err.field, "marks[3]");
}

// Hostile lengths: every text keeps within its size, stays valid UTF-8 and says that it was cut.
static void test_long_texts_are_cut(void **state) {
    (void)state;
    char letters[3000];
    for (size_t i = 0; i + 2 < sizeof letters; i += 2) memcpy(letters + i, "µ", 2);
    letters[sizeof letters - 2] = '\0';
    for (size_t shift = 0; shift < 2; shift++) {
        struct bw_err err = {0};
        const char *text = shift == 0 ? letters : "x";
        (void)bw_fail(&err, BW_INPUT, "%s%s", shift == 0 ? "" : "x", letters);
        bw_err_file(&err, letters);
        bw_err_value(&err, letters);
        bw_err_mend(&err, "%s", letters);
        bw_err_excerpt(&err, letters, strlen(letters));
        for (int i = 0; i < 400; i++) bw_err_within(&err, text);
        const char *const parts[] = {err.what, err.file,    err.value,
                                     err.mend, err.excerpt, err.field};
        const size_t sizes[] = {sizeof err.what, sizeof err.file,    sizeof err.value,
                                sizeof err.mend, sizeof err.excerpt, sizeof err.field};
        for (size_t i = 0; i < 6; i++) {
            size_t length = strlen(parts[i]);
            assert_true(length < sizes[i] && length + 6 > sizes[i]);
            assert_true(bw_utf8_valid(parts[i], length));
            assert_string_equal(parts[i] + length - strlen("…"), "…");
        }
    }
}

// A text that just fits is not cut.
static void test_fitting_texts_are_whole(void **state) {
    (void)state;
    char text[BW_MAX_ERROR_FIELD];
    memset(text, 'v', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    struct bw_err err = {0};
    bw_err_value(&err, text);
    assert_string_equal(err.value, text);
}

// What came from outside must not speak to the terminal, and what goes out must be UTF-8.
static void test_odd_bytes(void **state) {
    (void)state;
    struct bw_err err = {0};
    (void)bw_fail(&err, BW_INPUT, "got \"%s\"", "a\nb\x1b[2J\x7f");
    assert_string_equal(err.what, "got \"a b [2J \"");
    // A control character of two bytes, and two stray bytes.
    bw_err_value(&err, "\xc2\x9bj µ \xff \xc3");
    assert_string_equal(err.value, " j µ ? ?");
    char stray[BW_MAX_ERROR_FIELD + 10];
    memset(stray, 0x80, sizeof stray);
    bw_err_excerpt(&err, stray, sizeof stray);
    assert_true(bw_utf8_valid(err.excerpt, strlen(err.excerpt)));
}

static const char *printed(const struct bw_err *err) {
    static char text[4096];
    FILE *file = tmpfile();
    assert_non_null(file);
    bw_err_print(err, file);
    rewind(file);
    text[fread(text, 1, sizeof text - 1, file)] = '\0';
    (void)fclose(file);
    return text;
}

static void test_printed(void **state) {
    (void)state;
    struct bw_err err = {0};
    (void)bw_fail(&err, BW_USAGE, "no command given");
    assert_string_equal(printed(&err), "beltwright: no command given\n");
    bw_err_file(&err, "doors.yaml");
    assert_string_equal(printed(&err), "beltwright: doors.yaml: no command given\n");
    bw_err_clear(&err);
    (void)bw_fail(&err, BW_INPUT, "needs a length, got a speed");
    bw_err_file(&err, "doors.yaml");
    bw_err_place(&err, 12, 11);
    bw_err_within(&err, "diameter");
    bw_err_value(&err, "12 m/s");
    bw_err_excerpt(&err, "diameter: 12 m/s", 16);
    bw_err_mend(&err, "write it as 160 mm or 6 5/16 in");
    assert_string_equal(printed(&err),
                        "beltwright: doors.yaml:12:11: diameter: needs a length, got a speed "
                        "(\"12 m/s\")\n"
                        "    diameter: 12 m/s\n"
                        "              ^\n"
                        "  write it as 160 mm or 6 5/16 in\n");
    err.column = 0;  // a line alone
    err.mend[0] = '\0';
    assert_string_equal(printed(&err),
                        "beltwright: doors.yaml:12: diameter: needs a length, got a speed "
                        "(\"12 m/s\")\n"
                        "    diameter: 12 m/s\n");
}

// Exit status 1 or 2, HTTP 4xx for what the sender can mend and 499/5xx for the rest, ids unlike.
static void test_codes(void **state) {
    (void)state;
    assert_int_equal(bw_code_exit(BW_OK), 0);
    assert_int_equal(bw_code_http(BW_OK), 200);
    for (int i = 1; i < BW_CODE_COUNT; i++) {
        enum bw_code code = (enum bw_code)i;
        assert_in_range(bw_code_exit(code), 1, 2);
        bool sender = bw_code_exit(code) == 2;
        if (sender)
            assert_in_range(bw_code_http(code), 400, 498);
        else
            assert_in_range(bw_code_http(code), 499, 599);
        assert_true(strlen(bw_code_text(code)) > 0);
        for (int k = 0; k < i; k++)
            assert_string_not_equal(bw_code_id(code), bw_code_id((enum bw_code)k));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_first_stands),
        cmocka_unit_test(test_path_grows_outwards),
        cmocka_unit_test(test_long_texts_are_cut),
        cmocka_unit_test(test_fitting_texts_are_whole),
        cmocka_unit_test(test_odd_bytes),
        cmocka_unit_test(test_printed),
        cmocka_unit_test(test_codes),
    };
    return cmocka_run_group_tests_name("err", tests, NULL, NULL);
}
