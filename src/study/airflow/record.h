// record.h - what the study `airflow` takes and gives.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_AIRFLOW_RECORD_H
#define BW_STUDY_AIRFLOW_RECORD_H

#include "base/field.h"

enum airflow_when { WHEN_BEFORE, WHEN_NOW };
enum airflow_rule { RULE_TCHEBYCHEFF, RULE_LINEAR, RULE_AREA, RULE_FACE };
enum airflow_instrument { BY_PITOT, BY_VANE, BY_HOT_WIRE };

struct airflow_tap {
    struct bw_quantity pressure, was, diameter, coefficient;
    const char *at, *entry;
};
struct airflow_section {
    const char *at, *readings;
    struct bw_quantity diameter, width, height, factor;
    int rule, instrument, when;
};
struct airflow_input {
    struct bw_file machine;
    struct bw_quantity temperature, humidity, altitude, pressure;
    struct bw_quantity minimum, transport;
    struct bw_list taps, sections;
};

// --- answers
enum airflow_verdict { PORT_ENOUGH, PORT_STARVED, PORT_UNSURE, PORT_SMALL };
enum airflow_basis { BASIS_PLATE, BASIS_GIVEN, BASIS_PRACTICE };
enum airflow_speed { SPEED_FINE, SPEED_LOW, SPEED_UNSURE };

struct airflow_port {
    const char *at, *method, *text;
    struct bw_quantity flow, velocity, minimum, minimum_velocity, short_chance;
    int verdict, basis, carries, when;
};
struct airflow_share {  // one line of an uncertainty budget
    const char *at, *what;
    struct bw_quantity share;
};
struct airflow_change {
    const char *at, *verdict;
    struct bw_quantity before, now, ratio;
};
struct airflow_mark {  // one hole or point of a card
    const char *text;
    struct bw_quantity depth;
};
struct airflow_card {
    const char *at, *text;
    struct bw_list depths;  // struct airflow_mark
};
struct airflow_note {
    const char *text;
};
struct airflow_output {
    const char *answer, *machine;
    struct bw_quantity density, total, total_minimum;
    struct bw_list ports, changes, budget, cards, notes;
};

extern const struct bw_record airflow_input_record, airflow_output_record;

#endif
