// belt.h - the study `belt`: which belt to order for a head, and why.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_BELT_BELT_H
#define BW_STUDY_BELT_BELT_H

#include "study/study.h"

extern const struct bw_study bw_study_belt;

#endif
