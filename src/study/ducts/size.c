// size.c - a new system from the flows it must give: diameters, gates that balance it, the fan.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Each duct takes the largest size in which its design flow still goes at the velocity that carries
// dust (the velocity-pressure method as it is taught; sizes as sold, common practice). With the
// flows fixed, the suction each point needs follows from the hoods towards the fan: at a point the
// hungriest line rules. What the last point needs is the fan's duty; what the other ways then have
// too much of is taken up by the gates of their ports. It is then put to the proof: the system is
// solved with a fan whose curve passes through that duty. Loops have no flow before they are
// solved, so their lines must have diameters.
#include "study/ducts/part.h"

#include <math.h>
#include <strings.h>

#define IN_HAND 1.05   // design flow over least flow (common practice, no source)
#define SHUT_OFF 1.35  // a fan's largest pressure over its pressure at the duty (common practice)

// --- sizes as sold ---------------------------------------------------------------------------

static const double METRIC[] = {0.063, 0.08,  0.1,  0.112, 0.125, 0.14,  0.15,  0.16, 0.18,
                                0.2,   0.224, 0.25, 0.28,  0.3,   0.315, 0.355, 0.4,  0.45,
                                0.5,   0.56,  0.63, 0.71,  0.8,   0.9,   1.0};
static const double INCHES[] = {2.5, 3,  4,  5,  6,  7,  8,  9,  10, 11, 12,
                                14,  16, 18, 20, 22, 24, 28, 32, 36, 40};
#define IN 0.0254

static int sizes_of(const struct ducts_file *file, double sizes[32]) {
    bool inches = file->sizes == SIZES_INCHES;
    int n =
        inches ? (int)(sizeof INCHES / sizeof INCHES[0]) : (int)(sizeof METRIC / sizeof METRIC[0]);
    for (int i = 0; i < n; i++) sizes[i] = inches ? INCHES[i] * IN : METRIC[i];
    return n;
}

double ducts_next_size(const struct ducts_file *file, double diameter) {
    double sizes[32];
    int n = sizes_of(file, sizes);
    for (int i = 0; i < n; i++)
        if (sizes[i] > diameter * 1.05) return sizes[i];
    return diameter * 1.2;
}

double ducts_size_below(const struct ducts_file *file, double most) {
    double sizes[32], best;
    int n = sizes_of(file, sizes);
    best = sizes[0];
    for (int i = 0; i < n; i++)
        if (sizes[i] <= most * (1 + 1e-9)) best = sizes[i];
    return best;
}

// --- diameters ---------------------------------------------------------------------------------

struct sizing {
    const struct ducts_line *lines;
    int n;
    double *flow;  // NaN: not known yet
};

static bool is_air(const char *point) {
    return strcasecmp(point, "room") == 0 || strcasecmp(point, "outdoors") == 0;
}

// Flow of a line: its own from the room, else all that ends where it begins, if it alone leads on.
static double flow_of(const struct sizing *s, int at) {
    const struct ducts_line *line = &s->lines[at];
    if (is_air(line->from)) return line->minimum.v * IN_HAND;
    double sum = 0;
    for (int i = 0; i < s->n; i++) {
        if (i != at && strcasecmp(s->lines[i].from, line->from) == 0) return BW_NAN;
        if (strcasecmp(s->lines[i].to, line->from) == 0) sum += s->flow[i];
    }
    return sum;
}

static void find_flows(struct sizing *s) {
    for (int i = 0; i < s->n; i++) s->flow[i] = BW_NAN;
    for (bool changed = true; changed;) {
        changed = false;
        for (int i = 0; i < s->n; i++) {
            if (!isnan(s->flow[i])) continue;
            s->flow[i] = flow_of(s, i);
            changed = changed || !isnan(s->flow[i]);
        }
    }
}

bool ducts_size_lines(struct bw_arena *arena, const struct ducts_file *file, struct bw_list *lines,
                      struct bw_err *err) {
    size_t n = lines->n, missing = 0;
    const struct ducts_line *given = lines->items;
    for (size_t i = 0; i < n; i++) missing += !bw_known(given[i].diameter);
    if (missing == 0) return true;
    struct ducts_line *made = bw_arena_array(arena, n, sizeof *made);
    struct sizing s = {given, (int)n, bw_arena_array(arena, n, sizeof *s.flow)};
    if (made == NULL || s.flow == NULL) return bw_fail_memory(err);
    find_flows(&s);
    for (size_t i = 0; i < n; i++) {
        made[i] = given[i];
        if (bw_known(given[i].diameter)) continue;
        if (isnan(s.flow[i])) {
            bw_fail(err, BW_INPUT, "this line has no diameter, and no flow to size it by");
            bw_err_value(err, given[i].name);
            bw_err_mend(err, "give its diameter, or the least flow of every port it serves");
            bw_err_within_index(err, file->branches.n > 0 ? "branches" : "lines",
                                file->branches.n > 0 ? i / 2 : i);
            return false;
        }
        double most = sqrt(4 * s.flow[i] / (M_PI * file->transport.v));
        made[i].diameter = bw_exactly(ducts_size_below(file, most));
        made[i].sized = true;
    }
    lines->items = made;
    return true;
}

// --- the fan -----------------------------------------------------------------------------------

// IEC 60072 ratings, W (from memory).
static double motor_above(double power) {
    static const double KW[] = {0.37, 0.55, 0.75, 1.1, 1.5, 2.2, 3,  4,  5.5, 7.5, 11, 15,
                                18.5, 22,   30,   37,  45,  55,  75, 90, 110, 132, 160};
    for (size_t i = 0; i < sizeof KW / sizeof KW[0]; i++)
        if (1e3 * KW[i] >= power) return 1e3 * KW[i];
    return power;
}

double ducts_gate_opening(const struct ducts_model *m, double loss) {
    double low = 0.002, high = 1;
    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2;
        if (bw_gate_loss(&m->fittings, middle) > loss)
            low = middle;
        else
            high = middle;
    }
    return high;
}

// Suction that line i needs at its end, given what its beginning needs.
static double need_of(const struct ducts_model *m, int i, const double *need) {
    const struct ducts_run *run = &m->runs[i];
    double other = run->wye < 0 ? 0 : m->flow[m->wyes[run->wye].out];
    double start = run->from < 2 ? 0 : need[run->from];
    return start + ducts_line_loss(m, i, m->flow[i], other).loss;
}

// Design flows into m->flow. False: a port has no least flow.
static bool find_design(struct ducts_model *m) {
    for (int i = 0; i < m->n_runs; i++) {
        const struct ducts_run *run = &m->runs[i];
        m->flow[i] = run->from >= 2 ? BW_NAN : run->hole ? 0 : run->minimum * IN_HAND;
    }
    for (int round = 0; round < m->n_runs; round++)
        for (int i = 0; i < m->n_runs; i++) {
            double sum = 0;
            for (int k = 0; k < m->n_runs; k++)
                if (m->runs[k].to == m->runs[i].from) sum += m->flow[k];
            if (m->runs[i].from >= 2) m->flow[i] = sum;
        }
    for (int i = 0; i < m->n_runs; i++)
        if (isnan(m->flow[i])) return false;
    return true;
}

// Suction that each point needs so that the hungriest line that ends there gets its flow.
static void find_needs(const struct ducts_model *m, double *need) {
    for (int i = 0; i < m->n_nodes; i++) need[i] = i < 2 ? 0 : BW_NAN;
    for (int round = 0; round < m->n_runs; round++)
        for (int node = 2; node < m->n_nodes; node++) {
            double most = -(double)INFINITY;
            for (int k = 0; k < m->n_runs; k++)
                if (m->runs[k].to == node && !m->runs[k].hole)
                    most = fmax(most, need_of(m, k, need));
            need[node] = most;
        }
}

static void throttle(struct ducts_model *m, int r, double surplus) {
    const struct ducts_run *run = &m->runs[r];
    const struct ducts_item *gate = &m->items[run->gate];
    double pv = m->density / 2 * pow(m->flow[r] / gate->area, 2);
    double loss = bw_gate_loss(&m->fittings, 1) + surplus / pv;
    ducts_gate_set(m, r, surplus > 0 ? ducts_gate_opening(m, loss) : 1);
}

// What a port's way has too much of is taken up by the gate in its own line. What is there at a
// point is the fan's pressure less all losses from there on.
static bool take_up(struct ducts_work *w, double pressure, const double *need) {
    struct ducts_model *m = w->model;
    double *there = ducts_array(w, (size_t)m->n_nodes, sizeof *there);
    if (w->failed) return false;
    for (int i = 0; i < m->n_nodes; i++) there[i] = i < 2 ? pressure : BW_NAN;
    for (int round = 0; round < m->n_runs; round++)
        for (int i = 0; i < m->n_runs; i++) {
            if (m->runs[i].from < 2) continue;
            double loss = need_of(m, i, need) - need[m->runs[i].from];
            there[m->runs[i].from] = there[m->runs[i].to] - loss;
        }
    for (int g = 0; g < m->n_gates; g++) {
        int r = m->gates[g];
        if (m->runs[r].from < 2) throttle(m, r, there[m->runs[r].to] - need_of(m, r, need));
    }
    return true;
}

bool ducts_size_fan(struct ducts_work *w, struct bw_err *err) {
    struct ducts_model *m = w->model;
    int fan = -1, out = -1;
    for (int i = 0; i < m->n_items; i++)
        if (m->items[i].law == LAW_FAN) fan = i;
    for (int i = 0; i < m->n_runs; i++)
        if (m->runs[i].first <= fan && fan < m->runs[i].first + m->runs[i].n) out = i;
    double *need = ducts_array(w, (size_t)m->n_nodes, sizeof *need);
    if (w->failed) return bw_fail_memory(err);
    struct ducts_curve *curve = &m->curves[fan];
    curve->most_pressure = 0;  // so that its line costs only what its ducts and filter cost
    for (int g = 0; g < m->n_gates; g++) ducts_gate_set(m, m->gates[g], 1);
    if (!find_design(m)) {
        bw_fail(err, BW_INPUT, "the fan cannot be sized: a port has no least flow");
        bw_err_mend(err, "give every branch its minimum, or give the fan");
        return false;
    }
    find_needs(m, need);
    double flow = m->flow[out], pressure = need_of(m, out, need);
    if (!take_up(w, pressure, need)) return bw_fail_memory(err);
    curve->most_pressure = SHUT_OFF * pressure / curve->density;
    curve->most_flow = flow / sqrt(1 - 1 / SHUT_OFF);
    double shaft = flow * pressure / m->fans[fan]->efficiency.v;
    w->out->duty_flow = bw_exactly(flow);
    w->out->duty_pressure = bw_exactly(pressure);
    w->out->duty_power = bw_exactly(shaft);
    // A fifth in hand for a belt drive and a filter that is not yet seasoned (common practice).
    w->out->duty_motor = bw_exactly(motor_above(1.2 * shaft));
    return true;
}

bool ducts_sizes(struct ducts_work *w, struct bw_err *err) {
    const struct ducts_model *m = w->model;
    struct ducts_size_row *rows = ducts_array(w, (size_t)m->n_runs, sizeof *rows);
    if (w->failed) return bw_fail_memory(err);
    size_t n = 0;
    for (int i = 0; i < m->n_runs; i++) {
        const struct ducts_run *run = &m->runs[i];
        if (!run->sized && !m->fan_sized) continue;
        double area = M_PI / 4 * run->diameter * run->diameter;
        rows[n++] = (struct ducts_size_row){
            .line = run->name,
            .diameter = bw_exactly(run->diameter),
            .flow = bw_exactly(m->flow[i]),
            .velocity = bw_exactly(m->flow[i] / area),
            .open = run->gate < 0 || !m->fan_sized ? BW_UNKNOWN : bw_exactly(run->open)};
    }
    w->out->sizes = (struct bw_list){rows, n};
    return true;
}
