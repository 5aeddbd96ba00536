// overlay.c - a plot's raster with its lines drawn in; see png.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/png.h"

#include "base/alloc.h"

#include <math.h>
#include <string.h>

struct canvas {
    uint8_t *rgb;
    const struct bw_raster *raster;
};

struct pixel {
    double x, y;
};

static struct pixel pixel_at(const struct bw_raster *raster, double x, double y) {
    return (struct pixel){
        (x - raster->x_min) / (raster->x_max - raster->x_min) * (double)raster->width,
        (raster->y_max - y) / (raster->y_max - raster->y_min) * (double)raster->height};
}

static void dot(const struct canvas *canvas, struct pixel at, const uint8_t colour[3]) {
    long x = (long)floor(at.x), y = (long)floor(at.y);
    if (x < 0 || y < 0 || x >= (long)canvas->raster->width || y >= (long)canvas->raster->height)
        return;
    memcpy(canvas->rgb + 3 * ((size_t)y * canvas->raster->width + (size_t)x), colour, 3);
}

// A line two pixels wide; `dash` pixels drawn, as many left out, 0: unbroken. What lies outside the
// picture by more than its own size is not walked along.
static void stroke(const struct canvas *canvas, struct pixel a, struct pixel b,
                   const uint8_t colour[3], double dash) {
    double length = hypot(b.x - a.x, b.y - a.y);
    double far = 2 * (double)(canvas->raster->width + canvas->raster->height);
    if (!isfinite(length) || fmax(fabs(a.x), fabs(a.y)) > far || length > 2 * far) return;
    for (double s = 0; s <= length; s += 0.5) {
        double share = length > 0 ? s / length : 0;
        struct pixel at = {a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)};
        if (dash > 0 && fmod(s, 2 * dash) >= dash) continue;
        dot(canvas, at, colour);
        at.x += fabs(b.y - a.y) > fabs(b.x - a.x) ? 1 : 0;  // thickened across itself
        at.y += fabs(b.y - a.y) > fabs(b.x - a.x) ? 0 : 1;
        dot(canvas, at, colour);
    }
}

static void draw_series(const struct canvas *canvas, const struct bw_series *series) {
    static const uint8_t MAIN[3] = {11, 92, 173}, OTHER[3] = {194, 65, 12};
    bool main = series->style == NULL || strcmp(series->style, "main") == 0;
    for (size_t i = 1; i < series->n; i++) {
        struct pixel a = pixel_at(canvas->raster, series->x[i - 1], series->y[i - 1]);
        struct pixel b = pixel_at(canvas->raster, series->x[i], series->y[i]);
        stroke(canvas, a, b, main ? MAIN : OTHER, main ? 0 : 8);
    }
}

bool bw_overlay_write(const struct bw_plot *plot, struct bw_buffer *out, struct bw_err *err) {
    const struct bw_raster *raster = &plot->raster;
    size_t n = raster->width * raster->height;
    struct canvas canvas = {bw_alloc_zero(n, 3), raster};
    if (canvas.rgb == NULL) return bw_fail_memory(err);
    for (size_t i = 0; i < n; i++) memset(canvas.rgb + 3 * i, raster->codes[i], 3);
    for (const struct bw_series *series = plot->series; series != NULL; series = series->next)
        if (series->kind == BW_MARK_LINE) draw_series(&canvas, series);
    const struct bw_png png = {canvas.rgb, raster->width, raster->height, 3};
    bool done = bw_png_write(&png, out);
    bw_free(canvas.rgb);
    if (done) return true;
    return out->length > BW_MAX_BUFFER_BYTES / 2
               ? bw_fail(err, BW_LIMIT, "the picture is larger than %zu bytes", BW_MAX_BUFFER_BYTES)
               : bw_fail_memory(err);
}
