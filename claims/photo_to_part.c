// photo_to_part.c - claim: from a rendered photo to the part that left the mark.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Photos are rendered from our own forward model: that shows what the chain can do where the model
// holds, never an accuracy in the field. The machines are those of examples/; what is true of each
// (speeds, lengths, diameters, rates) is drawn from what its file states. Every mark fades across
// the width to between 0.3 and 1, is rubbed out in one place, wanders by 2 % of its pitch from mark
// to mark, and the panel slips by up to 3 % at its nose. Pencil lines are drawn 500 mm apart to
// 0.3 mm and pointed at to half a pixel; the feed is from a film (0.25 %).
//
// Each photo is judged twice: with belt speeds off the plate, as the file has them, and with the
// rate of each splice recorded (0.32 %). "Decidable" is worked out here from what was drawn: no
// other part, at any harmonic its marks usually have up to the second (for belts, as many as they
// have joints), comes within 2.5 sd of what such readings leave uncertain between the two.
//
//   claim_photo_to_part [--sample] [--cases N] [--seed N] [--csv FILE]
#include "base/bind.h"
#include "base/format.h"
#include "base/number.h"
#include "machine/model.h"
#include "numeric/random.h"
#include "photos/jpeg.h"
#include "read/picture.h"
#include "study/marks/marks.h"
#include "study/marks/record.h"
#include "study/study.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FEED_SD 0.0025
#define PLATE_SD 0.05
#define RECORDED_SD 0.0032
#define LINE_SD 0.3e-3  // m
#define WANDER 0.02
#define POINTING 0.5        // pixels
#define LEAST_PITCH 3.5e-3  // m: ten pixels and a bit
#define MOST_PITCH 0.045    // m: ten of them in the picture

static uint64_t rng;
static double between(double a, double b) { return bw_random_between(&rng, a, b); }
static double normal(void) { return bw_random_normal(&rng); }

// --- a machine: what is true of it ---------------------------------------------------------------

static const char *const MACHINES[] = {"three-head", "two-head", "one-head"};
enum { MACHINE_COUNT = 3, MOST_VARIABLES = 200 };

struct truth {
    const char *name;
    struct bw_machine *machine;  // as the file has it; belt speeds are changed for the second look
    struct bw_model *model;
    double z[MOST_VARIABLES];  // the logarithms that are true
    double feed;               // m/s
};

static bool load(struct bw_arena *arena, struct truth *t, struct bw_err *err) {
    char path[100];
    (void)snprintf(path, sizeof path, "examples/%s.yaml", t->name);
    struct bw_binding binding = {.arena = arena};
    struct bw_file file;
    if (!bw_load_file(NULL, &bw_machine_file, path, &file, &binding, err)) return false;
    t->machine = bw_arena_get(arena, sizeof *t->machine);
    if (t->machine == NULL) return bw_fail_memory(err);
    *t->machine = *(const struct bw_machine *)file.content;
    return bw_model_build(arena, t->machine, &t->model, err);
}

static void draw_truth(struct truth *t) {
    const struct bw_gauss *belief = t->model->belief;
    for (int i = 0; i < belief->n; i++) {
        double sd = sqrt(belief->covariance[i * belief->capacity + i]);
        t->z[i] = belief->mean[i] + sd * normal();
    }
    double low = t->machine->feed_min.v, high = t->machine->feed_max.v;
    t->feed = between(low + 0.15 * (high - low), low + 0.8 * (high - low));
}

static double pitch_of(const struct truth *t, const struct bw_source *source) {
    double value = source->form.constant;
    for (int k = 0; k < source->form.n; k++)
        value += source->form.terms[k].coefficient * t->z[source->form.terms[k].variable];
    return source->timed ? t->feed / exp(value) : exp(value);
}

// --- the fault -----------------------------------------------------------------------------------

// Shares of the faults that are photographed: an estimate (common practice, no source).
static enum bw_part draw_part(void) {
    double u = bw_random_uniform(&rng);
    return u < 0.40   ? BW_PART_SPLICE
           : u < 0.65 ? BW_PART_DRUM
           : u < 0.75 ? BW_PART_ROLLER
           : u < 0.85 ? BW_PART_MOTOR
                      : BW_PART_FEED_DRIVE;
}

// The head that writes it: its own, or for the feed's parts the last.
static size_t writer(const struct truth *t, const struct bw_source *source) {
    return source->head >= 0 ? (size_t)source->head : t->machine->heads.n - 1;
}

static double share_left(const struct truth *t, const struct bw_source *source, double pitch) {
    return bw_head_height(bw_machine_head(t->machine, writer(t, source)), pitch).share;
}

// m that the heads after `head` take off together.
static const double TAKES[] = {0.3e-3, 0.1e-3, 0.03e-3};
static double taken_later(const struct truth *t, size_t head) {
    size_t heads = t->machine->heads.n;
    double later = 0;
    for (size_t i = head + 1; i < heads; i++) later += TAKES[i + 3 - heads];
    return later;
}

// Under a steel drum no valley is deeper than the ridge beside it is high: what later heads take
// more than that leaves nothing.
static bool survives(const struct truth *t, const struct bw_source *source, double pitch) {
    const struct bw_head *head = bw_machine_head(t->machine, writer(t, source));
    if (!bw_head_press(head).displacement) return true;
    return bw_head_height(head, pitch).ridge > taken_later(t, writer(t, source)) + 3e-6;
}

// A part of that kind whose marks a photo can show at the feed drawn; NULL: none.
static const struct bw_source *draw_fault(const struct truth *t, enum bw_part part) {
    for (int tries = 0; tries < 200; tries++) {
        const struct bw_source *source =
            &t->model->sources[(int)(bw_random_uniform(&rng) * t->model->n_sources)];
        if (source->part != part) continue;
        double pitch = pitch_of(t, source);
        if (pitch < LEAST_PITCH || pitch > MOST_PITCH) continue;
        // Nobody photographs what the pad has smoothed away.
        if (share_left(t, source, pitch) < 0.15 || !survives(t, source, pitch)) continue;
        return source;
    }
    return NULL;
}

// --- the panel and the photo ---------------------------------------------------------------------

enum { MOST_HEADS_HERE = 4 };
struct shot {
    struct scene scene;
    struct bw_pass passes[MOST_HEADS_HERE];
    struct bw_imprint imprint;
    struct bw_patch patch;
    double line_gap;  // m, what was drawn as 500 mm
};

static void draw_panel(const struct truth *t, const struct bw_source *source, struct shot *shot) {
    size_t heads = t->machine->heads.n, own = writer(t, source);
    double pitch = pitch_of(t, source), later = taken_later(t, own);
    for (size_t i = 0; i < heads; i++)
        shot->passes[i] = bw_surface_pass(bw_machine_head(t->machine, i), TAKES[i + 3 - heads]);
    bool bump = source->part == BW_PART_SPLICE;
    bool pad = shot->passes[own].law == BW_LAW_PRESSURE;
    // Slopes that a low light turns into 1 to 4 % of contrast; of what a pad weakens, and later
    // heads cut off all but the valleys of, more is needed.
    double seen = between(0.0012, 0.005) * pitch / (2 * M_PI);
    double share = pad ? share_left(t, source, pitch) : 1;
    double comb = pad ? fmin(1, 2 * shot->passes[own].contact / pitch) * share : 1;
    double depth = bump ? seen / fmax(comb, 0.05) + later : (seen + later) / share;
    double left = bump ? depth : depth * share;  // of it, under the pad
    shot->imprint = (struct bw_imprint){
        .kind = bump ? BW_IMPRINT_BUMP : BW_IMPRINT_WAVE,
        .pitch = pitch,
        .depth = depth,
        .phase = bw_random_uniform(&rng),
        .slant = bump && !isnan(source->lean) ? source->lean * pitch : 0,
        .wander = WANDER,
        .seed = bw_random_next(&rng),
    };
    shot->passes[own].imprints = &shot->imprint;
    shot->passes[own].n = 1;
    shot->patch = (struct bw_patch){between(0.1, 0.5), between(0.08, 0.28), between(0.04, 0.09),
                                    between(0.03, 0.07), between(0.5, 1)};
    double fade = between(0.3, 1);
    shot->scene.panel = (struct bw_panel){
        .length = 0.62,
        .width = 0.36,
        .step = 0.25e-3,
        .fade = (later + fade * (left - later)) / left,
        .travel = {.lead_slip = -between(0, 0.03), .lead_length = 0.08},
        .passes = shot->passes,
        .n_passes = heads,
        .patches = &shot->patch,
        .n_patches = 1,
    };
}

static void draw_photo(struct shot *shot) {
    struct scene *s = &shot->scene;
    s->wood = (enum wood)(int)(bw_random_uniform(&rng) * 3);
    s->seed = bw_random_next(&rng) >> 20;
    s->torch = (struct torch){-between(0.6, 1.0), between(0.1, 0.25), between(0.11, 0.17), 0.1};
    s->camera = (struct camera){.width = 1640,
                                .height = 880,
                                .x = 0.290,
                                .y = 0.170,
                                .pixel = 0.333e-3,
                                .turn = 0.02 * normal(),
                                .tilt_x = 0.01 * normal(),
                                .tilt_y = 0.02 * normal(),
                                .shade = 0.15,
                                .noise = 2.2,
                                .quality = 85};
    shot->line_gap = 0.5 + LINE_SD * normal();
    s->pencil = (struct pencil){true, 0.040, 0.040 + shot->line_gap, 0.45, 0.045};
}

// Where somebody points who means a place of the panel.
static void point_at(const struct camera *camera, double x, double y, double out[2]) {
    camera_pixel(camera, x, y, &out[0], &out[1]);
    out[0] += POINTING * normal();
    out[1] += POINTING * normal();
}

struct photo_taken {
    struct bw_picture picture;
    char ends[100];  // of the line between the pencil lines
};

static bool take_photo(struct bw_arena *arena, const struct shot *shot, struct photo_taken *out,
                       struct bw_err *err) {
    struct pixels pixels;
    if (!scene_render(arena, &shot->scene, &pixels, err)) return false;
    size_t size;
    unsigned char *bytes = jpeg_write(&pixels, shot->scene.camera.quality, &size);
    int width, height;
    unsigned char *luma = jpeg_luma(arena, bytes, size, &width, &height);
    free(bytes);
    float *linear = bw_arena_array(arena, 256, sizeof *linear);
    if (luma == NULL || linear == NULL) return bw_fail_memory(err);
    for (int i = 0; i < 256; i++) {
        double v = i / 255.0;
        linear[i] = (float)(v <= 0.04045 ? v / 12.92 : pow((v + 0.055) / 1.055, 2.4));
    }
    out->picture = (struct bw_picture){.width = (uint32_t)width,
                                       .height = (uint32_t)height,
                                       .bits = 8,
                                       .codes = luma,
                                       .linear = linear};
    double y = between(0.10, 0.25), a[2], b[2];
    point_at(&shot->scene.camera, shot->scene.pencil.first, y, a);
    point_at(&shot->scene.camera, shot->scene.pencil.second, y, b);
    (void)bw_format(out->ends, sizeof out->ends, "%.1f,%.1f %.1f,%.1f", a[0], a[1], b[0], b[1]);
    return true;
}

// --- asking --------------------------------------------------------------------------------------

struct answer {
    int sets;
    double pitch, probability;  // of the set nearest the truth; of its first part
    const char *id, *second;    // "" none
};

// Belt speeds as a recording of each splice would give them.
static bool record_speeds(struct bw_arena *arena, struct truth *t) {
    struct bw_head *heads = bw_arena_array(arena, t->machine->heads.n, sizeof *heads);
    if (heads == NULL) return false;
    for (size_t i = 0; i < t->machine->heads.n; i++) {
        heads[i] = *bw_machine_head(t->machine, i);
        struct bw_belt *belt = bw_arena_get(arena, sizeof *belt);
        if (belt == NULL) return false;
        *belt = *heads[i].belt;
        int variable = t->model->belt_speed[i];
        double v = exp(t->z[variable]) * exp(RECORDED_SD * normal());
        belt->speed = bw_about(v, RECORDED_SD * v);
        heads[i].belt = belt;
    }
    t->machine->heads.items = heads;
    return true;
}

static bool ask(struct bw_arena *arena, const struct truth *t, const struct photo_taken *photo,
                struct bw_quantity feed, struct answer *out) {
    struct marks_input in;
    bw_record_clear(&marks_input_record, &in);
    struct marks_line line = {photo->ends, bw_exactly(0.5)};
    in.picture = (struct bw_file){.name = "rendered", .content = &photo->picture};
    in.machine = (struct bw_file){.name = t->name, .content = t->machine};
    in.feed = feed;
    in.lines = (struct bw_list){&line, 1};
    in.along = ALONG_X;
    in.skew = bw_exactly(0);
    struct marks_output answer;
    struct bw_run run = {.arena = arena, .seed = 1};
    struct bw_err err = {0};
    *out = (struct answer){.id = "", .second = ""};
    if (!bw_study_marks.run(&run, &in, &answer, &err)) {
        bw_err_print(&err, stderr);
        return false;
    }
    out->sets = (int)answer.mark_sets.n;
    if (out->sets == 0) return true;
    const struct marks_answer *set = answer.mark_sets.items;  // the surest
    out->pitch = set->pitch.v;
    const struct marks_source *sources = set->sources.items;
    if (set->sources.n > 0) {
        out->id = sources[0].id;
        out->probability = sources[0].probability.v;
    }
    if (set->sources.n > 1) out->second = sources[1].id;
    return true;
}

// --- is it decidable? ----------------------------------------------------------------------------

// What two parts' pitches can differ by through what is not known, relative: belt speeds, lengths
// and diameters.
static double apart_sd(const struct bw_source *a, const struct bw_source *b, double speed_sd) {
    double own = 0.006;  // lengths, tape, scale of the photo, slip
    if (a->part == BW_PART_DRUM || b->part == BW_PART_DRUM) own = hypot(own, 0.015);
    if (a->wide || b->wide) own = hypot(own, 0.3);  // a diameter the file does not have
    bool belt_a = a->timed && a->head >= 0 && a->part != BW_PART_MOTOR;
    bool belt_b = b->timed && b->head >= 0 && b->part != BW_PART_MOTOR;
    // Each is where its own belt's speed puts it; one belt's two parts move together, but the mark
    // itself has no clock, so that does not help.
    if (belt_a) own = hypot(own, speed_sd);
    if (belt_b) own = hypot(own, speed_sd);
    return hypot(own, FEED_SD);
}

static bool decidable(const struct truth *t, const struct bw_source *fault, double speed_sd) {
    double pitch = pitch_of(t, fault);
    if (fault->wide) return false;
    for (int i = 0; i < t->model->n_sources; i++) {
        const struct bw_source *other = &t->model->sources[i];
        if (other == fault || other->part == BW_PART_BEAT || other->n_harmonics == 0) continue;
        if (other->part == BW_PART_UNLISTED_TIMED || other->part == BW_PART_UNLISTED_PACED)
            continue;
        double sd = apart_sd(fault, other, speed_sd);
        if (other->part == BW_PART_PLANER) sd = hypot(sd, 0.10);
        for (int k = 1; k <= 2; k++)
            if (fabs(log(pitch_of(t, other) / k / pitch)) < 2.5 * sd) return false;
    }
    return true;
}

// --- running and counting ------------------------------------------------------------------------

enum tier { PLATE, RECORDED, TIERS };
static const char *const TIER_NAMES[] = {"plate speeds", "splices recorded"};

struct tally {
    int decidable, right, all_right;
};

static bool one_case(struct bw_arena *arena, int number, struct tally tally[TIERS], int *found,
                     FILE *csv) {
    struct truth t = {.name = MACHINES[number % MACHINE_COUNT]};
    struct bw_err err = {0};
    struct shot shot = {0};
    struct photo_taken photo;
    if (!load(arena, &t, &err)) goto failed;
    const struct bw_source *fault = NULL;
    for (enum bw_part part = draw_part(); fault == NULL;) {
        draw_truth(&t);
        fault = draw_fault(&t, part);
        // Not every machine shows every part, whatever the feed.
        if (fault == NULL && bw_random_uniform(&rng) < 0.05) part = draw_part();
    }
    draw_panel(&t, fault, &shot);
    draw_photo(&shot);
    if (!take_photo(arena, &shot, &photo, &err)) goto failed;
    double pitch = pitch_of(&t, fault);
    struct bw_quantity feed = bw_about(t.feed * exp(FEED_SD * normal()), FEED_SD * t.feed);
    bool can[TIERS] = {decidable(&t, fault, PLATE_SD), decidable(&t, fault, RECORDED_SD)};
    if (csv != NULL)
        (void)fprintf(csv, "%d,%s,%.3f,%s,%.4f", number, t.name, t.feed * 60, fault->id,
                      pitch * 1e3);
    for (int tier = 0; tier < TIERS; tier++) {
        struct answer answer;
        if (tier == RECORDED && !record_speeds(arena, &t)) goto failed;
        if (!ask(arena, &t, &photo, feed, &answer)) return false;
        bool right = strcmp(answer.id, fault->id) == 0;
        tally[tier].decidable += can[tier];
        tally[tier].right += can[tier] && right;
        tally[tier].all_right += right;
        if (tier == PLATE) *found += answer.sets > 0 && fabs(answer.pitch / pitch - 1) < 0.02;
        if (csv == NULL) continue;
        if (tier == PLATE) (void)fprintf(csv, ",%d,%.4f", answer.sets, answer.pitch * 1e3);
        (void)fprintf(csv, ",%d,%s,%.3f,%s", can[tier], answer.id, answer.probability,
                      answer.second);
    }
    if (csv != NULL) (void)fputc('\n', csv);
    return true;
failed:
    bw_err_print(&err, stderr);
    return false;
}

static long number(const char *text, long otherwise) {
    long value;
    struct bw_err err = {0};
    if (text == NULL) return otherwise;
    if (bw_count(text, strlen(text), 0, 1000000, &value, &err)) return value;
    bw_err_print(&err, stderr);
    exit(2);
}

static const char *option(int argc, char **argv, const char *name) {
    for (int i = 1; i + 1 < argc; i++)
        if (strcmp(argv[i], name) == 0) return argv[i + 1];
    return NULL;
}

static bool flag(int argc, char **argv, const char *name) {
    for (int i = 1; i < argc; i++)
        if (strcmp(argv[i], name) == 0) return true;
    return false;
}

int main(int argc, char **argv) {
    bool sample = flag(argc, argv, "--sample");
    int cases = (int)number(option(argc, argv, "--cases"), sample ? 3 : 60);
    uint64_t seed = (uint64_t)number(option(argc, argv, "--seed"), 1);
    const char *path = option(argc, argv, "--csv");
    FILE *csv = path == NULL ? NULL : fopen(path, "w");
    if (path != NULL && csv == NULL) {
        perror(path);
        return 1;
    }
    if (csv != NULL)
        (void)fputs("case,machine,feed [m/min],fault,true pitch [mm],sets,found pitch [mm],"
                    "decidable by plate,first by plate,probability,second by plate,"
                    "decidable recorded,first recorded,probability,second recorded\n",
                    csv);
    struct tally tally[TIERS] = {{0, 0, 0}, {0, 0, 0}};
    int found = 0;
    bool done = true;
    for (int i = 0; done && i < cases; i++) {
        rng = seed * 1000003u + (uint64_t)i;
        struct bw_arena *arena = bw_arena_new(0);
        done = arena != NULL && one_case(arena, i, tally, &found, csv);
        bw_arena_free(arena);
    }
    if (csv != NULL && fclose(csv) != 0) done = false;
    printf("%d rendered photos, seed %llu: pitch within 2 %% in %d\n", cases,
           (unsigned long long)seed, found);
    for (int tier = 0; tier < TIERS; tier++)
        printf("%-17s decidable %2d, of these the true part first %2d; of all %2d\n",
               TIER_NAMES[tier], tally[tier].decidable, tally[tier].right, tally[tier].all_right);
    // The sample is too small for the 90 % asked of sixty; it must not be far off it.
    bool good = done;
    for (int tier = 0; tier < TIERS; tier++)
        good = good && tally[tier].right >= (sample ? 0.6 : 0.9) * tally[tier].decidable;
    printf("%s - photo to part\n", good ? "ok" : "not ok");
    return good ? 0 : 1;
}
