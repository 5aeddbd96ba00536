// test_read_sheet.c - turning, blocks, limits of the sheet; the reader's own file is built in.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/picture/sheet.c"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#define ROOM ((uint64_t)1 << 20)

struct bench {
    struct bw_jail_room room;
    struct bw_picture_header about;
    struct sheet sheet;
};

static struct bench *lay(uint32_t w, uint32_t h, int bits, uint32_t orientation) {
    struct bench *bench = calloc(1, sizeof *bench);
    assert_non_null(bench);
    bench->room = (struct bw_jail_room){.bytes = calloc(1, ROOM), .size = ROOM};
    assert_non_null(bench->room.bytes);
    bench->about.orientation = orientation;
    bench->sheet.room = &bench->room;
    bench->sheet.about = &bench->about;
    struct bw_err err = {0};
    assert_true(sheet_open(&bench->sheet, w, h, bits, 0, &err));
    return bench;
}

static void clear(struct bench *bench) {
    sheet_close(&bench->sheet);
    free(bench->room.bytes);
    free(bench);
}

static unsigned code(uint32_t x, uint32_t y, int bits) {
    return (x * 7 + y * 31 + 1) & (bits == 8 ? 255u : 65535u);
}

// Where a stored pixel is to be seen, by the words of the EXIF standard (from memory), told one by
// one and not by steps: "row 0 is the visual top and column 0 the visual left side" for 1, and so
// on.
struct place {
    uint32_t x, y;
};
static struct place seen_at(const struct bench *bench, uint32_t x, uint32_t y) {
    uint32_t right = bench->sheet.width - 1 - x;  // distance from the other side
    uint32_t below = bench->sheet.height - 1 - y;
    switch (bench->about.orientation) {
    case 1: return (struct place){x, y};          // row 0 top, column 0 left
    case 2: return (struct place){right, y};      // top, right
    case 3: return (struct place){right, below};  // bottom, right
    case 4: return (struct place){x, below};      // bottom, left
    case 5: return (struct place){y, x};          // row 0 left, column 0 top
    case 6: return (struct place){below, x};      // right, top
    case 7: return (struct place){below, right};  // right, bottom
    default: return (struct place){y, right};     // left, bottom
    }
}

static void check_all(const struct bench *bench, uint32_t w, uint32_t h, int bits) {
    for (uint32_t y = 0; y < h; y++) {
        for (uint32_t x = 0; x < w; x++) {
            struct place seen = seen_at(bench, x, y);
            size_t at = (size_t)seen.y * (size_t)bench->about.width + seen.x;
            const unsigned char *codes = bench->room.bytes + bench->about.codes_at;
            uint16_t wide;
            memcpy(&wide, codes + 2 * at, 2);
            assert_int_equal(bits == 8 ? codes[at] : wide, code(x, y, bits));
        }
    }
}

static void test_rows(void **state) {
    (void)state;
    static const uint32_t SIZES[][2] = {{1, 1},   {1, 5},    {5, 1}, {3, 2},
                                        {64, 64}, {65, 130}, {7, 63}};
    for (size_t i = 0; i < sizeof SIZES / sizeof SIZES[0]; i++) {
        for (uint32_t orientation = 1; orientation <= 8; orientation++) {
            for (int bits = 8; bits <= 16; bits += 8) {
                uint32_t w = SIZES[i][0], h = SIZES[i][1];
                struct bench *bench = lay(w, h, bits, orientation);
                for (uint32_t y = 0; y < h; y++) {
                    void *line = sheet_line(&bench->sheet);
                    for (uint32_t x = 0; x < w; x++) {
                        if (bits == 8)
                            ((uint8_t *)line)[x] = (uint8_t)code(x, y, 8);
                        else
                            ((uint16_t *)line)[x] = (uint16_t)code(x, y, 16);
                    }
                    sheet_line_done(&bench->sheet);
                }
                check_all(bench, w, h, bits);
                clear(bench);
            }
        }
    }
}

// Tiles that reach over the right and lower edge, and pixels set one by one beyond it.
static void test_blocks(void **state) {
    (void)state;
    enum { W = 37, H = 21, SIDE = 16 };
    for (uint32_t orientation = 1; orientation <= 8; orientation++) {
        struct bench *bench = lay(W, H, 16, orientation);
        for (uint32_t y0 = 0; y0 < H + SIDE; y0 += SIDE) {
            for (uint32_t x0 = 0; x0 < W + SIDE; x0 += SIDE) {
                uint16_t tile[SIDE * SIDE];
                for (uint32_t i = 0; i < SIDE * SIDE; i++)
                    tile[i] = (uint16_t)code(x0 + i % SIDE, y0 + i / SIDE, 16);
                sheet_put(&bench->sheet, (struct block){x0, y0, SIDE, SIDE, tile, SIDE});
            }
        }
        sheet_set(&bench->sheet, W, 0, 9);
        sheet_set(&bench->sheet, 0, H, 9);
        sheet_set(&bench->sheet, UINT32_MAX, UINT32_MAX, 9);
        check_all(bench, W, H, 16);
        // Nothing was written behind the codes.
        uint64_t end = bench->about.codes_at + bench->about.codes_bytes;
        for (uint64_t i = end; i < ROOM; i++) assert_int_equal(bench->room.bytes[i], 0);
        clear(bench);
    }
}

static void test_limits(void **state) {
    (void)state;
    struct bw_jail_room room = {.size = UINT64_MAX};
    struct bw_picture_header about = {.orientation = 1};
    static const struct {
        uint64_t w, h, work;
        int bits;
        enum bw_code code;
    } CASES[] = {
        {0, 5, 0, 8, BW_INPUT},
        {5, 0, 0, 8, BW_INPUT},
        {BW_MAX_PICTURE_SIDE + 1, 1, 0, 8, BW_LIMIT},
        {1, UINT64_MAX, 0, 8, BW_LIMIT},
        {20000, 11001, 0, 8, BW_LIMIT},
        {10000, 11001, 0, 16, BW_LIMIT},
        {10000, 10000, 120000001, 8, BW_LIMIT},
        {10, 10, UINT64_MAX, 8, BW_LIMIT},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        struct sheet sheet = {.room = &room, .about = &about};
        struct bw_err err = {0};
        assert_false(
            sheet_open(&sheet, CASES[i].w, CASES[i].h, CASES[i].bits, CASES[i].work, &err));
        assert_int_equal(err.code, CASES[i].code);
        assert_null(sheet.lines);
    }
    room.size = 4096 + 1024 + 99;
    struct sheet sheet = {.room = &room, .about = &about};
    struct bw_err err = {0};
    assert_false(sheet_open(&sheet, 10, 10, 8, 0, &err));
    assert_int_equal(err.code, BW_LIMIT);
    bw_alloc_fail_at(1);
    room.size = ROOM;
    err = (struct bw_err){0};
    assert_false(sheet_open(&sheet, 10, 10, 8, 0, &err));
    bw_alloc_fail_at(0);
    assert_int_equal(err.code, BW_MEMORY);
}

// Against exact rational arithmetic: nearest whole number to (0.299 r + 0.587 g + 0.114 b), and the
// ends.
static void test_luma(void **state) {
    (void)state;
    for (unsigned r = 0; r < 256; r += 5) {
        for (unsigned g = 0; g < 256; g += 3) {
            for (unsigned b = 0; b < 256; b += 5) {
                double exact = (299.0 * r + 587.0 * g + 114.0 * b) / 1000;
                double off = luma8((uint8_t)r, (uint8_t)g, (uint8_t)b) - exact;
                // The weights are rounded to 1/65536 each: at most 255 * 1.5/65536 beside the half.
                assert_true(off <= 0.506 && off >= -0.506);
            }
        }
    }
    assert_int_equal(luma8(255, 255, 255), 255);
    assert_int_equal(luma16(65535, 65535, 65535), 65535);
    assert_int_equal(luma16(0, 0, 0), 0);
    for (unsigned v = 0; v < 256; v++)
        assert_int_equal(luma8((uint8_t)v, (uint8_t)v, (uint8_t)v), v);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rows),
        cmocka_unit_test(test_blocks),
        cmocka_unit_test(test_limits),
        cmocka_unit_test(test_luma),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
