// model.h - a network file made ready to solve, and to be changed and solved again.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_DUCTS_MODEL_H
#define BW_STUDY_DUCTS_MODEL_H

#include "base/arena.h"
#include "numeric/network.h"
#include "study/ducts/file.h"
#include "trade/fitting.h"

enum item_law { LAW_FRICTION, LAW_FACTOR, LAW_LINEAR, LAW_FAN };

struct ducts_item {  // one part, as the solver sees it
    enum item_law law;
    enum ducts_kind kind;
    double diameter, area;  // m, m2; that its velocity pressure is taken in
    double length, roughness;
    double pulled;  // length of a hose pulled straight, as `length` counts it; 0: no hose
    double factor;  // velocity pressures; LINEAR: Pa per m3/s
    double spread;  // relative standard deviation of its loss
    double scale;   // of its loss; 1 but in Monte Carlo, calibration and remedies
};
struct ducts_curve {
    int n;
    const double *flow, *pressure, *slope;
    double most_flow, most_pressure;  // of a plate, n = 0
    double speed, density;            // ratios to the curve's
};
struct ducts_run {  // one line
    const char *name;
    const struct ducts_line *line;
    int from, to;
    int first, n;      // its items
    int gate, filter;  // items, -1: none
    int wye;           // it enters at its end, -1: none
    double leak;       // of the gate
    double open;       // of the gate, as set now
    double minimum;    // m3/s, NaN: none
    double diameter;   // where it begins, m
    bool together;     // a port of the machine file: its gate stays open while the machine runs
    bool hole;         // a leak, no duct
    bool sized;        // its diameter was not given
    struct ducts_curve booster;  // a small fan put in by way of trial; most_flow 0: none
};
struct ducts_wye {
    int main, branch, out;
    double area_ratio, angle, pressure;  // of the common duct: Pa per (m3/s)^2
};
struct ducts_model {
    struct bw_arena *arena;
    const struct ducts_file *file;
    struct bw_fittings fittings;
    double density, viscosity;
    int n_runs, n_items, n_nodes, n_wyes, n_gates;
    bool fan_sized;  // no fan was given: its curve was made up to serve the least flows
    struct ducts_run *runs;
    struct ducts_item *items;
    const char **nodes;
    struct ducts_wye *wyes;
    int *gates;                  // runs that have one
    struct ducts_curve *curves;  // of each item that is a fan, by item index
    const struct ducts_fan **fans;
    struct bw_network network;
    struct bw_network_solver *solver;
    double *flow, *pressure;  // of the last solve
    struct bw_network_evidence evidence;
};

#define DUCTS_ROOM 0
#define DUCTS_OUTDOORS 1

#define DUCTS_PINHOLE 0.001  // m: no air to speak of

// Builds it in the arena; ducts_model_close frees the solver. With `holes` every point gets one,
// named "hole at POINT", a pinhole until its area is set. Errors: BW_INPUT with the element to
// blame and the mend, BW_MEMORY.
bool ducts_model_open(struct bw_arena *arena, const struct ducts_file *file, bool holes,
                      struct ducts_model *out, struct bw_err *err) BW_CHECKED;
void ducts_model_close(struct ducts_model *model);

// Sets a gate; shut means its leak.
void ducts_gate_set(struct ducts_model *model, int run, double open);
// Solves from the last flows, or anew from a rest state if that fails.
bool ducts_solve(struct ducts_model *model, struct bw_err *err) BW_CHECKED;
int ducts_run_find(const struct ducts_model *model, const char *name);  // -1: none

// Of a line: loss and its slopes. Of one item at a flow: loss and its slope.
struct bw_network_loss ducts_line_loss(const void *model, int line, double own, double other);
struct bw_network_loss ducts_item_loss(const struct ducts_model *model, int item, double flow);
// Of a converging fitting: the loss one leg takes (branch or main), by own and common flow.
struct bw_network_loss ducts_wye_loss(const struct ducts_wye *wye, bool branch, double own,
                                      double common);

// size.c: fills in diameters that are not given, from the least flows. Errors: BW_INPUT, BW_MEMORY.
bool ducts_size_lines(struct bw_arena *arena, const struct ducts_file *file, struct bw_list *lines,
                      struct bw_err *err) BW_CHECKED;
// The next larger size duct is bought in; the largest not above `most`.
double ducts_next_size(const struct ducts_file *file, double diameter);
double ducts_size_below(const struct ducts_file *file, double most);

#endif
