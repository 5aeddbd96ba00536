// text.c - see text.h: the plain form. Paragraphs and cells go through one wrapping routine.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/text_part.h"

#include "base/utf8.h"

#include <assert.h>
#include <string.h>

#define NO_BREAK "\xc2\xa0"
#define NARROWEST 16  // columns left for wrapped text, however narrow the terminal
#define BETWEEN 2     // columns between two columns of a table

// ---- lines --------------------------------------------------------------------------------------

static size_t width_of(const struct bw_text *text) {
    return text->width <= 0 ? 80 : (size_t)text->width;
}

static size_t room_beside(const struct bw_text *text, size_t used) {
    size_t width = width_of(text);
    return width >= used + NARROWEST ? width - used : NARROWEST;
}

// Adds a line's text with its no-break spaces (and a cell's line breaks) as spaces.
static void add(struct bw_buffer *out, const char *text, size_t length) {
    for (size_t i = 0; i < length; i++) {
        bool no_break = i + 1 < length && memcmp(text + i, NO_BREAK, 2) == 0;
        bw_buffer_char(out, no_break || text[i] == '\n' ? ' ' : text[i]);
        if (no_break) i++;
    }
}

static void end_line(struct bw_buffer *out) {
    while (out->length > 0 && out->data[out->length - 1] == ' ') out->length--;
    bw_buffer_char(out, '\n');
}

static size_t word_length(const char *text) { return strcspn(text, " \n"); }

// Takes as many words as fit into `room` columns, at least one, spaces before them skipped. Returns
// the bytes of the line, and in *next where the following line begins.
static size_t take_line(const char *text, size_t room, const char **next) {
    size_t length = 0;
    const char *rest = text;
    while (*rest == ' ') rest++;
    const char *begin = rest;
    while (*rest != '\0' && *rest != '\n') {
        const char *end = rest + word_length(rest);
        if (length > 0 && bw_utf8_columns(begin, (size_t)(end - begin)) > room) break;
        length = (size_t)(end - begin);
        rest = end;
        while (*rest == ' ') rest++;
    }
    *next = *rest == '\n' ? rest + 1 : rest;
    return length;
}

static const char *skip_spaces(const char *text) { return text + strspn(text, " "); }

// Writes `whole` after `mark`, later lines hanging under the first word.
static void write_hanging(struct bw_text *text, const char *mark, const char *whole) {
    size_t hang = (size_t)text->indent + bw_utf8_columns(mark, strlen(mark));
    size_t room = room_beside(text, hang);
    bw_buffer_fill(&text->out, ' ', (size_t)text->indent);
    bw_buffer_text(&text->out, mark);
    const char *line = skip_spaces(whole), *next;
    do {
        size_t length = take_line(line, room, &next);
        if (line != skip_spaces(whole)) bw_buffer_fill(&text->out, ' ', hang);
        add(&text->out, skip_spaces(line), length);
        end_line(&text->out);
        line = next;
    } while (*line != '\0');
}

static void format_hanging(struct bw_text *text, const char *mark, const char *format, va_list args)
    BW_PRINTF(3, 0);
static void format_hanging(struct bw_text *text, const char *mark, const char *format,
                           va_list args) {
    struct bw_buffer whole = {0};
    assert(text->table == NULL);
    bw_buffer_vformat(&whole, format, args);
    if (whole.failed)
        text->out.failed = true;
    else if (text->form == BW_TEXT_HTML)
        bw_text_html_item(text, mark, whole.data);
    else
        write_hanging(text, mark, whole.data);
    bw_buffer_free(&whole);
}

static void plain_heading(struct bw_text *text, const char *whole) {
    bw_text_gap(text);
    text->indent = 0;
    write_hanging(text, "", whole);
    text->indent = 2;
}

void bw_text_heading(struct bw_text *text, const char *format, ...) {
    struct bw_buffer whole = {0};
    va_list args;
    assert(text->table == NULL);
    va_start(args, format);
    bw_buffer_vformat(&whole, format, args);
    va_end(args);
    if (whole.failed)
        text->out.failed = true;
    else if (text->form == BW_TEXT_HTML)
        bw_text_html_heading(text, whole.data);
    else
        plain_heading(text, whole.data);
    bw_buffer_free(&whole);
}

void bw_text_para(struct bw_text *text, const char *format, ...) {
    va_list args;
    va_start(args, format);
    format_hanging(text, "", format, args);
    va_end(args);
}

void bw_text_item(struct bw_text *text, const char *mark, const char *format, ...) {
    va_list args;
    va_start(args, format);
    format_hanging(text, mark, format, args);
    va_end(args);
}

void bw_text_caution(struct bw_text *text, const char *format, ...) {
    va_list args;
    va_start(args, format);
    format_hanging(text, "CAUTION  ", format, args);
    va_end(args);
}

void bw_text_gap(struct bw_text *text) {
    const struct bw_buffer *out = &text->out;
    if (text->form == BW_TEXT_HTML) return;  // the style sheet's business
    bool empty_line = out->length < 2 || memcmp(out->data + out->length - 2, "\n\n", 2) == 0;
    if (!empty_line) bw_buffer_char(&text->out, '\n');
}

// ---- tables -------------------------------------------------------------------------------------

void bw_text_table(struct bw_text *text, const char *align, const char *const titles[]) {
    size_t n = strlen(align);
    assert(text->table == NULL && n > 0 && n <= BW_TEXT_COLUMNS);
    struct bw_table *table = bw_arena_get(text->arena, sizeof *table);
    text->table = table;
    if (table == NULL) {
        text->out.failed = true;
        return;
    }
    table->n = n;
    table->filled = n;
    for (size_t i = 0; i < n; i++) {
        table->columns[i] = (struct bw_text_column){.align = align[i], .empty = true};
        table->titles.cells[i] = titles[i];
    }
}

static struct bw_text_row *open_row(struct bw_text *text) {
    struct bw_table *table = text->table;
    if (table->filled < table->n) return table->last;
    struct bw_text_row *row = bw_arena_get(text->arena, sizeof *row);
    if (row == NULL) return NULL;
    for (size_t i = 0; i < table->n; i++) row->cells[i] = "";
    if (table->last == NULL)
        table->first = row;
    else
        table->last->next = row;
    table->last = row;
    table->filled = 0;
    return row;
}

void bw_text_cell(struct bw_text *text, const char *format, ...) {
    struct bw_table *table = text->table;
    if (table == NULL) return;  // memory ran out; out.failed says so
    struct bw_text_row *row = open_row(text);
    va_list args;
    va_start(args, format);
    char *cell = row == NULL ? NULL : bw_arena_vformat(text->arena, format, args);
    va_end(args);
    if (cell == NULL) {
        text->out.failed = true;
        return;
    }
    if (cell[0] != '\0') table->columns[table->filled].empty = false;
    row->cells[table->filled++] = cell;
}

// In *split the bytes before the decimal point, or where it would stand. False: no number there.
static bool find_point(const char *cell, size_t *split) {
    size_t i = strcspn(cell, "0123456789");
    if (cell[i] == '\0') return false;
    *split = i + strspn(cell + i, "0123456789");
    return true;
}

static size_t columns_of(const char *cell) { return bw_utf8_columns(cell, strlen(cell)); }

static size_t larger(size_t a, size_t b) { return a > b ? a : b; }

static void measure_cell(struct bw_text_column *column, const char *cell) {
    size_t split;
    if (column->align == 'd' && find_point(cell, &split)) {
        column->before = larger(column->before, bw_utf8_columns(cell, split));
        column->after = larger(column->after, columns_of(cell + split));
    }
    column->width = larger(column->width, columns_of(cell));
    column->width = larger(column->width, column->before + column->after);
}

// Widths, with the last l column narrowed until the table fits. Returns that column, or n.
static size_t measure(const struct bw_text *text, struct bw_table *table) {
    size_t total = 0, last_l = table->n;
    for (size_t i = 0; i < table->n; i++) {
        struct bw_text_column *column = &table->columns[i];
        if (column->empty) continue;
        for (const struct bw_text_row *row = table->first; row != NULL; row = row->next)
            measure_cell(column, row->cells[i]);
        column->width = larger(column->width, columns_of(table->titles.cells[i]));
        total += column->width + (total > 0 ? BETWEEN : 0);
        if (column->align == 'l') last_l = i;
    }
    size_t room = room_beside(text, (size_t)text->indent);
    if (last_l < table->n && total > room) {
        struct bw_text_column *column = &table->columns[last_l];
        size_t excess = total - room;
        size_t narrowed = column->width > excess ? column->width - excess : 0;
        narrowed = larger(narrowed, NARROWEST);
        if (narrowed < column->width) column->width = narrowed;
    }
    return last_l;
}

static void pad(struct bw_buffer *out, size_t width, size_t used) {
    if (width > used) bw_buffer_fill(out, ' ', width - used);
}

static void write_cell(struct bw_buffer *out, const struct bw_text_column *column, const char *cell,
                       bool title) {
    size_t used = columns_of(cell), right = 0, split;
    if (column->align == 'd' && !title && find_point(cell, &split))
        right = column->after - columns_of(cell + split);
    if (column->align != 'l') pad(out, column->width, used + right);
    add(out, cell, strlen(cell));
    if (column->align == 'l') pad(out, column->width, used);
    bw_buffer_fill(out, ' ', right);
}

// One row over as many lines as the cell in column `wraps` needs.
static void write_row(struct bw_text *text, const struct bw_text_row *row, size_t wraps) {
    const struct bw_table *table = text->table;
    const char *rest = wraps < table->n ? row->cells[wraps] : "";
    bool more = true;
    for (bool first = true; first || more; first = false) {
        bool begun = false;
        bw_buffer_fill(&text->out, ' ', (size_t)text->indent);
        for (size_t i = 0; i < table->n; i++) {
            const struct bw_text_column *column = &table->columns[i];
            if (column->empty) continue;
            if (begun) bw_buffer_fill(&text->out, ' ', BETWEEN);
            begun = true;
            if (i == wraps) {
                const char *line = skip_spaces(rest);
                size_t length = take_line(rest, column->width, &rest);
                add(&text->out, line, length);
                pad(&text->out, column->width, bw_utf8_columns(line, length));
            } else {
                write_cell(&text->out, column, first ? row->cells[i] : "", row == &table->titles);
            }
        }
        end_line(&text->out);
        more = *rest != '\0';
    }
}

static void write_rule(struct bw_text *text) {
    const struct bw_table *table = text->table;
    bool begun = false;
    bw_buffer_fill(&text->out, ' ', (size_t)text->indent);
    for (size_t i = 0; i < table->n; i++) {
        if (table->columns[i].empty) continue;
        if (begun) bw_buffer_fill(&text->out, ' ', BETWEEN);
        begun = true;
        bw_buffer_fill(&text->out, '-', table->columns[i].width);
    }
    end_line(&text->out);
}

void bw_text_table_end(struct bw_text *text) {
    struct bw_table *table = text->table;
    bool any = table != NULL && table->first != NULL && !text->out.failed;
    if (any && text->form == BW_TEXT_HTML) {
        bw_text_html_table(text);
    } else if (any) {
        size_t wraps = measure(text, table);
        write_row(text, &table->titles, wraps);
        write_rule(text);
        for (const struct bw_text_row *row = table->first; row != NULL; row = row->next)
            write_row(text, row, wraps);
    }
    text->table = NULL;
}

// ---- values -------------------------------------------------------------------------------------

// In the arena, with spaces that do not break.
static const char *unbroken(struct bw_text *text, const char *plain, size_t length) {
    struct bw_buffer held = {0};
    for (size_t i = 0; i < length; i++) {
        if (plain[i] == ' ')
            bw_buffer_text(&held, NO_BREAK);
        else
            bw_buffer_char(&held, plain[i]);
    }
    const char *out =
        held.failed || held.length == 0 ? NULL : bw_arena_text(text->arena, held.data, held.length);
    bw_buffer_free(&held);
    if (out == NULL) text->out.failed = true;
    return out == NULL ? "?" : out;
}

const char *bw_text_quantity(struct bw_text *text, struct bw_quantity q, enum bw_dim dim) {
    char plain[BW_QUANTITY_TEXT];
    bw_quantity_text(plain, q, dim, text->units);
    return unbroken(text, plain, strlen(plain));
}

const char *bw_text_value(struct bw_text *text, struct bw_quantity q, enum bw_dim dim) {
    char plain[BW_QUANTITY_TEXT];
    if (!bw_known(q)) return "?";
    bw_quantity_text(plain, q, dim, text->units);
    const char *unit = bw_text_unit(text, dim);
    size_t length = strlen(plain), tail = strlen(unit);
    if (tail > 0 && length > tail && strcmp(plain + length - tail, unit) == 0) length -= tail;
    while (length > 0 && plain[length - 1] == ' ') length--;
    return unbroken(text, plain, length);
}

const char *bw_text_unit(const struct bw_text *text, enum bw_dim dim) {
    return bw_dim_unit(dim, text->units);
}

const char *bw_text_odds(struct bw_text *text, double probability) {
    if (isnan(probability)) return "not known";
    if (probability > 0.985) return "nearly certain";
    if (probability > 0.925) return "about 19 in 20";
    if (probability < 0.02) return "1 in 50 or less";
    if (probability < 0.035) return "about 1 in 40";
    if (probability < 0.075) return "about 1 in 20";
    char plain[32];
    (void)snprintf(plain, sizeof plain, "about %.0f in 10", round(10 * probability));
    return unbroken(text, plain, strlen(plain));
}
