// source.h - the picture file as the decoders see it: descriptor 0, read at places.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_READ_PICTURE_SOURCE_H
#define BW_READ_PICTURE_SOURCE_H

#include "base/err.h"

#include <stdint.h>

struct source {
    uint64_t size;  // of the file
    uint64_t at;    // where source_read goes on
};

// `bytes`: size of the file. BW_INPUT: empty or not a plain file; BW_LIMIT: too large.
bool source_open(uint64_t bytes, struct source *out, struct bw_err *err) BW_CHECKED;
// Up to `bytes` from `at`, which moves on; less only at the end of the file or when the disk fails.
size_t source_read(struct source *source, void *to, size_t bytes);
size_t source_read_at(const struct source *source, uint64_t at, void *to, size_t bytes);

#endif
