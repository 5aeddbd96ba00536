// study.h - a study is a room with the same doors: input, pure function, output, views.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A study never prints, never opens a file, never touches the store.
#ifndef BW_STUDY_STUDY_H
#define BW_STUDY_STUDY_H

#include "base/arena.h"
#include "base/err.h"
#include "base/field.h"
#include "base/plot.h"
#include "base/text.h"

#include <stdatomic.h>
#include <stdint.h>

// What the door lends a running study.
struct bw_run {
    struct bw_arena *arena;     // results live here
    uint64_t seed;              // from the input; same seed, same bytes
    const atomic_bool *cancel;  // may be NULL; a heavy study looks now and then
    void (*progress)(void *door, double share, const char *doing);  // may be NULL
    void *door;
};

// What measuring says to reasoning: a kind, about what, a value with its sd. The only currency
// between them.
struct bw_finding {
    const char *kind;   // "pitch-source", "timed", ...; listed in docs/findings.md
    const char *about;  // "head 2 drum", "mark 1"
    double v, sd;       // SI; a probability where the kind says so
    enum bw_dim dim;
    const char *entry;  // of the job it came from, or NULL
};
struct bw_findings {
    struct bw_arena *arena;
    struct bw_finding *items;
    size_t n, capacity;
    bool failed;
};
void bw_findings_add(struct bw_findings *findings, struct bw_finding finding);

struct bw_study {
    const char *name;       // "rates": command, URL, shape
    const char *summary;    // one line
    const char *about;      // paragraphs for help, man page and form; separated by a blank line
    const char *example;    // one command line that works from the repository's root
    const struct bw_record *in, *out;
    int shape;              // out opens with "name/shape"
    bool heavy;             // the server runs it in a child process
    bool (*run)(struct bw_run *run, const void *in, void *out, struct bw_err *err);
    void (*text)(const void *out, struct bw_text *text);
    void (*plots)(const void *out, struct bw_plots *plots);           // NULL: none
    void (*findings)(const void *out, struct bw_findings *findings);  // NULL: none
};

// The registry: studies in the order a person would look for them; NULL-terminated. A new study
// is one folder and one line here. Tests may add one more with bw_studies_add (the toy study).
const struct bw_study *const *bw_studies(void);
const struct bw_study *bw_study_find(const char *name);
bool bw_studies_add(const struct bw_study *study) BW_CHECKED;  // false: the list is full

#endif
