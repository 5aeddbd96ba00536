// test_alloc.c - the allocation seam: failing on demand, counting, the edges of sizes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void test_sizes(void **state) {
    (void)state;
    long live = bw_alloc_live();
    char *nothing = bw_alloc(0), *zeroed = bw_alloc_zero(3, 5), *none = bw_alloc_zero(0, 0);
    assert_non_null(nothing);
    assert_non_null(none);
    for (int i = 0; i < 15; i++) assert_int_equal(zeroed[i], 0);
    assert_int_equal(bw_alloc_live(), live + 3);
    bw_free(nothing);
    bw_free(zeroed);
    bw_free(none);
    bw_free(NULL);
    assert_int_equal(bw_alloc_live(), live);
}

static void test_product_overflow(void **state) {
    (void)state;
    long live = bw_alloc_live();
    assert_null(bw_alloc_zero(SIZE_MAX / 2, 3));
    assert_null(bw_alloc_zero(3, SIZE_MAX / 2));
    assert_int_equal(bw_alloc_live(), live);
}

static void test_growing(void **state) {
    (void)state;
    long live = bw_alloc_live();
    char *block = bw_realloc(NULL, 4);
    assert_non_null(block);
    assert_int_equal(bw_alloc_live(), live + 1);
    memcpy(block, "abc", 4);
    block = bw_realloc(block, 4000);
    assert_string_equal(block, "abc");
    bw_alloc_fail_at(1);
    assert_null(bw_realloc(block, 8000));
    bw_alloc_fail_at(0);
    assert_string_equal(block, "abc");  // the old block stays valid
    block = bw_realloc(block, 0);
    assert_non_null(block);
    assert_int_equal(bw_alloc_live(), live + 1);
    bw_free(block);
    assert_int_equal(bw_alloc_live(), live);
}

static void test_fails_from_the_nth_on(void **state) {
    (void)state;
    unsigned long before = bw_alloc_requests();
    bw_alloc_fail_at(3);
    void *first = bw_alloc(1), *second = bw_alloc_zero(1, 1);
    void *third = bw_alloc(1), *fourth = bw_alloc_zero(1, 1), *fifth = bw_realloc(NULL, 1);
    bw_alloc_fail_at(0);
    void *sixth = bw_alloc(1);
    assert_non_null(first);
    assert_non_null(second);
    assert_null(third);
    assert_null(fourth);
    assert_null(fifth);
    assert_non_null(sixth);
    assert_int_equal(bw_alloc_requests(), before + 6);
    bw_free(first);
    bw_free(second);
    bw_free(sixth);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sizes),
        cmocka_unit_test(test_product_overflow),
        cmocka_unit_test(test_growing),
        cmocka_unit_test(test_fails_from_the_nth_on),
    };
    return cmocka_run_group_tests_name("alloc", tests, NULL, NULL);
}
