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

int split(char *line, char *words[MOST_WORDS]) {
    int n = 0;
    for (char *at = line; *at != '\0' && n < MOST_WORDS - 1;) {
        const char *stop = *at == '\'' ? "'" : *at == '"' ? "\"" : " ";
        if (*stop != ' ') at++;
        words[n++] = at;
        at += strcspn(at, stop);
        if (*at != '\0') *at++ = '\0';
        while (*at == ' ') at++;
    }
    words[n] = NULL;
    return n;
}

static struct typed run(char *line) {
    char *words[MOST_WORDS];
    struct typed typed = {0};
    size_t out_length = 0, messages_length = 0;
    FILE *out = open_memstream(&typed.out, &out_length);
    FILE *messages = open_memstream(&typed.messages, &messages_length);
    assert_non_null(out);
    assert_non_null(messages);
    int n = split(line, words);
    typed.status = bw_cli_main(n, words, out, messages);
    assert_int_equal(fclose(out), 0);
    assert_int_equal(fclose(messages), 0);
    return typed;
}

static char *formatted(const char *line, va_list args) BW_PRINTF(1, 0);
static char *formatted(const char *line, va_list args) {
    char whole[4000];
    int n = vsnprintf(whole, sizeof whole, line, args);
    assert_in_range(n, 1, sizeof whole - 1);
    char *copy = strdup(whole);
    assert_non_null(copy);
    return copy;
}

struct typed type(const char *line, ...) {
    va_list args;
    va_start(args, line);
    char *whole = formatted(line, args);
    va_end(args);
    struct typed typed = run(whole);
    free(whole);
    return typed;
}

struct typed type_well(const char *line, ...) {
    va_list args;
    va_start(args, line);
    char *whole = formatted(line, args), *shown = strdup(whole);
    va_end(args);
    struct typed typed = run(whole);
    if (typed.status != 0)
        fail_msg("$ %s\n%s%s? %d", shown, typed.out, typed.messages, typed.status);
    free(whole);
    free(shown);
    return typed;
}

void typed_free(struct typed *typed) {
    free(typed->out);
    free(typed->messages);
    *typed = (struct typed){0};
}

int occurrences(const char *text, const char *part) {
    int n = 0;
    for (const char *at = strstr(text, part); at != NULL; at = strstr(at + 1, part)) n++;
    return n;
}
