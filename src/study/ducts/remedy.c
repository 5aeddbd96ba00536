// remedy.c - what would help a starved system: each change made, solved again, and undone.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/ducts/part.h"

#include <math.h>
#include <string.h>

struct trial {
    struct ducts_work *w;
    struct ducts_item *items;    // as they are
    struct ducts_curve *curves;
    double *flow, *pressure;
    struct ducts_state before;
    struct ducts_remedy_row *rows;
    size_t n;
};
#define MOST_REMEDIES 60

static const char *const GATE_CAUTION =
    "only while its machine stands still; and look at the slowest line beside it: too little air "
    "in the trunk plugs it";
static const char *const DUCT_CAUTION =
    "locked out; metal duct bonded, and the system's explosion protection kept as it was built";
static const char *const FAN_CAUTION =
    "the maker's top speed for this wheel must not be passed; guard back on before it runs";

static void undo(struct trial *t) {
    struct ducts_model *m = t->w->model;
    memcpy(m->items, t->items, (size_t)m->n_items * sizeof *m->items);
    memcpy(m->curves, t->curves, (size_t)m->n_items * sizeof *m->curves);
    memcpy(m->flow, t->flow, (size_t)m->n_runs * sizeof *m->flow);
    memcpy(m->pressure, t->pressure, (size_t)m->n_nodes * sizeof *m->pressure);
}

// A change that cannot be solved is no remedy; it is passed over.
static void attempt(struct trial *t, struct ducts_remedy_row row) {
    struct ducts_work *w = t->w;
    struct bw_err ignored = {.code = BW_OK};
    if (t->n == MOST_REMEDIES) return;
    if (ducts_solve(w->model, &ignored)) {
        struct ducts_state after = ducts_state(w);
        double power = ducts_power(w->model);
        row.works = !(after.share < 1) && after.velocity >= w->out->transport.v;
        row.worst = after.worst < 0 ? NULL : w->model->runs[after.worst].name;
        row.share = (struct bw_quantity){after.share, BW_NAN, -1};
        row.before = (struct bw_quantity){t->before.share, BW_NAN, -1};
        row.velocity = bw_exactly(after.slowest < 0 ? 0 : after.velocity);
        row.motor = bw_exactly(power);
        bool helps = row.works || after.share > t->before.share * 1.01 ||
                     (after.share >= 1 && after.velocity > t->before.velocity * 1.01);
        if (helps) t->rows[t->n++] = row;
    }
    undo(t);
}

static void gates(struct trial *t) {
    struct ducts_model *m = t->w->model;
    for (int g = 0; g < m->n_gates; g++) {
        int run = m->gates[g];
        double open = m->runs[run].open;
        if (run == t->before.worst || open < 0.3) continue;
        ducts_gate_set(m, run, 0);
        attempt(t, (struct ducts_remedy_row){
                       .what = ducts_say(t->w, "shut the gate of %s", m->runs[run].name),
                       .effort = "none", .caution = GATE_CAUTION});
        m->runs[run].open = open;
    }
}

static void hose(struct trial *t, const char *name, struct ducts_item *item) {
    if (item->length > 1.01 * item->pulled) {
        item->length = item->pulled;
        attempt(t, (struct ducts_remedy_row){
                       .what = ducts_say(t->w, "pull the hose of %s straight, cut off the rest",
                                         name),
                       .effort = "little", .caution = DUCT_CAUTION});
    }
    if (item->length < 0.5) return;
    item->length /= 2;
    attempt(t, (struct ducts_remedy_row){.what = ducts_say(t->w, "halve the hose of %s", name),
                                         .effort = "little", .caution = DUCT_CAUTION});
}

static void filters_and_hoses(struct trial *t) {
    struct ducts_model *m = t->w->model;
    for (int r = 0; r < m->n_runs; r++)
        for (int i = m->runs[r].first; i < m->runs[r].first + m->runs[r].n; i++) {
            struct ducts_item *item = &m->items[i];
            if (item->kind == DUCTS_FLEX) hose(t, m->runs[r].name, item);
            if (item->kind == DUCTS_FILTER && item->scale > 0.61) {
                item->scale = item->scale > 1 ? 1 : 0.6;
                attempt(t, (struct ducts_remedy_row){
                               .what = ducts_say(t->w, item->scale < 1
                                                           ? "new filter media in %s"
                                                           : "clean the filter in %s",
                                                 m->runs[r].name),
                               .effort = item->scale < 1 ? "some" : "little",
                               .caution = "dust in the collector burns and harms: breathing "
                                          "protection, no sparks, locked out"});
            }
        }
}

static double next_size(double diameter) {
    static const double SIZES[] = {0.08, 0.1, 0.125, 0.15, 0.175, 0.2, 0.225, 0.25,
                                   0.3,  0.35, 0.4,  0.45, 0.5,   0.6, 0.7,   0.8};
    for (size_t i = 0; i < sizeof SIZES / sizeof SIZES[0]; i++)
        if (SIZES[i] > diameter * 1.05) return SIZES[i];
    return diameter * 1.2;
}

static void wider(struct trial *t, int r) {
    struct ducts_model *m = t->w->model;
    double from = m->runs[r].line->diameter.v, to = next_size(from), grows = to / from;
    for (int i = m->runs[r].first; i < m->runs[r].first + m->runs[r].n; i++) {
        m->items[i].diameter *= grows;
        m->items[i].area *= grows * grows;
    }
    attempt(t, (struct ducts_remedy_row){
                   .what = ducts_say(t->w, "%s in %.0f mm instead of %.0f mm", m->runs[r].name,
                                     1e3 * to, 1e3 * from),
                   .effort = "much", .caution = DUCT_CAUTION});
}

// Lines that the worst port's air passes: itself and what follows it.
static void wider_lines(struct trial *t) {
    const struct ducts_model *m = t->w->model;
    int at = t->before.worst;
    for (int steps = 0; at >= 0 && steps < m->n_runs; steps++) {
        wider(t, at);
        int next = -1;
        for (int i = 0; i < m->n_runs; i++)
            if (m->runs[i].from == m->runs[at].to && m->runs[i].from > 1) next = i;
        at = next;
    }
}

static void faster_fans(struct trial *t) {
    struct ducts_model *m = t->w->model;
    double rated = 0;
    for (int i = 0; i < m->n_items; i++)
        if (m->items[i].law == LAW_FAN) rated += m->fans[i]->motor.v;  // NaN if any is unknown
    for (int percent = 5; percent <= 25; percent += 5) {
        for (int i = 0; i < m->n_items; i++) m->curves[i].speed *= 1 + percent / 100.0;
        size_t n = t->n;
        attempt(t, (struct ducts_remedy_row){
                       .what = ducts_say(t->w, "fan %d %% faster, by its sheave", percent),
                       .effort = "some", .caution = FAN_CAUTION});
        if (t->n == n) continue;
        struct ducts_remedy_row *row = &t->rows[n];
        if (isnan(rated))
            row->caution = "the motor's power is not given: power goes with the cube of speed; "
                           "check it, and the maker's top speed for this wheel";
        else if (row->motor.v > rated)
            row->caution = "OVERLOADS the motor: not without a larger one";
        if (row->motor.v > rated) row->works = 0;
        if (row->works) break;
    }
}

static int rank(const struct ducts_remedy_row *row) {
    static const char *const EFFORTS[] = {"none", "little", "some", "much"};
    int effort = 0;
    while (effort < 3 && strcmp(EFFORTS[effort], row->effort) != 0) effort++;
    return (row->works ? 0 : 10) + effort;
}

static void sort(struct trial *t) {  // by insertion: ties keep their order
    for (size_t i = 1; i < t->n; i++) {
        struct ducts_remedy_row row = t->rows[i];
        size_t k = i;
        for (; k > 0; k--) {
            const struct ducts_remedy_row *before = &t->rows[k - 1];
            int order = rank(before) - rank(&row);
            if (order < 0 || (order == 0 && before->share.v >= row.share.v)) break;
            t->rows[k] = *before;
        }
        t->rows[k] = row;
    }
}

bool ducts_remedies(struct ducts_work *w, struct bw_err *err) {
    struct ducts_model *m = w->model;
    struct trial t = {.w = w, .before = ducts_state(w)};
    bool well = !(t.before.share < 1) && t.before.velocity >= w->out->transport.v;
    if (well || t.before.worst < 0) return true;
    t.rows = ducts_array(w, MOST_REMEDIES, sizeof *t.rows);
    t.items = ducts_array(w, (size_t)m->n_items, sizeof *t.items);
    t.curves = ducts_array(w, (size_t)m->n_items, sizeof *t.curves);
    t.flow = ducts_array(w, (size_t)m->n_runs, sizeof *t.flow);
    t.pressure = ducts_array(w, (size_t)m->n_nodes, sizeof *t.pressure);
    if (w->failed) return bw_fail_memory(err);
    memcpy(t.items, m->items, (size_t)m->n_items * sizeof *m->items);
    memcpy(t.curves, m->curves, (size_t)m->n_items * sizeof *m->curves);
    memcpy(t.flow, m->flow, (size_t)m->n_runs * sizeof *m->flow);
    memcpy(t.pressure, m->pressure, (size_t)m->n_nodes * sizeof *m->pressure);
    gates(&t);
    filters_and_hoses(&t);
    wider_lines(&t);
    faster_fans(&t);
    (void)ducts_state(w);
    sort(&t);
    w->out->remedies = (struct bw_list){t.rows, t.n};
    return w->failed ? bw_fail_memory(err) : true;
}
