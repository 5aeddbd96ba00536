// table.c - see table.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/table.h"

#include "base/bind.h"
#include "base/embedded.h"
#include "base/number.h"
#include "base/suggest.h"

#include <assert.h>
#include <string.h>
#include <strings.h>

const struct bw_choice bw_trade_statuses[] = {
    {"read in", "the value was read in the source named"},
    {"from memory", "recalled from the source named, not seen again"},
    {"derived", "own arithmetic from what the source says"},
    {"common practice", "a rule of the trade without a source"},
    {NULL, NULL},
};

// In the unit row: words, no number.
#define NO_UNIT "-"

static bool blame_cell(const struct bw_trade_table *table, const struct bw_csv_cell *cell,
                       const char *column, struct bw_err *err) {
    struct bw_place place = bw_place_begin(table->file, table->bytes, table->length);
    if (column != NULL) bw_err_within(err, column);
    bw_err_value(err, cell->text);
    return bw_place_blame(&place, cell->offset, err);
}

size_t bw_trade_column_find(const struct bw_trade_table *table, const char *name) {
    for (size_t i = 0; i < table->n_columns; i++)
        if (strcmp(table->columns[i].name, name) == 0) return i;
    return table->n_columns;
}

bool bw_trade_table_blame(const struct bw_trade_table *table, size_t row, const char *column,
                          struct bw_err *err) {
    size_t i = bw_trade_column_find(table, column);
    assert(i < table->n_columns && row < table->n_rows);
    return blame_cell(table, &table->cells[row * table->n_columns + i], column, err);
}

// ---- reading ----

// The comment lines in front: the first is the title, the others make paragraphs, joined by blanks.
static bool read_notes(struct bw_csv *csv, struct bw_trade_table *table) {
    const char *text;
    size_t start = csv->at, length, lines = 0, bytes = 0;
    for (struct bw_csv probe = *csv; bw_csv_comment(&probe, &text, &length); lines++)
        bytes += length + 1;
    const char **notes = bw_arena_array(csv->arena, lines + 1, sizeof *notes);
    char *at = bw_arena_get(csv->arena, bytes + 1);
    if (notes == NULL || at == NULL) return bw_fail_memory(csv->err);
    table->title = at;
    table->notes = notes;
    bool within = false;  // a paragraph, whose closing NUL then makes room for a blank
    for (size_t line = 0; bw_csv_comment(csv, &text, &length); line++) {
        if (within && length > 0) at[-1] = ' ';
        if (!within && length > 0 && line > 0) notes[table->n_notes++] = at;
        within = line > 0 && length > 0;
        memcpy(at, text, length);
        at += length + 1;
    }
    if (table->title[0] != '\0' && table->n_notes > 0) return true;
    bw_fail(csv->err, BW_SYNTAX, "a table opens with its title and what it is");
    bw_err_mend(csv->err, "begin with \"# Title\", then \"# \" lines: what it is, source, licence");
    return bw_csv_blame(csv, start);
}

static bool is_column_name(const char *name) {
    if (*name < 'a' || *name > 'z') return false;
    return strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789_") == strlen(name);
}

// One column's name and unit; `before` holds the names to its left.
static bool check_header(const struct bw_trade_table *table, const struct bw_csv_cell *before,
                         const struct bw_csv_cell *name, const struct bw_csv_cell *unit,
                         struct bw_err *err) {
    if (!is_column_name(name->text)) {
        bw_fail(err, BW_INPUT, "not a column name");
        bw_err_mend(err, "small letters, digits and _, a letter first");
        return blame_cell(table, name, NULL, err);
    }
    for (; before < name; before++) {
        if (strcmp(before->text, name->text) != 0) continue;
        bw_fail(err, BW_INPUT, "two columns have the same name");
        bw_err_mend(err, "rename one of them");
        return blame_cell(table, name, NULL, err);
    }
    if (unit->length > 0) return true;
    bw_fail(err, BW_INPUT, "no unit");
    bw_err_mend(err, "write the unit, 1 for a plain number, - for words");
    return blame_cell(table, unit, name->text, err);
}

static bool read_header(struct bw_csv *csv, struct bw_trade_table *table) {
    struct bw_csv_cell names[BW_MAX_TABLE_COLUMNS], units[BW_MAX_TABLE_COLUMNS];
    size_t n, n_units;
    if (!bw_csv_row(csv, names, BW_MAX_TABLE_COLUMNS, &n)) return false;
    size_t unit_row = csv->at;
    if (!bw_csv_row(csv, units, BW_MAX_TABLE_COLUMNS, &n_units)) return false;
    if (n_units != n) {
        bw_fail(csv->err, BW_INPUT, "%zu units under %zu columns", n_units, n);
        bw_err_mend(csv->err, "under each name write its unit, 1 for a plain number, - for words");
        return bw_csv_blame(csv, unit_row);
    }
    struct bw_trade_column *columns = bw_arena_array(csv->arena, n, sizeof *columns);
    if (columns == NULL) return bw_fail_memory(csv->err);
    for (size_t i = 0; i < n; i++) {
        if (!check_header(table, names, &names[i], &units[i], csv->err)) return false;
        const char *unit = strcmp(units[i].text, NO_UNIT) == 0 ? "" : units[i].text;
        columns[i] = (struct bw_trade_column){
            .name = names[i].text, .unit = unit, .at_name = names[i], .at_unit = units[i]};
    }
    table->columns = columns;
    table->n_columns = n;
    return true;
}

static bool read_row(struct bw_csv *csv, struct bw_csv_cell *cells, size_t n) {
    struct bw_err *err = csv->err;
    size_t start = csv->at, found;
    if (csv->place.text[start] == '#') {
        bw_fail(err, BW_SYNTAX, "a comment among the rows");
        bw_err_mend(err, "notes on the table stand above the header, on a row in its note");
        return bw_csv_blame(csv, start);
    }
    if (!bw_csv_row(csv, cells, n, &found)) return false;
    if (found == n) return true;
    bw_fail(err, BW_INPUT, "%zu cells under %zu columns", found, n);
    bw_err_mend(err, "leave unknown values empty, but keep their commas");
    return bw_csv_blame(csv, start);
}

static bool read_rows(struct bw_csv *csv, struct bw_trade_table *table) {
    size_t room = 1, n = table->n_columns, start = csv->at;
    for (size_t i = start; i < csv->place.length; i++) room += csv->place.text[i] == '\n';
    if (room > BW_MAX_TABLE_ROWS) room = BW_MAX_TABLE_ROWS;
    struct bw_csv_cell *cells = bw_arena_array(csv->arena, room * n, sizeof *cells);
    if (cells == NULL) return bw_fail_memory(csv->err);
    table->cells = cells;
    while (!bw_csv_done(csv)) {
        if (table->n_rows == room) {
            bw_fail(csv->err, BW_LIMIT, "more than %d rows", BW_MAX_TABLE_ROWS);
            bw_err_mend(csv->err, "split the table");
            return bw_csv_blame(csv, csv->at);
        }
        if (!read_row(csv, cells + table->n_rows * n, n)) return false;
        table->n_rows++;
    }
    if (table->n_rows > 0) return true;
    bw_fail(csv->err, BW_INPUT, "a table without rows");
    bw_err_mend(csv->err, "write at least one row under the units");
    return bw_csv_blame(csv, start);
}

// Every row has a name of its own and says where it comes from.
static bool check_row(const struct bw_trade_table *table, size_t row, size_t source,
                      struct bw_err *err) {
    const struct bw_csv_cell *cells = table->cells + row * table->n_columns;
    const char *name = table->columns[0].name;
    if (cells[0].length == 0) {
        bw_fail(err, BW_INPUT, "a row without a name");
        bw_err_mend(err, "the first column names the row");
        return blame_cell(table, &cells[0], name, err);
    }
    if (cells[source].length == 0) {
        bw_fail(err, BW_INPUT, "a row without a source");
        bw_err_mend(err, "say where it comes from; \"common practice, no source\" is allowed");
        return blame_cell(table, &cells[source], "source", err);
    }
    for (size_t other = 0; other < row; other++) {
        const struct bw_csv_cell *twin = table->cells + other * table->n_columns;
        if (strcasecmp(twin->text, cells[0].text) != 0) continue;
        bw_fail(err, BW_INPUT, "the same name as in line %d", twin->line);
        bw_err_mend(err, "take one of the two rows out");
        return blame_cell(table, &cells[0], name, err);
    }
    return true;
}

static bool check_rows(const struct bw_trade_table *table, struct bw_err *err) {
    size_t n = table->n_columns, source = bw_trade_column_find(table, "source");
    if (source == n || bw_trade_column_find(table, "status") == n) {
        bw_fail(err, BW_INPUT, "no column %s", source == n ? "source" : "status");
        bw_err_mend(err, "every row says where it comes from: end with source,status,note");
        return blame_cell(table, &table->columns[n - 1].at_name, NULL, err);
    }
    for (size_t row = 0; row < table->n_rows; row++)
        if (!check_row(table, row, source, err)) return false;
    return true;
}

bool bw_trade_table_read(struct bw_arena *arena, const char *file, const char *bytes, size_t length,
                         const struct bw_trade_table **out, struct bw_err *err) {
    struct bw_csv csv;
    struct bw_trade_table *table = bw_arena_get(arena, sizeof *table);
    if (table == NULL) return bw_fail_memory(err);
    *table = (struct bw_trade_table){.file = file, .bytes = bytes, .length = length};
    if (!bw_csv_begin(&csv, arena, file, bytes, length, err) || !read_notes(&csv, table) ||
        !read_header(&csv, table) || !read_rows(&csv, table) || !check_rows(table, err))
        return false;
    *out = table;
    return true;
}

// ---- binding ----

// Unit row against field list: a quantity has a unit of its dimension, a count is a plain number,
// all else words.
static bool check_unit(const struct bw_trade_table *table, const struct bw_trade_column *column,
                       const struct bw_field *field, struct bw_err *err) {
    bool plain = strcmp(column->unit, BW_TRADE_PLAIN) == 0, none = column->unit[0] == '\0', right;
    const char *wanted = field->kind == BW_COUNT ? BW_TRADE_PLAIN : NO_UNIT;
    double factor, offset;
    if (field->kind == BW_COUNT) {
        right = plain;
    } else if (field->kind != BW_QUANTITY) {
        right = none;
    } else {
        wanted = bw_dim_unit(field->dim, BW_UNITS_SI);
        bool bare = field->dim == BW_DIM_NUMBER || field->dim == BW_DIM_RATIO;
        right = (bare && plain) || (!none && bw_unit_read(column->unit, strlen(column->unit),
                                                          field->dim, &factor, &offset, err));
    }
    if (right) return true;
    bw_fail(err, BW_INPUT, "the wrong unit for %s", field->help);
    bw_err_mend(err, "write %s", wanted[0] == '\0' ? BW_TRADE_PLAIN : wanted);
    return blame_cell(table, &column->at_unit, column->name, err);
}

static bool check_columns(const struct bw_trade_table *table, const struct bw_record *record,
                          struct bw_err *err) {
    for (size_t i = 0; i < table->n_columns; i++) {
        const struct bw_trade_column *column = &table->columns[i];
        const struct bw_field *field = bw_field_find(record, column->name);
        if (field == NULL) {
            bw_fail(err, BW_INPUT, "an unknown column");
            bw_err_mend(err, "take it out, or add the field to the table's record");
            return blame_cell(table, &column->at_name, NULL, err);
        }
        if (!check_unit(table, column, field, err)) return false;
    }
    for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
        if (bw_trade_column_find(table, field->name) < table->n_columns) continue;
        bw_fail(err, BW_INPUT, "no column %s", field->name);
        bw_err_mend(err, "add it; leave cells empty where nothing is known");
        return blame_cell(table, &table->columns[0].at_name, NULL, err);
    }
    return true;
}

// A cell as a node, NULL for an empty one. A number gets its column's unit, for the binder to read.
static bool cell_node(struct bw_arena *arena, const struct bw_trade_table *table,
                      const struct bw_trade_column *column, const struct bw_csv_cell *cell,
                      struct bw_node **out, struct bw_err *err) {
    *out = NULL;
    if (cell->length == 0) return true;
    const char *text = cell->text;
    if (column->unit[0] != '\0') {
        struct bw_err why = {0};
        double v;
        if (!bw_number(cell->text, cell->length, &v, &why)) {
            bw_fail(err, why.code, "%s", why.what);
            bw_err_mend(err, "write the bare number; its unit stands under the column's name");
            return blame_cell(table, cell, column->name, err);
        }
        if (strcmp(column->unit, BW_TRADE_PLAIN) != 0)
            text = bw_arena_format(arena, "%s %s", cell->text, column->unit);
        if (text == NULL) return bw_fail_memory(err);
    }
    struct bw_node *node = bw_node_text(arena, text, strlen(text));
    if (node == NULL) return bw_fail_memory(err);
    node->line = node->key_line = cell->line;
    node->column = node->key_column = cell->column;
    *out = node;
    return true;
}

static bool bind_row(const struct bw_binding *binding, const struct bw_trade_table *table,
                     size_t row, const struct bw_record *record, void *out, struct bw_err *err) {
    const struct bw_csv_cell *cells = table->cells + row * table->n_columns;
    struct bw_node *map = bw_node_new(binding->arena, BW_NODE_MAP);
    if (map == NULL) return bw_fail_memory(err);
    map->line = cells[0].line;
    map->column = cells[0].column;
    for (size_t i = 0; i < table->n_columns; i++) {
        struct bw_node *node;
        if (!cell_node(binding->arena, table, &table->columns[i], &cells[i], &node, err))
            return false;
        if (node != NULL && !bw_node_add_key(binding->arena, map, table->columns[i].name, node))
            return bw_fail_memory(err);
    }
    return bw_bind(binding, map, record, out, err);
}

bool bw_trade_table_bind(struct bw_arena *arena, const struct bw_trade_table *table,
                         const struct bw_record *record, struct bw_list *out, struct bw_err *err) {
    if (!check_columns(table, record, err)) return false;
    char *rows = bw_arena_array(arena, table->n_rows, record->size);
    if (rows == NULL) return bw_fail_memory(err);
    const struct bw_binding binding = {.arena = arena,
                                       .file = table->file,
                                       .source = table->bytes,
                                       .source_length = table->length};
    for (size_t row = 0; row < table->n_rows; row++)
        if (!bind_row(&binding, table, row, record, rows + row * record->size, err)) return false;
    *out = (struct bw_list){.items = rows, .n = table->n_rows};
    return true;
}

// ---- carried tables ----

// Tables lie flat in data/; checks and the like have folders.
static bool refuse_name(const char *name, struct bw_err *err) {
    struct bw_words words = {.n = 0};
    char stems[BW_MAX_SUGGEST_WORDS][40];
    for (size_t i = 0; bw_embedded_name(i) != NULL && words.n < BW_MAX_SUGGEST_WORDS; i++) {
        const char *file = bw_embedded_name(i), *end = strstr(file, ".csv");
        if (end == NULL || strchr(file, '/') != NULL) continue;
        (void)snprintf(stems[words.n], sizeof *stems, "%.*s", (int)(end - file), file);
        bw_words_add(&words, stems[words.n]);
    }
    bw_fail(err, BW_NOT_FOUND, "no table of that name");
    bw_err_value(err, name);
    bw_words_mend(&words, name, "there are", err);
    return false;
}

bool bw_trade_table_open(struct bw_arena *arena, const char *name,
                         const struct bw_trade_table **out, struct bw_err *err) {
    const char *file = bw_arena_format(arena, "data/%s.csv", name), *bytes = NULL;
    size_t length = 0;
    if (file == NULL) return bw_fail_memory(err);
    if (!bw_embedded_find(file + strlen("data/"), &bytes, &length)) return refuse_name(name, err);
    return bw_trade_table_read(arena, file, bytes, length, out, err);
}

bool bw_trade_table_load(struct bw_arena *arena, const struct bw_trade_carried *carried,
                         struct bw_list *out, struct bw_err *err) {
    const struct bw_trade_table *table;
    struct bw_list rows;
    if (!bw_trade_table_open(arena, carried->name, &table, err) ||
        !bw_trade_table_bind(arena, table, carried->record, &rows, err))
        return false;
    if (carried->check != NULL && !carried->check(table, rows.items, err)) return false;
    *out = rows;
    return true;
}
