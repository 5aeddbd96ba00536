// listen.h - the study `listen`, see listen.c.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_LISTEN_LISTEN_H
#define BW_STUDY_LISTEN_LISTEN_H

#include "study/study.h"

extern const struct bw_study bw_study_listen;

#endif
