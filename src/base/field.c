// field.c - see field.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/field.h"

#include "base/utf8.h"

#include <string.h>

#define DEFAULT_COUNT_MAX 1000u

static char folded(char c) {
    if (c >= 'A' && c <= 'Z') return (char)(c - 'A' + 'a');
    return c == '-' || c == ' ' ? '_' : c;
}

bool bw_key_same(const char *a, const char *b) {
    while (*a != '\0' && folded(*a) == folded(*b)) a++, b++;
    return *a == *b;
}

const struct bw_field *bw_field_find(const struct bw_record *record, const char *name) {
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        if (bw_key_same(field->name, name)) return field;
    return NULL;
}

void *bw_field_at(const struct bw_field *field, void *record) {
    return (char *)record + field->offset;
}

const void *bw_field_in(const struct bw_field *field, const void *record) {
    return (const char *)record + field->offset;
}

static void clear_field(const struct bw_field *field, void *at) {
    switch (field->kind) {
    case BW_QUANTITY: *(struct bw_quantity *)at = BW_UNKNOWN; break;
    case BW_COUNT: *(long *)at = BW_NO_COUNT; break;
    case BW_CHOICE: *(int *)at = BW_NO_CHOICE; break;
    case BW_TEXT: *(const char **)at = NULL; break;
    case BW_FILE: *(struct bw_file *)at = (struct bw_file){.name = NULL}; break;
    case BW_RECORD: *(void **)at = NULL; break;
    case BW_LIST: *(struct bw_list *)at = (struct bw_list){.items = NULL}; break;
    case BW_ONEOF: *(struct bw_oneof *)at = (struct bw_oneof){.which = -1, .item = NULL}; break;
    }
}

void bw_record_clear(const struct bw_record *record, void *out) {
    memset(out, 0, record->size);
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        clear_field(field, bw_field_at(field, out));
}

const char *bw_field_option(const struct bw_field *field, size_t i) {
    if (field->of == NULL) return NULL;
    switch (field->kind) {
    case BW_QUANTITY: return ((const struct bw_way *)field->of)[i].name;
    case BW_CHOICE: return ((const struct bw_choice *)field->of)[i].name;
    case BW_ONEOF: return ((const struct bw_choice_record *)field->of)[i].name;
    default: return NULL;
    }
}

size_t bw_field_count_max(const struct bw_field *field) {
    return field->count_max == 0 ? DEFAULT_COUNT_MAX : field->count_max;
}

static bool has_medium(const struct bw_field *field) {
    if (field->kind == BW_RECORD || field->kind == BW_LIST) return bw_record_has_medium(field->of);
    const struct bw_file_kind *file = field->of;
    return field->kind == BW_FILE && file->medium != BW_MEDIUM_NONE;
}

// Records hold each other only downwards, so this ends.
bool bw_record_has_medium(const struct bw_record *record) {
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        if (has_medium(field)) return true;
    return false;
}

bool bw_record_has_leads(const struct bw_record *record) {
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        if (field->lead != NULL) return true;
    return false;
}

// A line of words that is cut, never overrun.
struct line {
    char *text;
    size_t size, used;
};

static void add(struct line *line, const char *words) {
    size_t length = strlen(words), room = line->size - 1 - line->used;
    if (length > room) length = bw_utf8_cut(words, room);
    memcpy(line->text + line->used, words, length);
    line->used += length;
    line->text[line->used] = '\0';
}

static void add_options(struct line *line, const struct bw_field *field) {
    const char *option;
    for (size_t i = 0; (option = bw_field_option(field, i)) != NULL; i++) {
        if (i > 0) add(line, ", ");
        add(line, option);
    }
}

static void add_keys(struct line *line, const struct bw_record *record) {
    for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
        if (field != record->fields) add(line, ", ");
        add(line, field->name);
    }
}

static void add_number(struct line *line, double value) {
    char number[32];
    (void)snprintf(number, sizeof number, "%.0f", value);
    add(line, number);
}

// "300 to 20000 mm", "at least 0 Pa": the unit is said once.
static void add_quantity_limits(struct line *line, const struct bw_field *field,
                                enum bw_units units) {
    char low[BW_QUANTITY_TEXT], high[BW_QUANTITY_TEXT];
    (void)bw_quantity_text(low, bw_exactly(field->min), field->dim, units);
    (void)bw_quantity_text(high, bw_exactly(field->max), field->dim, units);
    if (isinf(field->max)) {
        add(line, "at least ");
        add(line, low);
        return;
    }
    if (isinf(field->min)) {
        add(line, "at most ");
        add(line, high);
        return;
    }
    size_t unit = strlen(bw_dim_unit(field->dim, units)), length = strlen(low);
    if (unit > 0 && length > unit + 1) low[length - unit - 1] = '\0';
    add(line, low);
    add(line, " to ");
    add(line, high);
}

static void add_count_limits(struct line *line, const struct bw_field *field) {
    if (isinf(field->max)) add(line, "at least ");
    if (isinf(field->min)) add(line, "at most ");
    if (!isinf(field->min)) add_number(line, field->min);
    if (!isinf(field->min) && !isinf(field->max)) add(line, " to ");
    if (!isinf(field->max)) add_number(line, field->max);
}

static void add_limits(struct line *line, const struct bw_field *field, enum bw_units units) {
    if (field->kind == BW_COUNT)
        add_count_limits(line, field);
    else
        add_quantity_limits(line, field, units);
}

void bw_field_limits(const struct bw_field *field, enum bw_units units, char *text, size_t size) {
    struct line line = {.text = text, .size = size};
    text[0] = '\0';
    if (field->min < field->max) add_limits(&line, field, units);
}

static void add_range(struct line *line, const struct bw_field *field, enum bw_units units) {
    if (field->min >= field->max) return;
    add(line, ", ");
    add_limits(line, field, units);
}

void bw_field_takes(const struct bw_field *field, enum bw_units units, char *text, size_t size) {
    struct line line = {.text = text, .size = size};
    text[0] = '\0';
    switch (field->kind) {
    case BW_QUANTITY:
        add(&line, bw_dim_word(field->dim));
        add_range(&line, field, units);
        if (field->of == NULL) break;
        add(&line, "; by: ");
        add_options(&line, field);
        break;
    case BW_COUNT:
        add(&line, "a whole number");
        add_range(&line, field, units);
        break;
    case BW_CHOICE:
        add(&line, "one of: ");
        add_options(&line, field);
        break;
    case BW_TEXT: add(&line, "a text"); break;
    case BW_FILE:
        add(&line, "the name of a ");
        add(&line, ((const struct bw_file_kind *)field->of)->name);
        break;
    case BW_RECORD:
        add(&line, "a group of keys: ");
        add_keys(&line, field->of);
        break;
    case BW_LIST:
        add(&line, "a list, each item with keys: ");
        add_keys(&line, field->of);
        break;
    case BW_ONEOF:
        add(&line, "one of these with its keys: ");
        add_options(&line, field);
        break;
    }
}
