// without.c - runs a program on a kernel that lacks parts of the jail.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Calls of those parts answer "not implemented" to it and to all it starts.
// usage: beltwright-read-without seccomp|landlock|both PROGRAM [ARGUMENT...]
#define _GNU_SOURCE
#include <errno.h>
#include <seccomp.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/prctl.h>
#include <unistd.h>

#define LANDLOCK_CREATE 444

int main(int argc, char **argv) {
    if (argc < 3) return 2;
    bool both = strcmp(argv[1], "both") == 0;
    bool seccomp = both || strcmp(argv[1], "seccomp") == 0;
    bool landlock = both || strcmp(argv[1], "landlock") == 0;
    scmp_filter_ctx filter = seccomp_init(SCMP_ACT_ALLOW);
    bool ok = filter != NULL;
    if (seccomp)
        ok = ok && seccomp_rule_add(filter, SCMP_ACT_ERRNO(ENOSYS), SCMP_SYS(seccomp), 0) == 0 &&
             seccomp_rule_add(filter, SCMP_ACT_ERRNO(EINVAL), SCMP_SYS(prctl), 1,
                              SCMP_A0(SCMP_CMP_EQ, PR_SET_SECCOMP, 0)) == 0;
    if (landlock)
        ok = ok && seccomp_rule_add(filter, SCMP_ACT_ERRNO(ENOSYS), LANDLOCK_CREATE, 0) == 0;
    ok = ok && seccomp_load(filter) == 0;
    if (ok) (void)execv(argv[2], argv + 2);
    fprintf(stderr, "without: cannot start %s\n", argv[2]);
    return 1;
}
