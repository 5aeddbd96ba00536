// postgres.c - the store on a PostgreSQL server, for a team: a module of its own, loaded by a URL.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The tables are those of the SQLite store. Writers of one job take turns by an advisory lock;
// NOTIFY carries the id of a job that changed and nothing else. Words are found with the server's
// text search in its 'simple' configuration, over words made plain by us.
#include "base/alloc.h"
#include "base/format.h"
#include "base/number.h"
#include "store/store.h"

#include <libpq-fe.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>

#define CHANNEL "beltwright_job"
#define SCHEMA_VERSION 1

struct pg_store {
    struct bw_store store;
    PGconn *db;
};

static struct pg_store *of(struct bw_store *store) { return (struct pg_store *)store; }

// ---- statements ---------------------------------------------------------------------------------

// The server's own words for the log's sake; ours for the person.
static bool failed(struct pg_store *store, const PGresult *result, struct bw_err *err) {
    const char *state = result == NULL ? NULL : PQresultErrorField(result, PG_DIAG_SQLSTATE);
    const char *said = PQerrorMessage(store->db);
    char text[200];
    (void)bw_format(text, sizeof text, "%.*s", (int)strcspn(said, "\n"), said);
    if (PQstatus(store->db) != CONNECTION_OK) {
        bw_err_mend(err,
                    "see whether the network and the server are well; what was confirmed is kept");
        return bw_fail(err, BW_IO, "the server cannot be reached: %s", text);
    }
    if (state != NULL && strncmp(state, "53", 2) == 0) {
        bw_err_mend(err, "free some space on the server and do it again; nothing was lost");
        return bw_fail(err, BW_IO, "the server has run out of room: %s", text);
    }
    if (state != NULL && (strcmp(state, "42501") == 0 || strcmp(state, "25006") == 0)) {
        bw_err_mend(err, "ask whoever runs the server for the right to write");
        return bw_fail(err, BW_IO, "the store may not be written: %s", text);
    }
    return bw_fail(err, BW_FAILED, "the server failed: %s", text);
}

// Parameters of one statement, as text; at most 11.
struct values {
    const char *text[12];
    int lengths[12], formats[12];
    char numbers[12][24];
    int n;
};

static void add_text(struct values *values, const char *text) { values->text[values->n++] = text; }

static void add_number(struct values *values, int64_t number) {
    char *text = values->numbers[values->n];
    (void)bw_format(text, sizeof values->numbers[0], "%lld", (long long)number);
    values->text[values->n++] = text;
}

static void add_bytes(struct values *values, const void *bytes, size_t length) {
    values->formats[values->n] = 1;
    values->lengths[values->n] = (int)length;
    values->text[values->n++] = bytes;
}

// NULL: failed. `binary`: the answer's columns come as bytes.
static PGresult *ask(struct pg_store *store, const char *sql, const struct values *values,
                     bool binary, struct bw_err *err) {
    static const struct values NONE = {.n = 0};
    const struct values *with = values == NULL ? &NONE : values;
    PGresult *result = PQexecParams(store->db, sql, with->n, NULL, with->text, with->lengths,
                                    with->formats, binary ? 1 : 0);
    ExecStatusType status = PQresultStatus(result);
    if (status == PGRES_COMMAND_OK || status == PGRES_TUPLES_OK) return result;
    (void)failed(store, result, err);
    PQclear(result);
    return NULL;
}

static bool run(struct pg_store *store, const char *sql, const struct values *values,
                struct bw_err *err) {
    PGresult *result = ask(store, sql, values, false, err);
    PQclear(result);
    return result != NULL;
}

static bool run_text(struct pg_store *store, const char *sql, const char *text,
                     struct bw_err *err) {
    struct values values = {.n = 0};
    add_text(&values, text);
    return run(store, sql, &values, err);
}

static bool end(struct pg_store *store, bool good, struct bw_err *err) {
    if (good) return run(store, "COMMIT", NULL, err);
    PQclear(PQexec(store->db, "ROLLBACK"));
    return false;
}

static int64_t number_at(const PGresult *result, int row, int column) {
    struct bw_err ignored = {0};
    long number = 0;
    const char *text = PQgetvalue(result, row, column);
    return bw_count(text, strlen(text), -2147483647L * 4294967296L, 2147483647L * 4294967296L,
                    &number, &ignored)
               ? number
               : 0;
}

// In the arena; NULL for null.
static const char *text_at(struct bw_arena *arena, const PGresult *result, int row, int column) {
    if (PQgetisnull(result, row, column)) return NULL;
    return bw_arena_text(arena, PQgetvalue(result, row, column),
                         (size_t)PQgetlength(result, row, column));
}

static void id_at(const PGresult *result, int row, int column, char out[BW_ID_TEXT]) {
    (void)bw_format(out, BW_ID_TEXT, "%s", PQgetvalue(result, row, column));
}

// ---- entries in ---------------------------------------------------------------------------------

struct putting {
    struct pg_store *store;
    struct bw_err *err;
    size_t changed;
    bool derive;
};

// Attachments that only this entry refers to go with it, and so do its words.
static bool erase_row(struct putting *p, const char *id) {
    static const char *const STEPS[] = {
        "DELETE FROM attachment WHERE sha256 IN (SELECT sha256 FROM uses WHERE entry = $1) AND "
        "sha256 NOT IN (SELECT sha256 FROM uses WHERE entry <> $1)",
        "DELETE FROM uses WHERE entry = $1",
        "UPDATE entry SET line = NULL, names = NULL, device = NULL, kind = NULL, shape = NULL, "
        "words = NULL, \"offset\" = 0 WHERE id = $1",
    };
    p->changed++;
    p->derive = true;
    for (size_t i = 0; i < sizeof STEPS / sizeof *STEPS; i++)
        if (!run_text(p->store, STEPS[i], id, p->err)) return false;
    return true;
}

static bool erase_naming(struct putting *p, const char *id) {
    struct values values = {.n = 0};
    add_text(&values, id);
    PGresult *result = ask(p->store,
                           "WITH RECURSIVE below (id) AS (SELECT id FROM entry WHERE names = $1 "
                           "UNION SELECT entry.id FROM entry JOIN below ON entry.names = below.id) "
                           "SELECT id FROM below",
                           &values, false, p->err);
    bool done = result != NULL;
    for (int i = 0; done && i < PQntuples(result); i++)
        done = erase_row(p, PQgetvalue(result, i, 0));
    PQclear(result);
    return done;
}

static bool put_uses(struct putting *p, const struct bw_entry *entry) {
    for (size_t i = 0; i < entry->n_files; i++) {
        struct values values = {.n = 0};
        add_text(&values, entry->id);
        add_text(&values, entry->files[i]);
        if (!run(p->store, "INSERT INTO uses VALUES ($1, $2) ON CONFLICT DO NOTHING", &values,
                 p->err))
            return false;
    }
    return true;
}

static bool insert_row(struct putting *p, const struct bw_entry *entry, const char *words) {
    struct values values = {.n = 0};
    add_text(&values, entry->id);
    add_text(&values, entry->job);
    add_number(&values, entry->tick);
    add_number(&values, entry->time_ms);
    add_number(&values, entry->offset_min);
    add_text(&values, entry->device);
    add_text(&values, entry->kind);
    add_text(&values, entry->shape);
    add_text(&values, entry->names);
    add_text(&values, entry->line);
    add_text(&values, words);
    return run(p->store,
               "INSERT INTO entry (id, job, tick, time, \"offset\", device, kind, shape, names, "
               "line, words) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, "
               "to_tsvector('simple', $11))",
               &values, p->err);
}

static bool insert(struct putting *p, const struct bw_entry *entry) {
    struct bw_buffer words = {0};
    struct bw_arena *arena = bw_arena_new(0);
    if (arena == NULL) return bw_fail_memory(p->err);
    p->changed++;
    bool done = bw_store_words(arena, entry, &words, p->err) &&
                insert_row(p, entry, words.data == NULL ? "" : words.data);
    bw_buffer_free(&words);
    bw_arena_free(arena);
    if (!done) return false;
    if (bw_entry_erased(entry)) {
        p->derive = true;
        return erase_naming(p, entry->id);
    }
    if (bw_store_row_depends(entry)) p->derive = true;
    return put_uses(p, entry);
}

enum presence { ABSENT, PRESENT, GONE, UNREAD };

static enum presence presence_of(struct putting *p, const char *id) {
    struct values values = {.n = 0};
    add_text(&values, id);
    PGresult *result = ask(p->store, "SELECT (line IS NULL)::int FROM entry WHERE id = $1", &values,
                           false, p->err);
    enum presence found = result == NULL                 ? UNREAD
                          : PQntuples(result) == 0       ? ABSENT
                          : number_at(result, 0, 0) == 0 ? PRESENT
                                                         : GONE;
    PQclear(result);
    return found;
}

static bool put_one(struct putting *p, const struct bw_entry *entry) {
    enum presence here = presence_of(p, entry->id);
    if (here == UNREAD) return false;
    if (here == GONE || (here == PRESENT && !bw_entry_erased(entry))) return true;
    if (here == PRESENT) return erase_row(p, entry->id) && erase_naming(p, entry->id);
    if (entry->names == NULL) return insert(p, entry);
    enum presence named = presence_of(p, entry->names);
    if (named == UNREAD) return false;
    if (named != GONE) return insert(p, entry);
    struct bw_entry gone = {.tick = entry->tick, .time_ms = entry->time_ms};
    memcpy(gone.id, entry->id, BW_ID_TEXT);
    memcpy(gone.job, entry->job, BW_ID_TEXT);
    return insert(p, &gone);
}

// ---- entries out --------------------------------------------------------------------------------

static bool no_such_job(const char *job, struct bw_err *err) {
    bw_err_value(err, job);
    bw_err_mend(err, "beltwright job list shows the jobs there are");
    return bw_fail(err, BW_NOT_FOUND, "there is no such job");
}

// id, job, tick, time, offset, device, kind, shape, names, line
static void take_row(struct bw_arena *arena, const PGresult *result, int row,
                     struct bw_entry *out) {
    *out = (struct bw_entry){.tick = (long)number_at(result, row, 2),
                             .time_ms = number_at(result, row, 3),
                             .offset_min = (int)number_at(result, row, 4),
                             .device = text_at(arena, result, row, 5),
                             .kind = text_at(arena, result, row, 6),
                             .shape = text_at(arena, result, row, 7),
                             .names = text_at(arena, result, row, 8),
                             .line = text_at(arena, result, row, 9)};
    if (out->line != NULL) out->length = (size_t)PQgetlength(result, row, 9);
    id_at(result, row, 0, out->id);
    id_at(result, row, 1, out->job);
}

// Rows of (entry, sha256), those of one entry together.
static bool take_files(struct bw_arena *arena, const PGresult *result, struct bw_entries *set) {
    int n = PQntuples(result);
    const char **files = bw_arena_array(arena, (size_t)n + 1, sizeof *files);
    if (files == NULL) return false;
    for (int i = 0; i < n; i++) {
        struct bw_entry *entry = (struct bw_entry *)bw_entries_find(set, PQgetvalue(result, i, 0));
        files[i] = text_at(arena, result, i, 1);
        if (entry == NULL || files[i] == NULL) continue;
        if (entry->n_files == 0) entry->files = files + i;
        entry->n_files++;
    }
    return !bw_arena_failed(arena);
}

static bool get(struct bw_store *base, const char *job, struct bw_arena *arena,
                struct bw_entries *out, struct bw_err *err) {
    struct pg_store *store = of(base);
    struct values values = {.n = 0};
    struct bw_entries set = {0};
    add_text(&values, job);
    PGresult *result = ask(store,
                           "SELECT id, job, tick, time, \"offset\", device, kind, shape, names, "
                           "line FROM entry WHERE job = $1 ORDER BY id",
                           &values, false, err);
    if (result == NULL) return false;
    set.n = (size_t)PQntuples(result);
    set.items = bw_arena_array(arena, set.n + 1, sizeof *set.items);
    for (size_t i = 0; set.items != NULL && i < set.n; i++)
        take_row(arena, result, (int)i, &set.items[i]);
    PQclear(result);
    if (set.n == 0) return no_such_job(job, err);
    result = ask(store,
                 "SELECT uses.entry, uses.sha256 FROM uses JOIN entry ON entry.id = uses.entry "
                 "WHERE entry.job = $1 ORDER BY uses.entry, uses.sha256",
                 &values, false, err);
    if (result == NULL) return false;
    bool done = set.items != NULL && take_files(arena, result, &set);
    PQclear(result);
    if (!done) return bw_fail_memory(err);
    *out = set;
    return true;
}

static bool last_tick(struct bw_store *base, const char *job, long *out, struct bw_err *err) {
    struct values values = {.n = 0};
    add_text(&values, job);
    PGresult *result = ask(of(base), "SELECT tick FROM job WHERE job = $1", &values, false, err);
    if (result == NULL) return false;
    bool found = PQntuples(result) > 0;
    if (found) *out = (long)number_at(result, 0, 0);
    PQclear(result);
    return found || no_such_job(job, err);
}

static bool ids(struct bw_store *base, struct bw_arena *arena, struct bw_ids *out,
                struct bw_err *err) {
    struct bw_ids list = {0};
    PGresult *result = ask(of(base), "SELECT id, job, (line IS NULL)::int FROM entry ORDER BY id",
                           NULL, false, err);
    if (result == NULL) return false;
    list.n = (size_t)PQntuples(result);
    list.items = bw_arena_array(arena, list.n + 1, sizeof *list.items);
    for (size_t i = 0; list.items != NULL && i < list.n; i++) {
        id_at(result, (int)i, 0, list.items[i].id);
        id_at(result, (int)i, 1, list.items[i].job);
        list.items[i].erased = number_at(result, (int)i, 2) != 0;
    }
    PQclear(result);
    if (list.items == NULL) return bw_fail_memory(err);
    *out = list;
    return true;
}

// ---- what is derived ----------------------------------------------------------------------------

static bool write_derived(struct pg_store *store, const struct bw_job_row *row,
                          struct bw_err *err) {
    struct values values = {.n = 0};
    add_text(&values, row->job);
    add_text(&values, row->title);
    add_text(&values, row->kind);
    add_text(&values, row->site);
    add_text(&values, row->machine);
    add_number(&values, row->closed);
    add_number(&values, row->opened_ms);
    add_number(&values, row->opened_offset_min);
    add_number(&values, row->changed_ms);
    add_number(&values, row->entries);
    add_number(&values, row->last_tick);
    return run(store,
               "INSERT INTO job (job, title, kind, site, machine, closed, opened, \"offset\", "
               "changed, entries, tick) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11) ON "
               "CONFLICT (job) DO UPDATE SET title = excluded.title, kind = excluded.kind, site = "
               "excluded.site, machine = excluded.machine, closed = excluded.closed, opened = "
               "excluded.opened, \"offset\" = excluded.\"offset\", changed = excluded.changed, "
               "entries = excluded.entries, tick = excluded.tick",
               &values, err);
}

static bool derive(struct pg_store *store, const char *job, struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_entries set;
    struct bw_job_row row;
    if (arena == NULL) return bw_fail_memory(err);
    bool done = get(&store->store, job, arena, &set, err) && bw_store_row(arena, &set, &row, err) &&
                write_derived(store, &row, err);
    bw_arena_free(arena);
    return done;
}

static bool update_row(struct putting *p, const struct bw_entries *set) {
    struct values values = {.n = 0};
    int64_t changed = 0;
    for (size_t i = 0; i < set->n; i++)
        if (set->items[i].time_ms > changed) changed = set->items[i].time_ms;
    add_number(&values, (int64_t)p->changed);
    add_number(&values, bw_entries_last_tick(set));
    add_number(&values, changed);
    add_text(&values, set->items[0].job);
    PGresult *result = ask(p->store,
                           "UPDATE job SET entries = entries + $1, tick = greatest(tick, $2), "
                           "changed = greatest(changed, $3) WHERE job = $4",
                           &values, false, p->err);
    if (result == NULL) return false;
    bool there = strcmp(PQcmdTuples(result), "1") == 0;
    PQclear(result);
    return there || derive(p->store, set->items[0].job, p->err);
}

static bool put_all(struct putting *p, const struct bw_entries *set) {
    const char *job = set->items[0].job;
    if (!run_text(p->store, "SELECT pg_advisory_xact_lock(hashtext($1))", job, p->err))
        return false;
    for (size_t i = 0; i < set->n; i++)
        if (!put_one(p, &set->items[i])) return false;
    if (p->changed == 0) return true;
    bool done = p->derive ? derive(p->store, job, p->err) : update_row(p, set);
    return done && run_text(p->store, "SELECT pg_notify('" CHANNEL "', $1)", job, p->err);
}

static bool put(struct bw_store *base, const struct bw_entries *set, size_t *changed,
                struct bw_err *err) {
    struct putting p = {.store = of(base), .err = err};
    if (set->n > 0) {
        if (!run(p.store, "BEGIN", NULL, err)) return false;
        if (!end(p.store, put_all(&p, set), err)) return false;
    }
    if (changed != NULL) *changed = p.changed;
    return true;
}

static bool index_one(struct pg_store *store, struct bw_arena *arena, const PGresult *result,
                      int row, struct bw_err *err) {
    struct bw_entry entry;
    struct bw_buffer words = {0};
    struct values values = {.n = 0};
    take_row(arena, result, row, &entry);
    bool done = bw_store_words(arena, &entry, &words, err);
    add_text(&values, words.data == NULL ? "" : words.data);
    add_text(&values, entry.id);
    done = done && run(store, "UPDATE entry SET words = to_tsvector('simple', $1) WHERE id = $2",
                       &values, err);
    bw_buffer_free(&words);
    return done;
}

static bool rebuild_rows(struct pg_store *store, const PGresult *result, struct bw_err *err) {
    for (int i = 0; i < PQntuples(result); i++) {
        struct bw_arena *arena = bw_arena_new(0);
        if (arena == NULL) return bw_fail_memory(err);
        bool first = strcmp(PQgetvalue(result, i, 0), PQgetvalue(result, i, 1)) == 0;
        bool done = PQgetisnull(result, i, 9) || index_one(store, arena, result, i, err);
        if (done && first) done = derive(store, PQgetvalue(result, i, 1), err);
        bw_arena_free(arena);
        if (!done) return false;
    }
    return true;
}

static bool rebuild(struct bw_store *base, struct bw_err *err) {
    struct pg_store *store = of(base);
    if (!run(store, "BEGIN", NULL, err)) return false;
    PGresult *result = NULL;
    if (run(store, "DELETE FROM job", NULL, err))
        result = ask(store,
                     "SELECT id, job, tick, time, \"offset\", device, kind, shape, names, line "
                     "FROM entry ORDER BY id",
                     NULL, false, err);
    bool done = result != NULL && rebuild_rows(store, result, err);
    PQclear(result);
    return end(store, done, err);
}

// ---- listing ------------------------------------------------------------------------------------

// "splice:* & head:*"; words are letters and digits only.
static void match_text(const char *words, struct bw_buffer *out) {
    struct bw_buffer plain = {0};
    bw_words_plain(words, &plain);
    for (const char *at = plain.data; at != NULL && *at != '\0';) {
        at += strspn(at, " ");
        size_t length = strcspn(at, " ");
        if (length > 0)
            bw_buffer_format(out, "%s%.*s:*", out->length == 0 ? "" : " & ", (int)length, at);
        at += length;
    }
    if (plain.failed) out->failed = true;
    bw_buffer_free(&plain);
}

static void take_job(struct bw_arena *arena, const PGresult *result, int row,
                     struct bw_job_row *out) {
    *out = (struct bw_job_row){.title = text_at(arena, result, row, 1),
                               .kind = text_at(arena, result, row, 2),
                               .site = text_at(arena, result, row, 3),
                               .machine = text_at(arena, result, row, 4),
                               .closed = number_at(result, row, 5) != 0,
                               .opened_ms = number_at(result, row, 6),
                               .opened_offset_min = (int)number_at(result, row, 7),
                               .changed_ms = number_at(result, row, 8),
                               .entries = (long)number_at(result, row, 9),
                               .last_tick = (long)number_at(result, row, 10)};
    id_at(result, row, 0, out->job);
}

static bool list(struct bw_store *base, const struct bw_job_query *query, struct bw_arena *arena,
                 struct bw_job_rows *out, struct bw_err *err) {
    struct values values = {.n = 0};
    struct bw_buffer match = {0};
    struct bw_job_rows rows = {0};
    if (query->words != NULL) match_text(query->words, &match);
    if (match.failed) return bw_fail_memory(err);
    add_text(&values, query->site);
    add_text(&values, query->machine);
    add_number(&values, query->state);
    add_text(&values, query->ending);
    add_number(&values, query->most == 0 ? INT64_MAX : query->most);
    add_text(&values, match.data);
    PGresult *result =
        ask(of(base),
            "SELECT job, title, kind, site, machine, closed, opened, \"offset\", changed, entries, "
            "tick FROM job WHERE ($1::text IS NULL OR site = $1) AND ($2::text IS NULL OR machine "
            "= $2) AND ($3::int = 0 OR closed = $3::int - 1) AND ($4::text IS NULL OR right(job, "
            "length($4)) = $4) AND ($6::text IS NULL OR job IN (SELECT job FROM entry WHERE words "
            "@@ to_tsquery('simple', $6))) ORDER BY changed DESC, job LIMIT $5",
            &values, false, err);
    bw_buffer_free(&match);
    if (result == NULL) return false;
    rows.n = (size_t)PQntuples(result);
    rows.items = bw_arena_array(arena, rows.n + 1, sizeof *rows.items);
    for (size_t i = 0; rows.items != NULL && i < rows.n; i++)
        take_job(arena, result, (int)i, &rows.items[i]);
    PQclear(result);
    if (bw_arena_failed(arena)) return bw_fail_memory(err);
    *out = rows;
    return true;
}

// ---- attachments --------------------------------------------------------------------------------

static bool not_here(const char *sha256, struct bw_err *err) {
    bw_err_value(err, sha256);
    bw_err_mend(err, "merge from the device it was added on");
    return bw_fail(err, BW_NOT_FOUND, "this attachment is not here");
}

static bool attached(struct bw_store *base, const char *sha256, uint64_t *size,
                     struct bw_err *err) {
    struct values values = {.n = 0};
    add_text(&values, sha256);
    PGresult *result =
        ask(of(base), "SELECT size FROM attachment WHERE sha256 = $1", &values, false, err);
    if (result == NULL) return false;
    bool here = PQntuples(result) > 0;
    if (here) *size = (uint64_t)number_at(result, 0, 0);
    PQclear(result);
    return here || not_here(sha256, err);
}

static bool piece(struct bw_store *base, const char *sha256, uint64_t number, struct bw_buffer *out,
                  struct bw_err *err) {
    struct values values = {.n = 0};
    add_text(&values, sha256);
    add_number(&values, (int64_t)number);
    PGresult *result =
        ask(of(base),
            "SELECT bytes FROM piece JOIN attachment ON attachment.number = piece.attachment WHERE "
            "sha256 = $1 AND piece.number = $2",
            &values, true, err);
    if (result == NULL) return false;
    bool here = PQntuples(result) > 0;
    if (here) bw_buffer_add(out, PQgetvalue(result, 0, 0), (size_t)PQgetlength(result, 0, 0));
    PQclear(result);
    if (!here) return not_here(sha256, err);
    return !out->failed || bw_fail_memory(err);
}

static bool put_pieces(struct pg_store *store, const struct bw_supply *source, const char *number,
                       char sha256[BW_SHA256_TEXT], uint64_t *size, struct bw_err *err) {
    struct bw_sha256 hash = bw_sha256_begin();
    bool done = false;
    *size = 0;
    char *bytes = bw_alloc(BW_PIECE_BYTES);
    if (bytes == NULL) return bw_fail_memory(err);
    for (int64_t i = 0;; i++) {
        size_t length = BW_PIECE_BYTES;
        struct values values = {.n = 0};
        if (!source->next(source->with, bytes, &length, err)) break;
        done = length == 0;
        if (done) break;
        *size += length;
        if (*size > BW_MAX_ATTACHMENT_BYTES) {
            bw_fail(err, BW_LIMIT, "an attachment may have 1 GiB at most");
            break;
        }
        bw_sha256_add(&hash, bytes, length);
        add_text(&values, number);
        add_number(&values, i);
        add_bytes(&values, bytes, length);
        if (!run(store, "INSERT INTO piece VALUES ($1::bigint, $2::bigint, $3)", &values, err))
            break;
    }
    bw_free(bytes);
    bw_sha256_end_text(&hash, sha256);
    return done;
}

// One that is there already makes the new one superfluous.
static bool name_attachment(struct pg_store *store, const char *number, const char *sha256,
                            uint64_t size, struct bw_err *err) {
    struct values values = {.n = 0};
    add_text(&values, sha256);
    if (!run_text(store, "SELECT pg_advisory_xact_lock(hashtext($1))", sha256, err)) return false;
    PGresult *there = ask(store, "SELECT 1 FROM attachment WHERE sha256 = $1", &values, false, err);
    if (there == NULL) return false;
    bool known = PQntuples(there) > 0;
    PQclear(there);
    if (known)
        return run_text(store, "DELETE FROM attachment WHERE number = $1::bigint", number, err);
    add_number(&values, (int64_t)size);
    add_text(&values, number);
    return run(store,
               "UPDATE attachment SET sha256 = $1, size = $2::bigint WHERE number = $3::bigint",
               &values, err);
}

static bool put_attachment(struct pg_store *store, const struct bw_supply *source,
                           char sha256[BW_SHA256_TEXT], uint64_t *size, struct bw_err *err) {
    char number[24];
    PGresult *result =
        ask(store, "INSERT INTO attachment (size) VALUES (0) RETURNING number", NULL, false, err);
    if (result == NULL) return false;
    (void)bw_format(number, sizeof number, "%s", PQgetvalue(result, 0, 0));
    PQclear(result);
    return put_pieces(store, source, number, sha256, size, err) &&
           name_attachment(store, number, sha256, *size, err);
}

static bool attach(struct bw_store *base, const struct bw_supply *source,
                   char sha256[BW_SHA256_TEXT], uint64_t *size, struct bw_err *err) {
    struct pg_store *store = of(base);
    if (!run(store, "BEGIN", NULL, err)) return false;
    return end(store, put_attachment(store, source, sha256, size, err), err);
}

// ---- settings, watching -------------------------------------------------------------------------

static bool setting(struct bw_store *base, const char *name, struct bw_buffer *out,
                    struct bw_err *err) {
    struct values values = {.n = 0};
    add_text(&values, name);
    PGresult *result =
        ask(of(base), "SELECT value FROM setting WHERE name = $1", &values, false, err);
    if (result == NULL) return false;
    if (PQntuples(result) > 0) bw_buffer_text(out, PQgetvalue(result, 0, 0));
    PQclear(result);
    return !out->failed || bw_fail_memory(err);
}

static bool set(struct bw_store *base, const char *name, const char *value, struct bw_err *err) {
    struct values values = {.n = 0};
    add_text(&values, name);
    add_text(&values, value);
    return run(of(base),
               "INSERT INTO setting VALUES ($1, $2) ON CONFLICT (name) DO UPDATE SET value = "
               "excluded.value",
               &values, err);
}

// One message that has arrived; of our own changes there is nothing to tell.
static bool take_notice(struct pg_store *store, char job[BW_ID_TEXT]) {
    PGnotify *notice;
    bool taken = false;
    while (!taken && (notice = PQnotifies(store->db)) != NULL) {
        taken = notice->be_pid != PQbackendPID(store->db) && bw_ulid_is(notice->extra);
        if (taken) memcpy(job, notice->extra, BW_ID_TEXT);
        PQfreemem(notice);
    }
    return taken;
}

static bool watch(struct bw_store *base, int milliseconds, char job[BW_ID_TEXT],
                  struct bw_err *err) {
    struct pg_store *store = of(base);
    job[0] = '\0';
    for (int waited = 0; waited <= milliseconds; waited += 20) {
        if (PQconsumeInput(store->db) == 0) return failed(store, NULL, err);
        if (take_notice(store, job)) return true;
        struct pollfd at = {.fd = PQsocket(store->db), .events = POLLIN};
        (void)poll(&at, 1, milliseconds == 0 ? 0 : 20);
    }
    return true;
}

// ---- opening ------------------------------------------------------------------------------------

static void close_store(struct bw_store *base) {
    PQfinish(of(base)->db);
    bw_free(base);
}

static const struct bw_store_ops OPS = {
    .close = close_store,
    .put = put,
    .get = get,
    .last_tick = last_tick,
    .list = list,
    .ids = ids,
    .attach = attach,
    .attached = attached,
    .piece = piece,
    .rebuild = rebuild,
    .setting = setting,
    .set = set,
    .watch = watch,
};

// What user_version is in SQLite stands in setting "schema".
static const char TABLES[] =
    "SELECT pg_advisory_xact_lock(hashtext('beltwright schema'));"
    "CREATE TABLE IF NOT EXISTS setting (name text PRIMARY KEY, value text NOT NULL);"
    "CREATE TABLE IF NOT EXISTS entry (id text COLLATE \"C\" PRIMARY KEY, job text COLLATE \"C\" "
    "NOT NULL, tick bigint NOT NULL, time bigint NOT NULL, \"offset\" int NOT NULL, device text, "
    "kind text, shape text, names text COLLATE \"C\", line text, words tsvector);"
    "CREATE INDEX IF NOT EXISTS entry_job ON entry (job, id);"
    "CREATE INDEX IF NOT EXISTS entry_names ON entry (names) WHERE names IS NOT NULL;"
    "CREATE INDEX IF NOT EXISTS entry_words ON entry USING gin (words);"
    "CREATE TABLE IF NOT EXISTS uses (entry text NOT NULL, sha256 text NOT NULL, PRIMARY KEY "
    "(entry, sha256));"
    "CREATE INDEX IF NOT EXISTS uses_sha256 ON uses (sha256);"
    "CREATE TABLE IF NOT EXISTS attachment (number bigserial PRIMARY KEY, sha256 text UNIQUE, size "
    "bigint NOT NULL);"
    "CREATE TABLE IF NOT EXISTS piece (attachment bigint NOT NULL REFERENCES attachment ON DELETE "
    "CASCADE, number bigint NOT NULL, bytes bytea NOT NULL, PRIMARY KEY (attachment, number));"
    "CREATE TABLE IF NOT EXISTS job (job text COLLATE \"C\" PRIMARY KEY, title text NOT NULL, kind "
    "text NOT NULL, site text NOT NULL, machine text NOT NULL, closed int NOT NULL, opened bigint "
    "NOT NULL, \"offset\" int NOT NULL, changed bigint NOT NULL, entries bigint NOT NULL, tick "
    "bigint NOT NULL);"
    "CREATE INDEX IF NOT EXISTS job_changed ON job (changed DESC, job);"
    "INSERT INTO setting VALUES ('schema', '1') ON CONFLICT DO NOTHING";

static bool check_version(struct pg_store *store, struct bw_err *err) {
    struct bw_buffer version = {0};
    struct bw_err ignored = {0};
    long number = 0;
    if (!setting(&store->store, "schema", &version, err)) return false;
    bool known = version.data != NULL &&
                 bw_count(version.data, version.length, 1, SCHEMA_VERSION, &number, &ignored);
    bw_buffer_free(&version);
    if (known) return true;
    bw_err_mend(err, "use the newer program; nothing was changed");
    return bw_fail(err, BW_UNSUPPORTED, "this store was written by a newer program");
}

static bool prepare(struct pg_store *store, struct bw_err *err) {
    static const char *const STEPS[] = {"SET client_min_messages = warning",
                                        "SET client_encoding = 'UTF8'", "LISTEN " CHANNEL, TABLES,
                                        NULL};
    if (PQstatus(store->db) != CONNECTION_OK) return failed(store, NULL, err);
    for (size_t i = 0; STEPS[i] != NULL; i++) {
        PGresult *result = PQexec(store->db, STEPS[i]);
        ExecStatusType status = PQresultStatus(result);
        bool done = status == PGRES_COMMAND_OK || status == PGRES_TUPLES_OK;
        if (!done) (void)failed(store, result, err);
        PQclear(result);
        if (!done) return false;
    }
    return check_version(store, err);
}

static bool open_store(const char *url, struct bw_store **out, struct bw_err *err) {
    struct pg_store *store = bw_alloc_zero(1, sizeof *store);
    if (store == NULL) return bw_fail_memory(err);
    store->store.ops = &OPS;
    store->db = PQconnectdb(url);
    if (store->db == NULL || !prepare(store, err)) {
        if (store->db == NULL) (void)bw_fail_memory(err);
        close_store(&store->store);
        return false;
    }
    *out = &store->store;
    return true;
}

extern const struct bw_store_module bw_store_postgres;
const struct bw_store_module bw_store_postgres = {.version = BELTWRIGHT_VERSION,
                                                  .open = open_store};
