// probes.h - what this room answers to published checks.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_MACHINE_PROBES_H
#define BW_MACHINE_PROBES_H

#include "base/probe.h"

extern const struct bw_probe bw_machine_probes[];

#endif
