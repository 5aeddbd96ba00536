// emit.c - see emit.h: records out as JSON. The schema is in emit_schema.c.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/emit.h"

static void emit_fields(struct bw_json *json, const struct bw_record *record, const void *value);

// A plain fraction or number needs no unit and, without an sd or a way, no map.
static void emit_quantity(struct bw_json *json, const struct bw_field *field,
                          struct bw_quantity q) {
    enum bw_dim dim = field->dim;
    bool plain = dim == BW_DIM_NUMBER || dim == BW_DIM_RATIO;
    // An answer may repeat an input's value in a field that knows no ways.
    const char *by = q.way < 0 ? NULL : bw_field_option(field, (size_t)q.way);
    if (plain && !bw_sd_known(q) && by == NULL) {
        bw_json_number(json, q.v);
        return;
    }
    bw_json_open(json, '{');
    bw_json_key(json, "value");
    bw_json_number(json, bw_dim_from_si(dim, BW_UNITS_SI, q.v));
    if (bw_sd_known(q)) {
        // A difference: of a temperature only the factor counts.
        double zero = bw_dim_from_si(dim, BW_UNITS_SI, 0);
        bw_json_key(json, "sd");
        bw_json_number(json, q.sd * (bw_dim_from_si(dim, BW_UNITS_SI, 1) - zero));
    }
    if (dim != BW_DIM_NUMBER) {
        bw_json_key(json, "unit");
        bw_json_text(json, bw_dim_unit(dim, BW_UNITS_SI));
    }
    if (by != NULL) {
        bw_json_key(json, "by");
        bw_json_text(json, by);
    }
    bw_json_close(json, '}');
}

static void emit_record(struct bw_json *json, const struct bw_record *record, const void *value) {
    bw_json_open(json, '{');
    emit_fields(json, record, value);
    bw_json_close(json, '}');
}

static void emit_list(struct bw_json *json, const struct bw_record *record,
                      const struct bw_list *list) {
    bw_json_open(json, '[');
    for (size_t i = 0; i < list->n; i++)
        emit_record(json, record, (const char *)list->items + i * record->size);
    bw_json_close(json, ']');
}

static void emit_oneof(struct bw_json *json, const struct bw_field *field,
                       const struct bw_oneof *one) {
    const struct bw_choice_record *variant =
        (const struct bw_choice_record *)field->of + one->which;
    bw_json_open(json, '{');
    bw_json_key(json, variant->name);
    emit_record(json, variant->record, one->item);
    bw_json_close(json, '}');
}

// A document goes along whole, so that the result stands without the file; raw bytes are only
// named.
static void emit_file(struct bw_json *json, const struct bw_file_kind *kind,
                      const struct bw_file *file) {
    if (kind->record != NULL)
        emit_record(json, kind->record, file->content);
    else
        bw_json_text(json, file->name);
}

static bool given(const struct bw_field *field, const void *at) {
    switch (field->kind) {
    case BW_QUANTITY: return bw_known(*(const struct bw_quantity *)at);
    case BW_COUNT: return *(const long *)at != BW_NO_COUNT;
    case BW_CHOICE: return *(const int *)at != BW_NO_CHOICE;
    case BW_TEXT: return *(const char *const *)at != NULL;
    case BW_FILE: return ((const struct bw_file *)at)->name != NULL;
    case BW_RECORD: return *(const void *const *)at != NULL;
    case BW_LIST: return ((const struct bw_list *)at)->n > 0;
    case BW_ONEOF: return ((const struct bw_oneof *)at)->which >= 0;
    }
    return false;
}

static void emit_value(struct bw_json *json, const struct bw_field *field, const void *at) {
    switch (field->kind) {
    case BW_QUANTITY: emit_quantity(json, field, *(const struct bw_quantity *)at); break;
    case BW_COUNT: bw_json_count(json, *(const long *)at); break;
    case BW_CHOICE: bw_json_text(json, bw_field_option(field, (size_t) * (const int *)at)); break;
    case BW_TEXT: bw_json_text(json, *(const char *const *)at); break;
    case BW_FILE: emit_file(json, field->of, at); break;
    case BW_RECORD: emit_record(json, field->of, *(const void *const *)at); break;
    case BW_LIST: emit_list(json, field->of, at); break;
    case BW_ONEOF: emit_oneof(json, field, at); break;
    }
}

static void emit_fields(struct bw_json *json, const struct bw_record *record, const void *value) {
    for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
        const void *at = bw_field_in(field, value);
        if (!given(field, at)) continue;
        bw_json_key(json, field->name);
        emit_value(json, field, at);
    }
}

void bw_emit_record(struct bw_json *json, const struct bw_record *record, const void *value,
                    const char *shape) {
    bw_json_open(json, '{');
    if (shape != NULL) {
        bw_json_key(json, "shape");
        bw_json_text(json, shape);
    }
    emit_fields(json, record, value);
    bw_json_close(json, '}');
}
