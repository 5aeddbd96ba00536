// trace.c - the study `trace`: how rough and how wavy a sanded surface is, and what that means.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/trace/trace.h"

#include "study/trace/work.h"

#include <math.h>
#include <string.h>

const char *trace_say(struct trace_work *w, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const char *text = bw_arena_vformat(w->arena, format, args);
    va_end(args);
    if (text == NULL) w->failed = true;
    return text == NULL ? "" : text;
}

void trace_remark(struct trace_work *w, const char *text) {
    for (size_t i = 0; i < w->out.remarks.n; i++)
        if (strcmp(w->remarks[i].text, text) == 0) return;
    if (w->out.remarks.n < TRACE_MOST_REMARKS) w->remarks[w->out.remarks.n++].text = text;
}

bool trace_grit(struct trace_work *w, const char *text, const struct bw_grit **out,
                struct bw_err *err) {
    *out = NULL;
    return text == NULL || bw_grit_read(&w->grits, text, strlen(text), out, err);
}

// --- one profile's numbers, or the means of several ------------------------------------------

struct tally {
    double sum, square, n, inner;  // inner: sd of the one value there is
};

static void count(struct tally *tally, double v, double inner) {
    if (isnan(v)) return;
    tally->sum += v;
    tally->square += v * v;
    tally->n++;
    tally->inner = inner;
}

// Of one profile its own sd; of several the sd of their mean.
static struct bw_quantity mean_of(const struct tally *tally) {
    if (tally->n < 1) return BW_UNKNOWN;
    double mean = tally->sum / tally->n;
    if (tally->n < 2) return bw_about(mean, tally->inner > 0 ? tally->inner : BW_NAN);
    double variance = (tally->square - tally->sum * mean) / (tally->n - 1);
    double sd = sqrt(fmax(variance, 0) / tally->n);
    return bw_about(mean, sd > 0 ? sd : BW_NAN);
}

#define ROUGH_COUNT 10
#define NUMBER_COUNT (ROUGH_COUNT + 7)

// In the order of the record: ra .. rdq, rk, rpk, rvk, mr1, mr2, wa, wq.
static void add_profile(struct tally tallies[NUMBER_COUNT], const struct trace_measured *m,
                        int standard) {
    const struct bw_texture *v = &m->rough[standard].value, *sd = &m->rough[standard].scatter;
    const struct bw_material *k = &m->material[standard];
    const double values[NUMBER_COUNT] = {v->a,  v->q,   v->z,   v->t,  v->p, v->v,
                                         v->sk, v->ku,  v->sm,  v->dq, k->k, k->pk,
                                         k->vk, k->mr1, k->mr2, m->wa, m->wq};
    const double scatter[ROUGH_COUNT] = {sd->a, sd->q,  sd->z,  sd->t,  sd->p,
                                         sd->v, sd->sk, sd->ku, sd->sm, sd->dq};
    for (size_t i = 0; i < NUMBER_COUNT; i++)
        count(&tallies[i], values[i], i < ROUGH_COUNT ? scatter[i] : BW_NAN);
}

static struct trace_parameters parameters_of(const struct tally tallies[NUMBER_COUNT],
                                             int standard) {
    struct bw_quantity q[NUMBER_COUNT];
    for (size_t i = 0; i < NUMBER_COUNT; i++) q[i] = mean_of(&tallies[i]);
    return (struct trace_parameters){.standard = standard,
                                     .ra = q[0],
                                     .rq = q[1],
                                     .rz = q[2],
                                     .rt = q[3],
                                     .rp = q[4],
                                     .rv = q[5],
                                     .rsk = q[6],
                                     .rku = q[7],
                                     .rsm = q[8],
                                     .rdq = q[9],
                                     .rk = q[10],
                                     .rpk = q[11],
                                     .rvk = q[12],
                                     .mr1 = q[13],
                                     .mr2 = q[14],
                                     .wa = q[15],
                                     .wq = q[16]};
}

#define CORE_COUNT 8

static void add_core(struct tally tallies[CORE_COUNT], const struct trace_core *core) {
    const double values[CORE_COUNT] = {core->ra,       core->rq,         core->rk,
                                       core->at.below, core->pore_depth, core->at.above,
                                       core->at.low,   core->at.high};
    for (size_t i = 0; i < CORE_COUNT; i++)
        count(&tallies[i], values[i], i == 0 ? core->ra_sd : BW_NAN);
}

static bool sanding_of(struct trace_work *w, const struct tally tallies[CORE_COUNT]) {
    struct trace_sanding *sanding = bw_arena_get(w->arena, sizeof *sanding);
    if (sanding == NULL) return false;
    *sanding = (struct trace_sanding){
        mean_of(&tallies[0]), mean_of(&tallies[1]), mean_of(&tallies[2]), mean_of(&tallies[3]),
        mean_of(&tallies[4]), mean_of(&tallies[5]), mean_of(&tallies[6]), mean_of(&tallies[7])};
    w->out.sanding = sanding;
    return true;
}

// --- the file --------------------------------------------------------------------------------

static void settings_of(const struct trace_input *in, struct trace_settings *s) {
    *s = (struct trace_settings){.robust = in->filter == TRACE_ROBUST,
                                 .wood = in->surface == TRACE_WOOD};
    if (bw_known(in->cut_off)) s->cut_off = in->cut_off.v;
    if (bw_known(in->short_cut_off)) s->short_cut_off = in->short_cut_off.v;
    if (bw_known(in->wave_limit)) s->wave_limit = in->wave_limit.v;
    if (in->sections != BW_NO_COUNT) s->sections = (size_t)in->sections;
}

static void describe(struct trace_work *w, const struct trace_source *source,
                     const struct trace_heights *h, const struct trace_settings *s) {
    struct trace_output *out = &w->out;
    out->file = w->in->file.name;
    out->kind = bw_profile_format_name((enum bw_profile_format)source->file->about.format);
    out->points = (long)h->n;
    out->profiles = (long)source->profiles;
    out->sections = (long)s->sections;
    out->length = bw_exactly((double)h->n * h->dx);
    out->spacing = bw_exactly(h->dx);
    out->cut_off = bw_exactly(s->cut_off);
    if (s->short_cut_off > 0) out->short_cut_off = bw_exactly(s->short_cut_off);
    if (s->wave_limit > 0) out->wave_limit = bw_exactly(s->wave_limit);
    if (!(s->short_cut_off > 0))
        trace_remark(w, "Points are too far apart for the short cut-off that goes with this "
                        "cut-off; nothing was smoothed, so slopes and peaks are the instrument's.");
    if (s->sections < 5)
        trace_remark(w, trace_say(w, "Measured over %zu cut-off length%s; the standards ask for 5.",
                                  s->sections, s->sections == 1 ? "" : "s"));
    if (source->file->about.sum == BW_SUM_STALE)
        trace_remark(w, "The file's check sum of its description is not that of its content: it "
                        "was edited after it was made.");
    if (source->file->x != NULL)
        trace_remark(w, "Points are unevenly spaced; heights between them are straight lines.");
}

// Every profile measured; the middle one is kept for drawing.
static bool measure_all(struct trace_work *w, const struct trace_source *source,
                        struct trace_settings *s, struct bw_err *err) {
    struct tally rough[2][NUMBER_COUNT] = {0}, core[CORE_COUNT] = {0};
    struct trace_note settled = {{0}};
    size_t filled_all = 0;
    for (size_t i = 0; i < source->profiles; i++) {
        // The middle one first: it settles the cut-off for all.
        size_t which = (source->profiles / 2 + i) % source->profiles;
        struct trace_heights h;
        struct trace_measured m;
        if (w->run->cancel != NULL && *w->run->cancel)
            return bw_fail(err, BW_CANCELLED, "stopped on request");
        if (!trace_profile(w->arena, source, which, &h, err)) return false;
        if (i == 0 && !trace_settle(w->arena, h, s, &settled, err)) return false;
        if ((double)s->sections * s->cut_off > (double)h.n * h.dx * (1 + 1e-9)) continue;
        if (!trace_measure(w->arena, h, s, &m, err)) return false;
        filled_all += h.filled;
        add_profile(rough[0], &m, TRACE_21920);
        add_profile(rough[1], &m, TRACE_4287);
        if (s->wood) add_core(core, &m.core);
        if (m.rounds > w->out.rounds || w->out.rounds == BW_NO_COUNT) w->out.rounds = m.rounds;
        if (i == 0) {
            w->middle = m;
            w->heights = h;
        }
    }
    w->out.voids = (long)filled_all;
    w->parameters[0] = parameters_of(rough[0], TRACE_21920);
    w->parameters[1] = parameters_of(rough[1], TRACE_4287);
    w->out.parameters = (struct bw_list){w->parameters, 2};
    if (settled.text[0] != '\0') trace_remark(w, trace_say(w, "%s", settled.text));
    describe(w, source, &w->heights, s);
    return !s->wood || sanding_of(w, core) || bw_fail_memory(err);
}

static bool file(struct trace_work *w, struct bw_err *err) {
    const struct trace_input *in = w->in;
    struct trace_source source;
    struct trace_settings settings;
    struct trace_expected expected;
    const struct bw_grit *grit;
    if (!trace_grit(w, in->grit, &grit, err)) {
        bw_err_within(err, "grit");
        return false;
    }
    if (!trace_source_open(in, &source, err)) return false;
    settings_of(in, &settings);
    if (!measure_all(w, &source, &settings, err)) {
        bw_err_file(err, in->file.name);
        return false;
    }
    const struct trace_kind kind = {grit, in->stock, settings.cut_off, in->direction};
    if (!trace_expect(w->arena, &w->grits, &w->record, &kind, &expected, err)) return false;
    w->out.expected = expected.ra;
    w->out.compared = trace_compare(w->arena, &expected, w->parameters[0].ra, grit);
    if (!trace_marks(w, &settings, err)) return false;
    if (in->direction == TRACE_ACROSS && w->out.mark_sets.n == 0)
        trace_remark(w,
                     "No equally spaced marks stand out. A trace across the scratches runs along "
                     "bars of chatter and cannot show them: for these, trace along the feed.");
    if (in->direction == TRACE_ALONG && w->out.mark_sets.n == 0)
        trace_remark(w, "No equally spaced marks stand out.");
    if (in->direction == TRACE_ALONG)
        trace_remark(w,
                     "Traced along the scratches: the roughness reads low. Trace it across them.");
    return (trace_grains(w, &expected, grit, w->parameters[0].ra) && trace_curves(w, &settings)) ||
           bw_fail_memory(err);
}

// --- the answer ------------------------------------------------------------------------------

static const char *depth(struct trace_work *w, struct bw_quantity q) {
    char text[BW_QUANTITY_TEXT];
    return trace_say(w, "%s", bw_quantity_text(text, q, BW_DIM_DEPTH, BW_UNITS_SI));
}

static void answer(struct trace_work *w) {
    const struct trace_group *group = w->out.groups.items;
    struct bw_quantity ra = w->out.parameters.n > 0 ? w->parameters[0].ra : BW_UNKNOWN;
    const char *compared = w->out.compared;
    if (!bw_known(ra) && w->out.groups.n > 0) {
        ra = group[0].ra;
        compared = group[0].compared;
    }
    const char *what = bw_known(ra) ? "Ra" : "Rz";
    if (!bw_known(ra)) ra = group[0].rz;
    w->out.answer = compared == NULL ? trace_say(w, "%s %s.", what, depth(w, ra))
                                     : trace_say(w, "%s %s: %s.", what, depth(w, ra), compared);
}

static bool run(struct bw_run *run, const void *in_, void *out_, struct bw_err *err) {
    const struct trace_input *in = in_;
    struct trace_work w = {.run = run, .arena = run->arena, .in = in};
    bw_record_clear(&trace_output_record, &w.out);
    w.remarks = bw_arena_array(w.arena, TRACE_MOST_REMARKS, sizeof *w.remarks);
    w.parameters = bw_arena_array(w.arena, 2, sizeof *w.parameters);
    if (w.remarks == NULL || w.parameters == NULL) return bw_fail_memory(err);
    w.out.remarks.items = w.remarks;
    if (in->record.content != NULL) w.record = *(const struct bw_list *)in->record.content;
    if (!bw_grits_load(w.arena, &w.grits, err) || !trace_readings(&w, err) ||
        (in->file.content != NULL && !file(&w, err)))
        return false;
    answer(&w);
    if (w.failed) return bw_fail_memory(err);
    *(struct trace_output *)out_ = w.out;
    return true;
}

const struct bw_study bw_study_trace = {
    .name = "trace",
    .summary = "how rough and how wavy a surface is, from a tester's readings or a trace",
    .about =
        "Type what a pocket roughness tester shows, place by place; read at least five places "
        "square to the scratches, with the cut-off that the roughness asks for. Or give the file "
        "of a stylus or optical instrument: columns of numbers (CSV, text), SMD, SDF, X3P.\n\n"
        "From a file come the roughness and waviness parameters of ISO 21920-2, and of ISO 4287 "
        "where they differ, the material ratio curve, and equally spaced marks with their height, "
        "ready for `source`. On wood the pores and standing fibres are told apart from the "
        "sanding.\n\n"
        "Keep every reading in one CSV file and name it with --record: once three grits are in it, "
        "the study says whether a surface is as rough as its grit usually leaves it in this shop.",
    .example = "beltwright trace --reading \"Ra 5.4 um Rz 41 um cut-off 2.5 mm after P120 on oak\" "
               "--reading \"Ra 6.1 um Rz 44 um cut-off 2.5 mm after P120 on oak\" "
               "--record examples/roughness.csv",
    .in = &trace_input_record,
    .out = &trace_output_record,
    .shape = 1,
    .heavy = true,
    .run = run,
    .text = trace_text,
    .plots = trace_plots,
    .findings = trace_findings,
};
