// test_field.c - what fields say of themselves, and what the lint finds in bad tables.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/field.h"
#include "support/rich.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

static const struct bw_choice TWO[] = {{"one", NULL}, {"two words", NULL}, {NULL, NULL}};
static const struct bw_way WAYS[] = {
    {"rule", NULL, 0.01, 0, 0}, {"card", NULL, 0.02, 0, 0}, {NULL, NULL, 0, 0, 0}};

static void keys_are_the_same_however_written(void **state) {
    (void)state;
    assert_true(bw_key_same("belt_speed", "Belt speed"));
    assert_true(bw_key_same("belt-speed", "BELT_SPEED"));
    assert_false(bw_key_same("belt_speed", "beltspeed"));
    assert_false(bw_key_same("belt", "belts"));
    assert_false(bw_key_same("belts", "belt"));
    assert_true(bw_key_same("", ""));
}

static void fields_are_found_by_any_spelling(void **state) {
    (void)state;
    assert_string_equal(bw_field_find(&rich_record, "AT-LEAST")->name, "at_least");
    assert_null(bw_field_find(&rich_record, "at_leas"));
    assert_null(bw_field_find(&rich_record, ""));
}

static void clear_gives_a_record_of_nothing(void **state) {
    (void)state;
    struct rich rich;
    memset(&rich, 0x5A, sizeof rich);
    bw_record_clear(&rich_record, &rich);
    assert_false(bw_known(rich.length));
    assert_int_equal(rich.length.way, -1);
    assert_true(rich.heads == BW_NO_COUNT);
    assert_int_equal(rich.backing, BW_NO_CHOICE);
    assert_null(rich.name);
    assert_null(rich.rolls.name);
    assert_null(rich.roll);
    assert_int_equal(rich.marks.n, 0);
    assert_int_equal(rich.element.which, -1);
}

static void takes_says_what_may_be_written(void **state) {
    (void)state;
    const struct {
        struct bw_field field;
        enum bw_units units;
        const char *text;
    } cases[] = {
        {{.kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.3, .max = 20},
         BW_UNITS_SI,
         "a length, 300 to 20000 mm"},
        {{.kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.0254, .max = 0.254},
         BW_UNITS_US,
         "a length, 1 to 10 in"},
        {{.kind = BW_QUANTITY, .dim = BW_DIM_SHORE, .min = 5, .max = 100},
         BW_UNITS_SI,
         "a Shore A hardness, 5 to 100 Shore A"},
        {{.kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 1, .max = 2},
         BW_UNITS_SI,
         "a plain number, 1 to 2"},
        {{.kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0, .max = 1},
         BW_UNITS_SI,
         "a ratio or percentage, 0 to 100 %"},
        {{.kind = BW_QUANTITY, .dim = BW_DIM_TIME, .max = INFINITY},
         BW_UNITS_SI,
         "a time, at least 0 s"},
        {{.kind = BW_QUANTITY, .dim = BW_DIM_TIME, .min = -INFINITY, .max = 5},
         BW_UNITS_SI,
         "a time, at most 5 s"},
        {{.kind = BW_QUANTITY, .dim = BW_DIM_FEED, .of = WAYS},
         BW_UNITS_SI,
         "a feed speed; by: rule, card"},
        {{.kind = BW_COUNT, .min = 1, .max = 12}, BW_UNITS_SI, "a whole number, 1 to 12"},
        {{.kind = BW_COUNT}, BW_UNITS_SI, "a whole number"},
        {{.kind = BW_COUNT, .min = -INFINITY, .max = 3}, BW_UNITS_SI, "a whole number, at most 3"},
        {{.kind = BW_COUNT, .min = 3, .max = INFINITY}, BW_UNITS_SI, "a whole number, at least 3"},
        {{.kind = BW_CHOICE, .of = TWO}, BW_UNITS_SI, "one of: one, two words"},
        {{.kind = BW_TEXT}, BW_UNITS_SI, "a text"},
        {{.kind = BW_FILE, .of = &rich_roll_file}, BW_UNITS_SI, "the name of a roll file"},
        {{.kind = BW_RECORD, .of = &rich_mark_record},
         BW_UNITS_SI,
         "a group of keys: pitch, feed, is, note"},
        {{.kind = BW_LIST, .of = &rich_mark_record},
         BW_UNITS_SI,
         "a list, each item with keys: pitch, feed, is, note"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[200];
        bw_field_takes(&cases[i].field, cases[i].units, text, sizeof text);
        assert_string_equal(text, cases[i].text);
    }
    char text[200], cut[12];
    bw_field_takes(bw_field_find(&rich_record, "element"), BW_UNITS_SI, text, sizeof text);
    assert_string_equal(text, "one of these with its keys: elbow, fan");
    bw_field_takes(&cases[0].field, BW_UNITS_SI, cut, sizeof cut);
    assert_string_equal(cut, "a length, 3");
    bw_field_limits(&cases[0].field, BW_UNITS_SI, text, sizeof text);
    assert_string_equal(text, "300 to 20000 mm");
    bw_field_limits(&cases[9].field, BW_UNITS_SI, text, sizeof text);
    assert_string_equal(text, "");
}

static void lists_have_a_most(void **state) {
    (void)state;
    assert_int_equal(bw_field_count_max(bw_field_find(&rich_record, "marks")), 3);
    assert_int_equal(bw_field_count_max(bw_field_find(&rich_record, "spares")), 1000);
    assert_true(bw_record_has_leads(&rich_mark_record));
    assert_false(bw_record_has_leads(&rich_record));
}

// ---- the lint ----

struct bad {
    struct bw_quantity q, r;
    int a, b;
    const char *t;
    struct bw_list l;
};

static const struct bw_choice NO_YES[] = {{"no", NULL}, {"yes", NULL}, {NULL, NULL}};

// Lints a record of these fields; the error's words, or "" when it is clean.
static const char *lint(const struct bw_field *fields) {
    static struct bw_err err;
    err = (struct bw_err){0};
    const struct bw_record record = {.name = "bad",
                                     .help = "a table with a fault",
                                     .fields = fields,
                                     .size = sizeof(struct bad)};
    if (bw_record_lint(&record, &err)) return "";
    assert_int_equal(err.code, BW_FAILED);
    return err.what;
}

// Each bad field is a good one with one thing overridden.
#pragma GCC diagnostic ignored "-Woverride-init"
#define ONE(...) ((const struct bw_field[]){{__VA_ARGS__}, BW_END_FIELDS})
#define PAIR(one, two) ((const struct bw_field[]){one, two, BW_END_FIELDS})
#define LENGTH(m)                                                                                  \
    BW_AT(struct bad, m), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .help = "a length"
#define WORD(m) BW_AT(struct bad, m), .kind = BW_CHOICE, .of = TWO, .help = "a choice"
#define F(...)                                                                                     \
    { __VA_ARGS__ }

static void good_tables_are_clean(void **state) {
    (void)state;
    struct bw_err err = {0};
    assert_true(bw_record_lint(&rich_record, &err));
    assert_string_equal(lint(ONE(LENGTH(q))), "");
    assert_string_equal(lint(PAIR(F(LENGTH(q), .lead = ""), F(WORD(a), .lead = "is"))), "");
    assert_string_equal(lint(ONE(WORD(a), .of = NO_YES, .flag = true, .fallback = "no")), "");
}

static void lint_finds_bad_fields(void **state) {
    (void)state;
    static const struct bw_choice none[] = {{NULL, NULL}};
    static const struct bw_choice unknown[] = {{"Unknown", NULL}, {NULL, NULL}};
    static const struct bw_choice same[] = {{"a b", NULL}, {"A-b", NULL}, {NULL, NULL}};
    static const struct bw_file_kind unnamed = {.max_bytes = 1},
                                     shapeless = {.name = "x", .record = &rich_roll_record};
    const struct {
        const struct bw_field *fields;
        const char *what;
    } cases[] = {
        {ONE(LENGTH(q), .name = "Length"), "the name must be"},
        {ONE(LENGTH(q), .name = "shape"), "names the document"},
        {ONE(LENGTH(q), .help = "Full stop."), "help must be"},
        {ONE(LENGTH(q), .help = NULL), "help must be"},
        {ONE(LENGTH(q), .offset = 4), "misaligned"},
        {ONE(LENGTH(q), .offset = sizeof(struct bad)), "outside the struct"},
        {PAIR(F(LENGTH(q)), F(LENGTH(r), .offset = 8)), "shares its bytes"},
        {PAIR(F(LENGTH(q)), F(LENGTH(r), .name = "q")), "two fields have this name"},
        {ONE(BW_AT(struct bad, a), .kind = BW_CHOICE, .help = "x"), "needs .of"},
        {ONE(BW_AT(struct bad, t), .kind = BW_TEXT, .of = TWO, .help = "x"), "takes no .of"},
        {ONE(WORD(a), .of = none), "has no options"},
        {ONE(WORD(a), .of = unknown), "means not given"},
        {ONE(WORD(a), .of = same), "read the same"},
        {ONE(LENGTH(q), .min = 2, .max = 1), "no range"},
        {ONE(LENGTH(q), .min = NAN, .max = 1), "no range"},
        {ONE(WORD(a), .max = 1), "limits are for numbers"},
        {ONE(LENGTH(q), .count_max = 3), "count_max"},
        {ONE(LENGTH(q), .dim = BW_DIM_COUNT), "dim does not exist"},
        {ONE(WORD(a), .dim = BW_DIM_LENGTH), "dim is for quantities"},
        {ONE(LENGTH(q), .kind = (enum bw_kind)99), "kind does not exist"},
        {ONE(LENGTH(q), .fallback = "1 mm", .required = true), "required and has a fallback"},
        {ONE(LENGTH(q), .fallback = "1 m/s"), "its fallback needs a length"},
        {ONE(LENGTH(q), .fallback = "1 mm", .min = 1, .max = 2), "its fallback is out of range"},
        {ONE(LENGTH(q), .fallback = "unknown"), "its fallback means not given"},
        {ONE(WORD(a), .fallback = "three"), "its fallback is not one of"},
        {ONE(WORD(a), .flag = true, .fallback = "one"), "a flag is a choice of no and yes"},
        {ONE(WORD(a), .of = NO_YES, .flag = true), "falls back to no"},
        {ONE(LENGTH(q), .flag = true), "a flag is a choice"},
        {ONE(LENGTH(q), .lead = "by"), "belongs to the quantity"},
        {ONE(LENGTH(q), .lead = "At"), "small letters"},
        {PAIR(F(LENGTH(q), .lead = "at"), F(LENGTH(r), .lead = "at")), "two fields have this lead"},
        {PAIR(F(WORD(a), .lead = ""), F(LENGTH(q), .lead = "words")), "holds the lead as a word"},
        {ONE(BW_AT(struct bad, l), .kind = BW_LIST, .of = &rich_roll_record, .lead = "x",
             .help = "x"),
         "only values"},
        {PAIR(F(BW_AT(struct bad, l), .kind = BW_LIST, .of = &rich_roll_record, .help = "x",
                .positional = true),
              F(LENGTH(q), .positional = true)),
         "after a list"},
        {ONE(.name = "f", .kind = BW_FILE, .of = &unnamed, .help = "x"), "no name"},
        {ONE(.name = "f", .kind = BW_FILE, .of = &shapeless, .help = "x"), "no shape"},
        {ONE(.name = "f", .kind = BW_FILE, .of = &rich_roll_file, .help = "x", .fallback = "x"),
         "a file has no fallback"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *what = lint(cases[i].fields);
        if (strstr(what, cases[i].what) == NULL)
            fail_msg("case %zu: \"%s\" is not \"%s\"", i, what, cases[i].what);
    }
}

static void lint_finds_bad_records(void **state) {
    (void)state;
    const struct bw_field *fields = ONE(LENGTH(q));
    const size_t size = sizeof(struct bad);
    const struct bw_record namesake = {.name = "mark", .help = "x", .fields = fields, .size = size};
    const struct bw_field two[] = {
        {.name = "one", .kind = BW_RECORD, .of = &namesake, .help = "x"},
        {.name = "two", .offset = 8, .kind = BW_RECORD, .of = &rich_mark_record, .help = "x"},
        BW_END_FIELDS,
    };
    const struct {
        struct bw_record record;
        const char *what, *path;
    } cases[] = {
        {{.name = "Bad", .help = "x", .fields = fields, .size = size}, "the record's name", ""},
        {{.help = "x", .fields = fields, .size = size}, "the record's name", ""},
        {{.name = "bad", .fields = fields, .size = size}, "the record's help", ""},
        {{.name = "bad", .help = "x", .size = size}, "is empty", ""},
        {{.name = "bad", .help = "x", .fields = two, .size = 16}, "two records have", "two"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct bw_err err = {0};
        assert_false(bw_record_lint(&cases[i].record, &err));
        assert_non_null(strstr(err.what, cases[i].what));
        assert_string_equal(err.field, cases[i].path);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(keys_are_the_same_however_written),
        cmocka_unit_test(fields_are_found_by_any_spelling),
        cmocka_unit_test(clear_gives_a_record_of_nothing),
        cmocka_unit_test(takes_says_what_may_be_written),
        cmocka_unit_test(lists_have_a_most),
        cmocka_unit_test(good_tables_are_clean),
        cmocka_unit_test(lint_finds_bad_fields),
        cmocka_unit_test(lint_finds_bad_records),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
