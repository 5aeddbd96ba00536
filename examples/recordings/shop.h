// shop.h - the machines of examples/ as they sound, with true speeds a little off their plates.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef RECORDINGS_SHOP_H
#define RECORDINGS_SHOP_H

#include "recordings/sounds.h"

// True rates of one head, Hz.
struct shop_head {
    double splice, drum, roller, motor, mains;
};
enum shop_fault { SHOP_SOUND, SHOP_OUTER, SHOP_INNER };

// A head at work: splice, runout, motor, hum, cutting noise, and perhaps a damaged drum bearing
// (6205, true orders). `cut` 0: idle.
struct sounds_scene shop_scene(const struct shop_head *head, enum shop_fault fault, double cut,
                               uint64_t seed);

struct shop_recording {
    const char *name, *says;
    struct shop_head head;
    enum shop_fault fault;
    double cut;
    uint64_t seed;
};
extern const struct shop_recording shop_recordings[];  // the last has name NULL

#endif
