// shopair.h - the study `shopair`, see shopair.c.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SHOPAIR_SHOPAIR_H
#define BW_STUDY_SHOPAIR_SHOPAIR_H

#include "study/study.h"

extern const struct bw_study bw_study_shopair;

#endif
