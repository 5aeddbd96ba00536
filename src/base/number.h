// number.h - numbers in and out, strict and independent of the locale.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_NUMBER_H
#define BW_BASE_NUMBER_H

#include "base/err.h"

// Reads exactly `length` bytes of text as one decimal number: [-+]digits[.digits][e[-+]digits].
// Refused with a reason: empty, trailing characters, nan, inf, hexadecimal, overflow, a comma between
// digits (both readings are offered in the mend: "1,234 is 1234 or 1.234?"). A typographic minus
// (U+2212) is taken. Error BW_INPUT. Correctly rounded.
bool bw_number(const char *text, size_t length, double *out, struct bw_err *err) BW_CHECKED;

// Reads a whole number in [min, max]. Error BW_INPUT.
bool bw_count(const char *text, size_t length, long min, long max, long *out, struct bw_err *err)
    BW_CHECKED;

#define BW_NUMBER_TEXT 40
// The shortest decimal that reads back as the same double, at most 12 significant digits, never in a
// locale's form; "1e-07" style exponents. NaN and infinities give "null". Returns `text`.
const char *bw_number_text(char text[BW_NUMBER_TEXT], double value);

#endif
