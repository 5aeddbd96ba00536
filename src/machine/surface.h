// surface.h - the surface a machine leaves on a panel: marks as they are before anybody sees them.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The forward model behind the rendered photos and the claims. x runs along the feed from the
// panel's leading edge, y across it, z up; all in m. Heights are relative to the incoming face.
#ifndef BW_MACHINE_SURFACE_H
#define BW_MACHINE_SURFACE_H

#include "base/arena.h"
#include "machine/sources.h"

// --- the two contact laws on one line along the feed ---------------------------------------------

struct bw_line {  // n places, the first at `start`, `step` apart
    double start, step;
    size_t n;
};
struct bw_circles {  // lowest points, `at` rising
    const double *at, *low;
    size_t n;
};
// Displacement: the lowest that circles of one radius reach over each place of the line; INFINITY
// where none does. Exact, O(circles + places). False: out of memory.
bool bw_surface_envelope(struct bw_arena *arena, struct bw_circles circles, double radius,
                         struct bw_line line, double *out) BW_CHECKED;

// Pressure: the running mean of `values` over the contact length (m), each value standing for its
// whole step; beyond the ends the end values go on. O(places). False: out of memory.
bool bw_surface_running_mean(struct bw_arena *arena, const double *values, struct bw_line line,
                             double contact, double *out) BW_CHECKED;

// --- a panel through the machine -----------------------------------------------------------------

enum bw_imprint_kind {
    BW_IMPRINT_BUMP,  // short against its pitch: a splice, a dent, a knife
    BW_IMPRINT_WAVE   // runout: one wave a turn
};
struct bw_imprint {  // what one turning part presses into the panel
    enum bw_imprint_kind kind;
    double pitch;   // m of travel from one to the next, mean
    double depth;   // m, of a bump below the head's plane; of a wave from middle to crest
    double phase;   // in turns, at the leading edge where y is 0
    double slant;   // m along the feed by which it lags, per m across
    double wander;  // sd of the single spacing, as a share of the pitch; spacings are independent
    uint64_t seed;  // of the wander
};
enum bw_law {
    BW_LAW_DISPLACEMENT,  // steel drum
    BW_LAW_PRESSURE,      // rubber drum, platen, pad, brush
    BW_LAW_KNIVES         // a planer: nothing touches the panel but its bumps
};
struct bw_pass {  // one head
    enum bw_law law;
    double radius;   // m; not for pressure
    double contact;  // m along the feed; pressure only
    double takes;    // m that its plane stands below the plane of the head before
    const struct bw_imprint *imprints;
    size_t n;
};

struct bw_travel {                  // how the panel moves against the conveyor; zero: as it should
    double lead_slip, lead_length;  // at the leading edge the panel is faster by this share, fading
    double tail_slip, tail_length;  // over the length; negative: slower, marks squeezed together
    double stick, stick_length;     // random: sd of the share, mean length of one state
    uint64_t seed;
};
struct bw_patch {  // an ellipse rubbed out by hand or by a loose part, soft at its edge
    double x, y, length, width;
    double share;  // of the height that is gone in its middle, 0..1
};
struct bw_panel {
    double length, width;  // m
    double step;           // m, of the grid in both directions
    double fade;           // share of each depth that is left at the far side, y = width; 1: all
    struct bw_travel travel;
    const struct bw_pass *passes;
    size_t n_passes;
    const struct bw_patch *patches;
    size_t n_patches;
};
struct bw_surface {
    size_t nx, ny;
    double step;
    float *z;  // rows of nx places along the feed, ny of them across; m
};

// A head as a pass without imprints: law, radius and contact length by the machine file.
struct bw_pass bw_surface_pass(const struct bw_head *head, double takes);

// Travel of the conveyor (m) when place x of the panel passes, for each place of the line.
void bw_surface_travel(const struct bw_travel *travel, double length, struct bw_line line,
                       double *out);

// Runs the panel through all passes: each takes what stands above its own plane, so of an earlier
// head's marks only what lies deeper remains. Errors: BW_INPUT for a grid under 2 x 1 or above
// 64 million places, a step not above 0; BW_MEMORY.
bool bw_surface_make(struct bw_arena *arena, const struct bw_panel *panel, struct bw_surface *out,
                     struct bw_err *err) BW_CHECKED;

#endif
