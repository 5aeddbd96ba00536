// profile.h - from a file's heights to evenly spaced profiles without gaps and form.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_TRACE_PROFILE_H
#define BW_STUDY_TRACE_PROFILE_H

#include "read/profile.h"
#include "study/trace/measure.h"
#include "study/trace/record.h"

#define TRACE_MOST_PROFILES 9  // taken from a surface, evenly spread

struct trace_source {
    const struct bw_profile *file;
    double height_unit, place_unit;  // m of one number of the file
    double dx;                       // m
    size_t n;                        // points of one profile
    size_t profiles;                 // to be taken
    bool columns;                    // across the rows
    int form;                        // degree of what is taken off
};

// Settles units and which way profiles run. Error BW_INPUT: a unit or the spacing is missing, or
// given beside the file's own.
bool trace_source_open(const struct trace_input *in, struct trace_source *out,
                       struct bw_err *err) BW_CHECKED;

// Profile `which` (0 to profiles - 1): even, gaps filled by a straight line, form taken off.
// Errors: BW_INPUT (too many missing), BW_MEMORY.
bool trace_profile(struct bw_arena *arena, const struct trace_source *source, size_t which,
                   struct trace_heights *out, struct bw_err *err) BW_CHECKED;

#endif
