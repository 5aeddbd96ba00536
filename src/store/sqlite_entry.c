// sqlite_entry.c - entries into the database and out of it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sqlite.h"

#include <assert.h>
#include <string.h>

struct putting {
    struct sqlite_store *store;
    struct bw_err *err;
    size_t changed, erased;
    bool derive;  // the job's row must be made anew
};

enum presence { ABSENT, PRESENT, GONE, UNREAD };

static enum presence presence_of(struct putting *p, const char *id) {
    enum presence found = UNREAD;
    sqlite3_stmt *statement =
        bw_sqlite_query(p->store, p->err, "SELECT line IS NULL FROM entry WHERE id = ?", "t", id);
    if (statement == NULL) return UNREAD;
    int row = bw_sqlite_step(p->store, statement, p->err);
    if (row == 0) found = ABSENT;
    if (row > 0) found = sqlite3_column_int(statement, 0) ? GONE : PRESENT;
    (void)sqlite3_finalize(statement);
    return found;
}

// Attachments that only this entry refers to go with it.
static bool erase_files(struct putting *p, const char *id) {
    return bw_sqlite_run(p->store, p->err,
                         "DELETE FROM piece WHERE attachment IN (SELECT number FROM attachment "
                         "WHERE sha256 IN (SELECT sha256 FROM uses WHERE entry = ?1) AND sha256 "
                         "NOT IN (SELECT sha256 FROM uses WHERE entry <> ?1))",
                         "t", id) &&
           bw_sqlite_run(p->store, p->err,
                         "DELETE FROM attachment WHERE sha256 IN (SELECT sha256 FROM uses WHERE "
                         "entry = ?1) AND sha256 NOT IN (SELECT sha256 FROM uses WHERE entry <> "
                         "?1)",
                         "t", id) &&
           bw_sqlite_run(p->store, p->err, "DELETE FROM uses WHERE entry = ?", "t", id);
}

static bool erase_row(struct putting *p, const char *id) {
    p->changed++;
    p->erased++;
    p->derive = true;
    return erase_files(p, id) &&
           bw_sqlite_run(p->store, p->err,
                         "DELETE FROM words WHERE rowid = (SELECT row FROM entry WHERE id = ?)",
                         "t", id) &&
           bw_sqlite_run(p->store, p->err,
                         "UPDATE entry SET line = NULL, names = NULL, device = NULL, kind = NULL, "
                         "shape = NULL, offset = 0 WHERE id = ?",
                         "t", id);
}

// What names an erased entry, directly or through others, is erased too; the farthest first, for an
// erased one no longer says what it named.
static bool erase_naming(struct putting *p, const char *id) {
    for (;;) {
        char next[BW_ID_TEXT] = "";
        sqlite3_stmt *statement = bw_sqlite_query(
            p->store, p->err,
            "WITH RECURSIVE below (id, depth) AS (SELECT id, 1 FROM entry WHERE names = ?1 UNION "
            "SELECT entry.id, depth + 1 FROM entry JOIN below ON entry.names = below.id "
            "WHERE depth <= ?2) SELECT id FROM below ORDER BY depth DESC LIMIT 1",
            "ti", id, (int64_t)BW_MAX_ENTRIES);
        if (statement == NULL) return false;
        int row = bw_sqlite_step(p->store, statement, p->err);
        if (row > 0) memcpy(next, bw_sqlite_text(statement, 0), BW_ID_TEXT);
        (void)sqlite3_finalize(statement);
        if (row <= 0) return row == 0;
        if (!erase_row(p, next)) return false;
    }
}

static bool put_uses(struct putting *p, const struct bw_entry *entry) {
    for (size_t i = 0; i < entry->n_files; i++)
        if (!bw_sqlite_run(p->store, p->err, "INSERT OR IGNORE INTO uses VALUES (?, ?)", "tt",
                           entry->id, entry->files[i]))
            return false;
    return true;
}

static bool insert(struct putting *p, const struct bw_entry *entry) {
    p->changed++;
    if (!bw_sqlite_run(p->store, p->err,
                       "INSERT INTO entry (id, job, tick, time, offset, device, kind, shape, "
                       "names, line) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                       "ttiiittttt", entry->id, entry->job, (int64_t)entry->tick, entry->time_ms,
                       (int64_t)entry->offset_min, entry->device, entry->kind, entry->shape,
                       entry->names, entry->line))
        return false;
    if (bw_entry_erased(entry)) {
        p->derive = true;
        return erase_naming(p, entry->id);
    }
    if (bw_store_row_depends(entry)) p->derive = true;
    return put_uses(p, entry) &&
           bw_sqlite_index(p->store, entry, sqlite3_last_insert_rowid(p->store->db), p->err);
}

static bool put_one(struct putting *p, const struct bw_entry *entry) {
    enum presence here = presence_of(p, entry->id);
    if (here == UNREAD) return false;
    if (here == GONE || (here == PRESENT && !bw_entry_erased(entry))) return true;
    if (here == PRESENT) return erase_row(p, entry->id) && erase_naming(p, entry->id);
    struct bw_entry row = *entry;
    if (entry->names != NULL) {
        enum presence named = presence_of(p, entry->names);
        if (named == UNREAD) return false;
        if (named == GONE) {
            row = (struct bw_entry){.tick = entry->tick, .time_ms = entry->time_ms};
            memcpy(row.id, entry->id, BW_ID_TEXT);
            memcpy(row.job, entry->job, BW_ID_TEXT);
            p->erased++;
        }
    }
    return insert(p, &row);
}

// Most entries only add to counts and times; others have the job read again.
static bool put_row(struct putting *p, const struct bw_entries *set, long before) {
    const struct bw_entry *last = &set->items[0];
    int64_t changed = 0;
    for (size_t i = 0; i < set->n; i++) {
        if (set->items[i].time_ms > changed) changed = set->items[i].time_ms;
        if (set->items[i].tick > last->tick) last = &set->items[i];
    }
    if (p->derive || before == 0) return bw_sqlite_derive(p->store, last->job, p->err);
    return bw_sqlite_run(p->store, p->err,
                         "UPDATE job SET entries = entries + ?, tick = max(tick, ?), changed = "
                         "max(changed, ?) WHERE job = ?",
                         "iiit", (int64_t)p->changed, (int64_t)last->tick, changed, last->job);
}

static bool count_row(struct putting *p, const char *job, long *out) {
    sqlite3_stmt *statement =
        bw_sqlite_query(p->store, p->err, "SELECT entries FROM job WHERE job = ?", "t", job);
    if (statement == NULL) return false;
    int row = bw_sqlite_step(p->store, statement, p->err);
    *out = row > 0 ? (long)sqlite3_column_int64(statement, 0) : 0;
    (void)sqlite3_finalize(statement);
    return row >= 0;
}

static bool put_all(struct putting *p, const struct bw_entries *set) {
    long before;
    if (!count_row(p, set->items[0].job, &before)) return false;
    for (size_t i = 0; i < set->n; i++)
        if (!put_one(p, &set->items[i])) return false;
    if (p->changed == 0) return true;
    // A word that was deleted is only marked so until the parts of the index are joined.
    if (p->erased > 0 &&
        !bw_sqlite_run(p->store, p->err, "INSERT INTO words (words) VALUES ('optimize')", ""))
        return false;
    return put_row(p, set, before);
}

bool bw_sqlite_put(struct bw_store *base, const struct bw_entries *set, size_t *changed,
                   struct bw_err *err) {
    struct putting p = {.store = (struct sqlite_store *)base, .err = err};
    if (set->n > 0) {
        if (!bw_sqlite_begin(p.store, err)) return false;
        if (!bw_sqlite_end(p.store, put_all(&p, set), err)) return false;
        if (p.erased > 0 && !bw_sqlite_scrub(p.store, err)) return false;
    }
    if (changed != NULL) *changed = p.changed;
    return true;
}

// ---- out ----------------------------------------------------------------------------------------

// id, job, tick, time, offset, device, kind, shape, names, line
static bool take_row(struct bw_arena *arena, sqlite3_stmt *statement, struct bw_entry *out) {
    *out = (struct bw_entry){.tick = (long)sqlite3_column_int64(statement, 2),
                             .time_ms = sqlite3_column_int64(statement, 3),
                             .offset_min = sqlite3_column_int(statement, 4)};
    (void)snprintf(out->id, sizeof out->id, "%s", bw_sqlite_text(statement, 0));
    (void)snprintf(out->job, sizeof out->job, "%s", bw_sqlite_text(statement, 1));
    out->device = bw_sqlite_kept(arena, statement, 5);
    out->kind = bw_sqlite_kept(arena, statement, 6);
    out->shape = bw_sqlite_kept(arena, statement, 7);
    out->names = bw_sqlite_kept(arena, statement, 8);
    out->line = bw_sqlite_kept(arena, statement, 9);
    if (out->line != NULL) out->length = (size_t)sqlite3_column_bytes(statement, 9);
    return !bw_arena_failed(arena);
}

static bool take_files(struct sqlite_store *store, const char *job, struct bw_arena *arena,
                       struct bw_entries *set, struct bw_err *err) {
    sqlite3_stmt *statement = bw_sqlite_query(
        store, err,
        "SELECT uses.entry, uses.sha256 FROM uses JOIN entry ON entry.id = uses.entry "
        "WHERE entry.job = ? ORDER BY uses.entry, uses.sha256",
        "t", job);
    if (statement == NULL) return false;
    int row;
    while ((row = bw_sqlite_step(store, statement, err)) > 0) {
        struct bw_entry *entry =
            (struct bw_entry *)bw_entries_find(set, bw_sqlite_text(statement, 0));
        if (entry == NULL) continue;
        const char **files = bw_arena_array(arena, entry->n_files + 1, sizeof *files);
        const char *sha256 = bw_sqlite_kept(arena, statement, 1);
        if (files == NULL || sha256 == NULL) {
            row = -1;
            (void)bw_fail_memory(err);
            break;
        }
        if (entry->n_files > 0) memcpy(files, entry->files, entry->n_files * sizeof *files);
        files[entry->n_files++] = sha256;
        entry->files = files;
    }
    (void)sqlite3_finalize(statement);
    return row == 0;
}

static bool take_rows(struct sqlite_store *store, sqlite3_stmt *statement, struct bw_arena *arena,
                      struct bw_entries *out, struct bw_err *err) {
    struct bw_entries set = {0};
    size_t capacity = 0;
    int row;
    while ((row = bw_sqlite_step(store, statement, err)) > 0) {
        if (set.n == capacity) {
            capacity = capacity == 0 ? 64 : 2 * capacity;
            struct bw_entry *items = bw_arena_array(arena, capacity, sizeof *items);
            if (items == NULL) return bw_fail_memory(err);
            if (set.n > 0) memcpy(items, set.items, set.n * sizeof *items);
            set.items = items;
        }
        if (!take_row(arena, statement, &set.items[set.n++])) return bw_fail_memory(err);
    }
    *out = set;
    return row == 0;
}

static bool no_such_job(const char *job, struct bw_err *err) {
    bw_err_value(err, job);
    bw_err_mend(err, "beltwright job list shows the jobs there are");
    return bw_fail(err, BW_NOT_FOUND, "there is no such job");
}

bool bw_sqlite_get(struct bw_store *base, const char *job, struct bw_arena *arena,
                   struct bw_entries *out, struct bw_err *err) {
    struct sqlite_store *store = (struct sqlite_store *)base;
    struct bw_entries set;
    sqlite3_stmt *statement =
        bw_sqlite_query(store, err,
                        "SELECT id, job, tick, time, offset, device, kind, shape, names, line "
                        "FROM entry WHERE job = ? ORDER BY id",
                        "t", job);
    if (statement == NULL) return false;
    bool done = take_rows(store, statement, arena, &set, err);
    (void)sqlite3_finalize(statement);
    if (!done || !take_files(store, job, arena, &set, err)) return false;
    if (set.n == 0) return no_such_job(job, err);
    *out = set;
    return true;
}

bool bw_sqlite_last_tick(struct bw_store *base, const char *job, long *out, struct bw_err *err) {
    struct sqlite_store *store = (struct sqlite_store *)base;
    sqlite3_stmt *statement =
        bw_sqlite_query(store, err, "SELECT tick FROM job WHERE job = ?", "t", job);
    if (statement == NULL) return false;
    int row = bw_sqlite_step(store, statement, err);
    if (row > 0) *out = (long)sqlite3_column_int64(statement, 0);
    (void)sqlite3_finalize(statement);
    return row > 0 || (row == 0 && no_such_job(job, err));
}

bool bw_sqlite_ids(struct bw_store *base, struct bw_arena *arena, struct bw_ids *out,
                   struct bw_err *err) {
    struct sqlite_store *store = (struct sqlite_store *)base;
    struct bw_ids ids = {0};
    size_t capacity = 0;
    int row;
    sqlite3_stmt *statement =
        bw_sqlite_query(store, err, "SELECT id, job, line IS NULL FROM entry ORDER BY id", "");
    if (statement == NULL) return false;
    while ((row = bw_sqlite_step(store, statement, err)) > 0) {
        if (ids.n == capacity) {
            capacity = capacity == 0 ? 1024 : 2 * capacity;
            struct bw_id *items = bw_arena_array(arena, capacity, sizeof *items);
            if (items == NULL) {
                (void)bw_fail_memory(err);
                row = -1;
                break;
            }
            if (ids.n > 0) memcpy(items, ids.items, ids.n * sizeof *items);
            ids.items = items;
        }
        struct bw_id *id = &ids.items[ids.n++];
        (void)snprintf(id->id, sizeof id->id, "%s", bw_sqlite_text(statement, 0));
        (void)snprintf(id->job, sizeof id->job, "%s", bw_sqlite_text(statement, 1));
        id->erased = sqlite3_column_int(statement, 2) != 0;
    }
    (void)sqlite3_finalize(statement);
    if (row == 0) *out = ids;
    return row == 0;
}
