// random.c - see random.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: splitmix64's additive walk and mixer; 53 of its bits, moved half a step off zero, make a
// uniform number whose logarithm exists; pairs of those make normal ones (Box and Muller 1958).
// Range: 2^64 draws. Rejected: larger generators, since nothing here draws more than some 1e9
// numbers, and the C library's rand, which differs between libraries.
#include "numeric/random.h"

#include <math.h>

uint64_t bw_random_next(uint64_t *state) {
    *state += 0x9e3779b97f4a7c15u;
    uint64_t z = *state;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

double bw_random_uniform(uint64_t *state) {
    return ((double)(bw_random_next(state) >> 11) + 0.5) * 0x1p-53;
}

double bw_random_between(uint64_t *state, double low, double high) {
    return low + (high - low) * bw_random_uniform(state);
}

double bw_random_normal(uint64_t *state) {
    double radius = sqrt(-2 * log(bw_random_uniform(state)));
    return radius * cos(2 * M_PI * bw_random_uniform(state));
}
