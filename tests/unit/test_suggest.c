// test_suggest.c - which word was meant.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/suggest.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

static struct bw_words words(void) {
    struct bw_words words = {.n = 0};
    bw_words_add(&words, "diameter");
    bw_words_add(&words, "hardness");
    bw_words_add(&words, "feed_min");
    bw_words_add(&words, "feed_max");
    bw_words_add(&words, "is");
    return words;
}

static void the_nearest_word_is_offered(void **state) {
    (void)state;
    const struct {
        const char *said, *meant;
    } cases[] = {
        {"diamter", "diameter"},
        {"Diameter", "diameter"},
        {"hardnes", "hardness"},
        {"feed_mni", "feed_min"},
        {"feed_mqx", "feed_max"},
        {"diam", NULL},
        {"", NULL},
        {"i", NULL},
        {"si", NULL},
        {"iss", "is"},
        {"something else", NULL},
    };
    const struct bw_words known = words();
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *nearest = bw_words_nearest(&known, cases[i].said);
        if (cases[i].meant == NULL)
            assert_null(nearest);
        else
            assert_string_equal(nearest, cases[i].meant);
    }
}

static void else_all_are_listed(void **state) {
    (void)state;
    const struct bw_words known = words();
    struct bw_err err = {0};
    bw_words_mend(&known, "qqzz", "keys here", &err);
    assert_string_equal(err.mend, "keys here: diameter, hardness, feed_min, feed_max, is");
    bw_err_clear(&err);
    bw_words_mend(&known, "diametr", "keys here", &err);
    assert_string_equal(err.mend, "did you mean diameter?");
}

static void long_lists_are_cut(void **state) {
    (void)state;
    struct bw_words many = {.n = 0};
    for (size_t i = 0; i < 2 * BW_MAX_SUGGEST_WORDS; i++) bw_words_add(&many, "a_rather_long_word");
    assert_int_equal(many.n, BW_MAX_SUGGEST_WORDS);
    struct bw_err err = {0};
    bw_words_mend(&many, "qqzz", "choose one of", &err);
    assert_non_null(strstr(err.mend, "a_rather_long_word and "));
    assert_string_equal(err.mend + strlen(err.mend) - 5, " more");
    assert_true(strlen(err.mend) < BW_MAX_ERROR_TEXT - 4);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_nearest_word_is_offered),
        cmocka_unit_test(else_all_are_listed),
        cmocka_unit_test(long_lists_are_cut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
