// probes.c - see probes.h. Each question loads its table anew: a check knows nothing but words.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/probes.h"

#include "trade/bearing.h"
#include "trade/grit.h"
#include "trade/sanding.h"

#include <string.h>

// ---- grits ----

struct grit_answers {
    double size, ratio, skips;
    const char *other;
};

// Everything there is to say of `name`, and of a belt of `to` following it. `arena` may be NULL.
static bool ask_grit(struct bw_arena *arena, const char *name, const char *to,
                     struct grit_answers *out, struct bw_err *err) {
    struct bw_grits grits;
    const struct bw_grit *from, *next;
    if (arena == NULL) return bw_fail_memory(err);
    if (!bw_grits_load(arena, &grits, err) ||
        !bw_grit_read(&grits, name, strlen(name), &from, err) ||
        !bw_grit_read(&grits, to, strlen(to), &next, err))
        return false;
    out->size = from->size.v;
    out->other = bw_grit_other(&grits, from, &out->ratio)->name;
    out->skips = (double)bw_grit_skips(&grits, from, next);
    return true;
}

static bool grit_size(const struct bw_probe_value *in, struct bw_probe_value *out,
                      struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    struct grit_answers answers;
    bool done = ask_grit(arena, in[0].text, in[0].text, &answers, err);
    if (done) out->v = answers.size;
    bw_arena_free(arena);
    return done;
}

static bool grit_other(const struct bw_probe_value *in, struct bw_probe_value *out,
                       struct bw_err *err) {
    static char word[40];  // outlives the arena; checks run one after another
    struct bw_arena *arena = bw_arena_new(0);
    struct grit_answers answers;
    bool done = ask_grit(arena, in[0].text, in[0].text, &answers, err);
    if (done) {
        (void)snprintf(word, sizeof word, "%s", answers.other);
        out->text = word;
    }
    bw_arena_free(arena);
    return done;
}

static bool grit_ratio(const struct bw_probe_value *in, struct bw_probe_value *out,
                       struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    struct grit_answers answers;
    bool done = ask_grit(arena, in[0].text, in[0].text, &answers, err);
    if (done) out->v = answers.ratio;
    bw_arena_free(arena);
    return done;
}

static bool grit_skips(const struct bw_probe_value *in, struct bw_probe_value *out,
                       struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    struct grit_answers answers;
    bool done = ask_grit(arena, in[0].text, in[1].text, &answers, err);
    if (done) out->v = answers.skips;
    bw_arena_free(arena);
    return done;
}

// ---- sanding ----

static bool ask_sanding(const struct bw_probe_value *in, bool most, struct bw_probe_value *out,
                        struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_grits grits;
    struct bw_sanding sanding;
    const struct bw_grit *grit;
    if (arena == NULL) return bw_fail_memory(err);
    bool done = bw_grits_load(arena, &grits, err) &&
                bw_sanding_load(arena, &grits, &sanding, err) &&
                bw_grit_read(&grits, in[0].text, strlen(in[0].text), &grit, err);
    if (done)
        out->v = most ? bw_sanding_most(&sanding, grit->size.v)
                      : bw_sanding_clear(&sanding, grit->size.v);
    bw_arena_free(arena);
    return done;
}
static bool grit_most(const struct bw_probe_value *in, struct bw_probe_value *out,
                      struct bw_err *err) {
    return ask_sanding(in, true, out, err);
}
static bool grit_clear(const struct bw_probe_value *in, struct bw_probe_value *out,
                       struct bw_err *err) {
    return ask_sanding(in, false, out, err);
}

// ---- bearings ----

static bool choose(const char *const words[], const char *said, int *out, struct bw_err *err) {
    for (int i = 0; words[i] != NULL; i++) {
        if (strcmp(words[i], said) != 0) continue;
        *out = i;
        return true;
    }
    bw_fail(err, BW_INPUT, "not such a part or ring");
    bw_err_value(err, said);
    bw_err_mend(err, "cage, outer race, inner race, spin, element; inner, outer");
    return false;
}

static bool ask_bearing(struct bw_arena *arena, const struct bw_probe_value *in, double *out,
                        struct bw_err *err) {
    static const char *const PARTS[] = {"cage", "outer race", "inner race",
                                        "spin", "element",    NULL};
    static const char *const RINGS[] = {"inner", "outer", NULL};
    struct bw_bearings bearings;
    struct bw_bearing_geometry geometry;
    int part, ring;
    if (arena == NULL) return bw_fail_memory(err);
    if (!choose(PARTS, in[1].text, &part, err) || !choose(RINGS, in[2].text, &ring, err) ||
        !bw_bearings_load(arena, &bearings, err) ||
        !bw_bearing_read(arena, &bearings, in[0].text, strlen(in[0].text), &geometry, err))
        return false;
    struct bw_bearing_orders orders = bw_bearing_orders(&geometry, (enum bw_bearing_turning)ring);
    const double of_part[] = {orders.cage, orders.outer_race, orders.inner_race, orders.spin,
                              orders.element};
    *out = of_part[part];
    return true;
}

static bool bearing_order(const struct bw_probe_value *in, struct bw_probe_value *out,
                          struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    bool done = ask_bearing(arena, in, &out->v, err);
    bw_arena_free(arena);
    return done;
}

static bool bearing_rate(const struct bw_probe_value *in, struct bw_probe_value *out,
                         struct bw_err *err) {
    double order;
    struct bw_arena *arena = bw_arena_new(0);
    bool done = ask_bearing(arena, in, &order, err);
    if (done) out->v = order * in[3].v;
    bw_arena_free(arena);
    return done;
}

#define BEARING                                                                                    \
    {.name = "bearing", .text = true}, {.name = "part", .text = true},                             \
    {.name = "turning", .text = true}

const struct bw_probe bw_trade_probes[] = {
    {.name = "grit_size", .help = "average grain size of a grit",
     .inputs = {{.name = "grit", .text = true}}, .dim = BW_DIM_DEPTH, .run = grit_size},
    {.name = "grit_other", .help = "the nearest grit of the other series, by size",
     .inputs = {{.name = "grit", .text = true}}, .text = true, .run = grit_other},
    {.name = "grit_ratio", .help = "that grit's size over this one's",
     .inputs = {{.name = "grit", .text = true}}, .dim = BW_DIM_NUMBER, .run = grit_ratio},
    {.name = "grit_skips", .help = "grits left out when one belt follows another",
     .inputs = {{.name = "from", .text = true}, {.name = "to", .text = true}},
     .dim = BW_DIM_NUMBER, .run = grit_skips},
    {.name = "grit_most", .help = "most stock a grit takes in one go",
     .inputs = {{.name = "grit", .text = true}}, .dim = BW_DIM_DEPTH, .run = grit_most},
    {.name = "grit_clear", .help = "what the next belt takes to clear its scratch",
     .inputs = {{.name = "grit", .text = true}}, .dim = BW_DIM_DEPTH, .run = grit_clear},
    {.name = "bearing_order", .help = "events of a part per turn of the inner or outer ring",
     .inputs = {BEARING}, .dim = BW_DIM_NUMBER, .run = bearing_order},
    {.name = "bearing_rate", .help = "events of a part per second, the ring turning at `turns`",
     .inputs = {BEARING, {.name = "turns", .dim = BW_DIM_TURNS}}, .dim = BW_DIM_RATE,
     .run = bearing_rate},
    {.name = NULL},
};
