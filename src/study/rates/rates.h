// rates.h - the study `rates`, see rates.c.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_RATES_RATES_H
#define BW_STUDY_RATES_RATES_H

#include "study/study.h"

extern const struct bw_study bw_study_rates;

#endif
