// bearing.h - rolling bearings: geometry by name or as written, and the orders of their parts.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TRADE_BEARING_H
#define BW_TRADE_BEARING_H

#include "trade/table.h"

// n elements of diameter d on a pitch circle D, at contact angle phi (0 for deep-groove bearings).
struct bw_bearing_geometry {
    long elements;
    struct bw_quantity element_diameter, pitch_diameter;  // m
    struct bw_quantity contact_angle;                     // rad
};
struct bw_bearing {
    const char *name;
    struct bw_bearing_geometry geometry;
    struct bw_trade_origin origin;
};

extern const struct bw_trade_carried bw_bearings_carried;

struct bw_bearings {
    const struct bw_bearing *items;
    size_t n;
};
bool bw_bearings_load(struct bw_arena *arena, struct bw_bearings *out, struct bw_err *err)
    BW_CHECKED;

// Reads a designation that stands in the table ("6205", also with its seals and clearance:
// "6205-2RS/C3"), or a geometry: "9 balls of 7.94 mm on 38.5 mm", "16 rollers of 0.331 in on 2.815
// in at 15.17 deg". Errors: BW_INPUT; for a designation that is not in the table BW_NOT_FOUND, and
// the mend says how to give the geometry and what the rule of thumb is. `err` takes value and mend;
// the arena holds scraps.
bool bw_bearing_read(struct bw_arena *arena, const struct bw_bearings *bearings, const char *text,
                     size_t length, struct bw_bearing_geometry *out, struct bw_err *err) BW_CHECKED;

// What is wrong with a geometry, NULL when it can be built; *field names the field to blame.
const char *bw_bearing_check(const struct bw_bearing_geometry *geometry, const char **field);

// Which ring turns: the inner with its shaft, or the outer with its roller round a fixed shaft.
enum bw_bearing_turning { BW_INNER_TURNS, BW_OUTER_TURNS };

// Events per turn of the turning ring, without slip (in service 1 to 2 % less or more).
struct bw_bearing_orders {
    double cage;        // FTF: turns of the cage
    double outer_race;  // BPFO: elements passing a point of the outer race
    double inner_race;  // BPFI: elements passing a point of the inner race
    double spin;        // BSF: turns of an element about its own axis, seen from the cage
    double element;     // 2 BSF: a flaw on an element strikes both races each turn
};

// Exact for rigid bodies that roll. The geometry must pass bw_bearing_check. Source: Randall and
// Antoni 2011 (from memory); a public tutorial page (read in) for the turning inner ring.
struct bw_bearing_orders bw_bearing_orders(const struct bw_bearing_geometry *geometry,
                                           enum bw_bearing_turning turning);

// The rule of thumb where only the number of elements is known (common practice, no source): outer
// race 0.4 n, inner race 0.6 n, cage 0.4; spin and element NaN. The four bearings of the table lie
// within 12 %.
struct bw_bearing_orders bw_bearing_rule(long elements);

#endif
