// jobs.c - see jobs.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/jobs.h"

#include "job/replay.h"

#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

struct bw_entry job_entry(struct bw_arena *arena, const char *job, long tick,
                          enum bw_entry_kind kind, const char *body) {
    struct bw_err err = {0};
    struct bw_entry entry;
    const struct bw_draft draft = {.job = job,
                                   .tick = tick,
                                   .time_ms = 1700000000000 + 1000 * tick,
                                   .offset_min = 60,
                                   .device = "testbench",
                                   .kind = kind,
                                   .body = body};
    if (!bw_entry_make(arena, &draft, &entry, &err)) fail_msg("%s: %s", err.field, err.what);
    return entry;
}

struct bw_entry job_erased(const struct bw_entry *entry) {
    struct bw_entry erased = {.tick = entry->tick, .time_ms = bw_ulid_time(entry->id)};
    memcpy(erased.id, entry->id, BW_ID_TEXT);
    memcpy(erased.job, entry->job, BW_ID_TEXT);
    return erased;
}

struct bw_entries job_set(struct bw_arena *arena, const struct bw_entry *items, size_t n) {
    struct bw_err err = {0};
    struct bw_entries set;
    struct bw_entry *copy = bw_arena_array(arena, n + 1, sizeof *copy);
    assert_non_null(copy);
    if (n > 0) memcpy(copy, items, n * sizeof *copy);
    assert_true(bw_entries_make(arena, copy, n, &set, &err));
    return set;
}

uint64_t job_dice(uint64_t *seed) {
    *seed ^= *seed << 13;
    *seed ^= *seed >> 7;
    *seed ^= *seed << 17;
    return *seed >> 11;
}

struct bw_entries job_random(struct bw_arena *arena, uint64_t *seed, size_t n) {
    static const char MISSING[] = "01HF7YAT31ABCDEFGHJKMNPQRS";
    struct bw_entry *items = bw_arena_array(arena, n + 1, sizeof *items);
    assert_non_null(items);
    items[0] = job_entry(
        arena, NULL, 1, BW_ENTRY_OPENED,
        bw_arena_format(arena, "{\"title\":\"lines %llu\"}", (unsigned long long)job_dice(seed)));
    for (size_t i = 1; i < n; i++) {
        uint64_t dice = job_dice(seed) % 10;
        const char *of = job_dice(seed) % 8 == 0 ? MISSING : items[job_dice(seed) % i].id;
        const char *over = job_dice(seed) % 2 == 0 ? items[job_dice(seed) % i].id : MISSING;
        long tick = 1 + (long)(job_dice(seed) % n);
        enum bw_entry_kind kind = dice < 5   ? BW_ENTRY_NOTE
                                  : dice < 8 ? BW_ENTRY_CORRECTION
                                  : dice < 9 ? BW_ENTRY_WITHDRAWN
                                             : BW_ENTRY_CLOSED;
        const char *body =
            dice < 5 ? bw_arena_format(arena, "{\"text\":\"n%zu\"}", i)
            : dice < 8
                ? bw_arena_format(arena,
                                  "{\"of\":\"%s\",\"over\":[\"%s\"],\"body\":{\"text\":\"c%zu\"}}",
                                  of, over, i)
            : dice < 9 ? bw_arena_format(arena, "{\"of\":\"%s\"}", of)
                       : bw_arena_format(arena, "{\"note\":\"%zu\"}", i);
        items[i] = job_entry(arena, items[0].id, tick, kind, body);
    }
    for (size_t i = 1; i < n; i++)
        if (job_dice(seed) % 12 == 0) items[i] = job_erased(&items[i]);
    return job_set(arena, items, n);
}

bool job_sets_equal(const struct bw_entries *a, const struct bw_entries *b) {
    if (a->n != b->n) return false;
    for (size_t i = 0; i < a->n; i++) {
        const struct bw_entry *x = &a->items[i], *y = &b->items[i];
        if (strcmp(x->id, y->id) != 0 || strcmp(x->job, y->job) != 0) return false;
        if (x->tick != y->tick || x->time_ms != y->time_ms || x->offset_min != y->offset_min)
            return false;
        if (bw_entry_erased(x) != bw_entry_erased(y)) return false;
        if (bw_entry_erased(x)) continue;
        if (x->length != y->length || memcmp(x->line, y->line, x->length) != 0) return false;
        if (strcmp(x->kind, y->kind) != 0 || strcmp(x->shape, y->shape) != 0) return false;
        if (strcmp(x->device, y->device) != 0 || x->n_files != y->n_files) return false;
    }
    return true;
}

const char *job_told(struct bw_arena *arena, const struct bw_entries *set) {
    struct bw_err err = {0};
    struct bw_job job;
    struct bw_buffer out = {0};
    struct bw_json json = bw_json_begin(&out);
    if (!bw_job_replay(arena, set, &job, &err)) fail_msg("%s", err.what);
    bw_job_emit(&json, &job);
    assert_false(out.failed);
    const char *told = bw_arena_text(arena, out.data, out.length);
    bw_buffer_free(&out);
    assert_non_null(told);
    return told;
}

const char *job_folder(struct bw_arena *arena) {
    char name[] = "/tmp/beltwright-test-XXXXXX";
    assert_non_null(mkdtemp(name));
    const char *kept = bw_arena_text(arena, name, strlen(name));
    assert_non_null(kept);
    return kept;
}

// Calls `each` with every plain file of the folder until it returns true.
static bool any_file(const char *folder, bool (*each)(const char *path, const char *with),
                     const char *with) {
    DIR *at = opendir(folder);
    bool found = false;
    if (at == NULL) return false;
    for (const struct dirent *entry; !found && (entry = readdir(at)) != NULL;) {
        char path[4096];
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0) continue;
        int length = snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        assert_true(length > 0 && (size_t)length < sizeof path);
        found = each(path, with);
    }
    (void)closedir(at);
    return found;
}

static bool remove_one(const char *path, const char *with) {
    (void)with;
    (void)unlink(path);
    return false;
}

void job_folder_remove(const char *folder) {
    (void)any_file(folder, remove_one, NULL);
    (void)rmdir(folder);
}

static bool holds(const char *path, const char *bytes) {
    FILE *file = fopen(path, "rb");
    struct bw_buffer all = {0};
    char chunk[65536];
    size_t n, length = strlen(bytes);
    assert_non_null(file);
    while ((n = fread(chunk, 1, sizeof chunk, file)) > 0) bw_buffer_add(&all, chunk, n);
    (void)fclose(file);
    assert_false(all.failed);
    bool found = false;
    for (size_t i = 0; !found && i + length <= all.length; i++)
        found = memcmp(all.data + i, bytes, length) == 0;
    bw_buffer_free(&all);
    return found;
}

bool job_folder_holds(const char *folder, const char *bytes) {
    return any_file(folder, holds, bytes);
}

static bool next_bytes(void *with, void *to, size_t *length, struct bw_err *err) {
    (void)err;
    struct job_bytes *bytes = with;
    size_t left = bytes->length - bytes->at, n = left < *length ? left : *length;
    if (n > 0) memcpy(to, bytes->bytes + bytes->at, n);
    bytes->at += n;
    *length = n;
    return true;
}

struct bw_supply job_source(struct job_bytes *bytes) {
    return (struct bw_supply){.with = bytes, .next = next_bytes};
}
