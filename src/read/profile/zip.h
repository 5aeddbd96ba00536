// zip.h - the members of a ZIP archive held in memory: stored and deflated ones, nothing else.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_READ_PROFILE_ZIP_H
#define BW_READ_PROFILE_ZIP_H

#include "read/profile/store.h"

struct zip_member {
    const char *name;  // not NUL-terminated
    size_t name_length;
    const unsigned char *packed;
    size_t packed_bytes, bytes;
    uint32_t crc;
    bool deflated;
};
struct zip {
    struct input in;
    size_t directory, count;  // where the central directory begins, and how many it lists
};

#define ZIP_MOST_MEMBERS 1000

// Errors here and below: BW_INPUT (broken), BW_UNSUPPORTED (encrypted, other packing, 64-bit),
// BW_LIMIT, BW_MEMORY.
bool zip_open(struct input in, struct zip *out, struct bw_err *err) BW_CHECKED;
// The member of that path, in any one folder above it ("x/main.xml" is main.xml), but not among
// what a Mac adds. `*found` false: none.
bool zip_find(const struct zip *zip, const char *path, struct zip_member *out, bool *found,
              struct bw_err *err) BW_CHECKED;
// Unpacked, checked against size and CRC; a NUL follows. Free with bw_free.
bool zip_unpack(const struct zip_member *member, size_t most, unsigned char **out,
                struct bw_err *err) BW_CHECKED;

#endif
