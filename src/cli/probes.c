// probes.c - which rooms have probes. A room with its first probe gets one line here.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/probes.h"
#include "cli/checks.h"
#include "machine/probes.h"
#include "numeric/probes.h"
#include "trade/probes.h"

#include <stddef.h>

static const struct bw_probe *const LISTS[] = {
    bw_base_probes,
    bw_numeric_probes,
    bw_trade_probes,
    bw_trade_air_probes,
    bw_machine_probes,
    NULL,
};

const struct bw_probe *const *bw_probe_lists(void) { return LISTS; }
