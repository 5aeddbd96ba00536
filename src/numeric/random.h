// random.h - a small source of random numbers: one word of state, the same on every machine.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_RANDOM_H
#define BW_NUMERIC_RANDOM_H

#include <stdint.h>

// splitmix64 (Steele, Lea and Flood 2014); every start value is good, neighbours included.
uint64_t bw_random_next(uint64_t *state);
double bw_random_uniform(uint64_t *state);  // inside (0, 1), never an end
double bw_random_between(uint64_t *state, double low, double high);
double bw_random_normal(uint64_t *state);  // mean 0, sd 1

#endif
