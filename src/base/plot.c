// plot.c - see plot.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/plot.h"

#include <string.h>

static const char *copy_text(struct bw_plots *plots, const char *text) {
    if (text == NULL) return NULL;
    const char *out = bw_arena_text(plots->arena, text, strlen(text));
    if (out == NULL) plots->failed = true;
    return out;
}

static const double *copy_values(struct bw_plots *plots, const double *values, size_t n) {
    if (values == NULL || n == 0) return NULL;
    double *out = bw_arena_array(plots->arena, n, sizeof *out);
    if (out == NULL)
        plots->failed = true;
    else
        memcpy(out, values, n * sizeof *out);
    return out;
}

struct bw_plot *bw_plot_new(struct bw_plots *plots, const char *id, const char *title) {
    static _Thread_local struct bw_plot scratch;
    struct bw_plot *plot = bw_arena_get(plots->arena, sizeof *plot);
    if (plot == NULL) {
        plots->failed = true;
        scratch = (struct bw_plot){.id = id, .title = title};
        return &scratch;
    }
    plot->id = copy_text(plots, id);
    plot->title = copy_text(plots, title);
    if (plots->last == NULL)
        plots->first = plot;
    else
        plots->last->next = plot;
    plots->last = plot;
    return plot;
}

void bw_plot_series(struct bw_plots *plots, struct bw_plot *plot, struct bw_series given) {
    struct bw_series *series = bw_arena_get(plots->arena, sizeof *series);
    if (series == NULL) {
        plots->failed = true;
        return;
    }
    *series = given;
    series->next = NULL;
    series->name = copy_text(plots, given.name);
    series->x = copy_values(plots, given.x, given.n);
    series->y = copy_values(plots, given.y, given.n);
    series->sd = copy_values(plots, given.sd, given.n);
    if (plots->failed) return;  // a half-copied series is never seen
    if (plot->last_series == NULL)
        plot->series = series;
    else
        plot->last_series->next = series;
    plot->last_series = series;
}

void bw_plot_note(struct bw_plots *plots, struct bw_plot *plot, double x, double y,
                  const char *text) {
    struct bw_note *note = bw_arena_get(plots->arena, sizeof *note);
    if (note == NULL) {
        plots->failed = true;
        return;
    }
    *note = (struct bw_note){.x = x, .y = y, .text = copy_text(plots, text)};
    if (plots->failed) return;
    if (plot->last_note == NULL)
        plot->notes = note;
    else
        plot->last_note->next = note;
    plot->last_note = note;
}

void bw_plot_raster(struct bw_plots *plots, struct bw_plot *plot, struct bw_raster raster) {
    uint8_t *codes = bw_arena_array(plots->arena, raster.height, raster.width);
    if (codes == NULL) {
        plots->failed = true;
        return;
    }
    memcpy(codes, raster.codes, raster.height * raster.width);
    raster.codes = codes;
    plot->raster = raster;
    plot->equal = true;
    if (!(plot->x_min < plot->x_max)) plot->x_min = raster.x_min, plot->x_max = raster.x_max;
    if (!(plot->y_min < plot->y_max)) plot->y_min = raster.y_min, plot->y_max = raster.y_max;
}
