// help.c - `beltwright help [COMMAND]`, also --help: a page as text for a terminal.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/utf8.h"
#include "study/study.h"

#include <string.h>

#define COMMAND_COLUMN 16
#define MOST_COLUMN 24  // a longer form keeps its help on the next line

// The widest form, so that all helps begin in one column.
static size_t column_of(struct bw_arena *arena, const struct bw_option *options, bool positional) {
    size_t column = 0;
    for (; options->name != NULL; options++) {
        if (options->positional != positional) continue;
        const char *form = bw_option_form(arena, options);
        size_t width = bw_utf8_columns(form, strlen(form)) + 2;
        if (width > column && width <= MOST_COLUMN) column = width;
    }
    return column;
}

static void entry(struct bw_text *text, const char *form, size_t column, const char *help) {
    size_t width = bw_utf8_columns(form, strlen(form)) + 2;
    if (width > column) {
        bw_text_para(text, "%s", form);
        form = "";
        width = 2;
    }
    const char *mark = bw_arena_format(text->arena, "%s  %*s", form, (int)(column - width), "");
    bw_text_item(text, mark == NULL ? "" : mark, "%s", help);
}

static void indented(struct bw_text *text, const char *indent, const char *name, const char *help) {
    const char *mark = bw_arena_format(text->arena, "%s%s  ", indent, name);
    bw_text_item(text, mark == NULL ? "" : mark, "%s", help);
}

// The choices of a field, or the ways of measuring it.
static void values(struct bw_text *text, const char *indent, const struct bw_field *field) {
    const char *typed, *help;
    for (size_t i = 0; (help = bw_field_value_help(text->arena, field, i, &typed)) != NULL; i++)
        indented(text, indent, typed, help);
}

// What one group may hold: the phrase, then its keys.
static void group(struct bw_text *text, const struct bw_record *record) {
    const char *phrase = bw_record_phrase(text->arena, record);
    const char *name = bw_upper(text->arena, record->name);
    if (phrase != NULL)
        bw_text_item(text, "    ", "%s is written %s, or key=value,...", name, phrase);
    else
        bw_text_item(text, "    ", "%s is written key=value,...", name);
    for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
        if (!bw_field_is_scalar(field)) continue;
        indented(text, "      ", field->name, bw_field_help(text->arena, field));
        values(text, "          ", field);
    }
}

static void options(struct bw_text *text, const struct bw_page *page, bool positional,
                    const char *heading) {
    size_t column = column_of(text->arena, page->options, positional);
    bool any = false;
    for (const struct bw_option *option = page->options; option->name != NULL; option++) {
        if (option->positional != positional) continue;
        if (!any) bw_text_heading(text, "%s", heading);
        any = true;
        entry(text, bw_option_form(text->arena, option), column,
              bw_option_help(text->arena, option));
        if (option->field != NULL) values(text, "    ", option->field);
        const struct bw_record *record = bw_option_record(option);
        if (record != NULL) group(text, record);
    }
    if (any) bw_text_gap(text);
}

// Fields that lie too deep for an option.
static void documents(struct bw_text *text, const struct bw_page *page) {
    if (page->study == NULL) return;
    bool any = false;
    const struct bw_field *field = page->study->in->fields;
    for (; field->name != NULL; field++) {
        if (bw_field_is_typed(field)) continue;
        if (!any) bw_text_heading(text, "Only in a document (--input)");
        any = true;
        indented(text, "", field->name, bw_field_help(text->arena, field));
        values(text, "    ", field);
    }
    if (any) bw_text_gap(text);
}

static void paragraphs(struct bw_text *text, const char *about) {
    const char *paragraph;
    while ((paragraph = bw_next_paragraph(text->arena, &about)) != NULL) {
        bw_text_para(text, "%s", paragraph);
        bw_text_gap(text);
    }
}

// The page belongs below `family`; "" has those of one word.
static bool belongs(const char *name, const char *family) {
    size_t length = strlen(family);
    if (length == 0) return !bw_page_is_member(name);
    return strncmp(name, family, length) == 0 && name[length] == '-';
}

static bool has_members(const char *family) {
    const char *name;
    for (size_t i = 0; (name = bw_page_name(i)) != NULL; i++)
        if (family[0] != '\0' && belongs(name, family)) return true;
    return false;
}

static bool commands(struct bw_text *text, const char *family, struct bw_err *err) {
    const char *name;
    bw_text_heading(text, "Commands");
    for (size_t i = 0; (name = bw_page_name(i)) != NULL; i++) {
        struct bw_page page;
        if (!belongs(name, family)) continue;
        if (!bw_page_find(text->arena, name, &page, err)) return false;
        entry(text, bw_page_typed(text->arena, name), COMMAND_COLUMN, page.summary);
    }
    text->indent = 0;
    bw_text_gap(text);
    bw_text_para(text, "beltwright help %s%sCOMMAND says what a command takes.", family,
                 family[0] == '\0' ? "" : "-");
    if (family[0] != '\0') bw_text_gap(text);
    return true;
}

bool bw_help_write(struct bw_cli *cli, const struct bw_page *page, struct bw_err *err) {
    struct bw_text text = bw_cli_text(cli, BW_UNITS_SI);
    bw_text_item(&text, "Usage: ", "beltwright %s", bw_page_usage(cli->arena, page));
    bw_text_gap(&text);
    paragraphs(&text, page->about);
    bool family = page->name[0] == '\0' || has_members(page->name);
    if (family && !commands(&text, page->name, err)) {
        bw_buffer_free(&text.out);
        return false;
    }
    if (page->name[0] != '\0') {
        options(&text, page, true, "Words");
        options(&text, page, false, "Options");
        documents(&text, page);
    }
    if (page->example != NULL) {
        bw_text_heading(&text, "Example");
        bw_buffer_format(&text.out, "  %s\n", page->example);  // on one line, to be copied
    }
    return bw_write(cli, "-", &text.out, err);
}

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    const char *name = bw_given_value(given, "command");
    struct bw_page page;
    if (!bw_page_find(cli->arena, name == NULL ? "" : name, &page, err)) return false;
    return bw_help_write(cli, &page, err);
}

static const struct bw_option OPTIONS[] = {
    {.name = "command",
     .value = "COMMAND",
     .takes = BW_TAKES_PAGE,
     .positional = true,
     .help = "the command to explain; without it, all commands are listed"},
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_help = {
    .page = {.name = "help",
             .summary = "say what a command does and takes",
             .about = "Explains one command: what it answers, what it takes, and one example.",
             .example = "beltwright help table",
             .options = OPTIONS},
    .run = run,
};
