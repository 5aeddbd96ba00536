// svg_mark.c - the series of a plot: lines, bands, bars, stems, dots.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/png.h"
#include "report/svg_part.h"

#include <math.h>

// A line may have far more points than the drawing has columns of px. Of neighbours in one column
// only the first, lowest, highest and last are drawn; the picture is the same.
struct pen {
    struct bw_buffer *out;
    struct bw_spot first, last, low, high;
    size_t low_rank, high_rank;
    size_t n;      // points waiting in this column
    size_t drawn;  // since the last lift
};

static void draw_to(struct pen *pen, struct bw_spot at) {
    bw_buffer_format(pen->out, "%c%s,%s", pen->drawn == 0 ? 'M' : 'L', bw_px(at.x).text,
                     bw_px(at.y).text);
    pen->drawn++;
}

static void draw_waiting(struct pen *pen) {
    if (pen->n == 0) return;
    draw_to(pen, pen->first);
    if (pen->n > 2) {
        bool low_first = pen->low_rank < pen->high_rank;
        draw_to(pen, low_first ? pen->low : pen->high);
        draw_to(pen, low_first ? pen->high : pen->low);
    }
    if (pen->n > 1) draw_to(pen, pen->last);
    pen->n = 0;
}

static void move_pen(struct pen *pen, struct bw_spot to) {
    if (pen->n > 0 && floor(to.x) != floor(pen->first.x)) draw_waiting(pen);
    if (pen->n == 0) {
        pen->first = pen->low = pen->high = to;
        pen->low_rank = pen->high_rank = 0;
    }
    if (to.y < pen->low.y) pen->low = to, pen->low_rank = pen->n;
    if (to.y > pen->high.y) pen->high = to, pen->high_rank = pen->n;
    pen->last = to;
    pen->n++;
}

static void lift_pen(struct pen *pen) {
    draw_waiting(pen);
    if (pen->drawn == 1) bw_buffer_text(pen->out, "h0");  // a point alone shows as a dot
    pen->drawn = 0;
}

static void draw_path(const struct bw_drawing *d, const struct bw_series *series,
                      const char *class) {
    struct pen pen = {.out = d->out};
    struct bw_spot spot;
    bw_buffer_format(d->out, "<path class=\"p-line%s\" d=\"", class);
    for (size_t i = 0; i < series->n; i++) {
        if (bw_svg_spot(d, series, i, 0, &spot))
            move_pen(&pen, spot);
        else
            lift_pen(&pen);
    }
    lift_pen(&pen);
    bw_buffer_text(d->out, "\"/>\n");
}

// Over a picture a line gets a pale casing: no colour is seen on every grey.
static void draw_line(const struct bw_drawing *d, const struct bw_series *series) {
    bool crowded = (double)series->n > 2 * (d->right - d->left);
    if (d->plot->raster.codes != NULL) draw_path(d, series, " p-case");
    draw_path(d, series, crowded ? " p-fine" : "");
}

static void draw_raster(const struct bw_drawing *d) {
    const struct bw_raster *raster = &d->plot->raster;
    const struct bw_png png = {raster->codes, raster->width, raster->height, 1};
    double left = bw_axis_at(&d->x, raster->x_min), right = bw_axis_at(&d->x, raster->x_max);
    double top = bw_axis_at(&d->y, raster->y_max), bottom = bw_axis_at(&d->y, raster->y_min);
    bw_buffer_format(d->out,
                     "<image x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" "
                     "preserveAspectRatio=\"none\" href=\"data:image/png;base64,",
                     bw_px(left).text, bw_px(top).text, bw_px(right - left).text,
                     bw_px(bottom - top).text);
    if (!bw_png_base64(&png, d->out)) d->out->failed = true;
    bw_buffer_text(d->out, "\"/>\n");
}

// Both edges of a band at point i; the lower one may leave a log axis at its foot.
static bool band_at(const struct bw_drawing *d, const struct bw_series *series, size_t i,
                    struct bw_spot *upper, struct bw_spot *lower) {
    if (series->sd == NULL || !bw_svg_spot(d, series, i, 1, upper)) return false;
    if (bw_svg_spot(d, series, i, -1, lower)) return true;
    *lower = (struct bw_spot){upper->x, d->bottom};
    return d->y.log;
}

static void draw_band(const struct bw_drawing *d, const struct bw_series *series) {
    struct bw_spot upper, lower;
    bw_buffer_text(d->out, "<path class=\"p-area\" d=\"");
    for (size_t i = 0; i < series->n;) {
        size_t end = i;
        while (end < series->n && band_at(d, series, end, &upper, &lower)) {
            bw_buffer_format(d->out, "%c%s,%s", end == i ? 'M' : 'L', bw_px(upper.x).text,
                             bw_px(upper.y).text);
            end++;
        }
        for (size_t k = end; k > i; k--) {
            (void)band_at(d, series, k - 1, &upper, &lower);
            bw_buffer_format(d->out, "L%s,%s", bw_px(lower.x).text, bw_px(lower.y).text);
        }
        if (end > i) bw_buffer_char(d->out, 'z');
        i = end > i ? end : i + 1;
    }
    bw_buffer_text(d->out, "\"/>\n");
}

void bw_svg_marker(struct bw_buffer *out, int pattern, struct bw_spot at) {
    static const char *const SHAPES[BW_SVG_PATTERNS] = {
        NULL,                             // a circle
        "m-4,-4h8v8h-8z",                 // a square
        "m0,-5l4.9,8.5h-9.8z",            // a triangle
        "m0,-5.5l5,5.5l-5,5.5l-5,-5.5z",  // a diamond
    };
    if (SHAPES[pattern] == NULL)
        bw_buffer_format(out, "<circle class=\"p-dot\" cx=\"%s\" cy=\"%s\" r=\"4.5\"/>\n",
                         bw_px(at.x).text, bw_px(at.y).text);
    else
        bw_buffer_format(out, "<path class=\"p-dot\" d=\"M%s,%s%s\"/>\n", bw_px(at.x).text,
                         bw_px(at.y).text, SHAPES[pattern]);
}

static double within_axes(const struct bw_drawing *d, double y) {
    return fmin(fmax(y, d->top), d->bottom);
}

// The sd as a bar with feet.
static void draw_sd(const struct bw_drawing *d, const struct bw_series *series, size_t i) {
    struct bw_spot upper, lower;
    if (!(series->sd[i] > 0) || !band_at(d, series, i, &upper, &lower)) return;
    bw_buffer_format(d->out, "<path class=\"p-thin\" d=\"M%s,%sh8m-4,0V%sm-4,0h8\"/>\n",
                     bw_px(upper.x - 4).text, bw_px(within_axes(d, upper.y)).text,
                     bw_px(within_axes(d, lower.y)).text);
}

static void draw_dots(const struct bw_drawing *d, const struct bw_series *series, int pattern) {
    struct bw_spot spot;
    for (size_t i = 0; i < series->n; i++) {
        if (!bw_svg_spot(d, series, i, 0, &spot) || !bw_svg_is_inside(d, spot)) continue;
        if (series->sd != NULL) draw_sd(d, series, i);
        bw_svg_marker(d->out, pattern, spot);
    }
}

static void draw_stems(const struct bw_drawing *d, const struct bw_series *series, int pattern) {
    struct bw_px foot = bw_px(bw_svg_baseline(d));
    struct bw_spot spot;
    bw_buffer_text(d->out, "<path class=\"p-thin\" d=\"");
    for (size_t i = 0; i < series->n; i++) {
        if (!bw_svg_spot(d, series, i, 0, &spot)) continue;
        spot.y = within_axes(d, spot.y);
        if (bw_svg_is_inside(d, spot))
            bw_buffer_format(d->out, "M%s,%sV%s", bw_px(spot.x).text, foot.text,
                             bw_px(spot.y).text);
    }
    bw_buffer_text(d->out, "\"/>\n");
    draw_dots(d, series, pattern);
}

// Bars take most of the smallest step between neighbours.
static double bar_width(const struct bw_drawing *d, const struct bw_series *series) {
    double step = 60;
    struct bw_spot here, before;
    for (size_t i = 1; i < series->n; i++) {
        if (!bw_svg_spot(d, series, i - 1, 0, &before) || !bw_svg_spot(d, series, i, 0, &here))
            continue;
        double apart = fabs(here.x - before.x);
        if (apart > 0 && apart < step) step = apart;
    }
    return fmax(0.7 * step, 1);
}

static void draw_bars(const struct bw_drawing *d, const struct bw_series *series) {
    double wide = bar_width(d, series);
    struct bw_spot spot;
    bw_buffer_text(d->out, "<path class=\"p-bar\" d=\"");
    for (size_t i = 0; i < series->n; i++)
        if (bw_svg_spot(d, series, i, 0, &spot))
            bw_buffer_format(d->out, "M%s,%sV%sh%sV%sz", bw_px(spot.x - wide / 2).text,
                             bw_px(bw_svg_baseline(d)).text, bw_px(spot.y).text, bw_px(wide).text,
                             bw_px(bw_svg_baseline(d)).text);
    bw_buffer_text(d->out, "\"/>\n");
}

static void draw_series(const struct bw_drawing *d, const struct bw_series *series) {
    struct bw_look look = bw_svg_look(d->plot, series);
    bw_svg_open_look(d->out, look);
    if (bw_svg_is_named(series)) bw_svg_element(d->out, "<title>", series->name, "</title>\n");
    switch (series->kind) {
    case BW_MARK_LINE: draw_line(d, series); break;
    case BW_MARK_BAND: draw_band(d, series); break;
    case BW_MARK_DOTS: draw_dots(d, series, look.pattern); break;
    case BW_MARK_STEMS: draw_stems(d, series, look.pattern); break;
    case BW_MARK_BARS: draw_bars(d, series); break;
    }
    bw_buffer_text(d->out, "</g>\n");
}

static void draw_kinds(const struct bw_drawing *d, const enum bw_mark_kind *kinds, size_t n) {
    for (size_t i = 0; i < n; i++)
        for (const struct bw_series *series = d->plot->series; series != NULL;
             series = series->next)
            if (series->kind == kinds[i]) draw_series(d, series);
}

// What has an extent is cut at the axes (by a nested drawing: a clip path would need an id); dots
// and stems, drawn whole or not at all, lie over it.
void bw_svg_marks(const struct bw_drawing *d) {
    static const enum bw_mark_kind CUT[] = {BW_MARK_BAND, BW_MARK_BARS, BW_MARK_LINE};
    static const enum bw_mark_kind WHOLE[] = {BW_MARK_STEMS, BW_MARK_DOTS};
    struct bw_px left = bw_px(d->left), top = bw_px(d->top - 1);
    struct bw_px wide = bw_px(d->right - d->left), high = bw_px(d->bottom - d->top + 2);
    bw_buffer_format(d->out,
                     "<svg x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" "
                     "viewBox=\"%s %s %s %s\">\n",
                     left.text, top.text, wide.text, high.text, left.text, top.text, wide.text,
                     high.text);
    if (d->plot->raster.codes != NULL) draw_raster(d);
    draw_kinds(d, CUT, 3);
    bw_buffer_text(d->out, "</svg>\n");
    draw_kinds(d, WHOLE, 2);
}
