// record.c - the fields of the study `belt`, in and out, each defined here and nowhere else.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/belt/record.h"

#include "machine/machine.h"

static const struct bw_choice YES_NO[] = {{"no", NULL}, {"yes", NULL}, {NULL, NULL}};

#define IN(member) BW_AT(struct belt_input, member)
#define SIZE(least, most) .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = least, .max = most
#define FITTED(member, what)                                                                       \
    { IN(member), .kind = BW_TEXT, .help = what }

static const struct bw_field INPUT_FIELDS[] = {
    {IN(machine), .kind = BW_FILE, .of = &bw_machine_file, .positional = true, .required = true,
     .help = "the machine file"},
    {IN(head), .kind = BW_COUNT, .min = 1, .max = BW_MAX_HEADS, .fallback = "1",
     .help = "number of the head, in feed order"},
    {IN(grit), .kind = BW_TEXT, .required = true, .help = "grit, as the plan says"},
    {IN(wood), .kind = BW_TEXT, .required = true, .help = "wood or panel, of the table woods"},
    {IN(finish), .kind = BW_TEXT, .fallback = "stain",
     .help = "what comes on it; sealed: this belt sands between coats"},
    {IN(count), .kind = BW_COUNT, .min = 1, .max = 10000, .fallback = "10",
     .help = "how many to order"},
    {IN(length), SIZE(0.3, 20), .help = "length round the belt, in place of the machine file's"},
    {IN(width), SIZE(0.05, 4), .help = "width, in place of the machine file's"},
    {IN(edge_left), SIZE(0.3, 20), .help = "left edge of an old belt, cut open and laid flat"},
    {IN(edge_right), SIZE(0.3, 20), .help = "its right edge"},
    {IN(roll), SIZE(0.3, 4), .fallback = "1650 mm",
     .help = "widest belt the maker cuts from one roll; wider ones are segmented"},
    {IN(reverses), .kind = BW_CHOICE, .of = YES_NO, .fallback = "no",
     .help = "yes: the belt is turned end for end or runs both ways"},
    FITTED(fitted_grit, "grit fitted now"),
    FITTED(fitted_backing, "backing fitted now, of the table backings"),
    FITTED(fitted_coat, "coat fitted now"),
    FITTED(fitted_mineral, "mineral fitted now"),
    FITTED(fitted_joint, "joint fitted now, in the words of the table joints"),
    {IN(temperature), .kind = BW_QUANTITY, .dim = BW_DIM_TEMPERATURE, .min = 233.15, .max = 333.15,
     .help = "of the air where belts are kept"},
    {IN(humidity), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0, .max = 1,
     .help = "relative humidity where belts are kept"},
    BW_END_FIELDS,
};
static const char *input_rule(const void *record, const char **field) {
    const struct belt_input *in = record;
    *field = "edge_right";
    return bw_known(in->edge_left) != bw_known(in->edge_right) ? "give both edges" : NULL;
}
const struct bw_record belt_input_record = {.name = "belt input",
                                            .help = "a head, its grit, the stock",
                                            .fields = INPUT_FIELDS,
                                            .size = sizeof(struct belt_input),
                                            .check = input_rule};

#define WORDS(type, member, what)                                                                  \
    { BW_AT(struct type, member), .kind = BW_TEXT, .help = what }
static const struct bw_field PART_FIELDS[] = {
    WORDS(belt_part, part, "which property"),
    WORDS(belt_part, choice, "what to order"),
    WORDS(belt_part, reason, "why"),
    WORDS(belt_part, fitted, "what is fitted now"),
    {BW_AT(struct belt_part, change), .kind = BW_CHOICE, .of = YES_NO,
     .help = "yes: differs from what is fitted"},
    BW_END_FIELDS,
};
static const struct bw_record PART = {.name = "belt property",
                                      .help = "one property of the belt",
                                      .fields = PART_FIELDS,
                                      .size = sizeof(struct belt_part)};
static const struct bw_field LINE_FIELDS[] = {
    WORDS(belt_line, text, "a line"),
    BW_END_FIELDS,
};
static const struct bw_record LINE = {.name = "belt line",
                                      .help = "a line of words",
                                      .fields = LINE_FIELDS,
                                      .size = sizeof(struct belt_line)};

#define OUT(member) BW_AT(struct belt_output, member)
#define OF(member, what, dimension)                                                                \
    { OUT(member), .kind = BW_QUANTITY, .dim = dimension, .help = what }
#define LINES(member, what)                                                                        \
    { OUT(member), .kind = BW_LIST, .of = &LINE, .help = what }
static const struct bw_field OUTPUT_FIELDS[] = {
    {OUT(answer), .kind = BW_TEXT, .help = "the answer in one sentence"},
    OF(length, "length to order", BW_DIM_LENGTH),
    OF(length_tolerance, "how far a delivered belt may be off", BW_DIM_LENGTH),
    OF(width, "width to order", BW_DIM_LENGTH),
    OF(width_tolerance, "how far a delivered belt may be off", BW_DIM_LENGTH),
    OF(skew, "how much longer one edge of the old belt is", BW_DIM_LENGTH),
    {OUT(splices), .kind = BW_COUNT, .help = "joints passing in one turn"},
    OF(splice_rate, "joints a second at the head's belt speed", BW_DIM_RATE),
    {OUT(parts), .kind = BW_LIST, .of = &PART, .help = "property by property, with the reason"},
    LINES(against, "against what is fitted now"),
    {OUT(order), .kind = BW_TEXT, .help = "the order in one line"},
    {OUT(machine_lines), .kind = BW_TEXT, .help = "for the machine file, so that rates know it"},
    LINES(label, "a label for the bag"),
    LINES(storage, "how to keep and hang it"),
    LINES(notes, "what else to know"),
    LINES(cautions, "dangers"),
    BW_END_FIELDS,
};
const struct bw_record belt_output_record = {.name = "belt",
                                             .help = "which belt to order, and why",
                                             .fields = OUTPUT_FIELDS,
                                             .size = sizeof(struct belt_output)};
