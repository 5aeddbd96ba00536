// test_format.c - numbers keep their point in any locale; ./test runs this once more under a comma.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/format.h"

#include "base/arena.h"
#include "base/buffer.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void test_as_snprintf(void **state) {
    (void)state;
    char text[8] = "before";
    assert_int_equal(bw_format(text, sizeof text, "%d of %s", 12, "many"), 10);
    assert_string_equal(text, "12 of m");
    assert_int_equal(bw_format(NULL, 0, "%.3f", 2.0), 5);
    assert_int_equal(bw_format(text, sizeof text, "%.2f", 1.5), 4);
    assert_string_equal(text, "1.50");
}

// Every way to a formatted text that the rooms have.
static void test_the_point(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    assert_string_equal(bw_arena_format(arena, "%g", 0.25), "0.25");
    bw_arena_free(arena);
    struct bw_buffer buffer = {0};
    bw_buffer_format(&buffer, "%.1f", 0.5);
    assert_string_equal(buffer.data, "0.5");
    bw_buffer_free(&buffer);
    struct bw_err err = {0};
    (void)bw_fail(&err, BW_INPUT, "%.1e", 1500.0);
    bw_err_mend(&err, "%.2f", 0.75);
    assert_string_equal(err.what, "1.5e+03");
    assert_string_equal(err.mend, "0.75");
}

// Who called gets the own locale back.
static void test_the_callers_locale_stays(void **state) {
    (void)state;
    char before[8], after[8], in_c[8];
    (void)snprintf(before, sizeof before, "%.1f", 0.5);
    struct bw_c_locale entered = bw_c_locale_enter();
    (void)snprintf(in_c, sizeof in_c, "%.1f", 0.5);
    bw_c_locale_leave(entered);
    (void)bw_format(after, sizeof after, "%s", "");
    (void)snprintf(after, sizeof after, "%.1f", 0.5);
    assert_string_equal(in_c, "0.5");
    assert_string_equal(after, before);
    assert_string_equal(before + 2, "5");  // "0.5" or "0,5"
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_as_snprintf),
        cmocka_unit_test(test_the_point),
        cmocka_unit_test(test_the_callers_locale_stays),
    };
    return cmocka_run_group_tests_name("format", tests, NULL, NULL);
}
