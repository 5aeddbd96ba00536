// main.c - beltwright-serve: the server, and the worker it starts for each study.
// SPDX-License-Identifier: GPL-3.0-or-later
#define _GNU_SOURCE  // signalfd
#include "base/number.h"
#include "cli/cli.h"
#include "web/server.h"
#include "web/worker.h"

#include <signal.h>
#include <string.h>
#include <sys/signalfd.h>
#include <sys/stat.h>
#include <unistd.h>

static void ready(int port) {
    (void)printf("beltwright serves http://127.0.0.1:%d/ on this machine alone; Ctrl-C ends it\n",
                 port);
    (void)fflush(stdout);
}

static bool read_port(const char *text, int *out, struct bw_err *err) {
    long port;
    if (bw_count(text, strlen(text), 0, 65535, &port, err)) {
        *out = (int)port;
        return true;
    }
    bw_err_within(err, "--port");
    return false;
}

static bool check_folder(const char *folder, struct bw_err *err) {
    struct stat about;
    if (folder == NULL || (stat(folder, &about) == 0 && S_ISDIR(about.st_mode))) return true;
    bw_fail(err, BW_NOT_FOUND, "there is no such folder");
    bw_err_value(err, folder);
    bw_err_within(err, "--folder");
    return false;
}

// Signals that end it come as something to read, in the loop's own time.
static int watch_signals(void) {
    sigset_t set;
    (void)sigemptyset(&set);
    (void)sigaddset(&set, SIGINT);
    (void)sigaddset(&set, SIGTERM);
    (void)sigprocmask(SIG_BLOCK, &set, NULL);
    (void)signal(SIGPIPE, SIG_IGN);
    return signalfd(-1, &set, SFD_CLOEXEC | SFD_NONBLOCK);
}

static bool run(struct bw_arena *arena, int argc, char **argv, struct bw_err *err) {
    char self[4096];
    struct bw_page page;
    struct bw_arguments given;
    struct bw_server_options options = {.ready = ready, .program = self};
    ssize_t n = readlink("/proc/self/exe", self, sizeof self - 1);
    if (arena == NULL) return bw_fail_memory(err);
    if (n <= 0) return bw_fail(err, BW_FAILED, "this program cannot find itself");
    self[n] = '\0';
    if (!bw_page_find(arena, "serve", &page, err) ||
        !bw_options_read(arena, &page, argc, argv, &given, err))
        return false;
    const char *port = bw_given_value(&given, "port");
    if (!read_port(port == NULL ? "8137" : port, &options.port, err)) return false;
    options.folder = bw_given_value(&given, "folder");
    if (!check_folder(options.folder, err)) return false;
    options.watch = watch_signals();
    if (options.watch < 0) return bw_fail(err, BW_FAILED, "signals cannot be watched");
    bool done = bw_server_run(&options, err);
    (void)close(options.watch);
    return done;
}

int main(int argc, char **argv) {
    if (argc == 2 && strcmp(argv[1], "worker") == 0) return bw_worker_main();
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    if (!run(arena, argc, argv, &err)) bw_err_print(&err, stderr);
    bw_arena_free(arena);
    return bw_code_exit(err.code);
}
