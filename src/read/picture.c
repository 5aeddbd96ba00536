// picture.c - see picture.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#define _GNU_SOURCE  // O_CLOEXEC and mappings beyond plain POSIX
#include "read/picture.h"

#include "base/alloc.h"
#include "read/reader.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

// Headers, the larger table and the codes, in whole pages.
#define ROOM_BYTES                                                                                 \
    ((BW_READ_DATA_AT + (65536 * sizeof(float)) + BW_MAX_PICTURE_WORK_BYTES + 4096) &              \
     ~(uint64_t)4095)

static bool map_room(const struct bw_reader_answer *answer, struct bw_picture *out,
                     struct bw_err *err) {
    struct bw_picture picture = {.jail = answer->jail, .map_bytes = answer->envelope.bytes};
    picture.map = bw_reader_map(answer, err);
    if (picture.map == NULL) return false;
    const unsigned char *bytes = picture.map;
    const unsigned char *inner = bytes + sizeof answer->envelope;
    bool ok = bw_picture_header_check(inner, sizeof picture.about, picture.map_bytes,
                                      &picture.about, err);
    if (ok) {
        picture.width = (uint32_t)picture.about.width;
        picture.height = (uint32_t)picture.about.height;
        picture.bits = (int)picture.about.bits;
        picture.codes = bytes + picture.about.codes_at;
        picture.linear = (const float *)(const void *)(bytes + picture.about.linear_at);
        ok = bw_picture_linear_check(picture.linear, (size_t)1 << picture.bits, err);
    }
    if (!ok) {
        (void)munmap(picture.map, (size_t)picture.map_bytes);
        return false;
    }
    *out = picture;
    return true;
}

static bool read_open(int fd, const struct bw_picture_options *options, struct bw_picture *out,
                      struct bw_err *err) {
    struct bw_reader_call call = {
        .program = options->program != NULL ? options->program : "beltwright-read-picture",
        .input = fd,
        .kind = BW_READ_PICTURE,
        .room_bytes = ROOM_BYTES,
        .memory_bytes = BW_MAX_PICTURE_WORK_BYTES,
        .wall_s = options->wall_s,
        .unjailed = options->unjailed,
    };
    struct bw_reader_answer answer = {.room = -1};
    bool ok = bw_reader_run(&call, &answer, err) && map_room(&answer, out, err);
    if (answer.room >= 0) (void)close(answer.room);
    out->jail = answer.jail;
    return ok;
}

bool bw_picture_read_open(int fd, const char *name, const struct bw_picture_options *options,
                          struct bw_picture *out, struct bw_err *err) {
    static const struct bw_picture_options USUAL = {0};
    bool ok = read_open(fd, options == NULL ? &USUAL : options, out, err);
    if (!ok) bw_err_file(err, name);
    return ok;
}

// Never waits (a pipe without a writer) and never becomes our terminal.
static int open_plain(const char *path, struct bw_err *err) {
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
    struct stat about;
    if (fd < 0) {
        (void)bw_fail(err, errno == ENOENT ? BW_NOT_FOUND : BW_IO, "cannot be opened (%s)",
                      strerror(errno));
        return -1;
    }
    if (fstat(fd, &about) == 0 && S_ISREG(about.st_mode)) return fd;
    (void)close(fd);
    (void)bw_fail(err, BW_UNSUPPORTED, "not a plain file; save the picture to a file first");
    return -1;
}

bool bw_picture_read(const char *path, const struct bw_picture_options *options,
                     struct bw_picture *out, struct bw_err *err) {
    int fd = open_plain(path, err);
    bool ok = fd >= 0 && bw_picture_read_open(fd, path, options, out, err);
    if (fd >= 0) (void)close(fd);
    if (!ok) bw_err_file(err, path);
    return ok;
}

void bw_picture_free(struct bw_picture *picture) {
    if (picture == NULL || picture->map == NULL) return;
    (void)munmap(picture->map, (size_t)picture->map_bytes);
    *picture = (struct bw_picture){0};
}

void bw_picture_row(const struct bw_picture *picture, uint32_t y, float *out) {
    const float *linear = picture->linear;
    size_t first = (size_t)y * picture->width;
    if (picture->bits == 8) {
        const uint8_t *codes = (const uint8_t *)picture->codes + first;
        for (uint32_t x = 0; x < picture->width; x++) out[x] = linear[codes[x]];
    } else {
        const uint16_t *codes = (const uint16_t *)picture->codes + first;
        for (uint32_t x = 0; x < picture->width; x++) out[x] = linear[codes[x]];
    }
}

const char *bw_picture_format_name(enum bw_picture_format format) {
    static const char *const NAMES[] = {"?", "JPEG", "PNG", "TIFF", "HEIC"};
    return NAMES[format];
}
