// test_reason_knowledge.c - the knowledge carried in the program is whole, and safe.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/knowledge.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void what_is_carried_loads_without_an_error(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_complaints complaints = {.arena = arena};
    struct bw_knowledge knowledge;
    struct bw_err err = {0};
    bool loaded = bw_knowledge_load(arena, NULL, 0, &complaints, &knowledge, &err);
    for (size_t i = 0; i < complaints.n; i++)
        if (complaints.items[i].error)
            fail_msg("%s:%d: %s", complaints.items[i].file, complaints.items[i].line,
                     complaints.items[i].text);
    if (!loaded) fail_msg("%s:%d: %s: %s", err.file, err.line, err.field, err.what);
    assert_true(knowledge.causes >= 83 && knowledge.checks >= 100 && knowledge.remedies >= 50);
    for (size_t c = 0; c < knowledge.causes; c++) {
        double shown = 0, cured = 0;
        for (size_t k = 0; k < knowledge.checks; k++)
            shown += knowledge.link[k * knowledge.causes + c];
        for (size_t r = 0; r < knowledge.remedies; r++)
            cured += knowledge.cure[r * knowledge.causes + c];
        // Every cause can be seen by something and mended by something.
        if (!(shown > 0) || !(cured > 0)) fail_msg("%s", knowledge.cause[c].id);
    }
    assert_true(bw_cause_find(&knowledge, "no such cause") == SIZE_MAX);
    bw_arena_free(arena);
}

static void no_check_has_a_belt_running_behind_an_open_door(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_knowledge knowledge;
    struct bw_err err = {0};
    assert_true(bw_knowledge_load(arena, NULL, 0, NULL, &knowledge, &err));
    for (size_t k = 0; k < knowledge.checks; k++) {
        const struct bw_known_check *check = &knowledge.check[k];
        if (check->belts == BW_RUNNING && check->door == BW_DOOR_OPEN) fail_msg("%s", check->id);
    }
    for (size_t r = 0; r < knowledge.remedies; r++) {
        const struct bw_known_remedy *remedy = &knowledge.remedy[r];
        if (remedy->belts == BW_RUNNING && remedy->door == BW_DOOR_OPEN) fail_msg("%s", remedy->id);
    }
    bw_arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_carried_loads_without_an_error),
        cmocka_unit_test(no_check_has_a_belt_running_behind_an_open_door),
    };
    return cmocka_run_group_tests_name("reason knowledge", tests, NULL, NULL);
}
