// pack.c - see pack.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "web/pack.h"

#include "base/utf8.h"

#include <assert.h>
#include <string.h>

void bw_pack_add(struct bw_buffer *out, const char *name, const char *bytes, size_t length) {
    assert(strlen(name) < BW_PACK_NAME && strcspn(name, " \n") == strlen(name));
    bw_buffer_format(out, "%s %zu\n", name, length);
    bw_buffer_add(out, bytes, length);
}

void bw_pack_text(struct bw_buffer *out, const char *name, const char *text) {
    bw_pack_add(out, name, text, strlen(text));
}

// At most nineteen digits, so it cannot overflow.
static bool read_length(const char *digits, size_t n, size_t *out) {
    size_t value = 0;
    if (n == 0 || n > 18) return false;
    for (size_t i = 0; i < n; i++) {
        if (!bw_is_digit(digits[i])) return false;
        value = 10 * value + (size_t)(digits[i] - '0');
    }
    *out = value;
    return true;
}

bool bw_pack_next(const char *message, size_t length, size_t *at, struct bw_packed *out) {
    struct bw_packed packed = {{0}, NULL, 0};
    const char *begin = message + *at;
    size_t rest = length - *at;
    if (rest == 0) return false;
    const char *space = memchr(begin, ' ', rest < BW_PACK_NAME ? rest : BW_PACK_NAME);
    if (space == NULL || space == begin) return false;
    memcpy(packed.name, begin, (size_t)(space - begin));
    const char *digits = space + 1;
    rest -= (size_t)(digits - begin);
    const char *line_end = memchr(digits, '\n', rest);
    if (line_end == NULL || !read_length(digits, (size_t)(line_end - digits), &packed.length))
        return false;
    packed.bytes = line_end + 1;
    if (packed.length > length - (size_t)(packed.bytes - message)) return false;
    *at = (size_t)(packed.bytes - message) + packed.length;
    *out = packed;
    return true;
}

bool bw_pack_find(const char *message, size_t length, const char *name, struct bw_packed *out) {
    struct bw_packed packed;
    for (size_t at = 0; bw_pack_next(message, length, &at, &packed);) {
        if (strcmp(packed.name, name) != 0) continue;
        *out = packed;
        return true;
    }
    return false;
}
