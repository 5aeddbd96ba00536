// wear.c - the study `wear`: how long belts last, when to change them, which kind is dearer.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/wear/wear.h"

#include "numeric/lifetime.h"
#include "study/wear/record.h"

#include <math.h>
#include <string.h>

#define DROP_95 3.841458820694124  // chi square with one degree, 95 %
#define ROUNDS 199                 // simulated records for the goodness of fit
#define MOST_KINDS 40
#define SERVICE 1.645  // nineteen in twenty

struct kind {
    const char *name;
    struct bw_life *lives;
    struct bw_lives record;  // the same, for the numerics
    size_t n, ended;
    double price;  // NaN: not given
    bool fitted;
    struct bw_life_fit fit;
};
struct work {
    struct bw_run *run;
    const struct wear_input *input;
    struct kind *kinds;
    size_t n_kinds;
    struct wear_remark *remarks;
    size_t n_remarks;
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

static void remark(struct work *w, const char *text) {
    if (w->n_remarks < 2 * MOST_KINDS) w->remarks[w->n_remarks++].text = text;
}

// --- belts into kinds ------------------------------------------------------------------------

// The file's belts and those given one by one, as one list.
static bool all_belts(struct work *w, struct bw_list *out) {
    *out = w->input->belts;
    if (w->input->file.name == NULL) return true;
    const struct bw_list *file = w->input->file.content;
    struct wear_belt *belts = bw_arena_array(w->run->arena, file->n + out->n + 1, sizeof *belts);
    if (belts == NULL) return false;
    if (out->n > 0) memcpy(belts, out->items, out->n * sizeof *belts);
    if (file->n > 0) memcpy(belts + out->n, file->items, file->n * sizeof *belts);
    *out = (struct bw_list){belts, out->n + file->n};
    return true;
}

static struct kind *kind_of(struct work *w, const char *name, size_t room) {
    if (name == NULL) name = "belts";
    for (size_t i = 0; i < w->n_kinds; i++)
        if (strcmp(w->kinds[i].name, name) == 0) return &w->kinds[i];
    if (w->n_kinds == MOST_KINDS) return NULL;
    struct kind *kind = &w->kinds[w->n_kinds++];
    *kind = (struct kind){.name = name,
                          .price = (double)NAN,
                          .lives = bw_arena_array(w->run->arena, room + 1, sizeof *kind->lives)};
    if (kind->lives == NULL) w->failed = true;
    return kind;
}

static bool sort_belts(struct work *w, const struct bw_list *belts, struct bw_err *err) {
    for (size_t i = 0; i < belts->n; i++) {
        const struct wear_belt *belt = (const struct wear_belt *)belts->items + i;
        struct kind *kind = kind_of(w, belt->kind, belts->n);
        if (w->failed) return bw_fail_memory(err);
        if (kind == NULL) return bw_fail(err, BW_LIMIT, "more than %d kinds of belt", MOST_KINDS);
        // Only wear ends a life; a torn belt or one taken off while good says "at least so long".
        bool ended = belt->reason != BW_NO_CHOICE && belt->reason < WEAR_DAMAGED;
        kind->lives[kind->n++] = (struct bw_life){belt->area.v, ended};
        kind->ended += ended;
    }
    for (size_t i = 0; i < w->input->kinds.n; i++) {
        const struct wear_kind *named = (const struct wear_kind *)w->input->kinds.items + i;
        for (size_t k = 0; k < w->n_kinds; k++)
            if (strcmp(w->kinds[k].name, named->name) == 0) w->kinds[k].price = named->price.v;
    }
    return true;
}

// --- one kind --------------------------------------------------------------------------------

static const char *pattern_of(double low, double high) {
    if (low > 1.3) return "they wear out: lives lie close together, so a planned change can pay";
    if (high < 1)
        return "many end early: look for what kills them (load, splice, dust, storage) first";
    if (low > 1) return "they wear out, but not all alike";
    return "whether they wear out or end by chance is not shown yet";
}

// Cost per area, when to change, how many to hold.
static void money(struct work *w, const struct kind *kind, struct wear_life *life) {
    const struct wear_input *input = w->input;
    if (input->area_a_day.v > 0) {
        double need = input->area_a_day.v * input->lead_time.v / 86400;
        double mean = bw_life_mean(&kind->fit), sd = bw_life_sd(&kind->fit);
        // Renewals in a stretch of area: mean need/mean, variance need sd^2/mean^3 for long
        // stretches.
        double belts = need / mean, spread = sqrt(need * sd * sd / (mean * mean * mean));
        life->stock = (long)ceil(belts + SERVICE * spread);
        if (life->stock < 1) life->stock = 1;
    }
    if (isnan(kind->price)) return;
    double planned = kind->price + input->change.v, failure = planned + input->failure.v;
    double run = bw_life_cost(&kind->fit, (double)INFINITY, planned, failure);
    life->cost = bw_exactly(run);
    double age = bw_life_best_age(&kind->fit, planned, failure);
    if (isinf(age)) return;
    life->best_age = bw_exactly(age);
    life->saves = bw_exactly(1 - bw_life_cost(&kind->fit, age, planned, failure) / run);
}

static bool record_of(struct work *w, const struct kind *kind, struct wear_life *life) {
    double *ages = bw_arena_array(w->run->arena, 2 * kind->n + 2, sizeof *ages);
    struct wear_number *numbers = bw_arena_array(w->run->arena, 2 * kind->n + 2, sizeof *numbers);
    if (ages == NULL || numbers == NULL) return false;
    size_t n = bw_life_record(w->run->arena, &kind->record, ages, ages + kind->n + 1);
    for (size_t i = 0; i < n; i++) {
        numbers[i].v = bw_exactly(ages[i]);
        numbers[kind->n + 1 + i].v = bw_exactly(ages[kind->n + 1 + i]);
    }
    life->ages = (struct bw_list){numbers, n};
    life->survived = (struct bw_list){numbers + kind->n + 1, n};
    return true;
}

static struct bw_quantity open_end(double v) { return isfinite(v) ? bw_exactly(v) : BW_UNKNOWN; }

static bool intervals(struct work *w, const struct kind *kind, const struct bw_life_fit *weibull,
                      struct wear_life *life, struct bw_err *err) {
    struct bw_interval typical, shape;
    const double half[2] = {0.5, DROP_95};
    if (!bw_life_quantile_interval(w->run->arena, &kind->record, &kind->fit, half, &typical, err) ||
        !bw_life_shape_interval(w->run->arena, &kind->record, weibull, DROP_95, &shape, err))
        return false;
    life->typical_low = bw_exactly(typical.low);
    life->typical_high = open_end(typical.high);
    life->weibull_shape = bw_exactly(bw_life_shape(weibull));
    life->weibull_low = bw_exactly(shape.low);
    life->weibull_high = open_end(shape.high);
    life->pattern = pattern_of(shape.low, shape.high);
    return true;
}

static bool life_of(struct work *w, struct kind *kind, struct wear_life *life, struct bw_err *err) {
    struct bw_life_fit weibull, lognormal;
    kind->record = (struct bw_lives){kind->lives, kind->n};
    if (!bw_life_fit(w->run->arena, BW_WEIBULL, &kind->record, &weibull, err) ||
        !bw_life_fit(w->run->arena, BW_LOGNORMAL, &kind->record, &lognormal, err))
        return false;
    // Both laws have two numbers, so the difference of AIC is that of the likelihoods.
    bool first = weibull.log_likelihood >= lognormal.log_likelihood;
    kind->fit = first ? weibull : lognormal;
    kind->fitted = true;
    life->family = first ? "Weibull" : "log-normal";
    life->other_family = bw_exactly(2 * fabs(weibull.log_likelihood - lognormal.log_likelihood));
    life->mean = bw_exactly(bw_life_mean(&kind->fit));
    life->typical = bw_exactly(bw_life_quantile(&kind->fit, 0.5));
    life->early = bw_exactly(bw_life_quantile(&kind->fit, 0.1));
    if (!intervals(w, kind, &weibull, life, err)) return false;
    struct bw_life_check check;
    const uint64_t rounds[2] = {ROUNDS, w->run->seed};
    if (!bw_life_goodness(w->run->arena, &kind->record, &kind->fit, rounds, &check, err))
        return false;
    life->gap = bw_exactly(check.gap);
    life->chance = bw_exactly(check.chance);
    money(w, kind, life);
    return record_of(w, kind, life) || bw_fail_memory(err);
}

static bool lives(struct work *w, struct wear_output *out, struct bw_err *err) {
    struct wear_life *items = bw_arena_array(w->run->arena, w->n_kinds + 1, sizeof *items);
    if (items == NULL) return bw_fail_memory(err);
    out->lives = (struct bw_list){items, w->n_kinds};
    for (size_t i = 0; i < w->n_kinds; i++) {
        struct kind *kind = &w->kinds[i];
        bw_record_clear(bw_field_find(&wear_output_record, "lives")->of, &items[i]);
        items[i].kind = kind->name;
        items[i].belts = (long)kind->n;
        items[i].ended = (long)kind->ended;
        items[i].running = (long)(kind->n - kind->ended);
        struct bw_err why = {0};
        if (life_of(w, kind, &items[i], &why)) continue;
        if (why.code != BW_INPUT) {
            *err = why;
            return false;
        }
        remark(w, say(w, "%s: %s; keep the record going", kind->name, why.what));
    }
    return true;
}

// --- two kinds -------------------------------------------------------------------------------

// Belts of each kind that must wear out before the interval of a ratio this large leaves 1: the
// sd of ln(ratio) is scale sqrt(2/n) with n of each.
static long belts_to_decide(const struct bw_life_ratio *ratio) {
    double size = fabs(log(ratio->ratio));
    if (size < 0.02) return BW_NO_COUNT;  // nothing to decide
    double n = 2 * pow(1.96 * ratio->scale / size, 2);
    return n < 2 ? 2 : n > 10000 ? BW_NO_COUNT : (long)ceil(n);
}

static bool pair_of(struct work *w, const struct kind *a, const struct kind *b,
                    struct wear_pair *pair, struct bw_err *err) {
    struct bw_life_ratio ratio;
    const struct bw_lives groups[2] = {a->record, b->record};
    if (!bw_life_compare(w->run->arena, a->fit.family, groups, DROP_95, &ratio, err)) return false;
    bool longer = ratio.interval.low > 1, shorter = ratio.interval.high < 1;
    *pair = (struct wear_pair){.first = a->name,
                               .second = b->name,
                               .ratio = bw_exactly(ratio.ratio),
                               .low = bw_exactly(ratio.interval.low),
                               .high = open_end(ratio.interval.high),
                               .more = longer || shorter ? BW_NO_COUNT : belts_to_decide(&ratio)};
    pair->verdict = longer    ? say(w, "%s lasts longer", b->name)
                    : shorter ? say(w, "%s lasts longer", a->name)
                              : "no difference shown";
    return true;
}

static bool pairs(struct work *w, struct wear_output *out, struct bw_err *err) {
    size_t most = w->n_kinds * (w->n_kinds + 1) / 2 + 1;
    struct wear_pair *items = bw_arena_array(w->run->arena, most, sizeof *items);
    if (items == NULL) return bw_fail_memory(err);
    out->pairs = (struct bw_list){items, 0};
    for (size_t i = 0; i < w->n_kinds; i++) {
        for (size_t k = i + 1; k < w->n_kinds; k++) {
            if (!w->kinds[i].fitted || !w->kinds[k].fitted) continue;
            if (!pair_of(w, &w->kinds[i], &w->kinds[k], &items[out->pairs.n++], err)) return false;
        }
    }
    return true;
}

static bool run(struct bw_run *run_, const void *in, void *out_, struct bw_err *err) {
    struct work w = {.run = run_, .input = in};
    struct bw_list belts;
    struct wear_output out = {.lives = {NULL, 0}};
    w.kinds = bw_arena_array(run_->arena, MOST_KINDS, sizeof *w.kinds);
    w.remarks = bw_arena_array(run_->arena, 2 * MOST_KINDS, sizeof *w.remarks);
    if (w.kinds == NULL || w.remarks == NULL) return bw_fail_memory(err);
    if (!all_belts(&w, &belts)) return bw_fail_memory(err);
    if (!sort_belts(&w, &belts, err) || !lives(&w, &out, err) || !pairs(&w, &out, err))
        return false;
    if (w.failed) return bw_fail_memory(err);
    out.remarks = (struct bw_list){w.remarks, w.n_remarks};
    *(struct wear_output *)out_ = out;
    return true;
}

const struct bw_study bw_study_wear = {
    .name = "wear",
    .summary = "how long belts last, when to change them, what they cost",
    .about =
        "Takes the record of belts, the worn out and those still running, and says how long a kind "
        "of belt lasts, with its interval; whether belts wear out or end by chance; which of two "
        "kinds lasts longer, or how many more must wear out before that is decided; and, with "
        "prices, "
        "what a square metre costs, whether a planned change pays, and how many belts to hold.\n\n"
        "A belt that is torn, or taken off while still good, counts as having lasted at least so "
        "long. Prices are the shop's own; nothing is assumed.",
    .example =
        "beltwright wear --file examples/belts.csv --kind \"P120 cloth costs 48\" --failure 120",
    .in = &wear_input_record,
    .out = &wear_output_record,
    .shape = 1,
    .run = run,
    .text = wear_text,
    .plots = wear_plots,
    .findings = wear_findings,
};
