// air_probes.c - what timber.h and earth.h answer to published checks.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/earth.h"
#include "trade/fitting.h"
#include "trade/probes.h"
#include "trade/timber.h"

#include <math.h>
#include <string.h>

static bool wood_moisture(const struct bw_probe_value *in, struct bw_probe_value *out,
                          struct bw_err *err) {
    (void)err;
    out->v = bw_wood_moisture(in[0].v, in[1].v);
    return true;
}

static bool wood_change(const struct bw_probe_value *in, struct bw_probe_value *out,
                        struct bw_err *err) {
    (void)err;
    out->v = bw_wood_change(in[0].v, in[1].v, in[2].v, in[3].v);
    return true;
}

static bool rod(const struct bw_probe_value *in, struct bw_probe_value *out, struct bw_err *err) {
    (void)err;
    out->v = bw_rod(in[0].v, in[1].v, in[2].v);
    return true;
}

static bool rods(const struct bw_probe_value *in, struct bw_probe_value *out, struct bw_err *err) {
    if (!(in[1].v >= 1 && in[1].v <= 24))
        return bw_fail(err, BW_INPUT, "needs 1 to 24 rods");
    out->v = bw_rods(in[0].v, lround(in[1].v));
    return true;
}

static bool wye(const struct bw_probe_value *in, struct bw_probe_value *out, struct bw_err *err) {
    struct bw_wye loss = bw_wye_loss(in[1].v, in[2].v, in[3].v);
    bool branch = strcmp(in[0].text, "branch") == 0;
    if (!branch && strcmp(in[0].text, "main") != 0)
        return bw_fail(err, BW_INPUT, "a leg is branch or main");
    out->v = branch ? loss.branch : loss.main;
    return true;
}

static bool elbow(const struct bw_probe_value *in, struct bw_probe_value *out,
                  struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_fittings fittings;
    if (arena == NULL) return bw_fail_memory(err);
    bool done = bw_fittings_load(arena, &fittings, err);
    if (done) out->v = bw_elbow_loss(&fittings, in[0].v, in[1].v, lround(in[2].v));
    bw_arena_free(arena);
    return done;
}

static bool gate(const struct bw_probe_value *in, struct bw_probe_value *out, struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_fittings fittings;
    if (arena == NULL) return bw_fail_memory(err);
    bool done = bw_fittings_load(arena, &fittings, err);
    if (done) out->v = bw_gate_loss(&fittings, in[0].v);
    bw_arena_free(arena);
    return done;
}

static bool change(const struct bw_probe_value *in, struct bw_probe_value *out,
                   struct bw_err *err) {
    (void)err;
    out->v = in[0].v < in[1].v ? bw_expansion_loss(in[0].v, in[1].v, in[2].v)
                               : bw_contraction_loss(in[0].v, in[1].v, in[2].v);
    return true;
}

const struct bw_probe bw_trade_air_probes[] = {
    {.name = "wye_loss", .help = "of a converging fitting, on the common velocity pressure",
     .inputs = {{.name = "leg", .text = true},
                {.name = "flow_ratio", .dim = BW_DIM_NUMBER},
                {.name = "area_ratio", .dim = BW_DIM_NUMBER},
                {.name = "angle", .dim = BW_DIM_ANGLE}},
     .dim = BW_DIM_NUMBER, .run = wye},
    {.name = "elbow_loss", .help = "of a round elbow; pieces 0 for a smooth one",
     .inputs = {{.name = "angle", .dim = BW_DIM_ANGLE},
                {.name = "radius", .dim = BW_DIM_NUMBER},
                {.name = "pieces", .dim = BW_DIM_NUMBER}},
     .dim = BW_DIM_NUMBER, .run = elbow},
    {.name = "gate_loss", .help = "of a slide gate, by the share of its height that is open",
     .inputs = {{.name = "open", .dim = BW_DIM_RATIO}}, .dim = BW_DIM_NUMBER, .run = gate},
    {.name = "diameter_loss", .help = "of a change of diameter, on the smaller velocity pressure",
     .inputs = {{.name = "from", .dim = BW_DIM_LENGTH},
                {.name = "to", .dim = BW_DIM_LENGTH},
                {.name = "angle", .dim = BW_DIM_ANGLE}},
     .dim = BW_DIM_NUMBER, .run = change},
    {.name = "wood_moisture", .help = "equilibrium moisture of wood",
     .inputs = {{.name = "temperature", .dim = BW_DIM_TEMPERATURE},
                {.name = "humidity", .dim = BW_DIM_RATIO}},
     .dim = BW_DIM_RATIO, .run = wood_moisture},
    {.name = "wood_change", .help = "of a width between two moistures",
     .inputs = {{.name = "width", .dim = BW_DIM_LENGTH},
                {.name = "coefficient", .dim = BW_DIM_NUMBER},
                {.name = "from", .dim = BW_DIM_RATIO},
                {.name = "to", .dim = BW_DIM_RATIO}},
     .dim = BW_DIM_LENGTH, .run = wood_change},
    {.name = "rod_resistance", .help = "of one vertical ground rod; resistivity in ohm metres",
     .inputs = {{.name = "resistivity", .dim = BW_DIM_NUMBER},
                {.name = "length", .dim = BW_DIM_LENGTH},
                {.name = "diameter", .dim = BW_DIM_LENGTH}},
     .dim = BW_DIM_RESISTANCE, .run = rod},
    {.name = "rods_resistance", .help = "of several one length apart, from that of one",
     .inputs = {{.name = "one", .dim = BW_DIM_RESISTANCE}, {.name = "rods", .dim = BW_DIM_NUMBER}},
     .dim = BW_DIM_RESISTANCE, .run = rods},
    {.name = NULL},
};
