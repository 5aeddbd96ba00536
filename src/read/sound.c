// sound.c - see sound.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#define _GNU_SOURCE  // O_CLOEXEC and mappings beyond plain POSIX
#include "read/sound.h"

#include "read/reader.h"

#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#define ROOM_BYTES (BW_READ_DATA_AT + BW_MAX_SOUND_BYTES)
static_assert(ROOM_BYTES % 4096 == 0, "the room is whole pages");

// The sealed room, mapped privately: kernels before 6.7 refuse to share what is sealed against
// writing.
static bool map_room(const struct bw_reader_answer *answer, struct bw_sound *out,
                     struct bw_err *err) {
    struct bw_sound sound = {.jail = answer->jail, .map_bytes = answer->envelope.bytes};
    struct stat about;
    if (fstat(answer->room, &about) != 0 || (uint64_t)about.st_size != sound.map_bytes)
        return bw_fail(err, BW_IO, "the reader's answer is not of the size it was sealed at");
    sound.map = mmap(NULL, (size_t)sound.map_bytes, PROT_READ, MAP_PRIVATE, answer->room, 0);
    if (sound.map == MAP_FAILED)
        return bw_fail(err, BW_MEMORY, "no room to map the recording (%s)", strerror(errno));
    const unsigned char *bytes = sound.map;
    bool ok = bw_sound_header_check(bytes + sizeof answer->envelope, sizeof sound.about,
                                    sound.map_bytes, &sound.about, err);
    if (ok) {
        sound.frames = (size_t)sound.about.frames;
        sound.channels = sound.about.channels;
        sound.rate_hz = sound.about.rate_hz;
        sound.samples = (const float *)(const void *)(bytes + sound.about.samples_at);
        ok = bw_sound_samples_check(sound.samples, sound.frames * sound.channels, err);
    }
    if (!ok) {
        (void)munmap(sound.map, (size_t)sound.map_bytes);
        return false;
    }
    *out = sound;
    return true;
}

static bool read_open(int fd, const struct bw_sound_options *options, struct bw_sound *out,
                      struct bw_err *err) {
    struct bw_reader_call call = {
        .program = options->program != NULL ? options->program : "beltwright-read-sound",
        .input = fd,
        .kind = BW_READ_SOUND,
        .room_bytes = ROOM_BYTES,
        .memory_bytes = BW_MAX_SOUND_WORK_BYTES,
        .wall_s = options->wall_s,
        .unjailed = options->unjailed,
    };
    struct bw_reader_answer answer = {.room = -1};
    bool ok = bw_reader_run(&call, &answer, err) && map_room(&answer, out, err);
    if (answer.room >= 0) (void)close(answer.room);
    out->jail = answer.jail;
    return ok;
}

bool bw_sound_read_open(int fd, const char *name, const struct bw_sound_options *options,
                        struct bw_sound *out, struct bw_err *err) {
    static const struct bw_sound_options USUAL = {0};
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
    (void)bw_fail(err, BW_UNSUPPORTED, "not a plain file; save the recording to a file first");
    return -1;
}

bool bw_sound_read(const char *path, const struct bw_sound_options *options, struct bw_sound *out,
                   struct bw_err *err) {
    int fd = open_plain(path, err);
    bool ok = fd >= 0 && bw_sound_read_open(fd, path, options, out, err);
    if (fd >= 0) (void)close(fd);
    if (!ok) bw_err_file(err, path);
    return ok;
}

void bw_sound_free(struct bw_sound *sound) {
    if (sound == NULL || sound->map == NULL) return;
    (void)munmap(sound->map, (size_t)sound->map_bytes);
    *sound = (struct bw_sound){0};
}

const char *bw_sound_format_name(enum bw_sound_format format) {
    static const char *const NAMES[] = {"?",  "WAV", "FLAC", "OGG", "MP3", "another sound format",
                                        "CSV"};
    return NAMES[format];
}
