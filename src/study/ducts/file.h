// file.h - the network file: a dust system as a technician would describe it.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// docs/duct-file.md is the reader's version of these records, the field tables in file.c are the
// only place they are defined.
#ifndef BW_STUDY_DUCTS_FILE_H
#define BW_STUDY_DUCTS_FILE_H

#include "base/field.h"

#define DUCTS_SHAPE "dust-system/1"
#define DUCTS_MOST_LINES 300
#define DUCTS_MOST_PARTS 40

// The parts of a line, in the order of ducts_part_kinds.
enum ducts_kind {
    DUCTS_HOOD,
    DUCTS_STRAIGHT,
    DUCTS_FLEX,
    DUCTS_ELBOW,
    DUCTS_GATE,
    DUCTS_REDUCER,
    DUCTS_LOSS,
    DUCTS_SEPARATOR,
    DUCTS_FILTER,
    DUCTS_FAN,
    DUCTS_EXIT
};
struct ducts_hood {
    const char *entry;
    struct bw_quantity loss;
};
struct ducts_straight {
    struct bw_quantity length, roughness;
};
struct ducts_flex {
    struct bw_quantity length, roughness, compressed;
};
struct ducts_elbow {
    struct bw_quantity angle, radius;
    long pieces, times;
};
struct ducts_gate {
    struct bw_quantity open, leak;
};
struct ducts_reducer {
    struct bw_quantity to, angle;
};
struct ducts_loss {
    struct bw_quantity factor;
};
enum ducts_filter_state { FILTER_CLEAN, FILTER_SEASONED, FILTER_BLINDED };
struct ducts_filter {
    struct bw_quantity pressure, at;
    int state;
};
struct ducts_point {
    struct bw_quantity flow, pressure;
};
struct ducts_fan {
    struct bw_quantity most_flow, most_pressure, motor, speed, curve_speed, curve_density;
    struct bw_quantity efficiency;
    struct bw_list points;  // struct ducts_point
};
#define DUCTS_KINDS 11
struct ducts_part {  // one of them is given, at its kind's place
    const void *by[DUCTS_KINDS];
};
struct ducts_line {
    const char *name, *from, *to;
    struct bw_quantity diameter, minimum;
    struct bw_list parts;  // struct ducts_part
    bool sized;            // no field: its diameter was left out and worked out
};
struct ducts_junction {
    const char *at, *main, *branch;
    struct bw_quantity angle;
};
// The quick way in: branches in order from the far end of the trunk.
struct ducts_branch {
    const char *name;
    struct bw_quantity diameter, length, flex, minimum, trunk, run;
    long elbows;
    int gate;
};
// A hole where a line ends, or at a point.
struct ducts_leak {
    struct bw_quantity hole;  // its diameter
    const char *at;
};
enum ducts_sizes { SIZES_METRIC, SIZES_INCHES };
struct ducts_file {
    const char *name, *note;
    struct bw_quantity temperature, altitude, density, transport;
    int sizes;
    struct bw_list lines, junctions, branches, leaks;
    const struct ducts_fan *fan;
    const struct ducts_filter *filter;
};

extern const struct bw_file_kind ducts_file_kind;
extern const struct bw_record ducts_file_record;
extern const struct bw_choice_record ducts_part_kinds[];

// Which kind a part is.
static inline enum ducts_kind ducts_part_kind(const struct ducts_part *part) {
    int kind = 0;
    while (kind < DUCTS_KINDS - 1 && part->by[kind] == NULL) kind++;
    return (enum ducts_kind)kind;
}

#endif
