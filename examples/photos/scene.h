// scene.h - a photo of a panel, rendered: wood, low light, camera.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Part of the generator of the example photos, not of the program. The heights come from the
// forward model (src/machine/surface.h), everything else is drawn here. Lengths in m on the panel,
// x along the feed from its leading edge, y across.
#ifndef PHOTOS_SCENE_H
#define PHOTOS_SCENE_H

#include "machine/surface.h"

enum wood { WOOD_MDF, WOOD_MAPLE, WOOD_OAK };

struct torch {  // where it lies; its light falls off with the square of the distance
    double x, y, z;
    double ambient;  // share of the light that comes from everywhere
};
struct camera {
    int width, height;         // pixels
    double x, y;               // the place on the panel in the picture's middle
    double pixel;              // m on the panel of one pixel in the middle
    double turn;               // rad, of the feed against the picture's rows
    double tilt_x, tilt_y;     // perspective: change of scale per m to the right and down
    double shade;              // share of light lost in the corners
    double noise;              // sd of a mid grey pixel, in sRGB codes of 255
    double band, band_period;  // lamp flicker through a rolling shutter: depth, and rows from band
                               // to band; 0: none
    int quality;               // of the JPEG
};
struct pencil {  // two lines square across the panel and an arrow along the feed
    bool drawn;
    double first, second;  // x of the lines
    double arrow_x, arrow_y;
};
struct scene {
    struct bw_panel panel;
    enum wood wood;
    struct torch torch;
    struct camera camera;
    struct pencil pencil;
    uint64_t seed;
};

struct pixels {  // rows of RGB, 8 bits, sRGB
    int width, height;
    unsigned char *rgb;
};

// Renders into the arena. Errors as bw_surface_make.
bool scene_render(struct bw_arena *arena, const struct scene *scene, struct pixels *out,
                  struct bw_err *err) BW_CHECKED;

// The place on the panel that a place in the picture shows (pixels; the first one's middle is 0.5).
void camera_place(const struct camera *camera, double column, double row, double *x, double *y);

// The other way round.
void camera_pixel(const struct camera *camera, double x, double y, double *column, double *row);

#endif
