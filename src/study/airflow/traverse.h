// traverse.h - where to read in a duct, and from readings there to the mean velocity.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_AIRFLOW_TRAVERSE_H
#define BW_STUDY_AIRFLOW_TRAVERSE_H

#include "base/arena.h"
#include "base/err.h"
#include "study/airflow/record.h"

#define TRAVERSE_MOST 100  // readings: a 10 x 10 grid

// Fractions of the diameter or side from the wall, for `n` points along a line. Round: n = 6, 8,
// 10; rectangular log-tchebycheff: n = 5, 6, 7; equal-area: any n. False: no such rule.
// ISO 5802:2001 tables 2 and 3; log-tchebycheff 10 from ISO 3966 (from memory); rectangular from
// two instrument manuals.
bool traverse_points(int rule, bool round, int n, double *fractions);

// Points a person would take: 6 to a diameter up to 250 mm, 8 above (round); 5, 6 or 7 to a side
// by 760 and 915 mm.
int traverse_usual(bool round, double size);

// Readings as typed, turned into velocities (m/s).
struct traverse {
    double velocity[TRAVERSE_MOST];  // NaN: missing
    bool filled[TRAVERSE_MOST];      // was missing or wild; the value is made from its neighbours
    int rows, columns;
    int missing, wild;
    double mean;         // m/s
    double row_spread;   // standard deviation of the rows' means over their mean, over sqrt(rows)
    double low_share;    // share of readings whose pressure is under a tenth of the largest
};
// Reads section->readings; density in kg/m3. Errors BW_INPUT: not numbers, rows of unequal length,
// a number of points the rule does not have, a unit that is no pressure (pitot) or velocity.
bool traverse_read(const struct airflow_section *section, double density, struct traverse *out,
                   struct bw_err *err) BW_CHECKED;

#endif
