// test_buffer.c - growing buffers: what is added is there, the maximum, every allocation failing.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/buffer.h"

#include "base/alloc.h"
#include "support/torture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void test_all_ways_to_add(void **state) {
    (void)state;
    struct bw_buffer buffer = {0};
    bw_buffer_text(&buffer, "one");
    bw_buffer_char(&buffer, ' ');
    bw_buffer_add(&buffer, "two-and-more", 3);
    bw_buffer_fill(&buffer, '.', 4);
    bw_buffer_format(&buffer, "%d%s", 3, "!");
    bw_buffer_add(&buffer, NULL, 0);
    bw_buffer_text(&buffer, "");
    assert_string_equal(buffer.data, "one two....3!");
    assert_int_equal(buffer.length, strlen(buffer.data));
    assert_false(buffer.failed);
    bw_buffer_free(&buffer);
    assert_null(buffer.data);
    assert_int_equal(buffer.length, 0);
}

static void test_bytes_of_any_kind(void **state) {
    (void)state;
    struct bw_buffer buffer = {0};
    for (int i = 0; i < 1000; i++) bw_buffer_char(&buffer, (char)(i % 256));
    assert_int_equal(buffer.length, 1000);
    for (int i = 0; i < 1000; i++)
        assert_int_equal((unsigned char)buffer.data[i], i % 256);
    assert_int_equal(buffer.data[1000], '\0');
    bw_buffer_free(&buffer);
}

static void test_take(void **state) {
    (void)state;
    long live = bw_alloc_live();
    struct bw_buffer buffer = {0};
    char *nothing = bw_buffer_take(&buffer);
    assert_string_equal(nothing, "");
    bw_free(nothing);
    bw_buffer_text(&buffer, "mine");
    char *mine = bw_buffer_take(&buffer);
    assert_string_equal(mine, "mine");
    assert_null(buffer.data);
    bw_buffer_text(&buffer, "again");  // usable as a new one
    assert_string_equal(buffer.data, "again");
    assert_string_equal(mine, "mine");
    bw_buffer_free(&buffer);
    bw_free(mine);
    assert_int_equal(bw_alloc_live(), live);
}

static void test_maximum(void **state) {
    (void)state;
    struct bw_buffer buffer = {0};
    bw_buffer_text(&buffer, "kept");
    static const char byte = 'x';
    bw_buffer_add(&buffer, &byte, BW_MAX_BUFFER_BYTES - 3);  // one too many: refused before reading
    assert_true(buffer.failed);
    assert_string_equal(buffer.data, "kept");
    bw_buffer_text(&buffer, "ignored");
    bw_buffer_format(&buffer, "ignored");
    assert_int_equal(buffer.length, 4);
    assert_null(bw_buffer_take(&buffer));
    assert_null(buffer.data);
    bw_buffer_add(&buffer, &byte, SIZE_MAX);
    assert_true(buffer.failed);
    bw_buffer_free(&buffer);
}

static void test_up_to_the_maximum(void **state) {
    (void)state;
    struct bw_buffer buffer = {0};
    char part[1 << 16];
    memset(part, 'x', sizeof part);
    while (buffer.length + sizeof part <= BW_MAX_BUFFER_BYTES)
        bw_buffer_add(&buffer, part, sizeof part);
    assert_false(buffer.failed);
    assert_int_equal(buffer.length, BW_MAX_BUFFER_BYTES);
    bw_buffer_char(&buffer, 'y');
    assert_true(buffer.failed);
    bw_buffer_free(&buffer);
}

static void test_text_that_cannot_be_formatted(void **state) {
    (void)state;
    struct bw_buffer buffer = {0};
    volatile int widest = INT32_MAX;  // volatile: the compiler warns of what vsnprintf refuses
    bw_buffer_format(&buffer, "%*d%*d", widest, 1, widest, 1);
    assert_true(buffer.failed);
    bw_buffer_free(&buffer);
}

static bool work(void *with) {
    (void)with;
    struct bw_buffer buffer = {0};
    for (int i = 0; i < 2000; i++) bw_buffer_format(&buffer, "line %d\n", i);
    bool all = !buffer.failed;
    char *text = bw_buffer_take(&buffer);
    assert_int_equal(text != NULL, all);
    if (all) assert_int_equal(strlen(text), 10 * 7 + 90 * 8 + 900 * 9 + 1000 * 10);
    bw_free(text);
    return all;
}

static void test_no_memory(void **state) {
    (void)state;
    assert_in_range(torture(work, NULL), 2, 30);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_all_ways_to_add),
        cmocka_unit_test(test_bytes_of_any_kind),
        cmocka_unit_test(test_take),
        cmocka_unit_test(test_maximum),
        cmocka_unit_test(test_up_to_the_maximum),
        cmocka_unit_test(test_text_that_cannot_be_formatted),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests_name("buffer", tests, NULL, NULL);
}
