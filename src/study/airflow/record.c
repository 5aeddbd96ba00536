// record.c - the fields of the study `airflow`, in and out, each defined here and nowhere else.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/airflow/record.h"

#include "machine/machine.h"

// --- in --------------------------------------------------------------------------------------

static const struct bw_choice RULES[] = {
    {"log-tchebycheff", "the points of ISO 5802 that fit most ducts; 6, 8 or 10 to a diameter"},
    {"log-linear", "the other set of ISO 5802"},
    {"equal-area", "midpoints of rings or rectangles of equal area"},
    {"face", "a vane or hot wire moved over an open port"},
    {NULL, NULL},
};
static const struct bw_choice INSTRUMENTS[] = {
    {"pitot", "a pitot tube: readings are velocity pressures"},
    {"vane", "a vane anemometer: readings are velocities"},
    {"hot-wire", "a hot wire: readings are velocities at standard density"},
    {NULL, NULL},
};
static const struct bw_choice WHENS[] = {
    {"before", "before the repair"}, {"now", "as it is now"}, {NULL, NULL}};

#define TAP(member) BW_AT(struct airflow_tap, member)
#define SECTION(member) BW_AT(struct airflow_section, member)
#define IN(member) BW_AT(struct airflow_input, member)

static const struct bw_field TAP_FIELDS[] = {
    {TAP(pressure), .kind = BW_QUANTITY, .dim = BW_DIM_PRESSURE, .min = 1, .max = 20e3,
     .required = true, .lead = "", .help = "suction at the tap, static, below the room"},
    {TAP(at), .kind = BW_TEXT, .required = true, .lead = "at",
     .help = "the port, named as in the machine file"},
    {TAP(was), .kind = BW_QUANTITY, .dim = BW_DIM_PRESSURE, .min = 1, .max = 20e3, .lead = "was",
     .help = "the same tap on the day it was good"},
    {TAP(diameter), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.02, .max = 2,
     .lead = "diameter", .help = "inside diameter there; the machine file's if it has it"},
    {TAP(coefficient), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0.3, .max = 1,
     .lead = "coefficient", .help = "the hood's coefficient, best from one traverse"},
    {TAP(entry), .kind = BW_TEXT, .lead = "entry",
     .help = "the hood's shape, of the table hoods, where no coefficient is known"},
    BW_END_FIELDS,
};
static const char *tap_rule(const void *record, const char **field) {
    const struct airflow_tap *tap = record;
    *field = "entry";
    if (tap->entry != NULL && bw_known(tap->coefficient))
        return "give the coefficient or the entry, not both";
    return NULL;
}
static const struct bw_record TAP_RECORD = {.name = "tap",
                                            .help = "static suction close behind a hood",
                                            .fields = TAP_FIELDS,
                                            .size = sizeof(struct airflow_tap),
                                            .check = tap_rule};

static const struct bw_field SECTION_FIELDS[] = {
    {SECTION(at), .kind = BW_TEXT, .required = true,
     .help = "the port or duct, named as in the machine file"},
    {SECTION(diameter), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.02, .max = 2,
     .help = "inside diameter of a round duct; the machine file's if it has it"},
    {SECTION(width), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.02, .max = 3,
     .help = "of a rectangular duct, along one row of readings"},
    {SECTION(height), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.02, .max = 3,
     .help = "of a rectangular duct, from row to row"},
    {SECTION(readings), .kind = BW_TEXT,
     .help = "150 185 205 212 190 155 | 148 180 203 210 188 152 Pa: rows parted by |, - for a "
             "missing one, the unit last; none: a card to drill and read by is printed"},
    {SECTION(rule), .kind = BW_CHOICE, .of = RULES, .fallback = "log-tchebycheff",
     .help = "where the readings stand"},
    {SECTION(instrument), .kind = BW_CHOICE, .of = INSTRUMENTS, .fallback = "pitot",
     .help = "what they were read with"},
    {SECTION(factor), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0.5, .max = 1.2,
     .help = "application factor of an instrument at a face, from its maker"},
    {SECTION(when), .kind = BW_CHOICE, .of = WHENS, .fallback = "now",
     .help = "before the repair, or now"},
    BW_END_FIELDS,
};
static const char *section_rule(const void *record, const char **field) {
    const struct airflow_section *section = record;
    *field = "width";
    if (bw_known(section->width) != bw_known(section->height))
        return "needs both width and height, or a diameter";
    if (bw_known(section->width) && bw_known(section->diameter))
        return "is round or rectangular, not both";
    *field = "rule";
    if (bw_known(section->width) && section->rule == RULE_LINEAR)
        return "log-linear points are for round ducts; take log-tchebycheff";
    *field = "instrument";
    if (section->rule == RULE_FACE && section->instrument == BY_PITOT)
        return "a face is read with a vane or a hot wire";
    return NULL;
}
static const struct bw_record SECTION_RECORD = {.name = "section",
                                                .help = "a traverse of one duct or port",
                                                .fields = SECTION_FIELDS,
                                                .size = sizeof(struct airflow_section),
                                                .check = section_rule};

static const struct bw_field INPUT_FIELDS[] = {
    {IN(machine), .kind = BW_FILE, .of = &bw_machine_file, .positional = true,
     .help = "the machine file, for ports and what its plate asks"},
    {IN(taps), .kind = BW_LIST, .of = &TAP_RECORD, .count_max = 60,
     .help = "the quick method: static suction near the hoods"},
    {IN(sections), .kind = BW_LIST, .of = &SECTION_RECORD, .count_max = 60,
     .help = "traverses"},
    {IN(temperature), .kind = BW_QUANTITY, .dim = BW_DIM_TEMPERATURE, .min = 233.15,
     .max = 353.15, .fallback = "20 °C", .help = "of the air in the duct"},
    {IN(humidity), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0, .max = 1,
     .fallback = "50 %", .help = "relative humidity"},
    {IN(altitude), .kind = BW_QUANTITY, .dim = BW_DIM_TRAVEL, .min = -500, .max = 5000,
     .fallback = "0 m", .help = "height above the sea"},
    {IN(pressure), .kind = BW_QUANTITY, .dim = BW_DIM_PRESSURE, .min = 50e3, .max = 110e3,
     .help = "air pressure by a barometer there, in place of altitude"},
    {IN(minimum), .kind = BW_QUANTITY, .dim = BW_DIM_FLOW, .min = 0.005, .max = 20,
     .help = "least flow of each port whose plate says nothing; none: common practice, 1100 cfm"},
    {IN(transport), .kind = BW_QUANTITY, .dim = BW_DIM_SPEED, .min = 8, .max = 40,
     .fallback = "20 m/s", .help = "least velocity that carries the dust"},
    BW_END_FIELDS,
};
static const char *input_rule(const void *record, const char **field) {
    const struct airflow_input *in = record;
    *field = "taps";
    if (in->taps.n == 0 && in->sections.n == 0)
        return "needs a tap, or a section to read or to print a card for";
    return NULL;
}
const struct bw_record airflow_input_record = {.name = "airflow input",
                                               .help = "readings of air at ports and in ducts",
                                               .fields = INPUT_FIELDS,
                                               .size = sizeof(struct airflow_input),
                                               .check = input_rule};

// --- out -------------------------------------------------------------------------------------

static const struct bw_choice VERDICTS[] = {
    {"enough", "above its least flow"},
    {"starved", "below its least flow"},
    {"unsure", "the ± does not decide"},
    {"small", "too small a port for the rule of common practice; not starved by it"},
    {NULL, NULL},
};
static const struct bw_choice BASES[] = {
    {"plate", "the machine's plate"},
    {"given", "given with the readings"},
    {"practice", "common practice, no source: 1100 cfm at every port of a wide-belt machine"},
    {NULL, NULL},
};
static const struct bw_choice SPEEDS[] = {
    {"carries", "above transport velocity"},
    {"settles", "dust settles at this velocity"},
    {"unsure", "the ± does not decide"},
    {NULL, NULL},
};

#define OF(type, member, what, dimension)                                                          \
    {BW_AT(struct type, member), .kind = BW_QUANTITY, .dim = dimension, .help = what}
#define WORDS(type, member, what) {BW_AT(struct type, member), .kind = BW_TEXT, .help = what}
#define PICK(type, member, list, what)                                                             \
    {BW_AT(struct type, member), .kind = BW_CHOICE, .of = list, .help = what}
#define RECORD_OF(id, title, type, list, what)                                                     \
    static const struct bw_record id = {                                                           \
        .name = title, .help = what, .fields = list, .size = sizeof(struct type)}

static const struct bw_field PORT_FIELDS[] = {
    WORDS(airflow_port, at, "the port or duct"),
    PICK(airflow_port, when, WHENS, "before the repair, or now"),
    WORDS(airflow_port, method, "how it was measured"),
    OF(airflow_port, flow, "air flow", BW_DIM_FLOW),
    OF(airflow_port, velocity, "mean velocity there", BW_DIM_SPEED),
    OF(airflow_port, minimum, "least flow", BW_DIM_FLOW),
    OF(airflow_port, minimum_velocity, "the velocity that means at this port", BW_DIM_SPEED),
    PICK(airflow_port, basis, BASES, "who says so"),
    OF(airflow_port, short_chance, "chance that the flow is below it", BW_DIM_RATIO),
    PICK(airflow_port, verdict, VERDICTS, "enough or not"),
    PICK(airflow_port, carries, SPEEDS, "whether dust stays in the air"),
    WORDS(airflow_port, text, "what to do"),
    BW_END_FIELDS,
};
RECORD_OF(PORT, "port flow", airflow_port, PORT_FIELDS, "the air at one port");
static const struct bw_field CHANGE_FIELDS[] = {
    WORDS(airflow_change, at, "the port or duct"),
    OF(airflow_change, before, "flow before, or on the good day", BW_DIM_FLOW),
    OF(airflow_change, now, "flow now", BW_DIM_FLOW),
    OF(airflow_change, ratio, "now over before", BW_DIM_NUMBER),
    WORDS(airflow_change, verdict, "what that says"),
    BW_END_FIELDS,
};
RECORD_OF(CHANGE, "flow change", airflow_change, CHANGE_FIELDS, "before and now");
static const struct bw_field SHARE_FIELDS[] = {
    WORDS(airflow_share, at, "the port or duct"),
    WORDS(airflow_share, what, "where it comes from"),
    OF(airflow_share, share, "standard deviation as a share of the flow", BW_DIM_RATIO),
    BW_END_FIELDS,
};
RECORD_OF(SHARE, "uncertainty", airflow_share, SHARE_FIELDS, "one line of a budget");
static const struct bw_field MARK_FIELDS[] = {
    OF(airflow_mark, depth, "from the inside of the wall", BW_DIM_LENGTH),
    WORDS(airflow_mark, text, "which point"),
    BW_END_FIELDS,
};
RECORD_OF(MARK, "card mark", airflow_mark, MARK_FIELDS, "one point to read at");
static const struct bw_field CARD_FIELDS[] = {
    WORDS(airflow_card, at, "the port or duct"),
    WORDS(airflow_card, text, "where to drill"),
    {BW_AT(struct airflow_card, depths), .kind = BW_LIST, .of = &MARK, .help = "where to read"},
    BW_END_FIELDS,
};
RECORD_OF(CARD, "card", airflow_card, CARD_FIELDS, "where to drill and read");
static const struct bw_field NOTE_FIELDS[] = {
    WORDS(airflow_note, text, "one remark"),
    BW_END_FIELDS,
};
RECORD_OF(NOTE, "airflow note", airflow_note, NOTE_FIELDS, "a remark on the readings");

#define OUT(member) BW_AT(struct airflow_output, member)
static const struct bw_field OUTPUT_FIELDS[] = {
    {OUT(answer), .kind = BW_TEXT, .help = "the answer in one sentence"},
    {OUT(machine), .kind = BW_TEXT, .help = "the machine's name"},
    {OUT(density), .kind = BW_QUANTITY, .dim = BW_DIM_DENSITY, .help = "air density taken"},
    {OUT(ports), .kind = BW_LIST, .of = &PORT, .help = "the air at each port"},
    {OUT(total), .kind = BW_QUANTITY, .dim = BW_DIM_FLOW, .help = "all ports together, now"},
    {OUT(total_minimum), .kind = BW_QUANTITY, .dim = BW_DIM_FLOW,
     .help = "what they need together"},
    {OUT(changes), .kind = BW_LIST, .of = &CHANGE, .help = "before and now"},
    {OUT(budget), .kind = BW_LIST, .of = &SHARE, .help = "where the uncertainty comes from"},
    {OUT(cards), .kind = BW_LIST, .of = &CARD, .help = "where to drill and read"},
    {OUT(notes), .kind = BW_LIST, .of = &NOTE, .help = "remarks on the readings"},
    BW_END_FIELDS,
};
const struct bw_record airflow_output_record = {.name = "airflow",
                                                .help = "air at ports and in ducts",
                                                .fields = OUTPUT_FIELDS,
                                                .size = sizeof(struct airflow_output)};
