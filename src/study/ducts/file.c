// file.c - the fields of a network file, each defined here and nowhere else.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/ducts/file.h"

#include <math.h>

static const struct bw_choice STATES[] = {
    {"clean", "as new"},
    {"seasoned", "in service, cleaned as it should be"},
    {"blinded", "loaded beyond what cleaning brings back"},
    {NULL, NULL},
};
static const struct bw_choice YES_NO[] = {{"no", NULL}, {"yes", NULL}, {NULL, NULL}};

#define RECORD_OF(id, title, type, list, rule, what)                                               \
    static const struct bw_record id = {                                                           \
        .name = title, .help = what, .fields = list, .size = sizeof(struct type), .check = rule}
#define LENGTH(type, member, dimension, low, high, words)                                          \
    BW_AT(struct type, member), .kind = BW_QUANTITY, .dim = dimension, .min = low, .max = high,    \
                                .help = words

static const struct bw_field HOOD_FIELDS[] = {
    {BW_AT(struct ducts_hood, entry), .kind = BW_TEXT, .fallback = "flanged", .lead = "",
     .help = "the entry's shape, of the table hoods"},
    {BW_AT(struct ducts_hood, loss), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0, .max = 50,
     .lead = "loss", .help = "entry loss over velocity pressure, beats the shape"},
    BW_END_FIELDS,
};
RECORD_OF(HOOD, "duct hood", ducts_hood, HOOD_FIELDS, NULL, "where air comes in");

static const struct bw_field STRAIGHT_FIELDS[] = {
    {LENGTH(ducts_straight, length, BW_DIM_TRAVEL, 0.01, 500, "length of the duct"),
     .required = true, .lead = ""},
    {LENGTH(ducts_straight, roughness, BW_DIM_LENGTH, 0, 0.01, "height of its roughness"),
     .fallback = "0.15 mm", .lead = "roughness"},
    BW_END_FIELDS,
};
RECORD_OF(STRAIGHT, "straight duct", ducts_straight, STRAIGHT_FIELDS, NULL,
          "straight or spiral duct");

static const struct bw_field FLEX_FIELDS[] = {
    {LENGTH(ducts_flex, length, BW_DIM_TRAVEL, 0.01, 100, "length of the hose as it lies"),
     .required = true, .lead = ""},
    {LENGTH(ducts_flex, roughness, BW_DIM_LENGTH, 0, 0.02, "height of its roughness"),
     .fallback = "1.5 mm", .lead = "roughness"},
    {BW_AT(struct ducts_flex, compressed), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0,
     .max = 0.5, .fallback = "0 %", .lead = "compressed",
     .help = "how much shorter than stretched it lies"},
    BW_END_FIELDS,
};
RECORD_OF(FLEX, "flexible hose", ducts_flex, FLEX_FIELDS, NULL, "flexible hose");

static const struct bw_field ELBOW_FIELDS[] = {
    {BW_AT(struct ducts_elbow, angle), .kind = BW_QUANTITY, .dim = BW_DIM_ANGLE, .min = 0.08,
     .max = M_PI, .fallback = "90 deg", .lead = "", .help = "how far it turns"},
    {BW_AT(struct ducts_elbow, radius), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0.5,
     .max = 10, .fallback = "1.5", .lead = "radius", .help = "centre-line radius over diameter"},
    {BW_AT(struct ducts_elbow, pieces), .kind = BW_COUNT, .min = 0, .max = 7, .fallback = "0",
     .lead = "pieces", .help = "3, 4 or 5 pieces; 0 for a smooth one"},
    {BW_AT(struct ducts_elbow, times), .kind = BW_COUNT, .min = 1, .max = 50, .fallback = "1",
     .lead = "times", .help = "how many of them"},
    BW_END_FIELDS,
};
RECORD_OF(ELBOW, "elbow", ducts_elbow, ELBOW_FIELDS, NULL, "an elbow");

static const struct bw_field GATE_FIELDS[] = {
    {BW_AT(struct ducts_gate, open), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0, .max = 1,
     .fallback = "100 %", .lead = "", .help = "share of its height that is open"},
    {BW_AT(struct ducts_gate, leak), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0.002,
     .max = 0.5, .fallback = "3 %", .lead = "leak",
     .help = "what stays open when it is shut, as a share of its height"},
    BW_END_FIELDS,
};
RECORD_OF(GATE, "blast gate", ducts_gate, GATE_FIELDS, NULL, "a slide gate");

static const struct bw_field REDUCER_FIELDS[] = {
    {LENGTH(ducts_reducer, to, BW_DIM_LENGTH, 0.03, 3, "diameter behind it"), .required = true,
     .lead = ""},
    {BW_AT(struct ducts_reducer, angle), .kind = BW_QUANTITY, .dim = BW_DIM_ANGLE, .min = 0,
     .max = M_PI, .fallback = "180 deg", .lead = "angle",
     .help = "full angle of the cone, 180 deg for a step"},
    BW_END_FIELDS,
};
RECORD_OF(REDUCER, "change of diameter", ducts_reducer, REDUCER_FIELDS, NULL,
          "a change of diameter");

static const struct bw_field LOSS_FIELDS[] = {
    {BW_AT(struct ducts_loss, factor), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0,
     .max = 1e5, .required = true, .lead = "", .help = "loss over velocity pressure"},
    BW_END_FIELDS,
};
RECORD_OF(LOSS, "other loss", ducts_loss, LOSS_FIELDS, NULL, "any loss by its factor");
RECORD_OF(SEPARATOR, "separator", ducts_loss, LOSS_FIELDS, NULL,
          "a cyclone or drop-out box, on the inlet's velocity pressure");

static const struct bw_field FILTER_FIELDS[] = {
    {BW_AT(struct ducts_filter, pressure), .kind = BW_QUANTITY, .dim = BW_DIM_PRESSURE, .min = 1,
     .max = 10e3, .required = true, .lead = "", .help = "its loss when seasoned"},
    {BW_AT(struct ducts_filter, at), .kind = BW_QUANTITY, .dim = BW_DIM_FLOW, .min = 0.01,
     .max = 200, .required = true, .lead = "at", .help = "the flow at which it has that loss"},
    {BW_AT(struct ducts_filter, state), .kind = BW_CHOICE, .of = STATES, .fallback = "seasoned",
     .lead = "is", .help = "its state"},
    BW_END_FIELDS,
};
RECORD_OF(FILTER, "duct filter", ducts_filter, FILTER_FIELDS, NULL,
          "a filter; its loss goes with the flow");

static const struct bw_field POINT_FIELDS[] = {
    {BW_AT(struct ducts_point, flow), .kind = BW_QUANTITY, .dim = BW_DIM_FLOW, .min = 0, .max = 200,
     .required = true, .lead = "", .help = "flow"},
    {BW_AT(struct ducts_point, pressure), .kind = BW_QUANTITY, .dim = BW_DIM_PRESSURE, .min = 0,
     .max = 50e3, .required = true, .lead = "at", .help = "total pressure"},
    BW_END_FIELDS,
};
RECORD_OF(POINT, "fan point", ducts_point, POINT_FIELDS, NULL, "a point of a fan's curve");
static const struct bw_field FAN_FIELDS[] = {
    {BW_AT(struct ducts_fan, points), .kind = BW_LIST, .of = &POINT, .count_max = 40,
     .help = "its curve, flows rising; beats the plate"},
    {BW_AT(struct ducts_fan, most_flow), .kind = BW_QUANTITY, .dim = BW_DIM_FLOW, .min = 0.01,
     .max = 200, .help = "plate: largest flow, nothing connected"},
    {BW_AT(struct ducts_fan, most_pressure), .kind = BW_QUANTITY, .dim = BW_DIM_PRESSURE, .min = 50,
     .max = 50e3, .help = "plate: largest pressure, inlet shut"},
    {BW_AT(struct ducts_fan, motor), .kind = BW_QUANTITY, .dim = BW_DIM_POWER, .min = 50,
     .max = 1e6, .help = "rated power of its motor"},
    {BW_AT(struct ducts_fan, efficiency), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0.1,
     .max = 0.95, .fallback = "55 %", .help = "of fan and belt together"},
    {BW_AT(struct ducts_fan, speed), .kind = BW_QUANTITY, .dim = BW_DIM_TURNS, .min = 1, .max = 400,
     .help = "speed it runs at"},
    {BW_AT(struct ducts_fan, curve_speed), .kind = BW_QUANTITY, .dim = BW_DIM_TURNS, .min = 1,
     .max = 400, .help = "speed of its curve"},
    {BW_AT(struct ducts_fan, curve_density), .kind = BW_QUANTITY, .dim = BW_DIM_DENSITY, .min = 0.3,
     .max = 3, .fallback = "1.2 kg/m³", .help = "air density of its curve"},
    BW_END_FIELDS,
};
static const char *fan_rule(const void *record, const char **field) {
    const struct ducts_fan *fan = record;
    *field = "points";
    if (fan->points.n == 1) return "a curve needs at least two points";
    if (fan->points.n == 0 && (!bw_known(fan->most_flow) || !bw_known(fan->most_pressure)))
        return "needs points, or most flow and most pressure from the plate";
    const struct ducts_point *p = fan->points.items;
    for (size_t i = 1; i < fan->points.n; i++)
        if (!(p[i].flow.v > p[i - 1].flow.v)) return "the flows of the points must rise";
    *field = "curve_speed";
    if (bw_known(fan->speed) != bw_known(fan->curve_speed))
        return "needs both the speed it runs at and the curve's, or neither";
    return NULL;
}
RECORD_OF(FAN, "fan", ducts_fan, FAN_FIELDS, fan_rule, "a fan");

static const struct bw_field EXIT_FIELDS[] = {
    {BW_AT(struct ducts_loss, factor), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0,
     .max = 10, .fallback = "1", .lead = "", .help = "velocity pressures lost where air leaves"},
    BW_END_FIELDS,
};
RECORD_OF(EXIT, "outlet", ducts_loss, EXIT_FIELDS, NULL, "where air leaves");

const struct bw_choice_record ducts_part_kinds[] = {
    {"hood", "where air comes in", &HOOD},
    {"straight", "straight or spiral duct", &STRAIGHT},
    {"flex", "flexible hose", &FLEX},
    {"elbow", "an elbow", &ELBOW},
    {"gate", "a slide gate", &GATE},
    {"reducer", "a change of diameter", &REDUCER},
    {"loss", "any loss by its factor", &LOSS},
    {"separator", "a cyclone or drop-out box", &SEPARATOR},
    {"filter", "a filter", &FILTER},
    {"fan", "a fan", &FAN},
    {"exit", "where air leaves", &EXIT},
    {NULL, NULL, NULL},
};

#define PART_OF(which, title, record, what)                                                        \
    {                                                                                              \
        .name = title, .offset = offsetof(struct ducts_part, by) + (which) * sizeof(void *),       \
        .kind = BW_RECORD, .of = &record, .help = what                                             \
    }
static const struct bw_field PART_FIELDS[] = {
    PART_OF(DUCTS_HOOD, "hood", HOOD, "where air comes in"),
    PART_OF(DUCTS_STRAIGHT, "straight", STRAIGHT, "straight or spiral duct"),
    PART_OF(DUCTS_FLEX, "flex", FLEX, "flexible hose"),
    PART_OF(DUCTS_ELBOW, "elbow", ELBOW, "an elbow"),
    PART_OF(DUCTS_GATE, "gate", GATE, "a slide gate"),
    PART_OF(DUCTS_REDUCER, "reducer", REDUCER, "a change of diameter"),
    PART_OF(DUCTS_LOSS, "loss", LOSS, "any loss by its factor"),
    PART_OF(DUCTS_SEPARATOR, "separator", SEPARATOR, "a cyclone or drop-out box"),
    PART_OF(DUCTS_FILTER, "filter", FILTER, "a filter"),
    PART_OF(DUCTS_FAN, "fan", FAN, "a fan"),
    PART_OF(DUCTS_EXIT, "exit", EXIT, "where air leaves"),
    BW_END_FIELDS,
};
static const char *part_rule(const void *record, const char **field) {
    const struct ducts_part *part = record;
    int n = 0;
    for (int i = 0; i < DUCTS_KINDS; i++) n += part->by[i] != NULL;
    *field = "straight";
    if (n == 0) return "a part says what it is: straight, flex, elbow, gate ...";
    return n == 1 ? NULL : "a part is one thing; give each part its own line";
}
RECORD_OF(PART, "duct part", ducts_part, PART_FIELDS, part_rule, "one part of a line");

static const struct bw_field LINE_FIELDS[] = {
    {BW_AT(struct ducts_line, name), .kind = BW_TEXT, .required = true,
     .help = "what the shop calls it; a port's name in the machine file is the same thing"},
    {BW_AT(struct ducts_line, from), .kind = BW_TEXT, .fallback = "room",
     .help = "the point it comes from; room and outdoors are open air"},
    {BW_AT(struct ducts_line, to), .kind = BW_TEXT, .fallback = "outdoors",
     .help = "the point it goes to"},
    {LENGTH(ducts_line, diameter, BW_DIM_LENGTH, 0.02, 3,
            "inside diameter where it begins; left out it is sized from the least flows")},
    {BW_AT(struct ducts_line, minimum), .kind = BW_QUANTITY, .dim = BW_DIM_FLOW, .min = 0.005,
     .max = 50, .help = "least flow, where it serves a port"},
    {BW_AT(struct ducts_line, parts), .kind = BW_LIST, .of = &PART, .count_max = DUCTS_MOST_PARTS,
     .required = true, .help = "its parts in the direction of the air"},
    BW_END_FIELDS,
};
RECORD_OF(LINE, "duct line", ducts_line, LINE_FIELDS, NULL, "a run of duct between two points");

static const struct bw_field JUNCTION_FIELDS[] = {
    {BW_AT(struct ducts_junction, at), .kind = BW_TEXT, .required = true, .help = "the point"},
    {BW_AT(struct ducts_junction, main), .kind = BW_TEXT, .required = true,
     .help = "the line that goes straight through"},
    {BW_AT(struct ducts_junction, branch), .kind = BW_TEXT, .required = true,
     .help = "the line that comes in from the side"},
    {BW_AT(struct ducts_junction, angle), .kind = BW_QUANTITY, .dim = BW_DIM_ANGLE, .min = 0.17,
     .max = 1.6, .fallback = "30 deg", .help = "angle between them"},
    BW_END_FIELDS,
};
RECORD_OF(JUNCTION, "junction", ducts_junction, JUNCTION_FIELDS, NULL,
          "a fitting where two lines become one");

static const struct bw_field BRANCH_FIELDS[] = {
    {BW_AT(struct ducts_branch, name), .kind = BW_TEXT, .required = true,
     .help = "the port it serves"},
    {LENGTH(ducts_branch, diameter, BW_DIM_LENGTH, 0.03, 1,
            "inside diameter; left out it is sized from the least flows")},
    {LENGTH(ducts_branch, length, BW_DIM_TRAVEL, 0.05, 100, "length of rigid duct"),
     .fallback = "3 m"},
    {LENGTH(ducts_branch, flex, BW_DIM_TRAVEL, 0, 30, "length of flexible hose"),
     .fallback = "1.5 m"},
    {BW_AT(struct ducts_branch, elbows), .kind = BW_COUNT, .min = 0, .max = 20, .fallback = "2",
     .help = "elbows of a quarter turn"},
    {BW_AT(struct ducts_branch, gate), .kind = BW_CHOICE, .of = YES_NO, .fallback = "yes",
     .help = "whether it has a gate"},
    {BW_AT(struct ducts_branch, minimum), .kind = BW_QUANTITY, .dim = BW_DIM_FLOW, .min = 0.005,
     .max = 50, .help = "least flow by the machine's plate"},
    {LENGTH(ducts_branch, trunk, BW_DIM_LENGTH, 0.03, 2,
            "trunk's diameter behind it; left out it is sized")},
    {LENGTH(ducts_branch, run, BW_DIM_TRAVEL, 0.05, 300, "trunk's length to the next"),
     .fallback = "3 m"},
    BW_END_FIELDS,
};
RECORD_OF(BRANCH, "branch", ducts_branch, BRANCH_FIELDS, NULL, "one branch of a sketch");

static const struct bw_field LEAK_FIELDS[] = {
    {LENGTH(ducts_leak, hole, BW_DIM_LENGTH, 0.002, 0.5, "diameter of a round hole as large"),
     .required = true, .lead = ""},
    {BW_AT(struct ducts_leak, at), .kind = BW_TEXT, .required = true, .lead = "at",
     .help = "the line at whose end it is, or a point"},
    BW_END_FIELDS,
};
RECORD_OF(LEAK, "duct leak", ducts_leak, LEAK_FIELDS, NULL, "a hole that draws air");
static const struct bw_choice SIZES[] = {
    {"metric", "duct is bought in millimetres"},
    {"inches", "duct is bought in whole inches"},
    {NULL, NULL},
};

#define FILE_(member) BW_AT(struct ducts_file, member)
static const struct bw_field FILE_FIELDS[] = {
    {FILE_(name), .kind = BW_TEXT, .help = "what the system is called"},
    {FILE_(note), .kind = BW_TEXT, .help = "anything worth keeping"},
    {FILE_(temperature), .kind = BW_QUANTITY, .dim = BW_DIM_TEMPERATURE, .min = 233, .max = 373,
     .fallback = "20 °C", .help = "of the air"},
    {FILE_(altitude), .kind = BW_QUANTITY, .dim = BW_DIM_TRAVEL, .min = -500, .max = 5000,
     .fallback = "0 m", .help = "height above the sea"},
    {FILE_(density), .kind = BW_QUANTITY, .dim = BW_DIM_DENSITY, .min = 0.3, .max = 3,
     .help = "of the air, in place of what altitude and temperature give"},
    {FILE_(transport), .kind = BW_QUANTITY, .dim = BW_DIM_SPEED, .min = 5, .max = 40,
     .fallback = "20 m/s", .help = "least velocity that carries the dust"},
    {FILE_(sizes), .kind = BW_CHOICE, .of = SIZES, .fallback = "metric",
     .help = "the sizes duct is bought in, for ducts to be sized or changed"},
    {FILE_(branches), .kind = BW_LIST, .of = &BRANCH, .count_max = 40,
     .help = "a sketch: branches from the far end of one trunk to the collector"},
    {FILE_(fan), .kind = BW_RECORD, .of = &FAN,
     .help = "a sketch's fan; left out, the fan it takes is worked out"},
    {FILE_(filter), .kind = BW_RECORD, .of = &FILTER, .help = "a sketch's filter"},
    {FILE_(lines), .kind = BW_LIST, .of = &LINE, .count_max = DUCTS_MOST_LINES,
     .help = "the whole network, line by line, in place of a sketch"},
    {FILE_(junctions), .kind = BW_LIST, .of = &JUNCTION, .count_max = DUCTS_MOST_LINES,
     .help = "fittings where two lines become one"},
    {FILE_(leaks), .kind = BW_LIST, .of = &LEAK, .count_max = 40, .help = "holes that draw air"},
    BW_END_FIELDS,
};
static const char *file_rule(const void *record, const char **field) {
    const struct ducts_file *file = record;
    *field = "lines";
    if (file->lines.n > 0 && file->branches.n > 0)
        return "is a sketch (branches) or a whole network (lines), not both";
    if (file->lines.n == 0 && file->branches.n == 0) return "needs branches, or lines";
    *field = "fan";
    if (file->lines.n > 0 && (file->fan != NULL || file->filter != NULL))
        return "stands among the parts of a line where lines are given";
    return NULL;
}
const struct bw_record ducts_file_record = {.name = "dust system",
                                            .help = "a dust system: ducts, gates, filter, fan",
                                            .fields = FILE_FIELDS,
                                            .size = sizeof(struct ducts_file),
                                            .check = file_rule};
const struct bw_file_kind ducts_file_kind = {.name = "network file",
                                             .shape = DUCTS_SHAPE,
                                             .record = &ducts_file_record,
                                             .max_bytes = BW_MAX_DOCUMENT_BYTES};
