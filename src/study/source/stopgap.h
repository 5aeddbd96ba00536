// stopgap.h - feeds at which a mark hides, for tonight.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SOURCE_STOPGAP_H
#define BW_STUDY_SOURCE_STOPGAP_H

#include "study/source/evidence.h"

// Stop-gaps for a mark of `pitch` (m) made by `source` at `feed` (m/s): struct source_stop_gap,
// at most two. Never a faster feed. Errors: BW_MEMORY.
bool stop_gaps(struct bw_arena *arena, const struct bw_model *model, const struct bw_source *source,
               const double pitch_and_feed[2], struct bw_list *out, struct bw_err *err) BW_CHECKED;

#endif
