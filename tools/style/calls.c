// calls.c - calls that are banned, everywhere or in some rooms, each with what to use in its place.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "style.h"

#include <string.h>

static const struct banned {
    const char *call;
    const char *within;  // folder, "" for the whole tree
    const char *instead;
} BANNED[] = {
    // No bound on what they write.
    {"strcpy", "", "memcpy with a length, or bw_arena_text"},
    {"stpcpy", "", "memcpy with a length, or bw_arena_text"},
    {"strcat", "", "bw_buffer_text"},
    {"strncpy", "", "memcpy with a length"},
    {"strncat", "", "bw_buffer_add"},
    {"sprintf", "", "snprintf or bw_buffer_format"},
    {"vsprintf", "", "vsnprintf or bw_buffer_vformat"},
    {"gets", "", "fgets"},
    {"alloca", "", "an arena"},
    // No report of what went wrong.
    {"atoi", "", "bw_count"},
    {"atol", "", "bw_count"},
    {"atoll", "", "bw_count"},
    {"atof", "", "bw_number"},
    {"scanf", "", "bw_number or bw_count"},
    {"fscanf", "", "bw_number or bw_count"},
    {"sscanf", "", "bw_number or bw_count"},
    {"vsscanf", "", "bw_number or bw_count"},
    // State shared by all callers.
    {"strtok", "", "a loop over the text"},
    {"gmtime", "", "gmtime_r"},
    {"localtime", "", "localtime_r"},
    {"ctime", "", "strftime"},
    {"asctime", "", "strftime"},
    {"rand", "", "a generator seeded from the input"},
    {"srand", "", "a generator seeded from the input"},
    {"random", "", "a generator seeded from the input"},
    {"drand48", "", "a generator seeded from the input"},
    {"tmpnam", "", "mkstemp"},
    {"mktemp", "", "mkstemp"},
    // A decimal comma must never reach the program's numbers.
    {"setlocale", "src/", "no locale but C, where a point is a point"},
    {"uselocale", "src/", "bw_c_locale_enter"},
    {"vsnprintf", "src/", "bw_vformat"},
    {"strtod", "src/", "bw_number"},
    {"strtof", "src/", "bw_number"},
    {"strtold", "src/", "bw_number"},
    // A shell between us and what we start.
    {"system", "src/", "posix_spawn or execve"},
    {"popen", "src/", "posix_spawn or execve"},
    // Memory goes through one seam, so that tests can fail the n-th request.
    {"malloc", "src/", "bw_alloc"},
    {"calloc", "src/", "bw_alloc_zero"},
    {"realloc", "src/", "bw_realloc"},
    {"free", "src/", "bw_free"},
    {"strdup", "src/", "bw_arena_text"},
    {"strndup", "src/", "bw_arena_text"},
    {"asprintf", "src/", "bw_arena_format"},
    {"getline", "src/", "a bounded read"},
    // A study never prints, never opens a file, never asks the clock.
    {"printf", "src/study/", "bw_text"},
    {"fprintf", "src/study/", "bw_text"},
    {"puts", "src/study/", "bw_text"},
    {"fputs", "src/study/", "bw_text"},
    {"putchar", "src/study/", "bw_text"},
    {"fopen", "src/study/", "a file field: the door reads it"},
    {"open", "src/study/", "a file field: the door reads it"},
    {"getenv", "src/study/", "an input field"},
    {"time", "src/study/", "an input field"},
    {"clock_gettime", "src/study/", "an input field"},
};

// Without the end pointer nobody can tell "12" from "12abc". `at` is the call's name.
static void check_end_pointer(struct style *style, const struct source *source, size_t at) {
    const struct token *call = &source->tokens[at];
    int depth = 0, commas = 0;
    for (size_t i = at + 1; i + 1 < source->token_count; i++) {
        const struct token *token = &source->tokens[i];
        if (token_is(token, "(")) depth++;
        if (token_is(token, ")") && --depth == 0) return;
        if (depth != 1 || !token_is(token, ",") || ++commas > 1) continue;
        if (token_is(&source->tokens[i + 1], "NULL"))
            fault(style, call->line, "call", NULL, "%.*s without an end pointer",
                  (int)call->length, call->text);
    }
}

// A conversion that writes a decimal point, which a locale may turn into a comma; "%.0f" writes
// none.
static bool writes_point(const struct token *literal) {
    for (size_t i = 0; i + 1 < literal->length; i++) {
        if (literal->text[i] != '%') continue;
        size_t from = ++i;
        while (i < literal->length && strchr("-+ #0123456789.*l", literal->text[i]) != NULL) i++;
        bool none = i - from == 2 && memcmp(literal->text + from, ".0f", 3) == 0;
        if (i < literal->length && strchr("aefgAEFG", literal->text[i]) != NULL && !none)
            return true;
    }
    return false;
}

// `at` is the name of one of printf's family.
static void check_point(struct style *style, const struct source *source, size_t at) {
    int depth = 0;
    for (size_t i = at + 1; i < source->token_count; i++) {
        const struct token *token = &source->tokens[i];
        if (token_is(token, "(")) depth++;
        if (token_is(token, ")") && --depth == 0) return;
        if (token->kind != TOKEN_STRING || !writes_point(token)) continue;
        fault(style, token->line, "call", NULL, "the point may become a comma; use bw_format");
    }
}

static bool is_printf(const struct token *token) {
    return token_is(token, "snprintf") || token_is(token, "printf") || token_is(token, "fprintf");
}

static bool is_string_to_number(const struct token *token) {
    return token->length > 5 && memcmp(token->text, "strto", 5) == 0 && !token_is(token, "strtok");
}

void check_calls(struct style *style, const struct source *source) {
    for (size_t i = 0; i + 1 < source->token_count; i++) {
        const struct token *token = &source->tokens[i];
        if (token->kind != TOKEN_WORD || !token_is(&source->tokens[i + 1], "(")) continue;
        // A member of the same name is no call of the library's function.
        if (i > 0 && (token_is(token - 1, ".") || token_is(token - 1, ">"))) continue;
        if (path_within(source->path, "src/") && is_printf(token)) check_point(style, source, i);
        if (is_string_to_number(token)) check_end_pointer(style, source, i);
        for (size_t k = 0; k < sizeof BANNED / sizeof *BANNED; k++)
            if (token_is(token, BANNED[k].call) && path_within(source->path, BANNED[k].within))
                fault(style, token->line, "call", BANNED[k].call, "%s is banned; use %s",
                      BANNED[k].call, BANNED[k].instead);
    }
}
