// thickness.h - the study `thickness`, see thickness.c.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_THICKNESS_THICKNESS_H
#define BW_STUDY_THICKNESS_THICKNESS_H

#include "study/study.h"

extern const struct bw_study bw_study_thickness;

#endif
