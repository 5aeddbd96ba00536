// sqlite_schema.c - the tables, and how an older database becomes one of today.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sqlite.h"

#include <stdio.h>

// Never change a step that was released; add one. The header's user_version counts the steps taken.
static const char *const STEPS[] = {
    // 1: what is kept. An erased entry keeps id, job and tick.
    "CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;"
    "CREATE TABLE entry (row INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, job TEXT NOT NULL,"
    " tick INTEGER NOT NULL, time INTEGER NOT NULL, offset INTEGER NOT NULL, device TEXT,"
    " kind TEXT, shape TEXT, names TEXT, line TEXT) STRICT;"
    "CREATE INDEX entry_job ON entry (job, id);"
    "CREATE INDEX entry_names ON entry (names) WHERE names IS NOT NULL;"
    "CREATE TABLE uses (entry TEXT NOT NULL, sha256 TEXT NOT NULL,"
    " PRIMARY KEY (entry, sha256)) STRICT, WITHOUT ROWID;"
    "CREATE INDEX uses_sha256 ON uses (sha256);"
    "CREATE TABLE attachment (number INTEGER PRIMARY KEY, sha256 TEXT UNIQUE,"
    " size INTEGER NOT NULL) STRICT;"
    "CREATE TABLE piece (attachment INTEGER NOT NULL, number INTEGER NOT NULL,"
    " bytes BLOB NOT NULL, PRIMARY KEY (attachment, number)) STRICT;",
    // 2: the list of jobs, derived.
    "CREATE TABLE job (job TEXT PRIMARY KEY, title TEXT NOT NULL, kind TEXT NOT NULL,"
    " site TEXT NOT NULL, machine TEXT NOT NULL, closed INTEGER NOT NULL,"
    " opened INTEGER NOT NULL, offset INTEGER NOT NULL, changed INTEGER NOT NULL,"
    " entries INTEGER NOT NULL, tick INTEGER NOT NULL) STRICT, WITHOUT ROWID;"
    "CREATE INDEX job_changed ON job (changed DESC, job);",
    // 3: the words, derived.
    "CREATE VIRTUAL TABLE words USING fts5 (text, detail = 'none',"
    " tokenize = 'unicode61 remove_diacritics 0');",
    NULL,
};

const char *bw_sqlite_migration(int from) {
    for (int i = 0; STEPS[i] != NULL; i++)
        if (i == from) return STEPS[i];
    return NULL;
}

int bw_sqlite_version(void) {
    int n = 0;
    while (STEPS[n] != NULL) n++;
    return n;
}

static bool version_of(struct sqlite_store *store, int *out, struct bw_err *err) {
    sqlite3_stmt *statement = bw_sqlite_query(store, err, "PRAGMA user_version", "");
    if (statement == NULL) return false;
    int row = bw_sqlite_step(store, statement, err);
    if (row > 0) *out = sqlite3_column_int(statement, 0);
    (void)sqlite3_finalize(statement);
    return row > 0;
}

static bool take_steps(struct sqlite_store *store, int from, struct bw_err *err) {
    char set[64];
    for (int i = from; STEPS[i] != NULL; i++)
        if (sqlite3_exec(store->db, STEPS[i], NULL, NULL, NULL) != SQLITE_OK)
            return bw_sqlite_failed(store, err);
    (void)snprintf(set, sizeof set, "PRAGMA user_version = %d", bw_sqlite_version());
    if (sqlite3_exec(store->db, set, NULL, NULL, NULL) != SQLITE_OK)
        return bw_sqlite_failed(store, err);
    return true;
}

static bool refuse_newer(struct sqlite_store *store, int version, struct bw_err *err) {
    bw_err_file(err, store->folder);
    bw_err_mend(err, "use the newer program; nothing was changed");
    return bw_fail(err, BW_UNSUPPORTED,
                   "this store was written by a newer program (version %d, this one knows %d)",
                   version, bw_sqlite_version());
}

bool bw_sqlite_migrate(struct sqlite_store *store, struct bw_err *err) {
    int version;
    if (!version_of(store, &version, err)) return false;
    if (version == bw_sqlite_version()) return true;
    if (version > bw_sqlite_version() || version < 0) return refuse_newer(store, version, err);
    if (!bw_sqlite_begin(store, err)) return false;
    // Another program may have done it meanwhile.
    bool good = version_of(store, &version, err);
    if (good && version < bw_sqlite_version()) {
        good = take_steps(store, version, err);
        // What is derived is made from what was there.
        if (good && version > 0) good = bw_sqlite_rebuild(&store->store, err);
    }
    return bw_sqlite_end(store, good, err);
}
