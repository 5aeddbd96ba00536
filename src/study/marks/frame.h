// frame.h - the part of a picture that is looked at, square to the feed, and its scale.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_MARKS_FRAME_H
#define BW_STUDY_MARKS_FRAME_H

#include "base/arena.h"
#include "numeric/strips.h"
#include "read/picture.h"
#include "study/marks/record.h"

struct marks_point {
    double x, y;
};

struct marks_frame {
    const struct bw_picture *picture;
    size_t x0, y0, width, height;  // width x height pixels; unless warped a cut at x0, y0
    bool warped;
    double map[9];             // warped: frame pixel to picture pixel, homogeneous, by rows
    struct bw_quantity pixel;  // metres a frame pixel stands for; unknown without a scale
    const char *scale_by;      // "pencil lines", ...; NULL without a scale
    int pitch_way;             // of bw_pitch_ways, -1 without a scale
    float *room;               // one row of the picture
};

// From the scale, part and skew of the input; everything lives in the arena.
// Errors: BW_INPUT with the field named; BW_MEMORY.
bool marks_frame_make(struct bw_arena *arena, const struct marks_input *in, struct marks_frame *out,
                      struct bw_err *err) BW_CHECKED;
// The whole of a second picture, as it is.
bool marks_frame_plain(struct bw_arena *arena, const struct bw_picture *picture,
                       struct marks_frame *out, struct bw_err *err) BW_CHECKED;

// The frame as rows for the search; borrowed.
struct bw_rows marks_frame_rows(const struct marks_frame *frame);
// A place of the frame in the picture.
struct marks_point marks_frame_place(const struct marks_frame *frame, double u, double v);

// Light at a place of a picture, between its pixels; at the edge beyond it.
float marks_light(const struct bw_picture *picture, struct marks_point p);
// Pixels from tick to tick of a ruler whose ticks lie between two points. False: no ticks there.
bool marks_ruler_step(const struct bw_picture *picture, const struct marks_point end[2],
                      double *out) BW_CHECKED;

// Reads "x,y x,y ..." of exactly n points. Error: BW_INPUT.
bool marks_points_read(const char *text, int n, struct marks_point *out,
                       struct bw_err *err) BW_CHECKED;

#endif
