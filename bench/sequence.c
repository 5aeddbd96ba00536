// sequence.c - bench: three heads, two passes, twelve grits proven optimal, beside a plain search.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Both get the same problem and take turns. The plain search tries every removal for every label
// (the same labels, no sliding window), so it is as exact; the two must agree on the cost. What
// trying everything without labels would take is told as a count, for nobody would wait for it.
#include "study/sequence/plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { HEADS = 3, PASSES = 2, BELTS = 12, FEEDS = 10, NEED = 236, RUNS = 11 };  // 0.6 mm
enum { MASKS = 1 << HEADS };
#define FAR (INT64_MAX / 4)

static struct plan_problem problem;
static struct plan_way ways[HEADS * BELTS];

static double seconds(clockid_t clock) {
    struct timespec now;
    (void)clock_gettime(clock, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}
static int by_value(const void *x, const void *y) {
    double a = *(const double *)x, b = *(const double *)y;
    return (a > b) - (a < b);
}

// An invented line; sizes fall by a fifth from grit to grit.
static void make_problem(void) {
    problem = (struct plan_problem){.heads = HEADS,
                                    .belts = BELTS,
                                    .feeds = FEEDS,
                                    .passes = PASSES,
                                    .need = NEED,
                                    .cap = -1,
                                    .mount = 26000000,
                                    .ways = ways};
    double most[BELTS], clear[BELTS];
    for (int b = 0; b < BELTS; b++) {
        most[b] = 560 * pow(0.76, b);
        clear[b] = 240 * pow(0.7, b);
        problem.first[b] = 2;
        problem.last[b] = b >= 8 && b <= 10;
    }
    for (int a = 0; a < BELTS; a++)
        for (int b = 0; b < BELTS; b++)
            problem.step[a][b] = b < a || b - a > 3 ? -1 : b == a ? 2 : (int)ceil(clear[a]);
    for (int f = 0; f < FEEDS; f++) problem.feed_cost[f] = (int64_t)(1e9 / (3 * pow(1.18, f)));
    for (int h = 0; h < HEADS; h++) {
        for (int b = 0; b < BELTS; b++) {
            struct plan_way *way = &ways[problem.n_ways++];
            *way = (struct plan_way){.head = h, .belt = b, .ends = true};
            way->knee = (int)fmax(2, most[b] / 2);
            way->floor = way->knee / 2;
            way->slope = 26000000 / way->knee;
            way->steep = 2 * way->slope;
            way->fixed = way->slope * way->floor;
            for (int f = 0; f < FEEDS; f++)
                way->most[f] = (int)fmin(most[b] * (h == 2 ? 0.3 : 1), 700 * pow(0.87, f + b));
        }
    }
}

// --- the plain search: labels, every removal -----------------------------------------------------

typedef int64_t labels[BELTS + 1][MASKS][NEED + 1];  // belt BELTS: none yet

static void try_removals(const labels from, labels to, const struct plan_way *way, int high) {
    for (int a = 0; a <= BELTS; a++) {
        int least = a == BELTS ? problem.first[way->belt] : problem.step[a][way->belt];
        if (least < 0 || (a < BELTS && a > way->belt)) continue;
        for (int mask = 0; mask < MASKS; mask++) {
            bool kept = a == way->belt && (mask >> way->head & 1) != 0;
            int after = (a == way->belt ? mask : 0) | 1 << way->head;
            for (int t = 0; t <= NEED; t++) {
                if (from[a][mask][t] >= FAR) continue;
                for (int r = least; r <= high; r++) {
                    int64_t cost =
                        from[a][mask][t] + plan_use_cost(way, r) + (kept ? 0 : problem.mount);
                    int u = t + r < NEED ? t + r : NEED;
                    if (cost < to[way->belt][after][u]) to[way->belt][after][u] = cost;
                }
            }
        }
    }
}

static int64_t plain_search(void) {
    static labels start, end, one, two;
    int64_t best = FAR;
    for (int64_t *at = &start[0][0][0]; at < &start[0][0][0] + sizeof start / sizeof *at; at++)
        *at = FAR;
    start[BELTS][0][0] = 0;
    for (int pass = 0; pass < PASSES; pass++) {
        for (int64_t *at = &end[0][0][0]; at < &end[0][0][0] + sizeof end / sizeof *at; at++)
            *at = FAR;
        for (int f = 0; f < FEEDS; f++) {
            memcpy(one, start, sizeof one);
            for (int h = 0; h < HEADS; h++) {
                memcpy(two, one, sizeof two);
                for (size_t i = 0; i < problem.n_ways; i++)
                    if (ways[i].head == h) try_removals(one, two, &ways[i], ways[i].most[f]);
                memcpy(one, two, sizeof one);
            }
            const int64_t *from = &one[0][0][0];
            int64_t *to = &end[0][0][0];
            for (size_t i = 0; i < sizeof end / sizeof *to; i++)
                if (from[i] < FAR && from[i] + problem.feed_cost[f] < to[i])
                    to[i] = from[i] + problem.feed_cost[f];
        }
        memcpy(start, end, sizeof start);
        for (int mask = 0; mask < MASKS; mask++) start[BELTS][mask][0] = FAR;
        for (int b = 0; b < BELTS; b++)
            for (int mask = 0; mask < MASKS; mask++)
                if (problem.last[b] && end[b][mask][NEED] < best) best = end[b][mask][NEED];
    }
    return best;
}

int main(void) {
    double planner[RUNS], cpu[RUNS], plain[RUNS], ratio[RUNS];
    make_problem();
    for (int i = 0; i < RUNS; i++) {
        struct bw_err err = {0};
        struct plan_answer answer;
        double c = seconds(CLOCK_PROCESS_CPUTIME_ID), w = seconds(CLOCK_MONOTONIC);
        struct bw_arena *arena = bw_arena_new(0);
        if (arena == NULL || !plan_solve(arena, &problem, &answer, &err)) return 1;
        bw_arena_free(arena);
        planner[i] = seconds(CLOCK_MONOTONIC) - w;
        cpu[i] = seconds(CLOCK_PROCESS_CPUTIME_ID) - c;
        double p = seconds(CLOCK_PROCESS_CPUTIME_ID);
        int64_t cost = plain_search();
        plain[i] = seconds(CLOCK_PROCESS_CPUTIME_ID) - p;
        ratio[i] = plain[i] / cpu[i];
        if (cost != answer.cost) {
            (void)fprintf(stderr, "they differ: %lld, %lld\n", (long long)answer.cost,
                          (long long)cost);
            return 1;
        }
    }
    qsort(planner, RUNS, sizeof *planner, by_value);
    qsort(cpu, RUNS, sizeof *cpu, by_value);
    qsort(plain, RUNS, sizeof *plain, by_value);
    qsort(ratio, RUNS, sizeof *ratio, by_value);
    printf("planner: median %.1f ms wall, %.1f ms CPU (fastest %.1f, slowest %.1f)\n",
           1e3 * planner[RUNS / 2], 1e3 * cpu[RUNS / 2], 1e3 * cpu[0], 1e3 * cpu[RUNS - 1]);
    printf("every removal for every label: median %.0f ms CPU; %.0f times the planner's (%.0f to "
           "%.0f); the same cost each time\n",
           1e3 * plain[RUNS / 2], ratio[RUNS / 2], ratio[0], ratio[RUNS - 1]);
    printf("goal 100 ms: %s\n", cpu[RUNS / 2] < 0.1 ? "met" : "missed");
    return 0;
}
