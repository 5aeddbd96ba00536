// charts.c - the pictures of the study `listen`: spectrum, orders, spectrogram, family, beats.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/listen/part.h"

#include <math.h>
#include <stdlib.h>

#define GRAM_COLUMNS 480
#define GRAM_ROWS 240
#define GRAM_TOP_HZ 4000.0
#define GRAM_RANGE_DB 60.0  // from black to white
#define MOST_POINTS 1200    // of a curve

static int rising(const void *a, const void *b) {
    float x = *(const float *)a, y = *(const float *)b;
    return (x > y) - (x < y);
}

// Levels as codes: the loudest hundredth is white, GRAM_RANGE_DB below it black.
static bool codes_of(struct bw_arena *arena, const float *db, size_t n, uint8_t *codes) {
    float *sorted = bw_arena_array(arena, n, sizeof *sorted);
    if (sorted == NULL) return false;
    for (size_t i = 0; i < n; i++) sorted[i] = db[i];
    qsort(sorted, n, sizeof *sorted, rising);
    double top = (double)sorted[n - 1 - n / 100];
    for (size_t i = 0; i < n; i++) {
        double share = 1 + ((double)db[i] - top) / GRAM_RANGE_DB;
        codes[i] = (uint8_t)lround(255 * fmax(0, fmin(1, share)));
    }
    return true;
}

bool listen_charts_make(struct listen_ear *ear, struct listen_charts *charts, struct bw_err *err) {
    struct bw_arena *arena = ear->run->arena;
    struct bw_gram gram = {.columns = GRAM_COLUMNS,
                           .rows = GRAM_ROWS,
                           .top_hz = fmin(GRAM_TOP_HZ, ear->record.rate_hz / 2)};
    size_t n = gram.columns * gram.rows;
    float *db = bw_arena_array(arena, n, sizeof *db);
    uint8_t *codes = bw_arena_array(arena, n, 1);
    if (db == NULL || codes == NULL) return bw_fail_memory(err);
    if (!bw_spectra_gram(&ear->record, &gram, db, err)) return false;
    if (!codes_of(arena, db, n, codes)) return bw_fail_memory(err);
    charts->ear = ear;
    charts->gram = codes;
    charts->size = gram;
    return true;
}

// --- drawing -----------------------------------------------------------------------------------

struct curve {
    double *x, *y;
    size_t n;
};
struct stretch {  // of a spectrum: values[first..last), `step` apart
    const float *values;
    double from, to, step;
};

static bool room(struct bw_plots *plots, size_t n, struct curve *out) {
    out->x = bw_arena_array(plots->arena, n, sizeof *out->x);
    out->y = bw_arena_array(plots->arena, n, sizeof *out->y);
    out->n = 0;
    plots->failed |= out->x == NULL || out->y == NULL;
    return !plots->failed;
}

// The values in dB against their place, the highest of each group so that no tone is lost.
static bool thinned(struct bw_plots *plots, struct stretch s, struct curve *out) {
    size_t first = (size_t)(s.from / s.step), last = (size_t)(s.to / s.step);
    if (last <= first) return false;
    size_t group = (last - first) / MOST_POINTS + 1;
    if (!room(plots, (last - first) / group + 1, out)) return false;
    for (size_t i = first; i < last; i += group) {
        size_t top = i;
        for (size_t k = i; k < i + group && k < last; k++)
            if (s.values[k] > s.values[top]) top = k;
        out->x[out->n] = (double)top * s.step;
        out->y[out->n++] = 10 * log10((double)s.values[top] + 1e-12);
    }
    return out->n > 1;
}

static void line(struct bw_plots *plots, struct bw_plot *plot, const struct curve *c,
                 const char *name, const char *style) {
    bw_plot_series(
        plots, plot,
        (struct bw_series){
            .kind = BW_MARK_LINE, .name = name, .style = style, .x = c->x, .y = c->y, .n = c->n});
}

static double slowest_heard(const struct listen_ear *ear) {
    double f = 100;
    for (int i = 0; i < ear->n_heard; i++) f = fmin(f, ear->turners[ear->order[i]].rate);
    return f;
}

static double fastest_heard(const struct listen_ear *ear) {
    double f = 30;
    for (int i = 0; i < ear->n_heard; i++) f = fmax(f, ear->turners[ear->order[i]].rate);
    return f;
}

// First lines of what was heard, marked in the spectrum.
static void mark_heard(const struct listen_ear *ear, struct bw_plots *plots, struct bw_plot *plot,
                       double top, double scale) {
    const struct bw_lines *lines = &ear->spectra.lines;
    for (int i = 0; i < ear->n_heard && i < 6; i++) {
        const struct listen_turner *t = &ear->turners[ear->order[i]];
        size_t at = (size_t)lround(t->rate / lines->step_hz);
        if (t->rate > top || at >= lines->n) continue;
        bw_plot_note(plots, plot, t->rate / scale,
                     10 * log10((double)ear->spectra.power[at] + 1e-12) + 2, t->name);
    }
}

static void spectrum(const struct listen_ear *ear, struct bw_plots *plots) {
    const struct bw_lines *lines = &ear->spectra.lines;
    double top = fmin(8 * fastest_heard(ear), (double)(lines->n - 1) * lines->step_hz);
    struct curve c;
    struct stretch s = {ear->spectra.power, 4 * lines->step_hz, top, lines->step_hz};
    if (!thinned(plots, s, &c)) return;
    struct bw_plot *plot = bw_plot_new(plots, "spectrum", "Tones");
    plot->alternative = "Level in decibels against frequency; what turns stands out as lines and "
                        "is named at its first one.";
    plot->x_title = "frequency";
    plot->y_title = "dB";
    plot->x_dim = BW_DIM_RATE;
    line(plots, plot, &c, "sound", "main");
    mark_heard(ear, plots, plot, top, 1);
}

static void orders(const struct listen_ear *ear, struct bw_plots *plots) {
    const struct bw_lines *lines = &ear->spectra.lines;
    if (ear->n_heard == 0) return;
    const struct listen_turner *t = &ear->turners[ear->order[0]];
    double top = fmin(16 * t->rate, (double)(lines->n - 1) * lines->step_hz);
    struct curve c;
    struct stretch s = {ear->spectra.power, 4 * lines->step_hz, top, lines->step_hz};
    if (!thinned(plots, s, &c)) return;
    for (size_t i = 0; i < c.n; i++) c.x[i] /= t->rate;
    struct bw_plot *plot = bw_plot_new(plots, "orders", "Tones in turns of one part");
    plot->alternative = "The same lines against whole turns of the part that was heard best.";
    plot->x_title = bw_arena_format(plots->arena, "turns of %s", t->name);
    plot->y_title = "dB";
    line(plots, plot, &c, "sound", "main");
    mark_heard(ear, plots, plot, top, t->rate);
}

static void spectrogram(const struct listen_charts *charts, struct bw_plots *plots) {
    const struct listen_ear *ear = charts->ear;
    struct bw_plot *plot = bw_plot_new(plots, "spectrogram", "Sound over time");
    plot->alternative = "Frequency upwards, time to the right, loud is bright: a steady machine "
                        "makes level lines.";
    plot->x_title = "time";
    plot->y_title = "frequency";
    plot->x_dim = BW_DIM_TIME;
    plot->y_dim = BW_DIM_RATE;
    plot->x_max = ear->spectra.seconds;
    plot->y_max = charts->size.top_hz;
    bw_plot_raster(plots, plot,
                   (struct bw_raster){.codes = charts->gram,
                                      .width = charts->size.columns,
                                      .height = charts->size.rows,
                                      .x_max = ear->spectra.seconds,
                                      .y_max = charts->size.top_hz});
    plot->equal = false;  // seconds and hertz have no common scale
}

// The family with most evidence: what stands out at each of its lines.
static void comb(const struct listen_ear *ear, struct bw_plots *plots) {
    struct curve c;
    if (ear->n_heard == 0) return;
    const struct listen_turner *t = &ear->turners[ear->order[0]];
    if (!room(plots, BW_HARMONICS_MOST, &c)) return;
    for (int k = 0; k < t->family.n; k++) {
        if (isnan(t->found.level_db[k])) continue;
        c.x[c.n] = k + 1;
        c.y[c.n++] = fmax(0, t->found.level_db[k]);
    }
    if (c.n == 0) return;
    struct bw_plot *plot = bw_plot_new(plots, "family", "The lines of the family heard best");
    plot->alternative = "How far each line of the family stands over the noise around it.";
    plot->x_title = bw_arena_format(plots->arena, "line of %s", t->name);
    plot->y_title = "dB over the noise";
    bw_plot_series(plots, plot,
                   (struct bw_series){.kind = BW_MARK_STEMS,
                                      .name = "over the noise",
                                      .style = "main",
                                      .x = c.x,
                                      .y = c.y,
                                      .n = c.n});
}

static void beats(const struct listen_charts *charts, struct bw_plots *plots) {
    static const char *const WORDS[] = {"cage", "ball or roller", "outer race", "inner race"};
    const struct bw_lines *lines = &charts->band.lines;
    if (charts->bearing == NULL || lines->n == 0) return;
    double top = fmin(3.4 * charts->part_rate[3], (double)(lines->n - 1) * lines->step_hz);
    struct curve c;
    double from = 0.1 * slowest_heard(charts->ear) + 4 * lines->step_hz;
    struct stretch s = {lines->ratio, from, top, lines->step_hz};
    if (!thinned(plots, s, &c)) return;
    struct bw_plot *plot = bw_plot_new(plots, "beats",
                                       "Beats of the sound, and where a damaged "
                                       "bearing would beat");
    plot->alternative = "Level over the noise of the beats against their rate; the places of cage, "
                        "ball, outer and inner race are named.";
    plot->x_title = "rate of the beats";
    plot->y_title = "dB over the noise";
    plot->x_dim = BW_DIM_RATE;
    for (size_t i = 0; i < c.n; i++) c.y[i] = fmax(-10, c.y[i]);
    line(plots, plot, &c, "beats", "main");
    for (int p = 0; p < 4; p++) {
        double at = charts->part_rate[p];
        double db = 10 * log10(fmax(1, bw_lines_at(lines, at)));
        if (at < top) bw_plot_note(plots, plot, at, db + 1, WORDS[p]);
    }
}

void listen_plots(const void *out_, struct bw_plots *plots) {
    const struct listen_output *out = out_;
    if (out->charts == NULL) return;
    const struct listen_ear *ear = out->charts->ear;
    spectrum(ear, plots);
    orders(ear, plots);
    spectrogram(out->charts, plots);
    comb(ear, plots);
    beats(out->charts, plots);
}
