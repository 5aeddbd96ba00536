// wood.h - woods and panels as the sander meets them: density, hardness, what they do to a belt.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TRADE_WOOD_H
#define BW_TRADE_WOOD_H

#include "trade/table.h"

enum bw_wood_structure { BW_RING_POROUS, BW_DIFFUSE, BW_SOFTWOOD, BW_PANEL, BW_COATING };

struct bw_wood {
    const char *name, *also;      // also: another trade name, or NULL
    struct bw_quantity density;   // kg/m3 at about 12 % moisture
    struct bw_quantity hardness;  // N, Janka on the side; unknown for panels
    int structure;                // enum bw_wood_structure
    long loads, burns, tannin;    // 0 (not) to 3 (very much), judgement
    struct bw_trade_origin origin;
};
extern const struct bw_trade_carried bw_woods_carried;

// A wood by either of its names, letters' case aside. Errors: BW_INPUT with the nearest name, and
// as bw_trade_table_load.
bool bw_wood_find(struct bw_arena *arena, const char *name, const struct bw_wood **out,
                  struct bw_err *err) BW_CHECKED;

#endif
