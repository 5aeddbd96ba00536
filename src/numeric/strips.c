// strips.c - see strips.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: block means of linear light, their logarithm (a mark is a share of the light that falls
// there, so dark and bright places count alike), medians of blocks and a cut at three robust
// standard deviations, strip by strip, so that a knot or a crack is one outlier and not a spectrum;
// then three running means as a smooth high pass, and the same cut again. Range: pictures of up to
// 4e9 pixels; time is one pass over them.
// Source: the running mean thrice is close to a Gaussian (Wells, IEEE PAMI 8 (1986) 234, from
// memory). Rejected: dividing by a two-dimensional blur (needs the picture in memory), a running
// median (slow, and it leaves corners that ring).
#include "numeric/strips.h"

#include "base/alloc.h"

#include <assert.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

#define DARK 0.004f  // light below which a logarithm would only show sensor noise; about code 13
#define CUT 3.0f     // robust standard deviations

// --- block means -------------------------------------------------------------------------------

// Sums of `count` neighbours.
static void add_blocks(const float *row, size_t blocks, size_t count, float *sums) {
    for (size_t b = 0; b < blocks; b++) {
        float sum = 0;
        for (size_t i = 0; i < count; i++) sum += row[b * count + i];
        sums[b] += sum;
    }
}

// Feed along the rows: a strip is `wide` rows. `line` has room for one row.
static void take_along(const struct bw_rows *rows, size_t wide, size_t step,
                       const struct bw_strips *out, float *line) {
    for (size_t s = 0; s < out->n; s++)
        for (size_t y = 0; y < wide; y++) {
            rows->row(rows->context, s * wide + y, line);
            add_blocks(line, out->length, step, out->light + s * out->length);
        }
}

// Feed down the columns: a row gives one sample's share to every strip. `line` has room for one row
// and for a sum per strip.
static void take_down(const struct bw_rows *rows, size_t wide, size_t step,
                      const struct bw_strips *out, float *line) {
    float *sums = line + rows->width;
    for (size_t i = 0; i < out->length; i++) {
        memset(sums, 0, out->n * sizeof *sums);
        for (size_t y = 0; y < step; y++) {
            rows->row(rows->context, i * step + y, line);
            add_blocks(line, out->n, wide, sums);
        }
        for (size_t s = 0; s < out->n; s++) out->light[s * out->length + i] = sums[s];
    }
}

// --- slow changes ------------------------------------------------------------------------------

// One running mean of 2 * half + 1 samples, mirrored at the ends.
static void running_mean(const float *in, size_t n, size_t half, float *out) {
    double sum = (double)in[0];
    for (size_t i = 1; i <= half; i++) sum += 2 * (double)in[i];
    for (size_t i = 0; i < n; i++) {
        out[i] = (float)(sum / (double)(2 * half + 1));
        size_t leaves = i >= half ? i - half : half - i;
        size_t enters = i + half + 1 < n ? i + half + 1 : 2 * (n - 1) - (i + half + 1);
        sum += (double)in[enters] - (double)in[leaves];
    }
}

// The value that half of `values` stay below; the order is lost. Hoare's FIND.
static float median(float *values, size_t n) {
    ptrdiff_t low = 0, high = (ptrdiff_t)n - 1, middle = (ptrdiff_t)n / 2;
    while (low < high) {
        float pivot = values[middle];
        ptrdiff_t i = low, j = high;
        while (i <= j) {
            while (values[i] < pivot) i++;
            while (values[j] > pivot) j--;
            if (i > j) break;
            float held = values[i];
            values[i++] = values[j];
            values[j--] = held;
        }
        if (j < middle) low = i;
        if (i > middle) high = j;
    }
    return values[middle];
}

// A first, rough idea of the slow light: medians of blocks of `block` samples, joined by straight
// lines. `room` holds a block and the medians.
static void block_medians(const float *light, size_t n, size_t block, float *room, float *out) {
    float *medians = room + block;
    size_t blocks = n / block < 1 ? 1 : n / block;
    for (size_t b = 0; b < blocks; b++) {
        size_t from = b * block, size = b + 1 == blocks && n - from < block ? n - from : block;
        memcpy(room, light + from, size * sizeof *room);
        medians[b] = median(room, size);
    }
    for (size_t i = 0; i < n; i++) {
        double at = ((double)i + 0.5) / (double)block - 0.5;
        at = fmin(fmax(at, 0), (double)(blocks - 1));
        size_t b = (size_t)at, next = b + 1 < blocks ? b + 1 : b;
        float share = (float)(at - (double)b);
        out[i] = (1 - share) * medians[b] + share * medians[next];
    }
}

// Cuts what is further than CUT robust standard deviations from `slow`. `room` holds n.
static void cut(float *light, const float *slow, size_t n, float *room) {
    for (size_t i = 0; i < n; i++) room[i] = fabsf(light[i] - slow[i]);
    float limit = CUT * 1.4826f * median(room, n);
    for (size_t i = 0; i < n; i++)
        light[i] = slow[i] + fminf(fmaxf(light[i] - slow[i], -limit), limit);
}

// Cut first, so that a crack does not pull the running mean down all around it.
static void flatten(float *light, size_t n, size_t half, float *room) {
    float *slow = room, *other = room + n;
    block_medians(light, n, 2 * half + 1 < n ? 2 * half + 1 : n, other, slow);
    cut(light, slow, n, other);
    running_mean(light, n, half, slow);
    running_mean(slow, n, half, other);
    running_mean(other, n, half, slow);
    cut(light, slow, n, other);
    for (size_t i = 0; i < n; i++) light[i] -= slow[i];
}

// --- all of it ---------------------------------------------------------------------------------

static bool fits(const struct bw_strips *strips, struct bw_err *err) {
    if (strips->n >= 8 && strips->length >= 64) return true;
    bw_fail(err, BW_INPUT, "the picture is too small to look for marks");
    bw_err_mend(err, "take one of at least 600 pixels along the feed and 200 across it");
    return false;
}

bool bw_strips_take(const struct bw_rows *rows, const struct bw_strips_options *options,
                    struct bw_strips *out, struct bw_err *err) {
    assert(options->shortest >= 4);
    size_t wide = (size_t)options->shortest, step = (size_t)(options->shortest / 4);
    size_t along = options->down ? rows->height : rows->width;
    size_t across = options->down ? rows->width : rows->height;
    struct bw_strips strips = {.n = across / wide,
                               .length = along / step,
                               .step = (double)step,
                               .width = (double)wide,
                               .u0 = ((double)step - 1) / 2,
                               .v0 = ((double)wide - 1) / 2};
    strips.u_size = (double)(strips.length * step);
    strips.v_size = (double)(strips.n * wide);
    if (!fits(&strips, err)) return false;
    strips.light = bw_alloc_zero(strips.n * strips.length, sizeof(float));
    float *room = bw_alloc(sizeof(float) * (rows->width + strips.n + 4 * strips.length));
    if (strips.light == NULL || room == NULL) {
        bw_free(room);
        bw_strips_free(&strips);
        return bw_fail_memory(err);
    }
    if (options->down)
        take_down(rows, wide, step, &strips, room);
    else
        take_along(rows, wide, step, &strips, room);
    float share = 1 / (float)(wide * step);
    for (size_t i = 0; i < strips.n * strips.length; i++)
        strips.light[i] = logf(strips.light[i] * share + DARK);
    size_t half = (size_t)(options->longest / strips.step * 0.42);
    if (half < 2) half = 2;
    if (half > strips.length / 2 - 1) half = strips.length / 2 - 1;
    for (size_t s = 0; s < strips.n; s++)
        flatten(strips.light + s * strips.length, strips.length, half, room);
    bw_free(room);
    *out = strips;
    return true;
}

void bw_strips_free(struct bw_strips *strips) {
    if (strips == NULL) return;
    bw_free(strips->light);
    strips->light = NULL;
}
