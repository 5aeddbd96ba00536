// fuzz_entry.c - any bytes as an entry: a sound one whose id follows from its bytes, or an error.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "job/archive.h"
#include "job/replay.h"
#include "support/tree.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size);

static void check(struct bw_arena *arena, struct bw_entry *entry, const uint8_t *bytes,
                  size_t size) {
    struct bw_err err = {0};
    struct bw_entries set;
    struct bw_job job;
    char id[BW_ID_TEXT];
    if (!bw_ulid_is(entry->id) || !bw_ulid_is(entry->job)) abort();
    if (entry->tick < 1 || entry->tick > BW_MAX_TICK) abort();
    if (!bw_entry_erased(entry)) {
        if (entry->length != size || memcmp(entry->line, bytes, size) != 0) abort();
        bw_entry_id((const char *)bytes, size, entry->time_ms, id);
        if (strcmp(id, entry->id) != 0) abort();
    }
    if (!bw_entries_make(arena, entry, 1, &set, &err)) abort();
    if (!bw_job_replay(arena, &set, &job, &err) || job.n != 1) abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    long live = bw_alloc_live();
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_entry entry;
    struct bw_err err = {0};
    if (arena == NULL) abort();
    if (bw_archive_line(arena, (const char *)bytes, size, &entry, &err))
        check(arena, &entry, bytes, size);
    else
        tree_check_error(&err);
    bw_arena_free(arena);
    if (bw_alloc_live() != live) abort();
    return 0;
}
