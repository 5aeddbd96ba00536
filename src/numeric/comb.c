// comb.c - see comb.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: over noise a bin's power over floor is exponential with mean `tail` (1 for Gaussian
// noise), so the sum over K harmonics is a gamma variable; its tail probability, times the number
// of places such a comb could have been, is the chance of a false alarm anywhere in the picture.
// K is chosen by that chance too, so a plain wave is not helped by twelve empty harmonics and
// twelve weak ones are not lost. Every comb worth finding has one wave among the strongest peaks,
// so only whole fractions of those peaks are tried. Range: combs of up to 16 harmonics.
// Source: Bonferroni's inequality; gamma tail by its finite sum. Rejected: a product spectrum (one
// missing harmonic, the usual thing behind a platen, hides the comb).
#include "numeric/comb.h"

#include <math.h>
#include <string.h>

#define PEAKS 120
#define PEAK_LEAST 6.0      // power over floor; below, a peak tells nothing
#define STANDS 3.0          // over the floor, what three bins gain taken off: not noise
#define FRACTIONS 12        // a peak may be up to this harmonic
#define OCTAVE_CHANCE 1e-3  // odd harmonics must be this unlikely to be noise

// ln of the chance that a gamma variable of shape k (whole) exceeds x: exp(-x) sum x^i / i!.
static double log_gamma_tail(int k, double x) {
    double term = 1, sum = 1;  // relative to the largest power of x, to stay finite
    for (int i = k - 1; i > 0; i--) {
        term *= (double)i / x;
        sum += term;
    }
    double log_top = (k - 1) * log(x) - lgamma(k);
    double result = -x + log_top + log(sum);
    return x < 1e-12 || result > 0 ? 0 : result;
}

// --- peaks -------------------------------------------------------------------------------------

struct peak {
    double f, g, ratio;
};

static bool is_peak(const struct bw_plane *plane, size_t k, size_t j) {
    float here = plane->ratio[k * plane->n_g + j];
    for (size_t dk = 0; dk < 3; dk++)
        for (size_t dj = 0; dj < 3; dj++) {
            size_t row = k + dk - 1, column = (j + plane->n_g + dj - 1) % plane->n_g;
            float other = row < plane->n_f ? plane->ratio[row * plane->n_g + column] : 0;
            // Equal neighbours: the later one is the peak.
            if (other > here || (other == here && dk * 3 + dj > 4)) return false;
        }
    return true;
}

// Keeps the list sorted, strongest first.
static void keep(struct peak *peaks, size_t *n, struct peak peak) {
    size_t at = *n < PEAKS ? (*n)++ : PEAKS - 1;
    if (at == PEAKS - 1 && peaks[at].ratio >= peak.ratio) return;
    for (; at > 0 && peaks[at - 1].ratio < peak.ratio; at--) peaks[at] = peaks[at - 1];
    peaks[at] = peak;
}

// Vertex of the parabola through three logarithms, in bins.
static double vertex(double before, double here, double after) {
    double a = log(before + 1e-3), b = log(here), c = log(after + 1e-3), bend = a - 2 * b + c;
    double shift = bend < 0 ? 0.5 * (a - c) / bend : 0;
    return fmin(0.5, fmax(-0.5, shift));
}

static size_t find_peaks(const struct bw_plane *plane, struct peak *peaks) {
    size_t n = 0;
    for (size_t k = 1; k + 1 < plane->n_f; k++)
        for (size_t j = 0; j < plane->n_g; j++) {
            const float *row = plane->ratio + k * plane->n_g;
            double here = (double)row[j], g = (double)j * plane->dg;
            if (here < PEAK_LEAST || (n == PEAKS && here <= peaks[n - 1].ratio)) continue;
            if (j > plane->n_g / 2) g -= (double)plane->n_g * plane->dg;
            if (fabs(g) > plane->slope * (double)k * plane->df || !is_peak(plane, k, j)) continue;
            double up = vertex((double)row[j - plane->n_g], here, (double)row[j + plane->n_g]);
            double on = vertex((double)row[(j + plane->n_g - 1) % plane->n_g], here,
                               (double)row[(j + 1) % plane->n_g]);
            keep(peaks, &n, (struct peak){((double)k + up) * plane->df, g + on * plane->dg, here});
        }
    return n;
}

// --- combs -------------------------------------------------------------------------------------

static double log_chance(const struct bw_plane *plane, double tail, int harmonics, double sum) {
    // A comb of K harmonics is told apart K times finer in f and in g.
    double places = log(plane->cells * harmonics * harmonics);
    return fmin(0, log_gamma_tail(harmonics, sum / tail) + places);
}

// Marks are seldom quite straight and parallel: a harmonic may lie half a cell of slant beside its
// place. What the best of three bins gains over one in noise is taken off.
static double ratio_near(const struct bw_plane *plane, double tail, double f, double g) {
    double best = 0;
    for (int side = -1; side <= 1; side++)
        best = fmax(best, bw_plane_ratio(plane, f, g + side * plane->dg));
    return fmax(0, best - tail * M_LN2);
}

static bool is_size(int k) { return k <= 4 || k == 6 || k == 8 || k == 12 || k == 16; }

// The best number of harmonics at (f, g).
static struct bw_comb comb_at(const struct bw_plane *plane, double tail, double f, double g) {
    struct bw_comb comb = {.f = f, .g = g, .harmonics = 1};
    double sum = 0;
    int most = (int)fmin(BW_COMB_MOST, plane->f_high / f);
    for (int k = 1; k <= most; k++) {
        comb.ratio[k - 1] = ratio_near(plane, tail, k * f, k * g);
        sum += comb.ratio[k - 1];
        if (k != most && !is_size(k)) continue;
        double chance = log_chance(plane, tail, k, k == 1 ? bw_plane_ratio(plane, f, g) : sum);
        if (chance >= comb.log_chance) continue;
        comb.log_chance = chance;
        comb.harmonics = k;
    }
    return comb;
}

// Around a first guess: a peak at the h-th harmonic leaves a quarter of a bin / h open.
static struct bw_comb comb_near(const struct bw_plane *plane, double tail, double f, double g,
                                int h) {
    struct bw_comb best = {0};
    for (int a = -2; a <= 2; a++)
        for (int b = -2; b <= 2; b++) {
            struct bw_comb comb =
                comb_at(plane, tail, f + a * 0.25 * plane->df / h, g + b * 0.25 * plane->dg / h);
            if (comb.log_chance < best.log_chance) best = comb;
        }
    return best;
}

// Whether the waves that are no multiples of m stand out by themselves.
static bool others_stand(const struct bw_comb *comb, int m, double tail) {
    double sum = 0;
    int n = 0;
    for (int k = 1; k <= comb->harmonics; k++)
        if (k % m != 0) {
            sum += comb->ratio[k - 1];
            n++;
        }
    return n > 0 && log_gamma_tail(n, sum / tail) < log(OCTAVE_CHANCE);
}

static bool octave_right(const struct bw_comb *comb, double tail) {
    for (int m = 2; m <= FRACTIONS; m++)
        if (comb->harmonics >= m && !others_stand(comb, m, tail)) return false;
    return true;
}

bool bw_comb_find(const struct bw_plane *plane, double tail, struct bw_comb *out) {
    struct peak peaks[PEAKS];
    size_t n = find_peaks(plane, peaks);
    struct bw_comb best = {0};
    for (size_t i = 0; i < n; i++)
        for (int h = 1; h <= FRACTIONS && peaks[i].f / h >= plane->f_low; h++) {
            struct bw_comb comb = comb_near(plane, tail, peaks[i].f / h, peaks[i].g / h, h);
            if (comb.harmonics < h || comb.log_chance >= best.log_chance) continue;
            if (octave_right(&comb, tail)) best = comb;
        }
    if (best.harmonics == 0) return false;
    *out = best;
    return true;
}

// Half width of a Hann main lobe, in cells, where it has fallen to 1 / ratio.
static double lobe(double ratio) { return ratio < 8 ? 1.2 : ratio < 100 ? 1.75 : 2.2; }

void bw_comb_strike(struct bw_plane *plane, const struct bw_comb *comb) {
    double strongest = 0;
    for (int k = 1; k <= BW_COMB_MOST; k++) strongest = fmax(strongest, comb->ratio[k - 1]);
    for (int k = 1; k <= BW_COMB_MOST; k++)
        if (comb->ratio[k - 1] >= fmin(strongest, STANDS))
            bw_plane_strike(plane, k * comb->f, lobe(comb->ratio[k - 1]));
}
