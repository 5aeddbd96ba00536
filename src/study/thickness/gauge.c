// gauge.c - the gauge and the tolerance: repeats, people, capability.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/capability.h"
#include "numeric/crossed.h"
#include "study/thickness/part.h"

#include <math.h>
#include <string.h>

#define LEVEL_OF_INTERVALS 0.95
#define LEAST_DEGREES 3

// Readings of one place of one panel in one state, which differ by the gauge alone.
static bool same_place(const struct point *a, const struct point *b) {
    const struct thickness_reading *r = a->reading, *s = b->reading;
    return a->panel == b->panel && a->run == b->run && r->when == s->when && r->upto == s->upto &&
           r->only == s->only && fabs(a->own_across - b->own_across) < 1e-6 &&
           fabs(a->own_along - b->own_along) < 1e-6;
}

static bool same_person(const struct point *a, const struct point *b) {
    const char *one = a->reading->by, *two = b->reading->by;
    if (one == NULL || two == NULL) return one == two;
    return strcmp(one, two) == 0;
}

struct study {
    size_t *place, *person;  // of each point
    size_t places, people;
};

static bool sort_points(struct work *w, struct study *s) {
    s->place = items(w, w->n, sizeof *s->place);
    s->person = items(w, w->n, sizeof *s->person);
    if (w->failed) return false;
    for (size_t i = 0; i < w->n; i++) {
        size_t a = 0, b = 0;
        while (a < i && !same_place(&w->points[a], &w->points[i])) a++;
        while (b < i && !same_person(&w->points[b], &w->points[i])) b++;
        s->place[i] = a < i ? s->place[a] : s->places++;
        s->person[i] = b < i ? s->person[b] : s->people++;
    }
    return true;
}

// Readings in a cell; the first `most` go to `values` where it is not NULL.
static size_t cell(const struct work *w, const struct study *s, const size_t which[2],
                   double *values, size_t most) {
    size_t n = 0;
    for (size_t i = 0; i < w->n; i++) {
        if (s->place[i] != which[0] || s->person[i] != which[1] || w->points[i].wrong) continue;
        if (values != NULL && n < most) values[n] = w->points[i].value;
        n++;
    }
    return n;
}

// Repeats that every person made at a place; 0: somebody did not read there twice.
static size_t repeats_at(const struct work *w, const struct study *s, size_t place) {
    size_t least = SIZE_MAX;
    for (size_t person = 0; person < s->people; person++) {
        size_t n = cell(w, s, (size_t[2]){place, person}, NULL, 0);
        least = n < least ? n : least;
    }
    return least < 2 || least == SIZE_MAX ? 0 : least;
}

static bool crossed(struct work *w, const struct study *s, struct bw_crossed *out) {
    size_t places = 0, repeats = SIZE_MAX;
    for (size_t p = 0; p < s->places; p++) {
        size_t n = repeats_at(w, s, p);
        if (n == 0) continue;
        places++;
        repeats = n < repeats ? n : repeats;
    }
    if (places < 2) return false;
    double *values = items(w, places * s->people * repeats, sizeof *values);
    if (values == NULL) return false;
    size_t at = 0;
    for (size_t p = 0; p < s->places; p++) {
        if (repeats_at(w, s, p) == 0) continue;
        for (size_t person = 0; person < s->people; person++, at += repeats)
            (void)cell(w, s, (size_t[2]){p, person}, values + at, repeats);
    }
    *out = bw_crossed_of(values, places, s->people, repeats);
    return (double)(places * s->people * (repeats - 1)) >= LEAST_DEGREES;
}

// Repeats pooled where people and places are not crossed evenly.
static double pooled(const struct work *w, const struct study *s) {
    double square = 0, degrees = 0;
    for (size_t i = 0; i < w->n; i++) {
        double sum = 0, n = 0;
        for (size_t k = 0; k < w->n; k++) {
            if (s->place[k] != s->place[i] || s->person[k] != s->person[i] || w->points[k].wrong)
                continue;
            sum += w->points[k].value;
            n++;
        }
        if (n < 2 || w->points[i].wrong) continue;
        square += pow(w->points[i].value - sum / n, 2);
        degrees += 1 - 1 / n;
    }
    return degrees > LEAST_DEGREES - 0.5 ? sqrt(square / degrees) : (double)NAN;
}

static bool repeats(struct work *w) {
    struct study s = {0};
    if (!sort_points(w, &s)) return false;
    struct bw_crossed c;
    if (crossed(w, &s, &c)) {
        w->out.repeatability = bw_exactly(c.repeat_sd);
        w->out.gauge_spread = bw_exactly(c.gauge_sd);
        if (s.people > 1) w->out.people = bw_exactly(hypot(c.person_sd, c.both_sd));
        if (isfinite(c.categories)) w->out.categories = bw_exactly(floor(c.categories));
    } else {
        double sd = pooled(w, &s);
        if (isnan(sd)) return !w->failed;
        w->out.repeatability = w->out.gauge_spread = bw_exactly(sd);
    }
    if (bw_known(w->in->tolerance))
        w->out.gauge_share = bw_exactly(6 * w->out.gauge_spread.v / (2 * w->in->tolerance.v));
    return !w->failed;
}

static bool capability(struct work *w) {
    if (!bw_known(w->in->target) || !bw_known(w->in->tolerance)) return true;
    double *values = items(w, w->n, sizeof *values);
    size_t *groups = items(w, w->n, sizeof *groups), n = 0;
    if (w->failed) return false;
    for (size_t i = 0; i < w->n; i++) {
        const struct thickness_reading *r = w->points[i].reading;
        if (w->points[i].wrong || r->when != READ_AFTER || r->only != BW_NO_COUNT ||
            r->upto != BW_NO_COUNT)
            continue;
        values[n] = w->points[i].value;
        groups[n++] = w->points[i].panel;
    }
    if (n < 5) return true;
    struct bw_spread spread = bw_spread_grouped(values, groups, n, w->n_panels);
    if (!(spread.sd > 0)) return true;
    double low = w->in->target.v - w->in->tolerance.v, high = w->in->target.v + w->in->tolerance.v;
    struct bw_capability c = bw_capability_of(&spread, low, high, LEVEL_OF_INTERVALS);
    w->out.cp = bw_exactly(c.cp);
    w->out.cp_low = bw_exactly(c.cp_low);
    w->out.cp_high = bw_exactly(c.cp_high);
    w->out.cpk = bw_exactly(c.cpk);
    w->out.cpk_low = bw_exactly(c.cpk_low);
    w->out.cpk_high = bw_exactly(c.cpk_high);
    w->out.outside = bw_exactly(c.outside);
    return true;
}

bool gauge_report(struct work *w, struct bw_err *err) {
    return (repeats(w) && capability(w)) || bw_fail_memory(err);
}
