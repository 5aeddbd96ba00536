// emit_schema.c - the JSON Schema of a record, for programs that write input or read output.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// It describes the one canonical form. The binder is kinder: it takes other spellings of a key, one
// item for a list, null and "unknown" for what is not given.
#include "base/emit.h"

#include <assert.h>
#include <string.h>

#define MOST_RECORDS 128

// The inner records in the order met, each written once under $defs.
struct defs {
    const struct bw_record *record[MOST_RECORDS];
    const char *shape[MOST_RECORDS];  // of a record that is also a document of its own
    size_t n;
};

static void collect(struct defs *defs, const struct bw_record *record);

static void collect_one(struct defs *defs, const struct bw_record *record, const char *shape) {
    for (size_t i = 0; i < defs->n; i++) {
        if (defs->record[i] != record) continue;
        if (shape != NULL) defs->shape[i] = shape;
        return;
    }
    assert(defs->n < MOST_RECORDS);
    defs->shape[defs->n] = shape;
    defs->record[defs->n++] = record;
    collect(defs, record);
}

static void collect(struct defs *defs, const struct bw_record *record) {
    for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
        const struct bw_file_kind *file = field->of;
        const struct bw_choice_record *variant = field->of;
        if (field->kind == BW_RECORD || field->kind == BW_LIST)
            collect_one(defs, field->of, NULL);
        else if (field->kind == BW_FILE && file->record != NULL)
            collect_one(defs, file->record, file->shape);
        else if (field->kind == BW_ONEOF)
            for (; variant->name != NULL; variant++) collect_one(defs, variant->record, NULL);
    }
}

static void pair(struct bw_json *json, const char *key, const char *text) {
    bw_json_key(json, key);
    bw_json_text(json, text);
}

static void open_key(struct bw_json *json, const char *key, char bracket) {
    bw_json_key(json, key);
    bw_json_open(json, bracket);
}

static void type_only(struct bw_json *json, const char *type) {
    bw_json_open(json, '{');
    pair(json, "type", type);
    bw_json_close(json, '}');
}

// Names of records may hold spaces; references may not.
static void def_name(char name[BW_MAX_ERROR_FIELD], const char *prefix, const char *record) {
    (void)snprintf(name, BW_MAX_ERROR_FIELD, "%s%s", prefix, record);
    for (char *c = name; *c != '\0'; c++)
        if (*c == ' ') *c = '_';
}

static void reference(struct bw_json *json, const struct bw_record *record) {
    char name[BW_MAX_ERROR_FIELD];
    def_name(name, "#/$defs/", record->name);
    pair(json, "$ref", name);
}

static void options(struct bw_json *json, const struct bw_field *field) {
    const char *option;
    open_key(json, "enum", '[');
    for (size_t i = 0; (option = bw_field_option(field, i)) != NULL; i++)
        bw_json_text(json, option);
    bw_json_close(json, ']');
}

static void quantity_map(struct bw_json *json, const struct bw_field *field) {
    bool unit = field->dim != BW_DIM_NUMBER;
    bw_json_open(json, '{');
    pair(json, "type", "object");
    open_key(json, "properties", '{');
    bw_json_key(json, "value");
    type_only(json, "number");
    bw_json_key(json, "sd");
    type_only(json, "number");
    if (unit) {
        open_key(json, "unit", '{');
        pair(json, "type", "string");
        open_key(json, "examples", '[');
        const char *si = bw_dim_unit(field->dim, BW_UNITS_SI);
        const char *us = bw_dim_unit(field->dim, BW_UNITS_US);
        bw_json_text(json, si);
        if (strcmp(si, us) != 0) bw_json_text(json, us);
        bw_json_close(json, ']');
        bw_json_close(json, '}');
    }
    if (field->of != NULL) {
        open_key(json, "by", '{');
        options(json, field);
        bw_json_close(json, '}');
    }
    bw_json_close(json, '}');
    open_key(json, "required", '[');
    bw_json_text(json, "value");
    if (unit) bw_json_text(json, "unit");
    bw_json_close(json, ']');
    bw_json_key(json, "additionalProperties");
    bw_json_bool(json, false);
    bw_json_close(json, '}');
}

static void quantity(struct bw_json *json, const struct bw_field *field) {
    enum bw_dim dim = field->dim;
    open_key(json, "anyOf", '[');
    type_only(json, "string");
    if (dim == BW_DIM_NUMBER || dim == BW_DIM_RATIO || dim == BW_DIM_SHORE)
        type_only(json, "number");
    quantity_map(json, field);
    bw_json_close(json, ']');
}

static void count(struct bw_json *json, const struct bw_field *field) {
    pair(json, "type", "integer");
    if (field->min >= field->max) return;
    if (!isinf(field->min)) {
        bw_json_key(json, "minimum");
        bw_json_number(json, field->min);
    }
    if (isinf(field->max)) return;
    bw_json_key(json, "maximum");
    bw_json_number(json, field->max);
}

// A record, or the phrase that stands for it.
static void record_or_phrase(struct bw_json *json, const struct bw_record *record, bool phrase) {
    if (!phrase) {
        reference(json, record);
        return;
    }
    open_key(json, "anyOf", '[');
    type_only(json, "string");
    bw_json_open(json, '{');
    reference(json, record);
    bw_json_close(json, '}');
    bw_json_close(json, ']');
}

static void list(struct bw_json *json, const struct bw_field *field) {
    pair(json, "type", "array");
    open_key(json, "items", '{');
    record_or_phrase(json, field->of, bw_record_has_leads(field->of));
    bw_json_close(json, '}');
    if (field->required) {
        bw_json_key(json, "minItems");
        bw_json_count(json, 1);
    }
    bw_json_key(json, "maxItems");
    bw_json_count(json, (long)bw_field_count_max(field));
}

static void oneof(struct bw_json *json, const struct bw_field *field) {
    open_key(json, "oneOf", '[');
    for (const struct bw_choice_record *one = field->of; one->name != NULL; one++) {
        bw_json_open(json, '{');
        pair(json, "type", "object");
        if (one->help != NULL) pair(json, "description", one->help);
        open_key(json, "properties", '{');
        open_key(json, one->name, '{');
        reference(json, one->record);
        bw_json_close(json, '}');
        bw_json_close(json, '}');
        open_key(json, "required", '[');
        bw_json_text(json, one->name);
        bw_json_close(json, ']');
        bw_json_key(json, "additionalProperties");
        bw_json_bool(json, false);
        bw_json_close(json, '}');
    }
    bw_json_close(json, ']');
}

static void file(struct bw_json *json, const struct bw_file_kind *kind) {
    if (kind->record == NULL)
        pair(json, "type", "string");
    else
        record_or_phrase(json, kind->record, true);
}

static void property(struct bw_json *json, const struct bw_field *field) {
    char takes[BW_MAX_ERROR_TEXT], words[2 * BW_MAX_ERROR_TEXT];
    bw_field_takes(field, BW_UNITS_SI, takes, sizeof takes);
    bool said = field->kind == BW_QUANTITY || field->kind == BW_FILE;  // else the keywords say it
    (void)snprintf(words, sizeof words, "%s%s%s%s", field->help, said ? " (" : "",
                   said ? takes : "", said ? ")" : "");
    open_key(json, field->name, '{');
    pair(json, "description", words);
    switch (field->kind) {
    case BW_QUANTITY: quantity(json, field); break;
    case BW_COUNT: count(json, field); break;
    case BW_CHOICE: options(json, field); break;
    case BW_TEXT: pair(json, "type", "string"); break;
    case BW_FILE: file(json, field->of); break;
    case BW_RECORD: record_or_phrase(json, field->of, bw_record_has_leads(field->of)); break;
    case BW_LIST: list(json, field); break;
    case BW_ONEOF: oneof(json, field); break;
    }
    if (field->fallback != NULL) pair(json, "default", field->fallback);
    bw_json_close(json, '}');
}

static void required(struct bw_json *json, const struct bw_record *record) {
    open_key(json, "required", '[');
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        if (field->required) bw_json_text(json, field->name);
    bw_json_close(json, ']');
}

static void object(struct bw_json *json, const struct bw_record *record, const char *shape) {
    pair(json, "title", record->name);
    pair(json, "description", record->help);
    pair(json, "type", "object");
    open_key(json, "properties", '{');
    if (shape != NULL) {
        open_key(json, "shape", '{');
        pair(json, "const", shape);
        bw_json_close(json, '}');
    }
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        property(json, field);
    bw_json_close(json, '}');
    required(json, record);
    bw_json_key(json, "additionalProperties");
    bw_json_bool(json, false);
}

void bw_emit_schema(struct bw_json *json, const struct bw_record *record, const char *shape) {
    struct defs defs = {.n = 0};
    collect(&defs, record);
    bw_json_open(json, '{');
    pair(json, "$schema", "https://json-schema.org/draft/2020-12/schema");
    object(json, record, shape);
    if (defs.n > 0) open_key(json, "$defs", '{');
    for (size_t i = 0; i < defs.n; i++) {
        char name[BW_MAX_ERROR_FIELD];
        def_name(name, "", defs.record[i]->name);
        open_key(json, name, '{');
        object(json, defs.record[i], defs.shape[i]);
        bw_json_close(json, '}');
    }
    if (defs.n > 0) bw_json_close(json, '}');
    bw_json_close(json, '}');
}
