// sqlite.h - what the files of the SQLite store share.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STORE_SQLITE_H
#define BW_STORE_SQLITE_H

#include "store/store.h"

#include <sqlite3.h>

struct sqlite_store {
    struct bw_store store;
    sqlite3 *db;
    char *folder;
    long seen;  // PRAGMA data_version when last asked
};

// Prepares and binds: t text (NULL: null), i int64_t, b bytes and their size_t. NULL: failed.
sqlite3_stmt *bw_sqlite_query(struct sqlite_store *store, struct bw_err *err, const char *sql,
                              const char *types, ...);
// The next row: 1, none: 0, failed: -1.
int bw_sqlite_step(struct sqlite_store *store, sqlite3_stmt *statement, struct bw_err *err);
// One statement without rows.
bool bw_sqlite_run(struct sqlite_store *store, struct bw_err *err, const char *sql,
                   const char *types, ...) BW_CHECKED;
// Records what SQLite has to say, in plain words. Returns false.
bool bw_sqlite_failed(struct sqlite_store *store, struct bw_err *err);

bool bw_sqlite_begin(struct sqlite_store *store, struct bw_err *err) BW_CHECKED;
// Commits if `good`, else takes all back. Returns whether the whole is done.
bool bw_sqlite_end(struct sqlite_store *store, bool good, struct bw_err *err) BW_CHECKED;

// A column's text, "" for null; lives until the next step.
const char *bw_sqlite_text(sqlite3_stmt *statement, int column);
// The same in the arena, NULL for null. NULL as well when memory is gone, see bw_arena_failed.
const char *bw_sqlite_kept(struct bw_arena *arena, sqlite3_stmt *statement, int column);

// --- sqlite_schema.c
// Brings the database to this program's version. Errors: BW_UNSUPPORTED for a newer one.
bool bw_sqlite_migrate(struct sqlite_store *store, struct bw_err *err) BW_CHECKED;
// The statements that lead from version `from` to the next; NULL past the last.
const char *bw_sqlite_migration(int from);
int bw_sqlite_version(void);

// --- sqlite_entry.c, sqlite_list.c, sqlite_file.c: the operations.
bool bw_sqlite_put(struct bw_store *store, const struct bw_entries *set, size_t *changed,
                   struct bw_err *err);
bool bw_sqlite_get(struct bw_store *store, const char *job, struct bw_arena *arena,
                   struct bw_entries *out, struct bw_err *err);
bool bw_sqlite_last_tick(struct bw_store *store, const char *job, long *out, struct bw_err *err);
bool bw_sqlite_list(struct bw_store *store, const struct bw_job_query *query,
                    struct bw_arena *arena, struct bw_job_rows *out, struct bw_err *err);
bool bw_sqlite_ids(struct bw_store *store, struct bw_arena *arena, struct bw_ids *out,
                   struct bw_err *err);
bool bw_sqlite_attach(struct bw_store *store, const struct bw_supply *source,
                      char sha256[BW_SHA256_TEXT], uint64_t *size, struct bw_err *err);
bool bw_sqlite_attached(struct bw_store *store, const char *sha256, uint64_t *size,
                        struct bw_err *err);
bool bw_sqlite_piece(struct bw_store *store, const char *sha256, uint64_t number,
                     struct bw_buffer *out, struct bw_err *err);
bool bw_sqlite_rebuild(struct bw_store *store, struct bw_err *err);
// The derived row of one job, within a transaction.
bool bw_sqlite_derive(struct sqlite_store *store, const char *job, struct bw_err *err) BW_CHECKED;
bool bw_sqlite_index(struct sqlite_store *store, const struct bw_entry *entry, int64_t row,
                     struct bw_err *err) BW_CHECKED;
// Overwrites what erased entries left in freed pages and in the log.
bool bw_sqlite_scrub(struct sqlite_store *store, struct bw_err *err) BW_CHECKED;

#endif
