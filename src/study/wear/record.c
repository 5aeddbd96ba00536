// record.c - the fields of the study `wear`.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/wear/record.h"

#include "study/door.h"

static const struct bw_choice REASONS[] = {
    {"worn", "it no longer cut"},
    {"loaded", "clogged and not to be cleaned"},
    {"burning", "it burned the stock"},
    {"finish", "its surface was no longer good enough"},
    {"damaged", "torn, creased, splice opened: not a matter of wear"},
    {"planned", "taken off while still good"},
    {NULL, NULL},
};

static const struct bw_field BELT_FIELDS[] = {
    {BW_AT(struct wear_belt, area), .kind = BW_QUANTITY, .dim = BW_DIM_AREA, .min = 0.01,
     .max = 1e7, .required = true, .lead = "", .help = "area sanded with it until now"},
    {BW_AT(struct wear_belt, kind), .kind = BW_TEXT, .lead = "of", .help = "which kind of belt"},
    {BW_AT(struct wear_belt, reason), .kind = BW_CHOICE, .of = REASONS, .lead = "removed",
     .help = "why it came off; leave out while it still runs"},
    {BW_AT(struct wear_belt, stock), .kind = BW_TEXT, .lead = "on", .help = "what it sanded"},
    BW_END_FIELDS,
};
const struct bw_record wear_belt_record = {.name = "belt",
                                           .help = "one belt's life so far",
                                           .fields = BELT_FIELDS,
                                           .size = sizeof(struct wear_belt)};
static const struct bw_field KIND_FIELDS[] = {
    {BW_AT(struct wear_kind, name), .kind = BW_TEXT, .required = true, .lead = "",
     .help = "kind of belt, as in the records"},
    {BW_AT(struct wear_kind, price), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0,
     .max = 1e6, .lead = "costs", .help = "price of one, in the shop's money"},
    BW_END_FIELDS,
};
static const struct bw_record KIND = {.name = "kind",
                                      .help = "a kind of belt and its price",
                                      .fields = KIND_FIELDS,
                                      .size = sizeof(struct wear_kind)};
// A file of belts: CSV with the belt's fields as columns, or a document with the list.
static const struct bw_field FILE_FIELDS[] = {
    {.name = "belts",
     .kind = BW_LIST,
     .of = &wear_belt_record,
     .count_max = 5000,
     .required = true,
     .help = "the belts"},
    BW_END_FIELDS,
};
static const struct bw_record FILE_RECORD = {.name = "belt record",
                                             .help = "belts' lives",
                                             .fields = FILE_FIELDS,
                                             .size = sizeof(struct bw_list)};
static const struct bw_file_kind RECORD_FILE = {
    .name = "belt record", .shape = "belts/1", .record = &FILE_RECORD};
static const struct bw_field INPUT_FIELDS[] = {
    {BW_AT(struct wear_input, belts), .kind = BW_LIST, .of = &wear_belt_record, .count_max = 5000,
     .help = "a belt's life, such as \"5200 m2 of P120 cloth removed worn\""},
    {BW_AT(struct wear_input, file), .kind = BW_FILE, .of = &RECORD_FILE,
     .help = "belts as CSV with the columns area, kind, reason, stock"},
    {BW_AT(struct wear_input, kinds), .kind = BW_LIST, .of = &KIND, .count_max = 40,
     .help = "a kind of belt and its price, such as \"P120 cloth costs 48\""},
    {BW_AT(struct wear_input, change), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0,
     .max = 1e6, .fallback = "0", .help = "cost of one planned belt change, in the shop's money"},
    {BW_AT(struct wear_input, failure), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0,
     .max = 1e7, .fallback = "0",
     .help = "what it costs more when a belt ends in production: spoilt panels, waiting"},
    {BW_AT(struct wear_input, area_a_day), .kind = BW_QUANTITY, .dim = BW_DIM_AREA, .min = 0.1,
     .max = 1e6, .help = "area sanded in a day, for the stock to hold"},
    {BW_AT(struct wear_input, lead_time), .kind = BW_QUANTITY, .dim = BW_DIM_MINUTES, .min = 0,
     .max = 3e7, .fallback = "14 d",
     .help = "time from order to delivery, counted in working days"},
    BW_SEED_FIELD(struct wear_input),
    BW_END_FIELDS,
};
static const char *input_rule(const void *record, const char **field) {
    const struct wear_input *input = record;
    *field = "belts";
    return input->belts.n > 0 || input->file.name != NULL ? NULL
                                                          : "needs belts, one by one or in a file";
}
const struct bw_record wear_input_record = {.name = "wear input",
                                            .help = "belts' lives, and what belts cost",
                                            .fields = INPUT_FIELDS,
                                            .size = sizeof(struct wear_input),
                                            .check = input_rule};

static const struct bw_field NUMBER_FIELDS[] = {
    {BW_AT(struct wear_number, v), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .help = "the value"},
    BW_END_FIELDS,
};
static const struct bw_record NUMBER = {.name = "number",
                                        .help = "one number",
                                        .fields = NUMBER_FIELDS,
                                        .size = sizeof(struct wear_number)};
static const struct bw_field LIFE_FIELDS[] = {
    {BW_AT(struct wear_life, kind), .kind = BW_TEXT, .help = "kind of belt"},
    {BW_AT(struct wear_life, belts), .kind = BW_COUNT, .help = "belts on record"},
    {BW_AT(struct wear_life, ended), .kind = BW_COUNT, .help = "of these worn out"},
    {BW_AT(struct wear_life, running), .kind = BW_COUNT,
     .help = "still running, or off for another reason: their lives count as at least this long"},
    {BW_AT(struct wear_life, family), .kind = BW_TEXT, .help = "law that fits better"},
    {BW_AT(struct wear_life, other_family), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "by how much (difference of AIC; under 2 is nothing)"},
    {BW_AT(struct wear_life, mean), .kind = BW_QUANTITY, .dim = BW_DIM_AREA, .help = "mean life"},
    {BW_AT(struct wear_life, typical), .kind = BW_QUANTITY, .dim = BW_DIM_AREA,
     .help = "life that half of them reach"},
    {BW_AT(struct wear_life, typical_low), .kind = BW_QUANTITY, .dim = BW_DIM_AREA,
     .help = "its 95 % interval, from"},
    {BW_AT(struct wear_life, typical_high), .kind = BW_QUANTITY, .dim = BW_DIM_AREA,
     .help = "its 95 % interval, to"},
    {BW_AT(struct wear_life, early), .kind = BW_QUANTITY, .dim = BW_DIM_AREA,
     .help = "life by which one in ten has ended"},
    {BW_AT(struct wear_life, weibull_shape), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "Weibull shape: about 1 is chance, well above 1 is wear"},
    {BW_AT(struct wear_life, weibull_low), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "its 95 % interval, from"},
    {BW_AT(struct wear_life, weibull_high), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "its 95 % interval, to"},
    {BW_AT(struct wear_life, pattern), .kind = BW_TEXT, .help = "what the shape says"},
    {BW_AT(struct wear_life, gap), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "largest gap between record and curve"},
    {BW_AT(struct wear_life, chance), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "share of simulated records with so large a gap; small: the law does not fit"},
    {BW_AT(struct wear_life, cost), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "money per square metre, belts run to their end"},
    {BW_AT(struct wear_life, best_age), .kind = BW_QUANTITY, .dim = BW_DIM_AREA,
     .help = "cheapest age to change; not given: run them to the end"},
    {BW_AT(struct wear_life, saves), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "share of the cost that saves"},
    {BW_AT(struct wear_life, stock), .kind = BW_COUNT,
     .help = "belts to hold so that nineteen orders in twenty come in time"},
    {BW_AT(struct wear_life, ages), .kind = BW_LIST, .of = &NUMBER, .count_max = 5000,
     .help = "record: areas at which belts ended, m²"},
    {BW_AT(struct wear_life, survived), .kind = BW_LIST, .of = &NUMBER, .count_max = 5000,
     .help = "record: share still cutting after each"},
    BW_END_FIELDS,
};
static const struct bw_record LIFE = {.name = "life",
                                      .help = "how long one kind of belt lasts",
                                      .fields = LIFE_FIELDS,
                                      .size = sizeof(struct wear_life)};
static const struct bw_field PAIR_FIELDS[] = {
    {BW_AT(struct wear_pair, first), .kind = BW_TEXT, .help = "a kind"},
    {BW_AT(struct wear_pair, second), .kind = BW_TEXT, .help = "another"},
    {BW_AT(struct wear_pair, ratio), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "life of the second over the first"},
    {BW_AT(struct wear_pair, low), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "95 % interval, from"},
    {BW_AT(struct wear_pair, high), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "95 % interval, to"},
    {BW_AT(struct wear_pair, verdict), .kind = BW_TEXT, .help = "in words"},
    {BW_AT(struct wear_pair, more), .kind = BW_COUNT,
     .help = "belts of each kind to wear out before this ratio would be decided"},
    BW_END_FIELDS,
};
static const struct bw_record PAIR = {.name = "pair",
                                      .help = "two kinds compared",
                                      .fields = PAIR_FIELDS,
                                      .size = sizeof(struct wear_pair)};
static const struct bw_field REMARK_FIELDS[] = {
    {BW_AT(struct wear_remark, text), .kind = BW_TEXT, .help = "a sentence"},
    BW_END_FIELDS,
};
static const struct bw_record REMARK = {.name = "remark",
                                        .help = "what else to know",
                                        .fields = REMARK_FIELDS,
                                        .size = sizeof(struct wear_remark)};
static const struct bw_field OUTPUT_FIELDS[] = {
    {BW_AT(struct wear_output, lives), .kind = BW_LIST, .of = &LIFE, .help = "kind by kind"},
    {BW_AT(struct wear_output, pairs), .kind = BW_LIST, .of = &PAIR, .help = "kinds compared"},
    {BW_AT(struct wear_output, remarks), .kind = BW_LIST, .of = &REMARK,
     .help = "what was left out and why"},
    BW_END_FIELDS,
};
const struct bw_record wear_output_record = {.name = "wear",
                                             .help = "how long belts last and what they cost",
                                             .fields = OUTPUT_FIELDS,
                                             .size = sizeof(struct wear_output)};
