// ducts.h - the study `ducts`, see ducts.c.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_DUCTS_DUCTS_H
#define BW_STUDY_DUCTS_DUCTS_H

#include "study/study.h"

extern const struct bw_study bw_study_ducts;

#endif
