// functions.c - the size budget: lines, branches and arguments of each function.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "style.h"

#include <string.h>

#define MAX_LINES 80
#define MAX_BRANCHES 15
#define MAX_ARGUMENTS 5

struct function {
    const struct token *name;
    int first_line, last_line, branches, arguments;
};

// What a reader must follow: each test, each loop, each case, each choice within an expression.
static bool is_branch(const struct token *token) {
    return token_is(token, "if") || token_is(token, "for") || token_is(token, "while") ||
           token_is(token, "case") || token_is(token, "?");
}

// Attributes and our macros for them may stand between the arguments and the body.
static bool is_attribute(const struct token *token) {
    return token_is(token, "__attribute__") || token_is(token, "BW_PRINTF");
}

static bool is_dots(const struct token *token) {
    return token_is(token, ".") && token->text[1] == '.' && token->text[2] == '.';
}

// Reads the parenthesis at `at`, counting arguments; the index of what follows it. The error object
// and "..." ride along with any call and do not count.
static size_t read_arguments(const struct source *source, size_t at, int *arguments) {
    int depth = 0, commas = 0, riders = 0;
    size_t i = at;
    for (; i < source->token_count; i++) {
        const struct token *token = &source->tokens[i];
        if (token_is(token, "(")) depth++;
        if (token_is(token, ")") && --depth == 0) break;
        if (depth == 1 && token_is(token, ",")) commas++;
        if (depth == 1 && (token_is(token, "bw_err") || is_dots(token))) riders++;
    }
    bool none = i == at + 1 || (i == at + 2 && token_is(&source->tokens[at + 1], "void"));
    *arguments = none ? 0 : commas + 1 - riders;
    return i + 1;
}

// Reads the body whose "{" is at `at`; the index of what follows it.
static size_t read_body(const struct source *source, size_t at, struct function *function) {
    int depth = 0;
    size_t i = at;
    for (; i < source->token_count; i++) {
        const struct token *token = &source->tokens[i];
        if (token->directive) continue;
        if (token_is(token, "{")) depth++;
        if (is_branch(token)) function->branches++;
        if (token_is(token, "}") && --depth == 0) {
            function->last_line = token->line;
            break;
        }
    }
    return i + 1;
}

static void remember(struct style *style, int lines) {
    if (style->function_count == style->function_capacity) {
        size_t capacity = style->function_capacity == 0 ? 1024 : 2 * style->function_capacity;
        int *all = bw_realloc(style->function_lines, capacity * sizeof *all);
        if (all == NULL) return;
        style->function_lines = all;
        style->function_capacity = capacity;
    }
    style->function_lines[style->function_count++] = lines;
}

static void judge(struct style *style, const struct function *function) {
    char name[MAX_NAME];
    (void)snprintf(name, sizeof name, "%.*s", (int)function->name->length, function->name->text);
    int line = function->first_line, lines = function->last_line - line + 1;
    remember(style, lines);
    if (lines > MAX_LINES)
        fault(style, line, "function-lines", name, "%s has %d lines, at most %d", name,
              lines, MAX_LINES);
    if (function->branches > MAX_BRANCHES)
        fault(style, line, "function-branches", name, "%s has %d branches, at most %d",
              name, function->branches, MAX_BRANCHES);
    if (function->arguments > MAX_ARGUMENTS)
        fault(style, line, "function-arguments", name, "%s has %d arguments, at most %d",
              name, function->arguments, MAX_ARGUMENTS);
}

// A function is a word, a parenthesis, perhaps attributes, and a "{", outside of any other braces.
void check_functions(struct style *style, const struct source *source) {
    struct function function = {0};
    bool at_start = true, complete = false;  // complete: the last thing read was a parenthesis
    for (size_t i = 0; i < source->token_count;) {
        const struct token *token = &source->tokens[i];
        if (token->directive) {
            i++;
            continue;
        }
        if (at_start) function = (struct function){.first_line = token->line};
        at_start = false;
        if (token_is(token, "{")) {
            i = read_body(source, i, &function);
            if (complete) judge(style, &function);
            at_start = complete;  // after a struct's "}" comes more
            complete = false;
        } else if (token_is(token, "(") && i > 0 && is_attribute(token - 1)) {
            int ignored;
            i = read_arguments(source, i, &ignored);
        } else if (token_is(token, "(")) {
            function.name = i > 0 ? token - 1 : token;
            i = read_arguments(source, i, &function.arguments);
            complete = true;
        } else {
            at_start = token_is(token, ";");
            complete = complete && (is_attribute(token) || token_is(token, "BW_CHECKED"));
            i++;
        }
    }
}
