// csv.h - comma-separated rows, read strictly (RFC 4180), each cell with its place.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Taken: UTF-8, lines ended by LF or CR LF, cells in double quotes with inner quotes doubled, line
// ends inside quotes, a last line without its end. Refused with place and mend: all that a hand-edited file
// gets wrong without anybody seeing it (blanks beside commas, empty lines, stray quotes, control characters).
#ifndef BW_TRADE_CSV_H
#define BW_TRADE_CSV_H

#include "base/arena.h"

struct bw_csv_cell {
    const char *text;  // in the arena, NUL-terminated, "" if empty
    size_t length;
    int line, column;  // where it begins, 1-based, in characters
};

// A position in the bytes. Copy it to remember a place.
struct bw_csv {
    struct bw_arena *arena;
    struct bw_err *err;
    const char *file;                  // for messages; borrowed
    const char *at, *end, *line_start;
    int line;
};

// Begins at the front after refusing what no row can hold: more than BW_MAX_DOCUMENT_BYTES, ill-formed UTF-8,
// control characters. Errors here and below: BW_SYNTAX, BW_LIMIT, BW_MEMORY, with file, line, column and excerpt.
bool bw_csv_begin(struct bw_csv *csv, struct bw_arena *arena, const char *file, const char *bytes,
                  size_t length, struct bw_err *err) BW_CHECKED;

bool bw_csv_done(const struct bw_csv *csv);

// If the next line begins with '#', takes it: its text without the '#', blanks at both ends trimmed.
// Borrowed from the bytes, not NUL-terminated.
bool bw_csv_comment(struct bw_csv *csv, const char **text, size_t *length);

// Takes one row of at most `max` cells.
bool bw_csv_row(struct bw_csv *csv, struct bw_csv_cell *cells, size_t max, size_t *n_out) BW_CHECKED;

// Adds to an error the file, the place and the line at `csv`. Returns false.
bool bw_csv_blame(const struct bw_csv *csv);

#endif
