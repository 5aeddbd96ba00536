// test_job_merge.c - what must hold of merge and replay for any sets of entries.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/replay.h"
#include "job/set.h"
#include "support/jobs.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#define ROUNDS 300

// A random part of a set, in which some entries may be erased that are present in the whole.
static struct bw_entries part(struct bw_arena *arena, uint64_t *seed,
                              const struct bw_entries *set) {
    struct bw_entry *items = bw_arena_array(arena, set->n + 1, sizeof *items);
    size_t n = 0;
    assert_non_null(items);
    for (size_t i = 0; i < set->n; i++) {
        uint64_t dice = job_dice(seed) % 20;
        if (dice < 8) continue;
        items[n++] = dice == 8 ? job_erased(&set->items[i]) : set->items[i];
    }
    return job_set(arena, items, n);
}

static struct bw_entries merged(struct bw_arena *arena, const struct bw_entries *a,
                                const struct bw_entries *b) {
    struct bw_err err = {0};
    struct bw_entries out;
    assert_true(bw_entries_merge(arena, a, b, &out, &err));
    return out;
}

static void merge_is_a_union_that_any_order_may_make(void **state) {
    (void)state;
    uint64_t seed = 88172645463325252;
    for (int i = 0; i < ROUNDS; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_entries all = job_random(arena, &seed, 2 + job_dice(&seed) % 30);
        struct bw_entries a = part(arena, &seed, &all), b = part(arena, &seed, &all),
                          c = part(arena, &seed, &all);
        struct bw_entries ab = merged(arena, &a, &b), ba = merged(arena, &b, &a);
        struct bw_entries bc = merged(arena, &b, &c);
        struct bw_entries left = merged(arena, &ab, &c), right = merged(arena, &a, &bc);
        struct bw_entries twice = merged(arena, &left, &a), itself = merged(arena, &a, &a);
        assert_true(job_sets_equal(&ab, &ba));
        assert_true(job_sets_equal(&left, &right));
        assert_true(job_sets_equal(&left, &twice));
        assert_true(job_sets_equal(&a, &itself));
        assert_string_equal(job_told(arena, &left), job_told(arena, &right));
        bw_arena_free(arena);
    }
}

// Nothing is lost and nothing comes back: a merge holds each id of both, erased where either is.
static void nothing_is_lost_and_nothing_comes_back(void **state) {
    (void)state;
    uint64_t seed = 1234567;
    for (int i = 0; i < ROUNDS; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_entries all = job_random(arena, &seed, 2 + job_dice(&seed) % 30);
        struct bw_entries a = part(arena, &seed, &all), b = part(arena, &seed, &all);
        struct bw_entries both = merged(arena, &a, &b);
        for (size_t k = 0; k < all.n; k++) {
            const char *id = all.items[k].id;
            const struct bw_entry *x = bw_entries_find(&a, id), *y = bw_entries_find(&b, id);
            const struct bw_entry *z = bw_entries_find(&both, id);
            assert_int_equal(z != NULL, x != NULL || y != NULL);
            if ((x != NULL && bw_entry_erased(x)) || (y != NULL && bw_entry_erased(y)))
                assert_true(bw_entry_erased(z));
        }
        // An entry that names an erased one repeats what it said: it is gone as well.
        for (size_t k = 0; k < both.n; k++) {
            if (both.items[k].names == NULL) continue;
            const struct bw_entry *named = bw_entries_find(&both, both.items[k].names);
            assert_false(named != NULL && bw_entry_erased(named));
        }
        bw_arena_free(arena);
    }
}

static void replay_is_a_function_of_the_set(void **state) {
    (void)state;
    uint64_t seed = 4242;
    for (int i = 0; i < ROUNDS; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_entries all = job_random(arena, &seed, 2 + job_dice(&seed) % 30);
        struct bw_entry *mixed = bw_arena_array(arena, 2 * all.n, sizeof *mixed);
        memcpy(mixed, all.items, all.n * sizeof *mixed);
        for (size_t k = all.n; k-- > 1;) {
            size_t other = job_dice(&seed) % (k + 1);
            struct bw_entry kept = mixed[k];
            mixed[k] = mixed[other];
            mixed[other] = kept;
        }
        memcpy(mixed + all.n, mixed, all.n * sizeof *mixed);  // and each twice
        struct bw_entries same = job_set(arena, mixed, 2 * all.n);
        assert_string_equal(job_told(arena, &all), job_told(arena, &same));
        bw_arena_free(arena);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(merge_is_a_union_that_any_order_may_make),
        cmocka_unit_test(nothing_is_lost_and_nothing_comes_back),
        cmocka_unit_test(replay_is_a_function_of_the_set),
    };
    return cmocka_run_group_tests_name("job merge", tests, NULL, NULL);
}
