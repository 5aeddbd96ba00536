// text.c - what any text file of the tree must keep to: opening lines, width, blanks, words, paths.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/utf8.h"
#include "style.h"

#include <ctype.h>
#include <string.h>

#define MAX_COLUMNS 100
#define MAX_FILE_LINES 900

static bool is_c(const char *path) { return path_ends(path, ".c") || path_ends(path, ".h"); }

static bool is_build_file(const char *path) {
    return path_ends(path, ".cmake") || path_ends(path, "CMakeLists.txt");
}

static bool is_script(const struct source *source) {
    return source->length > 2 && memcmp(source->text, "#!", 2) == 0;
}

static bool contains(const char *line, size_t length, const char *word) {
    size_t size = strlen(word);
    for (size_t i = 0; i + size <= length; i++)
        if (memcmp(line + i, word, size) == 0) return true;
    return false;
}

// Like contains, but "METHODS" does not hold the word between its letters.
static bool contains_word(const char *line, size_t length, const char *word) {
    size_t size = strlen(word);
    for (size_t i = 0; i + size <= length; i++) {
        if (memcmp(line + i, word, size) != 0) continue;
        bool open = i == 0 || !isalnum((unsigned char)line[i - 1]);
        bool close = i + size == length || !isalnum((unsigned char)line[i + size]);
        if (open && close) return true;
    }
    return false;
}

// A row of a table reads best on one line, whatever its width.
static bool is_table_row(const char *line, size_t length) {
    size_t start = 0;
    while (start < length && line[start] == ' ') start++;
    return length > start + 2 && line[start] == '{' && memcmp(line + length - 2, "},", 2) == 0;
}

static void check_line(struct style *style, const struct source *source, int number,
                       const char *line, size_t length) {
    // Written in two halves, so that this file passes its own check.
    static const char *const WORDS[] = {"TO" "DO", "FIX" "ME", "XX" "X"};
    static const char *const PATHS[] = {"/ho" "me/", "/ro" "ot/", "/wo" "rk/"};
    bool code = is_c(source->path) || is_build_file(source->path) || is_script(source);
    if (code && !is_table_row(line, length) && bw_utf8_columns(line, length) > MAX_COLUMNS)
        fault(style, number, "width", NULL, "%zu columns, at most %d",
              bw_utf8_columns(line, length), MAX_COLUMNS);
    if (length > 0 && isspace((unsigned char)line[length - 1]))
        fault(style, number, "blanks", NULL, "blanks at the end of the line");
    if (is_c(source->path) && memchr(line, '\t', length) != NULL)
        fault(style, number, "blanks", NULL, "a tab; indent with four spaces");
    for (size_t i = 0; code && i < sizeof WORDS / sizeof *WORDS; i++)
        if (contains_word(line, length, WORDS[i]))
            fault(style, number, "word", NULL, "%s belongs into KNOWN_LIMITS.md", WORDS[i]);
    for (size_t i = 0; i < sizeof PATHS / sizeof *PATHS; i++)
        if (contains(line, length, PATHS[i]))
            fault(style, number, "machine-path", NULL, "%s is a path of one machine",
                  PATHS[i]);
}

static const char *after_line(const char *at) {
    at += strcspn(at, "\n");
    return *at == '\0' ? at : at + 1;
}

// The first line says what the file is, after its own name; the licence follows on its own line:
// the second, or the third after a script's "#!".
static void check_opening(struct style *style, const struct source *source) {
    static const char LICENCE[] = "SPDX-License-Identifier: GPL-3.0-or-later\n";
    bool c = is_c(source->path), script = is_script(source);
    if (!c && !is_build_file(source->path) && !script) return;
    const char *slash = strrchr(source->path, '/');
    const char *name = slash == NULL ? source->path : slash + 1;
    const char *first = script ? after_line(source->text) : source->text;
    const char *second = after_line(first);
    if (strncmp(second + strspn(second, "/#* "), LICENCE, strlen(LICENCE)) != 0)
        fault(style, 1, "opening", NULL, "the licence does not stand alone below the first line");
    if (c && (source->length < 3 || strncmp(first + 3, name, strlen(name)) != 0))
        fault(style, 1, "opening", NULL, "the first line is not \"// %s - what it is\"", name);
}

void check_text(struct style *style, const struct source *source) {
    int number = 0;
    const char *end = source->text + source->length;
    for (const char *line = source->text; line < end;) {
        const char *stop = memchr(line, '\n', (size_t)(end - line));
        if (stop == NULL) stop = end;
        check_line(style, source, ++number, line, (size_t)(stop - line));
        line = stop + 1;
    }
    if (path_ends(source->path, ".c") && number > MAX_FILE_LINES)
        fault(style, number, "file-lines", NULL, "%d lines, at most %d", number,
              MAX_FILE_LINES);
    check_opening(style, source);
}
