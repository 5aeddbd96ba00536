// find.c - see find.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The search runs in rounds: the likeliest comb of waves is fitted, struck out of the plane, and
// the next is looked for, until what is left could be noise. What passes by its power alone must
// also run through the picture: eighths of the length have to agree (claims/marks.c tells how
// often a plain board passes both).
#include "study/marks/find.h"

#include <math.h>

#define SHORTEST 8.0     // pixels: below, JPEG and the lens leave nothing to measure
#define MARKS_LEAST 8.5  // along the picture, so that a floor can be told beside the wave
#define CHANCE 0.005
#define SLOPE 0.364     // 20 degrees
#define TAIL 1.4        // heavier than of Gaussian noise with a known floor: claims/marks.c
#define AGREEMENT 0.65  // of what a steady wave of this strength shows, by eighths of the length
#define SPREAD 0.3      // of 24 parts; one steady wave gives 1, noise about 0.5
#define FAR_FROM_NOISE -150  // ln of the chance; growth rings reach -100 and agree up to 0.3
#define DRIFTING 0.25        // agreement of a strong wave that drifts
#define LEAK 0.04            // of the stronger wave's power
#define LEAK_REACH 0.25      // of the logarithm of the pitch
#define ROUNDS 12            // passes and fails together

static bool curve_of(struct bw_arena *arena, const struct bw_plane *plane,
                     struct marks_found *found, struct bw_err *err) {
    double *f = bw_arena_array(arena, plane->n_f, sizeof *f);
    double *best = bw_arena_array(arena, plane->n_f, sizeof *best);
    if (f == NULL || best == NULL) return bw_fail_memory(err);
    for (size_t k = 0; k < plane->n_f; k++) {
        double frequency = (double)k * plane->df, most = 0;
        if (frequency < plane->f_low || frequency > plane->f_high) continue;
        for (size_t j = 0; j < plane->n_g; j++)
            most = fmax(most, (double)plane->ratio[k * plane->n_g + j]);
        f[found->n_curve] = frequency;
        best[found->n_curve++] = most;
    }
    found->curve_f = f;
    found->curve = best;
    return true;
}

// How far eighths agree when a steady wave stands this far over noise: each has an eighth of its
// amplitude and all of noise's eighth.
static double steady(const struct bw_wave *wave) {
    double power = 0;
    for (int k = 0; k < wave->harmonics; k++) power += wave->ratio[k];
    return (power + wave->harmonics) / (power + 8 * wave->harmonics);
}

// Power in one place is a pencil line or a knot. A steady wave agrees with itself along the length;
// one that drifts does less, and must then be far stronger than growth rings.
static bool runs_through(const struct marks_set *set) {
    const struct bw_wave *wave = &set->wave;
    bool strong = set->comb.log_chance < FAR_FROM_NOISE;
    return wave->spread >= SPREAD &&
           (wave->coherence >= AGREEMENT * steady(wave) || (strong && wave->coherence >= DRIFTING));
}

// What a strong wave leaks beside itself, when it drifts or the picture is not square to it.
static bool is_leak(const struct marks_found *found, const struct bw_comb *comb) {
    for (int i = 0; i < found->n; i++) {
        const struct bw_comb *other = &found->sets[i].comb;
        for (int k = 1; k <= other->harmonics; k++)
            if (fabs(log(comb->f / (k * other->f))) < LEAK_REACH &&
                comb->ratio[0] < LEAK * other->ratio[k - 1])
                return true;
    }
    return false;
}

static bool rounds(const struct bw_strips *strips, struct bw_plane *plane, double chance,
                   struct marks_found *found, struct bw_err *err) {
    struct bw_comb comb;
    for (int round = 0; round < ROUNDS && found->n < MARKS_MOST_SETS; round++) {
        if (!bw_comb_find(plane, TAIL, log(chance), &comb)) break;
        struct marks_set set = {.comb = comb, .false_alarm = exp(comb.log_chance)};
        if (!bw_wave_fit(strips, plane, &comb, &set.wave, err)) return false;
        bw_comb_strike(plane, &comb);
        if (runs_through(&set) && !is_leak(found, &comb)) found->sets[found->n++] = set;
    }
    return true;
}

bool marks_find(struct bw_arena *arena, const struct bw_rows *rows,
                const struct marks_question *question, struct marks_found *out,
                struct bw_err *err) {
    double along = (double)(question->down ? rows->height : rows->width);
    struct marks_found found = {.shortest = question->shortest > 0 ? question->shortest : SHORTEST,
                                .longest = question->longest > 0 ? question->longest
                                                                 : along / MARKS_LEAST};
    struct bw_strips strips = {0};
    struct bw_plane plane = {0};
    struct bw_strips_options cut = {question->down, found.shortest, found.longest};
    struct bw_plane_options search = {found.shortest, found.longest, SLOPE};
    bool ok = bw_strips_take(rows, &cut, &strips, err) &&
              bw_plane_make(&strips, &search, &plane, err) && curve_of(arena, &plane, &found, err);
    found.u_size = strips.u_size;
    found.v_size = strips.v_size;
    double chance = question->chance > 0 ? question->chance : CHANCE;
    ok = ok && rounds(&strips, &plane, chance, &found, err);
    bw_plane_free(&plane);
    bw_strips_free(&strips);
    if (ok) *out = found;
    return ok;
}
