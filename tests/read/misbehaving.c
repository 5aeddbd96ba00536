// misbehaving.c - a reader for the tests whose "picture" is a word that says what evil to try.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// It enters the same jail as the real readers, reads the word from descriptor 0 and does it.
// Whoever gets past the deed writes "escaped" and a normal answer, which the tests take for a
// failure of the jail.
#define _GNU_SOURCE
#include "read/jail/jail.h"
#include "read/protocol.h"

#include <fcntl.h>
#include <math.h>
#include <sched.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/ptrace.h>
#include <sys/socket.h>
#include <sys/syscall.h>
#include <unistd.h>

static struct bw_jail_room room;

static void try_open(void) { (void)open("/etc/passwd", O_RDONLY); }
static void try_create(void) { (void)open("/tmp/beltwright-escaped", O_WRONLY | O_CREAT, 0600); }
static void try_socket(void) { (void)socket(AF_INET, SOCK_STREAM, 0); }
static void try_execve(void) {
    char *const argv[] = {(char *)"sh", NULL};
    (void)execve("/bin/sh", argv, argv + 1);
}
static void try_map_executable(void) {
    (void)mmap(NULL, 4096, PROT_READ | PROT_WRITE | PROT_EXEC, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
}
static void try_make_executable(void) {
    void *page = mmap(NULL, 4096, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    (void)mprotect(page, 4096, PROT_READ | PROT_EXEC);
}
static void try_map_file(void) { (void)mmap(NULL, 4096, PROT_READ, MAP_SHARED, 0, 0); }
static void try_fork(void) {
    if (fork() == 0) pause();
}
static void try_thread(void) {
    (void)syscall(SYS_clone, CLONE_VM | CLONE_THREAD | CLONE_SIGHAND, NULL);
}
static void try_kill_parent(void) { (void)kill(getppid(), SIGKILL); }
static void try_ptrace(void) { (void)ptrace(PTRACE_TRACEME, 0, NULL, NULL); }
static void try_other_numbers(void) {
#ifdef __x86_64__
    (void)syscall(0x40000000 | SYS_getpid);  // the x32 numbers
#else
    (void)syscall(SYS_socket, AF_INET, SOCK_STREAM, 0);
#endif
}
static void try_read_elsewhere(void) {
    char byte;
    (void)!pread(5, &byte, 1, 0);
}
static void try_write_input(void) { (void)!write(0, "x", 1); }
static void try_unlimit(void) { (void)prctl(PR_SET_DUMPABLE, 1); }

// Asks for 10 GB and touches every sixteenth page of what it gets.
static void try_memory(void) {
    size_t got = 0;
    for (size_t i = 0; i < 10240; i++) {
        char *block = malloc((size_t)1 << 20);
        if (block == NULL) break;
        for (size_t at = 0; at < (size_t)1 << 20; at += 65536) block[at] = 1;
        got++;
    }
    struct bw_err err = {0};
    if (got == 10240) return;
    (void)bw_fail(&err, BW_MEMORY, "out of memory after %zu MiB", got);
    _exit(bw_jail_answer_failed(&room, BW_READ_PICTURE, &err));
}
static void try_loop(void) {
    for (volatile unsigned long i = 0;; i++) continue;
}
static void try_sleep(void) {
    static int word;
    (void)syscall(SYS_futex, &word, 0 /* FUTEX_WAIT */, 0, NULL, NULL, 0);
    pause();
}
static void try_flood(void) {
    for (;;) (void)!write(2, "all work and no play\n", 21);
}
static void try_crash(void) { raise(SIGSEGV); }
static void try_null(void) {
    volatile int *nowhere = NULL;
    *nowhere = 1;
}
static void try_silence(void) { _exit(0); }
static void try_status(void) { _exit(77); }

// Lying headers: an honest one of 4 x 2 pixels with one thing changed.
static struct bw_picture_header honest(void) {
    struct bw_picture_header header = {.width = 4,
                                       .height = 2,
                                       .bits = 8,
                                       .codes_at = BW_READ_DATA_AT + 1024,
                                       .codes_bytes = 8,
                                       .linear_at = BW_READ_DATA_AT,
                                       .linear_bytes = 1024,
                                       .format = BW_FORMAT_PNG,
                                       .file_bits = 8,
                                       .file_channels = 1,
                                       .orientation = 1};
    float *linear = (float *)(void *)(room.bytes + BW_READ_DATA_AT);
    for (int i = 0; i < 256; i++) linear[i] = (float)i / 255;
    return header;
}
static _Noreturn void send_header(struct bw_picture_header header, uint64_t bytes) {
    memcpy(room.bytes + sizeof(struct bw_read_envelope), &header, sizeof header);
    _exit(bw_jail_answer_done(&room, BW_READ_PICTURE, bytes));
}
static void lie_none(void) { send_header(honest(), BW_READ_DATA_AT + 1024 + 8); }
static void lie_wide(void) {
    struct bw_picture_header header = honest();
    header.width = (uint64_t)1 << 62;
    send_header(header, BW_READ_DATA_AT + 1024 + 8);
}
static void lie_overflow(void) {  // width x height wraps to 8
    struct bw_picture_header header = honest();
    header.width = 8;
    header.height = ((uint64_t)1 << 61) + 1;
    send_header(header, BW_READ_DATA_AT + 1024 + 8);
}
static void lie_place(void) {
    struct bw_picture_header header = honest();
    header.codes_at = UINT64_MAX - 7;
    send_header(header, BW_READ_DATA_AT + 1024 + 8);
}
static void lie_room(void) { send_header(honest(), room.size + 4096); }
static void lie_table(void) {
    struct bw_picture_header header = honest();
    ((float *)(void *)(room.bytes + BW_READ_DATA_AT))[7] = NAN;
    send_header(header, BW_READ_DATA_AT + 1024 + 8);
}
static void lie_date(void) {
    struct bw_picture_header header = honest();
    memset(header.taken_at, 0x1b, sizeof header.taken_at);
    send_header(header, BW_READ_DATA_AT + 1024 + 8);
}
static void lie_words(void) {  // an escape sequence for the terminal, no end
    struct bw_err err = {.code = BW_INPUT};
    memset(err.what, 'A', sizeof err.what);
    memcpy(err.what, "\x1b]0;owned\x07\n\xff\xfe", 12);
    _exit(bw_jail_answer_failed(&room, BW_READ_PICTURE, &err));
}
static void lie_code(void) {
    struct bw_err err = {.code = (enum bw_code)9999, .what = "nonsense"};
    _exit(bw_jail_answer_failed(&room, BW_READ_PICTURE, &err));
}

static const struct {
    const char *word;
    void (*deed)(void);
} DEEDS[] = {
    {"open", try_open},
    {"create", try_create},
    {"socket", try_socket},
    {"execve", try_execve},
    {"map-executable", try_map_executable},
    {"make-executable", try_make_executable},
    {"map-file", try_map_file},
    {"fork", try_fork},
    {"thread", try_thread},
    {"kill-parent", try_kill_parent},
    {"ptrace", try_ptrace},
    {"other-numbers", try_other_numbers},
    {"read-elsewhere", try_read_elsewhere},
    {"write-input", try_write_input},
    {"unlimit", try_unlimit},
    {"memory", try_memory},
    {"loop", try_loop},
    {"sleep", try_sleep},
    {"flood", try_flood},
    {"crash", try_crash},
    {"null", try_null},
    {"silence", try_silence},
    {"status", try_status},
    {"honest", lie_none},
    {"lie-wide", lie_wide},
    {"lie-overflow", lie_overflow},
    {"lie-place", lie_place},
    {"lie-room", lie_room},
    {"lie-table", lie_table},
    {"lie-date", lie_date},
    {"lie-words", lie_words},
    {"lie-code", lie_code},
};

int main(int argc, char **argv) {
    int status = bw_jail_start(argc, argv, &room);
    if (status != 0) _exit(status);
    char word[32] = {0};
    (void)!pread(0, word, sizeof word - 1, 0);
    for (size_t i = 0; i < sizeof DEEDS / sizeof DEEDS[0]; i++)
        if (strcmp(word, DEEDS[i].word) == 0) DEEDS[i].deed();
    (void)!write(2, "escaped\n", 8);
    struct bw_err err = {0};
    (void)bw_fail(&err, BW_FAILED, "escaped: %s", word);
    _exit(bw_jail_answer_failed(&room, BW_READ_PICTURE, &err));
}
