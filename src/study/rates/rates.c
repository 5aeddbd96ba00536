// rates.c - the study `rates`: what turns in a machine, how often, at what pitch.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/rates/rates.h"

#include "machine/contact.h"
#include "machine/model.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct input {
    struct bw_file machine;
    struct bw_quantity feed;
};
struct line_order {
    struct bw_quantity order;
    const char *fault;
};
struct line {
    const char *id, *name;
    int kind, seen;
    struct bw_quantity rate, pitch, ridge, through;
    struct bw_list harmonics;  // struct line_order
};
struct wave {
    const char *name;
    struct bw_quantity pitch;
};
struct coincidence {
    const char *first, *second, *decided_by;
    struct bw_quantity order, gap, uncertain;
};
struct unknown {
    const char *field, *text;
};
struct output {
    const char *machine;
    struct bw_quantity feed;
    struct bw_list sources;       // struct line
    struct bw_list waves;         // struct wave
    struct bw_list coincidences;  // struct coincidence
    struct bw_list unknowns;      // struct unknown
};

// --- description -----------------------------------------------------------------------------

static const struct bw_choice KINDS[] = {
    {"timed", "repeats in time: its pitch grows with the feed"},
    {"paced", "repeats per length of travel: its pitch stays whatever the feed"},
    {NULL, NULL},
};
static const struct bw_choice SEEN[] = {
    {"no", "the highest ridge it can leave is under 1 µm"},
    {"yes", "high enough to be seen in raking light"},
    {"open", "nothing in the file bounds its height"},
    {NULL, NULL},
};

static const struct bw_field INPUT_FIELDS[] = {
    {BW_AT(struct input, machine), .kind = BW_FILE, .of = &bw_machine_file, .required = true,
     .positional = true, .help = "the machine file"},
    {BW_AT(struct input, feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .of = bw_feed_ways,
     .min = 0.001, .max = 5, .required = true, .help = "feed speed, and how it is known"},
    BW_END_FIELDS,
};
static const struct bw_record INPUT = {.name = "rates input",
                                       .fields = INPUT_FIELDS,
                                       .size = sizeof(struct input),
                                       .help = "a machine and a feed"};

static const struct bw_field ORDER_FIELDS[] = {
    {BW_AT(struct line_order, order), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "marks per event of the source"},
    {BW_AT(struct line_order, fault), .kind = BW_TEXT, .help = "what is wrong when it shows so"},
    BW_END_FIELDS,
};
static const struct bw_record ORDER = {.name = "harmonic",
                                       .fields = ORDER_FIELDS,
                                       .size = sizeof(struct line_order),
                                       .help = "a way the source shows"};
static const struct bw_field LINE_FIELDS[] = {
    {BW_AT(struct line, id), .kind = BW_TEXT, .help = "stable name for documents"},
    {BW_AT(struct line, name), .kind = BW_TEXT, .help = "the part"},
    {BW_AT(struct line, kind), .kind = BW_CHOICE, .of = KINDS, .help = "timed or paced"},
    {BW_AT(struct line, rate), .kind = BW_QUANTITY, .dim = BW_DIM_RATE,
     .help = "events a second at this feed"},
    {BW_AT(struct line, pitch), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .help = "from mark to mark on the panel"},
    {BW_AT(struct line, ridge), .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH,
     .help = "the highest ridge it could leave"},
    {BW_AT(struct line, through), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "share of a mark that the pressing part's length lets through"},
    {BW_AT(struct line, seen), .kind = BW_CHOICE, .of = SEEN, .help = "whether it can be seen"},
    {BW_AT(struct line, harmonics), .kind = BW_LIST, .of = &ORDER, .help = "the ways it shows"},
    BW_END_FIELDS,
};
static const struct bw_record LINE = {.name = "source",
                                      .fields = LINE_FIELDS,
                                      .size = sizeof(struct line),
                                      .help = "a part that can leave a repeating mark"};
static const struct bw_field WAVE_FIELDS[] = {
    {BW_AT(struct wave, name), .kind = BW_TEXT, .help = "the two parts"},
    {BW_AT(struct wave, pitch), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .help = "distance from swell to swell"},
    BW_END_FIELDS,
};
static const struct bw_record WAVE = {.name = "wave",
                                      .fields = WAVE_FIELDS,
                                      .size = sizeof(struct wave),
                                      .help = "slow bands of two close sources"};
static const struct bw_field COINCIDENCE_FIELDS[] = {
    {BW_AT(struct coincidence, first), .kind = BW_TEXT, .help = "one source"},
    {BW_AT(struct coincidence, order), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "its harmonic"},
    {BW_AT(struct coincidence, second), .kind = BW_TEXT, .help = "the other source"},
    {BW_AT(struct coincidence, gap), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "how far their pitches lie apart"},
    {BW_AT(struct coincidence, uncertain), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "standard deviation of that gap by what the file knows"},
    {BW_AT(struct coincidence, decided_by), .kind = BW_TEXT, .help = "what tells them apart"},
    BW_END_FIELDS,
};
static const struct bw_record COINCIDENCE = {.name = "coincidence",
                                             .fields = COINCIDENCE_FIELDS,
                                             .size = sizeof(struct coincidence),
                                             .help = "two sources whose marks look alike"};
static const struct bw_field UNKNOWN_FIELDS[] = {
    {BW_AT(struct unknown, field), .kind = BW_TEXT, .help = "where in the machine file"},
    {BW_AT(struct unknown, text), .kind = BW_TEXT, .help = "what not knowing it costs"},
    BW_END_FIELDS,
};
static const struct bw_record UNKNOWN = {.name = "unknown",
                                         .fields = UNKNOWN_FIELDS,
                                         .size = sizeof(struct unknown),
                                         .help = "a value the file leaves open"};
static const struct bw_field OUTPUT_FIELDS[] = {
    {BW_AT(struct output, machine), .kind = BW_TEXT, .help = "the machine's name"},
    {BW_AT(struct output, feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .of = bw_feed_ways,
     .help = "the feed taken"},
    {BW_AT(struct output, sources), .kind = BW_LIST, .of = &LINE, .help = "every source"},
    {BW_AT(struct output, waves), .kind = BW_LIST, .of = &WAVE,
     .help = "slow bands where two sources are close"},
    {BW_AT(struct output, coincidences), .kind = BW_LIST, .of = &COINCIDENCE,
     .help = "sources this machine hardly tells apart"},
    {BW_AT(struct output, unknowns), .kind = BW_LIST, .of = &UNKNOWN,
     .help = "what the file leaves open"},
    BW_END_FIELDS,
};
static const struct bw_record OUTPUT = {.name = "rates",
                                        .fields = OUTPUT_FIELDS,
                                        .size = sizeof(struct output),
                                        .help = "what turns, and what it would leave"};

// --- the study -------------------------------------------------------------------------------

struct work {
    struct bw_run *run;
    const struct bw_model *model;
    double feed, feed_sd;  // m/s, relative
};

// Of a source in ln pitch: the form, and its sd with the feed's.
static double pitch_of(const struct work *work, const struct bw_source *source, double *sd) {
    double value = exp(bw_gauss_mean(work->model->belief, &source->form));
    double own = bw_gauss_sd(work->model->belief, &source->form);
    *sd = source->timed ? hypot(own, work->feed_sd) : own;
    return source->timed ? bw_pitch_of_rate(work->feed, value) : value;
}

static bool is_listed(const struct bw_source *source) {
    return source->part < BW_PART_UNLISTED_TIMED && source->part != BW_PART_BEAT;
}

static bool line_of(const struct work *work, const struct bw_source *source, struct line *line) {
    double sd, pitch = pitch_of(work, source, &sd);
    double own = bw_gauss_sd(work->model->belief, &source->form);
    struct bw_height height = bw_source_height(work->model, source, pitch);
    double rate = work->feed / pitch;
    line->id = source->id;
    line->name = source->name;
    line->kind = source->timed ? 0 : 1;
    line->rate = bw_about(rate, rate * (source->timed ? own : sd));
    line->pitch = bw_about(pitch, pitch * sd);
    line->ridge = bw_exactly(height.ridge);
    line->through = bw_exactly(height.share);
    line->seen = isnan(height.ridge) ? 2 : height.ridge >= BW_SEEN_RIDGE ? 1 : 0;
    struct line_order *orders =
        bw_arena_array(work->run->arena, (size_t)source->n_harmonics, sizeof *orders);
    if (orders == NULL) return false;
    for (int i = 0; i < source->n_harmonics; i++)
        orders[i] =
            (struct line_order){bw_exactly(source->harmonics[i].order), source->harmonics[i].fault};
    line->harmonics = (struct bw_list){orders, (size_t)source->n_harmonics};
    return true;
}

static bool list_sources(const struct work *work, struct output *out) {
    const struct bw_model *model = work->model;
    struct line *lines = bw_arena_array(work->run->arena, (size_t)model->n_sources, sizeof *lines);
    struct wave *waves = bw_arena_array(work->run->arena, (size_t)model->n_sources, sizeof *waves);
    if (lines == NULL || waves == NULL) return false;
    size_t n = 0, m = 0;
    for (int i = 0; i < model->n_sources; i++) {
        const struct bw_source *source = &model->sources[i];
        if (is_listed(source) && !line_of(work, source, &lines[n++])) return false;
        if (source->part != BW_PART_BEAT) continue;
        double sd, pitch = pitch_of(work, source, &sd);
        waves[m++] = (struct wave){source->name, bw_about(pitch, pitch * sd)};
    }
    out->sources = (struct bw_list){lines, n};
    out->waves = (struct bw_list){waves, m};
    return true;
}

// --- near-coincidences -----------------------------------------------------------------------

#define NEAR 0.06  // closer than this a rule on the panel does not tell two pitches apart
#define MOST_COINCIDENCES 8

static bool can_coincide(const struct work *work, const struct bw_source *source) {
    bool usual = source->part == BW_PART_SPLICE || source->part == BW_PART_DRUM ||
                 source->part == BW_PART_ROLLER || source->part == BW_PART_BRUSH || !source->timed;
    if (!is_listed(source) || source->wide || !usual) return false;
    double sd;
    struct bw_height height = bw_source_height(work->model, source, pitch_of(work, source, &sd));
    return isnan(height.ridge) || height.ridge >= BW_SEEN_RIDGE;
}

static const char *decided_by(const struct bw_source *a, const struct bw_source *b) {
    if (a->timed != b->timed) return "another feed: only one of the two follows it";
    if (!a->timed) return "a look at both parts; marking one of them with chalk";
    if (a->head != b->head) return "lifting heads one at a time";
    if (a->part == BW_PART_SPLICE && !isnan(a->lean) && a->lean > 0)
        return "the slant of the marks (the joint leans, the roll does not), or a chalked splice";
    return "a chalked splice and a tape round the roll, locked out";
}

static void consider(const struct work *work, const struct bw_source *a, const struct bw_source *b,
                     struct output *out) {
    double sa, sb, ratio = pitch_of(work, a, &sa) / pitch_of(work, b, &sb);
    double order = round(ratio);
    // A splice scallop has many harmonics; elsewhere only like against like is worth a line.
    double most = a->part == BW_PART_SPLICE && a->head == b->head ? 6 : 1;
    if (order < 1 || order > most) return;
    double gap = fabs(ratio / order - 1);
    if (gap > NEAR) return;
    struct bw_form difference = bw_form_sum(&a->form, a->timed == b->timed ? -1 : 1, &b->form);
    double sd = bw_gauss_sd(work->model->belief, &difference);
    if (a->timed != b->timed) sd = hypot(sd, work->feed_sd);
    struct coincidence *items = out->coincidences.items;
    items[out->coincidences.n++] = (struct coincidence){
        a->name, b->name, decided_by(a, b), bw_exactly(order), bw_exactly(gap), bw_exactly(sd)};
}

static int by_gap(const void *x, const void *y) {
    double a = ((const struct coincidence *)x)->gap.v, b = ((const struct coincidence *)y)->gap.v;
    return (a > b) - (a < b);
}

static bool coincidences(const struct work *work, struct output *out) {
    const struct bw_model *model = work->model;
    size_t n = (size_t)model->n_sources;
    out->coincidences.items =
        bw_arena_array(work->run->arena, n * n + 1, sizeof(struct coincidence));
    if (out->coincidences.items == NULL) return false;
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < n; j++) {
            const struct bw_source *a = &model->sources[i], *b = &model->sources[j];
            if (i == j || !can_coincide(work, a) || !can_coincide(work, b)) continue;
            double sd, pa = pitch_of(work, a, &sd), pb = pitch_of(work, b, &sd);
            // Each pair once: the longer pitch first; of two alike, the earlier in the file.
            if (pa < pb || (pa == pb && j < i)) continue;
            consider(work, a, b, out);
        }
    }
    qsort(out->coincidences.items, out->coincidences.n, sizeof(struct coincidence), by_gap);
    if (out->coincidences.n > MOST_COINCIDENCES) out->coincidences.n = MOST_COINCIDENCES;
    return true;
}

static bool run(struct bw_run *run_, const void *in, void *out_, struct bw_err *err) {
    const struct input *input = in;
    const struct bw_machine *machine = input->machine.content;
    struct bw_model *model;
    if (!bw_model_build(run_->arena, machine, &model, err)) {
        bw_err_file(err, input->machine.name);
        return false;
    }
    double sd = bw_sd_known(input->feed) ? input->feed.sd / input->feed.v : 0;
    struct work work = {run_, model, input->feed.v, sd};
    struct output out = {.machine = machine->name, .feed = input->feed};
    struct unknown *unknowns =
        bw_arena_array(run_->arena, (size_t)model->n_costs + 1, sizeof *unknowns);
    if (unknowns == NULL || !list_sources(&work, &out) || !coincidences(&work, &out))
        return bw_fail_memory(err);
    for (int i = 0; i < model->n_costs; i++)
        unknowns[i] = (struct unknown){model->costs[i].field, model->costs[i].text};
    out.unknowns = (struct bw_list){unknowns, (size_t)model->n_costs};
    *(struct output *)out_ = out;
    return true;
}

// --- views -----------------------------------------------------------------------------------

// Two figures in the unit shown: a ceiling is not worth more.
static struct bw_quantity rough(const struct bw_text *text, struct bw_quantity q, enum bw_dim dim) {
    double shown = bw_dim_from_si(dim, text->units, q.v);
    if (!(shown > 0)) return q;
    double step = pow(10, floor(log10(shown)) - 1);
    return bw_exactly(bw_dim_to_si(dim, text->units, round(shown / step) * step));
}

static const char *ordinal(struct bw_text *text, double n) {
    static const char *const NAMES[] = {"", "", "2nd harmonic of the ", "3rd harmonic of the ",
                                        "4th harmonic of the "};
    if (n <= 1) return "";
    if (n <= 4) return NAMES[(int)n];
    const char *out = bw_arena_format(text->arena, "%.0fth harmonic of the ", n);
    return out == NULL ? "" : out;
}

// The part without its head, which has a column of its own.
static const char *part_alone(struct bw_text *text, const char *name) {
    static const char OF[] = " of head ";
    for (const char *at = strstr(name, OF); at != NULL; at = NULL) {
        const char *part = bw_arena_text(text->arena, name, (size_t)(at - name));
        if (part != NULL) return part;
    }
    return name;
}

static const char *head_alone(struct bw_text *text, const char *id) {
    if (strncmp(id, "head", 4) != 0) return "";
    const char *head = bw_arena_text(text->arena, id + 4, strcspn(id + 4, "."));
    return head == NULL ? "" : head;
}

static void source_rows(const struct output *out, struct bw_text *text) {
    const char *titles[] = {"head", "part", "Hz", NULL, "goes with", NULL, "passes"};
    titles[3] = bw_arena_format(text->arena, "pitch, %s", bw_text_unit(text, BW_DIM_LENGTH));
    titles[5] = bw_arena_format(text->arena, "ridge, %s", bw_text_unit(text, BW_DIM_DEPTH));
    if (titles[3] == NULL || titles[5] == NULL) return;
    bw_text_table(text, "llddldr", titles);
    for (size_t i = 0; i < out->sources.n; i++) {
        const struct line *line = (const struct line *)out->sources.items + i;
        if (line->seen == 0) continue;
        bw_text_cell(text, "%s", head_alone(text, line->id));
        bw_text_cell(text, "%s", part_alone(text, line->name));
        bw_text_cell(text, "%.3g", line->rate.v);
        bw_text_cell(text, "%s", bw_text_value(text, line->pitch, BW_DIM_LENGTH));
        bw_text_cell(text, "%s", line->kind == 0 ? "time" : "travel");
        bw_text_cell(
            text, "%s",
            bw_known(line->ridge)
                ? bw_text_value(text, rough(text, line->ridge, BW_DIM_DEPTH), BW_DIM_DEPTH)
                : "");
        bw_text_cell(text, "%s",
                     line->through.v < 0.995
                         ? bw_text_quantity(text, rough(text, line->through, BW_DIM_RATIO),
                                            BW_DIM_RATIO)
                         : "");
    }
    bw_text_table_end(text);
}

static void unseen(const struct output *out, struct bw_text *text) {
    struct bw_buffer names = {0};
    for (size_t i = 0; i < out->sources.n; i++) {
        const struct line *line = (const struct line *)out->sources.items + i;
        if (line->seen != 0) continue;
        bw_buffer_format(&names, "%s%s %s", names.length > 0 ? "; " : "", line->name,
                         bw_text_quantity(text, line->pitch, BW_DIM_LENGTH));
    }
    if (names.length > 0 && !names.failed) {
        bw_text_gap(text);
        bw_text_para(text, "Cannot be seen on the panel (ridge under %s), for the ear only: %s.",
                     bw_text_quantity(text, bw_exactly(BW_SEEN_RIDGE), BW_DIM_DEPTH), names.data);
    }
    bw_buffer_free(&names);
}

static void coincidence_lines(const struct output *out, struct bw_text *text) {
    if (out->coincidences.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "Hard to tell apart on this machine");
    for (size_t i = 0; i < out->coincidences.n; i++) {
        const struct coincidence *item = (const struct coincidence *)out->coincidences.items + i;
        if (item->gap.v < 0.001)
            bw_text_item(text, "- ", "The %s%s and the %s have the same pitch. What decides: %s.",
                         ordinal(text, item->order.v), item->first, item->second, item->decided_by);
        else
            bw_text_item(text, "- ",
                         "The %s%s lies %.1f %% from the %s (known to ± %.1f %%). What "
                         "decides: %s.",
                         ordinal(text, item->order.v), item->first, 100 * item->gap.v, item->second,
                         100 * item->uncertain.v, item->decided_by);
    }
}

static void view(const void *out_, struct bw_text *text) {
    const struct output *out = out_;
    bw_text_para(text, "%s at a feed of %s", out->machine == NULL ? "This machine" : out->machine,
                 bw_text_quantity(text, out->feed, BW_DIM_FEED));
    bw_text_gap(text);
    source_rows(out, text);
    bw_text_gap(text);
    bw_text_para(text,
                 "Marks that go with time grow further apart as the feed rises; marks that go with "
                 "travel keep their pitch. \"ridge\" is the most a mark can stand up, "
                 "\"passes\" the share that the pressing part's length lets through.");
    unseen(out, text);
    if (out->waves.n > 0) {
        bw_text_gap(text);
        bw_text_heading(text, "Slow waves where two parts run close");
        for (size_t i = 0; i < out->waves.n; i++) {
            const struct wave *wave = (const struct wave *)out->waves.items + i;
            bw_text_item(text, "- ", "%s: every %s", wave->name,
                         bw_text_quantity(text, wave->pitch, BW_DIM_LENGTH));
        }
    }
    coincidence_lines(out, text);
    if (out->unknowns.n > 0) {
        bw_text_gap(text);
        bw_text_heading(text, "What is not known, and what it costs");
        for (size_t i = 0; i < out->unknowns.n; i++)
            bw_text_item(text, "- ", "%s.",
                         ((const struct unknown *)out->unknowns.items + i)->text);
        bw_text_gap(text);
        bw_text_caution(
            text, "hands go in only after lock-out: power and air off, tension released, drums "
                  "at rest. The machine's manual comes first.");
    }
}

const struct bw_study bw_study_rates = {
    .name = "rates",
    .summary = "what turns in a machine, and the pitch of the marks it would leave",
    .about = "Lists every part of the machine that can leave a repeating mark: its rate, the pitch "
             "of its marks "
             "at the feed given, whether the pitch follows the feed or stays, and the highest "
             "ridge it could "
             "leave. A part whose ridge stays under 1 µm is named as one that cannot be seen.\n\n"
             "It also says which parts of this machine leave marks so alike that a ruler does not "
             "tell them "
             "apart and what would decide, where two parts run so close that slow waves appear, "
             "and what "
             "the values still missing from the machine file cost.",
    .example = "beltwright rates examples/three-head.yaml --feed \"24 ft/min by watch\"",
    .in = &INPUT,
    .out = &OUTPUT,
    .shape = 1,
    .run = run,
    .text = view,
};
