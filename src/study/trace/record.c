// record.c - the fields of the study `trace`.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/trace/record.h"

#define RECORD_OF(symbol, title, type, list, words)                                                \
    static const struct bw_record symbol = {                                                       \
        .name = title, .help = words, .fields = list, .size = sizeof(struct type)}
#define QUANTITY(type, member, dimension, words)                                                   \
    { BW_AT(struct type, member), .kind = BW_QUANTITY, .dim = dimension, .help = words }
#define WORDS(type, member, words)                                                                 \
    { BW_AT(struct type, member), .kind = BW_TEXT, .help = words }
#define COUNT(type, member, words)                                                                 \
    { BW_AT(struct type, member), .kind = BW_COUNT, .help = words }

static const struct bw_choice DIRECTIONS[] = {
    {"across", "square to the sanding scratches, as roughness is meant"},
    {"along", "with the scratches: reads low"},
    {NULL, NULL},
};
static const struct bw_choice UNITS[] = {
    {"um", "micrometres"}, {"mm", NULL},  {"nm", NULL},           {"m", NULL},
    {"in", NULL},          {"mil", NULL}, {"uin", "microinches"}, {NULL, NULL}};
static const struct bw_choice FILTERS[] = {
    {"gaussian", "ISO 16610-21: the usual one"},
    {"robust", "ISO 16610-31: deep pores do not pull the mean line down"},
    {NULL, NULL},
};
static const struct bw_choice SURFACES[] = {
    {"wood", "pores and fuzz are also told apart from the sanding"},
    {"plain", "board without pores, lacquer, metal"},
    {NULL, NULL},
};
static const struct bw_choice LINES[] = {
    {"rows", "profiles along the file's rows"},
    {"columns", "profiles across them"},
    {NULL, NULL},
};
static const struct bw_choice STANDARDS[] = {
    {"iso_21920", "ISO 21920-2:2021"},
    {"iso_4287", "ISO 4287:1997 with ISO 13565-2:1996"},
    {NULL, NULL},
};

// --- questions -------------------------------------------------------------------------------

static const struct bw_field READING_FIELDS[] = {
    {BW_AT(struct trace_reading, ra), .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH, .min = 1e-9,
     .max = 1e-3, .lead = "Ra", .help = "mean roughness as the tester shows it"},
    {BW_AT(struct trace_reading, rz), .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH, .min = 1e-9,
     .max = 1e-2, .lead = "Rz", .help = "its peak to valley roughness"},
    {BW_AT(struct trace_reading, cut_off), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .min = 0.00001, .max = 0.1, .lead = "cut-off", .help = "the cut-off it was set to"},
    {BW_AT(struct trace_reading, length), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.0001,
     .max = 1, .lead = "over", .help = "the length measured"},
    {BW_AT(struct trace_reading, places), .kind = BW_COUNT, .min = 1, .max = 1000,
     .lead = "mean of", .help = "how many places it is the mean of, if more than one"},
    {BW_AT(struct trace_reading, direction), .kind = BW_CHOICE, .of = DIRECTIONS,
     .lead = "measured", .help = "which way the tester was drawn"},
    {BW_AT(struct trace_reading, grit), .kind = BW_TEXT, .lead = "after",
     .help = "the last grit that sanded it, such as P120"},
    {BW_AT(struct trace_reading, stock), .kind = BW_TEXT, .lead = "on", .help = "what was sanded"},
    {BW_AT(struct trace_reading, at), .kind = BW_TEXT, .lead = "at", .help = "where on the panel"},
    BW_END_FIELDS,
};
static const char *reading_rule(const void *record, const char **field) {
    const struct trace_reading *reading = record;
    *field = "ra";
    return bw_known(reading->ra) || bw_known(reading->rz) ? NULL : "a reading needs Ra, Rz or both";
}
static const struct bw_record READING = {.name = "reading",
                                         .help = "one place read with a roughness tester",
                                         .fields = READING_FIELDS,
                                         .size = sizeof(struct trace_reading),
                                         .check = reading_rule};
// A file of readings: CSV with the reading's fields as columns, or a document with the list.
static const struct bw_field RECORD_FIELDS[] = {
    {.name = "readings",
     .kind = BW_LIST,
     .of = &READING,
     .count_max = 5000,
     .required = true,
     .help = "the readings"},
    BW_END_FIELDS,
};
static const struct bw_record RECORD_OF_SHOP = {.name = "roughness record",
                                                .help = "readings kept by the shop",
                                                .fields = RECORD_FIELDS,
                                                .size = sizeof(struct bw_list)};
static const struct bw_file_kind RECORD_FILE = {
    .name = "roughness record", .shape = "roughness/1", .record = &RECORD_OF_SHOP};
static const struct bw_file_kind TRACE_FILE = {.name = "trace", .medium = BW_MEDIUM_PROFILE};

#define IN(member) BW_AT(struct trace_input, member)
static const struct bw_field INPUT_FIELDS[] = {
    {IN(file), .kind = BW_FILE, .of = &TRACE_FILE, .positional = true,
     .help = "a trace or surface: CSV or text, SMD, SDF, X3P"},
    {IN(readings), .kind = BW_LIST, .of = &READING, .count_max = 200,
     .help = "a reading, such as \"Ra 5.2 um Rz 38 um cut-off 2.5 mm after P120 on oak\""},
    {IN(record), .kind = BW_FILE, .of = &RECORD_FILE,
     .help = "the shop's own readings so far, as CSV with the columns ra, cut_off, grit, stock"},
    {IN(grit), .kind = BW_TEXT, .help = "the last grit that sanded the traced panel"},
    {IN(stock), .kind = BW_TEXT, .help = "what the traced panel is made of"},
    {IN(direction), .kind = BW_CHOICE, .of = DIRECTIONS, .fallback = "across",
     .help = "which way the trace runs"},
    {IN(surface), .kind = BW_CHOICE, .of = SURFACES, .fallback = "wood", .help = "what was traced"},
    {IN(cut_off), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.00001, .max = 0.1,
     .help = "longest wave that is roughness; by the standard's classes if not given"},
    {IN(short_cut_off), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 1e-7, .max = 0.001,
     .help = "shortest wave kept; goes with the cut-off if not given"},
    {IN(wave_limit), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.0001, .max = 1,
     .help = "longest wave that is waviness; all that form leaves if not given"},
    {IN(sections), .kind = BW_COUNT, .min = 1, .max = 1000,
     .help = "cut-off lengths to measure over; all whole ones if not given"},
    {IN(form), .kind = BW_COUNT, .min = 0, .max = 8, .fallback = "1",
     .help = "taken off first: 0 the mean, 1 a line, 2 to 8 a curve of that degree"},
    {IN(filter), .kind = BW_CHOICE, .of = FILTERS, .fallback = "gaussian",
     .help = "what draws the mean line"},
    {IN(lines), .kind = BW_CHOICE, .of = LINES, .fallback = "rows",
     .help = "which way a surface is cut into profiles"},
    {IN(spacing), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 1e-9, .max = 0.01,
     .help = "from point to point, where the file does not tell"},
    {IN(height_unit), .kind = BW_CHOICE, .of = UNITS,
     .help = "unit of the heights, where the file does not tell"},
    {IN(place_unit), .kind = BW_CHOICE, .of = UNITS,
     .help = "unit of the places, where the file does not tell"},
    BW_END_FIELDS,
};
static const char *input_rule(const void *record, const char **field) {
    const struct trace_input *in = record;
    *field = "readings";
    if (in->readings.n == 0 && in->file.name == NULL)
        return "needs readings, or the file of a trace";
    if (!bw_known(in->cut_off)) return NULL;
    *field = "short_cut_off";
    if (bw_known(in->short_cut_off) && in->short_cut_off.v >= in->cut_off.v)
        return "must be shorter than the cut-off";
    *field = "wave_limit";
    if (bw_known(in->wave_limit) && in->wave_limit.v <= in->cut_off.v)
        return "must be longer than the cut-off";
    return NULL;
}
const struct bw_record trace_input_record = {.name = "trace input",
                                             .help = "readings and traces of a sanded surface",
                                             .fields = INPUT_FIELDS,
                                             .size = sizeof(struct trace_input),
                                             .check = input_rule};

// --- answers ---------------------------------------------------------------------------------

static const struct bw_field GROUP_FIELDS[] = {
    WORDS(trace_group, grit, "last grit"),
    WORDS(trace_group, stock, "what was sanded"),
    {BW_AT(struct trace_group, direction), .kind = BW_CHOICE, .of = DIRECTIONS,
     .help = "which way it was measured"},
    QUANTITY(trace_group, cut_off, BW_DIM_LENGTH, "cut-off of the tester"),
    COUNT(trace_group, readings, "places read"),
    QUANTITY(trace_group, ra, BW_DIM_DEPTH, "mean Ra, with its sd from the places' differences"),
    QUANTITY(trace_group, rz, BW_DIM_DEPTH, "mean Rz"),
    QUANTITY(trace_group, scatter, BW_DIM_RATIO, "sd of one place, as a share of the mean"),
    QUANTITY(trace_group, expected, BW_DIM_DEPTH, "Ra this grit usually leaves in this shop"),
    WORDS(trace_group, compared, "measured against expected"),
    BW_END_FIELDS,
};
RECORD_OF(GROUP, "reading group", trace_group, GROUP_FIELDS, "readings that belong together");

#define PARAMETER(member, words) QUANTITY(trace_parameters, member, BW_DIM_DEPTH, words)
static const struct bw_field PARAMETER_FIELDS[] = {
    {BW_AT(struct trace_parameters, standard), .kind = BW_CHOICE, .of = STANDARDS,
     .help = "whose definitions"},
    PARAMETER(ra, "Ra, mean height of the roughness"),
    PARAMETER(rq, "Rq, its root mean square"),
    PARAMETER(rz, "Rz, highest peak to lowest valley, mean of the sections"),
    PARAMETER(rt, "Rt, the same over the whole length"),
    PARAMETER(rp, "Rp, highest peak, mean of the sections"),
    PARAMETER(rv, "Rv, lowest valley, mean of the sections"),
    QUANTITY(trace_parameters, rsk, BW_DIM_NUMBER, "Rsk, skew: below 0 is valleys, above peaks"),
    QUANTITY(trace_parameters, rku, BW_DIM_NUMBER, "Rku, kurtosis: 3 is normal, more is spiky"),
    QUANTITY(trace_parameters, rsm, BW_DIM_LENGTH, "RSm, mean width of a hill and its dale"),
    QUANTITY(trace_parameters, rdq, BW_DIM_NUMBER, "Rdq, root mean square slope"),
    PARAMETER(rk, "Rk, depth of the core"),
    PARAMETER(rpk, "Rpk, peaks above the core"),
    PARAMETER(rvk, "Rvk, valleys below it"),
    QUANTITY(trace_parameters, mr1, BW_DIM_RATIO, "Mr1, material above the core"),
    QUANTITY(trace_parameters, mr2, BW_DIM_RATIO, "Mr2, material above the valleys"),
    PARAMETER(wa, "Wa, mean height of the waviness"),
    PARAMETER(wq, "Wq, its root mean square"),
    BW_END_FIELDS,
};
RECORD_OF(PARAMETERS, "parameters", trace_parameters, PARAMETER_FIELDS,
          "roughness and waviness by one standard");

#define SANDING_OF(member, words) QUANTITY(trace_sanding, member, BW_DIM_DEPTH, words)
static const struct bw_field SANDING_FIELDS[] = {
    SANDING_OF(ra, "mean height without pores and fuzz, robust mean line"),
    SANDING_OF(rq, "root mean square of the same"),
    SANDING_OF(rk, "core depth of the same"),
    QUANTITY(trace_sanding, pores, BW_DIM_RATIO, "share of the length that is pores"),
    SANDING_OF(pore_depth, "their mean depth below the mean line"),
    QUANTITY(trace_sanding, fuzz, BW_DIM_RATIO, "share of the length that is fibres standing up"),
    SANDING_OF(low, "height below which it is pores"),
    SANDING_OF(high, "height above which it is fuzz"),
    BW_END_FIELDS,
};
RECORD_OF(SANDING, "sanding", trace_sanding, SANDING_FIELDS, "the sanding without the wood");

static const struct bw_field SET_FIELDS[] = {
    QUANTITY(trace_mark_set, pitch, BW_DIM_LENGTH, "from mark to mark along the trace"),
    QUANTITY(trace_mark_set, height, BW_DIM_DEPTH, "from valley to ridge"),
    COUNT(trace_mark_set, harmonics, "multiples of its rate that stand out, itself counted"),
    COUNT(trace_mark_set, found, "marks that the trace is long"),
    QUANTITY(trace_mark_set, false_alarm, BW_DIM_RATIO,
             "chance that a trace without marks would "
             "show as much"),
    WORDS(trace_mark_set, on, "roughness or waviness"),
    WORDS(trace_mark_set, mark, "as `source --mark` takes it"),
    BW_END_FIELDS,
};
RECORD_OF(SET, "trace mark set", trace_mark_set, SET_FIELDS, "equally spaced marks");

static const struct bw_field POINT_FIELDS[] = {
    QUANTITY(trace_point, at, BW_DIM_LENGTH, "place along the trace"),
    QUANTITY(trace_point, height, BW_DIM_DEPTH, "height there"),
    BW_END_FIELDS,
};
RECORD_OF(POINT, "trace point", trace_point, POINT_FIELDS, "one point of a curve");
static const struct bw_field CURVE_FIELDS[] = {
    WORDS(trace_curve, name, "what it shows"),
    {BW_AT(struct trace_curve, points), .kind = BW_LIST, .of = &POINT, .count_max = 4000,
     .help = "thinned for drawing: highest and lowest of each stretch"},
    BW_END_FIELDS,
};
RECORD_OF(CURVE, "trace curve", trace_curve, CURVE_FIELDS, "a curve along the trace");
static const struct bw_field SHARE_FIELDS[] = {
    QUANTITY(trace_share, share, BW_DIM_RATIO, "share of the length"),
    QUANTITY(trace_share, height, BW_DIM_DEPTH, "that lies above this height"),
    BW_END_FIELDS,
};
RECORD_OF(SHARE, "material", trace_share, SHARE_FIELDS, "one point of the material ratio curve");
static const struct bw_choice DOTS[] = {{"on_record", "a reading of the shop's"},
                                        {"expected", "the line through them"},
                                        {"measured", "what was read now"},
                                        {NULL, NULL}};
static const struct bw_field GRAIN_FIELDS[] = {
    {BW_AT(struct trace_grain, dot), .kind = BW_CHOICE, .of = DOTS, .help = "what it is"},
    QUANTITY(trace_grain, size, BW_DIM_DEPTH, "mean grain size of the grit"),
    QUANTITY(trace_grain, ra, BW_DIM_DEPTH, "mean roughness"),
    BW_END_FIELDS,
};
RECORD_OF(GRAIN, "grain", trace_grain, GRAIN_FIELDS, "roughness at one grain size");
static const struct bw_field REMARK_FIELDS[] = {
    WORDS(trace_remark, text, "one remark"),
    BW_END_FIELDS,
};
RECORD_OF(REMARK, "trace remark", trace_remark, REMARK_FIELDS, "what else to know");

#define OUT(member) BW_AT(struct trace_output, member)
#define LENGTH_OUT(member, words) QUANTITY(trace_output, member, BW_DIM_LENGTH, words)
static const struct bw_field OUTPUT_FIELDS[] = {
    {OUT(answer), .kind = BW_TEXT, .help = "the answer in one sentence"},
    {OUT(groups), .kind = BW_LIST, .of = &GROUP, .help = "typed readings, grouped"},
    {OUT(file), .kind = BW_TEXT, .help = "the trace's file"},
    {OUT(kind), .kind = BW_TEXT, .help = "its format"},
    COUNT(trace_output, points, "points of one profile"),
    COUNT(trace_output, profiles, "profiles measured; more than one from a surface"),
    COUNT(trace_output, voids, "points without a height, filled from their neighbours"),
    LENGTH_OUT(length, "length of the trace"),
    LENGTH_OUT(spacing, "from point to point"),
    LENGTH_OUT(cut_off, "longest wave taken as roughness"),
    LENGTH_OUT(short_cut_off, "shortest wave kept; not given: all"),
    LENGTH_OUT(wave_limit, "longest wave taken as waviness; not given: all"),
    COUNT(trace_output, sections, "sections of one cut-off that were measured"),
    {OUT(parameters), .kind = BW_LIST, .of = &PARAMETERS, .help = "by each standard"},
    {OUT(sanding), .kind = BW_RECORD, .of = &SANDING, .help = "wood: without pores and fuzz"},
    {OUT(expected), .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH,
     .help = "Ra this grit usually leaves in this shop"},
    {OUT(compared), .kind = BW_TEXT, .help = "measured against expected"},
    {OUT(mark_sets), .kind = BW_LIST, .of = &SET, .help = "equally spaced marks in the trace"},
    {OUT(curves), .kind = BW_LIST, .of = &CURVE, .help = "for drawing"},
    {OUT(material), .kind = BW_LIST, .of = &SHARE, .help = "the material ratio curve"},
    {OUT(grains), .kind = BW_LIST, .of = &GRAIN, .count_max = 6000,
     .help = "roughness against grain size, for drawing"},
    COUNT(trace_output, rounds, "rounds of the robust filter"),
    {OUT(remarks), .kind = BW_LIST, .of = &REMARK, .help = "what else to know"},
    BW_END_FIELDS,
};
const struct bw_record trace_output_record = {.name = "trace",
                                              .help = "how rough and how wavy a surface is",
                                              .fields = OUTPUT_FIELDS,
                                              .size = sizeof(struct trace_output)};
