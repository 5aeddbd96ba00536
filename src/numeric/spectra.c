// spectra.c - see spectra.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method. One real transform a segment serves everything. Its bins, convolved with (-1, 2, -1) / 4,
// are the Hann-windowed spectrum: the lines, without skirts that would hide their neighbours. The
// squared envelope of a band comes from the bins of that band alone: transformed back as a complex
// signal at the band's own rate they are the analytic signal (Randall and Antoni 2011, from memory;
// which way round time runs does not matter for |z|^2), its squared modulus is what a band-pass
// filter and a Hilbert transform at the full rate would give, decimated. Before that the bins are
// whitened: divided by the square root of the floor, and cut to three times it, which takes tones
// and resonances away and leaves what is impulsive. That is milder than cepstral pre-whitening, X /
// |X| (Borghesani and others 2013, from memory), which throws the levels of single bins away as
// well: on public bearing recordings its lines stand 3 to 9 dB lower. Rejected besides: the
// kurtogram (it likes the empty end of the band and single clicks), linear prediction (long filters
// for lines so close).
//
// Floor: the mean of a cell, values above three times the mean counted as three times it, three
// times over; for one spectrum of noise (exponential law) that mean is 1 - exp(-3) of the true one.
//
// The empty end: an anti-alias filter or a codec leaves the top without sound; whitened, it would
// be noise as loud as all else. The top 8 % are never used; below, the band ends where cells fall
// 50 dB under the median of all (common practice, no source).
#include "numeric/spectra.h"

#include "numeric/fft.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LEAST_SAMPLES 1000
#define SEGMENT_S 10.0
#define CELL_HZ 20.0  // resonances of machine parts are broader
#define LINES_TOP_HZ 2000.0
#define ENVELOPE_CELL_HZ 12.0
#define USED 0.92  // of the band below half the rate
#define CUT 3.0f   // times the floor

struct work {
    struct bw_arena *arena;
    const struct bw_record_of *record;
    struct bw_spectra *out;
    size_t per;           // samples a segment
    struct bw_fft whole;  // of one segment
    size_t bins, cell;    // of the transform; a cell's bins
    double scale;         // from |X|^2 to power per hertz
    float *floor;         // of one segment, per cell
    float *white;         // gain per bin
};

static double clipped_mean(const float *power, size_t n, double bias) {
    double mean = 0;
    for (size_t i = 0; i < n; i++) mean += (double)power[i];
    mean /= (double)n;
    for (int pass = 0; pass < 3; pass++) {
        float most = (float)(3 * mean);
        double sum = 0;
        for (size_t i = 0; i < n; i++) sum += (double)(power[i] < most ? power[i] : most);
        mean = sum / (double)n;
    }
    return mean / bias;
}

static double clip_bias(int segments) { return segments == 1 ? 1 - exp(-3.0) : 1; }

// value(i) = cells joined by straight lines between their middles.
static double joined(const double *cells, size_t n, double at) {
    if (at <= 0) return cells[0];
    if (at >= (double)(n - 1)) return cells[n - 1];
    size_t i = (size_t)at;
    double part = at - (double)i;
    return cells[i] * (1 - part) + cells[i + 1] * part;
}

void bw_spectra_flatten(float *power, size_t n, size_t cell, int segments) {
    enum { MOST = 4096 };
    double cells[MOST];
    size_t n_cells = n / cell;
    if (n_cells == 0) n_cells = 1, cell = n;
    if (n_cells > MOST) n_cells = MOST, cell = n / MOST;
    for (size_t c = 0; c < n_cells; c++) {
        size_t last = c + 1 == n_cells ? n : (c + 1) * cell;
        cells[c] = clipped_mean(power + c * cell, last - c * cell, clip_bias(segments));
    }
    for (size_t i = 0; i < n; i++) {
        double floor = joined(cells, n_cells, ((double)i + 0.5) / (double)cell - 0.5);
        power[i] = floor > 0 ? (float)((double)power[i] / floor) : 0;
    }
}

// --- one segment -------------------------------------------------------------------------------

static void transform(struct work *w, size_t first) {
    const struct bw_record_of *r = w->record;
    double mean = 0;
    for (size_t i = 0; i < w->per; i++) mean += (double)r->samples[(first + i) * r->stride];
    mean /= (double)w->per;
    for (size_t i = 0; i < w->per; i++)
        w->whole.in[i] = r->samples[(first + i) * r->stride] - (float)mean;
    memset(w->whole.in + w->per, 0, (w->whole.size - w->per) * sizeof(float));
    bw_fft_run(&w->whole);
}

static float square(float complex z) {
    float re = crealf(z), im = cimagf(z);
    return re * re + im * im;
}

// Powers of the Hann-windowed spectrum, from the plain one; x holds a bin more than n.
static void add_hann(const float complex *x, float *power, size_t n) {
    for (size_t i = 1; i < n; i++) power[i] += square(0.5f * x[i] - 0.25f * (x[i - 1] + x[i + 1]));
}

// Levels and floor of the cells; the gain that makes the floor flat, bin by bin.
static void add_cells(struct work *w, float *power) {
    struct bw_spectra *out = w->out;
    for (size_t i = 0; i < w->bins; i++) power[i] = square(w->whole.out[i]);
    for (size_t c = 0; c < out->n_cells; c++) {
        double sum = 0;
        for (size_t i = c * w->cell; i < (c + 1) * w->cell; i++) sum += (double)power[i];
        double floor = clipped_mean(power + c * w->cell, w->cell, clip_bias(1));
        w->floor[c] = (float)floor;
        out->level[c] += w->scale * sum / (double)w->cell;
        out->floor[c] += w->scale * floor;
    }
    for (size_t i = 0; i < w->bins; i++) {
        size_t c = i / w->cell < out->n_cells ? i / w->cell : out->n_cells - 1;
        float floor = w->floor[c];
        float most = CUT * CUT * floor;
        float p = power[i];
        w->white[i] = p > most ? CUT / sqrtf(p) : floor > 0 ? 1 / sqrtf(floor) : 0;
    }
}

struct beat {  // what one band needs
    struct bw_band *band;
    size_t first, n;  // bins
    struct bw_fft back, slow;
    float *power;
};

static void add_beats(struct work *w, const struct beat *beat) {
    float complex *z = beat->back.cin;
    for (size_t i = 0; i < beat->n; i++)
        z[i] = w->whole.out[beat->first + i] * w->white[beat->first + i];
    memset(z + beat->n, 0, (beat->back.size - beat->n) * sizeof *z);
    bw_fft_run(&beat->back);
    double mean = 0;
    for (size_t i = 0; i < beat->back.size; i++)
        mean += (double)(beat->slow.in[i] = square(beat->back.out[i]));
    mean /= (double)beat->back.size;
    for (size_t i = 0; i < beat->back.size; i++) beat->slow.in[i] -= (float)mean;
    bw_fft_run(&beat->slow);
    add_hann(beat->slow.out, beat->power, beat->band->lines.n);
}

// --- bands -------------------------------------------------------------------------------------

static int rising(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

// Where sound ends, told by the cells of the first segment; Hann, for without a window the loud
// bottom would spill over an empty top.
static bool find_top(struct work *w, struct bw_err *err) {
    struct bw_spectra *out = w->out;
    size_t n = (size_t)(USED * (double)out->n_cells);
    if (n < 1) n = 1;
    double *cells = bw_arena_array(w->arena, 2 * n, sizeof *cells), *sorted = cells + n;
    float *power = bw_arena_array(w->arena, w->bins, sizeof *power);
    if (cells == NULL || power == NULL) return bw_fail_memory(err);
    add_hann(w->whole.out, power, w->bins - 1);
    for (size_t c = 0; c < n; c++)
        sorted[c] = cells[c] = clipped_mean(power + c * w->cell, w->cell, 1);
    qsort(sorted, n, sizeof *sorted, rising);
    double least = sorted[n / 2] * 1e-5;
    while (n > 1 && cells[n - 1] < least) n--;
    out->top_hz = (double)n * out->cell_hz;
    return true;
}

static bool open_beat(struct work *w, struct beat *beat, struct bw_band *band, struct bw_err *err) {
    double step = w->out->lines.step_hz;
    beat->band = band;
    beat->first = (size_t)ceil(band->low_hz / step);
    beat->n = (size_t)((band->high_hz - band->low_hz) / step);
    if (beat->n < 200) return true;  // nothing to listen to
    size_t size = bw_fft_size(beat->n);
    double top = fmin(LINES_TOP_HZ, band->high_hz - band->low_hz);
    size_t n = (size_t)(top / step);
    if (n > size / 2) n = size / 2;
    beat->power = bw_arena_array(w->arena, n, sizeof *beat->power);
    if (beat->power == NULL) return bw_fail_memory(err);
    if (!bw_fft_complex(size, &beat->back, err) || !bw_fft_real(size, &beat->slow, err))
        return false;
    band->lines = (struct bw_lines){beat->power, n, step, w->out->segments};
    return true;
}

static void set_bands(struct bw_spectra *out) {
    double low = fmax(CELL_HZ, 0.02 * out->rate_hz / 2), width = out->top_hz - low;
    if (width < 4 * CELL_HZ) return;
    out->bands[0].low_hz = low;
    out->bands[0].high_hz = out->top_hz;
    for (int b = 0; b < 4; b++) {
        out->bands[b + 1].low_hz = low + b * width / 4;
        out->bands[b + 1].high_hz = low + (b + 1) * width / 4;
    }
}

static bool beats_of(struct work *w, struct beat *beats, struct bw_err *err) {
    for (int b = 0; b < BW_SPECTRA_BANDS; b++)
        if (!open_beat(w, &beats[b], &w->out->bands[b], err)) return false;
    return true;
}

static void close_beats(struct beat *beats) {
    for (int b = 0; b < BW_SPECTRA_BANDS; b++) {
        bw_fft_free(&beats[b].back);
        bw_fft_free(&beats[b].slow);
    }
}

static bool all_segments(struct work *w, float *power, struct bw_err *err) {
    struct beat beats[BW_SPECTRA_BANDS] = {0};
    bool ok = true;
    for (int s = 0; ok && s < w->out->segments; s++) {
        transform(w, (size_t)s * w->per);
        add_hann(w->whole.out, w->out->power, w->out->lines.n);
        add_cells(w, power);
        if (s == 0) {
            ok = find_top(w, err);
            if (ok) set_bands(w->out);
            ok = ok && beats_of(w, beats, err);
        }
        for (int b = 0; ok && b < BW_SPECTRA_BANDS; b++)
            if (beats[b].power != NULL) add_beats(w, &beats[b]);
    }
    close_beats(beats);
    if (!ok) return false;
    for (int b = 0; b < BW_SPECTRA_BANDS; b++)
        if (beats[b].power != NULL)
            bw_spectra_flatten(beats[b].power, w->out->bands[b].lines.n,
                               (size_t)(ENVELOPE_CELL_HZ / w->out->lines.step_hz) + 1,
                               w->out->segments);
    return true;
}

// --- the whole ---------------------------------------------------------------------------------

static bool check(const struct bw_record_of *record, struct bw_err *err) {
    if (record->n < LEAST_SAMPLES)
        return bw_fail(err, BW_INPUT, "%zu samples are too few to listen to", record->n);
    float low = record->samples[0], high = low;
    for (size_t i = 0; i < record->n; i++) {
        float v = record->samples[i * record->stride];
        if (!isfinite(v)) return bw_fail(err, BW_INPUT, "sample %zu is no number", i + 1);
        low = fminf(low, v);
        high = fmaxf(high, v);
    }
    if (low == high)
        return bw_fail(err, BW_INPUT, "the recording is silent: all samples are equal");
    return true;
}

static bool lay_out(struct work *w, struct bw_err *err) {
    struct bw_spectra *out = w->out;
    double rate = w->record->rate_hz;
    out->rate_hz = rate;
    out->seconds = (double)w->record->n / rate;
    out->segments = out->seconds < 2 * SEGMENT_S ? 1 : (int)(out->seconds / SEGMENT_S);
    w->per = w->record->n / (size_t)out->segments;
    if (!bw_fft_real(bw_fft_size(w->per), &w->whole, err)) return false;
    double step = rate / (double)w->whole.size;
    w->bins = w->whole.size / 2 + 1;
    w->cell = (size_t)fmax(16, round(CELL_HZ / step));
    if (w->cell > w->bins / 4) w->cell = w->bins / 4;
    w->scale = 2 / ((double)w->per * rate);
    out->cell_hz = (double)w->cell * step;
    out->n_cells = w->bins / w->cell;
    size_t n = (size_t)(fmin(LINES_TOP_HZ, USED * rate / 2) / step);
    out->lines = (struct bw_lines){NULL, n, step, out->segments};
    out->level = bw_arena_array(w->arena, out->n_cells, sizeof *out->level);
    out->floor = bw_arena_array(w->arena, out->n_cells, sizeof *out->floor);
    out->power = bw_arena_array(w->arena, n, sizeof *out->power);
    w->floor = bw_arena_array(w->arena, out->n_cells, sizeof *w->floor);
    w->white = bw_arena_array(w->arena, w->bins, sizeof *w->white);
    bool ok = out->level != NULL && out->floor != NULL && out->power != NULL && w->floor != NULL &&
              w->white != NULL;
    return ok || bw_fail_memory(err);
}

static bool finish(struct work *w, struct bw_err *err) {
    struct bw_spectra *out = w->out;
    size_t n = out->lines.n;
    float *ratio = bw_arena_array(w->arena, n, sizeof *ratio);
    if (ratio == NULL) return bw_fail_memory(err);
    // A sine of mean square 1 has |X|^2 = per^2 / 2 at its bin, a quarter of it under Hann.
    double sine = 8 / ((double)w->per * (double)w->per * out->segments);
    for (size_t i = 0; i < n; i++) {
        out->power[i] = (float)((double)out->power[i] * sine);
        ratio[i] = out->power[i];
    }
    bw_spectra_flatten(ratio, n, (size_t)(CELL_HZ / 2 / out->lines.step_hz) + 1, out->segments);
    out->lines.ratio = ratio;
    for (size_t c = 0; c < out->n_cells; c++) {
        out->level[c] /= out->segments;
        out->floor[c] /= out->segments;
    }
    return true;
}

bool bw_spectra_make(struct bw_arena *arena, const struct bw_record_of *record,
                     struct bw_spectra *out, struct bw_err *err) {
    struct bw_spectra made = {0};
    struct work w = {.arena = arena, .record = record, .out = &made};
    bool ok = check(record, err) && lay_out(&w, err);
    float *power = ok ? bw_arena_array(arena, w.bins, sizeof *power) : NULL;
    if (ok && power == NULL) ok = bw_fail_memory(err);
    ok = ok && all_segments(&w, power, err) && finish(&w, err);
    bw_fft_free(&w.whole);
    if (ok) *out = made;
    return ok;
}

// --- plainer views -----------------------------------------------------------------------------

static bool hann(struct bw_arena *arena, size_t size, float **out) {
    float *window = bw_arena_array(arena, size, sizeof *window);
    for (size_t i = 0; window != NULL && i < size; i++)
        window[i] = (float)(0.5 - 0.5 * cos(2 * M_PI * (double)i / (double)size));
    *out = window;
    return window != NULL;
}

static void windowed(const struct bw_record_of *record, size_t first, const float *window,
                     const struct bw_fft *fft) {
    const float *x = record->samples + first * record->stride;
    for (size_t i = 0; i < fft->size; i++)
        fft->in[i] = first + i < record->n ? window[i] * x[i * record->stride] : 0;
    bw_fft_run(fft);
}

bool bw_spectra_welch(const struct bw_record_of *record, size_t size, float *out,
                      struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_fft fft = {0};
    float *window;
    bool ok = arena != NULL && hann(arena, size, &window);
    if (!ok) (void)bw_fail_memory(err);
    ok = ok && bw_fft_real(size, &fft, err);
    size_t n = 0, bins = size / 2 + 1;
    if (ok) memset(out, 0, bins * sizeof *out);
    for (size_t first = 0; ok && first + size <= record->n; first += size / 2, n++) {
        windowed(record, first, window, &fft);
        for (size_t i = 0; i < bins; i++) out[i] += square(fft.out[i]);
    }
    // The window's mean square is 3/8; both sides of the spectrum count.
    float scale = (float)(2 / (0.375 * (double)size * record->rate_hz * (double)(n > 0 ? n : 1)));
    for (size_t i = 0; ok && i < bins; i++) out[i] *= i == 0 || 2 * i == size ? scale / 2 : scale;
    bw_fft_free(&fft);
    bw_arena_free(arena);
    return ok;
}

bool bw_spectra_gram(const struct bw_record_of *record, const struct bw_gram *gram, float *out,
                     struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_fft fft = {0};
    float *window;
    size_t size = bw_fft_size((size_t)(2 * (double)gram->rows * record->rate_hz /
                                       fmin(2 * gram->top_hz, record->rate_hz)));
    bool ok = arena != NULL && hann(arena, size, &window);
    if (!ok) (void)bw_fail_memory(err);
    ok = ok && bw_fft_real(size, &fft, err);
    double bin = ok ? gram->top_hz / record->rate_hz * (double)size / (double)gram->rows : 1;
    for (size_t c = 0; ok && c < gram->columns; c++) {
        size_t room = record->n > size ? record->n - size : 0;
        size_t first = gram->columns > 1 ? room * c / (gram->columns - 1) : 0;
        windowed(record, first, window, &fft);
        for (size_t r = 0; r < gram->rows; r++) {
            size_t i = (size_t)(bin * ((double)r + 0.5));
            if (i > size / 2) i = size / 2;
            out[(gram->rows - 1 - r) * gram->columns + c] =
                10 * log10f(square(fft.out[i]) + 1e-30f);
        }
    }
    bw_fft_free(&fft);
    bw_arena_free(arena);
    return ok;
}
