// field_lint.c - bw_record_lint: what a compiler cannot see in a table of fields.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/bind.h"

#include <stdalign.h>
#include <string.h>

#define MOST_RECORDS 128

struct lint {
    struct bw_arena *arena;
    struct bw_err *err;
    const struct bw_record *seen[MOST_RECORDS];
    size_t n;
};

static bool lint_record(struct lint *lint, const struct bw_record *record);
static bool lint_document(struct lint *lint, const struct bw_record *record);

static const struct {
    size_t size, align;
} HELD[] = {
    [BW_QUANTITY] = {sizeof(struct bw_quantity), alignof(struct bw_quantity)},
    [BW_COUNT] = {sizeof(long), alignof(long)},
    [BW_CHOICE] = {sizeof(int), alignof(int)},
    [BW_TEXT] = {sizeof(const char *), alignof(const char *)},
    [BW_FILE] = {sizeof(struct bw_file), alignof(struct bw_file)},
    [BW_RECORD] = {sizeof(void *), alignof(void *)},
    [BW_LIST] = {sizeof(struct bw_list), alignof(struct bw_list)},
    [BW_ONEOF] = {sizeof(struct bw_oneof), alignof(struct bw_oneof)},
};

static bool wrong(struct lint *lint, const char *what) {
    return bw_fail(lint->err, BW_FAILED, "%s", what);
}

// ---- words ----

static bool is_name(const char *name, const char *also) {
    size_t first = strspn(name, "abcdefghijklmnopqrstuvwxyz");
    if (first == 0) return false;
    for (const char *c = name + first; *c != '\0'; c++) {
        bool plain = (*c >= 'a' && *c <= 'z') || (*c >= '0' && *c <= '9');
        if (!plain && strchr(also, *c) == NULL) return false;
    }
    return true;
}

static bool is_help(const char *help) {
    size_t length = help == NULL ? 0 : strlen(help);
    return length > 0 && help[length - 1] != '.' && help[0] != ' ';
}

static char lower(char c) { return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c; }

// `word` stands in `text` with spaces or the ends around it, whatever the case.
static bool has_word(const char *text, const char *word) {
    size_t length = strlen(word);
    for (const char *at = text; *at != '\0'; at++) {
        if (at != text && at[-1] != ' ') continue;
        size_t i = 0;
        while (i < length && lower(at[i]) == word[i]) i++;
        if (i == length && (at[i] == '\0' || at[i] == ' ')) return true;
    }
    return false;
}

// ---- one field ----

static bool lint_words(struct lint *lint, const struct bw_field *field) {
    if (!is_name(field->name, "_")) return wrong(lint, "the name must be [a-z][a-z0-9_]*");
    if (!is_help(field->help)) return wrong(lint, "help must be words without a full stop");
    return true;
}

static bool lint_place(struct lint *lint, const struct bw_record *record,
                       const struct bw_field *field) {
    size_t size = HELD[field->kind].size;
    if (field->offset % HELD[field->kind].align != 0)
        return wrong(lint, "the offset is misaligned");
    if (field->offset > record->size || size > record->size - field->offset)
        return wrong(lint, "the offset lies outside the struct");
    for (const struct bw_field *other = record->fields; other != field; other++)
        if (field->offset < other->offset + HELD[other->kind].size &&
            other->offset < field->offset + size)
            return wrong(lint, "shares its bytes with another field");
    return true;
}

static bool lint_options(struct lint *lint, const struct bw_field *field) {
    const char *option;
    for (size_t i = 0; (option = bw_field_option(field, i)) != NULL; i++) {
        if (option[0] == '\0' || strcmp(option, "?") == 0 || bw_key_same(option, "unknown"))
            return wrong(lint, "an option is empty or means not given");
        for (size_t k = 0; k < i; k++)
            if (bw_key_same(option, bw_field_option(field, k)))
                return wrong(lint, "two options read the same");
    }
    return true;
}

static bool lint_of(struct lint *lint, const struct bw_field *field) {
    const struct bw_file_kind *file = field->of;
    bool needs = field->kind != BW_QUANTITY && field->kind != BW_COUNT && field->kind != BW_TEXT;
    bool may = needs || field->kind == BW_QUANTITY;
    if (field->of == NULL && needs) return wrong(lint, "needs .of");
    if (field->of != NULL && !may) return wrong(lint, "takes no .of");
    bool options = field->kind == BW_CHOICE || field->kind == BW_ONEOF;
    if (options && bw_field_option(field, 0) == NULL) return wrong(lint, "has no options");
    if (field->kind != BW_FILE) return lint_options(lint, field);
    if (file->name == NULL) return wrong(lint, "its file kind has no name");
    if (file->record != NULL && file->shape == NULL)
        return wrong(lint, "its document has no shape");
    if (file->medium != BW_MEDIUM_NONE && file->record != NULL)
        return wrong(lint, "a medium is no document");
    return true;
}

// --name alone says yes, so it must be no without it, and nothing else to say.
static bool lint_flag(struct lint *lint, const struct bw_field *field) {
    if (!field->flag) return true;
    const struct bw_choice *choices = field->kind == BW_CHOICE ? field->of : NULL;
    bool sound = choices != NULL && strcmp(choices[0].name, "no") == 0 && choices[1].name != NULL &&
                 strcmp(choices[1].name, "yes") == 0 && choices[2].name == NULL &&
                 field->fallback != NULL && strcmp(field->fallback, "no") == 0 &&
                 !field->positional;
    return sound || wrong(lint, "a flag is a choice of no and yes that falls back to no");
}

static bool lint_numbers(struct lint *lint, const struct bw_field *field) {
    if (isnan(field->min) || isnan(field->max) || field->min > field->max)
        return wrong(lint, "its limits are no range");
    bool number = field->kind == BW_QUANTITY || field->kind == BW_COUNT;
    if (!number && field->min < field->max) return wrong(lint, "limits are for numbers");
    if (field->count_max != 0 && field->kind != BW_LIST)
        return wrong(lint, "count_max is for lists");
    if ((unsigned)field->dim >= BW_DIM_COUNT) return wrong(lint, "its dim does not exist");
    if (field->dim != 0 && field->kind != BW_QUANTITY) return wrong(lint, "dim is for quantities");
    return true;
}

// A fallback is bound exactly as the binder would: as the only field of a record of its own.
static bool lint_fallback(struct lint *lint, const struct bw_field *field) {
    if (field->fallback == NULL) return true;
    if (field->required) return wrong(lint, "is required and has a fallback");
    if (field->kind == BW_FILE) return wrong(lint, "a file has no fallback");
    if (strcmp(field->fallback, "?") == 0 || bw_key_same(field->fallback, "unknown"))
        return wrong(lint, "its fallback means not given");
    const struct bw_field alone[] = {*field, BW_END_FIELDS};
    const struct bw_record record = {.name = "fallback",
                                     .help = "one field",
                                     .fields = alone,
                                     .size = field->offset + HELD[field->kind].size};
    const struct bw_binding binding = {.arena = lint->arena};
    void *out = bw_arena_get(lint->arena, record.size);
    const struct bw_node nothing = {.kind = BW_NODE_MAP};
    struct bw_err why = {0};
    if (out == NULL) return bw_fail_memory(lint->err);
    if (bw_bind(&binding, &nothing, &record, out, &why)) return true;
    if (why.code == BW_MEMORY) return bw_fail_memory(lint->err);
    bw_err_value(lint->err, field->fallback);
    bw_err_mend(lint->err, "%s", why.mend);
    return bw_fail(lint->err, BW_FAILED, "its fallback %s", why.what);
}

// ---- leads ----

// A roughness, written as the standards do: "Ra".
static bool is_symbol(const char *lead) {
    return lead[0] == 'R' && lead[1] >= 'a' && lead[1] <= 'z' && lead[2] == '\0';
}

static bool lint_lead(struct lint *lint, const struct bw_record *record,
                      const struct bw_field *field) {
    if (field->lead == NULL) return true;
    if (field->kind > BW_TEXT) return wrong(lint, "only values of one word or number have a lead");
    if (strcmp(field->lead, "by") == 0) return wrong(lint, "\"by\" belongs to the quantity");
    if (field->lead[0] != '\0' && !is_name(field->lead, " -") && !is_symbol(field->lead))
        return wrong(lint, "the lead must be words of small letters, or one symbol such as Ra");
    for (const struct bw_field *other = record->fields; other->name != NULL; other++) {
        if (other < field && other->lead != NULL && strcmp(other->lead, field->lead) == 0)
            return wrong(lint, "two fields have this lead");
        const char *option;
        for (size_t i = 0; (option = bw_field_option(other, i)) != NULL; i++)
            if (other->lead != NULL && field->lead[0] != '\0' && has_word(option, field->lead))
                return wrong(lint, "an option of this record holds the lead as a word");
    }
    return true;
}

// ---- one record ----

static bool lint_field(struct lint *lint, const struct bw_record *record,
                       const struct bw_field *field) {
    if ((unsigned)field->kind > BW_ONEOF) return wrong(lint, "its kind does not exist");
    for (const struct bw_field *other = record->fields; other != field; other++) {
        if (bw_key_same(other->name, field->name)) return wrong(lint, "two fields have this name");
        if (other->positional && other->kind == BW_LIST && field->positional)
            return wrong(lint, "stands after a list that takes every word");
    }
    return lint_words(lint, field) && lint_place(lint, record, field) && lint_of(lint, field) &&
           lint_flag(lint, field) && lint_numbers(lint, field) && lint_fallback(lint, field) &&
           lint_lead(lint, record, field);
}

static bool lint_inner(struct lint *lint, const struct bw_field *field) {
    if (field->kind == BW_RECORD || field->kind == BW_LIST) return lint_record(lint, field->of);
    if (field->kind == BW_FILE) {
        const struct bw_file_kind *file = field->of;
        return file->record == NULL || lint_document(lint, file->record);
    }
    if (field->kind != BW_ONEOF) return true;
    for (const struct bw_choice_record *one = field->of; one->name != NULL; one++) {
        if (one->record == NULL) return wrong(lint, "a variant has no record");
        if (!lint_record(lint, one->record)) return false;
    }
    return true;
}

static bool lint_record(struct lint *lint, const struct bw_record *record) {
    for (size_t i = 0; i < lint->n; i++) {
        if (lint->seen[i] == record) return true;
        if (record->name != NULL && strcmp(lint->seen[i]->name, record->name) == 0)
            return wrong(lint, "two records have this record's name");
    }
    if (lint->n == MOST_RECORDS) return wrong(lint, "there are too many records");
    if (record->name == NULL || !is_name(record->name, " -"))
        return wrong(lint, "the record's name must be words of small letters");
    if (!is_help(record->help)) return wrong(lint, "the record's help must have no full stop");
    if (record->fields == NULL || record->size == 0) return wrong(lint, "the record is empty");
    lint->seen[lint->n++] = record;
    for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
        if (lint_field(lint, record, field) && lint_inner(lint, field)) continue;
        bw_err_within(lint->err, field->name);
        return false;
    }
    return true;
}

// At the top of a document "shape" says what document it is.
static bool lint_document(struct lint *lint, const struct bw_record *record) {
    if (!lint_record(lint, record)) return false;
    if (bw_field_find(record, "shape") == NULL) return true;
    (void)wrong(lint, "names the document");
    bw_err_within(lint->err, "shape");
    return false;
}

bool bw_record_lint(const struct bw_record *record, struct bw_err *err) {
    struct lint lint = {.arena = bw_arena_new(0), .err = err};
    if (lint.arena == NULL) return bw_fail_memory(err);
    bool clean = lint_document(&lint, record);
    bw_arena_free(lint.arena);
    return clean;
}
