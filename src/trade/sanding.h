// sanding.h - what grits and pressing parts can do: removal, scratch, energy, last grits.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Rules of thumb and estimates, each with its source in data/: removal.csv, cutting.csv,
// finishes.csv, contacts.csv. Everything is asked by grain size, so P and CAMI grits mix freely.
#ifndef BW_TRADE_SANDING_H
#define BW_TRADE_SANDING_H

#include "trade/grit.h"

extern const struct bw_trade_carried bw_removal_carried, bw_cutting_carried, bw_finishes_carried,
    bw_contacts_carried;

// Points of a curve over grain size, falling sizes.
#define BW_SANDING_POINTS 16
struct bw_sanding_curve {
    size_t n;
    double size[BW_SANDING_POINTS], y[BW_SANDING_POINTS];
};
struct bw_finish {
    const char *name, *coarsest_grit, *finest_grit;
    double coarsest, finest;  // grain sizes, m
    struct bw_trade_origin origin;
};
enum bw_pressing { BW_PRESS_STEEL, BW_PRESS_RUBBER, BW_PRESS_PLATEN, BW_PRESS_SECTIONAL };
struct bw_pressing_part {
    const char *name, *coarsest_grit, *finest_grit;
    int kind;                     // enum bw_pressing
    struct bw_quantity hardness;  // Shore A, rubber only
    struct bw_quantity most;      // m in one go
    double coarsest, finest;      // grain sizes, m
    struct bw_trade_origin origin;
};
struct bw_sanding {
    struct bw_sanding_curve most, clear, energy;
    struct bw_list finishes;  // struct bw_finish
    struct bw_list parts;     // struct bw_pressing_part; rubber from hard to soft
};

// From the carried tables; lives in the arena.
bool bw_sanding_load(struct bw_arena *arena, const struct bw_grits *grits, struct bw_sanding *out,
                     struct bw_err *err) BW_CHECKED;

// Most stock (m) a belt of this grain size (m) should take in one go.
double bw_sanding_most(const struct bw_sanding *sanding, double size);
// What the next belt must take (m) to erase this one's scratch.
double bw_sanding_clear(const struct bw_sanding *sanding, double size);
// Energy (J/m3) a sharp belt needs at the work, by the wood's density (kg/m3). A factor of two
// either way; calibrate by amps.
double bw_sanding_energy(const struct bw_sanding *sanding, double size, double density);
// The finish of that name, or NULL.
const struct bw_finish *bw_finish_find(const struct bw_sanding *sanding, const char *name);
// The pressing part's limits; rubber between two hardnesses (Shore A, NaN: 60) in between.
struct bw_pressing_part bw_pressing_limits(const struct bw_sanding *sanding, enum bw_pressing kind,
                                           double hardness);

#endif
