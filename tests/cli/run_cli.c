// run_cli.c - runs command-line cases: command, expected output and exit status in one file.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// usage: run_cli [--update] [-e NAME=VALUE]... BIN-DIR FILE.t...      (form of the files:
// tests/README.md) Commands run with sh in the current folder, BIN-DIR first on the PATH, no input,
// and an environment that holds nothing of the caller's but what -e names. Prints TAP. --update
// writes what came into the files, except where the wildcards there still fit.
#include "whole_file.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define MAX_EXTRA 8
#define TIMEOUT_SECONDS 60

struct span {
    const char *start;
    size_t length;
};
// One case: what stands before it (comments), its command, expected output and status, all as
// written.
struct test_case {
    struct span before, command, output;
    int line, status;
};
struct options {
    bool update;
    char *bin;
    char *extra[MAX_EXTRA];
    size_t extra_count;
};
struct outcome {
    struct bw_buffer output;
    int status;  // 128 + signal for a killed one, as sh says it
};

static int tests_run, tests_failed;

static _Noreturn void die(const char *what, const char *name) {
    fprintf(stderr, "run_cli: %s: %s\n", name, what);
    exit(1);
}

static _Noreturn void die_at(const char *what, const char *path, int line) {
    fprintf(stderr, "run_cli: %s:%d: %s\n", path, line, what);
    exit(1);
}

// The next line, its newline included; length 0 at the end.
static struct span next_line(const char **at) {
    const char *end = strchr(*at, '\n');
    struct span line = {*at, end == NULL ? strlen(*at) : (size_t)(end - *at) + 1};
    *at += line.length;
    return line;
}

static bool starts(struct span line, const char *with) {
    return line.length >= strlen(with) && memcmp(line.start, with, strlen(with)) == 0;
}

// Reads the next case; false at the end of the file, where `before` holds what is left.
static bool next_case(const char **at, int *line_number, const char *path, struct test_case *out) {
    struct test_case next = {.before = {*at, 0}};
    struct span line;
    while ((line = next_line(at)).length > 0 && !starts(line, "$ ")) {
        ++*line_number;
        if (line.start[0] != '#' && line.start[0] != '\n')
            die_at("text outside a case", path, *line_number);
    }
    next.before.length = (size_t)(line.start - next.before.start);
    next.line = ++*line_number;
    if (line.length > 0) {
        next.command = (struct span){line.start + 2, line.length - 3};
        next.output.start = *at;
        while ((line = next_line(at)).length > 0 && !starts(line, "? ")) ++*line_number;
        ++*line_number;
        if (line.length == 0) die_at("this case has no '? status'", path, next.line);
        next.output.length = (size_t)(line.start - next.output.start);
        char *end;
        next.status = (int)strtol(line.start + 2, &end, 10);
        if (end == line.start + 2 || *end != '\n')
            die_at("this '? status' is no number", path, *line_number);
    }
    *out = next;
    return next.command.length > 0;
}

// In the child: an environment of our own, both outputs into the pipe, then sh.
static _Noreturn void become(const struct options *options, const char *command, int output) {
    char path[1024], locale[] = "LC_ALL=C.UTF-8", zone[] = "TZ=UTC0", home[] = "HOME=/nonexistent";
    int n = snprintf(path, sizeof path, "PATH=%s:/usr/bin:/bin", options->bin);
    if (n < 0 || (size_t)n >= sizeof path) _exit(126);
    char *environment[MAX_EXTRA + 5] = {path, zone, home};
    size_t count = 3;
    bool has_locale = false;
    for (size_t i = 0; i < options->extra_count; i++) {
        environment[count++] = options->extra[i];
        has_locale = has_locale || strncmp(options->extra[i], "LC_ALL=", 7) == 0;
    }
    if (!has_locale) environment[count++] = locale;
    int null = open("/dev/null", O_RDONLY);
    if (null < 0 || dup2(null, 0) < 0 || dup2(output, 1) < 0 || dup2(output, 2) < 0) _exit(126);
    if (output > 2) (void)close(output);
    if (null > 2) (void)close(null);
    (void)setpgid(0, 0);  // so that a late one is ended with all it started
    char shell[] = "sh", flag[] = "-c";
    char *arguments[] = {shell, flag, (char *)command, NULL};
    (void)execve("/bin/sh", arguments, environment);
    _exit(127);
}

static bool collect(int from, struct bw_buffer *into) {
    struct timespec start, now;
    (void)clock_gettime(CLOCK_MONOTONIC, &start);
    struct pollfd wait_for = {.fd = from, .events = POLLIN};
    for (;;) {
        (void)clock_gettime(CLOCK_MONOTONIC, &now);
        long left = (long)(start.tv_sec + TIMEOUT_SECONDS - now.tv_sec) * 1000;
        if (left <= 0 || poll(&wait_for, 1, (int)left) == 0) return false;
        char part[4096];
        ssize_t n = read(from, part, sizeof part);
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) return true;
        bw_buffer_add(into, part, (size_t)n);
    }
}

static struct outcome perform(const struct options *options, const char *command) {
    struct outcome out = {.status = -1};
    int ends[2];
    if (pipe(ends) != 0) die(strerror(errno), "pipe");
    pid_t child = fork();
    if (child < 0) die(strerror(errno), "fork");
    if (child == 0) {
        (void)close(ends[0]);
        become(options, command, ends[1]);
    }
    (void)close(ends[1]);
    if (!collect(ends[0], &out.output)) {
        (void)kill(-child, SIGKILL);
        bw_buffer_format(&out.output, "[stopped after %d s]\n", TIMEOUT_SECONDS);
    }
    (void)close(ends[0]);
    int status;
    while (waitpid(child, &status, 0) < 0 && errno == EINTR) continue;
    out.status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    bw_buffer_text(&out.output, "");
    size_t length = out.output.length;
    if (length > 0 && out.output.data[length - 1] != '\n')
        bw_buffer_text(&out.output, "\n[no newline at the end]\n");
    if (out.output.failed) die("out of memory", command);
    return out;
}

// One line against a pattern in which "[..]" stands for any characters.
static bool line_fits(struct span pattern, struct span line) {
    static const char ANY[] = "[..]";
    while (!starts(pattern, ANY)) {
        if (pattern.length == 0 || line.length == 0) return pattern.length == line.length;
        if (*pattern.start++ != *line.start++) return false;
        pattern.length--, line.length--;
    }
    pattern = (struct span){pattern.start + strlen(ANY), pattern.length - strlen(ANY)};
    for (; line.length > 0; line.start++, line.length--)
        if (line_fits(pattern, line)) return true;
    return false;
}

// Output against the expected lines; a line "..." stands for any lines, or none.
static bool output_fits(const char *expected, size_t length, const char *output) {
    const char *end = expected + length;
    while (expected < end) {
        struct span pattern = next_line(&expected);
        if (pattern.length == 4 && starts(pattern, "...\n")) {
            size_t left = (size_t)(end - expected);
            for (;;) {
                if (output_fits(expected, left, output)) return true;
                if (next_line(&output).length == 0) return false;
            }
        }
        if (!line_fits(pattern, next_line(&output))) return false;
    }
    return *output == '\0';
}

static void print_commented(const char *title, const char *text, size_t length) {
    printf("# %s\n", title);
    for (const char *at = text; at < text + length;) {
        struct span line = next_line(&at);
        printf("#   %.*s", (int)line.length, line.start);
    }
}

// Runs one case and reports it; the case as it now is goes to `updated`.
static void run_case(const struct options *options, const char *path, const struct test_case *test,
                     struct bw_buffer *updated) {
    struct bw_buffer command = {0};
    bw_buffer_add(&command, test->command.start, test->command.length);
    if (command.failed) die("out of memory", path);
    struct outcome got = perform(options, command.data);
    bool fits = output_fits(test->output.start, test->output.length, got.output.data);
    bool passed = (fits && got.status == test->status) || options->update;
    printf("%sok %d - %s:%d %s\n", passed ? "" : "not ", ++tests_run, path, test->line,
           command.data);
    if (!passed) {
        tests_failed++;
        print_commented("expected", test->output.start, test->output.length);
        print_commented("got", got.output.data, got.output.length);
        printf("# exit status %d, expected %d\n", got.status, test->status);
    }
    bw_buffer_add(updated, test->before.start, test->before.length);
    bw_buffer_format(updated, "$ %s\n", command.data);
    if (fits)
        bw_buffer_add(updated, test->output.start, test->output.length);
    else
        bw_buffer_add(updated, got.output.data, got.output.length);
    bw_buffer_format(updated, "? %d\n", got.status);
    bw_buffer_free(&command);
    bw_buffer_free(&got.output);
}

static void run_file(const struct options *options, const char *path) {
    struct bw_buffer content = {0}, updated = {0};
    if (!whole_file(path, &content)) die("cannot be read", path);
    const char *at = content.data;
    int line = 0;
    struct test_case test;
    while (next_case(&at, &line, path, &test)) run_case(options, path, &test, &updated);
    bw_buffer_add(&updated, test.before.start, test.before.length);
    if (updated.failed) die("out of memory", path);
    if (options->update && strcmp(updated.data, content.data) != 0) {
        FILE *file = fopen(path, "wb");
        if (file == NULL) die(strerror(errno), path);
        bool written = fwrite(updated.data, 1, updated.length, file) == updated.length;
        if (fclose(file) != 0 || !written) die("cannot be written", path);
    }
    bw_buffer_free(&content);
    bw_buffer_free(&updated);
}

int main(int argc, char **argv) {
    struct options options = {0};
    int i = 1;
    for (; i < argc && argv[i][0] == '-'; i++) {
        if (strcmp(argv[i], "--update") == 0)
            options.update = true;
        else if (strcmp(argv[i], "-e") == 0 && i + 1 < argc && options.extra_count < MAX_EXTRA)
            options.extra[options.extra_count++] = argv[++i];
        else
            die("unknown option", argv[i]);
    }
    if (argc - i < 2) {
        fputs("usage: run_cli [--update] [-e NAME=VALUE]... BIN-DIR FILE.t...\n", stderr);
        return 2;
    }
    // Absolute, since a case may change folder.
    options.bin = realpath(argv[i], NULL);
    if (options.bin == NULL) die(strerror(errno), argv[i]);
    (void)setvbuf(stdout, NULL, _IOLBF, 0);
    for (i++; i < argc; i++) run_file(&options, argv[i]);
    printf("1..%d\n", tests_run);
    free(options.bin);
    return tests_failed == 0 && tests_run > 0 ? 0 : 1;
}
