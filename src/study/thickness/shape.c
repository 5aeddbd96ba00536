// shape.c - the shape that panels share, panel by panel steps taken off, wrong readings left out.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// One linear model: level, a step for each panel and each run, taper, crown and worn lanes across
// the machine, lead and trail ends; where some panels ran end for end, also what moves with the
// panel instead of staying with the machine. That covers the two-strip test (strips are panels,
// swapped between runs) and twins without a special case each. A term the readings cannot tell from
// those before it is left out and said. Thickness is the gap of the machine, so what came in with
// the wood shows only where the machine gives way; readings before sanding say that apart.
#include "study/thickness/part.h"

#include <math.h>
#include <string.h>

#define SHOWN 2     // standard deviations
#define SAME 0.015  // m: readings this close across the machine stand in one lane
#define MOST_SPOTS 40

// --- picking -------------------------------------------------------------------------------------

static bool picked(const struct point *point, enum pick pick, long head) {
    const struct thickness_reading *r = point->reading;
    if (pick == PICK_ONLY) return r->when == READ_AFTER && r->only == head;
    if (pick == PICK_BEFORE) return r->when == READ_BEFORE;
    return r->when == READ_AFTER && r->only == BW_NO_COUNT && r->upto == BW_NO_COUNT;
}

static bool pick_rows(struct work *w, enum pick pick, long head, struct shape *shape) {
    size_t *rows = items(w, w->n, sizeof *rows);
    if (rows == NULL) return false;
    for (size_t i = 0; i < w->n; i++)
        if (picked(&w->points[i], pick, head)) rows[shape->model.n++] = i;
    shape->rows = rows;
    return true;
}

static const struct point *row(const struct work *w, const struct shape *shape, size_t i) {
    return &w->points[shape->rows[i]];
}

// --- columns -------------------------------------------------------------------------------------

static bool at_lead(const struct work *w, double along) { return along < w->in->snipe.v; }
static bool at_trail(const struct work *w, double along) {
    return along > panel_length(w->in) - w->in->snipe.v;
}

static double column_value(const struct work *w, const struct shape *shape, size_t k,
                           const struct point *p) {
    double half = panel_width(w->in) / 2;
    switch (shape->term[k]) {
    case LEVEL: return 1;
    case TAPER: return p->across;
    case CROWN: return 1.0 / 3 - pow(p->across / half, 2);
    case LEAD: return at_lead(w, p->along);
    case TRAIL: return at_trail(w, p->along);
    case TWIN_TAPER: return p->own_across;
    case TWIN_LEAD: return at_lead(w, p->own_along);
    case TWIN_TRAIL: return at_trail(w, p->own_along);
    default: {
        const struct lane *lane = &shape->lanes[shape->term[k] - WORN_LANE];
        return fabs(p->across - lane->across) < SAME;
    }
    }
}

// What the rows can speak of at all; the fit then finds what they cannot tell apart.
static void choose_terms(const struct work *w, struct shape *shape) {
    bool turned = false, straight = false, ends = false, middle = false;
    double low = (double)INFINITY, high = -low;
    for (size_t i = 0; i < shape->model.n; i++) {
        const struct point *p = row(w, shape, i);
        turned |= p->reading->turned == RAN_TURNED;
        straight |= p->reading->turned != RAN_TURNED;
        bool end = at_lead(w, p->along) || at_trail(w, p->along);
        ends |= end;
        middle |= !end;
        low = fmin(low, p->across);
        high = fmax(high, p->across);
    }
    bool between = false;
    for (size_t i = 0; i < shape->model.n; i++) {
        double across = row(w, shape, i)->across;
        between |= across > low + SAME && across < high - SAME;
    }
    shape->term[shape->n_terms++] = LEVEL;
    if (high > low + SAME) shape->term[shape->n_terms++] = TAPER;
    if (between) shape->term[shape->n_terms++] = CROWN;
    for (int t = LEAD; ends && middle && t <= TRAIL; t++) shape->term[shape->n_terms++] = t;
    if (!turned || !straight) return;
    shape->term[shape->n_terms++] = TWIN_TAPER;
    for (int t = TWIN_LEAD; ends && middle && t <= TWIN_TRAIL; t++)
        shape->term[shape->n_terms++] = t;
}

// The levels that occur among the rows, in order of their first one.
static void find_levels(const struct work *w, const struct shape *shape, bool runs,
                        struct level_set *out) {
    for (size_t i = 0; i < shape->model.n; i++) {
        const struct point *p = row(w, shape, i);
        size_t which = runs ? p->run : p->panel, k = 0;
        while (k < out->n && out->level[k] != which) k++;
        if (k == out->n) out->level[out->n++] = which;
    }
}

// Effect coding: each against the last, so that LEVEL is the mean of all. False: no such level.
static bool effect(const struct level_set *set, size_t which, double *x) {
    size_t k = 0;
    while (k < set->n && set->level[k] != which) k++;
    for (size_t c = 0; c + 1 < set->n; c++)
        x[set->column + c] = k == c ? 1 : k + 1 == set->n ? -1 : 0;
    return k < set->n;
}

// LEVEL, panels, runs, then the other terms: what is common is told before what is special.
static bool build(struct work *w, struct shape *shape) {
    shape->panels.column = 1;
    shape->runs.column = shape->panels.n;  // after LEVEL and one column less than panels
    size_t next = shape->panels.n + shape->runs.n - 1;
    for (size_t k = 0; k < shape->n_terms; k++)
        shape->column[k] = shape->term[k] == LEVEL ? 0 : next++;
    shape->model.p = next;
    double *x = items(w, shape->model.n * next, sizeof *x);
    double *y = items(w, shape->model.n, sizeof *y);
    if (x == NULL || y == NULL) return false;
    for (size_t i = 0; i < shape->model.n; i++) {
        const struct point *p = row(w, shape, i);
        (void)effect(&shape->panels, p->panel, x + i * next);
        (void)effect(&shape->runs, p->run, x + i * next);
        for (size_t k = 0; k < shape->n_terms; k++)
            x[i * next + shape->column[k]] = column_value(w, shape, k, p);
        y[i] = p->value;
    }
    shape->model.x = x;
    shape->model.y = y;
    return true;
}

static bool solve(struct work *w, struct shape *shape, struct bw_err *err) {
    if (!build(w, shape)) return bw_fail_memory(err);
    if (!bw_linear_fit_sound(w->run->arena, &shape->model, doubt_of(w), &shape->fit, err))
        return false;
    shape->sigma = shape->fit.sigma;
    // One or two readings to spare do not tell a spread.
    if (!(shape->fit.degrees >= 3))
        shape->sigma = fmax(w->in->gauge.v, shape->fit.degrees > 0 ? shape->fit.sigma : 0);
    return true;
}

// --- worn lanes ----------------------------------------------------------------------------------

static size_t find_lanes(const struct work *w, const struct shape *shape, struct lane *lanes) {
    size_t n = 0;
    for (size_t i = 0; i < shape->model.n; i++) {
        double across = row(w, shape, i)->across;
        size_t k = 0;
        while (k < n && fabs(lanes[k].across - across) >= SAME) k++;
        if (k == MOST_SPOTS) continue;
        if (k == n) lanes[n++] = (struct lane){across, 0};
        lanes[k].readings++;
    }
    return n;
}

// The lane that stands out most, if any does beyond what luck makes of so many lanes.
static bool add_lane(struct work *w, struct shape *shape, bool *added, struct bw_err *err) {
    struct lane lanes[MOST_SPOTS];
    size_t n = find_lanes(w, shape, lanes);
    *added = false;
    if (n < 5 || shape->n_lanes == MOST_LANES) return true;
    struct shape best = *shape;
    double most = 0;
    for (size_t k = 0; k < n; k++) {
        if (lanes[k].readings < 3) continue;
        struct shape with = *shape;
        with.lanes[with.n_lanes] = lanes[k];
        with.term[with.n_terms++] = WORN_LANE + (int)with.n_lanes++;
        if (!solve(w, &with, err)) return false;
        size_t column = with.column[with.n_terms - 1];
        double sd = bw_linear_sd(&with.fit, with.model.p, column, with.sigma);
        if (!with.fit.told[column] || !(with.fit.degrees >= 3)) continue;
        double t = fabs(with.fit.value[column]) / sd;
        double limit = bw_student_limit(DOUBT / 2 / (double)n, with.fit.degrees);
        if (!(t > limit) || !(t > most)) continue;
        most = t;
        best = with;
        *added = true;
    }
    if (*added) *shape = best;
    return true;
}

// --- the fit -------------------------------------------------------------------------------------

bool shape_fit(struct work *w, enum pick pick, long head, struct shape *out, struct bw_err *err) {
    struct shape shape = {0};
    if (!pick_rows(w, pick, head, &shape)) return bw_fail_memory(err);
    *out = shape;
    if (shape.model.n < 2) return true;
    find_levels(w, &shape, false, &shape.panels);
    find_levels(w, &shape, true, &shape.runs);
    choose_terms(w, &shape);
    if (!solve(w, &shape, err)) return false;
    for (bool added = pick == PICK_AFTER; added;)
        if (!add_lane(w, &shape, &added, err)) return false;
    for (size_t i = 0; i < shape.model.n; i++) w->points[shape.rows[i]].wrong = shape.fit.wrong[i];
    *out = shape;
    return true;
}

static struct bw_quantity column_of(const struct shape *shape, size_t column) {
    if (!shape->fit.told[column]) return BW_UNKNOWN;
    return bw_about(shape->fit.value[column],
                    bw_linear_sd(&shape->fit, shape->model.p, column, shape->sigma));
}

struct bw_quantity shape_value(const struct shape *shape, enum term term) {
    for (size_t k = 0; k < shape->n_terms; k++)
        if (shape->term[k] == (int)term) return column_of(shape, shape->column[k]);
    return BW_UNKNOWN;
}

// A sum of columns with its sd.
static struct bw_quantity sum_of(const struct shape *shape, const double *c) {
    double value = 0, variance = 0;
    size_t p = shape->model.p;
    for (size_t i = 0; i < p; i++) {
        value += c[i] * shape->fit.value[i];
        for (size_t k = 0; k < p; k++) variance += c[i] * c[k] * shape->fit.unit[i * p + k];
    }
    return bw_about(value, shape->sigma * sqrt(fmax(variance, 0)));
}

struct bw_quantity shape_panel(const struct work *w, const struct shape *shape, size_t panel) {
    double c[MOST_TERMS + 2 * MOST_PANELS] = {1};
    if (panel == w->n_panels) return sum_of(shape, c);
    bool seen = false;
    for (size_t i = 0; i < shape->model.n; i++)
        seen |= row(w, shape, i)->panel == panel && !shape->fit.wrong[i];
    if (!seen) return BW_UNKNOWN;
    return effect(&shape->panels, panel, c) ? sum_of(shape, c) : BW_UNKNOWN;
}

// --- in words ------------------------------------------------------------------------------------

struct wording {
    int term;
    const char *id, *name, *more, *less;  // what it means where the value is above, below 0
};
static const struct wording WORDINGS[] = {
    {TAPER, "taper", "right against left",
     "thicker on the right: drum and table stand further apart there",
     "thicker on the left: drum and table stand further apart there"},
    {CROWN, "crown", "middle against edges",
     "thicker in the middle: drum worn in its middle, table or platen hollow there",
     "thinner in the middle: drum worn at its ends, table worn where panels always run, or edges "
     "that lift"},
    {LEAD, "lead", "leading end against the rest",
     "leading end thick: the pressing part sets down late, or the end is held off the belt",
     "leading end dips: hold-downs before the head too high or too soft, or the pressing part sets "
     "down early"},
    {TRAIL, "trail", "trailing end against the rest",
     "trailing end thick: the pressing part lifts early, or the end is held off the belt",
     "trailing end dips: hold-downs behind the head too high or too soft, or the pressing part "
     "lifts late"},
    {TWIN_TAPER, "panel-taper", "right against left, moving with the panel",
     "came with the panel, not from the machine", "came with the panel, not from the machine"},
    {TWIN_LEAD, "panel-front", "front end, moving with the panel",
     "came with the panel, not from the machine", "came with the panel, not from the machine"},
    {TWIN_TRAIL, "panel-back", "back end, moving with the panel",
     "came with the panel, not from the machine", "came with the panel, not from the machine"},
};

static struct bw_quantity scaled(struct bw_quantity q, double factor) {
    return bw_about(q.v * factor, q.sd * fabs(factor));
}

static bool is_shown(struct bw_quantity q) { return fabs(q.v) > SHOWN * q.sd; }

double shape_over(const struct work *w) {
    double low = 0, high = 0;
    for (size_t i = 0; i < w->n; i++) {
        low = fmin(low, w->points[i].across);
        high = fmax(high, w->points[i].across);
    }
    return fmax(panel_width(w->in), high - low);
}

static double over(const struct work *w, int term) {
    return term == TAPER ? shape_over(w) : term == TWIN_TAPER ? panel_width(w->in) : 1;
}

static void word_term(const struct work *w, const struct shape *after, const struct shape *before,
                      const struct wording *wording, struct thickness_term *out) {
    out->id = wording->id;
    out->name = wording->name;
    out->value = scaled(shape_value(after, (enum term)wording->term), over(w, wording->term));
    out->shown = is_shown(out->value);
    struct bw_quantity was = shape_value(before, (enum term)wording->term);
    if (bw_known(was)) out->came_in = scaled(was, over(w, wording->term));
    out->text = !out->shown ? NULL : out->value.v > 0 ? wording->more : wording->less;
}

static void word_lane(struct work *w, const struct shape *shape, size_t lane,
                      struct thickness_term *out) {
    out->id = "lane";
    double across = shape->lanes[lane].across * 1e3;
    const char *side = across > 0 ? "right" : "left";
    out->name = fabs(across) < 1 ? "lane in the machine's middle"
                                 : say(w, "lane %.0f mm %s of the middle", fabs(across), side);
    out->value = shape_value(shape, (enum term)(WORN_LANE + (int)lane));
    out->shown = is_shown(out->value);
    out->text = out->value.v > 0
                    ? "stays thick: belt bald, drum or platen worn in that lane"
                    : "comes out thin: feed belt or table standing up in that lane, or "
                      "dust caked on the drum";
}

static void report_terms(struct work *w, const struct shape *after, const struct shape *before) {
    struct thickness_term *terms = blank_items(w, "terms", MOST_TERMS + MOST_LANES);
    if (terms == NULL) return;
    size_t n = 0;
    for (size_t i = 0; i < sizeof WORDINGS / sizeof *WORDINGS; i++)
        if (bw_known(shape_value(after, (enum term)WORDINGS[i].term)))
            word_term(w, after, before, &WORDINGS[i], &terms[n++]);
    for (size_t i = 0; i < after->n_lanes; i++) word_lane(w, after, i, &terms[n++]);
    w->out.terms = (struct bw_list){terms, n};
    for (size_t k = 0; k < after->n_terms; k++)
        if (!after->fit.told[after->column[k]] && after->term[k] < WORN_LANE)
            note(w, say(w, "%s cannot be told from the other terms by these readings.",
                        after->term[k] == TAPER   ? "Taper"
                        : after->term[k] == CROWN ? "Crown"
                                                  : "An end, or what moves with the panel,"));
}

static void report_wrong(struct work *w, const struct shape *shape) {
    struct thickness_wrong *wrong = blank_items(w, "wrong", shape->fit.n_wrong);
    if (wrong == NULL) return;
    w->out.wrong.items = wrong;
    for (size_t i = 0; i < shape->model.n; i++) {
        if (!shape->fit.wrong[i]) continue;
        const struct point *p = row(w, shape, i);
        struct thickness_wrong *out = &wrong[w->out.wrong.n++];
        out->panel = p->reading->panel;
        out->place = point_place(w, p);
        out->value = bw_exactly(p->value);
        out->off = bw_exactly(shape->fit.residual[i]);
    }
}

static void report_panels(struct work *w, const struct shape *shape) {
    struct thickness_panel *panels = blank_items(w, "panels", w->n_panels);
    if (panels == NULL) return;
    w->out.panels.items = panels;
    double mean = shape_panel(w, shape, w->n_panels).v;
    for (size_t i = 0; i < w->n_panels; i++) {
        struct bw_quantity value = shape_panel(w, shape, i);
        if (!bw_known(value)) continue;
        struct thickness_panel *out = &panels[w->out.panels.n++];
        out->panel = w->panels[i];
        out->mean = value;
        out->off = bw_about(value.v - mean, value.sd);
    }
}

// Mean of each place over the panels, against the panels' own means.
static void report_map(struct work *w, const struct shape *shape) {
    struct thickness_spot *spots = blank_items(w, "map", shape->model.n);
    if (spots == NULL) return;
    size_t n = 0;
    for (size_t i = 0; i < shape->model.n; i++) {
        const struct point *p = row(w, shape, i);
        struct bw_quantity mean = shape_panel(w, shape, p->panel);
        if (shape->fit.wrong[i] || !bw_known(mean)) continue;
        size_t k = 0;
        while (k < n && (fabs(spots[k].across.v - p->across) >= SAME ||
                         fabs(spots[k].along.v - p->along) >= SAME))
            k++;
        if (k == n) {
            spots[n].across = bw_exactly(p->across);
            spots[n].along = bw_exactly(p->along);
            spots[n].off = bw_about(0, 0);
            spots[n++].readings = 0;
        }
        spots[k].off.v += p->value - mean.v;
        spots[k].readings++;
    }
    for (size_t k = 0; k < n; k++) {
        spots[k].off.v /= (double)spots[k].readings;
        spots[k].off.sd = shape->sigma / sqrt((double)spots[k].readings);
    }
    w->out.map = (struct bw_list){spots, n};
}

bool shape_report(struct work *w, struct bw_err *err) {
    struct shape before, after;
    if (!shape_fit(w, PICK_BEFORE, 0, &before, err) || !shape_fit(w, PICK_AFTER, 0, &after, err))
        return false;
    if (after.n_terms == 0) return readout_report(w, &after, err);
    w->out.readings = (long)(after.model.n - after.fit.n_wrong);
    w->out.sigma = bw_exactly(after.sigma);
    w->out.slope = shape_value(&after, TAPER);
    w->out.over = bw_exactly(shape_over(w));
    report_terms(w, &after, &before);
    report_wrong(w, &after);
    report_panels(w, &after);
    report_map(w, &after);
    adjust_report(w, w->out.slope);
    return !w->failed ? readout_report(w, &after, err) : bw_fail_memory(err);
}
