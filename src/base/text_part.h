// text_part.h - what the plain and the HTML form of a text share; nobody else includes it.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_TEXT_PART_H
#define BW_BASE_TEXT_PART_H

#include "base/text.h"

#define BW_TEXT_COLUMNS 16

struct bw_text_row {
    const char *cells[BW_TEXT_COLUMNS];
    struct bw_text_row *next;
};

struct bw_text_column {
    char align;
    bool empty;            // in every row
    size_t before, after;  // of d: the widest left and right of the point
    size_t width;
};

struct bw_table {
    size_t n;
    struct bw_text_column columns[BW_TEXT_COLUMNS];
    struct bw_text_row titles, *first, *last;
    size_t filled;  // cells of the last row
};

// The parts as HTML. `mark` is "", "1. ", "   - ", "CAUTION  ".
void bw_text_html_heading(struct bw_text *text, const char *whole);
void bw_text_html_item(struct bw_text *text, const char *mark, const char *whole);
void bw_text_html_table(struct bw_text *text);

#endif
