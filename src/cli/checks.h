// checks.h - published checks: text files that say what the program must answer, and why.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// data/checks/README.md describes the form. A check that cannot be read, a file without checks and
// an answer that is not a number fail like a wrong answer.
#ifndef BW_CLI_CHECKS_H
#define BW_CLI_CHECKS_H

#include "base/bind.h"
#include "base/probe.h"
#include "base/text.h"

// One block of a check file, as written.
struct bw_check {
    const char *check;               // what is checked, in words
    const char *call;                // "do": a probe and its inputs; or
    const char *study, *input, *at;  // a study, its input document, the place in its answer
    const char *expect, *source;
    int origin;
    int line;  // of the block's first line
};

// What came of one. Texts live in the arena.
struct bw_outcome {
    bool passed;
    const char *got;  // in words: the value, or why there is none
};

struct bw_check_count {
    size_t passed, failed;
};

struct bw_check_file {
    const char *name;
    const char *bytes;
    size_t length;
};

// Runs all checks of one file (check_file.c). Failures are written to `text` in full; with `all`, a
// line for each that passed too. False only when memory is out.
bool bw_checks_run(const struct bw_check_file *file, bool all, struct bw_text *text,
                   struct bw_check_count *out, struct bw_err *err) BW_CHECKED;

// Runs one check (check_run.c). `err`: what the check itself has wrong (no such probe, an
// expectation that cannot be read), and BW_MEMORY.
bool bw_check_run(struct bw_arena *arena, const struct bw_check *check, struct bw_outcome *out,
                  struct bw_err *err) BW_CHECKED;

// The lists of probes, one for each room that has any; ends with NULL. Each list ends with name
// NULL (probes.c).
const struct bw_probe *const *bw_probe_lists(void);

#endif
