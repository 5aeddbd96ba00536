// probes.h - what this room answers to published checks.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_PROBES_H
#define BW_NUMERIC_PROBES_H

#include "base/probe.h"

extern const struct bw_probe bw_numeric_probes[];

#endif
