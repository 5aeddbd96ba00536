// join.h - from mark sets to the part: what the study `source` makes of them.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_MARKS_JOIN_H
#define BW_STUDY_MARKS_JOIN_H

#include "study/marks/record.h"
#include "study/study.h"

// Asks `source` about the sets that have a pitch and are not the camera's; fills out->source and
// each set's sources. Without any such set nothing is done. Where nothing explains all of them, the
// least sure are left aside and out->notes, which needs room for one more, says so. `way` is of
// bw_pitch_ways.
bool marks_join(struct bw_run *run, const struct marks_input *in, int way, struct marks_output *out,
                struct bw_err *err) BW_CHECKED;

#endif
