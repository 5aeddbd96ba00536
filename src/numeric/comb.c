// comb.c - see comb.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: over noise a bin's power over floor is exponential with mean `tail` (1 for Gaussian
// noise), so the sum over K harmonics is a gamma variable; its tail probability, times the number
// of places such a comb could have been, is the chance of a false alarm anywhere in the picture.
// Which comb explains a picture is another question than whether it is noise: two strong waves of
// different parts are the 7th and 11th harmonic of many a comb. So a harmonic that is there counts
// up to a limit and every one that is not costs something, and a comb of half the frequency needs
// half of the harmonics it adds. The strongest wave comes first: it belongs to some comb, so only
// whole fractions of it are tried, then of the next. Range: combs of up to 16 harmonics.
// Source: Bonferroni's inequality; gamma tail by its finite sum. Rejected: a product spectrum (one
// missing harmonic, the usual thing behind a platen, hides the comb).
#include "numeric/comb.h"

#include <math.h>
#include <string.h>

#define PEAKS 120
#define PEAK_LEAST 6.0     // power over floor; below, a peak tells nothing
#define STANDS 3.0         // over the floor, what three bins gain taken off: not noise
#define COUNTS_MOST 20.0   // power over floor: more makes a harmonic no more there
#define MISSING_COSTS 6.0  // power over floor
#define WEAKEST 0.01       // of the strongest harmonic: less may be what that one leaks
#define LOBE_LEAST 1.2     // cells each side that are the wave's own
#define LOBE_MOST 6.0
#define FRACTIONS 16  // a peak may be up to this harmonic

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

struct candidate {
    struct bw_comb comb;
    double explains;
};

// A comb at f / m needs half of the harmonics that one at f has not.
static bool octave_right(const struct bw_comb *comb, double least) {
    for (int m = 2; m <= comb->harmonics; m++) {
        int others = 0, standing = 0;
        for (int k = 1; k <= comb->harmonics; k++) {
            others += k % m != 0;
            standing += k % m != 0 && comb->ratio[k - 1] > least;
        }
        if (2 * standing < others) return false;
    }
    return true;
}

// The number of harmonics at (f, g) that explains most, within the limit.
static struct candidate at(const struct bw_plane *plane, double tail, double limit, double f,
                           double g) {
    struct bw_comb comb = {.f = f, .g = g};
    struct candidate best = {0};
    double sum = 0, explains = 0, strongest = 0;
    int most = (int)fmin(BW_COMB_MOST, plane->f_high / f);
    for (int k = 1; k <= most; k++) {
        comb.ratio[k - 1] = ratio_near(plane, tail, k * f, k * g);
        strongest = fmax(strongest, comb.ratio[k - 1]);
    }
    double least = fmax(MISSING_COSTS, WEAKEST * strongest);
    for (int k = 1; k <= most; k++) {
        sum += comb.ratio[k - 1];
        bool there = comb.ratio[k - 1] > least;
        explains += (there ? fmin(comb.ratio[k - 1], COUNTS_MOST) : 0) - MISSING_COSTS;
        if (explains <= best.explains) continue;
        comb.harmonics = k;
        comb.log_chance = log_chance(plane, tail, k, k == 1 ? bw_plane_ratio(plane, f, g) : sum);
        if (comb.log_chance > limit || !octave_right(&comb, least)) continue;
        best = (struct candidate){comb, explains};
    }
    return best;
}

// The best comb whose h-th harmonic is the peak; that leaves half a bin / h open, where the
// unlimited power says more than what is explained.
static struct candidate near(const struct bw_plane *plane, double tail, double limit,
                             const struct peak *peak, int h) {
    struct candidate best = {0};
    for (int a = -2; a <= 2; a++)
        for (int b = -2; b <= 2; b++) {
            double f = (peak->f + a * 0.25 * plane->df) / h;
            double g = (peak->g + b * 0.25 * plane->dg) / h;
            struct candidate one = at(plane, tail, limit, f, g);
            if (one.comb.log_chance < best.comb.log_chance) best = one;
        }
    return best;
}

bool bw_comb_find(const struct bw_plane *plane, double tail, double limit, struct bw_comb *out) {
    struct peak peaks[PEAKS];
    size_t n = find_peaks(plane, peaks);
    struct candidate best = {0};
    for (size_t i = 0; i < n && best.comb.harmonics == 0; i++)
        for (int h = 1; h <= FRACTIONS && peaks[i].f / h >= plane->f_low; h++) {
            struct candidate one = near(plane, tail, limit, &peaks[i], h);
            if (one.comb.harmonics >= h && one.explains > best.explains) best = one;
        }
    if (best.comb.harmonics == 0) return false;
    *out = best.comb;
    return true;
}

// --- striking ----------------------------------------------------------------------------------

static double row_top(const struct bw_plane *plane, long k) {
    double top = 0;
    if (k < 0 || k >= (long)plane->n_f) return top;
    for (size_t j = 0; j < plane->n_g; j++)
        top = fmax(top, (double)plane->ratio[(size_t)k * plane->n_g + j]);
    return top;
}

// Bins from `k` in direction `step` until the wave has sunk into what else is there. Marks that
// drift are wider than their taper.
static long reach(const struct bw_plane *plane, long k, long step, long most) {
    double last = HUGE_VAL;
    for (long i = 1; i <= most; i++) {
        double here = row_top(plane, k + i * step);
        if (here < PEAK_LEAST || (here > last && here > 2 * last)) return i - 1;
        last = fmin(last, here);
    }
    return most;
}

void bw_comb_strike(struct bw_plane *plane, const struct bw_comb *comb) {
    double strongest = 0, cell = plane->cell_f / plane->df;
    for (int k = 1; k <= BW_COMB_MOST; k++) strongest = fmax(strongest, comb->ratio[k - 1]);
    for (int k = 1; k <= BW_COMB_MOST; k++) {
        if (comb->ratio[k - 1] < fmin(strongest, STANDS)) continue;
        long at = lround(k * comb->f / plane->df);
        long least = lround(LOBE_LEAST * cell), most = lround(LOBE_MOST * cell);
        long below = reach(plane, at, -1, most), above = reach(plane, at, 1, most);
        below = below < least ? least : below;
        above = above < least ? least : above;
        bw_plane_strike(plane, at - below, at + above);
    }
}
