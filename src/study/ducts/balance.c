// balance.c - gates half shut so that every port gets the same share of its least flow.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Fixed-point iteration: a line that has more than the mean share gets a gate that makes its whole
// resistance larger by the square of what it has too much, one that has less opens, no further than
// full. Flow goes nearly with the root of resistance, so this contracts; it ends when shares agree
// within a thousandth, or all that still lack have their gates wide open. Openings are then rounded
// to 5 % of the gate's height, for nobody sets one finer, and the system is solved once more.
#include "study/ducts/part.h"

#include <math.h>

#define ROUNDS 60
#define STEP 0.05

bool ducts_takes_part(const struct ducts_model *m, int r) {
    return m->runs[r].gate >= 0 && m->runs[r].open > DUCTS_SHUT && m->runs[r].minimum > 0;
}

static double share_of(const struct ducts_model *m, int r) {
    return m->flow[r] / m->runs[r].minimum;
}

// The gate's loss that would bring line r to `share`; its resistance is what it loses now over q^2.
static double loss_for(const struct ducts_model *m, int r, double share) {
    const struct ducts_run *run = &m->runs[r];
    const struct ducts_item *gate = &m->items[run->gate];
    double q = m->flow[r], all = m->pressure[run->from] - m->pressure[run->to];
    double pv = m->density / 2 * pow(q / gate->area, 2);
    double wanted = all * (pow(share_of(m, r) / share, 2) - 1);
    return gate->factor + wanted / pv;
}

bool ducts_settle(struct ducts_model *m, struct bw_err *err) {
    double widest = bw_gate_loss(&m->fittings, 1);
    for (int round = 0; round < ROUNDS; round++) {
        double sum = 0, moved = 0;
        int n = 0;
        for (int g = 0; g < m->n_gates; g++)
            if (ducts_takes_part(m, m->gates[g])) sum += share_of(m, m->gates[g]), n++;
        for (int g = 0; g < m->n_gates; g++) {
            int r = m->gates[g];
            if (!ducts_takes_part(m, r)) continue;
            double loss = fmax(loss_for(m, r, sum / n), widest);
            double open = loss > widest ? ducts_gate_opening(m, loss) : 1;
            open = fmax(open, 1.5 * DUCTS_SHUT);
            moved = fmax(moved, fabs(open - m->runs[r].open));
            ducts_gate_set(m, r, open);
        }
        if (!ducts_solve(m, err)) return false;
        if (moved < 1e-4) break;
    }
    for (int g = 0; g < m->n_gates; g++) {
        int r = m->gates[g];
        if (ducts_takes_part(m, r)) ducts_gate_set(m, r, round(m->runs[r].open / STEP) * STEP);
    }
    return ducts_solve(m, err);
}

bool ducts_balance(struct ducts_work *w, struct bw_err *err) {
    struct ducts_model *m = w->model;
    struct ducts_balance_row *rows = ducts_array(w, (size_t)m->n_gates, sizeof *rows);
    double *open = ducts_array(w, (size_t)m->n_gates, sizeof *open);
    if (w->failed) return bw_fail_memory(err);
    int n = 0;
    for (int g = 0; g < m->n_gates; g++) {
        open[g] = m->runs[m->gates[g]].open;
        n += ducts_takes_part(m, m->gates[g]);
    }
    if (n < 2) return true;
    if (!ducts_settle(m, err)) return false;
    size_t kept = 0;
    for (int g = 0; g < m->n_gates; g++) {
        int r = m->gates[g];
        if (!ducts_takes_part(m, r)) continue;
        rows[kept++] = (struct ducts_balance_row){
            m->runs[r].name, bw_exactly(m->runs[r].open), bw_exactly(m->flow[r]),
            bw_exactly(share_of(m, r)), bw_exactly(ducts_velocity(m, r))};
    }
    struct ducts_state state = ducts_state(w);
    w->out->balance = (struct bw_list){rows, kept};
    w->out->balance_slowest = state.slowest < 0 ? NULL : m->runs[state.slowest].name;
    w->out->balance_velocity = bw_exactly(state.velocity);
    for (int g = 0; g < m->n_gates; g++) ducts_gate_set(m, m->gates[g], open[g]);
    return ducts_solve(m, err);
}
