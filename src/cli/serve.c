// serve.c - `beltwright serve`: hands over to beltwright-serve, which lies beside this program.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A program of its own, so that nothing else starts slower for it.
#include "cli/cli.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

// The other program in the folder of this one.
static const char *beside(struct bw_arena *arena, const char *name) {
    char self[4096];
    ssize_t n = readlink("/proc/self/exe", self, sizeof self - 1);
    if (n <= 0) return NULL;
    self[n] = '\0';
    const char *slash = strrchr(self, '/');
    if (slash == NULL) return NULL;
    return bw_arena_format(arena, "%.*s%s", (int)(slash - self + 1), self, name);
}

// The same options once more, as the other program reads them by the same page.
static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    const char *program = beside(cli->arena, "beltwright-serve");
    char **argv = bw_arena_array(cli->arena, given->n + 2, sizeof *argv);
    if (program == NULL || argv == NULL) return bw_fail_memory(err);
    argv[0] = bw_arena_format(cli->arena, "%s", program);
    for (size_t i = 0; i < given->n; i++) {
        const struct bw_given *item = &given->items[i];
        argv[i + 1] = bw_arena_format(cli->arena, "--%s=%s", item->option->name, item->value);
    }
    if (bw_arena_failed(cli->arena)) return bw_fail_memory(err);
    (void)fflush(NULL);
    (void)execv(program, argv);
    bw_fail(err, BW_FAILED, "the server cannot be started: %s", strerror(errno));
    bw_err_file(err, program);
    bw_err_mend(err, "install beltwright-serve beside this program");
    return false;
}

static const struct bw_option OPTIONS[] = {
    {.name = "port",
     .value = "N",
     .takes = BW_TAKES_WORD,
     .help = "the port, 0 for any that is free; without it, 8137"},
    {.name = "folder",
     .value = "FOLDER",
     .takes = BW_TAKES_FOLDER,
     .help = "documents that the forms offer: machine files above all"},
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_serve = {
    .page = {.name = "serve",
             .summary = "show every study as a page, for the bench and the phone",
             .about =
                 "Serves pages on this machine: a form for every study, its answer, its plots. "
                 "Photos and files are sent through the page. Nothing is asked of any other "
                 "machine, and no other machine is answered.\n\n"
                 "Under /api/ other programs ask the same in JSON; /api/openapi.json describes "
                 "it.",
             .example = "beltwright serve --folder examples",
             .options = OPTIONS},
    .run = run,
};
