// alloc.h - the one seam through which memory is asked for; tests can fail the n-th request.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_ALLOC_H
#define BW_BASE_ALLOC_H

#include <stddef.h>

// As malloc, calloc, realloc, free; size 0 is asked for as 1. NULL on failure.
void *bw_alloc(size_t size);
void *bw_alloc_zero(size_t count, size_t size);  // NULL as well if count * size overflows
void *bw_realloc(void *old, size_t size);        // the old block stays valid on failure
void bw_free(void *block);                       // NULL is allowed

// For tests. Fails request number `n` (1: the next one) and every later one until
// bw_alloc_fail_at(0).
void bw_alloc_fail_at(unsigned long n);
unsigned long bw_alloc_requests(void);  // requests since start, failed ones included
long bw_alloc_live(void);               // blocks handed out and not yet freed

#endif
