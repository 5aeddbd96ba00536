// setup.c - from readings to settings: adjusters, the timing of a sectional platen, tracking.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Adjusters: a taper b over the span S between them is a difference b S in gap; closing the wide
// side by that much, or half of it there and half apart on the other side, makes it parallel; the
// latter keeps the mean thickness. Shoes: what is left unsanded at an edge is v t + s, feed v, so a
// line over the feed parts a delay t from a sensor's place s: timed against paced, as with marks.
#include "study/thickness/part.h"

#include <math.h>

#define RULE_SD 0.001  // m, of a length by rule where none is stated (common practice, no source)
#define UNEQUAL 0.01   // chance of strokes so unequal by luck

// --- adjusters -----------------------------------------------------------------------------------

static void move(struct work *w, struct thickness_adjust *out, int side, struct bw_quantity by) {
    out->side = side;
    out->closer = by;
    if (bw_known(w->in->thread))
        out->turns = bw_about(by.v / w->in->thread.v, by.sd / w->in->thread.v);
    w->out.adjust.n++;
}

void adjust_report(struct work *w, struct bw_quantity slope) {
    if (!bw_known(slope) || !(fabs(slope.v) > 2 * slope.sd)) return;
    if (!bw_known(w->in->adjuster_span)) {
        note(w, "Give --adjuster-span, the distance between the left and the right adjuster, to "
                "have the taper in adjuster moves.");
        return;
    }
    struct thickness_adjust *rows = blank_items(w, "adjust", 2);
    if (rows == NULL) return;
    w->out.adjust.items = rows;
    struct bw_quantity span = w->in->adjuster_span;
    double rel = bw_sd_known(span) ? span.sd / span.v : 0;
    double difference = slope.v * span.v;
    double sd = hypot(slope.sd * span.v, difference * rel);
    move(w, &rows[0], SIDE_RIGHT, bw_about(difference, sd));
    move(w, &rows[1], SIDE_LEFT, bw_about(-difference, sd));
}

// --- sectional platen ----------------------------------------------------------------------------

static bool shoe_fit(struct work *w, int edge, struct bw_linear_fit *out, double *sigma,
                     struct bw_err *err) {
    double *x = items(w, 2 * w->in->timings.n, sizeof *x);
    double *y = items(w, w->in->timings.n, sizeof *y);
    if (w->failed) return bw_fail_memory(err);
    size_t n = 0;
    double stated = 0;
    for (size_t i = 0; i < w->in->timings.n; i++) {
        const struct thickness_timing *t =
            (const struct thickness_timing *)w->in->timings.items + i;
        if (t->edge != edge) continue;
        x[2 * n] = t->feed.v;
        x[2 * n + 1] = 1;
        y[n++] = t->length.v;
        stated = fmax(stated, bw_sd_known(t->length) ? t->length.sd : RULE_SD);
    }
    *out = (struct bw_linear_fit){0};
    if (n < 2) return true;
    struct bw_linear model = {x, y, n, 2};
    if (!bw_linear_fit(w->run->arena, &model, out, err)) return false;
    *sigma = out->degrees >= 3 ? out->sigma : stated;
    return true;
}

static const char *shoe_text(struct work *w, const struct thickness_shoe *shoe, int edge) {
    bool late = fabs(shoe->delay.v) > 2 * shoe->delay.sd;
    bool off = fabs(shoe->place.v) > 2 * shoe->place.sd;
    if (!late && !off) return "timing and sensor are right as far as these readings tell";
    double ms = fabs(shoe->delay.v) * 1e3, mm = fabs(shoe->place.v) * 1e3;
    // Unsanded at the lead: down too late. Unsanded at the trail: up too early.
    const char *time = "";
    if (late)
        time = say(w, "%s %.0f\u00a0ms %s", edge == EDGE_LEAD ? "set down" : "lift", ms,
                   (edge == EDGE_LEAD) == (shoe->delay.v > 0) ? "earlier" : "later");
    const char *place = "";
    if (off)
        place = say(
            w,
            "shift the switching point by %.0f\u00a0mm of travel so that more of the %s end is %s",
            mm, edge == EDGE_LEAD ? "leading" : "trailing",
            shoe->place.v > 0 ? "sanded" : "left out");
    return say(w, "%s%s%s", time, late && off ? "; " : "", place);
}

bool shoes_report(struct work *w, struct bw_err *err) {
    struct thickness_shoe *rows = blank_items(w, "shoes", 2);
    if (rows == NULL) return bw_fail_memory(err);
    w->out.shoes.items = rows;
    for (int edge = EDGE_LEAD; edge <= EDGE_TRAIL; edge++) {
        struct bw_linear_fit fit;
        double sigma = RULE_SD;
        if (!shoe_fit(w, edge, &fit, &sigma, err)) return false;
        if (fit.rank == 1)
            note(w, "Lengths at an edge were read at one feed only: at two feeds they tell a late "
                    "shoe from a misplaced sensor.");
        if (fit.rank < 2) continue;
        struct thickness_shoe *shoe = &rows[w->out.shoes.n++];
        shoe->edge = edge == EDGE_LEAD ? "leading edge" : "trailing edge";
        shoe->delay = bw_about(fit.value[0], bw_linear_sd(&fit, 2, 0, sigma));
        shoe->place = bw_about(fit.value[1], bw_linear_sd(&fit, 2, 1, sigma));
        shoe->text = shoe_text(w, shoe, edge);
    }
    return !w->failed || bw_fail_memory(err);
}

// --- tracking ------------------------------------------------------------------------------------

struct side {
    double sum, square, n;
};

static void add_times(struct side *side, const char *text) {
    struct times times;
    if (!times_read(text, &times)) return;
    for (size_t i = 0; i < times.n; i++) {
        side->sum += times.seconds[i];
        side->square += times.seconds[i] * times.seconds[i];
        side->n++;
    }
}

static double mean(const struct side *side) { return side->sum / side->n; }
static double variance_of_mean(const struct side *side) {
    double square = side->square - side->sum * side->sum / side->n;
    return fmax(square, 0) / (side->n - 1) / side->n;
}

// Welch's test. -1: strokes to the right are the shorter ones, 1: to the left, 0: not shown.
static int slower_side(const struct side sides[2]) {
    double a = variance_of_mean(&sides[0]), b = variance_of_mean(&sides[1]);
    double difference = mean(&sides[0]) - mean(&sides[1]);
    // A watch is good to a tenth of a second or so, however alike the readings.
    double least = 0.1 * 0.1 / 12 / fmin(sides[0].n, sides[1].n);
    double variance = fmax(a + b, least);
    double degrees = (a + b) > 0
                         ? (a + b) * (a + b) / (a * a / (sides[0].n - 1) + b * b / (sides[1].n - 1))
                         : sides[0].n + sides[1].n - 2;
    double chance = 2 * bw_student_tail(fabs(difference) / sqrt(variance), degrees);
    return chance > UNEQUAL ? 0 : difference > 0 ? 1 : -1;
}

static const char *verdict(int as_is, int turned, bool both) {
    if (as_is == 0)
        return "strokes to the left and to the right are equal as far as these times tell: "
               "tracking "
               "works evenly";
    if (!both)
        return "strokes are unequal: time them once more with the belt turned round, if its joint "
               "allows it (a lap joint peels when it runs backwards: never turn such a belt)";
    if (turned == -as_is)
        return "the unequal strokes turned with the belt: its edges differ in length, change the "
               "belt";
    if (turned == as_is)
        return "the unequal strokes stayed with the machine: look at roll alignment, the edge "
               "sensor and the tracking valve, in that order";
    return "unequal with the belt one way, not with it the other: time ten strokes each way again";
}

// A text of times is one value to the binder, so its fault is told here.
static bool times_fit(const struct thickness_strokes *s, size_t i, struct bw_err *err) {
    struct times times;
    bool left = times_read(s->left, &times), right = times_read(s->right, &times);
    if (left && right) return true;
    bw_fail(err, BW_INPUT, TIMES_WANTED);
    bw_err_value(err, left ? s->right : s->left);
    bw_err_within(err, left ? "right" : "left");
    bw_err_within_index(err, "strokes", i);
    return false;
}

bool tracking_report(struct work *w, struct bw_err *err) {
    struct side sides[2][2] = {{{0, 0, 0}, {0, 0, 0}}, {{0, 0, 0}, {0, 0, 0}}};
    for (size_t i = 0; i < w->in->strokes.n; i++) {
        const struct thickness_strokes *s =
            (const struct thickness_strokes *)w->in->strokes.items + i;
        if (!times_fit(s, i, err)) return false;
        add_times(&sides[s->turned][0], s->left);
        add_times(&sides[s->turned][1], s->right);
    }
    bool plain = sides[0][0].n > 0, turned = sides[1][0].n > 0;
    if (!plain && !turned) return true;
    const struct side *shown = plain ? sides[0] : sides[1];
    w->out.stroke_left = bw_about(mean(&shown[0]), sqrt(variance_of_mean(&shown[0])));
    w->out.stroke_right = bw_about(mean(&shown[1]), sqrt(variance_of_mean(&shown[1])));
    w->out.tracking =
        verdict(slower_side(shown), turned ? slower_side(sides[1]) : 0, plain && turned);
    return true;
}
