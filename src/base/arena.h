// arena.h - memory that lives as long as one request or one study, freed in one go.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_ARENA_H
#define BW_BASE_ARENA_H

#include "base/err.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

struct bw_arena;

// A new arena that will hand out at most `max_bytes` (0: BW_MAX_ARENA_BYTES). NULL: out of memory.
struct bw_arena *bw_arena_new(size_t max_bytes);
void bw_arena_free(struct bw_arena *arena);  // NULL is allowed

// Zeroed memory, aligned for any type, valid until the arena is freed. NULL: out of memory or above
// the arena's maximum.
void *bw_arena_get(struct bw_arena *arena, size_t bytes) BW_CHECKED;
void *bw_arena_array(struct bw_arena *arena, size_t count, size_t size) BW_CHECKED;
char *bw_arena_text(struct bw_arena *arena, const char *text, size_t length) BW_CHECKED;
char *bw_arena_format(struct bw_arena *arena, const char *format, ...) BW_PRINTF(2, 3) BW_CHECKED;
char *bw_arena_vformat(struct bw_arena *arena, const char *format, va_list args)
    BW_PRINTF(2, 0) BW_CHECKED;
// Calls `release(what)` when the arena is freed, the last one first: for what no arena can hold,
// such as a mapping. false: out of memory, and the caller releases it.
bool bw_arena_at_end(struct bw_arena *arena, void (*release)(void *what), void *what) BW_CHECKED;
size_t bw_arena_used(const struct bw_arena *arena);

// True once a request could not be met; sticky, so a builder may check once at its end.
bool bw_arena_failed(const struct bw_arena *arena);

#endif
