// design.h - which experiment tells the remaining sources apart, and what it shows.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SOURCE_DESIGN_H
#define BW_STUDY_SOURCE_DESIGN_H

#include "study/source/infer.h"

// Ranks experiments for the mark of item `focus`; `out` lists struct source_experiment, best
// first, at most four, none where nothing would help. No experiment asks for an open door, a hand
// near a moving belt or more load. Errors: BW_MEMORY.
bool design_experiments(struct bw_run *run, const struct belief *belief, int focus,
                        struct bw_list *out, struct bw_err *err) BW_CHECKED;

#endif
