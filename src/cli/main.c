// main.c - the program's entry: everything else is in cli.c, where tests can call it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

int main(int argc, char **argv) { return bw_cli_main(argc, argv, stdout, stderr); }
