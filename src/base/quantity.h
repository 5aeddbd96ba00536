// quantity.h - numbers with a unit and a standard deviation, as people write them.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Inside the program everything is SI; units exist only at the rim, here. "±" means one standard
// deviation throughout the program.
#ifndef BW_BASE_QUANTITY_H
#define BW_BASE_QUANTITY_H

#include "base/err.h"

#include <math.h>

// What a quantity is of, and how it is shown. Several entries may share one physical dimension (a
// feed and a belt speed are both speeds) and differ only in the unit people expect to see.
// X(NAME, "word", physical dimension, SI display unit, US display unit)
#define BW_DIMS(X)                                                                                 \
    X(NUMBER, "a plain number", NONE, "", "")                                                      \
    X(RATIO, "a ratio or percentage", NONE, "%", "%")                                              \
    X(LENGTH, "a length", LENGTH, "mm", "in")                                                      \
    X(DEPTH, "a small length", LENGTH, "µm", "in")                                                 \
    X(TRAVEL, "a length", LENGTH, "m", "ft")                                                       \
    X(AREA, "an area", AREA, "m²", "ft²")                                                          \
    X(FEED, "a feed speed", SPEED, "m/min", "ft/min")                                              \
    X(SPEED, "a speed", SPEED, "m/s", "ft/min")                                                    \
    X(RATE, "a rate", FREQUENCY, "Hz", "Hz")                                                       \
    X(TURNS, "a speed of rotation", FREQUENCY, "rpm", "rpm")                                       \
    X(STROKES, "a number of strokes per minute", FREQUENCY, "/min", "/min")                        \
    X(FLOW, "an air flow", FLOW, "m³/h", "cfm")                                                    \
    X(PRESSURE, "a pressure", PRESSURE, "Pa", "inH2O")                                             \
    X(AIR_PRESSURE, "a pressure", PRESSURE, "bar", "psi")                                          \
    X(POWER, "a power", POWER, "kW", "hp")                                                         \
    X(TEMPERATURE, "a temperature", TEMPERATURE, "°C", "°F")                                       \
    X(ANGLE, "an angle", ANGLE, "deg", "deg")                                                      \
    X(TIME, "a time", TIME, "s", "s")                                                              \
    X(MINUTES, "a time", TIME, "min", "min")                                                       \
    X(MASS, "a mass", MASS, "kg", "lb")                                                            \
    X(DENSITY, "a density", DENSITY, "kg/m³", "lb/ft³")                                            \
    X(CURRENT, "a current", CURRENT, "A", "A")                                                     \
    X(RESISTANCE, "a resistance", RESISTANCE, "ohm", "ohm")                                        \
    X(SHORE, "a Shore A hardness", SHORE, "Shore A", "Shore A")                                    \
    X(FORCE, "a force", FORCE, "N", "lbf")                                                         \
    X(GRAMMAGE, "a mass per area", AREAL_MASS, "g/m²", "g/m²")                                     \
    X(CUTTING_ENERGY, "an energy per volume", ENERGY_DENSITY, "J/mm³", "J/mm³")                    \
    X(HEAT, "a power per area", FLUX, "W/mm²", "W/mm²")

enum bw_dim {
#define BW_X(name, word, physical, si, us) BW_DIM_##name,
    BW_DIMS(BW_X)
#undef BW_X
        BW_DIM_COUNT
};

enum bw_units { BW_UNITS_SI, BW_UNITS_US };

// A way of measuring with the standard deviation it usually has (trade practice); a field may offer
// several ("by watch", "by plate"). The list ends with name NULL.
struct bw_way {
    const char *name;  // one or more words: "plate", "timed 3 m"
    const char *help;
    double relative_sd;  // of the value; 0: none
    double absolute_sd;  // SI, added in quadrature; 0: none
    double shared;       // 0..1: share of the variance common to all readings taken this way
};

// v NaN: not given (see bw_known). sd NaN: not stated. way: index into the field's list, or -1.
struct bw_quantity {
    double v, sd;
    int way;
};

// NAN is a float, which clang's -Wdouble-promotion rightly minds; this is the double.
#define BW_NAN ((double)NAN)
#define BW_UNKNOWN ((struct bw_quantity){.v = BW_NAN, .sd = BW_NAN, .way = -1})
static inline struct bw_quantity bw_exactly(double v) {
    return (struct bw_quantity){.v = v, .sd = BW_NAN, .way = -1};
}
static inline struct bw_quantity bw_about(double v, double sd) {
    return (struct bw_quantity){.v = v, .sd = sd, .way = -1};
}
static inline bool bw_known(struct bw_quantity q) { return !isnan(q.v); }
static inline bool bw_sd_known(struct bw_quantity q) { return !isnan(q.sd); }

// Reads a quantity of dimension `dim`. Accepted forms (spaces, thin and no-break spaces optional;
// docs/units.md has them all):
//   24 ft/min   7.3m/min   103 in   7 5/8 in   1/16"   0.004 in   5' 3"   1100 cfm   1.2 inH2O
//   3.5 kW   68 °F   −5 °C   24 feet per minute   2 min 30 s
//   18 m/s ± 3 %   14.6 mm ± 0.2   14.6 ± 0.2 mm   14.6 mm ± 0.05 mm   +- and +/-
//   18 m/s by plate          (only where `ways` is given; NULL: no ways)
//   unknown, ?               (v NaN)
// A stated ± beats the way's usual sd; it must be above 0. A ± in % is of the value, but for RATIO,
// where it is in points (45 % ± 3 %), and for temperatures, where it is refused. A ± on a
// temperature is a difference. A plain number without unit is taken only for NUMBER, RATIO (0.03 or
// 3 %) and SHORE; elsewhere the error lists what fits. A wrong dimension says what was expected and
// what came ("needs a length such as 14.6 mm or 5/8 in, got a speed"). At most BW_MAX_QUANTITY_TEXT
// bytes. Errors: BW_INPUT, with value and mend filled; line and field are the caller's. Allocates
// nothing.
bool bw_quantity_read(const char *text, size_t length, enum bw_dim dim, const struct bw_way *ways,
                      struct bw_quantity *out, struct bw_err *err) BW_CHECKED;

// The factor pieces of one unit of the table: SI = value * factor + offset. No unit at all is taken
// where a plain number is (factor 1; for NUMBER nothing else). Error: BW_INPUT, unknown unit (the
// nearest spelling is suggested) or a unit of another dimension.
bool bw_unit_read(const char *text, size_t length, enum bw_dim dim, double *factor, double *offset,
                  struct bw_err *err) BW_CHECKED;

#define BW_QUANTITY_TEXT 120
// As people read it: "14.6 ± 0.2 mm", "24 ft/min", "0.0035 in", "45 % ± 3 %", "unknown". Rounded by
// the sd (one digit, two when it begins with 1 or would by rounding); without sd to 4 significant
// digits or whole numbers, whichever is finer. The minus is a plain hyphen, so that it can be
// pasted anywhere. bw_quantity_read gives the value back within half a last digit. Returns `text`.
const char *bw_quantity_text(char text[BW_QUANTITY_TEXT], struct bw_quantity q, enum bw_dim dim,
                             enum bw_units units);
// The same without the unit, for a table's column whose title carries it: "14.6 ± 0.2".
const char *bw_quantity_value(char text[BW_QUANTITY_TEXT], struct bw_quantity q, enum bw_dim dim,
                              enum bw_units units);

const char *bw_dim_word(enum bw_dim dim);                       // "a feed speed"
const char *bw_dim_name(enum bw_dim dim);                       // "feed"
const char *bw_dim_unit(enum bw_dim dim, enum bw_units units);  // "m/min"
double bw_dim_from_si(enum bw_dim dim, enum bw_units units, double si);
double bw_dim_to_si(enum bw_dim dim, enum bw_units units, double shown);

// A quantity people would write there: "24 ft/min". For forms, help and messages.
const char *bw_dim_example(enum bw_dim dim, enum bw_units units);

// Two dims measure the same physical thing (FEED and SPEED do).
bool bw_dim_same(enum bw_dim a, enum bw_dim b);

// Units from --units ("si", "us"; NULL: the country of LC_ALL, else LC_MEASUREMENT, else LANG: US
// for *_US, *_LR, *_MM, else SI). Error: BW_USAGE.
bool bw_units_choose(const char *option, enum bw_units *out, struct bw_err *err) BW_CHECKED;

#endif
