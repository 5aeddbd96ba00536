// cli.h - the command line: pages (what there is to type), how they are read, run and explained.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every command, a study or not, is one `struct bw_page`. Parsing, help, man page and completion all read pages and
// nothing else, so a name or a help text stands in one place only.
#ifndef BW_CLI_CLI_H
#define BW_CLI_CLI_H

#include "base/arena.h"
#include "base/err.h"
#include "base/field.h"
#include "base/text.h"

#include <stdio.h>

struct bw_study;

// What may stand for an option's value, for completion.
enum bw_takes {
    BW_TAKES_NOTHING,
    BW_TAKES_WORD,    // free text: a quantity, a phrase
    BW_TAKES_FILE,
    BW_TAKES_FOLDER,
    BW_TAKES_CHOICE,  // one of .choices
    BW_TAKES_PAGE     // a command's name
};

// One thing that can be typed: an option, or a word at its place (positional).
struct bw_option {
    const char *name;     // "mark": typed as --mark; of a word, its name
    char letter;          // -h, 0: none
    const char *value;    // what stands for the value in help: "FILE"; NULL: takes none
    const char *help;     // one sentence without full stop
    enum bw_takes takes;
    const char *choices;  // "si us": CHOICE only
    bool positional, required, repeats;
    const struct bw_field *field;  // the one field it fills; NULL: an option of the program
};

struct bw_page {
    const char *name;     // "" for the program itself
    const char *summary;  // one line, no full stop
    const char *about;    // paragraphs, separated by a blank line
    const char *example;  // one command line that works, or NULL
    const struct bw_option *options;  // words first; the list ends with name NULL
    const struct bw_study *study;     // NULL: not a study
};

// What the command was given, in the order typed. `option` points into the page.
struct bw_given {
    const struct bw_option *option;
    const char *value;  // NULL: takes none
};
struct bw_arguments {
    struct bw_given *items;
    size_t n;
};

// Where a command writes and what it may use; the arena lives as long as the command.
struct bw_cli {
    FILE *out, *messages;
    struct bw_arena *arena;
    int width;             // columns of prose, 40 to 100
    const char *program;   // "beltwright"
};

struct bw_command {
    struct bw_page page;
    bool (*run)(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err);
};

// The whole program: returns the exit status (0 done, 1 the work failed, 2 unusable arguments or input).
// Not reentrant (getopt_long).
int bw_cli_main(int argc, char **argv, FILE *out, FILE *messages);

// --- commands that are not studies, one file each; the list ends with NULL
extern const struct bw_command bw_command_table, bw_command_selfcheck, bw_command_schema,
    bw_command_man, bw_command_completion, bw_command_help, bw_command_version;
const struct bw_command *const *bw_commands(void);
bool bw_study_command(struct bw_cli *cli, const struct bw_page *page,
                      const struct bw_arguments *given, struct bw_err *err) BW_CHECKED;

// --- pages (pages.c)
// The page of a command or study, "" the program's own. Lives in the arena. Errors: BW_NOT_FOUND with the nearest
// name, BW_MEMORY.
bool bw_page_find(struct bw_arena *arena, const char *name, struct bw_page *out,
                  struct bw_err *err) BW_CHECKED;
// The name of command `index`: studies first, then the others; NULL past the last.
const char *bw_page_name(size_t index);
// The options of a study: one for each field that can be typed, then those every study has. NULL: out of memory.
const struct bw_option *bw_study_options(struct bw_arena *arena,
                                         const struct bw_study *study) BW_CHECKED;

// --- reading the command line (options.c)
// argv[0] is the command's name and is not read. --help ends the reading. Errors: BW_USAGE.
bool bw_options_read(struct bw_arena *arena, const struct bw_page *page, int argc, char **argv,
                     struct bw_arguments *out, struct bw_err *err) BW_CHECKED;
// The value of the first option (or word) of that name; NULL: not given, or takes none.
const char *bw_given_value(const struct bw_arguments *given, const char *name);
bool bw_given(const struct bw_arguments *given, const char *name);

// --- explaining it (explain.c)
// "MACHINE --mark MARK [--depth DEPTH] [OPTION]...": words and required options, in the arena.
const char *bw_page_usage(struct bw_arena *arena, const struct bw_page *page);
// "--mark MARK", "-h, --help", "MACHINE".
const char *bw_option_form(struct bw_arena *arena, const struct bw_option *option);
// How a record is written on one line: "PITCH [at FEED] [is SOURCE]"; NULL: it has no phrase.
const char *bw_record_phrase(struct bw_arena *arena, const struct bw_record *record);
// A field's place in a group of key=value: its help, and what it takes.
bool bw_field_typed(const struct bw_field *field);

// --- output (terminal.c)
// The width for prose: COLUMNS, else the terminal's, else 80; at most 100, at least 40.
int bw_terminal_width(FILE *out);
// Writes all of `bytes`; `name` "-" or NULL is cli->out. Errors: BW_IO with the file's name.
bool bw_write(struct bw_cli *cli, const char *name, const char *bytes, size_t length,
              struct bw_err *err) BW_CHECKED;
// Writes a finished buffer to `name` and frees it, whatever happens.
bool bw_write_buffer(struct bw_cli *cli, const char *name, struct bw_buffer *buffer,
                     struct bw_err *err) BW_CHECKED;
struct bw_text bw_cli_text(struct bw_cli *cli, enum bw_units units);

#endif
