// axis.h - one axis of a plot: its range in the units shown, its ticks, and where a value stands.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_REPORT_AXIS_H
#define BW_REPORT_AXIS_H

#include "base/quantity.h"

#include <stddef.h>

#define BW_MAX_TICKS 16

struct bw_tick {
    double at;      // in the units shown
    char text[48];  // shortest decimal, the same in every locale
};

struct bw_axis {
    enum bw_dim dim;
    enum bw_units units;
    bool log;
    bool whole;         // only whole numbers were covered: no ticks between them
    double lo, hi;      // in the units shown, lo < hi once settled
    double begin, end;  // where lo and hi are drawn, px
    size_t n;
    struct bw_tick ticks[BW_MAX_TICKS];
};

// An axis that covers nothing yet.
struct bw_axis bw_axis_begin(enum bw_dim dim, enum bw_units units, bool log);

// Widens the axis so that it holds the value (SI). NaN, infinities and what is beyond 1e100 are
// passed over, on a log axis what is not above zero as well.
void bw_axis_cover(struct bw_axis *axis, double si);

// Makes a usable range of what was covered (nothing: 0 to 1, or 1 to 10; one value: some room
// around it) and chooses at most `most` ticks (3 to BW_MAX_TICKS; 2 will do without `round_out`):
// steps of 1, 2, 5; on a log axis decades and as many of 1, 2, 5 as fit. `round_out`: the range
// grows to whole steps (linear only).
void bw_axis_settle(struct bw_axis *axis, size_t most, bool round_out);

// Where a value (SI) stands, px; at most 1e5 px beyond the axis, so that it can be printed. False
// for what has no place: NaN, infinities, not above zero on a log axis.
bool bw_axis_place(const struct bw_axis *axis, double si, double *px_out);
// The same for a value in the units shown, which must be one of the axis' own: lo, hi or a tick.
double bw_axis_at(const struct bw_axis *axis, double shown);

#endif
