// scene.c - see scene.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Wood is growth rings (distance from a leaning pith, so that flat-sawn boards show cathedrals),
// pores and fibre as noise drawn out along the grain, scratches drawn out along the feed. Light is
// Lambert's law on the slope of the surface: a torch at height z and distance d away turns a slope
// s into a contrast of about s d / z. The camera has a plain projection, lens shading, shot and
// read noise. One sample a pixel: what is finer than a pixel comes out as noise, as it does in a
// sensor without a filter.
#include "photos/scene.h"

#include "numeric/random.h"

#include <math.h>

// --- noise in the plane --------------------------------------------------------------------------

// A value in -1..1 for each point of a lattice.
static double lattice(uint64_t seed, long i, long j) {
    uint64_t state = seed ^ ((uint64_t)i * 0x8da6b343u) ^ ((uint64_t)j * 0xd8163841u << 20);
    return (double)(bw_random_next(&state) >> 11) * 0x1p-52 - 1;
}

static double soft(double t) { return t * t * (3 - 2 * t); }

// Smooth noise of unit size along one row of the lattice, which begins anywhere: a lattice that all
// rows share would show as a periodic mark.
static double row_noise(uint64_t seed, double x, long row) {
    double place = x + 1000 * lattice(seed + 77, row, 0), whole = floor(place);
    double u = soft(place - whole);
    return lattice(seed, (long)whole, row) * (1 - u) + lattice(seed, (long)whole + 1, row) * u;
}

// The same in the plane; lengths are made by scaling the arguments.
static double noise(uint64_t seed, double x, double y) {
    double whole = floor(y), v = soft(y - whole);
    return row_noise(seed, x, (long)whole) * (1 - v) + row_noise(seed, x, (long)whole + 1) * v;
}

// --- wood ----------------------------------------------------------------------------------------

struct look {
    double albedo;                            // mean
    double rings, ring_width;                 // contrast, m
    double pores, fibre, speckle, scratches;  // contrasts
};
static const struct look LOOKS[] = {
    [WOOD_MDF] = {0.36, 0, 0.004, 0, 0, 0.035, 0.030},
    [WOOD_MAPLE] = {0.55, 0.06, 0.0035, 0.01, 0.025, 0.010, 0.020},
    [WOOD_OAK] = {0.40, 0.16, 0.0028, 0.10, 0.035, 0.015, 0.020},
};

static double albedo_at(const struct scene *scene, double x, double y) {
    const struct look *look = &LOOKS[scene->wood];
    uint64_t s = scene->seed * 1000003u;
    double value = 1;
    if (look->rings > 0) {
        // The pith lies under the board, leaning, and the board was cut a little askew.
        double away = 0.030 + 0.06 * x + 0.004 * noise(s + 1, x / 0.18, y / 0.06);
        double aside = y - 0.17 - 0.02 * x + 0.006 * noise(s + 2, x / 0.3, y / 0.08);
        double ring = hypot(away, aside) / look->ring_width + 0.8 * noise(s + 3, x / 0.4, y / 0.02);
        double phase = ring - floor(ring);
        double late = phase < 0.85 ? phase / 0.85 : (1 - phase) / 0.15;  // dark latewood, sharp end
        value -= look->rings * (late * late - 0.3);
        double streak = noise(s + 4, x / 0.004, y / 0.00035);
        double early = 1 - late;
        if (streak > 0.3) value -= look->pores * early * (streak - 0.3) / 0.7;
    }
    value += look->fibre * noise(s + 5, x / 0.030, y / 0.0006);
    value += look->speckle * noise(s + 6, x / 0.0006, y / 0.0006);
    value += look->scratches * noise(s + 7, x / 0.050, y / 0.0004);
    value += 0.05 * noise(s + 8, x / 0.25, y / 0.12);  // clouds
    return look->albedo * fmax(value, 0.1);
}

// --- pencil --------------------------------------------------------------------------------------

// How much of a stroke's black lies at a distance from its middle line.
static double stroke(double distance) {
    double edge = (0.0005 - fabs(distance)) / 0.0002;
    return edge <= 0 ? 0 : edge >= 1 ? 1 : edge;
}

static double segment(double x, double y, const double ends[4]) {
    double dx = ends[2] - ends[0], dy = ends[3] - ends[1];
    double t = ((x - ends[0]) * dx + (y - ends[1]) * dy) / (dx * dx + dy * dy);
    t = fmin(fmax(t, 0), 1);
    return hypot(x - ends[0] - t * dx, y - ends[1] - t * dy);
}

static double pencil_at(const struct scene *scene, double x, double y) {
    const struct pencil *p = &scene->pencil;
    if (!p->drawn) return 0;
    double black = fmax(stroke(x - p->first), stroke(x - p->second));
    const double shaft[4] = {p->arrow_x, p->arrow_y, p->arrow_x + 0.06, p->arrow_y};
    const double barb[4] = {p->arrow_x + 0.06, p->arrow_y, p->arrow_x + 0.048, p->arrow_y - 0.006};
    const double other[4] = {p->arrow_x + 0.06, p->arrow_y, p->arrow_x + 0.048, p->arrow_y + 0.006};
    black = fmax(black, stroke(segment(x, y, shaft)));
    black = fmax(black, stroke(segment(x, y, barb)));
    black = fmax(black, stroke(segment(x, y, other)));
    // Graphite catches on the fibres.
    return black * (0.5 + 0.2 * noise(scene->seed * 1000003u + 9, x / 0.001, y / 0.0008));
}

// --- light ---------------------------------------------------------------------------------------

static double height(const struct bw_surface *surface, double x, double y) {
    double fx = fmin(fmax(x / surface->step, 0), (double)surface->nx - 1.001);
    double fy = fmin(fmax(y / surface->step, 0), fmax((double)surface->ny - 1.001, 0));
    size_t i = (size_t)fx, j = (size_t)fy, below = j + 1 < surface->ny ? surface->nx : 0;
    double u = fx - (double)i, v = fy - (double)j;
    const float *z = surface->z + j * surface->nx + i;
    return ((double)z[0] * (1 - u) + (double)z[1] * u) * (1 - v) +
           ((double)z[below] * (1 - u) + (double)z[below + 1] * u) * v;
}

static double light_at(const struct scene *scene, const struct bw_surface *surface, double x,
                       double y) {
    double h = surface->step;
    double slope_x = (height(surface, x + h, y) - height(surface, x - h, y)) / (2 * h);
    double slope_y = (height(surface, x, y + h) - height(surface, x, y - h)) / (2 * h);
    double lx = scene->torch.x - x, ly = scene->torch.y - y, lz = scene->torch.z;
    double square = lx * lx + ly * ly + lz * lz;
    double facing = (lz - slope_x * lx - slope_y * ly) / sqrt(square);
    return fmax(facing, 0) / square;
}

// --- camera --------------------------------------------------------------------------------------

void camera_place(const struct camera *camera, double column, double row, double *x, double *y) {
    double u = (column - camera->width / 2.0) * camera->pixel;
    double v = (row - camera->height / 2.0) * camera->pixel;
    double scale = 1 / (1 - camera->tilt_x * u - camera->tilt_y * v);
    double c = cos(camera->turn), s = sin(camera->turn);
    *x = camera->x + scale * (c * u + s * v);
    *y = camera->y + scale * (-s * u + c * v);
}

void camera_pixel(const struct camera *camera, double x, double y, double *column, double *row) {
    double c = camera->width / 2.0, r = camera->height / 2.0;
    for (int round = 0; round < 60; round++) {  // the tilt is small: it closes in fast
        double at_x, at_y;
        camera_place(camera, c, r, &at_x, &at_y);
        double dx = (x - at_x) / camera->pixel, dy = (y - at_y) / camera->pixel;
        c += cos(camera->turn) * dx - sin(camera->turn) * dy;
        r += sin(camera->turn) * dx + cos(camera->turn) * dy;
    }
    *column = c;
    *row = r;
}

// sRGB, IEC 61966-2-1.
static double encode(double light) {
    if (light <= 0) return 0;
    if (light >= 1) return 255;
    return 255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * pow(light, 1 / 2.4) - 0.055);
}

// What falls on one pixel, before exposure.
static double ray(const struct scene *scene, const struct bw_surface *surface, double exposure,
                  double column, double row) {
    const struct camera *camera = &scene->camera;
    double x, y;
    camera_place(camera, column, row, &x, &y);
    if (x < 0 || y < 0 || x > scene->panel.length || y > scene->panel.width) return 0.02;
    double light = scene->torch.ambient + exposure * light_at(scene, surface, x, y);
    double dark = pencil_at(scene, x, y);
    double u = column / camera->width - 0.5, v = row / camera->height - 0.5;
    light *= 1 - camera->shade * 2 * (u * u + v * v);
    if (camera->band_period > 0)
        light *= 1 + camera->band * sin(2 * M_PI * row / camera->band_period);
    return light * albedo_at(scene, x, y) * (1 - dark);
}

// Light in the picture's middle on a flat face is 1 - ambient: the phone sets its exposure there.
static double expose(const struct scene *scene) {
    double lx = scene->torch.x - scene->camera.x, ly = scene->torch.y - scene->camera.y;
    double lz = scene->torch.z, square = lx * lx + ly * ly + lz * lz;
    return (1 - scene->torch.ambient) * sqrt(square) * square / lz;
}

static const double TINT[3] = {1.0, 0.80, 0.58};  // of wood, so that grey is not its only colour

// Half the variance of a mid grey pixel is shot noise, which goes with the light.
static unsigned char sense(double light, double sd, uint64_t *random) {
    const double mid = 0.2, codes = 286.6;  // the slope of encode() there
    double sigma = sd / codes * sqrt(0.5 + 0.5 * light / mid);
    return (unsigned char)floor(encode(light + sigma * bw_random_normal(random)) + 0.5);
}

bool scene_render(struct bw_arena *arena, const struct scene *scene, struct pixels *out,
                  struct bw_err *err) {
    struct bw_surface surface;
    if (!bw_surface_make(arena, &scene->panel, &surface, err)) return false;
    const struct camera *camera = &scene->camera;
    size_t n = (size_t)camera->width * (size_t)camera->height;
    unsigned char *rgb = bw_arena_array(arena, n, 3);
    if (rgb == NULL) return bw_fail_memory(err);
    uint64_t random = scene->seed;
    double exposure = expose(scene);
    for (size_t i = 0; i < n; i++) {
        double column = (double)(i % (size_t)camera->width) + 0.5;
        double row = (double)(i / (size_t)camera->width) + 0.5;
        double light = ray(scene, &surface, exposure, column, row);
        for (size_t c = 0; c < 3; c++)
            rgb[3 * i + c] = sense(light * TINT[c], camera->noise, &random);
    }
    *out = (struct pixels){camera->width, camera->height, rgb};
    return true;
}
