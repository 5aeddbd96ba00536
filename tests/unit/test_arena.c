// test_arena.c - arenas: alignment, zeroes, maximum, large requests, every allocation failing.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/arena.h"

#include "base/alloc.h"
#include "support/torture.h"

#include <setjmp.h>
#include <stdalign.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void test_aligned_and_zeroed(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    assert_non_null(arena);
    for (size_t bytes = 0; bytes < 300; bytes++) {
        unsigned char *block = bw_arena_get(arena, bytes);
        assert_non_null(block);
        assert_int_equal((uintptr_t)block % alignof(max_align_t), 0);
        for (size_t i = 0; i < bytes; i++) assert_int_equal(block[i], 0);
        memset(block, 0xff, bytes);  // the next must not lie over this one
    }
    assert_int_equal(bw_arena_used(arena), 299 * 300 / 2);
    assert_false(bw_arena_failed(arena));
    bw_arena_free(arena);
    bw_arena_free(NULL);
}

// Blocks of a request's own size, beside the ordinary ones, all keep what was written.
static void test_large_requests(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    size_t sizes[] = {10, 20000, 30, (size_t)3 << 20, 50, (size_t)1 << 20, 70};
    unsigned char *blocks[7];
    for (size_t i = 0; i < 7; i++) {
        blocks[i] = bw_arena_get(arena, sizes[i]);
        assert_non_null(blocks[i]);
        memset(blocks[i], (int)i + 1, sizes[i]);
    }
    for (size_t i = 0; i < 7; i++)
        for (size_t k = 0; k < sizes[i]; k++) assert_int_equal(blocks[i][k], i + 1);
    bw_arena_free(arena);
}

static char released[8];
static void release(void *what) { memcpy(released + strlen(released), what, 2); }

// What lies outside is given back once, the last first; when it cannot be noted, not at all.
static void test_ends(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(64);
    char first[] = "1", second[] = "2";
    released[0] = '\0';
    assert_true(bw_arena_at_end(arena, release, first));
    assert_true(bw_arena_at_end(arena, release, second));
    assert_false(bw_arena_at_end(arena, release, first));
    assert_string_equal(released, "");
    bw_arena_free(arena);
    assert_string_equal(released, "21");
}

static void test_maximum(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(100);
    assert_non_null(bw_arena_get(arena, 60));
    assert_null(bw_arena_get(arena, 41));
    assert_true(bw_arena_failed(arena));
    assert_non_null(bw_arena_get(arena, 40));  // what fits is still given
    assert_null(bw_arena_get(arena, 1));
    assert_null(bw_arena_get(arena, SIZE_MAX));
    assert_true(bw_arena_failed(arena));  // and the failure is remembered
    assert_int_equal(bw_arena_used(arena), 100);
    bw_arena_free(arena);
}

static void test_array_overflow(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    assert_non_null(bw_arena_array(arena, 0, 8));
    long *numbers = bw_arena_array(arena, 100, sizeof *numbers);
    assert_non_null(numbers);
    for (int i = 0; i < 100; i++) assert_int_equal(numbers[i], 0);
    assert_false(bw_arena_failed(arena));
    assert_null(bw_arena_array(arena, SIZE_MAX / 4, 8));
    assert_null(bw_arena_array(arena, SIZE_MAX, 1));
    assert_true(bw_arena_failed(arena));
    bw_arena_free(arena);
}

static void test_texts(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    assert_string_equal(bw_arena_text(arena, "belts and drums", 5), "belts");
    assert_string_equal(bw_arena_text(arena, "", 0), "");
    assert_string_equal(bw_arena_format(arena, "%d of %s", 3, "four"), "3 of four");
    assert_string_equal(bw_arena_format(arena, "%s", ""), "");
    char *wide = bw_arena_format(arena, "%50000d", 7);
    assert_int_equal(strlen(wide), 50000);
    bw_arena_free(arena);
}

static void test_text_that_cannot_be_formatted(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    volatile int widest = INT32_MAX;  // volatile: the compiler warns of what vsnprintf refuses
    assert_null(bw_arena_format(arena, "%*d%*d", widest, 1, widest, 1));
    assert_true(bw_arena_failed(arena));
    bw_arena_free(arena);
}

static bool work(void *with) {
    (void)with;
    struct bw_arena *arena = bw_arena_new(0);
    if (arena == NULL) return false;
    bool all = true;
    for (int i = 0; i < 20; i++) {
        all = bw_arena_get(arena, 9000) != NULL && all;
        all = bw_arena_format(arena, "%d", i) != NULL && all;
        all = bw_arena_text(arena, "text", 4) != NULL && all;
    }
    assert_int_equal(bw_arena_failed(arena), !all);
    bw_arena_free(arena);
    return all;
}

static void test_no_memory(void **state) {
    (void)state;
    assert_in_range(torture(work, NULL), 3, 60);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_aligned_and_zeroed),
        cmocka_unit_test(test_large_requests),
        cmocka_unit_test(test_ends),
        cmocka_unit_test(test_maximum),
        cmocka_unit_test(test_array_overflow),
        cmocka_unit_test(test_texts),
        cmocka_unit_test(test_text_that_cannot_be_formatted),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests_name("arena", tests, NULL, NULL);
}
