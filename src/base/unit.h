// unit.h - the table of units, and how a unit's name is recognised. quantity.h is the door to it.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// "Plain" text is ASCII: bw_unit_plain turns what people type or paste (typographic minus and
// primes, thin spaces, 5/8 in one character, the micro, degree and ohm signs) into it.
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
    X(FORCE, "a force", "N, kN, lbf")                                                              \
    X(ENERGY, "an energy", "J, kJ")                                                                \
    X(AREAL_MASS, "a mass per area", "g/m², oz/ft²")                                               \
    X(ENERGY_DENSITY, "an energy per volume", "J/mm³, J/cm³")                                      \
    X(FLUX, "a power per area", "W/mm², kW/m²")                                                    \
    X(COUNT, "a count", "strokes, turns")

enum bw_physical {
#define BW_X(name, word, units) BW_OF_##name,
    BW_PHYSICALS(BW_X)
#undef BW_X
        BW_OF_ANY  // also the number of kinds
};

// SI value = number * factor + offset.
struct bw_unit {
    const char *name;       // as shown to people, UTF-8
    const char *spellings;  // plain, parted by |, case as printed; a space may be left out
    enum bw_physical of;
    double factor, offset;
    const char *source;
};

// What a unit's name stands for. `unit` is the row (of a quotient such as ft/min, the upper one);
// `rival`, else NULL, another row the name may mean because its case was wrong ("MOHM").
struct bw_unit_found {
    enum bw_physical of;
    double factor, offset;
    const struct bw_unit *unit, *rival;
};

const struct bw_unit *bw_units_table(size_t *count);
const char *bw_physical_word(enum bw_physical of);
const char *bw_physical_units(enum bw_physical of);

// A piece of text, borrowed, not NUL-terminated.
struct bw_span {
    const char *at;
    size_t n;
};
struct bw_span bw_span_from(struct bw_span span, size_t start);  // start <= n
struct bw_span bw_span_trim(struct bw_span span);                // spaces at both ends

// Writes the first BW_MAX_QUANTITY_TEXT bytes of UTF-8 as plain text, NUL-terminated; returns its
// length. Unknown characters and ill-formed bytes pass through.
#define BW_PLAIN_TEXT (2 * BW_MAX_QUANTITY_TEXT + 1)  // no character grows to more than its double
size_t bw_unit_plain(const char *text, size_t length, char plain[BW_PLAIN_TEXT]);

// Finds the unit that plain text names, looking first among units of what is wanted. Letters' case
// is free where it cannot be misread. False: no such unit.
bool bw_unit_find(struct bw_span name, enum bw_physical wanted, struct bw_unit_found *out);

// The nearest spelling to plain text that names no unit, "" if none is near. Returns `out`.
#define BW_UNIT_TEXT 48
const char *bw_unit_nearest(struct bw_span name, enum bw_physical wanted, char out[BW_UNIT_TEXT]);

#endif
