// tables.c - see tables.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/tables.h"

#include "base/number.h"
#include "trade/bearing.h"
#include "trade/belting.h"
#include "trade/earth.h"
#include "trade/fitting.h"
#include "trade/grit.h"
#include "trade/hood.h"
#include "trade/sanding.h"
#include "trade/timber.h"
#include "trade/wood.h"

#include <string.h>
#include <strings.h>

static const struct bw_trade_carried *const CARRIED[] = {
    &bw_grits_carried,
    &bw_woods_carried,
    &bw_removal_carried,
    &bw_cutting_carried,
    &bw_finishes_carried,
    &bw_contacts_carried,
    &bw_backings_carried,
    &bw_joints_carried,
    &bw_coats_carried,
    &bw_minerals_carried,
    &bw_bearings_carried,
    &bw_elbows_carried,
    &bw_gates_carried,
    &bw_hoods_carried,
    &bw_movement_carried,
    &bw_soils_carried,
    NULL,
};

const struct bw_trade_carried *const *bw_trade_tables(void) { return CARRIED; }

// ---- filtering ----

static const struct bw_csv_cell *row_cells(const struct bw_trade_table *table, size_t row) {
    return table->cells + row * table->n_columns;
}

static bool is_row_name(const struct bw_trade_table *table, const char *word) {
    for (size_t row = 0; row < table->n_rows; row++)
        if (strcasecmp(row_cells(table, row)->text, word) == 0) return true;
    return false;
}

static bool occurs(const char *text, const char *word) {
    size_t length = strlen(word);
    for (; strlen(text) >= length; text++)
        if (strncasecmp(text, word, length) == 0) return true;
    return false;
}

static bool row_has(const struct bw_trade_table *table, size_t row, const char *word) {
    const struct bw_csv_cell *cells = row_cells(table, row);
    if (is_row_name(table, word)) return strcasecmp(cells[0].text, word) == 0;
    for (size_t i = 0; i < table->n_columns; i++)
        if (occurs(cells[i].text, word)) return true;
    return false;
}

bool bw_trade_table_filter(struct bw_arena *arena, const struct bw_trade_table *table,
                           const char *const words[], size_t n_words, struct bw_trade_rows *out,
                           struct bw_err *err) {
    size_t *items = bw_arena_array(arena, table->n_rows, sizeof *items), n = 0;
    if (items == NULL) return bw_fail_memory(err);
    // A name of two words comes from a command line as two.
    const char *name = n_words > 0 ? words[0] : "";
    for (size_t i = 1; i < n_words && name != NULL; i++)
        name = bw_arena_format(arena, "%s %s", name, words[i]);
    if (name == NULL) return bw_fail_memory(err);
    if (n_words > 1 && is_row_name(table, name)) {
        words = &name;
        n_words = 1;
    }
    for (size_t row = 0; row < table->n_rows; row++) {
        bool kept = true;
        for (size_t i = 0; i < n_words && kept; i++) kept = row_has(table, row, words[i]);
        if (kept) items[n++] = row;
    }
    *out = (struct bw_trade_rows){.items = items, .n = n};
    return true;
}

// ---- as a person reads it ----

static const char *source_of(const struct bw_trade_table *table, size_t row) {
    return row_cells(table, row)[bw_trade_column_find(table, "source")].text;
}

// The long sources are told once, under the table; rows carry their numbers. NULL: out of memory.
static const size_t *number_sources(const struct bw_trade_table *table, struct bw_trade_rows rows,
                                    struct bw_arena *arena) {
    size_t *numbers = bw_arena_array(arena, rows.n, sizeof *numbers), known = 0;
    if (numbers == NULL) return NULL;
    for (size_t k = 0; k < rows.n; k++) {
        size_t same = 0;
        while (same < k && strcmp(source_of(table, rows.items[same]),
                                  source_of(table, rows.items[k])) != 0)
            same++;
        numbers[k] = same < k ? numbers[same] : ++known;
    }
    return numbers;
}

static void print_rows(const struct bw_trade_table *table, struct bw_trade_rows rows,
                       const size_t *sources, struct bw_text *text) {
    size_t n = table->n_columns, source = bw_trade_column_find(table, "source");
    char align[BW_MAX_TABLE_COLUMNS + 1];
    const char *titles[BW_MAX_TABLE_COLUMNS + 1];
    for (size_t i = 0; i < n; i++) {
        const struct bw_trade_column *column = &table->columns[i];
        bool number = column->unit[0] != '\0';
        const char *unit = strcmp(column->unit, BW_TRADE_PLAIN) == 0 ? "" : column->unit;
        char *title = bw_arena_format(text->arena, "%s%s%s", column->name,
                                      unit[0] == '\0' ? "" : " ", unit);
        for (char *at = title; at != NULL && *at != '\0'; at++)
            if (*at == '_') *at = ' ';
        titles[i] = title == NULL ? "?" : title;
        align[i] = number ? 'd' : i == source ? 'r' : 'l';
    }
    align[n] = '\0';
    titles[n] = NULL;
    bw_text_table(text, align, titles);
    for (size_t k = 0; k < rows.n; k++) {
        const struct bw_csv_cell *cells = row_cells(table, rows.items[k]);
        for (size_t i = 0; i < n; i++) {
            if (i == source)
                bw_text_cell(text, "%zu", sources[k]);
            else
                bw_text_cell(text, "%s", cells[i].text);
        }
    }
    bw_text_table_end(text);
}

void bw_trade_table_text(const struct bw_trade_table *table, struct bw_trade_rows rows,
                         struct bw_text *text) {
    bw_text_heading(text, "%s", table->title);
    if (rows.n == 0) {
        bw_text_para(text, "No row holds all of these words.");
        return;
    }
    const size_t *sources = number_sources(table, rows, text->arena);
    if (sources == NULL) {
        text->out.failed = true;
        return;
    }
    print_rows(table, rows, sources, text);
    bw_text_gap(text);
    bw_text_para(text, "Sources");
    size_t told = 0;
    for (size_t k = 0; k < rows.n; k++) {
        if (sources[k] <= told) continue;
        told = sources[k];
        char mark[24];
        (void)snprintf(mark, sizeof mark, "%zu. ", told);
        bw_text_item(text, mark, "%s", source_of(table, rows.items[k]));
    }
    for (size_t i = 0; i < table->n_notes; i++) {
        bw_text_gap(text);
        bw_text_para(text, "%s", table->notes[i]);
    }
}

// ---- as a program reads it ----

static void json_columns(const struct bw_trade_table *table, struct bw_json *json) {
    bw_json_key(json, "columns");
    bw_json_open(json, '[');
    for (size_t i = 0; i < table->n_columns; i++) {
        bw_json_open(json, '{');
        bw_json_key(json, "name");
        bw_json_text(json, table->columns[i].name);
        if (table->columns[i].unit[0] != '\0') {
            bw_json_key(json, "unit");
            bw_json_text(json, table->columns[i].unit);
        }
        bw_json_close(json, '}');
    }
    bw_json_close(json, ']');
}

static void json_row(const struct bw_trade_table *table, size_t row, struct bw_json *json) {
    const struct bw_csv_cell *cells = row_cells(table, row);
    bw_json_open(json, '{');
    for (size_t i = 0; i < table->n_columns; i++) {
        struct bw_err ignored = {0};
        double v;
        if (cells[i].length == 0) continue;
        bw_json_key(json, table->columns[i].name);
        if (table->columns[i].unit[0] != '\0' &&
            bw_number(cells[i].text, cells[i].length, &v, &ignored))
            bw_json_number(json, v);
        else
            bw_json_text(json, cells[i].text);
    }
    bw_json_close(json, '}');
}

void bw_trade_table_json(const struct bw_trade_table *table, struct bw_trade_rows rows,
                         struct bw_json *json) {
    bw_json_open(json, '{');
    bw_json_key(json, "shape");
    bw_json_text(json, "table/1");
    bw_json_key(json, "title");
    bw_json_text(json, table->title);
    bw_json_key(json, "notes");
    bw_json_open(json, '[');
    for (size_t i = 0; i < table->n_notes; i++) bw_json_text(json, table->notes[i]);
    bw_json_close(json, ']');
    json_columns(table, json);
    bw_json_key(json, "rows");
    bw_json_open(json, '[');
    for (size_t k = 0; k < rows.n; k++) json_row(table, rows.items[k], json);
    bw_json_close(json, ']');
    bw_json_close(json, '}');
}
