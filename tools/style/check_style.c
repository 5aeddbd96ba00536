// check_style.c - finds what the house rules forbid; prints each fault with its place.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// usage: check_style [--sizes] ROOT     Exit 1: there are faults. --sizes adds how long functions
// are. ROOT/tools/style_exemptions.txt allows single faults, each with its reason; one that allows
// nothing any more is a fault as well.
#include "base/alloc.h"
#include "style.h"
#include "whole_file.h"

#include <dirent.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

// Not ours to judge: what a build or a tool made, inputs that are wrong on purpose, the licence's
// own text.
static const char *const SKIPPED[] = {".git/", "build/", "tests/fixtures/", "tests/fuzz/corpus/",
                                      "LICENSE"};
static const char *const TEXT_ENDINGS[] = {".c",   ".h",   ".cmake", ".txt", ".md", ".yaml", ".yml",
                                           ".csv", ".json", ".t",     ".js",  ".css"};

bool path_within(const char *path, const char *folder) {
    return strncmp(path, folder, strlen(folder)) == 0;
}

bool path_ends(const char *path, const char *ending) {
    size_t length = strlen(path), size = strlen(ending);
    return length >= size && strcmp(path + length - size, ending) == 0;
}

void fault(struct style *style, int line, const char *rule, const char *name, const char *format,
           ...) {
    char place[2 * MAX_NAME];
    (void)snprintf(place, sizeof place, "%s:%s", style->path, name == NULL ? "" : name);
    for (size_t i = 0; i < style->exemption_count; i++) {
        struct exemption *exemption = &style->exemptions[i];
        if (strcmp(exemption->rule, rule) != 0) continue;
        if (strcmp(exemption->place, style->path) != 0 && strcmp(exemption->place, place) != 0)
            continue;
        exemption->used = true;
        return;
    }
    va_list args;
    va_start(args, format);
    printf("%s:%d: %s: ", style->path, line, rule);
    (void)vprintf(format, args);
    printf("\n");
    va_end(args);
    style->faults++;
}

static _Noreturn void die(const char *what, const char *name) {
    fprintf(stderr, "check_style: %s: %s\n", name, what);
    exit(2);
}

static void check_file(struct style *style, const char *full_path, const char *path) {
    struct bw_buffer content = {0};
    if (!whole_file(full_path, &content)) die("cannot be read", full_path);
    struct source source = {.path = path, .text = content.data, .length = content.length};
    style->path = path;
    bool text = path_within(content.data, "#!");
    for (size_t i = 0; i < sizeof TEXT_ENDINGS / sizeof *TEXT_ENDINGS; i++)
        text = text || path_ends(path, TEXT_ENDINGS[i]);
    if (text) {
        style->file_count++;
        check_text(style, &source);
    }
    if (path_ends(path, ".c") || path_ends(path, ".h")) {
        if (!tokens_read(&source)) die("out of memory", path);
        check_calls(style, &source);
        check_rooms(style, &source);
        check_functions(style, &source);
        bw_free(source.tokens);
    }
    bw_buffer_free(&content);
}

static bool is_skipped(const char *path) {
    for (size_t i = 0; i < sizeof SKIPPED / sizeof *SKIPPED; i++)
        if (path_within(path, SKIPPED[i])) return true;
    return false;
}

// Walks `folder` ("" or "src/"), in byte order of names so that reports keep their order.
static void walk(struct style *style, const char *root, const char *folder) {
    struct bw_buffer full = {0}, path = {0};
    bw_buffer_format(&full, "%s/%s", root, folder);
    struct dirent **entries = NULL;
    int count = full.failed ? -1 : scandir(full.data, &entries, NULL, alphasort);
    if (count < 0) die("cannot be listed", folder[0] == '\0' ? root : folder);
    for (int i = 0; i < count; i++) {
        const char *name = entries[i]->d_name;
        full.length = path.length = 0;
        bw_buffer_format(&full, "%s/%s%s", root, folder, name);
        bw_buffer_format(&path, "%s%s", folder, name);
        struct stat about;
        bool dots = strcmp(name, ".") == 0 || strcmp(name, "..") == 0;
        if (!dots && !full.failed && !path.failed && lstat(full.data, &about) == 0) {
            bool is_folder = S_ISDIR(about.st_mode);
            if (is_folder) bw_buffer_text(&path, "/");
            if (is_folder && !is_skipped(path.data)) walk(style, root, path.data);
            if (S_ISREG(about.st_mode) && !is_skipped(path.data))
                check_file(style, full.data, path.data);
        }
        free(entries[i]);
    }
    free(entries);
    bw_buffer_free(&full);
    bw_buffer_free(&path);
}

static void find_studies(struct style *style, const char *root) {
    struct bw_buffer folder = {0};
    bw_buffer_format(&folder, "%s/src/study", root);
    struct dirent **entries = NULL;
    int count = folder.failed ? -1 : scandir(folder.data, &entries, NULL, alphasort);
    for (int i = 0; i < count; i++) {
        const char *name = entries[i]->d_name;
        size_t length = strlen(name);
        if (strchr(name, '.') == NULL && length < MAX_NAME && style->study_count < MAX_STUDIES)
            memcpy(style->studies[style->study_count++], name, length + 1);
        free(entries[i]);
    }
    free(entries);
    bw_buffer_free(&folder);
}

// A line is: rule, path or path:name, reason.
static void read_exemption(struct style *style, const char *text, int line) {
    if (text[0] == '#' || text[0] == '\0') return;
    if (style->exemption_count == MAX_EXEMPTIONS) die("too many", "style_exemptions.txt");
    struct exemption *exemption = &style->exemptions[style->exemption_count++];
    size_t rule = strcspn(text, " "), place = rule + strspn(text + rule, " ");
    size_t place_length = strcspn(text + place, " ");
    size_t reason = place + place_length + strspn(text + place + place_length, " ");
    if (rule >= MAX_NAME || place_length == 0 || place_length >= MAX_NAME || text[reason] == '\0')
        die("a line is not: rule, place, reason", "style_exemptions.txt");
    memcpy(exemption->rule, text, rule);
    memcpy(exemption->place, text + place, place_length);
    exemption->line = line;
}

static void read_exemptions(struct style *style, const char *root) {
    struct bw_buffer path = {0}, content = {0};
    bw_buffer_format(&path, "%s/tools/style_exemptions.txt", root);
    if (!path.failed && whole_file(path.data, &content)) {
        int line = 0;
        for (char *at = content.data, *next; *at != '\0'; at = next) {
            size_t length = strcspn(at, "\n");
            next = at + length + (at[length] == '\n');
            at[length] = '\0';
            read_exemption(style, at, ++line);
        }
    }
    bw_buffer_free(&path);
    bw_buffer_free(&content);
}

static void check_exemptions(struct style *style) {
    style->path = "tools/style_exemptions.txt";
    for (size_t i = 0; i < style->exemption_count; i++)
        if (!style->exemptions[i].used)
            fault(style, style->exemptions[i].line, "exemption", NULL,
                  "allows nothing any more");
}

static int by_value(const void *a, const void *b) {
    int x = *(const int *)a, y = *(const int *)b;
    return (x > y) - (x < y);
}

static void print_sizes(const struct style *style) {
    size_t n = style->function_count;
    if (n == 0) return;
    qsort(style->function_lines, n, sizeof *style->function_lines, by_value);
    printf("%zu functions; lines: median %d, nine in ten up to %d, longest %d\n", n,
           style->function_lines[n / 2], style->function_lines[n * 9 / 10],
           style->function_lines[n - 1]);
}

int main(int argc, char **argv) {
    bool sizes = argc == 3 && strcmp(argv[1], "--sizes") == 0;
    if (argc != 2 && !sizes) {
        fputs("usage: check_style [--sizes] ROOT\n", stderr);
        return 2;
    }
    const char *root = argv[argc - 1];
    static struct style style;
    find_studies(&style, root);
    read_exemptions(&style, root);
    walk(&style, root, "");
    check_exemptions(&style);
    if (sizes) print_sizes(&style);
    printf("%d faults in %zu files\n", style.faults, style.file_count);
    bw_free(style.function_lines);
    return style.faults == 0 ? 0 : 1;
}
