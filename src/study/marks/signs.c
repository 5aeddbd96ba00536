// signs.c - see signs.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Nothing here names or clears a part; it says what a careful person would think of first.
#include "study/marks/signs.h"

#include <math.h>

#define SURE 3.0      // standard deviations
#define NARROW 0.35   // share of the width
#define FLAT 0.0087   // half a degree
#define UNEVEN 0.002  // of the pitch: less does not matter to anybody

// --- pace --------------------------------------------------------------------------------------

static double pitch_of(double f) { return 1 / f; }

enum marks_pace marks_pace_of(const struct bw_wave *wave) {
    double p[3], sd[3], mean = 0, weight = 0, chi = 0;
    for (int t = 0; t < 3; t++) {
        p[t] = pitch_of(wave->thirds[t].f);
        sd[t] = hypot(wave->thirds[t].f_sd * p[t] * p[t], UNEVEN * p[t]);
        if (!(sd[t] < 0.05 * p[t])) return PACE_OPEN;
        mean += p[t] / (sd[t] * sd[t]);
        weight += 1 / (sd[t] * sd[t]);
    }
    mean /= weight;
    for (int t = 0; t < 3; t++) chi += pow((p[t] - mean) / sd[t], 2);
    if (chi < SURE * SURE) return PACE_CONSTANT;
    double first = p[0] - p[1], last = p[2] - p[1];
    double first_sd = hypot(sd[0], sd[1]), last_sd = hypot(sd[2], sd[1]);
    if (fabs(p[2] - p[0]) > 2 * hypot(sd[0], sd[2]) && (p[1] - p[0]) * (p[2] - p[1]) > 0)
        return PACE_TREND;
    bool one_end = (fabs(first) > 2 * first_sd) != (fabs(last) > 2 * last_sd);
    return one_end || first * last > 0 ? PACE_ENDS : PACE_UNEVEN;
}

const char *marks_pace_text(enum marks_pace pace) {
    switch (pace) {
    case PACE_CONSTANT: return "the same all along: a part that turns evenly";
    case PACE_ENDS:
        return "other at an end than in the middle: the panel slipped, or a hold-down let go";
    case PACE_TREND:
        return "grows from one end to the other: the camera was not square above, or the feed "
               "changed; give four corners to tell";
    case PACE_UNEVEN: return "uneven: stick and slip of the feed, or not a turning part";
    case PACE_OPEN: break;
    }
    return "too faint to say whether it is the same all along";
}

// Marks that wander step by step: the whole length and its thirds then say different things, and
// neither's own ± is true.
double marks_pitch_sd(const struct bw_wave *wave) {
    double p = 1 / hypot(wave->f, wave->g), f = wave->f, g = wave->g;
    // d p = -p^3 (f df + g dg)
    double variance = pow(p, 6) * (f * f * wave->ff + 2 * f * g * wave->fg + g * g * wave->gg);
    enum marks_pace pace = marks_pace_of(wave);
    if (pace == PACE_OPEN) return sqrt(variance);
    double mean = 0, mean_variance = 0, square = 0;
    for (int t = 0; t < 3; t++) {
        double third = pitch_of(wave->thirds[t].f);
        mean += third / 3;
        mean_variance += pow(wave->thirds[t].f_sd * third * third / 3, 2);
    }
    for (int t = 0; t < 3; t++) square += pow(pitch_of(wave->thirds[t].f) - mean, 2) / 2;
    if (pace != PACE_CONSTANT) variance += square / 3;
    double apart = pitch_of(f) - mean;
    if (fabs(apart) > SURE * sqrt(mean_variance)) variance += apart * apart;
    return sqrt(variance);
}

double marks_slant_sd(const struct bw_wave *wave) {
    double f = wave->f, g = wave->g, p4 = pow(f * f + g * g, -2);
    return sqrt(p4 * (f * f * wave->gg - 2 * f * g * wave->fg + g * g * wave->ff));
}

// --- signs -------------------------------------------------------------------------------------

static bool near(double value, double target, double sd) {
    return fabs(value - target) < fmax(SURE * sd, 0.002 * target);
}

static bool on_ruler(const struct marks_frame *frame, double pitch, double sd) {
    static const double STEPS[] = {0.001, 0.005, 0.01, 0.0254 / 16, 0.0254 / 8, 0.0254 / 4};
    if (!bw_known(frame->pixel)) return false;
    double relative = hypot(sd / pitch, frame->pixel.sd / frame->pixel.v);
    for (size_t i = 0; i < sizeof STEPS / sizeof *STEPS; i++)
        if (near(pitch * frame->pixel.v, STEPS[i], relative * STEPS[i])) return true;
    return false;
}

// Exactly along the picture's rows or columns of pixels, as far as can be told.
static bool square_to_pixels(const struct marks_scene *scene, const struct bw_wave *wave) {
    double slant = atan2(wave->g, wave->f);
    return !scene->frame->warped && fabs(slant) < fmin(FLAT, fmax(2 * marks_slant_sd(wave), 0.001));
}

bool marks_is_jpeg(const struct marks_scene *scene, const struct bw_wave *wave) {
    double pitch = 1 / hypot(wave->f, wave->g), sd = marks_pitch_sd(wave);
    return scene->frame->picture->about.format == BW_FORMAT_JPEG && square_to_pixels(scene, wave) &&
           (near(pitch, 8, sd) || near(pitch, 16, sd));
}

size_t marks_signs(const struct marks_scene *scene, const struct bw_wave *wave,
                   const char *out[MARKS_MOST_SIGNS]) {
    const struct marks_frame *frame = scene->frame;
    double pitch = 1 / hypot(wave->f, wave->g), sd = marks_pitch_sd(wave);
    size_t n = 0;
    if (square_to_pixels(scene, wave))
        out[n++] = "it runs exactly with the picture's rows of pixels, as a lamp's flicker and a "
                   "camera's bands do: a second shot with the phone turned a quarter turn tells";
    if (wave->lane < NARROW && on_ruler(frame, pitch, sd))
        out[n++] = "a narrow lane at a ruler's spacing: keep rulers out of what is looked at";
    else if (wave->lane < NARROW)
        out[n++] = "only a narrow lane carries it: a print of a feed or hold-down roller, or one "
                   "place on the belt, rather than a whole splice or drum";
    double across = scene->down ? 0 : M_PI_2;  // the marks' own direction, about
    if (scene->look->coherence > 0.4 && fabs(sin(scene->look->grain - across)) < 0.26 &&
        marks_pace_of(wave) != PACE_CONSTANT)
        out[n++] = "it lies along the grain and is not evenly spaced: growth rings do that";
    return n;
}
