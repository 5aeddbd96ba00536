// meter.h - motor load and amps: what a meter should show, and what its reading says.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SEQUENCE_METER_H
#define BW_STUDY_SEQUENCE_METER_H

// Idle current is nearly all magnetising and stands square to the working current, so
// I^2 = idle^2 + work^2; the plate's amps go with the plate's power.
#define METER_LEAST 0.3  // of the plate's power: below, the needle hardly moves

// Amps at a share of the plate's power.
double meter_amps(double idle, double full, double share);
// Share of the plate's power at these amps; 0 at or below idle.
double meter_share(double idle, double full, double amps);

#endif
