// sounds.h - the sound of an invented sander: what turns, what hums, what is struck, what cuts.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The forward model behind the example recordings, the tests and the claims. It knows nothing of
// how the study listens: everything is made in time, sample by sample.
#ifndef RECORDINGS_SOUNDS_H
#define RECORDINGS_SOUNDS_H

#include "base/arena.h"

#include <stdint.h>

#define SOUNDS_HARMONICS 6
#define SOUNDS_MOST 16

struct sounds_tone {  // runout, imbalance, hum
    double rate_hz;
    double level[SOUNDS_HARMONICS];  // amplitude of each harmonic
    bool steady;                     // the mains: it does not wander with the machine
};
struct sounds_blow {  // something struck again and again; each blow rings and dies away
    double rate_hz;   // mean
    double level;     // amplitude of a blow's ring
    double ring_hz, die_s;
    double slip;       // sd of each spacing, as a share of it
    double scatter;    // sd of each blow's level, as a share of it
    double swells_hz;  // 0, or the rate at which blows swell and fade (load zone)
    double depth;      // of that, 0 to 1
};
struct sounds_scene {
    double sample_hz, seconds;
    double wander;  // relative sd of the machine's common speed about its mean, slow (seconds)
    double noise;   // rms of noise at all frequencies alike
    double cutting, cutting_hz;  // rms of cutting noise, and its broad resonance
    double cutting_swell_hz;     // rate at which the cut swells (the drum), by a fifth; 0: even
    struct sounds_tone tones[SOUNDS_MOST];
    int n_tones;
    struct sounds_blow blows[SOUNDS_MOST];
    int n_blows;
    uint64_t seed;
};

// Samples, in the arena; their number in *n. NULL: out of memory. Mean rates are exact over the
// length, so the truth is what the scene says.
float *sounds_make(struct bw_arena *arena, const struct sounds_scene *scene, size_t *n);

#endif
