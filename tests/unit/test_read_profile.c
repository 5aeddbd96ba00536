// test_read_profile.c - the check sum of surface files, their units, and want of memory.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Whole files are compared by tests/read/profiles.py.
#include "read/profile/md5.h"
#include "read/profile/store.h"
#include "support/torture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

// RFC 1321, appendix A.5.
static void sums_of_the_rfc(void **state) {
    (void)state;
    static const char *const CASES[][2] = {
        {"", "d41d8cd98f00b204e9800998ecf8427e"},
        {"a", "0cc175b9c0f1b6a831c399e269772661"},
        {"abc", "900150983cd24fb0d6963f7d28e17f72"},
        {"message digest", "f96b697d7cb7938d525a2f31aaf161d0"},
        {"abcdefghijklmnopqrstuvwxyz", "c3fcd3d76192e4007dfb496cca67e13b"},
        {"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789",
         "d174ab98d277d9f5a5611c2c9f419d9f"},
        {"1234567890123456789012345678901234567890123456789012345678901234567890123456789"
         "0",
         "57edf4a22be3c955ac49da2e2107b67a"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        unsigned char sum[16];
        char text[33];
        md5((const unsigned char *)CASES[i][0], strlen(CASES[i][0]), sum);
        for (int k = 0; k < 16; k++) (void)snprintf(text + 2 * k, 3, "%02x", (unsigned)sum[k]);
        assert_string_equal(text, CASES[i][1]);
    }
}

static void units_are_known_however_written(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double metres;
    } CASES[] = {{"mm", 1e-3},    {"MM", 1e-3},   {"UM", 1e-6}, {"\xc2\xb5m", 1e-6},
                 {"\xb5m", 1e-6}, {"in", 0.0254}, {"M", 1},     {"nm", 1e-9},
                 {"furlong", 0},  {"", 0},        {"s", 0}};
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
        assert_true(unit_length(CASES[i].name, strlen(CASES[i].name)) == CASES[i].metres);
}

struct ask {
    struct input in;
    double *room;
};

static bool read_again(void *with) {
    const struct ask *ask = with;
    struct store store = {.heights = ask->room, .x = ask->room + BW_MAX_PROFILE_POINTS};
    struct bw_err err = {0};
    bool ok = read_any(ask->in, &store, &err);
    if (!ok) assert_int_equal(err.code, BW_MEMORY);
    return ok;
}

// A stored archive of one main.xml, put together by hand.
static void memory_may_run_out_anywhere(void **state) {
    (void)state;
    FILE *file = fopen("tests/fuzz/corpus/read_profile/inline.x3p", "rb");
    static unsigned char bytes[8192];
    assert_non_null(file);
    size_t n = fread(bytes, 1, sizeof bytes, file);
    assert_true(n > 100 && fclose(file) == 0);
    struct ask ask = {{bytes, n}, calloc(2 * BW_MAX_PROFILE_POINTS, sizeof(double))};
    assert_non_null(ask.room);
    assert_true(torture(read_again, &ask) >= 2);
    free(ask.room);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sums_of_the_rfc),
        cmocka_unit_test(units_are_known_however_written),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests_name("read_profile", tests, NULL, NULL);
}
