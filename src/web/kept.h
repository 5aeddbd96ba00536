// kept.h - the documents in the server's folder, offered by forms: machine files above all.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_WEB_KEPT_H
#define BW_WEB_KEPT_H

#include "base/arena.h"

// More would be no list on a phone.
#define BW_MAX_KEPT 200

struct bw_kept {
    const char **names;  // sorted, without folder
    size_t n;
};

// Plain files NAME.yaml, .yml, .json, .csv; hidden ones are left out. `folder` NULL: none. Where a
// file says "shape: ..." in its first lines, it must be `shape`; NULL: any. false: out of memory.
bool bw_kept_list(struct bw_arena *arena, const char *folder, const char *shape,
                  struct bw_kept *out) BW_CHECKED;
// Opens one that bw_kept_list names, and nothing else. -1: there is none of that name.
int bw_kept_open(struct bw_arena *arena, const char *folder, const char *name);

#endif
