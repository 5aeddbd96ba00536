// machine.c - the fields of a machine file, each defined here and nowhere else.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "machine/machine.h"

#include <assert.h>
#include <math.h>

static const struct bw_choice CONTACTS[] = {
    {"steel drum", "a steel drum, smooth or grooved"},
    {"rubber drum", "a drum with a rubber cover"},
    {"platen", "a solid pad under the belt, felt and slip cover"},
    {"sectional platen", "a pad of separately pressed sections"},
    {"combination", "a drum and a platen under one belt"},
    {"brush", "a brush roller, no belt"},
    {"cross belt", "a belt that runs across the feed"},
    {NULL, NULL},
};
static const struct bw_choice DIRECTIONS[] = {
    {"against feed", "the belt cuts against the panel's travel"},
    {"with feed", "the belt runs with the panel"},
    {NULL, NULL},
};
static const struct bw_choice JOINTS[] = {
    {"overlap", "ends laid over each other"},
    {"butt", "ends butted, straight, with a tape under them"},
    {"wavy butt", "ends butted along a wavy or toothed cut"},
    {"segmented", "a wide belt made of several strips"},
    {NULL, NULL},
};
static const struct bw_choice ROLES[] = {
    {"tension", "the steered and tensioned top roll"},
    {"idler", "turned by the belt only"},
    {"drive", "turned by the motor, drives the belt"},
    {NULL, NULL},
};
static const struct bw_choice YES_NO[] = {{"no", NULL}, {"yes", NULL}, {NULL, NULL}};
static const struct bw_choice PLACES[] = {
    {"infeed", "before the first head"},
    {"between", "between heads"},
    {"outfeed", "after the last head"},
    {NULL, NULL},
};

static const struct bw_field BELT_FIELDS[] = {
    {BW_AT(struct bw_belt, length), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.3,
     .max = 20, .of = bw_belt_length_ways, .help = "length round the belt, as printed on its back"},
    {BW_AT(struct bw_belt, width), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.05, .max = 4,
     .help = "width across"},
    {BW_AT(struct bw_belt, thickness), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.0001,
     .max = 0.01, .fallback = "1 mm", .help = "backing and grain together"},
    {BW_AT(struct bw_belt, speed), .kind = BW_QUANTITY, .dim = BW_DIM_SPEED, .min = 0.5, .max = 60,
     .of = bw_belt_speed_ways, .help = "belt speed"},
    {BW_AT(struct bw_belt, splices), .kind = BW_COUNT, .min = 1, .max = 12, .fallback = "1",
     .help = "joints passing in one turn; belts wider than the parent roll have several"},
    {BW_AT(struct bw_belt, joint), .kind = BW_CHOICE, .of = JOINTS,
     .help = "how the ends are joined"},
    {BW_AT(struct bw_belt, joint_angle), .kind = BW_QUANTITY, .dim = BW_DIM_ANGLE, .min = 0,
     .max = 80 * M_PI / 180, .help = "how far the joint leans from square across the belt"},
    {BW_AT(struct bw_belt, grit), .kind = BW_TEXT, .help = "grit as printed, such as P80"},
    BW_END_FIELDS,
};
static const struct bw_record BELT = {.name = "belt",
                                      .help = "the sanding belt of one head",
                                      .fields = BELT_FIELDS,
                                      .size = sizeof(struct bw_belt)};

static const struct bw_field DRUM_FIELDS[] = {
    {BW_AT(struct bw_drum, diameter), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.03,
     .max = 1, .of = bw_diameter_ways, .help = "diameter over the cover, without the belt"},
    {BW_AT(struct bw_drum, circumference), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.09,
     .max = 3.2, .of = bw_circumference_ways,
     .help = "by tape round the drum, locked out; beats the diameter"},
    {BW_AT(struct bw_drum, measured_on), .kind = BW_TEXT,
     .help = "date of that measurement, YYYY-MM-DD"},
    {BW_AT(struct bw_drum, hardness), .kind = BW_QUANTITY, .dim = BW_DIM_SHORE, .min = 5,
     .max = 100, .help = "hardness of the rubber cover"},
    {BW_AT(struct bw_drum, contact), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.0005,
     .max = 0.1, .help = "length along the feed over which the drum presses"},
    {BW_AT(struct bw_drum, bearing), .kind = BW_TEXT,
     .help = "bearing designation, such as 6205, for its rates"},
    BW_END_FIELDS,
};
static const struct bw_record DRUM = {.name = "drum",
                                      .help = "the contact drum",
                                      .fields = DRUM_FIELDS,
                                      .size = sizeof(struct bw_drum)};

static const struct bw_field PLATEN_FIELDS[] = {
    {BW_AT(struct bw_platen, contact), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.002,
     .max = 0.5, .fallback = "50 mm", .help = "length along the feed over which it presses"},
    {BW_AT(struct bw_platen, section_pitch), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .min = 0.005, .max = 0.5, .help = "from section to section across, for a sectional platen"},
    {BW_AT(struct bw_platen, cover), .kind = BW_TEXT, .help = "felt, slip cover, their age"},
    BW_END_FIELDS,
};
static const struct bw_record PLATEN = {.name = "platen",
                                        .help = "the pad that presses the belt",
                                        .fields = PLATEN_FIELDS,
                                        .size = sizeof(struct bw_platen)};

static const struct bw_field ROLLER_FIELDS[] = {
    {BW_AT(struct bw_roller, name), .kind = BW_TEXT, .help = "what the shop calls it"},
    {BW_AT(struct bw_roller, role), .kind = BW_CHOICE, .of = ROLES, .fallback = "idler",
     .help = "what it does"},
    {BW_AT(struct bw_roller, diameter), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.02,
     .max = 1, .of = bw_diameter_ways, .help = "diameter without the belt"},
    {BW_AT(struct bw_roller, circumference), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.06,
     .max = 3.2, .of = bw_circumference_ways, .help = "by tape, locked out; beats the diameter"},
    {BW_AT(struct bw_roller, bearing), .kind = BW_TEXT, .help = "bearing designation"},
    {BW_AT(struct bw_roller, shaft_fixed), .kind = BW_CHOICE, .of = YES_NO, .fallback = "no",
     .help = "yes where the shaft stands still and the roller turns round it"},
    BW_END_FIELDS,
};
static const struct bw_record ROLLER = {.name = "roller",
                                        .help = "a roll the sanding belt turns",
                                        .fields = ROLLER_FIELDS,
                                        .size = sizeof(struct bw_roller)};

static const struct bw_field MOTOR_FIELDS[] = {
    {BW_AT(struct bw_motor, power), .kind = BW_QUANTITY, .dim = BW_DIM_POWER, .min = 100,
     .max = 500e3, .help = "rated power"},
    {BW_AT(struct bw_motor, speed), .kind = BW_QUANTITY, .dim = BW_DIM_TURNS, .min = 1, .max = 400,
     .of = bw_turns_ways, .help = "speed on the plate, at rated load"},
    {BW_AT(struct bw_motor, pulley), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.02,
     .max = 1, .help = "effective diameter of the motor's pulley"},
    {BW_AT(struct bw_motor, driven_pulley), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.02,
     .max = 1, .help = "effective diameter of the driven pulley"},
    {BW_AT(struct bw_motor, direct), .kind = BW_CHOICE, .of = YES_NO, .fallback = "no",
     .help = "yes where the motor is coupled straight to the roll, without pulleys"},
    {BW_AT(struct bw_motor, drive_belt), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.2,
     .max = 10, .help = "length of the drive belt between the pulleys"},
    {BW_AT(struct bw_motor, drives_drum), .kind = BW_CHOICE, .of = YES_NO, .fallback = "yes",
     .help = "yes: it turns the contact drum; no: another roll"},
    {BW_AT(struct bw_motor, bearing), .kind = BW_TEXT, .help = "bearing designation"},
    BW_END_FIELDS,
};
static const char *motor_rule(const void *record, const char **field) {
    const struct bw_motor *motor = record;
    if (motor->direct == BW_YES && bw_known(motor->pulley)) {
        *field = "pulley";
        return "a direct drive has no pulleys";
    }
    if (bw_known(motor->pulley) == bw_known(motor->driven_pulley)) return NULL;
    *field = bw_known(motor->pulley) ? "pulley" : "driven_pulley";
    return "needs both pulleys, or neither";
}
static const struct bw_record MOTOR = {.name = "motor",
                                       .help = "the motor of one head",
                                       .fields = MOTOR_FIELDS,
                                       .size = sizeof(struct bw_motor),
                                       .check = motor_rule};

static const struct bw_field PORT_FIELDS[] = {
    {BW_AT(struct bw_port, name), .kind = BW_TEXT, .help = "where it is"},
    {BW_AT(struct bw_port, diameter), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.03,
     .max = 0.6, .help = "inside diameter"},
    {BW_AT(struct bw_port, flow), .kind = BW_QUANTITY, .dim = BW_DIM_FLOW, .min = 0.01, .max = 10,
     .help = "least flow by the machine's plate"},
    BW_END_FIELDS,
};
static const struct bw_record PORT = {
    .name = "port", .help = "a dust port", .fields = PORT_FIELDS, .size = sizeof(struct bw_port)};

static const struct bw_field HEAD_FIELDS[] = {
    {BW_AT(struct bw_head, name), .kind = BW_TEXT, .help = "what the shop calls it"},
    {BW_AT(struct bw_head, contact), .kind = BW_CHOICE, .of = CONTACTS, .required = true,
     .help = "what presses the belt on the panel"},
    {BW_AT(struct bw_head, direction), .kind = BW_CHOICE, .of = DIRECTIONS,
     .fallback = "against feed", .help = "which way the belt cuts"},
    {BW_AT(struct bw_head, belt), .kind = BW_RECORD, .of = &BELT, .help = "the sanding belt"},
    {BW_AT(struct bw_head, drum), .kind = BW_RECORD, .of = &DRUM, .help = "the contact drum"},
    {BW_AT(struct bw_head, platen), .kind = BW_RECORD, .of = &PLATEN, .help = "the platen"},
    {BW_AT(struct bw_head, motor), .kind = BW_RECORD, .of = &MOTOR, .help = "the motor"},
    {BW_AT(struct bw_head, rollers), .kind = BW_LIST, .of = &ROLLER, .count_max = BW_MAX_ROLLERS,
     .help = "the other rolls the belt runs over"},
    {BW_AT(struct bw_head, oscillation), .kind = BW_QUANTITY, .dim = BW_DIM_STROKES,
     .min = 1.0 / 60, .max = 3, .of = bw_strokes_ways,
     .help = "whole cycles of the belt's side to side travel"},
    {BW_AT(struct bw_head, brush_speed), .kind = BW_QUANTITY, .dim = BW_DIM_TURNS, .min = 0.5,
     .max = 100, .of = bw_turns_ways, .help = "speed of a brush roller"},
    {BW_AT(struct bw_head, ports), .kind = BW_LIST, .of = &PORT, .count_max = 16,
     .help = "dust ports of this head"},
    BW_END_FIELDS,
};
static const char *head_rule(const void *record, const char **field) {
    const struct bw_head *head = record;
    bool drum = head->contact == BW_STEEL_DRUM || head->contact == BW_RUBBER_DRUM ||
                head->contact == BW_COMBINATION;
    if (head->drum != NULL && !drum) {
        *field = "drum";
        return "a head with this contact has no contact drum; list its rolls under rollers";
    }
    if (head->belt != NULL && head->contact == BW_BRUSH) {
        *field = "belt";
        return "a brush has no sanding belt";
    }
    if (bw_known(head->brush_speed) && head->contact != BW_BRUSH) {
        *field = "brush_speed";
        return "only a head whose contact is brush has a brush speed";
    }
    return NULL;
}
static const struct bw_record HEAD = {.name = "head",
                                      .help = "one sanding head",
                                      .fields = HEAD_FIELDS,
                                      .size = sizeof(struct bw_head),
                                      .check = head_rule};

static const struct bw_field PACED_FIELDS[] = {
    {BW_AT(struct bw_paced, name), .kind = BW_TEXT, .required = true, .help = "what it is"},
    {BW_AT(struct bw_paced, pitch), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.0005,
     .max = 30, .help = "panel travel from one event to the next"},
    {BW_AT(struct bw_paced, diameter), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.01,
     .max = 2, .of = bw_diameter_ways, .help = "of a roll that turns with the panel's travel"},
    {BW_AT(struct bw_paced, teeth), .kind = BW_COUNT, .min = 1, .max = 400,
     .help = "events per turn of that roll: teeth of its sprocket"},
    {BW_AT(struct bw_paced, place), .kind = BW_CHOICE, .of = PLACES, .help = "where it stands"},
    BW_END_FIELDS,
};
static const char *paced_rule(const void *record, const char **field) {
    const struct bw_paced *part = record;
    if (bw_known(part->pitch) && bw_known(part->diameter)) {
        *field = "pitch";
        return "give the pitch or the diameter, not both";
    }
    if (part->teeth != BW_NO_COUNT && !bw_known(part->diameter)) {
        *field = "teeth";
        return "teeth need the diameter of the roll they turn";
    }
    return NULL;
}
static const struct bw_record PACED = {.name = "paced part",
                                       .help = "a part that repeats per length of panel travel",
                                       .fields = PACED_FIELDS,
                                       .size = sizeof(struct bw_paced),
                                       .check = paced_rule};

static const struct bw_field CONVEYOR_FIELDS[] = {
    {BW_AT(struct bw_conveyor, belt_length), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.5,
     .max = 60, .of = bw_belt_length_ways, .help = "length round the feed belt"},
    {BW_AT(struct bw_conveyor, parts), .kind = BW_LIST, .of = &PACED, .count_max = BW_MAX_PACED,
     .help = "shafts, sprockets, chain and rolls of the feed drive"},
    BW_END_FIELDS,
};
static const struct bw_record CONVEYOR = {.name = "conveyor",
                                          .help = "the feed belt and its drive",
                                          .fields = CONVEYOR_FIELDS,
                                          .size = sizeof(struct bw_conveyor)};

static const struct bw_field PLANER_FIELDS[] = {
    {BW_AT(struct bw_planer, name), .kind = BW_TEXT, .fallback = "planer",
     .help = "planer or moulder"},
    {BW_AT(struct bw_planer, feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .min = 0.01, .max = 20,
     .of = bw_feed_ways, .help = "its own feed speed"},
    {BW_AT(struct bw_planer, speed), .kind = BW_QUANTITY, .dim = BW_DIM_TURNS, .min = 5, .max = 500,
     .of = bw_turns_ways, .help = "speed of its cutter head"},
    {BW_AT(struct bw_planer, knives), .kind = BW_COUNT, .min = 1, .max = 40,
     .help = "knives in the head"},
    {BW_AT(struct bw_planer, showing), .kind = BW_COUNT, .min = 1, .max = 40, .fallback = "1",
     .help = "knives that leave their own mark: 1 where one stands high, all where jointed"},
    {BW_AT(struct bw_planer, cutting_circle), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .min = 0.02, .max = 1, .help = "diameter of the cutting circle"},
    BW_END_FIELDS,
};
static const char *planer_rule(const void *record, const char **field) {
    const struct bw_planer *planer = record;
    if (planer->knives == BW_NO_COUNT || planer->showing <= planer->knives) return NULL;
    *field = "showing";
    return "more knives show than are fitted";
}
static const struct bw_record PLANER = {.name = "planer",
                                        .help = "what the stock went through before the sander",
                                        .fields = PLANER_FIELDS,
                                        .size = sizeof(struct bw_planer),
                                        .check = planer_rule};

static const struct bw_field MACHINE_FIELDS[] = {
    {BW_AT(struct bw_machine, name), .kind = BW_TEXT, .help = "what the shop calls the machine"},
    {BW_AT(struct bw_machine, note), .kind = BW_TEXT, .help = "anything worth remembering"},
    {BW_AT(struct bw_machine, supply), .kind = BW_QUANTITY, .dim = BW_DIM_RATE, .min = 40,
     .max = 70, .help = "mains frequency at the site"},
    {BW_AT(struct bw_machine, plate_supply), .kind = BW_QUANTITY, .dim = BW_DIM_RATE, .min = 40,
     .max = 70, .help = "mains frequency on the machine's plates"},
    {BW_AT(struct bw_machine, width), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.1,
     .max = 4, .help = "working width"},
    {BW_AT(struct bw_machine, feed_min), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .min = 0.005,
     .max = 5, .help = "slowest feed"},
    {BW_AT(struct bw_machine, feed_max), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .min = 0.005,
     .max = 5, .help = "fastest feed"},
    {BW_AT(struct bw_machine, shortest_part), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .min = 0.02, .max = 3, .help = "shortest part the manual allows"},
    {BW_AT(struct bw_machine, heads), .kind = BW_LIST, .of = &HEAD, .count_max = BW_MAX_HEADS,
     .required = true, .help = "the heads in feed order"},
    {BW_AT(struct bw_machine, conveyor), .kind = BW_RECORD, .of = &CONVEYOR,
     .help = "the feed belt and its drive"},
    {BW_AT(struct bw_machine, hold_downs), .kind = BW_LIST, .of = &PACED, .count_max = BW_MAX_PACED,
     .help = "pinch, hold-down and outfeed rolls the panel turns"},
    {BW_AT(struct bw_machine, planer), .kind = BW_RECORD, .of = &PLANER,
     .help = "the planer or moulder before the sander"},
    BW_END_FIELDS,
};
static const char *machine_rule(const void *record, const char **field) {
    const struct bw_machine *machine = record;
    if (machine->heads.n == 0) {
        *field = "heads";
        return "needs at least one head";
    }
    if (bw_known(machine->feed_min) && bw_known(machine->feed_max) &&
        machine->feed_min.v > machine->feed_max.v) {
        *field = "feed_min";
        return "the slowest feed is faster than the fastest";
    }
    return NULL;
}
const struct bw_record bw_machine_record = {.name = "machine",
                                            .help = "one wide-belt sander",
                                            .fields = MACHINE_FIELDS,
                                            .size = sizeof(struct bw_machine),
                                            .check = machine_rule};
const struct bw_file_kind bw_machine_file = {
    .name = "machine file", .shape = BW_MACHINE_SHAPE, .record = &bw_machine_record};

const char *bw_contact_word(int contact) {
    assert(contact >= 0 && contact <= BW_CROSS_BELT);
    return CONTACTS[contact].name;
}

const char *bw_head_name(struct bw_arena *arena, const struct bw_machine *machine, size_t index) {
    const char *own = bw_machine_head(machine, index)->name;
    const char *text = own == NULL ? bw_arena_format(arena, "head %zu", index + 1)
                                   : bw_arena_format(arena, "head %zu (%s)", index + 1, own);
    return text == NULL ? "head" : text;
}
