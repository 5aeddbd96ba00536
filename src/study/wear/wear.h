// wear.h - the study `wear`, see wear.c.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_WEAR_WEAR_H
#define BW_STUDY_WEAR_WEAR_H

#include "study/study.h"

extern const struct bw_study bw_study_wear;

#endif
