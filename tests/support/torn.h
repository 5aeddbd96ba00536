// torn.h - a disk under SQLite that loses power: what was not synced is kept, dropped or torn.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef TESTS_SUPPORT_TORN_H
#define TESTS_SUPPORT_TORN_H

#include <stdbool.h>
#include <stdint.h>

// From here on SQLite's files go through it, all of them. Once a program.
void torn_install(void);

enum torn_fault {
    TORN_POWER,     // every call fails: the machine is off
    TORN_FULL,      // every write fails for want of room
    TORN_READ_ONLY  // every write is refused
};
// The fault begins with the n-th write from now; 0: never. Forgets the files seen before.
void torn_begin(long writes, enum torn_fault fault);
bool torn_happened(void);
// Puts every file into a state it could have after losing power: its content at the last sync, with
// any of the later writes, whole or torn at a sector. No file may be open.
void torn_lose_power(uint64_t *seed);

#endif
