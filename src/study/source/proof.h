// proof.h - how to make sure of a part once it is named.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SOURCE_PROOF_H
#define BW_STUDY_SOURCE_PROOF_H

#include "machine/model.h"

struct proof {
    const char *text, *caution;  // sentences without their full stop
};

// Trade practice (common practice, no source); none asks for an open door or a hand near a moving
// belt.
struct proof proof_of(enum bw_part part);

#endif
