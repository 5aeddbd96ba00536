// entry.h - one immutable line of a job's history, and the bytes its id vouches for.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// An entry is one line of JSON. Those bytes, as they stand, are the entry: they are stored, sent
// and hashed, never made anew. Its id is a ULID of its time whose other 80 bits are the first 80 of
// the line's SHA-256. docs/job.md has the keys and the kinds.
#ifndef BW_JOB_ENTRY_H
#define BW_JOB_ENTRY_H

#include "base/arena.h"
#include "base/buffer.h"
#include "base/node.h"
#include "job/sha256.h"
#include "job/ulid.h"

#include <stdint.h>

// A study's result with a thousand marks has some 200 kB.
#define BW_MAX_ENTRY_BYTES ((size_t)1 << 20)
// A lively job has some hundred entries; ticks never run ahead of their number. Settling
// corrections takes time with the square of theirs.
#define BW_MAX_ENTRIES 10000
#define BW_MAX_TICK BW_MAX_ENTRIES
#define BW_MAX_DEVICE 64
#define BW_MAX_ENTRY_FILES 1000

// The kinds this program writes. Others, from a newer one, are kept and shown as such.
// X(NAME, "kind", shape)
#define BW_ENTRY_KINDS(X)                                                                          \
    X(OPENED, "opened", 1)                                                                         \
    X(ANSWER, "answer", 1)                                                                         \
    X(NOTE, "note", 1)                                                                             \
    X(FILE, "file", 1)                                                                             \
    X(STUDY, "study", 1)                                                                           \
    X(READING, "reading", 1)                                                                       \
    X(FIX, "fix", 1)                                                                               \
    X(PARTY, "party", 1)                                                                           \
    X(CLOSED, "closed", 1)                                                                         \
    X(REOPENED, "reopened", 1)                                                                     \
    X(CORRECTION, "correction", 1)                                                                 \
    X(WITHDRAWN, "withdrawn", 1)

enum bw_entry_kind {
#define BW_X(name, word, shape) BW_ENTRY_##name,
    BW_ENTRY_KINDS(BW_X)
#undef BW_X
        BW_ENTRY_UNKNOWN
};
// By the kind's word and shape ("answer", "answer/1"); a newer shape is UNKNOWN.
enum bw_entry_kind bw_entry_kind_of(const char *kind, const char *shape);
const char *bw_entry_kind_word(enum bw_entry_kind kind);

// Texts are borrowed, mostly from an arena. Erased: only id, job and tick are left.
struct bw_entry {
    char id[BW_ID_TEXT];
    char job[BW_ID_TEXT];  // the id of the job's first entry; of that one its own
    long tick;             // 1 ...: one more than the largest seen in the job when it was written
    int64_t time_ms;       // UTC, for people only
    int offset_min;        // of the site's clock ahead of UTC
    const char *device;
    const char *kind, *shape;
    const char *names;         // id of the entry it corrects or withdraws, NULL: none
    const char *const *files;  // SHA-256 of the attachments it refers to
    size_t n_files;
    const char *line;  // NULL: erased
    size_t length;
};

// What a new entry says. `body` is a JSON object in one line.
struct bw_draft {
    const char *job;  // NULL: this entry opens a new job
    long tick;
    int64_t time_ms;
    int offset_min;
    const char *device;
    enum bw_entry_kind kind;
    const char *body;
};

// Writes the line and reads it back as any line. Errors: as bw_entry_read; BW_MEMORY.
bool bw_entry_make(struct bw_arena *arena, const struct bw_draft *draft, struct bw_entry *out,
                   struct bw_err *err) BW_CHECKED;

// Reads a line (without its end) from anywhere. All texts are copied into the arena. Errors:
// BW_SYNTAX, BW_INPUT (a key is missing or out of range), BW_LIMIT, BW_MEMORY.
bool bw_entry_read(struct bw_arena *arena, const char *line, size_t length, struct bw_entry *out,
                   struct bw_err *err) BW_CHECKED;

// The body's tree. Of an erased entry: NULL and true.
bool bw_entry_body(struct bw_arena *arena, const struct bw_entry *entry, const struct bw_node **out,
                   struct bw_err *err) BW_CHECKED;

// The id that these bytes have, with that time.
void bw_entry_id(const char *line, size_t length, int64_t time_ms, char out[BW_ID_TEXT]);

static inline bool bw_entry_erased(const struct bw_entry *entry) { return entry->line == NULL; }

// Order within a job: by tick, then id.
int bw_entry_order(const struct bw_entry *a, const struct bw_entry *b);

// The words by which an entry is found, lower-case letters and digits with single spaces between;
// nothing for kinds that hold no prose. Appended to `out` with a space before each.
void bw_entry_words(const char *kind, const struct bw_node *body, struct bw_buffer *out);
// A typed text in the same form.
void bw_words_plain(const char *text, struct bw_buffer *out);

// "2026-03-14 09:05", the clock of the site. Returns `text`.
#define BW_CLOCK_TEXT 24
const char *bw_clock_text(char text[BW_CLOCK_TEXT], int64_t time_ms, int offset_min);

#endif
