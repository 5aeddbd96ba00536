// page_api.c - the same studies for other programs: JSON in, JSON out, described by OpenAPI.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/emit.h"
#include "base/json.h"
#include "study/door.h"
#include "web/exchange.h"
#include "web/pack.h"

#include <string.h>

static struct bw_json begin(struct bw_exchange *exchange, int status) {
    bw_buffer_free(&exchange->response.body);
    exchange->response.status = status;
    exchange->response.type = "application/json";
    return bw_json_begin(&exchange->response.body);
}

static void pair(struct bw_json *json, const char *key, const char *text) {
    bw_json_key(json, key);
    bw_json_text(json, text);
}

static void open_key(struct bw_json *json, const char *key, char bracket) {
    bw_json_key(json, key);
    bw_json_open(json, bracket);
}

static void trouble(struct bw_exchange *exchange, const struct bw_err *err) {
    struct bw_json json = begin(exchange, bw_code_http(err->code));
    bw_error_emit(&json, err);
}

static const struct bw_study *find(struct bw_exchange *exchange) {
    const struct bw_study *study = bw_study_find(exchange->rest);
    struct bw_err err = {0};
    if (study != NULL) return study;
    bw_fail(&err, BW_NOT_FOUND, "there is no study of that name");
    bw_err_value(&err, exchange->rest);
    bw_err_mend(&err, "/api/studies names them");
    trouble(exchange, &err);
    return NULL;
}

bool bw_web_api_list(struct bw_exchange *exchange) {
    char shape[BW_SHAPE_TEXT];
    struct bw_json json = begin(exchange, 200);
    bw_json_open(&json, '[');
    for (const struct bw_study *const *at = bw_studies(); *at != NULL; at++) {
        bw_json_open(&json, '{');
        pair(&json, "name", (*at)->name);
        pair(&json, "summary", (*at)->summary);
        pair(&json, "shape", bw_study_shape(shape, *at));
        bw_json_close(&json, '}');
    }
    bw_json_close(&json, ']');
    return true;
}

bool bw_web_api_study(struct bw_exchange *exchange) {
    char shape[BW_SHAPE_TEXT];
    const struct bw_study *study = find(exchange);
    if (study == NULL) return true;
    struct bw_json json = begin(exchange, 200);
    bw_json_open(&json, '{');
    pair(&json, "name", study->name);
    pair(&json, "summary", study->summary);
    pair(&json, "about", study->about);
    bw_json_key(&json, "input");
    bw_emit_schema(&json, study->in, bw_study_input_shape(shape, study));
    bw_json_key(&json, "output");
    bw_emit_schema(&json, study->out, bw_study_shape(shape, study));
    bw_json_close(&json, '}');
    return true;
}

static void done(void *with, const char *result, size_t length, const char *why) {
    struct bw_exchange *exchange = with;
    struct bw_packed run, status;
    struct bw_err err = {0};
    if (result == NULL) {
        bw_fail(&err, BW_FAILED, "%s", why);
        trouble(exchange, &err);
    } else {
        bool well = bw_pack_find(result, length, "answer", &run);
        bool told = !well && bw_pack_find(result, length, "error", &run) &&
                    bw_pack_find(result, length, "status", &status) && status.length == 3;
        (void)begin(exchange, well ? 200 : 500);
        if (told)
            exchange->response.status = 100 * (status.bytes[0] - '0') +
                                        10 * (status.bytes[1] - '0') + (status.bytes[2] - '0');
        if (well || told) bw_buffer_add(&exchange->response.body, run.bytes, run.length);
    }
    exchange->waiting = false;
    exchange->web->wake(exchange);
}

// Files that came along in a multipart body are named in the input by the names of their parts.
static void add_files(struct bw_exchange *exchange) {
    for (const struct bw_part *part = exchange->parts; part != NULL; part = part->next)
        if (part->fd >= 0) (void)bw_exchange_file(exchange, part->name, part->fd, false);
}

bool bw_web_api_run(struct bw_exchange *exchange) {
    const struct bw_study *study = find(exchange);
    struct bw_err err = {0};
    if (study == NULL) return true;
    const char *input = exchange->body != NULL ? exchange->body : bw_part_text(exchange, "input");
    bw_pack_text(&exchange->request, "study", study->name);
    bw_pack_text(&exchange->request, "units", "si");
    bw_pack_text(&exchange->request, "input", input);
    add_files(exchange);
    if (bw_exchange_work(exchange, done)) return true;
    bw_fail(&err, BW_MEMORY, "too much is being worked out just now");
    bw_err_mend(&err, "wait a second and ask again");
    trouble(exchange, &err);
    return true;
}

// ---- the description ----

static void response(struct bw_json *json, const char *status, const char *words,
                     const struct bw_study *study) {
    char shape[BW_SHAPE_TEXT];
    open_key(json, status, '{');
    pair(json, "description", words);
    open_key(json, "content", '{');
    open_key(json, "application/json", '{');
    bw_json_key(json, "schema");
    if (study != NULL) {
        bw_emit_schema(json, study->out, bw_study_shape(shape, study));
    } else {
        bw_json_open(json, '{');
        pair(json, "$ref", "#/components/schemas/error");
        bw_json_close(json, '}');
    }
    for (int i = 0; i < 3; i++) bw_json_close(json, '}');
}

static void describe_run(struct bw_json *json, const struct bw_study *study) {
    char shape[BW_SHAPE_TEXT];
    open_key(json, "post", '{');
    pair(json, "operationId", study->name);
    pair(json, "summary", study->summary);
    pair(json, "description", study->about);
    open_key(json, "requestBody", '{');
    bw_json_key(json, "required");
    bw_json_bool(json, true);
    open_key(json, "content", '{');
    open_key(json, "application/json", '{');
    bw_json_key(json, "schema");
    bw_emit_schema(json, study->in, bw_study_input_shape(shape, study));
    for (int i = 0; i < 3; i++) bw_json_close(json, '}');
    open_key(json, "responses", '{');
    response(json, "200", "the answer", study);
    response(json, "default", "what is wrong with the input, or why it failed", NULL);
    bw_json_close(json, '}');
    bw_json_close(json, '}');
}

static void describe_error(struct bw_json *json) {
    static const char *const TEXTS[] = {"shape", "code", "what",    "file", "field",
                                        "value", "mend", "excerpt", NULL};
    static const char *const NUMBERS[] = {"line", "column", NULL};
    open_key(json, "components", '{');
    open_key(json, "schemas", '{');
    open_key(json, "error", '{');
    pair(json, "type", "object");
    open_key(json, "properties", '{');
    for (size_t i = 0; TEXTS[i] != NULL; i++) {
        open_key(json, TEXTS[i], '{');
        pair(json, "type", "string");
        bw_json_close(json, '}');
    }
    for (size_t i = 0; NUMBERS[i] != NULL; i++) {
        open_key(json, NUMBERS[i], '{');
        pair(json, "type", "integer");
        bw_json_close(json, '}');
    }
    for (int i = 0; i < 4; i++) bw_json_close(json, '}');
}

bool bw_web_api_document(struct bw_exchange *exchange) {
    struct bw_json json = begin(exchange, 200);
    bw_json_open(&json, '{');
    pair(&json, "openapi", "3.1.0");
    open_key(&json, "info", '{');
    pair(&json, "title", "beltwright");
    pair(&json, "version", BELTWRIGHT_VERSION);
    bw_json_close(&json, '}');
    open_key(&json, "paths", '{');
    for (const struct bw_study *const *at = bw_studies(); *at != NULL; at++) {
        const char *path = bw_arena_format(exchange->arena, "/api/studies/%s", (*at)->name);
        if (path == NULL) return false;
        open_key(&json, path, '{');
        describe_run(&json, *at);
        bw_json_close(&json, '}');
    }
    bw_json_close(&json, '}');
    describe_error(&json);
    bw_json_close(&json, '}');
    return true;
}
