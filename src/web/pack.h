// pack.h - a message between the server and a worker: named runs of bytes, one after another.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Each is "NAME LENGTH\n" and then LENGTH bytes. Names are words of small letters and may repeat.
#ifndef BW_WEB_PACK_H
#define BW_WEB_PACK_H

#include "base/buffer.h"

#define BW_PACK_NAME 32

struct bw_packed {
    char name[BW_PACK_NAME];
    const char *bytes;  // borrowed from the message, not NUL-terminated
    size_t length;
};

void bw_pack_add(struct bw_buffer *out, const char *name, const char *bytes, size_t length);
void bw_pack_text(struct bw_buffer *out, const char *name, const char *text);

// The run that begins at *at, which moves on. false: the end, or bytes that are no message.
bool bw_pack_next(const char *message, size_t length, size_t *at, struct bw_packed *out);
// The first run of that name.
bool bw_pack_find(const char *message, size_t length, const char *name, struct bw_packed *out);

#endif
