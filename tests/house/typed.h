// typed.h - runs a command line within the test, as typed in a shell without expansions.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef TYPED_H
#define TYPED_H

struct typed {
    int status;
    char *out, *messages;  // never NULL
};

// `line` is split at spaces; '...' keeps a word together. The words are the caller's to free with
// typed_free.
struct typed type(const char *line);
void typed_free(struct typed *typed);

// Runs the line and fails the test, showing all, unless status and outputs are as said (NULL: not
// looked at).
void type_expect(const char *line, int status, const char *out, const char *messages);
// As type_expect, where `part` must occur in the output (status 0) or in the messages (other).
void type_expect_part(const char *line, int status, const char *part);

#endif
