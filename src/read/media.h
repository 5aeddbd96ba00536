// media.h - the loader of a door that may open files and start the readers.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_READ_MEDIA_H
#define BW_READ_MEDIA_H

#include "base/bind.h"

struct bw_media_door {
    bool unjailed;  // decode even where the jail is not full; only from a command line
};

// A loader for bw_binding, as bw_load_file, which also has media decoded; `door` is a
// const struct bw_media_door, NULL: zero. What was decoded lives as long as the binding's arena.
// Errors as bw_load_file, bw_picture_read_open, bw_sound_read_open.
bool bw_media_load(void *door, const struct bw_file_kind *kind, const char *name,
                   struct bw_file *out, struct bw_binding *binding, struct bw_err *err) BW_CHECKED;
// The same from a file already open, which stays the caller's.
bool bw_media_load_open(const struct bw_media_door *door, const struct bw_open_file *file,
                        const struct bw_file_kind *kind, const struct bw_binding *binding,
                        struct bw_file *out, struct bw_err *err) BW_CHECKED;

#endif
