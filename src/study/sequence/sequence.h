// sequence.h - the study `sequence`: grit, removal, feed and passes for tomorrow morning.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SEQUENCE_SEQUENCE_H
#define BW_STUDY_SEQUENCE_SEQUENCE_H

#include "study/study.h"

extern const struct bw_study bw_study_sequence;

#endif
