// record.h - what the study `ducts` takes and gives.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_DUCTS_RECORD_H
#define BW_STUDY_DUCTS_RECORD_H

#include "base/field.h"

struct ducts_shut {
    const char *name;
};
struct ducts_measured {
    struct bw_quantity flow;
    const char *at;
};
struct ducts_input {
    struct bw_file network, machine;
    struct bw_list shut, measured;
    long draws, seed;
    int settings;
};

// --- answers
enum ducts_verdict { DUCT_ENOUGH, DUCT_STARVED, DUCT_UNSURE, DUCT_NO_LIMIT };
enum ducts_speed { DUCT_CARRIES, DUCT_SETTLES, DUCT_WASTES, DUCT_IDLE };

struct ducts_line_row {
    const char *name, *from, *to;
    struct bw_quantity flow, velocity, minimum, short_chance, open, suction, loss;
    int verdict, speed;
};
struct ducts_part_row {
    const char *line, *part;
    struct bw_quantity velocity, velocity_pressure, loss, pressure;
};
struct ducts_fan_row {
    const char *line, *text;
    struct bw_quantity flow, pressure, power, motor;
};
struct ducts_setting_row {
    const char *open, *worst, *slowest;
    struct bw_quantity share, velocity;
};
struct ducts_remedy_row {
    const char *what, *effort, *worst, *caution;
    struct bw_quantity share, before, velocity, motor;
    int works;
};
struct ducts_suspect_row {
    const char *line, *text;
    struct bw_quantity factor, misfit;
};
struct ducts_note_row {
    const char *text;
};
struct ducts_output {
    const char *name, *answer;
    struct bw_quantity density, transport, imbalance, mismatch, steps, tried, misfit;
    struct bw_list lines, parts, fans, settings, remedies, suspects, notes;
};

extern const struct bw_record ducts_input_record, ducts_output_record;

#endif
