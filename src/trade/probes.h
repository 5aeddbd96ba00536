// probes.h - what published checks may ask of this room.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TRADE_PROBES_H
#define BW_TRADE_PROBES_H

#include "base/probe.h"

extern const struct bw_probe bw_trade_probes[], bw_trade_air_probes[];

#endif
