// table.h - the trade's tables: CSV files with a title, units and a source in every row.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// docs/tables.md describes the file format. Two steps: reading gives the cells as texts with their
// places (enough to print, filter and search a table); binding turns the rows into C structs by the
// same field lists that describe every other input, which checks kinds, units, ranges and choices.
#ifndef BW_TRADE_TABLE_H
#define BW_TRADE_TABLE_H

#include "base/arena.h"
#include "base/field.h"
#include "base/csv.h"

// How much a row's source is worth. The words stand in the column `status`.
enum bw_trade_status {
    BW_READ_IN,         // "read in": the value was read in the source named
    BW_FROM_MEMORY,     // "from memory": recalled from the source named, not seen again
    BW_DERIVED,         // "derived": own arithmetic from what the source says
    BW_COMMON_PRACTICE  // "common practice": a rule of the trade without a source
};
extern const struct bw_choice bw_trade_statuses[];

// The last three columns of every table, and of the struct behind it.
struct bw_trade_origin {
    const char *source;  // in words
    int status;          // enum bw_trade_status
    const char *note;    // NULL: none
};
#define BW_TRADE_ORIGIN(type, member)                                                              \
    {.name = "source", .offset = offsetof(type, member.source), .kind = BW_TEXT, .required = true, \
     .help = "where the row comes from, in words"},                                                \
    {.name = "status", .offset = offsetof(type, member.status), .kind = BW_CHOICE,                 \
     .required = true, .of = bw_trade_statuses, .help = "how much that is worth"},                 \
    {.name = "note", .offset = offsetof(type, member.note), .kind = BW_TEXT,                       \
     .help = "what else to know about the row"}

#define BW_TRADE_PLAIN "1"  // the unit of a plain number

struct bw_trade_column {
    const char *name;  // [a-z][a-z0-9_]*
    const char *unit;  // "mm", BW_TRADE_PLAIN, or "": not a number
    struct bw_csv_cell at_name, at_unit;
};
// As stored. The first column names the row and is unique, whatever the case of its letters.
struct bw_trade_table {
    const char *file;
    const char *title;                      // without a full stop
    const char *const *notes;               // paragraphs: what it is, what it rests on, licence
    const struct bw_trade_column *columns;
    const struct bw_csv_cell *cells;        // row by row; "" where nothing is known
    size_t n_notes, n_columns, n_rows;
    const char *bytes;                      // borrowed, to show the line in a message
    size_t length;
};

// Reads a table strictly. `bytes` and `file` are borrowed and must outlive the table, all else
// lives in the arena. Errors: BW_SYNTAX, BW_INPUT, BW_LIMIT, BW_MEMORY with file, line, column, the
// column's name, the value and the mend.
bool bw_trade_table_read(struct bw_arena *arena, const char *file, const char *bytes, size_t length,
                         const struct bw_trade_table **out, struct bw_err *err) BW_CHECKED;

// The rows as structs of record->size bytes, in stored order. Every column must be a field of the
// record and every field a column. Errors as above.
bool bw_trade_table_bind(struct bw_arena *arena, const struct bw_trade_table *table,
                         const struct bw_record *record, struct bw_list *out, struct bw_err *err)
    BW_CHECKED;

// A table the program carries. `check` (or NULL) says what no single row can: order, references.
struct bw_trade_carried {
    const char *name;  // "grits", from data/grits.csv
    const struct bw_record *record;
    bool (*check)(const struct bw_trade_table *table, const void *rows, struct bw_err *err);
};

// Reads a carried table by name. Errors: BW_NOT_FOUND with the names there are, and as above.
bool bw_trade_table_open(struct bw_arena *arena, const char *name,
                         const struct bw_trade_table **out, struct bw_err *err) BW_CHECKED;
// Reads, binds and checks it.
bool bw_trade_table_load(struct bw_arena *arena, const struct bw_trade_carried *carried,
                         struct bw_list *out, struct bw_err *err) BW_CHECKED;

// Where the column stands, or table->n_columns if there is none of that name.
size_t bw_trade_column_find(const struct bw_trade_table *table, const char *name);

// An error about one row's cell: file, place, the source line, the column's name and the cell's
// text. Call bw_fail first. Returns false.
bool bw_trade_table_blame(const struct bw_trade_table *table, size_t row, const char *column,
                          struct bw_err *err);

#endif
