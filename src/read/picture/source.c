// source.c - see source.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/picture/source.h"

#include <errno.h>
#include <unistd.h>

bool source_open(uint64_t bytes, struct source *out, struct bw_err *err) {
    if (bytes == 0) return bw_fail(err, BW_INPUT, "the file is empty");
    if (bytes > BW_MAX_PICTURE_FILE_BYTES)
        return bw_fail(err, BW_LIMIT, "the file has %llu MB; at most %llu are read",
                       (unsigned long long)(bytes / 1000000),
                       (unsigned long long)(BW_MAX_PICTURE_FILE_BYTES / 1000000));
    *out = (struct source){.size = bytes};
    return true;
}

size_t source_read_at(const struct source *source, uint64_t at, void *to, size_t bytes) {
    if (at >= source->size) return 0;
    if (bytes > source->size - at) bytes = (size_t)(source->size - at);
    size_t have = 0;
    while (have < bytes) {
        ssize_t n = pread(0, (char *)to + have, bytes - have, (off_t)(at + have));
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) break;
        have += (size_t)n;
    }
    return have;
}

size_t source_read(struct source *source, void *to, size_t bytes) {
    size_t n = source_read_at(source, source->at, to, bytes);
    source->at += n;
    return n;
}
