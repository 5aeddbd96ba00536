// sync.h - jobs between stores, and between a store and an archive.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STORE_SYNC_H
#define BW_STORE_SYNC_H

#include "store/store.h"

struct bw_sync {
    size_t jobs;     // that changed
    size_t entries;  // new or newly erased
    size_t files;    // attachments that came along
};

// Brings `to` to the union with `from`: what `to` lacks is found by comparing ids.
bool bw_sync_pull(struct bw_store *from, struct bw_store *to, struct bw_sync *out,
                  struct bw_err *err) BW_CHECKED;

// Writes these jobs with their attachments; attachments that are not here are left out.
bool bw_sync_export(struct bw_store *from, const char *const *jobs, size_t n, FILE *to,
                    struct bw_err *err) BW_CHECKED;

// Reads the whole archive once to see that it is sound, and again to take it in. `file` must be
// able to go back to its begin.
bool bw_sync_import(FILE *file, const char *name, struct bw_store *to, struct bw_sync *out,
                    struct bw_err *err) BW_CHECKED;

#endif
