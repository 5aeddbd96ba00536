// remedy.c - what would help a starved system: each change made, solved again, and undone.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every change that a shop can make is tried alone, then two at a time if that could beat the best
// single one; where readings found a fault, on top of putting that right. A change works if every
// open port then has its air, no line in use is too slow and no motor is overloaded. They are
// sorted by whether they work, then by cost where the user gave prices for all of it, else by
// effort. Efforts are classes, not hours (common practice): none - a hand on a gate; little - under
// an hour with what lies about; some - half a day and a bought part; much - a day of ductwork or
// more.
#include "study/ducts/part.h"

#include <math.h>
#include <string.h>

enum change_kind {
    SHUT,
    OPEN,
    BALANCE,
    MEND,
    PULL,
    HALVE,
    CLEAN,
    MEDIA,
    WIDEN,
    FASTER,
    BOOST,
    SEAL
};
enum effort { NONE, LITTLE, SOME, MUCH };
static const char *const EFFORTS[] = {"none", "little", "some", "much"};
static const int WEIGHT[] = {0, 1, 3, 8};  // two little jobs are less than one of some effort

struct change {
    enum change_kind kind;
    enum effort effort;
    int run, item;
    double to;
    const char *what, *caution;
};
struct trial {
    struct ducts_work *w;
    struct ducts_item *items;  // as they are
    struct ducts_curve *curves;
    struct ducts_run *runs;
    double *flow, *pressure;
    struct ducts_state before;
    double rated;  // of all fans' motors, W; NaN: one is not known
    struct change *changes;
    const struct change *first;  // what puts a suspect right: done before all else; NULL: none
    struct ducts_remedy_row *singles, *rows;
    int *rank;  // of rows
    size_t n_changes, n_singles, n;
};
#define MOST_CHANGES 120
#define MOST_PAIRED 24
#define MOST_ROWS 60

static const char *const CAUTIONS[] = {
    [SHUT] = "shut a gate only while its machine stands still, and look at the slowest line beside "
             "it: too little air in the trunk plugs it",
    [OPEN] = "a gate that was set for balance takes air from the others when it is opened",
    [BALANCE] = "half-shut gates: mark them; a balance lasts until somebody moves one. Look at the "
                "slowest line: a gate too far shut lets dust settle behind it",
    [PULL] = "hose and duct: locked out; metal parts bonded, hose wire too, and the system's "
             "explosion protection kept as it was built",
    [CLEAN] = "dust in the collector burns and harms: breathing protection, no sparks, locked out",
    [FASTER] = "a faster fan: the maker's top speed for this wheel must not be passed; power goes "
               "with the cube of speed; guard back on before it runs",
    [BOOST] = "a fan in a dust line: only a type built for dust, its wheel and bearing count as "
              "sources of sparks, and the collector's explosion isolation must be judged anew",
};

// --- changes -----------------------------------------------------------------------------------

static void offer(struct trial *t, struct change change) {
    if (t->n_changes == MOST_CHANGES) return;
    static const enum change_kind SAME[] = {
        [SHUT] = SHUT,  [OPEN] = OPEN,     [BALANCE] = BALANCE, [MEND] = PULL,
        [PULL] = PULL,  [HALVE] = PULL,    [CLEAN] = CLEAN,     [MEDIA] = CLEAN,
        [WIDEN] = PULL, [FASTER] = FASTER, [BOOST] = BOOST,     [SEAL] = PULL};
    change.caution = CAUTIONS[SAME[change.kind]];
    t->changes[t->n_changes++] = change;
}

static void offer_gates(struct trial *t) {
    const struct ducts_model *m = t->w->model;
    for (int g = 0; g < m->n_gates; g++) {
        const struct ducts_run *run = &m->runs[m->gates[g]];
        struct change change = {.kind = SHUT, .effort = NONE, .run = m->gates[g]};
        if (run->open <= DUCTS_SHUT) continue;
        change.what = ducts_say(t->w, "shut the gate of %s", run->name);
        if (change.run != t->before.worst && !run->together) offer(t, change);
        if (run->open > 0.99) continue;
        change.kind = OPEN;
        change.to = 1;
        change.what = ducts_say(t->w, "open the gate of %s fully", run->name);
        offer(t, change);
    }
    int n = 0;
    for (int g = 0; g < m->n_gates; g++) n += ducts_takes_part(m, m->gates[g]);
    if (n > 1)
        offer(t, (struct change){.kind = BALANCE,
                                 .effort = LITTLE,
                                 .run = -1,
                                 .what = "set the gates so that all share alike"});
}

static void offer_hose(struct trial *t, int r, int i) {
    const struct ducts_item *item = &t->w->model->items[i];
    const char *name = t->w->model->runs[r].name;
    if (item->length > 1.01 * item->pulled)
        offer(t, (struct change){.kind = PULL,
                                 .effort = LITTLE,
                                 .run = r,
                                 .item = i,
                                 .to = item->pulled,
                                 .what = ducts_say(t->w,
                                                   "pull the hose of %s straight, cut off "
                                                   "the rest",
                                                   name)});
    if (item->length >= 0.5)
        offer(t, (struct change){.kind = HALVE,
                                 .effort = LITTLE,
                                 .run = r,
                                 .item = i,
                                 .to = item->length / 2,
                                 .what = ducts_say(t->w, "halve the hose of %s", name)});
}

static void offer_filter(struct trial *t, int r, int i) {
    const char *name = t->w->model->runs[r].name;
    double scale = t->w->model->items[i].scale;
    if (scale > 1.05)
        offer(t, (struct change){.kind = CLEAN,
                                 .effort = LITTLE,
                                 .run = r,
                                 .item = i,
                                 .to = 1,
                                 .what = ducts_say(t->w, "clean the filter in %s", name)});
    if (scale > 0.65)
        offer(t, (struct change){.kind = MEDIA,
                                 .effort = SOME,
                                 .run = r,
                                 .item = i,
                                 .to = 0.6,
                                 .what = ducts_say(t->w, "new filter media in %s", name)});
}

static const char *size_text(struct trial *t, double diameter) {
    if (t->w->model->file->sizes == SIZES_INCHES)
        return ducts_say(t->w, "%.3g in", diameter / 0.0254);
    return ducts_say(t->w, "%.0f mm", 1e3 * diameter);
}

// Lines that the worst port's air passes: itself and what follows it.
static void offer_wider(struct trial *t) {
    const struct ducts_model *m = t->w->model;
    int at = t->before.worst;
    for (int steps = 0; at >= 0 && steps < m->n_runs; steps++) {
        double from = m->runs[at].diameter, to = ducts_next_size(m->file, from);
        offer(t, (struct change){.kind = WIDEN,
                                 .effort = MUCH,
                                 .run = at,
                                 .to = to / from,
                                 .what = ducts_say(t->w, "%s in %s instead of %s", m->runs[at].name,
                                                   size_text(t, to), size_text(t, from))});
        int next = -1;
        for (int i = 0; i < m->n_runs; i++)
            if (m->runs[i].from == m->runs[at].to && m->runs[i].from > 1) next = i;
        at = next;
    }
}

static void offer_fans(struct trial *t) {
    const struct ducts_model *m = t->w->model;
    bool any = false;
    for (int i = 0; i < m->n_items; i++) any = any || m->items[i].law == LAW_FAN;
    for (int percent = 5; any && percent <= 25; percent += 5)
        offer(t,
              (struct change){.kind = FASTER,
                              .effort = SOME,
                              .run = -1,
                              .to = percent,
                              .what = ducts_say(t->w, "fan %d %% faster, by its sheave", percent)});
    int worst = t->before.worst;
    for (int pascal = 400; worst >= 0 && pascal <= 1600; pascal *= 2)
        offer(t, (struct change){.kind = BOOST,
                                 .effort = MUCH,
                                 .run = worst,
                                 .to = pascal,
                                 .what = ducts_say(t->w, "a booster fan of %d Pa in %s", pascal,
                                                   m->runs[worst].name)});
}

static void offer_all(struct trial *t) {
    const struct ducts_model *m = t->w->model;
    if (t->w->mend != NULL)
        offer(t,
              (struct change){.kind = MEND, .effort = LITTLE, .run = -1, .what = t->w->mend_what});
    offer_gates(t);
    for (int r = 0; r < m->n_runs; r++) {
        if (m->runs[r].hole && m->runs[r].diameter > DUCTS_PINHOLE)
            offer(t, (struct change){.kind = SEAL,
                                     .effort = LITTLE,
                                     .run = r,
                                     .what = ducts_say(t->w, "seal the %s", m->runs[r].name)});
        for (int i = m->runs[r].first; i < m->runs[r].first + m->runs[r].n; i++) {
            if (m->items[i].kind == DUCTS_FLEX) offer_hose(t, r, i);
            if (m->items[i].kind == DUCTS_FILTER) offer_filter(t, r, i);
        }
    }
    offer_wider(t);
    offer_fans(t);
}

static void widen(struct ducts_model *m, const struct change *c) {
    for (int i = m->runs[c->run].first; i < m->runs[c->run].first + m->runs[c->run].n; i++) {
        m->items[i].diameter *= c->to;
        m->items[i].area *= c->to * c->to;
    }
}

static void mend(struct trial *t) {
    struct ducts_model *m = t->w->model;
    for (int i = 0; i < m->n_items; i++) {
        m->items[i].scale *= t->w->mend[i];
        if (m->items[i].law == LAW_FAN) m->curves[i].speed *= t->w->mend[i];
    }
}

static void speed_up(struct ducts_model *m, double percent) {
    for (int i = 0; i < m->n_items; i++) m->curves[i].speed *= 1 + percent / 100;
}

// False: the gates found no balance.
static bool make(struct trial *t, const struct change *c) {
    struct bw_err ignored = {.code = BW_OK};
    struct ducts_model *m = t->w->model;
    struct ducts_run *run = c->run < 0 ? NULL : &m->runs[c->run];
    switch (c->kind) {
    case SHUT:
    case OPEN: ducts_gate_set(m, c->run, c->to); break;
    case BALANCE: return ducts_settle(m, &ignored);
    case MEND: mend(t); break;
    case PULL:
    case HALVE: m->items[c->item].length = c->to; break;
    case CLEAN:
    case MEDIA: m->items[c->item].scale = c->to; break;
    case WIDEN: widen(m, c); break;
    case FASTER: speed_up(m, c->to); break;
    case BOOST:  // its largest flow twice what the port should have
        run->booster = (struct ducts_curve){.most_flow = 2 * run->minimum,
                                            .most_pressure = c->to,
                                            .speed = 1,
                                            .density = m->density / 1.2};
        break;
    case SEAL: m->items[run->first].factor *= 1e6; break;
    }
    return true;
}

static void undo(struct trial *t) {
    struct ducts_model *m = t->w->model;
    memcpy(m->items, t->items, (size_t)m->n_items * sizeof *m->items);
    memcpy(m->curves, t->curves, (size_t)m->n_items * sizeof *m->curves);
    memcpy(m->runs, t->runs, (size_t)m->n_runs * sizeof *m->runs);
    memcpy(m->flow, t->flow, (size_t)m->n_runs * sizeof *m->flow);
    memcpy(m->pressure, t->pressure, (size_t)m->n_nodes * sizeof *m->pressure);
}

// --- prices ------------------------------------------------------------------------------------

static double price_of(const struct trial *t, const struct change *c) {
    static const int PRICE[] = {[SHUT] = -1,
                                [OPEN] = -1,
                                [BALANCE] = -1,
                                [MEND] = PRICE_SEALING,
                                [PULL] = PRICE_HOSE,
                                [HALVE] = PRICE_HOSE,
                                [CLEAN] = PRICE_CLEANING,
                                [MEDIA] = PRICE_MEDIA,
                                [WIDEN] = PRICE_DUCT,
                                [FASTER] = PRICE_SHEAVE,
                                [BOOST] = PRICE_BOOSTER,
                                [SEAL] = PRICE_SEALING};
    if (PRICE[c->kind] < 0) return 0;
    double length = 0;
    for (int i = 0; c->kind == WIDEN && i < t->w->model->runs[c->run].n; i++)
        length += t->w->model->items[t->w->model->runs[c->run].first + i].length;
    for (size_t i = 0; i < t->w->in->prices.n; i++) {
        const struct ducts_price *price = (const struct ducts_price *)t->w->in->prices.items + i;
        if (price->of == PRICE[c->kind]) return price->amount.v * (c->kind == WIDEN ? length : 1);
    }
    return BW_NAN;
}

// --- trials ------------------------------------------------------------------------------------

static const char *everywhere(struct trial *t) {
    const struct ducts_model *m = t->w->model;
    const char *all = "";
    for (int i = 0; i < m->n_runs; i++) {
        if (!t->w->live[i] || !(m->runs[i].minimum > 0)) continue;
        all = ducts_say(t->w, "%s%s%s %.0f\u00a0%%", all, all[0] == '\0' ? "" : ", ",
                        m->runs[i].name, 100 * m->flow[i] / m->runs[i].minimum);
    }
    return all;
}

static const char *openings(struct trial *t) {
    const struct ducts_model *m = t->w->model;
    const char *all = "";
    for (int g = 0; g < m->n_gates; g++)
        if (ducts_takes_part(m, m->gates[g]))
            all = ducts_say(t->w, "%s%s%s %.0f\u00a0%%", all, all[0] == '\0' ? "" : ", ",
                            m->runs[m->gates[g]].name, 100 * m->runs[m->gates[g]].open);
    return all;
}

// Makes one or two changes, solves, undoes. What cannot be solved is no remedy: false.
static bool attempt(struct trial *t, const struct change *a, const struct change *b,
                    struct ducts_remedy_row *row) {
    struct ducts_work *w = t->w;
    struct bw_err ignored = {.code = BW_OK};
    bool with_first = t->first != NULL && a != t->first && b != t->first;
    double cost = price_of(t, a) + (b == NULL ? 0 : price_of(t, b)) +
                  (with_first ? price_of(t, t->first) : 0);
    bool last = b != NULL && a->kind == BALANCE;  // gates are set after all else is done
    bool made = (!with_first || make(t, t->first)) && make(t, last ? b : a) &&
                (b == NULL || make(t, last ? a : b));
    bool solved = made && ducts_solve(w->model, &ignored);
    bool set = a->kind == BALANCE || (b != NULL && b->kind == BALANCE);
    if (solved) {
        struct ducts_state after = ducts_state(w);
        double power = ducts_power(w->model);
        bool overload = power > t->rated && power > 1.001 * t->w->power;
        enum effort effort = b != NULL && b->effort > a->effort ? b->effort : a->effort;
        *row = (struct ducts_remedy_row){
            .what = b == NULL ? a->what
                              : ducts_say(w, "%s, and %s", last ? b->what : a->what,
                                          last ? a->what : b->what),
            .effort = EFFORTS[effort],
            .caution = a->caution,
            .caution_too = b == NULL || b->caution == a->caution ? NULL : b->caution,
            .worst = after.worst < 0 ? NULL : w->model->runs[after.worst].name,
            .slowest = after.slowest < 0 ? NULL : w->model->runs[after.slowest].name,
            .share = bw_exactly(after.share),
            .before = bw_exactly(t->before.share),
            .velocity = bw_exactly(after.slowest < 0 ? 0 : after.velocity),
            .motor = bw_exactly(power),
            .overload = overload,
            .cost = w->in->prices.n > 0 ? bw_exactly(cost) : BW_UNKNOWN,
            .works = !(after.share < 1) && after.velocity >= w->out->transport.v && !overload,
            .everywhere = everywhere(t),
            .gates = set ? openings(t) : NULL};
    }
    undo(t);
    return solved;
}

static bool helps(const struct trial *t, const struct ducts_remedy_row *row) {
    return row->works || row->share.v > t->before.share * 1.01 ||
           (row->share.v >= 1 && row->velocity.v > t->before.velocity * 1.01);
}

static int weight(const struct change *a, const struct change *b) {
    return WEIGHT[a->effort] + (b == NULL ? 0 : WEIGHT[b->effort]);
}

static void keep(struct trial *t, const struct ducts_remedy_row *row, int rank) {
    if (t->n == MOST_ROWS) return;
    t->rows[t->n] = *row;
    t->rank[t->n++] = rank;
}

// Of several strengths of one change only the first that works is told, else the strongest that
// overloads nothing, else the weakest.
static bool is_ladder(enum change_kind kind) { return kind == FASTER || kind == BOOST; }

static size_t rung(const struct trial *t, size_t begin, size_t end) {
    size_t best = begin;
    for (size_t i = begin; i < end; i++) {
        if (t->singles[i].works) return i;
        if (!t->singles[i].overload) best = i;
    }
    return best;
}

static void keep_singles(struct trial *t) {
    for (size_t i = 0; i < t->n_changes;) {
        size_t end = i + 1;
        while (end < t->n_changes && is_ladder(t->changes[i].kind) &&
               t->changes[end].kind == t->changes[i].kind)
            end++;
        size_t chosen = rung(t, i, end);
        if (helps(t, &t->singles[chosen]))
            keep(t, &t->singles[chosen], weight(&t->changes[chosen], NULL));
        i = end;
    }
}

static bool may_pair(const struct change *a, const struct change *b) {
    if (a->kind == OPEN && b->kind == BALANCE) return false;
    if (a->kind == b->kind && is_ladder(a->kind)) return false;
    return a->run != b->run || (a->item != b->item && a->kind != b->kind);
}

// Two at a time, where that is less work than the best that works alone.
static void keep_pairs(struct trial *t) {
    int bar = 2 * WEIGHT[MUCH];
    for (size_t i = 0; i < t->n; i++)
        if (t->rows[i].works && t->rank[i] < bar) bar = t->rank[i];
    size_t list[MOST_PAIRED], n = 0;
    for (size_t i = 0; i < t->n_changes && n < MOST_PAIRED; i++)
        if (&t->changes[i] != t->first && !t->singles[i].works && !t->singles[i].overload &&
            (t->changes[i].kind == SHUT || helps(t, &t->singles[i])))
            list[n++] = i;
    for (size_t i = 0; i < n; i++)
        for (size_t k = i + 1; k < n; k++) {
            const struct change *a = &t->changes[list[i]], *b = &t->changes[list[k]];
            struct ducts_remedy_row row;
            if (weight(a, b) >= bar || !may_pair(a, b) || !attempt(t, a, b, &row)) continue;
            if (!row.works) continue;
            keep(t, &row, weight(a, b));
            // The next rungs of a ladder are not needed.
            while (is_ladder(b->kind) && k + 1 < n && t->changes[list[k + 1]].kind == b->kind) k++;
        }
}

static double order_of(const struct trial *t, size_t i) {
    double cost = t->rows[i].cost.v;
    return (t->rows[i].works ? 0 : 1e9) + (isnan(cost) ? 1e6 + t->rank[i] : cost);
}

static void sort(struct trial *t) {  // by insertion: ties go to the larger share
    for (size_t i = 1; i < t->n; i++)
        for (size_t k = i; k > 0; k--) {
            double before = order_of(t, k - 1), here = order_of(t, k);
            if (before < here || (!(before > here) && t->rows[k - 1].share.v >= t->rows[k].share.v))
                break;
            struct ducts_remedy_row row = t->rows[k];
            int rank = t->rank[k];
            t->rows[k] = t->rows[k - 1];
            t->rank[k] = t->rank[k - 1];
            t->rows[k - 1] = row;
            t->rank[k - 1] = rank;
        }
}

static bool begin(struct trial *t) {
    struct ducts_work *w = t->w;
    const struct ducts_model *m = w->model;
    size_t items = (size_t)m->n_items, runs = (size_t)m->n_runs, nodes = (size_t)m->n_nodes;
    t->items = ducts_array(w, items, sizeof *t->items);
    t->curves = ducts_array(w, items, sizeof *t->curves);
    t->runs = ducts_array(w, runs, sizeof *t->runs);
    t->flow = ducts_array(w, runs, sizeof *t->flow);
    t->pressure = ducts_array(w, nodes, sizeof *t->pressure);
    t->changes = ducts_array(w, MOST_CHANGES, sizeof *t->changes);
    t->singles = ducts_array(w, MOST_CHANGES, sizeof *t->singles);
    t->rows = ducts_array(w, MOST_ROWS, sizeof *t->rows);
    t->rank = ducts_array(w, MOST_ROWS, sizeof *t->rank);
    if (w->failed) return false;
    memcpy(t->items, m->items, items * sizeof *m->items);
    memcpy(t->curves, m->curves, items * sizeof *m->curves);
    memcpy(t->runs, m->runs, runs * sizeof *m->runs);
    memcpy(t->flow, m->flow, runs * sizeof *m->flow);
    memcpy(t->pressure, m->pressure, nodes * sizeof *m->pressure);
    t->rated = 0;
    for (int i = 0; i < m->n_items; i++)
        if (m->items[i].law == LAW_FAN) t->rated += m->fans[i]->motor.v;  // NaN if any is unknown
    return true;
}

// The change that takes back what the readings found.
static const struct change *first_of(const struct trial *t) {
    if (t->w->out->suspects.n == 0) return NULL;
    const struct ducts_suspect_row *found = t->w->out->suspects.items;
    enum change_kind kind = bw_known(found->hole) ? SEAL : t->w->mend == NULL ? CLEAN : MEND;
    for (size_t i = 0; i < t->n_changes; i++)
        if (t->changes[i].kind == kind) return &t->changes[i];
    return NULL;
}

bool ducts_remedies(struct ducts_work *w, struct bw_err *err) {
    struct trial t = {.w = w, .before = ducts_state(w)};
    bool well = !(t.before.share < 1) && t.before.velocity >= w->out->transport.v;
    if (well || t.before.worst < 0) return true;
    if (!begin(&t)) return bw_fail_memory(err);
    offer_all(&t);
    t.first = first_of(&t);
    w->out->first = t.first == NULL ? NULL : t.first->what;
    for (size_t i = 0; i < t.n_changes; i++)
        if (!attempt(&t, &t.changes[i], NULL, &t.singles[i]))
            t.singles[i] = (struct ducts_remedy_row){.share = bw_exactly(0), .overload = true};
    keep_singles(&t);
    keep_pairs(&t);
    (void)ducts_state(w);
    sort(&t);
    w->out->remedies = (struct bw_list){t.rows, t.n};
    return w->failed ? bw_fail_memory(err) : true;
}
