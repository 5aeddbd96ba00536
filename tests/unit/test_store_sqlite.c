// test_store_sqlite.c - the suite on the store in a folder, and what only that kind has.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sqlite.h"
#include "store/sync.h"
#include "support/jobs.h"
#include "support/store_suite.h"
#include "support/torture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

static char folder[64];

static struct bw_store *open_folder(void) {
    struct bw_err err = {0};
    struct bw_store *store;
    if (!bw_store_open(folder, &store, &err)) fail_msg("%s", err.what);
    return store;
}

static void remove_folder(void) {
    if (folder[0] != '\0') job_folder_remove(folder);
    folder[0] = '\0';
}

static void new_folder(void) {
    remove_folder();
    memcpy(folder, "/tmp/beltwright-store-XXXXXX", sizeof "/tmp/beltwright-store-XXXXXX");
    assert_non_null(mkdtemp(folder));
}

static struct bw_store *fresh(void) {
    new_folder();
    return open_folder();
}

static const struct store_kind SQLITE = {
    .name = "store: sqlite", .fresh = fresh, .again = open_folder};

static void run_sql(const char *sql) {
    char path[100];
    sqlite3 *db;
    (void)snprintf(path, sizeof path, "%s/jobs.db", folder);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK) fail_msg("%s", sqlite3_errmsg(db));
    (void)sqlite3_close(db);
}

static void put_one(struct bw_store *store, const struct bw_entry *entry) {
    struct bw_err err = {0};
    struct bw_entry item = *entry;
    const struct bw_entries set = {.items = &item, .n = 1};
    if (!bw_store_put(store, &set, NULL, &err)) fail_msg("%s", err.what);
}

// A database as each past version left it, with an entry in it, becomes one of today.
static void every_past_version_is_brought_up(void **state) {
    (void)state;
    for (int version = 1; version < bw_sqlite_version(); version++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_err err = {0};
        struct bw_job_rows rows;
        new_folder();
        for (int step = 0; step < version; step++) run_sql(bw_sqlite_migration(step));
        struct bw_entry job =
            job_entry(arena, NULL, 1, BW_ENTRY_OPENED, "{\"title\":\"old lines\"}");
        char sql[1000];
        (void)snprintf(sql, sizeof sql,
                       "INSERT INTO entry (id, job, tick, time, offset, device, kind, shape, line) "
                       "VALUES ('%s', '%s', 1, %lld, 60, 'testbench', 'opened', 'opened/1', '%s');"
                       "PRAGMA user_version = %d",
                       job.id, job.id, (long long)job.time_ms, job.line, version);
        run_sql(sql);
        struct bw_store *store = open_folder();
        struct bw_entries back;
        assert_true(bw_store_get(store, job.id, arena, &back, &err));
        const struct bw_entries one = {.items = &job, .n = 1};
        assert_true(job_sets_equal(&one, &back));
        const struct bw_job_query query = {.words = "old"};
        assert_true(bw_store_list(store, &query, arena, &rows, &err));
        assert_int_equal(rows.n, 1);
        assert_string_equal(rows.items[0].title, "old lines");
        bw_store_close(store);
        bw_arena_free(arena);
    }
}

static void refused(enum bw_code code, const char *word) {
    struct bw_err err = {0};
    struct bw_store *store = NULL;
    assert_false(bw_store_open(folder, &store, &err));
    assert_null(store);
    assert_int_equal(err.code, code);
    if (strstr(err.what, word) == NULL) fail_msg("%s", err.what);
    assert_true(err.mend[0] != '\0' && err.file[0] != '\0');
}

static void a_newer_store_is_left_alone(void **state) {
    (void)state;
    bw_store_close(fresh());
    run_sql("PRAGMA user_version = 99");
    refused(BW_UNSUPPORTED, "newer");
    run_sql("PRAGMA user_version = 3");
    bw_store_close(open_folder());
}

static void write_file(const char *bytes, size_t length) {
    char path[100];
    (void)snprintf(path, sizeof path, "%s/jobs.db", folder);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, length, file), length);
    assert_int_equal(fclose(file), 0);
}

static void what_is_no_store_is_said(void **state) {
    (void)state;
    static char bytes[8192];
    new_folder();
    memset(bytes, 'x', sizeof bytes);
    write_file(bytes, sizeof bytes);
    refused(BW_FAILED, "no store");
}

// Pages of the middle overwritten: told when met, and the rest can be read.
static void a_damaged_store_is_said(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    struct bw_store *store = fresh();
    struct bw_entry job = job_entry(arena, NULL, 1, BW_ENTRY_OPENED, "{\"title\":\"lines\"}");
    put_one(store, &job);
    for (long i = 2; i < 300; i++) {
        struct bw_entry note =
            job_entry(arena, job.id, i, BW_ENTRY_NOTE,
                      "{\"text\":\"a note of some length, so that there are pages\"}");
        put_one(store, &note);
    }
    bw_store_close(store);
    char path[100], junk[4096];
    (void)snprintf(path, sizeof path, "%s/jobs.db", folder);
    memset(junk, 0xa5, sizeof junk);
    FILE *file = fopen(path, "r+b");
    for (long page = 3; page < 40; page++) {
        assert_int_equal(fseek(file, page * 4096, SEEK_SET), 0);
        assert_int_equal(fwrite(junk, 1, sizeof junk, file), sizeof junk);
    }
    assert_int_equal(fclose(file), 0);
    bool told = !bw_store_open(folder, &store, &err);
    if (!told) {
        struct bw_entries set;
        told = !bw_store_get(store, job.id, arena, &set, &err);
        bw_store_close(store);
    }
    assert_true(told);
    assert_int_equal(err.code, BW_FAILED);
    assert_string_equal(err.what, "the store is damaged");
    bw_arena_free(arena);
}

static void a_folder_that_cannot_be_made_is_said(void **state) {
    (void)state;
    struct bw_err err = {0};
    struct bw_store *store;
    assert_false(bw_store_open("/proc/nothing/here", &store, &err));
    assert_int_equal(err.code, BW_IO);
    err = (struct bw_err){0};
    assert_false(bw_store_open("", &store, &err));
}

// What was erased stands in no file of the folder: not in free pages, not in the log, not in the
// index.
static void erased_bytes_are_nowhere(void **state) {
    (void)state;
    static const char SECRET[] = "Quillworth-Zabriskie";
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    char sha256[BW_SHA256_TEXT];
    uint64_t size;
    struct bw_store *store = fresh();
    struct bw_entry job = job_entry(arena, NULL, 1, BW_ENTRY_OPENED, "{\"title\":\"lines\"}");
    put_one(store, &job);
    struct job_bytes card = {.bytes = "card of Quillworth-Zabriskie", .length = 28};
    const struct bw_supply source = job_source(&card);
    assert_true(bw_store_attach(store, &source, sha256, &size, &err));
    struct bw_entry party[40];
    for (long i = 0; i < 40; i++) {
        party[i] = job_entry(arena, job.id, 2 + i, BW_ENTRY_PARTY,
                             bw_arena_format(arena,
                                             "{\"name\":\"Quillworth-Zabriskie %ld\",\"files\":"
                                             "[{\"name\":\"card\",\"sha256\":\"%s\"}]}",
                                             i, sha256));
        put_one(store, &party[i]);
    }
    assert_true(job_folder_holds(folder, SECRET));
    for (long i = 0; i < 40; i++) party[i] = job_erased(&party[i]);
    struct bw_entries gone = job_set(arena, party, 40);
    assert_true(bw_store_put(store, &gone, NULL, &err));
    assert_false(job_folder_holds(folder, SECRET));  // while it is open
    assert_false(job_folder_holds(folder, "quillworth"));
    assert_false(job_folder_holds(folder, "zabriskie"));
    bw_store_close(store);
    assert_false(job_folder_holds(folder, SECRET));
    bw_arena_free(arena);
}

static bool work_again(void *with) {
    struct bw_err err = {0};
    struct bw_store *store = NULL;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_entries set;
    struct bw_job_rows rows;
    const struct bw_job_query query = {.words = "lines"};
    bool done = arena != NULL && bw_store_open(folder, &store, &err) &&
                bw_store_put(store, with, NULL, &err) &&
                bw_store_get(store, ((struct bw_entries *)with)->items[0].job, arena, &set, &err) &&
                bw_store_list(store, &query, arena, &rows, &err) && rows.n == 1;
    if (!done && arena != NULL) assert_int_equal(err.code, BW_MEMORY);
    bw_store_close(store);
    bw_arena_free(arena);
    return done;
}

// Our own requests; SQLite has its own seam and its own tests.
static void memory_may_run_out_anywhere(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    new_folder();
    struct bw_entry job = job_entry(arena, NULL, 1, BW_ENTRY_OPENED, "{\"title\":\"lines\"}");
    struct bw_entries set = job_set(arena, &job, 1);
    assert_true(torture(work_again, &set) > 3);
    bw_arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_past_version_is_brought_up),
        cmocka_unit_test(a_newer_store_is_left_alone),
        cmocka_unit_test(what_is_no_store_is_said),
        cmocka_unit_test(a_damaged_store_is_said),
        cmocka_unit_test(a_folder_that_cannot_be_made_is_said),
        cmocka_unit_test(erased_bytes_are_nowhere),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    int failed = store_suite_run(&SQLITE);
    failed += cmocka_run_group_tests_name("sqlite", tests, NULL, NULL);
    remove_folder();
    return failed;
}
