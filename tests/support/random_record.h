// random_record.h - random valid records for any description, and whether two records are the same.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef TESTS_SUPPORT_RANDOM_RECORD_H
#define TESTS_SUPPORT_RANDOM_RECORD_H

#include "base/bind.h"

#include <stdint.h>

struct random_how {
    struct bw_arena *arena;
    uint64_t state;  // any seed; the same seed gives the same record
    double given;    // 0..1: chance that a field that may be left out is given
    size_t items;    // most items of a list (its own maximum holds as well)
    bool raw_files;  // give raw files too (by a name that is not read back)
};

// A uniform number in [0, 1), and one in 0..n-1.
double random_share(uint64_t *state);
size_t random_below(uint64_t *state, size_t n);

// Fills `out` with a record that its own rules accept: values within limits, with and without sd,
// ways, texts that look like other things. A record whose rule refuses 200 draws in a row fails the
// draw: false.
bool random_record(struct random_how *how, const struct bw_record *record, void *out);

// A loader for bw_binding that takes a raw file or a medium by its name alone and refuses documents
// as bw_bind does without a loader: what random records need to be read back.
bool random_load(void *door, const struct bw_file_kind *kind, const char *name, struct bw_file *out,
                 struct bw_binding *binding, struct bw_err *err);

// Same values: numbers within a relative 1e-11 (JSON carries 12 digits), all else exactly. File
// names are not compared where the content is. On a difference `path` (160 bytes) names the field.
bool same_record(const struct bw_record *record, const void *a, const void *b, char path[160]);

#endif
