// ask.h - runs a study on a JSON document, as a door would, and hands back its output record.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef TESTS_SUPPORT_ASK_H
#define TESTS_SUPPORT_ASK_H

#include "study/study.h"

// Files named in the document are read from the working directory (the repository's root in
// tests). The answer lives in `arena`. NULL: see `err`.
const void *ask_study(struct bw_arena *arena, const struct bw_study *study, const char *json,
                      struct bw_err *err);

// As ask_study; a failure fails the test with the error's words.
const void *must_ask(struct bw_arena *arena, const struct bw_study *study, const char *json);

#endif
