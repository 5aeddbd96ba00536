// csv_nodes.c - see csv_nodes.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/csv_nodes.h"

#include <string.h>

#define MOST_COLUMNS 40  // a record has a dozen fields; more is another kind of file

struct column {
    struct bw_csv_cell at;
    const char *name, *unit;  // unit NULL: none
};

// "area [m2]" is the column area, whose cells are in m2.
static bool column_of(struct bw_arena *arena, const struct bw_csv_cell *cell, struct column *out) {
    const char *open = strchr(cell->text, '[');
    size_t length = cell->length;
    *out = (struct column){.at = *cell, .name = cell->text};
    if (open == NULL || cell->text[length - 1] != ']') return true;
    size_t name = (size_t)(open - cell->text), unit = length - name - 2;
    while (name > 0 && cell->text[name - 1] == ' ') name--;
    out->name = bw_arena_text(arena, cell->text, name);
    out->unit = bw_arena_text(arena, open + 1, unit);
    return out->name != NULL && out->unit != NULL;
}

static bool add_cell(struct bw_arena *arena, struct bw_node *map, const struct column *column,
                     const struct bw_csv_cell *cell) {
    if (cell->length == 0) return true;
    const char *text = column->unit == NULL
                           ? cell->text
                           : bw_arena_format(arena, "%s %s", cell->text, column->unit);
    struct bw_node *node = text == NULL ? NULL : bw_node_text(arena, text, strlen(text));
    if (node == NULL) return false;
    node->line = cell->line;
    node->column = cell->column;
    node->key_line = column->at.line;
    node->key_column = column->at.column;
    return bw_node_add_key(arena, map, column->name, node);
}

static bool skip_comments(struct bw_csv *csv) {
    const char *text;
    size_t length;
    while (bw_csv_comment(csv, &text, &length)) continue;
    return !bw_csv_done(csv);
}

static bool same_column_twice(struct bw_csv *csv, const struct column *names, size_t n) {
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < i; j++) {
            if (strcmp(names[i].name, names[j].name) != 0) continue;
            (void)bw_fail(csv->err, BW_INPUT, "two columns have the same name");
            bw_err_value(csv->err, names[i].name);
            bw_err_mend(csv->err, "keep one of the two");
            return !bw_csv_blame(csv, names[i].at.offset);
        }
    }
    return false;
}

static bool items(struct bw_csv *csv, const struct column *names, size_t n, struct bw_node *list) {
    while (skip_comments(csv)) {
        struct bw_csv_cell cells[MOST_COLUMNS];
        size_t found;
        if (!bw_csv_row(csv, cells, MOST_COLUMNS, &found)) return false;
        if (found != n) {
            (void)bw_fail(csv->err, BW_INPUT, "this row has %zu cells, the first row %zu", found,
                          n);
            bw_err_mend(csv->err, "give one cell a column; leave it empty where nothing is known");
            return bw_csv_blame(csv, cells[0].offset);
        }
        struct bw_node *map = bw_node_new(csv->arena, BW_NODE_MAP);
        if (map == NULL) return bw_fail_memory(csv->err);
        map->line = cells[0].line;
        map->column = 1;
        for (size_t i = 0; i < n; i++)
            if (!add_cell(csv->arena, map, &names[i], &cells[i])) return bw_fail_memory(csv->err);
        bw_node_add(list, map);
    }
    return true;
}

bool bw_csv_nodes(struct bw_arena *arena, const char *file, const char *bytes, size_t length,
                  struct bw_node **out, struct bw_err *err) {
    struct bw_csv csv;
    struct bw_csv_cell cells[MOST_COLUMNS];
    struct column names[MOST_COLUMNS];
    size_t n;
    struct bw_node *list = bw_node_new(arena, BW_NODE_LIST);
    if (list == NULL) return bw_fail_memory(err);
    if (!bw_csv_begin(&csv, arena, file, bytes, length, err)) return false;
    if (!skip_comments(&csv)) {
        (void)bw_fail(err, BW_INPUT, "the file holds no rows");
        bw_err_file(err, file);
        return false;
    }
    if (!bw_csv_row(&csv, cells, MOST_COLUMNS, &n)) return false;
    for (size_t i = 0; i < n; i++)
        if (!column_of(arena, &cells[i], &names[i])) return bw_fail_memory(err);
    if (same_column_twice(&csv, names, n) || !items(&csv, names, n, list)) return false;
    *out = list;
    return true;
}
