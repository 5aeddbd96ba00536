// style.h - what the parts of check_style share: a file cut into tokens, and where faults are told.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TOOLS_STYLE_H
#define BW_TOOLS_STYLE_H

#include "base/buffer.h"

enum token_kind { TOKEN_WORD, TOKEN_NUMBER, TOKEN_STRING, TOKEN_CHAR, TOKEN_MARK };

// One token of a C file; a comment is none. A string's text is without its quotes.
struct token {
    enum token_kind kind;
    const char *text;
    size_t length;
    int line;
    bool directive;  // on a line that begins with #
};

struct source {
    const char *path;  // from the root, with "/" between
    const char *text;
    size_t length;
    struct token *tokens;  // C files only
    size_t token_count;
};

#define MAX_EXEMPTIONS 100
#define MAX_STUDIES 100
#define MAX_NAME 200

// A fault somebody allowed, with a reason that stands in the file of exemptions.
struct exemption {
    char rule[MAX_NAME], place[MAX_NAME];
    int line;
    bool used;
};

struct style {
    struct exemption exemptions[MAX_EXEMPTIONS];
    size_t exemption_count;
    char studies[MAX_STUDIES][MAX_NAME];  // names of the folders in src/study/
    size_t study_count;
    int *function_lines;  // of every function seen, for --sizes
    size_t function_count, function_capacity;
    size_t file_count;
    int faults;
    const char *path;  // of the file being looked at
};

// Tells a fault in the file being looked at, unless it is exempt. `name` is what an exemption may
// name after the path (a function, a call); NULL: nothing.
void fault(struct style *style, int line, const char *rule, const char *name, const char *format,
           ...) BW_PRINTF(5, 6);

bool token_is(const struct token *token, const char *text);
bool path_within(const char *path, const char *folder);  // "src/base/x.c" is within "src/base/"
bool path_ends(const char *path, const char *ending);

// Each looks at one file for one kind of fault.
void check_text(struct style *style, const struct source *source);       // text.c: any text file
void check_calls(struct style *style, const struct source *source);      // calls.c: C files
void check_rooms(struct style *style, const struct source *source);      // rooms.c: C files
void check_functions(struct style *style, const struct source *source);  // functions.c: C files

// Cuts source->text into tokens; false: out of memory.
bool tokens_read(struct source *source) BW_CHECKED;  // tokens.c

#endif
