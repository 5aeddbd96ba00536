// test_read_protocol.c - every way in which a reader's answer can lie is caught before it is used.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/protocol.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define ROOM ((uint64_t)1 << 20)

static struct bw_read_envelope good_envelope(void) {
    struct bw_read_envelope envelope = {
        .version = BW_READ_VERSION, .kind = BW_READ_PICTURE, .state = BW_READ_DONE, .bytes = 65536};
    memcpy(envelope.magic, BW_READ_MAGIC, sizeof envelope.magic);
    return envelope;
}

// 40 x 30 pixels of 16 bits: 2400 bytes of codes after a table of 262144 bytes.
static struct bw_picture_header good_header(void) {
    return (struct bw_picture_header){.width = 40,
                                      .height = 30,
                                      .bits = 16,
                                      .linear_at = 4096,
                                      .linear_bytes = 262144,
                                      .codes_at = 4096 + 262144,
                                      .codes_bytes = 2400,
                                      .format = BW_FORMAT_TIFF,
                                      .scale = BW_SCALE_TIFF,
                                      .x_per_m = 23622,
                                      .y_per_m = 23622,
                                      .file_bits = 16,
                                      .file_channels = 1,
                                      .orientation = 1,
                                      .taken_at = "2024-05-01T10:20:30+02:00"};
}
#define USED ((uint64_t)(4096 + 262144 + 2400))

static bool check(const struct bw_read_envelope *envelope, enum bw_code *code) {
    struct bw_read_envelope out = {.kind = 77};
    struct bw_err err = {0};
    bool ok = bw_read_envelope_check(envelope, sizeof *envelope, ROOM, BW_READ_PICTURE, &out, &err);
    if (!ok) assert_int_equal(out.kind, 77);  // untouched
    assert_int_equal(ok, err.code == BW_OK);
    *code = err.code;
    return ok;
}

static void test_envelope(void **state) {
    (void)state;
    enum bw_code code;
    struct bw_read_envelope e = good_envelope();
    assert_true(check(&e, &code));
    e.bytes = ROOM;
    assert_true(check(&e, &code));
    e.bytes = ROOM + 1;
    assert_false(check(&e, &code));
    assert_int_equal(code, BW_REFUSED);
    e.bytes = UINT64_MAX;
    assert_false(check(&e, &code));
    e.bytes = BW_READ_DATA_AT - 1;
    assert_false(check(&e, &code));
    e = good_envelope();
    e.magic[7] ^= 1;
    assert_false(check(&e, &code));
    assert_int_equal(code, BW_REFUSED);
    e = good_envelope();
    e.version++;
    assert_false(check(&e, &code));
    assert_int_equal(code, BW_FAILED);
    e = good_envelope();
    e.kind++;
    assert_false(check(&e, &code));
    e = good_envelope();
    e.state = BW_READ_NOTHING;
    assert_false(check(&e, &code));
    e.state = 99;
    assert_false(check(&e, &code));
}

static void test_envelope_too_short(void **state) {
    (void)state;
    struct bw_read_envelope e = good_envelope(), out;
    for (size_t n = 0; n < sizeof e; n += 7) {
        struct bw_err err = {0};
        assert_false(bw_read_envelope_check(&e, n, ROOM, BW_READ_PICTURE, &out, &err));
        assert_int_equal(err.code, BW_REFUSED);
    }
}

static void test_words_of_a_failed_reader(void **state) {
    (void)state;
    struct bw_read_envelope e = good_envelope(), out;
    struct bw_err err = {0};
    e.state = BW_READ_FAILED;
    e.code = BW_LIMIT;
    (void)snprintf(e.what, sizeof e.what, "too large");
    assert_false(bw_read_envelope_check(&e, sizeof e, ROOM, BW_READ_PICTURE, &out, &err));
    assert_int_equal(err.code, BW_LIMIT);
    assert_string_equal(err.what, "too large");
    // No end, and bytes that drive a terminal.
    memset(e.what, 0x1b, sizeof e.what);
    err = (struct bw_err){0};
    assert_false(bw_read_envelope_check(&e, sizeof e, ROOM, BW_READ_PICTURE, &out, &err));
    for (const char *c = err.what; *c != '\0'; c++) assert_true(*c == '?' || (*c & 0x80) != 0);
    // A code that is none.
    static const uint32_t CODES[] = {BW_OK, BW_CODE_COUNT, UINT32_MAX};
    for (size_t i = 0; i < 3; i++) {
        e.code = CODES[i];
        err = (struct bw_err){0};
        assert_false(bw_read_envelope_check(&e, sizeof e, ROOM, BW_READ_PICTURE, &out, &err));
        assert_int_equal(err.code, BW_REFUSED);
    }
}

static bool holds(const struct bw_picture_header *header) {
    struct bw_picture_header out = {.width = 77};
    struct bw_err err = {0};
    bool ok = bw_picture_header_check(header, sizeof *header, USED, &out, &err);
    assert_int_equal(out.width, ok ? header->width : 77);
    assert_int_equal(err.code, ok ? BW_OK : BW_REFUSED);
    return ok;
}

// One field changed to each of some values: all must be refused.
#define REFUSES(field, ...)                                                                        \
    do {                                                                                           \
        const double values[] = {__VA_ARGS__};                                                     \
        for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {                            \
            struct bw_picture_header bad = good_header();                                          \
            bad.field = (__typeof__(bad.field))values[i];                                          \
            if (holds(&bad)) fail_msg(#field " = %g was taken", values[i]);                        \
        }                                                                                          \
    } while (0)

static void test_header(void **state) {
    (void)state;
    struct bw_picture_header h = good_header();
    assert_true(holds(&h));
    REFUSES(width, 0, 39, 41, 100001, 4294967296.0, 9.2e18);
    REFUSES(height, 0, 29, 31, 100001, 4294967296.0, 9.2e18);
    REFUSES(bits, 0, 1, 7, 8, 9, 12, 32, 4294967280.0);
    REFUSES(codes_at, 0, 8, 4095, 4096 + 262144 + 8, 4096 + 262144 + 1, 1.8e19);
    REFUSES(codes_bytes, 0, 1200, 2399, 2401, 4800, 1.8e19);
    REFUSES(linear_at, 0, 4088, 4097, 6504, 1.8e19);
    REFUSES(linear_bytes, 0, 1024, 262143, 1.8e19);
    REFUSES(format, 0, 5, 4294967295.0);
    REFUSES(scale, 0, 5, 4294967295.0);
    REFUSES(transfer, 1, 4, 4294967295.0);
    REFUSES(flags, 32, 4294967295.0);
    REFUSES(file_bits, 0, 17, 4294967295.0);
    REFUSES(file_channels, 0, 65, 4294967295.0);
    REFUSES(orientation, 0, 9, 4294967295.0);
    REFUSES(x_per_m, 0, 0.5, -1, 1.1e8, (double)INFINITY, (double)NAN);
    REFUSES(y_per_m, 0, 0.5, -1, 1.1e8, (double)INFINITY, (double)NAN);
    REFUSES(gamma, 1, (double)NAN);
}

// Products that wrap around in 64 bits to the right number of bytes.
static void test_header_that_wraps(void **state) {
    (void)state;
    struct bw_picture_header h = good_header();
    h.width = 40;
    h.height = 30 + ((uint64_t)1 << 60);
    assert_false(holds(&h));
    h = good_header();
    h.codes_at = UINT64_MAX - 2400 + 1;
    h.codes_at -= h.codes_at % 8;
    assert_false(holds(&h));
}

static void test_gamma(void **state) {
    (void)state;
    struct bw_picture_header h = good_header();
    h.transfer = BW_TRANSFER_GAMMA;
    assert_false(holds(&h));
    h.gamma = 1.8;
    assert_true(holds(&h));
    h.gamma = 11;
    assert_false(holds(&h));
    h.gamma = (double)NAN;
    assert_false(holds(&h));
}

static void test_date(void **state) {
    (void)state;
    static const char *const GOOD[] = {"", "2024-05-01T10:20:30", "1999-12-31T23:59:59-11:30"};
    static const char *const BAD[] = {
        "2024-05-01",           "2024-05-01 10:20:30",       "2024-05-01T10:20:3x",
        "2024-05-01T10:20:30Z", "2024-05-01T10:20:30*02:00", "0123456789012345678901234567890"};
    for (size_t i = 0; i < 3; i++) {
        struct bw_picture_header h = good_header();
        memset(h.taken_at, 0, sizeof h.taken_at);
        memcpy(h.taken_at, GOOD[i], strlen(GOOD[i]));
        assert_true(holds(&h));
    }
    for (size_t i = 0; i < 6; i++) {
        struct bw_picture_header h = good_header();
        memset(h.taken_at, 0, sizeof h.taken_at);
        memcpy(h.taken_at, BAD[i], strlen(BAD[i]));
        assert_false(holds(&h));
    }
    struct bw_picture_header h = good_header();
    memset(h.taken_at, '0', sizeof h.taken_at);  // no end
    assert_false(holds(&h));
}

static void test_table(void **state) {
    (void)state;
    float table[4] = {0, 0.5f, 0.5f, 1};
    struct bw_err err = {0};
    assert_true(bw_picture_linear_check(table, 4, &err));
    const float bad[] = {-0.1f, 1.1f, NAN, INFINITY, 0.4f};
    for (size_t i = 0; i < 5; i++) {
        table[2] = bad[i];
        err = (struct bw_err){0};
        assert_false(bw_picture_linear_check(table, 4, &err));
        assert_int_equal(err.code, BW_REFUSED);
    }
}

static void test_jail_line(void **state) {
    (void)state;
    for (unsigned i = 0; i < 24; i++) {
        for (int landlock = 0; landlock < 20; landlock += 7) {
            struct bw_jail_report report = {.tier = (enum bw_jail)(i % 3),
                                            .no_new_privileges = (i & 4) != 0,
                                            .filter = (i & 8) != 0,
                                            .by_build = (i & 1) != 0,
                                            .landlock = landlock},
                                  back = {0};
            char line[BW_JAIL_LINE];
            bw_jail_line(line, &report);
            assert_true(bw_jail_line_read(line, strlen(line), &back));
            assert_memory_equal(&report.tier, &back.tier, sizeof report.tier);
            assert_int_equal(report.filter, back.filter);
            assert_int_equal(report.landlock, back.landlock);
            assert_int_equal(report.by_build, back.by_build);
            assert_int_equal(report.no_new_privileges, back.no_new_privileges);
            assert_false(bw_jail_line_read(line, strlen(line) - 1, &back));
        }
    }
    struct bw_jail_report back;
    static const char *const BAD[] = {"",
                                      "jail 3 1 1 0 07\n",
                                      "jail 2 2 1 0 07\n",
                                      "jail 2 1 1 0 7\n ",
                                      "Jail 2 1 1 0 07\n",
                                      "jail 2 1 x 0 07\n"};
    for (size_t i = 0; i < 6; i++) assert_false(bw_jail_line_read(BAD[i], strlen(BAD[i]), &back));
}

static void test_jail_words(void **state) {
    (void)state;
    char text[BW_JAIL_TEXT];
    struct bw_jail_report report = {.tier = BW_JAIL_FULL, .filter = true, .landlock = 7};
    assert_string_equal(bw_jail_text(text, &report), "full jail (system-call filter, Landlock 7)");
    report.landlock = 0;
    assert_string_equal(bw_jail_text(text, &report),
                        "full jail (system-call filter, no Landlock in this kernel)");
    report = (struct bw_jail_report){.tier = BW_JAIL_PARTIAL, .landlock = 3};
    assert_string_equal(bw_jail_text(text, &report),
                        "partial jail (no system-call filter, Landlock 3)");
    report = (struct bw_jail_report){0};
    assert_string_equal(bw_jail_text(text, &report), "no jail");
    report.by_build = true;
    assert_string_equal(bw_jail_text(text, &report), "no jail (test build)");
}

// --- recordings ----------------------------------------------------------------------------------

// 100 frames of two channels.
static struct bw_sound_header good_sound(void) {
    return (struct bw_sound_header){.frames = 100,
                                    .samples_at = 4096,
                                    .samples_bytes = 800,
                                    .rate_hz = 48000,
                                    .channels = 2,
                                    .format = BW_SOUND_WAV,
                                    .bits = 16};
}

static bool sound_taken(const struct bw_sound_header *header) {
    struct bw_sound_header out = {.frames = 77};
    struct bw_err err = {0};
    bool ok = bw_sound_header_check(header, sizeof *header, 4096 + 800, &out, &err);
    if (!ok) {
        assert_int_equal(out.frames, 77);  // untouched
        assert_int_equal(err.code, BW_REFUSED);
    }
    return ok;
}

static void test_sound_header(void **state) {
    (void)state;
    struct bw_sound_header h = good_sound();
    assert_true(sound_taken(&h));
    h.rate_hz = 0;  // numbers without times
    assert_true(sound_taken(&h));
    const struct {
        size_t offset;
        uint64_t value;
    } LIES[] = {
        {offsetof(struct bw_sound_header, frames), 0},
        {offsetof(struct bw_sound_header, frames), 101},
        {offsetof(struct bw_sound_header, frames), UINT64_MAX / 8 + 101},  // wraps to 100 frames
        {offsetof(struct bw_sound_header, samples_at), 4095},
        {offsetof(struct bw_sound_header, samples_at), 4100},
        {offsetof(struct bw_sound_header, samples_at), UINT64_MAX - 7},
        {offsetof(struct bw_sound_header, samples_bytes), 808},
        {offsetof(struct bw_sound_header, samples_bytes), UINT64_MAX},
    };
    for (size_t i = 0; i < sizeof LIES / sizeof LIES[0]; i++) {
        h = good_sound();
        memcpy((char *)&h + LIES[i].offset, &LIES[i].value, sizeof LIES[i].value);
        assert_false(sound_taken(&h));
    }
    const double RATES[] = {-48000, 0.5, 3e6, (double)NAN, HUGE_VAL};
    for (size_t i = 0; i < sizeof RATES / sizeof RATES[0]; i++) {
        h = good_sound();
        h.rate_hz = RATES[i];
        assert_false(sound_taken(&h));
    }
    h = good_sound();
    h.channels = 0;
    assert_false(sound_taken(&h));
    h = good_sound();
    h.channels = 17;
    assert_false(sound_taken(&h));
    h = good_sound();
    h.format = 0;
    assert_false(sound_taken(&h));
    h = good_sound();
    h.format = BW_SOUND_CSV + 1;
    assert_false(sound_taken(&h));
    h = good_sound();
    h.flags = 4;
    assert_false(sound_taken(&h));
    h = good_sound();
    h.bits = 65;
    assert_false(sound_taken(&h));
}

static void test_sound_samples(void **state) {
    (void)state;
    struct bw_err err = {0};
    float samples[] = {0, -1, 1e30f};
    assert_true(bw_sound_samples_check(samples, 3, &err));
    samples[2] = NAN;
    assert_false(bw_sound_samples_check(samples, 3, &err));
    assert_int_equal(err.code, BW_REFUSED);
    bw_err_clear(&err);
    samples[2] = -INFINITY;
    assert_false(bw_sound_samples_check(samples, 3, &err));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_envelope),
        cmocka_unit_test(test_envelope_too_short),
        cmocka_unit_test(test_words_of_a_failed_reader),
        cmocka_unit_test(test_header),
        cmocka_unit_test(test_header_that_wraps),
        cmocka_unit_test(test_gamma),
        cmocka_unit_test(test_date),
        cmocka_unit_test(test_table),
        cmocka_unit_test(test_jail_line),
        cmocka_unit_test(test_jail_words),
        cmocka_unit_test(test_sound_header),
        cmocka_unit_test(test_sound_samples),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
