// set.c - see set.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/set.h"

#include <stdlib.h>
#include <string.h>

static int by_id(const void *a, const void *b) {
    return strcmp(((const struct bw_entry *)a)->id, ((const struct bw_entry *)b)->id);
}

const struct bw_entry *bw_entries_find(const struct bw_entries *set, const char *id) {
    size_t low = 0, high = set->n;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        int order = strcmp(id, set->items[middle].id);
        if (order == 0) return &set->items[middle];
        if (order < 0)
            high = middle;
        else
            low = middle + 1;
    }
    return NULL;
}

static void erase(struct bw_entry *entry) {
    entry->line = NULL;
    entry->length = 0;
    entry->names = NULL;
    entry->files = NULL;
    entry->n_files = 0;
    entry->kind = entry->shape = entry->device = NULL;
    entry->time_ms = bw_ulid_time(entry->id);
    entry->offset_min = 0;
}

static int by_named(const void *a, const void *b) {
    const struct bw_entry *x = *(struct bw_entry *const *)a, *y = *(struct bw_entry *const *)b;
    int order = strcmp(x->names, y->names);
    return order != 0 ? order : strcmp(x->id, y->id);
}

// The first of `naming`, sorted by what they name, that does not come before `id`.
static size_t first_naming(struct bw_entry *const *naming, size_t n, const char *id) {
    size_t low = 0, high = n;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (strcmp(naming[middle]->names, id) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

// Erases what names an erased entry, and what names that. The keys of the search are kept apart
// from the entries, which lose them.
static bool close_over(struct bw_arena *arena, struct bw_entries *set, struct bw_err *err) {
    struct bw_entry **naming = bw_arena_array(arena, set->n + 1, sizeof *naming);
    struct bw_entry *keys = bw_arena_array(arena, set->n + 1, sizeof *keys);
    struct bw_entry **waiting = bw_arena_array(arena, set->n + 1, sizeof *waiting);
    size_t n = 0, left = 0;
    if (naming == NULL || keys == NULL || waiting == NULL) return bw_fail_memory(err);
    for (size_t i = 0; i < set->n; i++) {
        if (bw_entry_erased(&set->items[i])) waiting[left++] = &set->items[i];
        if (set->items[i].names == NULL) continue;
        keys[n] = set->items[i];
        naming[n] = &keys[n];
        n++;
    }
    if (left == 0 || n == 0) return true;
    qsort(naming, n, sizeof *naming, by_named);
    while (left > 0) {
        const char *id = waiting[--left]->id;
        for (size_t i = first_naming(naming, n, id); i < n && strcmp(naming[i]->names, id) == 0;
             i++) {
            struct bw_entry *entry = (struct bw_entry *)bw_entries_find(set, naming[i]->id);
            if (bw_entry_erased(entry)) continue;
            erase(entry);
            waiting[left++] = entry;
        }
    }
    return true;
}

bool bw_entries_make(struct bw_arena *arena, struct bw_entry *items, size_t n,
                     struct bw_entries *out, struct bw_err *err) {
    if (n > 0) qsort(items, n, sizeof *items, by_id);
    size_t kept = 0;
    for (size_t i = 0; i < n; i++) {
        if (kept == 0 || strcmp(items[kept - 1].id, items[i].id) != 0)
            items[kept++] = items[i];
        else if (bw_entry_erased(&items[i]))
            erase(&items[kept - 1]);
    }
    struct bw_entries set = {.items = items, .n = kept};
    if (!close_over(arena, &set, err)) return false;
    *out = set;
    return true;
}

bool bw_entries_merge(struct bw_arena *arena, const struct bw_entries *a,
                      const struct bw_entries *b, struct bw_entries *out, struct bw_err *err) {
    size_t n = a->n + b->n;
    struct bw_entry *items = bw_arena_array(arena, n + 1, sizeof *items);
    if (items == NULL) return bw_fail_memory(err);
    if (a->n > 0) memcpy(items, a->items, a->n * sizeof *items);
    if (b->n > 0) memcpy(items + a->n, b->items, b->n * sizeof *items);
    return bw_entries_make(arena, items, n, out, err);
}

long bw_entries_last_tick(const struct bw_entries *set) {
    long last = 0;
    for (size_t i = 0; i < set->n; i++)
        if (set->items[i].tick > last) last = set->items[i].tick;
    return last;
}

bool bw_entries_check_job(const struct bw_entries *set, struct bw_err *err) {
    if (set->n == 0) return bw_fail(err, BW_INPUT, "a job without entries");
    const char *job = set->items[0].job;
    if (set->n > BW_MAX_ENTRIES) return bw_fail(err, BW_LIMIT, "a job has too many entries");
    if (bw_entries_find(set, job) == NULL) {
        bw_err_value(err, job);
        bw_err_mend(err, "take it from where the whole job is");
        return bw_fail(err, BW_INPUT, "the job's first entry is missing");
    }
    for (size_t i = 0; i < set->n; i++) {
        if (strcmp(set->items[i].job, job) != 0)
            return bw_fail(err, BW_INPUT, "entries of two jobs are mixed");
        if (set->items[i].tick <= (long)set->n) continue;
        bw_err_value(err, set->items[i].id);
        bw_err_mend(err,
                    "entries are missing, or it is forged; take the job from where it is whole");
        return bw_fail(err, BW_INPUT, "an entry has tick %ld in a job of %zu entries",
                       set->items[i].tick, set->n);
    }
    return true;
}
