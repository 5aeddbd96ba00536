// test_number.c - numbers against correctly rounded values from elsewhere, and what is refused.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/number.h"

#include <limits.h>
#include <locale.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define ROWS(array) (sizeof(array) / sizeof *(array))

// Read in: what Python 3.11 (D. Gay's correctly rounded conversion) makes of these, in hexadecimal.
// Halfway cases, the edges of the range, and numbers that have broken other readers.
static const struct {
    const char *text;
    double value;
} ROUNDED[] = {
    {"0", 0.0},
    {"1", 0x1.0p+0},
    {"0.1", 0x1.999999999999ap-4},
    {"0.3", 0x1.3333333333333p-2},
    {"14.6", 0x1.d333333333333p+3},
    {".004", 0x1.0624dd2f1a9fcp-8},
    {"1e23", 0x1.52d02c7e14af6p+76},
    {"8.5E+22", 0x1.1ffdbf6b2b2ebp+76},
    {"9007199254740993", 0x1.0p+53},
    {"9007199254740993.00000000000001", 0x1.0000000000001p+53},
    {"2.2250738585072011e-308", 0x0.fffffffffffffp-1022},
    {"2.2250738585072012e-308", 0x1.0p-1022},
    {"2.4703282292062327e-324", 0.0},
    {"2.4703282292062328e-324", 0x0.0000000000001p-1022},
    {"1.7976931348623158e308", 0x1.fffffffffffffp+1023},
    {"123456789012345678", 0x1.b69b4ba630f35p+56},
    {"0.000000000000000000000000000000000000001", 0x1.5c72fb1552d83p-130},
    {"3.14159265358979323846264338327950288", 0x1.921fb54442d18p+1},
    {"0.500000000000000166533453693773481063544750213623046875", 0x1.0000000000002p-1},
    {"1.00000000000000011102230246251565404236316680908203124", 0x1.0p+0},
    {"1.00000000000000011102230246251565404236316680908203125", 0x1.0p+0},
    {"1.00000000000000011102230246251565404236316680908203126", 0x1.0000000000001p+0},
    {"7.2057594037927945e16", 0x1.0000000000001p+56},
    {"1e-400", 0.0},
    {"-14.6", -0x1.d333333333333p+3},
    {"\xe2\x88\x92"
     "14.6",
     -0x1.d333333333333p+3},
    {"+14.6", 0x1.d333333333333p+3},
    {"007", 7.0},
};

static void test_rounds_correctly(void **state) {
    (void)state;
    for (size_t i = 0; i < ROWS(ROUNDED); i++) {
        double value = -1.0;
        struct bw_err err = {0};
        assert_true(bw_number(ROUNDED[i].text, strlen(ROUNDED[i].text), &value, &err));
        assert_memory_equal(&value, &ROUNDED[i].value, sizeof value);
    }
}

// Only `length` bytes are read: what follows is another's.
static void test_stops_at_its_length(void **state) {
    (void)state;
    double value = 0.0;
    struct bw_err err = {0};
    assert_true(bw_number("12.5e3", 2, &value, &err));
    assert_true(value == 12.0);
    assert_int_equal(bw_number_scan("12.5e3", 6), 6);
    assert_int_equal(bw_number_scan("12.5e3", 5), 4);
    assert_int_equal(bw_number_scan("12.5e+", 6), 4);
    assert_int_equal(bw_number_scan("12. mm", 6), 2);
    assert_int_equal(bw_number_scan(".5", 2), 2);
    assert_int_equal(bw_number_scan(".", 1), 0);
    assert_int_equal(bw_number_scan("e5", 2), 0);
    assert_int_equal(bw_number_scan("-5", 2), 0);
}

#define NUMBER "needs a number such as 12 or 0.5, got "
#define WRITE "write a number such as 12 or 0.5"
static const struct {
    const char *text, *what, *mend;
} BAD[] = {
    {"", NUMBER "nothing", WRITE},
    {"abc", NUMBER "something else", WRITE},
    {"12 ", NUMBER "something else", WRITE},
    {" 12", NUMBER "something else", WRITE},
    {"12mm", NUMBER "something else", WRITE},
    {"1.2.3", NUMBER "something else", WRITE},
    {"5.", NUMBER "something else", WRITE},
    {".", NUMBER "something else", WRITE},
    {"-", NUMBER "something else", WRITE},
    {"--5", NUMBER "something else", WRITE},
    {"1e", NUMBER "something else", WRITE},
    {"nan", NUMBER "something else", WRITE},
    {"inf", NUMBER "something else", WRITE},
    {"-infinity", NUMBER "something else", WRITE},
    {"0x10", NUMBER "something else", WRITE},
    {"1e309", NUMBER "one above 1.8e308", WRITE},
    {"1.7976931348623159e308", NUMBER "one above 1.8e308", WRITE},
    {"1,234", NUMBER "a comma between digits", "write 1234 or 1.234, whichever is meant"},
    {"-1,234", NUMBER "a comma between digits", "write -1234 or -1.234, whichever is meant"},
    {"3,5", NUMBER "a comma between digits", "write 3.5, without the comma"},
    {"0,123", NUMBER "a comma between digits", "write 0.123, without the comma"},
    {"1234,567", NUMBER "a comma between digits", "write 1234.567, without the comma"},
    {"1,234,567", NUMBER "a comma between digits", "write 1234567, without the comma"},
    {"1,234.5", NUMBER "a comma between digits", "write 1234.5, without the comma"},
    {"1.234,5", NUMBER "a comma between digits", "write 1234.5, without the comma"},
    {"1,2,3", NUMBER "a comma between digits", WRITE},
    {"1,234.5.6", NUMBER "a comma between digits", WRITE},
    {"1.2,345.6", NUMBER "a comma between digits", WRITE},
};

static void test_refuses_with_a_mend(void **state) {
    (void)state;
    for (size_t i = 0; i < ROWS(BAD); i++) {
        double value = 42.0;
        struct bw_err err = {0};
        assert_false(bw_number(BAD[i].text, strlen(BAD[i].text), &value, &err));
        assert_true(value == 42.0);
        assert_int_equal(err.code, BW_INPUT);
        assert_string_equal(err.what, BAD[i].what);
        assert_string_equal(err.mend, BAD[i].mend);
        assert_string_equal(err.value, BAD[i].text);
    }
}

static void test_refuses_bytes_that_are_no_text(void **state) {
    (void)state;
    char longest[BW_MAX_QUANTITY_TEXT + 1];
    memset(longest, '1', sizeof longest);
    double value = 42.0;
    struct bw_err err = {0};
    assert_true(bw_number(longest, sizeof longest - 1, &value, &err));
    assert_false(bw_number(longest, sizeof longest, &value, &err));
    assert_string_equal(err.what, NUMBER "a text longer than any number");
    bw_err_clear(&err);
    assert_false(bw_number("1\0", 2, &value, &err));
    assert_string_equal(err.value, "1");
    bw_err_clear(&err);
    assert_false(bw_number("\xff", 1, &value, &err));
    assert_string_equal(err.value, "");  // an error's texts are always UTF-8
}

static void test_a_long_run_of_commas_is_not_read(void **state) {
    (void)state;
    char run[3 * BW_NUMBER_TEXT], whole[BW_NUMBER_TEXT], decimal[BW_NUMBER_TEXT];
    for (size_t i = 0; i < sizeof run; i++) run[i] = i % 4 == 3 ? ',' : '1';
    assert_int_equal(bw_number_commas(run, sizeof run, whole, decimal), sizeof run - 1);
    assert_string_equal(whole, "");
    assert_string_equal(decimal, "");
    assert_int_equal(bw_number_commas("12, mm", 6, whole, decimal), 0);
    assert_int_equal(bw_number_commas(",12", 3, whole, decimal), 0);
    assert_int_equal(bw_number_commas("1,200 mm", 8, whole, decimal), 5);
    assert_string_equal(whole, "1200");
    assert_string_equal(decimal, "1.200");
}

static void test_counts(void **state) {
    (void)state;
    static const struct {
        const char *text;
        long min, max, value;
    } GOOD[] = {
        {"0", 0, 5, 0},
        {"5", 0, 5, 5},
        {"+3", 0, 5, 3},
        {"-3", -5, 5, -3},
        {"\xe2\x88\x92"
         "3",
         -5, 5, -3},
        {"0012", 1, 12, 12},
        {"9223372036854775807", 0, LONG_MAX, LONG_MAX},
        {"-9223372036854775808", LONG_MIN, 0, LONG_MIN},
    };
    for (size_t i = 0; i < ROWS(GOOD); i++) {
        long value = 42;
        struct bw_err err = {0};
        assert_true(
            bw_count(GOOD[i].text, strlen(GOOD[i].text), GOOD[i].min, GOOD[i].max, &value, &err));
        assert_int_equal(value, GOOD[i].value);
    }
}

static void test_bad_counts(void **state) {
    (void)state;
#define COUNT "needs a whole number from 1 to 12, got "
    static const struct {
        const char *text, *what, *mend;
    } BAD_COUNTS[] = {
        {"", COUNT "nothing", "write a whole number from 1 to 12"},
        {"0", COUNT "one out of that range", "write a whole number from 1 to 12"},
        {"13", COUNT "one out of that range", "write a whole number from 1 to 12"},
        {"99999999999999999999", COUNT "one out of that range",
         "write a whole number from 1 to 12"},
        {"3.5", COUNT "one that is not whole", "write a whole number from 1 to 12"},
        {"1e1", COUNT "one that is not whole", "write a whole number from 1 to 12"},
        {"three", COUNT "something else", "write a whole number from 1 to 12"},
        {"-", COUNT "something else", "write a whole number from 1 to 12"},
        {"1,000", COUNT "a comma between digits", "write 1000 or 1.000, whichever is meant"},
    };
    for (size_t i = 0; i < ROWS(BAD_COUNTS); i++) {
        const char *text = BAD_COUNTS[i].text;
        long value = 42;
        struct bw_err err = {0};
        assert_false(bw_count(text, strlen(text), 1, 12, &value, &err));
        assert_int_equal(value, 42);
        assert_int_equal(err.code, BW_INPUT);
        assert_string_equal(err.what, BAD_COUNTS[i].what);
        assert_string_equal(err.mend, BAD_COUNTS[i].mend);
    }
    char digits[BW_MAX_QUANTITY_TEXT + 1];
    long value = 42;
    memset(digits, '0', sizeof digits);
    digits[BW_MAX_QUANTITY_TEXT - 1] = '7';
    struct bw_err err = {0};
    assert_true(bw_count(digits, BW_MAX_QUANTITY_TEXT, 1, 12, &value, &err));
    assert_int_equal(value, 7);
    assert_false(bw_count(digits, sizeof digits, 1, 12, &value, &err));
    assert_string_equal(err.what, COUNT "a text longer than any number");
}

static void test_texts(void **state) {
    (void)state;
    static const struct {
        double value;
        const char *text;
    } TEXTS[] = {
        {0.0, "0"},
        {-0.0, "0"},
        {0.1, "0.1"},
        {14.6, "14.6"},
        {-14.6, "-14.6"},
        {1e-7, "1e-07"},
        {0.0001, "0.0001"},
        {123456789012.0, "123456789012"},
        {1234567890123.0, "1.23456789012e+12"},
        {1e23, "1e+23"},
        {1.0 / 3.0, "0.333333333333"},
        {0.1 + 0.2, "0.3"},  // 17 digits would tell them apart, 12 do not
        {5.0, "5"},
    };
    char text[BW_NUMBER_TEXT];
    for (size_t i = 0; i < ROWS(TEXTS); i++)
        assert_string_equal(bw_number_text(text, TEXTS[i].value), TEXTS[i].text);
    assert_string_equal(bw_number_text(text, (double)NAN), "null");
    assert_string_equal(bw_number_text(text, (double)INFINITY), "null");
    assert_string_equal(bw_number_text(text, (double)-INFINITY), "null");
    assert_string_equal(bw_number_digits(text, 1.0 / 3.0, 4), "0.3333");
    assert_string_equal(bw_number_digits(text, 0.1, 17), "0.10000000000000001");
    assert_string_equal(bw_number_fixed(text, 14.65, 0), "15");
    assert_string_equal(bw_number_fixed(text, 14.0, 3), "14.000");
    assert_string_equal(bw_number_fixed(text, -0.04, 1), "0.0");
    assert_string_equal(bw_number_fixed(text, -0.06, 1), "-0.1");
    assert_string_equal(bw_number_fixed(text, -0.4, 0), "0");
    assert_string_equal(bw_number_fixed(text, 1e15, 2), "1e+15");
    assert_string_equal(bw_number_fixed(text, -999999999999999.0, 12),
                        "-999999999999999.000000000000");
    assert_string_equal(bw_number_fixed(text, (double)NAN, 2), "null");
}

static void test_lead(void **state) {
    (void)state;
    static const struct {
        double value;
        int two_digits, exponent;
    } LEADS[] = {
        {0.2, 20, -1},  {0.0996, 10, -1}, {0.0994, 99, -2},   {1.0, 10, 0},
        {-37.4, 37, 1}, {1e300, 10, 300}, {5e-324, 49, -324}, {9.96, 10, 1},
    };
    for (size_t i = 0; i < ROWS(LEADS); i++) {
        int two_digits = 0, exponent = 0;
        bw_number_lead(LEADS[i].value, &two_digits, &exponent);
        assert_int_equal(two_digits, LEADS[i].two_digits);
        assert_int_equal(exponent, LEADS[i].exponent);
    }
}

// Significant digits of a number's text.
static int significant(const char *text) {
    int count = 0, zeros = 0;
    for (; *text != '\0' && *text != 'e'; text++) {
        if (*text == '0' && count > 0) zeros++;
        if (*text < '1' || *text > '9') continue;
        count += zeros + 1;
        zeros = 0;
    }
    return count;
}

// The header's promise: what has 12 digits or fewer comes back exactly, and no shorter text would
// do.
static void test_text_is_the_shortest(void **state) {
    (void)state;
    uint64_t seed = 1;
    for (int n = 0; n < 20000; n++) {
        seed = seed * 6364136223846793005U + 1442695040888963407U;
        int power = (int)(seed >> 33 & 31U) - 15, count = 1 + (int)(seed >> 40) % 12;
        double scale = pow(10.0, count);
        double digits = floor((double)(seed >> 11) / 0x1p53 * scale);
        char wanted[BW_NUMBER_TEXT], text[BW_NUMBER_TEXT], shorter[BW_NUMBER_TEXT];
        (void)snprintf(wanted, sizeof wanted, "%.0fe%d", digits, power);
        double value = 0.0, back = -1.0;
        struct bw_err err = {0};
        assert_true(bw_number(wanted, strlen(wanted), &value, &err));
        bw_number_text(text, value);
        assert_true(bw_number(text, strlen(text), &back, &err));
        assert_true(back == value);
        if (significant(text) < 2) continue;
        bw_number_digits(shorter, value, significant(text) - 1);
        assert_true(bw_number(shorter, strlen(shorter), &back, &err));
        assert_true(back != value);
    }
}

// Wherever a comma is the decimal point, ours stays a point, and the thread gets its locale back.
static void test_no_locale_changes_anything(void **state) {
    (void)state;
    static const char *const NAMES[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "nl_NL.UTF-8", "sv_SE.UTF-8"};
    locale_t comma = (locale_t)0;
    for (size_t i = 0; i < ROWS(NAMES) && comma == (locale_t)0; i++)
        comma = newlocale(LC_ALL_MASK, NAMES[i], (locale_t)0);
    if (comma == (locale_t)0) skip();
    locale_t before = uselocale(comma);
    char foreign[BW_NUMBER_TEXT], text[BW_NUMBER_TEXT], fixed[BW_NUMBER_TEXT];
    int two_digits, exponent;
    double value = 0.0;
    struct bw_err err = {0};
    bool read = bw_number("14.6", 4, &value, &err);
    bw_number_text(text, 14.6);
    bw_number_fixed(fixed, 14.6, 2);
    bw_number_lead(0.046, &two_digits, &exponent);
    (void)snprintf(foreign, sizeof foreign, "%.1f", 14.6);
    (void)uselocale(before);
    freelocale(comma);
    assert_true(read && value == 14.6);
    assert_string_equal(text, "14.6");
    assert_string_equal(fixed, "14.60");
    assert_int_equal(two_digits, 46);
    assert_string_equal(foreign, "14,6");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rounds_correctly),
        cmocka_unit_test(test_stops_at_its_length),
        cmocka_unit_test(test_refuses_with_a_mend),
        cmocka_unit_test(test_refuses_bytes_that_are_no_text),
        cmocka_unit_test(test_a_long_run_of_commas_is_not_read),
        cmocka_unit_test(test_counts),
        cmocka_unit_test(test_bad_counts),
        cmocka_unit_test(test_texts),
        cmocka_unit_test(test_lead),
        cmocka_unit_test(test_text_is_the_shortest),
        cmocka_unit_test(test_no_locale_changes_anything),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
