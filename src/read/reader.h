// reader.h - starts a jailed reader on an open file, brings back its sealed answer.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The caller survives whatever the reader does: crash, endless loop, flood, lie. docs/readers.md
// tells the whole story.
#ifndef BW_READ_READER_H
#define BW_READ_READER_H

#include "read/protocol.h"

struct bw_reader_call {
    const char *program;  // name of the reader, searched beside this program; with a '/': that path
    int input;            // the file, open for reading at its start; stays the caller's
    uint32_t kind;        // enum bw_read_kind, what the answer must be
    uint64_t room_bytes;  // size of the room, a multiple of 4096; untouched pages cost nothing
    uint64_t memory_bytes;  // what the reader may allocate besides the room
    double wall_s;          // by the clock, then it is killed; 0: BW_MAX_READER_SECONDS
    long cpu_s;             // of the processor; 0: BW_MAX_READER_CPU_SECONDS
    bool unjailed;          // go on where a full jail cannot be built (only from a command line)
};

struct bw_reader_answer {
    struct bw_read_envelope envelope;
    struct bw_jail_report jail;
    int room;  // descriptor of the room, sealed against any change; the caller closes it
};

// False: err says what went wrong in one line without a mend: BW_REFUSED (jail not full, violation,
// flood, lie), BW_TIMEOUT, BW_LIMIT (memory), BW_INPUT and others from the reader itself, BW_FAILED
// (the reader is missing or could not start), BW_MEMORY. out->jail is filled as soon as the reader
// has told it, even on failure; all else in `out` only on success.
bool bw_reader_run(const struct bw_reader_call *call, struct bw_reader_answer *out,
                   struct bw_err *err) BW_CHECKED;

// Maps the sealed room, answer->envelope.bytes of it, to read; the caller gives it back with
// munmap. NULL: BW_IO (not of the size it was sealed at), BW_MEMORY.
void *bw_reader_map(const struct bw_reader_answer *answer, struct bw_err *err) BW_CHECKED;

#endif
