// strips.h - a picture cut into strips along the feed, each averaged across its width.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_STRIPS_H
#define BW_NUMERIC_STRIPS_H

#include "base/err.h"

// A picture that is asked for row by row. Values are linear light, 0 to 1.
struct bw_rows {
    size_t width, height;
    void (*row)(const void *context, size_t y, float *out);  // out[0 .. width)
    const void *context;
};

struct bw_strips_options {
    bool down;        // the feed runs down the columns; else along the rows
    double shortest;  // shortest pitch to be kept, pixels, at least 4
    double longest;   // longest pitch to be kept, pixels; slower changes are taken for light
};

// `u` counts along the feed and `v` across it, in pixels from the picture's first corner; sample i
// of strip s stands at u = u0 + i * step, v = v0 + s * width.
struct bw_strips {
    size_t n, length;       // strips, samples in each
    double step, width;     // pixels
    double u0, v0;          // centre of the first sample
    double u_size, v_size;  // pixels of the picture used
    float *light;           // [n][length]: ln of mean light: slow changes out, outliers cut
};

// Width and step follow from `shortest`: a mark slanted by 20 degrees at that pitch keeps 0.7 of
// its strength (of amplitude) within a strip, and a pitch has at least 4 samples.
// Errors: BW_MEMORY; BW_INPUT when fewer than 8 strips or 64 samples come out.
bool bw_strips_take(const struct bw_rows *rows, const struct bw_strips_options *options,
                    struct bw_strips *out, struct bw_err *err) BW_CHECKED;
void bw_strips_free(struct bw_strips *strips);  // NULL and zeroed are allowed

#endif
