// door.c - see door.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/door.h"

#include "base/emit.h"

#include <string.h>

const char *bw_study_shape(char text[BW_SHAPE_TEXT], const struct bw_study *study) {
    (void)snprintf(text, BW_SHAPE_TEXT, "%s/%d", study->name, study->shape);
    return text;
}

const char *bw_study_input_shape(char text[BW_SHAPE_TEXT], const struct bw_study *study) {
    (void)snprintf(text, BW_SHAPE_TEXT, "%s-input/%d", study->name, study->shape);
    return text;
}

bool bw_study_bind(const struct bw_study *study, const struct bw_binding *binding,
                   const struct bw_node *node, const void **in, struct bw_err *err) {
    char shape[BW_SHAPE_TEXT];
    struct bw_binding shaped = *binding;
    shaped.shape = bw_study_input_shape(shape, study);
    void *record = bw_arena_get(binding->arena, study->in->size);
    if (record == NULL) return bw_fail_memory(err);
    if (!bw_bind(&shaped, node, study->in, record, err)) return false;
    *in = record;
    return true;
}

static uint64_t seed_of(const struct bw_study *study, const void *in) {
    const struct bw_field *field = bw_field_find(study->in, "seed");
    if (field == NULL || field->kind != BW_COUNT) return 1;
    long seed = *(const long *)bw_field_in(field, in);
    return seed == BW_NO_COUNT ? 1 : (uint64_t)seed;
}

bool bw_study_run(const struct bw_study *study, struct bw_run *run, const void *in, void **out,
                  struct bw_err *err) {
    void *answer = bw_arena_get(run->arena, study->out->size);
    if (answer == NULL) return bw_fail_memory(err);
    bw_record_clear(study->out, answer);
    run->seed = seed_of(study, in);
    if (!study->run(run, in, answer, err)) return false;
    *out = answer;
    return true;
}

void bw_study_emit(struct bw_json *json, const struct bw_study *study, const void *out) {
    char shape[BW_SHAPE_TEXT];
    bw_emit_record(json, study->out, out, bw_study_shape(shape, study));
}

static void emit_text(struct bw_json *json, const char *key, const char *text) {
    if (text == NULL || text[0] == '\0') return;
    bw_json_key(json, key);
    bw_json_text(json, text);
}

static void emit_finding(struct bw_json *json, const struct bw_finding *finding) {
    // Probabilities stay fractions, as in the answers.
    enum bw_dim dim = finding->dim == BW_DIM_RATIO ? BW_DIM_NUMBER : finding->dim;
    bw_json_open(json, '{');
    emit_text(json, "kind", finding->kind);
    emit_text(json, "about", finding->about);
    bw_json_key(json, "value");
    bw_json_number(json, bw_dim_from_si(dim, BW_UNITS_SI, finding->v));
    if (!isnan(finding->sd)) {
        // A difference, so that a temperature's offset cancels.
        double zero = bw_dim_from_si(dim, BW_UNITS_SI, 0.0);
        bw_json_key(json, "sd");
        bw_json_number(json, bw_dim_from_si(dim, BW_UNITS_SI, finding->sd) - zero);
    }
    emit_text(json, "unit", bw_dim_unit(dim, BW_UNITS_SI));
    emit_text(json, "entry", finding->entry);
    bw_json_close(json, '}');
}

bool bw_findings_emit(struct bw_json *json, const struct bw_study *study, const void *out,
                      struct bw_arena *arena) {
    struct bw_findings findings = {.arena = arena};
    if (study->findings != NULL) study->findings(out, &findings);
    bw_json_open(json, '{');
    emit_text(json, "shape", "findings/1");
    emit_text(json, "study", study->name);
    bw_json_key(json, "findings");
    bw_json_open(json, '[');
    for (size_t i = 0; i < findings.n; i++) emit_finding(json, &findings.items[i]);
    bw_json_close(json, ']');
    bw_json_close(json, '}');
    return !findings.failed && !json->to->failed;
}

static void emit_place(struct bw_json *json, const char *key, int place) {
    if (place == 0) return;
    bw_json_key(json, key);
    bw_json_count(json, place);
}

void bw_error_emit(struct bw_json *json, const struct bw_err *err) {
    bw_json_open(json, '{');
    emit_text(json, "shape", "error/1");
    emit_text(json, "code", bw_code_id(err->code));
    emit_text(json, "what", err->what);
    emit_text(json, "file", err->file);
    emit_place(json, "line", err->line);
    emit_place(json, "column", err->column);
    emit_text(json, "field", err->field);
    emit_text(json, "value", err->value);
    emit_text(json, "mend", err->mend);
    bw_json_close(json, '}');
}
