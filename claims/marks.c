// marks.c - claim: errors of pitch and direction beside their bound, and false alarms in noise.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pictures are drawn here: light 0.5, noise, and one wave of known pitch, slant and phase. Noise is
// white, or wood-like: each row an autoregression of the first order along x, the rows one along y,
// so that its power falls towards high frequencies and is concentrated near the grain's direction.
// The bound is that of a plane wave in coloured noise (Rife and Boorstyn 1974 in two dimensions,
// derived): var f = 6 S / (pi^2 A^2 M N (N^2 - 1)), likewise across, S the noise's power density
// at the wave, which is known exactly for these noises. Output signal to noise is A^2 M N / 2 S, so
// a wave at 15 dB stands 16 times over the floor, and half of that once tapered for the search:
// there many are not seen. An estimate further off than one over the picture's extent is another
// peak and counts as not found. For the bound the search reports whatever it sees (chance 1), so
// that estimates are not chosen by their strength; false alarms are counted with the search as it
// is shipped. The tail factor of src/study/marks/find.c was set on these noises and on no board.
//
//   claim_marks [--sample] [--cases N] [--seed N] [--csv FILE]
#include "base/arena.h"
#include "numeric/random.h"
#include "study/marks/find.h"
#include "study/marks/signs.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { WIDTH = 512, HEIGHT = 384 };

struct noise {
    const char *name;
    double along, across;  // autoregression; 0: white
};
static const struct noise NOISES[] = {{"white", 0, 0}, {"wood-like", 0.9, 0.3}};

static uint64_t rng;
static float picture[HEIGHT * WIDTH];

// Power density at f cycles a pixel of an autoregression of unit variance.
static double density(double a, double f) {
    return (1 - a * a) / (1 + a * a - 2 * a * cos(2 * M_PI * f));
}

static void draw_noise(const struct noise *noise, double sd) {
    static double row[WIDTH];
    double along = noise->along, across = noise->across;
    for (int y = 0; y < HEIGHT; y++) {
        double fresh = bw_random_normal(&rng);
        for (int x = 0; x < WIDTH; x++) {
            double keep = y == 0 ? 0 : across;
            row[x] = keep * row[x] + sqrt(1 - keep * keep) * fresh;
            picture[y * WIDTH + x] = (float)(0.5 + sd * row[x]);
            fresh = along * fresh + sqrt(1 - along * along) * bw_random_normal(&rng);
        }
    }
}

static void add_wave(double amplitude, double f, double g, double phase) {
    for (int y = 0; y < HEIGHT; y++)
        for (int x = 0; x < WIDTH; x++)
            picture[y * WIDTH + x] += (float)(amplitude * cos(2 * M_PI * (f * x + g * y) + phase));
}

static void row_of(const void *context, size_t y, float *out) {
    (void)context;
    memcpy(out, picture + y * WIDTH, sizeof(float) * WIDTH);
}

static void search(double chance, struct marks_found *found) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_rows rows = {WIDTH, HEIGHT, row_of, NULL};
    struct bw_err err = {0};
    struct marks_question question = {.chance = chance};
    if (arena == NULL || !marks_find(arena, &rows, &question, found, &err)) {
        bw_err_print(&err, stderr);
        exit(1);
    }
    bw_arena_free(arena);
}

// --- the bound ---------------------------------------------------------------------------------

struct score {
    int found, missed, in1_p, in2_p, in1_d, in2_d;
    double pitch, slant;  // sums of squared errors over their bound
};

static void one(const struct noise *noise, double decibel, struct score *score, FILE *csv) {
    double pitch = bw_random_between(&rng, 12, 50), lean = bw_random_between(&rng, -0.2, 0.2);
    double f = cos(lean) / pitch, g = sin(lean) / pitch, sd = 0.02;
    double s = sd * sd * density(noise->along, f) * density(noise->across, g);
    double area = (double)WIDTH * HEIGHT;
    double amplitude = sqrt(2 * s / area * pow(10, decibel / 10));
    draw_noise(noise, sd);
    add_wave(amplitude, f, g, 2 * M_PI * bw_random_uniform(&rng));
    struct marks_found found;
    search(1, &found);
    const struct bw_wave *w = NULL;
    for (int i = 0; i < found.n; i++)
        if (fabs(found.sets[i].wave.f - f) < 1.0 / WIDTH &&
            fabs(found.sets[i].wave.g - g) < 1.0 / HEIGHT)  // else it is another peak
            w = &found.sets[i].wave;
    if (w == NULL) {
        score->missed++;
        return;
    }
    double base = 6 * s / (M_PI * M_PI * amplitude * amplitude * area);
    double var_f = base / (WIDTH * WIDTH - 1.0), var_g = base / (HEIGHT * HEIGHT - 1.0);
    double bound_p = pow(pitch, 4) * (pow(cos(lean), 2) * var_f + pow(sin(lean), 2) * var_g);
    double bound_d = pitch * pitch * (pow(sin(lean), 2) * var_f + pow(cos(lean), 2) * var_g);
    double error_p = 1 / hypot(w->f, w->g) - pitch, error_d = atan2(w->g, w->f) - lean;
    double sd_p = marks_pitch_sd(w), sd_d = marks_slant_sd(w);
    score->found++;
    score->pitch += error_p * error_p / bound_p;
    score->slant += error_d * error_d / bound_d;
    score->in1_p += fabs(error_p) < sd_p;
    score->in2_p += fabs(error_p) < 2 * sd_p;
    score->in1_d += fabs(error_d) < sd_d;
    score->in2_d += fabs(error_d) < 2 * sd_d;
    if (csv != NULL)
        (void)fprintf(csv, "%s,%.0f,%.4f,%.4f,%.3g,%.3g,%.3g,%.3g,%.3g,%.3g\n", noise->name,
                      decibel, pitch, lean, error_p, sd_p, sqrt(bound_p), error_d, sd_d,
                      sqrt(bound_d));
}

// What a sample must hold to is loose on purpose: it shows only that nothing is broken.
static bool bound(const struct noise *noise, double decibel, int cases, FILE *csv) {
    struct score score = {0};
    for (int i = 0; i < cases; i++) one(noise, decibel, &score, csv);
    double n = score.found;
    printf("%-9s %2.0f dB: found %3.0f %%; error over bound: pitch %.2f, direction %.2f; within 1 "
           "sd %.0f %% and %.0f %%, within 2 sd %.0f %% and %.0f %%; of %d\n",
           noise->name, decibel, 100 * n / cases, sqrt(score.pitch / n), sqrt(score.slant / n),
           100 * score.in1_p / n, 100 * score.in1_d / n, 100 * score.in2_p / n,
           100 * score.in2_d / n, cases);
    return decibel < 18 || (n >= 0.7 * cases && score.pitch < 2.5 * n && score.slant < 2.5 * n &&
                            score.in2_p >= 0.75 * n && score.in2_d >= 0.75 * n);
}

// --- false alarms ------------------------------------------------------------------------------

// Exact (Clopper and Pearson) limit of a share, 95 %, by bisection on the binomial tail.
static double at_most(int hits, int n, double p) {
    double sum = 0;
    for (int i = 0; i <= hits; i++)
        sum += exp(lgamma(n + 1) - lgamma(i + 1) - lgamma(n - i + 1) + i * log(p) +
                   (n - i) * log1p(-p));
    return sum;
}
static double upper(int hits, int n) {
    double low = 1e-12, high = 1 - 1e-12;
    for (int i = 0; i < 100; i++) {
        double p = (low + high) / 2;
        if (at_most(hits, n, p) > 0.025)
            low = p;
        else
            high = p;
    }
    return hits == n ? 1 : low;
}

static bool alarms(const struct noise *noise, int cases) {
    int cried = 0;
    for (int i = 0; i < cases; i++) {
        draw_noise(noise, 0.02);
        struct marks_found found;
        search(0, &found);
        cried += found.n > 0;
    }
    printf("%-9s nothing there: cried out in %d of %d pictures, at most %.1f %% (95 %%)\n",
           noise->name, cried, cases, 100 * upper(cried, cases));
    return 10 * cried < cases;
}

int main(int argc, char **argv) {
    int cases = 400;
    const char *csv_name = NULL;
    char *end;
    bool good = true;
    rng = 20261125;
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--sample") == 0)
            cases = 25;
        else if (i + 1 < argc && strcmp(argv[i], "--cases") == 0)
            cases = (int)strtol(argv[++i], &end, 10);
        else if (i + 1 < argc && strcmp(argv[i], "--seed") == 0)
            rng = strtoull(argv[++i], &end, 10);
        else if (i + 1 < argc && strcmp(argv[i], "--csv") == 0)
            csv_name = argv[++i];
    }
    FILE *csv = csv_name == NULL ? NULL : fopen(csv_name, "w");
    if (csv != NULL)
        (void)fprintf(csv,
                      "noise,output_db,pitch_px,lean_rad,pitch_error,pitch_sd,pitch_bound,lean_"
                      "error,lean_sd,lean_bound\n");
    for (int n = 0; n < 2; n++)
        for (double decibel = 15; decibel <= 24; decibel += 3)
            good = bound(&NOISES[n], decibel, cases, csv) && good;
    for (int n = 0; n < 2; n++) good = alarms(&NOISES[n], cases) && good;
    if (csv != NULL) (void)fclose(csv);
    printf("%s - marks\n", good ? "ok" : "not ok");
    return good ? 0 : 1;
}
