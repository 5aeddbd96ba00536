// test_records.c - what every record of every study owes: a clean table, out and back, faults told.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A new study is checked here without a line of its own. The machine file is checked as part of the
// inputs that name it.
#include "base/alloc.h"
#include "base/bind.h"
#include "base/emit.h"
#include "study/study.h"
#include "support/faults.h"
#include "support/random_record.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

static void for_every_record(void (*check)(const char *study, const struct bw_record *record)) {
    assert_non_null(bw_studies()[0]);
    for (const struct bw_study *const *study = bw_studies(); *study != NULL; study++) {
        check((*study)->name, (*study)->in);
        check((*study)->name, (*study)->out);
    }
}

static void check_table(const char *study, const struct bw_record *record) {
    struct bw_err err = {0};
    if (!bw_record_lint(record, &err))
        fail_msg("%s, %s: %s: %s", study, record->name, err.field, err.what);
}

static void tables_are_clean(void **state) {
    (void)state;
    for_every_record(check_table);
}

static void check_return(const char *study, const struct bw_record *record) {
    for (uint64_t seed = 1; seed <= 40; seed++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct random_how how = {
            .arena = arena, .state = seed, .given = (double)(seed % 11) / 10, .items = 3};
        void *before = bw_arena_get(arena, record->size),
             *after = bw_arena_get(arena, record->size);
        assert_true(before != NULL && after != NULL && random_record(&how, record, before));
        struct bw_buffer buffer = {0};
        struct bw_json json = bw_json_begin(&buffer);
        bw_emit_record(&json, record, before, NULL);
        struct bw_node *root = NULL;
        struct bw_err err = {0};
        char path[160] = "";
        const struct bw_binding binding = {.arena = arena, .load = random_load};
        assert_false(buffer.failed);
        if (!bw_json_read(arena, NULL, buffer.data, buffer.length, &root, &err) ||
            !bw_bind(&binding, root, record, after, &err))
            fail_msg("%s, %s: %s: %s", study, record->name, err.field, err.what);
        if (!same_record(record, before, after, path))
            fail_msg("%s, %s: %s differs", study, record->name, path);
        bw_buffer_free(&buffer);
        bw_arena_free(arena);
    }
}

static void records_come_back_equal(void **state) {
    (void)state;
    for_every_record(check_return);
}

static void check_faults(const char *study, const struct bw_record *record) {
    struct faults_report report;
    if (!faults_check(record, 1, 40, &report))
        fail_msg("%s, %s: %s", study, record->name, report.failed);
    if (report.reached < report.fields)
        fail_msg("%s, %s: %s got no fault", study, record->name, report.unreached);
    print_message("%s, %s: %zu faults in %zu fields\n", study, record->name, report.made,
                  report.fields);
}

static void faults_are_told(void **state) {
    (void)state;
    for_every_record(check_faults);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tables_are_clean),
        cmocka_unit_test(records_come_back_equal),
        cmocka_unit_test(faults_are_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
