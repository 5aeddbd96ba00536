// toy.c - see toy.h. It weighs a batch of panels: easy to check by hand, and nobody's trade.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "toy.h"

#include "read/picture.h"
#include "study/door.h"

#include <stdlib.h>

// --- what it takes

struct stock {
    const char *name;
    struct bw_quantity density;
};
static const struct bw_field STOCK_FIELDS[] = {
    {BW_AT(struct stock, name), .kind = BW_TEXT, .help = "what people call the stock"},
    {BW_AT(struct stock, density), .kind = BW_QUANTITY, .dim = BW_DIM_DENSITY, .min = 50,
     .max = 2000, .required = true, .help = "density of the stock"},
    BW_END_FIELDS,
};
static const struct bw_record STOCK = {.name = "stock",
                                       .help = "what the panels are made of",
                                       .fields = STOCK_FIELDS,
                                       .size = sizeof(struct stock)};
static const struct bw_file_kind STOCK_FILE = {
    .name = "stock file", .shape = "stock/1", .record = &STOCK, .max_bytes = 4096};

static const struct bw_way WAYS[] = {
    {.name = "rule", .help = "read off a steel rule", .absolute_sd = 0.0005},
    {.name = "caliper", .help = "measured with a caliper", .absolute_sd = 0.00005},
    {.name = NULL},
};

struct cut {
    struct bw_quantity area, depth;
    long times;
    int filled;
    const char *note;
};
enum { OPEN, FILLED };
static const struct bw_choice FILLING[] = {
    {"open", "left open"}, {"filled", "filled with the same stock"}, {NULL, NULL}};
static const struct bw_field CUT_FIELDS[] = {
    {BW_AT(struct cut, area), .kind = BW_QUANTITY, .dim = BW_DIM_AREA, .min = 1e-6, .max = 1,
     .required = true, .lead = "", .help = "area of the cut-out"},
    {BW_AT(struct cut, depth), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0, .max = 0.1,
     .lead = "deep", .help = "depth of the cut-out"},
    {BW_AT(struct cut, times), .kind = BW_COUNT, .min = 1, .max = 100, .fallback = "1",
     .lead = "times", .help = "how often it occurs in one panel"},
    {BW_AT(struct cut, filled), .kind = BW_CHOICE, .of = FILLING, .fallback = "open", .lead = "is",
     .help = "what becomes of it"},
    {BW_AT(struct cut, note), .kind = BW_TEXT, .help = "what it is for"},
    BW_END_FIELDS,
};
static const struct bw_record CUT = {
    .name = "cut", .help = "a cut-out", .fields = CUT_FIELDS, .size = sizeof(struct cut)};

struct crate {
    struct bw_quantity mass, most;
};
static const char *crate_rule(const void *record, const char **field) {
    const struct crate *crate = record;
    if (!bw_known(crate->most) || crate->most.v > crate->mass.v) return NULL;
    *field = "most";
    return "the crate alone is heavier than what it may weigh";
}
static const struct bw_field CRATE_FIELDS[] = {
    {BW_AT(struct crate, mass), .kind = BW_QUANTITY, .dim = BW_DIM_MASS, .min = 0, .max = 500,
     .required = true, .help = "mass of the empty crate"},
    {BW_AT(struct crate, most), .kind = BW_QUANTITY, .dim = BW_DIM_MASS, .min = 0, .max = 5000,
     .help = "what crate and panels may weigh together"},
    BW_END_FIELDS,
};
static const struct bw_record CRATE = {.name = "crate",
                                       .help = "what the panels are packed in",
                                       .fields = CRATE_FIELDS,
                                       .size = sizeof(struct crate),
                                       .check = crate_rule};

struct trestles {
    long number;
};
struct table {
    struct bw_quantity height;
};
static const struct bw_field TRESTLES_FIELDS[] = {
    {BW_AT(struct trestles, number), .kind = BW_COUNT, .min = 2, .max = 12, .required = true,
     .help = "how many"},
    BW_END_FIELDS,
};
static const struct bw_field TABLE_FIELDS[] = {
    {BW_AT(struct table, height), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.1, .max = 2,
     .help = "height above the floor"},
    BW_END_FIELDS,
};
static const struct bw_record TRESTLES = {.name = "trestles",
                                          .help = "a row of trestles",
                                          .fields = TRESTLES_FIELDS,
                                          .size = sizeof(struct trestles)};
static const struct bw_record TABLE = {
    .name = "lift", .help = "a lift table", .fields = TABLE_FIELDS, .size = sizeof(struct table)};
static const struct bw_choice_record SUPPORTS[] = {
    {"trestles", "on trestles", &TRESTLES},
    {"table", "on a lift table", &TABLE},
    {NULL, NULL, NULL},
};

static const struct bw_file_kind PHOTO_FILE = {.name = "photo", .medium = BW_MEDIUM_PICTURE};

struct in {
    struct bw_file stock, photo;
    struct bw_quantity length, width, thickness;
    long panels, seed;
    int finish;
    const char *customer;
    const struct crate *crate;
    struct bw_list cuts;  // struct cut
    struct bw_oneof support;
};
static const struct bw_choice FINISHES[] = {
    {"raw", "as sanded"}, {"oiled", "oiled, 0.1 kg/m² a face"}, {NULL, NULL}};
static const struct bw_field IN_FIELDS[] = {
    {BW_AT(struct in, stock), .kind = BW_FILE, .of = &STOCK_FILE, .required = true,
     .positional = true, .help = "what the panels are made of"},
    {BW_AT(struct in, length), .kind = BW_QUANTITY, .dim = BW_DIM_TRAVEL, .min = 0.05, .max = 10,
     .required = true, .help = "length of one panel"},
    {BW_AT(struct in, width), .kind = BW_QUANTITY, .dim = BW_DIM_TRAVEL, .min = 0.05, .max = 3,
     .required = true, .help = "width of one panel"},
    {BW_AT(struct in, thickness), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .of = WAYS,
     .min = 0.001, .max = 0.2, .fallback = "18 mm by rule", .help = "thickness of one panel"},
    {BW_AT(struct in, panels), .kind = BW_COUNT, .min = 1, .max = 10000, .fallback = "1",
     .help = "how many panels"},
    {BW_AT(struct in, finish), .kind = BW_CHOICE, .of = FINISHES, .fallback = "raw",
     .help = "finish of both faces"},
    {BW_AT(struct in, customer), .kind = BW_TEXT, .help = "who gets them"},
    {BW_AT(struct in, crate), .kind = BW_RECORD, .of = &CRATE, .help = "what they are packed in"},
    {BW_AT(struct in, cuts), .kind = BW_LIST, .of = &CUT, .count_max = 4,
     .help = "a cut-out in every panel"},
    {BW_AT(struct in, photo), .kind = BW_FILE, .of = &PHOTO_FILE, .help = "the batch in a photo"},
    {BW_AT(struct in, support), .kind = BW_ONEOF, .of = SUPPORTS, .help = "what they lie on"},
    BW_SEED_FIELD(struct in),
    BW_END_FIELDS,
};
static const struct bw_record IN = {.name = "batch",
                                    .help = "a batch of panels to be weighed",
                                    .fields = IN_FIELDS,
                                    .size = sizeof(struct in)};

// --- what it answers

struct part {
    const char *name;
    struct bw_quantity mass;
};
struct out {
    struct bw_quantity mass, guess;
    long panels, pixels;
    const char *customer;
    struct bw_list parts;  // struct part
    struct bw_quantity thickness;
};
static const struct bw_field PART_FIELDS[] = {
    {BW_AT(struct part, name), .kind = BW_TEXT, .required = true, .help = "what it is"},
    {BW_AT(struct part, mass), .kind = BW_QUANTITY, .dim = BW_DIM_MASS, .help = "its mass"},
    BW_END_FIELDS,
};
static const struct bw_record PART = {.name = "part",
                                      .help = "a part of the whole mass",
                                      .fields = PART_FIELDS,
                                      .size = sizeof(struct part)};
static const struct bw_field OUT_FIELDS[] = {
    {BW_AT(struct out, mass), .kind = BW_QUANTITY, .dim = BW_DIM_MASS, .required = true,
     .help = "mass of the whole batch"},
    {BW_AT(struct out, guess), .kind = BW_QUANTITY, .dim = BW_DIM_MASS,
     .help = "a guess drawn around the mass"},
    {BW_AT(struct out, panels), .kind = BW_COUNT, .required = true, .help = "how many panels"},
    {BW_AT(struct out, pixels), .kind = BW_COUNT, .help = "pixels of the photo"},
    {BW_AT(struct out, customer), .kind = BW_TEXT, .help = "who gets them"},
    {BW_AT(struct out, thickness), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .help = "the thickness reckoned with"},
    {BW_AT(struct out, parts), .kind = BW_LIST, .of = &PART, .help = "what the mass is made of"},
    BW_END_FIELDS,
};
static const struct bw_record OUT = {.name = "weight",
                                     .help = "what a batch weighs",
                                     .fields = OUT_FIELDS,
                                     .size = sizeof(struct out)};

static double cuts_volume(const struct in *in) {
    double volume = 0;
    const struct cut *cuts = in->cuts.items;
    for (size_t i = 0; i < in->cuts.n; i++) {
        double depth = bw_known(cuts[i].depth) ? cuts[i].depth.v : in->thickness.v;
        if (cuts[i].filled == OPEN) volume += cuts[i].area.v * depth * (double)cuts[i].times;
    }
    return volume;
}

// A fixed scramble of the seed to [0, 1): the toy's whole random generator.
static double scramble(uint64_t seed) {
    uint64_t x = (seed + 1) * 0x9e3779b97f4a7c15u;
    x ^= x >> 31;
    return (double)(x >> 11) * 0x1p-53;
}

static void add_part(struct out *out, const char *name, double mass) {
    struct part *parts = out->parts.items;
    parts[out->parts.n++] = (struct part){name, bw_exactly(mass)};
    out->mass.v += mass;
}

static bool run(struct bw_run *run, const void *input, void *output, struct bw_err *err) {
    const struct in *in = input;
    const struct stock *stock = in->stock.content;
    struct out out = {.mass = bw_about(0, 0),
                      .guess = BW_UNKNOWN,
                      .panels = in->panels,
                      .pixels = BW_NO_COUNT,
                      .customer = in->customer,
                      .thickness = in->thickness};
    const struct bw_picture *photo = in->photo.content;
    if (photo != NULL) out.pixels = (long)photo->width * (long)photo->height;
    double area = in->length.v * in->width.v, number = (double)in->panels;
    out.parts.items = bw_arena_array(run->arena, 4, sizeof(struct part));
    if (out.parts.items == NULL) return bw_fail_memory(err);
    double volume = area * in->thickness.v - cuts_volume(in);
    if (volume <= 0) {
        bw_fail(err, BW_INPUT, "the cut-outs are larger than the panel");
        bw_err_mend(err, "look at their area, depth and number");
        bw_err_within(err, "cuts");
        return false;
    }
    add_part(&out, "panels", number * volume * stock->density.v);
    if (in->finish == 1) add_part(&out, "oil", number * 2 * area * 0.1);
    if (in->crate != NULL) add_part(&out, "crate", in->crate->mass.v);
    if (bw_sd_known(in->thickness))
        out.mass.sd = number * area * in->thickness.sd * stock->density.v;
    out.guess = bw_exactly(out.mass.v + (2 * scramble(run->seed) - 1) * out.mass.sd);
    *(struct out *)output = out;
    return true;
}

// --- views

static void text(const void *output, struct bw_text *text) {
    const struct out *out = output;
    const struct part *parts = out->parts.items;
    static const char *const TITLES[] = {"part", "mass", NULL};
    bw_text_para(text, "The batch weighs %s.", bw_text_quantity(text, out->mass, BW_DIM_MASS));
    bw_text_gap(text);
    bw_text_table(text, "lr", TITLES);
    for (size_t i = 0; i < out->parts.n; i++) {
        bw_text_cell(text, "%s", parts[i].name);
        bw_text_cell(text, "%s", bw_text_quantity(text, parts[i].mass, BW_DIM_MASS));
    }
    bw_text_table_end(text);
}

static void plots(const void *output, struct bw_plots *plots) {
    const struct out *out = output;
    double x[3], y[3];
    for (int i = 0; i < 3; i++) {
        x[i] = out->thickness.v * (0.5 + 0.5 * i);
        y[i] = out->mass.v * (0.5 + 0.5 * i);
    }
    struct bw_plot *plot = bw_plot_new(plots, "mass-by-thickness", "Mass by thickness");
    plot->alternative = "Mass grows in proportion to thickness.";
    plot->x_title = "thickness";
    plot->y_title = "mass";
    plot->x_dim = BW_DIM_LENGTH;
    plot->y_dim = BW_DIM_MASS;
    bw_plot_series(
        plots, plot,
        (struct bw_series){
            .kind = BW_MARK_LINE, .name = "batch", .style = "main", .x = x, .y = y, .n = 3});
}

static void findings(const void *output, struct bw_findings *findings) {
    const struct out *out = output;
    bw_findings_add(findings, (struct bw_finding){.kind = "toy-mass",
                                                  .about = "batch",
                                                  .v = out->mass.v,
                                                  .sd = out->mass.sd,
                                                  .dim = BW_DIM_MASS});
}

const struct bw_study toy_study = {
    .name = "toy",
    .summary = "weigh a batch of panels",
    .about = "Adds up what a batch of panels weighs.\n\nEverything in it is invented: it is there "
             "to be driven through every face of the program.",
    .example = "beltwright toy tests/house/stock.yaml --length \"2 m\" --width \"900 mm\"",
    .in = &IN,
    .out = &OUT,
    .shape = 1,
    .run = run,
    .text = text,
    .plots = plots,
    .findings = findings,
};

void toy_register(void) {
    if (bw_study_find(toy_study.name) == NULL && !bw_studies_add(&toy_study)) abort();
}
