// profile.h - a trace or surface file as heights at even or told places.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Columns of numbers (CSV, TXT), SMD, SDF in both forms, X3P; docs/readers.md says what is taken.
// A jailed reader opens them, this is its client.
#ifndef BW_READ_PROFILE_H
#define BW_READ_PROFILE_H

#include "read/protocol.h"

struct bw_profile {
    const double *heights;  // about.rows times about.columns; m, or bare (about.flags)
    const double *x;        // about.columns, rising; NULL: every about.dx
    struct bw_profile_header about;
    struct bw_jail_report jail;  // in which it was read
    void *map;                   // private: what bw_profile_free gives back
    uint64_t map_bytes;
};

// Reads from a descriptor open for reading, which stays the caller's; `name` is for messages.
// `unjailed`: even where the jail is not full. Errors: those of bw_reader_run, with the file named.
// `out` untouched on failure.
bool bw_profile_read_open(int fd, const char *name, bool unjailed, struct bw_profile *out,
                          struct bw_err *err) BW_CHECKED;
void bw_profile_free(struct bw_profile *profile);  // NULL and zeroed are allowed

const char *bw_profile_format_name(enum bw_profile_format format);  // "X3P"

#endif
