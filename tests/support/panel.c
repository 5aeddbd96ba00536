// panel.c - see panel.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/panel.h"

#include "numeric/random.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct panel panel_new(size_t width, size_t height, double noise_sd, uint64_t seed) {
    struct panel panel = {width, height, malloc(width * height * sizeof(float))};
    for (size_t i = 0; i < width * height; i++)
        panel.light[i] = (float)(0.4 * (1 + noise_sd * bw_random_normal(&seed)));
    return panel;
}

void panel_mark(struct panel *panel, const struct panel_marks *marks) {
    double f = cos(marks->slant) / marks->pitch, g = sin(marks->slant) / marks->pitch;
    double middle_x = ((double)panel->width - 1) / 2, middle_y = ((double)panel->height - 1) / 2;
    for (size_t y = 0; y < panel->height; y++)
        for (size_t x = 0; x < panel->width; x++) {
            double dx = (double)x - middle_x, dy = (double)y - middle_y, wave = 0;
            // Clockwise: feed along x, the lower end of a mark moves back; down, the right end.
            double turns = marks->down ? f * dy - g * dx : f * dx + g * dy;
            for (int k = 1; k <= marks->harmonics; k++) wave += cos(2 * M_PI * k * turns);
            panel->light[y * panel->width + x] *= (float)(1 + marks->share * wave);
        }
}

void panel_free(struct panel *panel) {
    free(panel->light);
    panel->light = NULL;
}

static void row(const void *context, size_t y, float *out) {
    const struct panel *panel = context;
    memcpy(out, panel->light + y * panel->width, panel->width * sizeof *out);
}

struct bw_rows panel_rows(const struct panel *panel) {
    return (struct bw_rows){panel->width, panel->height, row, panel};
}

// IEC 61966-2-1.
static double linear_of(double s) {
    return s <= 0.04045 ? s / 12.92 : pow((s + 0.055) / 1.055, 2.4);
}
static double code_of(double light) {
    double s = light <= 0.0031308 ? 12.92 * light : 1.055 * pow(light, 1 / 2.4) - 0.055;
    return fmin(255, fmax(0, round(255 * s)));
}

struct bw_picture panel_picture(const struct panel *panel) {
    static float linear[256];
    for (int c = 0; c < 256; c++) linear[c] = (float)linear_of(c / 255.0);
    unsigned char *codes = malloc(panel->width * panel->height);
    for (size_t i = 0; i < panel->width * panel->height; i++)
        codes[i] = (unsigned char)code_of((double)panel->light[i]);
    return (struct bw_picture){.width = (uint32_t)panel->width,
                               .height = (uint32_t)panel->height,
                               .bits = 8,
                               .codes = codes,
                               .linear = linear,
                               .about = {.format = BW_FORMAT_PNG}};
}

void panel_picture_free(struct bw_picture *picture) {
    free((void *)(uintptr_t)picture->codes);
    picture->codes = NULL;
}
