// look.c - see look.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Direction: the structure tensor (mean products of the gradient's parts) of a copy of some 40,000
// block means, tile by tile; scratches and grain lie square to its larger axis. In each tile the
// means of rows and columns are taken off first, since marks that run straight across, the very
// thing looked for, would else pass for grain. Sharpness is a ratio of mean squared differences,
// the larger of that along x and y, since along the grain wood is smooth by itself.
// Source: Jaehne, Digital Image Processing (from memory). Rejected: a tensor of single pixels
// (sees saw teeth and JPEG), the Laplacian's variance (depends on contrast as much as on focus).
#include "study/marks/look.h"

#include "base/alloc.h"

#include <math.h>
#include <string.h>

#define SAMPLES 100000.0  // for sharpness and light
#define MARGIN 3
#define BLOCKS 40000.0  // for the direction
enum { TILE = 24 };

static double code(const struct bw_picture *picture, size_t x, size_t y) {
    size_t at = y * picture->width + x;
    return picture->bits == 8 ? ((const uint8_t *)picture->codes)[at]
                              : ((const uint16_t *)picture->codes)[at] / 257.0;
}

// --- direction ---------------------------------------------------------------------------------

struct tensor {
    double xx, yy, xy;
};

struct copy {
    size_t width, height, block;
    float *mean;
};

static void shrink(const struct bw_picture *picture, const struct copy *copy) {
    float share = 1 / (float)(copy->block * copy->block);
    for (size_t y = 0; y < copy->height * copy->block; y++) {
        float *to = copy->mean + y / copy->block * copy->width;
        for (size_t x = 0; x < copy->width; x++) {
            float sum = 0;
            for (size_t i = 0; i < copy->block; i++)
                sum += (float)code(picture, x * copy->block + i, y);
            to[x] += sum * share;
        }
    }
}

// Rows' and columns' means off: what is straight along either axis is gone.
static void centre(double tile[TILE][TILE]) {
    double rows[TILE] = {0}, columns[TILE] = {0}, all = 0;
    for (int y = 0; y < TILE; y++)
        for (int x = 0; x < TILE; x++) {
            rows[y] += tile[y][x] / TILE;
            columns[x] += tile[y][x] / TILE;
            all += tile[y][x] / (TILE * TILE);
        }
    for (int y = 0; y < TILE; y++)
        for (int x = 0; x < TILE; x++) tile[y][x] += all - rows[y] - columns[x];
}

// Each tile has one vote, whatever its contrast.
static void add_tile(const struct copy *copy, size_t x0, size_t y0, struct tensor *sum) {
    double tile[TILE][TILE];
    for (size_t y = 0; y < TILE; y++)
        for (size_t x = 0; x < TILE; x++)
            tile[y][x] = (double)copy->mean[(y0 + y) * copy->width + x0 + x];
    centre(tile);
    struct tensor own = {0};
    for (int y = 1; y + 1 < TILE; y++)
        for (int x = 1; x + 1 < TILE; x++) {
            double gx = tile[y][x + 1] - tile[y][x - 1], gy = tile[y + 1][x] - tile[y - 1][x];
            own.xx += gx * gx;
            own.yy += gy * gy;
            own.xy += gx * gy;
        }
    double both = own.xx + own.yy;
    if (!(both > 0)) return;
    sum->xx += own.xx / both;
    sum->yy += own.yy / both;
    sum->xy += own.xy / both;
}

static bool direction(const struct bw_picture *picture, struct marks_look *look,
                      struct bw_err *err) {
    double area = (double)picture->width * picture->height;
    struct copy copy = {.block = (size_t)fmax(1, round(sqrt(area / BLOCKS)))};
    copy.width = picture->width / copy.block;
    copy.height = picture->height / copy.block;
    copy.mean = bw_alloc_zero(copy.width * copy.height, sizeof *copy.mean);
    if (copy.mean == NULL) return bw_fail_memory(err);
    shrink(picture, &copy);
    struct tensor sum = {0};
    for (size_t y = 0; y + TILE <= copy.height; y += TILE / 2)
        for (size_t x = 0; x + TILE <= copy.width; x += TILE / 2) add_tile(&copy, x, y, &sum);
    bw_free(copy.mean);
    double both = sum.xx + sum.yy, difference = sum.xx - sum.yy;
    double gradient = 0.5 * atan2(2 * sum.xy, difference);
    look->grain = gradient > 0 ? gradient - M_PI_2 : gradient + M_PI_2;
    look->coherence = both > 0 ? hypot(difference, 2 * sum.xy) / both : 0;
    return true;
}

// --- light and focus ---------------------------------------------------------------------------

static double squared(double a) { return a * a; }

// Of mean squared differences over one and three pixels, without what rounding to codes adds.
static double ratio(double one, double three, long n) {
    double rounding = (double)n / 6;
    return three > rounding ? fmax(0, one - rounding) / (three - rounding) : 1;
}

static void light(const struct bw_picture *p, struct marks_look *look) {
    double x1 = 0, x3 = 0, y1 = 0, y3 = 0;
    long n = 0, dark = 0, bright = 0;
    size_t step = (size_t)fmax(1, sqrt((double)p->width * p->height / SAMPLES));
    for (size_t y = 0; y + MARGIN < p->height; y += step)
        for (size_t x = 0; x + MARGIN < p->width; x += step) {
            double here = code(p, x, y);
            x1 += squared(code(p, x + 1, y) - here);
            x3 += squared(code(p, x + 3, y) - here);
            y1 += squared(code(p, x, y + 1) - here);
            y3 += squared(code(p, x, y + 3) - here);
            dark += here < 6;
            bright += here > 252;
            n++;
        }
    look->dark = n > 0 ? (double)dark / (double)n : 0;
    look->bright = n > 0 ? (double)bright / (double)n : 0;
    look->sharpness = fmax(ratio(x1, x3, n), ratio(y1, y3, n));
}

// Messengers send copies of at most 1600 pixels and drop what the camera wrote.
static bool looks_shrunk(const struct bw_picture *picture) {
    static const uint32_t SIDES[] = {640, 800, 960, 1024, 1080, 1280, 1600};
    uint32_t longer = picture->width > picture->height ? picture->width : picture->height;
    bool usual = false;
    for (size_t i = 0; i < sizeof SIDES / sizeof *SIDES; i++) usual = usual || longer == SIDES[i];
    return usual && picture->about.format == BW_FORMAT_JPEG && picture->about.taken_at[0] == '\0' &&
           picture->about.scale != BW_SCALE_EXIF;
}

bool marks_look(const struct bw_picture *picture, struct marks_look *out, struct bw_err *err) {
    struct marks_look look = {.shrunk = looks_shrunk(picture)};
    light(picture, &look);
    if (!direction(picture, &look, err)) return false;
    *out = look;
    return true;
}
