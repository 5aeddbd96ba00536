// listen.c - the study `listen`: what a recording says of speeds and bearings.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/listen/listen.h"

#include "study/listen/part.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_LINES 24
// A telephone held to the same place again repeats within some 3 dB (common practice, no source).
#define CHANGED_DB 6.0

// --- one recording -----------------------------------------------------------------------------

static bool build_model(struct listen_ear *ear, struct bw_err *err) {
    const struct bw_machine *machine = ear->input->machine.content;
    ear->mains = BW_NAN;
    if (machine == NULL) return true;
    long head = ear->input->head;
    if (head != BW_NO_COUNT && (size_t)head > machine->heads.n) {
        bw_fail(err, BW_INPUT, "the machine has %zu heads", machine->heads.n);
        bw_err_within(err, "head");
        return false;
    }
    if (!bw_model_build(ear->run->arena, machine, &ear->model, err)) {
        bw_err_file(err, ear->input->machine.name);
        return false;
    }
    ear->told = bw_gauss_copy(ear->run->arena, ear->model->belief);
    if (ear->told == NULL) return bw_fail_memory(err);
    if (bw_known(machine->supply)) ear->mains = machine->supply.v;
    return true;
}

static bool hear(struct listen_ear *ear, const struct bw_file *file, struct bw_err *err) {
    ear->sound = file->content;
    ear->verdict = bw_arena_get(ear->run->arena, sizeof *ear->verdict);
    if (ear->verdict == NULL) return bw_fail_memory(err);
    bool ok = build_model(ear, err) && listen_check_recording(ear, err);
    if (ok && !bw_spectra_make(ear->run->arena, &ear->record, &ear->spectra, err)) {
        bw_err_file(err, file->name);
        return false;
    }
    return ok && listen_judge_recording(ear, err) && listen_speeds(ear, err);
}

// --- what is answered --------------------------------------------------------------------------

// "9.2972 ± 0.0011 Hz is head1.splice": what `source` takes as --rate. Only where no other part
// turns at the same rate.
static const char *phrase_of(const struct listen_ear *ear, const struct listen_turner *t) {
    char rate[BW_QUANTITY_TEXT];
    if (t->source == NULL || !t->decided) return NULL;
    return bw_arena_format(
        ear->run->arena, "%s is %s",
        bw_quantity_text(rate, bw_about(t->rate, t->sd), BW_DIM_RATE, BW_UNITS_SI), t->source->id);
}

static bool speeds_of(const struct listen_ear *ear, struct listen_output *out) {
    struct listen_speed *items =
        bw_arena_array(ear->run->arena, (size_t)ear->n_heard + 1, sizeof *items);
    if (items == NULL) return false;
    for (int i = 0; i < ear->n_heard; i++) {
        const struct listen_turner *t = &ear->turners[ear->order[i]];
        bool stated = !isnan(t->stated);
        items[i] =
            (struct listen_speed){.id = t->source == NULL ? NULL : t->source->id,
                                  .name = t->name,
                                  .phrase = phrase_of(ear, t),
                                  .rate = bw_about(t->rate, t->sd),
                                  .stated = stated ? bw_about(t->stated, t->stated_sd) : BW_UNKNOWN,
                                  .level = bw_exactly(listen_level(ear, t)),
                                  .lines = t->found.counted,
                                  .decided = t->decided ? 1 : 0};
    }
    out->speeds = (struct bw_list){items, (size_t)ear->n_heard};
    return true;
}

static bool heard_on_head(const struct listen_ear *ear, int head) {
    for (int i = 0; i < ear->n_heard; i++) {
        const struct listen_turner *t = &ear->turners[ear->order[i]];
        if (t->source != NULL && t->decided && t->source->head == head) return true;
    }
    return false;
}

static bool belts_of(const struct listen_ear *ear, struct listen_output *out) {
    if (ear->model == NULL) return true;
    const struct bw_machine *machine = ear->model->machine;
    struct listen_belt *items =
        bw_arena_array(ear->run->arena, machine->heads.n + 1, sizeof *items);
    if (items == NULL) return false;
    size_t n = 0;
    for (size_t h = 0; h < machine->heads.n; h++) {
        const struct bw_belt *belt = bw_machine_head(machine, h)->belt;
        int variable = ear->model->belt_speed[h];
        if (variable < 0 || !heard_on_head(ear, (int)h)) continue;
        struct bw_form form = {0};
        bw_form_add(&form, variable, 1);
        double v = exp(bw_gauss_mean(ear->told, &form));
        items[n++] =
            (struct listen_belt){.name = bw_arena_format(ear->run->arena, "belt of %s",
                                                         bw_head_name(ear->run->arena, machine, h)),
                                 .stated = belt != NULL ? belt->speed : BW_UNKNOWN,
                                 .found = bw_about(v, v * bw_gauss_sd(ear->told, &form))};
    }
    out->belts = (struct bw_list){items, n};
    return true;
}

// Which turner a line belongs to: "3 x belt splice of head 1".
static const char *source_of(const struct listen_ear *ear, double f) {
    double near = 1.5 * ear->spectra.lines.step_hz;
    struct bw_arena *arena = ear->run->arena;
    for (int i = 0; i < ear->n_heard; i++) {
        const struct listen_turner *t = &ear->turners[ear->order[i]];
        double k = round(f / t->rate);
        if (k < 1 || k > t->family.n || fabs(f - k * t->rate) > near + 3 * k * t->sd) continue;
        return k > 1.5 ? bw_arena_format(arena, "%.0f x %s", k, t->name) : t->name;
    }
    double k = isnan(ear->mains) ? 0 : round(f / ear->mains);
    if (k >= 1 && k <= 12 && fabs(f - k * ear->mains) < near)
        return k > 1.5 ? bw_arena_format(arena, "%.0f x mains", k) : "mains";
    return NULL;
}

static int higher(const void *a, const void *b) {
    const struct listen_line *x = a, *y = b;
    return (x->over.v < y->over.v) - (x->over.v > y->over.v);
}

static void keep(struct listen_line *items, size_t *n, const struct listen_line *line) {
    size_t least = 0;
    if (*n < MOST_LINES) {
        items[(*n)++] = *line;
        return;
    }
    for (size_t i = 1; i < *n; i++)
        if (items[i].over.v < items[least].over.v) least = i;
    if (items[least].over.v < line->over.v) items[least] = *line;
}

static bool lines_of(const struct listen_ear *ear, struct listen_output *out) {
    const struct bw_spectra *s = &ear->spectra;
    struct listen_line *items = bw_arena_array(ear->run->arena, MOST_LINES, sizeof *items);
    if (items == NULL) return false;
    double threshold = 2 * bw_lines_threshold(s->segments);
    double turn = ear->n_heard > 0 ? ear->turners[ear->order[0]].rate : BW_NAN;
    size_t n = 0;
    for (size_t i = 3; i + 1 < s->lines.n; i++) {
        const float *r = s->lines.ratio;
        if ((double)r[i] < threshold || r[i] < r[i - 1] || r[i] <= r[i + 1]) continue;
        double f = (double)i * s->lines.step_hz;
        struct listen_line line = {.frequency = bw_about(f, s->lines.step_hz / 3),
                                   .level = bw_exactly(10 * log10((double)s->power[i] + 1e-20)),
                                   .over = bw_exactly(10 * log10((double)r[i])),
                                   .order = isnan(turn) ? BW_UNKNOWN : bw_exactly(f / turn)};
        keep(items, &n, &line);
    }
    qsort(items, n, sizeof *items, higher);
    for (size_t i = 0; i < n; i++) items[i].source = source_of(ear, items[i].frequency.v);
    out->lines = (struct bw_list){items, n};
    return true;
}

// --- two recordings ----------------------------------------------------------------------------

static const char *change_words(double db) {
    return db > CHANGED_DB ? "louder now" : db < -CHANGED_DB ? "quieter now" : "no change shown";
}

static const struct listen_turner *same_in(const struct listen_ear *other,
                                           const struct listen_turner *t) {
    for (int i = 0; i < other->n_turners; i++) {
        const struct listen_turner *o = &other->turners[i];
        if (t->source != NULL ? o->source != NULL && strcmp(o->source->id, t->source->id) == 0
                              : o->heard && fabs(o->rate / t->rate - 1) < 0.03)
            return o;
    }
    return NULL;
}

// Another head's parts have other names; a belief about them is not compared by name.
static void change_of(const struct listen_ear *ear, const struct listen_ear *other,
                      const struct listen_turner *t, struct listen_change *out) {
    struct listen_turner there = *t;  // where it is not heard, its lines would be at the same rate
    const struct listen_turner *same = same_in(other, t);
    if (same != NULL && same->heard) there.rate = same->rate;
    double db = listen_level(ear, t) - listen_level(other, &there);
    *out = (struct listen_change){.name = t->name,
                                  .rate = bw_about(t->rate, t->sd),
                                  .change = bw_exactly(db),
                                  .verdict = change_words(db)};
}

static double whole_level(const struct listen_ear *ear) {
    double sum = 0;
    for (size_t c = 0; c < ear->spectra.n_cells; c++) sum += ear->spectra.level[c];
    return 10 * log10(sum * ear->spectra.cell_hz + 1e-20);
}

static const char *part_word(int part) {
    static const char *const WORDS[] = {"cage",       "ball or roller", "outer race",
                                        "inner race", "none",           "cannot tell"};
    return WORDS[part];
}

static bool changes_of(struct listen_ear *ear, struct listen_ear *other, struct listen_output *out,
                       struct bw_err *err) {
    struct listen_charts unused = {0};
    struct bw_list theirs;
    if (!listen_bearings(other, &theirs, &unused, err)) return false;
    size_t most = (size_t)ear->n_heard + out->bearings.n + 1, n = 0;
    struct listen_change *items = bw_arena_array(ear->run->arena, most, sizeof *items);
    if (items == NULL) return bw_fail_memory(err);
    double db = whole_level(ear) - whole_level(other);
    items[n++] = (struct listen_change){.name = "the whole",
                                        .rate = BW_UNKNOWN,
                                        .change = bw_exactly(db),
                                        .verdict = change_words(db)};
    for (int i = 0; i < ear->n_heard; i++)
        change_of(ear, other, &ear->turners[ear->order[i]], &items[n++]);
    const struct listen_bearing *now = out->bearings.items, *then = theirs.items;
    for (size_t i = 0; i < out->bearings.n && i < theirs.n; i++)
        items[n++] = (struct listen_change){
            .name = now[i].name,
            .rate = now[i].shaft,
            .change = BW_UNKNOWN,
            .verdict = bw_arena_format(ear->run->arena, "%s; in the other: %s",
                                       part_word(now[i].part), part_word(then[i].part))};
    out->changes = (struct bw_list){items, n};
    return true;
}

// --- the whole ---------------------------------------------------------------------------------

static void remark(struct listen_ear *ear, struct listen_output *out, const char *text) {
    struct listen_remark *items = out->remarks.items;
    if (items == NULL)
        out->remarks.items = items =
            bw_arena_array(ear->run->arena, LISTEN_MOST_REMARKS, sizeof *items);
    if (items != NULL && text != NULL && out->remarks.n < LISTEN_MOST_REMARKS)
        items[out->remarks.n++].text = text;
}

static void remarks_of(struct listen_ear *ear, struct listen_output *out) {
    bool undecided = false;
    for (int i = 0; i < ear->n_heard; i++) undecided |= !ear->turners[ear->order[i]].decided;
    if (undecided)
        remark(
            ear, out,
            "Parts marked with ? are not sure: another part could turn at that rate by the file, "
            "or their lines are faint. Record each head alone and say --head, or tape round the "
            "drum.");
    if (ear->model != NULL && ear->input->head == BW_NO_COUNT && ear->model->machine->heads.n > 1)
        remark(ear, out,
               "Several heads may have been running: with only one running and --head the "
               "answer is surer.");
    if (out->bearings.n > 0)
        remark(ear, out,
               "A bearing is judged by where its blows are in the beats of the sound, not by "
               "loudness. \"No damage heard\" from a telephone is no clean bill: dry grease and "
               "early wear make no blows.");
    if (ear->n_heard == 0)
        remark(ear, out,
               "Nothing in it turns steadily enough to be named; hold the telephone against the "
               "cabinet, doors shut, and record a minute.");
}

static const char *answer_of(struct listen_ear *ear, const struct listen_output *out) {
    struct bw_arena *arena = ear->run->arena;
    const struct listen_bearing *b = out->bearings.items, *worst = NULL;
    if (ear->verdict->use == LISTEN_UNUSABLE) return "This recording cannot be used.";
    for (size_t i = 0; i < out->bearings.n; i++) {
        bool named = b[i].part < LISTEN_NONE;
        if (worst == NULL || b[i].none.v < worst->none.v || (named && worst->part >= LISTEN_NONE))
            worst = &b[i];
    }
    const char *speeds = ear->n_heard == 0
                             ? "No speed could be told"
                             : bw_arena_format(arena, "%d speed%s heard", ear->n_heard,
                                               ear->n_heard == 1 ? "" : "s");
    if (worst == NULL || speeds == NULL) return bw_arena_format(arena, "%s.", speeds);
    if (worst->part == LISTEN_NONE)
        return bw_arena_format(arena, "%s; no bearing damage heard.", speeds);
    if (worst->part == LISTEN_UNKNOWN)
        return bw_arena_format(arena, "%s; whether the %s is sound cannot be told.", speeds,
                               worst->name);
    return bw_arena_format(arena, "The %s: %s.", worst->name, worst->verdict);
}

static bool answer(struct listen_ear *ear, struct listen_ear *other, struct listen_output *out,
                   struct bw_err *err) {
    struct listen_charts *charts = bw_arena_get(ear->run->arena, sizeof *charts);
    if (charts == NULL) return bw_fail_memory(err);
    out->recording = ear->verdict;
    out->machine = ear->model == NULL ? NULL : ear->model->machine->name;
    if (!speeds_of(ear, out) || !belts_of(ear, out) || !lines_of(ear, out))
        return bw_fail_memory(err);
    if (!listen_bearings(ear, &out->bearings, charts, err)) return false;
    if (other != NULL) {
        out->other = other->verdict;
        if (!changes_of(ear, other, out, err)) return false;
    }
    remarks_of(ear, out);
    out->answer = answer_of(ear, out);
    if (!listen_charts_make(ear, charts, err)) return false;
    out->charts = charts;
    return !bw_arena_failed(ear->run->arena) || bw_fail_memory(err);
}

static struct listen_ear *new_ear(struct bw_run *run, const struct listen_input *input) {
    struct listen_ear *ear = bw_arena_get(run->arena, sizeof *ear);
    if (ear == NULL) return NULL;
    ear->run = run;
    ear->input = input;
    return ear;
}

static bool run(struct bw_run *run_, const void *in, void *out_, struct bw_err *err) {
    const struct listen_input *input = in;
    struct listen_ear *ear = new_ear(run_, input), *other = NULL;
    if (ear == NULL) return bw_fail_memory(err);
    if (!hear(ear, &input->sound, err)) return false;
    if (input->other.name != NULL) {
        other = new_ear(run_, input);
        if (other == NULL) return bw_fail_memory(err);
        if (!hear(other, &input->other, err)) return false;
    }
    struct listen_output out = {0};
    if (!answer(ear, other, &out, err)) return false;
    *(struct listen_output *)out_ = out;
    return true;
}

const struct bw_study bw_study_listen = {
    .name = "listen",
    .summary = "what a recording says: true speeds, bearings, before against after",
    .about =
        "Takes a recording made with a telephone held to the cabinet, or numbers from a vibration "
        "pick-up. Says first whether the recording can be used. Then the true rates of belt, drum, "
        "rollers and motor with their ±, told from families of tones and of beats; the machine "
        "file's speeds only say where to look. Each rate comes as a reading that the command "
        "source takes.\n\n"
        "A bearing, given or in the machine file, is judged by the beats of the sound: cage, "
        "rolling element, outer or inner race, none, or cannot tell, with probabilities. A second "
        "recording is compared: before the repair, idle, or another head.\n\n"
        "Doors stay shut: what turns is heard through the cabinet. Levels of a telephone are not "
        "calibrated; only their differences at one place mean something.",
    .example = "beltwright listen examples/recordings/one-head.flac --machine "
               "examples/one-head.yaml --head 1",
    .in = &listen_input_record,
    .out = &listen_output_record,
    .shape = 1,
    .heavy = true,
    .run = run,
    .text = listen_text,
    .plots = listen_plots,
    .findings = listen_findings,
};
