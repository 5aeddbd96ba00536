// sheet.c - see sheet.h. All eight orientations are one affine walk through the room.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rows that become columns go through a band of 64 rows, so that each visit to a far-off row writes
// 64 codes and not one.
#include "read/picture/sheet.h"

#include "base/alloc.h"

#include <string.h>

#define BAND 64

static void lay_out(struct sheet *sheet) {
    ptrdiff_t w = sheet->width, h = sheet->height;
    bool turned = sheet->about->orientation >= 5;
    ptrdiff_t row = turned ? h : w;  // codes in an upright row
    // EXIF 2.32, table of tag 0x0112: where stored row 0 and column 0 are to be seen (from memory).
    const struct {
        ptrdiff_t origin, x, y;
    } walks[9] = {
        [1] = {0, 1, row},
        [2] = {w - 1, -1, row},
        [3] = {(h - 1) * row + w - 1, -1, -row},
        [4] = {(h - 1) * row, 1, -row},
        [5] = {0, row, 1},
        [6] = {h - 1, row, -1},
        [7] = {(w - 1) * row + h - 1, -row, -1},
        [8] = {(w - 1) * row, -row, 1},
    };
    sheet->origin = walks[sheet->about->orientation].origin;
    sheet->step_x = walks[sheet->about->orientation].x;
    sheet->step_y = walks[sheet->about->orientation].y;
    sheet->about->width = (uint64_t)(turned ? h : w);
    sheet->about->height = (uint64_t)(turned ? w : h);
}

bool sheet_open(struct sheet *sheet, uint64_t width, uint64_t height, int bits, uint64_t work_bytes,
                struct bw_err *err) {
    if (width == 0 || height == 0) return bw_fail(err, BW_INPUT, "the picture has no pixels");
    if (width > BW_MAX_PICTURE_SIDE || height > BW_MAX_PICTURE_SIDE)
        return bw_fail(err, BW_LIMIT, "%llu x %llu pixels; a side may have %d at most",
                       (unsigned long long)width, (unsigned long long)height, BW_MAX_PICTURE_SIDE);
    uint64_t codes = width * height * (uint64_t)(bits / 8);
    if (codes > BW_MAX_PICTURE_WORK_BYTES || work_bytes > BW_MAX_PICTURE_WORK_BYTES - codes)
        return bw_fail(err, BW_LIMIT,
                       "%llu x %llu pixels need %llu MB to decode; at most %llu are "
                       "used, send a smaller picture",
                       (unsigned long long)width, (unsigned long long)height,
                       (unsigned long long)((codes + work_bytes) / 1000000),
                       (unsigned long long)(BW_MAX_PICTURE_WORK_BYTES / 1000000));
    uint64_t table = ((uint64_t)1 << bits) * sizeof(float);
    if (BW_READ_DATA_AT + table + codes > sheet->room->size)
        return bw_fail(err, BW_LIMIT, "the room is too small for the picture");
    void *lines = bw_alloc((size_t)width * (size_t)(bits / 8) * BAND);
    if (lines == NULL) return bw_fail_memory(err);
    sheet->width = (uint32_t)width;
    sheet->height = (uint32_t)height;
    sheet->bits = bits;
    sheet->lines = lines;
    sheet->band = BAND;
    sheet->first = sheet->filled = 0;
    sheet->about->bits = (uint32_t)bits;
    sheet->about->linear_at = BW_READ_DATA_AT;
    sheet->about->linear_bytes = table;
    sheet->about->codes_at = BW_READ_DATA_AT + table;
    sheet->about->codes_bytes = codes;
    sheet->codes = sheet->room->bytes + sheet->about->codes_at;
    lay_out(sheet);
    return true;
}

void sheet_close(struct sheet *sheet) {
    bw_free(sheet->lines);
    sheet->lines = NULL;
}

void *sheet_line(struct sheet *sheet) {
    size_t bytes = (size_t)sheet->width * (size_t)(sheet->bits / 8);
    return (unsigned char *)sheet->lines + sheet->filled * bytes;
}

void sheet_line_done(struct sheet *sheet) {
    sheet->filled++;
    if (sheet->filled < sheet->band && sheet->first + sheet->filled < sheet->height) return;
    sheet_put(sheet, (struct block){.y = sheet->first,
                                    .width = sheet->width,
                                    .height = sheet->filled,
                                    .codes = sheet->lines,
                                    .row_codes = sheet->width});
    sheet->first += sheet->filled;
    sheet->filled = 0;
}

// Stored rows stay rows: copied, or walked backwards.
static void put_rows(const struct sheet *sheet, const struct block *block, ptrdiff_t to) {
    size_t size = (size_t)(sheet->bits / 8);
    for (uint32_t y = 0; y < block->height; y++, to += sheet->step_y) {
        const unsigned char *from =
            (const unsigned char *)block->codes + y * block->row_codes * size;
        unsigned char *row = (unsigned char *)sheet->codes + to * (ptrdiff_t)size;
        if (sheet->step_x == 1) {
            memcpy(row, from, block->width * size);
        } else if (size == 1) {
            for (uint32_t x = 0; x < block->width; x++) *row-- = from[x];
        } else {
            uint16_t *row16 = (uint16_t *)(void *)row;
            for (uint32_t x = 0; x < block->width; x++, row16--)
                memcpy(row16, from + 2 * (size_t)x, 2);
        }
    }
}

// Stored columns become rows.
static void put_columns(const struct sheet *sheet, const struct block *block, ptrdiff_t to) {
    for (uint32_t x = 0; x < block->width; x++, to += sheet->step_x) {
        if (sheet->bits == 8) {
            const uint8_t *from = (const uint8_t *)block->codes + x;
            uint8_t *row = (uint8_t *)sheet->codes + to;
            for (uint32_t y = 0; y < block->height;
                 y++, row += sheet->step_y, from += block->row_codes)
                *row = *from;
        } else {
            const uint16_t *from = (const uint16_t *)block->codes + x;
            uint16_t *row = (uint16_t *)sheet->codes + to;
            for (uint32_t y = 0; y < block->height;
                 y++, row += sheet->step_y, from += block->row_codes)
                *row = *from;
        }
    }
}

void sheet_put(struct sheet *sheet, struct block block) {
    if (block.x >= sheet->width || block.y >= sheet->height) return;
    if (block.width > sheet->width - block.x) block.width = sheet->width - block.x;
    if (block.height > sheet->height - block.y) block.height = sheet->height - block.y;
    ptrdiff_t to =
        sheet->origin + (ptrdiff_t)block.x * sheet->step_x + (ptrdiff_t)block.y * sheet->step_y;
    if (sheet->step_x == 1 || sheet->step_x == -1)
        put_rows(sheet, &block, to);
    else
        put_columns(sheet, &block, to);
}

void sheet_set(struct sheet *sheet, uint32_t x, uint32_t y, uint16_t code) {
    if (x >= sheet->width || y >= sheet->height) return;
    ptrdiff_t to = sheet->origin + (ptrdiff_t)x * sheet->step_x + (ptrdiff_t)y * sheet->step_y;
    if (sheet->bits == 8)
        ((uint8_t *)sheet->codes)[to] = (uint8_t)code;
    else
        ((uint16_t *)sheet->codes)[to] = code;
}
