// embedded.h - the tables and knowledge files of the source tree, carried inside the program.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Files under data/ are named from there ("grits.csv", "checks/source.txt"), files under knowledge/
// with their folder ("knowledge/causes.yaml"), what pages need under web/ ("web/style.css"). The
// build puts their bytes in (cmake/embed.cmake), so the program needs no installed files and no
// path at run time.
#ifndef BW_BASE_EMBEDDED_H
#define BW_BASE_EMBEDDED_H

#include <stdbool.h>
#include <stddef.h>

// The bytes of the file of that name: borrowed, valid for the program's life, followed by a NUL
// that `length` does not count. False and outputs untouched: no such file.
bool bw_embedded_find(const char *name, const char **bytes, size_t *length);

// The name of file `index` (0, 1, ...) in byte order; NULL past the last.
const char *bw_embedded_name(size_t index);

#endif
