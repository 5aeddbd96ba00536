// library.c - the public library: text in, text out, nothing kept between calls.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beltwright/beltwright.h"

#include "base/alloc.h"
#include "base/emit.h"
#include "study/door.h"

#include <string.h>

const char *beltwright_version(void) { return BELTWRIGHT_VERSION; }

void beltwright_free(char *text) { bw_free(text); }

static void key_text(struct bw_json *json, const char *key, const char *text) {
    bw_json_key(json, key);
    bw_json_text(json, text);
}

char *beltwright_list(void) {
    struct bw_buffer buffer = {0};
    struct bw_json json = bw_json_begin(&buffer);
    char shape[BW_SHAPE_TEXT];
    bw_json_open(&json, '[');
    for (const struct bw_study *const *study = bw_studies(); *study != NULL; study++) {
        bw_json_open(&json, '{');
        key_text(&json, "name", (*study)->name);
        key_text(&json, "summary", (*study)->summary);
        key_text(&json, "shape", bw_study_shape(shape, *study));
        bw_json_close(&json, '}');
    }
    bw_json_close(&json, ']');
    return bw_buffer_take(&buffer);
}

char *beltwright_describe(const char *name) {
    const struct bw_study *study = bw_study_find(name);
    if (study == NULL) return NULL;
    struct bw_buffer buffer = {0};
    struct bw_json json = bw_json_begin(&buffer);
    char shape[BW_SHAPE_TEXT];
    bw_json_open(&json, '{');
    key_text(&json, "name", study->name);
    key_text(&json, "summary", study->summary);
    key_text(&json, "about", study->about);
    bw_json_key(&json, "input");
    bw_emit_schema(&json, study->in, bw_study_input_shape(shape, study));
    bw_json_key(&json, "output");
    bw_emit_schema(&json, study->out, bw_study_shape(shape, study));
    bw_json_close(&json, '}');
    return bw_buffer_take(&buffer);
}

static const struct bw_study *find(const char *name, struct bw_err *err) {
    const struct bw_study *study = bw_study_find(name);
    if (study != NULL) return study;
    bw_fail(err, BW_NOT_FOUND, "there is no study of that name");
    bw_err_value(err, name);
    bw_err_mend(err, "beltwright_list names the studies");
    return NULL;
}

static bool answer(const char *name, const char *input, struct bw_arena *arena,
                   struct bw_json *json, struct bw_err *err) {
    if (arena == NULL) return bw_fail_memory(err);
    const struct bw_study *study = find(name, err);
    if (study == NULL) return false;
    struct bw_node *root;
    if (!bw_json_read(arena, "", input, strlen(input), &root, err)) return false;
    struct bw_binding binding = {.arena = arena};
    struct bw_run run = {.arena = arena};
    const void *in;
    void *out;
    if (!bw_study_bind(study, &binding, root, &in, err)) return false;
    if (!bw_study_run(study, &run, in, &out, err)) return false;
    bw_study_emit(json, study, out);
    return json->to->failed ? bw_fail_memory(err) : true;
}

int beltwright_run(const char *study, const char *input, char **output) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_buffer buffer = {0};
    struct bw_json json = bw_json_begin(&buffer);
    struct bw_err err = {0};
    if (!answer(study, input, arena, &json, &err)) {
        bw_buffer_free(&buffer);
        json = bw_json_begin(&buffer);
        bw_error_emit(&json, &err);
    }
    bw_arena_free(arena);
    *output = bw_buffer_take(&buffer);
    return *output == NULL ? bw_code_exit(BW_MEMORY) : bw_code_exit(err.code);
}
