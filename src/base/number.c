// number.c - see number.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The C library converts correctly rounded in both directions (glibc and musl do), but strtod and
// printf take the decimal point from the locale; each conversion here runs in the C locale
// (format.h). strtod_l is an extension, and an algorithm of our own would need pages of long
// arithmetic to round as well.
#include "base/number.h"

#include "base/format.h"
#include "base/utf8.h"

#include <assert.h>
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MINUS "\xe2\x88\x92"  // U+2212

static void copy_text(const char *text, size_t length, char *to) {
    memcpy(to, text, length);
    to[length] = '\0';
}

static size_t digits(const char *text, size_t length) {
    size_t n = 0;
    while (n < length && bw_is_digit(text[n])) n++;
    return n;
}

size_t bw_number_scan(const char *text, size_t length) {
    size_t n = digits(text, length);
    if (n + 1 < length && text[n] == '.' && bw_is_digit(text[n + 1]))
        n += 1 + digits(text + n + 1, length - n - 1);
    if (n == 0 || n == length || (text[n] != 'e' && text[n] != 'E')) return n;
    size_t power = n + 1;
    if (power < length && (text[power] == '-' || text[power] == '+')) power++;
    size_t figures = digits(text + power, length - power);
    return figures == 0 ? n : power + figures;
}

// The sign in front of a number: its bytes, and whether it is a minus.
static size_t sign(const char *text, size_t length, bool *minus) {
    size_t wide = sizeof MINUS - 1;
    *minus = true;
    if (length >= 1 && text[0] == '-') return 1;
    if (length >= wide && memcmp(text, MINUS, wide) == 0) return wide;
    *minus = false;
    return length >= 1 && text[0] == '+' ? 1 : 0;
}

// Copies a run of digits, points and commas without its commas and points, but for the last `mark`,
// which becomes the decimal point; "" where it does not fit.
static void reading(const char *run, size_t length, char mark, char to[BW_NUMBER_TEXT]) {
    size_t point = length, n = 0;
    for (size_t i = 0; i < length; i++)
        if (run[i] == mark) point = i;
    to[0] = '\0';
    if (length >= BW_NUMBER_TEXT) return;
    for (size_t i = 0; i < length; i++) {
        if (bw_is_digit(run[i]))
            to[n++] = run[i];
        else if (i == point)
            to[n++] = '.';
    }
    to[n] = '\0';
}

// Is it grouped as thousands: one to three digits, not beginning with 0, then threes behind `mark`?
static bool grouped(const char *run, size_t length, char mark) {
    size_t first = digits(run, length);
    if (first == 0 || first > 3 || run[0] == '0') return false;
    for (size_t i = first; i < length; i += 4)
        if (run[i] != mark || digits(run + i + 1, length - i - 1) != 3) return false;
    return true;
}

size_t bw_number_commas(const char *text, size_t length, char whole[BW_NUMBER_TEXT],
                        char decimal[BW_NUMBER_TEXT]) {
    size_t run = 0, commas = 0, comma = 0, point = 0;
    whole[0] = decimal[0] = '\0';
    while (run < length && (bw_is_digit(text[run]) || text[run] == '.' || text[run] == ',')) run++;
    while (run > 0 && !bw_is_digit(text[run - 1])) run--;
    if (run == 0 || !bw_is_digit(text[0])) return 0;
    point = run;
    for (size_t i = run; i-- > 0;) {
        if (text[i] == '.') point = i;
        if (text[i] != ',') continue;
        commas++;
        comma = i;
    }
    if (commas == 0) return 0;
    bool tail = point == run || digits(text + point + 1, run - point - 1) == run - point - 1;
    if (tail && comma < point && grouped(text, point, ',')) reading(text, run, '.', whole);
    bool head = digits(text, comma) == comma || grouped(text, comma, '.');
    if (commas == 1 && head && digits(text + comma + 1, run - comma - 1) == run - comma - 1)
        reading(text, run, ',', decimal);
    return run;
}

// Says how to write a number without commas: as the one reading that makes sense, or as either.
static void mend_commas(bool minus, const char *whole, const char *decimal, struct bw_err *err) {
    const char *dash = minus ? "-" : "";
    if (whole[0] != '\0' && decimal[0] != '\0')
        bw_err_mend(err, "write %s%s or %s%s, whichever is meant", dash, whole, dash, decimal);
    else if (whole[0] != '\0' || decimal[0] != '\0')
        bw_err_mend(err, "write %s%s, without the comma", dash, whole[0] != '\0' ? whole : decimal);
}

// Fails, saying what was needed and what came: `got`, unless the text shows more.
static bool refuse(const char *text, size_t length, const char *needs, const char *got,
                   struct bw_err *err) {
    char whole[BW_NUMBER_TEXT], decimal[BW_NUMBER_TEXT], value[BW_MAX_QUANTITY_TEXT + 1];
    bool minus;
    size_t lead = sign(text, length, &minus);
    if (length == 0) got = "nothing";
    if (length > BW_MAX_QUANTITY_TEXT) got = "a text longer than any number";
    if (bw_number_commas(text + lead, length - lead, whole, decimal) > 0) {
        got = "a comma between digits";
        mend_commas(minus, whole, decimal, err);
    }
    bw_err_mend(err, "write %s", needs);
    copy_text(text, length < sizeof value ? length : bw_utf8_cut(text, sizeof value - 1), value);
    if (bw_utf8_valid(value, strlen(value))) bw_err_value(err, value);
    return bw_fail(err, BW_INPUT, "needs %s, got %s", needs, got);
}

bool bw_number(const char *text, size_t length, double *out, struct bw_err *err) {
    static const char NEEDS[] = "a number such as 12 or 0.5";
    bool minus;
    size_t lead = sign(text, length, &minus), size = length - lead;
    if (length > BW_MAX_QUANTITY_TEXT || size == 0 || bw_number_scan(text + lead, size) != size)
        return refuse(text, length, NEEDS, "something else", err);
    char copy[BW_MAX_QUANTITY_TEXT + 1], *end;
    copy_text(text + lead, size, copy);
    struct bw_c_locale own = bw_c_locale_enter();
    double value = strtod(copy, &end);
    bw_c_locale_leave(own);
    assert(end == copy + size);
    if (isinf(value)) return refuse(text, length, NEEDS, "one above 1.8e308", err);
    *out = minus ? -value : value;
    return true;
}

bool bw_count(const char *text, size_t length, long min, long max, long *out, struct bw_err *err) {
    char needs[100], copy[BW_MAX_QUANTITY_TEXT + 2], *end;
    (void)snprintf(needs, sizeof needs, "a whole number from %ld to %ld", min, max);
    bool minus;
    size_t lead = sign(text, length, &minus), size = length - lead;
    if (length > BW_MAX_QUANTITY_TEXT || size == 0)
        return refuse(text, length, needs, "something else", err);
    if (digits(text + lead, size) != size) {
        bool number = bw_number_scan(text + lead, size) == size;
        return refuse(text, length, needs, number ? "one that is not whole" : "something else",
                      err);
    }
    copy_text(text + lead, size, copy + 1);
    copy[0] = minus ? '-' : '+';
    errno = 0;
    long value = strtol(copy, &end, 10);
    if (errno == ERANGE || value < min || value > max)
        return refuse(text, length, needs, "one out of that range", err);
    *out = value;
    return true;
}

const char *bw_number_digits(char text[BW_NUMBER_TEXT], double value, int digits_wanted) {
    if (!isfinite(value)) {
        memcpy(text, "null", sizeof "null");
        return text;
    }
    (void)bw_format(text, BW_NUMBER_TEXT, "%.*g", digits_wanted, value == 0.0 ? 0.0 : value);
    return text;
}

// %.12g leaves trailing zeros out. Where a decimal of 12 digits or fewer reads back as the value,
// it is within half a unit of the value's 16th digit, so rounding to 12 digits finds it. (Below
// 1e-307 doubles thin out and shorter decimals may do; nobody measures there.)
const char *bw_number_text(char text[BW_NUMBER_TEXT], double value) {
    return bw_number_digits(text, value, 12);
}

const char *bw_number_fixed(char text[BW_NUMBER_TEXT], double value, int decimals) {
    if (!(fabs(value) < 1e15)) return bw_number_text(text, value);
    (void)bw_format(text, BW_NUMBER_TEXT, "%.*f", decimals, value);
    // What rounds to zero carries no sign.
    if (text[0] == '-' && strspn(text + 1, "0.") == strlen(text + 1))
        memmove(text, text + 1, strlen(text));
    return text;
}

void bw_number_lead(double value, int *two_digits, int *exponent) {
    char text[BW_NUMBER_TEXT];
    (void)bw_format(text, sizeof text, "%.1e", fabs(value));
    // "d.de+dd": the form is fixed by the C standard.
    *two_digits = (text[0] - '0') * 10 + (text[2] - '0');
    int power = 0;
    for (const char *c = text + 5; *c != '\0'; c++) power = power * 10 + (*c - '0');
    *exponent = text[4] == '-' ? -power : power;
}
