// features.h - what a machine has, as far as it decides which causes and checks count.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_REASON_FEATURES_H
#define BW_REASON_FEATURES_H

#include "machine/machine.h"

// X(NAME, "word in knowledge files", "as people say it", of a head or of the machine)
#define BW_FEATURES(X)                                                                             \
    X(BELT, "belt", "a head with a sanding belt", HEAD)                                            \
    X(DRUM, "drum", "a head with a contact drum", HEAD)                                            \
    X(STEEL_DRUM, "steel_drum", "a head with a steel drum", HEAD)                                  \
    X(RUBBER_DRUM, "rubber_drum", "a head with a rubber drum", HEAD)                               \
    X(PLATEN, "platen", "a head with a platen", HEAD)                                              \
    X(SECTIONAL, "sectional_platen", "a head with a sectional platen", HEAD)                       \
    X(BRUSH, "brush", "a brush", HEAD)                                                             \
    X(CROSS_BELT, "cross_belt", "a cross-belt head", HEAD)                                         \
    X(TWO_HEADS, "two_heads", "two or more heads", MACHINE)                                        \
    X(HOLD_DOWNS, "hold_downs", "hold-down rolls or shoes", MACHINE)                               \
    X(AIR, "air", "compressed air", MACHINE)                                                       \
    X(BLOW_OFF, "blow_off", "air jets that clean the belt", MACHINE)                               \
    X(DISC_HEAD, "disc_head", "a disc or orbital head", MACHINE)                                   \
    X(VACUUM_BED, "vacuum_bed", "a vacuum bed", MACHINE)                                           \
    X(PLANER, "planer", "a planer or moulder before it", MACHINE)                                  \
    X(COASTS, "coasts", "heads that coast instead of braking", MACHINE)

enum bw_feature {
#define BW_X(name, word, text, of) BW_HAS_##name,
    BW_FEATURES(BW_X)
#undef BW_X
        BW_FEATURE_COUNT
};

// Bits by enum bw_feature. A feature in neither set is not known; causes that need it stay
// possible.
struct bw_features {
    size_t heads;  // 0: machine not known
    unsigned head_has[BW_MAX_HEADS], head_lacks[BW_MAX_HEADS];
    unsigned has, lacks;  // of the machine; a head feature counts if any head has it
    const char *head_name[BW_MAX_HEADS];  // borrowed, NULL where the head has no name
};

extern const struct bw_choice bw_feature_words[];

bool bw_feature_of_head(int feature);
const char *bw_feature_text(int feature);

// Nothing known.
struct bw_features bw_features_none(void);
// What the machine file says. What it cannot say (air, jets) stays unknown.
struct bw_features bw_features_of(const struct bw_machine *machine);

// The heads (bit h) that may have all head features of `needs`; 0: none can, or the machine lacks
// another one needed. With no machine known: 1 where possible. `needs` is a set of bits.
unsigned bw_features_heads(const struct bw_features *features, unsigned needs);

#endif
