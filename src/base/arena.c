// arena.c - a list of blocks, each twice the last, handed out from the front.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/arena.h"

#include "base/alloc.h"
#include "base/format.h"

#include <assert.h>
#include <stdalign.h>
#include <stdint.h>
#include <string.h>

#define FIRST_BLOCK ((size_t)16 << 10)
#define LARGEST_BLOCK ((size_t)1 << 20)  // larger requests get a block of their own

struct block {
    struct block *next;
    size_t size, used;
    alignas(max_align_t) unsigned char bytes[];
};

struct end {
    struct end *next;
    void (*release)(void *what);
    void *what;
};

struct bw_arena {
    struct block *head;
    struct end *ends;  // in the blocks themselves
    size_t used, max;
    bool failed;
};

struct bw_arena *bw_arena_new(size_t max_bytes) {
    struct bw_arena *arena = bw_alloc_zero(1, sizeof *arena);
    if (arena != NULL) arena->max = max_bytes == 0 ? BW_MAX_ARENA_BYTES : max_bytes;
    return arena;
}

void bw_arena_free(struct bw_arena *arena) {
    if (arena == NULL) return;
    for (const struct end *end = arena->ends; end != NULL; end = end->next) end->release(end->what);
    for (struct block *block = arena->head, *next; block != NULL; block = next) {
        next = block->next;
        bw_free(block);
    }
    bw_free(arena);
}

static struct block *grow(struct bw_arena *arena, size_t bytes) {
    size_t size = arena->head == NULL ? FIRST_BLOCK : 2 * arena->head->size;
    if (size > LARGEST_BLOCK) size = LARGEST_BLOCK;
    if (size < bytes) size = bytes;
    struct block *block = bw_alloc_zero(1, sizeof *block + size);
    if (block == NULL) return NULL;
    block->size = size;
    block->next = arena->head;
    arena->head = block;
    return block;
}

void *bw_arena_get(struct bw_arena *arena, size_t bytes) {
    const size_t unit = alignof(max_align_t);
    if (bytes > arena->max - arena->used) {
        arena->failed = true;
        return NULL;
    }
    size_t whole = bytes == 0 ? unit : (bytes + unit - 1) / unit * unit;
    struct block *block = arena->head;
    if (block == NULL || block->size - block->used < whole) block = grow(arena, whole);
    if (block == NULL) {
        arena->failed = true;
        return NULL;
    }
    void *out = block->bytes + block->used;
    block->used += whole;
    arena->used += bytes;
    return out;
}

void *bw_arena_array(struct bw_arena *arena, size_t count, size_t size) {
    assert(size > 0);
    if (count > SIZE_MAX / 2 / size) {
        arena->failed = true;
        return NULL;
    }
    return bw_arena_get(arena, count * size);
}

char *bw_arena_text(struct bw_arena *arena, const char *text, size_t length) {
    char *out = bw_arena_get(arena, length + 1);
    if (out == NULL) return NULL;
    memcpy(out, text, length);
    out[length] = '\0';
    return out;
}

char *bw_arena_vformat(struct bw_arena *arena, const char *format, va_list args) {
    va_list again;
    va_copy(again, args);
    int n = bw_vformat(NULL, 0, format, again);
    va_end(again);
    if (n < 0) {
        arena->failed = true;
        return NULL;
    }
    char *out = bw_arena_get(arena, (size_t)n + 1);
    if (out != NULL) (void)bw_vformat(out, (size_t)n + 1, format, args);
    return out;
}

char *bw_arena_format(struct bw_arena *arena, const char *format, ...) {
    va_list args;
    va_start(args, format);
    char *out = bw_arena_vformat(arena, format, args);
    va_end(args);
    return out;
}

bool bw_arena_at_end(struct bw_arena *arena, void (*release)(void *what), void *what) {
    struct end *end = bw_arena_get(arena, sizeof *end);
    if (end == NULL) return false;
    *end = (struct end){.next = arena->ends, .release = release, .what = what};
    arena->ends = end;
    return true;
}

size_t bw_arena_used(const struct bw_arena *arena) { return arena->used; }
bool bw_arena_failed(const struct bw_arena *arena) { return arena->failed; }
