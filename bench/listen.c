// listen.c - bench: a minute at 48 kHz through the spectra behind `listen`; see listen.py.
// SPDX-License-Identifier: GPL-3.0-or-later
//
//   bench_listen RUNS: seconds of wall and of processor per run, and the largest resident size.
// The signal is noise with a ring of 8 kHz struck 107.54 times a second. One run is the level by
// Welch's way (16384 samples, half overlapping), the lines, and the beats of five bands.
#include "numeric/random.h"
#include "numeric/spectra.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>

#define RATE 48000
#define N ((size_t)60 * RATE)

static double now(clockid_t clock) {
    struct timespec t;
    (void)clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void fill(float *x) {
    uint64_t random = 2;
    for (size_t i = 0; i < N; i++) x[i] = (float)bw_random_normal(&random);
    for (double at = 0; at * RATE + 300 < (double)N; at += 1 / 107.54)
        for (size_t i = 0; i < 240; i++)
            x[(size_t)(at * RATE) + i] +=
                (float)(3 * exp(-(double)i / 40) * sin(2 * M_PI * 8000 * (double)i / RATE));
}

// The strongest rate of beats between 60 and 500 Hz: the signal must come out right.
static double strongest(const struct bw_lines *lines) {
    size_t best = 0;
    for (size_t i = (size_t)(60 / lines->step_hz); i < (size_t)(500 / lines->step_hz); i++)
        if (lines->ratio[i] > lines->ratio[best]) best = i;
    return (double)best * lines->step_hz;
}

int main(int argc, char **argv) {
    char *end;
    long runs = argc > 1 ? strtol(argv[1], &end, 10) : 7;
    float *x = malloc(N * sizeof *x);
    static float welch[8193];
    struct bw_err err = {0};
    if (x == NULL) return 1;
    fill(x);
    const struct bw_record_of record = {x, N, 1, RATE};
    for (long i = 0; i < runs; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_spectra spectra;
        double wall = now(CLOCK_MONOTONIC), cpu = now(CLOCK_PROCESS_CPUTIME_ID);
        if (!bw_spectra_welch(&record, 16384, welch, &err) ||
            !bw_spectra_make(arena, &record, &spectra, &err)) {
            bw_err_print(&err, stderr);
            return 1;
        }
        struct rusage usage;
        (void)getrusage(RUSAGE_SELF, &usage);
        printf("%.4f %.4f %ld %.3f\n", now(CLOCK_MONOTONIC) - wall,
               now(CLOCK_PROCESS_CPUTIME_ID) - cpu, usage.ru_maxrss / 1024,
               strongest(&spectra.bands[2].lines));
        bw_arena_free(arena);
    }
    free(x);
    return 0;
}
