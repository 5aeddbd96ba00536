// version.c - `beltwright version`, also --version.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    (void)given;
    struct bw_buffer out = {0};
    bw_buffer_text(&out, "beltwright " BELTWRIGHT_VERSION "\n"
                         "Licence GPL-3.0-or-later: free to use, to study, to change and to share. "
                         "No warranty.\n");
    return bw_write(cli, "-", &out, err);
}

static const struct bw_option OPTIONS[] = {BW_OPTION_HELP, BW_END_OPTIONS};

const struct bw_command bw_command_version = {
    .page = {.name = "version",
             .summary = "say which version this is",
             .about = "Prints the program's version and licence.",
             .example = "beltwright version",
             .options = OPTIONS},
    .run = run,
};
