// earth.h - ground rods and the soil they stand in.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Information for a licensed electrician: a rod never replaces the equipment grounding conductor.
#ifndef BW_TRADE_EARTH_H
#define BW_TRADE_EARTH_H

#include "trade/table.h"

struct bw_soil {
    const char *name;
    struct bw_quantity resistivity, low, high;  // ohm m
    struct bw_trade_origin origin;
};
extern const struct bw_trade_carried bw_soils_carried;

// Errors: BW_INPUT with the nearest name, and as bw_trade_table_load.
bool bw_soil_find(struct bw_arena *arena, const char *name, const struct bw_soil **out,
                  struct bw_err *err) BW_CHECKED;

// Resistance (ohm) of one vertical rod, length and diameter in m: Dwight's formula, BS 7430
// equation A.1.
double bw_rod(double resistivity, double length, double diameter);
// Of n rods one length apart: IEEE 142 table 14, between its counts by ln n. n = 1 to 24.
double bw_rods(double one, long n);

#endif
