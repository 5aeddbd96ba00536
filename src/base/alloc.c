// alloc.c - see alloc.h. The counters are atomic: the library may be called from several threads.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"

#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>

static atomic_ulong requests;
static atomic_ulong fail_from;  // absolute request number, 0: never
static atomic_long live;

static bool allowed(void) {
    unsigned long number = atomic_fetch_add(&requests, 1) + 1;
    unsigned long from = atomic_load(&fail_from);
    return from == 0 || number < from;
}

void *bw_alloc(size_t size) {
    if (!allowed()) return NULL;
    void *block = malloc(size == 0 ? 1 : size);
    if (block != NULL) atomic_fetch_add(&live, 1);
    return block;
}

void *bw_alloc_zero(size_t count, size_t size) {
    if (!allowed()) return NULL;
    if (size != 0 && count > SIZE_MAX / size) return NULL;
    void *block = calloc(count == 0 ? 1 : count, size == 0 ? 1 : size);
    if (block != NULL) atomic_fetch_add(&live, 1);
    return block;
}

void *bw_realloc(void *old, size_t size) {
    if (old == NULL) return bw_alloc(size);
    if (!allowed()) return NULL;
    return realloc(old, size == 0 ? 1 : size);
}

void bw_free(void *block) {
    if (block == NULL) return;
    atomic_fetch_sub(&live, 1);
    free(block);
}

void bw_alloc_fail_at(unsigned long n) {
    atomic_store(&fail_from, n == 0 ? 0 : atomic_load(&requests) + n);
}

unsigned long bw_alloc_requests(void) { return atomic_load(&requests); }
long bw_alloc_live(void) { return atomic_load(&live); }
