// text.h - what a person reads, on a terminal or a page: paragraphs, lists, tables, in units.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_TEXT_H
#define BW_BASE_TEXT_H

#include "base/buffer.h"
#include "base/quantity.h"
#include "base/arena.h"

// As HTML every part is an element of its own (h2, p, ul-less items, table), its words escaped; the
// classes are t-item, t-inner (an item under an item), t-mark, t-caution, t-wide (round a table), n
// (a column of numbers). Nothing else differs.
enum bw_text_form { BW_TEXT_PLAIN, BW_TEXT_HTML };

// A builder. Zero-initialise, then set arena, units, width (0: 80). Failures are sticky in
// `out.failed`.
struct bw_text {
    struct bw_buffer out;
    struct bw_arena *arena;
    enum bw_units units;
    int width;               // columns; of the plain form
    enum bw_text_form form;
    int indent;  // 2 below a heading, 0 before the first
    struct bw_table *table;  // open table or NULL
};

// A line of its own with an empty line before it; what follows is indented by two columns.
void bw_text_heading(struct bw_text *text, const char *format, ...) BW_PRINTF(2, 3);
// A paragraph, wrapped at the width, followed by nothing; bw_text_gap makes one empty line (never
// two). A newline in the text breaks the line; a no-break space holds words together and is printed
// as a space. So everywhere below.
void bw_text_para(struct bw_text *text, const char *format, ...) BW_PRINTF(2, 3);
// A wrapped paragraph whose lines hang under the text after `mark` ("1. ", "- ").
void bw_text_item(struct bw_text *text, const char *mark, const char *format, ...) BW_PRINTF(3, 4);
void bw_text_gap(struct bw_text *text);

// A caution beside the advice it belongs to: "CAUTION  lock out ...".
void bw_text_caution(struct bw_text *text, const char *format, ...) BW_PRINTF(2, 3);

// A table. `align` has one letter a column (at most 16): l, r, or d (decimal points under each
// other). Columns that are empty in every row are left out. When it would be wider than the width,
// the last l column wraps. Titles are borrowed until the end. Without rows nothing is printed.
void bw_text_table(struct bw_text *text, const char *align, const char *const titles[]);
void bw_text_cell(struct bw_text *text, const char *format, ...) BW_PRINTF(2, 3);
void bw_text_table_end(struct bw_text *text);

// A quantity in the builder's units, with no-break spaces, in the arena; "?" when memory is gone.
const char *bw_text_quantity(struct bw_text *text, struct bw_quantity q, enum bw_dim dim);
// Number and unit apart, for table columns whose title carries the unit. "?" if not known.
const char *bw_text_value(struct bw_text *text, struct bw_quantity q, enum bw_dim dim);
const char *bw_text_unit(const struct bw_text *text, enum bw_dim dim);
// A probability as people take it: "about 8 in 10", "nearly certain", "1 in 20".
const char *bw_text_odds(struct bw_text *text, double probability);

#endif
