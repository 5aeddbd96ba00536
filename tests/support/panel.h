// panel.h - pictures of panels with known marks, drawn for tests.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TESTS_PANEL_H
#define BW_TESTS_PANEL_H

#include "numeric/strips.h"
#include "read/picture.h"

struct panel_marks {
    double pitch, slant;  // pixels square to the marks; radians, clockwise from square to the feed
    double share;         // of the light, half of the change from trough to crest
    int harmonics;        // of equal strength, in phase at the middle
    bool down;            // the feed runs down the columns
};

// Light 0.4 with white noise of the given sd.
struct panel {
    size_t width, height;
    float *light;  // [height][width]; panel_free
};
struct panel panel_new(size_t width, size_t height, double noise_sd, uint64_t seed);
void panel_mark(struct panel *panel, const struct panel_marks *marks);
void panel_free(struct panel *panel);

struct bw_rows panel_rows(const struct panel *panel);  // borrows
// As 8-bit sRGB codes; its table is static, its codes are freed by panel_picture_free.
struct bw_picture panel_picture(const struct panel *panel);
void panel_picture_free(struct bw_picture *picture);

#endif
