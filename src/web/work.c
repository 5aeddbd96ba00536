// work.c - see work.h. Between fork and exec only async-signal-safe calls are made.
// SPDX-License-Identifier: GPL-3.0-or-later
#define _GNU_SOURCE  // memfd_create, pidfds
#include "web/work.h"

#include "base/alloc.h"
#include "web/worker.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define MOST_WORKERS 16
#define MOST_TASKS (MOST_WORKERS + BW_MAX_WORK_QUEUE)
// A study holds one arena; a picture lies in a memory file beside it.
#define MEMORY_BYTES ((rlim_t)3 << 30)
#define RESULT_BYTES ((rlim_t)BW_MAX_BUFFER_BYTES)

struct slot {  // running: pid > 0; waiting: pid 0
    struct bw_task task;
    unsigned long number;  // in order of arrival
    pid_t pid;
    int watch, result;  // a pidfd, readable at the end; the memory file written to
    struct timespec until;
};

struct bw_work {
    const char *program, *word;
    int seconds;
    size_t most_running, running, n;
    unsigned long next_number;
    struct slot slots[MOST_TASKS];  // the first n
};

struct bw_work *bw_work_new(const char *program, const char *word, int seconds) {
    struct bw_work *work = bw_alloc_zero(1, sizeof *work);
    if (work == NULL) return NULL;
    long cores = sysconf(_SC_NPROCESSORS_ONLN);
    work->program = program;
    work->word = word;
    work->seconds = seconds;
    work->most_running = cores < 1 ? 1 : cores > MOST_WORKERS ? MOST_WORKERS : (size_t)cores;
    return work;
}

// ---- one child ----

static void set_limit(int what, rlim_t value) {
    const struct rlimit limit = {value, value};
    (void)setrlimit((__rlimit_resource_t)what, &limit);
}

// Moves the descriptor to `to`, to be kept over exec; what is closed on exec stays so elsewhere.
static bool place(int from, int to) {
    return from == to ? fcntl(to, F_SETFD, 0) == 0 : dup2(from, to) == to;
}

// In the child. Descriptors are first lifted above all the places, so that none is run over.
static void become_worker(const struct bw_work *work, const struct bw_task *task, int request,
                          int result) {
    int lifted[BW_MAX_WORK_FILES + 2];
    const int above = BW_WORKER_FILES + BW_MAX_WORK_FILES;
    sigset_t none;
    size_t n = 0;
    lifted[n++] = fcntl(request, F_DUPFD_CLOEXEC, above);
    lifted[n++] = fcntl(result, F_DUPFD_CLOEXEC, above);
    for (size_t i = 0; i < task->n_files; i++)
        lifted[n++] = fcntl(task->files[i], F_DUPFD_CLOEXEC, above);
    for (size_t i = 0; i < n; i++)
        if (lifted[i] < 0 || !place(lifted[i], BW_WORKER_REQUEST + (int)i)) _exit(126);
    set_limit(RLIMIT_CPU, (rlim_t)work->seconds);
    set_limit(RLIMIT_FSIZE, RESULT_BYTES);
    set_limit(RLIMIT_CORE, 0);
#ifndef BW_JAIL_OFF  // a build with sanitizers reserves terabytes of addresses
    set_limit(RLIMIT_AS, MEMORY_BYTES);
#endif
    (void)setpgid(0, 0);
    (void)sigemptyset(&none);
    (void)sigprocmask(SIG_SETMASK, &none, NULL);
    char *argv[] = {(char *)(uintptr_t)work->program, (char *)(uintptr_t)work->word, NULL};
    char *envp[] = {NULL};
    (void)execve(work->program, argv, envp);
    _exit(127);
}

static int memory_file(const struct bw_buffer *content) {
    int fd = memfd_create("beltwright-work", MFD_CLOEXEC);
    if (fd < 0 || content == NULL) return fd;
    for (size_t done = 0; done < content->length;) {
        ssize_t n = write(fd, content->data + done, content->length - done);
        if (n <= 0) {
            (void)close(fd);
            return -1;
        }
        done += (size_t)n;
    }
    return fd;
}

static void close_one(int fd) {
    if (fd >= 0) (void)close(fd);
}

static bool start(struct bw_work *work, struct slot *slot) {
    int request = memory_file(slot->task.request), result = memory_file(NULL);
    pid_t pid = request < 0 || result < 0 ? -1 : fork();
    if (pid == 0) become_worker(work, &slot->task, request, result);
    close_one(request);
    int watch = pid < 0 ? -1 : (int)syscall(SYS_pidfd_open, pid, 0);
    if (pid > 0 && watch < 0) {
        (void)kill(pid, SIGKILL);
        (void)waitpid(pid, NULL, 0);
    }
    if (watch < 0) {
        close_one(result);
        return false;
    }
    (void)setpgid(pid, pid);  // as the child does: whoever is first
    slot->pid = pid;
    slot->watch = watch;
    slot->result = result;
    (void)clock_gettime(CLOCK_MONOTONIC, &slot->until);
    slot->until.tv_sec += work->seconds;
    work->running++;
    return true;
}

// Its readers go with it: they are of its process group or notice its end.
static void stop(struct bw_work *work, struct slot *slot) {
    if (slot->pid <= 0) return;
    (void)kill(-slot->pid, SIGKILL);
    (void)waitpid(slot->pid, NULL, 0);
    close_one(slot->watch);
    close_one(slot->result);
    slot->pid = 0;
    work->running--;
}

static void forget(struct bw_work *work, size_t i) {
    stop(work, &work->slots[i]);
    work->slots[i] = work->slots[--work->n];
}

void bw_work_free(struct bw_work *work) {
    if (work == NULL) return;
    while (work->n > 0) forget(work, 0);
    bw_free(work);
}

// ---- the queue ----

static void start_waiting(struct bw_work *work) {
    while (work->running < work->most_running) {
        struct slot *first = NULL;
        for (size_t i = 0; i < work->n; i++) {
            struct slot *slot = &work->slots[i];
            if (slot->pid == 0 && (first == NULL || slot->number < first->number)) first = slot;
        }
        if (first == NULL || start(work, first)) {
            if (first == NULL) return;
            continue;
        }
        struct bw_task task = first->task;
        forget(work, (size_t)(first - work->slots));
        task.done(task.with, NULL, 0, "no worker could be started");
    }
}

bool bw_work_add(struct bw_work *work, const struct bw_task *task) {
    if (task->n_files > BW_MAX_WORK_FILES) return false;
    if (work->n >= work->most_running + BW_MAX_WORK_QUEUE) return false;
    work->slots[work->n++] =
        (struct slot){.task = *task, .number = work->next_number++, .watch = -1, .result = -1};
    start_waiting(work);
    return true;
}

void bw_work_cancel(struct bw_work *work, const void *with) {
    for (size_t i = work->n; i-- > 0;)
        if (work->slots[i].task.with == with) forget(work, i);
    start_waiting(work);
}

// ---- the loop's side ----

size_t bw_work_poll(const struct bw_work *work, struct pollfd *fds, size_t most) {
    size_t n = 0;
    for (size_t i = 0; i < work->n && n < most; i++)
        if (work->slots[i].pid > 0)
            fds[n++] = (struct pollfd){.fd = work->slots[i].watch, .events = POLLIN};
    return n;
}

static long ms_left(const struct slot *slot) {
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (slot->until.tv_sec - now.tv_sec) * 1000 + (slot->until.tv_nsec - now.tv_nsec) / 1000000;
}

int bw_work_patience(const struct bw_work *work) {
    long least = -1;
    for (size_t i = 0; i < work->n; i++) {
        if (work->slots[i].pid == 0) continue;
        long left = ms_left(&work->slots[i]);
        if (left < 0) left = 0;
        if (least < 0 || left < least) least = left;
    }
    return least > 60000 ? 60000 : (int)least;
}

static const char *why_ended(const siginfo_t *info) {
    if (info->si_code == CLD_EXITED)
        return info->si_status == 127 ? "the worker could not be started" : "the worker failed";
    return info->si_status == SIGXCPU || info->si_status == SIGKILL
               ? "it took longer or more memory than it may"
               : "the worker broke down";
}

static void hand_over(const struct slot *slot, const struct bw_task *task, const siginfo_t *info) {
    struct stat about;
    bool well = info->si_code == CLD_EXITED && info->si_status == 0 &&
                fstat(slot->result, &about) == 0 && about.st_size > 0;
    if (!well) {
        task->done(task->with, NULL, 0, why_ended(info));
        return;
    }
    size_t length = (size_t)about.st_size;
    void *map = mmap(NULL, length, PROT_READ, MAP_PRIVATE, slot->result, 0);
    if (map == MAP_FAILED) {
        task->done(task->with, NULL, 0, "no memory for the answer");
        return;
    }
    task->done(task->with, map, length, NULL);
    (void)munmap(map, length);
}

static void finish(struct bw_work *work, size_t i, const siginfo_t *info) {
    struct slot slot = work->slots[i];
    work->slots[i] = work->slots[--work->n];
    work->running--;
    (void)kill(-slot.pid, SIGKILL);  // what it may have left behind
    hand_over(&slot, &slot.task, info);
    close_one(slot.watch);
    close_one(slot.result);
}

void bw_work_tend(struct bw_work *work) {
    for (size_t i = work->n; i-- > 0;) {
        struct slot *slot = &work->slots[i];
        siginfo_t info = {0};
        if (slot->pid == 0) continue;
        if (ms_left(slot) <= 0) (void)kill(-slot->pid, SIGKILL);
        if (waitid(P_PID, (id_t)slot->pid, &info, WEXITED | WNOHANG) == 0 && info.si_pid != 0)
            finish(work, i, &info);
    }
    start_waiting(work);
}
