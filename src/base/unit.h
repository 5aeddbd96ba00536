// unit.h - the table of units, and how a unit's name is recognised. quantity.h is the door to it.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// "Plain" text is ASCII: bw_unit_plain turns what people type or paste (typographic minus and primes,
// thin spaces, fractions such as 5/8 in one character, the micro, degree and ohm signs) into it.
#ifndef BW_BASE_UNIT_H
#define BW_BASE_UNIT_H

#include "base/limits.h"

#include <stdbool.h>
#include <stddef.h>

// What a unit measures. X(NAME, "a word", "units people use, for messages")
#define BW_PHYSICALS(X)                                                                            \
    X(NONE, "a percentage", "%")                                                                   \
    X(LENGTH, "a length", "µm, mm, cm, m, in, ft, mil")                                            \
    X(AREA, "an area", "mm², cm², m², in², ft²")                                                   \
    X(VOLUME, "a volume", "cm³, l, m³, in³, ft³")                                                  \
    X(SPEED, "a speed", "mm/s, m/s, m/min, km/h, in/s, ft/s, ft/min")                              \
    X(FREQUENCY, "a rate", "Hz, kHz, rpm, 1/s, 1/min, strokes/min")                                \
    X(FLOW, "an air flow", "m³/h, m³/s, l/s, cfm")                                                 \
    X(PRESSURE, "a pressure", "Pa, kPa, mbar, bar, psi, inH2O, mmH2O, inHg")                       \
    X(POWER, "a power", "W, kW, hp, PS")                                                           \
    X(TEMPERATURE, "a temperature", "°C, °F, K")                                                   \
    X(ANGLE, "an angle", "deg, rad, mrad")                                                         \
    X(TIME, "a time", "ms, s, min, h, days")                                                       \
    X(MASS, "a mass", "g, kg, oz, lb")                                                             \
    X(DENSITY, "a density", "kg/m³, g/cm³, lb/ft³")                                                \
    X(CURRENT, "a current", "mA, A")                                                               \
    X(RESISTANCE, "a resistance", "mohm, ohm, kohm, Mohm, Gohm")                                   \
    X(SHORE, "a Shore A hardness", "Shore A")                                                      \
    X(SHORE_D, "a Shore D hardness", "Shore D")                                                    \
    X(COUNT, "a count", "strokes, turns")

enum bw_physical {
#define BW_X(name, word, units) BW_OF_##name,
    BW_PHYSICALS(BW_X)
#undef BW_X
        BW_OF_COUNT_OF
};

// SI value = number * factor + offset.
struct bw_unit {
    const char *name;       // as shown to people, UTF-8
    const char *spellings;  // plain, parted by |, case as printed; a space may be left out
    enum bw_physical of;
    double factor, offset;
    const char *source;
};

// What a unit's name stands for; `factor` of a quotient ("ft/min") is worked out.
struct bw_unit_found {
    enum bw_physical of;
    double factor, offset;
    const struct bw_unit *unit, *rival;  // rival: the same name in other letters' case; else NULL
};

const struct bw_unit *bw_units_table(size_t *count);
const char *bw_physical_word(enum bw_physical of);
const char *bw_physical_units(enum bw_physical of);

#define BW_PLAIN_TEXT (3 * BW_MAX_QUANTITY_TEXT + 1)
// Writes at most BW_MAX_QUANTITY_TEXT bytes of UTF-8 as plain text, NUL-terminated; returns its length.
// Unknown characters pass through.
size_t bw_unit_plain(const char *text, size_t length, char plain[BW_PLAIN_TEXT]);

// Finds the unit that plain text names, looking first among units of what is wanted. Case is free
// where no other unit is spelt so. False: no such unit.
bool bw_unit_find(const char *plain, size_t length, enum bw_physical wanted,
                  struct bw_unit_found *out);

#define BW_UNIT_TEXT 48
// The nearest spelling to text that names no unit, "" if none is near. Returns `out`.
const char *bw_unit_nearest(const char *plain, size_t length, enum bw_physical wanted,
                            char out[BW_UNIT_TEXT]);

#endif
