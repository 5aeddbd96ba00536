// sheet.h - where the decoded grey codes go: upright, into the shared room.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_READ_PICTURE_SHEET_H
#define BW_READ_PICTURE_SHEET_H

#include "base/err.h"
#include "read/jail/jail.h"

#include <stddef.h>
#include <stdint.h>

struct sheet {
    const struct bw_jail_room *room;
    struct bw_picture_header *about;  // width and height are set by sheet_open
    uint32_t width, height;           // as stored, before turning
    int bits;                         // 8 or 16
    void *codes;                      // upright, in the room
    ptrdiff_t origin, step_x,
        step_y;                    // code of stored (x, y) stands at origin + x step_x + y step_y
    void *lines;                   // a band of stored rows on its way to the codes
    uint32_t band, first, filled;  // rows it can hold; stored row of its first; rows in it
};

// Checks the size against the limits, with `work_bytes` that the decoder will hold besides, and
// lays out the room. about->orientation must be set. BW_LIMIT, BW_INPUT, BW_MEMORY.
bool sheet_open(struct sheet *sheet, uint64_t width, uint64_t height, int bits, uint64_t work_bytes,
                struct bw_err *err) BW_CHECKED;
void sheet_close(struct sheet *sheet);  // frees the band; the codes stay in the room

// Rows in order: the place for the next stored row's codes, then "it is there".
void *sheet_line(struct sheet *sheet);
void sheet_line_done(struct sheet *sheet);

// A block of stored pixels, `row_codes` from one of its rows to the next; clipped to the picture.
struct block {
    uint32_t x, y, width, height;
    const void *codes;
    size_t row_codes;
};
void sheet_put(struct sheet *sheet, struct block block);
// One stored pixel.
void sheet_set(struct sheet *sheet, uint32_t x, uint32_t y, uint16_t code);

// Luma of codes as they stand (Rec. 601 weights 0.299, 0.587, 0.114), rounded to nearest.
static inline uint8_t luma8(uint8_t r, uint8_t g, uint8_t b) {
    return (uint8_t)((19595u * r + 38470u * g + 7471u * b + 32768u) >> 16);
}
static inline uint16_t luma16(uint16_t r, uint16_t g, uint16_t b) {
    return (uint16_t)((19595u * r + 38470u * g + 7471u * b + 32768u) >> 16);
}

#endif
