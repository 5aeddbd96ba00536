// shop.c - see shop.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "recordings/shop.h"

// The 6205 of the table: 9 balls, r = 0.3126 / 1.537.
#define OUTER 3.584776
#define INNER 5.415224

static void add_tone(struct sounds_scene *s, double rate, double first, double fall) {
    struct sounds_tone tone = {.rate_hz = rate};
    double level = first;
    for (int k = 0; k < SOUNDS_HARMONICS; k++, level *= fall) tone.level[k] = level;
    s->tones[s->n_tones++] = tone;
}

static void add_fault(struct sounds_scene *s, double shaft, enum shop_fault fault) {
    struct sounds_blow blow = {
        .level = 0.05, .ring_hz = 2900, .die_s = 0.0012, .slip = 0.008, .scatter = 0.2};
    if (fault == SHOP_SOUND) return;
    blow.rate_hz = shaft * (fault == SHOP_OUTER ? OUTER * 1.002 : INNER * 0.999);
    if (fault == SHOP_INNER) {
        blow.swells_hz = shaft;
        blow.depth = 0.8;
    }
    s->blows[s->n_blows++] = blow;
}

struct sounds_scene shop_scene(const struct shop_head *head, enum shop_fault fault, double cut,
                               uint64_t seed) {
    struct sounds_scene s = {.sample_hz = 8000,
                             .seconds = 20,
                             .wander = 0.0003,
                             .noise = 0.012,
                             .cutting = cut,
                             .cutting_hz = 1300,
                             .cutting_swell_hz = head->drum,
                             .seed = seed};
    s.blows[s.n_blows++] = (struct sounds_blow){.rate_hz = head->splice,
                                                .level = 0.12,
                                                .ring_hz = 620,
                                                .die_s = 0.003,
                                                .slip = 0.0005,
                                                .scatter = 0.1};
    add_tone(&s, head->splice, 0.004, 0.9);
    add_tone(&s, head->drum, 0.02, 0.35);
    add_tone(&s, head->roller, 0.008, 0.3);
    add_tone(&s, head->motor, 0.012, 0.4);
    s.tones[s.n_tones++] = (struct sounds_tone){
        .rate_hz = head->mains, .level = {0.001, 0.012, 0, 0.003, 0, 0.001}, .steady = true};
    add_fault(&s, head->drum, fault);
    return s;
}

// One-head: plate 3600 ft/min is 18.288 m/s; truly 17.71 m/s. Belt 75 in, drum 6.25 in less 2 % by
// regrinding plus the belt, roll 4.5 in, motor 1760 rpm under load 1748.
#define ONE_HEAD                                                                                   \
    { 9.297, 35.44, 48.63, 29.13, 60 }
const struct shop_recording shop_recordings[] = {
    {"one-head", "in cut, all well", ONE_HEAD, SHOP_SOUND, 0.04, 11},
    {"one-head-idle", "nothing in cut, all well", ONE_HEAD, SHOP_SOUND, 0, 12},
    {"one-head-outer-race", "nothing in cut, outer race of the drum's bearing damaged", ONE_HEAD,
     SHOP_OUTER, 0, 13},
    {0},
};
