// record.c - the fields of the study `sequence`, in and out, each defined here and nowhere else.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/sequence/record.h"

#include "machine/machine.h"

// --- in --------------------------------------------------------------------------------------

static const struct bw_choice ORIENTATIONS[] = {
    {"along", "fed along the grain, or no grain"},
    {"across", "fed across the grain"},
    {"end grain", "end grain up: butcher blocks, cutting boards"},
    {NULL, NULL},
};
static const struct bw_choice GOALS[] = {
    {"cheapest", "least cost a square metre"},
    {"fastest", "most square metres an hour"},
    {"safest", "most reserve in every limit"},
    {"fewest passes", "as few passes as can be, then cheap"},
    {"weighted", "cost, time and passes by the weights given"},
    {NULL, NULL},
};
static const struct bw_choice STATES[] = {
    {"hard drum", "the rubber has aged hard: no finishing on it"},
    {"weak air", "too little extraction: a third less stock"},
    {"out", "not to be used"},
    {NULL, NULL},
};
static const struct bw_choice BACKINGS[] = {{"paper", "paper"},
                                            {"cloth", "cotton or mixed cloth"},
                                            {"polyester", "polyester cloth"},
                                            {"film", "polyester film"},
                                            {NULL, NULL}};
static const struct bw_choice YES_NO[] = {{"no", NULL}, {"yes", NULL}, {NULL, NULL}};

#define BELT(member) BW_AT(struct sequence_belt, member)
#define HEAD(member) BW_AT(struct sequence_head, member)
#define USE(member) BW_AT(struct sequence_use, member)
#define IN(member) BW_AT(struct sequence_input, member)
#define MONEY .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0, .max = 1e6
#define SMALL(most) .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH, .min = 0, .max = most

static const struct bw_field BELT_FIELDS[] = {
    {BELT(grit), .kind = BW_TEXT, .required = true, .lead = "", .help = "grit as printed"},
    {BELT(backing), .kind = BW_CHOICE, .of = BACKINGS, .lead = "on", .help = "its backing"},
    {BELT(price), MONEY, .lead = "costs", .help = "price of one, in the shop's money"},
    {BELT(life), .kind = BW_QUANTITY, .dim = BW_DIM_AREA, .min = 1, .max = 1e6, .lead = "lasts",
     .help = "area it sands at half of its grit's limit, as the study wear finds it"},
    {BELT(head), .kind = BW_COUNT, .min = 1, .max = BW_MAX_HEADS, .lead = "fits",
     .help = "number of the only head it fits; leave out: all"},
    BW_END_FIELDS,
};
static const struct bw_record BELT_RECORD = {.name = "shelf belt",
                                             .help = "a belt on the shelf",
                                             .fields = BELT_FIELDS,
                                             .size = sizeof(struct sequence_belt)};
static const struct bw_field HEAD_FIELDS[] = {
    {HEAD(head), .kind = BW_COUNT, .min = 1, .max = BW_MAX_HEADS, .required = true, .lead = "",
     .help = "its number, in feed order"},
    {HEAD(idle), .kind = BW_QUANTITY, .dim = BW_DIM_CURRENT, .min = 0.1, .max = 1000,
     .lead = "idles", .help = "amps with its belt running and not cutting"},
    {HEAD(full), .kind = BW_QUANTITY, .dim = BW_DIM_CURRENT, .min = 0.1, .max = 1000,
     .lead = "full", .help = "amps on the motor's plate"},
    {HEAD(slow), .kind = BW_QUANTITY, .dim = BW_DIM_SPEED, .min = 0.5, .max = 60, .lead = "from",
     .help = "slowest belt speed, where it can be set"},
    {HEAD(fast), .kind = BW_QUANTITY, .dim = BW_DIM_SPEED, .min = 0.5, .max = 60, .lead = "to",
     .help = "fastest belt speed, where it can be set"},
    {HEAD(power), .kind = BW_QUANTITY, .dim = BW_DIM_POWER, .min = 100, .max = 1e6, .lead = "with",
     .help = "motor power, in place of the machine file's"},
    {HEAD(state), .kind = BW_CHOICE, .of = STATES, .lead = "is", .help = "what is wrong with it"},
    BW_END_FIELDS,
};
static const char *head_rule(const void *record, const char **field) {
    const struct sequence_head *head = record;
    *field = "full";
    if (bw_known(head->idle) && bw_known(head->full) && head->full.v <= head->idle.v)
        return "the plate's amps are above the idle amps";
    *field = "fast";
    if (bw_known(head->slow) != bw_known(head->fast)) return "give both from and to";
    if (bw_known(head->slow) && head->fast.v < head->slow.v) return "goes from slow to fast";
    return NULL;
}
static const struct bw_record HEAD_RECORD = {.name = "head in use",
                                             .help = "what else is known of a head",
                                             .fields = HEAD_FIELDS,
                                             .size = sizeof(struct sequence_head),
                                             .check = head_rule};
static const struct bw_field USE_FIELDS[] = {
    {USE(grit), .kind = BW_TEXT, .required = true, .lead = "", .help = "grit as printed"},
    {USE(head), .kind = BW_COUNT, .min = 1, .max = BW_MAX_HEADS, .required = true, .lead = "on",
     .help = "number of the head, in feed order"},
    {USE(takes), SMALL(0.01), .lead = "takes", .help = "what it takes off"},
    {USE(feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .min = 0.005, .max = 5, .lead = "at",
     .of = bw_feed_ways, .help = "feed speed"},
    {USE(reads), .kind = BW_QUANTITY, .dim = BW_DIM_CURRENT, .min = 0.1, .max = 1000,
     .lead = "reads", .help = "amps in cut on the machine's own meter"},
    BW_END_FIELDS,
};
static const struct bw_record USE_RECORD = {.name = "belt at work",
                                            .help = "a belt at work on a head",
                                            .fields = USE_FIELDS,
                                            .size = sizeof(struct sequence_use)};
static const struct bw_field TRACE_FIELDS[] = {
    {BW_AT(struct sequence_trace, grit), .kind = BW_TEXT, .required = true, .lead = "",
     .help = "last grit"},
    {BW_AT(struct sequence_trace, ra), SMALL(1e-3), .required = true, .lead = "gives",
     .help = "Ra measured across the scratches"},
    BW_END_FIELDS,
};
static const struct bw_record TRACE_RECORD = {.name = "roughness reading",
                                              .help = "roughness measured after a grit",
                                              .fields = TRACE_FIELDS,
                                              .size = sizeof(struct sequence_trace)};

static const struct bw_field INPUT_FIELDS[] = {
    {IN(machine), .kind = BW_FILE, .of = &bw_machine_file, .positional = true, .required = true,
     .help = "the machine file"},
    {IN(wood), .kind = BW_TEXT, .required = true, .help = "wood or panel, of the table woods"},
    {IN(orientation), .kind = BW_CHOICE, .of = ORIENTATIONS, .fallback = "along",
     .help = "how the grain lies to the feed"},
    {IN(finish), .kind = BW_TEXT, .fallback = "stain",
     .help = "what comes on it, of the table finishes: glue-up, paint, stain, clear gloss, oil, "
             "sealed"},
    {IN(length), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.01, .max = 20,
     .help = "length of the shortest part, along the feed"},
    {IN(width), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.01, .max = 4,
     .help = "width sanded at a time; the machine's working width if left out"},
    {IN(remove), SMALL(0.01),
     .help = "stock to take off at the thickest place; left out: as little as cleans it up"},
    {IN(spread), SMALL(0.01),
     .help = "thickest place less the thinnest, out of flat included; left out: 0.2 mm on fresh "
             "stock"},
    {IN(marks), SMALL(0.005), .help = "depth of the marks that come in, torn grain included"},
    {IN(came_from), .kind = BW_TEXT, .help = "grit it was sanded with before, in place of marks"},
    {IN(veneer), SMALL(0.02), .help = "veneer thickness as it comes, ± its tolerance"},
    {IN(core_spread), SMALL(0.005), .fallback = "30 µm",
     .help = "standard deviation of the core's thickness under the veneer"},
    {IN(parallelism), SMALL(0.005), .fallback = "25 µm",
     .help = "how far head and bed part over the width"},
    {IN(removal_sd), SMALL(0.002), .fallback = "15 µm",
     .help = "standard deviation of what is really taken off"},
    {IN(edge), SMALL(0.005), .fallback = "0 µm",
     .help = "how much more edges lose than the middle"},
    {IN(risk), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 1e-6, .max = 0.4,
     .fallback = "0.1 %", .help = "chance of sanding through that is taken, at the thinnest place"},
    {IN(belts), .kind = BW_LIST, .of = &BELT_RECORD, .count_max = 24,
     .help = "a belt on the shelf, such as \"P120 on paper costs 31 lasts 1300 m2\"; none: P36 to "
             "P400 in paper and cloth as usual"},
    {IN(heads), .kind = BW_LIST, .of = &HEAD_RECORD, .count_max = BW_MAX_HEADS,
     .help = "more about a head, such as \"2 idles 11 A full 28 A\" or \"3 is hard drum\""},
    {IN(setup), .kind = BW_LIST, .of = &USE_RECORD, .count_max = BW_MAX_HEADS,
     .help = "the set-up as it is, head by head, to be judged: \"P120 on 2 takes 0.15 mm at 6 "
             "m/min reads 19 A\""},
    {IN(good), .kind = BW_LIST, .of = &USE_RECORD, .count_max = BW_MAX_HEADS,
     .help = "work on this wood that does not burn: heat is kept under it"},
    {IN(traces), .kind = BW_LIST, .of = &TRACE_RECORD, .count_max = 100,
     .help = "roughness measured after a grit, such as \"P150 gives 4.2 µm\""},
    {IN(roughest), SMALL(1e-3), .help = "roughest Ra the finish takes"},
    {IN(feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .min = 0.005, .max = 5, .of = bw_feed_ways,
     .help = "feed, where it is not free"},
    {IN(most_feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .min = 0.005, .max = 5,
     .help = "fastest feed on this stock; left out: what is usual on it"},
    {IN(least_feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .min = 0, .max = 5,
     .fallback = "0 m/min", .help = "slowest feed the line can take"},
    {IN(passes), .kind = BW_COUNT, .min = 1, .max = 8, .help = "most passes; left out: by heads"},
    {IN(largest_skip), .kind = BW_COUNT, .min = 0, .max = 6, .fallback = "1",
     .help = "grades that may be left out between two belts"},
    {IN(hour), MONEY, .help = "cost of an hour of machine and people"},
    {IN(change), .kind = BW_QUANTITY, .dim = BW_DIM_MINUTES, .min = 0, .max = 7200,
     .fallback = "4 min", .help = "time to change a belt and set its head"},
    {IN(batch), .kind = BW_QUANTITY, .dim = BW_DIM_AREA, .min = 0.1, .max = 1e6,
     .fallback = "100 m2", .help = "area run before the next change of job"},
    {IN(dull), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 1, .max = 4, .fallback = "1.5",
     .help = "power of a belt about to be changed over a sharp one's"},
    {IN(end_grain), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0.5, .max = 10,
     .fallback = "2", .help = "energy on end grain over that along it: a guess, measure by amps"},
    {IN(goal), .kind = BW_CHOICE, .of = GOALS, .fallback = "cheapest",
     .help = "which plan comes first"},
    {IN(weight_cost), MONEY, .fallback = "1", .help = "weight of cost, for the goal weighted"},
    {IN(weight_time), MONEY, .fallback = "1", .help = "weight of time, for the goal weighted"},
    {IN(weight_passes), MONEY, .fallback = "0", .help = "weight of a pass, for the goal weighted"},
    {IN(front), .kind = BW_CHOICE, .of = YES_NO, .fallback = "no",
     .help = "yes: all plans that nothing beats in cost, feed and passes at once"},
    BW_END_FIELDS,
};
static const char *input_rule(const void *record, const char **field) {
    const struct sequence_input *in = record;
    *field = "came_from";
    if (bw_known(in->marks) && in->came_from != NULL) return "give marks or came_from, not both";
    return NULL;
}
const struct bw_record sequence_input_record = {.name = "sequence input",
                                                .help = "machine, stock, finish and shelf",
                                                .fields = INPUT_FIELDS,
                                                .size = sizeof(struct sequence_input),
                                                .check = input_rule};

// --- out -------------------------------------------------------------------------------------

#define OF(type, member, what, dimension)                                                          \
    { BW_AT(struct type, member), .kind = BW_QUANTITY, .dim = dimension, .help = what }
#define WORDS(type, member, what)                                                                  \
    { BW_AT(struct type, member), .kind = BW_TEXT, .help = what }
#define NUMBER(type, member, what)                                                                 \
    { BW_AT(struct type, member), .kind = BW_COUNT, .help = what }

static const struct bw_field STEP_FIELDS[] = {
    NUMBER(sequence_step, pass, "which pass"),
    WORDS(sequence_step, head, "the head"),
    WORDS(sequence_step, grit, "the belt"),
    WORDS(sequence_step, part, "what presses it"),
    OF(sequence_step, feed, "feed of this pass", BW_DIM_FEED),
    OF(sequence_step, speed, "belt speed", BW_DIM_SPEED),
    OF(sequence_step, takes, "what it takes off", BW_DIM_LENGTH),
    OF(sequence_step, most, "the most it may take there", BW_DIM_LENGTH),
    OF(sequence_step, clears, "what the scratch before asks for", BW_DIM_LENGTH),
    OF(sequence_step, load_sharp, "share of the motor's power, belt sharp", BW_DIM_RATIO),
    OF(sequence_step, load_dull, "the same, belt about to be changed", BW_DIM_RATIO),
    OF(sequence_step, amps_low, "amps to expect, from", BW_DIM_CURRENT),
    OF(sequence_step, amps_high, "amps to expect, to", BW_DIM_CURRENT),
    WORDS(sequence_step, meter, "what the meter can tell"),
    OF(sequence_step, heat, "power over the contact, belt about to be changed", BW_DIM_HEAT),
    BW_END_FIELDS,
};
static const struct bw_record STEP = {.name = "step",
                                      .help = "one belt's work in a pass",
                                      .fields = STEP_FIELDS,
                                      .size = sizeof(struct sequence_step)};
static const struct bw_field PLAN_FIELDS[] = {
    WORDS(sequence_plan, name, "what it is best at: cheapest, fastest, safest"),
    WORDS(sequence_plan, words, "the grits in one line"),
    WORDS(sequence_plan, lifted, "heads that stay lifted"),
    OF(sequence_plan, cost, "cost of a square metre", BW_DIM_NUMBER),
    OF(sequence_plan, relative, "that over the cheapest plan's", BW_DIM_RATIO),
    OF(sequence_plan, output, "square metres an hour", BW_DIM_NUMBER),
    NUMBER(sequence_plan, passes, "passes"),
    OF(sequence_plan, removed, "stock taken off at the thickest place", BW_DIM_LENGTH),
    OF(sequence_plan, through, "chance of sanding through at the thinnest place", BW_DIM_RATIO),
    OF(sequence_plan, through_edge, "the same at edges", BW_DIM_RATIO),
    OF(sequence_plan, ra, "roughness to expect", BW_DIM_DEPTH),
    OF(sequence_plan, reserve, "least reserve of all heads and limits", BW_DIM_RATIO),
    {BW_AT(struct sequence_plan, steps), .kind = BW_LIST, .of = &STEP, .help = "belt by belt"},
    BW_END_FIELDS,
};
static const struct bw_record PLAN = {.name = "plan",
                                      .help = "one plan",
                                      .fields = PLAN_FIELDS,
                                      .size = sizeof(struct sequence_plan)};
static const struct bw_field LINE_FIELDS[] = {
    WORDS(sequence_line, about, "what it is about"),
    WORDS(sequence_line, kind, "its kind of finding, where it is one"),
    WORDS(sequence_line, text, "in words"),
    OF(sequence_line, share, "how much, as a share", BW_DIM_RATIO),
    BW_END_FIELDS,
};
static const struct bw_record LINE = {.name = "sequence line",
                                      .help = "one remark",
                                      .fields = LINE_FIELDS,
                                      .size = sizeof(struct sequence_line)};
static const struct bw_field POINT_FIELDS[] = {
    NUMBER(sequence_point, passes, "passes"),
    OF(sequence_point, feed, "slowest feed", BW_DIM_FEED),
    OF(sequence_point, cost, "cost over the cheapest plan's", BW_DIM_RATIO),
    OF(sequence_point, output, "square metres an hour", BW_DIM_NUMBER),
    WORDS(sequence_point, words, "the grits in one line"),
    BW_END_FIELDS,
};
static const struct bw_record POINT = {.name = "point",
                                       .help = "a plan that nothing beats",
                                       .fields = POINT_FIELDS,
                                       .size = sizeof(struct sequence_point)};

#define OUT(member) BW_AT(struct sequence_output, member)
#define LINES(member, what)                                                                        \
    { OUT(member), .kind = BW_LIST, .of = &LINE, .help = what }
static const struct bw_field OUTPUT_FIELDS[] = {
    {OUT(answer), .kind = BW_TEXT, .help = "the answer in one sentence"},
    {OUT(machine), .kind = BW_TEXT, .help = "the machine's name"},
    {OUT(plans), .kind = BW_LIST, .of = &PLAN, .help = "the plans, the one asked for first"},
    {OUT(money), .kind = BW_CHOICE, .of = YES_NO, .help = "yes: costs are the shop's own money"},
    {OUT(bound), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "finer removals could not save more than this share"},
    LINES(binds, "limits that bind, and what a tenth more would save"),
    LINES(runner_up, "the best plan without one of these belts"),
    LINES(doubts, "uncertain numbers that would change the plan"),
    LINES(clashes, "why there is no plan: limits that clash, and what would free them"),
    LINES(judged, "the set-up as it is, head by head"),
    LINES(measured, "energy by the amps read, over the table's"),
    {OUT(front), .kind = BW_LIST, .of = &POINT, .help = "all plans that nothing beats"},
    LINES(assumed, "what was taken for granted"),
    LINES(cautions, "dangers"),
    BW_END_FIELDS,
};
const struct bw_record sequence_output_record = {.name = "sequence",
                                                 .help = "grits, removals, feed and passes",
                                                 .fields = OUTPUT_FIELDS,
                                                 .size = sizeof(struct sequence_output)};
