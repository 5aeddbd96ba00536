// fitting.h - what elbows, gates and changes of diameter cost, in velocity pressures.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TRADE_FITTING_H
#define BW_TRADE_FITTING_H

#include "trade/table.h"

struct bw_elbow {
    const char *name;
    struct bw_quantity radius, smooth, five, four, three;
    struct bw_trade_origin origin;
};
struct bw_gate {
    const char *name;
    struct bw_quantity open, loss;
    struct bw_trade_origin origin;
};
extern const struct bw_trade_carried bw_elbows_carried, bw_gates_carried;

struct bw_fittings {
    struct bw_list elbows, gates;
};
bool bw_fittings_load(struct bw_arena *arena, struct bw_fittings *out,
                      struct bw_err *err) BW_CHECKED;

// A round elbow: angle in rad, radius over diameter, pieces 0 (smooth), 3, 4 or 5. Between rows
// linearly, beyond them the last.
double bw_elbow_loss(const struct bw_fittings *fittings, double angle, double radius, long pieces);
// A slide gate open to a share of its height, 0 < open <= 1; between rows and below them straight
// in logarithms.
double bw_gate_loss(const struct bw_fittings *fittings, double open);
// Abrupt or conical change of diameter, on the velocity pressure of the smaller pipe. `angle` is
// the full cone angle in rad, pi for a step. Expansion: Borda-Carnot times the share a cone keeps
// (SMACNA A-8A); contraction: Rennels' sharp one, times Idelchik's cone (A-9B).
double bw_expansion_loss(double from, double to, double angle);
double bw_contraction_loss(double from, double to, double angle);

// A converging fitting's two losses, both on the common duct's velocity pressure: x = branch over
// common flow, b = branch over common area, angle in rad. Crane TP-410 in the form with
// F = 2 cos(angle); its step at x = 0.4 is closed by taking the larger of 0.9 (1 - x) and 0.55.
// Either may be negative: the faster stream drags the slower.
// From BW_SQUARE_TEE on, straight through takes TP-410's own form for 90 deg, 1.55 x - x^2.
#define BW_SQUARE_TEE 1.309  // rad, 75 deg
struct bw_wye {
    double branch, main;
};
struct bw_wye bw_wye_loss(double x, double b, double angle);

#endif
