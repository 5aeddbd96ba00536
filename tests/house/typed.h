// typed.h - runs command lines within the test, as typed in a shell without expansions.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef TYPED_H
#define TYPED_H

#define MOST_WORDS 64

struct typed {
    int status;
    char *out, *messages;  // never NULL
};

// Splits `line` in place at spaces; '...' and "..." keep a word together. Returns the number of
// words; words[number] is NULL.
int split(char *line, char *words[MOST_WORDS]);

// Runs the formatted line. Free with typed_free.
struct typed type(const char *line, ...) __attribute__((format(printf, 1, 2)));
// As type, and fails the test unless the line ends with status 0.
struct typed type_well(const char *line, ...) __attribute__((format(printf, 1, 2)));
void typed_free(struct typed *typed);

// How often `part` occurs in `text`.
int occurrences(const char *text, const char *part);

#endif
