// meter.c - see meter.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/sequence/meter.h"

#include <math.h>

double meter_amps(double idle, double full, double share) {
    return sqrt(idle * idle + share * share * (full * full - idle * idle));
}

double meter_share(double idle, double full, double amps) {
    if (amps <= idle) return 0;
    return sqrt((amps * amps - idle * idle) / (full * full - idle * idle));
}
