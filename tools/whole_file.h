// whole_file.h - reads a file whole, for the test runners and tools; the program has its own doors.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TOOLS_WHOLE_FILE_H
#define BW_TOOLS_WHOLE_FILE_H

#include "base/buffer.h"

// Appends the file's bytes to `content`, which has a closing NUL then. False: cannot be read (errno
// says why), or is above BW_MAX_BUFFER_BYTES.
static inline bool whole_file(const char *path, struct bw_buffer *content) {
    FILE *file = fopen(path, "rb");
    if (file == NULL) return false;
    char part[4096];
    for (size_t n; (n = fread(part, 1, sizeof part, file)) > 0;) bw_buffer_add(content, part, n);
    bool whole = ferror(file) == 0;
    bw_buffer_text(content, "");
    return fclose(file) == 0 && whole && !content->failed;
}

#endif
