// sanding.c - see sanding.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Curves are straight between the tables' rows in the logarithms of size and value: removal falls
// by a factor of thirty from P60 to P220, and a power law over all rows misses its ends by a
// quarter. Beyond the ends removal and scratch grow in proportion to the grain size, the energy
// against it; carrying the end slopes on (2.2 and 1.3) would let no belt follow a P36, which is
// daily practice. Energy goes with density to the power 1.15, the middle of 1.0 to 1.3.
#include "trade/sanding.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define BASE_DENSITY 700.0  // kg/m3, of cutting.csv
#define DENSITY_POWER 1.15

struct removal_row {
    const char *grit;
    struct bw_quantity most, clear;
    struct bw_trade_origin origin;
};
struct cutting_row {
    const char *grit;
    struct bw_quantity energy;
    struct bw_trade_origin origin;
};

#define GRIT(type, member, what)                                                                   \
    {                                                                                              \
        .name = #member, .offset = offsetof(struct type, member##_grit), .kind = BW_TEXT,          \
        .required = true, .help = what                                                             \
    }

static const struct bw_field REMOVAL_FIELDS[] = {
    {BW_AT(struct removal_row, grit), .kind = BW_TEXT, .required = true, .help = "the grit"},
    {BW_AT(struct removal_row, most), .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH, .min = 1e-6,
     .max = 5e-3, .required = true, .help = "most stock in one go"},
    {BW_AT(struct removal_row, clear), .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH, .min = 1e-6,
     .max = 5e-3, .required = true, .help = "what the next belt must take"},
    BW_TRADE_ORIGIN(struct removal_row, origin),
    BW_END_FIELDS,
};
static const struct bw_record REMOVAL = {.name = "removal",
                                         .help = "how much stock one grit takes",
                                         .fields = REMOVAL_FIELDS,
                                         .size = sizeof(struct removal_row)};
static const struct bw_field CUTTING_FIELDS[] = {
    {BW_AT(struct cutting_row, grit), .kind = BW_TEXT, .required = true, .help = "the grit"},
    {BW_AT(struct cutting_row, energy), .kind = BW_QUANTITY, .dim = BW_DIM_CUTTING_ENERGY,
     .min = 1e7, .max = 1e11, .required = true, .help = "energy for a volume of wood"},
    BW_TRADE_ORIGIN(struct cutting_row, origin),
    BW_END_FIELDS,
};
static const struct bw_record CUTTING = {.name = "cutting energy",
                                         .help = "the energy one grit needs",
                                         .fields = CUTTING_FIELDS,
                                         .size = sizeof(struct cutting_row)};
static const struct bw_field FINISH_FIELDS[] = {
    {.name = "finish",
     .offset = offsetof(struct bw_finish, name),
     .kind = BW_TEXT,
     .required = true,
     .help = "what comes on the wood"},
    GRIT(bw_finish, coarsest, "coarsest last grit"),
    GRIT(bw_finish, finest, "finest last grit"),
    BW_TRADE_ORIGIN(struct bw_finish, origin),
    BW_END_FIELDS,
};
static const struct bw_record FINISH = {.name = "finish",
                                        .help = "the last grits of one finish",
                                        .fields = FINISH_FIELDS,
                                        .size = sizeof(struct bw_finish)};
static const struct bw_choice KINDS[] = {
    {"steel drum", "a steel drum"},
    {"rubber drum", "a drum with a rubber cover"},
    {"platen", "a solid pad"},
    {"sectional platen", "a pad of separately pressed sections"},
    {NULL, NULL},
};
static const struct bw_field PART_FIELDS[] = {
    {.name = "part",
     .offset = offsetof(struct bw_pressing_part, name),
     .kind = BW_TEXT,
     .required = true,
     .help = "the pressing part"},
    {BW_AT(struct bw_pressing_part, kind), .kind = BW_CHOICE, .of = KINDS, .required = true,
     .help = "what kind of part it is"},
    {BW_AT(struct bw_pressing_part, hardness), .kind = BW_QUANTITY, .dim = BW_DIM_SHORE, .min = 5,
     .max = 100, .help = "of rubber"},
    {BW_AT(struct bw_pressing_part, most), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 1e-6,
     .max = 5e-3, .required = true, .help = "most stock in one go"},
    GRIT(bw_pressing_part, coarsest, "coarsest grit it is used with"),
    GRIT(bw_pressing_part, finest, "finest grit it is used with"),
    BW_TRADE_ORIGIN(struct bw_pressing_part, origin),
    BW_END_FIELDS,
};
static const struct bw_record PART = {.name = "pressing part",
                                      .help = "the limits of one pressing part",
                                      .fields = PART_FIELDS,
                                      .size = sizeof(struct bw_pressing_part)};

const struct bw_trade_carried bw_removal_carried = {"removal", &REMOVAL, NULL};
const struct bw_trade_carried bw_cutting_carried = {"cutting", &CUTTING, NULL};
const struct bw_trade_carried bw_finishes_carried = {"finishes", &FINISH, NULL};
const struct bw_trade_carried bw_contacts_carried = {"contacts", &PART, NULL};

// --- loading ---------------------------------------------------------------------------------

static bool size_of(const struct bw_grits *grits, const char *grit, double *out,
                    struct bw_err *err) {
    const struct bw_grit *found;
    if (!bw_grit_read(grits, grit, strlen(grit), &found, err)) return false;
    *out = found->size.v;
    return true;
}

static bool load_curves(struct bw_arena *arena, const struct bw_grits *grits,
                        struct bw_sanding *out, struct bw_err *err) {
    struct bw_list removal, cutting;
    if (!bw_trade_table_load(arena, &bw_removal_carried, &removal, err) ||
        !bw_trade_table_load(arena, &bw_cutting_carried, &cutting, err))
        return false;
    assert(removal.n >= 2 && removal.n <= BW_SANDING_POINTS && cutting.n >= 2 &&
           cutting.n <= BW_SANDING_POINTS);
    for (size_t i = 0; i < removal.n; i++) {
        const struct removal_row *row = (const struct removal_row *)removal.items + i;
        if (!size_of(grits, row->grit, &out->most.size[i], err)) return false;
        out->clear.size[i] = out->most.size[i];
        out->most.y[i] = row->most.v;
        out->clear.y[i] = row->clear.v;
    }
    for (size_t i = 0; i < cutting.n; i++) {
        const struct cutting_row *row = (const struct cutting_row *)cutting.items + i;
        if (!size_of(grits, row->grit, &out->energy.size[i], err)) return false;
        out->energy.y[i] = row->energy.v;
    }
    out->most.n = out->clear.n = removal.n;
    out->energy.n = cutting.n;
    return true;
}

bool bw_sanding_load(struct bw_arena *arena, const struct bw_grits *grits, struct bw_sanding *out,
                     struct bw_err *err) {
    struct bw_sanding sanding = {.most.n = 0};
    if (!load_curves(arena, grits, &sanding, err) ||
        !bw_trade_table_load(arena, &bw_finishes_carried, &sanding.finishes, err) ||
        !bw_trade_table_load(arena, &bw_contacts_carried, &sanding.parts, err))
        return false;
    for (size_t i = 0; i < sanding.finishes.n; i++) {
        struct bw_finish *finish = (struct bw_finish *)sanding.finishes.items + i;
        if (!size_of(grits, finish->coarsest_grit, &finish->coarsest, err) ||
            !size_of(grits, finish->finest_grit, &finish->finest, err))
            return false;
    }
    for (size_t i = 0; i < sanding.parts.n; i++) {
        struct bw_pressing_part *part = (struct bw_pressing_part *)sanding.parts.items + i;
        if (!size_of(grits, part->coarsest_grit, &part->coarsest, err) ||
            !size_of(grits, part->finest_grit, &part->finest, err))
            return false;
    }
    *out = sanding;
    return true;
}

// --- asking ----------------------------------------------------------------------------------

// `power`: how the curve goes on beyond its ends.
static double curve_at(const struct bw_sanding_curve *curve, double size, double power) {
    size_t last = curve->n - 1;
    if (size >= curve->size[0]) return curve->y[0] * pow(size / curve->size[0], power);
    if (size <= curve->size[last]) return curve->y[last] * pow(size / curve->size[last], power);
    size_t i = 1;
    while (size < curve->size[i]) i++;
    if (size == curve->size[i]) return curve->y[i];
    double share = log(size / curve->size[i - 1]) / log(curve->size[i] / curve->size[i - 1]);
    return curve->y[i - 1] * pow(curve->y[i] / curve->y[i - 1], share);
}

double bw_sanding_most(const struct bw_sanding *sanding, double size) {
    return curve_at(&sanding->most, size, 1);
}
double bw_sanding_clear(const struct bw_sanding *sanding, double size) {
    return curve_at(&sanding->clear, size, 1);
}
double bw_sanding_energy(const struct bw_sanding *sanding, double size, double density) {
    return curve_at(&sanding->energy, size, -1) * pow(density / BASE_DENSITY, DENSITY_POWER);
}

const struct bw_finish *bw_finish_find(const struct bw_sanding *sanding, const char *name) {
    for (size_t i = 0; i < sanding->finishes.n; i++) {
        const struct bw_finish *finish = (const struct bw_finish *)sanding->finishes.items + i;
        if (strcmp(finish->name, name) == 0) return finish;
    }
    return NULL;
}

// Between a harder and a softer row; beyond the ends the end row.
static struct bw_pressing_part between(const struct bw_pressing_part *hard,
                                       const struct bw_pressing_part *soft, double hardness) {
    if (hard == NULL) return *soft;
    if (soft == NULL) return *hard;
    double share = (hard->hardness.v - hardness) / (hard->hardness.v - soft->hardness.v);
    struct bw_pressing_part part = share < 0.5 ? *hard : *soft;
    part.most.v = hard->most.v * pow(soft->most.v / hard->most.v, share);
    part.hardness.v = hardness;
    return part;
}

struct bw_pressing_part bw_pressing_limits(const struct bw_sanding *sanding, enum bw_pressing kind,
                                           double hardness) {
    if (isnan(hardness)) hardness = 60;
    const struct bw_pressing_part *parts = sanding->parts.items, *hard = NULL, *soft = NULL;
    for (size_t i = 0; i < sanding->parts.n; i++) {
        if (parts[i].kind != (int)kind) continue;
        if (kind != BW_PRESS_RUBBER) return parts[i];
        if (parts[i].hardness.v >= hardness)
            hard = &parts[i];
        else if (soft == NULL)
            soft = &parts[i];
    }
    assert(hard != NULL || soft != NULL);
    return between(hard, soft, hardness);
}
