// store.c - bench: the store in a folder against the raw SQLite statements it cannot do without.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Fills a store with JOBS jobs of 40 entries, then times list (the 50 last changed), open (all
// entries of a job), search and add, each beside the plain statement on a second connection with
// the same settings; A and B take turns, 31 times. Prints the medians and the median ratio.
//
//   bench_store [JOBS]     without it 10000
#include "store/store.h"
#include "base/number.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { RUNS = 31, ENTRIES = 40 };

struct bench {
    struct bw_store *store;
    sqlite3 *raw;
    char (*jobs)[BW_ID_TEXT];
    size_t n;
    long number;
};

static void stop(const char *why) {
    (void)fprintf(stderr, "bench_store: %s\n", why);
    exit(1);
}

static void must(bool done, const struct bw_err *err) {
    if (!done) stop(err->what);
}

static double now_ms(void) {
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return 1e3 * (double)now.tv_sec + 1e-6 * (double)now.tv_nsec;
}

static struct bw_entry make(struct bw_arena *arena, const char *job, long tick, long number) {
    struct bw_err err = {0};
    struct bw_entry entry;
    char body[200];
    (void)snprintf(body, sizeof body, "{\"%s\":\"chatter of head %ld, panel word%ld\"}",
                   job == NULL ? "title" : "text", number % 4, number % 997);
    const struct bw_draft draft = {.job = job,
                                   .tick = tick,
                                   .time_ms = 1700000000000 + number,
                                   .device = "bench",
                                   .kind = job == NULL ? BW_ENTRY_OPENED : BW_ENTRY_NOTE,
                                   .body = body};
    must(bw_entry_make(arena, &draft, &entry, &err), &err);
    return entry;
}

static void fill(struct bench *b) {
    for (size_t i = 0; i < b->n; i++) {
        struct bw_err err = {0};
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_entry items[ENTRIES];
        struct bw_entries set;
        items[0] = make(arena, NULL, 1, b->number++);
        for (long k = 1; k < ENTRIES; k++) items[k] = make(arena, items[0].id, k + 1, b->number++);
        memcpy(b->jobs[i], items[0].id, BW_ID_TEXT);
        must(bw_entries_make(arena, items, ENTRIES, &set, &err), &err);
        must(bw_store_put(b->store, &set, NULL, &err), &err);
        bw_arena_free(arena);
    }
}

// ---- what is timed ------------------------------------------------------------------------------

static void raw(struct bench *b, const char *sql, const char *text) {
    sqlite3_stmt *statement;
    if (sqlite3_prepare_v2(b->raw, sql, -1, &statement, NULL) != SQLITE_OK)
        stop(sqlite3_errmsg(b->raw));
    if (text != NULL) (void)sqlite3_bind_text(statement, 1, text, -1, SQLITE_STATIC);
    int result;
    while ((result = sqlite3_step(statement)) == SQLITE_ROW)
        for (int i = 0; i < sqlite3_column_count(statement); i++)
            (void)sqlite3_column_text(statement, i);
    if (result != SQLITE_DONE) stop(sqlite3_errmsg(b->raw));
    (void)sqlite3_finalize(statement);
}

static void list_ours(struct bench *b, const char *words) {
    struct bw_err err = {0};
    struct bw_job_rows rows;
    struct bw_arena *arena = bw_arena_new(0);
    const struct bw_job_query query = {.most = 50, .words = words};
    must(bw_store_list(b->store, &query, arena, &rows, &err), &err);
    bw_arena_free(arena);
}

static void list_a(struct bench *b, size_t i) { (void)i, list_ours(b, NULL); }
static void list_b(struct bench *b, size_t i) {
    (void)i;
    raw(b, "SELECT * FROM job ORDER BY changed DESC, job LIMIT 50", NULL);
}

static void open_a(struct bench *b, size_t i) {
    struct bw_err err = {0};
    struct bw_entries set;
    struct bw_arena *arena = bw_arena_new(0);
    must(bw_store_get(b->store, b->jobs[i * 37 % b->n], arena, &set, &err), &err);
    bw_arena_free(arena);
}
static void open_b(struct bench *b, size_t i) {
    raw(b, "SELECT * FROM entry WHERE job = ? ORDER BY id", b->jobs[i * 37 % b->n]);
}

static void search_a(struct bench *b, size_t i) { (void)i, list_ours(b, "word37 panel"); }
static void search_b(struct bench *b, size_t i) {
    (void)i;
    raw(b,
        "SELECT * FROM job WHERE job IN (SELECT entry.job FROM words JOIN entry ON entry.row = "
        "words.rowid WHERE words MATCH ?) ORDER BY changed DESC, job LIMIT 50",
        "\"word37\"* \"panel\"*");
}

static void add_a(struct bench *b, size_t i) {
    struct bw_err err = {0};
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_entry entry = make(arena, b->jobs[i], ENTRIES + 1, b->number++);
    const struct bw_entries one = {.items = &entry, .n = 1};
    must(bw_store_put(b->store, &one, NULL, &err), &err);
    bw_arena_free(arena);
}
// The rows themselves: the entry, its words, the job's counts, committed.
static void add_b(struct bench *b, size_t i) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_entry entry = make(arena, b->jobs[i], ENTRIES + 2, b->number++);
    raw(b, "BEGIN IMMEDIATE", NULL);
    char sql[900];
    (void)snprintf(sql, sizeof sql,
                   "INSERT INTO entry (id, job, tick, time, offset, device, kind, shape, line) "
                   "VALUES ('%s', '%s', %ld, %lld, 0, 'bench', 'note', 'note/1', ?)",
                   entry.id, entry.job, entry.tick, (long long)entry.time_ms);
    raw(b, sql, entry.line);
    raw(b, "INSERT INTO words (rowid, text) VALUES (last_insert_rowid(), ?)", "chatter of head 1");
    raw(b, "UPDATE job SET entries = entries + 1 WHERE job = ?", entry.job);
    raw(b, "COMMIT", NULL);
    bw_arena_free(arena);
}

static int by_value(const void *x, const void *y) {
    double a = *(const double *)x, b = *(const double *)y;
    return (a > b) - (a < b);
}

static void compare(struct bench *b, const char *name, void (*ours)(struct bench *, size_t),
                    void (*plain)(struct bench *, size_t)) {
    double one[RUNS], two[RUNS], ratio[RUNS];
    for (size_t i = 0; i < RUNS; i++) {
        double start = now_ms();
        ours(b, i);
        double middle = now_ms();
        plain(b, i);
        one[i] = middle - start;
        two[i] = now_ms() - middle;
        ratio[i] = one[i] / two[i];
    }
    qsort(one, RUNS, sizeof *one, by_value);
    qsort(two, RUNS, sizeof *two, by_value);
    qsort(ratio, RUNS, sizeof *ratio, by_value);
    printf("%-7s store %8.3f ms  raw %8.3f ms  ratio %5.2f (%.2f to %.2f)\n", name, one[RUNS / 2],
           two[RUNS / 2], ratio[RUNS / 2], ratio[RUNS / 4], ratio[3 * RUNS / 4]);
}

int main(int argc, char **argv) {
    struct bench b = {.n = 10000};
    struct bw_err err = {0};
    char folder[] = "/tmp/beltwright-bench-XXXXXX", path[64];
    long jobs = 10000;
    if (argc > 1) must(bw_count(argv[1], strlen(argv[1]), RUNS, 1000000, &jobs, &err), &err);
    b.n = (size_t)jobs;
    b.jobs = calloc(b.n, sizeof *b.jobs);
    if (b.jobs == NULL || mkdtemp(folder) == NULL) stop("no room");
    must(bw_store_open(folder, &b.store, &err), &err);
    fill(&b);
    (void)snprintf(path, sizeof path, "%s/jobs.db", folder);
    if (sqlite3_open(path, &b.raw) != SQLITE_OK) stop("the second connection");
    raw(&b, "PRAGMA synchronous = FULL", NULL);
    raw(&b, "PRAGMA secure_delete = ON", NULL);
    printf("%zu jobs of %d entries\n", b.n, ENTRIES);
    compare(&b, "list", list_a, list_b);
    compare(&b, "open", open_a, open_b);
    compare(&b, "search", search_a, search_b);
    compare(&b, "add", add_a, add_b);
    (void)sqlite3_close(b.raw);
    bw_store_close(b.store);
    free(b.jobs);
    printf("the store is left in %s\n", folder);
    return 0;
}
