// door.h - what every door (command line, library, page) does with a study.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_DOOR_H
#define BW_STUDY_DOOR_H

#include "base/bind.h"
#include "base/json.h"
#include "study/study.h"

// A study that draws random numbers names its start with this field, `long seed` in its input
// record; every door hands it on in bw_run. A study without the field has no --seed.
#define BW_SEED_FIELD(type)                                                                        \
    {                                                                                              \
        BW_AT(type, seed),                                                                         \
            .kind = BW_COUNT, .min = 0, .max = 2147483647, .fallback = "1",                        \
            .help = "start of the random numbers; the same seed gives the same answer"             \
    }

#define BW_SHAPE_TEXT 80
// "rates/1", and for input documents "rates-input/1". Returns `text`.
const char *bw_study_shape(char text[BW_SHAPE_TEXT], const struct bw_study *study);
const char *bw_study_input_shape(char text[BW_SHAPE_TEXT], const struct bw_study *study);

// Binds a document or the nodes made from options. A "shape" at the root, if any, must be the input
// shape. The record lives in binding->arena. Errors as bw_bind.
bool bw_study_bind(const struct bw_study *study, const struct bw_binding *binding,
                   const struct bw_node *node, const void **in, struct bw_err *err) BW_CHECKED;

// Runs the study; `run` needs arena set, the seed is taken from the input. The answer lives in the
// arena.
bool bw_study_run(const struct bw_study *study, struct bw_run *run, const void *in, void **out,
                  struct bw_err *err) BW_CHECKED;

// The answer, and its findings ({"shape": "findings/1", "study", "findings": [...]}), as JSON. A
// study without findings gives an empty list. false: out of memory.
void bw_study_emit(struct bw_json *json, const struct bw_study *study, const void *out);
bool bw_findings_emit(struct bw_json *json, const struct bw_study *study, const void *out,
                      struct bw_arena *arena) BW_CHECKED;

// {"shape": "error/1", "code", "what", "file", "line", "column", "field", "value", "mend"}; empty
// ones left out.
void bw_error_emit(struct bw_json *json, const struct bw_err *err);

#endif
