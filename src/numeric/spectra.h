// spectra.h - a long record in one pass: its lines, its level by frequency, what its bands beat at.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_SPECTRA_H
#define BW_NUMERIC_SPECTRA_H

#include "base/arena.h"

#include <stdint.h>

// A spectrum over its own floor: `ratio[i]` is the mean power of `segments` spectra at i * step_hz,
// divided by what noise alone has there, so noise is about 1.
struct bw_lines {
    const float *ratio;
    size_t n;
    double step_hz;
    int segments;
};

#define BW_SPECTRA_BANDS 5  // the whole usable band, then its four quarters

struct bw_band {
    double low_hz, high_hz;
    struct bw_lines lines;  // of the squared envelope; n 0: the band holds nothing to listen to
};

struct bw_spectra {
    double rate_hz, seconds;
    int segments;    // of equal length, next to each other
    double top_hz;   // highest frequency with sound in it; above is a filter's empty end
    double cell_hz;  // width of one cell of `level`
    double *level;   // mean power per hertz of each cell, power 1 where the mean square is 1
    double *floor;   // the same without the lines that stand out
    size_t n_cells;
    struct bw_lines lines;  // of the record itself, Hann window
    float *power;           // of the same lines: mean square of a sine at that bin
    struct bw_band bands[BW_SPECTRA_BANDS];
};

struct bw_record_of {  // samples `stride` floats apart
    const float *samples;
    size_t n, stride;
    double rate_hz;
};

// Segments are 10 to 20 s long, or the whole record if it is shorter: long enough for lines 0.1 Hz
// apart, short enough that a speed which wanders by a thousandth does not smear them. Everything
// lives in the arena. Errors: BW_INPUT under 1000 samples or not a finite, changing record;
// BW_MEMORY.
bool bw_spectra_make(struct bw_arena *arena, const struct bw_record_of *record,
                     struct bw_spectra *out, struct bw_err *err) BW_CHECKED;

// Divides `power` by its floor in place: the floor is the mean of each `cell` bins without what
// stands out, joined by straight lines. `segments`: how many spectra were averaged.
void bw_spectra_flatten(float *power, size_t n, size_t cell, int segments);

// Mean power per hertz by Welch's way: Hann windows of `size` samples overlapping by half; out has
// size / 2 + 1 values. Errors: as above.
bool bw_spectra_welch(const struct bw_record_of *record, size_t size, float *out,
                      struct bw_err *err) BW_CHECKED;

// A picture of level over time: `columns` moments, `rows` frequencies from 0 to top_hz, in dB,
// row by row, the highest frequency first. Errors: as above.
struct bw_gram {
    size_t columns, rows;
    double top_hz;
};
bool bw_spectra_gram(const struct bw_record_of *record, const struct bw_gram *gram, float *out,
                     struct bw_err *err) BW_CHECKED;

#endif
