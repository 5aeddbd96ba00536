// find.h - mark sets in a picture: the core of the study `marks`, in pixels.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_MARKS_FIND_H
#define BW_STUDY_MARKS_FIND_H

#include "base/arena.h"
#include "numeric/wave.h"

#define MARKS_MOST_SETS 6

struct marks_question {
    bool down;        // the feed runs down the columns; else along the rows
    double shortest;  // pitch looked for, pixels; 0: the least that can be told, 8
    double longest;   // 0: as long as eight marks fit
    double chance;    // of a false alarm anywhere in the picture; 0: 0.005
};

// What is found. Pitch in pixels is 1 / hypot(wave.f, wave.g), slant from square atan(g / f).
struct marks_set {
    struct bw_wave wave;
    struct bw_comb comb;
    double false_alarm;  // chance that noise shows as much anywhere in the picture
};
struct marks_found {
    int n;
    struct marks_set sets[MARKS_MOST_SETS];  // surest first
    double shortest, longest;                // searched
    double u_size, v_size;                   // pixels used along the feed and across
    size_t n_curve;  // power over floor at its best slant, before anything was struck out
    const double *curve_f, *curve;  // cycles per pixel; the arena's
};

// Errors: those of bw_strips_take; BW_MEMORY.
bool marks_find(struct bw_arena *arena, const struct bw_rows *rows,
                const struct marks_question *question, struct marks_found *out,
                struct bw_err *err) BW_CHECKED;

#endif
