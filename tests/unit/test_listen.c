// test_listen.c - speeds, bearings and the recording itself, on sounds whose truth is known.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The sounds come from examples/recordings, which makes them in time and knows nothing of spectra.
#include "study/listen/listen.h"

#include "base/bind.h"
#include "read/sound.h"
#include "recordings/shop.h"
#include "study/door.h"
#include "study/listen/record.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static const struct shop_head ONE_HEAD = {9.297, 35.44, 48.63, 29.13, 60};

struct heard {
    struct bw_arena *arena;
    const struct listen_output *out;
    struct bw_err err;
};

static struct bw_sound sound_of(float *samples, size_t n, double rate) {
    return (struct bw_sound){.frames = n,
                             .channels = 1,
                             .rate_hz = rate,
                             .samples = samples,
                             .about = {.format = BW_SOUND_WAV, .bits = 16}};
}

// Binds `json` as any door would; recordings are named "now" and "then".
struct door {
    const struct bw_sound *now, *then;
};
static bool load(void *door_, const struct bw_file_kind *kind, const char *name,
                 struct bw_file *out, struct bw_binding *binding, struct bw_err *err) {
    const struct door *door = door_;
    if (kind->medium != BW_MEDIUM_SOUND) return bw_load_file(NULL, kind, name, out, binding, err);
    *out = (struct bw_file){.name = name,
                            .content = strcmp(name, "then") == 0 ? door->then : door->now};
    return true;
}

static bool ask(struct heard *heard, const struct door *door, const char *json) {
    struct bw_binding binding = {
        .arena = heard->arena, .load = load, .door = (void *)(uintptr_t)door};
    struct bw_run run = {.arena = heard->arena};
    struct bw_node *root = NULL;
    const void *in;
    void *out = NULL;
    bool ok = bw_json_read(heard->arena, "", json, strlen(json), &root, &heard->err) &&
              bw_study_bind(&bw_study_listen, &binding, root, &in, &heard->err) &&
              bw_study_run(&bw_study_listen, &run, in, &out, &heard->err);
    heard->out = out;
    return ok;
}

static struct heard must_hear(const struct bw_sound *now, const struct bw_sound *then,
                              const char *json) {
    struct heard heard = {.arena = bw_arena_new(0)};
    const struct door door = {now, then};
    if (!ask(&heard, &door, json)) fail_msg("%s: %s", heard.err.field, heard.err.what);
    return heard;
}

static const char *const WITH_FILE =
    "{\"sound\": \"now\", \"machine\": \"examples/one-head.yaml\", \"head\": 1}";

static const struct listen_speed *speed(const struct listen_output *out, const char *id) {
    const struct listen_speed *items = out->speeds.items;
    for (size_t i = 0; i < out->speeds.n; i++)
        if (items[i].id != NULL && strcmp(items[i].id, id) == 0) return &items[i];
    fail_msg("%s was not heard", id);
    return NULL;
}

static void near_truth(const struct listen_output *out, const char *id, double truth) {
    const struct listen_speed *s = speed(out, id);
    assert_true(fabs(s->rate.v / truth - 1) < 0.002);
    assert_true(fabs(s->rate.v - truth) < 4 * s->rate.sd);
    assert_int_equal(s->decided, 1);
}

static const struct listen_bearing *bearing(const struct listen_output *out) {
    assert_int_equal(out->bearings.n, 1);
    const struct listen_bearing *b = out->bearings.items;
    double sum = b->cage.v + b->element.v + b->outer.v + b->inner.v + b->none.v + b->unknown.v;
    assert_true(fabs(sum - 1) < 1e-9);
    return b;
}

static float *made(struct bw_arena *arena, enum shop_fault fault, double cut, size_t *n) {
    struct sounds_scene scene = shop_scene(&ONE_HEAD, fault, cut, 21);
    float *samples = sounds_make(arena, &scene, n);
    assert_non_null(samples);
    return samples;
}

static void speeds_are_true_and_its_bearing_sound(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    size_t n;
    float *samples = made(arena, SHOP_SOUND, 0.04, &n);
    struct bw_sound sound = sound_of(samples, n, 8000);
    struct heard heard = must_hear(&sound, NULL, WITH_FILE);
    near_truth(heard.out, "head1.splice", ONE_HEAD.splice);
    near_truth(heard.out, "head1.drum", ONE_HEAD.drum);
    near_truth(heard.out, "head1.roller1", ONE_HEAD.roller);
    near_truth(heard.out, "head1.motor", ONE_HEAD.motor);
    const struct listen_belt *belt = heard.out->belts.items;
    double truth = ONE_HEAD.splice * 75 * 0.0254;  // the file's belt length is the true one here
    assert_true(fabs(belt->found.v - truth) < 2 * belt->found.sd);
    assert_true(belt->found.sd < 0.005 * truth);
    assert_int_equal(bearing(heard.out)->part, LISTEN_NONE);
    bw_arena_free(heard.arena);
    bw_arena_free(arena);
}

static void a_damaged_race_is_named(enum shop_fault fault, int part) {
    struct bw_arena *arena = bw_arena_new(0);
    size_t n;
    float *samples = made(arena, fault, 0, &n);
    struct bw_sound sound = sound_of(samples, n, 8000);
    struct heard heard = must_hear(&sound, NULL, WITH_FILE);
    const struct listen_bearing *b = bearing(heard.out);
    assert_int_equal(b->part, part);
    assert_true(b->harmonics >= 2);
    double order = part == LISTEN_OUTER ? 3.584776 * 1.002 : 5.415224 * 0.999;
    assert_true(fabs(b->rate.v / (order * ONE_HEAD.drum) - 1) < 0.001);
    if (fault == SHOP_INNER) assert_true(b->sidebands >= 2);
    bw_arena_free(heard.arena);
    bw_arena_free(arena);
}

static void damaged_races_are_named(void **state) {
    (void)state;
    a_damaged_race_is_named(SHOP_OUTER, LISTEN_OUTER);
    a_damaged_race_is_named(SHOP_INNER, LISTEN_INNER);
}

// Without a machine file: a bearing and its shaft, given by hand, the speed 1 % wrong.
static void a_bearing_may_be_given(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    size_t n;
    float *samples = made(arena, SHOP_OUTER, 0, &n);
    struct bw_sound sound = sound_of(samples, n, 8000);
    struct heard heard = must_hear(&sound, NULL,
                                   "{\"sound\": \"now\", \"bearing\": \"6205-2RS\", "
                                   "\"shaft\": \"2105 rpm\"}");
    assert_int_equal(bearing(heard.out)->part, LISTEN_OUTER);
    assert_true(fabs(bearing(heard.out)->shaft.v / ONE_HEAD.drum - 1) < 0.001);
    bw_arena_free(heard.arena);
    bw_arena_free(arena);
}

static void two_recordings_are_compared(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    size_t n, m;
    float *before = made(arena, SHOP_OUTER, 0, &n), *after = made(arena, SHOP_SOUND, 0, &m);
    struct bw_sound now = sound_of(after, m, 8000), then = sound_of(before, n, 8000);
    for (size_t i = 0; i < m; i++) after[i] *= 0.25f;  // everything 12 dB quieter
    struct heard heard = must_hear(&now, &then,
                                   "{\"sound\": \"now\", \"other\": \"then\", \"head\": 1, "
                                   "\"machine\": \"examples/one-head.yaml\"}");
    const struct listen_change *changes = heard.out->changes.items;
    assert_true(heard.out->changes.n >= 5);
    assert_string_equal(changes[0].verdict, "quieter now");
    assert_true(fabs(changes[0].change.v + 12) < 1);
    assert_string_equal(changes[heard.out->changes.n - 1].verdict,
                        "none; in the other: outer race");
    bw_arena_free(heard.arena);
    bw_arena_free(arena);
}

// --- recordings that are not good ----------------------------------------------------------------

static void a_clipped_recording_is_limited(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    size_t n;
    float *samples = made(arena, SHOP_SOUND, 0.04, &n);
    for (size_t i = 0; i < n; i++) samples[i] = fmaxf(-0.06f, fminf(0.06f, samples[i]));
    struct bw_sound sound = sound_of(samples, n, 8000);
    struct heard heard = must_hear(&sound, NULL, WITH_FILE);
    assert_int_equal(heard.out->recording->use, LISTEN_LIMITED);
    assert_true(heard.out->recording->clipped.v > 0.001);
    near_truth(heard.out, "head1.splice", ONE_HEAD.splice);
    bw_arena_free(heard.arena);
    bw_arena_free(arena);
}

static void a_short_recording_says_so(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    size_t n;
    float *samples = made(arena, SHOP_OUTER, 0, &n);
    struct bw_sound sound = sound_of(samples, 8000, 8000);  // a second: 14 turns of the cage
    struct heard heard = must_hear(&sound, NULL, WITH_FILE);
    assert_int_equal(heard.out->recording->use, LISTEN_UNUSABLE);
    assert_int_equal(bearing(heard.out)->part, LISTEN_UNKNOWN);
    assert_true(bearing(heard.out)->none.v == 0);
    bw_arena_free(heard.arena);
    bw_arena_free(arena);
}

static void hum_is_told(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    size_t n;
    float *samples = made(arena, SHOP_SOUND, 0, &n);
    for (size_t i = 0; i < n; i++)
        samples[i] += 0.3f * (float)sin(2 * M_PI * 60 * (double)i / 8000);
    struct bw_sound sound = sound_of(samples, n, 8000);
    struct heard heard = must_hear(&sound, NULL, WITH_FILE);
    assert_true(heard.out->recording->hum.v > 0.8);
    bw_arena_free(heard.arena);
    bw_arena_free(arena);
}

// Noise alone: nothing turns, nothing is damaged.
static void noise_says_nothing(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct sounds_scene scene = {.sample_hz = 8000, .seconds = 30, .noise = 0.1, .seed = 5};
    size_t n;
    float *samples = sounds_make(arena, &scene, &n);
    struct bw_sound sound = sound_of(samples, n, 8000);
    struct heard heard = must_hear(&sound, NULL, WITH_FILE);
    assert_int_equal(heard.out->speeds.n, 0);
    assert_int_equal(bearing(heard.out)->part, LISTEN_NONE);
    bw_arena_free(heard.arena);
    bw_arena_free(arena);
}

static void refuses(const struct bw_sound *sound, const char *json, const char *field,
                    const char *what) {
    struct heard heard = {.arena = bw_arena_new(0)};
    const struct door door = {sound, NULL};
    assert_false(ask(&heard, &door, json));
    assert_string_equal(heard.err.field, field);
    if (strstr(heard.err.what, what) == NULL) fail_msg("%s", heard.err.what);
    bw_arena_free(heard.arena);
}

static void what_cannot_be_heard_is_refused(void **state) {
    (void)state;
    static float flat[4000];
    struct bw_sound sound = sound_of(flat, 4000, 8000);
    refuses(&sound, "{\"sound\": \"now\"}", "", "silent");
    refuses(&sound, "{\"sound\": \"now\", \"channel\": 2}", "channel", "no channel 2");
    refuses(&sound, "{\"sound\": \"now\", \"bearing\": \"6205\"}", "shaft", "needs its shaft");
    refuses(&sound, "{\"sound\": \"now\", \"head\": 1}", "head", "machine file");
    sound.rate_hz = 0;
    refuses(&sound, "{\"sound\": \"now\"}", "rate", "no column of times");
    sound = sound_of(flat, 500, 8000);
    refuses(&sound, "{\"sound\": \"now\"}", "", "too few");
    flat[7] = NAN;
    sound = sound_of(flat, 4000, 8000);
    refuses(&sound, "{\"sound\": \"now\"}", "", "no number");
    flat[7] = 0.5f;
    refuses(&sound, "{\"sound\": \"now\", \"bearing\": \"nosuch\", \"shaft\": \"1480 rpm\"}",
            "bearing", "not known");
    flat[7] = 0;
}

// --- memory --------------------------------------------------------------------------------------

static bool whole_run(void *with) {
    struct heard heard = {.arena = bw_arena_new(0)};
    const struct door door = {with, with};
    bool ok = heard.arena != NULL && ask(&heard, &door,
                                         "{\"sound\": \"now\", \"other\": \"then\", \"machine\": "
                                         "\"examples/one-head.yaml\"}");
    if (!ok && heard.arena != NULL) assert_int_equal(heard.err.code, BW_MEMORY);
    bw_arena_free(heard.arena);
    return ok;
}

static void running_out_of_memory_is_told(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    size_t n;
    float *samples = made(arena, SHOP_OUTER, 0, &n);
    struct bw_sound sound = sound_of(samples, 4000, 8000);
    assert_true(torture(whole_run, &sound) > 50);
    bw_arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(speeds_are_true_and_its_bearing_sound),
        cmocka_unit_test(damaged_races_are_named),
        cmocka_unit_test(a_bearing_may_be_given),
        cmocka_unit_test(two_recordings_are_compared),
        cmocka_unit_test(a_clipped_recording_is_limited),
        cmocka_unit_test(a_short_recording_says_so),
        cmocka_unit_test(hum_is_told),
        cmocka_unit_test(noise_says_nothing),
        cmocka_unit_test(what_cannot_be_heard_is_refused),
        cmocka_unit_test(running_out_of_memory_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
