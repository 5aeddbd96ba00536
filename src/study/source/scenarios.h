// scenarios.h - the discrete errors that make a stated speed wrong at a stroke.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SOURCE_SCENARIOS_H
#define BW_STUDY_SOURCE_SCENARIOS_H

#include "study/source/evidence.h"

// Fills evidence->scenarios; the first is "all as stated". Weights: estimates, common practice,
// no source.
void scenarios_list(struct evidence *evidence);

#endif
