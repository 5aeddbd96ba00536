// measure.h - from the heights of one profile to its roughness and waviness.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_TRACE_MEASURE_H
#define BW_STUDY_TRACE_MEASURE_H

#include "base/arena.h"
#include "numeric/texture.h"

struct trace_heights {  // evenly spaced, form taken off; m
    const double *z;
    size_t n;
    double dx;
    size_t filled;  // points that had no height
};

struct trace_settings {
    double cut_off, short_cut_off, wave_limit;  // m; 0: none of the last two
    size_t sections;
    bool robust, wood;
};

struct trace_core {  // wood, from a robust mean line
    struct bw_core at;
    double ra, ra_sd, rq, rk, pore_depth;  // sd NaN: one section
};

struct trace_measured {
    struct bw_texture_result rough[2];  // by enum trace_standard
    struct bw_material material[2];
    double wa, wq;
    struct trace_core core;
    int rounds;                      // of robust filters, the most
    size_t begin, measured;          // the sections: the middle of the profile
    double *primary, *line, *r, *w;  // n each, arena
    double *descending, *clean;      // heights of r and of the robust profile, sorted
    const double *drawn_core;        // robust profile itself; NULL: not wood
};

// Settings by the standard's classes: cut-off from Ra (ISO 4288, non-periodic, from memory) unless
// `given` has one, 2.5 mm for wood as is usual; the short cut-off that goes with it unless the
// points are too far apart; as many whole sections as there are unless given. `note` (of `size`) is
// what the reader should know, "" if nothing. Error BW_INPUT: the trace is too short.
struct trace_note {
    char text[200];
};
bool trace_settle(struct bw_arena *arena, struct trace_heights heights,
                  struct trace_settings *settings, struct trace_note *note,
                  struct bw_err *err) BW_CHECKED;

// The arrays live in the arena. Errors: BW_MEMORY.
bool trace_measure(struct bw_arena *arena, struct trace_heights heights,
                   const struct trace_settings *settings, struct trace_measured *out,
                   struct bw_err *err) BW_CHECKED;

#endif
