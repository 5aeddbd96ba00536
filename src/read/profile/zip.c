// zip.c - see zip.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// By APPNOTE 6.3 (from memory): the central directory decides, its records lead to the members.
#include "read/profile/zip.h"

#include "base/alloc.h"

#include <string.h>
#include <zlib.h>

#define END_BYTES 22
#define RECORD_BYTES 46
#define LOCAL_BYTES 30
#define MOST_COMMENT 65535

static uint32_t number(const unsigned char *at, size_t bytes) {
    uint32_t v = 0;
    for (size_t i = bytes; i-- > 0;) v = v << 8 | at[i];
    return v;
}

static bool broken(struct bw_err *err, const char *where) {
    return bw_fail(err, BW_INPUT, "the archive is broken or cut short (%s); copy the file again",
                   where);
}

bool zip_open(struct input in, struct zip *out, struct bw_err *err) {
    if (in.length < END_BYTES) return broken(err, "no end");
    size_t at = in.length - END_BYTES, least = at > MOST_COMMENT ? at - MOST_COMMENT : 0;
    while (memcmp(in.bytes + at, "PK\5\6", 4) != 0) {
        if (at == least) return broken(err, "no directory");
        at--;
    }
    const unsigned char *end = in.bytes + at;
    uint32_t count = number(end + 10, 2), bytes = number(end + 12, 4), from = number(end + 16, 4);
    if (from == 0xffffffff || count == 0xffff)
        return bw_fail(err, BW_UNSUPPORTED, "a 64-bit archive is not read");
    if (number(end + 4, 2) != 0 || number(end + 6, 2) != 0)
        return bw_fail(err, BW_UNSUPPORTED, "an archive in several parts is not read");
    if (count > ZIP_MOST_MEMBERS)
        return bw_fail(err, BW_LIMIT, "the archive lists more than %d files", ZIP_MOST_MEMBERS);
    if (from > at || bytes > at - from) return broken(err, "directory");
    *out = (struct zip){in, from, count};
    return true;
}

static bool ends_with(const struct zip_member *member, const char *path) {
    size_t n = strlen(path);
    if (member->name_length < n || memcmp(member->name + member->name_length - n, path, n) != 0)
        return false;
    size_t before = member->name_length - n;
    if (before == 0) return true;
    // One folder, and not the one in which a Mac keeps its notes.
    return member->name[before - 1] == '/' && memchr(member->name, '/', before - 1) == NULL &&
           (before < 9 || memcmp(member->name, "__MACOSX/", 9) != 0);
}

static bool locate(const struct zip *zip, const unsigned char *record, struct zip_member *out,
                   struct bw_err *err) {
    size_t from = number(record + 42, 4), length = zip->in.length;
    uint32_t packing = number(record + 10, 2);
    if ((number(record + 8, 2) & 1) != 0)
        return bw_fail(err, BW_UNSUPPORTED, "the archive is encrypted");
    if (packing != 0 && packing != 8)
        return bw_fail(err, BW_UNSUPPORTED, "the archive is packed in a way that is not read");
    if (length < LOCAL_BYTES || from > length - LOCAL_BYTES ||
        memcmp(zip->in.bytes + from, "PK\3\4", 4) != 0)
        return broken(err, "a file's place");
    const unsigned char *local = zip->in.bytes + from;
    size_t skip = LOCAL_BYTES + (size_t)number(local + 26, 2) + number(local + 28, 2);
    out->packed_bytes = number(record + 20, 4);
    out->bytes = number(record + 24, 4);
    out->crc = number(record + 16, 4);
    out->deflated = packing == 8;
    if (skip > length - from || out->packed_bytes > length - from - skip)
        return broken(err, "a file's size");
    if (!out->deflated && out->packed_bytes != out->bytes) return broken(err, "a file's size");
    out->packed = local + skip;
    return true;
}

bool zip_find(const struct zip *zip, const char *path, struct zip_member *out, bool *found,
              struct bw_err *err) {
    size_t at = zip->directory;
    *found = false;
    for (size_t i = 0; i < zip->count; i++) {
        const unsigned char *record = zip->in.bytes + at;
        if (zip->in.length - at < RECORD_BYTES || memcmp(record, "PK\1\2", 4) != 0)
            return broken(err, "directory");
        size_t name = number(record + 28, 2);
        size_t bytes = RECORD_BYTES + name + number(record + 30, 2) + number(record + 32, 2);
        if (zip->in.length - at < bytes) return broken(err, "directory");
        struct zip_member member = {.name = (const char *)record + RECORD_BYTES,
                                    .name_length = name};
        if (ends_with(&member, path)) {
            if (!locate(zip, record, &member, err)) return false;
            *out = member;
            *found = true;
            return true;
        }
        at += bytes;
    }
    return true;
}

static bool inflate_whole(const struct zip_member *member, unsigned char *to) {
    z_stream stream = {.next_in = (unsigned char *)(uintptr_t)member->packed,
                       .avail_in = (uInt)member->packed_bytes,
                       .next_out = to,
                       .avail_out = (uInt)member->bytes};
    if (inflateInit2(&stream, -15) != Z_OK) return false;
    int how = inflate(&stream, Z_FINISH);
    bool ok = how == Z_STREAM_END && stream.total_out == member->bytes;
    (void)inflateEnd(&stream);
    return ok;
}

bool zip_unpack(const struct zip_member *member, size_t most, unsigned char **out,
                struct bw_err *err) {
    if (member->bytes > most)
        return bw_fail(err, BW_LIMIT, "a file in the archive has %zu MB; at most %zu are read",
                       member->bytes / 1000000, most / 1000000);
    unsigned char *bytes = bw_alloc(member->bytes + 1);
    if (bytes == NULL) return bw_fail_memory(err);
    bool ok = true;
    if (member->deflated)
        ok = inflate_whole(member, bytes);
    else
        memcpy(bytes, member->packed, member->bytes);
    ok = ok && crc32(0, bytes, (uInt)member->bytes) == member->crc;
    bytes[member->bytes] = '\0';
    if (ok) {
        *out = bytes;
        return true;
    }
    bw_free(bytes);
    return broken(err, "a file's content");
}
