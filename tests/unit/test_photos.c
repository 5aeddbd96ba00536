// test_photos.c - the example photos are what their generator makes, and show what they say.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "photos/photos.h"

#include "base/arena.h"
#include "photos/jpeg.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define MOST_BYTES 200000  // a photo in the repository

struct grey {
    int width, height;
    const unsigned char *luma;
};

static struct grey committed(struct bw_arena *arena, const char *name) {
    char path[200];
    (void)snprintf(path, sizeof path, "examples/photos/%s.jpg", name);
    FILE *file = fopen(path, "rb");
    if (file == NULL) fail_msg("cannot open %s", path);
    static unsigned char bytes[MOST_BYTES + 1];
    size_t size = fread(bytes, 1, sizeof bytes, file);
    (void)fclose(file);
    assert_in_range(size, 1000, MOST_BYTES);
    struct grey grey;
    grey.luma = jpeg_luma(arena, bytes, size, &grey.width, &grey.height);
    assert_non_null(grey.luma);
    return grey;
}

static struct grey rendered(struct bw_arena *arena, const struct photo *photo) {
    struct bw_err err = {0};
    struct pixels pixels;
    if (!scene_render(arena, &photo->scene, &pixels, &err)) fail_msg("%s", err.what);
    size_t size;
    unsigned char *bytes = jpeg_write(&pixels, photo->scene.camera.quality, &size);
    struct grey grey;
    grey.luma = jpeg_luma(arena, bytes, size, &grey.width, &grey.height);
    free(bytes);
    assert_non_null(grey.luma);
    return grey;
}

// The same program and library give the same bytes; another codec or processor may round otherwise.
static void the_generator_makes_the_photos(void **state) {
    (void)state;
    for (const struct photo *photo = photos_all(); photo->name != NULL; photo++) {
        struct bw_arena *arena = bw_arena_new(0);
        assert_non_null(arena);
        struct grey is = committed(arena, photo->name), made = rendered(arena, photo);
        assert_int_equal(is.width, made.width);
        assert_int_equal(is.height, made.height);
        long sum = 0, n = (long)is.width * is.height;
        for (long i = 0; i < n; i++) sum += labs((long)is.luma[i] - made.luma[i]);
        if ((double)sum > 0.3 * (double)n) fail_msg("%s is another picture", photo->name);
        bw_arena_free(arena);
    }
}

// --- the marks are there, at the pitch stated ----------------------------------------------------

enum { BINS = 2500 };
#define BIN 0.25e-3

// Brightness along the feed, on the panel's own scale: each pixel is put back where it came from.
// A column's mean is taken off first, and the light's slow fall.
struct profile {
    double sum[BINS], n[BINS];
};

static void project(const struct photo *photo, struct grey grey, struct profile *out) {
    memset(out, 0, sizeof *out);
    double slant = 0;
    for (size_t p = 0; p < photo->scene.panel.n_passes; p++)
        if (photo->scene.panel.passes[p].n > 0)
            slant = photo->scene.panel.passes[p].imprints[0].slant;
    for (int row = 0; row < grey.height; row++) {
        for (int column = 0; column < grey.width; column++) {
            double x, y;
            camera_place(&photo->scene.camera, column + 0.5, row + 0.5, &x, &y);
            long bin = lround((x - slant * y) / BIN);
            if (bin < 0 || bin >= BINS) continue;
            out->sum[bin] += grey.luma[(long)row * grey.width + column];
            out->n[bin]++;
        }
    }
    for (int i = 0; i < BINS; i++) out->sum[i] /= fmax(out->n[i], 1);
}

// Amplitude in grey levels at a pitch, between the pencil lines and under a Hann window.
static double amplitude(const struct profile *profile, double pitch) {
    const int from = 180, to = 2080;
    double c = 0, s = 0, weights = 0;
    for (int i = from + 20; i < to - 20; i++) {
        double before = 0, after = 0;
        for (int k = 1; k <= 20; k++) {  // a running mean of 10 mm takes the light away
            before += profile->sum[i - k];
            after += profile->sum[i + k];
        }
        double value = profile->sum[i] - (before + after) / 40;
        double w = pow(sin(M_PI * (i - from) / (to - from)), 2);
        c += w * value * cos(2 * M_PI * i * BIN / pitch);
        s += w * value * sin(2 * M_PI * i * BIN / pitch);
        weights += w;
    }
    return 2 * hypot(c, s) / weights;
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

// The strongest line within 4 % of `pitch`, and the median of lines around for comparison.
static double strongest(const struct profile *profile, double pitch, double *at,
                        double *floor_out) {
    double best = 0, others[80];
    int n = 0;
    for (double r = -0.04; r <= 0.04; r += 0.0005) {
        double a = amplitude(profile, pitch * (1 + r));
        if (a <= best) continue;
        best = a;
        *at = pitch * (1 + r);
    }
    for (int i = 0; i < 80; i++) {
        double r = (i < 40 ? 0.80 : 1.08) + 0.003 * (i % 40);
        others[n++] = amplitude(profile, pitch * r);
    }
    qsort(others, (size_t)n, sizeof *others, by_size);
    *floor_out = others[n / 2];
    return best;
}

static void the_marks_stand_at_their_pitch(void **state) {
    (void)state;
    for (const struct photo *photo = photos_all(); photo->name != NULL; photo++) {
        struct bw_arena *arena = bw_arena_new(0);
        assert_non_null(arena);
        static struct profile profile;
        project(photo, committed(arena, photo->name), &profile);
        for (int m = 0; m < photo->n_marks; m++) {
            double at = 0, floor_ = 0, pitch = photo->marks[m].pitch;
            double found = strongest(&profile, pitch, &at, &floor_);
            if (!(found > 5 * floor_) || fabs(at / pitch - 1) > 0.006)
                fail_msg("%s, %s: %.2f grey levels at %.3f mm, others %.2f", photo->name,
                         photo->marks[m].source, found, at * 1e3, floor_);
        }
        bw_arena_free(arena);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_generator_makes_the_photos),
        cmocka_unit_test(the_marks_stand_at_their_pitch),
    };
    return cmocka_run_group_tests_name("photos", tests, NULL, NULL);
}
