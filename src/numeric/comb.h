// comb.h - families of equally spaced marks found in a plane of waves.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_COMB_H
#define BW_NUMERIC_COMB_H

#include "numeric/plane.h"

#define BW_COMB_MOST 16  // harmonics looked at

// Waves at k f, k g for k = 1 .. harmonics: marks of pitch 1 / hypot(f, g).
struct bw_comb {
    double f, g;                 // of the first harmonic, cycles per pixel
    int harmonics;               // that count, the first ones; 1: a plain wave
    double ratio[BW_COMB_MOST];  // power over floor of each; 0: outside what was searched
    double log_chance;           // ln of the chance to find as much anywhere in noise
};

// The comb of the strongest wave that belongs to one whose log_chance is at most `limit`; of those
// the one that explains most. False: there is none.
// `tail`: how many times heavier than that of Gaussian noise the power's tail is; the chance is
// by it.
bool bw_comb_find(const struct bw_plane *plane, double tail, double limit, struct bw_comb *out);

// Strikes the comb's waves that stand out, each as far as it reaches.
void bw_comb_strike(struct bw_plane *plane, const struct bw_comb *comb);

#endif
