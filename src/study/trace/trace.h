// trace.h - the study `trace`, see trace.c.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_TRACE_TRACE_H
#define BW_STUDY_TRACE_TRACE_H

#include "study/study.h"

extern const struct bw_study bw_study_trace;

#endif
