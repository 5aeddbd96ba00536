// plane.h - the power of waves in a picture by frequency along the feed and across it.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_PLANE_H
#define BW_NUMERIC_PLANE_H

#include "numeric/strips.h"

// A wave cos(2 pi (f u + g v) + phase): f, g in cycles per pixel; its crests lean by atan(g / f)
// from square to the feed.
struct bw_plane {
    size_t n_f, n_g;  // bins; g runs round: bin j and j - n_g are one
    double df, dg;    // cycles per pixel per bin
    double cell_f,
        cell_g;            // one over the picture's extent along and across: what can be told apart
    double f_low, f_high;  // searched
    double slope;          // searched: |g| <= slope * f
    double cells;          // how many independent places that are, about
    float *floor;          // [n_f][n_g]: mean power of the noise there, searched part only;
                           // tapers taken out: independent strips of noise give 1
    float *ratio;          // [n_f][n_g]: power over the floor; 0 outside the searched part
    float *level;          // [n_f][strips]: mean power of a strip near f, before it was whitened
    size_t strips;
};

struct bw_plane_options {
    double shortest, longest;  // pitch, pixels
    double slope;              // tangent of the largest slant
};

// Errors: BW_MEMORY.
bool bw_plane_make(const struct bw_strips *strips, const struct bw_plane_options *options,
                   struct bw_plane *out, struct bw_err *err) BW_CHECKED;
void bw_plane_free(struct bw_plane *plane);  // NULL and zeroed are allowed

// Power over the floor at the nearest bin; 0 outside the searched part.
double bw_plane_ratio(const struct bw_plane *plane, double f, double g);
// The floor there. Within the searched part only (asserted).
double bw_plane_floor(const struct bw_plane *plane, double f, double g);
// The level of one strip near f: what its whitening divided by.
double bw_plane_level(const struct bw_plane *plane, size_t strip, double f);

// Takes a found wave out: bins from .. to of f, at any slant, are not looked at again.
void bw_plane_strike(struct bw_plane *plane, long from, long to);

#endif
