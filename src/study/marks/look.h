// look.h - what a picture is worth before marks are looked for, and which way its grain runs.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_MARKS_LOOK_H
#define BW_STUDY_MARKS_LOOK_H

#include "read/picture.h"

struct marks_look {
    double grain;         // radians from the x axis, clockwise as seen, -pi/2 .. pi/2
    double coherence;     // 0: no direction, 1: one only
    double dark, bright;  // share of pixels that are as good as black, as good as white
    double sharpness;     // change over one pixel against change over three: 1 noise, 1/9 blur
    bool shrunk;          // looks like a messenger's copy
};

// Error: BW_MEMORY.
bool marks_look(const struct bw_picture *picture, struct marks_look *out,
                struct bw_err *err) BW_CHECKED;

#endif
