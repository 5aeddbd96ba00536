// fuzz_checks.c - any bytes as a check file: read, run or refused, counted, nothing leaked.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "base/utf8.h"
#include "cli/checks.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    long live = bw_alloc_live();
    const struct bw_check_file file = {"fuzz", (const char *)bytes, size};
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_text text = {.arena = arena, .width = 80};
    struct bw_check_count count = {0, 0};
    struct bw_err err = {0};
    bool run = bw_checks_run(&file, true, &text, &count, &err);
    // Nothing passes unsaid, and no file passes by holding nothing.
    if (run && count.passed + count.failed == 0) abort();
    if (run && text.out.length == 0) abort();
    if (run && !bw_utf8_valid(text.out.data, text.out.length)) abort();
    if (!run && err.code == BW_OK) abort();
    bw_buffer_free(&text.out);
    bw_arena_free(arena);
    if (bw_alloc_live() != live) abort();
    return 0;
}
