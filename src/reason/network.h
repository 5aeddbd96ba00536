// network.h - the knowledge as it bears on one machine, in numbers.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Doubt. Every chance in the files is a guess with a standard deviation `doubt` on the logit
// scale. As each chance enters one answer only, and chances err apart from each other, the exact
// average over all that could be true is had by putting the mean of each chance in place of the
// guess: 0.92 becomes 0.88, 0.02 becomes 0.03. That is what these rows hold; docs/belief.md
// derives it.
#ifndef BW_REASON_NETWORK_H
#define BW_REASON_NETWORK_H

#include "reason/belief.h"
#include "reason/knowledge.h"

#include <stdint.h>

#define BW_NO_INDEX SIZE_MAX

// What closed jobs taught: proven cases counted on top of the pseudo-cases that stand behind every
// shipped number (assumptions strength_weight, strength_link). Counts may be fractions where an
// outcome is shared between causes. Borrowed; each pointer may be NULL: nothing learned.
struct bw_learned {
    const double *cause;  // [causes]: cases in which it was at work
    double unlisted;      // cases whose cause is on no list
    // [checks * causes], row per check: answers heard in cases whose only cause it was.
    const double *yes, *no;
    // [remedies * causes], row per remedy: times it cured that cause, and did not.
    const double *cured, *uncured;
};

// What a network is made of. `learned` NULL: the files' own numbers.
struct bw_network_from {
    const struct bw_knowledge *knowledge;
    const struct bw_features *features;
    const struct bw_learned *learned;
};

struct bw_network {
    const struct bw_knowledge *knowledge;
    struct bw_features features;
    // Causes: those this machine can have, then "something that is not on the list", which
    // behaves like the average of them. Rows: one per check of the knowledge, in its order, then
    // two per remedy: "still there after it", "less than before".
    struct bw_net net;
    const size_t *cause;      // [net.causes]: into knowledge; BW_NO_INDEX for the last
    const size_t *index;      // [knowledge->causes]: into net, BW_NO_INDEX: not on this machine
    const unsigned *heads;    // [net.causes]: heads it can sit on, 0: not of a head
    const bool *check_open;   // [checks]: the machine allows it
    const bool *remedy_open;  // [remedies]
    const double *wrong;      // [rows]: how often such an answer is wrong
    const double *cures;      // [remedies * knowledge->causes]: chance of cure, learned included
};

// The network borrows the knowledge, not the counts. Errors: BW_INPUT (no cause fits the machine),
// BW_MEMORY.
bool bw_network_make(const struct bw_network_from *from, struct bw_arena *arena,
                     struct bw_network *out, struct bw_err *err) BW_CHECKED;

// Mean of a chance whose logit is normal around logit(chance) with standard deviation `doubt`; to
// 1e-9.
double bw_mean_chance(double chance, double doubt);

// Rows of a remedy: "still there after it", and "less than before".
static inline size_t bw_remedy_row(const struct bw_network *network, size_t remedy) {
    return network->knowledge->checks + remedy;
}
static inline size_t bw_helped_row(const struct bw_network *network, size_t remedy) {
    return network->knowledge->checks + network->knowledge->remedies + remedy;
}

#endif
