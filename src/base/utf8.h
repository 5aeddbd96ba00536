// utf8.h - the little that a terminal tool must know of UTF-8.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_UTF8_H
#define BW_BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

// Bytes of the well-formed sequence at `text` (1-4); 0 if ill-formed, truncated, overlong, a
// surrogate or nothing.
size_t bw_utf8_step(const char *text, size_t length, uint32_t *codepoint);
bool bw_utf8_valid(const char *text, size_t length);
// Columns on a terminal: combining and invisible marks 0, East Asian wide 2, all else 1 (Unicode
// 14.0). Ill-formed bytes count 1.
size_t bw_utf8_columns(const char *text, size_t length);
// Characters (code points), for caret columns. Ill-formed bytes count 1.
size_t bw_utf8_characters(const char *text, size_t length);
// The largest cut <= length that does not split a character. Reads text[0] to text[length - 1].
size_t bw_utf8_cut(const char *text, size_t length);

// ASCII letters and digits, whatever the locale.
static inline bool bw_is_digit(char c) { return c >= '0' && c <= '9'; }
static inline bool bw_is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }
static inline char bw_folded(char c) { return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c); }

// Edit distance (insert, delete, replace, swap neighbours), bytes, ASCII case folded; for "did you
// mean". Longer texts are near to nothing: the longer length is returned.
#define BW_DISTANCE_TEXT 64
size_t bw_text_distance(const char *a, const char *b);

#endif
