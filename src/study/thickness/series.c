// series.c - panel after panel and head after head: readout, warm-up, what each head takes.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A drum's rubber warms and grows over the first half hour (15 mm warmed by 30 K: about 0.1 mm), so
// panels come out thicker at first; the law taken is an exponential whose time, 6, 12 or 24 min, is
// the one that fits best (common practice, no source).
#include "study/thickness/part.h"

#include <math.h>
#include <string.h>

#define MOST_BELTS 12
#define LEAST_SPAN 480.0  // s between first and last panel, to speak of warming

struct series {
    struct bw_quantity value[MOST_PANELS];  // panel thickness, or its excess over the display
    double minutes[MOST_PANELS];            // s; NaN: not known
    size_t belt[MOST_PANELS];
    const char *belts[MOST_BELTS];
    size_t n, n_belts;
    bool against_readout;
};

static const struct point *first_of(const struct work *w, size_t panel) {
    for (size_t i = 0; i < w->n; i++)
        if (w->points[i].panel == panel && w->points[i].reading->when == READ_AFTER)
            return &w->points[i];
    return NULL;
}

// What a panel's rows say of it, on whichever row it stands.
static void facts(const struct work *w, size_t panel, struct thickness_reading *out) {
    *out = *first_of(w, panel)->reading;
    for (size_t i = 0; i < w->n; i++) {
        const struct thickness_reading *r = w->points[i].reading;
        if (w->points[i].panel != panel || r->when != READ_AFTER) continue;
        if (!bw_known(out->readout)) out->readout = r->readout;
        if (!bw_known(out->minutes)) out->minutes = r->minutes;
        if (out->belt == NULL) out->belt = r->belt;
    }
}

static size_t belt_of(struct series *s, const char *name) {
    if (name == NULL) name = "belt not named";
    size_t k = 0;
    while (k < s->n_belts && strcmp(s->belts[k], name) != 0) k++;
    if (k == MOST_BELTS) return MOST_BELTS - 1;
    if (k == s->n_belts) s->belts[s->n_belts++] = name;
    return k;
}

static void collect(const struct work *w, const struct shape *shape, struct series *s) {
    for (size_t p = 0; p < w->n_panels; p++) {
        struct bw_quantity mean = shape_panel(w, shape, p);
        struct thickness_reading r;
        if (!bw_known(mean) || first_of(w, p) == NULL) continue;
        facts(w, p, &r);
        if (s->against_readout && !bw_known(r.readout)) continue;
        s->value[s->n] = mean;
        if (s->against_readout) s->value[s->n].v -= r.readout.v;
        s->minutes[s->n] = r.minutes.v;
        s->belt[s->n++] = s->against_readout ? belt_of(s, r.belt) : 0;
    }
    if (!s->against_readout) s->n_belts = 1;
}

static bool warms(const struct series *s) {
    double low = (double)INFINITY, high = -low;
    for (size_t i = 0; i < s->n; i++) {
        if (isnan(s->minutes[i])) return false;
        low = fmin(low, s->minutes[i]);
        high = fmax(high, s->minutes[i]);
    }
    return s->n >= s->n_belts + 3 && high - low >= LEAST_SPAN;
}

// Belts as columns; `time` > 0 adds the warming.
static bool fit(struct work *w, const struct series *s, double time, struct bw_linear_fit *out,
                struct bw_err *err) {
    size_t p = s->n_belts + (time > 0);
    double *x = items(w, s->n * p, sizeof *x), *y = items(w, s->n, sizeof *y);
    if (w->failed) return bw_fail_memory(err);
    for (size_t i = 0; i < s->n; i++) {
        x[i * p + s->belt[i]] = 1;
        if (time > 0) x[i * p + p - 1] = exp(-s->minutes[i] / time);
        y[i] = s->value[i].v;
    }
    struct bw_linear model = {x, y, s->n, p};
    return bw_linear_fit_sound(w->run->arena, &model, doubt_of(w), out, err);
}

static bool best_fit(struct work *w, const struct series *s, bool warming,
                     struct bw_linear_fit *out, struct bw_err *err) {
    static const double TIMES[] = {360, 720, 1440};
    if (!warming) return fit(w, s, 0, out, err);
    for (size_t i = 0; i < sizeof TIMES / sizeof *TIMES; i++) {
        struct bw_linear_fit tried;
        if (!fit(w, s, TIMES[i], &tried, err)) return false;
        if (i == 0 || tried.sigma < out->sigma) *out = tried;
    }
    return true;
}

static void report(struct work *w, const struct series *s, const struct bw_linear_fit *fit_,
                   bool warming) {
    size_t p = s->n_belts + warming;
    double own = 0;  // of one panel's mean, where panels are too few to show their spread
    for (size_t i = 0; i < s->n; i++) own = fmax(own, s->value[i].sd);
    double sigma = fit_->degrees >= 2 ? fmax(fit_->sigma, own) : fmax(own, w->in->gauge.v);
    if (warming) w->out.drift = bw_about(fit_->value[p - 1], bw_linear_sd(fit_, p, p - 1, sigma));
    if (!s->against_readout) return;
    struct thickness_readout *rows = blank_items(w, "readouts", s->n_belts);
    if (rows == NULL) return;
    for (size_t k = 0; k < s->n_belts; k++) {
        rows[k].belt = s->belts[k];
        rows[k].off = bw_about(fit_->value[k], bw_linear_sd(fit_, p, k, sigma));
        rows[k].panels = 0;
        for (size_t i = 0; i < s->n; i++) rows[k].panels += s->belt[i] == k;
    }
    w->out.readouts = (struct bw_list){rows, s->n_belts};
}

bool readout_report(struct work *w, const struct shape *shape, struct bw_err *err) {
    struct series s = {.n = 0};
    if (shape->n_terms == 0) return true;
    for (size_t i = 0; i < w->n; i++)
        s.against_readout |=
            bw_known(w->points[i].reading->readout) && w->points[i].reading->when == READ_AFTER;
    collect(w, shape, &s);
    bool warming = warms(&s);
    if (s.n == 0 || (!s.against_readout && !warming)) return true;
    struct bw_linear_fit best = {0};
    if (!best_fit(w, &s, warming, &best, err)) return false;
    report(w, &s, &best, warming);
    return !w->failed || bw_fail_memory(err);
}

// --- head by head --------------------------------------------------------------------------------

static bool is_state(const struct thickness_reading *r, long heads) {
    if (heads == 0) return r->when == READ_BEFORE;
    return r->when == READ_AFTER && r->upto == heads;
}

// Mean of the readings at a point's place when heads 1 .. `heads` had cut; NaN: none.
static double state_at(const struct work *w, const struct point *at, long heads) {
    double sum = 0, n = 0;
    for (size_t i = 0; i < w->n; i++) {
        const struct point *p = &w->points[i];
        if (!is_state(p->reading, heads) || p->panel != at->panel) continue;
        if (fabs(p->own_across - at->own_across) > 1e-6) continue;
        if (fabs(p->own_along - at->own_along) > 1e-6) continue;
        sum += p->value;
        n++;
    }
    return n > 0 ? sum / n : (double)NAN;
}

static bool removal(struct work *w, long head, struct bw_quantity *out, struct bw_err *err) {
    double *x = items(w, w->n, sizeof *x), *y = items(w, w->n, sizeof *y);
    if (w->failed) return bw_fail_memory(err);
    size_t n = 0;
    for (size_t i = 0; i < w->n; i++) {
        const struct point *p = &w->points[i];
        double was = state_at(w, p, head - 1);
        if (!is_state(p->reading, head) || isnan(was)) continue;
        x[n] = 1;
        y[n++] = was - p->value;
    }
    if (n == 0) return true;
    struct bw_linear model = {x, y, n, 1};
    struct bw_linear_fit fit_;
    if (!bw_linear_fit_sound(w->run->arena, &model, doubt_of(w), &fit_, err)) return false;
    double sigma = fit_.degrees >= 2 ? fit_.sigma : w->in->gauge.v * M_SQRT2;
    *out = bw_about(fit_.value[0], bw_linear_sd(&fit_, 1, 0, sigma));
    return true;
}

static bool one_head(struct work *w, long head, struct thickness_head *out, struct bw_err *err) {
    struct shape shape;
    if (!removal(w, head, &out->removal, err)) return false;
    if (!shape_fit(w, PICK_ONLY, head, &shape, err)) return false;
    if (shape.n_terms == 0) return true;
    struct bw_quantity slope = shape_value(&shape, TAPER);
    if (bw_known(slope)) out->taper = bw_about(slope.v * shape_over(w), slope.sd * shape_over(w));
    return true;
}

bool heads_report(struct work *w, struct bw_err *err) {
    enum { HEADS = 12 };
    struct thickness_head *heads = blank_items(w, "heads", HEADS);
    if (heads == NULL) return bw_fail_memory(err);
    w->out.heads.items = heads;
    for (long head = 1; head <= HEADS; head++) {
        struct thickness_head *out = &heads[w->out.heads.n];
        if (!one_head(w, head, out, err)) return false;
        if (!bw_known(out->removal) && !bw_known(out->taper)) continue;
        out->head = say(w, "head %ld", head);
        w->out.heads.n++;
    }
    return !w->failed || bw_fail_memory(err);
}
