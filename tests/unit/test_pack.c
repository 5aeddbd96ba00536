// test_pack.c - messages between server and worker: whole ones, and every way of being broken.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "web/pack.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void what_goes_in_comes_out(void **state) {
    (void)state;
    struct bw_buffer out = {0};
    struct bw_packed run;
    size_t at = 0;
    bw_pack_text(&out, "study", "rates");
    bw_pack_add(&out, "plot", "", 0);
    bw_pack_add(&out, "plot", "a\0b 5\n", 6);
    assert_true(bw_pack_next(out.data, out.length, &at, &run));
    assert_string_equal(run.name, "study");
    assert_int_equal(run.length, 5);
    assert_memory_equal(run.bytes, "rates", 5);
    assert_true(bw_pack_next(out.data, out.length, &at, &run));
    assert_int_equal(run.length, 0);
    assert_true(bw_pack_next(out.data, out.length, &at, &run));
    assert_memory_equal(run.bytes, "a\0b 5\n", 6);
    assert_false(bw_pack_next(out.data, out.length, &at, &run));
    assert_int_equal(at, out.length);
    assert_true(bw_pack_find(out.data, out.length, "plot", &run));
    assert_int_equal(run.length, 0);  // the first
    assert_false(bw_pack_find(out.data, out.length, "plots", &run));
    assert_false(bw_pack_find("", 0, "plot", &run));
    bw_buffer_free(&out);
}

static void broken_ones_end(void **state) {
    (void)state;
    static const char *const BROKEN[] = {
        "a",
        "a ",
        "a 5",
        "a 5\n1234",
        " 5\n12345",
        "a -1\n",
        "a 1x\nb",
        "a \nb",
        "a 99999999999999999999999\n",
        "a 999999999999999999\n",
        "a\n",
        "\n\n\n",
        "abcdefghijklmnopqrstuvwxyzabcdefghij 1\nx",
    };
    for (size_t i = 0; i < sizeof BROKEN / sizeof BROKEN[0]; i++) {
        struct bw_packed run = {.length = 77};
        size_t at = 0;
        if (bw_pack_next(BROKEN[i], strlen(BROKEN[i]), &at, &run)) fail_msg("%s", BROKEN[i]);
        assert_int_equal(run.length, 77);
        assert_int_equal(at, 0);
    }
}

// Cut anywhere, a message gives its first runs and no wrong ones.
static void cut_ones_give_what_is_whole(void **state) {
    (void)state;
    static const char WHOLE[] = "one 3\nabctwo 4\ndefg";
    for (size_t length = 0; length < sizeof WHOLE - 1; length++) {
        struct bw_packed run;
        size_t at = 0, n = 0;
        while (bw_pack_next(WHOLE, length, &at, &run)) n++;
        assert_int_equal(n, length >= 9 ? 1 : 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_goes_in_comes_out),
        cmocka_unit_test(broken_ones_end),
        cmocka_unit_test(cut_ones_give_what_is_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
