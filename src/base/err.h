// err.h - one list of errors, and the context object a caller hands down to be told why.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A function that can fail returns bool (true: done) or a pointer (NULL: failed) and takes a
// `struct bw_err *err`, never NULL. On failure it fills `err` once, where the fault arose, and
// leaves its outputs untouched; callers up the stack only add what they alone know (file, field).
// Bad input returns; a broken invariant asserts.
#ifndef BW_BASE_ERR_H
#define BW_BASE_ERR_H

#include "base/limits.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#if defined(__GNUC__)
#define BW_CHECKED __attribute__((warn_unused_result))
#define BW_PRINTF(fmt, first) __attribute__((format(printf, fmt, first)))
#else
#define BW_CHECKED
#define BW_PRINTF(fmt, first)
#endif

// X(NAME, "id", "what it means", exit status, HTTP status)
// Exit status: 1 the work failed, 2 unusable arguments or input.
#define BW_ERRORS(X)                                                                               \
    X(OK, "ok", "no error", 0, 200)                                                                \
    X(USAGE, "usage", "the command line or request cannot be taken", 2, 400)                       \
    X(SYNTAX, "syntax", "the document cannot be parsed", 2, 400)                                   \
    X(INPUT, "input", "a value is missing, misspelt, of the wrong kind or out of range", 2, 422)   \
    X(LIMIT, "limit", "a size or count is above its maximum", 2, 413)                              \
    X(NOT_FOUND, "not-found", "a named thing does not exist", 2, 404)                              \
    X(UNSUPPORTED, "unsupported", "a kind of input this program does not take", 2, 415)            \
    X(REFUSED, "refused", "not done for safety", 2, 403)                                           \
    X(IO, "io", "reading or writing failed", 1, 500)                                               \
    X(MEMORY, "memory", "out of memory", 1, 503)                                                   \
    X(FAILED, "failed", "the computation could not be completed", 1, 500)                          \
    X(CANCELLED, "cancelled", "stopped on request", 1, 499)                                        \
    X(TIMEOUT, "timeout", "took longer than it may", 1, 504)

enum bw_code {
#define BW_X(name, id, text, exit_status, http) BW_##name,
    BW_ERRORS(BW_X)
#undef BW_X
        BW_CODE_COUNT
};

// Caller-supplied, zero-initialised (`struct bw_err err = {0};`), no ownership, may be reused after
// bw_err_clear. Every text is NUL-terminated valid UTF-8, cut at its size.
struct bw_err {
    enum bw_code code;                 // BW_OK: nothing went wrong
    int line, column;                  // 1-based, 0: not known; column counts characters
    char what[BW_MAX_ERROR_TEXT];      // what is wrong, one sentence without a full stop
    char file[BW_MAX_ERROR_FILE];      // file or document name, "" if none
    char field[BW_MAX_ERROR_FIELD];    // path such as heads[1].drum.diameter, "" if none
    char value[BW_MAX_ERROR_FIELD];    // what stood there, "" if none
    char mend[BW_MAX_ERROR_TEXT];      // what to do about it, "" if nothing useful can be said
    char excerpt[BW_MAX_ERROR_FIELD];  // the source line, for the caret; "" if none
};

// Records an error unless one is recorded already (the first is where it arose). Always returns
// false, so that `return bw_fail(err, ...)` reads well.
bool bw_fail(struct bw_err *err, enum bw_code code, const char *what, ...) BW_PRINTF(3, 4);
// Out of memory; the same words everywhere. Returns false.
bool bw_fail_memory(struct bw_err *err);

// Context. Each fills its part only if it is still empty, so the innermost caller wins.
void bw_err_file(struct bw_err *err, const char *file);
void bw_err_place(struct bw_err *err, int line, int column);
void bw_err_excerpt(struct bw_err *err, const char *line_text, size_t length);
void bw_err_value(struct bw_err *err, const char *value);
void bw_err_mend(struct bw_err *err, const char *mend, ...) BW_PRINTF(2, 3);
// Prepends one step to the path: "diameter" then "drum" then "heads[1]" gives
// heads[1].drum.diameter.
void bw_err_within(struct bw_err *err, const char *step);
void bw_err_within_index(struct bw_err *err, const char *step, size_t index);

void bw_err_clear(struct bw_err *err);

// The error as a person reads it on a terminal, GNU form, several lines:
//   beltwright: doors.yaml:12:15: heads[1].drum.diameter: needs a length, got a speed ("12 m/s")
//       diameter: 12 m/s
//                 ^
//     write it as 160 mm or 6 5/16 in
void bw_err_print(const struct bw_err *err, FILE *to);

const char *bw_code_id(enum bw_code code);    // "usage"
const char *bw_code_text(enum bw_code code);
int bw_code_exit(enum bw_code code);
int bw_code_http(enum bw_code code);

#endif
