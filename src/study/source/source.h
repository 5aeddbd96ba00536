// source.h - the study `source`, see source.c.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SOURCE_SOURCE_H
#define BW_STUDY_SOURCE_SOURCE_H

#include "study/study.h"

extern const struct bw_study bw_study_source;

void source_text(const void *out, struct bw_text *text);
void source_plots(const void *out, struct bw_plots *plots);
void source_findings(const void *out, struct bw_findings *findings);

#endif
