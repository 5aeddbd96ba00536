// hood.h - what air loses on entering a duct, by the shape of the entry.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TRADE_HOOD_H
#define BW_TRADE_HOOD_H

#include "trade/table.h"

struct bw_hood {
    const char *name;
    struct bw_quantity loss;  // times the duct's velocity pressure
    struct bw_trade_origin origin;
};
extern const struct bw_trade_carried bw_hoods_carried;

// Errors: BW_INPUT with the nearest name, and as bw_trade_table_load.
bool bw_hood_find(struct bw_arena *arena, const char *name, const struct bw_hood **out,
                  struct bw_err *err) BW_CHECKED;

#endif
