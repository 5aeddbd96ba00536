// test_text.c - what a person reads: wrapping, headings, tables, values and odds in words.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "base/text.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static struct bw_text begin(int width) {
    struct bw_text text = {.arena = bw_arena_new(0), .width = width};
    assert_non_null(text.arena);
    return text;
}

// Compares and clears.
static void expect(struct bw_text *text, const char *expected) {
    assert_false(text->out.failed);
    assert_string_equal(text->out.data, expected);
    bw_buffer_free(&text->out);
    bw_arena_free(text->arena);
}

static void test_wrapping(void **state) {
    (void)state;
    struct bw_text text = begin(30);
    bw_text_para(&text, "The belt turns %d times, then it stops and everybody waits.", 3);
    expect(&text, "The belt turns 3 times, then\n"
                  "it stops and everybody waits.\n");
}

static void test_wrapping_counts_columns(void **state) {
    (void)state;
    struct bw_text text = begin(20);
    bw_text_para(&text, "%s", "±±±± ±±±± ±±±± ±±±± ±±±±");
    bw_text_para(&text, "%s", "日本日本 日本日本 日本");
    expect(&text, "±±±± ±±±± ±±±± ±±±±\n±±±±\n"
                  "日本日本 日本日本\n日本\n");
}

static void test_breaks_and_spaces(void **state) {
    (void)state;
    struct bw_text text = begin(20);
    bw_text_para(&text, "  one\ntwo  three \n\nfour\n");
    bw_text_para(&text, "feed it at least 14.6\u00a0mm\u00a0of stock");
    bw_text_para(&text, "a-word-longer-than-the-line stays whole");
    bw_text_para(&text, "%s", "");
    expect(&text, "one\ntwo  three\n\nfour\n"
                  "feed it at least\n14.6 mm of stock\n"
                  "a-word-longer-than-the-line\nstays whole\n"
                  "\n");
}

static void test_html(void **state) {
    (void)state;
    struct bw_text text = begin(20);
    static const char *const TITLES[] = {"part & place", "mm", "never", NULL};
    text.form = BW_TEXT_HTML;
    bw_text_heading(&text, "Drum <%d>", 2);
    bw_text_para(&text, "one\ntwo\u00a0mm and many words beyond the width of a line");
    bw_text_gap(&text);
    bw_text_item(&text, "1. ", "look");
    bw_text_item(&text, "   - ", "\"closer\"");
    bw_text_item(&text, "   ", "on");
    bw_text_caution(&text, "lock out");
    bw_text_table(&text, "ldl", TITLES);
    bw_text_cell(&text, "splice");
    bw_text_cell(&text, "14.6");
    bw_text_cell(&text, "%s", "");
    bw_text_table_end(&text);
    bw_text_table(&text, "l", TITLES);
    bw_text_table_end(&text);
    expect(&text,
           "<h2>Drum &lt;2&gt;</h2>\n"
           "<p>one<br>two\u00a0mm and many words beyond the width of a line</p>\n"
           "<p class=\"t-item\"><span class=\"t-mark\">1.</span> look</p>\n"
           "<p class=\"t-item t-inner\"><span class=\"t-mark\">-</span> &quot;closer&quot;</p>\n"
           "<p class=\"t-item t-inner\">on</p>\n"
           "<p class=\"t-caution\"><strong>CAUTION</strong> lock out</p>\n"
           "<div class=\"t-wide\" tabindex=\"0\" role=\"region\" aria-label=\"table\"><table>\n"
           "<thead><tr><th scope=\"col\">part &amp; place</th>"
           "<th scope=\"col\" class=\"n\">mm</th></tr>\n</thead>\n<tbody>\n"
           "<tr><td>splice</td><td class=\"n\">14.6</td></tr>\n"
           "</tbody>\n</table></div>\n");
}

static void test_items_hang(void **state) {
    (void)state;
    struct bw_text text = begin(24);
    bw_text_item(&text, "1. ", "Feed one panel a third slower.");
    bw_text_item(&text, "– ", "Measure ten marks.");
    bw_text_caution(&text, "lock out before hands go in");
    expect(&text, "1. Feed one panel a\n"
                  "   third slower.\n"
                  "– Measure ten marks.\n"
                  "CAUTION  lock out before\n"
                  "         hands go in\n");
}

static void test_sections(void **state) {
    (void)state;
    struct bw_text text = begin(30);
    bw_text_gap(&text);
    bw_text_para(&text, "Most likely the splice.");
    bw_text_gap(&text);
    bw_text_gap(&text);
    bw_text_heading(&text, "Why");
    bw_text_para(&text, "The pitch fits, and nothing else comes near.");
    bw_text_heading(&text, "What to do next");
    bw_text_item(&text, "1. ", "Chalk it.");
    expect(&text, "Most likely the splice.\n"
                  "\n"
                  "Why\n"
                  "  The pitch fits, and nothing\n"
                  "  else comes near.\n"
                  "\n"
                  "What to do next\n"
                  "  1. Chalk it.\n");
}

static void test_table(void **state) {
    (void)state;
    static const char *const TITLES[] = {"part", "pitch, mm", "rate at 24", "note", "what"};
    struct bw_text text = begin(0);
    bw_text_table(&text, "lddrl", TITLES);
    bw_text_cell(&text, "splice");
    bw_text_cell(&text, "10.56");
    bw_text_cell(&text, "9.47 ± 0.2");
    bw_text_cell(&text, "%s", "");
    bw_text_cell(&text, "timed");
    bw_text_cell(&text, "drum µ");
    bw_text_cell(&text, "2.7");
    bw_text_cell(&text, "135");
    bw_text_cell(&text, "%s", "");
    bw_text_cell(&text, "%s", "");
    bw_text_cell(&text, "motor");
    bw_text_cell(&text, "unknown");
    bw_text_table_end(&text);  // the rest of the last row is empty
    expect(&text, "part    pitch, mm    rate at 24  what\n"
                  "------  ---------  ------------  -----\n"
                  "splice      10.56    9.47 ± 0.2  timed\n"
                  "drum µ       2.7   135\n"
                  "motor     unknown\n");
}

static void test_table_wraps_its_last_text_column(void **state) {
    (void)state;
    static const char *const TITLES[] = {"no", "experiment", "mm"};
    struct bw_text text = begin(40);
    bw_text_heading(&text, "Next");
    bw_text_table(&text, "rlr", TITLES);
    bw_text_cell(&text, "1");
    bw_text_cell(&text, "feed one panel a third slower and measure again");
    bw_text_cell(&text, "14");
    bw_text_cell(&text, "2");
    bw_text_cell(&text, "chalk the splice");
    bw_text_cell(&text, "9");
    bw_text_table_end(&text);
    expect(&text, "Next\n"
                  "  no  experiment                      mm\n"
                  "  --  ------------------------------  --\n"
                  "   1  feed one panel a third slower   14\n"
                  "      and measure again\n"
                  "   2  chalk the splice                 9\n");
}

static void test_table_without_rows(void **state) {
    (void)state;
    static const char *const TITLES[] = {"a", "b"};
    struct bw_text text = begin(0);
    bw_text_table(&text, "ll", TITLES);
    bw_text_table_end(&text);
    bw_text_para(&text, "nothing");
    expect(&text, "nothing\n");
}

static void test_values(void **state) {
    (void)state;
    struct bw_text text = begin(0);
    struct bw_quantity pitch = bw_about(0.0146, 0.0002);
    assert_string_equal(bw_text_quantity(&text, pitch, BW_DIM_LENGTH),
                        "14.6\u00a0±\u00a00.2\u00a0mm");
    assert_string_equal(bw_text_value(&text, pitch, BW_DIM_LENGTH), "14.6\u00a0±\u00a00.2");
    assert_string_equal(bw_text_unit(&text, BW_DIM_LENGTH), "mm");
    assert_string_equal(bw_text_value(&text, BW_UNKNOWN, BW_DIM_LENGTH), "?");
    assert_string_equal(bw_text_value(&text, bw_exactly(0.25), BW_DIM_RATIO), "25");
    assert_string_equal(bw_text_value(&text, bw_exactly(3), BW_DIM_NUMBER), "3");
    text.units = BW_UNITS_US;
    assert_string_equal(bw_text_value(&text, bw_exactly(0.1016), BW_DIM_FEED), "20");
    assert_string_equal(bw_text_unit(&text, BW_DIM_FEED), "ft/min");
    bw_text_para(&text, "%s", bw_text_quantity(&text, bw_exactly(0.1016), BW_DIM_FEED));
    expect(&text, "20 ft/min\n");
}

static void test_odds(void **state) {
    (void)state;
    static const struct {
        double p;
        const char *words;
    } CASES[] = {
        {1, "nearly certain"},      {0.99, "nearly certain"}, {0.98, "about 19 in 20"},
        {0.93, "about 19 in 20"},   {0.92, "about 9 in 10"},  {0.83, "about 8 in 10"},
        {0.5, "about 5 in 10"},     {0.16, "about 2 in 10"},  {0.1, "about 1 in 10"},
        {0.08, "about 1 in 10"},    {0.05, "about 1 in 20"},  {0.025, "about 1 in 40"},
        {0.019, "1 in 50 or less"}, {0, "1 in 50 or less"},   {NAN, "not known"},
    };
    struct bw_text text = begin(0);
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
        bw_text_para(&text, "%s", bw_text_odds(&text, CASES[i].p));
    const char *line = text.out.data;
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        size_t length = strcspn(line, "\n");
        assert_int_equal(length, strlen(CASES[i].words));
        assert_memory_equal(line, CASES[i].words, length);
        line += length + 1;
    }
    bw_buffer_free(&text.out);
    bw_arena_free(text.arena);
}

static bool write_everything(void *with) {
    static const char *const TITLES[] = {"part", "rate"};
    struct bw_text text = {.arena = bw_arena_new(0)};
    (void)with;
    if (text.arena == NULL) return false;
    bw_text_heading(&text, "A heading of %s", "its own");
    bw_text_para(&text, "%s", bw_text_quantity(&text, bw_exactly(0.1), BW_DIM_FEED));
    bw_text_table(&text, "ld", TITLES);
    for (int i = 0; i < 100; i++) {
        bw_text_cell(&text, "part %d", i);
        bw_text_cell(&text, "%s", bw_text_value(&text, bw_exactly(i), BW_DIM_RATE));
    }
    bw_text_table_end(&text);
    bw_text_item(&text, "- ", "%s", bw_text_odds(&text, 0.5));
    bw_text_caution(&text, "care");
    bool done = !text.out.failed;
    bw_buffer_free(&text.out);
    bw_arena_free(text.arena);
    return done;
}

static void test_out_of_memory(void **state) {
    (void)state;
    assert_true(torture(write_everything, NULL) > 10);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_wrapping),
        cmocka_unit_test(test_wrapping_counts_columns),
        cmocka_unit_test(test_breaks_and_spaces),
        cmocka_unit_test(test_html),
        cmocka_unit_test(test_items_hang),
        cmocka_unit_test(test_sections),
        cmocka_unit_test(test_table),
        cmocka_unit_test(test_table_wraps_its_last_text_column),
        cmocka_unit_test(test_table_without_rows),
        cmocka_unit_test(test_values),
        cmocka_unit_test(test_odds),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
