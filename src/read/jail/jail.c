// jail.c - see jail.h. Order: descriptors, limits, Landlock, filter; each works without the next.
// SPDX-License-Identifier: GPL-3.0-or-later
#define _GNU_SOURCE  // syscall, MAP_ANONYMOUS, close_range's number
#include "read/jail/jail.h"

#include <errno.h>
#include <seccomp.h>
#include <stddef.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

#ifndef BW_JAIL_OFF

static void close_above(unsigned first) {
#ifdef SYS_close_range
    if (syscall(SYS_close_range, first, ~0u, 0u) == 0) return;
#endif
    for (int fd = (int)first; fd < 1024; fd++) (void)close(fd);
}

static bool lower(__rlimit_resource_t what, rlim_t to) {
    return setrlimit(what, &(struct rlimit){.rlim_cur = to, .rlim_max = to}) == 0;
}

// Landlock: numbers and layouts of linux/landlock.h, written out because the header of the build
// machine may be older than the running kernel. All rights the kernel knows are taken, none is
// given back.

struct landlock_rules {
    uint64_t files, network, scopes;
};
#define LANDLOCK_CREATE 444L
#define LANDLOCK_RESTRICT 446L
#define LANDLOCK_ASK_VERSION 1u

// File rights by version: 13 at first, then refer, truncate, and from 5 on device commands.
static uint64_t file_rights(long version) {
    int rights = version >= 5 ? 16 : version >= 3 ? 15 : version == 2 ? 14 : 13;
    return ((uint64_t)1 << rights) - 1;
}

// The version now in force, 0: none.
static int enter_landlock(void) {
    long version = syscall(LANDLOCK_CREATE, NULL, (size_t)0, LANDLOCK_ASK_VERSION);
    if (version < 1) return 0;
    struct landlock_rules rules = {.files = file_rights(version)};
    size_t size = sizeof rules.files;
    if (version >= 4) {  // bind and connect
        rules.network = 3;
        size = offsetof(struct landlock_rules, scopes);
    }
    if (version >= 6) {  // abstract sockets and signals to others
        rules.scopes = 3;
        size = sizeof rules;
    }
    long fd = syscall(LANDLOCK_CREATE, &rules, size, 0u);
    if (fd < 0) return 0;
    bool ok = syscall(LANDLOCK_RESTRICT, (int)fd, 0u) == 0;
    (void)close((int)fd);
    return ok ? (int)version : 0;
}

#endif

// The filter. Everything not named kills the process.

// Calls that are harmless whatever their arguments: memory back, the end, the clock where the
// kernel does not answer it without a call, what locks do when nobody waits, and the size of the
// machine, which the C library's sort asks for.
static const int PLAIN_CALLS[] = {
    SCMP_SYS(munmap), SCMP_SYS(mremap), SCMP_SYS(brk), SCMP_SYS(exit), SCMP_SYS(exit_group),
    SCMP_SYS(futex), SCMP_SYS(clock_gettime), SCMP_SYS(sysinfo),
};

#define MAPPING_TYPE 15  // the bits of mmap's flags that say shared, private or checked shared

static bool add_rules(scmp_filter_ctx filter) {
    bool ok = true;
    for (size_t i = 0; i < sizeof PLAIN_CALLS / sizeof PLAIN_CALLS[0]; i++)
        ok = ok && seccomp_rule_add(filter, SCMP_ACT_ALLOW, PLAIN_CALLS[i], 0) == 0;
    // The file may be read, the pipe written.
    ok = ok && seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(pread64), 1,
                                SCMP_A0(SCMP_CMP_EQ, 0, 0)) == 0;
    ok = ok && seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(write), 1,
                                SCMP_A0(SCMP_CMP_EQ, 2, 0)) == 0;
    // Memory of its own that nobody can run. No mprotect at all.
    return ok && seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(mmap), 2,
                                  SCMP_A2(SCMP_CMP_MASKED_EQ, PROT_EXEC, 0),
                                  SCMP_A3(SCMP_CMP_MASKED_EQ, MAP_ANONYMOUS | MAPPING_TYPE,
                                          MAP_ANONYMOUS | MAP_PRIVATE)) == 0;
}

static scmp_filter_ctx make_filter(uint32_t architecture) {
    scmp_filter_ctx filter = seccomp_init(SCMP_ACT_KILL_PROCESS);
    if (filter == NULL) return NULL;
    // Calls in another architecture's numbers die as well; the library's own default kills one
    // thread.
    bool ok = seccomp_attr_set(filter, SCMP_FLTATR_ACT_BADARCH, SCMP_ACT_KILL_PROCESS) == 0;
    if (architecture != SCMP_ARCH_NATIVE && architecture != seccomp_arch_native())
        ok = ok && seccomp_arch_add(filter, architecture) == 0 &&
             seccomp_arch_remove(filter, SCMP_ARCH_NATIVE) == 0;
    if (ok && add_rules(filter)) return filter;
    seccomp_release(filter);
    return NULL;
}

bool bw_jail_filter_write(const char *architecture, int fd) {
    uint32_t token = seccomp_arch_resolve_name(architecture);
    scmp_filter_ctx filter = token == 0 ? NULL : make_filter(token);
    bool ok = filter != NULL && seccomp_export_bpf(filter, fd) == 0;
    if (filter != NULL) seccomp_release(filter);
    return ok;
}

#ifndef BW_JAIL_OFF

static bool enter_filter(void) {
    scmp_filter_ctx filter = make_filter(SCMP_ARCH_NATIVE);
    if (filter == NULL) return false;
    bool ok = seccomp_load(filter) == 0;
    seccomp_release(filter);
    return ok;
}

static struct bw_jail_report enter(void) {
    struct bw_jail_report report = {0};
    close_above(3);
    report.no_new_privileges = prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0;
    report.landlock = enter_landlock();
    bool limits = lower(RLIMIT_NOFILE, 0) && lower(RLIMIT_FSIZE, 0) && lower(RLIMIT_CORE, 0) &&
                  lower(RLIMIT_NPROC, 0);
    report.filter = enter_filter();
    if (report.filter && report.no_new_privileges && limits)
        report.tier = BW_JAIL_FULL;
    else if (report.filter || report.landlock > 0)
        report.tier = BW_JAIL_PARTIAL;
    return report;
}

#else

static struct bw_jail_report enter(void) {
    return (struct bw_jail_report){.tier = BW_JAIL_NONE, .by_build = true};
}

#endif

static bool map_room(struct bw_jail_room *out) {
    struct stat about, file;
    if (fstat(0, &file) != 0 || !S_ISREG(file.st_mode)) file.st_size = 0;
    if (fstat(1, &about) != 0 || about.st_size < BW_READ_DATA_AT) return false;
    void *bytes = mmap(NULL, (size_t)about.st_size, PROT_READ | PROT_WRITE, MAP_SHARED, 1, 0);
    if (bytes == MAP_FAILED) return false;
    *out = (struct bw_jail_room){
        .bytes = bytes, .size = (uint64_t)about.st_size, .file_bytes = (uint64_t)file.st_size};
    return true;
}

int bw_jail_start(int argc, char **argv, struct bw_jail_room *out) {
    if (argc != 2 || !map_room(out)) {
        static const char WORDS[] = "a reader is started by beltwright, not by hand\n";
        (void)!write(2, WORDS, sizeof WORDS - 1);
        return BW_READ_EXIT_START;
    }
    (void)close(1);  // the room is mapped; its descriptor has no further use
    bool any = strcmp(argv[1], BW_READ_ANY_JAIL) == 0;
    struct bw_jail_report report = enter();
    char line[BW_JAIL_LINE];
    bw_jail_line(line, &report);
    if (write(2, line, strlen(line)) != (ssize_t)strlen(line)) return BW_READ_EXIT_START;
    if (report.tier != BW_JAIL_FULL && !report.by_build && !any) return BW_READ_EXIT_UNJAILED;
    return 0;
}

static void begin_answer(struct bw_read_envelope *answer, uint32_t kind) {
    *answer = (struct bw_read_envelope){.version = BW_READ_VERSION, .kind = kind};
    memcpy(answer->magic, BW_READ_MAGIC, sizeof answer->magic);
}

int bw_jail_answer_done(const struct bw_jail_room *room, uint32_t kind, uint64_t bytes) {
    struct bw_read_envelope answer;
    begin_answer(&answer, kind);
    answer.state = BW_READ_DONE;
    answer.bytes = bytes;
    memcpy(room->bytes, &answer, sizeof answer);
    return BW_READ_EXIT_DONE;
}

int bw_jail_answer_failed(const struct bw_jail_room *room, uint32_t kind,
                          const struct bw_err *err) {
    struct bw_read_envelope answer;
    begin_answer(&answer, kind);
    answer.state = BW_READ_FAILED;
    answer.code = err->code;
    memcpy(answer.what, err->what, sizeof answer.what);
    memcpy(room->bytes, &answer, sizeof answer);
    return BW_READ_EXIT_FAILED;
}
