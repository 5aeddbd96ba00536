// fuzz_json.c - any bytes as JSON: a sound tree that can be written and read, or a sound error.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "base/json.h"
#include "support/tree.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size);

// Numbers lose digits beyond the twelfth when written, so that is compared after the first writing.
static void write_and_read(struct bw_arena *arena, const struct bw_node *root) {
    struct bw_buffer first = {0}, second = {0};
    struct bw_node *again = NULL;
    struct bw_err err = {0};
    struct bw_json json = bw_json_begin(&first);
    tree_write(&json, root);
    if (first.failed || first.length > BW_MAX_DOCUMENT_BYTES) {
        bw_buffer_free(&first);
        return;
    }
    if (!bw_json_read(arena, "again", first.data, first.length, &again, &err)) {
        bw_err_print(&err, stderr);
        abort();
    }
    tree_check(again, false);
    json = bw_json_begin(&second);
    tree_write(&json, again);
    if (first.length != second.length) abort();
    if (memcmp(first.data, second.data, first.length) != 0) abort();
    bw_buffer_free(&first);
    bw_buffer_free(&second);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    long live = bw_alloc_live();
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *root = NULL;
    struct bw_err err = {0};
    if (arena == NULL) abort();
    if (bw_json_read(arena, "fuzz.json", (const char *)bytes, size, &root, &err)) {
        tree_check(root, false);
        write_and_read(arena, root);
    } else {
        tree_check_error(&err);
        if (root != NULL) abort();
    }
    bw_arena_free(arena);
    if (bw_alloc_live() != live) abort();
    return 0;
}
