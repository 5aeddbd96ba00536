// record.c - the fields of the study `marks`, in and out, each defined here and nowhere else.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/marks/record.h"

#include "machine/machine.h"
#include "study/source/record.h"

// --- in ----------------------------------------------------------------------------------------

static const struct bw_file_kind PICTURE_FILE = {.name = "picture", .medium = BW_MEDIUM_PICTURE};

static const struct bw_choice ALONGS[] = {
    {"auto", "as the scratches or the grain lie"},
    {"x", "from left to right, or back"},
    {"y", "from top to bottom, or back"},
    {NULL, NULL},
};
static const struct bw_choice YES_NO[] = {{"no", NULL}, {"yes", NULL}, {NULL, NULL}};
static const struct bw_choice ORIGINS[] = {
    {"open", "one picture cannot tell panel from camera"},
    {"panel", "turned along with the panel"},
    {"camera", "stayed with the camera: its own bands, or the lamp's"},
    {NULL, NULL},
};

#define LINE(member) BW_AT(struct marks_line, member)
#define RECTANGLE(member) BW_AT(struct marks_rectangle, member)
#define RULER(member) BW_AT(struct marks_ruler, member)
#define IN(member) BW_AT(struct marks_input, member)

static const struct bw_field LINE_FIELDS[] = {
    {LINE(ends), .kind = BW_TEXT, .required = true, .lead = "",
     .help = "two points x,y in pixels from the top left, such as 120,340 3900,352"},
    {LINE(length), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.005, .max = 5,
     .required = true, .lead = "is", .help = "distance between the two"},
    BW_END_FIELDS,
};
static const struct bw_record LINE_RECORD = {.name = "line",
                                             .help = "two points a known distance apart",
                                             .fields = LINE_FIELDS,
                                             .size = sizeof(struct marks_line)};
static const struct bw_field RECTANGLE_FIELDS[] = {
    {RECTANGLE(corners), .kind = BW_TEXT, .required = true, .lead = "",
     .help = "four corners x,y in pixels, going round from the top left"},
    {RECTANGLE(width), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.01, .max = 5,
     .required = true, .lead = "is", .help = "from the first corner to the second"},
    {RECTANGLE(height), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.01, .max = 5,
     .required = true, .lead = "x", .help = "from the second corner to the third"},
    BW_END_FIELDS,
};
static const struct bw_record RECTANGLE_RECORD = {
    .name = "rectangle",
    .help = "four corners of a rectangle of known size lying on the panel",
    .fields = RECTANGLE_FIELDS,
    .size = sizeof(struct marks_rectangle)};
static const struct bw_field RULER_FIELDS[] = {
    {RULER(ends), .kind = BW_TEXT, .required = true, .lead = "",
     .help = "two points x,y in pixels on the row of ticks"},
    {RULER(step), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.0001, .max = 0.1,
     .required = true, .lead = "every", .help = "from tick to tick"},
    BW_END_FIELDS,
};
static const struct bw_record RULER_RECORD = {.name = "ruler",
                                              .help = "a ruler lying on the panel",
                                              .fields = RULER_FIELDS,
                                              .size = sizeof(struct marks_ruler)};

static const struct bw_field INPUT_FIELDS[] = {
    {IN(picture), .kind = BW_FILE, .of = &PICTURE_FILE, .positional = true,
     .help = "photo or scan of the panel: JPEG, PNG, TIFF, HEIC; none: the card to take one by is "
             "printed"},
    {IN(machine), .kind = BW_FILE, .of = &bw_machine_file,
     .help = "the machine file; then the answer goes on to the part"},
    {IN(feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .of = bw_feed_ways, .min = 0.001, .max = 5,
     .help = "feed the panel was sanded at, and how known"},
    {IN(lines), .kind = BW_LIST, .of = &LINE_RECORD, .count_max = 4,
     .help = "scale: two points, best two pencil lines on the face, such as \"120,340 3900,352 is "
             "500 mm\""},
    {IN(rectangles), .kind = BW_LIST, .of = &RECTANGLE_RECORD, .count_max = 1,
     .help = "scale and squareness: such as \"90,80 3900,95 3880,2700 110,2690 is 297 mm x 210 "
             "mm\""},
    {IN(bank_card), .kind = BW_TEXT,
     .help = "scale: four corners of a bank card near the marks, its long side first"},
    {IN(rulers), .kind = BW_LIST, .of = &RULER_RECORD, .count_max = 1,
     .help = "scale: a ruler in the picture, such as \"200,1800 3700,1820 every 1 mm\""},
    {IN(dpi), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 20, .max = 10000,
     .help = "scale: dots per inch of a scan"},
    {IN(along), .kind = BW_CHOICE, .of = ALONGS, .fallback = "auto",
     .help = "which way the panel was fed, in the picture"},
    {IN(skew), .kind = BW_QUANTITY, .dim = BW_DIM_ANGLE, .min = -0.7853981634, .max = 0.7853981634,
     .fallback = "0 deg", .help = "how far the feed leans from that, clockwise"},
    {IN(part), .kind = BW_TEXT,
     .help = "look only at this part: two opposite corners x,y in pixels"},
    {IN(turned), .kind = BW_FILE, .of = &PICTURE_FILE,
     .help = "a second shot of the same panel with the phone turned a quarter turn"},
    {IN(known_pitch), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.0005, .max = 0.5,
     .help = "the picture is of a board whose marks have this pitch: tries the scale"},
    {IN(scale_off), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = -0.2, .max = 0.2,
     .help = "what such a board showed this way of taking the scale to be off by; taken out"},
    {IN(card), .kind = BW_CHOICE, .of = YES_NO, .fallback = "no", .flag = true,
     .help = "print the card to take a photo by"},
    BW_END_FIELDS,
};
static const char *input_rule(const void *record, const char **field) {
    const struct marks_input *in = record;
    int scales = (in->lines.n > 0) + (in->rectangles.n > 0) + (in->rulers.n > 0) +
                 (in->bank_card != NULL) + bw_known(in->dpi);
    *field = "dpi";
    if (scales > 1) return "give one scale only: the best you have";
    *field = "feed";
    if (in->machine.name == NULL && bw_known(in->feed)) return "is of use only with a machine file";
    return NULL;
}
const struct bw_record marks_input_record = {.name = "marks input",
                                             .help = "a picture of a panel and its scale",
                                             .fields = INPUT_FIELDS,
                                             .size = sizeof(struct marks_input),
                                             .check = input_rule};

// --- out ---------------------------------------------------------------------------------------

#define SET(member) BW_AT(struct marks_answer, member)
#define OUT(member) BW_AT(struct marks_output, member)

static const struct bw_field SENTENCE_FIELDS[] = {
    {BW_AT(struct marks_sentence, text), .kind = BW_TEXT, .help = "a sentence"}, BW_END_FIELDS};
static const struct bw_record SENTENCE = {.name = "sentence",
                                          .help = "a sentence",
                                          .fields = SENTENCE_FIELDS,
                                          .size = sizeof(struct marks_sentence)};
static const struct bw_field SOURCE_FIELDS[] = {
    {BW_AT(struct marks_source, id), .kind = BW_TEXT, .help = "stable name, as rates names it"},
    {BW_AT(struct marks_source, name), .kind = BW_TEXT, .help = "the part"},
    {BW_AT(struct marks_source, harmonic), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "marks per event of the source"},
    {BW_AT(struct marks_source, probability), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "how likely"},
    BW_END_FIELDS,
};
static const struct bw_record SOURCE = {.name = "mark source",
                                        .help = "what may have left the marks",
                                        .fields = SOURCE_FIELDS,
                                        .size = sizeof(struct marks_source)};
static const struct bw_field THIRD_FIELDS[] = {
    {BW_AT(struct marks_third, pitch), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .help = "pitch there"},
    {BW_AT(struct marks_third, pitch_px), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "the same in pixels"},
    BW_END_FIELDS,
};
static const struct bw_record THIRD = {.name = "third",
                                       .help = "a third of the length along the feed",
                                       .fields = THIRD_FIELDS,
                                       .size = sizeof(struct marks_third)};
static const struct bw_field SET_FIELDS[] = {
    {SET(pitch), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .help = "from mark to mark along the feed; not given without a scale"},
    {SET(pitch_px), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .help = "the same in pixels"},
    {SET(direction_deg), .kind = BW_QUANTITY, .dim = BW_DIM_ANGLE,
     .help = "how far the marks lean from square to the feed, clockwise"},
    {SET(contrast), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "change of light from mean to mark; not a depth"},
    {SET(harmonics), .kind = BW_COUNT,
     .help = "1: waves that swell and fade; many: narrow marks with plain surface between"},
    {SET(false_alarm), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "chance that bare wood shows as much anywhere in such a picture"},
    {SET(width_share), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "share of the width that carries them, about"},
    {SET(origin), .kind = BW_CHOICE, .of = ORIGINS, .help = "panel or camera, by a second shot"},
    {SET(steadiness), .kind = BW_TEXT, .help = "what the thirds say"},
    {SET(thirds), .kind = BW_LIST, .of = &THIRD, .help = "pitch by thirds of the length"},
    {SET(signs), .kind = BW_LIST, .of = &SENTENCE, .help = "what else it could be"},
    {SET(sources), .kind = BW_LIST, .of = &SOURCE, .help = "with a machine file: likeliest first"},
    BW_END_FIELDS,
};
static const struct bw_record SET_RECORD = {.name = "mark set",
                                            .help = "one family of equally spaced marks",
                                            .fields = SET_FIELDS,
                                            .size = sizeof(struct marks_answer)};

static const struct bw_field OUTPUT_FIELDS[] = {
    {OUT(answer), .kind = BW_TEXT, .help = "the answer in one sentence"},
    {OUT(usable), .kind = BW_CHOICE, .of = YES_NO, .help = "whether the picture is good enough"},
    {OUT(verdict), .kind = BW_TEXT, .help = "on the picture"},
    {OUT(mends), .kind = BW_LIST, .of = &SENTENCE, .help = "what would make it better"},
    {OUT(feed_along), .kind = BW_TEXT, .help = "the feed in the picture"},
    {OUT(feed_by), .kind = BW_TEXT, .help = "how that is known"},
    {OUT(grain_deg), .kind = BW_QUANTITY, .dim = BW_DIM_ANGLE,
     .help = "how far scratches or grain lean from it, clockwise"},
    {OUT(pixel), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .help = "size of a pixel on the panel"},
    {OUT(scale_by), .kind = BW_TEXT, .help = "how that is known"},
    {OUT(mark_sets), .kind = BW_LIST, .of = &SET_RECORD, .help = "surest first"},
    {OUT(source), .kind = BW_RECORD, .of = &source_output_record,
     .help = "with a machine file: which part left them"},
    {OUT(notes), .kind = BW_LIST, .of = &SENTENCE, .help = "what else to know"},
    {OUT(next), .kind = BW_LIST, .of = &SENTENCE, .help = "what to do next"},
    {OUT(scale_off), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "of a board of known pitch: what the scale reads too long"},
    {OUT(scale_holds), .kind = BW_CHOICE, .of = YES_NO,
     .help = "whether that lies within the scale's own ±"},
    {OUT(board_dpi), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "dots per inch of photos from that distance"},
    {OUT(card), .kind = BW_LIST, .of = &SENTENCE, .help = "how to take the photo"},
    BW_END_FIELDS,
};
const struct bw_record marks_output_record = {.name = "marks",
                                              .help = "marks across the feed in a picture",
                                              .fields = OUTPUT_FIELDS,
                                              .size = sizeof(struct marks_output)};
