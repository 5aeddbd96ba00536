// words.c - what can be typed, put in words once for help, man page and messages.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include <string.h>

static const char *or_unknown(const char *text) { return text == NULL ? "?" : text; }

const char *bw_upper(struct bw_arena *arena, const char *text) {
    char *upper = bw_arena_text(arena, text, strlen(text));
    for (char *c = upper; c != NULL && *c != '\0'; c++) {
        if (*c >= 'a' && *c <= 'z') *c = (char)(*c - 'a' + 'A');
        if (*c == '_' || *c == ' ') *c = '-';
    }
    return or_unknown(upper);
}

bool bw_field_is_scalar(const struct bw_field *field) {
    return field->kind == BW_QUANTITY || field->kind == BW_COUNT || field->kind == BW_CHOICE ||
           field->kind == BW_TEXT;
}

const struct bw_record *bw_option_record(const struct bw_option *option) {
    if (option->field == NULL) return NULL;
    bool inner = option->field->kind == BW_RECORD || option->field->kind == BW_LIST;
    return inner ? option->field->of : NULL;
}

const char *bw_option_typed(struct bw_arena *arena, const struct bw_option *option) {
    if (option->positional) return bw_upper(arena, option->name);
    return or_unknown(bw_arena_format(arena, "--%s", option->name));
}

const char *bw_option_form(struct bw_arena *arena, const struct bw_option *option) {
    const char *typed = bw_option_typed(arena, option);
    if (option->letter != '\0')
        return or_unknown(bw_arena_format(arena, "-%c, %s", option->letter, typed));
    if (option->positional || option->value == NULL) return typed;
    return or_unknown(bw_arena_format(arena, "%s %s", typed, option->value));
}

const char *bw_page_usage(struct bw_arena *arena, const struct bw_page *page) {
    const char *usage = bw_page_typed(arena, page->name), *gap = page->name[0] == '\0' ? "" : " ";
    bool more = false;
    for (const struct bw_option *option = page->options; option->name != NULL; option++) {
        if (!option->positional && !option->required) {
            more = true;
            continue;
        }
        usage = or_unknown(bw_arena_format(arena, option->required ? "%s%s%s%s" : "%s%s[%s]%s",
                                           usage, gap, bw_option_form(arena, option),
                                           option->repeats ? "..." : ""));
        gap = " ";
    }
    if (!more) return usage;
    return or_unknown(bw_arena_format(arena, "%s%s[OPTION]...", usage, gap));
}

// What may be written there. Choices, ways of measuring and keys are left out: they are listed
// below the field, each with its meaning.
static const char *taken(struct bw_arena *arena, const struct bw_field *field) {
    struct bw_field bare = *field;
    char takes[200] = "";
    if (field->kind == BW_QUANTITY) bare.of = NULL;
    if (field->kind == BW_QUANTITY || field->kind == BW_COUNT || field->kind == BW_TEXT)
        bw_field_takes(&bare, BW_UNITS_SI, takes, sizeof takes);
    return or_unknown(bw_arena_text(arena, takes, strlen(takes)));
}

const char *bw_field_help(struct bw_arena *arena, const struct bw_field *field) {
    const char *takes = taken(arena, field);
    const char *fallback = field->fallback == NULL ? "" : field->fallback;
    const char *without = fallback[0] == '\0' ? "" : "without it ";
    const char *gap = takes[0] != '\0' && fallback[0] != '\0' ? "; " : "";
    if (takes[0] == '\0' && fallback[0] == '\0') return field->help;
    return or_unknown(
        bw_arena_format(arena, "%s (%s%s%s%s)", field->help, takes, gap, without, fallback));
}

const char *bw_field_value_help(struct bw_arena *arena, const struct bw_field *field, size_t i,
                                const char **typed) {
    const char *name = bw_field_option(field, i);
    if (name == NULL) return NULL;
    const char *by = field->kind == BW_QUANTITY ? "by " : "";
    *typed = or_unknown(bw_arena_format(arena, "%s%s", by, name));
    switch (field->kind) {
    case BW_QUANTITY: return ((const struct bw_way *)field->of)[i].help;
    case BW_CHOICE: return ((const struct bw_choice *)field->of)[i].help;
    default: return ((const struct bw_choice_record *)field->of)[i].help;
    }
}

const char *bw_option_help(struct bw_arena *arena, const struct bw_option *option) {
    if (option->field == NULL) return option->help;
    const char *help = bw_field_help(arena, option->field);
    return or_unknown(bw_arena_format(arena, "%s%s", help,
                                      option->repeats ? "; may be given several times" : ""));
}

const char *bw_record_phrase(struct bw_arena *arena, const struct bw_record *record) {
    const char *phrase = NULL;
    for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
        if (field->lead == NULL) continue;
        const char *name = bw_upper(arena, field->name);
        if (phrase == NULL)
            phrase =
                field->lead[0] == '\0' ? name : bw_arena_format(arena, "%s %s", field->lead, name);
        else
            phrase = bw_arena_format(arena, "%s [%s %s]", phrase, field->lead, name);
        phrase = or_unknown(phrase);
    }
    return phrase;
}

const char *bw_next_paragraph(struct bw_arena *arena, const char **rest) {
    *rest += strspn(*rest, "\n");
    if (**rest == '\0') return NULL;
    const char *end = strstr(*rest, "\n\n");
    size_t length = end == NULL ? strlen(*rest) : (size_t)(end - *rest);
    char *paragraph = bw_arena_text(arena, *rest, length);
    *rest += length;
    for (char *c = paragraph; c != NULL && *c != '\0'; c++)
        if (*c == '\n') *c = ' ';
    return or_unknown(paragraph);
}
