// png.c - see png.h. Chunks are ours, deflate and CRC are zlib's.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/png.h"

#include "base/alloc.h"

#include <assert.h>
#include <string.h>
#include <zlib.h>

static void put32(unsigned char *out, uint32_t value) {
    for (int i = 0; i < 4; i++) out[i] = (unsigned char)(value >> (24 - 8 * i));
}

static void add32(struct bw_buffer *out, uint32_t value) {
    unsigned char word[4];
    put32(word, value);
    bw_buffer_add(out, (const char *)word, 4);
}

static void chunk(struct bw_buffer *out, const char *type, const unsigned char *data, size_t n) {
    uLong crc = crc32(0, (const unsigned char *)type, 4);
    if (n > 0) crc = crc32(crc, data, (uInt)n);  // without data zlib would begin anew
    add32(out, (uint32_t)n);
    bw_buffer_add(out, type, 4);
    bw_buffer_add(out, (const char *)data, n);
    add32(out, (uint32_t)crc);
}

// Each row is stored as differences from the one above (filter 2): photos shrink best so.
static void filter(const struct bw_png *png, unsigned char *out) {
    size_t row = png->width * (size_t)png->channels;
    for (size_t y = 0; y < png->height; y++) {
        const uint8_t *codes = png->codes + y * row;
        *out++ = y == 0 ? 0 : 2;
        for (size_t i = 0; i < row; i++)
            *out++ = (unsigned char)(y == 0 ? codes[i] : codes[i] - codes[i - row]);
    }
}

static void write_all(const struct bw_png *png, const unsigned char *packed, size_t n,
                      struct bw_buffer *out) {
    unsigned char head[13] = {0};
    put32(head, (uint32_t)png->width);
    put32(head + 4, (uint32_t)png->height);
    head[8] = 8;
    head[9] = png->channels == 3 ? 2 : 0;
    bw_buffer_add(out, "\x89PNG\r\n\x1a\n", 8);
    chunk(out, "IHDR", head, sizeof head);
    chunk(out, "sRGB", (const unsigned char *)"", 1);  // rendering intent 0
    chunk(out, "IDAT", packed, n);
    chunk(out, "IEND", NULL, 0);
}

bool bw_png_write(const struct bw_png *png, struct bw_buffer *out) {
    assert(png->width >= 1 && png->width <= 16384 && png->height >= 1 && png->height <= 16384);
    assert(png->channels == 1 || png->channels == 3);
    size_t raw_bytes = (png->width * (size_t)png->channels + 1) * png->height;
    uLongf packed_bytes = compressBound((uLong)raw_bytes);
    unsigned char *raw = bw_alloc(raw_bytes), *packed = bw_alloc(packed_bytes);
    bool done = raw != NULL && packed != NULL;
    if (done) {
        filter(png, raw);
        done = compress2(packed, &packed_bytes, raw, (uLong)raw_bytes, 6) == Z_OK;
    }
    if (done) write_all(png, packed, packed_bytes, out);
    bw_free(raw);
    bw_free(packed);
    return done && !out->failed;
}

static void base64(const unsigned char *bytes, size_t n, struct bw_buffer *out) {
    static const char LETTERS[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    for (size_t i = 0; i < n; i += 3) {
        size_t here = n - i < 3 ? n - i : 3;
        unsigned triple = 0;
        char four[4];
        for (size_t k = 0; k < here; k++) triple |= (unsigned)bytes[i + k] << (16 - 8 * k);
        for (size_t k = 0; k < 4; k++)
            four[k] = k <= here ? LETTERS[triple >> (18 - 6 * k) & 63] : '=';
        bw_buffer_add(out, four, 4);
    }
}

bool bw_png_base64(const struct bw_png *png, struct bw_buffer *out) {
    struct bw_buffer bytes = {0};
    bool done = bw_png_write(png, &bytes);
    if (done) base64((const unsigned char *)bytes.data, bytes.length, out);
    bw_buffer_free(&bytes);
    return done && !out->failed;
}
