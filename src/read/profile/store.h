// store.h - where the heights of a trace or surface go, and what the parsers share.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_READ_PROFILE_STORE_H
#define BW_READ_PROFILE_STORE_H

#include "read/protocol.h"

// The file, whole.
struct input {
    const unsigned char *bytes;
    size_t length;
};

// Room for the most heights and places; `about` is filled by the parser.
struct store {
    double *heights, *x;  // BW_MAX_PROFILE_POINTS each
    struct bw_profile_header about;
};

// Each takes one kind of file. Errors: BW_INPUT, BW_LIMIT, BW_UNSUPPORTED, BW_MEMORY, in one line
// of plain ASCII that says where and what to do.
bool read_text(struct input in, struct store *store, struct bw_err *err) BW_CHECKED;
bool read_smd(struct input in, struct store *store, struct bw_err *err) BW_CHECKED;
bool read_sdf_text(struct input in, struct store *store, struct bw_err *err) BW_CHECKED;
bool read_sdf_binary(struct input in, struct store *store, struct bw_err *err) BW_CHECKED;
bool read_x3p(struct input in, struct store *store, struct bw_err *err) BW_CHECKED;

// Chooses by the first bytes, reads, and counts the voids. What comes out holds together.
bool read_any(struct input in, struct store *store, struct bw_err *err) BW_CHECKED;

// columns and rows into `about`, if they are within limits.
bool store_size(struct store *store, uint64_t columns, uint64_t rows,
                struct bw_err *err) BW_CHECKED;
// Settles dx from store->x, and whether x is even: then it is forgotten. Falling places turn the
// profile round. `off` (may be NULL) is set to the first point that breaks the order.
bool store_places(struct store *store, size_t *off, struct bw_err *err) BW_CHECKED;

// The length in metres of a unit's name ("mm", "um", with a micro sign in UTF-8 or Latin-1, "in");
// 0: no such unit. Case matters for M alone: "MM" is mm in files of capitals.
double unit_length(const char *name, size_t length);

#endif
