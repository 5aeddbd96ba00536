// sounds.c - see sounds.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "recordings/sounds.h"

#include "numeric/random.h"

#include <math.h>

struct work {
    const struct sounds_scene *scene;
    size_t n;
    double *turned;  // seconds of machine time at each sample: t when nothing wanders
    float *out;
    uint64_t random;
};

#define PACE 64  // samples between two steps of the walk

// The common speed walks slowly and returns; its mean over the whole length is one.
static void wander(struct work *w) {
    double step = 1 / w->scene->sample_hz, state = bw_random_normal(&w->random), sum = 0;
    double keep = exp(-PACE * step / 3.0), push = sqrt(1 - keep * keep);
    for (size_t i = 0; i < w->n; i++) {
        w->turned[i] = sum;
        sum += step * (1 + w->scene->wander * state);
        if (i % PACE == 0) state = keep * state + push * bw_random_normal(&w->random);
    }
    double scale = (double)w->n * step / sum;
    for (size_t i = 0; i < w->n; i++) w->turned[i] *= scale;
}

// One sine and cosine a sample; the harmonics follow by turning further.
static void add_tone(struct work *w, const struct sounds_tone *tone) {
    double re[SOUNDS_HARMONICS], im[SOUNDS_HARMONICS], omega = 2 * M_PI * tone->rate_hz;
    int most = 0;
    for (int k = 0; k < SOUNDS_HARMONICS; k++) {
        double phase = 2 * M_PI * bw_random_uniform(&w->random);
        re[k] = tone->level[k] * cos(phase);
        im[k] = tone->level[k] * sin(phase);
        if (tone->level[k] > 0 && omega * (k + 1) < M_PI * w->scene->sample_hz) most = k + 1;
    }
    for (size_t i = 0; i < w->n; i++) {
        double t = tone->steady ? (double)i / w->scene->sample_hz : w->turned[i];
        double c = cos(omega * t), s = sin(omega * t), x = c, y = s, sum = 0;
        for (int k = 0; k < most; k++) {
            sum += y * re[k] + x * im[k];
            double turned = x * c - y * s;
            y = x * s + y * c;
            x = turned;
        }
        w->out[i] += (float)sum;
    }
}

static void ring(struct work *w, const struct sounds_blow *blow, double at, double level) {
    double hz = w->scene->sample_hz;
    size_t first = (size_t)ceil(at * hz), last = first + (size_t)(6 * blow->die_s * hz);
    for (size_t i = first; i < last && i < w->n; i++) {
        double t = (double)i / hz - at;
        w->out[i] += (float)(level * exp(-t / blow->die_s) * sin(2 * M_PI * blow->ring_hz * t));
    }
}

// Spacings are drawn, then stretched so that the mean rate over the record is the one asked for.
static void add_blows(struct work *w, const struct sounds_blow *blow) {
    double turned = 0, phase = bw_random_uniform(&w->random);
    double swell = 2 * M_PI * bw_random_uniform(&w->random);
    double end = w->turned[w->n - 1], wandered = 0;
    size_t i = 0;
    for (long k = 0; turned < end; k++) {
        // A walk pulled back: blows slip, but the cage keeps the mean.
        wandered = 0.98 * wandered + blow->slip * bw_random_normal(&w->random);
        turned = ((double)k + phase + wandered) / blow->rate_hz;
        if (turned < 0 || turned >= end) continue;
        while (i > 0 && w->turned[i] > turned) i--;
        while (i + 1 < w->n && w->turned[i + 1] <= turned) i++;
        double part = (turned - w->turned[i]) * w->scene->sample_hz;
        double level = blow->level * (1 + blow->scatter * bw_random_normal(&w->random));
        if (blow->swells_hz > 0)
            level *=
                1 - blow->depth * (0.5 + 0.5 * cos(2 * M_PI * blow->swells_hz * turned + swell));
        ring(w, blow, ((double)i + part) / w->scene->sample_hz, level);
    }
}

// White noise, and white noise through one broad resonance (quality 1.5).
static void add_noise(struct work *w) {
    const struct sounds_scene *s = w->scene;
    double r = exp(-M_PI * s->cutting_hz / 1.5 / s->sample_hz), a = 0, b = 0;
    double turn = 2 * r * cos(2 * M_PI * s->cutting_hz / s->sample_hz);
    double power = (1 + r * r) /
                   ((1 - r * r) * (1 + r * r * r * r - 2 * r * r * cos(2 * acos(turn / (2 * r)))));
    double gain = s->cutting / sqrt(power);
    for (size_t i = 0; i < w->n; i++) {
        w->out[i] += (float)(s->noise * bw_random_normal(&w->random));
        if (s->cutting == 0) continue;
        double x = turn * a - r * r * b + bw_random_normal(&w->random);
        b = a;
        a = x;
        double swell = s->cutting_swell_hz > 0
                           ? 1 + 0.2 * sin(2 * M_PI * s->cutting_swell_hz * w->turned[i])
                           : 1;
        w->out[i] += (float)(gain * swell * x);
    }
}

float *sounds_make(struct bw_arena *arena, const struct sounds_scene *scene, size_t *n) {
    struct work w = {
        .scene = scene, .n = (size_t)(scene->sample_hz * scene->seconds), .random = scene->seed};
    w.turned = bw_arena_array(arena, w.n, sizeof *w.turned);
    w.out = bw_arena_array(arena, w.n, sizeof *w.out);
    if (w.turned == NULL || w.out == NULL) return NULL;
    wander(&w);
    for (int i = 0; i < scene->n_tones; i++) add_tone(&w, &scene->tones[i]);
    for (int i = 0; i < scene->n_blows; i++) add_blows(&w, &scene->blows[i]);
    add_noise(&w);
    *n = w.n;
    return w.out;
}
