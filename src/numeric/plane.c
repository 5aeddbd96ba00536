// plane.c - see plane.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: every strip is tapered (Hann), transformed and divided by the root of its own power
// averaged over the neighbouring frequencies, so that each strip has one vote and a strong line
// within a strip pulls down its own weight. At each frequency the strips' values are transformed
// across: a wave that runs through the width with one slant adds up, figure does not. The floor
// is local in both: the mean logarithm of the power at the same slant and frequencies around, but
// for the main lobe; wood's noise is strong near the grain's direction and falls steeply with
// frequency, so one floor for all slants would be false. E ln P = ln S - 0.5772 for the power of
// noise (chi squared, 2 degrees).
// Range: the floor needs some twelve cells of frequency; below six cells it is not trusted.
// Source: Harris, Proc. IEEE 66 (1978) 51 (tapers). Rejected: one large two-dimensional transform
// (no votes, much memory), a median for the floor (the same to 5 %, ten times the time).
#include "numeric/plane.h"

#include "base/alloc.h"
#include "numeric/fft.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define EULER 0.5772156649
#define WHITEN_CELLS 10.0  // each side: over these a strip's own noise is taken as level
#define FLOOR_CELLS 15.0   // each side
#define FLOOR_LEAST 6.0    // where frequencies are too low for that
#define LOBE_CELLS 2.5     // half a Hann main lobe and some
#define SIDE_CELLS 2.0     // of slant, each side

static size_t bins(double cells, double cell, double step) {
    return (size_t)(cells * cell / step + 0.5);
}

// --- along the feed ----------------------------------------------------------------------------

// Divides by the level of the neighbours; stores the level. `power` is scratch of n_f.
static void whiten(float complex *line, size_t n_f, size_t half, float *level, double *power) {
    power[0] = 0;
    for (size_t k = 0; k < n_f; k++) {
        double re = (double)crealf(line[k]), im = (double)cimagf(line[k]);
        power[k + 1] = power[k] + re * re + im * im;
    }
    for (size_t k = 0; k < n_f; k++) {
        size_t from = k > half ? k - half : 0, to = k + half < n_f ? k + half + 1 : n_f;
        double mean = (power[to] - power[from]) / (double)(to - from) + 1e-30;
        level[k] = (float)mean;
        line[k] *= (float)(1 / sqrt(mean));
    }
}

// waves[k][s], whitened, for the n_f lowest frequencies.
static bool along(const struct bw_strips *strips, const struct bw_fft *fft, struct bw_plane *plane,
                  float complex *waves, struct bw_err *err) {
    size_t n = strips->length, half = bins(WHITEN_CELLS, plane->cell_f, plane->df);
    size_t wide = plane->n_f + half < fft->size / 2 + 1 ? plane->n_f + half : fft->size / 2 + 1;
    float *taper = bw_alloc(n * sizeof *taper), *level = bw_alloc(wide * sizeof *level);
    double *power = bw_alloc((wide + 1) * sizeof *power);
    bool ok = taper != NULL && level != NULL && power != NULL;
    double square = 0;
    for (size_t i = 0; ok && i < n; i++) {
        double t = sin(M_PI * ((double)i + 0.5) / (double)n);
        taper[i] = (float)(t * t);
        square += t * t * t * t;
    }
    for (size_t s = 0; ok && s < strips->n; s++) {
        const float *light = strips->light + s * n;
        memset(fft->in, 0, fft->size * sizeof(float));
        for (size_t i = 0; i < n; i++) fft->in[i] = light[i] * taper[i];
        bw_fft_run(fft);
        whiten(fft->out, wide, half, level, power);
        for (size_t k = 0; k < plane->n_f; k++) {
            waves[k * strips->n + s] = fft->out[k];
            plane->level[k * strips->n + s] = level[k] / (float)square;
        }
    }
    bw_free(taper);
    bw_free(level);
    bw_free(power);
    return ok || bw_fail_memory(err);
}

// --- across ------------------------------------------------------------------------------------

static void across(const struct bw_fft *fft, const float complex *waves, const float *taper,
                   struct bw_plane *plane) {
    for (size_t k = 0; k < plane->n_f; k++) {
        memset(fft->cin, 0, fft->size * sizeof *fft->cin);
        for (size_t s = 0; s < plane->strips; s++)
            fft->cin[s] = waves[k * plane->strips + s] * taper[s];
        bw_fft_run(fft);
        float *power = plane->floor + k * plane->n_g;  // becomes the floor later
        for (size_t j = 0; j < plane->n_g; j++) {
            float re = crealf(fft->out[j]), im = cimagf(fft->out[j]);
            power[j] = re * re + im * im;
        }
    }
}

// --- the floor ---------------------------------------------------------------------------------

// Sums of logarithms over g, j - side .. j + side, running round.
static void sum_sides(const float *power, size_t n_g, size_t side, float *room, float *out) {
    double sum = 0;
    for (size_t j = 0; j < n_g; j++) room[j] = logf(power[j] + 1e-20f);
    for (size_t j = 0; j <= 2 * side; j++) sum += (double)room[(j + n_g - side) % n_g];
    for (size_t j = 0; j < n_g; j++) {
        out[j] = (float)sum;
        sum += (double)(room[(j + side + 1) % n_g] - room[(j + n_g - side) % n_g]);
    }
}

struct window {  // bins [a, b) and [c, d)
    size_t a, b, c, d;
};
// Frequencies that tell the floor at bin k: those within reach but for the main lobe.
static struct window window_at(const struct bw_plane *plane, size_t k) {
    double cell = plane->cell_f / plane->df, at = (double)k / cell;
    double reach = fmin(FLOOR_CELLS, fmax(FLOOR_LEAST, 0.4 * at));
    double least = fmin(at - LOBE_CELLS, 3.5) * cell;  // below, the high pass has eaten the noise
    double from = fmax((at - reach) * cell, least), to = (at + reach) * cell;
    double lobe = LOBE_CELLS * cell;
    struct window w = {(size_t)from, k - (size_t)lobe, k + (size_t)lobe + 1, (size_t)to + 1};
    if (w.a > w.b) w.a = w.b;
    if (w.d > plane->n_f) w.d = plane->n_f;
    if (w.c > w.d) w.c = w.d;
    return w;
}

// ratio = power / floor in the searched part, by running sums down the frequencies.
static bool divide(struct bw_plane *plane, struct bw_err *err) {
    size_t n_f = plane->n_f, n_g = plane->n_g;
    size_t side = bins(SIDE_CELLS, plane->cell_g, plane->dg);
    float *room = bw_alloc(n_g * sizeof *room), *sums = bw_alloc(n_g * sizeof *sums);
    double *total = bw_alloc_zero((n_f + 1) * n_g, sizeof *total);  // [k][j]: of bins below k
    bool ok = room != NULL && sums != NULL && total != NULL;
    for (size_t k = 0; ok && k < n_f; k++) {
        sum_sides(plane->floor + k * n_g, n_g, side, room, sums);
        for (size_t j = 0; j < n_g; j++)
            total[(k + 1) * n_g + j] = total[k * n_g + j] + (double)sums[j];
    }
    for (size_t k = 0; ok && k < n_f; k++) {
        double f = (double)k * plane->df;
        if (f < plane->f_low || f > plane->f_high) continue;
        struct window w = window_at(plane, k);
        double count = (double)((w.b - w.a + w.d - w.c) * (2 * side + 1));
        for (size_t j = 0; j < n_g; j++) {
            double g = ((double)j - (j > n_g / 2 ? (double)n_g : 0)) * plane->dg;
            if (fabs(g) > plane->slope * f + plane->cell_g) continue;
            double sum = total[w.b * n_g + j] - total[w.a * n_g + j] + total[w.d * n_g + j] -
                         total[w.c * n_g + j];
            float level = (float)exp(sum / count + EULER);
            plane->ratio[k * n_g + j] = plane->floor[k * n_g + j] / level;
            plane->floor[k * n_g + j] = level;
        }
    }
    bw_free(room);
    bw_free(sums);
    bw_free(total);
    return ok || bw_fail_memory(err);
}

// --- all of it ---------------------------------------------------------------------------------

static bool fill(const struct bw_strips *strips, const struct bw_fft *row,
                 const struct bw_fft *column, struct bw_plane *plane, struct bw_err *err) {
    float complex *waves = bw_alloc(plane->n_f * strips->n * sizeof *waves);
    float *taper = bw_alloc(strips->n * sizeof *taper);
    bool ok = waves != NULL && taper != NULL;
    if (!ok) bw_fail_memory(err);
    double square = 0;
    for (size_t s = 0; ok && s < strips->n; s++) {
        double t = sin(M_PI * ((double)s + 0.5) / (double)strips->n);
        taper[s] = (float)sqrt(t);
        square += t;
    }
    for (size_t s = 0; ok && s < strips->n; s++) taper[s] /= (float)sqrt(square);
    ok = ok && along(strips, row, plane, waves, err);
    if (ok) across(column, waves, taper, plane);
    ok = ok && divide(plane, err);
    bw_free(waves);
    bw_free(taper);
    return ok;
}

bool bw_plane_make(const struct bw_strips *strips, const struct bw_plane_options *options,
                   struct bw_plane *out, struct bw_err *err) {
    size_t n_f = bw_fft_size(2 * strips->length), n_g = bw_fft_size(2 * strips->n);
    struct bw_plane plane = {.n_g = n_g,
                             .df = 1 / ((double)n_f * strips->step),
                             .dg = 1 / ((double)n_g * strips->width),
                             .cell_f = 1 / strips->u_size,
                             .cell_g = 1 / strips->v_size,
                             .f_low = 1 / options->longest,
                             .f_high = 1 / options->shortest,
                             .slope = options->slope,
                             .strips = strips->n};
    // Some bins more than searched: the floor at the highest frequency wants neighbours.
    plane.n_f = (size_t)(plane.f_high / plane.df) + bins(FLOOR_CELLS, plane.cell_f, plane.df) + 2;
    if (plane.n_f > n_f / 2 + 1) plane.n_f = n_f / 2 + 1;
    plane.cells =
        plane.slope * (pow(plane.f_high, 2) - pow(plane.f_low, 2)) / (plane.cell_f * plane.cell_g);
    struct bw_fft row = {0}, column = {0};
    plane.floor = bw_alloc(plane.n_f * n_g * sizeof(float));
    plane.ratio = bw_alloc_zero(plane.n_f * n_g, sizeof(float));
    plane.level = bw_alloc(plane.n_f * strips->n * sizeof(float));
    bool ok = plane.floor != NULL && plane.ratio != NULL && plane.level != NULL;
    if (!ok) bw_fail_memory(err);
    ok = ok && bw_fft_real(n_f, &row, err) && bw_fft_complex(n_g, &column, err) &&
         fill(strips, &row, &column, &plane, err);
    bw_fft_free(&row);
    bw_fft_free(&column);
    if (ok)
        *out = plane;
    else
        bw_plane_free(&plane);
    return ok;
}

void bw_plane_free(struct bw_plane *plane) {
    if (plane == NULL) return;
    bw_free(plane->floor);
    bw_free(plane->ratio);
    bw_free(plane->level);
    *plane = (struct bw_plane){0};
}

// --- questions ---------------------------------------------------------------------------------

// The bin's place in the arrays; n_f * n_g when outside.
static size_t place(const struct bw_plane *plane, double f, double g) {
    long k = lround(f / plane->df), j = lround(g / plane->dg), n_g = (long)plane->n_g;
    if (k < 0 || k >= (long)plane->n_f || labs(j) > n_g / 2) return plane->n_f * plane->n_g;
    return (size_t)k * plane->n_g + (size_t)((j + n_g) % n_g);
}

double bw_plane_ratio(const struct bw_plane *plane, double f, double g) {
    size_t at = place(plane, f, g);
    return at < plane->n_f * plane->n_g ? (double)plane->ratio[at] : 0;
}

double bw_plane_floor(const struct bw_plane *plane, double f, double g) {
    size_t at = place(plane, f, g);
    assert(at < plane->n_f * plane->n_g && plane->floor[at] > 0);
    return (double)plane->floor[at];
}

double bw_plane_level(const struct bw_plane *plane, size_t strip, double f) {
    long k = lround(f / plane->df);
    assert(k >= 0 && k < (long)plane->n_f);
    return (double)plane->level[(size_t)k * plane->strips + strip];
}

void bw_plane_strike(struct bw_plane *plane, long from, long to) {
    for (long k = from < 0 ? 0 : from; k <= to && k < (long)plane->n_f; k++)
        memset(plane->ratio + (size_t)k * plane->n_g, 0, plane->n_g * sizeof(float));
}
