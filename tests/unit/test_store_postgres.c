// test_store_postgres.c - the suite on a real server on loopback; skipped where there is none.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sync.h"
#include "support/jobs.h"
#include "support/store_suite.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include <cmocka.h>

static char folder[64], port[16], url[128];
static int databases;

static int server(const char *what, const char *more) {
    char command[400];
    int n = snprintf(command, sizeof command, "tests/store/server %s %s %s", what, folder, more);
    assert_true(n > 0 && (size_t)n < sizeof command);
    int status = system(command);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

// 0: runs, 77: not installed.
static int start(void) {
    char more[80];
    memcpy(folder, "/tmp/beltwright-pg-XXXXXX", sizeof "/tmp/beltwright-pg-XXXXXX");
    if (mkdtemp(folder) == NULL) return -1;
    (void)snprintf(more, sizeof more, "> %s.port", folder);
    int result = server("start", more);
    char path[80];
    (void)snprintf(path, sizeof path, "%s.port", folder);
    FILE *file = fopen(path, "r");
    bool read = file != NULL && fgets(port, sizeof port, file) != NULL;
    if (file != NULL) (void)fclose(file);
    (void)remove(path);
    port[strcspn(port, "\n")] = '\0';
    return result == 0 && !read ? -1 : result;
}

static struct bw_store *again(void) {
    struct bw_err err = {0};
    struct bw_store *store;
    if (!bw_store_open(url, &store, &err)) fail_msg("%s; %s", err.what, err.mend);
    return store;
}

static struct bw_store *fresh(void) {
    char name[24];
    (void)snprintf(name, sizeof name, "t%d", ++databases);
    assert_int_equal(server("new", name), 0);
    (void)snprintf(url, sizeof url, "postgresql://beltwright@127.0.0.1:%s/%s", port, name);
    return again();
}

static const struct store_kind POSTGRES = {
    .name = "store: postgres", .fresh = fresh, .again = again};

// A folder and a server, each with something the other lacks.
static void a_folder_and_a_server_are_brought_together(void **state) {
    (void)state;
    struct bw_err err = {0};
    struct bw_sync here, there;
    struct bw_store *folder_store;
    uint64_t seed = 77;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_store *server_store = fresh();
    const char *place = job_folder(arena);
    assert_true(bw_store_open(place, &folder_store, &err));
    for (int i = 0; i < 8; i++) {
        struct bw_entries set = job_random(arena, &seed, 20);
        struct bw_entries half = {.items = set.items, .n = set.n};
        assert_true(bw_store_put(i % 2 == 0 ? folder_store : server_store, &half, NULL, &err));
    }
    if (!bw_sync_pull(server_store, folder_store, &here, &err)) fail_msg("%s", err.what);
    if (!bw_sync_pull(folder_store, server_store, &there, &err)) fail_msg("%s", err.what);
    assert_true(here.jobs == 4 && there.jobs == 4);
    struct bw_ids one, two;
    assert_true(bw_store_ids(folder_store, arena, &one, &err));
    assert_true(bw_store_ids(server_store, arena, &two, &err));
    assert_int_equal(one.n, two.n);
    for (size_t i = 0; i < one.n; i++) {
        assert_string_equal(one.items[i].id, two.items[i].id);
        assert_int_equal(one.items[i].erased, two.items[i].erased);
    }
    assert_true(bw_sync_pull(server_store, folder_store, &here, &err));
    assert_int_equal(here.entries, 0);
    bw_store_close(folder_store);
    bw_store_close(server_store);
    job_folder_remove(place);
    bw_arena_free(arena);
}

static void a_server_that_is_not_there_is_said(void **state) {
    (void)state;
    struct bw_err err = {0};
    struct bw_store *store;
    assert_false(bw_store_open("postgresql://beltwright@127.0.0.1:1/none", &store, &err));
    assert_int_equal(err.code, BW_IO);
    assert_non_null(strstr(err.what, "cannot be reached"));
}

static void skipped(void **state) {
    (void)state;
    skip();
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_folder_and_a_server_are_brought_together),
        cmocka_unit_test(a_server_that_is_not_there_is_said),
    };
    const struct CMUnitTest none[] = {cmocka_unit_test(skipped)};
    int started = start();
    if (started == 77) return cmocka_run_group_tests_name("postgres", none, NULL, NULL);
    if (started != 0) {
        (void)fprintf(stderr, "the server did not start; see %s.log\n", folder);
        return 1;
    }
    int failed = store_suite_run(&POSTGRES);
    failed += cmocka_run_group_tests_name("postgres", tests, NULL, NULL);
    (void)server("stop", "");
    return failed;
}
