// options.c - reads a command's line by its page; getopt_long does the splitting.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/suggest.h"
#include "base/utf8.h"

#include <getopt.h>
#include <string.h>

#define A_WORD 1          // what getopt_long returns for a word that is no option
#define FIRST_OPTION 256  // option i of the page comes back as FIRST_OPTION + i, beyond all letters

struct reading {
    struct bw_arena *arena;
    const struct bw_page *page;
    size_t n_options;
    struct option *longs;
    char *letters;
    struct bw_arguments given;
    size_t words;  // words seen
};

bool bw_given(const struct bw_arguments *given, const char *name) {
    for (size_t i = 0; i < given->n; i++)
        if (strcmp(given->items[i].option->name, name) == 0) return true;
    return false;
}

const char *bw_given_value(const struct bw_arguments *given, const char *name) {
    for (size_t i = 0; i < given->n; i++)
        if (strcmp(given->items[i].option->name, name) == 0) return given->items[i].value;
    return NULL;
}

static bool has_option(const struct bw_arguments *given, const struct bw_option *option) {
    for (size_t i = 0; i < given->n; i++)
        if (given->items[i].option == option) return true;
    return false;
}

bool bw_options_complete(struct bw_arena *arena, const struct bw_page *page,
                         const struct bw_arguments *given, struct bw_err *err) {
    for (const struct bw_option *option = page->options; option->name != NULL; option++) {
        if (!option->required || has_option(given, option)) continue;
        bw_fail(err, BW_USAGE, "%s is missing", bw_option_typed(arena, option));
        bw_err_mend(err, "beltwright %s", bw_page_usage(arena, page));
        return false;
    }
    return true;
}

// The tables getopt_long wants. The leading "-" makes it hand over words where they stand; ":" lets
// us do the talking.
static bool prepare(struct reading *reading) {
    const struct bw_option *options = reading->page->options;
    size_t n = 0;
    while (options[n].name != NULL) n++;
    reading->n_options = n;
    reading->longs = bw_arena_array(reading->arena, n + 1, sizeof *reading->longs);
    reading->letters = bw_arena_get(reading->arena, 2 * n + 3);
    if (reading->longs == NULL || reading->letters == NULL) return false;
    char *letter = reading->letters;
    *letter++ = '-';
    *letter++ = ':';
    struct option *next = reading->longs;
    for (size_t i = 0; i < n; i++) {
        if (options[i].positional) continue;
        *next++ = (struct option){options[i].name,
                                  options[i].value == NULL ? no_argument : required_argument, NULL,
                                  FIRST_OPTION + (int)i};
        if (options[i].letter != '\0') *letter++ = options[i].letter;
    }
    return true;
}

// Letters belong to options without a value only.
static const struct bw_option *option_of(const struct reading *reading, int code) {
    const struct bw_option *options = reading->page->options;
    if (code >= FIRST_OPTION) return &options[code - FIRST_OPTION];
    for (size_t i = 0; i < reading->n_options; i++)
        if (options[i].letter != '\0' && options[i].letter == code) return &options[i];
    return NULL;
}

// The word's option: the n-th positional one, or the last if that repeats.
static const struct bw_option *word_of(const struct reading *reading, size_t n) {
    const struct bw_option *last = NULL;
    for (size_t i = 0; i < reading->n_options; i++) {
        if (!reading->page->options[i].positional) continue;
        last = &reading->page->options[i];
        if (n-- == 0) return last;
    }
    return last != NULL && last->repeats ? last : NULL;
}

static bool add(struct reading *reading, const struct bw_option *option, const char *value,
                struct bw_err *err) {
    if (!option->repeats && has_option(&reading->given, option)) {
        bw_fail(err, BW_USAGE, "%s is given twice", bw_option_typed(reading->arena, option));
        bw_err_value(err, value);
        bw_err_mend(err, "leave one out");
        return false;
    }
    reading->given.items[reading->given.n++] = (struct bw_given){option, value};
    return true;
}

static bool too_many(const struct reading *reading, const char *word, struct bw_err *err) {
    bw_fail(err, BW_USAGE, "one word too many");
    bw_err_value(err, word);
    bw_err_mend(err, "beltwright %s; a value with spaces needs quotes",
                bw_page_usage(reading->arena, reading->page));
    return false;
}

static bool add_word(struct reading *reading, const char *word, struct bw_err *err) {
    const struct bw_option *option = word_of(reading, reading->words++);
    return option == NULL ? too_many(reading, word, err) : add(reading, option, word, err);
}

// Why getopt_long did not know `typed` ("--feeed=3"): ambiguous, a word's name, or misspelt.
static bool unknown(const struct reading *reading, const char *typed, struct bw_err *err) {
    const char *name = typed + strspn(typed, "-");
    size_t length = strcspn(name, "=");
    const char *bare = bw_arena_text(reading->arena, name, length);
    if (bare == NULL) return bw_fail_memory(err);
    struct bw_words words = {.n = 0};
    const char *first = NULL, *second = NULL;
    for (size_t i = 0; i < reading->n_options; i++) {
        const struct bw_option *option = &reading->page->options[i];
        if (option->positional && strcmp(option->name, bare) == 0) {
            bw_fail(err, BW_USAGE, "--%s is no option", bare);
            bw_err_mend(err, "give it without --%s: beltwright %s", bare,
                        bw_page_usage(reading->arena, reading->page));
            return false;
        }
        if (option->positional) continue;
        bw_words_add(&words, option->name);
        if (length == 0 || strncmp(option->name, bare, length) != 0) continue;
        if (first == NULL)
            first = option->name;
        else
            second = option->name;
    }
    if (second != NULL) {
        bw_fail(err, BW_USAGE, "--%s may be --%s or --%s", bare, first, second);
        bw_err_mend(err, "write it out");
        return false;
    }
    bw_fail(err, BW_USAGE, "%s has no option --%s", reading->page->name, bare);
    const char *nearest = bw_words_nearest(&words, bare);
    if (nearest != NULL) bw_err_mend(err, "did you mean --%s?", nearest);
    bw_err_mend(err, "beltwright %s --help lists the options", reading->page->name);
    return false;
}

static bool unknown_letter(const struct reading *reading, char letter, struct bw_err *err) {
    bw_fail(err, BW_USAGE, "%s has no option -%c", reading->page->name, letter);
    bw_err_mend(err,
                "a word that begins with - must stand after --; "
                "beltwright %s --help lists the options",
                reading->page->name);
    return false;
}

static bool without_value(const struct reading *reading, int code, struct bw_err *err) {
    const struct bw_option *option = option_of(reading, code);
    bw_fail(err, BW_USAGE, "--%s needs a value", option->name);
    bw_err_mend(err, "write %s", bw_option_form(reading->arena, option));
    return false;
}

static bool with_value(const struct reading *reading, int code, const char *typed,
                       struct bw_err *err) {
    bw_fail(err, BW_USAGE, "--%s takes no value", option_of(reading, code)->name);
    bw_err_value(err, typed);
    bw_err_mend(err, "leave the = and what follows out");
    return false;
}

static bool refuse(const struct reading *reading, int result, char **argv, struct bw_err *err) {
    const char *typed = argv[optind - 1];
    if (result == ':') return without_value(reading, optopt, err);
    if (optopt >= FIRST_OPTION) return with_value(reading, optopt, typed, err);
    if (optopt != 0) return unknown_letter(reading, (char)optopt, err);
    return unknown(reading, typed, err);
}

static bool readable(int argc, char **argv, struct bw_err *err) {
    for (int i = 0; i < argc; i++) {
        if (bw_utf8_valid(argv[i], strlen(argv[i]))) continue;
        bw_fail(err, BW_USAGE, "word %d of the command line is not UTF-8 text", i + 1);
        bw_err_mend(err, "set the terminal to UTF-8, or rename the file");
        return false;
    }
    return true;
}

static bool read_all(struct reading *reading, int argc, char **argv, struct bw_err *err) {
    opterr = 0;
    optind = 0;  // starts a new scan (GNU), for tests that call more than once
    for (;;) {
        int result = getopt_long(argc, argv, reading->letters, reading->longs, NULL);
        if (result == -1) break;
        if (result == '?' || result == ':') return refuse(reading, result, argv, err);
        bool good = result == A_WORD ? add_word(reading, optarg, err)
                                     : add(reading, option_of(reading, result), optarg, err);
        if (!good) return false;
        if (bw_given(&reading->given, "help")) return true;
    }
    while (optind < argc)  // after "--"
        if (!add_word(reading, argv[optind++], err)) return false;
    return true;
}

bool bw_options_read(struct bw_arena *arena, const struct bw_page *page, int argc, char **argv,
                     struct bw_arguments *out, struct bw_err *err) {
    struct reading reading = {.arena = arena, .page = page};
    reading.given.items = bw_arena_array(arena, (size_t)argc, sizeof *reading.given.items);
    if (reading.given.items == NULL || !prepare(&reading)) return bw_fail_memory(err);
    if (!readable(argc, argv, err) || !read_all(&reading, argc, argv, err)) return false;
    *out = reading.given;
    return true;
}
