// csv.c - see csv.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/csv.h"

#include "base/utf8.h"

#include <string.h>

// The line end at `at`: its length, 0 if there is none.
static size_t line_end(const char *at, const char *end) {
    if (at < end && *at == '\n') return 1;
    if (at + 1 < end && at[0] == '\r' && at[1] == '\n') return 2;
    return 0;
}

static bool at_line_end(const struct bw_csv *csv) {
    return csv->at == csv->end || line_end(csv->at, csv->end) > 0;
}

static void next_line(struct bw_csv *csv) {
    csv->at += line_end(csv->at, csv->end);
    csv->line_start = csv->at;
    csv->line++;
}

static int column(const struct bw_csv *csv) {
    return 1 + (int)bw_utf8_characters(csv->line_start, (size_t)(csv->at - csv->line_start));
}

bool bw_csv_blame(const struct bw_csv *csv) {
    const char *stop = csv->line_start;
    while (stop < csv->end && line_end(stop, csv->end) == 0) stop++;
    bw_err_file(csv->err, csv->file);
    bw_err_place(csv->err, csv->line, column(csv));
    bw_err_excerpt(csv->err, csv->line_start, (size_t)(stop - csv->line_start));
    return false;
}

static bool refuse(const struct bw_csv *csv, const char *what, const char *mend) {
    bw_fail(csv->err, BW_SYNTAX, "%s", what);
    bw_err_mend(csv->err, "%s", mend);
    return bw_csv_blame(csv);
}


// Goes through all bytes once, so that no reader further on meets one it cannot show.
static bool scan(struct bw_csv csv) {
    while (csv.at < csv.end) {
        uint32_t codepoint = 0;
        size_t step = bw_utf8_step(csv.at, (size_t)(csv.end - csv.at), &codepoint);
        if (step == 0) return refuse(&csv, "not UTF-8 text", "save the file as UTF-8");
        if (line_end(csv.at, csv.end) > 0) {
            next_line(&csv);
            continue;
        }
        if (codepoint == '\r')
            return refuse(&csv, "a carriage return without a line feed",
                          "save the file with LF or CR LF line ends");
        if (codepoint < 0x20 || codepoint == 0x7f)
            return refuse(&csv, "a control character in the text", "take it out");
        csv.at += step;
    }
    return true;
}

bool bw_csv_begin(struct bw_csv *csv, struct bw_arena *arena, const char *file, const char *bytes,
                  size_t length, struct bw_err *err) {
    static const char BYTE_ORDER_MARK[] = "\xef\xbb\xbf";
    if (length > BW_MAX_DOCUMENT_BYTES) {
        bw_fail(err, BW_LIMIT, "the table is longer than %zu bytes", BW_MAX_DOCUMENT_BYTES);
        bw_err_file(err, file);
        return false;
    }
    *csv = (struct bw_csv){.arena = arena, .err = err, .file = file, .at = bytes,
                           .end = bytes + length, .line_start = bytes, .line = 1};
    // Spreadsheets write the mark unasked; it says nothing that is not known.
    if (length >= 3 && memcmp(bytes, BYTE_ORDER_MARK, 3) == 0) csv->at = csv->line_start = bytes + 3;
    return scan(*csv);
}

bool bw_csv_done(const struct bw_csv *csv) { return csv->at == csv->end; }

bool bw_csv_comment(struct bw_csv *csv, const char **text, size_t *length) {
    if (bw_csv_done(csv) || *csv->at != '#') return false;
    const char *from = csv->at + 1;
    while (!at_line_end(csv)) csv->at++;
    const char *to = csv->at;
    while (from < to && *from == ' ') from++;
    while (from < to && to[-1] == ' ') to--;
    next_line(csv);
    *text = from;
    *length = (size_t)(to - from);
    return true;
}

// Keeps a cell's text; `doubled` of its `length` bytes are the second of two quotes.
static bool keep(const struct bw_csv *csv, const char *from, size_t length, size_t doubled,
                 struct bw_csv_cell *out) {
    if (length > BW_MAX_TABLE_CELL) {
        bw_fail(csv->err, BW_LIMIT, "a cell of %zu bytes", length);
        bw_err_mend(csv->err, "at most %d; write less", BW_MAX_TABLE_CELL);
        return bw_csv_blame(csv);
    }
    char *text = bw_arena_get(csv->arena, length - doubled + 1);
    if (text == NULL) return bw_fail_memory(csv->err);
    size_t n = 0;
    for (size_t i = 0; i < length; i++) {
        text[n++] = from[i];
        if (doubled > 0 && from[i] == '"') i++;
    }
    out->text = text;
    out->length = n;
    return true;
}

static bool quoted_cell(struct bw_csv *csv, struct bw_csv_cell *out) {
    struct bw_csv open = *csv;
    const char *from = ++csv->at;
    size_t doubled = 0;
    for (;;) {
        if (csv->at == csv->end)
            return refuse(&open, "a quoted cell that never ends", "close it with \"");
        size_t line = line_end(csv->at, csv->end);
        if (line > 0) {
            next_line(csv);
        } else if (*csv->at != '"') {
            csv->at++;
        } else if (csv->at + 1 < csv->end && csv->at[1] == '"') {
            doubled++;
            csv->at += 2;
        } else {
            break;
        }
    }
    if (!keep(&open, from, (size_t)(csv->at - from), doubled, out)) return false;
    csv->at++;
    if (!at_line_end(csv) && *csv->at != ',')
        return refuse(csv, "text after the closing quote",
                      "put a comma after the quote, or write inner quotes twice");
    return true;
}

static bool bare_cell(struct bw_csv *csv, struct bw_csv_cell *out) {
    struct bw_csv start = *csv;
    while (!at_line_end(csv) && *csv->at != ',') {
        if (*csv->at == '"')
            return refuse(csv, "a quote in the middle of a cell",
                          "put the whole cell in quotes and write inner quotes twice");
        csv->at++;
    }
    size_t length = (size_t)(csv->at - start.at);
    if (length > 0 && (*start.at == ' ' || csv->at[-1] == ' '))
        return refuse(&start, "a blank beside a comma or at the end of a line",
                      "take it out, or put the cell in quotes if it belongs to the text");
    return keep(&start, start.at, length, 0, out);
}

bool bw_csv_row(struct bw_csv *csv, struct bw_csv_cell *cells, size_t max, size_t *n_out) {
    struct bw_csv start = *csv;
    if (bw_csv_done(csv)) return refuse(csv, "the table ends too early", "add the missing rows");
    if (at_line_end(csv)) return refuse(csv, "an empty line", "take it out");
    size_t n = 0;
    for (;;) {
        if (n == max) {
            bw_fail(csv->err, BW_LIMIT, "more than %zu columns", max);
            bw_err_mend(csv->err, "look for a comma too many, or put a text with commas in quotes");
            return bw_csv_blame(&start);
        }
        struct bw_csv_cell *cell = &cells[n++];
        *cell = (struct bw_csv_cell){.line = csv->line, .column = column(csv)};
        bool quoted = csv->at < csv->end && *csv->at == '"';
        if (!(quoted ? quoted_cell(csv, cell) : bare_cell(csv, cell))) return false;
        if (at_line_end(csv)) break;
        csv->at++;
    }
    if (!bw_csv_done(csv)) next_line(csv);
    *n_out = n;
    return true;
}
