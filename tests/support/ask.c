// ask.c - see ask.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/ask.h"

#include "study/door.h"

#include <string.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

const void *ask_study(struct bw_arena *arena, const struct bw_study *study, const char *json,
                      struct bw_err *err) {
    struct bw_node *root;
    const void *in;
    void *out;
    struct bw_binding binding = {.arena = arena, .load = bw_load_file};
    struct bw_run run = {.arena = arena};
    if (!bw_json_read(arena, "question", json, strlen(json), &root, err) ||
        !bw_study_bind(study, &binding, root, &in, err) ||
        !bw_study_run(study, &run, in, &out, err))
        return NULL;
    return out;
}

const void *must_ask(struct bw_arena *arena, const struct bw_study *study, const char *json) {
    struct bw_err err = {0};
    const void *out = ask_study(arena, study, json, &err);
    if (out == NULL) fail_msg("%s: %s: %s (%s)", json, err.field, err.what, err.value);
    return out;
}
