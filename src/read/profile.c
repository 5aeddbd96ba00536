// profile.c - see profile.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/profile.h"

#include "read/reader.h"

#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

// Headers, heights, and places of points where they are uneven, in whole pages.
#define ROOM_BYTES                                                                                 \
    ((BW_READ_DATA_AT + 2 * BW_MAX_PROFILE_POINTS * sizeof(double) + 4096) & ~(uint64_t)4095)

static bool map_room(const struct bw_reader_answer *answer, struct bw_profile *out,
                     struct bw_err *err) {
    struct bw_profile profile = {.jail = answer->jail, .map_bytes = answer->envelope.bytes};
    profile.map = bw_reader_map(answer, err);
    if (profile.map == NULL) return false;
    const unsigned char *bytes = profile.map;
    const unsigned char *inner = bytes + sizeof answer->envelope;
    if (!bw_profile_header_check(inner, sizeof profile.about, profile.map_bytes, &profile.about,
                                 err) ||
        !bw_profile_data_check(bytes, &profile.about, err)) {
        (void)munmap(profile.map, (size_t)profile.map_bytes);
        return false;
    }
    profile.heights = (const double *)(const void *)(bytes + profile.about.heights_at);
    if (profile.about.x_at != 0)
        profile.x = (const double *)(const void *)(bytes + profile.about.x_at);
    *out = profile;
    return true;
}

bool bw_profile_read_open(int fd, const char *name, bool unjailed, struct bw_profile *out,
                          struct bw_err *err) {
    struct bw_reader_call call = {
        .program = "beltwright-read-profile",
        .input = fd,
        .kind = BW_READ_PROFILE,
        .room_bytes = ROOM_BYTES,
        .memory_bytes = BW_MAX_PROFILE_WORK_BYTES,
        .unjailed = unjailed,
    };
    struct bw_reader_answer answer = {.room = -1};
    bool ok = bw_reader_run(&call, &answer, err) && map_room(&answer, out, err);
    if (answer.room >= 0) (void)close(answer.room);
    if (!ok) bw_err_file(err, name);
    return ok;
}

void bw_profile_free(struct bw_profile *profile) {
    if (profile == NULL || profile->map == NULL) return;
    (void)munmap(profile->map, (size_t)profile->map_bytes);
    *profile = (struct bw_profile){0};
}

const char *bw_profile_format_name(enum bw_profile_format format) {
    static const char *const NAMES[] = {"?", "text", "SMD", "SDF text", "SDF", "X3P"};
    return NAMES[format];
}
