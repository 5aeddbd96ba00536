// cli.h - the command line: pages (what there is to type), how they are read, run and explained.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every command, a study or not, is one `struct bw_page`. Parsing, help, man page and completion
// all read pages and nothing else, so a name or a help text stands in one place only. A study's
// page is made from its description; no study's name occurs here.
#ifndef BW_CLI_CLI_H
#define BW_CLI_CLI_H

#include "base/arena.h"
#include "base/buffer.h"
#include "base/err.h"
#include "base/field.h"
#include "base/text.h"

#include <stdio.h>

struct bw_study;

// What may stand for an option's value; completion goes by it.
enum bw_takes {
    BW_TAKES_NOTHING,
    BW_TAKES_WORD,  // free text: a quantity, a phrase
    BW_TAKES_FILE,
    BW_TAKES_FOLDER,
    BW_TAKES_CHOICE,  // one of .choices
    BW_TAKES_PAGE     // the name of a command
};

// One thing that can be typed: an option, or a word at its place (positional).
struct bw_option {
    const char *name;   // "mark": typed as --mark
    char letter;        // 'h' for -h, '\0': none; only for options that take nothing
    const char *value;  // what stands for the value in help: "FILE"; NULL: takes none
    const char *help;   // no full stop
    enum bw_takes takes;
    const char *choices;  // "si us", for CHOICE
    bool positional, required, repeats;
    const struct bw_field *field;  // the one field it fills; NULL: an option of the program
};

struct bw_page {
    const char *name;                 // "" for the program itself
    const char *summary;              // one line, no full stop
    const char *about;                // paragraphs separated by a blank line
    const char *example;              // one command line that works, or NULL
    const struct bw_option *options;  // in the order of help; the list ends with name NULL
    const struct bw_study *study;     // NULL: not a study
};

#define BW_OPTION_UNJAILED                                                                         \
    {                                                                                              \
        .name = "unjailed",                                                                        \
        .help = "decode even where this machine cannot build the full jail; only for pictures "    \
                "you trust"                                                                        \
    }
#define BW_OPTION_HELP                                                                             \
    { .name = "help", .letter = 'h', .help = "say what the command does and takes" }
#define BW_END_OPTIONS                                                                             \
    { .name = NULL }

// What was given, in the order typed. `option` points into the page.
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
    int width;  // columns of prose
};

struct bw_command {
    struct bw_page page;
    bool (*run)(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err);
    // Reads its line itself, for a command whose options hang on its words; NULL: by its page.
    bool (*raw)(struct bw_cli *cli, int argc, char **argv, bool *taken, struct bw_err *err);
};

// The whole program. Returns the exit status: 0 done, 1 the work failed, 2 unusable arguments or
// input. Not reentrant (getopt_long).
int bw_cli_main(int argc, char **argv, FILE *out, FILE *messages);

// --- Commands that are not studies, one file each; the list ends with NULL.
extern const struct bw_command bw_command_ask, bw_command_lint, bw_command_picture,
    bw_command_sound, bw_command_serve, bw_command_table, bw_command_selfcheck, bw_command_schema,
    bw_command_man, bw_command_completion, bw_command_help, bw_command_version;
extern const struct bw_command bw_command_job, bw_command_job_new, bw_command_job_show,
    bw_command_job_add, bw_command_job_fix, bw_command_job_undo, bw_command_job_close,
    bw_command_job_reopen, bw_command_job_list, bw_command_job_find, bw_command_job_export,
    bw_command_job_import, bw_command_job_merge, bw_command_job_erase, bw_command_job_recheck,
    bw_command_job_ask, bw_command_job_answer, bw_command_knowledge, bw_command_compare;
const struct bw_command *const *bw_commands(void);
// Any study (study.c), and any page's help (help.c).
bool bw_study_command(struct bw_cli *cli, const struct bw_page *page,
                      const struct bw_arguments *given, struct bw_err *err) BW_CHECKED;
// The input that the words and options of a study's line make up.
// The nodes that the words and options of a study's line make up, and what is wrong with them said
// of the options.
bool bw_study_nodes(struct bw_arena *arena, const struct bw_page *page,
                    const struct bw_arguments *given, struct bw_node **out,
                    struct bw_err *err) BW_CHECKED;
void bw_study_blame(struct bw_arena *arena, const struct bw_page *page,
                    const struct bw_arguments *given, struct bw_err *err);
// Nothing is typed beside --input.
bool bw_study_only_document(struct bw_arena *arena, const struct bw_arguments *given,
                            struct bw_err *err) BW_CHECKED;
bool bw_study_typed(struct bw_arena *arena, const struct bw_page *page,
                    const struct bw_arguments *given, const void **in,
                    struct bw_err *err) BW_CHECKED;
bool bw_help_write(struct bw_cli *cli, const struct bw_page *page, struct bw_err *err) BW_CHECKED;

// --- Pages (pages.c).
// The page of a study or command; "" is the program's own. It lives in the arena. Errors:
// BW_NOT_FOUND with the nearest name, BW_MEMORY.
bool bw_page_find(struct bw_arena *arena, const char *name, struct bw_page *out,
                  struct bw_err *err) BW_CHECKED;
// The field has a word or an option of its own; what lies deeper comes as a document.
bool bw_field_is_typed(const struct bw_field *field);
// A command of two words is the page "job-new": typed "job new", told after "job".
bool bw_page_is_member(const char *name);
const char *bw_page_typed(struct bw_arena *arena, const char *name);
// The name of page `index`: studies first, then the other commands; NULL past the last.
const char *bw_page_name(size_t index);

// --- Reading the command line (options.c).
// argv[0], the command's name, is not read. --help ends the reading. Errors: BW_USAGE.
bool bw_options_read(struct bw_arena *arena, const struct bw_page *page, int argc, char **argv,
                     struct bw_arguments *out, struct bw_err *err) BW_CHECKED;
// Everything required was given. Error: BW_USAGE.
bool bw_options_complete(struct bw_arena *arena, const struct bw_page *page,
                         const struct bw_arguments *given, struct bw_err *err) BW_CHECKED;
bool bw_given(const struct bw_arguments *given, const char *name);
// The value of the first of that name; NULL: not given.
const char *bw_given_value(const struct bw_arguments *given, const char *name);

// --- Words for what can be typed (words.c). All live in the arena; "?" when memory is gone.
// "--mark", "MACHINE".
const char *bw_option_typed(struct bw_arena *arena, const struct bw_option *option);
// "--mark MARK", "-h, --help", "MACHINE".
const char *bw_option_form(struct bw_arena *arena, const struct bw_option *option);
// "rates MACHINE --feed FEED [OPTION]...".
const char *bw_page_usage(struct bw_arena *arena, const struct bw_page *page);
// All that is to say of it in one paragraph: help, what it takes, what is taken without it.
const char *bw_option_help(struct bw_arena *arena, const struct bw_option *option);
// How a record is written on one line, "PITCH [at FEED] [is SOURCE]"; NULL: only as key=value.
const char *bw_record_phrase(struct bw_arena *arena, const struct bw_record *record);
// The record behind a RECORD or LIST field's option, NULL for others.
const struct bw_record *bw_option_record(const struct bw_option *option);
const char *bw_field_help(struct bw_arena *arena, const struct bw_field *field);
// The help of a field's `i`-th choice, way of measuring or variant, and how it is typed, "by rule";
// NULL past the last.
const char *bw_field_value_help(struct bw_arena *arena, const struct bw_field *field, size_t i,
                                const char **typed);
// The field can stand in a group: it is a quantity, a count, a choice or a text.
bool bw_field_is_scalar(const struct bw_field *field);
// The next paragraph of a page's about text on one line, NULL after the last; `rest` moves on.
const char *bw_next_paragraph(struct bw_arena *arena, const char **rest);
const char *bw_upper(struct bw_arena *arena, const char *text);

// --- Output (terminal.c).
// COLUMNS, else the terminal's width, else 80; never below 40 or above 100.
int bw_terminal_width(FILE *out);
// Writes the buffer to the file `name`, "-": standard output; frees it whatever happens. Errors:
// BW_IO, BW_MEMORY.
bool bw_write(struct bw_cli *cli, const char *name, struct bw_buffer *buffer,
              struct bw_err *err) BW_CHECKED;
struct bw_text bw_cli_text(struct bw_cli *cli, enum bw_units units);

#endif
