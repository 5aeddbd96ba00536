// embedded.c - see embedded.h. Some dozen files: a linear search is quick enough.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/embedded.h"

#include "base/embedded_table.h"

#include <string.h>

bool bw_embedded_find(const char *name, const char **bytes, size_t *length) {
    for (const struct bw_embedded_file *file = bw_embedded_files; file->name != NULL; file++) {
        if (strcmp(file->name, name) != 0) continue;
        *bytes = file->bytes;
        *length = (size_t)(file->end - file->bytes);
        return true;
    }
    return false;
}

const char *bw_embedded_name(size_t index) {
    // Counted from the front: the index may lie far past the last.
    for (const struct bw_embedded_file *file = bw_embedded_files; file->name != NULL; file++)
        if (index-- == 0) return file->name;
    return NULL;
}
