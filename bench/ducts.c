// ducts.c - bench: one solve of 300 elements, and all 1,024 settings of a ten-gate shop.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Beside it: tests/oracle/ducts.py solves systems of the same form with scipy.
#include "base/bind.h"
#include "base/buffer.h"
#include "study/ducts/model.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double seconds(clockid_t clock) {
    struct timespec now;
    (void)clock_gettime(clock, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

// A trunk with n branches; five parts to a branch, one to each stretch of trunk, three at the end.
static const struct ducts_file *shop(struct bw_arena *arena, int n) {
    struct bw_buffer doc = {0};
    bw_buffer_text(&doc, "lines:\n");
    for (int i = 0; i < n; i++)
        bw_buffer_format(&doc,
                         "  - {name: b%d, to: p%d, diameter: %d mm, minimum: 0.2 m³/s, parts: "
                         "[{hood: flanged}, {flex: 1.5 m}, {straight: %d m}, {elbow: 90 deg}, "
                         "{gate: 100 %%}]}\n  - {name: t%d, from: p%d, to: p%d, diameter: %d mm, "
                         "parts: [{straight: 3 m}]}\n",
                         i, i, 120 + 10 * (i % 4), 3 + i % 5, i, i, i + 1, 150 + 40 * (i / 2));
    bw_buffer_format(&doc,
                     "  - {name: out, from: p%d, diameter: 400 mm, parts: [{filter: 300 Pa at 1 "
                     "m³/s}, {fan: {most flow: 6 m³/s, most pressure: 3500 Pa}}, {exit: 1}]}\n"
                     "junctions:\n",
                     n);
    for (int i = 1; i < n; i++)
        bw_buffer_format(&doc, "  - {at: p%d, main: t%d, branch: b%d}\n", i, i - 1, i);
    struct bw_err err = {.code = BW_OK};
    struct bw_node *root;
    struct ducts_file *file = bw_arena_get(arena, sizeof *file);
    struct bw_binding binding = {.arena = arena};
    if (file == NULL || !bw_document_read(arena, "shop", doc.data, doc.length, &root, &err) ||
        !bw_bind(&binding, root, &ducts_file_record, file, &err)) {
        bw_err_print(&err, stderr);
        exit(1);
    }
    bw_buffer_free(&doc);
    return file;
}

static void open_or_exit(struct bw_arena *arena, int n, struct ducts_model *m) {
    struct bw_err err = {.code = BW_OK};
    if (ducts_model_open(arena, shop(arena, n), false, m, &err)) return;
    bw_err_print(&err, stderr);
    exit(1);
}

static void solve_or_exit(struct ducts_model *m) {
    struct bw_err err = {.code = BW_OK};
    if (ducts_solve(m, &err)) return;
    bw_err_print(&err, stderr);
    exit(1);
}

static int by_value(const void *x, const void *y) {
    double a = *(const double *)x, b = *(const double *)y;
    return (a > b) - (a < b);
}

static void tell(const char *what, double *wall, double *cpu, int runs) {
    qsort(wall, (size_t)runs, sizeof *wall, by_value);
    qsort(cpu, (size_t)runs, sizeof *cpu, by_value);
    printf("%s: median %.2f ms wall, %.2f ms CPU; fastest %.2f, slowest %.2f ms wall; %d runs\n",
           what, 1e3 * wall[runs / 2], 1e3 * cpu[runs / 2], 1e3 * wall[0], 1e3 * wall[runs - 1],
           runs);
}

enum { RUNS = 11 };

static void one_solve(void) {
    double wall[RUNS], cpu[RUNS];
    char what[80] = "";
    for (int i = 0; i < RUNS; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct ducts_model m;
        open_or_exit(arena, 49, &m);
        double w = seconds(CLOCK_MONOTONIC), c = seconds(CLOCK_PROCESS_CPUTIME_ID);
        solve_or_exit(&m);
        wall[i] = seconds(CLOCK_MONOTONIC) - w;
        cpu[i] = seconds(CLOCK_PROCESS_CPUTIME_ID) - c;
        (void)snprintf(what, sizeof what, "one solve of %d elements from rest, %d steps", m.n_items,
                       m.evidence.steps);
        ducts_model_close(&m);
        bw_arena_free(arena);
    }
    tell(what, wall, cpu, RUNS);
}

static void all_settings(void) {
    double wall[RUNS], cpu[RUNS];
    char what[80] = "";
    struct bw_arena *arena = bw_arena_new(0);
    struct ducts_model m;
    open_or_exit(arena, 10, &m);
    for (int i = 0; i < RUNS; i++) {
        double w = seconds(CLOCK_MONOTONIC), c = seconds(CLOCK_PROCESS_CPUTIME_ID);
        for (unsigned k = 0; k < 1024; k++) {
            unsigned set = k ^ k >> 1;
            for (int g = 0; g < m.n_gates; g++)
                ducts_gate_set(&m, m.gates[g], set >> g & 1 ? 1 : 0);
            solve_or_exit(&m);
        }
        wall[i] = seconds(CLOCK_MONOTONIC) - w;
        cpu[i] = seconds(CLOCK_PROCESS_CPUTIME_ID) - c;
    }
    (void)snprintf(what, sizeof what, "1,024 settings of ten gates, %d elements", m.n_items);
    tell(what, wall, cpu, RUNS);
    ducts_model_close(&m);
    bw_arena_free(arena);
}

int main(void) {
    one_solve();
    all_settings();
    return 0;
}
