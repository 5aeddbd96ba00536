// cli.c - finds the command, reads its line, runs it, and says what went wrong.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "study/study.h"

#include <string.h>

// Those of two words follow the first of their family.
static const struct bw_command *const COMMANDS[] = {
    &bw_command_ask,
    &bw_command_lint,
    &bw_command_job,
    &bw_command_job_new,
    &bw_command_job_show,
    &bw_command_job_ask,
    &bw_command_job_answer,
    &bw_command_job_add,
    &bw_command_job_fix,
    &bw_command_job_undo,
    &bw_command_job_close,
    &bw_command_job_reopen,
    &bw_command_job_list,
    &bw_command_job_find,
    &bw_command_job_export,
    &bw_command_job_import,
    &bw_command_job_merge,
    &bw_command_job_erase,
    &bw_command_job_recheck,
    &bw_command_knowledge,
    &bw_command_compare,
    &bw_command_picture,
    &bw_command_sound,
    &bw_command_serve,
    &bw_command_table,
    &bw_command_selfcheck,
    &bw_command_schema,
    &bw_command_man,
    &bw_command_completion,
    &bw_command_help,
    &bw_command_version,
    NULL,
};

const struct bw_command *const *bw_commands(void) { return COMMANDS; }

static const struct bw_command *find(const char *name) {
    for (size_t i = 0; COMMANDS[i] != NULL; i++)
        if (strcmp(COMMANDS[i]->page.name, name) == 0) return COMMANDS[i];
    return NULL;
}

// The two options the program itself has; both are commands under another name.
static const char *command_named(const char *word) {
    if (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0) return "help";
    if (strcmp(word, "--version") == 0 || strcmp(word, "-V") == 0) return "version";
    return word;
}

// "job new" is the command "job-new", if there is one of that name. `words`: how many it took.
static const char *joined(struct bw_arena *arena, const char *name, int argc, char **argv,
                          int *words) {
    *words = 1;
    if (argc < 3) return name;
    const char *both = bw_arena_format(arena, "%s-%s", name, argv[2]);
    if (both == NULL || find(both) == NULL) return name;
    *words = 2;
    return both;
}

static bool name_the_command(const char *word, struct bw_err *err) {
    if (word == NULL || word[0] == '\0') {
        bw_fail(err, BW_USAGE, "no command given");
    } else if (word[0] == '-') {
        bw_fail(err, BW_USAGE, "an option stands before the command");
        bw_err_value(err, word);
        bw_err_mend(err, "the command comes first: beltwright COMMAND [OPTION]...");
    } else {
        return true;
    }
    bw_err_mend(err, "beltwright --help lists the commands");
    return false;
}

static bool run(struct bw_cli *cli, int argc, char **argv, struct bw_err *err) {
    if (cli->arena == NULL) return bw_fail_memory(err);
    const char *name = argc > 1 ? command_named(argv[1]) : NULL;
    if (!name_the_command(name, err)) return false;
    int words;
    name = joined(cli->arena, name, argc, argv, &words);
    struct bw_page page;
    if (!bw_page_find(cli->arena, name, &page, err)) return false;
    const struct bw_command *command = page.study == NULL ? find(name) : NULL;
    bool taken = false;
    if (command != NULL && command->raw != NULL) {
        if (!command->raw(cli, argc - words, argv + words, &taken, err)) return false;
        if (taken) return true;
    }
    struct bw_arguments given;
    if (!bw_options_read(cli->arena, &page, argc - words, argv + words, &given, err)) return false;
    if (bw_given(&given, "help")) return bw_help_write(cli, &page, err);
    if (page.study != NULL) return bw_study_command(cli, &page, &given, err);
    if (!bw_options_complete(cli->arena, &page, &given, err)) return false;
    return command->run(cli, &given, err);
}

int bw_cli_main(int argc, char **argv, FILE *out, FILE *messages) {
    struct bw_cli cli = {.out = out,
                         .messages = messages,
                         .arena = bw_arena_new(0),
                         .width = bw_terminal_width(out)};
    struct bw_err err = {0};
    bool done = run(&cli, argc, argv, &err);
    bw_arena_free(cli.arena);
    // A full disk or a closed pipe shows only now; and a message comes after what it is about.
    bool written = fflush(out) == 0 && !ferror(out);
    if (done && !written) done = bw_fail(&err, BW_IO, "writing the answer failed");
    if (!done) bw_err_print(&err, messages);
    return bw_code_exit(err.code);
}
