// test_reason_hear.c - sentences as callers say them, and what they must be heard as.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "reason/hear.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static struct bw_arena *arena;
static struct bw_knowledge knowledge;
static struct bw_network network;

static int setup(void **unused) {
    struct bw_err err = {0};
    struct bw_features none = bw_features_none();
    const struct bw_network_from from = {&knowledge, &none, NULL};
    (void)unused;
    arena = bw_arena_new(0);
    return arena == NULL || !bw_knowledge_load(arena, NULL, 0, NULL, &knowledge, &err) ||
           !bw_network_make(&from, arena, &network, &err);
}
static int teardown(void **unused) {
    (void)unused;
    bw_arena_free(arena);
    return 0;
}

// "chatter -burn ?burn": heard yes, heard no, heard but unclear; in the order of the knowledge.
static const char *heard_as(const char *text) {
    struct bw_hearing heard;
    struct bw_err err = {0};
    const char *out = "";
    assert_true(bw_hear(&network, text, arena, &heard, &err));
    for (size_t i = 0; i < heard.n; i++) {
        const struct bw_heard *one = &heard.items[i];
        out = bw_arena_format(arena, "%s%s%s%s", out, out[0] == '\0' ? "" : " ",
                              !one->yes      ? "-"
                              : one->unclear ? "?"
                                             : "",
                              knowledge.check[one->check].id);
    }
    return out;
}

static void sentences_are_understood(void **unused) {
    (void)unused;
    static const struct {
        const char *says, *heard;
    } ROWS[] = {
        {"There are chatter marks on my panels", "chatter"},
        {"Washboard across the board, about 10 mm apart", "chatter"},
        {"bars across the grain", "chatter"},
        {"raised lines on the panels, worse in winter", "line_raised dry_season line_along"},
        {"one side of the panel is thinner than the other", "taper"},
        {"panels are not coming out the right thickness", "off_size"},
        {"the sanding belt tracks to one side and trips the machine", "mistrack"},
        {"The belt keeps breaking at the splice", "joint_fails"},
        {"the oscillation stopped working", "-belt_swing mistrack"},
        {"pine resin on the belt", "load_sticky loading"},
        {"we changed the head last week and now we get taper", "after_repair head_changed taper"},
        {"skipped from 80 to 180 grit and we see scratches", "grit_gap prev_grit"},
        {"scratches", "?stray_scratch ?prev_grit"},
        {"no burning, but lines along the panel", "line_along -burn"},
        {"not burning any more but loading up", "-burn loading"},
        {"conveyor belt runs off to the left", "conv_off"},
        {"chater and riples", "chatter"},  // a slip in a long word
        {"everything is fine", ""},
        {"", ""},
        {"line", "line_along"},
        {"a dead straight line", "-line_snakes line_along"},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++)
        if (strcmp(heard_as(ROWS[i].says), ROWS[i].heard) != 0)
            print_message("\"%s\" is heard as %s\n", ROWS[i].says, heard_as(ROWS[i].says));
    for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++)
        assert_string_equal(heard_as(ROWS[i].says), ROWS[i].heard);
}

static void long_and_odd_texts_are_survived(void **unused) {
    (void)unused;
    char text[4000];
    for (size_t i = 0; i + 1 < sizeof text; i++) text[i] = i % 7 == 6 ? ' ' : 'x';
    text[sizeof text - 1] = '\0';
    assert_string_equal(heard_as(text), "");
    assert_string_equal(heard_as("\xff\xfe ... ''' \xe2\x80\xa6 chatter"), "chatter");
}

static void phrases_of_common_words_are_known(void **unused) {
    (void)unused;
    assert_true(bw_hear_is_common("the panels"));
    assert_true(bw_hear_is_common("it is"));
    assert_false(bw_hear_is_common("panels slip"));
}

static void without_memory_it_says_so(void **unused) {
    (void)unused;
    bool done = false;
    for (unsigned long n = 1; !done; n++) {
        struct bw_arena *own = bw_arena_new(0);
        struct bw_hearing heard;
        struct bw_err err = {0};
        bw_alloc_fail_at(n);
        done = own != NULL && bw_hear(&network, "chatter", own, &heard, &err);
        bw_alloc_fail_at(0);
        if (!done) assert_int_equal(err.code, BW_MEMORY);
        bw_arena_free(own);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sentences_are_understood),
        cmocka_unit_test(long_and_odd_texts_are_survived),
        cmocka_unit_test(phrases_of_common_words_are_known),
        cmocka_unit_test(without_memory_it_says_so),
    };
    return cmocka_run_group_tests_name("reason hear", tests, setup, teardown);
}
