// tables.h - the tables the program carries, and how a person sees them: found, filtered, printed.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TRADE_TABLES_H
#define BW_TRADE_TABLES_H

#include "base/json.h"
#include "base/text.h"
#include "trade/table.h"

// All carried tables, ended by NULL. A new one is its file in data/, its record, one line in here.
const struct bw_trade_carried *const *bw_trade_tables(void);

// Row numbers in stored order.
struct bw_trade_rows {
    const size_t *items;
    size_t n;
};
// The rows in which every word occurs, whatever the case of its letters; a word, or all of them
// together, that is some row's name means that row alone ("P80" is not P800, "CAMI 400" not a note
// on P400). No words: all rows. Error: BW_MEMORY.
bool bw_trade_table_filter(struct bw_arena *arena, const struct bw_trade_table *table,
                           const char *const words[], size_t n_words, struct bw_trade_rows *out,
                           struct bw_err *err) BW_CHECKED;

// Title, the rows with their sources numbered, the sources, then the notes.
void bw_trade_table_text(const struct bw_trade_table *table, struct bw_trade_rows rows,
                         struct bw_text *text);
// {"shape": "table/1", "title", "notes", "columns": [{"name", "unit"}], "rows": [{column: value}]}.
// Values of columns with a unit are numbers in that unit, others texts; empty cells are left out.
void bw_trade_table_json(const struct bw_trade_table *table, struct bw_trade_rows rows,
                         struct bw_json *json);

#endif
