// set.h - sets of entries, and their merge: union, and erasure outranks presence.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Merge is commutative, associative and idempotent, so devices may exchange entries in any order
// and as often as they like, and all end with the same set.
#ifndef BW_JOB_SET_H
#define BW_JOB_SET_H

#include "job/entry.h"

// Sorted by id, each id once. Items live in an arena.
struct bw_entries {
    struct bw_entry *items;
    size_t n;
};

// Sorts `items` in place and joins doubles. What names an erased entry, directly or through others,
// becomes erased as well, for a correction repeats what it corrects.
bool bw_entries_make(struct bw_arena *arena, struct bw_entry *items, size_t n,
                     struct bw_entries *out, struct bw_err *err) BW_CHECKED;

// The union of two sets; texts stay borrowed from both. Errors: BW_LIMIT, BW_MEMORY.
bool bw_entries_merge(struct bw_arena *arena, const struct bw_entries *a,
                      const struct bw_entries *b, struct bw_entries *out,
                      struct bw_err *err) BW_CHECKED;

// The entry with that id, or NULL.
const struct bw_entry *bw_entries_find(const struct bw_entries *set, const char *id);

long bw_entries_last_tick(const struct bw_entries *set);

// A set of one job as it may come from outside: its first entry is there, all others name it, and
// no tick is larger than the number of entries, which holds for every job written by rule and keeps
// a forged tick from using up the numbers. Errors: BW_INPUT.
bool bw_entries_check_job(const struct bw_entries *set, struct bw_err *err) BW_CHECKED;

#endif
