// buffer.h - a growing run of bytes: JSON, SVG, help texts are written into one.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_BUFFER_H
#define BW_BASE_BUFFER_H

#include "base/err.h"

#include <stdarg.h>
#include <stddef.h>

// Zero-initialise. `data` is NUL-terminated once anything was added. `failed` is sticky: out of
// memory or above BW_MAX_BUFFER_BYTES; later additions are ignored, the writer checks once.
struct bw_buffer {
    char *data;
    size_t length, capacity;
    bool failed;
};

void bw_buffer_add(struct bw_buffer *buffer, const char *bytes, size_t length);
void bw_buffer_text(struct bw_buffer *buffer, const char *text);
void bw_buffer_char(struct bw_buffer *buffer, char byte);
void bw_buffer_format(struct bw_buffer *buffer, const char *format, ...) BW_PRINTF(2, 3);
void bw_buffer_vformat(struct bw_buffer *buffer, const char *format, va_list args) BW_PRINTF(2, 0);
void bw_buffer_fill(struct bw_buffer *buffer, char byte, size_t count);
void bw_buffer_free(struct bw_buffer *buffer);
// The bytes become the caller's (free with bw_free); the buffer is empty again. NULL if it failed;
// an empty buffer gives "".
char *bw_buffer_take(struct bw_buffer *buffer) BW_CHECKED;

#endif
