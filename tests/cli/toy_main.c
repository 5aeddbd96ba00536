// toy_main.c - the whole program with the toy study among the others, for the command-line cases.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"
#include "house/toy.h"

int main(int argc, char **argv) {
    toy_register();
    return bw_cli_main(argc, argv, stdout, stderr);
}
