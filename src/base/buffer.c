// buffer.c - see buffer.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/buffer.h"

#include "base/alloc.h"
#include "base/format.h"

#include <string.h>

// Makes room for `more` bytes and the closing NUL.
static bool reserve(struct bw_buffer *buffer, size_t more) {
    if (buffer->failed) return false;
    if (more > BW_MAX_BUFFER_BYTES - buffer->length) {
        buffer->failed = true;
        return false;
    }
    size_t need = buffer->length + more + 1;
    if (need <= buffer->capacity) return true;
    size_t capacity = buffer->capacity == 0 ? 256 : 2 * buffer->capacity;
    while (capacity < need) capacity *= 2;
    char *data = bw_realloc(buffer->data, capacity);
    if (data == NULL) {
        buffer->failed = true;
        return false;
    }
    buffer->data = data;
    buffer->capacity = capacity;
    return true;
}

void bw_buffer_add(struct bw_buffer *buffer, const char *bytes, size_t length) {
    if (!reserve(buffer, length)) return;
    if (length > 0) memcpy(buffer->data + buffer->length, bytes, length);
    buffer->length += length;
    buffer->data[buffer->length] = '\0';
}

void bw_buffer_text(struct bw_buffer *buffer, const char *text) {
    bw_buffer_add(buffer, text, strlen(text));
}

void bw_buffer_char(struct bw_buffer *buffer, char byte) { bw_buffer_add(buffer, &byte, 1); }

void bw_buffer_fill(struct bw_buffer *buffer, char byte, size_t count) {
    for (size_t i = 0; i < count; i++) bw_buffer_char(buffer, byte);
}

void bw_buffer_vformat(struct bw_buffer *buffer, const char *format, va_list args) {
    va_list again;
    va_copy(again, args);
    int n = bw_vformat(NULL, 0, format, again);
    va_end(again);
    if (n < 0) {
        buffer->failed = true;
        return;
    }
    if (!reserve(buffer, (size_t)n)) return;
    (void)bw_vformat(buffer->data + buffer->length, (size_t)n + 1, format, args);
    buffer->length += (size_t)n;
}

void bw_buffer_format(struct bw_buffer *buffer, const char *format, ...) {
    va_list args;
    va_start(args, format);
    bw_buffer_vformat(buffer, format, args);
    va_end(args);
}

void bw_buffer_free(struct bw_buffer *buffer) {
    bw_free(buffer->data);
    *buffer = (struct bw_buffer){0};
}

char *bw_buffer_take(struct bw_buffer *buffer) {
    if (buffer->failed || !reserve(buffer, 0)) {
        bw_buffer_free(buffer);
        return NULL;
    }
    char *data = buffer->data;
    data[buffer->length] = '\0';
    *buffer = (struct bw_buffer){0};
    return data;
}
