// texture.c - see texture.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Definitions from memory of ISO 4287:1997, ISO 13565-2:1996 and ISO 21920-2:2021; checked against
// closed forms of the sine, triangle, sawtooth and normal profile and against numpy. Sections begin
// at the point nearest to their length, so a length that is no whole number of points is honoured
// on the average. Spacing: a hill or dale counts only if it is both high and wide enough; one that
// is not joins its neighbours, and a new element begins at the last crossing before the feature
// that counts. The standards word this merging differently, and programs disagree by about 1 %.
//
// The core: normal heights of sanding under pores and fibres. Cutting at three sd leaves
// the mean alone and shrinks the sd to CUT_3 of itself, which is undone. Rejected: thresholds at
// the greatest second derivative of the material ratio curve, which follow its noise.
#include "numeric/texture.h"

#include "base/alloc.h"
#include "base/quantity.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#define NUMBERS (sizeof(struct bw_texture) / sizeof(double))

// --- one stretch -------------------------------------------------------------------------------

static double slope(const double *z, size_t n, double dx) {
    double sum = 0;
    if (n < 7) return BW_NAN;
    for (size_t i = 3; i + 3 < n; i++) {
        double d = (z[i + 3] - z[i - 3]) - 9 * (z[i + 2] - z[i - 2]) + 45 * (z[i + 1] - z[i - 1]);
        sum += d * d;
    }
    return sqrt(sum / (double)(n - 6)) / (60 * dx);
}

// Everything but spacing.
static struct bw_texture stretch(const double *z, size_t n, double dx) {
    double a = 0, s2 = 0, s3 = 0, s4 = 0, top = z[0], bottom = z[0];
    for (size_t i = 0; i < n; i++) {
        double square = z[i] * z[i];
        a += fabs(z[i]);
        s2 += square;
        s3 += square * z[i];
        s4 += square * square;
        top = z[i] > top ? z[i] : top;
        bottom = z[i] < bottom ? z[i] : bottom;
    }
    double count = (double)n, q = sqrt(s2 / count);
    return (struct bw_texture){.a = a / count,
                               .q = q,
                               .p = top,
                               .v = -bottom,
                               .z = top - bottom,
                               .t = top - bottom,
                               .sk = s3 / count / (q * q * q),
                               .ku = s4 / count / (q * q * q * q),
                               .sm = BW_NAN,
                               .dq = slope(z, n, dx)};
}

// --- spacing -----------------------------------------------------------------------------------

struct spacing {
    double least, narrow;
    int now;             // sign of the feature that counts, 0: none yet
    double first, last;  // where its first and last hill began
    size_t hills;
};

// One run of one sign from `begin` to `end`, `extreme` its greatest distance from the line.
static void run_ends(struct spacing *s, int sign, const double at[2], double extreme) {
    if (extreme < s->least || at[1] - at[0] < s->narrow || sign == s->now) return;
    if (sign > 0 && s->now < 0) {
        if (s->hills == 0) s->first = at[0];
        s->last = at[0];
        s->hills++;
    }
    s->now = sign;
}

double bw_texture_spacing(const double *z, size_t n, double dx, double least, double narrow) {
    struct spacing s = {.least = least, .narrow = narrow};
    double at[2] = {0, 0}, extreme = 0;
    int sign = 0;
    for (size_t i = 0; i < n; i++) {
        int side = z[i] > 0 ? 1 : z[i] < 0 ? -1 : sign;
        if (side != sign) {
            at[1] = i == 0 ? 0 : dx * ((double)(i - 1) + z[i - 1] / (z[i - 1] - z[i]));
            if (sign != 0) run_ends(&s, sign, at, extreme);
            at[0] = at[1];
            extreme = 0;
            sign = side;
        }
        extreme = fmax(extreme, fabs(z[i]));
    }
    at[1] = dx * (double)n;
    if (sign != 0) run_ends(&s, sign, at, extreme);
    return s.hills < 2 ? BW_NAN : (s.last - s.first) / (double)(s.hills - 1);
}

// --- sections ----------------------------------------------------------------------------------

static size_t section_begin(const struct bw_heights *h, size_t i) {
    size_t at = (size_t)llround((double)i * h->section / h->dx);
    return at < h->n ? at : h->n;
}

// Means over sections, and the standard deviations of these means. NaN values are left out.
static void over_sections(const struct bw_heights *h, struct bw_texture *mean,
                          struct bw_texture *scatter) {
    double sum[NUMBERS] = {0}, square[NUMBERS] = {0}, count[NUMBERS] = {0};
    double *means = (double *)mean, *scatters = (double *)scatter;
    double rz = 0;
    for (int pass = 0; pass < 2; pass++) {  // spacing needs Rz first
        memset(sum, 0, sizeof sum);
        memset(square, 0, sizeof square);
        memset(count, 0, sizeof count);
        for (size_t i = 0; i < h->sections; i++) {
            size_t begin = section_begin(h, i), n = section_begin(h, i + 1) - begin;
            struct bw_texture part = stretch(h->z + begin, n, h->dx);
            if (pass == 1)
                part.sm = bw_texture_spacing(h->z + begin, n, h->dx, 0.1 * rz, 0.01 * h->section);
            const double *parts = (const double *)&part;
            for (size_t k = 0; k < NUMBERS; k++) {
                if (isnan(parts[k])) continue;
                sum[k] += parts[k];
                square[k] += parts[k] * parts[k];
                count[k]++;
            }
        }
        rz = sum[offsetof(struct bw_texture, z) / sizeof(double)] / (double)h->sections;
    }
    for (size_t k = 0; k < NUMBERS; k++) {
        means[k] = count[k] > 0 ? sum[k] / count[k] : BW_NAN;
        double variance = (square[k] - sum[k] * means[k]) / (count[k] - 1);
        scatters[k] = count[k] > 1 ? sqrt(fmax(variance, 0) / count[k]) : BW_NAN;
    }
}

void bw_texture_measure(const struct bw_heights *h, enum bw_texture_rule rule,
                        struct bw_texture_result *out) {
    size_t n = section_begin(h, h->sections);
    struct bw_texture mean, scatter, whole = stretch(h->z, n, h->dx);
    over_sections(h, &mean, &scatter);
    whole.sm = bw_texture_spacing(h->z, n, h->dx, 0.1 * mean.z, 0.01 * h->section);
    scatter.t = BW_NAN;
    if (rule == BW_ISO_4287) {
        mean.t = whole.t;
        *out = (struct bw_texture_result){mean, scatter};
        return;
    }
    whole.p = mean.p;
    whole.v = mean.v;
    whole.z = mean.z;
    *out = (struct bw_texture_result){whole, scatter};
}

// --- the material ratio curve ------------------------------------------------------------------

// Share at which the curve falls to `height`, between points by a straight line.
static double share_at(const double *z, size_t n, double height) {
    size_t low = 0, high = n;  // z[low - 1] >= height > z[high]
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (z[middle] >= height)
            low = middle + 1;
        else
            high = middle;
    }
    if (low == 0) return 0;
    if (low == n) return 1;
    double part = (z[low - 1] - height) / (z[low - 1] - z[low]);
    return ((double)(low - 1) + part) / (double)(n - 1);
}

// Area between the curve and `height` on the side where the curve begins (`from` 0) or ends.
static double area_beyond(const double *z, size_t n, double height, bool peaks) {
    double sum = 0, step = 1 / (double)(n - 1);
    for (size_t k = 0; k + 1 < n; k++) {
        size_t i = peaks ? k : n - 1 - k, j = peaks ? k + 1 : n - 2 - k;
        double a = peaks ? z[i] - height : height - z[i], b = peaks ? z[j] - height : height - z[j];
        if (a <= 0) break;
        if (b >= 0) {
            sum += (a + b) / 2 * step;
        } else {
            sum += a / 2 * step * a / (a - b);
            break;
        }
    }
    return sum;
}

void bw_material_measure(const double *z, size_t n, struct bw_material *out) {
    *out = (struct bw_material){.mr2 = 1};
    if (n < 6) return;
    size_t window = (size_t)llround(0.4 * (double)(n - 1)), at = 0;
    double least = z[0] - z[window];
    for (size_t i = 1; i + window < n; i++) least = fmin(least, z[i] - z[i + window]);
    while (z[at] - z[at + window] > least * (1 + 1e-9)) at++;
    double fall = least * (double)(n - 1) / (double)window;  // over the whole width
    double top = z[at] + fall * (double)at / (double)(n - 1), bottom = top - fall;
    out->k = fall;
    out->mr1 = share_at(z, n, top);
    out->mr2 = share_at(z, n, bottom);
    if (out->mr1 > 0) out->pk = 2 * area_beyond(z, n, top, true) / out->mr1;
    if (out->mr2 < 1) out->vk = 2 * area_beyond(z, n, bottom, false) / (1 - out->mr2);
}

// --- sorting -----------------------------------------------------------------------------------

// A double as a whole number that sorts the other way round.
static uint64_t key_of(double v) {
    uint64_t bits;
    v += 0.0;  // -0 is 0
    memcpy(&bits, &v, sizeof bits);
    return bits >> 63 ? bits : ~bits & ~(UINT64_C(1) << 63);
}

#define BITS 11
#define DIGITS ((size_t)1 << BITS)
#define PASSES 6  // of 11 bits: an even number, so that the heights end where they began

static size_t digit_of(double v, size_t pass) {
    return (size_t)(key_of(v) >> (BITS * pass)) & (DIGITS - 1);
}

// By digits, lowest first: each pass keeps the order of the one before.
bool bw_heights_sort(double *z, size_t n, struct bw_err *err) {
    double *room = bw_alloc_zero(n, sizeof *room);
    size_t *counts = bw_alloc_zero(PASSES * DIGITS, sizeof *counts);
    if (room == NULL || counts == NULL) {
        bw_free(room);
        bw_free(counts);
        return bw_fail_memory(err);
    }
    for (size_t i = 0; i < n; i++)
        for (size_t pass = 0; pass < PASSES; pass++) counts[pass * DIGITS + digit_of(z[i], pass)]++;
    double *from = z, *to = room;
    for (size_t pass = 0; pass < PASSES; pass++) {
        size_t *place = counts + pass * DIGITS, sum = 0;
        for (size_t d = 0; d < DIGITS; d++) {
            size_t here = place[d];
            place[d] = sum;
            sum += here;
        }
        for (size_t i = 0; i < n; i++) to[place[digit_of(from[i], pass)]++] = from[i];
        double *swap = from;
        from = to;
        to = swap;
    }
    bw_free(room);
    bw_free(counts);
    return true;
}

// --- the core ----------------------------------------------------------------------------------

#define CUT 3.0
#define CUT_3 0.98658  // sd of a normal law cut at three sd, of 1

// First of `n` descending values below `height`.
static size_t first_below(const double *z, size_t n, double height) {
    size_t low = 0, high = n;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (z[middle] >= height)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

void bw_core_find(const double *z, size_t n, struct bw_core *out) {
    double mean = z[n / 2];
    // Quartiles give the sd to begin with; the upper one is the less disturbed by pores.
    double sd = (z[n / 4] - z[n / 2]) / 0.6744897501960817;
    size_t begin = 0, end = n;
    for (int round = 0; round < 100 && sd > 0; round++) {
        size_t first = first_below(z, n, mean + CUT * sd),
               last = first_below(z, n, mean - CUT * sd);
        if (last < first + 2 || (round > 0 && first == begin && last == end)) break;
        begin = first;
        end = last;
        double sum = 0, square = 0, count = (double)(end - begin);
        for (size_t i = begin; i < end; i++) sum += z[i];
        mean = sum / count;
        for (size_t i = begin; i < end; i++) square += (z[i] - mean) * (z[i] - mean);
        sd = sqrt(square / count) / CUT_3;
    }
    *out = (struct bw_core){.mean = mean,
                            .sd = sd,
                            .low = mean - CUT * sd,
                            .high = mean + CUT * sd,
                            .below = (double)(n - end) / (double)n,
                            .above = (double)begin / (double)n};
}
