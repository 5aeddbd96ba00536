// record.c - the fields of the study `ducts`, in and out, each defined here and nowhere else.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/ducts/record.h"

#include "machine/machine.h"
#include "study/door.h"
#include "study/ducts/file.h"

static const struct bw_choice YES_NO[] = {{"no", NULL}, {"yes", NULL}, {NULL, NULL}};
static const struct bw_choice VERDICTS[] = {
    {"enough", "above its least flow"},
    {"starved", "below its least flow"},
    {"unsure", "the ± does not decide"},
    {"none", "no least flow is known"},
    {NULL, NULL},
};
static const struct bw_choice SPEEDS[] = {
    {"carries", "fast enough for dust"},
    {"settles", "dust settles"},
    {"wastes", "more than half as fast again as it need be"},
    {"idle", "shut, or behind shut gates only"},
    {NULL, NULL},
};

#define IN(member) BW_AT(struct ducts_input, member)
#define OF(type, member, what, dimension)                                                          \
    { BW_AT(struct type, member), .kind = BW_QUANTITY, .dim = dimension, .help = what }
#define WORDS(type, member, what)                                                                  \
    { BW_AT(struct type, member), .kind = BW_TEXT, .help = what }
#define PICK(type, member, list, what)                                                             \
    { BW_AT(struct type, member), .kind = BW_CHOICE, .of = list, .help = what }
#define RECORD_OF(id, title, type, list, what)                                                     \
    static const struct bw_record id = {                                                           \
        .name = title, .help = what, .fields = list, .size = sizeof(struct type)}

static const struct bw_field SHUT_FIELDS[] = {
    {BW_AT(struct ducts_shut, name), .kind = BW_TEXT, .required = true, .lead = "",
     .help = "a line whose gate is shut"},
    BW_END_FIELDS,
};
RECORD_OF(SHUT, "shut gate", ducts_shut, SHUT_FIELDS, "a gate to shut");
static const struct bw_field MEASURED_FIELDS[] = {
    {BW_AT(struct ducts_measured, flow), .kind = BW_QUANTITY, .dim = BW_DIM_FLOW, .min = 0.001,
     .max = 100, .required = true, .lead = "", .help = "flow as measured"},
    {BW_AT(struct ducts_measured, at), .kind = BW_TEXT, .required = true, .lead = "at",
     .help = "the line it was measured in"},
    BW_END_FIELDS,
};
RECORD_OF(MEASURED, "measured flow", ducts_measured, MEASURED_FIELDS, "a flow measured");
static const struct bw_field SUCTION_FIELDS[] = {
    {BW_AT(struct ducts_measured, suction), .kind = BW_QUANTITY, .dim = BW_DIM_PRESSURE, .min = 1,
     .max = 20e3, .required = true, .lead = "",
     .help = "static suction close behind the hood; of a line with a filter the pressure over it; "
             "else the suction where the line begins"},
    {BW_AT(struct ducts_measured, at), .kind = BW_TEXT, .required = true, .lead = "at",
     .help = "the line it was read in"},
    BW_END_FIELDS,
};
RECORD_OF(SUCTION, "measured suction", ducts_measured, SUCTION_FIELDS, "a suction read");
static const struct bw_choice PRICED[] = {
    {"cleaning", "cleaning the filter"},
    {"media", "new filter media"},
    {"hose", "shortening or replacing one hose"},
    {"duct", "a metre of new duct, put up"},
    {"sheave", "a sheave and belt, fitted"},
    {"booster", "a booster fan, fitted"},
    {"sealing", "sealing a leak, or putting right what disagrees"},
    {NULL, NULL},
};
static const struct bw_field PRICE_FIELDS[] = {
    {BW_AT(struct ducts_price, amount), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0,
     .max = 1e7, .required = true, .lead = "", .help = "what it costs you, in your money"},
    {BW_AT(struct ducts_price, of), .kind = BW_CHOICE, .of = PRICED, .required = true,
     .lead = "for", .help = "what for"},
    BW_END_FIELDS,
};
RECORD_OF(PRICE, "duct price", ducts_price, PRICE_FIELDS, "a price of your own");

static const struct bw_field INPUT_FIELDS[] = {
    {IN(network), .kind = BW_FILE, .of = &ducts_file_kind, .required = true, .positional = true,
     .help = "the network file, a sketch or a whole network"},
    {IN(machine), .kind = BW_FILE, .of = &bw_machine_file,
     .help = "the machine file: lines named as its ports take their least flows and run together"},
    {IN(shut), .kind = BW_LIST, .of = &SHUT, .count_max = 100, .help = "gates that are shut"},
    {IN(measured), .kind = BW_LIST, .of = &MEASURED, .count_max = 100,
     .help = "flows measured, to find what disagrees with its plate"},
    {IN(suctions), .kind = BW_LIST, .of = &SUCTION, .count_max = 100,
     .help = "pressures read, for the same"},
    {IN(prices), .kind = BW_LIST, .of = &PRICE, .count_max = 20,
     .help = "your own prices, to sort changes by cost in place of effort"},
    {IN(settings), .kind = BW_CHOICE, .of = YES_NO, .fallback = "yes",
     .help = "whether all settings of the gates are tried, up to twelve gates"},
    {IN(parts), .kind = BW_CHOICE, .of = YES_NO, .fallback = "no",
     .help = "whether velocity, loss and pressure are told part by part"},
    {IN(draws), .kind = BW_COUNT, .min = 0, .max = 5000, .fallback = "200",
     .help = "solves with losses drawn from their spread, for the ±; 0: none"},
    BW_SEED_FIELD(struct ducts_input),
    BW_END_FIELDS,
};
const struct bw_record ducts_input_record = {.name = "ducts input",
                                             .help = "a dust system, its gates, what was measured",
                                             .fields = INPUT_FIELDS,
                                             .size = sizeof(struct ducts_input)};

static const struct bw_field LINE_FIELDS[] = {
    WORDS(ducts_line_row, name, "the line"),
    WORDS(ducts_line_row, from, "where it begins"),
    WORDS(ducts_line_row, to, "where it ends"),
    OF(ducts_line_row, flow, "flow; below zero it runs backwards", BW_DIM_FLOW),
    OF(ducts_line_row, velocity, "lowest velocity along it", BW_DIM_SPEED),
    OF(ducts_line_row, open, "how far its gate is open", BW_DIM_RATIO),
    OF(ducts_line_row, minimum, "least flow", BW_DIM_FLOW),
    OF(ducts_line_row, short_chance, "chance of less than that", BW_DIM_RATIO),
    OF(ducts_line_row, suction, "static suction close behind its hood", BW_DIM_PRESSURE),
    OF(ducts_line_row, loss, "loss of total pressure along it", BW_DIM_PRESSURE),
    PICK(ducts_line_row, verdict, VERDICTS, "enough or not"),
    PICK(ducts_line_row, speed, SPEEDS, "whether dust stays in the air"),
    PICK(ducts_line_row, hole, YES_NO, "whether this is a leak, no duct"),
    BW_END_FIELDS,
};
RECORD_OF(LINE, "line result", ducts_line_row, LINE_FIELDS, "the air in one line");
static const struct bw_field PART_FIELDS[] = {
    WORDS(ducts_part_row, line, "the line"),
    WORDS(ducts_part_row, part, "the part"),
    OF(ducts_part_row, velocity, "velocity", BW_DIM_SPEED),
    OF(ducts_part_row, velocity_pressure, "velocity pressure", BW_DIM_PRESSURE),
    OF(ducts_part_row, loss, "loss; below zero a gain", BW_DIM_PRESSURE),
    OF(ducts_part_row, pressure, "total pressure behind it, against the room", BW_DIM_PRESSURE),
    BW_END_FIELDS,
};
RECORD_OF(PART, "part result", ducts_part_row, PART_FIELDS, "the air at one part");
static const struct bw_field FAN_FIELDS[] = {
    WORDS(ducts_fan_row, line, "the line"),
    OF(ducts_fan_row, flow, "flow", BW_DIM_FLOW),
    OF(ducts_fan_row, pressure, "total pressure", BW_DIM_PRESSURE),
    OF(ducts_fan_row, power, "power at its shaft", BW_DIM_POWER),
    OF(ducts_fan_row, motor, "rated power of its motor", BW_DIM_POWER),
    WORDS(ducts_fan_row, text, "what to mind"),
    BW_END_FIELDS,
};
RECORD_OF(FAN, "fan result", ducts_fan_row, FAN_FIELDS, "what a fan does");
static const struct bw_field SETTING_FIELDS[] = {
    WORDS(ducts_setting_row, open, "the gates open together"),
    WORDS(ducts_setting_row, worst, "the port that has least of what it needs"),
    OF(ducts_setting_row, share, "what it has of it", BW_DIM_RATIO),
    WORDS(ducts_setting_row, slowest, "the slowest line in use"),
    OF(ducts_setting_row, velocity, "its velocity", BW_DIM_SPEED),
    BW_END_FIELDS,
};
RECORD_OF(SETTING, "gate setting", ducts_setting_row, SETTING_FIELDS,
          "gates that may be open together");
static const struct bw_field REMEDY_FIELDS[] = {
    WORDS(ducts_remedy_row, what, "what to do"),
    WORDS(ducts_remedy_row, effort,
          "none: a hand on a gate; little: under an hour; some: half a "
          "day and a bought part; much: a day or more"),
    OF(ducts_remedy_row, cost, "what it costs by the prices given", BW_DIM_NUMBER),
    PICK(ducts_remedy_row, works, YES_NO, "whether every open port then has enough"),
    WORDS(ducts_remedy_row, worst, "the worst port then"),
    OF(ducts_remedy_row, share, "what it has of what it needs", BW_DIM_RATIO),
    OF(ducts_remedy_row, before, "what the worst port has now", BW_DIM_RATIO),
    WORDS(ducts_remedy_row, slowest, "the slowest line in use then"),
    OF(ducts_remedy_row, velocity, "its velocity", BW_DIM_SPEED),
    OF(ducts_remedy_row, motor, "power at the fan's shaft then", BW_DIM_POWER),
    PICK(ducts_remedy_row, overload, YES_NO, "whether that overloads the motor"),
    WORDS(ducts_remedy_row, everywhere, "what every port in use then has of its least flow"),
    WORDS(ducts_remedy_row, gates, "how far each gate is to stand open then, where they are set"),
    WORDS(ducts_remedy_row, caution, "what to mind"),
    WORDS(ducts_remedy_row, caution_too, "and of the second of two changes"),
    BW_END_FIELDS,
};
RECORD_OF(REMEDY, "duct remedy", ducts_remedy_row, REMEDY_FIELDS, "a change, solved again");
static const struct bw_field BALANCE_FIELDS[] = {
    WORDS(ducts_balance_row, line, "the line"),
    OF(ducts_balance_row, open, "how far its gate is to stand open", BW_DIM_RATIO),
    OF(ducts_balance_row, flow, "its flow then", BW_DIM_FLOW),
    OF(ducts_balance_row, share, "of its least flow", BW_DIM_RATIO),
    OF(ducts_balance_row, velocity, "lowest velocity along it then", BW_DIM_SPEED),
    BW_END_FIELDS,
};
RECORD_OF(BALANCE, "balanced gate", ducts_balance_row, BALANCE_FIELDS, "a gate set for balance");
static const struct bw_field SIZE_FIELDS[] = {
    WORDS(ducts_size_row, line, "the line"),
    OF(ducts_size_row, diameter, "its diameter", BW_DIM_LENGTH),
    OF(ducts_size_row, flow, "its flow then", BW_DIM_FLOW),
    OF(ducts_size_row, velocity, "velocity where it begins", BW_DIM_SPEED),
    OF(ducts_size_row, open, "how far its gate is to stand open", BW_DIM_RATIO),
    BW_END_FIELDS,
};
RECORD_OF(SIZE, "sized line", ducts_size_row, SIZE_FIELDS, "a line of a system to be built");
static const struct bw_field SUSPECT_FIELDS[] = {
    WORDS(ducts_suspect_row, line, "the line"),
    WORDS(ducts_suspect_row, element, "what of it: hood, duct, gate, filter, fan or hole"),
    OF(ducts_suspect_row, factor, "its loss over what its plate says; of a fan, its speed",
       BW_DIM_NUMBER),
    OF(ducts_suspect_row, hole, "diameter of a round hole as large", BW_DIM_LENGTH),
    OF(ducts_suspect_row, chance, "its chance against the others told", BW_DIM_RATIO),
    OF(ducts_suspect_row, misfit, "what is left of the misfit then", BW_DIM_NUMBER),
    WORDS(ducts_suspect_row, text, "what that would be"),
    BW_END_FIELDS,
};
RECORD_OF(SUSPECT, "duct suspect", ducts_suspect_row, SUSPECT_FIELDS,
          "an element that would explain what was measured");
static const struct bw_field NOTE_FIELDS[] = {
    WORDS(ducts_note_row, text, "one remark"),
    BW_END_FIELDS,
};
RECORD_OF(NOTE, "ducts note", ducts_note_row, NOTE_FIELDS, "a remark");

#define OUT(member) BW_AT(struct ducts_output, member)
#define LIST(member, record, what)                                                                 \
    { OUT(member), .kind = BW_LIST, .of = &record, .help = what }
#define Q(member, dimension, what)                                                                 \
    { OUT(member), .kind = BW_QUANTITY, .dim = dimension, .help = what }
static const struct bw_field OUTPUT_FIELDS[] = {
    {OUT(name), .kind = BW_TEXT, .help = "the system"},
    {OUT(answer), .kind = BW_TEXT, .help = "the answer in one sentence"},
    Q(density, BW_DIM_DENSITY, "air density"),
    Q(transport, BW_DIM_SPEED, "least velocity that carries the dust"),
    LIST(lines, LINE, "the air in each line"),
    LIST(parts, PART, "the air at each part"),
    {OUT(tell_parts), .kind = BW_CHOICE, .of = YES_NO, .help = "whether the text tells them"},
    LIST(fans, FAN, "what the fans do"),
    Q(tried, BW_DIM_NUMBER, "settings of the gates tried"),
    LIST(settings, SETTING, "the largest sets of gates that may be open together"),
    {OUT(first), .kind = BW_TEXT, .help = "what all changes tried take as done first"},
    LIST(remedies, REMEDY, "changes, each solved again, by cost or effort"),
    LIST(balance, BALANCE, "gates half shut so that every port has the same share"),
    {OUT(balance_slowest), .kind = BW_TEXT, .help = "the slowest line in use then"},
    Q(balance_velocity, BW_DIM_SPEED, "its velocity"),
    LIST(sizes, SIZE, "lines sized from the least flows"),
    Q(duty_flow, BW_DIM_FLOW, "flow of the fan it takes"),
    Q(duty_pressure, BW_DIM_PRESSURE, "its total pressure there"),
    Q(duty_power, BW_DIM_POWER, "power at its shaft there"),
    Q(duty_motor, BW_DIM_POWER, "motor it takes"),
    Q(misfit, BW_DIM_NUMBER, "sum of squares of measured against computed, in their ±"),
    Q(expected, BW_DIM_NUMBER, "the largest misfit that chance explains"),
    LIST(suspects, SUSPECT, "elements that would explain what was measured, one at a time"),
    {OUT(calibrated), .kind = BW_CHOICE, .of = YES_NO,
     .help = "whether the flows told are set to what was measured"},
    LIST(notes, NOTE, "remarks"),
    Q(steps, BW_DIM_NUMBER, "steps the solver took"),
    Q(imbalance, BW_DIM_NUMBER, "largest lack of balance at a point, over the largest flow"),
    Q(mismatch, BW_DIM_NUMBER, "largest lack of pressure along a line, over the largest loss"),
    BW_END_FIELDS,
};
const struct bw_record ducts_output_record = {.name = "ducts result",
                                              .help = "the air in a dust system",
                                              .fields = OUTPUT_FIELDS,
                                              .size = sizeof(struct ducts_output)};
