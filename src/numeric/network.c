// network.c - see network.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Newton's method on flows and free node pressures together:
//
//   p(from) - p(to) - loss(q, q_other) = 0   for each edge
//   sum of flows in - sum out - drawn = 0    for each free node
//
// The Jacobian is exact, sparse and, since a converging fitting's loss depends on two flows,
// unsymmetric; so the symmetric gradient method that water networks use (Todini and Pilati 1987)
// does not fit, and KLU (Davis and Palamadai Natarajan 2010, ACM TOMS algorithm 907) does:
// ordering and symbolic work are done once, each step and each gate setting only refactors. A step
// is halved until the scaled residual falls (Dennis and Schnabel 1983, algorithm A6.3.1 without
// interpolation); with it kinks of fan curves and reversing legs do no harm. Where no step helps (a
// hump in a fan's curve, fans that fight), the flows are given inertia and marched until they rest:
// pseudo-transient continuation, the inertia shrinking with what lacks (Kelley and Keyes 1998); so
// what is found then is a state the system can stay in. Hardy Cross was
// rejected: it converges linearly and needs loops named.
#include "numeric/network.h"

#include "base/alloc.h"

#include <math.h>
#include <string.h>

#include <suitesparse/klu.h>

#define MOST_STEPS 80
#define GOOD 1e-11     // of the scale: leaves room below the 1e-9 promised
#define SMALLEST 1e-4  // shortest share of a step tried

struct bw_network_solver {
    const struct bw_network *network;
    int n;         // unknowns: flows, then pressures of free nodes
    int *unknown;  // of each node, -1: fixed
    int *start, *row;
    double *value;
    int *own, *cross;  // slots of each edge's two slopes
    double *right, *trial_flow, *trial_pressure, *lack;
    double inertia;  // Pa per m3/s of change, 0 but in marching
    klu_common common;
    klu_symbolic *symbolic;
    klu_numeric *factors;
};

// --- building ----------------------------------------------------------------------------------

// The suite's own memory comes through the same seam as ours.
static void use_our_memory(void) {
    SuiteSparse_config.malloc_func = bw_alloc;
    SuiteSparse_config.calloc_func = bw_alloc_zero;
    SuiteSparse_config.realloc_func = bw_realloc;
    SuiteSparse_config.free_func = bw_free;
}

static void *array(size_t n, size_t size, bool *failed) {
    void *items = bw_alloc_zero(n + 1, size);
    if (items == NULL) *failed = true;
    return items;
}

// Column of an edge's flow: its own row, the rows of edges that hang on it, its free end nodes.
// Column of a pressure: the rows of the edges that meet there.
static int fill_pattern(struct bw_network_solver *s) {
    const struct bw_network *net = s->network;
    int at = 0, edges = net->n_edges;
    for (int c = 0; c < edges; c++) {
        const struct bw_network_edge *edge = &net->edges[c];
        s->start[c] = at;
        for (int r = 0; r < edges; r++) {
            if (r == c) s->own[r] = at;
            if (r != c && net->edges[r].other != c) continue;
            if (r != c) s->cross[r] = at;
            s->row[at++] = r;
        }
        int from = s->unknown[edge->from], to = s->unknown[edge->to];
        for (int k = 0; k < 2; k++) {  // rows in rising order
            int node = (k == 0) == (from < to) ? from : to;
            if (node < 0) continue;
            s->value[at] = node == to ? 1 : -1;
            s->row[at++] = node;
        }
    }
    for (int node = 0; node < net->n_nodes; node++) {
        if (s->unknown[node] < 0) continue;
        s->start[s->unknown[node]] = at;
        for (int e = 0; e < edges; e++) {
            if (net->edges[e].from != node && net->edges[e].to != node) continue;
            s->value[at] = net->edges[e].from == node ? 1 : -1;
            s->row[at++] = e;
        }
    }
    s->start[s->n] = at;
    return at;
}

static bool build(struct bw_network_solver *s, struct bw_err *err) {
    const struct bw_network *net = s->network;
    size_t edges = (size_t)net->n_edges, nodes = (size_t)net->n_nodes;
    bool failed = false;
    s->unknown = array(nodes, sizeof *s->unknown, &failed);
    s->own = array(edges, sizeof *s->own, &failed);
    s->cross = array(edges, sizeof *s->cross, &failed);
    s->start = array(edges + nodes + 1, sizeof *s->start, &failed);
    s->row = array(6 * edges, sizeof *s->row, &failed);
    s->value = array(6 * edges, sizeof *s->value, &failed);
    s->right = array(edges + nodes, sizeof *s->right, &failed);
    s->lack = array(edges + nodes, sizeof *s->lack, &failed);
    s->trial_flow = array(edges, sizeof *s->trial_flow, &failed);
    s->trial_pressure = array(nodes, sizeof *s->trial_pressure, &failed);
    if (failed) return bw_fail_memory(err);
    s->n = net->n_edges;
    for (size_t i = 0; i < nodes; i++) s->unknown[i] = isnan(net->fixed[i]) ? s->n++ : -1;
    if (s->n == net->n_edges + net->n_nodes)
        return bw_fail(err, BW_INPUT, "no node of the network has a given pressure");
    (void)fill_pattern(s);
    if (klu_defaults(&s->common) == 0) return bw_fail(err, BW_FAILED, "the solver cannot start");
    s->symbolic = klu_analyze(s->n, s->start, s->row, &s->common);
    if (s->symbolic != NULL) return true;
    if (s->common.status == KLU_OUT_OF_MEMORY) return bw_fail_memory(err);
    return bw_fail(err, BW_FAILED, "the network's equations cannot be put in order");
}

bool bw_network_new(const struct bw_network *network, struct bw_network_solver **out,
                    struct bw_err *err) {
    use_our_memory();
    struct bw_network_solver *s = bw_alloc_zero(1, sizeof *s);
    if (s == NULL) return bw_fail_memory(err);
    s->network = network;
    if (!build(s, err)) {
        bw_network_free(s);
        return false;
    }
    *out = s;
    return true;
}

void bw_network_free(struct bw_network_solver *s) {
    if (s == NULL) return;
    if (s->factors != NULL) (void)klu_free_numeric(&s->factors, &s->common);
    if (s->symbolic != NULL) (void)klu_free_symbolic(&s->symbolic, &s->common);
    bw_free(s->unknown);
    bw_free(s->own);
    bw_free(s->cross);
    bw_free(s->start);
    bw_free(s->row);
    bw_free(s->value);
    bw_free(s->right);
    bw_free(s->lack);
    bw_free(s->trial_flow);
    bw_free(s->trial_pressure);
    bw_free(s);
}

// --- solving -----------------------------------------------------------------------------------

struct scales {
    double flow, pressure;
};

// What is lacking, and if `slopes` the Jacobian. Also the largest flow and loss met.
static struct scales lacking(struct bw_network_solver *s, const double *flow,
                             const double *pressure, double *lack, bool slopes) {
    const struct bw_network *net = s->network;
    struct scales largest = {0, 0};
    for (int i = 0; i < net->n_nodes; i++)
        if (s->unknown[i] >= 0) lack[s->unknown[i]] = net->drawn == NULL ? 0 : -net->drawn[i];
    for (int e = 0; e < net->n_edges; e++) {
        const struct bw_network_edge *edge = &net->edges[e];
        double other = edge->other < 0 ? 0 : flow[edge->other];
        struct bw_network_loss l = net->loss(net->with, e, flow[e], other);
        lack[e] = pressure[edge->from] - pressure[edge->to] - l.loss;
        if (s->unknown[edge->from] >= 0) lack[s->unknown[edge->from]] -= flow[e];
        if (s->unknown[edge->to] >= 0) lack[s->unknown[edge->to]] += flow[e];
        largest.flow = fmax(largest.flow, fabs(flow[e]));
        largest.pressure = fmax(largest.pressure, fmax(fabs(l.loss), l.size));
        if (!slopes) continue;
        s->value[s->own[e]] = -l.by_own - s->inertia;
        if (edge->other >= 0) s->value[s->cross[e]] = -l.by_other;
    }
    return largest;
}

static double merit(const struct bw_network_solver *s, const double *lack, struct scales scales) {
    double sum = 0;
    for (int i = 0; i < s->n; i++) {
        double scaled = lack[i] / (i < s->network->n_edges ? scales.pressure : scales.flow);
        sum += scaled * scaled;
    }
    return sum;
}

static void judge(const struct bw_network_solver *s, struct scales scales,
                  struct bw_network_evidence *evidence) {
    evidence->mismatch = evidence->imbalance = 0;
    for (int i = 0; i < s->n; i++) {
        bool edge = i < s->network->n_edges;
        double *worst = edge ? &evidence->mismatch : &evidence->imbalance;
        *worst = fmax(*worst, fabs(s->lack[i]) / (edge ? scales.pressure : scales.flow));
    }
    evidence->converged = evidence->mismatch < GOOD && evidence->imbalance < GOOD;
}

// A fresh ordering of pivots when the old one no longer serves.
static bool factor(struct bw_network_solver *s, struct bw_err *err) {
    if (s->factors != NULL &&
        klu_refactor(s->start, s->row, s->value, s->symbolic, s->factors, &s->common) != 0 &&
        s->common.status == KLU_OK && klu_rcond(s->symbolic, s->factors, &s->common) != 0 &&
        s->common.rcond > 1e-13)
        return true;
    if (s->factors != NULL) (void)klu_free_numeric(&s->factors, &s->common);
    s->factors = klu_factor(s->start, s->row, s->value, s->symbolic, &s->common);
    if (s->factors != NULL && s->common.status == KLU_OK) return true;
    if (s->common.status == KLU_OUT_OF_MEMORY) return bw_fail_memory(err);
    return bw_fail(err, BW_FAILED,
                   "the network has no single solution: some part is tied to no "
                   "given pressure, or nothing resists its flow");
}

static void move(struct bw_network_solver *s, const double *flow, const double *pressure,
                 double share) {
    const struct bw_network *net = s->network;
    for (int e = 0; e < net->n_edges; e++) s->trial_flow[e] = flow[e] + share * s->right[e];
    for (int i = 0; i < net->n_nodes; i++)
        s->trial_pressure[i] =
            s->unknown[i] < 0 ? net->fixed[i] : pressure[i] + share * s->right[s->unknown[i]];
}

// One damped step; false when no shorter one helps.
static bool step(struct bw_network_solver *s, double *flow, double *pressure,
                 struct scales *scales) {
    double before = merit(s, s->lack, *scales);
    for (double share = 1; share >= SMALLEST; share /= 2) {
        move(s, flow, pressure, share);
        struct scales there = lacking(s, s->trial_flow, s->trial_pressure, s->lack, true);
        double after = merit(s, s->lack, *scales);
        if (!(after < (1 - 1e-4 * share) * before)) continue;
        memcpy(flow, s->trial_flow, (size_t)s->network->n_edges * sizeof *flow);
        memcpy(pressure, s->trial_pressure, (size_t)s->network->n_nodes * sizeof *pressure);
        *scales = there;
        return true;
    }
    *scales = lacking(s, flow, pressure, s->lack, true);
    return false;
}

#define MOST_MARCHES 600

static bool solve_linear(struct bw_network_solver *s, struct bw_err *err) {
    if (!factor(s, err)) return false;
    for (int i = 0; i < s->n; i++) s->right[i] = -s->lack[i];
    if (klu_solve(s->symbolic, s->factors, s->n, 1, s->right, &s->common) != 0) return true;
    return bw_fail(err, BW_FAILED, "the network's equations cannot be solved");
}

// From the flows given until they rest. False: an error, or it did not come to rest.
static bool march(struct bw_network_solver *s, double *flow, double *pressure,
                  struct bw_network_evidence *evidence, struct bw_err *err) {
    s->inertia = 0;
    struct scales scales = lacking(s, flow, pressure, s->lack, true);
    const struct scales first = {fmax(scales.flow, 1e-6), fmax(scales.pressure, 1)};
    double before = sqrt(merit(s, s->lack, first));
    double inertia = first.pressure / first.flow;
    bool solved = true;
    for (int i = 0; i < MOST_MARCHES && !evidence->converged; i++) {
        s->inertia = inertia;
        (void)lacking(s, flow, pressure, s->lack, true);
        solved = solve_linear(s, err);
        if (!solved) break;
        move(s, flow, pressure, 1);
        memcpy(flow, s->trial_flow, (size_t)s->network->n_edges * sizeof *flow);
        memcpy(pressure, s->trial_pressure, (size_t)s->network->n_nodes * sizeof *pressure);
        scales = lacking(s, flow, pressure, s->lack, true);
        double after = sqrt(merit(s, s->lack, first));
        if (!isfinite(after)) break;
        inertia *= fmin(fmax(after / before, 0.2), 2);
        before = after;
        evidence->steps++;
        judge(s, scales, evidence);
    }
    s->inertia = 0;
    return solved && evidence->converged;
}

// Damped Newton. False: see err if it holds a code, else no step helped.
static bool newton(struct bw_network_solver *s, double *flow, double *pressure,
                   struct bw_network_evidence *evidence, struct bw_err *err) {
    struct scales scales = lacking(s, flow, pressure, s->lack, true);
    scales.flow = fmax(scales.flow, 1e-12);
    scales.pressure = fmax(scales.pressure, 1e-12);
    for (;;) {
        judge(s, scales, evidence);
        if (evidence->converged) return true;
        if (evidence->steps++ == MOST_STEPS) return false;
        if (!solve_linear(s, err)) return false;
        if (step(s, flow, pressure, &scales)) continue;
        // No step helps any more: rounding, if what lacks is small.
        judge(s, scales, evidence);
        evidence->converged = evidence->mismatch < 100 * GOOD && evidence->imbalance < 100 * GOOD;
        return evidence->converged;
    }
}

bool bw_network_solve(struct bw_network_solver *s, double *flow, double *pressure,
                      struct bw_network_evidence *evidence, struct bw_err *err) {
    struct bw_err first = {.code = BW_OK};
    for (int i = 0; i < s->network->n_nodes; i++)
        if (s->unknown[i] < 0) pressure[i] = s->network->fixed[i];
    *evidence = (struct bw_network_evidence){.converged = false};
    if (newton(s, flow, pressure, evidence, &first)) return true;
    if (first.code == BW_MEMORY) return bw_fail_memory(err);
    if (first.code == BW_OK && march(s, flow, pressure, evidence, &first)) return true;
    if (first.code == BW_MEMORY) return bw_fail_memory(err);
    if (first.code != BW_OK) return bw_fail(err, first.code, "%s", first.what);
    return bw_fail(err, BW_FAILED, "no flow was found that fits all pressures; still %.2g off",
                   fmax(evidence->mismatch, evidence->imbalance));
}
