// wave.c - see wave.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: each harmonic is shifted to zero frequency and summed into a grid of blocks without a
// taper (a taper would cost a factor of two in variance); on the grid the likelihood, the sum over
// harmonics of |sum z exp(-i theta)|^2 / noise, is climbed by Fisher scoring with step halving.
// The covariance is the inverse of its observed curvature, so that a mark that covers part of the
// width only is not credited with all of it. Noise is that of the plane at the harmonic.
// Range: a start within a third of a cell, as a comb gives; power over floor above about 10,
// below which an estimate is sometimes a wrong peak. Source: the bound of Rife and Boorstyn, IEEE
// Trans. Inf. Theory 20 (1974) 591, in two dimensions (derived; claims/marks.c measures it).
// Rejected: a parabola through three bins (biased by up to a twentieth of a bin).
#include "numeric/wave.h"

#include "base/alloc.h"

#include <complex.h>
#include <math.h>
#include <string.h>

#define ALONG 24   // blocks: divisible by three and by eight
#define ACROSS 24  // at most
#define ROUNDS 40
#define SETTLED 1e-7  // of a standard deviation

struct grid {
    int harmonics, across;
    double u[ALONG], v[ACROSS];  // centres of the blocks, pixels from the middle
    double noise[BW_COMB_MOST];  // expected |sum|^2 of noise
    double complex z[BW_COMB_MOST][ALONG][ACROSS];
};

static double complex pair(double re, double im) { return re + im * (double complex)I; }
static double complex back(double phase) { return pair(cos(phase), -sin(phase)); }

// --- blocks ------------------------------------------------------------------------------------

static size_t block_start(size_t n, int blocks, int b) { return n * (size_t)b / (size_t)blocks; }

struct carrier {  // start: its phase at the first sample; turn: radians per sample
    double start, turn, weight;
};

// Adds weight * light[i] exp(-i (start + turn i)), summed over each block along the feed.
static void add_strip(const float *light, size_t n, const struct carrier *carrier,
                      double complex z[ALONG][ACROSS], int c) {
    double step_re = cos(carrier->turn), step_im = -sin(carrier->turn);
    for (int b = 0; b < ALONG; b++) {
        size_t from = block_start(n, ALONG, b), to = block_start(n, ALONG, b + 1);
        double phase = -(carrier->start + carrier->turn * (double)from);
        double re = cos(phase), im = sin(phase), sum_re = 0, sum_im = 0;
        for (size_t i = from; i < to; i++) {
            double x = (double)light[i], turned = re * step_re - im * step_im;
            sum_re += x * re;
            sum_im += x * im;
            im = re * step_im + im * step_re;
            re = turned;
        }
        z[b][c] += carrier->weight * pair(sum_re, sum_im);
    }
}

static void fill(const struct bw_strips *strips, const struct bw_plane *plane,
                 const struct bw_comb *comb, bool whiten, struct grid *grid) {
    *grid = (struct grid){.harmonics = comb->harmonics,
                          .across = strips->n < ACROSS ? (int)strips->n : ACROSS};
    double u0 = (strips->step - strips->u_size) / 2, v0 = (strips->width - strips->v_size) / 2;
    for (int b = 0; b < ALONG; b++)
        grid->u[b] = u0 + strips->step / 2 *
                              (double)(block_start(strips->length, ALONG, b) +
                                       block_start(strips->length, ALONG, b + 1) - 1);
    for (int c = 0; c < grid->across; c++) {
        size_t from = block_start(strips->n, grid->across, c);
        size_t to = block_start(strips->n, grid->across, c + 1);
        grid->v[c] = v0 + strips->width / 2 * (double)(from + to - 1);
        for (size_t s = from; s < to; s++)
            for (int k = 1; k <= comb->harmonics; k++) {
                double f = k * comb->f, g = k * comb->g, v = v0 + strips->width * (double)s;
                struct carrier carrier = {2 * M_PI * (f * u0 + g * v), 2 * M_PI * f * strips->step,
                                          1};
                if (whiten) carrier.weight = 1 / sqrt(bw_plane_level(plane, s, f));
                add_strip(strips->light + s * strips->length, strips->length, &carrier,
                          grid->z[k - 1], c);
            }
    }
    for (int k = 1; k <= comb->harmonics; k++)
        grid->noise[k - 1] =
            bw_plane_floor(plane, k * comb->f, k * comb->g) * (double)(strips->n * strips->length);
}

// --- the likelihood ----------------------------------------------------------------------------

struct climb {  // value, gradient and curvature at shifts of f and g
    double value, f, g, ff, fg, gg;
    double expected;  // curvature over extent squared, of a wave of this strength all over
};

struct span {  // blocks of the length
    int from, to;
};

static struct climb at(const struct grid *grid, struct span span, double df, double dg) {
    struct climb sum = {0};
    for (int k = 1; k <= grid->harmonics; k++) {
        double complex w = 0, wf = 0, wg = 0, wff = 0, wfg = 0, wgg = 0;
        for (int b = span.from; b < span.to; b++)
            for (int c = 0; c < grid->across; c++) {
                double u = 2 * M_PI * k * grid->u[b], v = 2 * M_PI * k * grid->v[c];
                double phase = u * df + v * dg;
                double complex z = grid->z[k - 1][b][c] * back(phase);
                w += z;
                wf += u * z;
                wg += v * z;
                wff += u * u * z;
                wfg += u * v * z;
                wgg += v * v * z;
            }
        // d/df brings down -i u: |w|^2 has slope 2 Re(conj(w) (-i wf)) = 2 Im(conj(w) wf).
        double share = 2 / grid->noise[k - 1] * ALONG / (span.to - span.from);
        double complex turned = conj(w);
        sum.value += share / 2 * creal(turned * w);
        sum.f += share * cimag(turned * wf);
        sum.g += share * cimag(turned * wg);
        sum.ff += share * (creal(conj(wf) * wf) - creal(turned * wff));
        sum.fg += share * (creal(conj(wf) * wg) - creal(turned * wfg));
        sum.gg += share * (creal(conj(wg) * wg) - creal(turned * wgg));
        sum.expected += share * creal(turned * w) * pow(2 * M_PI * k, 2) / 12;
    }
    return sum;
}

struct shift {
    double f, g;
    struct climb top;
};

// Climbs from `start`, over part of the length. With `v_size` 0 the slant is held.
static struct shift climb(const struct grid *grid, struct span span, double u_size, double v_size,
                          struct shift start) {
    struct shift here = start;
    here.top = at(grid, span, here.f, here.g);
    double stride = 1;
    for (int round = 0; round < ROUNDS && stride > 1e-6; round++) {
        double bend_f = fmax(-here.top.ff, 0.3 * here.top.expected * u_size * u_size);
        double bend_g = fmax(-here.top.gg, 0.3 * here.top.expected * v_size * v_size);
        double f = here.f + stride * here.top.f / bend_f;
        double g = v_size > 0 ? here.g + stride * here.top.g / bend_g : here.g;
        struct climb there = at(grid, span, f, g);
        if (there.value < here.top.value) {
            stride /= 2;
            continue;
        }
        double moved = fabs(f - here.f) * sqrt(bend_f) + fabs(g - here.g) * sqrt(bend_g);
        here = (struct shift){f, g, there};
        stride = 1;
        if (moved < SETTLED) break;
    }
    return here;
}

// The sum over the whole grid of harmonic k.
static double complex total(const struct grid *grid, int k, const struct shift *shift) {
    double complex sum = 0;
    for (int b = 0; b < ALONG; b++)
        for (int c = 0; c < grid->across; c++) {
            double phase = 2 * M_PI * k * (grid->u[b] * shift->f + grid->v[c] * shift->g);
            sum += grid->z[k - 1][b][c] * back(phase);
        }
    return sum;
}

// --- steadiness --------------------------------------------------------------------------------

#define EIGHTHS 8

// The sums of harmonic k over the blocks of the length, or of the width.
static void parts(const struct grid *grid, int k, const struct shift *shift, bool across,
                  double complex part[ALONG]) {
    int blocks = across ? grid->across : ALONG;
    for (int i = 0; i < blocks; i++) part[i] = 0;
    for (int b = 0; b < ALONG; b++)
        for (int c = 0; c < grid->across; c++) {
            double phase = 2 * M_PI * k * (grid->u[b] * shift->f + grid->v[c] * shift->g);
            part[across ? c : b] += grid->z[k - 1][b][c] * back(phase);
        }
}

// |sum|^2 / (n sum of |part|^2) over eighths, harmonics weighed by their strength.
static double agreement(const struct grid *grid, const struct shift *shift, bool across) {
    double top = 0, bottom = 0;
    int blocks = across ? grid->across : ALONG, n = blocks < EIGHTHS ? blocks : EIGHTHS;
    for (int k = 1; k <= grid->harmonics; k++) {
        double complex part[ALONG], eighth[EIGHTHS] = {0}, sum = 0;
        parts(grid, k, shift, across, part);
        for (int i = 0; i < blocks; i++) eighth[i * n / blocks] += part[i];
        for (int i = 0; i < n; i++) {
            sum += eighth[i];
            bottom += n * pow(cabs(eighth[i]), 2) / grid->noise[k - 1];
        }
        top += pow(cabs(sum), 2) / grid->noise[k - 1];
    }
    return bottom > 0 ? top / bottom : 0;
}

// (sum of powers)^2 / (n sum of squared powers).
static double evenness(const struct grid *grid, const struct shift *shift, bool across) {
    double power[ALONG] = {0}, sum = 0, squares = 0;
    int n = across ? grid->across : ALONG;
    for (int k = 1; k <= grid->harmonics; k++) {
        double complex part[ALONG];
        parts(grid, k, shift, across, part);
        for (int i = 0; i < n; i++) power[i] += pow(cabs(part[i]), 2) / grid->noise[k - 1];
    }
    for (int i = 0; i < n; i++) {
        sum += power[i];
        squares += power[i] * power[i];
    }
    return squares > 0 ? sum * sum / (n * squares) : 0;
}

static void thirds(const struct grid *grid, const struct shift *all, double u_size, double f,
                   struct bw_wave *wave) {
    for (int t = 0; t < 3; t++) {
        struct span third = {t * ALONG / 3, (t + 1) * ALONG / 3};
        struct shift local = climb(grid, third, u_size / 3, 0, *all);
        wave->thirds[t].f = f + local.f;
        wave->thirds[t].f_sd = local.top.ff < 0 ? 1 / sqrt(-local.top.ff) : HUGE_VAL;
    }
}

// --- strength ----------------------------------------------------------------------------------

static double box(double x) { return fabs(x) < 1e-9 ? 1 : sin(M_PI * x) / (M_PI * x); }

static void strength(const struct grid *plain, const struct shift *shift,
                     const struct bw_strips *strips, struct bw_wave *wave) {
    for (int k = 1; k <= plain->harmonics; k++) {
        double complex sum = total(plain, k, shift);
        // What averaging within a sample and a strip took away.
        double kept = box(k * wave->f * strips->step) * box(k * wave->g * strips->width);
        wave->amplitude[k - 1] = 2 * cabs(sum) / (double)(strips->n * strips->length) / kept;
        wave->phase[k - 1] = carg(sum);
    }
}

// --- all of it ---------------------------------------------------------------------------------

// The inverse of the observed curvature. Of the power at the top one unit a harmonic is noise's.
static void covariance(const struct climb *top, struct bw_wave *wave) {
    double determinant = top->ff * top->gg - top->fg * top->fg;
    double signal = top->value - wave->harmonics;
    bool peak = top->ff < 0 && determinant > 0 && signal > 0;
    double noisy = peak ? top->value / signal : 1;
    wave->ff = peak ? -top->gg / determinant * noisy : HUGE_VAL;
    wave->gg = peak ? -top->ff / determinant * noisy : HUGE_VAL;
    wave->fg = peak ? top->fg / determinant * noisy : 0;
}

bool bw_wave_fit(const struct bw_strips *strips, const struct bw_plane *plane,
                 const struct bw_comb *comb, struct bw_wave *out, struct bw_err *err) {
    struct grid *grid = bw_alloc(sizeof *grid);
    if (grid == NULL) return bw_fail_memory(err);
    struct bw_wave wave = {.harmonics = comb->harmonics};
    fill(strips, plane, comb, true, grid);
    struct shift best =
        climb(grid, (struct span){0, ALONG}, strips->u_size, strips->v_size, (struct shift){0});
    wave.f = comb->f + best.f;
    wave.g = comb->g + best.g;
    covariance(&best.top, &wave);
    for (int k = 1; k <= grid->harmonics; k++)
        wave.ratio[k - 1] = pow(cabs(total(grid, k, &best)), 2) / grid->noise[k - 1];
    wave.coherence = agreement(grid, &best, false);
    wave.across = agreement(grid, &best, true);
    wave.spread = evenness(grid, &best, false);
    wave.lane = evenness(grid, &best, true);
    thirds(grid, &best, strips->u_size, comb->f, &wave);
    fill(strips, plane, comb, false, grid);
    strength(grid, &best, strips, &wave);
    bw_free(grid);
    *out = wave;
    return true;
}
