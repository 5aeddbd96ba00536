// main.c - beltwright-read-profile: a stranger's trace or surface in, heights out, in a jail.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Started by src/read/reader.c with the file on 0, the room on 1, a pipe on 2. docs/readers.md.
#include "base/alloc.h"
#include "read/jail/jail.h"
#include "read/profile/store.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

static bool read_whole(uint64_t bytes, unsigned char **out, struct bw_err *err) {
    if (bytes == 0) return bw_fail(err, BW_INPUT, "the file is empty");
    if (bytes > BW_MAX_PROFILE_FILE_BYTES)
        return bw_fail(err, BW_LIMIT, "the file has %llu MB; at most %llu are read",
                       (unsigned long long)(bytes / 1000000),
                       (unsigned long long)(BW_MAX_PROFILE_FILE_BYTES / 1000000));
    unsigned char *whole = bw_alloc((size_t)bytes);
    if (whole == NULL) return bw_fail_memory(err);
    size_t have = 0;
    while (have < bytes) {
        ssize_t n = pread(0, whole + have, (size_t)bytes - have, (off_t)have);
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) break;
        have += (size_t)n;
    }
    if (have == bytes) {
        *out = whole;
        return true;
    }
    bw_free(whole);
    return bw_fail(err, BW_IO, "the file could not be read to its end");
}

// Heights stand where the data begin, places of points are moved up behind them.
static int answer(struct store *store, const struct bw_jail_room *room) {
    struct bw_profile_header *about = &store->about;
    about->heights_at = BW_READ_DATA_AT;
    about->heights_bytes = about->columns * about->rows * sizeof(double);
    uint64_t used = about->heights_at + about->heights_bytes;
    if (about->x_at != 0) {
        about->x_at = used;
        about->x_bytes = about->columns * sizeof(double);
        memmove(room->bytes + used, store->x, (size_t)about->x_bytes);
        used += about->x_bytes;
    }
    memcpy(room->bytes + sizeof(struct bw_read_envelope), about, sizeof *about);
    return bw_jail_answer_done(room, BW_READ_PROFILE, used);
}

static int work(const struct bw_jail_room *room) {
    struct bw_err err = {0};
    unsigned char *whole = NULL;
    double *heights = (double *)(void *)(room->bytes + BW_READ_DATA_AT);
    struct store store = {.heights = heights, .x = heights + BW_MAX_PROFILE_POINTS};
    bool ok = room->size >= BW_READ_DATA_AT + 2 * BW_MAX_PROFILE_POINTS * sizeof(double) ||
              bw_fail(&err, BW_FAILED, "the room is too small");
    ok = ok && read_whole(room->file_bytes, &whole, &err) &&
         read_any((struct input){whole, (size_t)room->file_bytes}, &store, &err);
    bw_free(whole);
    return ok ? answer(&store, room) : bw_jail_answer_failed(room, BW_READ_PROFILE, &err);
}

int main(int argc, char **argv) {
    struct bw_jail_room room;
    int status = bw_jail_start(argc, argv, &room);
    if (status == 0) status = work(&room);
#ifdef BW_JAIL_OFF
    return status;  // lets the sanitizer look for leaks
#else
    _exit(status);  // libraries' farewells have no business in the jail
#endif
}
