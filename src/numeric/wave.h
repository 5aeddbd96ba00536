// wave.h - pitch, direction, strength and steadiness of a comb of waves, with standard deviations.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_WAVE_H
#define BW_NUMERIC_WAVE_H

#include "numeric/comb.h"

struct bw_wave_third {  // of the picture's length along the feed
    double f, f_sd;
};

struct bw_wave {
    double f, g;                     // cycles per pixel along the feed and across
    double ff, fg, gg;               // their covariance
    int harmonics;                   // as the comb's
    double amplitude[BW_COMB_MOST];  // of each harmonic in ln(light): 0.01 is one per cent
    double phase[BW_COMB_MOST];      // radians, a cosine's, at the centre of what was used
    double ratio[BW_COMB_MOST];      // power over floor without a taper
    double coherence;  // 1 / 8 to 1: how far eighths of the length agree in phase and strength
    double across;     // the same across the width
    double spread;     // 1 / 24 to 1: how evenly 24 parts of the length share its power
    double lane;       // the same across the width
    struct bw_wave_third thirds[3];
};

// Maximum likelihood near the comb, over all its harmonics at once, each weighed by the noise
// around it. `plane` as the comb was found in, before it was struck. Error: BW_MEMORY.
bool bw_wave_fit(const struct bw_strips *strips, const struct bw_plane *plane,
                 const struct bw_comb *comb, struct bw_wave *out, struct bw_err *err) BW_CHECKED;

#endif
