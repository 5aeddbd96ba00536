// place.h - where a byte of a document stands, in lines and characters, and how an error says so.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_PLACE_H
#define BW_BASE_PLACE_H

#include "base/err.h"

// A cursor over a document's text (borrowed, need not end in NUL). Moving forward costs only the
// way moved.
struct bw_place {
    const char *file;  // for messages
    const char *text;
    size_t length;
    size_t offset;
    int line, column;  // of offset, 1-based, in characters; \n, \r\n and a lone \r end a line
};

// At the text's first byte. A UTF-8 byte order mark is not part of the text.
struct bw_place bw_place_begin(const char *file, const char *bytes, size_t length);
void bw_place_move(struct bw_place *place, size_t offset);
// The bounds of the line around `offset`, without its break.
size_t bw_place_line_begin(const struct bw_place *place, size_t offset);
size_t bw_place_line_end(const struct bw_place *place, size_t offset);

// Adds file, line, column and, if the caret would fit, the source line to `err`. Returns false, so
// that `return bw_place_blame(...)` ends a failing function.
bool bw_place_blame(struct bw_place *place, size_t offset, struct bw_err *err);

// Refuses ill-formed UTF-8, NUL, control characters but tab and line breaks, and a byte order mark
// inside the text. Error BW_SYNTAX with its place.
bool bw_place_check_text(struct bw_place *place, struct bw_err *err) BW_CHECKED;

#endif
