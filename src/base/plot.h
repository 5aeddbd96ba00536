// plot.h - plots as display lists: a study says what to draw, report/ turns it into SVG or PDF.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_PLOT_H
#define BW_BASE_PLOT_H

#include "base/arena.h"
#include "base/quantity.h"

#include <stdint.h>

enum bw_mark_kind {
    BW_MARK_LINE,    // a polyline through the points
    BW_MARK_DOTS,    // a dot at each point, with its sd as a bar where given
    BW_MARK_BAND,    // the area between y - sd and y + sd
    BW_MARK_STEMS,   // a line from the axis to each point
    BW_MARK_BARS
};

struct bw_series {
    enum bw_mark_kind kind;
    const char *name;    // shown at the series' end or in the key
    const char *style;   // "main", "second", "muted", "warn", "measured": never a colour
    const double *x, *y; // SI, n each; borrowed from the arena
    const double *sd;    // of y, or NULL
    size_t n;
    struct bw_series *next;
};
struct bw_note {         // a word at a point
    double x, y;
    const char *text;
    struct bw_note *next;
};
struct bw_raster {         // a grey picture under the marks
    const uint8_t *codes;  // sRGB, row by row, the top one first; NULL: none
    size_t width, height;
    double x_min, x_max, y_min, y_max;  // what its edges stand for, SI; the top row is at y_max
};
struct bw_plot {
    const char *id;        // [a-z0-9-]+, unique within the study
    const char *title;
    const char *alternative;  // what a blind reader is told, one or two sentences
    const char *x_title, *y_title;
    enum bw_dim x_dim, y_dim;
    bool x_log, y_log;
    double x_min, x_max, y_min, y_max;  // SI; both zero: from the data
    bool equal;                         // a length is as long on one axis as on the other
    // A drawing has no axes: x to the right and y upwards count in lines of text from the upper
    // left corner, so y runs from y_min < 0 to 0, and a note's words stand right of its point.
    bool drawing;
    struct bw_raster raster;
    struct bw_series *series, *last_series;
    struct bw_note *notes, *last_note;
    struct bw_plot *next;
};
// A builder; `failed` is sticky.
struct bw_plots {
    struct bw_arena *arena;
    enum bw_units units;
    struct bw_plot *first, *last;
    bool failed;
};

// A new plot at the end of the list, zero but for id and title. On memory failure a scratch plot is
// returned and `failed` set, so that callers need not check.
struct bw_plot *bw_plot_new(struct bw_plots *plots, const char *id, const char *title);
// Adds a series: (struct bw_series){.kind = BW_MARK_LINE, .name = "splice", .style = "main", .x =
// x, .y = y, .n = n}. The name and the arrays are copied; the style is kept as given. `next` is
// ignored.
void bw_plot_series(struct bw_plots *plots, struct bw_plot *plot, struct bw_series series);
// Adds a word at a point; copied.
void bw_plot_note(struct bw_plots *plots, struct bw_plot *plot, double x, double y,
                  const char *text);
// Lays a picture under the marks; copied. The axes show all of it, at equal scales, unless they
// have limits already. A thousand pixels a side is plenty.
void bw_plot_raster(struct bw_plots *plots, struct bw_plot *plot, struct bw_raster raster);

#endif
