// filter.c - writes the jail's system-call filter for an architecture, as the kernel would take it.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// usage: beltwright-read-filter x86_64|aarch64 > program      tests/read/jail.py runs and judges
// it.
#include "read/jail/jail.h"

#include <unistd.h>

int main(int argc, char **argv) {
    return argc == 2 && bw_jail_filter_write(argv[1], STDOUT_FILENO) ? 0 : 1;
}
