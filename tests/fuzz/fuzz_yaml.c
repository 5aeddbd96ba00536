// fuzz_yaml.c - any bytes as YAML: a sound tree or a sound error, nothing printed, nothing leaked.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "base/yaml.h"
#include "support/tree.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    long live = bw_alloc_live();
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *root = NULL;
    struct bw_err err = {0};
    if (arena == NULL) abort();
    if (bw_yaml_read(arena, "fuzz.yaml", (const char *)bytes, size, &root, &err)) {
        tree_check(root, true);
    } else {
        tree_check_error(&err);
        if (root != NULL) abort();
    }
    bw_arena_free(arena);
    if (bw_alloc_live() != live) abort();
    return 0;
}
