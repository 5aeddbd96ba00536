// sqlite_list.c - what is derived: the list of jobs and the words they are found by.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sqlite.h"

#include <string.h>

bool bw_sqlite_index(struct sqlite_store *store, const struct bw_entry *entry, int64_t row,
                     struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_buffer words = {0};
    if (arena == NULL) return bw_fail_memory(err);
    bool done = bw_store_words(arena, entry, &words, err);
    if (done && words.length > 0)
        done = bw_sqlite_run(store, err, "INSERT INTO words (rowid, text) VALUES (?, ?)", "it", row,
                             words.data);
    bw_buffer_free(&words);
    bw_arena_free(arena);
    return done;
}

bool bw_sqlite_derive(struct sqlite_store *store, const char *job, struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_entries set;
    struct bw_job_row row;
    if (arena == NULL) return bw_fail_memory(err);
    bool done = bw_sqlite_get(&store->store, job, arena, &set, err) &&
                bw_store_row(arena, &set, &row, err) &&
                bw_sqlite_run(store, err,
                              "INSERT OR REPLACE INTO job (job, title, kind, site, machine, "
                              "closed, opened, offset, changed, entries, tick) "
                              "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                              "tttttiiiiii", job, row.title, row.kind, row.site, row.machine,
                              (int64_t)row.closed, row.opened_ms, (int64_t)row.opened_offset_min,
                              row.changed_ms, (int64_t)row.entries, (int64_t)row.last_tick);
    bw_arena_free(arena);
    return done;
}

// ---- rebuilding ---------------------------------------------------------------------------------

static bool index_all(struct sqlite_store *store, struct bw_err *err) {
    sqlite3_stmt *statement = bw_sqlite_query(
        store, err, "SELECT row, kind, shape, line FROM entry WHERE line IS NOT NULL", "");
    int row = -1;
    while (statement != NULL && (row = bw_sqlite_step(store, statement, err)) > 0) {
        struct bw_entry entry = {.kind = bw_sqlite_text(statement, 1),
                                 .shape = bw_sqlite_text(statement, 2),
                                 .line = bw_sqlite_text(statement, 3),
                                 .length = (size_t)sqlite3_column_bytes(statement, 3)};
        if (!bw_sqlite_index(store, &entry, sqlite3_column_int64(statement, 0), err)) break;
    }
    (void)sqlite3_finalize(statement);
    return row == 0;
}

static bool derive_all(struct sqlite_store *store, struct bw_err *err) {
    sqlite3_stmt *statement =
        bw_sqlite_query(store, err, "SELECT DISTINCT job FROM entry ORDER BY job", "");
    int row = -1;
    while (statement != NULL && (row = bw_sqlite_step(store, statement, err)) > 0)
        if (!bw_sqlite_derive(store, bw_sqlite_text(statement, 0), err)) break;
    (void)sqlite3_finalize(statement);
    return row == 0;
}

bool bw_sqlite_rebuild(struct bw_store *base, struct bw_err *err) {
    struct sqlite_store *store = (struct sqlite_store *)base;
    bool own = sqlite3_get_autocommit(store->db) != 0;
    if (own && !bw_sqlite_begin(store, err)) return false;
    bool done = bw_sqlite_run(store, err, "DELETE FROM job", "") &&
                bw_sqlite_run(store, err, "DELETE FROM words", "") && index_all(store, err) &&
                derive_all(store, err);
    return own ? bw_sqlite_end(store, done, err) : done;
}

// ---- listing ------------------------------------------------------------------------------------

// Every word in quotes with a star: what begins with it.
static void match_text(const char *words, struct bw_buffer *out) {
    struct bw_buffer plain = {0};
    bw_words_plain(words, &plain);
    for (const char *at = plain.data; at != NULL && *at != '\0';) {
        at += strspn(at, " ");
        size_t length = strcspn(at, " ");
        if (length > 0) bw_buffer_format(out, " \"%.*s\"*", (int)length, at);
        at += length;
    }
    if (plain.failed) out->failed = true;
    bw_buffer_free(&plain);
}

static bool take_row(struct bw_arena *arena, sqlite3_stmt *statement, struct bw_job_row *out) {
    *out = (struct bw_job_row){.title = bw_sqlite_kept(arena, statement, 1),
                               .kind = bw_sqlite_kept(arena, statement, 2),
                               .site = bw_sqlite_kept(arena, statement, 3),
                               .machine = bw_sqlite_kept(arena, statement, 4),
                               .closed = sqlite3_column_int(statement, 5) != 0,
                               .opened_ms = sqlite3_column_int64(statement, 6),
                               .opened_offset_min = sqlite3_column_int(statement, 7),
                               .changed_ms = sqlite3_column_int64(statement, 8),
                               .entries = (long)sqlite3_column_int64(statement, 9),
                               .last_tick = (long)sqlite3_column_int64(statement, 10)};
    (void)snprintf(out->job, sizeof out->job, "%s", bw_sqlite_text(statement, 0));
    return !bw_arena_failed(arena);
}

static bool take_rows(struct sqlite_store *store, sqlite3_stmt *statement, struct bw_arena *arena,
                      struct bw_job_rows *out, struct bw_err *err) {
    struct bw_job_rows rows = {0};
    size_t capacity = 0;
    int row;
    while ((row = bw_sqlite_step(store, statement, err)) > 0) {
        if (rows.n == capacity) {
            capacity = capacity == 0 ? 64 : 2 * capacity;
            struct bw_job_row *items = bw_arena_array(arena, capacity, sizeof *items);
            if (items == NULL) return bw_fail_memory(err);
            if (rows.n > 0) memcpy(items, rows.items, rows.n * sizeof *items);
            rows.items = items;
        }
        if (!take_row(arena, statement, &rows.items[rows.n++])) return bw_fail_memory(err);
    }
    if (row == 0) *out = rows;
    return row == 0;
}

#define COLUMNS                                                                                    \
    "SELECT job, title, kind, site, machine, closed, opened, offset, changed, entries, tick "      \
    "FROM job WHERE (?1 IS NULL OR site = ?1) AND (?2 IS NULL OR machine = ?2) "                   \
    "AND (?3 = 0 OR closed = ?3 - 1) AND (?4 IS NULL OR substr(job, -length(?4)) = ?4) "
#define ORDER "ORDER BY changed DESC, job LIMIT ?5"

bool bw_sqlite_list(struct bw_store *base, const struct bw_job_query *query, struct bw_arena *arena,
                    struct bw_job_rows *out, struct bw_err *err) {
    struct sqlite_store *store = (struct sqlite_store *)base;
    struct bw_buffer match = {0};
    int64_t most = query->most == 0 ? -1 : query->most;
    if (query->words != NULL) match_text(query->words, &match);
    if (match.failed) return bw_fail_memory(err);
    bool search = match.length > 0;
    sqlite3_stmt *statement = bw_sqlite_query(
        store, err,
        search ? COLUMNS "AND job IN (SELECT entry.job FROM words JOIN entry ON entry.row = "
                         "words.rowid WHERE words MATCH ?6) " ORDER
               : COLUMNS ORDER,
        search ? "ttitit" : "ttiti", query->site, query->machine, (int64_t)query->state,
        query->ending, most, match.data);
    bw_buffer_free(&match);
    if (statement == NULL) return false;
    bool done = take_rows(store, statement, arena, out, err);
    (void)sqlite3_finalize(statement);
    return done;
}
