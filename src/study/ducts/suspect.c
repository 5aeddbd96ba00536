// suspect.c - which element disagrees with what was measured, and the model set to the readings.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Suspects: one fault at a time. For every hood, duct, shut gate, filter, fan, and a hole at every
// point, the factor on it is sought that brings the computed readings closest to the measured ones
// (a coarse grid, then golden section, on its logarithm; the misfit is the squared distance in the
// joint ± of readings and model). An element is a suspect if chance explains what its
// factor leaves, but not what stands without it. Two faults at once are not looked for: what one
// cannot explain is told as such, and nothing is calibrated then.
//
// Calibration: the most likely losses given their spread and the readings, by Gauss and Newton with
// slopes by differences (Tarantola 2005, section 3.2); its gain also narrows the ± (doubt.c).
#include "study/ducts/part.h"

#include <math.h>
#include <string.h>

enum element_kind { HOOD, DUCT, GATE, FILTER, FAN, HOLE };

struct element {
    enum element_kind kind;
    int run, item;
    double low, high;  // of the logarithm of its factor; HOLE: of its area, m2
};
struct search {
    struct ducts_work *w;
    double *scale, *kept;  // of each item as it is: scale; area, or a fan's speed
    const double *root;
    struct element *elements;
    size_t n;
};

// --- readings ----------------------------------------------------------------------------------

double ducts_predict(const struct ducts_model *m, const struct ducts_reading *reading) {
    const struct ducts_run *run = &m->runs[reading->run];
    double q = m->flow[reading->run];
    if (!reading->pressure) return q;
    if (run->filter >= 0) return ducts_item_loss(m, run->filter, q).loss;
    const struct ducts_item *first = &m->items[run->first];
    double pv = m->density / 2 * pow(q / first->area, 2);
    if (first->kind == DUCTS_HOOD && run->from < 2) return (1 + first->factor * first->scale) * pv;
    return pv - m->pressure[run->from];
}

static bool add_reading(struct ducts_work *w, const struct ducts_measured *given, bool pressure,
                        struct bw_err *err) {
    int run = ducts_run_find(w->model, given->at);
    if (run < 0) {
        bw_fail(err, BW_INPUT, "no line has this name");
        bw_err_value(err, given->at);
        bw_err_mend(err, "name a line of the network file");
        return false;
    }
    // A field traverse is worth 5 %, a tap 3 % (common practice) unless its ± is given.
    struct bw_quantity q = pressure ? given->suction : given->flow;
    double sd = bw_sd_known(q) ? q.sd : (pressure ? 0.03 : 0.05) * q.v;
    w->readings[w->n_readings++] = (struct ducts_reading){run, pressure, q.v, sd};
    return true;
}

static bool read_all(struct ducts_work *w, struct bw_err *err) {
    for (int pressure = 0; pressure < 2; pressure++) {
        const struct bw_list *list = pressure ? &w->in->suctions : &w->in->measured;
        for (size_t i = 0; i < list->n; i++) {
            const struct ducts_measured *given = (const struct ducts_measured *)list->items + i;
            if (add_reading(w, given, pressure != 0, err)) continue;
            bw_err_within_index(err, pressure ? "suctions" : "measured", i);
            return false;
        }
    }
    return true;
}

// --- misfit ------------------------------------------------------------------------------------

// Squared length of what is off, in units of the joint ± of readings and model (`root`, the lower
// triangle of its Cholesky factor): losses that move all readings together do so at little cost.
// What cannot be solved fits nothing.
static double misfit(const struct ducts_work *w, const double *root) {
    struct bw_err ignored = {.code = BW_OK};
    size_t n = w->n_readings;
    if (!ducts_solve(w->model, &ignored)) return 1e12;
    double sum = 0;
    for (size_t i = 0; i < n; i++) {
        double off = w->readings[i].value - ducts_predict(w->model, &w->readings[i]);
        for (size_t j = 0; j < i; j++) off -= root[i * n + j] * w->off[j];
        w->off[i] = off / root[i * n + i];
        sum += w->off[i] * w->off[i];
    }
    return sum;
}

// Model spread of each reading, by differences in each item's loss.
static bool find_slopes(struct ducts_work *w, double *slope) {
    struct ducts_model *m = w->model;
    const double h = 0.05;
    struct bw_err ignored = {.code = BW_OK};
    for (size_t k = 0; k < w->n_readings; k++) w->off[k] = ducts_predict(m, &w->readings[k]);
    for (int i = 0; i < m->n_items; i++) {
        if (!(m->items[i].spread > 0)) continue;
        double scale = m->items[i].scale;
        m->items[i].scale = scale * exp(h);
        bool solved = ducts_solve(m, &ignored);
        for (size_t k = 0; k < w->n_readings && solved; k++)
            slope[(size_t)i * w->n_readings + k] =
                (ducts_predict(m, &w->readings[k]) - w->off[k]) / h;
        m->items[i].scale = scale;
        if (!solved) return false;
    }
    return ducts_solve(m, &ignored);
}

// a = L L' in place, lower triangle; rows of n.
static void cholesky(double *a, size_t n) {
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k <= i; k++) {
            double sum = a[i * n + k];
            for (size_t j = 0; j < k; j++) sum -= a[i * n + j] * a[k * n + j];
            a[i * n + k] = i == k ? sqrt(sum) : sum / a[k * n + k];
        }
}

// J S J' + R as its Cholesky factor: S the squared spreads of the losses, R of the readings.
static void find_root(const struct ducts_work *w, const double *slope, double *root) {
    size_t n = w->n_readings, items = (size_t)w->model->n_items;
    for (size_t a = 0; a < n; a++)
        for (size_t b = 0; b < n; b++) {
            double sum = a == b ? pow(w->readings[a].sd, 2) : 0;
            for (size_t i = 0; i < items; i++)
                sum += pow(w->model->items[i].spread, 2) * slope[i * n + a] * slope[i * n + b];
            root[a * n + b] = sum;
        }
    cholesky(root, n);
}

// --- elements ----------------------------------------------------------------------------------

static bool is_way(const struct ducts_model *m, const struct ducts_run *run, int i) {
    enum ducts_kind kind = m->items[i].kind;
    if (i == run->gate && run->open <= DUCTS_SHUT) return false;
    return kind != DUCTS_HOOD && kind != DUCTS_FILTER && kind != DUCTS_FAN && kind != DUCTS_EXIT;
}

static void add_element(struct search *s, enum element_kind kind, int run, int item) {
    // A twentieth: what came off; four hundred times: a plug. A shut gate may be wide open.
    static const double LOW[] = {
        [HOOD] = -3, [DUCT] = -3, [GATE] = -11, [FILTER] = -3, [FAN] = -1.2, [HOLE] = -13.8};
    static const double HIGH[] = {
        [HOOD] = 6, [DUCT] = 6, [GATE] = 0, [FILTER] = 4, [FAN] = 0.3, [HOLE] = -3};
    s->elements[s->n++] = (struct element){kind, run, item, LOW[kind], HIGH[kind]};
}

static void add_elements(struct search *s) {
    const struct ducts_model *m = s->w->model;
    for (int r = 0; r < m->n_runs; r++) {
        const struct ducts_run *run = &m->runs[r];
        bool way = false;
        if (run->hole) {
            if (run->diameter <= DUCTS_PINHOLE) add_element(s, HOLE, r, run->first);
            continue;
        }
        for (int i = run->first; i < run->first + run->n; i++) {
            enum ducts_kind kind = m->items[i].kind;
            if (kind == DUCTS_HOOD && run->from < 2) add_element(s, HOOD, r, i);
            if (kind == DUCTS_FILTER) add_element(s, FILTER, r, i);
            if (kind == DUCTS_FAN) add_element(s, FAN, r, i);
            if (i == run->gate && run->open <= DUCTS_SHUT) add_element(s, GATE, r, i);
            way = way || is_way(m, run, i);
        }
        if (way) add_element(s, DUCT, r, -1);
    }
}

static void set_element(const struct search *s, const struct element *e, double x) {
    struct ducts_model *m = s->w->model;
    const struct ducts_run *run = &m->runs[e->run];
    if (e->kind == HOLE) {
        m->items[e->item].area = exp(x);
    } else if (e->kind == FAN) {
        m->curves[e->item].speed = s->kept[e->item] * exp(x);
    } else if (e->item >= 0) {
        m->items[e->item].scale = s->scale[e->item] * exp(x);
    } else {
        for (int i = run->first; i < run->first + run->n; i++)
            if (is_way(m, run, i)) m->items[i].scale = s->scale[i] * exp(x);
    }
}

// Leaves no trace.
static void restore(const struct search *s, const struct element *e) {
    set_element(s, e, e->kind == HOLE ? log(s->kept[e->item]) : 0);
}

static double misfit_with(const struct search *s, const struct element *e, double x) {
    set_element(s, e, x);
    double value = misfit(s->w, s->root);
    restore(s, e);
    return value;
}

#define GOLDEN 0.6180339887498949
#define COARSE 12

static double best_of(const struct search *s, const struct element *e, double *left) {
    double pitch = (e->high - e->low) / COARSE, best = e->low, least = (double)INFINITY;
    for (int i = 0; i <= COARSE; i++) {
        double value = misfit_with(s, e, e->low + i * pitch);
        if (value >= least) continue;
        least = value;
        best = e->low + i * pitch;
    }
    double low = fmax(best - pitch, e->low), high = fmin(best + pitch, e->high);
    double a = high - GOLDEN * (high - low), b = low + GOLDEN * (high - low);
    double at_a = misfit_with(s, e, a), at_b = misfit_with(s, e, b);
    for (int i = 0; i < 24; i++) {
        if (at_a < at_b) {
            high = b;
            b = a;
            at_b = at_a;
            at_a = misfit_with(s, e, a = high - GOLDEN * (high - low));
        } else {
            low = a;
            a = b;
            at_a = at_b;
            at_b = misfit_with(s, e, b = low + GOLDEN * (high - low));
        }
    }
    *left = fmin(at_a, at_b);
    return (low + high) / 2;
}

// Standard deviation of the logarithm, from how fast the misfit rises about its least.
static double sd_of(const struct search *s, const struct element *e, double x, double least) {
    const double h = 0.1;
    double rise = (misfit_with(s, e, x + h) + misfit_with(s, e, x - h)) / 2 - least;
    return rise > 1e-6 ? h / sqrt(rise) : BW_NAN;
}

static const char *meaning(enum element_kind kind, bool more) {
    static const char *const LESS[] = {
        [HOOD] = "its hose has come off the port, or the hood stands open",
        [DUCT] = "loses less than it should: a hose torn open or off, near the port",
        [GATE] = "its gate does not shut: it lets air by",
        [FILTER] = "lets air by too easily: media torn, or not seated",
        [FAN] = "weaker than its plate says: belt slips, wheel caked, or turning backwards",
        [HOLE] = "air is drawn in there: a hose off, a clean-out open, a torn joint"};
    static const char *const MORE[] = {
        [HOOD] = "the port or hood is blocked",
        [DUCT] = "plugged or crushed on the way, or its gate half shut",
        [GATE] = "shuts tighter than its plate says",
        [FILTER] = "the filter is blinded, or its cleaning has stopped",
        [FAN] = "faster than its plate says: another sheave, another frequency",
        [HOLE] = "air is drawn in there: a hose off, a clean-out open, a torn joint"};
    return more ? MORE[kind] : LESS[kind];
}

static const char *const ELEMENT[] = {[HOOD] = "hood",     [DUCT] = "duct", [GATE] = "gate",
                                      [FILTER] = "filter", [FAN] = "fan",   [HOLE] = "hole"};

// Chance exceeds n + 3 sqrt(2 n) about once in a few hundred.
static double chance(size_t n) { return (double)n + 3 * sqrt(2 * (double)n); }

static struct ducts_suspect_row row_of(const struct search *s, const struct element *e, double x,
                                       double left) {
    double sd = sd_of(s, e, x, left), v = exp(x);
    struct ducts_suspect_row row = {.line = s->w->model->runs[e->run].name,
                                    .element = ELEMENT[e->kind],
                                    .text = meaning(e->kind, x > 0),
                                    .factor = BW_UNKNOWN,
                                    .hole = BW_UNKNOWN,
                                    .misfit = bw_exactly(left),
                                    .chance = BW_UNKNOWN};
    if (e->kind == HOLE) {
        double diameter = sqrt(4 * v / M_PI);
        row.hole = (struct bw_quantity){diameter, diameter * sd / 2, -1};
    } else {
        row.factor = (struct bw_quantity){v, v * sd, -1};
    }
    return row;
}

#define MOST_SUSPECTS 6
#define MUCH_WORSE 6  // of misfit: odds of one in twenty against the best

// Large faults are rarer than small ones (common practice, no source): a factor of e^2 either way
// counts as one standard deviation. It parts what readings alone cannot: a crushed hose from a
// trunk plugged almost shut.
static double rarity(const struct element *e, double x) {
    return e->kind == HOLE || e->kind == GATE ? 0 : pow(x / 2, 2);
}

static void keep_row(struct ducts_suspect_row *rows, double *score, size_t *n,
                     struct ducts_suspect_row row, double its) {
    size_t k = *n < MOST_SUSPECTS ? (*n)++ : MOST_SUSPECTS;
    for (; k > 0 && score[k - 1] > its; k--) {
        if (k == MOST_SUSPECTS) continue;
        rows[k] = rows[k - 1];
        score[k] = score[k - 1];
    }
    if (k == MOST_SUSPECTS) return;
    rows[k] = row;
    score[k] = its;
}

static size_t search_all(struct search *s, struct ducts_suspect_row *rows, size_t *best) {
    double score[MOST_SUSPECTS], least = (double)INFINITY, all = 0;
    size_t n = 0;
    for (size_t i = 0; i < s->n; i++) {
        double left, x = best_of(s, &s->elements[i], &left);
        if (left > chance(s->w->n_readings)) continue;
        double its = left + rarity(&s->elements[i], x);
        if (its < least) {
            least = its;
            *best = i;
        }
        keep_row(rows, score, &n, row_of(s, &s->elements[i], x, left), its);
    }
    while (n > 0 && score[n - 1] > least + MUCH_WORSE) n--;
    for (size_t i = 0; i < n; i++) all += exp((least - score[i]) / 2);
    for (size_t i = 0; i < n; i++) rows[i].chance = bw_exactly(exp((least - score[i]) / 2) / all);
    return n;
}

static bool begin(struct search *s) {
    struct ducts_work *w = s->w;
    const struct ducts_model *m = w->model;
    size_t items = (size_t)m->n_items;
    s->scale = ducts_array(w, items, sizeof *s->scale);
    s->kept = ducts_array(w, items, sizeof *s->kept);
    s->elements = ducts_array(w, 2 * items + 4 * (size_t)m->n_runs, sizeof *s->elements);
    if (w->failed) return false;
    for (int i = 0; i < m->n_items; i++) {
        s->scale[i] = m->items[i].scale;
        s->kept[i] = m->items[i].law == LAW_FAN ? m->curves[i].speed : m->items[i].area;
    }
    add_elements(s);
    return true;
}

// So that the mend can be tried among the remedies; sealing a hole and cleaning a filter are there
// anyway.
static bool tell_mend(struct search *s, const struct element *e, double x) {
    static const char *const WHAT[] = {[HOOD] = "the hood or port of",
                                       [DUCT] = "the duct of",
                                       [GATE] = "the gate of",
                                       [FILTER] = "the filter in",
                                       [FAN] = "the fan in"};
    struct ducts_work *w = s->w;
    const struct ducts_run *run = &w->model->runs[e->run];
    if (e->kind == HOLE || (e->kind == FILTER && x > 0)) return true;
    w->mend = ducts_array(w, (size_t)w->model->n_items, sizeof *w->mend);
    if (w->failed) return false;
    for (int i = 0; i < w->model->n_items; i++) {
        bool this = i == e->item || (e->item < 0 && i >= run->first && i < run->first + run->n &&
                                     is_way(w->model, run, i));
        w->mend[i] = this ? exp(-x) : 1;
    }
    w->mend_what = ducts_say(w, "%s %s put right", WHAT[e->kind], run->name);
    return !w->failed;
}

static bool find_suspects(struct ducts_work *w, const double *root, struct bw_err *err) {
    struct search s = {.w = w, .root = root};
    struct ducts_suspect_row *rows = ducts_array(w, MOST_SUSPECTS, sizeof *rows);
    if (!begin(&s)) return bw_fail_memory(err);
    size_t best = 0, n = search_all(&s, rows, &best);
    w->out->suspects = (struct bw_list){rows, n};
    if (n == 0) return ducts_solve(w->model, err);
    const struct element *e = &s.elements[best];
    double x = log(e->kind == HOLE ? M_PI / 4 * pow(rows[0].hole.v, 2) : rows[0].factor.v);
    if (!tell_mend(&s, e, x)) return bw_fail_memory(err);
    set_element(&s, e, x);
    if (e->kind == HOLE) w->model->runs[e->run].diameter = rows[0].hole.v;
    double sd = e->kind == HOLE ? 4 * rows[0].hole.sd / rows[0].hole.v
                                : rows[0].factor.sd / rows[0].factor.v;
    // The factor is itself uncertain; what it stands on now varies that much as well.
    const struct ducts_run *run = &w->model->runs[e->run];
    for (int i = run->first; i < run->first + run->n && sd > 0; i++)
        if (i == e->item || (e->item < 0 && is_way(w->model, run, i)))
            w->model->items[i].spread = fmin(hypot(w->model->items[i].spread, sd), 1);
    return ducts_solve(w->model, err);
}

// --- calibration -------------------------------------------------------------------------------

static void solve_with(const double *l, size_t n, double *x) {
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < i; j++) x[i] -= l[i * n + j] * x[j];
        x[i] /= l[i * n + i];
    }
    for (size_t i = n; i-- > 0;) {
        for (size_t j = i + 1; j < n; j++) x[i] -= l[j * n + i] * x[j];
        x[i] /= l[i * n + i];
    }
}

// gain = S J' (J S J' + R)^-1
static void find_gain(const struct ducts_work *w, const double *slope, const double *root,
                      double *gain) {
    size_t n = w->n_readings;
    for (size_t i = 0; i < (size_t)w->model->n_items; i++) {
        for (size_t k = 0; k < n; k++)
            gain[i * n + k] = pow(w->model->items[i].spread, 2) * slope[i * n + k];
        solve_with(root, n, gain + i * n);
    }
}

#define PASSES 4

static bool calibrate(struct ducts_work *w, struct bw_err *err) {
    struct ducts_model *m = w->model;
    size_t n = w->n_readings, items = (size_t)m->n_items;
    double *slope = ducts_array(w, n * items, sizeof *slope);
    double *root = ducts_array(w, n * n, sizeof *root);
    double *gain = ducts_array(w, n * items, sizeof *gain);
    double *x = ducts_array(w, items, sizeof *x), *base = ducts_array(w, items, sizeof *base);
    if (w->failed) return bw_fail_memory(err);
    if (!find_slopes(w, slope)) return bw_fail(err, BW_FAILED, "the readings fit no flow");
    find_root(w, slope, root);
    find_gain(w, slope, root, gain);
    for (size_t i = 0; i < items; i++) base[i] = m->items[i].scale;
    for (int pass = 0; pass < PASSES; pass++) {
        for (size_t k = 0; k < n; k++) {
            w->off[k] = w->readings[k].value - ducts_predict(m, &w->readings[k]);
            for (size_t i = 0; i < items; i++) w->off[k] += slope[i * n + k] * x[i];
        }
        for (size_t i = 0; i < items; i++) {
            x[i] = 0;
            for (size_t k = 0; k < n; k++) x[i] += gain[i * n + k] * w->off[k];
            m->items[i].scale = base[i] * exp(fmin(fmax(x[i], -3), 3));
        }
        if (!ducts_solve(m, err)) return false;
    }
    w->gain = gain;
    return true;
}

bool ducts_suspects(struct ducts_work *w, struct bw_err *err) {
    size_t most = w->in->measured.n + w->in->suctions.n;
    if (most == 0) return true;
    w->readings = ducts_array(w, most, sizeof *w->readings);
    w->off = ducts_array(w, most, sizeof *w->off);
    double *slope = ducts_array(w, most * (size_t)w->model->n_items, sizeof *slope);
    double *root = ducts_array(w, most * most, sizeof *root);
    if (w->failed) return bw_fail_memory(err);
    if (!read_all(w, err)) return false;
    if (!find_slopes(w, slope)) return bw_fail(err, BW_FAILED, "the system cannot be solved");
    find_root(w, slope, root);
    double whole = misfit(w, root);
    w->out->misfit = bw_exactly(whole);
    w->out->expected = bw_exactly(chance(w->n_readings));
    w->out->calibrated = true;
    if (whole > chance(w->n_readings)) {
        if (!find_suspects(w, root, err)) return false;
        w->out->calibrated = w->out->suspects.n > 0;
    }
    return !w->out->calibrated || calibrate(w, err);
}
