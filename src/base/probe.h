// probe.h - a named number or word that a published check can ask the program for.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A room that computes something checkable exports a list of probes, `bw_ROOM_probes`, ended by
// name NULL, and src/cli/probes.c names the list. A check then reads: do  pitch_of_rate feed="6
// m/min" rate="6.870 Hz".
#ifndef BW_BASE_PROBE_H
#define BW_BASE_PROBE_H

#include "base/quantity.h"

#define BW_PROBE_INPUTS 8

// A quantity in SI, or a word (then v is NaN). Words are borrowed from the check or constant.
struct bw_probe_value {
    double v;
    const char *text;
};

struct bw_probe_input {
    const char *name;  // [a-z][a-z0-9_]*
    enum bw_dim dim;
    bool text;  // a word such as a bearing's designation; dim is not used
};

struct bw_probe {
    const char *name;  // [a-z][a-z0-9_]*, unique over all rooms
    const char *help;  // one line
    // All are required; the list ends with name NULL.
    struct bw_probe_input inputs[BW_PROBE_INPUTS + 1];
    enum bw_dim dim;  // of the answer
    bool text;        // the answer is a word; dim is not used
    // `in` holds the inputs in the order of the list. On failure `out` is untouched.
    bool (*run)(const struct bw_probe_value *in, struct bw_probe_value *out, struct bw_err *err);
};

#endif
