// test_read_reader.c - a reader that misbehaves in every way is stopped, told of and outlived.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The evil reader is tests/read/misbehaving.c; it stands beside this program, as the real ones do
// beside beltwright. Without a jail (sanitizer builds) only what needs none is tried.
#define _GNU_SOURCE
#include "read/reader.h"

#include "base/alloc.h"
#include "read/picture.h"

#include <dirent.h>
#include <fcntl.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

#define EVIL "beltwright-read-misbehaving"

// A file whose content is the word for the deed.
static int deed_file(const char *word) {
    int fd = memfd_create("deed", MFD_CLOEXEC);
    assert_true(fd >= 0);
    assert_int_equal(write(fd, word, strlen(word)), (ssize_t)strlen(word));
    return fd;
}

static bool misbehave_for(const char *word, double wall_s, struct bw_picture *out,
                          struct bw_err *err) {
    struct bw_picture_options options = {.program = EVIL, .wall_s = wall_s};
    int fd = deed_file(word);
    bool ok = bw_picture_read_open(fd, word, &options, out, err);
    (void)close(fd);
    return ok;
}

static int open_descriptors(void) {
    int n = 0;
    DIR *folder = opendir("/proc/self/fd");
    assert_non_null(folder);
    while (readdir(folder) != NULL) n++;
    (void)closedir(folder);
    return n;
}

// One word, one line: refused with the code, and the words of the line.
static void stopped(const char *word, double wall_s, enum bw_code code, const char *line) {
    struct bw_picture picture = {.width = 77};
    struct bw_err err = {0};
    int before = open_descriptors();
    if (misbehave_for(word, wall_s, &picture, &err)) fail_msg("%s went through", word);
    if (err.code != code || strstr(err.what, line) == NULL)
        fail_msg("%s: %s: %s", word, bw_code_id(err.code), err.what);
    assert_null(strchr(err.what, '\n'));
    assert_string_equal(err.mend, "");
    assert_string_equal(err.file, word);
    assert_int_equal(picture.width, 77);  // untouched
    assert_int_equal(open_descriptors(), before);
    assert_true(waitpid(-1, NULL, WNOHANG) < 0);  // nobody left behind
}

#ifndef BW_JAIL_OFF
#define FORBIDDEN "tried something that its jail forbids"

static void test_forbidden_calls(void **state) {
    (void)state;
    static const char *const WORDS[] = {"open",           "create",         "socket",
                                        "execve",         "map-executable", "make-executable",
                                        "map-file",       "fork",           "thread",
                                        "kill-parent",    "ptrace",         "other-numbers",
                                        "read-elsewhere", "write-input",    "unlimit"};
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++)
        stopped(WORDS[i], 100, BW_REFUSED, FORBIDDEN);
    assert_int_equal(access("/tmp/beltwright-escaped", F_OK), -1);
}

static void test_ten_gigabytes(void **state) {
    (void)state;
    struct rusage before, after;
    (void)getrusage(RUSAGE_CHILDREN, &before);
    stopped("memory", 100, BW_MEMORY, "out of memory after");
    (void)getrusage(RUSAGE_CHILDREN, &after);
    assert_in_range(after.ru_maxrss, 1, 800 * 1024);  // of 10 GB asked for
}
// The whole of a file under /proc/PID as text. False: it cannot be read.
static bool proc_text(pid_t pid, const char *name, char *text, size_t size) {
    char path[80];
    (void)snprintf(path, sizeof path, "/proc/%d/%s", (int)pid, name);
    int fd = open(path, O_RDONLY | O_CLOEXEC);
    if (fd < 0) return false;
    ssize_t n = 0, got;
    while ((got = read(fd, text + n, size - 1 - (size_t)n)) > 0) n += got;
    (void)close(fd);
    text[n] = '\0';
    return got == 0;
}

// The first child of `parent` once its filter stands; 0: none within two seconds.
static pid_t jailed_child(pid_t parent) {
    char children[40], text[4096];
    (void)snprintf(children, sizeof children, "task/%d/children", (int)parent);
    for (int i = 0; i < 2000; i++) {
        pid_t pid = 0;
        char *end;
        if (proc_text(parent, children, text, sizeof text)) pid = (pid_t)strtol(text, &end, 10);
        if (pid > 0 && proc_text(pid, "status", text, sizeof text) &&
            strstr(text, "\nSeccomp:\t2\n") != NULL)
            return pid;
        (void)nanosleep(&(struct timespec){.tv_nsec = 1000000}, NULL);
    }
    return 0;
}

// Looked at from outside while it sleeps in its jail.
static void test_seen_from_outside(void **state) {
    (void)state;
    pid_t caller = fork();
    assert_true(caller >= 0);
    if (caller == 0) {
        struct bw_picture picture;
        struct bw_err err = {0};
        _exit(misbehave_for("sleep", 4, &picture, &err) || err.code != BW_TIMEOUT);
    }
    char text[8192];
    pid_t reader = jailed_child(caller);
    assert_true(reader > 0);
    assert_true(proc_text(reader, "status", text, sizeof text));
    assert_non_null(strstr(text, "\nNoNewPrivs:\t1\n"));
    assert_non_null(strstr(text, "\nThreads:\t1\n"));
    assert_true(proc_text(reader, "environ", text, sizeof text));
    assert_string_equal(text, "");
    assert_true(proc_text(reader, "limits", text, sizeof text));
    assert_non_null(strstr(text, "Max open files            0                    0 "));
    assert_non_null(strstr(text, "Max file size             0                    0 "));
    assert_non_null(strstr(text, "Max core file size        0                    0 "));
    assert_non_null(strstr(text, "Max processes             0                    0 "));
    assert_null(strstr(text, "Max address space         unlimited"));
    char folder[40];
    (void)snprintf(folder, sizeof folder, "/proc/%d/fd", (int)reader);
    DIR *descriptors = opendir(folder);
    assert_non_null(descriptors);
    int n = 0;
    for (const struct dirent *entry; (entry = readdir(descriptors)) != NULL; n++)
        if (strcmp(entry->d_name, "1") == 0) fail_msg("the room's descriptor is open");
    (void)closedir(descriptors);
    assert_int_equal(n, 4);  // ".", "..", 0 and 2
    int status;
    assert_int_equal(waitpid(caller, &status, 0), caller);
    assert_int_equal(status, 0);
}
#else
static void test_seen_from_outside(void **state) {
    (void)state;
    skip();
}
static void test_forbidden_calls(void **state) {
    (void)state;
    skip();
}
static void test_ten_gigabytes(void **state) {
    (void)state;
    skip();
}
#endif

static double now_s(void) {
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static void test_endless(void **state) {
    (void)state;
    double start = now_s();
    stopped("loop", 0.3, BW_TIMEOUT, "took longer than 0.3 s and was stopped");
    stopped("sleep", 0.3, BW_TIMEOUT, "took longer than 0.3 s and was stopped");
    assert_true(now_s() - start < 10);
}

static void test_processor_time(void **state) {
    (void)state;
    int fd = deed_file("loop");
    struct bw_reader_call call = {.program = EVIL,
                                  .input = fd,
                                  .kind = BW_READ_PICTURE,
                                  .room_bytes = 1 << 20,
                                  .memory_bytes = 64 << 20,
                                  .wall_s = 50,
                                  .cpu_s = 1};
    struct bw_reader_answer answer;
    struct bw_err err = {0};
    assert_false(bw_reader_run(&call, &answer, &err));
    assert_int_equal(err.code, BW_TIMEOUT);
    assert_string_equal(err.what, "the reader used up its 1 s of computing and was stopped");
    (void)close(fd);
}

static void test_flood(void **state) {
    (void)state;
    stopped("flood", 100, BW_REFUSED, "would not stop talking");
}

static void test_crash(void **state) {
    (void)state;
#ifndef BW_JAIL_OFF  // the sanitizer takes the signal for itself
    stopped("null", 100, BW_INPUT, "crashed on this file (signal 11)");
    // raise() is a call like others, and not a permitted one.
    stopped("crash", 100, BW_REFUSED, FORBIDDEN);
#endif
    stopped("silence", 100, BW_REFUSED, "does not hold together (no header)");
    stopped("status", 100, BW_FAILED, "did not start properly (status 77)");
}

static void test_lies(void **state) {
    (void)state;
    stopped("lie-wide", 100, BW_REFUSED, "does not hold together (width or height)");
    stopped("lie-overflow", 100, BW_REFUSED, "does not hold together (width or height)");
    stopped("lie-place", 100, BW_REFUSED, "does not hold together (number of codes)");
    stopped("lie-room", 100, BW_REFUSED, "does not hold together (more data than room)");
    stopped("lie-table", 100, BW_REFUSED, "does not hold together (table)");
    stopped("lie-date", 100, BW_REFUSED, "does not hold together (date)");
    stopped("lie-words", 100, BW_INPUT, "?]0;owned???A");
    stopped("lie-code", 100, BW_REFUSED, "does not hold together (no reason given)");
}

// The other side of all this: an honest answer comes through, sealed.
static void test_honest(void **state) {
    (void)state;
    struct bw_picture picture = {0};
    struct bw_err err = {0};
    assert_true(misbehave_for("honest", 100, &picture, &err));
    assert_int_equal(picture.width, 4);
    assert_int_equal(picture.height, 2);
    assert_true(picture.linear[255] == 1);
    float row[4];
    bw_picture_row(&picture, 1, row);
    assert_true(row[3] == 0);
    bw_picture_free(&picture);
    bw_picture_free(&picture);
    bw_picture_free(NULL);
}

static void test_sealed(void **state) {
    (void)state;
    int fd = deed_file("honest");
    struct bw_reader_call call = {.program = EVIL,
                                  .input = fd,
                                  .kind = BW_READ_PICTURE,
                                  .room_bytes = 1 << 20,
                                  .memory_bytes = 64 << 20};
    struct bw_reader_answer answer;
    struct bw_err err = {0};
    assert_true(bw_reader_run(&call, &answer, &err));
    struct stat about;
    assert_int_equal(fstat(answer.room, &about), 0);
    assert_int_equal(about.st_size, answer.envelope.bytes);
    int seals = F_SEAL_WRITE | F_SEAL_GROW | F_SEAL_SHRINK | F_SEAL_SEAL;
    assert_int_equal(fcntl(answer.room, F_GET_SEALS) & seals, seals);
    assert_int_equal(pwrite(answer.room, "x", 1, 0), -1);
    assert_int_equal(ftruncate(answer.room, 0), -1);
    (void)close(answer.room);
    (void)close(fd);
}

static void test_missing_reader(void **state) {
    (void)state;
    struct bw_picture_options options = {.program = "no-such-reader"};
    struct bw_picture picture;
    struct bw_err err = {0};
    int fd = deed_file("honest");
    assert_false(bw_picture_read_open(fd, "f", &options, &picture, &err));
    assert_int_equal(err.code, BW_FAILED);
    assert_non_null(strstr(err.what, "is not beside the program"));
    // Not a program at all.
    err = (struct bw_err){0};
    options.program = "/etc/hostname";
    assert_false(bw_picture_read_open(fd, "f", &options, &picture, &err));
    assert_int_equal(err.code, BW_FAILED);
    assert_non_null(strstr(err.what, "did not start properly (status 127)"));
    (void)close(fd);
}

// A reader that anybody may replace is not started.
static void test_writable_reader(void **state) {
    (void)state;
    char path[] = "/tmp/beltwright-test-XXXXXX";
    int made = mkstemp(path);
    assert_true(made >= 0);
    assert_int_equal(fchmod(made, 0777), 0);
    (void)close(made);
    struct bw_picture_options options = {.program = path};
    struct bw_picture picture;
    struct bw_err err = {0};
    int fd = deed_file("honest");
    assert_false(bw_picture_read_open(fd, "f", &options, &picture, &err));
    assert_int_equal(err.code, BW_REFUSED);
    (void)close(fd);
    (void)unlink(path);
}

static void test_not_a_file(void **state) {
    (void)state;
    struct bw_picture picture;
    struct bw_err err = {0};
    assert_false(bw_picture_read("/dev/zero", NULL, &picture, &err));
    assert_int_equal(err.code, BW_UNSUPPORTED);
    assert_string_equal(err.file, "/dev/zero");
    err = (struct bw_err){0};
    assert_false(bw_picture_read("/no/such/picture.jpg", NULL, &picture, &err));
    assert_int_equal(err.code, BW_NOT_FOUND);
    err = (struct bw_err){0};
    char fifo[] = "/tmp/beltwright-fifo-XXXXXX";
    assert_non_null(mkdtemp(fifo));
    char inside[64];
    (void)snprintf(inside, sizeof inside, "%s/pipe", fifo);
    assert_int_equal(mkfifo(inside, 0600), 0);
    assert_false(bw_picture_read(inside, NULL, &picture, &err));  // and does not wait for a writer
    assert_int_equal(err.code, BW_UNSUPPORTED);
    (void)unlink(inside);
    (void)rmdir(fifo);
}

static void test_out_of_memory(void **state) {
    (void)state;
    struct bw_picture picture;
    struct bw_err err = {0};
    bw_alloc_fail_at(1);
    bool ok = misbehave_for("honest", 100, &picture, &err);
    bw_alloc_fail_at(0);
    assert_false(ok);
    assert_int_equal(err.code, BW_MEMORY);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_forbidden_calls),
        cmocka_unit_test(test_ten_gigabytes),
        cmocka_unit_test(test_seen_from_outside),
        cmocka_unit_test(test_endless),
        cmocka_unit_test(test_processor_time),
        cmocka_unit_test(test_flood),
        cmocka_unit_test(test_crash),
        cmocka_unit_test(test_lies),
        cmocka_unit_test(test_honest),
        cmocka_unit_test(test_sealed),
        cmocka_unit_test(test_missing_reader),
        cmocka_unit_test(test_writable_reader),
        cmocka_unit_test(test_not_a_file),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
