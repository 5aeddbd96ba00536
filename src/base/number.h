// number.h - numbers in and out, strict and independent of the locale.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_NUMBER_H
#define BW_BASE_NUMBER_H

#include "base/err.h"

// Reads exactly `length` bytes of text as one decimal number: [-+]digits[.digits][e[-+]digits], or
// .digits as inch people write it. Refused with a reason: empty, trailing characters, nan, inf,
// hexadecimal, overflow, more than BW_MAX_QUANTITY_TEXT bytes, a comma between digits (both
// readings are offered in the mend). A typographic minus (U+2212) is taken. Error BW_INPUT.
// Correctly rounded.
bool bw_number(const char *text, size_t length, double *out, struct bw_err *err) BW_CHECKED;

// Reads a whole number in [min, max]. Error BW_INPUT.
bool bw_count(const char *text, size_t length, long min, long max, long *out,
              struct bw_err *err) BW_CHECKED;

// Bytes of the unsigned decimal number that `text` begins with, 0 if none.
size_t bw_number_scan(const char *text, size_t length);

#define BW_NUMBER_TEXT 40
// The shortest decimal that reads back as the same double, at most 12 significant digits, never in
// a locale's form; "1e-07" style exponents, no "-0". NaN, infinities: "null". Returns `text`.
const char *bw_number_text(char text[BW_NUMBER_TEXT], double value);
// The same with at most `digits` (1-17) significant digits.
const char *bw_number_digits(char text[BW_NUMBER_TEXT], double value, int digits);
// With exactly `decimals` (0-12) decimals, no "-0"; from 1e15 on as bw_number_text.
const char *bw_number_fixed(char text[BW_NUMBER_TEXT], double value, int decimals);
// |value| rounded to two significant digits is two_digits * 10^(exponent - 1). Finite, not 0.
void bw_number_lead(double value, int *two_digits, int *exponent);

// What a number with commas may mean: "1,234" gives whole "1234" and decimal "1.234"; a reading
// that makes no sense is "". Returns the bytes of the run of digits, points and commas at `text` if
// there is a comma between digits, else 0 (and both are "").
size_t bw_number_commas(const char *text, size_t length, char whole[BW_NUMBER_TEXT],
                        char decimal[BW_NUMBER_TEXT]);

#endif
