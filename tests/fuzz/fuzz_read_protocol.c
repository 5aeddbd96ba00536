// fuzz_read_protocol.c - the client's side of the reader protocol, on any bytes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/protocol.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#define ROOM ((uint64_t)1 << 20)

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

// What the checks let through must be safe to use as the client uses it.
static void use(const uint8_t *data, size_t size, const struct bw_read_envelope *envelope) {
    struct bw_picture_header header;
    struct bw_err err = {0};
    size_t skip = sizeof *envelope;
    if (!bw_picture_header_check(data + skip, size - skip, envelope->bytes, &header, &err)) {
        assert(err.code == BW_REFUSED);
        return;
    }
    uint64_t used = envelope->bytes;
    assert(used <= ROOM);
    assert(header.codes_at >= BW_READ_DATA_AT && header.codes_at < used);
    assert(header.codes_bytes / header.height / (header.bits / 8) == header.width);
    assert(header.codes_at + header.codes_bytes <= used);
    assert(header.linear_at + header.linear_bytes <= used);
    assert(header.linear_at % sizeof(float) == 0 && header.codes_at % 2 == 0);
    assert(memchr(header.taken_at, '\0', sizeof header.taken_at) != NULL);
}

static void use_sound(const uint8_t *data, size_t size, const struct bw_read_envelope *envelope) {
    struct bw_sound_header header;
    struct bw_err err = {0};
    size_t skip = sizeof *envelope;
    uint64_t used = envelope->bytes;
    if (!bw_sound_header_check(data + skip, size - skip, used, &header, &err)) {
        assert(err.code == BW_REFUSED);
        return;
    }
    assert(header.samples_at >= BW_READ_DATA_AT && header.samples_at % sizeof(float) == 0);
    assert(header.samples_bytes / header.channels / sizeof(float) == header.frames);
    assert(header.samples_bytes <= used && header.samples_at <= used - header.samples_bytes);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    struct bw_read_envelope envelope;
    struct bw_jail_report report;
    struct bw_err err = {0};
    if (bw_jail_line_read((const char *)data, size, &report)) {
        char line[BW_JAIL_LINE], text[BW_JAIL_TEXT];
        bw_jail_line(line, &report);
        assert(memcmp(line, data, strlen(line)) == 0);
        assert(bw_jail_text(text, &report)[0] != '\0');
    }
    if (bw_read_envelope_check(data, size, ROOM, BW_READ_PICTURE, &envelope, &err))
        use(data, size, &envelope);
    else
        assert(err.code != BW_OK && err.what[0] != '\0');
    bw_err_clear(&err);
    if (bw_read_envelope_check(data, size, ROOM, BW_READ_SOUND, &envelope, &err))
        use_sound(data, size, &envelope);
    if (size % sizeof(float) == 0 && size > 0) {
        float *table = malloc(size);
        if (table == NULL) return 0;
        memcpy(table, data, size);
        struct bw_err ignored = {0};
        bool sound = bw_picture_linear_check(table, size / sizeof(float), &ignored);
        for (size_t i = 0; sound && i < size / sizeof(float); i++) assert(table[i] >= 0);
        free(table);
    }
    return 0;
}
