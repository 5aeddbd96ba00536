// tokens.c - cuts a C file into words, numbers, strings and marks; comments fall away.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "style.h"

#include <ctype.h>
#include <string.h>

struct reader {
    const char *at, *end;
    int line;
    bool directive, line_start;
    struct token *tokens;
    size_t count, capacity;
};

static char peek(const struct reader *reader, size_t ahead) {
    return reader->at + ahead < reader->end ? reader->at[ahead] : '\0';
}

// One character on; a line ends a directive unless a backslash stands before its end.
static void step(struct reader *reader) {
    if (*reader->at == '\n') {
        reader->line++;
        if (reader->at[-1] != '\\') {
            reader->directive = false;
            reader->line_start = true;
        }
    }
    reader->at++;
}

static bool add(struct reader *reader, struct token token) {
    if (reader->count == reader->capacity) {
        size_t capacity = reader->capacity == 0 ? 1024 : 2 * reader->capacity;
        struct token *tokens = bw_realloc(reader->tokens, capacity * sizeof *tokens);
        if (tokens == NULL) return false;
        reader->tokens = tokens;
        reader->capacity = capacity;
    }
    token.directive = reader->directive;
    reader->tokens[reader->count++] = token;
    return true;
}

static bool skip_comment(struct reader *reader) {
    if (peek(reader, 0) != '/') return false;
    if (peek(reader, 1) == '/') {
        while (reader->at < reader->end && *reader->at != '\n') reader->at++;
        return true;
    }
    if (peek(reader, 1) != '*') return false;
    reader->at += 2;
    while (reader->at < reader->end && !(*reader->at == '*' && peek(reader, 1) == '/'))
        step(reader);
    reader->at += reader->at < reader->end ? 2 : 0;
    return true;
}

static struct token quoted(struct reader *reader) {
    char quote = *reader->at++;
    struct token token = {.kind = quote == '"' ? TOKEN_STRING : TOKEN_CHAR,
                          .text = reader->at,
                          .line = reader->line};
    while (reader->at < reader->end && *reader->at != quote && *reader->at != '\n')
        reader->at += *reader->at == '\\' && reader->at + 1 < reader->end ? 2 : 1;
    token.length = (size_t)(reader->at - token.text);
    if (peek(reader, 0) == quote) reader->at++;
    return token;
}

static struct token plain(struct reader *reader) {
    struct token token = {.kind = TOKEN_MARK, .text = reader->at, .line = reader->line};
    unsigned char first = (unsigned char)*reader->at++;
    if (isalpha(first) || first == '_') {
        token.kind = TOKEN_WORD;
        while (isalnum((unsigned char)peek(reader, 0)) || peek(reader, 0) == '_') reader->at++;
    } else if (isdigit(first)) {
        token.kind = TOKEN_NUMBER;
        while (isalnum((unsigned char)peek(reader, 0)) || peek(reader, 0) == '.') reader->at++;
    }
    token.length = (size_t)(reader->at - token.text);
    return token;
}

bool tokens_read(struct source *source) {
    struct reader reader = {.at = source->text,
                            .end = source->text + source->length,
                            .line = 1,
                            .line_start = true};
    while (reader.at < reader.end) {
        if (isspace((unsigned char)*reader.at)) {
            step(&reader);
            continue;
        }
        if (skip_comment(&reader)) continue;
        if (*reader.at == '#' && reader.line_start) reader.directive = true;
        reader.line_start = false;
        bool is_quote = *reader.at == '"' || *reader.at == '\'';
        if (!add(&reader, is_quote ? quoted(&reader) : plain(&reader))) {
            bw_free(reader.tokens);
            return false;
        }
    }
    source->tokens = reader.tokens;
    source->token_count = reader.count;
    return true;
}

bool token_is(const struct token *token, const char *text) {
    return token->kind != TOKEN_STRING && token->kind != TOKEN_CHAR &&
           token->length == strlen(text) && memcmp(token->text, text, token->length) == 0;
}
