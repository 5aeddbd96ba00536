// boxes.h - the boxes of a HEIC file: items, their data, their properties.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// ISO/IEC 14496-12 and 23008-12, from memory.
#ifndef BW_READ_PICTURE_BOXES_H
#define BW_READ_PICTURE_BOXES_H

#include "base/err.h"

#include <stddef.h>
#include <stdint.h>

// A run of bytes being read, most significant byte first. Reading past the end gives 0 and marks
// it.
struct bytes {
    const unsigned char *at;
    size_t left;
    bool over;
};
uint32_t bytes_get(struct bytes *bytes, unsigned count);       // 1, 2 or 4 bytes (0: none, 0)
uint64_t bytes_get_long(struct bytes *bytes, unsigned count);  // up to 8
struct bytes bytes_take(struct bytes *bytes, size_t count);

// The four letters of a box kind as one number.
#define KIND(a, b, c, d)                                                                           \
    ((uint32_t)(a) << 24 | (uint32_t)(b) << 16 | (uint32_t)(c) << 8 | (uint32_t)(d))

// The next box of the run: its kind and body. False: none left, or it is longer than what holds it
// (then .over).
bool box_next(struct bytes *in, uint32_t *kind, struct bytes *body);
// The first box of that kind. False: there is none.
bool box_find(struct bytes in, uint32_t kind, struct bytes *body);

// What the meta box holds; all point into the caller's copy of it.
struct items {
    uint32_t primary;
    struct bytes info, references, properties, owners, places, inner;
};
// `meta`: body of the meta box. BW_INPUT.
bool items_open(struct bytes meta, struct items *out, struct bw_err *err) BW_CHECKED;

// Kind of an item ('hvc1', 'grid'), 0: no such item.
uint32_t item_kind(const struct items *items, uint32_t id);
// The items that `id` refers to by `kind`: ids of *id_bytes (2 or 4) each. False: it refers to none
// so.
bool item_refers(const struct items *items, uint32_t id, uint32_t kind, struct bytes *ids,
                 unsigned *id_bytes);
// The item of `kind` that refers to `to` by `by` ('Exif' that 'cdsc'-ribes it), 0: none.
uint32_t item_about(const struct items *items, uint32_t kind, uint32_t by, uint32_t to);
// Property number n (0, 1, ...) of an item in its order. False: no more.
bool item_property(const struct items *items, uint32_t id, size_t n, uint32_t *kind,
                   struct bytes *body);
bool item_property_find(const struct items *items, uint32_t id, uint32_t kind, struct bytes *body);
// A run of an item's data: in the file, or in the meta box's own data.
struct piece {
    bool inside;        // the meta box
    uint64_t at, size;  // bytes; size 0: to the end
};
// Piece number n of an item (0, 1, ...). False: no more.
bool item_piece(const struct items *items, uint32_t id, size_t n, struct piece *out);

#endif
