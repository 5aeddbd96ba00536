// csv.h - comma-separated rows, read strictly (RFC 4180), each cell with its place.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Taken: UTF-8, lines ended by LF or CR LF, cells in double quotes with inner quotes doubled, line
// ends inside quotes, a last line without its end, a byte order mark. Refused with place and mend:
// all that a hand-edited file gets wrong without anybody seeing it (blanks beside commas, empty
// lines, stray quotes, control characters).
#ifndef BW_BASE_CSV_H
#define BW_BASE_CSV_H

#include "base/arena.h"
#include "base/place.h"

struct bw_csv_cell {
    const char *text;  // in the arena, NUL-terminated, "" if empty
    size_t length;
    size_t offset;     // where it begins in the document's text (bw_place)
    int line, column;  // the same, 1-based, in characters
};

struct bw_csv {
    struct bw_arena *arena;
    struct bw_err *err;
    struct bw_place place;  // of the text; its own offset lags behind `at`
    size_t at;
};

// Begins at the front after refusing what no row can hold: more than BW_MAX_DOCUMENT_BYTES,
// ill-formed UTF-8, control characters. Errors here and below: BW_SYNTAX, BW_LIMIT, BW_MEMORY, with
// file, line, column and excerpt. `file` and `bytes` are borrowed.
bool bw_csv_begin(struct bw_csv *csv, struct bw_arena *arena, const char *file, const char *bytes,
                  size_t length, struct bw_err *err) BW_CHECKED;

bool bw_csv_done(const struct bw_csv *csv);

// If the next line begins with '#', takes it: its text without the '#', blanks at both ends
// trimmed. Borrowed from the bytes, not NUL-terminated.
bool bw_csv_comment(struct bw_csv *csv, const char **text, size_t *length);

// Takes one row of at most `max` cells.
bool bw_csv_row(struct bw_csv *csv, struct bw_csv_cell *cells, size_t max, size_t *n_out)
    BW_CHECKED;

// Adds file, place and line at `offset` to an error. Returns false.
bool bw_csv_blame(struct bw_csv *csv, size_t offset);

#endif
