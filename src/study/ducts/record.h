// record.h - what the study `ducts` takes and gives.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_DUCTS_RECORD_H
#define BW_STUDY_DUCTS_RECORD_H

#include "base/field.h"

struct ducts_shut {
    const char *name;
};
struct ducts_measured {  // a flow, or a suction
    struct bw_quantity flow, suction;
    const char *at;
};
enum ducts_priced {
    PRICE_CLEANING,
    PRICE_MEDIA,
    PRICE_HOSE,
    PRICE_DUCT,
    PRICE_SHEAVE,
    PRICE_BOOSTER,
    PRICE_SEALING
};
struct ducts_price {
    struct bw_quantity amount;
    int of;
};
struct ducts_input {
    struct bw_file network, machine;
    struct bw_list shut, measured, suctions, prices;
    long draws, seed;
    int settings, parts;
};

// --- answers
enum ducts_verdict { DUCT_ENOUGH, DUCT_STARVED, DUCT_UNSURE, DUCT_NO_LIMIT };
enum ducts_speed { DUCT_CARRIES, DUCT_SETTLES, DUCT_WASTES, DUCT_IDLE };

struct ducts_line_row {
    const char *name, *from, *to;
    struct bw_quantity flow, velocity, minimum, short_chance, open, suction, loss;
    int verdict, speed, hole;
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
    const char *what, *effort, *worst, *slowest, *caution, *caution_too, *everywhere, *gates;
    struct bw_quantity share, before, velocity, motor, cost;
    int works, overload;
};
struct ducts_balance_row {
    const char *line;
    struct bw_quantity open, flow, share, velocity;
};
struct ducts_size_row {
    const char *line;
    struct bw_quantity diameter, flow, velocity, open;
};
struct ducts_suspect_row {
    const char *line, *element, *text;
    struct bw_quantity factor, hole, misfit, chance;
};
struct ducts_note_row {
    const char *text;
};
struct ducts_output {
    const char *name, *answer, *first, *balance_slowest;
    struct bw_quantity density, transport, imbalance, mismatch, steps, tried, misfit, expected;
    struct bw_quantity balance_velocity, duty_flow, duty_pressure, duty_power, duty_motor;
    struct bw_list lines, parts, fans, sizes, settings, remedies, balance, suspects, notes;
    int calibrated, tell_parts;
};

extern const struct bw_record ducts_input_record, ducts_output_record;

#endif
