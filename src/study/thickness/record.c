// record.c - the fields of the study `thickness`, in and out.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/thickness/record.h"

#include "machine/machine.h"
#include "study/thickness/part.h"

// --- in ------------------------------------------------------------------------------------------

static const struct bw_choice WHENS[] = {
    {"before", "before it was sanded"}, {"after", "after it was sanded"}, {NULL, NULL}};
static const struct bw_choice LANES[] = {{"left", "along the machine's left side"},
                                         {"centre", "in its middle"},
                                         {"right", "along its right side"},
                                         {NULL, NULL}};
static const struct bw_choice TURNED[] = {
    {"no", "as its marks say, front first"},
    {"turned", "end for end: its back went in first, its right side on the machine's left"},
    {NULL, NULL}};
static const struct bw_choice EDGES[] = {
    {"lead", "where the part goes in"}, {"trail", "where it comes out last"}, {NULL, NULL}};
static const struct bw_choice BELT_TURNED[] = {
    {"no", "the belt as it was"}, {"turned", "the same belt turned round"}, {NULL, NULL}};

#define READING(member) BW_AT(struct thickness_reading, member)
#define IN(member) BW_AT(struct thickness_input, member)
#define LENGTH(low, high) .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = low, .max = high

static const struct bw_field READING_FIELDS[] = {
    {READING(value), LENGTH(1e-4, 0.5), .required = true, .lead = "", .help = "the thickness read"},
    {READING(place), .kind = BW_TEXT, .lead = "at",
     .help = "where on the panel: left, centre or right, then front, middle or back, as LF, CM, "
             "\"right back\"; the front goes in first, left is the feeder's left"},
    {READING(panel), .kind = BW_TEXT, .lead = "of", .fallback = "1",
     .help = "which panel or strip"},
    {READING(across), LENGTH(0, 4), .help = "from the panel's left edge, in place of `place`"},
    {READING(along), LENGTH(0, 10), .help = "from the panel's front edge, in place of `place`"},
    {READING(when), .kind = BW_CHOICE, .of = WHENS, .fallback = "after", .lead = "when",
     .help = "before or after sanding"},
    {READING(lane), .kind = BW_CHOICE, .of = LANES, .fallback = "centre", .lead = "lane",
     .help = "where across the machine the panel ran"},
    {READING(middle), LENGTH(-3, 3),
     .help = "in place of `lane`: how far the panel's middle ran right of the machine's middle"},
    {READING(turned), .kind = BW_CHOICE, .of = TURNED, .fallback = "no",
     .help = "whether it ran end for end"},
    {READING(run), .kind = BW_COUNT, .min = 1, .max = 1000, .fallback = "1",
     .help = "which run, where the same panels ran more than once"},
    {READING(upto), .kind = BW_COUNT, .min = 1, .max = 12,
     .help = "heads 1 to this one cut, the later ones lifted; none: all of them cut"},
    {READING(only), .kind = BW_COUNT, .min = 1, .max = 12,
     .help = "only this head cut, all others lifted"},
    {READING(by), .kind = BW_TEXT, .help = "who read it, for a study of the gauge"},
    {READING(readout), LENGTH(1e-4, 0.5), .help = "what the machine's display said"},
    {READING(belt), .kind = BW_TEXT, .help = "kind of belt on the last head, for the readout"},
    {READING(minutes), .kind = BW_QUANTITY, .dim = BW_DIM_MINUTES, .min = 0, .max = 86400,
     .help = "time since the machine was started"},
    BW_END_FIELDS,
};
static const char *reading_rule(const void *record, const char **field) {
    const struct thickness_reading *r = record;
    *field = "place";
    if (r->place != NULL && (bw_known(r->across) || bw_known(r->along)))
        return "give the place, or across and along, not both";
    struct place place;
    if (r->place != NULL && !place_read(r->place, &place))
        return "is no place: write left, centre or right and front, middle or back, such as LF, "
               "CM, "
               "RB or \"left front\"";
    if (r->place == NULL && bw_known(r->across) != bw_known(r->along))
        return "needs both across and along, or a place";
    *field = "only";
    if (r->only != BW_NO_COUNT && r->upto != BW_NO_COUNT) return "give only or upto, not both";
    return NULL;
}
static const struct bw_record READING_RECORD = {.name = "reading",
                                                .help = "one thickness at one place of one panel",
                                                .fields = READING_FIELDS,
                                                .size = sizeof(struct thickness_reading),
                                                .check = reading_rule};
static const struct bw_field FILE_FIELDS[] = {
    {.name = "readings",
     .kind = BW_LIST,
     .of = &READING_RECORD,
     .count_max = MOST_READINGS,
     .required = true,
     .help = "the readings"},
    BW_END_FIELDS,
};
static const struct bw_record FILE_RECORD = {.name = "thickness readings",
                                             .help = "a table of readings",
                                             .fields = FILE_FIELDS,
                                             .size = sizeof(struct bw_list)};
static const struct bw_file_kind READINGS_FILE = {
    .name = "table of readings", .shape = "thickness-readings/1", .record = &FILE_RECORD};

static const struct bw_field TIMING_FIELDS[] = {
    {BW_AT(struct thickness_timing, length), LENGTH(-0.5, 0.5), .required = true, .lead = "",
     .help = "length left unsanded at the edge; negative: that long sanded too deep"},
    {BW_AT(struct thickness_timing, edge), .kind = BW_CHOICE, .of = EDGES, .required = true,
     .lead = "of", .help = "which edge"},
    {BW_AT(struct thickness_timing, feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .min = 0.005,
     .max = 3, .required = true, .lead = "at", .help = "feed speed"},
    BW_END_FIELDS,
};
static const struct bw_record TIMING_RECORD = {.name = "timing",
                                               .help = "how far from an edge the shoes set down",
                                               .fields = TIMING_FIELDS,
                                               .size = sizeof(struct thickness_timing)};
static const struct bw_field STROKE_FIELDS[] = {
    {BW_AT(struct thickness_strokes, left), .kind = BW_TEXT, .required = true,
     .help = "times of strokes to the left, as \"4.2 4.1 4.3 s\"; ten are good"},
    {BW_AT(struct thickness_strokes, right), .kind = BW_TEXT, .required = true,
     .help = "times of strokes to the right"},
    {BW_AT(struct thickness_strokes, turned), .kind = BW_CHOICE, .of = BELT_TURNED,
     .fallback = "no", .help = "whether the belt was turned round for these"},
    BW_END_FIELDS,
};
static const struct bw_record STROKES_RECORD = {.name = "strokes",
                                                .help = "belt strokes, timed by a watch",
                                                .fields = STROKE_FIELDS,
                                                .size = sizeof(struct thickness_strokes)};

static const struct bw_field INPUT_FIELDS[] = {
    {IN(machine), .kind = BW_FILE, .of = &bw_machine_file,
     .help = "the machine file, for its width"},
    {IN(readings), .kind = BW_LIST, .of = &READING_RECORD, .count_max = MOST_READINGS,
     .help = "a reading, such as \"18.02 mm at LF of 3\"; none: a plan and a card to measure by"},
    {IN(file), .kind = BW_FILE, .of = &READINGS_FILE,
     .help = "readings as CSV, one a row, with a reading's fields as columns"},
    {IN(panel_length), LENGTH(0.05, 10), .help = "of the panels, along the feed; none: 800 mm"},
    {IN(panel_width), LENGTH(0.01, 4), .help = "of the panels, across; none: 500 mm"},
    {IN(machine_width), LENGTH(0.1, 4),
     .help = "working width, for panels that ran left or right; the machine file's if it has it"},
    {IN(inset), LENGTH(0, 0.5), .fallback = "30 mm",
     .help = "how far from the edges the places are read"},
    {IN(snipe), LENGTH(0, 1), .fallback = "80 mm",
     .help = "how long the ends are that may dip or stand up"},
    {IN(target), LENGTH(1e-4, 0.5), .help = "wanted thickness"},
    {IN(tolerance), LENGTH(1e-6, 0.05), .help = "allowed to either side of it"},
    {IN(adjuster_span), LENGTH(0.1, 5), .help = "distance of the left adjuster from the right one"},
    {IN(thread), LENGTH(1e-5, 0.05), .help = "what one turn of an adjuster moves"},
    {IN(gauge), LENGTH(1e-7, 0.01), .fallback = "0.02 mm",
     .help = "standard deviation of one reading, where the readings themselves do not tell"},
    {IN(accuracy), LENGTH(1e-6, 0.01), .fallback = "0.02 mm",
     .help = "for the plan: wanted standard deviation of right against left, crown and ends"},
    {IN(timings), .kind = BW_LIST, .of = &TIMING_RECORD, .count_max = 100,
     .help = "sectional platen: \"12 mm of lead at 6 m/min\", at two feeds or more"},
    {IN(strokes), .kind = BW_LIST, .of = &STROKES_RECORD, .count_max = 10,
     .help = "tracking: left=\"4.2 4.1 s\",right=\"3.6 3.7 s\""},
    BW_END_FIELDS,
};
static const char *input_rule(const void *record, const char **field) {
    const struct thickness_input *in = record;
    double length = panel_length(in), width = panel_width(in);
    *field = "inset";
    if (in->inset.v * 2 >= fmin(length, width))
        return "leaves nothing of the panel between the edges";
    *field = "snipe";
    if (in->snipe.v * 2 >= length) return "takes the whole length of the panel";
    return NULL;
}
const struct bw_record thickness_input_record = {.name = "thickness input",
                                                 .help = "thickness readings and what to hold them "
                                                         "against",
                                                 .fields = INPUT_FIELDS,
                                                 .size = sizeof(struct thickness_input),
                                                 .check = input_rule};

// --- out -----------------------------------------------------------------------------------------

static const struct bw_choice YES_NO[] = {
    {"no", "within twice its ±"}, {"yes", "beyond twice its ±"}, {NULL, NULL}};
static const struct bw_choice SIDES[] = {
    {"left", "the feeder's left"}, {"right", "the feeder's right"}, {NULL, NULL}};

#define OF(type, member, what, dimension)                                                          \
    { BW_AT(struct type, member), .kind = BW_QUANTITY, .dim = dimension, .help = what }
#define WORDS(type, member, what)                                                                  \
    { BW_AT(struct type, member), .kind = BW_TEXT, .help = what }
#define COUNT(type, member, what)                                                                  \
    { BW_AT(struct type, member), .kind = BW_COUNT, .help = what }
#define PICK(type, member, list, what)                                                             \
    { BW_AT(struct type, member), .kind = BW_CHOICE, .of = list, .help = what }
#define RECORD_OF(id, title, type, list, what)                                                     \
    static const struct bw_record id = {                                                           \
        .name = title, .help = what, .fields = list, .size = sizeof(struct type)}

static const struct bw_field TERM_FIELDS[] = {
    WORDS(thickness_term, id, "taper, crown, lead, trail or lane"),
    WORDS(thickness_term, name, "what it is, in words"),
    OF(thickness_term, value, "how much", BW_DIM_LENGTH),
    PICK(thickness_term, shown, YES_NO, "whether the readings show it"),
    OF(thickness_term, came_in, "the same before sanding", BW_DIM_LENGTH),
    WORDS(thickness_term, text, "what it means"),
    BW_END_FIELDS,
};
RECORD_OF(TERM, "shape", thickness_term, TERM_FIELDS, "one part of the panels' shape");
static const struct bw_field WRONG_FIELDS[] = {
    WORDS(thickness_wrong, panel, "which panel"),
    WORDS(thickness_wrong, place, "where on it"),
    OF(thickness_wrong, value, "as read", BW_DIM_LENGTH),
    OF(thickness_wrong, off, "how far off the others", BW_DIM_LENGTH),
    BW_END_FIELDS,
};
RECORD_OF(WRONG, "doubtful reading", thickness_wrong, WRONG_FIELDS, "a reading left out");
static const struct bw_field PANEL_FIELDS[] = {
    WORDS(thickness_panel, panel, "which panel"),
    OF(thickness_panel, mean, "its thickness, shape taken off", BW_DIM_LENGTH),
    OF(thickness_panel, off, "against the mean of all panels", BW_DIM_LENGTH),
    BW_END_FIELDS,
};
RECORD_OF(PANEL, "panel step", thickness_panel, PANEL_FIELDS, "one panel against the others");
static const struct bw_field HEAD_FIELDS[] = {
    WORDS(thickness_head, head, "which head"),
    OF(thickness_head, taper, "right against left, it alone cutting", BW_DIM_LENGTH),
    OF(thickness_head, removal, "what it takes", BW_DIM_LENGTH),
    BW_END_FIELDS,
};
RECORD_OF(HEAD, "head by head", thickness_head, HEAD_FIELDS, "what one head does");
static const struct bw_field ADJUST_FIELDS[] = {
    PICK(thickness_adjust, side, SIDES, "which adjuster"),
    OF(thickness_adjust, closer, "how much closer drum and table must come there; negative: apart",
       BW_DIM_LENGTH),
    OF(thickness_adjust, turns, "in turns of the adjuster", BW_DIM_NUMBER),
    BW_END_FIELDS,
};
RECORD_OF(ADJUST, "adjustment", thickness_adjust, ADJUST_FIELDS, "one way to take taper out");
static const struct bw_field READOUT_FIELDS[] = {
    WORDS(thickness_readout, belt, "kind of belt"),
    OF(thickness_readout, off, "panel thicker than the display says", BW_DIM_LENGTH),
    COUNT(thickness_readout, panels, "from how many panels"),
    BW_END_FIELDS,
};
RECORD_OF(READOUT, "readout error", thickness_readout, READOUT_FIELDS, "display against panel");
static const struct bw_field SHOE_FIELDS[] = {
    WORDS(thickness_shoe, edge, "which edge"),
    OF(thickness_shoe, delay, "how late; it grows with the feed", BW_DIM_TIME),
    OF(thickness_shoe, place, "how far off the sensor sits; it stays the same", BW_DIM_LENGTH),
    WORDS(thickness_shoe, text, "what to do"),
    BW_END_FIELDS,
};
RECORD_OF(SHOE, "platen timing", thickness_shoe, SHOE_FIELDS, "timing of a sectional platen");
static const struct bw_field SPOT_FIELDS[] = {
    OF(thickness_spot, across, "right of the machine's middle", BW_DIM_LENGTH),
    OF(thickness_spot, along, "from the leading edge", BW_DIM_LENGTH),
    OF(thickness_spot, off, "against the panel's mean", BW_DIM_LENGTH),
    COUNT(thickness_spot, readings, "readings there"),
    BW_END_FIELDS,
};
RECORD_OF(SPOT, "spot", thickness_spot, SPOT_FIELDS, "one place of the thickness map");
static const struct bw_field PLACE_FIELDS[] = {
    WORDS(thickness_place, name, "as it is called"),
    OF(thickness_place, across, "from the panel's left edge", BW_DIM_LENGTH),
    OF(thickness_place, along, "from the panel's front edge", BW_DIM_LENGTH),
    BW_END_FIELDS,
};
RECORD_OF(PLACE, "place to read", thickness_place, PLACE_FIELDS, "one place of the card");
static const struct bw_field NOTE_FIELDS[] = {
    WORDS(thickness_note, text, "one remark"),
    BW_END_FIELDS,
};
RECORD_OF(NOTE, "thickness note", thickness_note, NOTE_FIELDS, "a remark on the readings");

#define OUT(member) BW_AT(struct thickness_output, member)
#define MANY(member, record, what)                                                                 \
    { OUT(member), .kind = BW_LIST, .of = &record, .help = what }
#define Q(member, dimension, what) OF(thickness_output, member, what, dimension)
static const struct bw_field OUTPUT_FIELDS[] = {
    {OUT(answer), .kind = BW_TEXT, .help = "the answer in one sentence"},
    {OUT(machine), .kind = BW_TEXT, .help = "the machine's name"},
    {OUT(readings), .kind = BW_COUNT, .help = "readings used"},
    Q(sigma, BW_DIM_LENGTH, "what is left after shape and panels: one reading's spread"),
    Q(slope, BW_DIM_NUMBER, "taper, right thicker, per length across"),
    Q(over, BW_DIM_LENGTH, "width over which right against left is told"),
    MANY(terms, TERM, "the panels' common shape, part by part"),
    MANY(wrong, WRONG, "readings left out"),
    MANY(panels, PANEL, "panel against panel"),
    MANY(heads, HEAD, "head by head"),
    MANY(adjust, ADJUST, "ways to take the taper out; any one of them does it"),
    Q(repeatability, BW_DIM_LENGTH, "spread of one person's repeated readings at one place"),
    Q(people, BW_DIM_LENGTH, "spread from person to person"),
    Q(gauge_spread, BW_DIM_LENGTH, "both together"),
    Q(gauge_share, BW_DIM_RATIO, "six times that over the whole tolerance"),
    Q(categories, BW_DIM_NUMBER, "kinds of place the gauge can tell apart; 5 is good"),
    Q(cp, BW_DIM_NUMBER, "capability: tolerance over six times the spread"),
    Q(cp_low, BW_DIM_NUMBER, "its 95 % interval, from"),
    Q(cp_high, BW_DIM_NUMBER, "its 95 % interval, to"),
    Q(cpk, BW_DIM_NUMBER, "the same to the nearer limit"),
    Q(cpk_low, BW_DIM_NUMBER, "its 95 % interval, from"),
    Q(cpk_high, BW_DIM_NUMBER, "its 95 % interval, to"),
    Q(outside, BW_DIM_RATIO, "share of places out of tolerance, by these readings"),
    MANY(readouts, READOUT, "display against panel, by kind of belt"),
    Q(drift, BW_DIM_LENGTH, "panels thicker at the start than when warm"),
    MANY(shoes, SHOE, "timing of a sectional platen"),
    Q(stroke_left, BW_DIM_TIME, "mean stroke to the left"),
    Q(stroke_right, BW_DIM_TIME, "mean stroke to the right"),
    {OUT(tracking), .kind = BW_TEXT, .help = "what the strokes say"},
    MANY(map, SPOT, "the thickness map"),
    {OUT(panels_to_measure), .kind = BW_COUNT, .help = "the plan: panels to measure"},
    {OUT(columns), .kind = BW_COUNT, .help = "places across each panel"},
    {OUT(rows), .kind = BW_COUNT, .help = "places along each panel"},
    Q(planned, BW_DIM_LENGTH, "standard deviation the plan gives"),
    Q(wanted, BW_DIM_LENGTH, "standard deviation wanted"),
    MANY(places, PLACE, "the card: where to read on each panel"),
    MANY(notes, NOTE, "remarks on the readings"),
    BW_END_FIELDS,
};
const struct bw_record thickness_output_record = {.name = "thickness",
                                                  .help = "the shape of panels and what makes it",
                                                  .fields = OUTPUT_FIELDS,
                                                  .size = sizeof(struct thickness_output)};
