// timber.h - wood and the air around it: equilibrium moisture, and movement across the grain.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TRADE_TIMBER_H
#define BW_TRADE_TIMBER_H

#include "trade/table.h"

struct bw_movement {
    const char *name;
    struct bw_quantity radial, tangential;  // share of the width for one point (0.01) of moisture
    struct bw_trade_origin origin;
};
extern const struct bw_trade_carried bw_movement_carried;

// A wood by its name, letters' case aside. Errors: BW_INPUT with the nearest name, and as
// bw_trade_table_load.
bool bw_movement_find(struct bw_arena *arena, const char *name, const struct bw_movement **out,
                      struct bw_err *err) BW_CHECKED;

// Moisture (share of dry mass) that wood takes on at a temperature (K) and humidity (0 to 1) if it
// stays there for weeks. Hailwood and Horrobin's equation with the constants of the Wood Handbook
// (FPL-GTR-190 eq. 4-5): within 0.0006 of its table, -1 to 38 °C. Real boards: ± 0.01.
double bw_wood_moisture(double temperature, double humidity);

// Change of a width when its moisture goes from one value to another; coefficient as above.
double bw_wood_change(double width, double coefficient, double from, double to);

#endif
