// crossed.h - readings of several parts by several people, several times: whose spread is it.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_CROSSED_H
#define BW_NUMERIC_CROSSED_H

#include <stdbool.h>
#include <stddef.h>

// Two-way analysis of variance, both random: value[(part * people + person) * repeats + k].
struct bw_crossed {
    double part_square, person_square, both_square, repeat_square;  // mean squares
    double f, chance;  // of parts and people acting together; chance of so large an F by luck
    bool joined;       // chance above 0.25: put together with the repeats
    double repeat_sd, person_sd, both_sd, part_sd;  // components, 0 where negative
    double gauge_sd;                                // repeats, people and both
    double total_sd;                                // gauge and parts
    double categories;  // 1.41 part over gauge: how many kinds of part the gauge can tell
};
// parts, people, repeats >= 2 (people may be 1: then person and both are 0).
struct bw_crossed bw_crossed_of(const double *value, size_t parts, size_t people, size_t repeats);

#endif
