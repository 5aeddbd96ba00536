// exif.h - orientation, resolution and time from an EXIF block, and nothing else.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where a picture was taken stands in a directory of its own, which is never entered.
#ifndef BW_READ_PICTURE_EXIF_H
#define BW_READ_PICTURE_EXIF_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct exif {
    unsigned orientation;     // 1-8; 0: not stated or nonsense
    double x_per_m, y_per_m;  // pixels per metre as stored; 0: not stated
    char taken_at[32];        // as in struct bw_picture_header
};

// `bytes` begins with "II*" or "MM*" (TIFF 6.0 layout). What is broken or missing counts as not
// stated; the block that cannot be read at all gives all zero. Reads inside `length` only.
void exif_read(const unsigned char *bytes, size_t length, struct exif *out);

// "2024:05:01 10:20:30" (19 characters) and an offset "+02:00" (6, or NULL) to ISO 8601; "" if it
// is no time.
void exif_time(const char *time, const char *offset, char out[32]);

#endif
