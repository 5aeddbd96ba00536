// man.c - `beltwright man [COMMAND]`: a page as man(7) source.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/utf8.h"
#include "study/study.h"

#include <string.h>

#define LINE 66  // bytes after which prose goes on in a new line, as roff's readers like it

// Text as roff takes it: no command at a line's start, no escape, all beyond ASCII by its number.
// `line`: a space beyond that column becomes a line break; 0: never.
static void escaped(struct bw_buffer *out, const char *text, size_t line) {
    size_t length = strlen(text), step, begin = out->length;
    for (size_t at = 0; at < length; at += step) {
        uint32_t code = 0;
        step = bw_utf8_step(text + at, length - at, &code);
        if (step == 0) step = 1;
        bool starts = out->length == 0 || out->data[out->length - 1] == '\n';
        if (starts) begin = out->length;
        char c = text[at];
        if (starts && (c == '.' || c == '\'')) bw_buffer_text(out, "\\&");
        if (step > 1)
            bw_buffer_format(out, "\\[u%04X]", (unsigned)code);
        else if (c == '\\')
            bw_buffer_text(out, "\\e");
        else if (c == '-')
            bw_buffer_text(out, "\\-");
        else
            bw_buffer_char(out, c == ' ' && line > 0 && out->length - begin > line ? '\n' : c);
    }
}

static void plain(struct bw_buffer *out, const char *text) { escaped(out, text, 0); }

// Prose as one sentence: a capital first, a full stop last.
static void sentence(struct bw_buffer *out, struct bw_arena *arena, const char *text) {
    size_t length = strlen(text);
    bool stopped = length > 0 && strchr(".?!", text[length - 1]) != NULL;
    char *whole = bw_arena_format(arena, "%s%s", text, stopped ? "" : ".");
    if (whole == NULL) return;
    if (whole[0] >= 'a' && whole[0] <= 'z') whole[0] = (char)(whole[0] - 'a' + 'A');
    escaped(out, whole, LINE);
    bw_buffer_char(out, '\n');
}

static void bold(struct bw_buffer *out, const char *text) {
    bw_buffer_text(out, "\\fB");
    plain(out, text);
    bw_buffer_text(out, "\\fR");
}

static void section(struct bw_buffer *out, const char *name) {
    bw_buffer_format(out, ".SH %s\n", name);
}

static void entry(struct bw_buffer *out, struct bw_arena *arena, const char *name,
                  const char *help) {
    bw_buffer_text(out, ".TP\n");
    bold(out, name);
    bw_buffer_char(out, '\n');
    sentence(out, arena, help);
}

// The choices of a field, or the ways of measuring it.
static void values(struct bw_buffer *out, struct bw_arena *arena, const struct bw_field *field) {
    const char *typed, *help;
    if (bw_field_option(field, 0) == NULL) return;
    bw_buffer_text(out, ".RS\n");
    for (size_t i = 0; (help = bw_field_value_help(arena, field, i, &typed)) != NULL; i++)
        entry(out, arena, typed, help);
    bw_buffer_text(out, ".RE\n");
}

static void field_entry(struct bw_buffer *out, struct bw_arena *arena, const char *name,
                        const struct bw_field *field) {
    entry(out, arena, name, bw_field_help(arena, field));
    values(out, arena, field);
}

// What a group may hold, indented under its option.
static void group(struct bw_buffer *out, struct bw_arena *arena, const struct bw_record *record) {
    const char *phrase = bw_record_phrase(arena, record);
    bw_buffer_text(out, ".RS\n.PP\n");
    plain(out, bw_upper(arena, record->name));
    bw_buffer_text(out, " is written ");
    if (phrase != NULL) {
        plain(out, phrase);
        bw_buffer_text(out, ", or ");
    }
    bw_buffer_text(out, "key=value,...\n");
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        if (bw_field_is_scalar(field)) field_entry(out, arena, field->name, field);
    bw_buffer_text(out, ".RE\n");
}

static void options(struct bw_buffer *out, struct bw_arena *arena, const struct bw_page *page) {
    section(out, "OPTIONS");
    for (const struct bw_option *option = page->options; option->name != NULL; option++) {
        entry(out, arena, bw_option_form(arena, option), bw_option_help(arena, option));
        if (option->field != NULL) values(out, arena, option->field);
        const struct bw_record *record = bw_option_record(option);
        if (record != NULL) group(out, arena, record);
    }
}

static void documents(struct bw_buffer *out, struct bw_arena *arena, const struct bw_page *page) {
    bool any = false;
    if (page->study == NULL) return;
    for (const struct bw_field *field = page->study->in->fields; field->name != NULL; field++) {
        if (bw_field_is_typed(field)) continue;
        if (!any) section(out, "ONLY IN A DOCUMENT");
        any = true;
        field_entry(out, arena, field->name, field);
    }
}

static bool commands(struct bw_buffer *out, struct bw_arena *arena, struct bw_err *err) {
    section(out, "COMMANDS");
    const char *name;
    for (size_t i = 0; (name = bw_page_name(i)) != NULL; i++) {
        struct bw_page page;
        if (!bw_page_find(arena, name, &page, err)) return false;
        entry(out, arena, name, page.summary);
    }
    return true;
}

static void exit_status(struct bw_buffer *out) {
    section(out, "EXIT STATUS");
    bw_buffer_text(out, ".TP\n0\nDone.\n.TP\n1\nThe work failed.\n"
                        ".TP\n2\nUnusable arguments or input.\n");
}

static void title(struct bw_buffer *out, struct bw_arena *arena, const struct bw_page *page) {
    const char *gap = page->name[0] == '\0' ? "" : "-";
    bw_buffer_text(out, ".TH ");
    plain(out, bw_upper(arena, "beltwright"));
    plain(out, gap);
    plain(out, bw_upper(arena, page->name));
    bw_buffer_text(out, " 1 \"\" \"beltwright " BELTWRIGHT_VERSION "\"\n");
    section(out, "NAME");
    bw_buffer_text(out, "beltwright");
    plain(out, gap);
    plain(out, page->name);
    bw_buffer_text(out, " \\- ");
    plain(out, page->summary);
    bw_buffer_char(out, '\n');
    section(out, "SYNOPSIS");
    bold(out, "beltwright");
    bw_buffer_char(out, ' ');
    plain(out, bw_page_usage(arena, page));
    bw_buffer_char(out, '\n');
}

static bool write_page(struct bw_buffer *out, struct bw_arena *arena, const struct bw_page *page,
                       struct bw_err *err) {
    const char *rest = page->about, *paragraph;
    title(out, arena, page);
    section(out, "DESCRIPTION");
    while ((paragraph = bw_next_paragraph(arena, &rest)) != NULL) {
        escaped(out, paragraph, LINE);
        bw_buffer_text(out, rest[0] == '\0' ? "\n" : "\n.PP\n");
    }
    if (page->name[0] == '\0' && !commands(out, arena, err)) return false;
    options(out, arena, page);
    documents(out, arena, page);
    exit_status(out);
    if (page->example != NULL) {
        section(out, "EXAMPLES");
        plain(out, page->example);
        bw_buffer_char(out, '\n');
    }
    return true;
}

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    const char *name = bw_given_value(given, "command");
    struct bw_page page;
    struct bw_buffer out = {0};
    if (bw_page_find(cli->arena, name == NULL ? "" : name, &page, err) &&
        write_page(&out, cli->arena, &page, err))
        return bw_write(cli, "-", &out, err);
    bw_buffer_free(&out);
    return false;
}

static const struct bw_option OPTIONS[] = {
    {.name = "command",
     .value = "COMMAND",
     .takes = BW_TAKES_PAGE,
     .positional = true,
     .help = "the command whose page is wanted; without it, the program's own"},
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_man = {
    .page = {.name = "man",
             .summary = "print a manual page",
             .about = "Prints the manual page of a command, or of the whole program, as man(7) "
                      "source. Read it with: beltwright man | man -l -",
             .example = "beltwright man table",
             .options = OPTIONS},
    .run = run,
};
