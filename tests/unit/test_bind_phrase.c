// test_bind_phrase.c - one line of words into the keys it stands for.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/bind.h"
#include "support/rich.h"
#include "support/torture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

struct words {
    const char *a, *b;
};
static const struct bw_field WORD_FIELDS[] = {
    {BW_AT(struct words, a), .kind = BW_TEXT, .lead = "fed", .help = "one word leads"},
    {BW_AT(struct words, b), .kind = BW_TEXT, .lead = "fed by", .help = "two words lead"},
    BW_END_FIELDS,
};
static const struct bw_record WORDS = {
    .name = "words", .help = "leads only", .fields = WORD_FIELDS, .size = sizeof(struct words)};

// The same the other way round: the longer lead must win wherever it stands.
static const struct bw_field SWAPPED_FIELDS[] = {
    {BW_AT(struct words, b), .kind = BW_TEXT, .lead = "fed by", .help = "two words lead"},
    {BW_AT(struct words, a), .kind = BW_TEXT, .lead = "fed", .help = "one word leads"},
    BW_END_FIELDS,
};
static const struct bw_record SWAPPED = {.name = "swapped",
                                         .help = "leads only",
                                         .fields = SWAPPED_FIELDS,
                                         .size = sizeof(struct words)};

// The map as "key=<value> key=<value>"; ~ where nothing is given, quotes where it was quoted.
static const char *shown(const struct bw_node *map) {
    static char text[2000];
    size_t used = 0;
    text[0] = '\0';
    assert_int_equal(map->kind, BW_NODE_MAP);
    for (const struct bw_node *node = map->child; node != NULL; node = node->next) {
        const char *quote = node->quoted ? "\"" : "";
        used += (size_t)snprintf(text + used, sizeof text - used, "%s%s=<%s%s%s>",
                                 used > 0 ? " " : "", node->key, quote,
                                 node->kind == BW_NODE_NULL ? "~" : node->text, quote);
        if (node->kind == BW_NODE_TEXT) assert_int_equal(strlen(node->text), node->length);
    }
    return text;
}

static void check_split(const struct bw_record *record, const char *phrase, const char *expected) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *map = NULL;
    struct bw_err err = {0};
    if (!bw_group_read(arena, record, phrase, strlen(phrase), &map, &err))
        fail_msg("%s: %s", phrase, err.what);
    assert_string_equal(shown(map), expected);
    bw_arena_free(arena);
}

static void phrases_are_split_at_their_leads(void **state) {
    (void)state;
    const struct {
        const char *phrase, *shown;
    } cases[] = {
        {"14.6 mm", "pitch=<14.6 mm>"},
        {"14.6 mm at 24 ft/min", "pitch=<14.6 mm> feed=<24 ft/min>"},
        {"14.6 mm ± 0.2 by rule at 24 ft/min by timed 3 m is splice",
         "pitch=<14.6 mm ± 0.2 by rule> feed=<24 ft/min by timed 3 m> is=<splice>"},
        {"  14.6 mm   is   top roll   AT 3 m/min  ",
         "pitch=<14.6 mm> is=<top roll> feed=<3 m/min>"},
        {"14.6 mm, at 24 ft/min, is splice", "pitch=<14.6 mm> feed=<24 ft/min> is=<splice>"},
        {"7 5/8\" at 24 ft/min", "pitch=<7 5/8\"> feed=<24 ft/min>"},
        {"1/16 \" at 24 ft/min", "pitch=<1/16 \"> feed=<24 ft/min>"},
        {"5' 3\" at 3 m/min", "pitch=<5' 3\"> feed=<3 m/min>"},
        {"14.6\xC2\xA0mm\xE2\x80\xAF"
         "at\xE2\x80\x89"
         "24 ft/min",
         "pitch=<14.6\xC2\xA0mm> feed=<24 ft/min>"},
        {"1 mm note \"is at the edge\" at 3 m/min",
         "pitch=<1 mm> note=<\"is at the edge\"> feed=<3 m/min>"},
        {"1 mm note \"\"", "pitch=<1 mm> note=<\"\">"},
        {"1 mm note x=3", "pitch=<1 mm> note=<x=3>"},
        {"at 3 m/min", "feed=<3 m/min>"},
        {"14 mm attic 3", "pitch=<14 mm attic 3>"},
        {"14 mm flat 3", "pitch=<14 mm flat 3>"},
        {"", ""},
        {"   ", ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        check_split(&rich_mark_record, cases[i].phrase, cases[i].shown);
    check_split(&WORDS, "fed by hand", "b=<hand>");
    check_split(&SWAPPED, "fed by hand fed slowly", "b=<hand> a=<slowly>");
    check_split(&WORDS, "Fed  By hand fed slowly", "b=<hand> a=<slowly>");
    check_split(&WORDS, "fed bypass", "a=<bypass>");
}

static void groups_are_split_at_their_commas(void **state) {
    (void)state;
    const struct {
        const char *group, *shown;
    } cases[] = {
        {"pitch=14 mm", "pitch=<14 mm>"},
        {" Pitch = 14 mm , feed= 24 ft/min,is =splice ",
         "Pitch=<14 mm> feed=<24 ft/min> is=<splice>"},
        {"note=\"a, b = c\",pitch=7 5/8\"", "note=<\"a, b = c\"> pitch=<7 5/8\">"},
        {"note=a=b,pitch=1 mm", "note=<a=b> pitch=<1 mm>"},
        {"note=,pitch=1 mm", "note=<~> pitch=<1 mm>"},
        {"pitch=1 mm,", "pitch=<1 mm>"},
        {"note=\"\"", "note=<\"\">"},
        {"plce=LF", "plce=<LF>"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        check_split(&rich_mark_record, cases[i].group, cases[i].shown);
}

static void bad_phrases_are_refused(void **state) {
    (void)state;
    const struct {
        const struct bw_record *record;
        const char *phrase, *what, *mend;
    } cases[] = {
        {&rich_mark_record, "1 mm at", "nothing stands after \"at\"",
         "after \"at\" write feed when"},
        {&rich_mark_record, "1 mm at is splice", "nothing stands after \"at\"", "write feed"},
        {&rich_mark_record, "1 mm at 3 m/min at 4 m/min", "\"at\" is said twice", "say it once"},
        {&rich_mark_record, "1 mm note \"open", "a quoted text is not closed", "close it"},
        {&rich_mark_record, "1 mm note \"a\" b", "something follows a quoted text",
         "put the whole value"},
        {&rich_mark_record, "\"1 mm\"x", "something follows a quoted text", "put the whole value"},
        {&rich_mark_record, "note=\"open", "a quoted text is not closed", "close it"},
        {&rich_mark_record, "note=\"a\" b", "something follows a quoted text",
         "put the whole value"},
        {&rich_mark_record, "pitch=18,02 mm", "has a part without a key", "put \" round a value"},
        {&rich_mark_record, "pitch=1 mm,=3", "has a part without a key", "key=value"},
        {&rich_mark_record, "pitch=1 mm,,feed=3", "has a part without a key", "key=value"},
        {&rich_mark_record, "pitch=1 mm,pitch=2 mm", "\"pitch\" is said twice", "say it once"},
        {&WORDS, "hand fed", "begins with no known word", "begin with one of: fed, fed by"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_node *map = NULL;
        struct bw_err err = {0};
        assert_false(bw_group_read(arena, cases[i].record, cases[i].phrase, strlen(cases[i].phrase),
                                   &map, &err));
        assert_null(map);
        assert_int_equal(err.code, BW_INPUT);
        if (strstr(err.what, cases[i].what) == NULL || strstr(err.mend, cases[i].mend) == NULL)
            fail_msg("%s: %s [%s]", cases[i].phrase, err.what, err.mend);
        bw_arena_free(arena);
    }
}

static void phrases_have_a_length(void **state) {
    (void)state;
    char text[BW_MAX_PHRASE + 2];
    memset(text, '1', sizeof text);
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *map = NULL;
    struct bw_err err = {0};
    assert_true(bw_phrase_read(arena, &rich_mark_record, text, BW_MAX_PHRASE, &map, &err));
    assert_false(bw_phrase_read(arena, &rich_mark_record, text, BW_MAX_PHRASE + 1, &map, &err));
    assert_int_equal(err.code, BW_LIMIT);
    bw_arena_free(arena);
}

static void a_phrase_need_not_end_in_nul(void **state) {
    (void)state;
    const char *const whole[] = {"1 mm at 3 m/min note \"a b\" is", "note=\"a,b\",pitch=1 mm"};
    for (size_t i = 0; i < sizeof whole / sizeof *whole; i++)
        for (size_t length = 0; length <= strlen(whole[i]); length++) {
            struct bw_arena *arena = bw_arena_new(0);
            char *copy = test_malloc(length + 1);  // so that a sanitizer sees one byte too far
            struct bw_node *map = NULL;
            struct bw_err err = {0};
            memcpy(copy + 1, whole[i], length);
            bool read = bw_group_read(arena, &rich_mark_record, copy + 1, length, &map, &err);
            assert_true(read == (err.code == BW_OK));
            test_free(copy);
            bw_arena_free(arena);
        }
}

static bool read_short_of_memory(void *with) {
    const char *text = with;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *map = NULL;
    struct bw_err err = {0};
    if (arena == NULL) return false;
    bool done = bw_group_read(arena, &rich_mark_record, text, strlen(text), &map, &err);
    if (!done) assert_int_equal(err.code, BW_MEMORY);
    bw_arena_free(arena);
    return done;
}

static void memory_may_run_out(void **state) {
    (void)state;
    assert_true(torture(read_short_of_memory, (void *)(uintptr_t) "1 mm at 3 m/min") > 0);
    const char *const texts[] = {"1 mm at 3 m/min note \"\"", "pitch=1 mm,note="};
    for (size_t i = 0; i < 2; i++) {
        bool done = false;
        for (size_t max = 1; !done; max++) {
            struct bw_arena *arena = bw_arena_new(max);
            struct bw_node *map = NULL;
            struct bw_err err = {0};
            done = bw_group_read(arena, &rich_mark_record, texts[i], strlen(texts[i]), &map, &err);
            if (!done) assert_int_equal(err.code, BW_MEMORY);
            bw_arena_free(arena);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(phrases_are_split_at_their_leads),
        cmocka_unit_test(groups_are_split_at_their_commas),
        cmocka_unit_test(bad_phrases_are_refused),
        cmocka_unit_test(phrases_have_a_length),
        cmocka_unit_test(a_phrase_need_not_end_in_nul),
        cmocka_unit_test(memory_may_run_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
