// fuzz_archive.c - any bytes as an archive: every hash and job in it is sound, or an error.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "job/archive.h"
#include "support/tree.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size);

static bool piece(void *with, const struct bw_archive_part *part, struct bw_err *err) {
    (void)err;
    struct bw_sha256 *hash = with;
    if (part->at == 0) *hash = bw_sha256_begin();
    if (part->at + part->length > part->size) abort();
    bw_sha256_add(hash, part->bytes, part->length);
    return true;
}

static bool file_end(void *with, const char *sha256, uint64_t size, struct bw_err *err) {
    (void)err;
    char found[BW_SHA256_TEXT];
    struct bw_sha256 none = bw_sha256_begin();
    bw_sha256_end_text(size == 0 ? &none : with, found);
    if (strcmp(found, sha256) != 0) abort();
    return true;
}

static bool job(void *with, struct bw_arena *arena, const struct bw_entries *set,
                struct bw_err *err) {
    (void)with, (void)arena;
    if (!bw_entries_check_job(set, err)) abort();
    return true;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    long live = bw_alloc_live();
    struct bw_sha256 hash = bw_sha256_begin();
    const struct bw_archive_sink sink = {
        .with = &hash, .piece = piece, .file_end = file_end, .job = job};
    struct bw_err err = {0};
    static uint8_t empty[1];
    FILE *file = fmemopen(size == 0 ? empty : (void *)(uintptr_t)bytes, size == 0 ? 1 : size, "rb");
    if (file == NULL) abort();
    if (!bw_archive_read(file, "fuzz.tar", &sink, &err)) tree_check_error(&err);
    (void)fclose(file);
    if (bw_alloc_live() != live) abort();
    return 0;
}
