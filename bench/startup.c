// startup.c - how long a command takes beside /bin/true, both started in turn from this program.
// SPDX-License-Identifier: GPL-3.0-or-later
//
//   bench_startup [--goal MS] [COMMAND [ARGUMENT]...]      (without: beltwright --version, beside
//   this program, goal 10 ms)
//
// The two take turns, so that a slow moment of the machine hits both. The ratio is the median of
// the rounds' ratios, its spread their quartiles. The answer is "inconclusive" when the machine is
// too busy to say anything: when /bin/true alone takes more than half of the goal, or the quartiles
// of the command's time differ by more than its median.
#include <fcntl.h>
#include <spawn.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define ROUNDS 41  // odd; house rule: at least 11
#define WARM 3     // rounds before, not counted

extern char **environ;

struct run {
    double wall_ms, cpu_ms;
};

static double ms_of(struct timeval t) { return (double)t.tv_sec * 1e3 + (double)t.tv_usec / 1e3; }

static double now_ms(void) {
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static double children_cpu_ms(void) {
    struct rusage use;
    (void)getrusage(RUSAGE_CHILDREN, &use);
    return ms_of(use.ru_utime) + ms_of(use.ru_stime);
}

// Runs the command once with its output thrown away; ends the bench if it fails.
static struct run run_once(char *const command[]) {
    posix_spawn_file_actions_t actions;
    pid_t child;
    int status = -1;
    (void)posix_spawn_file_actions_init(&actions);
    (void)posix_spawn_file_actions_addopen(&actions, 1, "/dev/null", O_WRONLY, 0);
    double cpu = children_cpu_ms(), begin = now_ms();
    bool started = posix_spawnp(&child, command[0], &actions, NULL, command, environ) == 0;
    if (started) (void)waitpid(child, &status, 0);
    struct run run = {now_ms() - begin, children_cpu_ms() - cpu};
    (void)posix_spawn_file_actions_destroy(&actions);
    if (started && status == 0) return run;
    fprintf(stderr, "bench_startup: %s failed\n", command[0]);
    exit(1);
}

static int ascending(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

struct spread {
    double low, median, high;  // quartiles
};

static struct spread spread_of(double values[ROUNDS]) {
    qsort(values, ROUNDS, sizeof *values, ascending);
    return (struct spread){values[ROUNDS / 4], values[ROUNDS / 2], values[3 * ROUNDS / 4]};
}

static void print_spread(const char *what, struct spread s, const char *unit) {
    printf("%-26s %8.2f %-2s  (quartiles %.2f to %.2f)\n", what, s.median, unit, s.low, s.high);
}

static void print_load(void) {
    FILE *file = fopen("/proc/loadavg", "r");
    char line[128], *end = line;
    bool read = file != NULL && fgets(line, sizeof line, file) != NULL;
    double load = read ? strtod(line, &end) : 0;
    if (end > line) printf("%-26s %8.2f\n", "load", load);
    if (file != NULL) (void)fclose(file);
}

static int judge(struct spread time, struct spread nothing, double goal_ms) {
    if (nothing.median > goal_ms / 2) {
        printf("inconclusive: /bin/true alone takes more than half of the goal of %.0f ms\n",
               goal_ms);
        return 0;
    }
    if (time.high - time.low > time.median) {
        printf("inconclusive: the runs differ too much\n");
        return 0;
    }
    bool good = time.median < goal_ms;
    printf("%s the goal of %.0f ms\n", good ? "within" : "MISSES", goal_ms);
    return good ? 0 : 1;
}

static int compare(char *const command[], double goal_ms) {
    char *const nothing[] = {"/bin/true", NULL};
    double wall[ROUNDS], cpu[ROUNDS], wall_0[ROUNDS], cpu_0[ROUNDS], ratio[ROUNDS];
    for (int i = -WARM; i < ROUNDS; i++) {
        struct run a = run_once(command), b = run_once(nothing);
        if (i < 0) continue;
        wall[i] = a.wall_ms;
        cpu[i] = a.cpu_ms;
        wall_0[i] = b.wall_ms;
        cpu_0[i] = b.cpu_ms;
        ratio[i] = a.wall_ms / b.wall_ms;
    }
    struct spread time = spread_of(wall), time_0 = spread_of(wall_0);
    print_spread("command, wall", time, "ms");
    print_spread("command, CPU", spread_of(cpu), "ms");
    print_spread("/bin/true, wall", time_0, "ms");
    print_spread("/bin/true, CPU", spread_of(cpu_0), "ms");
    print_spread("ratio of wall times", spread_of(ratio), "");
    print_load();
    return judge(time, time_0, goal_ms);
}

int main(int argc, char **argv) {
    double goal = 10;
    char *end = "";
    if (argc > 2 && strcmp(argv[1], "--goal") == 0) {
        goal = strtod(argv[2], &end);
        argc -= 2;
        argv += 2;
    }
    if (*end != '\0' || goal <= 0) {
        fprintf(stderr, "bench_startup: --goal takes milliseconds\n");
        return 2;
    }
    if (argc > 1) return compare(argv + 1, goal);
    // The program beside this one.
    char path[4096];
    ssize_t length = readlink("/proc/self/exe", path, sizeof path - sizeof "beltwright");
    if (length < 0) return 1;
    path[length] = '\0';
    char *slash = strrchr(path, '/');
    memcpy(slash + 1, "beltwright", sizeof "beltwright");
    char *const version[] = {path, "--version", NULL};
    return compare(version, goal);
}
