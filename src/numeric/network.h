// network.h - steady flow through a network whose edges lose pressure by any law of their flow.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Knows no trade: an edge leads from node to node, its flow is positive that way, and
// p(from) - p(to) = loss(flow, flow of one other edge). A fan is an edge with a negative loss.
#ifndef BW_NUMERIC_NETWORK_H
#define BW_NUMERIC_NETWORK_H

#include "base/err.h"

struct bw_network_loss {
    double loss;              // Pa
    double by_own, by_other;  // Pa per m3/s, exact slopes
    // The largest pressure it is a sum of, where above its own size: what rounding is held against.
    double size;
};
struct bw_network_edge {
    int from, to;
    int other;  // the edge whose flow the loss depends on as well, -1: none
};
struct bw_network {
    int n_nodes, n_edges;
    const struct bw_network_edge *edges;
    const double *fixed;  // pressure of each node, Pa; NaN: to be found
    const double *drawn;  // flow taken out at each node, m3/s; NULL: none
    struct bw_network_loss (*loss)(const void *with, int edge, double own, double other);
    const void *with;
};

struct bw_network_evidence {
    bool converged;
    int steps;
    double imbalance;  // largest lack of balance at a node over the largest flow
    double mismatch;   // largest lack of pressure along an edge over the largest loss
};

struct bw_network_solver;

// Sorts the equations once; the network is borrowed, and its law may change between solves.
// Errors: BW_INPUT (no node has a fixed pressure), BW_MEMORY.
bool bw_network_new(const struct bw_network *network, struct bw_network_solver **out,
                    struct bw_err *err) BW_CHECKED;
void bw_network_free(struct bw_network_solver *solver);  // NULL is allowed

// Solves from the flows and pressures given (all finite) and writes them back, as far as it came.
// Errors: BW_FAILED when the equations have no unique solution there (a node that nothing ties
// down) or no step helps.
bool bw_network_solve(struct bw_network_solver *solver, double *flow, double *pressure,
                      struct bw_network_evidence *evidence, struct bw_err *err) BW_CHECKED;

#endif
