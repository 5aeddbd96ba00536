// png.h - a picture as PNG (ISO/IEC 15948), for what the program itself draws.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_REPORT_PNG_H
#define BW_REPORT_PNG_H

#include "base/buffer.h"
#include "base/plot.h"

struct bw_png {
    const uint8_t *codes;  // sRGB, rows from the top, without gaps
    size_t width, height;  // at least 1, at most 16384 each
    int channels;          // 1: grey, 3: red, green, blue
};

// Appends the file's bytes. The same picture gives the same bytes with the same zlib. false: out of
// memory or above BW_MAX_BUFFER_BYTES.
bool bw_png_write(const struct bw_png *png, struct bw_buffer *out) BW_CHECKED;

// The same as base64 (RFC 4648), for a data address.
bool bw_png_base64(const struct bw_png *png, struct bw_buffer *out) BW_CHECKED;

// A plot's raster with its lines drawn in, as PNG: for programs that show no SVG. Lines of the
// second style are broken, so nothing hangs on colour. Errors: BW_MEMORY, BW_LIMIT.
bool bw_overlay_write(const struct bw_plot *plot, struct bw_buffer *out,
                      struct bw_err *err) BW_CHECKED;

#endif
