// reader.c - see reader.h. Between fork and exec only async-signal-safe calls are made.
// SPDX-License-Identifier: GPL-3.0-or-later
#define _GNU_SOURCE  // memfd_create, seals, fexecve, prlimit
#include "read/reader.h"

#include "base/alloc.h"

#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

// Address space that the loader, the libraries and the stack take before any picture is touched.
#define LIBRARY_BYTES ((uint64_t)256 << 20)
#ifndef MFD_NOEXEC_SEAL
#define MFD_NOEXEC_SEAL 8u
#endif

#define MOST_PATH 4096
static const char PLACE_HERE = 0;  // its address lies in whatever this code was linked into

// One run. Descriptors are -1 when closed.
struct run {
    const struct bw_reader_call *call;
    int program, room, talk, talk_end;  // talk: we read; talk_end: the reader writes
    pid_t pid;
    struct timespec until;
    char said[BW_MAX_READER_TALK + 1];
    size_t said_bytes;
    bool flooded, late;
    int status;  // from waitpid
};

static void close_one(int *fd) {
    if (*fd >= 0) (void)close(*fd);
    *fd = -1;
}

// Where the reader lies

// Beside the file `self`, then in ../libexec/beltwright.
static int open_beside(const char *self, const char *name) {
    static const char *const PLACES[] = {"", "../libexec/beltwright/"};
    char path[MOST_PATH + 256];
    const char *slash = strrchr(self, '/');
    if (slash == NULL) return -1;
    for (size_t i = 0; i < sizeof PLACES / sizeof PLACES[0]; i++) {
        int length =
            snprintf(path, sizeof path, "%.*s%s%s", (int)(slash - self + 1), self, PLACES[i], name);
        if (length < 0 || (size_t)length >= sizeof path) continue;
        int fd = open(path, O_PATH | O_CLOEXEC);
        if (fd >= 0) return fd;
    }
    return -1;
}

// Beside this very program, or, where the library serves another program, beside the library. No
// search path and no variable: what decides is who installed it. `self` is the file it lies beside.
static int open_reader(const char *name, char self[static MOST_PATH]) {
    ssize_t n = readlink("/proc/self/exe", self, MOST_PATH - 1);
    self[n > 0 ? n : 0] = '\0';
    int fd = open_beside(self, name);
    Dl_info here;
    if (fd >= 0 || dladdr(&PLACE_HERE, &here) == 0 || here.dli_fname == NULL) return fd;
    n = snprintf(self, MOST_PATH, "%s", here.dli_fname);
    return n > 0 && n < MOST_PATH ? open_beside(self, name) : -1;
}

// The reader must be as trustworthy as we are: a plain file of the same owner (or root's), which
// not everybody may write.
static bool same_hands(int fd, const char *beside) {
    struct stat self, reader;
    if (stat(beside, &self) != 0 || fstat(fd, &reader) != 0) return false;
    if (!S_ISREG(reader.st_mode) || (reader.st_mode & S_IWOTH) != 0) return false;
    return reader.st_uid == self.st_uid || reader.st_uid == 0;
}

static bool find_program(struct run *run, struct bw_err *err) {
    const char *name = run->call->program;
    bool path = strchr(name, '/') != NULL;
    char self[MOST_PATH] = "/proc/self/exe";
    run->program = path ? open(name, O_PATH | O_CLOEXEC) : open_reader(name, self);
    if (run->program < 0)
        return bw_fail(err, BW_FAILED, "the reader %s is not beside the program; install it there",
                       name);
    if (!same_hands(run->program, self))
        return bw_fail(err, BW_REFUSED,
                       "the reader %s belongs to somebody else or may be written "
                       "by anybody; install it again",
                       name);
    return true;
}

// What the reader is given

static bool make_room(struct run *run, struct bw_err *err) {
    unsigned flags = MFD_CLOEXEC | MFD_ALLOW_SEALING;
    run->room = memfd_create("beltwright-room", flags | MFD_NOEXEC_SEAL);
    if (run->room < 0) run->room = memfd_create("beltwright-room", flags);  // before Linux 6.3
    if (run->room < 0 || ftruncate(run->room, (off_t)run->call->room_bytes) != 0)
        return bw_fail(err, BW_FAILED, "no memory file for the reader (%s)", strerror(errno));
    return true;
}

// High numbers, so that moving them to 0, 1, 2 in the child never hits one still needed.
static bool lift(int *fd) {
    int high = fcntl(*fd, F_DUPFD_CLOEXEC, 10);
    if (high < 0) return false;
    (void)close(*fd);
    *fd = high;
    return true;
}

static bool make_pipe(struct run *run, struct bw_err *err) {
    int ends[2];
    if (pipe2(ends, O_CLOEXEC) != 0)
        return bw_fail(err, BW_FAILED, "no pipe for the reader (%s)", strerror(errno));
    run->talk = ends[0];
    run->talk_end = ends[1];
    (void)fcntl(run->talk, F_SETFL, O_NONBLOCK);
    if (lift(&run->talk) && lift(&run->talk_end) && lift(&run->room) && lift(&run->program))
        return true;
    return bw_fail(err, BW_FAILED, "too many open files");
}

// The child, before it becomes the reader

static bool set_limit(int what, uint64_t soft, uint64_t hard) {
    struct rlimit limit = {.rlim_cur = (rlim_t)soft, .rlim_max = (rlim_t)hard}, now;
    if (getrlimit((__rlimit_resource_t)what, &now) != 0) return false;
    if (now.rlim_max < limit.rlim_max) limit.rlim_max = now.rlim_max;
    if (limit.rlim_max < limit.rlim_cur) limit.rlim_cur = limit.rlim_max;
    return setrlimit((__rlimit_resource_t)what, &limit) == 0;
}

// Some more open files than three, for the loader; the reader itself goes down to none.
static bool set_limits(const struct bw_reader_call *call) {
    uint64_t cpu = (uint64_t)(call->cpu_s > 0 ? call->cpu_s : BW_MAX_READER_CPU_SECONDS);
    bool ok = set_limit(RLIMIT_CORE, 0, 0) && set_limit(RLIMIT_CPU, cpu, cpu + 1);
#ifndef BW_JAIL_OFF  // the sanitizer maps terabytes of shadow, coverage writes files
    uint64_t space = LIBRARY_BYTES + call->room_bytes + call->memory_bytes;
    ok = ok && set_limit(RLIMIT_AS, space, space) && set_limit(RLIMIT_NPROC, 0, 0) &&
         set_limit(RLIMIT_FSIZE, 0, 0) && set_limit(RLIMIT_NOFILE, 16, 16);
#endif
    return ok;
}

static void close_on_exec_from(int first) {
#ifdef SYS_close_range
    if (syscall(SYS_close_range, (unsigned)first, ~0u, 4u /* CLOSE_RANGE_CLOEXEC */) == 0) return;
#endif
    struct rlimit files;
    long last = getrlimit(RLIMIT_NOFILE, &files) == 0 ? (long)files.rlim_cur : 1024;
    for (int fd = first; fd < last && fd < 65536; fd++) (void)fcntl(fd, F_SETFD, FD_CLOEXEC);
}

static void restore_signals(void) {
    sigset_t none;
    (void)sigemptyset(&none);
    (void)sigprocmask(SIG_SETMASK, &none, NULL);
    for (int s = 1; s < NSIG; s++)
        if (s != SIGKILL && s != SIGSTOP) (void)signal(s, SIG_DFL);
}

static _Noreturn void become_reader(const struct run *run, pid_t parent) {
    char *const argv[] = {(char *)"beltwright-reader",
                          (char *)(run->call->unjailed ? BW_READ_ANY_JAIL : BW_READ_FULL_ONLY),
                          NULL};
    char *const envp[] = {NULL};
    restore_signals();
    // Its own group, so that killing it takes along what an unjailed one may have started.
    bool ok = setpgid(0, 0) == 0 && prctl(PR_SET_PDEATHSIG, SIGKILL) == 0 && getppid() == parent;
    int input = ok ? fcntl(run->call->input, F_DUPFD_CLOEXEC, 10) : -1;
    ok = ok && dup2(input, 0) == 0 && dup2(run->room, 1) == 1 && dup2(run->talk_end, 2) == 2;
    ok = ok && chdir("/") == 0 && prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0;
    if (ok) close_on_exec_from(3);
    if (ok && set_limits(run->call)) (void)fexecve(run->program, argv, envp);
    _exit(BW_READ_EXIT_START);
}

// The parent, while the reader works

static int left_ms(const struct run *run) {
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    double left = (double)(run->until.tv_sec - now.tv_sec) * 1e3 +
                  (double)(run->until.tv_nsec - now.tv_nsec) / 1e6;
    return left <= 0 ? 0 : left > 1e9 ? 1000000000 : (int)left + 1;
}

static void set_deadline(struct run *run) {
    double wall = run->call->wall_s > 0 ? run->call->wall_s : BW_MAX_READER_SECONDS;
    (void)clock_gettime(CLOCK_MONOTONIC, &run->until);
    run->until.tv_sec += (time_t)wall;
    run->until.tv_nsec += (long)((wall - (double)(time_t)wall) * 1e9);
}

// Takes what the reader says until it hangs up. False: it has to be killed.
static bool listen_to_end(struct run *run) {
    for (;;) {
        int left = left_ms(run);
        struct pollfd talk = {.fd = run->talk, .events = POLLIN};
        int ready = left == 0 ? 0 : poll(&talk, 1, left);
        if (ready < 0 && errno == EINTR) continue;
        if (ready <= 0) return !(run->late = true);
        ssize_t n =
            read(run->talk, run->said + run->said_bytes, BW_MAX_READER_TALK - run->said_bytes);
        if (n < 0 && (errno == EINTR || errno == EAGAIN)) continue;
        if (n <= 0) return true;
        run->said_bytes += (size_t)n;
        if (run->said_bytes >= BW_MAX_READER_TALK) return !(run->flooded = true);
    }
}

// True once it has ended; it stays a zombie, so that its number cannot pass to anybody else yet.
static bool has_ended(const struct run *run) {
    siginfo_t info = {0};
    if (waitid(P_PID, (id_t)run->pid, &info, WEXITED | WNOHANG | WNOWAIT) != 0)
        return errno != EINTR;
    return info.si_pid == run->pid;
}

// Waits for the reader's end, kills it at the deadline, and takes along what an unjailed one may
// have left.
static void reap(struct run *run, bool alive) {
    while (alive && !has_ended(run)) {
        alive = left_ms(run) > 0;
        if (!alive) run->late = true;
        (void)nanosleep(&(struct timespec){.tv_nsec = 200000}, NULL);
    }
    (void)kill(-run->pid, SIGKILL);
    (void)kill(run->pid, SIGKILL);
    while (waitpid(run->pid, &run->status, 0) < 0 && errno == EINTR) continue;
}

static bool start(struct run *run, struct bw_err *err) {
    pid_t self = getpid();
    set_deadline(run);
    run->pid = fork();
    if (run->pid < 0)
        return bw_fail(err, BW_FAILED, "the reader cannot be started (%s)", strerror(errno));
    if (run->pid == 0) become_reader(run, self);
    (void)setpgid(run->pid, run->pid);
    close_one(&run->talk_end);
    return true;
}

// What became of it

static bool died(const struct run *run, struct bw_err *err) {
    int sig = WTERMSIG(run->status);
    switch (sig) {
    case SIGSYS:
        return bw_fail(err, BW_REFUSED,
                       "the reader tried something that its jail forbids and was "
                       "stopped; the file is broken or hostile");
    case SIGXCPU:
        return bw_fail(err, BW_TIMEOUT, "the reader used up its %ld s of computing and was stopped",
                       run->call->cpu_s > 0 ? run->call->cpu_s : BW_MAX_READER_CPU_SECONDS);
    case SIGKILL:
        return bw_fail(err, BW_FAILED,
                       "the reader was killed from outside, perhaps because the "
                       "machine is out of memory");
    default:
        return bw_fail(err, BW_INPUT,
                       "the reader crashed on this file (signal %d); "
                       "the file is broken or hostile",
                       sig);
    }
}

// The first line of stray talk after the jail's line, plain.
static void stray_line(const struct run *run, char *text, size_t size) {
    const char *from = run->said, *end = run->said + run->said_bytes;
    struct bw_jail_report ignored;
    if (bw_jail_line_read(from, run->said_bytes, &ignored)) from = strchr(from, '\n') + 1;
    size_t n = 0;
    for (; from < end && *from != '\n' && n + 1 < size; from++)
        text[n++] = *from >= 0x20 && *from < 0x7f ? *from : '?';
    text[n] = '\0';
}

static bool not_full(const struct bw_jail_report *jail, struct bw_err *err) {
    char text[BW_JAIL_TEXT];
    return bw_fail(err, BW_REFUSED,
                   "this machine gives the reader only: %s; a file is not decoded "
                   "so unless --unjailed stands on the command line",
                   bw_jail_text(text, jail));
}

static bool ended_badly(const struct run *run, bool told, const struct bw_jail_report *jail,
                        struct bw_err *err) {
    char stray[200];
    if (run->flooded)
        return bw_fail(err, BW_REFUSED,
                       "the reader would not stop talking and was stopped; "
                       "the file is broken or hostile");
    if (run->late)
        return bw_fail(err, BW_TIMEOUT, "the reader took longer than %g s and was stopped",
                       run->call->wall_s > 0 ? run->call->wall_s : BW_MAX_READER_SECONDS);
    if (WIFSIGNALED(run->status) && told) return died(run, err);
    if (told && WIFEXITED(run->status) && WEXITSTATUS(run->status) == BW_READ_EXIT_UNJAILED)
        return not_full(jail, err);
    stray_line(run, stray, sizeof stray);
    return bw_fail(err, BW_FAILED, "the reader did not start properly (status %d) %s",
                   WIFEXITED(run->status) ? WEXITSTATUS(run->status) : -WTERMSIG(run->status),
                   stray);
}

// Nothing may change between checking and using: sealed first (which fails while anybody can still
// write), then read, checked, cut to what is used, and sealed for good.
static bool seal_and_check(struct run *run, struct bw_read_envelope *out, struct bw_err *err) {
    unsigned char bytes[sizeof *out];
    if (fcntl(run->room, F_ADD_SEALS, F_SEAL_WRITE | F_SEAL_GROW) != 0)
        return bw_fail(err, BW_REFUSED,
                       "somebody can still write to the reader's answer; "
                       "it is not used");
    ssize_t n = pread(run->room, bytes, sizeof bytes, 0);
    if (n < 0)
        return bw_fail(err, BW_IO, "the reader's answer cannot be read (%s)", strerror(errno));
    if (!bw_read_envelope_check(bytes, (size_t)n, run->call->room_bytes, run->call->kind, out, err))
        return false;
    if (ftruncate(run->room, (off_t)out->bytes) != 0 ||
        fcntl(run->room, F_ADD_SEALS, F_SEAL_SHRINK | F_SEAL_SEAL) != 0)
        return bw_fail(err, BW_IO, "the reader's answer cannot be sealed (%s)", strerror(errno));
    return true;
}

static bool finish(struct run *run, struct bw_reader_answer *out, struct bw_err *err) {
    run->said[run->said_bytes] = '\0';
    bool told = bw_jail_line_read(run->said, run->said_bytes, &out->jail);
    bool ended = WIFEXITED(run->status) && (WEXITSTATUS(run->status) == BW_READ_EXIT_DONE ||
                                            WEXITSTATUS(run->status) == BW_READ_EXIT_FAILED);
    if (run->flooded || run->late || !told || !ended)
        return ended_badly(run, told, &out->jail, err);
#ifndef BW_JAIL_OFF  // the reader has kept to it already, unless it is of another build than we
    if (out->jail.tier != BW_JAIL_FULL && !run->call->unjailed) return not_full(&out->jail, err);
#endif
    struct bw_read_envelope envelope;
    if (!seal_and_check(run, &envelope, err)) return false;
    out->envelope = envelope;
    out->room = run->room;
    run->room = -1;
    return true;
}

bool bw_reader_run(const struct bw_reader_call *call, struct bw_reader_answer *out,
                   struct bw_err *err) {
    struct run *run = bw_alloc_zero(1, sizeof *run);
    if (run == NULL) return bw_fail_memory(err);
    *run = (struct run){.call = call, .program = -1, .room = -1, .talk = -1, .talk_end = -1};
    bool ok =
        find_program(run, err) && make_room(run, err) && make_pipe(run, err) && start(run, err);
    if (ok) {
        reap(run, listen_to_end(run));
        ok = finish(run, out, err);
    }
    close_one(&run->program);
    close_one(&run->room);
    close_one(&run->talk);
    close_one(&run->talk_end);
    bw_free(run);
    return ok;
}

// Privately: kernels before 6.7 refuse to share what is sealed against writing.
void *bw_reader_map(const struct bw_reader_answer *answer, struct bw_err *err) {
    uint64_t bytes = answer->envelope.bytes;
    struct stat about;
    if (fstat(answer->room, &about) != 0 || (uint64_t)about.st_size != bytes) {
        (void)bw_fail(err, BW_IO, "the reader's answer is not of the size it was sealed at");
        return NULL;
    }
    void *map = mmap(NULL, (size_t)bytes, PROT_READ, MAP_PRIVATE, answer->room, 0);
    if (map != MAP_FAILED) return map;
    (void)bw_fail(err, BW_MEMORY, "no room to map the reader's answer (%s)", strerror(errno));
    return NULL;
}
