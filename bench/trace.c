// trace.c - a million-point profile: two Gaussian filters and all parameters of ISO 21920-2.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Prints "seconds cpu MiB Ra Rk": one run's time by the clock and of the processor, and the whole
// program's peak memory. bench/trace.py runs it in turn with the same work in numpy and scipy.
#include "numeric/profile_filter.h"
#include "numeric/random.h"
#include "numeric/texture.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>

#define POINTS ((size_t)1000000)  // 1 um apart

static double now(void) {
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static bool work(const double *z, double *p, double *line, double out[2]) {
    struct bw_err err = {0};
    struct bw_texture_result texture;
    struct bw_material material;
    if (!bw_filter_gaussian(z, POINTS, 8, p, &err) ||
        !bw_filter_gaussian(p, POINTS, 2500, line, &err))
        return false;
    for (size_t i = 0; i < POINTS; i++) line[i] = p[i] - line[i];
    const struct bw_heights heights = {line, POINTS, 1, 2500, POINTS / 2500};
    bw_texture_measure(&heights, BW_ISO_21920, &texture);
    if (!bw_heights_sort(line, POINTS, &err)) return false;
    bw_material_measure(line, POINTS, &material);
    out[0] = texture.value.a;
    out[1] = material.k;
    return true;
}

int main(void) {
    double *z = calloc(POINTS, sizeof *z), *p = calloc(POINTS, sizeof *p);
    double *line = calloc(POINTS, sizeof *line), walk = 0, out[2];
    uint64_t seed = 3;
    struct rusage used;
    if (z == NULL || p == NULL || line == NULL) return 1;
    for (size_t i = 0; i < POINTS; i++) {
        walk += 0.01 * bw_random_normal(&seed);
        z[i] = walk + 2 * bw_random_normal(&seed) + 5 * sin(2 * M_PI * (double)i / 12000);
    }
    double begin = now();
    clock_t cpu = clock();
    bool ok = work(z, p, line, out);
    double seconds = now() - begin, computed = (double)(clock() - cpu) / CLOCKS_PER_SEC;
    (void)getrusage(RUSAGE_SELF, &used);
    double memory = (double)used.ru_maxrss / 1024;
    if (ok) (void)printf("%.4f %.4f %.1f %.4f %.4f\n", seconds, computed, memory, out[0], out[1]);
    free(z);
    free(p);
    free(line);
    return ok ? 0 : 1;
}
