// surface.c - see surface.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method. Displacement: a circle rolling over the panel takes everything it sweeps, so the face is
// the lower envelope of one arc shifted along. Two shifts of one convex arc cross at most once,
// which makes the distance transform of Felzenszwalb and Huttenlocher ("Distance Transforms of
// Sampled Functions", 2012, algorithm 1) exact for circles too: a stack of arcs in order of their
// place, each popped when its successor takes over before it began. Pressure: the removal is the
// pressure summed while the place is under the pad, so the profile is the running mean of the
// disturbance over the contact length, here by prefix sums. A splice passes the nip in a
// millisecond, which is a tenth of a millimetre of feed, so it is a single arc or a single box.
//
// Limits. A pad that gives way to the incoming face's own waves is not modelled: every head cuts to
// its plane. Elastic recovery, scratch and wood figure are the picture's business, not this file's.
// Rejected: parabolas for the arcs, which save nothing and err by p^4/(128 R^3).
#include "machine/surface.h"

#include "machine/contact.h"
#include "numeric/random.h"

#include <math.h>
#include <string.h>

#define MOST_PLACES 64e6

// --- lower envelope of circles -------------------------------------------------------------------

// Height of the arc above its lowest point, dx away from it.
static double arc(double dx, double radius) {
    double d = fabs(dx);
    if (d > radius) return (double)INFINITY;
    return d * d / (radius + sqrt((radius - d) * (radius + d)));
}

// Where circle b, standing further along, takes over from circle a: where their lower halves cross,
// or the end of the arc that decides where they do not.
static double takeover(double a, double low_a, double b, double low_b, double radius) {
    double half = (b - a) / 2, rise = (low_b - low_a) / 2;
    double square = half * half + rise * rise;
    if (half >= radius) return (a + b) / 2;
    if (square > 0 && square < radius * radius) {
        double reach = sqrt(radius * radius - square) / sqrt(square);
        if (half * reach >= fabs(rise)) return (a + b) / 2 + rise * reach;
    }
    return low_a <= low_b ? a + radius : b - radius;
}

bool bw_surface_envelope(struct bw_arena *arena, struct bw_circles circles, double radius,
                         struct bw_line line, double *out) {
    size_t *kept = bw_arena_array(arena, circles.n + 1, sizeof *kept);
    double *from = bw_arena_array(arena, circles.n + 1, sizeof *from);
    if (kept == NULL || from == NULL) return false;
    size_t n = 0;
    for (size_t i = 0; i < circles.n; i++) {
        double begin = -(double)INFINITY;
        while (n > 0) {
            size_t last = kept[n - 1];
            begin = takeover(circles.at[last], circles.low[last], circles.at[i], circles.low[i],
                             radius);
            if (begin > from[n - 1]) break;
            begin = -(double)INFINITY;
            n--;
        }
        kept[n] = i;
        from[n++] = begin;
    }
    size_t k = 0;
    for (size_t i = 0; i < line.n; i++) {
        double x = line.start + line.step * (double)i;
        while (k + 1 < n && from[k + 1] <= x) k++;
        out[i] =
            n == 0 ? (double)INFINITY : circles.low[kept[k]] + arc(x - circles.at[kept[k]], radius);
    }
    return true;
}

// --- running mean --------------------------------------------------------------------------------

// Sum of the values from the line's first edge to `steps` steps along, the ends going on.
static double sum_to(const double *sums, const double *values, size_t n, double steps) {
    if (steps <= 0) return steps * values[0];
    if (steps >= (double)n) return sums[n] + (steps - (double)n) * values[n - 1];
    size_t whole = (size_t)steps;
    return sums[whole] + (steps - (double)whole) * values[whole];
}

bool bw_surface_running_mean(struct bw_arena *arena, const double *values, struct bw_line line,
                             double contact, double *out) {
    if (contact <= line.step) {  // shorter than a step: nothing to average
        memmove(out, values, line.n * sizeof *out);
        return true;
    }
    double *sums = bw_arena_array(arena, line.n + 1, sizeof *sums);
    if (sums == NULL) return false;
    for (size_t i = 0; i < line.n; i++) sums[i + 1] = sums[i] + values[i];
    double wide = contact / line.step;
    for (size_t i = 0; i < line.n; i++) {
        double middle = (double)i + 0.5;
        out[i] = (sum_to(sums, values, line.n, middle + wide / 2) -
                  sum_to(sums, values, line.n, middle - wide / 2)) /
                 wide;
    }
    return true;
}

// --- travel --------------------------------------------------------------------------------------

static double slip_at(const struct bw_travel *t, double length, double x) {
    double slip = 0;
    if (t->lead_length > 0) slip += t->lead_slip * exp(-x / t->lead_length);
    if (t->tail_length > 0) slip += t->tail_slip * exp((x - length) / t->tail_length);
    return slip;
}

void bw_surface_travel(const struct bw_travel *travel, double length, struct bw_line line,
                       double *out) {
    uint64_t random = travel->seed;
    double until = 0, stuck = 0, sum = line.start;
    for (size_t i = 0; i < line.n; i++) {
        double x = line.start + line.step * (double)i;
        if (travel->stick > 0 && x >= until) {
            stuck = travel->stick * bw_random_normal(&random);
            until = x - travel->stick_length * log(bw_random_uniform(&random));
        }
        out[i] = sum;
        double faster = slip_at(travel, length, x + line.step / 2) + stuck;
        sum += line.step / fmax(1 + faster, 0.05);  // it never stands still for good
    }
}

// --- one imprint along the line ------------------------------------------------------------------

// A row of the panel being cut by one head.
struct row {
    struct bw_line line;
    const double *travel;
    double y, fade;
    double *wave;      // sum of the waves, downwards negative
    double *at, *low;  // bumps
    size_t n, room;
};

// Turns by which an imprint has run ahead of its mean after k of them: a random walk, held in a
// table so that every row sees the same one.
struct walk {
    double *ahead;
    size_t n;
    double first;  // turn number of ahead[0]
};

static bool walk_make(struct bw_arena *arena, const struct bw_imprint *imprint, double low,
                      double high, struct walk *out) {
    out->first = floor(low) - 1;
    out->n = (size_t)(ceil(high) - out->first) + 3;
    out->ahead = bw_arena_array(arena, out->n, sizeof *out->ahead);
    if (out->ahead == NULL) return false;
    uint64_t random = imprint->seed;
    for (size_t i = 1; i < out->n; i++)
        out->ahead[i] = out->ahead[i - 1] + imprint->wander * bw_random_normal(&random);
    return true;
}

// Turns done when `turns` of an even part would be done.
static double walked(const struct walk *walk, double turns) {
    double k = turns - walk->first;
    size_t i = k < 0 ? 0 : (size_t)k;
    if (i + 1 >= walk->n) i = walk->n - 2;
    return turns + walk->ahead[i] + (k - (double)i) * (walk->ahead[i + 1] - walk->ahead[i]);
}

static double turns_at(const struct bw_imprint *imprint, const struct walk *walk,
                       const struct row *row, size_t i) {
    double turns = (row->travel[i] - imprint->slant * row->y) / imprint->pitch + imprint->phase;
    return walked(walk, turns);
}

static void press_wave(const struct bw_imprint *imprint, const struct walk *walk, struct row *row) {
    for (size_t i = 0; i < row->line.n; i++)
        row->wave[i] -=
            row->fade * imprint->depth * cos(2 * M_PI * turns_at(imprint, walk, row, i));
}

static void press_bumps(const struct bw_imprint *imprint, const struct walk *walk,
                        struct row *row) {
    double before = turns_at(imprint, walk, row, 0);
    for (size_t i = 1; i < row->line.n; i++) {
        double turns = turns_at(imprint, walk, row, i);
        if (floor(turns) > floor(before) && row->n < row->room) {
            double share = (floor(turns) - before) / (turns - before);
            row->at[row->n] = row->line.start + row->line.step * ((double)i - 1 + share);
            row->low[row->n++] = -row->fade * imprint->depth;
        }
        before = turns;
    }
}

// --- one head along the line ---------------------------------------------------------------------

// Waves at every place and bumps in between, in order of place.
static bool merge_circles(struct bw_arena *arena, const struct row *row, bool waves,
                          struct bw_circles *out) {
    size_t most = row->line.n + row->n;
    double *at = bw_arena_array(arena, most + 1, sizeof *at);
    double *low = bw_arena_array(arena, most + 1, sizeof *low);
    if (at == NULL || low == NULL) return false;
    size_t n = 0, bump = 0;
    for (size_t i = 0; i < row->line.n; i++) {
        double x = row->line.start + row->line.step * (double)i;
        for (; bump < row->n && row->at[bump] < x; bump++) {
            at[n] = row->at[bump];
            // A bump stands on the wave it comes with.
            low[n++] = row->low[bump] + (waves ? row->wave[i] : 0);
        }
        if (!waves) continue;
        at[n] = x;
        low[n++] = row->wave[i];
    }
    for (; bump < row->n; bump++) {
        at[n] = row->at[bump];
        low[n++] = row->low[bump] + (waves ? row->wave[row->line.n - 1] : 0);
    }
    *out = (struct bw_circles){at, low, n};
    return true;
}

static void add_box(const struct row *row, double at, double low, double contact, double *out) {
    double step = row->line.step, wide = fmax(contact, step);
    double from = (at - wide / 2 - row->line.start) / step + 0.5, to = from + wide / step;
    double last = fmin(to, (double)row->line.n);
    for (double i = fmax(floor(from), 0); i < last; i++)
        out[(size_t)i] += low * (fmin(to, i + 1) - fmax(from, i));
}

static bool cut_row(struct bw_arena *arena, const struct bw_pass *pass, struct row *row,
                    double *out) {
    if (pass->law != BW_LAW_PRESSURE) {
        struct bw_circles circles;
        return merge_circles(arena, row, pass->law == BW_LAW_DISPLACEMENT, &circles) &&
               bw_surface_envelope(arena, circles, pass->radius, row->line, out);
    }
    if (!bw_surface_running_mean(arena, row->wave, row->line, pass->contact, out)) return false;
    for (size_t k = 0; k < row->n; k++) add_box(row, row->at[k], row->low[k], pass->contact, out);
    return true;
}

// Bumps of several imprints, each already in order, into one order: a short insertion sort, for
// they are few.
static void sort_bumps(struct row *row) {
    for (size_t i = 1; i < row->n; i++) {
        double at = row->at[i], low = row->low[i];
        size_t k = i;
        for (; k > 0 && row->at[k - 1] > at; k--) {
            row->at[k] = row->at[k - 1];
            row->low[k] = row->low[k - 1];
        }
        row->at[k] = at;
        row->low[k] = low;
    }
}

// --- the panel -----------------------------------------------------------------------------------

// What one head needs for all rows.
struct head {
    const struct bw_pass *pass;
    struct walk *walks;
    size_t most_bumps;
    double plane;
};

static bool head_make(struct bw_arena *arena, const struct bw_panel *panel, const double *travel,
                      size_t nx, struct head *head) {
    const struct bw_pass *pass = head->pass;
    head->walks = bw_arena_array(arena, pass->n + 1, sizeof *head->walks);
    if (head->walks == NULL) return false;
    head->most_bumps = 1;
    for (size_t i = 0; i < pass->n; i++) {
        const struct bw_imprint *imprint = &pass->imprints[i];
        double lag = imprint->slant * panel->width;
        double low = (travel[0] - fmax(lag, 0)) / imprint->pitch + imprint->phase;
        double high = (travel[nx - 1] - fmin(lag, 0)) / imprint->pitch + imprint->phase;
        if (!walk_make(arena, imprint, low, high, &head->walks[i])) return false;
        // A wandering part may pass more often than an even one, but never twice in a step.
        double often = 2 * (travel[nx - 1] - travel[0]) / imprint->pitch + 8;
        head->most_bumps += (size_t)fmin(often, (double)nx);
    }
    return true;
}

static bool head_row(struct bw_arena *arena, const struct head *head, struct row row, double *out) {
    row.wave = bw_arena_array(arena, row.line.n, sizeof *row.wave);
    row.at = bw_arena_array(arena, head->most_bumps, sizeof *row.at);
    row.low = bw_arena_array(arena, head->most_bumps, sizeof *row.low);
    if (row.wave == NULL || row.at == NULL || row.low == NULL) return false;
    row.room = head->most_bumps;
    for (size_t i = 0; i < head->pass->n; i++) {
        const struct bw_imprint *imprint = &head->pass->imprints[i];
        if (imprint->kind == BW_IMPRINT_WAVE)
            press_wave(imprint, &head->walks[i], &row);
        else
            press_bumps(imprint, &head->walks[i], &row);
    }
    sort_bumps(&row);
    return cut_row(arena, head->pass, &row, out);
}

static void rub(const struct bw_panel *panel, struct bw_surface *surface, double plane) {
    for (size_t p = 0; p < panel->n_patches; p++) {
        const struct bw_patch *patch = &panel->patches[p];
        for (size_t j = 0; j < surface->ny; j++) {
            for (size_t i = 0; i < surface->nx; i++) {
                double dx = ((double)i * surface->step - patch->x) / patch->length;
                double dy = ((double)j * surface->step - patch->y) / patch->width;
                double gone = patch->share * exp(-8 * pow(dx * dx + dy * dy, 2));
                float *z = &surface->z[j * surface->nx + i];
                *z += (float)(gone * (plane - (double)*z));
            }
        }
    }
}

// All heads over one row, with memory of its own that is given back.
static bool one_row(const struct bw_panel *panel, const struct head *heads, struct row row,
                    float *z) {
    struct bw_arena *arena = bw_arena_new(0);
    double *cut = arena == NULL ? NULL : bw_arena_array(arena, row.line.n, sizeof *cut);
    bool done = cut != NULL;
    for (size_t k = 0; done && k < panel->n_passes; k++) {
        done = head_row(arena, &heads[k], row, cut);
        for (size_t i = 0; done && i < row.line.n; i++)
            z[i] = fminf(z[i], (float)(heads[k].plane + cut[i]));
    }
    bw_arena_free(arena);
    return done;
}

bool bw_surface_make(struct bw_arena *arena, const struct bw_panel *panel, struct bw_surface *out,
                     struct bw_err *err) {
    double nx = floor(panel->length / panel->step), ny = floor(panel->width / panel->step);
    if (!(panel->step > 0) || !(nx >= 2) || !(ny >= 1) || !(nx * ny <= MOST_PLACES))
        return bw_fail(err, BW_INPUT, "a panel of this size cannot be divided into such steps");
    struct bw_surface made = {(size_t)nx, (size_t)ny, panel->step, NULL};
    struct bw_line line = {0, panel->step, made.nx};
    double *travel = bw_arena_array(arena, made.nx, sizeof *travel);
    struct head *heads = bw_arena_array(arena, panel->n_passes + 1, sizeof *heads);
    made.z = bw_arena_array(arena, made.nx * made.ny, sizeof *made.z);
    if (travel == NULL || heads == NULL || made.z == NULL) return bw_fail_memory(err);
    bw_surface_travel(&panel->travel, panel->length, line, travel);
    double plane = 0;
    for (size_t k = 0; k < panel->n_passes; k++) {
        plane -= panel->passes[k].takes;
        heads[k] = (struct head){.pass = &panel->passes[k], .plane = plane};
        if (!head_make(arena, panel, travel, made.nx, &heads[k])) return bw_fail_memory(err);
    }
    for (size_t j = 0; j < made.ny; j++) {
        double y = panel->step * (double)j;
        struct row row = {.line = line,
                          .travel = travel,
                          .y = y,
                          .fade = 1 - (1 - panel->fade) * y / panel->width};
        if (!one_row(panel, heads, row, made.z + j * made.nx)) return bw_fail_memory(err);
    }
    rub(panel, &made, plane);
    *out = made;
    return true;
}

struct bw_pass bw_surface_pass(const struct bw_head *head, double takes) {
    struct bw_press press = bw_head_press(head);
    return (struct bw_pass){
        .law = press.displacement ? BW_LAW_DISPLACEMENT : BW_LAW_PRESSURE,
        .radius = press.radius,
        .contact = press.contact,
        .takes = takes,
    };
}
