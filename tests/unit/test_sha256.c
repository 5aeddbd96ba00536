// test_sha256.c - the published examples of the hash, and the names made of it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/sha256.h"

#include "job/ulid.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void gives(const char *text, size_t step, const char *expected) {
    struct bw_sha256 hash = bw_sha256_begin();
    char out[BW_SHA256_TEXT];
    size_t length = strlen(text);
    for (size_t at = 0; at < length; at += step)
        bw_sha256_add(&hash, text + at, length - at < step ? length - at : step);
    bw_sha256_end_text(&hash, out);
    assert_string_equal(out, expected);
    assert_true(bw_sha256_is_text(out));
}

// FIPS 180-2, appendix B (the examples that go with FIPS 180-4), and the empty message.
static void the_standards_examples_come_out(void **state) {
    (void)state;
    static const char TWO_BLOCKS[] = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
    for (size_t step = 1; step < 70; step++) {
        gives("", step, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
        gives("abc", step, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        gives(TWO_BLOCKS, step, "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    }
}

static void a_million_letters_come_out(void **state) {
    (void)state;
    char thousand[1000], out[BW_SHA256_TEXT];
    struct bw_sha256 hash = bw_sha256_begin();
    memset(thousand, 'a', sizeof thousand);
    for (int i = 0; i < 1000; i++) bw_sha256_add(&hash, thousand, sizeof thousand);
    bw_sha256_end_text(&hash, out);
    assert_string_equal(out, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

static void only_a_hash_looks_like_one(void **state) {
    (void)state;
    assert_false(bw_sha256_is_text(""));
    assert_false(bw_sha256_is_text("cdc76e5c"));
    assert_false(
        bw_sha256_is_text("CDC76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"));
    assert_false(
        bw_sha256_is_text("cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd00"));
}

// The ULID specification's largest value, and the time of its example 01ARZ3NDEKTSV4RRFFQ69G5FAV.
static void names_are_those_of_the_specification(void **state) {
    (void)state;
    char text[BW_ID_TEXT];
    unsigned char ones[10],
        example[10] = {0xd6, 0x76, 0x4c, 0x61, 0xef, 0xb9, 0x93, 0x02, 0xbd, 0x5b};
    memset(ones, 0xff, sizeof ones);
    bw_ulid_text(BW_MAX_TIME_MS, ones, text);
    assert_string_equal(text, "7ZZZZZZZZZZZZZZZZZZZZZZZZZ");
    assert_true(bw_ulid_is(text));
    assert_true(bw_ulid_time(text) == BW_MAX_TIME_MS);
    assert_false(bw_ulid_is("8ZZZZZZZZZZZZZZZZZZZZZZZZZ"));  // the specification: overflow
    bw_ulid_text(1469922850259, example, text);
    assert_string_equal(text, "01ARZ3NDEKTSV4RRFFQ69G5FAV");
    assert_true(bw_ulid_time(text) == 1469922850259);
    assert_false(bw_ulid_is("01ARZ3NDEKTSV4RRFFQ69G5FA"));
    assert_false(bw_ulid_is("01ARZ3NDEKTSV4RRFFQ69G5FAU"));
    assert_false(bw_ulid_is("01arz3ndektsv4rrffq69g5fav"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_standards_examples_come_out),
        cmocka_unit_test(a_million_letters_come_out),
        cmocka_unit_test(only_a_hash_looks_like_one),
        cmocka_unit_test(names_are_those_of_the_specification),
    };
    return cmocka_run_group_tests_name("sha256", tests, NULL, NULL);
}
