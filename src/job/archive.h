// archive.h - jobs as one file that any unpacker opens: a POSIX tar of JSON lines and attachments.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// docs/archive.md describes it. Nothing is unpacked into the file system: only three forms of
// member name are taken, every size is known before it is read, and every hash is checked.
#ifndef BW_JOB_ARCHIVE_H
#define BW_JOB_ARCHIVE_H

#include "job/set.h"

#include <stdio.h>

#define BW_ARCHIVE_SHAPE "archive/1"
// A film of a panel in cut has some hundred MB.
#define BW_MAX_ATTACHMENT_BYTES ((uint64_t)1 << 30)
// Jobs of many years with their pictures.
#define BW_MAX_ARCHIVE_BYTES ((uint64_t)64 << 30)
#define BW_MAX_ARCHIVE_MEMBERS 1000000
#define BW_PIECE_BYTES ((size_t)256 << 10)  // attachments are read and stored in these

// ---- writing. `to` is the caller's; write errors show at bw_archive_end. The same jobs give the
// same bytes.

struct bw_archive_writer {
    FILE *to;
    bool failed;
};

struct bw_archive_writer bw_archive_begin(FILE *to);
// A member begins; exactly `size` bytes follow in pieces.
void bw_archive_file(struct bw_archive_writer *writer, const char *sha256, uint64_t size);
void bw_archive_piece(struct bw_archive_writer *writer, const void *bytes, size_t length);
void bw_archive_file_end(struct bw_archive_writer *writer, uint64_t size);
void bw_archive_job(struct bw_archive_writer *writer, const struct bw_entries *set);
bool bw_archive_end(struct bw_archive_writer *writer, struct bw_err *err) BW_CHECKED;

// ---- reading

// A piece of an attachment as it comes.
struct bw_archive_part {
    const char *sha256;
    uint64_t size;  // of the whole
    uint64_t at;
    const void *bytes;
    size_t length;
};

// What is done with what comes; false stops the reading with the error given. `arena` holds one
// job and is freed after `job` returns.
struct bw_archive_sink {
    void *with;
    // The next piece of an attachment. The last one comes before the hash is
    // checked, `file_end` after.
    bool (*piece)(void *with, const struct bw_archive_part *part, struct bw_err *err);
    bool (*file_end)(void *with, const char *sha256, uint64_t size, struct bw_err *err);
    bool (*job)(void *with, struct bw_arena *arena, const struct bw_entries *set,
                struct bw_err *err);
};

// Reads the whole archive from `from`, `name` for messages. Errors: BW_SYNTAX (not such an archive,
// cut short), BW_INPUT (a hash is wrong, an entry is damaged), BW_LIMIT, BW_UNSUPPORTED (of a
// newer program), BW_MEMORY, BW_IO.
bool bw_archive_read(FILE *from, const char *name, const struct bw_archive_sink *sink,
                     struct bw_err *err) BW_CHECKED;

// One line of a member "jobs/ID.jsonl": an entry, or what is left of an erased one. Errors as
// bw_entry_read.
bool bw_archive_line(struct bw_arena *arena, const char *line, size_t length, struct bw_entry *out,
                     struct bw_err *err) BW_CHECKED;

#endif
