// jail.h - the reader's side of the jail: takes away everything that decoding does not need.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// After bw_jail_start the process can read descriptor 0, write the room and descriptor 2, ask for
// plain memory, and end. Whatever else it tries kills it.
#ifndef BW_READ_JAIL_JAIL_H
#define BW_READ_JAIL_JAIL_H

#include "read/protocol.h"

struct bw_jail_room {
    unsigned char *bytes;  // shared with the client; the process's for its life
    uint64_t size;
    uint64_t
        file_bytes;  // size of descriptor 0, asked before the jail closes; 0 if it is no plain file
};

// To be called first, before any byte of descriptor 0 is read; libraries that open files, start
// threads or load code must have done so. Maps the room, builds the jail, reports it on descriptor
// 2. Returns 0, or the exit status to leave with at once.
int bw_jail_start(int argc, char **argv, struct bw_jail_room *out);

// Writes the answer into the room; the process may then end with the returned status.
int bw_jail_answer_done(const struct bw_jail_room *room, uint32_t kind, uint64_t bytes);
int bw_jail_answer_failed(const struct bw_jail_room *room, uint32_t kind, const struct bw_err *err);

// For tests: the filter's program for an architecture of libseccomp ("x86_64", "aarch64") as the
// kernel would take it, written to `fd`. False: libseccomp does not know it.
bool bw_jail_filter_write(const char *architecture, int fd) BW_CHECKED;

#endif
