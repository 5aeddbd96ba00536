// belting.c - see belting.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/belting.h"

#define NAME(type, key, what)                                                                      \
    {                                                                                              \
        .name = key, .offset = offsetof(struct type, name), .kind = BW_TEXT, .required = true,     \
        .help = what                                                                               \
    }
#define WORDS(type, member, what)                                                                  \
    { BW_AT(struct type, member), .kind = BW_TEXT, .help = what }

static const struct bw_choice MATERIALS[] = {
    {"paper", "paper"},
    {"cloth", "cotton or mixed cloth"},
    {"polyester", "polyester cloth"},
    {"film", "polyester film"},
    {NULL, NULL},
};
static const struct bw_choice NO_YES[] = {
    {"no", "runs both ways"}, {"yes", "runs one way"}, {NULL, NULL}};

static const struct bw_field BACKING_FIELDS[] = {
    NAME(bw_backing, "backing", "the backing as belts name it"),
    {BW_AT(struct bw_backing, material), .kind = BW_CHOICE, .of = MATERIALS, .required = true,
     .help = "what it is"},
    {BW_AT(struct bw_backing, lightest), .kind = BW_QUANTITY, .dim = BW_DIM_GRAMMAGE, .min = 0.03,
     .max = 1, .required = true, .help = "mass per area, from"},
    {BW_AT(struct bw_backing, heaviest), .kind = BW_QUANTITY, .dim = BW_DIM_GRAMMAGE, .min = 0.03,
     .max = 1, .required = true, .help = "mass per area, to"},
    WORDS(bw_backing, coarsest, "coarsest grit on it"),
    WORDS(bw_backing, finest, "finest grit on it"),
    WORDS(bw_backing, use, "what it is for"),
    BW_TRADE_ORIGIN(struct bw_backing, origin),
    BW_END_FIELDS,
};
static const struct bw_record BACKING = {.name = "backing",
                                         .help = "what carries the grain",
                                         .fields = BACKING_FIELDS,
                                         .size = sizeof(struct bw_backing)};
static const struct bw_field JOINT_FIELDS[] = {
    NAME(bw_joint_kind, "joint", "the joint in words"),
    {BW_AT(struct bw_joint_kind, directional), .kind = BW_CHOICE, .of = NO_YES, .required = true,
     .help = "whether it may only run one way"},
    {BW_AT(struct bw_joint_kind, step), .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH, .min = 0,
     .max = 1e-3, .required = true, .help = "how much thicker it is than the belt"},
    WORDS(bw_joint_kind, use, "what it is for"),
    WORDS(bw_joint_kind, avoid, "where it does harm"),
    BW_TRADE_ORIGIN(struct bw_joint_kind, origin),
    BW_END_FIELDS,
};
static const struct bw_record JOINT = {.name = "belt joint",
                                       .help = "how the ends are joined",
                                       .fields = JOINT_FIELDS,
                                       .size = sizeof(struct bw_joint_kind)};
static const struct bw_field COAT_FIELDS[] = {
    NAME(bw_coat, "coat", "the coat"),
    {BW_AT(struct bw_coat, least), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0.1, .max = 1,
     .required = true, .help = "share of the face covered, from"},
    {BW_AT(struct bw_coat, full), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0.1, .max = 1,
     .required = true, .help = "share of the face covered, to"},
    WORDS(bw_coat, use, "what it is for"),
    BW_TRADE_ORIGIN(struct bw_coat, origin),
    BW_END_FIELDS,
};
static const struct bw_record COAT = {.name = "coat",
                                      .help = "how densely the grain stands",
                                      .fields = COAT_FIELDS,
                                      .size = sizeof(struct bw_coat)};
static const struct bw_field MINERAL_FIELDS[] = {
    NAME(bw_mineral, "mineral", "the grain"),
    WORDS(bw_mineral, breaks, "how it breaks"),
    WORDS(bw_mineral, use, "what it is for"),
    BW_TRADE_ORIGIN(struct bw_mineral, origin),
    BW_END_FIELDS,
};
static const struct bw_record MINERAL = {.name = "mineral",
                                         .help = "the grain of a belt",
                                         .fields = MINERAL_FIELDS,
                                         .size = sizeof(struct bw_mineral)};

static bool check_backings(const struct bw_trade_table *table, const void *rows,
                           struct bw_err *err) {
    const struct bw_backing *backings = rows;
    for (size_t i = 0; i < table->n_rows; i++) {
        if (backings[i].lightest.v <= backings[i].heaviest.v) continue;
        bw_fail(err, BW_INPUT, "the lightest is heavier than the heaviest");
        return bw_trade_table_blame(table, i, "lightest", err);
    }
    return true;
}

const struct bw_trade_carried bw_backings_carried = {"backings", &BACKING, check_backings};
const struct bw_trade_carried bw_joints_carried = {"joints", &JOINT, NULL};
const struct bw_trade_carried bw_coats_carried = {"coats", &COAT, NULL};
const struct bw_trade_carried bw_minerals_carried = {"minerals", &MINERAL, NULL};
