// text.c - columns of numbers with or without a header, as instruments and spreadsheets write them.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// One column of heights, or places and heights. Lines before the first row of numbers are header:
// names of columns with units ("x [mm]; z [um]"), a row of units, or "spacing = 0.5 um". Columns
// are parted by ; or a tab, else by commas, else by blanks. Where commas part, numbers have points;
// elsewhere either. A lone "1,5" with nothing to tell is refused.
#include "base/number.h"
#include "read/profile/store.h"

#include <math.h>
#include <string.h>

struct line {
    const char *at;
    size_t n;
    int number;
};

struct text {
    const char *at, *end;
    struct line line;
    char part;               // what parts columns: ';', '\t', ',', ' ' ; 0: not known yet
    bool named_comma;        // the header's columns are parted by commas
    size_t columns;          // of a row of numbers
    int x_column, z_column;  // -1: none
    double x_unit, z_unit;   // m; 0: not told
    double spacing;          // m; 0: not told
    struct store *store;
    size_t rows;
    struct bw_err *err;
};

static bool bad(struct text *text, const char *what) {
    return bw_fail(text->err, BW_INPUT, "line %d: %s", text->line.number, what);
}

static bool is_blank(char c) { return c == ' ' || c == '\t'; }

// The next line without its end and the blanks around it. 1: there is one, 0: none, -1: too long.
static int next_line(struct text *text) {
    if (text->at == text->end) return 0;
    const char *begin = text->at, *at = begin;
    while (at < text->end && *at != '\n' && *at != '\r') at++;
    text->line.number++;
    text->at = at;
    if (text->at < text->end && *text->at == '\r') text->at++;
    if (text->at < text->end && at[0] == '\r' && *text->at == '\n')
        text->at++;
    else if (text->at == at && text->at < text->end)
        text->at++;
    if (at - begin > BW_MAX_PROFILE_LINE) {
        (void)bad(text, "is longer than any row of numbers");
        return -1;
    }
    // A tab at the end is an empty last column, but nothing is lost by not seeing it.
    while (begin < at && is_blank(*begin)) begin++;
    while (begin < at && is_blank(at[-1])) at--;
    text->line.at = begin;
    text->line.n = (size_t)(at - begin);
    return 1;
}

struct cells {
    struct line cell[BW_MAX_PROFILE_COLUMNS];
    size_t n;
    bool too_many;
};

static void trim(struct line *cell) {
    while (cell->n > 0 && (is_blank(cell->at[0]) || cell->at[0] == '"')) cell->at++, cell->n--;
    while (cell->n > 0 && (is_blank(cell->at[cell->n - 1]) || cell->at[cell->n - 1] == '"'))
        cell->n--;
}

static void split(struct line line, char part, struct cells *out) {
    const char *at = line.at, *end = at + line.n;
    out->n = 0;
    out->too_many = false;
    for (;;) {
        const char *begin = at;
        while (at < end && (part == ' ' ? !is_blank(*at) : *at != part)) at++;
        if (out->n == BW_MAX_PROFILE_COLUMNS) {
            out->too_many = true;
            return;
        }
        struct line *cell = &out->cell[out->n++];
        *cell = (struct line){begin, (size_t)(at - begin), line.number};
        trim(cell);
        if (at == end) return;
        at++;
        while (part == ' ' && at < end && is_blank(*at)) at++;
    }
}

// A number as this file writes it: with a point, or, where commas part nothing, with a comma.
static bool number_of(const struct text *text, struct line cell, double *out) {
    char copy[BW_NUMBER_TEXT];
    struct bw_err ignored = {0};
    if (cell.n == 0 || cell.n >= sizeof copy) return false;
    memcpy(copy, cell.at, cell.n);
    char *comma = memchr(copy, ',', cell.n);
    if (comma != NULL && text->part != ',' && memchr(copy, '.', cell.n) == NULL) *comma = '.';
    return bw_number(copy, cell.n, out, &ignored);
}

static bool is_void(struct line cell) {
    static const char *const WORDS[] = {"", "nan", "NaN", "NAN", "BAD", "bad", "-", "***", "*"};
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++)
        if (strlen(WORDS[i]) == cell.n && memcmp(WORDS[i], cell.at, cell.n) == 0) return true;
    return false;
}

// --- the header --------------------------------------------------------------------------------

// The unit told in a column's name: "z [um]", "z (um)", "z/um", "z, um", "z_um", or nothing else.
static double unit_in(struct line cell) {
    size_t end = cell.n;
    while (end > 0 && strchr("])\" ", cell.at[end - 1]) != NULL) end--;
    size_t begin = end;
    while (begin > 0 && strchr("[(/,_: ", cell.at[begin - 1]) == NULL) begin--;
    return unit_length(cell.at + begin, end - begin);
}

static bool has_word(struct line cell, const char *word) {
    size_t n = strlen(word);
    for (size_t i = 0; i + n <= cell.n; i++) {
        size_t k = 0;
        while (k < n && (cell.at[i + k] | 0x20) == word[k]) k++;
        if (k == n) return true;
    }
    return false;
}

static bool names_places(struct line cell) {
    char first = cell.n > 0 ? (char)(cell.at[0] | 0x20) : 0;
    bool lone = cell.n == 1 || (cell.n > 1 && strchr(" [(/_,", cell.at[1]) != NULL);
    return (first == 'x' && lone) || has_word(cell, "distance") || has_word(cell, "position") ||
           has_word(cell, "length");
}
static bool names_heights(struct line cell) {
    char first = cell.n > 0 ? (char)(cell.at[0] | 0x20) : 0;
    bool lone = cell.n == 1 || (cell.n > 1 && strchr(" [(/_,", cell.at[1]) != NULL);
    return ((first == 'z' || first == 'y') && lone) || has_word(cell, "height") ||
           has_word(cell, "profile") || has_word(cell, "depth");
}

// "spacing = 0.5 um", "dx: 0.0005 mm".
static void header_value(struct text *text, struct line line) {
    const char *sign = memchr(line.at, '=', line.n);
    if (sign == NULL) sign = memchr(line.at, ':', line.n);
    if (sign == NULL) return;
    struct line key = {line.at, (size_t)(sign - line.at), line.number};
    struct line value = {sign + 1, line.n - key.n - 1, line.number};
    trim(&key);
    trim(&value);
    bool is = has_word(key, "spacing") || has_word(key, "step") || has_word(key, "increment") ||
              (key.n == 2 && has_word(key, "dx"));
    size_t digits = 0;
    while (digits < value.n && strchr("0123456789.,+-eE", value.at[digits]) != NULL) digits++;
    // The exponent's letter may also begin a unit's name.
    while (digits > 0 && strchr("eE", value.at[digits - 1]) != NULL) digits--;
    double number;
    if (!is || !number_of(text, (struct line){value.at, digits, line.number}, &number)) return;
    double unit = unit_in((struct line){value.at + digits, value.n - digits, line.number});
    if (unit > 0) text->spacing = number * unit;
}

static void header_line(struct text *text, struct line line) {
    while (line.n > 0 && strchr("#%!/* ", line.at[0]) != NULL) line.at++, line.n--;
    header_value(text, line);
    char part = memchr(line.at, ';', line.n) != NULL    ? ';'
                : memchr(line.at, '\t', line.n) != NULL ? '\t'
                                                        : ',';
    struct cells cells;
    split(line, part, &cells);
    if (cells.n == 1 && memchr(line.at, ' ', line.n) != NULL && unit_in(line) == 0) return;
    int x = -1, z = -1;
    for (size_t i = 0; i < cells.n; i++) {
        if (x < 0 && names_places(cells.cell[i]))
            x = (int)i;
        else if (z < 0 && names_heights(cells.cell[i]))
            z = (int)i;
    }
    bool units = cells.n <= 2 && unit_in(cells.cell[0]) > 0 && unit_in(cells.cell[cells.n - 1]) > 0;
    if (x < 0 && z < 0 && !units) return;
    if (units && x < 0 && z < 0) {  // a row of units alone, or of names unknown here
        x = cells.n == 2 ? 0 : -1;
        z = (int)cells.n - 1;
    }
    if (part == ',' && cells.n > 1) text->named_comma = true;
    if (x >= 0) text->x_column = x;
    if (z >= 0) text->z_column = z;
    if (x >= 0 && unit_in(cells.cell[x]) > 0) text->x_unit = unit_in(cells.cell[x]);
    if (z >= 0 && unit_in(cells.cell[z]) > 0) text->z_unit = unit_in(cells.cell[z]);
}

// --- rows --------------------------------------------------------------------------------------

static bool comma_between_digits(struct line line) {
    for (size_t i = 1; i + 1 < line.n; i++)
        if (line.at[i] == ',' && line.at[i - 1] >= '0' && line.at[i - 1] <= '9' &&
            line.at[i + 1] >= '0' && line.at[i + 1] <= '9')
            return true;
    return false;
}

// What parts the columns of a line that may be the first row of numbers.
static char part_of(const struct text *text, struct line line) {
    if (memchr(line.at, ';', line.n) != NULL) return ';';
    if (memchr(line.at, '\t', line.n) != NULL) return '\t';
    if (memchr(line.at, ',', line.n) == NULL) return ' ';
    bool spaced = memchr(line.at, ' ', line.n) != NULL;
    if (text->named_comma || memchr(line.at, '.', line.n) != NULL || !comma_between_digits(line))
        return ',';
    // "0,5 1,25": blanks part, commas are decimal. "0,5": nobody knows.
    return spaced ? ' ' : '?';
}

static bool is_row(struct text *text, const struct cells *cells) {
    double ignored;
    bool some = false;
    for (size_t i = 0; i < cells->n; i++) {
        if (number_of(text, cells->cell[i], &ignored))
            some = true;
        else if (!is_void(cells->cell[i]))
            return false;
    }
    return some;
}

static bool settle_columns(struct text *text, size_t columns) {
    text->columns = columns;
    if (columns > 2 && (text->x_column < 0 || text->z_column < 0))
        return bad(text, "has more than two columns; leave the places and the heights, or name "
                         "the columns x and z above them");
    if (columns <= 2 || text->x_column >= (int)columns || text->z_column >= (int)columns) {
        text->x_column = columns == 2 ? 0 : -1;
        text->z_column = columns == 2 ? 1 : 0;
    }
    return true;
}

static bool take_row(struct text *text, const struct cells *cells) {
    double z = (double)NAN, x = 0;
    if (cells->n != text->columns) return bad(text, "has not as many columns as the rows above");
    struct line cell = cells->cell[text->z_column];
    if (!is_void(cell) && !number_of(text, cell, &z)) return bad(text, "a height is no number");
    if (text->x_column >= 0 && !number_of(text, cells->cell[text->x_column], &x))
        return bad(text, "a place is no number");
    if (text->rows == BW_MAX_PROFILE_POINTS)
        return bw_fail(text->err, BW_LIMIT, "the file holds more than %d million points",
                       (int)(BW_MAX_PROFILE_POINTS / 1000000));
    text->store->heights[text->rows] = z;
    text->store->x[text->rows++] = x;
    return true;
}

static bool first_row(struct text *text, struct cells *cells) {
    char part = part_of(text, text->line);
    if (part == '?') {
        split(text->line, ',', cells);
        text->part = ',';
        if (is_row(text, cells))
            return bad(text, "a comma may be decimal or part two columns; write points in "
                             "numbers, or ; between columns");
        part = ',';
    }
    text->part = part;
    split(text->line, part, cells);
    if (is_row(text, cells)) return settle_columns(text, cells->n) && take_row(text, cells);
    text->part = 0;
    header_line(text, text->line);
    return true;
}

static bool take_line(struct text *text, struct cells *cells) {
    if (text->line.n == 0) return true;
    if (strchr("#%!*", text->line.at[0]) != NULL) {
        if (text->rows == 0) header_line(text, text->line);
        return true;
    }
    if (text->rows == 0) return first_row(text, cells);
    split(text->line, text->part, cells);
    if (cells->too_many) return bad(text, "has too many columns");
    return take_row(text, cells);
}

static void apply_units(struct text *text) {
    struct bw_profile_header *about = &text->store->about;
    for (size_t i = 0; i < text->rows && text->z_unit > 0; i++)
        text->store->heights[i] *= text->z_unit;
    for (size_t i = 0; i < text->rows && text->x_unit > 0; i++) text->store->x[i] *= text->x_unit;
    if (!(text->z_unit > 0)) about->flags |= BW_PROFILE_BARE_HEIGHTS;
    if (text->x_column >= 0 && !(text->x_unit > 0)) about->flags |= BW_PROFILE_BARE_PLACES;
    if (text->x_column < 0 && !(text->spacing > 0))
        about->flags |= BW_PROFILE_BARE_PLACES | BW_PROFILE_NO_PLACES;
}

static bool finish(struct text *text) {
    struct bw_profile_header *about = &text->store->about;
    about->format = BW_PROFILE_TEXT;
    if (text->rows == 0)
        return bw_fail(text->err, BW_INPUT,
                       "no rows of numbers; a trace is one column of heights, "
                       "or two of places and heights");
    if (!store_size(text->store, text->rows, 1, text->err)) return false;
    apply_units(text);
    about->dx = text->spacing > 0 ? text->spacing : 1;
    size_t off = 0;
    if (text->x_column < 0 || store_places(text->store, &off, text->err)) return true;
    struct bw_err *err = text->err;
    bw_err_clear(err);
    return bw_fail(err, BW_INPUT, "point %zu: the places do not rise from point to point", off + 1);
}

bool read_text(struct input in, struct store *store, struct bw_err *err) {
    struct text text = {
        .at = (const char *)in.bytes, .x_column = -1, .z_column = -1, .store = store, .err = err};
    text.end = text.at + in.length;
    if (in.length >= 3 && memcmp(text.at, "\xef\xbb\xbf", 3) == 0) text.at += 3;
    struct cells cells;
    int more;
    while ((more = next_line(&text)) > 0)
        if (!take_line(&text, &cells)) return false;
    return more == 0 && finish(&text);
}
