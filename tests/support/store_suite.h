// store_suite.h - what every kind of store must do; each kind's test runs the whole of it.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef TESTS_SUPPORT_STORE_SUITE_H
#define TESTS_SUPPORT_STORE_SUITE_H

#include "store/store.h"

// How to get an empty store, and a second door to the same one.
struct store_kind {
    const char *name;
    struct bw_store *(*fresh)(void);  // empties it
    struct bw_store *(*again)(void);  // the same one as the last fresh
};

// Runs the suite as one cmocka group; returns the number of failures.
int store_suite_run(const struct store_kind *kind);

#endif
