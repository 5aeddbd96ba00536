// typed.c - see typed.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "typed.h"

#include "cli/cli.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define MOST_WORDS 64

// Cuts `line` in place.
static int split(char *line, char *words[MOST_WORDS]) {
    int n = 0;
    for (char *at = line; *at != '\0' && n < MOST_WORDS - 1;) {
        char stop = *at == '\'' ? '\'' : ' ';
        if (stop == '\'') at++;
        words[n++] = at;
        at += strcspn(at, stop == ' ' ? " " : "'");
        if (*at != '\0') *at++ = '\0';
        while (*at == ' ') at++;
    }
    words[n] = NULL;
    return n;
}

struct typed type(const char *line) {
    char *copy = strdup(line), *words[MOST_WORDS];
    assert_non_null(copy);
    int n = split(copy, words);
    struct typed typed = {0};
    size_t out_length = 0, messages_length = 0;
    FILE *out = open_memstream(&typed.out, &out_length);
    FILE *messages = open_memstream(&typed.messages, &messages_length);
    assert_non_null(out);
    assert_non_null(messages);
    typed.status = bw_cli_main(n, words, out, messages);
    assert_int_equal(fclose(out), 0);
    assert_int_equal(fclose(messages), 0);
    free(copy);
    return typed;
}

void typed_free(struct typed *typed) {
    free(typed->out);
    free(typed->messages);
    *typed = (struct typed){0};
}

static void show(const char *line, const struct typed *typed) {
    print_error("$ %s\n--- output:\n%s--- messages:\n%s--- status %d\n", line, typed->out,
                typed->messages, typed->status);
}

void type_expect(const char *line, int status, const char *out, const char *messages) {
    struct typed typed = type(line);
    bool good = typed.status == status && (out == NULL || strcmp(typed.out, out) == 0) &&
                (messages == NULL || strcmp(typed.messages, messages) == 0);
    if (!good) show(line, &typed);
    assert_int_equal(typed.status, status);
    if (out != NULL) assert_string_equal(typed.out, out);
    if (messages != NULL) assert_string_equal(typed.messages, messages);
    typed_free(&typed);
}

void type_expect_part(const char *line, int status, const char *part) {
    struct typed typed = type(line);
    const char *where = status == 0 ? typed.out : typed.messages;
    bool good = typed.status == status && strstr(where, part) != NULL;
    if (!good) {
        show(line, &typed);
        print_error("--- looked for:\n%s\n", part);
    }
    assert_true(good);
    typed_free(&typed);
}
