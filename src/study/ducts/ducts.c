// ducts.c - the study `ducts`: a dust system solved, its gates tried, its faults looked for.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/ducts/ducts.h"

#include "machine/machine.h"
#include "study/ducts/part.h"

#include <math.h>
#include <string.h>

#define SURE 0.9
#define WASTE 1.5

const char *ducts_say(struct ducts_work *w, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const char *text = bw_arena_vformat(w->run->arena, format, args);
    va_end(args);
    if (text == NULL) w->failed = true;
    return text == NULL ? "" : text;
}

void *ducts_array(struct ducts_work *w, size_t n, size_t size) {
    void *items = bw_arena_array(w->run->arena, n + 1, size);
    if (items == NULL) w->failed = true;
    return items;
}

// --- how it stands -----------------------------------------------------------------------------

double ducts_velocity(const struct ducts_model *m, int index) {
    const struct ducts_run *run = &m->runs[index];
    double widest = M_PI / 4 * run->diameter * run->diameter;
    for (int i = run->first; i < run->first + run->n; i++)
        if (m->items[i].law == LAW_FRICTION) widest = fmax(widest, m->items[i].area);
    return fabs(m->flow[index]) / widest;
}

double ducts_power(const struct ducts_model *m) {
    double sum = 0;
    for (int r = 0; r < m->n_runs; r++)
        for (int i = m->runs[r].first; i < m->runs[r].first + m->runs[r].n; i++) {
            if (m->items[i].law != LAW_FAN) continue;
            double pressure = -ducts_item_loss(m, i, m->flow[r]).loss;
            sum += fmax(pressure * m->flow[r], 0) / m->fans[i]->efficiency.v;
        }
    return sum;
}

// Fed by an open hood: from the room through open gates, then on from point to point.
static void find_live(struct ducts_work *w) {
    const struct ducts_model *m = w->model;
    for (int i = 0; i < m->n_runs; i++) {
        const struct ducts_run *run = &m->runs[i];
        w->live[i] = run->from < 2 && !run->hole && (run->gate < 0 || run->open > DUCTS_SHUT);
    }
    for (bool changed = true; changed;) {
        changed = false;
        for (int i = 0; i < m->n_runs; i++)
            for (int k = 0; k < m->n_runs; k++) {
                if (!w->live[i] || w->live[k] || m->runs[i].to < 2) continue;
                if (m->runs[k].from != m->runs[i].to) continue;
                if (m->runs[k].gate >= 0 && m->runs[k].open <= DUCTS_SHUT) continue;
                w->live[k] = changed = true;
            }
    }
}

static bool has_no_duct(const struct ducts_model *m, int index) {
    const struct ducts_run *run = &m->runs[index];
    for (int i = run->first; i < run->first + run->n; i++)
        if (m->items[i].law == LAW_FRICTION) return false;
    return true;
}

struct ducts_state ducts_state(struct ducts_work *w) {
    const struct ducts_model *m = w->model;
    struct ducts_state state = {-1, BW_NAN, -1, (double)INFINITY};
    find_live(w);
    for (int i = 0; i < m->n_runs; i++) {
        if (!w->live[i]) continue;
        double share = m->flow[i] / m->runs[i].minimum;
        if (!isnan(share) && (state.worst < 0 || share < state.share)) {
            state.worst = i;
            state.share = share;
        }
        double velocity = ducts_velocity(m, i);
        // Behind the filter there is no dust to carry, and a line without duct has no velocity.
        if (has_no_duct(m, i) || m->runs[i].filter >= 0 || velocity >= state.velocity) continue;
        state.slowest = i;
        state.velocity = velocity;
    }
    return state;
}

// --- results -----------------------------------------------------------------------------------

static int verdict_of(const struct ducts_line_row *row, double sd) {
    if (!bw_known(row->minimum)) return DUCT_NO_LIMIT;
    double chance = sd > 0 ? 0.5 * erfc((row->flow.v - row->minimum.v) / sd / M_SQRT2)
                           : row->flow.v < row->minimum.v;
    return chance > SURE ? DUCT_STARVED : chance < 1 - SURE ? DUCT_ENOUGH : DUCT_UNSURE;
}

static int speed_of(const struct ducts_work *w, int i, double velocity) {
    double least = w->out->transport.v;
    if (!w->live[i]) return DUCT_IDLE;
    if (velocity < least) return DUCT_SETTLES;
    return velocity > WASTE * least ? DUCT_WASTES : DUCT_CARRIES;
}

static void line_rows(struct ducts_work *w, const double *sd) {
    const struct ducts_model *m = w->model;
    struct ducts_line_row *rows = ducts_array(w, (size_t)m->n_runs, sizeof *rows);
    if (w->failed) return;
    size_t n = 0;
    for (int i = 0; i < m->n_runs; i++) {
        const struct ducts_run *run = &m->runs[i];
        if (run->hole && run->diameter <= DUCTS_PINHOLE) continue;
        double v = ducts_velocity(m, i), share = sd[i] / fabs(m->flow[i]);
        struct ducts_line_row *row = &rows[n++];
        *row = (struct ducts_line_row){
            .name = run->name,
            .from = m->nodes[run->from],
            .to = m->nodes[run->to],
            .flow = {m->flow[i], sd[i] > 0 ? sd[i] : BW_NAN, -1},
            .velocity = {v, sd[i] > 0 ? v * share : BW_NAN, -1},
            .minimum = {run->minimum, BW_NAN, -1},
            .short_chance = BW_UNKNOWN,
            .open = {run->gate < 0 ? BW_NAN : run->open, BW_NAN, -1},
            .suction = BW_UNKNOWN,
            .loss = bw_exactly(m->pressure[run->from] - m->pressure[run->to]),
            .hole = run->hole};
        const struct ducts_item *first = &m->items[run->first];
        if (first->kind == DUCTS_HOOD && run->from < 2) {
            double pv = m->density / 2 * pow(m->flow[i] / first->area, 2);
            row->suction = bw_exactly((1 + first->factor * first->scale) * pv);
        }
        row->verdict = w->live[i] ? verdict_of(row, sd[i]) : DUCT_NO_LIMIT;
        if (bw_known(row->minimum))
            row->short_chance =
                bw_exactly(sd[i] > 0 ? 0.5 * erfc((m->flow[i] - run->minimum) / sd[i] / M_SQRT2)
                                     : m->flow[i] < run->minimum);
        row->speed = run->filter >= 0 || has_no_duct(m, i) ? (int)DUCT_CARRIES : speed_of(w, i, v);
    }
    w->out->lines = (struct bw_list){rows, n};
}

static void fan_row(struct ducts_work *w, int r, int i, struct ducts_fan_row *row) {
    const struct ducts_model *m = w->model;
    const struct ducts_fan *fan = m->fans[i];
    struct bw_network_loss at = ducts_item_loss(m, i, m->flow[r]);
    double power = fmax(-at.loss * m->flow[r], 0) / fan->efficiency.v;
    *row = (struct ducts_fan_row){m->runs[r].name,      "within its motor", bw_exactly(m->flow[r]),
                                  bw_exactly(-at.loss), bw_exactly(power),  fan->motor};
    if (!bw_known(fan->motor)) row->text = "its motor's power is not given";
    if (bw_known(fan->motor) && power > fan->motor.v)
        row->text = "OVERLOADS its motor: throttle, or a larger motor";
    if (-at.by_own > 0)
        row->text = "works on the rising part of its curve: flow may surge. Give it more air";
    if (m->flow[r] < 0)
        row->text = "air is driven BACKWARDS through it: another fan overpowers it. Shut a gate "
                    "between them, or match the fans";
}

static void part_rows(struct ducts_work *w) {
    const struct ducts_model *m = w->model;
    struct ducts_part_row *rows = ducts_array(w, (size_t)m->n_items, sizeof *rows);
    struct ducts_fan_row *fans = ducts_array(w, (size_t)m->n_items, sizeof *fans);
    if (w->failed) return;
    size_t n = 0, n_fans = 0;
    for (int r = 0; r < m->n_runs; r++) {
        const struct ducts_run *run = &m->runs[r];
        double pressure = m->pressure[run->from];
        if (run->hole) continue;
        for (int i = run->first; i < run->first + run->n; i++) {
            const struct ducts_item *item = &m->items[i];
            double v = m->flow[r] / item->area, loss = ducts_item_loss(m, i, m->flow[r]).loss;
            pressure -= loss;
            if (fabs(pressure) < 1e-6) pressure = 0;  // open air, but for rounding
            rows[n++] =
                (struct ducts_part_row){run->name,        ducts_part_kinds[item->kind].name,
                                        bw_exactly(v),    bw_exactly(m->density / 2 * v * v),
                                        bw_exactly(loss), bw_exactly(pressure)};
            if (item->law == LAW_FAN) fan_row(w, r, i, &fans[n_fans++]);
        }
    }
    w->out->parts = (struct bw_list){rows, n};
    w->out->fans = (struct bw_list){fans, n_fans};
}

static void note(struct ducts_work *w, const char *text) {
    ((struct ducts_note_row *)w->out->notes.items)[w->out->notes.n++].text = text;
}

static void notes(struct ducts_work *w, const double *sd) {
    const struct ducts_model *m = w->model;
    w->out->notes.items = ducts_array(w, 8 + (size_t)m->n_runs, sizeof(struct ducts_note_row));
    if (w->failed) return;
    double worst = 0;
    for (int i = 0; i < m->n_runs; i++)
        if (w->live[i]) worst = fmax(worst, sd[i] / fabs(m->flow[i]));
    if (m->file->branches.n > 0)
        note(w, ducts_say(w,
                          "A sketch: flanged hoods, galvanised duct of 0.15 mm, hose of 1.5 mm, "
                          "five-piece elbows, branches at 30 deg, gates that leak 3 %%.%s",
                          worst > 0 ? ducts_say(w,
                                                " What that costs: flows are known to ± %.0f "
                                                "%% at the worst.",
                                                100 * worst)
                                    : ""));
    for (int i = 0; i < m->n_runs; i++)
        if (m->runs[i].from < 2 && isnan(m->runs[i].minimum) && !m->runs[i].hole)
            note(w, ducts_say(w,
                              "%s: no least flow known, so it is not judged. Take it from the "
                              "machine's plate.",
                              m->runs[i].name));
}

static void answer(struct ducts_work *w, struct ducts_state state) {
    const struct ducts_model *m = w->model;
    struct ducts_output *out = w->out;
    const char *slow = "";
    if (state.slowest >= 0 && state.velocity < out->transport.v)
        slow = ducts_say(w, " Dust settles in %s.", m->runs[state.slowest].name);
    if (state.worst < 0)
        out->answer = ducts_say(w, "No line has a least flow to be judged by.%s", slow);
    else if (state.share < 1)
        out->answer = ducts_say(w, "%s has %.0f %% of the air it needs.%s",
                                m->runs[state.worst].name, 100 * state.share, slow);
    else
        out->answer = ducts_say(w,
                                "Every open port has enough air; the least is %s with %.0f %% "
                                "of what it needs.%s",
                                m->runs[state.worst].name, 100 * state.share, slow);
}

// --- the whole ---------------------------------------------------------------------------------

static void minima_from_machine(const struct ducts_work *w) {
    const struct bw_machine *machine = w->in->machine.content;
    for (size_t h = 0; machine != NULL && h < machine->heads.n; h++) {
        const struct bw_head *head = bw_machine_head(machine, h);
        for (size_t p = 0; p < head->ports.n; p++) {
            const struct bw_port *port = (const struct bw_port *)head->ports.items + p;
            int i = port->name == NULL ? -1 : ducts_run_find(w->model, port->name);
            if (i < 0) continue;
            struct ducts_run *run = &w->model->runs[i];
            run->together = true;
            if (isnan(run->minimum)) run->minimum = port->flow.v;
        }
    }
}

static bool shut_gates(struct ducts_work *w, struct bw_err *err) {
    for (size_t i = 0; i < w->in->shut.n; i++) {
        const char *name = ((const struct ducts_shut *)w->in->shut.items + i)->name;
        int run = ducts_run_find(w->model, name);
        if (run >= 0 && w->model->runs[run].gate >= 0) {
            ducts_gate_set(w->model, run, 0);
            continue;
        }
        bw_fail(err, BW_INPUT, run < 0 ? "no line has this name" : "this line has no gate");
        bw_err_value(err, name);
        bw_err_mend(err, "name a line of the network file that has a gate");
        bw_err_within_index(err, "shut", i);
        return false;
    }
    return true;
}

static bool work(struct ducts_work *w, struct bw_err *err) {
    struct ducts_model *m = w->model;
    double *sd = w->sd = ducts_array(w, (size_t)m->n_runs, sizeof *sd);
    w->live = ducts_array(w, (size_t)m->n_runs, sizeof *w->live);
    if (w->failed) return bw_fail_memory(err);
    minima_from_machine(w);
    if (m->fan_sized && !ducts_size_fan(w, err)) return false;
    if (!shut_gates(w, err) || !ducts_solve(m, err)) return false;
    w->out->steps = bw_exactly(m->evidence.steps);
    w->out->imbalance = bw_exactly(m->evidence.imbalance);
    w->out->mismatch = bw_exactly(m->evidence.mismatch);
    if (!ducts_suspects(w, err) || !ducts_spread(w, err)) return false;
    w->power = ducts_power(m);
    struct ducts_state state = ducts_state(w);
    line_rows(w, sd);
    part_rows(w);
    notes(w, sd);
    answer(w, state);
    if (w->failed) return bw_fail_memory(err);
    if (!ducts_sizes(w, err) || !ducts_remedies(w, err)) return false;
    if (w->out->remedies.n > 0 && w->out->suspects.n == 0 && !ducts_balance(w, err)) return false;
    return ducts_settings(w, err);
}

static bool run(struct bw_run *run_, const void *in, void *out_, struct bw_err *err) {
    struct ducts_model model;
    struct ducts_output out = {.misfit = BW_UNKNOWN,
                               .expected = BW_UNKNOWN,
                               .balance_velocity = BW_UNKNOWN,
                               .duty_flow = BW_UNKNOWN,
                               .duty_pressure = BW_UNKNOWN,
                               .duty_power = BW_UNKNOWN,
                               .duty_motor = BW_UNKNOWN,
                               .tried = bw_exactly(0)};
    struct ducts_work w = {.run = run_, .in = in, .model = &model, .out = &out};
    const struct ducts_file *file = w.in->network.content;
    bool holes = w.in->measured.n + w.in->suctions.n > 0;
    bool opened = ducts_model_open(run_->arena, file, holes, &model, err);
    if (!opened) bw_err_file(err, w.in->network.name);
    out.name = file->name;
    out.density = bw_exactly(model.density);
    out.transport = file->transport;
    out.tell_parts = w.in->parts == 1;
    bool done = opened && work(&w, err);
    ducts_model_close(&model);
    if (!done) return false;
    *(struct ducts_output *)out_ = out;
    return true;
}

static void findings(const void *out_, struct bw_findings *list) {
    const struct ducts_output *out = out_;
    for (size_t i = 0; i < out->lines.n; i++) {
        const struct ducts_line_row *row = (const struct ducts_line_row *)out->lines.items + i;
        if (row->verdict == DUCT_STARVED)
            bw_findings_add(list, (struct bw_finding){.kind = "starved-port",
                                                      .about = row->name,
                                                      .v = row->flow.v,
                                                      .sd = row->flow.sd,
                                                      .dim = BW_DIM_FLOW});
        if (row->speed == DUCT_SETTLES)
            bw_findings_add(list, (struct bw_finding){.kind = "low-transport-velocity",
                                                      .about = row->name,
                                                      .v = row->velocity.v,
                                                      .sd = row->velocity.sd,
                                                      .dim = BW_DIM_SPEED});
    }
    if (out->suspects.n == 0) return;
    // Only the likeliest: the others say the same readings in other words.
    const struct ducts_suspect_row *row = out->suspects.items;
    bool hole = bw_known(row->hole);
    bool filter = strcmp(row->element, "filter") == 0 && row->factor.v > 1;
    bool gate = strcmp(row->element, "gate") == 0;
    struct bw_quantity q = hole ? row->hole : row->factor;
    bw_findings_add(list, (struct bw_finding){.kind = filter ? "blinded-filter"
                                                      : gate ? "leaking-gate"
                                                      : hole ? "leaking-duct"
                                                             : "duct-disagrees",
                                              .about = row->line,
                                              .v = q.v,
                                              .sd = q.sd,
                                              .dim = hole ? BW_DIM_LENGTH : BW_DIM_NUMBER});
}

const struct bw_study bw_study_ducts = {
    .name = "ducts",
    .summary = "a dust system solved: flow at every port, which gates may be open together",
    .about =
        "From a network file, or a sketch of trunk and branches: flow, velocity and pressure in "
        "every line, starved ports, ducts where dust settles, and all settings of the gates tried "
        "for a table to hang on the wall.\n\n"
        "If a port is starved it tries what would help, from shutting a gate to a booster fan, "
        "alone and in pairs, solves each again, and tells what it does elsewhere; and how far to "
        "shut the gates so that all ports share alike. Diameters or a fan left out are sized from "
        "the least flows. From flows and suctions measured it tells which element disagrees with "
        "its plate, and is set to them.\n\n"
        "Losses of fittings and hose are known to a quarter at best; the ± comes from solving with "
        "losses drawn from that spread.",
    .example = "beltwright ducts examples/ducts-three-machines.yaml",
    .in = &ducts_input_record,
    .out = &ducts_output_record,
    .shape = 1,
    .heavy = true,
    .run = run,
    .text = ducts_view,
    .plots = ducts_draw,
    .findings = findings,
};
