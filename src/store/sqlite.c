// sqlite.c - the store in a folder: opening it, and talking to SQLite.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// One file, jobs.db, with its write-ahead log beside it. What put() confirmed is on the disk
// (synchronous FULL); readers and one writer work at the same time, a second writer waits.
#include "store/sqlite.h"

#include "base/alloc.h"
#include "base/format.h"

#include <errno.h>
#include <stdarg.h>
#include <string.h>
#include <sys/stat.h>

#define WAIT_MS 20000  // for another writer; a picture of a GB takes about that long

// ---- what went wrong ----------------------------------------------------------------------------

static const struct {
    int code;
    enum bw_code as;
    const char *what, *mend;
} FAULTS[] = {
    {SQLITE_FULL, BW_IO, "the disk is full", "free some space and do it again; nothing was lost"},
    {SQLITE_READONLY, BW_IO, "the store may not be written",
     "give this user the right to write into the folder, or name another with --store"},
    {SQLITE_CANTOPEN, BW_IO, "the store cannot be opened",
     "give this user the right to read and write the folder, or name another with --store"},
    {SQLITE_PERM, BW_IO, "the store may not be read",
     "give this user the right to read and write the folder, or name another with --store"},
    {SQLITE_BUSY, BW_IO, "another program has held the store for too long",
     "end the other program, or wait, and do it again"},
    {SQLITE_LOCKED, BW_IO, "another program has held the store for too long",
     "end the other program, or wait, and do it again"},
    {SQLITE_NOTADB, BW_FAILED, "jobs.db is no store of jobs",
     "move it away, and import an archive or merge from another device"},
    {SQLITE_CORRUPT, BW_FAILED, "the store is damaged",
     "copy the folder before anything else; then merge from another device, or import an archive"},
    {SQLITE_NOMEM, BW_MEMORY, "out of memory", ""},
    {SQLITE_IOERR, BW_IO, "reading or writing the disk failed",
     "see whether the disk is well; what was confirmed before is kept"},
    {SQLITE_TOOBIG, BW_LIMIT, "too large for the store", ""},
};

bool bw_sqlite_failed(struct sqlite_store *store, struct bw_err *err) {
    int code = store->db == NULL ? SQLITE_CANTOPEN : sqlite3_errcode(store->db) & 0xff;
    bw_err_file(err, store->folder);
    for (size_t i = 0; i < sizeof FAULTS / sizeof *FAULTS; i++) {
        if (FAULTS[i].code != code) continue;
        if (FAULTS[i].mend[0] != '\0') bw_err_mend(err, "%s", FAULTS[i].mend);
        return bw_fail(err, FAULTS[i].as, "%s", FAULTS[i].what);
    }
    return bw_fail(err, BW_FAILED, "the store failed: %s", sqlite3_errmsg(store->db));
}

// ---- statements ---------------------------------------------------------------------------------

static int bind(sqlite3_stmt *statement, const char *types, va_list args) {
    int result = SQLITE_OK;
    for (int i = 1; *types != '\0' && result == SQLITE_OK; types++, i++) {
        if (*types == 't') {
            result =
                sqlite3_bind_text(statement, i, va_arg(args, const char *), -1, SQLITE_TRANSIENT);
        } else if (*types == 'i') {
            result = sqlite3_bind_int64(statement, i, va_arg(args, int64_t));
        } else {
            const void *bytes = va_arg(args, const void *);
            result =
                sqlite3_bind_blob64(statement, i, bytes, va_arg(args, size_t), SQLITE_TRANSIENT);
        }
    }
    return result;
}

static sqlite3_stmt *prepare(struct sqlite_store *store, struct bw_err *err, const char *sql,
                             const char *types, va_list args) {
    sqlite3_stmt *statement = NULL;
    if (sqlite3_prepare_v2(store->db, sql, -1, &statement, NULL) != SQLITE_OK ||
        bind(statement, types, args) != SQLITE_OK) {
        (void)bw_sqlite_failed(store, err);
        (void)sqlite3_finalize(statement);
        return NULL;
    }
    return statement;
}

sqlite3_stmt *bw_sqlite_query(struct sqlite_store *store, struct bw_err *err, const char *sql,
                              const char *types, ...) {
    va_list args;
    va_start(args, types);
    sqlite3_stmt *statement = prepare(store, err, sql, types, args);
    va_end(args);
    return statement;
}

int bw_sqlite_step(struct sqlite_store *store, sqlite3_stmt *statement, struct bw_err *err) {
    int result = sqlite3_step(statement);
    if (result == SQLITE_ROW) return 1;
    if (result == SQLITE_DONE) return 0;
    (void)bw_sqlite_failed(store, err);
    return -1;
}

bool bw_sqlite_run(struct sqlite_store *store, struct bw_err *err, const char *sql,
                   const char *types, ...) {
    va_list args;
    va_start(args, types);
    sqlite3_stmt *statement = prepare(store, err, sql, types, args);
    va_end(args);
    if (statement == NULL) return false;
    int row;
    while ((row = bw_sqlite_step(store, statement, err)) > 0) {
    }
    (void)sqlite3_finalize(statement);
    return row == 0;
}

const char *bw_sqlite_text(sqlite3_stmt *statement, int column) {
    const unsigned char *text = sqlite3_column_text(statement, column);
    return text == NULL ? "" : (const char *)text;
}

const char *bw_sqlite_kept(struct bw_arena *arena, sqlite3_stmt *statement, int column) {
    const unsigned char *text = sqlite3_column_text(statement, column);
    if (text == NULL) return NULL;
    return bw_arena_text(arena, (const char *)text,
                         (size_t)sqlite3_column_bytes(statement, column));
}

bool bw_sqlite_begin(struct sqlite_store *store, struct bw_err *err) {
    return bw_sqlite_run(store, err, "BEGIN IMMEDIATE", "");
}

bool bw_sqlite_end(struct sqlite_store *store, bool good, struct bw_err *err) {
    if (good && bw_sqlite_run(store, err, "COMMIT", "")) return true;
    // Some failures have rolled back by themselves.
    if (!sqlite3_get_autocommit(store->db))
        (void)sqlite3_exec(store->db, "ROLLBACK", NULL, NULL, NULL);
    return false;
}

bool bw_sqlite_scrub(struct sqlite_store *store, struct bw_err *err) {
    return bw_sqlite_run(store, err, "VACUUM", "") &&
           bw_sqlite_run(store, err, "PRAGMA wal_checkpoint(TRUNCATE)", "");
}

// ---- settings, watching -------------------------------------------------------------------------

static bool setting(struct bw_store *base, const char *name, struct bw_buffer *out,
                    struct bw_err *err) {
    struct sqlite_store *store = (struct sqlite_store *)base;
    sqlite3_stmt *statement =
        bw_sqlite_query(store, err, "SELECT value FROM setting WHERE name = ?", "t", name);
    if (statement == NULL) return false;
    int row = bw_sqlite_step(store, statement, err);
    if (row > 0) bw_buffer_text(out, bw_sqlite_text(statement, 0));
    (void)sqlite3_finalize(statement);
    if (row >= 0 && out->failed) return bw_fail_memory(err);
    return row >= 0;
}

static bool set(struct bw_store *base, const char *name, const char *value, struct bw_err *err) {
    return bw_sqlite_run((struct sqlite_store *)base, err,
                         "INSERT INTO setting (name, value) VALUES (?, ?) "
                         "ON CONFLICT (name) DO UPDATE SET value = excluded.value",
                         "tt", name, value);
}

static bool data_version(struct sqlite_store *store, long *out, struct bw_err *err) {
    sqlite3_stmt *statement = bw_sqlite_query(store, err, "PRAGMA data_version", "");
    if (statement == NULL) return false;
    int row = bw_sqlite_step(store, statement, err);
    if (row > 0) *out = (long)sqlite3_column_int64(statement, 0);
    (void)sqlite3_finalize(statement);
    return row > 0;
}

// SQLite tells that something changed, not what.
static bool watch(struct bw_store *base, int milliseconds, char job[BW_ID_TEXT],
                  struct bw_err *err) {
    struct sqlite_store *store = (struct sqlite_store *)base;
    job[0] = '\0';
    for (int waited = 0;; waited += 20) {
        long now;
        if (!data_version(store, &now, err)) return false;
        if (now != store->seen) {
            store->seen = now;
            job[0] = '?';
            job[1] = '\0';
            return true;
        }
        if (waited >= milliseconds) return true;
        (void)sqlite3_sleep(20);
    }
}

// ---- opening ------------------------------------------------------------------------------------

static void close_store(struct bw_store *base) {
    struct sqlite_store *store = (struct sqlite_store *)base;
    (void)sqlite3_close(store->db);
    bw_free(store->folder);
    bw_free(store);
}

static const struct bw_store_ops OPS = {
    .close = close_store,
    .put = bw_sqlite_put,
    .get = bw_sqlite_get,
    .last_tick = bw_sqlite_last_tick,
    .list = bw_sqlite_list,
    .ids = bw_sqlite_ids,
    .attach = bw_sqlite_attach,
    .attached = bw_sqlite_attached,
    .piece = bw_sqlite_piece,
    .rebuild = bw_sqlite_rebuild,
    .setting = setting,
    .set = set,
    .watch = watch,
};

// Makes the folder and those above it.
static bool make_folder(const char *folder, struct bw_err *err) {
    char path[4096];
    size_t length = strlen(folder);
    if (length == 0 || length >= sizeof path) {
        bw_err_value(err, folder);
        return bw_fail(err, BW_INPUT, "the store's folder has no usable name");
    }
    memcpy(path, folder, length + 1);
    for (size_t i = 1; i <= length; i++) {
        if (path[i] != '/' && path[i] != '\0') continue;
        char kept = path[i];
        path[i] = '\0';
        if (mkdir(path, 0700) != 0 && errno != EEXIST && (kept == '\0' || errno != EACCES)) {
            bw_err_file(err, folder);
            bw_err_mend(err, "name a folder that this user may make with --store");
            return bw_fail(err, BW_IO, "the store's folder cannot be made: %s", strerror(errno));
        }
        path[i] = kept;
    }
    return true;
}

// Secure delete overwrites what is deleted with zeros; the trusted schema is ours alone.
static bool prepare_database(struct sqlite_store *store, struct bw_err *err) {
    static const char *const PRAGMAS[] = {
        "PRAGMA journal_mode = WAL",   "PRAGMA synchronous = FULL",   "PRAGMA secure_delete = ON",
        "PRAGMA trusted_schema = OFF", "PRAGMA cell_size_check = ON", NULL,
    };
    if (sqlite3_busy_timeout(store->db, WAIT_MS) != SQLITE_OK) return bw_sqlite_failed(store, err);
    for (size_t i = 0; PRAGMAS[i] != NULL; i++)
        if (!bw_sqlite_run(store, err, PRAGMAS[i], "")) return false;
    return bw_sqlite_migrate(store, err) && data_version(store, &store->seen, err);
}

static bool open_database(struct sqlite_store *store, struct bw_err *err) {
    struct bw_buffer path = {0};
    bw_buffer_format(&path, "%s/jobs.db", store->folder);
    if (path.failed) return bw_fail_memory(err);
    int result =
        sqlite3_open_v2(path.data, &store->db,
                        SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX, NULL);
    bw_buffer_free(&path);
    if (result != SQLITE_OK) return bw_sqlite_failed(store, err);
    return prepare_database(store, err);
}

bool bw_store_sqlite_open(const char *folder, struct bw_store **out, struct bw_err *err) {
    if (!make_folder(folder, err)) return false;
    struct sqlite_store *store = bw_alloc_zero(1, sizeof *store);
    size_t length = strlen(folder);
    if (store != NULL) store->folder = bw_alloc(length + 1);
    if (store == NULL || store->folder == NULL) {
        bw_free(store);
        return bw_fail_memory(err);
    }
    memcpy(store->folder, folder, length + 1);
    store->store.ops = &OPS;
    if (!open_database(store, err)) {
        close_store(&store->store);
        return false;
    }
    *out = &store->store;
    return true;
}
