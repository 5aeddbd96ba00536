// csv.c - see csv.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/csv.h"

#include <string.h>

bool bw_csv_blame(struct bw_csv *csv, size_t offset) {
    return bw_place_blame(&csv->place, offset, csv->err);
}

static bool refuse(struct bw_csv *csv, size_t offset, const char *what, const char *mend) {
    bw_fail(csv->err, BW_SYNTAX, "%s", what);
    bw_err_mend(csv->err, "%s", mend);
    return bw_csv_blame(csv, offset);
}

// The byte at `at`, '\0' at the end of the text (where NUL cannot stand).
static char next(const struct bw_csv *csv) {
    return csv->at < csv->place.length ? csv->place.text[csv->at] : '\0';
}

static bool at_line_end(const struct bw_csv *csv) {
    return next(csv) == '\0' || next(csv) == '\n' || next(csv) == '\r';
}

static void skip_line_end(struct bw_csv *csv) {
    if (next(csv) == '\r') csv->at++;
    if (next(csv) == '\n') csv->at++;
}

bool bw_csv_begin(struct bw_csv *csv, struct bw_arena *arena, const char *file, const char *bytes,
                  size_t length, struct bw_err *err) {
    if (length > BW_MAX_DOCUMENT_BYTES) {
        bw_fail(err, BW_LIMIT, "the table is longer than %zu bytes", BW_MAX_DOCUMENT_BYTES);
        bw_err_file(err, file);
        return false;
    }
    *csv = (struct bw_csv){
        .arena = arena, .err = err, .place = bw_place_begin(file, bytes, length)};
    if (!bw_place_check_text(&csv->place, err)) return false;
    for (size_t i = 0; i < csv->place.length; i++) {
        const char *at = csv->place.text + i;
        if (*at == '\t') return refuse(csv, i, "a tab in the text", "write a comma or a blank");
        if (*at == '\r' && (i + 1 == csv->place.length || at[1] != '\n'))
            return refuse(csv, i, "a carriage return without a line feed",
                          "save the file with LF or CR LF line ends");
    }
    return true;
}

bool bw_csv_done(const struct bw_csv *csv) { return csv->at == csv->place.length; }

bool bw_csv_comment(struct bw_csv *csv, const char **text, size_t *length) {
    if (next(csv) != '#') return false;
    size_t from = ++csv->at;
    while (!at_line_end(csv)) csv->at++;
    size_t to = csv->at;
    while (from < to && csv->place.text[from] == ' ') from++;
    while (from < to && csv->place.text[to - 1] == ' ') to--;
    skip_line_end(csv);
    *text = csv->place.text + from;
    *length = to - from;
    return true;
}

// Keeps text[from, at) as the cell's; `doubled` counts the quotes that are written twice in it.
static bool keep(struct bw_csv *csv, size_t from, size_t doubled, struct bw_csv_cell *cell) {
    size_t length = csv->at - from, n = 0;
    if (length > BW_MAX_TABLE_CELL) {
        bw_fail(csv->err, BW_LIMIT, "a cell of %zu bytes", length);
        bw_err_mend(csv->err, "at most %d; write less", BW_MAX_TABLE_CELL);
        return bw_csv_blame(csv, cell->offset);
    }
    char *text = bw_arena_get(csv->arena, length - doubled + 1);
    if (text == NULL) return bw_fail_memory(csv->err);
    for (size_t i = from; i < csv->at; i++) {
        text[n++] = csv->place.text[i];
        if (doubled > 0 && csv->place.text[i] == '"') i++;
    }
    cell->text = text;
    cell->length = n;
    return true;
}

static bool quoted_cell(struct bw_csv *csv, struct bw_csv_cell *cell) {
    size_t from = ++csv->at, doubled = 0;
    for (;; csv->at++) {
        if (bw_csv_done(csv))
            return refuse(csv, cell->offset, "a quoted cell that never ends", "close it with \"");
        if (next(csv) != '"') continue;
        if (csv->at + 1 == csv->place.length || csv->place.text[csv->at + 1] != '"') break;
        doubled++;
        csv->at++;
    }
    if (!keep(csv, from, doubled, cell)) return false;
    csv->at++;
    if (at_line_end(csv) || next(csv) == ',') return true;
    return refuse(csv, csv->at, "text after the closing quote",
                  "put a comma after the quote, or write inner quotes twice");
}

static bool bare_cell(struct bw_csv *csv, struct bw_csv_cell *cell) {
    size_t from = csv->at;
    for (; !at_line_end(csv) && next(csv) != ','; csv->at++)
        if (next(csv) == '"')
            return refuse(csv, csv->at, "a quote in the middle of a cell",
                          "put the whole cell in quotes and write inner quotes twice");
    const char *text = csv->place.text;
    if (csv->at > from && (text[from] == ' ' || text[csv->at - 1] == ' '))
        return refuse(csv, from, "a blank beside a comma or at the end of a line",
                      "take it out, or put the cell in quotes if it belongs to the text");
    return keep(csv, from, 0, cell);
}

bool bw_csv_row(struct bw_csv *csv, struct bw_csv_cell *cells, size_t max, size_t *n_out) {
    size_t start = csv->at, n = 0;
    if (bw_csv_done(csv))
        return refuse(csv, start, "the table ends too early", "add what is missing");
    if (at_line_end(csv)) return refuse(csv, start, "an empty line", "take it out");
    for (;; csv->at++) {
        if (n == max) {
            bw_fail(csv->err, BW_LIMIT, "more than %zu cells", max);
            bw_err_mend(csv->err, "look for a comma too many, or quote a text that has commas");
            return bw_csv_blame(csv, csv->at);
        }
        struct bw_csv_cell *cell = &cells[n++];
        bw_place_move(&csv->place, csv->at);
        *cell = (struct bw_csv_cell){
            .offset = csv->at, .line = csv->place.line, .column = csv->place.column};
        if (!(next(csv) == '"' ? quoted_cell(csv, cell) : bare_cell(csv, cell))) return false;
        if (at_line_end(csv)) break;
    }
    skip_line_end(csv);
    *n_out = n;
    return true;
}
