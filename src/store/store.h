// store.h - where jobs are kept: one interface, and one suite of tests that every kind passes.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A store holds entries, attachments in pieces and a few settings of its own. All else (the list
// of jobs, the words they are found by) is derived from the entries and may be rebuilt at any time.
// Nothing above a store keeps state, so several programs, and several servers, may share one.
#ifndef BW_STORE_STORE_H
#define BW_STORE_STORE_H

#include "job/archive.h"
#include "job/replay.h"

struct bw_store;

// One line of the derived list. Texts live in the arena given.
struct bw_job_row {
    char job[BW_ID_TEXT];
    const char *title, *kind, *site, *machine;
    bool closed;
    int64_t opened_ms, changed_ms;
    int opened_offset_min;
    long entries, last_tick;
};
struct bw_job_rows {
    struct bw_job_row *items;
    size_t n;
};

struct bw_job_query {
    const char *site, *machine;  // NULL: any
    int state;                   // 0: any, 1: open, 2: closed
    const char *words;           // every word begins some word of one entry; NULL: any
    const char *ending;          // of the id; NULL: any
    long most;                   // 0: all
};

// What sync compares.
struct bw_id {
    char id[BW_ID_TEXT], job[BW_ID_TEXT];
    bool erased;
};
struct bw_ids {
    struct bw_id *items;  // by id
    size_t n;
};

// Where an attachment comes from: the next at most BW_PIECE_BYTES, 0 at the end.
struct bw_supply {
    void *with;
    bool (*next)(void *with, void *to, size_t *length, struct bw_err *err);
};

// What every kind of store does; see the wrappers below for what each promises.
struct bw_store_ops {
    void (*close)(struct bw_store *store);
    bool (*put)(struct bw_store *store, const struct bw_entries *set, size_t *changed,
                struct bw_err *err);
    bool (*get)(struct bw_store *store, const char *job, struct bw_arena *arena,
                struct bw_entries *out, struct bw_err *err);
    bool (*last_tick)(struct bw_store *store, const char *job, long *out, struct bw_err *err);
    bool (*list)(struct bw_store *store, const struct bw_job_query *query, struct bw_arena *arena,
                 struct bw_job_rows *out, struct bw_err *err);
    bool (*ids)(struct bw_store *store, struct bw_arena *arena, struct bw_ids *out,
                struct bw_err *err);
    bool (*attach)(struct bw_store *store, const struct bw_supply *source,
                   char sha256[BW_SHA256_TEXT], uint64_t *size, struct bw_err *err);
    bool (*attached)(struct bw_store *store, const char *sha256, uint64_t *size,
                     struct bw_err *err);
    bool (*piece)(struct bw_store *store, const char *sha256, uint64_t number,
                  struct bw_buffer *out, struct bw_err *err);
    bool (*rebuild)(struct bw_store *store, struct bw_err *err);
    bool (*setting)(struct bw_store *store, const char *name, struct bw_buffer *out,
                    struct bw_err *err);
    bool (*set)(struct bw_store *store, const char *name, const char *value, struct bw_err *err);
    bool (*watch)(struct bw_store *store, int milliseconds, char job[BW_ID_TEXT],
                  struct bw_err *err);
};
// The first member of every kind's own struct.
struct bw_store {
    const struct bw_store_ops *ops;
};

// Opens a folder (made when missing) or a server ("postgresql://..."). NULL: BELTWRIGHT_HOME, else
// $XDG_DATA_HOME/beltwright, else ~/.local/share/beltwright. Errors: BW_IO (the folder, the disk,
// the server), BW_UNSUPPORTED (written by a newer program), BW_FAILED (not a store, damaged).
bool bw_store_open(const char *where, struct bw_store **out, struct bw_err *err) BW_CHECKED;
void bw_store_close(struct bw_store *store);  // NULL is allowed

// Takes the union of one job's entries with what is there, whole or not at all, on the disk when it
// returns. An erased entry makes the one that is here erased: its words, its line, and attachments
// that nothing else refers to are overwritten. `changed` (may be NULL): entries new or newly
// erased.
bool bw_store_put(struct bw_store *store, const struct bw_entries *set, size_t *changed,
                  struct bw_err *err) BW_CHECKED;

// All entries of a job. Error BW_NOT_FOUND.
bool bw_store_get(struct bw_store *store, const char *job, struct bw_arena *arena,
                  struct bw_entries *out, struct bw_err *err) BW_CHECKED;

// The largest tick of a job. Error BW_NOT_FOUND.
bool bw_store_last_tick(struct bw_store *store, const char *job, long *out,
                        struct bw_err *err) BW_CHECKED;

// Jobs, the last changed first.
bool bw_store_list(struct bw_store *store, const struct bw_job_query *query, struct bw_arena *arena,
                   struct bw_job_rows *out, struct bw_err *err) BW_CHECKED;

bool bw_store_ids(struct bw_store *store, struct bw_arena *arena, struct bw_ids *out,
                  struct bw_err *err) BW_CHECKED;

// Stores an attachment, or finds that it is there. Error BW_LIMIT.
bool bw_store_attach(struct bw_store *store, const struct bw_supply *source,
                     char sha256[BW_SHA256_TEXT], uint64_t *size, struct bw_err *err) BW_CHECKED;
// Error BW_NOT_FOUND.
bool bw_store_attached(struct bw_store *store, const char *sha256, uint64_t *size,
                       struct bw_err *err) BW_CHECKED;
// Piece 0, 1, ... of BW_PIECE_BYTES, the last shorter; appended to `out`.
bool bw_store_piece(struct bw_store *store, const char *sha256, uint64_t number,
                    struct bw_buffer *out, struct bw_err *err) BW_CHECKED;
// The whole, at most `most` bytes.
bool bw_store_attachment(struct bw_store *store, const char *sha256, size_t most,
                         struct bw_buffer *out, struct bw_err *err) BW_CHECKED;

// Drops all that is derived and makes it anew.
bool bw_store_rebuild(struct bw_store *store, struct bw_err *err) BW_CHECKED;

// A setting of this store; nothing is appended when it was never set.
bool bw_store_setting(struct bw_store *store, const char *name, struct bw_buffer *out,
                      struct bw_err *err) BW_CHECKED;
bool bw_store_set(struct bw_store *store, const char *name, const char *value,
                  struct bw_err *err) BW_CHECKED;

// Waits until somebody else has changed something. `job` is "" when time ran out, and "?" when it
// is not known which job it was.
bool bw_store_watch(struct bw_store *store, int milliseconds, char job[BW_ID_TEXT],
                    struct bw_err *err) BW_CHECKED;

// The name of this device in entries: eight letters and digits, made at the first use.
bool bw_store_device(struct bw_store *store, char device[BW_MAX_DEVICE + 1],
                     struct bw_err *err) BW_CHECKED;

// Writes one new entry of `job` (NULL: it opens one) with the tick that follows. Errors as
// bw_entry_make, bw_store_put; BW_LIMIT when the job is full.
bool bw_store_write(struct bw_store *store, struct bw_arena *arena, const struct bw_draft *draft,
                    struct bw_entry *out, struct bw_err *err) BW_CHECKED;

// --- For the kinds themselves.

// The derived row and, per entry, the words it is found by.
bool bw_store_row(struct bw_arena *arena, const struct bw_entries *set, struct bw_job_row *out,
                  struct bw_err *err) BW_CHECKED;
bool bw_store_words(struct bw_arena *arena, const struct bw_entry *entry, struct bw_buffer *out,
                    struct bw_err *err) BW_CHECKED;
// The entry may change the row beyond counts and times.
bool bw_store_row_depends(const struct bw_entry *entry);

bool bw_store_sqlite_open(const char *folder, struct bw_store **out, struct bw_err *err) BW_CHECKED;

// What a loaded module hands over (store/module.c); `version` is the program's.
struct bw_store_module {
    const char *version;
    bool (*open)(const char *url, struct bw_store **out, struct bw_err *err);
};
bool bw_store_module_open(const char *url, struct bw_store **out, struct bw_err *err) BW_CHECKED;

#endif
