// test_store_power.c - nothing confirmed is lost: killed writers, lost power, a full disk.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// BELTWRIGHT_KILLS sets how many times two writers are killed (without it 100; 20 where a sanitizer
// makes every start slow).
#include "base/number.h"
#include "store/store.h"
#include "support/jobs.h"
#include "support/torn.h"

#include <setjmp.h>
#include <signal.h>
#include <sqlite3.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

static struct bw_store *open_store(const char *folder) {
    struct bw_err err = {0};
    struct bw_store *store;
    if (!bw_store_open(folder, &store, &err)) fail_msg("%s", err.what);
    return store;
}

static bool write_one(struct bw_store *store, struct bw_arena *arena, const char *job, long number,
                      struct bw_entry *out, struct bw_err *err) {
    char body[300];
    (void)snprintf(body, sizeof body, "{\"%s\":\"number %ld %0200ld\"}",
                   job == NULL ? "title" : "text", number, number);
    const struct bw_draft draft = {.job = job,
                                   .time_ms = 1700000000000 + number,
                                   .kind = job == NULL ? BW_ENTRY_OPENED : BW_ENTRY_NOTE,
                                   .body = body};
    return bw_store_write(store, arena, &draft, out, err);
}

#ifdef __SANITIZE_ADDRESS__
#define USUAL_KILLS 20
#define STRIDE 9  // between the writes at which the power goes
#else
#define USUAL_KILLS 100
#define STRIDE 3
#endif

// ---- killed -------------------------------------------------------------------------------------

struct confirmed {
    char id[BW_ID_TEXT], job[BW_ID_TEXT];
};

// Writes until it is killed, and tells each entry that the store has confirmed.
static void write_for_ever(const char *folder, int to, long first) {
    struct bw_err err = {0};
    struct bw_store *store;
    char job[BW_ID_TEXT] = "";
    if (!bw_store_open(folder, &store, &err)) _exit(3);
    for (long i = 0;; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_entry entry;
        struct confirmed told;
        if (!write_one(store, arena, i == 0 ? NULL : job, first + i, &entry, &err)) _exit(4);
        memcpy(job, entry.job, BW_ID_TEXT);
        memcpy(told.id, entry.id, BW_ID_TEXT);
        memcpy(told.job, entry.job, BW_ID_TEXT);
        if (write(to, &told, sizeof told) != (ssize_t)sizeof told) _exit(5);
        bw_arena_free(arena);
    }
}

static pid_t start_writer(const char *folder, int pipe_ends[2], long first) {
    assert_int_equal(pipe(pipe_ends), 0);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        (void)close(pipe_ends[0]);
        write_for_ever(folder, pipe_ends[1], first);
    }
    (void)close(pipe_ends[1]);
    return child;
}

#define MOST_TOLD 20000

// What a writer has told so far.
struct told {
    struct confirmed items[MOST_TOLD];
    size_t n;
};

// Reads up to `most` more; fewer only when the writer is dead.
static void hear(struct told *told, int from, size_t most) {
    while (most-- > 0 && told->n < MOST_TOLD &&
           read(from, &told->items[told->n], sizeof told->items[0]) ==
               (ssize_t)sizeof told->items[0])
        told->n++;
}

// All that was confirmed is there, and what is there has the id that its bytes give.
static void check_confirmed(struct bw_store *store, const struct told *told) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    struct bw_entries set = {0};
    for (size_t i = 0; i < told->n; i++) {
        char id[BW_ID_TEXT];
        if (i == 0) assert_true(bw_store_get(store, told->items[0].job, arena, &set, &err));
        const struct bw_entry *entry = bw_entries_find(&set, told->items[i].id);
        assert_non_null(entry);
        bw_entry_id(entry->line, entry->length, entry->time_ms, id);
        assert_string_equal(id, told->items[i].id);
    }
    bw_arena_free(arena);
}

static void integrity(const char *folder) {
    char path[200];
    sqlite3 *db;
    sqlite3_stmt *statement;
    (void)snprintf(path, sizeof path, "%s/jobs.db", folder);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db, "PRAGMA integrity_check", -1, &statement, NULL),
                     SQLITE_OK);
    assert_int_equal(sqlite3_step(statement), SQLITE_ROW);
    assert_string_equal((const char *)sqlite3_column_text(statement, 0), "ok");
    (void)sqlite3_finalize(statement);
    (void)sqlite3_close(db);
}

// Every entry there belongs to a whole job, and the derived list agrees with one made anew.
static void whole(struct bw_store *store) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    struct bw_job_rows before, after;
    const struct bw_job_query all = {.most = 0};
    assert_true(bw_store_list(store, &all, arena, &before, &err));
    for (size_t i = 0; i < before.n; i++) {
        struct bw_entries set;
        assert_true(bw_store_get(store, before.items[i].job, arena, &set, &err));
        assert_true(bw_entries_check_job(&set, &err));
        assert_int_equal(set.n, before.items[i].entries);
    }
    assert_true(bw_store_rebuild(store, &err));
    assert_true(bw_store_list(store, &all, arena, &after, &err));
    assert_int_equal(before.n, after.n);
    for (size_t i = 0; i < before.n; i++)
        assert_int_equal(before.items[i].entries, after.items[i].entries);
    bw_arena_free(arena);
}

static void killed_writers_lose_nothing(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const char *folder = job_folder(arena), *set = getenv("BELTWRIGHT_KILLS");
    struct bw_err ignored = {0};
    long kills = USUAL_KILLS;
    if (set != NULL) assert_true(bw_count(set, strlen(set), 1, 100000, &kills, &ignored));
    uint64_t seed = 20261;
    size_t confirmed = 0;
    static struct told told[2];
    bw_store_close(open_store(folder));
    for (long i = 0; i < kills; i++) {
        int one[2], two[2];
        pid_t first = start_writer(folder, one, 100000 * i),
              second = start_writer(folder, two, 100000 * i + 50000);
        // A random moment: after some confirmed entries of the first, and a little later.
        const struct timespec pause = {.tv_nsec = (long)(job_dice(&seed) % 3000000)};
        told[0].n = told[1].n = 0;
        hear(&told[0], one[0], job_dice(&seed) % 8);
        (void)nanosleep(&pause, NULL);
        (void)kill(first, SIGKILL);
        (void)kill(second, SIGKILL);
        for (int k = 0; k < 2; k++) {
            int status;
            assert_int_equal(waitpid(k == 0 ? first : second, &status, 0), k == 0 ? first : second);
            assert_true(WIFSIGNALED(status));  // it did not stop by itself
        }
        struct bw_store *store = open_store(folder);
        for (int k = 0; k < 2; k++) {
            hear(&told[k], k == 0 ? one[0] : two[0], MOST_TOLD);
            (void)close(k == 0 ? one[0] : two[0]);
            check_confirmed(store, &told[k]);
            confirmed += told[k].n;
        }
        if (i % 50 == 49 || i == kills - 1) whole(store);
        bw_store_close(store);
    }
    integrity(folder);
    printf("# %ld times two writers killed, %zu entries confirmed, none lost\n", kills, confirmed);
    assert_true(confirmed > (size_t)kills);
    job_folder_remove(folder);
    bw_arena_free(arena);
}

// ---- power --------------------------------------------------------------------------------------

#define ENTRIES 12

// Writes until the fault; returns how many were confirmed.
static int write_until(const char *folder, struct bw_arena *arena, struct bw_entry *entries,
                       struct bw_err *err) {
    struct bw_store *store;
    int n = 0;
    if (!bw_store_open(folder, &store, err)) return 0;
    while (n < ENTRIES &&
           write_one(store, arena, n == 0 ? NULL : entries[0].job, n, &entries[n], err))
        n++;
    bw_store_close(store);
    return n;
}

static void check_entries(struct bw_store *store, struct bw_arena *arena,
                          const struct bw_entry *entries, int n) {
    struct bw_err err = {0};
    struct bw_entries set;
    if (n == 0) return;
    if (!bw_store_get(store, entries[0].job, arena, &set, &err)) fail_msg("%s", err.what);
    for (int i = 0; i < n; i++) {
        const struct bw_entry *entry = bw_entries_find(&set, entries[i].id);
        assert_non_null(entry);
        assert_string_equal(entry->line, entries[i].line);
    }
    assert_true(bw_entries_check_job(&set, &err));
}

// The power goes at any write of a store's life, its making included.
static void lost_power_loses_nothing_confirmed(void **state) {
    (void)state;
    uint64_t seed = 5150;
    int confirmed = 0, losses = 0;
    for (long at = 1; at < 400; at += 1 + (long)(job_dice(&seed) % STRIDE)) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_err err = {0};
        struct bw_entry entries[ENTRIES];
        const char *folder = job_folder(arena);
        torn_begin(at, TORN_POWER);
        int n = write_until(folder, arena, entries, &err);
        losses += torn_happened();
        torn_lose_power(&seed);
        struct bw_store *store = open_store(folder);
        check_entries(store, arena, entries, n);
        whole(store);
        bw_store_close(store);
        integrity(folder);
        confirmed += n;
        job_folder_remove(folder);
        bw_arena_free(arena);
    }
    printf("# power lost %d times, %d entries confirmed before, none lost\n", losses, confirmed);
    assert_true(losses > 20 && confirmed > 40);
}

static void a_fault_is_told(enum torn_fault fault, const char *what) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    struct bw_entry entries[ENTRIES], more;
    const char *folder = job_folder(arena);
    torn_begin(0, fault);
    struct bw_store *store = open_store(folder);
    int n = 0;
    for (; n < 4; n++)
        assert_true(write_one(store, arena, n == 0 ? NULL : entries[0].job, n, &entries[n], &err));
    torn_begin(2, fault);
    assert_false(write_one(store, arena, entries[0].job, n, &more, &err));
    assert_int_equal(err.code, BW_IO);
    assert_string_equal(err.what, what);
    assert_true(err.mend[0] != '\0');
    check_entries(store, arena, entries, n);  // what was there can still be read
    torn_begin(0, fault);                     // room again
    err = (struct bw_err){0};
    assert_true(write_one(store, arena, entries[0].job, n, &entries[n], &err));
    check_entries(store, arena, entries, n + 1);
    bw_store_close(store);
    integrity(folder);
    torn_begin(0, fault);
    job_folder_remove(folder);
    bw_arena_free(arena);
}

static void a_full_disk_is_told_and_nothing_is_lost(void **state) {
    (void)state;
    a_fault_is_told(TORN_FULL, "the disk is full");
}

static void a_store_that_may_not_be_written_is_told(void **state) {
    (void)state;
    a_fault_is_told(TORN_READ_ONLY, "the store may not be written");
}

static int install(void **state) {
    (void)state;
    torn_install();
    return 0;
}

int main(void) {
    const struct CMUnitTest killed[] = {cmocka_unit_test(killed_writers_lose_nothing)};
    const struct CMUnitTest power[] = {
        cmocka_unit_test(lost_power_loses_nothing_confirmed),
        cmocka_unit_test(a_full_disk_is_told_and_nothing_is_lost),
        cmocka_unit_test(a_store_that_may_not_be_written_is_told),
    };
    int failed = cmocka_run_group_tests_name("store: killed", killed, NULL, NULL);
    return failed + cmocka_run_group_tests_name("store: power", power, install, NULL);
}
