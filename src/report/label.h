// label.h - where words go in a plot: how wide they are, and how they keep out of each other's way.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_REPORT_LABEL_H
#define BW_REPORT_LABEL_H

#include <stdbool.h>
#include <stddef.h>

// How wide a text is at most, px. The reader's font is not known here: 0.6 of the size a column is
// on the wide side of common sans-serif fonts.
double bw_label_width(const char *text, double size);

// The bytes of `text` (of `length`) that fit into `room` px, less a column for an ellipsis if not
// all do.
size_t bw_label_fit(const char *text, size_t length, double size, double room);

#define BW_MAX_LABELS 40  // more names than that belong in a key

// Moves `n` (at most BW_MAX_LABELS, any order) wished heights apart, so that neighbours are at
// least `gap` apart and all lie between `top` and `bottom`, and are moved as little as can be
// (least squares). Equal wishes keep their order. Nothing is done if there is no room for n.
void bw_label_spread(double *heights, size_t n, double gap, double top, double bottom);

struct bw_box {
    double left, top, right, bottom;
};
bool bw_box_overlaps(const struct bw_box *a, const struct bw_box *b);
// The line from (x0, y0) to (x1, y1), or a point, passes through the box.
bool bw_box_is_crossed(const struct bw_box *box, double x0, double y0, double x1, double y1);
bool bw_box_inside(const struct bw_box *inner, const struct bw_box *outer);

#endif
