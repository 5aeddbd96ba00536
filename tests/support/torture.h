// torture.h - fails each allocation of some work in turn: error paths are walked, not trusted.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TESTS_TORTURE_H
#define BW_TESTS_TORTURE_H

#include <stdbool.h>

// Calls `work` with its first allocation failing (and all after it), then from the second on, and
// so on, until it gets through. `work` returns true when it did all it should, false when memory
// ran out; either way it must have freed what it took, else the test fails. Returns how many
// allocations the work needs.
unsigned long torture(bool (*work)(void *with), void *with);

#endif
