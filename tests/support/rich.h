// rich.h - a record that has every kind of field, for tests of whatever is driven by fields.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef TESTS_SUPPORT_RICH_H
#define TESTS_SUPPORT_RICH_H

#include "base/field.h"

struct rich_roll {  // may be written "idler of 120 mm with 3 teeth" (bar the last word)
    const char *name;
    struct bw_quantity diameter;
    long teeth;
    int fixed;
};
struct rich_mark {  // may be written "14.6 mm by rule at 24 ft/min is splice note chalked"
    struct bw_quantity pitch, feed;
    int is;
    const char *note;
};
struct rich_elbow {
    struct bw_quantity angle;
};
struct rich_fan {
    struct bw_quantity power, flow, pressure;
    const struct rich_roll *pulley;
};
struct rich {
    struct bw_quantity length, depth, speed, temperature, moisture, factor, hardness;
    struct bw_quantity at_least;
    long heads, count;
    int backing;
    const char *name, *note;
    struct bw_file rolls;  // a document of one roll
    struct bw_file photo;  // raw bytes
    const struct rich_roll *roll;
    struct bw_list marks;   // struct rich_mark
    struct bw_list spares;  // struct rich_roll
    struct bw_oneof element;
};

extern const struct bw_record rich_record, rich_mark_record, rich_roll_record;
extern const struct bw_file_kind rich_roll_file;

#endif
