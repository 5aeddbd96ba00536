// check_file.c - a check file read block by block; each block is bound like any other input.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/checks.h"

#include "trade/table.h"

#include <string.h>

static const struct bw_field FIELDS[] = {
    {BW_AT(struct bw_check, check), .kind = BW_TEXT, .required = true,
     .help = "what is checked, in words"},
    {.name = "do",
     .offset = offsetof(struct bw_check, call),
     .kind = BW_TEXT,
     .help = "a probe and its inputs"},
    {BW_AT(struct bw_check, study), .kind = BW_TEXT, .help = "the study to run"},
    {BW_AT(struct bw_check, input), .kind = BW_TEXT,
     .help = "the study's input as JSON, or the name of a carried document"},
    {BW_AT(struct bw_check, at), .kind = BW_TEXT, .help = "the place in the study's answer"},
    {BW_AT(struct bw_check, expect), .kind = BW_TEXT, .required = true,
     .help = "the value with its tolerance, a word in quotes, or error and its kind"},
    {BW_AT(struct bw_check, source), .kind = BW_TEXT, .required = true,
     .help = "where the expected value comes from"},
    {BW_AT(struct bw_check, origin), .kind = BW_CHOICE, .of = bw_trade_statuses, .required = true,
     .help = "how far that source was seen"},
    BW_END_FIELDS,
};

static const char *rule(const void *record, const char **field) {
    const struct bw_check *check = record;
    *field = check->call == NULL ? "study" : "do";
    if ((check->call == NULL) == (check->study == NULL))
        return "a check needs either do or study, not both";
    *field = "input";
    if ((check->study == NULL) != (check->input == NULL))
        return "input goes with study, and study needs it";
    *field = "at";
    bool error = strncmp(check->expect, "error", strlen("error")) == 0;
    if ((check->study != NULL && !error) != (check->at != NULL))
        return "at says which part of a study's answer is meant";
    return NULL;
}

static const struct bw_record RECORD = {.name = "check",
                                        .help = "one published check",
                                        .fields = FIELDS,
                                        .size = sizeof(struct bw_check),
                                        .check = rule};

struct reader {
    const char *file, *bytes, *next, *end;
    int line;                // of `next`
    struct bw_arena *arena;  // of the block
};
struct span {
    const char *text;
    size_t length;
};

static struct span peek(const struct reader *reader) {
    size_t left = (size_t)(reader->end - reader->next);
    const char *stop = left == 0 ? NULL : memchr(reader->next, '\n', left);
    return (struct span){reader->next, stop == NULL ? left : (size_t)(stop - reader->next)};
}

static void skip(struct reader *reader) {
    reader->next += peek(reader).length;
    if (reader->next < reader->end) reader->next++;
    reader->line++;
}

static bool is_blank(struct span line) {
    size_t i = 0;
    while (i < line.length && (line.text[i] == ' ' || line.text[i] == '\t' || line.text[i] == '\r'))
        i++;
    return i == line.length;
}

static bool is_comment(struct span line) { return line.length > 0 && line.text[0] == '#'; }

// "key   value", with the indented lines that follow. The value keeps its line breaks, so that
// places in a document written there stay true.
static bool read_entry(struct reader *reader, struct bw_node *block, struct bw_err *err) {
    struct span first = peek(reader);
    int line = reader->line;
    const char *gap = memchr(first.text, ' ', first.length);
    size_t key_length = gap == NULL ? first.length : (size_t)(gap - first.text);
    const char *value = first.text + key_length;
    while (value < first.text + first.length && *value == ' ') value++;
    do skip(reader);
    while (reader->next < reader->end && *reader->next == ' ' && !is_blank(peek(reader)));
    const char *stop = reader->next;
    while (stop > value && strchr(" \t\r\n", stop[-1]) != NULL) stop--;
    const char *key = bw_arena_text(reader->arena, first.text, key_length);
    struct bw_node *node = bw_node_text(reader->arena, value, (size_t)(stop - value));
    if (key == NULL || node == NULL) return bw_fail_memory(err);
    node->quoted = true;  // "unknown" is a word here
    node->line = node->key_line = line;
    node->key_column = 1;
    node->column = (int)(value - first.text) + 1;
    return bw_node_add_key(reader->arena, block, key, node) || bw_fail_memory(err);
}

// The next block as a map; `*out` NULL at the end of the file.
static bool read_block(struct reader *reader, struct bw_node **out, struct bw_err *err) {
    while (reader->next < reader->end && (is_blank(peek(reader)) || is_comment(peek(reader))))
        skip(reader);
    *out = NULL;
    if (reader->next == reader->end) return true;
    struct bw_node *block = bw_node_new(reader->arena, BW_NODE_MAP);
    if (block == NULL) return bw_fail_memory(err);
    block->line = reader->line;
    block->column = 1;
    while (reader->next < reader->end && !is_blank(peek(reader))) {
        if (is_comment(peek(reader)))
            skip(reader);
        else if (!read_entry(reader, block, err))
            return false;
    }
    *out = block;
    return true;
}

static void say_error(struct bw_text *text, const struct bw_err *err) {
    const char *gap = err->field[0] == '\0' ? "" : ": ";
    const char *open = err->value[0] == '\0' ? "" : " (\"", *close = open[0] == '\0' ? "" : "\")";
    bw_text_item(text, "      ", "%s%s%s%s%s%s", err->field, gap, err->what, open, err->value,
                 close);
    if (err->mend[0] != '\0') bw_text_item(text, "      ", "%s", err->mend);
}

static void say(const struct reader *reader, const struct bw_check *check,
                const struct bw_outcome *outcome, bool all, struct bw_text *text) {
    if (!outcome->passed) {
        bw_text_item(text, "FAIL  ", "%s:%d  %s", reader->file, check->line, check->check);
        bw_text_item(text, "      ", "expected %s, got %s", check->expect, outcome->got);
        bw_text_item(text, "      ", "source: %s (%s)", check->source,
                     bw_trade_statuses[check->origin].name);
    } else if (all) {
        bw_text_item(text, "ok    ", "%s: expected %s, got %s", check->check, check->expect,
                     outcome->got);
    }
}

// Binds and runs one block. Anything wrong with it counts as a failed check.
static bool one_check(struct reader *reader, const struct bw_node *block, bool all,
                      struct bw_text *text, struct bw_check_count *count) {
    struct bw_binding binding = {.arena = reader->arena,
                                 .file = reader->file,
                                 .source = reader->bytes,
                                 .source_length = (size_t)(reader->end - reader->bytes)};
    struct bw_check check;
    struct bw_outcome outcome = {.passed = false};
    struct bw_err err = {0};
    if (bw_bind(&binding, block, &RECORD, &check, &err)) {
        check.line = block->line;
        if (bw_check_run(reader->arena, &check, &outcome, &err))
            say(reader, &check, &outcome, all, text);
    }
    if (err.code == BW_MEMORY) return false;
    if (err.code != BW_OK) {
        bw_text_item(text, "FAIL  ", "%s:%d  this check cannot be run", reader->file,
                     err.line > 0 ? err.line : block->line);
        say_error(text, &err);
    }
    if (outcome.passed)
        count->passed++;
    else
        count->failed++;
    return true;
}

bool bw_checks_run(const struct bw_check_file *file, bool all, struct bw_text *text,
                   struct bw_check_count *out, struct bw_err *err) {
    struct reader reader = {.file = file->name,
                            .bytes = file->bytes,
                            .next = file->bytes,
                            .end = file->bytes + file->length,
                            .line = 1};
    struct bw_check_count count = {0, 0};
    bool good = true;
    for (struct bw_node *block = NULL; good;) {
        reader.arena = bw_arena_new(0);
        good = reader.arena != NULL && read_block(&reader, &block, err) &&
               (block == NULL || one_check(&reader, block, all, text, &count));
        bw_arena_free(reader.arena);
        if (block == NULL) break;
    }
    if (!good) return bw_fail_memory(err);
    if (count.passed + count.failed == 0) {
        bw_text_item(text, "FAIL  ", "%s: there is no check in it", file->name);
        count.failed = 1;
    }
    *out = count;
    return true;
}
