// evidence.c - see evidence.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Weights of looks, depths and trials: estimates, common practice, no source.
#include "study/source/evidence.h"

#include "study/source/naming.h"
#include "study/source/scenarios.h"

#include <math.h>
#include <string.h>

#define FEED_SD 0.05  // a feed given without saying how it is known: between dial and display
#define FEED_SHARED 0.8
#define PITCH_SD 0.015  // ten to twenty marks counted along a rule
#define LAG_SD 0.0005   // m
#define CROOK_SD 0.004  // rad, how crooked panels run

static void assume(struct evidence *e, const char *text) {
    if (e->n_assumptions < MAX_ASSUMPTIONS) e->assumptions[e->n_assumptions++].text = text;
}

// --- feeds -----------------------------------------------------------------------------------

static bool same_feed(struct bw_quantity a, struct bw_quantity b) {
    if (!bw_known(a) || !bw_known(b)) return bw_known(a) == bw_known(b);
    return fabs(a.v - b.v) <= 1e-9 * a.v && a.way == b.way;
}

// The variable for what all feeds read in one way have in common.
static int feed_bias(struct evidence *e, int way, double sd) {
    for (int i = 0; i < e->n_settings; i++)
        if (e->settings[i].bias >= 0 && e->settings[i].feed.way == way) return e->settings[i].bias;
    return bw_model_variable(e->model, "feed reading", 1, sd);
}

static void known_feed(struct evidence *e, struct setting *setting) {
    struct bw_quantity feed = setting->feed;
    double sd = bw_sd_known(feed) ? feed.sd / feed.v : FEED_SD;
    if (!bw_sd_known(feed))
        assume(
            e,
            "the feed is taken as read off a dial or display, ± 5 %; say \"by watch\" (mark on the "
            "feed belt timed over 3 m) or \"by film\" (panel in cut) where it was measured");
    double shared = feed.way >= 0 ? bw_feed_ways[feed.way].shared : FEED_SHARED;
    setting->typical = feed.v;
    setting->bias = feed_bias(e, feed.way, sd * sqrt(shared));
    setting->own_sd = sd * sqrt(1 - shared);
    int own = bw_model_variable(e->model, "feed", feed.v, setting->own_sd);
    bw_form_add(&setting->form, own, 1);
    bw_form_add(&setting->form, setting->bias, 1);
}

static void unknown_feed(struct evidence *e, struct setting *setting) {
    const struct bw_machine *machine = e->model->machine;
    double typical = 0.13, sd = 0.5;
    if (bw_known(machine->feed_min) && bw_known(machine->feed_max)) {
        typical = sqrt(machine->feed_min.v * machine->feed_max.v);
        sd = fmax(0.1, log(machine->feed_max.v / machine->feed_min.v) / 3);
    }
    assume(e, "no feed speed given: anywhere in the machine's range");
    setting->typical = typical;
    setting->bias = -1;
    setting->own_sd = sd;
    bw_form_add(&setting->form, bw_model_variable(e->model, "feed", typical, sd), 1);
}

static int setting_of(struct evidence *e, struct bw_quantity feed) {
    for (int i = 0; i < e->n_settings; i++)
        if (same_feed(e->settings[i].feed, feed)) return i;
    struct setting *setting = &e->settings[e->n_settings];
    *setting = (struct setting){.feed = feed, .bias = -1};
    if (bw_known(feed))
        known_feed(e, setting);
    else
        unknown_feed(e, setting);
    setting->crook = bw_gauss_add(e->model->belief, 0, CROOK_SD);
    e->model->variables[setting->crook] = "panel crooked";
    return e->n_settings++;
}

// --- how well one hypothesis fits what is not pitch -------------------------------------------

static double phi(double x) { return 0.5 * erfc(-x * M_SQRT1_2); }

static double look_factor(int look, const struct bw_harmonic *harmonic) {
    if (look == BW_NO_CHOICE) return 1;
    return look == LOOK_NARROW ? harmonic->narrow : 1 - harmonic->narrow;
}

// A mark deeper than the highest ridge its source can leave is not from that source.
static double depth_factor(struct bw_quantity depth, double ridge) {
    if (!bw_known(depth)) return 1;
    if (isnan(ridge)) return 0.5;
    double sd = bw_sd_known(depth) && depth.sd > 0 ? depth.sd : 0.2 * depth.v;
    return 0.03 + 0.97 * phi((1.1 * ridge - depth.v) / sd);
}

static double seen_factor(struct bw_height height) {
    double ridge = isnan(height.ridge) || height.ridge >= BW_SEEN_RIDGE ? 1 : 0.03;
    return ridge * (0.25 + 0.75 * height.share);
}

static double head_factor(long only, const struct bw_source *source) {
    if (only == BW_NO_COUNT || source->head < 0) return 1;
    return source->head + 1 == only ? 1 : 0.02;
}

static double trial_factor(const struct source_trial *trial, const struct bw_source *source) {
    double stays;
    if (trial->only != BW_NO_COUNT)
        stays = source->head < 0 ? 0.90 : source->head + 1 == trial->only ? 0.95 : 0.04;
    else if (source->part == BW_PART_SPLICE)
        stays = source->head + 1 == trial->belt ? 0.10 : 0.95;
    else
        stays = source->part >= BW_PART_UNLISTED_TIMED ? 0.90 : 0.94;
    return trial->result == MARK_STAYS ? stays : 1 - stays;
}

// --- hypotheses of one observation ------------------------------------------------------------

struct making {
    struct evidence *e;
    struct item *item;
    const struct source_mark *mark;  // NULL for a rate
    struct bw_form scale;            // of the pitch reading, shared by readings taken the same way
};

static struct hypothesis *hypothesis(struct making *m, const struct bw_source *source,
                                     int harmonic) {
    struct hypothesis *h = &m->item->hypotheses[m->item->n++];
    *h = (struct hypothesis){.source = source, .harmonic = harmonic, .weight = source->weight};
    double order = source->harmonics[harmonic].order;
    if (m->mark == NULL) {  // a rate: events a second
        h->form = source->form;
        h->form.constant += log(order);
        return h;
    }
    const struct setting *setting = &m->e->settings[m->item->setting];
    const struct bw_form nothing = {.constant = 0};
    if (source->timed) {
        h->form = bw_form_sum(&setting->form, -1, &source->form);
    } else {
        h->form = bw_form_sum(&nothing, 1, &source->form);
    }
    h->form.constant -= log(order);
    h->form = bw_form_sum(&h->form, 1, &m->scale);
    return h;
}

static void weigh(struct making *m, struct hypothesis *h) {
    const struct source_mark *mark = m->mark;
    const struct bw_harmonic *harmonic = &h->source->harmonics[h->harmonic];
    struct bw_height height = bw_source_height(m->e->model, h->source, mark->pitch.v);
    struct bw_quantity depth = mark->depth;
    bool first = m->item->mark == 0;
    if (!bw_known(depth) && first) depth = m->e->input->depth;
    h->weight *= harmonic->share * look_factor(mark->look, harmonic) *
                 depth_factor(depth, height.ridge) * seen_factor(height) *
                 head_factor(mark->only, h->source);
    // A file may list many parts of one head; a trial speaks of the first mark.
    for (size_t i = 0; first && i < m->e->input->trials.n; i++)
        h->weight *=
            trial_factor((const struct source_trial *)m->e->input->trials.items + i, h->source);
}

// A leaning joint slants its marks to either side, by how the belt was put on, or lifts the whole
// head and leaves them square: three hypotheses where the slant was read.
static void slants(struct making *m, int from) {
    if (!m->item->has_slant) return;
    int to = m->item->n;
    for (int i = from; i < to; i++) {
        struct hypothesis *h = &m->item->hypotheses[i];
        if (h->source->part != BW_PART_SPLICE) continue;
        double order = h->source->harmonics[h->harmonic].order;
        double pitch = m->mark->pitch.v * order;
        if (isnan(h->source->lean)) {  // not in the file: anything up to 60 degrees
            h->slant_sd = pitch * 0.5;
            continue;
        }
        struct hypothesis *other = &m->item->hypotheses[m->item->n++];
        struct hypothesis *square = &m->item->hypotheses[m->item->n++];
        *other = *square = *h;
        square->weight *= 0.25;
        h->weight *= 0.375;
        other->weight *= 0.375;
        h->slant = pitch * h->source->lean;
        other->slant = -h->slant;
        h->slant_sd = other->slant_sd = 0.1 * h->slant;
    }
}

// Something not in the file has a variable of its own for every mark; a later mark may also
// follow the one an earlier mark brought in (weight 0: only as a follower).
static void unlisted(struct making *m, const struct bw_source *source, int item) {
    struct evidence *e = m->e;
    int base = source->form.terms[0].variable;
    double typical = exp(e->model->belief->mean[base]);
    double sd = bw_gauss_sd(e->model->belief, &source->form);
    int *variables = e->unlisted[source->timed ? 1 : 0];
    variables[item] = bw_model_variable(e->model, e->model->variables[base], typical, sd);
    for (int copy = 0; copy <= item; copy++) {
        const struct item *other = &e->items[copy];
        if (other->mark < 0 || other->given) continue;
        struct hypothesis *h = hypothesis(m, source, 0);
        h->copy = copy;
        weigh(m, h);
        if (copy < item) h->weight = 0;
        for (int t = 0; t < h->form.n; t++)
            if (h->form.terms[t].variable == base) h->form.terms[t].variable = variables[copy];
    }
}

static bool mark_hypotheses(struct making *m, int item) {
    const struct bw_model *model = m->e->model;
    size_t most = 0;
    for (int i = 0; i < model->n_sources; i++) most += (size_t)model->sources[i].n_harmonics;
    most = 3 * (most + 2 * MAX_ITEMS);
    m->item->hypotheses = bw_arena_array(m->e->arena, most, sizeof *m->item->hypotheses);
    if (m->item->hypotheses == NULL) return false;
    for (int i = 0; i < model->n_sources; i++) {
        const struct bw_source *source = &model->sources[i];
        if (source->part >= BW_PART_UNLISTED_TIMED) {
            unlisted(m, source, item);
            continue;
        }
        int from = m->item->n;
        for (int k = 0; k < source->n_harmonics; k++) weigh(m, hypothesis(m, source, k));
        slants(m, from);
    }
    return true;
}

// Told what it is: the sources that fit the name, their first harmonic (chalk stands beside one
// joint).
static bool given_hypotheses(struct making *m, const char *is, struct bw_err *err) {
    const struct bw_model *model = m->e->model;
    m->item->given = true;
    m->item->hypotheses =
        bw_arena_array(m->e->arena, 3 * (size_t)model->n_sources, sizeof *m->item->hypotheses);
    if (m->item->hypotheses == NULL) return bw_fail_memory(err);
    for (int i = 0; i < model->n_sources; i++) {
        const struct bw_source *source = &model->sources[i];
        if (!source_is_named(source, is)) continue;
        int harmonic = 0;
        for (int k = 0; k < source->n_harmonics; k++)
            if (source->harmonics[k].order == 1) harmonic = k;
        int from = m->item->n;
        struct hypothesis *h = hypothesis(m, source, harmonic);
        h->weight = 1;
        if (m->mark != NULL) h->weight = head_factor(m->mark->only, source);
        slants(m, from);
    }
    if (m->item->n > 0) return true;
    return source_name_unknown(m->e->arena, model, is, err);
}

// --- observations ----------------------------------------------------------------------------

static struct bw_form scale_of(struct evidence *e, struct bw_quantity pitch, double *sd) {
    struct bw_form form = {.constant = 0};
    double shared = pitch.way >= 0 ? bw_pitch_ways[pitch.way].shared : 0;
    if (shared <= 0) return form;
    const char *name = bw_pitch_ways[pitch.way].name;
    int variable = -1;
    for (int i = 0; i < e->model->belief->n && variable < 0; i++)
        if (e->model->variables[i] == name) variable = i;
    if (variable < 0) variable = bw_model_variable(e->model, name, 1, *sd * sqrt(shared));
    *sd *= sqrt(1 - shared);
    bw_form_add(&form, variable, 1);
    return form;
}

static bool mark_item(struct evidence *e, size_t index, struct bw_err *err) {
    const struct source_mark *mark = (const struct source_mark *)e->input->marks.items + index;
    int number = e->n_items;
    struct item *item = &e->items[e->n_items++];
    struct bw_quantity feed = bw_known(mark->feed) ? mark->feed : e->input->feed;
    *item = (struct item){.mark = (int)index, .setting = setting_of(e, feed), .follows = -1};
    item->value = log(mark->pitch.v);
    item->sd = bw_sd_known(mark->pitch) ? fmax(mark->pitch.sd / mark->pitch.v, 1e-4) : PITCH_SD;
    if (!bw_sd_known(mark->pitch))
        assume(e, "the pitch is taken as counted over ten to twenty marks, ± 1.5 %");
    if (bw_known(mark->lag)) {
        item->has_slant = true;
        item->slant = mark->lag.v / mark->over.v;
        item->slant_reading_sd = (bw_sd_known(mark->lag) ? mark->lag.sd : LAG_SD) / mark->over.v;
        bw_form_add(&item->crook, e->settings[item->setting].crook, 1);
    }
    struct making m = {.e = e, .item = item, .mark = mark};
    m.scale = scale_of(e, mark->pitch, &item->sd);
    if (mark->is != NULL) {
        if (given_hypotheses(&m, mark->is, err)) return true;
        bw_err_within(err, "is");
        bw_err_within_index(err, "marks", index);
        return false;
    }
    return mark_hypotheses(&m, number) ? true : bw_fail_memory(err);
}

static bool rate_item(struct evidence *e, size_t index, struct bw_err *err) {
    const struct source_rate *rate = (const struct source_rate *)e->input->rates.items + index;
    struct item *item = &e->items[e->n_items++];
    *item = (struct item){.mark = -1, .setting = -1, .follows = -1, .value = log(rate->rate.v)};
    item->sd = bw_sd_known(rate->rate) ? fmax(rate->rate.sd / rate->rate.v, 1e-5) : 0.003;
    struct making m = {.e = e, .item = item};
    if (given_hypotheses(&m, rate->is, err)) return true;
    bw_err_within(err, "is");
    bw_err_within_index(err, "rates", index);
    return false;
}

static void followers(struct evidence *e) {
    const struct source_mark *marks = e->input->marks.items;
    for (int i = 0; i < e->n_items; i++) {
        if (e->items[i].mark < 0) continue;
        long same = marks[e->items[i].mark].same_as;
        for (int j = 0; same != BW_NO_COUNT && j < e->n_items; j++)
            if (e->items[j].mark == same - 1) e->items[i].follows = j;
    }
}

// What is told comes first: it sharpens what is asked.
static bool gather(struct evidence *e, struct bw_err *err) {
    const struct source_mark *marks = e->input->marks.items;
    for (size_t i = 0; i < e->input->rates.n; i++)
        if (!rate_item(e, i, err)) return false;
    for (size_t i = 0; i < e->input->marks.n; i++)
        if (marks[i].is != NULL && !mark_item(e, i, err)) return false;
    for (size_t i = 0; i < e->input->marks.n; i++)
        if (marks[i].is == NULL && !mark_item(e, i, err)) return false;
    return true;
}

bool evidence_gather(struct bw_arena *arena, struct bw_model *model,
                     const struct source_input *input, struct evidence **out, struct bw_err *err) {
    struct evidence *e = bw_arena_get(arena, sizeof *e);
    if (e == NULL) return bw_fail_memory(err);
    e->arena = arena;
    e->model = model;
    e->input = input;
    if (!gather(e, err)) return false;
    followers(e);
    scenarios_list(e);
    if (e->failed || model->failed) return bw_fail_memory(err);
    *out = e;
    return true;
}

int evidence_focus(const struct evidence *e) {
    int first = -1;
    for (int i = 0; i < e->n_items; i++) {
        if (e->items[i].mark < 0) continue;
        if (!e->items[i].given) return i;
        if (first < 0) first = i;
    }
    return first;
}

bool same_hypothesis(const struct hypothesis *a, const struct hypothesis *b) {
    return a->source == b->source && a->harmonic == b->harmonic && a->copy == b->copy;
}
