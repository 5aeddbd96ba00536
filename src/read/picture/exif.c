// exif.c - see exif.h. The first directory is read and the camera's, which it names.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/picture/exif.h"

#include <string.h>

struct block {
    const unsigned char *bytes;
    size_t length;
    bool big;  // most significant byte first
};

static uint32_t get16(const struct block *b, size_t at) {
    if (at > b->length || b->length - at < 2) return 0;
    uint32_t first = b->bytes[at], second = b->bytes[at + 1];
    return b->big ? first << 8 | second : second << 8 | first;
}

static uint32_t get32(const struct block *b, size_t at) {
    if (at > b->length || b->length - at < 4) return 0;
    uint32_t first = get16(b, at), second = get16(b, at + 2);
    return b->big ? first << 16 | second : second << 16 | first;
}

// One directory entry of 12 bytes: tag, type, count, value or where it is.
struct entry {
    uint32_t tag, type, count;
    size_t value_at;
};
enum { ASCII = 2, SHORT = 3, LONG = 4, RATIONAL = 5 };
enum {
    TAG_ORIENTATION = 0x0112,
    TAG_X = 0x011a,
    TAG_Y = 0x011b,
    TAG_UNIT = 0x0128,
    TAG_CAMERA = 0x8769,
    TAG_TAKEN = 0x9003,
    TAG_OFFSET = 0x9011
};

static bool find(const struct block *b, size_t directory, uint32_t tag, uint32_t type,
                 struct entry *out) {
    uint32_t n = get16(b, directory);
    for (uint32_t i = 0; i < n; i++) {
        size_t at = directory + 2 + 12 * (size_t)i;
        if (at > b->length || b->length - at < 12) return false;
        if (get16(b, at) != tag || get16(b, at + 2) != type) continue;
        *out =
            (struct entry){.tag = tag, .type = type, .count = get32(b, at + 4), .value_at = at + 8};
        return true;
    }
    return false;
}

static double ratio(const struct block *b, size_t directory, uint32_t tag) {
    struct entry entry;
    if (!find(b, directory, tag, RATIONAL, &entry)) return 0;
    size_t at = get32(b, entry.value_at);
    uint32_t above = get32(b, at), below = at < b->length ? get32(b, at + 4) : 0;
    return below == 0 ? 0 : (double)above / below;
}

// A text of exactly `length` characters before its NUL. False: it is not there.
static bool text(const struct block *b, size_t directory, uint32_t tag, size_t length, char *out) {
    struct entry entry;
    if (!find(b, directory, tag, ASCII, &entry) || entry.count < length) return false;
    size_t at = get32(b, entry.value_at);
    if (at > b->length || b->length - at < length) return false;
    memcpy(out, b->bytes + at, length);
    return true;
}

// Two digits as a number, -1 if they are none.
static int two(const char *digits) {
    if (digits[0] < '0' || digits[0] > '9' || digits[1] < '0' || digits[1] > '9') return -1;
    return (digits[0] - '0') * 10 + digits[1] - '0';
}
static bool within(const char *digits, int min, int max) {
    return two(digits) >= min && two(digits) <= max;
}

static bool offset_holds(const char *offset) {
    return (offset[0] == '+' || offset[0] == '-') && within(offset + 1, 0, 14) &&
           offset[3] == ':' && within(offset + 4, 0, 59);
}

void exif_time(const char *time, const char *offset, char out[32]) {
    memset(out, 0, 32);
    bool marks =
        time[4] == ':' && time[7] == ':' && time[10] == ' ' && time[13] == ':' && time[16] == ':';
    bool date = within(time, 0, 99) && within(time + 2, 0, 99) && within(time + 5, 1, 12) &&
                within(time + 8, 1, 31);
    bool clock = within(time + 11, 0, 23) && within(time + 14, 0, 59) && within(time + 17, 0, 60);
    if (!marks || !date || !clock) return;
    memcpy(out, time, 19);
    out[4] = out[7] = '-';
    out[10] = 'T';
    if (offset != NULL && offset_holds(offset)) memcpy(out + 19, offset, 6);
}

void exif_read(const unsigned char *bytes, size_t length, struct exif *out) {
    *out = (struct exif){0};
    struct block b = {.bytes = bytes, .length = length};
    if (length < 8 || (memcmp(bytes, "II*\0", 4) != 0 && memcmp(bytes, "MM\0*", 4) != 0)) return;
    b.big = bytes[0] == 'M';
    size_t first = get32(&b, 4);
    struct entry entry;
    if (find(&b, first, TAG_ORIENTATION, SHORT, &entry)) {
        uint32_t value = get16(&b, entry.value_at);
        if (value >= 1 && value <= 8) out->orientation = value;
    }
    uint32_t unit = find(&b, first, TAG_UNIT, SHORT, &entry) ? get16(&b, entry.value_at) : 2;
    double metre = unit == 2 ? 1 / 0.0254 : unit == 3 ? 100 : 0;  // inch, centimetre, none
    out->x_per_m = ratio(&b, first, TAG_X) * metre;
    out->y_per_m = ratio(&b, first, TAG_Y) * metre;
    char time[19], offset[6];
    if (!find(&b, first, TAG_CAMERA, LONG, &entry)) return;
    size_t camera = get32(&b, entry.value_at);
    if (!text(&b, camera, TAG_TAKEN, sizeof time, time)) return;
    bool zone = text(&b, camera, TAG_OFFSET, sizeof offset, offset);
    exif_time(time, zone ? offset : NULL, out->taken_at);
}
