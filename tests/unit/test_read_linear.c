// test_read_linear.c - the tables to linear light; the reader's own file is built in.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/picture/linear.c"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

static void near_to(double value, double expected, double within) {
    if (!(value >= expected - within && value <= expected + within))
        fail_msg("%.9g is not within %.2g of %.9g", value, within, expected);
}

static float table[65536];

static void sound(const struct bw_picture_header *header) {
    struct bw_err err = {0};
    linear_fill(header, table);
    assert_true(bw_picture_linear_check(table, (size_t)1 << header->bits, &err));
    assert_true(table[0] == 0);
    assert_true(table[(1u << header->bits) - 1] == 1);
}

// IEC 61966-2-1, 8-bit codes to light; values from memory, to the digits given.
static void test_srgb(void **state) {
    (void)state;
    static const struct {
        int code;
        double light, within;
    } KNOWN[] = {{1, 0.000303527, 1e-9}, {10, 0.003035270, 1e-9}, {11, 0.003346536, 1e-9},
                 {64, 0.05126946, 1e-8}, {128, 0.2158605, 1e-7},  {188, 0.5028865, 1e-7},
                 {254, 0.9911021, 1e-7}};
    struct bw_picture_header header = {.bits = 8, .file_bits = 8};
    sound(&header);
    for (size_t i = 0; i < sizeof KNOWN / sizeof KNOWN[0]; i++)
        near_to((double)table[KNOWN[i].code], KNOWN[i].light, KNOWN[i].within);
    header = (struct bw_picture_header){.bits = 16, .file_bits = 16};
    sound(&header);
    near_to((double)table[128 * 257], 0.2158605, 1e-7);
}

// The way back (the standard's own forward formula) gives every code again.
static void test_srgb_there_and_back(void **state) {
    (void)state;
    struct bw_picture_header header = {.bits = 16, .file_bits = 16};
    sound(&header);
    for (int i = 0; i < 65536; i++) {
        double l = (double)table[i];
        double v = l <= 0.0031308 ? 12.92 * l : 1.055 * pow(l, 1 / 2.4) - 0.055;
        assert_true(fabs(v * 65535 - i) < 0.02);
    }
}

static void test_others(void **state) {
    (void)state;
    struct bw_picture_header header = {
        .bits = 8, .file_bits = 8, .transfer = BW_TRANSFER_GAMMA, .gamma = 2};
    sound(&header);
    near_to((double)table[51], 0.04, 1e-8);
    header = (struct bw_picture_header){.bits = 8, .file_bits = 8, .transfer = BW_TRANSFER_LINEAR};
    sound(&header);
    near_to((double)table[51], 0.2, 1e-7);
    // BT.709: 0.018 of light is 0.081 of signal, 0.18 is 0.409 (from memory).
    header =
        (struct bw_picture_header){.bits = 16, .file_bits = 16, .transfer = BW_TRANSFER_REC709};
    sound(&header);
    near_to((double)table[(int)(0.081 * 65535 + 0.5)], 0.018, 2e-5);
    near_to((double)table[(int)(0.409008 * 65535 + 0.5)], 0.18, 2e-4);
}

// Black at 16 and white at 235 of 255; of ten bits at 64 and 940 of 1023.
static void test_narrow(void **state) {
    (void)state;
    struct bw_picture_header header = {
        .bits = 8, .file_bits = 8, .transfer = BW_TRANSFER_LINEAR, .flags = BW_PICTURE_NARROW};
    sound(&header);
    assert_true(table[16] < 1e-7f && table[17] > 0.004f);
    assert_true(table[235] > 1 - 1e-6f && table[234] < 0.996f);
    header.bits = 16;
    header.file_bits = 10;
    sound(&header);
    assert_true(table[(64 * 65535 + 511) / 1023] < 1e-5f);
    assert_true(table[(940 * 65535 + 511) / 1023] > 1 - 1e-5f);
    near_to((double)table[(502 * 65535 + 511) / 1023], 0.5, 1e-5);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_srgb),
        cmocka_unit_test(test_srgb_there_and_back),
        cmocka_unit_test(test_others),
        cmocka_unit_test(test_narrow),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
