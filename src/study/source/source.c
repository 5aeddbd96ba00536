// source.c - the study `source`: from the pitch of a mark to the part that leaves it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/source/source.h"

#include "study/source/design.h"
#include "study/source/infer.h"
#include "study/source/proof.h"
#include "study/source/record.h"
#include "study/source/stopgap.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define DECIDED 0.9
#define SHOWN 0.01  // candidates rarer than this are not listed
#define MOST_SHOWN 8

struct work {
    struct bw_run *run;
    const struct evidence *e;
    const struct belief *belief;
    struct bw_gauss *told;  // the belief once the named marks and rates are taken in
    bool failed;
};

static const char *say(struct work *w, const char *format, ...) BW_PRINTF(2, 3);
static const char *say(struct work *w, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const char *text = bw_arena_vformat(w->run->arena, format, args);
    va_end(args);
    if (text == NULL) w->failed = true;
    return text == NULL ? "" : text;
}

static void *array(struct work *w, size_t n, size_t size) {
    void *items = bw_arena_array(w->run->arena, n + 1, size);
    if (items == NULL) w->failed = true;
    return items;
}

// What the file and the named readings say, before the open marks are looked at.
static bool told(struct work *w) {
    w->told = bw_gauss_copy(w->run->arena, w->belief->gauss[w->belief->states[0].scenario]);
    if (w->told == NULL) return false;
    for (int i = 0; i < w->e->n_items; i++) {
        const struct item *item = &w->e->items[i];
        if (!item->given) continue;
        const struct hypothesis *h = state_hypothesis(w->belief, &w->belief->states[0], i);
        bw_gauss_observe(w->told, &h->form, item->value, item->sd);
    }
    return true;
}

// --- one mark --------------------------------------------------------------------------------

struct tally {  // the weight of a source for one mark, and its likeliest harmonic
    const struct hypothesis *best;
    double weight, best_weight;
};

static int by_weight(const void *x, const void *y) {
    const struct tally *a = x, *b = y;
    if (a->weight != b->weight) return a->weight < b->weight ? 1 : -1;
    return (a->best->source > b->best->source) - (a->best->source < b->best->source);
}

static void tally_one(struct tally *tallies, size_t *n, const struct hypothesis *h, double weight,
                      double *harmonics) {
    size_t i = 0;
    while (i < *n && tallies[i].best->source != h->source) i++;
    if (i == *n) tallies[(*n)++] = (struct tally){.best = h};
    double *of = harmonics + i * BW_MAX_HARMONICS;
    of[h->harmonic] += weight;
    tallies[i].weight += weight;
    if (of[h->harmonic] > tallies[i].best_weight) {
        tallies[i].best = h;
        tallies[i].best_weight = of[h->harmonic];
    }
}

// All sources that may have left the mark of an item, largest weight first.
static struct tally *tally(struct work *w, int item, size_t *n) {
    size_t most = (size_t)w->e->model->n_sources;
    struct tally *tallies = array(w, most, sizeof *tallies);
    double *harmonics = array(w, most * BW_MAX_HARMONICS, sizeof *harmonics);
    *n = 0;
    if (w->failed) return tallies;
    for (int i = 0; i < w->belief->n; i++) {
        const struct state *state = &w->belief->states[i];
        tally_one(tallies, n, state_hypothesis(w->belief, state, item), state->weight, harmonics);
    }
    qsort(tallies, *n, sizeof *tallies, by_weight);
    return tallies;
}

static bool is_unlisted(const struct bw_source *source) {
    return source->part >= BW_PART_UNLISTED_TIMED;
}

static void candidates(struct work *w, const struct tally *tallies, size_t n,
                       struct source_answer *answer) {
    struct source_candidate *items = array(w, MOST_SHOWN, sizeof *items);
    if (w->failed) return;
    size_t shown = 0;
    double unlisted = 0, timed = 0;
    for (size_t i = 0; i < n; i++) {
        const struct hypothesis *h = tallies[i].best;
        if (is_unlisted(h->source)) unlisted += tallies[i].weight;
        if (h->source->timed) timed += tallies[i].weight;
        if (shown == MOST_SHOWN || (tallies[i].weight < SHOWN && shown > 0)) continue;
        const struct bw_harmonic *harmonic = &h->source->harmonics[h->harmonic];
        struct source_candidate *c = &items[shown++];
        *c = (struct source_candidate){.id = h->source->id,
                                       .name = h->source->name,
                                       .fault = harmonic->fault,
                                       .pitch = BW_UNKNOWN,
                                       .order = bw_exactly(harmonic->order),
                                       .probability = bw_exactly(tallies[i].weight)};
        if (is_unlisted(h->source)) continue;
        double pitch = exp(bw_gauss_mean(w->told, &h->form));
        c->pitch = bw_about(pitch, pitch * bw_gauss_sd(w->told, &h->form));
    }
    answer->candidates = (struct bw_list){items, shown};
    answer->unlisted = bw_exactly(unlisted);
    answer->timed = bw_exactly(timed);
}

// Total of a kind of part over heads, and the largest single head's share of it.
static double part_total(const struct tally *tallies, size_t n, enum bw_part part,
                         double *largest) {
    double total = 0;
    *largest = 0;
    for (size_t i = 0; i < n; i++) {
        if (tallies[i].best->source->part != part) continue;
        total += tallies[i].weight;
        *largest = fmax(*largest, tallies[i].weight);
    }
    return total;
}

// From `first` on, as many as together with those before hold nine tenths, at most three.
static const char *listed(struct work *w, const struct tally *tallies, size_t n, size_t first) {
    struct bw_buffer names = {0};
    double sum = 0;
    for (size_t i = 0; i < first; i++) sum += tallies[i].weight;
    for (size_t i = first; i < n && i < first + 3 && sum < DECIDED; i++) {
        bw_buffer_format(&names, "%s%s%s", i > first ? ", " : "",
                         is_unlisted(tallies[i].best->source) ? "" : "the ",
                         tallies[i].best->source->name);
        sum += tallies[i].weight;
    }
    if (sum < DECIDED) bw_buffer_text(&names, ", or another part");
    if (names.failed) w->failed = true;
    const char *text = names.failed ? "" : say(w, "%s", names.data);
    bw_buffer_free(&names);
    return text;
}

static const char *verdict(struct work *w, const struct tally *tallies, size_t n, bool given) {
    const struct bw_source *top = tallies[0].best->source;
    if (given) return say(w, "Taken as the %s, as told.", top->name);
    double largest, part = part_total(tallies, n, top->part, &largest);
    if (tallies[0].weight >= DECIDED && is_unlisted(top))
        return say(w, "Nothing in the machine file leaves such marks: look for %s.", top->name);
    if (tallies[0].weight >= DECIDED) {
        const char *fault = tallies[0].best->source->harmonics[tallies[0].best->harmonic].fault;
        return say(w, "It is the %s%s%s.", top->name, fault == NULL ? "" : ": ",
                   fault == NULL ? "" : fault);
    }
    if (part >= DECIDED && !is_unlisted(top))
        return say(w, "A %s; which head is not decided.", bw_part_word(top->part));
    if (tallies[0].weight >= 0.5 && !is_unlisted(top))
        return say(w, "Most likely the %s, but not decided: it may also be %s.", top->name,
                   listed(w, tallies, n, 1));
    return say(w, "Not decided between %s.", listed(w, tallies, n, 0));
}

static void answer_of(struct work *w, int item, struct source_answer *answer) {
    const struct item *it = &w->e->items[item];
    const struct source_mark *mark =
        (const struct source_mark *)w->e->input->marks.items + it->mark;
    size_t n;
    struct tally *tallies = tally(w, item, &n);
    if (w->failed) return;
    *answer = (struct source_answer){
        .mark = it->mark + 1, .pitch = mark->pitch, .feed = w->e->settings[it->setting].feed};
    candidates(w, tallies, n, answer);
    answer->verdict = verdict(w, tallies, n, it->given);
    answer->decided = it->given || tallies[0].weight >= DECIDED ? 1 : 0;
}

static bool answers(struct work *w, struct source_output *out) {
    struct source_answer *items = array(w, w->e->input->marks.n, sizeof *items);
    if (w->failed) return false;
    out->marks = (struct bw_list){items, w->e->input->marks.n};
    out->decided = 1;
    for (int i = 0; i < w->e->n_items; i++) {
        int mark = w->e->items[i].mark;
        if (mark < 0) continue;
        answer_of(w, i, &items[mark]);
        if (w->failed) return false;
        if (items[mark].decided == 0) out->decided = 0;
    }
    int focus = w->e->items[evidence_focus(w->e)].mark;
    out->answer = items[focus].verdict;
    return true;
}

// --- kinds of part, whichever head ------------------------------------------------------------

static void part_of(struct work *w, const struct tally *tallies, size_t n, enum bw_part part,
                    struct source_output *out) {
    double largest, total = part_total(tallies, n, part, &largest);
    if (total < SHOWN) return;
    struct source_head_share *heads = array(w, n, sizeof *heads);
    if (w->failed) return;
    size_t shown = 0;
    for (size_t i = 0; i < n; i++) {
        const struct bw_source *source = tallies[i].best->source;
        if (source->part != part || source->head < 0 || tallies[i].weight < SHOWN) continue;
        heads[shown++] = (struct source_head_share){source->name, bw_exactly(tallies[i].weight)};
    }
    struct source_part *items = out->parts.items;
    items[out->parts.n++] = (struct source_part){.name = bw_part_word(part),
                                                 .probability = bw_exactly(total),
                                                 .head_decided = largest >= DECIDED * total ? 1 : 0,
                                                 .heads = {heads, shown}};
}

static int by_probability(const void *x, const void *y) {
    double a = ((const struct source_part *)x)->probability.v;
    double b = ((const struct source_part *)y)->probability.v;
    return (a < b) - (a > b);
}

static bool parts(struct work *w, struct source_output *out) {
    size_t n;
    struct tally *tallies = tally(w, evidence_focus(w->e), &n);
    out->parts.items = array(w, BW_PART_COUNT, sizeof(struct source_part));
    if (w->failed) return false;
    for (int part = 0; part < BW_PART_COUNT; part++)
        part_of(w, tallies, n, (enum bw_part)part, out);
    qsort(out->parts.items, out->parts.n, sizeof(struct source_part), by_probability);
    return !w->failed;
}

// --- speeds the readings corrected ------------------------------------------------------------

static void speed_of(struct work *w, const char *name, const struct bw_form *form,
                     struct bw_quantity stated, struct source_output *out) {
    double mean = 0, square = 0;
    for (int i = 0; i < w->belief->n; i++) {
        double m, v, weight = w->belief->states[i].weight;
        state_predict(w->belief, &w->belief->states[i], form, &m, &v);
        mean += weight * m;
        square += weight * (m * m + v);
    }
    const struct bw_gauss *before = w->e->model->belief;
    double sd = sqrt(fmax(square - mean * mean, 0)), prior = bw_gauss_sd(before, form);
    if (sd > 0.5 * prior && fabs(mean - bw_gauss_mean(before, form)) < prior) return;
    struct source_speed *items = out->speeds.items;
    items[out->speeds.n++] =
        (struct source_speed){name, stated, bw_about(exp(mean), exp(mean) * sd)};
}

static bool speeds(struct work *w, struct source_output *out) {
    size_t heads = w->e->model->machine->heads.n;
    out->speeds.items = array(w, heads + MAX_SETTINGS, sizeof(struct source_speed));
    if (w->failed) return false;
    for (size_t i = 0; i < heads; i++) {
        if (w->e->model->belt_speed[i] < 0) continue;
        const struct bw_belt *belt = bw_machine_head(w->e->model->machine, i)->belt;
        struct bw_form form = {.constant = 0};
        bw_form_add(&form, w->e->model->belt_speed[i], 1);
        speed_of(w, say(w, "belt of head %zu", i + 1), &form,
                 belt == NULL ? BW_UNKNOWN : belt->speed, out);
    }
    for (int i = 0; i < w->e->n_settings; i++)
        speed_of(w, w->e->n_settings == 1 ? "feed" : say(w, "feed setting %d", i + 1),
                 &w->e->settings[i].form, w->e->settings[i].feed, out);
    struct source_head_share *items = array(w, (size_t)w->e->n_scenarios, sizeof *items);
    if (w->failed) return false;
    out->suspicions.items = items;
    for (int i = 1; i < w->e->n_scenarios; i++) {
        double weight = 0;
        for (int k = 0; k < w->belief->n; k++)
            if (w->belief->states[k].scenario == i) weight += w->belief->states[k].weight;
        if (weight > 0.1 && weight > 2 * w->e->scenarios[i].weight)
            items[out->suspicions.n++] =
                (struct source_head_share){w->e->scenarios[i].name, bw_exactly(weight)};
    }
    return true;
}

// --- the rest --------------------------------------------------------------------------------

// Short names: a label has room for some twenty letters.
static const char *chart_name(struct work *w, const struct bw_source *source) {
    const char *dot = strchr(source->id, '.');
    return source->head < 0 || dot == NULL ? source->name
                                           : say(w, "head %d %s", source->head + 1, dot + 1);
}

static void chart_line(struct work *w, const struct bw_source *source, double order,
                       double probability, struct source_output *out) {
    double slope = bw_gauss_mean(w->told, &source->form);
    slope = exp(source->timed ? -slope : slope) / order;
    struct source_chart *items = out->chart.items;
    items[out->chart.n++] = (struct source_chart){chart_name(w, source), source->timed ? 0 : 1,
                                                  bw_exactly(slope), bw_exactly(probability)};
}

// The listed source nearest in pitch that the chart does not show yet; NULL where there is none.
static const struct bw_source *nearest(struct work *w, const bool *shown, double pitch,
                                       double feed) {
    const struct bw_model *model = w->e->model;
    const struct bw_source *best = NULL;
    double least = log(2.5);
    for (int i = 0; i < model->n_sources; i++) {
        const struct bw_source *source = &model->sources[i];
        if (shown[i] || is_unlisted(source) || source->wide || source->part == BW_PART_BEAT ||
            source->part == BW_PART_BEARING)
            continue;
        double value = exp(bw_gauss_mean(w->told, &source->form));
        double distance = fabs(log((source->timed ? feed / value : value) / pitch));
        if (distance < least) best = source;
        least = fmin(least, distance);
    }
    return best;
}

// What may have left the mark, and for the eye what lies next to it.
static bool chart(struct work *w, struct source_output *out) {
    enum { LINES = 6 };
    size_t n;
    int focus = evidence_focus(w->e);
    const struct item *item = &w->e->items[focus];
    struct tally *tallies = tally(w, focus, &n);
    bool *shown = array(w, (size_t)w->e->model->n_sources, sizeof *shown);
    out->chart.items = array(w, LINES, sizeof(struct source_chart));
    if (w->failed) return false;
    for (size_t i = 0; i < n && out->chart.n < LINES; i++) {
        const struct hypothesis *h = tallies[i].best;
        if (is_unlisted(h->source) || tallies[i].weight < SHOWN) continue;
        chart_line(w, h->source, h->source->harmonics[h->harmonic].order, tallies[i].weight, out);
        shown[h->source - w->e->model->sources] = true;
    }
    while (out->chart.n < LINES) {
        const struct bw_source *source =
            nearest(w, shown, exp(item->value), w->e->settings[item->setting].typical);
        if (source == NULL) break;
        chart_line(w, source, 1, 0, out);
        shown[source - w->e->model->sources] = true;
    }
    return !w->failed;
}

static bool gaps(struct work *w, struct source_output *out, struct bw_err *err) {
    int focus = evidence_focus(w->e);
    const struct hypothesis *top = state_hypothesis(w->belief, &w->belief->states[0], focus);
    const struct item *item = &w->e->items[focus];
    double weight = 0;
    for (int i = 0; i < w->belief->n; i++)
        if (state_hypothesis(w->belief, &w->belief->states[i], focus)->source == top->source)
            weight += w->belief->states[i].weight;
    if (weight < 0.4) return true;
    double at[2] = {exp(item->value), w->e->settings[item->setting].typical};
    return stop_gaps(w->run->arena, w->e->model, top->source, at, &out->stop_gaps, err);
}

// What is unknown about heads that are out of the question costs nothing here.
static bool bears(const struct source_output *out, const struct tally *tallies, size_t n,
                  int head) {
    if (out->decided == 0) return true;
    for (size_t i = 0; i < n; i++)
        if (tallies[i].best->source->head == head && tallies[i].weight >= 0.05) return true;
    return false;
}

static void assumptions(struct work *w, struct source_output *out) {
    const struct bw_model *model = w->e->model;
    size_t n_tallies, n = 0, most = (size_t)(w->e->n_assumptions + model->n_costs);
    struct tally *tallies = tally(w, evidence_focus(w->e), &n_tallies);
    struct source_line *items = array(w, most, sizeof *items);
    if (w->failed) return;
    for (int i = 0; i < w->e->n_assumptions; i++) {
        bool said = false;
        for (size_t k = 0; k < n; k++) said = said || items[k].text == w->e->assumptions[i].text;
        if (!said) items[n++] = w->e->assumptions[i];
    }
    for (int i = 0; i < model->n_costs; i++)
        if (bears(out, tallies, n_tallies, model->costs[i].head))
            items[n++] = (struct source_line){model->costs[i].text};
    out->assumptions = (struct bw_list){items, n};
    struct proof proof = proof_of(tallies[0].best->source->part);
    out->proof = proof.text;
    out->proof_caution = proof.caution;
}

static bool run(struct bw_run *run_, const void *in, void *out_, struct bw_err *err) {
    const struct source_input *input = in;
    struct bw_model *model;
    if (!bw_model_build(run_->arena, input->machine.content, &model, err)) {
        bw_err_file(err, input->machine.name);
        return false;
    }
    struct evidence *evidence;
    struct belief belief;
    if (!evidence_gather(run_->arena, model, input, &evidence, err) ||
        !infer(run_, evidence, &belief, err))
        return false;
    struct work w = {.run = run_, .e = evidence, .belief = &belief};
    struct source_output out = {.machine = model->machine->name};
    bool whole =
        told(&w) && answers(&w, &out) && parts(&w, &out) && speeds(&w, &out) && chart(&w, &out);
    if (!whole) return bw_fail_memory(err);
    if (!gaps(&w, &out, err)) return false;
    if (!design_experiments(run_, &belief, evidence_focus(evidence), &out.experiments, err))
        return false;
    assumptions(&w, &out);
    if (w.failed) return bw_fail_memory(err);
    *(struct source_output *)out_ = out;
    return true;
}

const struct bw_study bw_study_source = {
    .name = "source",
    .summary = "which part of the machine leaves marks at a measured pitch",
    .about =
        "Takes the pitch of a mark, the feed it was made at, and a machine file, and weighs every "
        "part "
        "that could have left it, small harmonics included, against something that is not in the "
        "file. Several marks, at one feed or several, are judged together: a wrong plate speed "
        "that explains "
        "them all is found out instead of spoiling each.\n\n"
        "A mark known to be a splice's (chalk beside the joint, a scrap panel) calibrates "
        "everything else: "
        "after --mark \"10.6 mm is splice\" no speed is needed. What cannot be told apart is said, "
        "and the "
        "experiment that would settle it, with what each remaining part would then show.\n\n"
        "Nothing here asks for an open door or a hand near a moving belt. A probability is what "
        "the file and "
        "the readings support; it is not proof. The machine's manual, local codes and licensed "
        "practice "
        "come first.",
    .example =
        "beltwright source examples/three-head.yaml --mark \"14.6 mm ± 0.2 at 24 ft/min by watch\"",
    .in = &source_input_record,
    .out = &source_output_record,
    .shape = 1,
    .run = run,
    .text = source_text,
    .plots = source_plots,
    .findings = source_findings,
};
