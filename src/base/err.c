// err.c - see err.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/err.h"

#include "base/format.h"
#include "base/utf8.h"

#include <stdarg.h>
#include <string.h>

static const struct {
    const char *id, *text;
    int exit_status, http;
} CODES[] = {
#define BW_X(name, id, text, exit_status, http) {id, text, exit_status, http},
    BW_ERRORS(BW_X)
#undef BW_X
};

// One character of a text that may hold anything: a control character becomes a blank, so that one
// error stays on its line and cannot speak to the terminal; an ill-formed byte becomes "?". Returns
// the bytes read.
static size_t copy_character(const char *from, size_t length, char *to, size_t *written) {
    uint32_t character = 0;
    size_t size = bw_utf8_step(from, length, &character);
    bool control = character < 0x20 || (character >= 0x7f && character < 0xa0);
    *written = size == 0 || control ? 1 : size;
    if (size == 0 || control)
        to[0] = size == 0 ? '?' : ' ';
    else
        memcpy(to, from, size);
    return size == 0 ? 1 : size;
}

// Copies as many whole characters as fit, with an ellipsis where the text was cut.
static void copy(char *to, size_t size, const char *from, size_t length) {
    static const char ELLIPSIS[] = "…";
    size_t keep = length < size ? length : bw_utf8_cut(from, size - sizeof ELLIPSIS);
    size_t at = 0, end = 0, written;
    for (; at < keep; end += written)
        at += copy_character(from + at, keep - at, to + end, &written);
    to[end] = '\0';
    if (keep < length) memcpy(to + end, ELLIPSIS, sizeof ELLIPSIS);
}

BW_PRINTF(3, 0) static void fill(char *to, size_t size, const char *format, va_list args) {
    char whole[2 * BW_MAX_ERROR_TEXT];
    int n = bw_vformat(whole, sizeof whole, format, args);
    if (n < 0) n = 0;
    size_t length = (size_t)n < sizeof whole ? (size_t)n : sizeof whole - 1;
    copy(to, size, whole, length);
}

bool bw_fail(struct bw_err *err, enum bw_code code, const char *what, ...) {
    if (err->code != BW_OK) return false;
    va_list args;
    va_start(args, what);
    fill(err->what, sizeof err->what, what, args);
    va_end(args);
    err->code = code;
    return false;
}

bool bw_fail_memory(struct bw_err *err) { return bw_fail(err, BW_MEMORY, "out of memory"); }

void bw_err_file(struct bw_err *err, const char *file) {
    if (err->file[0] == '\0' && file != NULL) copy(err->file, sizeof err->file, file, strlen(file));
}

void bw_err_place(struct bw_err *err, int line, int column) {
    if (err->line != 0) return;
    err->line = line;
    err->column = column;
}

void bw_err_excerpt(struct bw_err *err, const char *line_text, size_t length) {
    if (err->excerpt[0] == '\0') copy(err->excerpt, sizeof err->excerpt, line_text, length);
}

void bw_err_value(struct bw_err *err, const char *value) {
    if (err->value[0] == '\0' && value != NULL)
        copy(err->value, sizeof err->value, value, strlen(value));
}

void bw_err_mend(struct bw_err *err, const char *mend, ...) {
    if (err->mend[0] != '\0') return;
    va_list args;
    va_start(args, mend);
    fill(err->mend, sizeof err->mend, mend, args);
    va_end(args);
}

void bw_err_within(struct bw_err *err, const char *step) {
    char whole[2 * BW_MAX_ERROR_FIELD];
    const char *dot = err->field[0] == '\0' || err->field[0] == '[' ? "" : ".";
    int n = snprintf(whole, sizeof whole, "%s%s%s", step, dot, err->field);
    size_t length = n < 0 ? 0 : (size_t)n < sizeof whole ? (size_t)n : sizeof whole - 1;
    copy(err->field, sizeof err->field, whole, length);
}

void bw_err_within_index(struct bw_err *err, const char *step, size_t index) {
    char whole[BW_MAX_ERROR_FIELD];
    (void)snprintf(whole, sizeof whole, "%s[%zu]", step, index);
    bw_err_within(err, whole);
}

void bw_err_clear(struct bw_err *err) { *err = (struct bw_err){0}; }

void bw_err_print(const struct bw_err *err, FILE *to) {
    fputs("beltwright: ", to);
    if (err->file[0] != '\0') {
        fputs(err->file, to);
        if (err->line > 0) fprintf(to, ":%d", err->line);
        if (err->line > 0 && err->column > 0) fprintf(to, ":%d", err->column);
        fputs(": ", to);
    }
    if (err->field[0] != '\0') fprintf(to, "%s: ", err->field);
    fputs(err->what, to);
    if (err->value[0] != '\0') fprintf(to, " (\"%s\")", err->value);
    fputc('\n', to);
    if (err->excerpt[0] != '\0') {
        fprintf(to, "    %s\n", err->excerpt);
        if (err->column > 0) fprintf(to, "    %*s^\n", err->column - 1, "");
    }
    if (err->mend[0] != '\0') fprintf(to, "  %s\n", err->mend);
}

const char *bw_code_id(enum bw_code code) { return CODES[code].id; }
const char *bw_code_text(enum bw_code code) { return CODES[code].text; }
int bw_code_exit(enum bw_code code) { return CODES[code].exit_status; }
int bw_code_http(enum bw_code code) { return CODES[code].http; }
