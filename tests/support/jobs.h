// jobs.h - entries and whole jobs for tests, made in one line each.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef TESTS_SUPPORT_JOBS_H
#define TESTS_SUPPORT_JOBS_H

#include "job/set.h"
#include "store/store.h"

// An entry of `job` (NULL: opens one) with that tick; its time is the tick's second. A failure ends
// the test.
struct bw_entry job_entry(struct bw_arena *arena, const char *job, long tick,
                          enum bw_entry_kind kind, const char *body);

// The same as erased.
struct bw_entry job_erased(const struct bw_entry *entry);

struct bw_entries job_set(struct bw_arena *arena, const struct bw_entry *items, size_t n);

// A random job of about `n` entries with corrections, withdrawals, erasures and names of entries
// that are not there. The same seed, the same job.
struct bw_entries job_random(struct bw_arena *arena, uint64_t *seed, size_t n);

uint64_t job_dice(uint64_t *seed);  // the next random number

bool job_sets_equal(const struct bw_entries *a, const struct bw_entries *b);

// The replay as JSON; in the arena.
const char *job_told(struct bw_arena *arena, const struct bw_entries *set);

// An empty folder of its own under build/; removed by job_folder_remove.
const char *job_folder(struct bw_arena *arena);
void job_folder_remove(const char *folder);
// Some file in the folder holds these bytes.
bool job_folder_holds(const char *folder, const char *bytes);

// Bytes as a source for bw_store_attach.
struct job_bytes {
    const char *bytes;
    size_t length, at;
};
struct bw_supply job_source(struct job_bytes *bytes);

#endif
