// source.c - bench: the study `source` on the three-head example, from document to answer.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/bind.h"
#include "base/json.h"
#include "study/source/source.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static const char *const QUESTIONS[] = {
    "{\"machine\": \"examples/three-head.yaml\", \"marks\": [\"17.9 mm ± 0.2 at 24 ft/min\"]}",
    "{\"machine\": \"examples/three-head.yaml\", \"marks\": [\"14.6 mm at 24 ft/min\", \"10.5 mm "
    "at "
    "17 ft/min\", \"4.2 mm at 24 ft/min\"]}",
};

static double seconds(clockid_t clock) {
    struct timespec now;
    (void)clock_gettime(clock, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static int by_value(const void *x, const void *y) {
    double a = *(const double *)x, b = *(const double *)y;
    return (a > b) - (a < b);
}

static bool once(const char *question) {
    struct bw_err err = {0};
    struct bw_arena *arena = bw_arena_new(0);
    if (arena == NULL) return false;
    struct bw_node *root;
    struct bw_binding binding = {.arena = arena, .load = bw_load_file};
    void *in = bw_arena_get(arena, bw_study_source.in->size);
    void *out = bw_arena_get(arena, bw_study_source.out->size);
    struct bw_run run = {.arena = arena};
    bool done = in != NULL && out != NULL &&
                bw_json_read(arena, "question", question, strlen(question), &root, &err) &&
                bw_bind(&binding, root, bw_study_source.in, in, &err) &&
                bw_study_source.run(&run, in, out, &err);
    if (!done) bw_err_print(&err, stderr);
    bw_arena_free(arena);
    return done;
}

int main(void) {
    enum { RUNS = 31 };
    for (size_t q = 0; q < sizeof QUESTIONS / sizeof QUESTIONS[0]; q++) {
        double wall[RUNS], cpu[RUNS];
        for (int i = 0; i < RUNS; i++) {
            double w = seconds(CLOCK_MONOTONIC), c = seconds(CLOCK_PROCESS_CPUTIME_ID);
            if (!once(QUESTIONS[q])) return 1;
            wall[i] = seconds(CLOCK_MONOTONIC) - w;
            cpu[i] = seconds(CLOCK_PROCESS_CPUTIME_ID) - c;
        }
        qsort(wall, RUNS, sizeof *wall, by_value);
        qsort(cpu, RUNS, sizeof *cpu, by_value);
        printf("question %zu: median %.1f ms wall, %.1f ms CPU; fastest %.1f, slowest %.1f ms "
               "wall; %d runs\n",
               q + 1, 1e3 * wall[RUNS / 2], 1e3 * cpu[RUNS / 2], 1e3 * wall[0],
               1e3 * wall[RUNS - 1], RUNS);
    }
    return 0;
}
