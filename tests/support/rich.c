// rich.c - see rich.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/rich.h"

static const struct bw_way PITCH_WAYS[] = {
    {"rule", "counted along a rule", 0.015, 0, 0},
    {"one gap", "one gap with a rule", 0.03, 0.0005, 0},
    {NULL, NULL, 0, 0, 0},
};
static const struct bw_way FEED_WAYS[] = {
    {"plate", "as on the plate", 0.1, 0, 0.8},
    {"timed 3 m", "timed over 3 m", 0.01, 0, 0.3},
    {NULL, NULL, 0, 0, 0},
};
static const struct bw_choice YES_NO[] = {{"no", NULL}, {"yes", NULL}, {NULL, NULL}};
static const struct bw_choice PARTS[] = {
    {"splice", "the joint of the belt"}, {"drum", "the drum"}, {"top roll", NULL}, {NULL, NULL}};
static const struct bw_choice BACKINGS[] = {
    {"paper", NULL}, {"cloth", NULL}, {"film", NULL}, {NULL, NULL}};

static const struct bw_field ROLL_FIELDS[] = {
    {BW_AT(struct rich_roll, name), .kind = BW_TEXT, .lead = "", .required = true,
     .help = "what it is called"},
    {BW_AT(struct rich_roll, diameter), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.01,
     .max = 1, .lead = "of", .help = "diameter"},
    {BW_AT(struct rich_roll, teeth), .kind = BW_COUNT, .min = 1, .max = 400, .lead = "with",
     .help = "teeth of its sprocket"},
    {BW_AT(struct rich_roll, fixed), .kind = BW_CHOICE, .of = YES_NO, .fallback = "no",
     .lead = "shaft fixed", .help = "yes where the shaft stands still"},
    BW_END_FIELDS,
};
const struct bw_record rich_roll_record = {
    .name = "roll", .help = "a roll", .fields = ROLL_FIELDS, .size = sizeof(struct rich_roll)};
const struct bw_file_kind rich_roll_file = {
    .name = "roll file", .shape = "roll/1", .record = &rich_roll_record};
static const struct bw_file_kind PHOTO = {.name = "picture", .max_bytes = 1000};

static const struct bw_field MARK_FIELDS[] = {
    {BW_AT(struct rich_mark, pitch), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 1e-4,
     .max = 30, .of = PITCH_WAYS, .lead = "", .required = true, .help = "from mark to mark"},
    {BW_AT(struct rich_mark, feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .min = 0.005, .max = 5,
     .of = FEED_WAYS, .lead = "at", .help = "feed when the mark was made"},
    {BW_AT(struct rich_mark, is), .kind = BW_CHOICE, .of = PARTS, .lead = "is",
     .help = "known source"},
    {BW_AT(struct rich_mark, note), .kind = BW_TEXT, .lead = "note", .help = "anything else"},
    BW_END_FIELDS,
};
static const char *mark_rule(const void *record, const char **field) {
    const struct rich_mark *mark = record;
    if (!bw_known(mark->feed) || mark->pitch.v < 60 * mark->feed.v) return NULL;
    *field = "pitch";
    return "the panel does not travel so far in a minute";
}
const struct bw_record rich_mark_record = {.name = "mark",
                                           .help = "one family of marks",
                                           .fields = MARK_FIELDS,
                                           .size = sizeof(struct rich_mark),
                                           .check = mark_rule};

static const struct bw_field ELBOW_FIELDS[] = {
    {BW_AT(struct rich_elbow, angle), .kind = BW_QUANTITY, .dim = BW_DIM_ANGLE, .min = 0,
     .max = 3.15, .required = true, .help = "how far it turns"},
    BW_END_FIELDS,
};
static const struct bw_field FAN_FIELDS[] = {
    {BW_AT(struct rich_fan, power), .kind = BW_QUANTITY, .dim = BW_DIM_POWER, .min = 100,
     .max = 1e5, .help = "rated power"},
    {BW_AT(struct rich_fan, flow), .kind = BW_QUANTITY, .dim = BW_DIM_FLOW, .min = 0, .max = 10,
     .help = "flow"},
    {BW_AT(struct rich_fan, pressure), .kind = BW_QUANTITY, .dim = BW_DIM_PRESSURE, .min = -1e4,
     .max = 1e4, .help = "static pressure"},
    {BW_AT(struct rich_fan, pulley), .kind = BW_RECORD, .of = &rich_roll_record,
     .help = "its pulley"},
    BW_END_FIELDS,
};
static const struct bw_record ELBOW = {
    .name = "elbow", .help = "a bend", .fields = ELBOW_FIELDS, .size = sizeof(struct rich_elbow)};
static const struct bw_record FAN = {
    .name = "fan", .help = "a fan", .fields = FAN_FIELDS, .size = sizeof(struct rich_fan)};
static const struct bw_choice_record ELEMENTS[] = {
    {"elbow", "a bend", &ELBOW}, {"fan", NULL, &FAN}, {NULL, NULL, NULL}};

static const struct bw_field RICH_FIELDS[] = {
    {BW_AT(struct rich, length), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.3, .max = 20,
     .required = true, .help = "length round the belt"},
    {BW_AT(struct rich, depth), .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH, .min = 0, .max = 0.001,
     .help = "depth of the mark"},
    {BW_AT(struct rich, speed), .kind = BW_QUANTITY, .dim = BW_DIM_SPEED, .min = 0.5, .max = 60,
     .of = FEED_WAYS, .fallback = "18 m/s by plate", .help = "belt speed"},
    {BW_AT(struct rich, temperature), .kind = BW_QUANTITY, .dim = BW_DIM_TEMPERATURE, .min = 250,
     .max = 330, .help = "air temperature"},
    {BW_AT(struct rich, moisture), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0, .max = 1,
     .of = PITCH_WAYS, .help = "water in the wood"},
    {BW_AT(struct rich, factor), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .help = "any number"},
    {BW_AT(struct rich, hardness), .kind = BW_QUANTITY, .dim = BW_DIM_SHORE, .min = 5, .max = 100,
     .help = "hardness of the cover"},
    {BW_AT(struct rich, at_least), .kind = BW_QUANTITY, .dim = BW_DIM_TIME, .min = 0,
     .max = INFINITY, .help = "time since the last change"},
    {BW_AT(struct rich, heads), .kind = BW_COUNT, .min = 1, .max = 12, .required = true,
     .help = "number of heads"},
    {BW_AT(struct rich, count), .kind = BW_COUNT, .help = "any whole number"},
    {BW_AT(struct rich, backing), .kind = BW_CHOICE, .of = BACKINGS, .required = true,
     .help = "what carries the grain"},
    {BW_AT(struct rich, name), .kind = BW_TEXT, .required = true, .help = "name of the belt"},
    {BW_AT(struct rich, note), .kind = BW_TEXT, .fallback = "none",
     .help = "anything worth remembering"},
    {BW_AT(struct rich, rolls), .kind = BW_FILE, .of = &rich_roll_file, .help = "a roll by file"},
    {BW_AT(struct rich, photo), .kind = BW_FILE, .of = &PHOTO, .help = "a picture of the panel"},
    {BW_AT(struct rich, roll), .kind = BW_RECORD, .of = &rich_roll_record, .help = "the top roll"},
    {BW_AT(struct rich, marks), .kind = BW_LIST, .of = &rich_mark_record, .count_max = 3,
     .required = true, .help = "the marks seen"},
    {BW_AT(struct rich, spares), .kind = BW_LIST, .of = &rich_roll_record,
     .help = "rolls on the shelf"},
    {BW_AT(struct rich, element), .kind = BW_ONEOF, .of = ELEMENTS,
     .help = "one piece of the duct"},
    BW_END_FIELDS,
};
const struct bw_record rich_record = {.name = "rich",
                                      .help = "every kind of field",
                                      .fields = RICH_FIELDS,
                                      .size = sizeof(struct rich)};
