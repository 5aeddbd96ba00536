// embedded_table.h - what the build generates for embedded.c; nobody else includes it.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_EMBEDDED_TABLE_H
#define BW_BASE_EMBEDDED_TABLE_H

struct bw_embedded_file {
    const char *name;
    const char *bytes, *end;  // `end` points at the closing NUL
};

// Sorted by name, ends with name NULL.
extern const struct bw_embedded_file bw_embedded_files[];

#endif
