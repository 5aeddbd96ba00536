// library.c - the public library: text in, text out, nothing kept between calls.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beltwright/beltwright.h"

#include "base/alloc.h"
#include "base/emit.h"
#include "read/media.h"
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

struct call {
    const char *study, *input;
    const struct beltwright_file *files;
    unsigned n;
};

// A loader for bw_binding: only what the caller has opened.
static bool load(void *door, const struct bw_file_kind *kind, const char *name, struct bw_file *out,
                 struct bw_binding *binding, struct bw_err *err) {
    struct call *call = door;
    for (unsigned i = 0; i < call->n; i++) {
        if (strcmp(call->files[i].name, name) != 0) continue;
        const struct bw_open_file file = {call->files[i].name, call->files[i].descriptor};
        return bw_media_load_open(NULL, &file, kind, binding, out, err);
    }
    bw_err_mend(err, "open it and hand it over, or give the %s itself", kind->name);
    return bw_fail(err, BW_REFUSED, "this file was not handed over");
}

static bool answer(struct call *call, struct bw_arena *arena, struct bw_json *json,
                   struct bw_err *err) {
    if (arena == NULL) return bw_fail_memory(err);
    const char *input = call->input;
    const struct bw_study *study = find(call->study, err);
    if (study == NULL) return false;
    struct bw_node *root;
    if (!bw_json_read(arena, "", input, strlen(input), &root, err)) return false;
    struct bw_binding binding = {.arena = arena, .load = call->n == 0 ? NULL : load, .door = call};
    struct bw_run run = {.arena = arena};
    const void *in;
    void *out;
    if (!bw_study_bind(study, &binding, root, &in, err)) return false;
    if (!bw_study_run(study, &run, in, &out, err)) return false;
    bw_study_emit(json, study, out);
    return json->to->failed ? bw_fail_memory(err) : true;
}

int beltwright_run(const char *study, const char *input, char **output) {
    return beltwright_run_files(study, input, NULL, 0, output);
}

int beltwright_run_files(const char *study, const char *input, const struct beltwright_file *files,
                         unsigned n, char **output) {
    struct call call = {study, input, files, n};
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_buffer buffer = {0};
    struct bw_json json = bw_json_begin(&buffer);
    struct bw_err err = {0};
    if (!answer(&call, arena, &json, &err)) {
        bw_buffer_free(&buffer);
        json = bw_json_begin(&buffer);
        bw_error_emit(&json, &err);
    }
    bw_arena_free(arena);
    *output = bw_buffer_take(&buffer);
    return *output == NULL ? bw_code_exit(BW_MEMORY) : bw_code_exit(err.code);
}
