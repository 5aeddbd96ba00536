// test_quantity.c - how quantities are read, refused and shown.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/quantity.h"

#include "base/alloc.h"
#include "base/unit.h"
#include "base/utf8.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define ROWS(array) (sizeof(array) / sizeof *(array))
#define NO BW_NAN

static const struct bw_way WAYS[] = {
    {"plate", "read off the machine's plate", 0.05, 0.0, 1.0},
    {"timed 3 m", "watch and tape", 0.01, 0.001, 0.0},
    {"guess", "no usual error", 0.0, 0.0, 0.0},
    {.name = NULL},
};

static bool read_text(const char *text, enum bw_dim dim, struct bw_quantity *out,
                      struct bw_err *err) {
    return bw_quantity_read(text, strlen(text), dim, WAYS, out, err);
}

static bool close_to(double got, double wanted) {
    return isnan(wanted) ? isnan(got) : fabs(got - wanted) <= 1e-13 * fabs(wanted);
}

// The SI values are worked out by hand from 1 in = 25.4 mm, 1 ft = 304.8 mm and the like.
static const struct {
    const char *text;
    enum bw_dim dim;
    double v, sd;
    int way;
} GOOD[] = {
    // The issue's own list.
    {"24 ft/min", BW_DIM_FEED, 0.12192, NO, -1},
    {"7.3 m/min", BW_DIM_FEED, 7.3 / 60, NO, -1},
    {"103 in", BW_DIM_LENGTH, 2.6162, NO, -1},
    {"7 5/8 in", BW_DIM_LENGTH, 0.193675, NO, -1},
    {"1/16\"", BW_DIM_LENGTH, 0.0015875, NO, -1},
    {"0.004 in", BW_DIM_DEPTH, 1.016e-4, NO, -1},
    {"1100 cfm", BW_DIM_FLOW, 0.5191421875200000, NO, -1},
    {"1.2 inH2O", BW_DIM_PRESSURE, 298.906692, NO, -1},
    {"3.5 kW", BW_DIM_POWER, 3500, NO, -1},
    {"5 hp", BW_DIM_POWER, 3728.499357911351, NO, -1},
    {"68 °F", BW_DIM_TEMPERATURE, 293.15, NO, -1},
    {"18 m/s ± 3 %", BW_DIM_SPEED, 18, 0.54, -1},
    // Numbers.
    {"7.3m/min", BW_DIM_FEED, 7.3 / 60, NO, -1},
    {"  7.3   m/min  ", BW_DIM_FEED, 7.3 / 60, NO, -1},
    {".004 in", BW_DIM_DEPTH, 1.016e-4, NO, -1},
    {"1e3 mm", BW_DIM_LENGTH, 1, NO, -1},
    {"+5 mm", BW_DIM_LENGTH, 0.005, NO, -1},
    {"-5 mm", BW_DIM_LENGTH, -0.005, NO, -1},
    {"−5 °C", BW_DIM_TEMPERATURE, 268.15, NO, -1},
    {"–5 °C", BW_DIM_TEMPERATURE, 268.15, NO, -1},
    {"- 5 mm", BW_DIM_LENGTH, -0.005, NO, -1},
    {"0 mm", BW_DIM_LENGTH, 0, NO, -1},
    {"7-5/8\"", BW_DIM_LENGTH, 0.193675, NO, -1},
    {"7⅝ in", BW_DIM_LENGTH, 0.193675, NO, -1},
    {"7 ⅝″", BW_DIM_LENGTH, 0.193675, NO, -1},
    {"½ in", BW_DIM_LENGTH, 0.0127, NO, -1},
    {"-1/2 in", BW_DIM_LENGTH, -0.0127, NO, -1},
    {"-7 5/8 in", BW_DIM_LENGTH, -0.193675, NO, -1},
    {"5/4 in", BW_DIM_LENGTH, 0.03175, NO, -1},
    {"1\xe2\x80\xaf"
     "200 mm",
     BW_DIM_LENGTH, 1.2, NO, -1},
    // Two units.
    {"5' 3\"", BW_DIM_LENGTH, 1.6002, NO, -1},
    {"5′ 3″", BW_DIM_LENGTH, 1.6002, NO, -1},
    {"5’ 3”", BW_DIM_LENGTH, 1.6002, NO, -1},
    {"5'3\"", BW_DIM_LENGTH, 1.6002, NO, -1},
    {"5' 3''", BW_DIM_LENGTH, 1.6002, NO, -1},
    {"5'-3 1/2\"", BW_DIM_LENGTH, 1.6129, NO, -1},
    {"5 ft 3 in", BW_DIM_LENGTH, 1.6002, NO, -1},
    {"5 ft. 3 in.", BW_DIM_LENGTH, 1.6002, NO, -1},
    {"-5 ft 3 in", BW_DIM_LENGTH, -1.6002, NO, -1},
    {"-0 ft 3 in", BW_DIM_LENGTH, -0.0762, NO, -1},
    {"5'", BW_DIM_TRAVEL, 1.524, NO, -1},
    {"2 min 30 s", BW_DIM_TIME, 150, NO, -1},
    {"1 h 15 min", BW_DIM_MINUTES, 4500, NO, -1},
    {"10 lb 4 oz", BW_DIM_MASS, 4.6493217925, NO, -1},
    // Units in words and capitals.
    {"24 feet per minute", BW_DIM_FEED, 0.12192, NO, -1},
    {"24 ft per min", BW_DIM_FEED, 0.12192, NO, -1},
    {"24 FPM", BW_DIM_FEED, 0.12192, NO, -1},
    {"24 Ft/Min", BW_DIM_FEED, 0.12192, NO, -1},
    {"5 MM", BW_DIM_LENGTH, 0.005, NO, -1},
    {"1100 CFM", BW_DIM_FLOW, 0.5191421875200000, NO, -1},
    {"1870 m³/h", BW_DIM_FLOW, 1870.0 / 3600, NO, -1},
    {"1.2\" w.c.", BW_DIM_PRESSURE, 298.906692, NO, -1},
    {"1.2 in. WC", BW_DIM_PRESSURE, 298.906692, NO, -1},
    {"12 µm", BW_DIM_DEPTH, 12e-6, NO, -1},
    {"12 micron", BW_DIM_DEPTH, 12e-6, NO, -1},
    {"4 thou", BW_DIM_DEPTH, 1.016e-4, NO, -1},
    {"30 strokes per minute", BW_DIM_STROKES, 0.5, NO, -1},
    {"15 1/min", BW_DIM_STROKES, 0.25, NO, -1},
    {"15 /min", BW_DIM_STROKES, 0.25, NO, -1},
    {"15/min", BW_DIM_STROKES, 0.25, NO, -1},
    {"1500 min⁻¹", BW_DIM_TURNS, 25, NO, -1},
    {"1500 rpm", BW_DIM_RATE, 25, NO, -1},
    {"1 MΩ", BW_DIM_RESISTANCE, 1e6, NO, -1},
    {"5 mΩ", BW_DIM_RESISTANCE, 5e-3, NO, -1},
    {"68 F", BW_DIM_TEMPERATURE, 293.15, NO, -1},
    {"300 K", BW_DIM_TEMPERATURE, 300, NO, -1},
    {"90°", BW_DIM_ANGLE, 1.5707963267948966, NO, -1},
    {"650 kg/m^3", BW_DIM_DENSITY, 650, NO, -1},
    // Where no unit is needed.
    {"3.2", BW_DIM_NUMBER, 3.2, NO, -1},
    {"1/3", BW_DIM_NUMBER, 1.0 / 3, NO, -1},
    {"0.03", BW_DIM_RATIO, 0.03, NO, -1},
    {"3 %", BW_DIM_RATIO, 0.03, NO, -1},
    {"3%", BW_DIM_RATIO, 0.03, NO, -1},
    {"40", BW_DIM_SHORE, 40, NO, -1},
    {"40 Shore A", BW_DIM_SHORE, 40, NO, -1},
    {"40 A", BW_DIM_SHORE, 40, NO, -1},
    {"40° Shore A", BW_DIM_SHORE, 40, NO, -1},
    {"1475 U/min", BW_DIM_TURNS, 1475.0 / 60, NO, -1},
    // With a standard deviation.
    {"14.6 mm ± 0.2", BW_DIM_LENGTH, 0.0146, 0.0002, -1},
    {"14.6 ± 0.2 mm", BW_DIM_LENGTH, 0.0146, 0.0002, -1},
    {"(14.6 ± 0.2) mm", BW_DIM_LENGTH, 0.0146, 0.0002, -1},
    {"14.6 mm ± 0.2 mm", BW_DIM_LENGTH, 0.0146, 0.0002, -1},
    {"14.6mm±0.2mm", BW_DIM_LENGTH, 0.0146, 0.0002, -1},
    {"14.6 mm +- 0.2", BW_DIM_LENGTH, 0.0146, 0.0002, -1},
    {"14.6 mm +/- 0.2", BW_DIM_LENGTH, 0.0146, 0.0002, -1},
    {"14.6 mm ± 200 µm", BW_DIM_LENGTH, 0.0146, 0.0002, -1},
    {"14.6 mm ± 2 %", BW_DIM_LENGTH, 0.0146, 0.000292, -1},
    {"14.6 mm ± 2 percent", BW_DIM_LENGTH, 0.0146, 0.000292, -1},
    {"-14.6 mm ± 2 %", BW_DIM_LENGTH, -0.0146, 0.000292, -1},
    {"103 in ± 1/16", BW_DIM_LENGTH, 2.6162, 0.0015875, -1},
    {"18 m/s ± 1 ft/s", BW_DIM_SPEED, 18, 0.3048, -1},
    {"5' 3\" ± 0.5", BW_DIM_LENGTH, 1.6002, 0.0127, -1},
    {"5' 3\" ± 1 ft 2 in", BW_DIM_LENGTH, 1.6002, 0.3556, -1},
    {"68 °F ± 2", BW_DIM_TEMPERATURE, 293.15, 2 / 1.8, -1},
    {"68 ± 2 °F", BW_DIM_TEMPERATURE, 293.15, 2 / 1.8, -1},
    {"20 °C ± 2 °F", BW_DIM_TEMPERATURE, 293.15, 2 / 1.8, -1},
    {"20 °C ± 1 K", BW_DIM_TEMPERATURE, 293.15, 1, -1},
    {"45 % ± 3 %", BW_DIM_RATIO, 0.45, 0.03, -1},
    {"45 % ± 3", BW_DIM_RATIO, 0.45, 0.03, -1},
    {"(45 ± 3) %", BW_DIM_RATIO, 0.45, 0.03, -1},
    {"0.45 ± 0.03", BW_DIM_RATIO, 0.45, 0.03, -1},
    {"18 ± 3 %", BW_DIM_NUMBER, 18, 0.54, -1},
    {"18 ± 3", BW_DIM_NUMBER, 18, 3, -1},
    {"6400 N", BW_DIM_FORCE, 6400, NO, -1},
    {"1450 lbf", BW_DIM_FORCE, 1450 * 0.45359237 * 9.80665, NO, -1},
    {"300 g/m²", BW_DIM_GRAMMAGE, 0.3, NO, -1},
    {"0.25 J/mm3", BW_DIM_CUTTING_ENERGY, 0.25e9, NO, -1},
    {"1.6 W/mm²", BW_DIM_HEAT, 1.6e6, NO, -1},
    {"40 ± 3", BW_DIM_SHORE, 40, 3, -1},
    {"40 ± 3 Shore A", BW_DIM_SHORE, 40, 3, -1},
    // With a way of measuring.
    {"18 m/s by plate", BW_DIM_SPEED, 18, 0.9, 0},
    {"18 m/s BY Plate", BW_DIM_SPEED, 18, 0.9, 0},
    {"-18 m/s by plate", BW_DIM_SPEED, -18, 0.9, 0},
    {"0.2 m/s by  timed   3 m", BW_DIM_SPEED, 0.2, 0.0022360679774997896, 1},
    {"18 m/s ± 0.3 by plate", BW_DIM_SPEED, 18, 0.3, 0},
    {"18 m/s by guess", BW_DIM_SPEED, 18, NO, 2},
    {"0 m/s by plate", BW_DIM_SPEED, 0, NO, 0},
    // Not known.
    {"unknown", BW_DIM_LENGTH, NO, NO, -1},
    {" Unknown ", BW_DIM_SPEED, NO, NO, -1},
    {"?", BW_DIM_NUMBER, NO, NO, -1},
};

static void test_reads_what_people_write(void **state) {
    (void)state;
    for (size_t i = 0; i < ROWS(GOOD); i++) {
        struct bw_quantity q = bw_about(42, 42);
        struct bw_err err = {0};
        if (!read_text(GOOD[i].text, GOOD[i].dim, &q, &err))
            fail_msg("%s: %s", GOOD[i].text, err.what);
        if (!close_to(q.v, GOOD[i].v) || !close_to(q.sd, GOOD[i].sd) || q.way != GOOD[i].way)
            fail_msg("%s: %.17g ± %.17g way %d", GOOD[i].text, q.v, q.sd, q.way);
        assert_int_equal(err.code, BW_OK);
    }
}

// Is it a quantity of some kind?
static bool reads_somehow(const char *text, size_t length) {
    for (int dim = 0; dim < BW_DIM_COUNT; dim++) {
        struct bw_quantity q;
        struct bw_err err = {0};
        if (bw_quantity_read(text, length, (enum bw_dim)dim, WAYS, &q, &err)) return true;
    }
    return false;
}

// docs/units.md promises in its tables "| you write | it means |": all of it is taken.
static void test_reads_what_the_manual_promises(void **state) {
    (void)state;
    FILE *manual = fopen("docs/units.md", "r");
    assert_non_null(manual);
    char line[512];
    size_t promised = 0;
    for (bool inside = false; fgets(line, sizeof line, manual) != NULL;) {
        if (strncmp(line, "| you write |", 13) == 0) inside = true;
        if (line[0] != '|') inside = false;
        char *end = inside ? strchr(line + 1, '|') : NULL;
        if (end != NULL) *end = '\0';
        for (char *at = end == NULL ? NULL : strchr(line, '`'); at != NULL; at = strchr(at, '`')) {
            char *close = strchr(++at, '`');
            assert_non_null(close);
            if (!reads_somehow(at, (size_t)(close - at))) fail_msg("%.*s", (int)(close - at), at);
            promised++;
            at = close + 1;
        }
    }
    (void)fclose(manual);
    assert_true(promised > 20);
}

#define LENGTH "needs a length such as 14.6 mm or 5/8 in, got "
#define FEED "needs a feed speed such as 7.3 m/min or 24 ft/min, got "
#define SPEED "needs a speed such as 18 m/s or 3500 ft/min, got "
#define TEMPERATURE "needs a temperature such as 20 °C or 68 °F, got "
#define RATIO "needs a ratio or percentage such as 3 % or 0.03, got "
#define PLAIN "needs a plain number such as 3 or 0.5, got "
#define LENGTHS "units that fit: µm, mm, cm, m, in, ft, mil"
#define EXAMPLES "write it as 14.6 mm or 5/8 in"
#define BEGIN "begin with the number; how far it may be off goes behind a ±"
#define ONE_SD "write how far it may well be off (one standard deviation), or leave the ± out"
#define MIDDLE "write the middle, and behind a ± how far it may well be off"
#define ONE_UNIT "write it in one unit, or as in 5 ft 3 in or 2 min 30 s"
static const struct {
    const char *text;
    enum bw_dim dim;
    const char *what, *mend;
} BAD[] = {
    // Nothing, or no number.
    {"", BW_DIM_LENGTH, LENGTH "nothing", EXAMPLES},
    {"   ", BW_DIM_LENGTH, LENGTH "nothing", EXAMPLES},
    {"mm", BW_DIM_LENGTH, LENGTH "a text that does not begin with a number", BEGIN},
    {"~14 mm", BW_DIM_LENGTH, LENGTH "a text that does not begin with a number", BEGIN},
    {"about 14 mm", BW_DIM_LENGTH, LENGTH "a text that does not begin with a number", BEGIN},
    {"nan mm", BW_DIM_LENGTH, LENGTH "a text that does not begin with a number", BEGIN},
    {"(14.6) mm", BW_DIM_LENGTH, LENGTH "a text that does not begin with a number", BEGIN},
    {"--5 mm", BW_DIM_LENGTH, LENGTH "a text that does not begin with a number", BEGIN},
    {"unknown by plate", BW_DIM_LENGTH, LENGTH "a text that does not begin with a number", BEGIN},
    // Numbers that are none.
    {"1,200 mm", BW_DIM_LENGTH, LENGTH "a comma between digits",
     "write 1200 mm or 1.200 mm, whichever is meant"},
    {"-1,200mm", BW_DIM_LENGTH, LENGTH "a comma between digits",
     "write -1200 mm or -1.200 mm, whichever is meant"},
    {"3,5 mm", BW_DIM_LENGTH, LENGTH "a comma between digits", "write 3.5 mm, without the comma"},
    {"1,234,567 Pa", BW_DIM_PRESSURE,
     "needs a pressure such as 300 Pa or 1.2 inH2O, got a comma between digits",
     "write 1234567 Pa, without the comma"},
    {"1,100", BW_DIM_NUMBER, PLAIN "a comma between digits",
     "write 1100 or 1.100, whichever is meant"},
    {"1,2,3 mm", BW_DIM_LENGTH, LENGTH "a comma between digits", EXAMPLES},
    {"14.6 mm ± 0,2", BW_DIM_LENGTH, LENGTH "a comma between digits",
     "write 0.2, without the comma"},
    {"1 200 mm", BW_DIM_LENGTH, LENGTH "two numbers",
     "write one number without a space, such as 1200 or 7.625, or a fraction such as 7 5/8"},
    {"14-15 mm", BW_DIM_LENGTH, LENGTH "a range", MIDDLE},
    {"14 to 15 mm", BW_DIM_LENGTH, LENGTH "a range", MIDDLE},
    {"14 mm to 15 mm", BW_DIM_LENGTH, LENGTH "a range", MIDDLE},
    {"14 mm – 15 mm", BW_DIM_LENGTH, LENGTH "a range", MIDDLE},
    {"1/0 in", BW_DIM_LENGTH, LENGTH "a fraction with 0 below the line", EXAMPLES},
    {"7 9/8 in", BW_DIM_LENGTH, LENGTH "a fraction of 1 or more behind a whole number",
     "write the whole number and what is over, such as 7 5/8"},
    {"5 / 8 in", BW_DIM_LENGTH, LENGTH "the unknown unit \"/\"", LENGTHS},
    {"0x10 mm", BW_DIM_LENGTH, LENGTH "the unknown unit \"x10 mm\"", LENGTHS},
    {"1.2.3 mm", BW_DIM_LENGTH, LENGTH "the unknown unit \".3 mm\"", LENGTHS},
    {"1e999 mm", BW_DIM_LENGTH, LENGTH "a number too large to work with", EXAMPLES},
    {"1e308 km", BW_DIM_LENGTH, LENGTH "a number too large to work with", EXAMPLES},
    {"5 mm ± 1e308 km", BW_DIM_LENGTH, LENGTH "a number too large to work with", EXAMPLES},
    // Units.
    {"12", BW_DIM_LENGTH, LENGTH "a number without a unit",
     "write 12 mm or 12 in, whichever is meant"},
    {"12", BW_DIM_RATE, "needs a rate such as 35.8 Hz or 2150 rpm, got a number without a unit",
     "write 12 Hz, if that is meant"},
    {"18 ± 3 %", BW_DIM_SPEED, SPEED "a number without a unit",
     "write 18 m/s or 18 ft/min, whichever is meant"},
    {"12 m/s", BW_DIM_LENGTH, LENGTH "a speed", LENGTHS},
    {"5 kW", BW_DIM_LENGTH, LENGTH "a power", LENGTHS},
    {"5 m", BW_DIM_FEED, FEED "a length",
     "units that fit: mm/s, m/s, m/min, km/h, in/s, ft/s, ft/min"},
    {"68°", BW_DIM_TEMPERATURE, TEMPERATURE "an angle", "units that fit: °C, °F, K"},
    {"40 Shore D", BW_DIM_SHORE,
     "needs a Shore A hardness such as 40 Shore A or 40, got a Shore D hardness",
     "units that fit: Shore A"},
    {"3 %", BW_DIM_NUMBER, PLAIN "a percentage", "write the number without a unit"},
    {"3 mm", BW_DIM_NUMBER, PLAIN "a length", "write the number without a unit"},
    {"3 pcs", BW_DIM_NUMBER, PLAIN "the unknown unit \"pcs\"", "write the number without a unit"},
    {"12 milimetre", BW_DIM_LENGTH, LENGTH "the unknown unit \"milimetre\"",
     "did you mean millimetre?"},
    {"24 ft/mim", BW_DIM_FEED, FEED "the unknown unit \"ft/mim\"", "did you mean ft/min?"},
    {"3 furlong", BW_DIM_LENGTH, LENGTH "the unknown unit \"furlong\"", LENGTHS},
    {"12 木", BW_DIM_LENGTH, LENGTH "the unknown unit \"木\"", LENGTHS},
    {"1 MOHM", BW_DIM_RESISTANCE,
     "needs a resistance such as 0.1 ohm or 1 megohm, got a unit that can be read in two ways",
     "write mohm or Mohm, whichever is meant"},
    {"12 mm approx", BW_DIM_LENGTH, LENGTH "\"approx\" behind the unit",
     "leave out what follows the unit"},
    // Two units.
    {"5' 3", BW_DIM_LENGTH, LENGTH "a second number without a unit",
     "write both units, such as 5 ft 3 in or 2 min 30 s"},
    {"5 ft 13 in", BW_DIM_LENGTH, LENGTH "two numbers that do not make one", ONE_UNIT},
    {"5.5 ft 3 in", BW_DIM_LENGTH, LENGTH "two numbers that do not make one", ONE_UNIT},
    {"3 in 5 ft", BW_DIM_LENGTH, LENGTH "two numbers that do not make one", ONE_UNIT},
    {"1 bar 20 mbar", BW_DIM_PRESSURE,
     "needs a pressure such as 300 Pa or 1.2 inH2O, got two numbers that do not make one",
     ONE_UNIT},
    {"5 ft 3 s", BW_DIM_LENGTH, LENGTH "a time", LENGTHS},
    // Standard deviations.
    {"± 0.2 mm", BW_DIM_LENGTH, LENGTH "no value before the ±", EXAMPLES},
    {"14.6 mm ±", BW_DIM_LENGTH, LENGTH "nothing behind the ±", EXAMPLES},
    {"14.6 mm ± 0.2 ± 0.1", BW_DIM_LENGTH, LENGTH "two ±", EXAMPLES},
    {"14.6 mm ± -0.2", BW_DIM_LENGTH, LENGTH "a ± below 0", ONE_SD},
    {"14.6 mm ± −3 %", BW_DIM_LENGTH, LENGTH "a ± below 0", ONE_SD},
    {"14.6 mm ± 0", BW_DIM_LENGTH, LENGTH "a ± of 0", ONE_SD},
    {"0 mm ± 3 %", BW_DIM_LENGTH, LENGTH "a ± of 0", ONE_SD},
    {"14.6 mm ± x", BW_DIM_LENGTH, LENGTH "a text that does not begin with a number", BEGIN},
    {"14.6 mm ± 0.2 m/s", BW_DIM_LENGTH, LENGTH "a speed", LENGTHS},
    {"68 °F ± 3 %", BW_DIM_TEMPERATURE, TEMPERATURE "a ± in % of a temperature",
     "write the ± in degrees, such as 68 °F ± 2 °F"},
    {"(0.03 ± 1 %)", BW_DIM_RATIO, RATIO "a % only behind the ±",
     "write 0.03 % ± 1 % or 3 % ± 1 %, whichever is meant"},
    {"5 mm ± 1e-322", BW_DIM_LENGTH, LENGTH "a ± of 0", ONE_SD},
    {"0.03 ± 1 %", BW_DIM_RATIO, RATIO "a % only behind the ±",
     "write 0.03 % ± 1 % or 3 % ± 1 %, whichever is meant"},
    {"-300 °C", BW_DIM_TEMPERATURE, TEMPERATURE "one below absolute zero",
     "check the sign and the unit"},
    // Ways of measuring.
    {"18 m/s by hart", BW_DIM_SPEED, SPEED "the unknown way of measuring \"hart\"",
     "ways known here: plate, timed 3 m, guess"},
    {"18 m/s by", BW_DIM_SPEED, SPEED "\"by\" without a way of measuring",
     "ways known here: plate, timed 3 m, guess"},
    {"18 m/s by plate by guess", BW_DIM_SPEED,
     SPEED "the unknown way of measuring \"plate by guess\"",
     "ways known here: plate, timed 3 m, guess"},
    {"18 by plate", BW_DIM_SPEED, SPEED "a number without a unit",
     "write 18 m/s or 18 ft/min, whichever is meant"},
};

static void test_refuses_with_a_mend(void **state) {
    (void)state;
    for (size_t i = 0; i < ROWS(BAD); i++) {
        struct bw_quantity q = bw_about(42, 43);
        struct bw_err err = {0};
        if (read_text(BAD[i].text, BAD[i].dim, &q, &err)) fail_msg("%s is taken", BAD[i].text);
        assert_int_equal(err.code, BW_INPUT);
        assert_string_equal(err.what, BAD[i].what);
        assert_string_equal(err.mend, BAD[i].mend);
        assert_string_equal(err.value, BAD[i].text);
        assert_true(q.v == 42 && q.sd == 43 && q.way == -1);
    }
}

static void test_no_ways_where_none_are_asked_for(void **state) {
    (void)state;
    static const struct bw_way NONE[] = {{.name = NULL}};
    const struct bw_way *const lists[] = {NULL, NONE};
    for (size_t i = 0; i < 2; i++) {
        struct bw_quantity q;
        struct bw_err err = {0};
        assert_false(bw_quantity_read("18 m/s by plate", 15, BW_DIM_SPEED, lists[i], &q, &err));
        assert_string_equal(err.what, SPEED "a way of measuring, which is not asked for here");
        assert_string_equal(err.mend, "leave out \"by\" and what follows; a ± says how sure it is");
    }
}

// Many long names: the message keeps what fits.
static void test_a_long_list_of_ways_is_cut(void **state) {
    (void)state;
    char name[90];
    memset(name, 'w', sizeof name);
    name[sizeof name - 1] = '\0';
    struct bw_way ways[21] = {{.name = NULL}};
    for (size_t i = 0; i < 20; i++) ways[i].name = name;
    struct bw_quantity q;
    struct bw_err err = {0};
    assert_false(bw_quantity_read("18 m/s by x", 11, BW_DIM_SPEED, ways, &q, &err));
    assert_true(strlen(err.mend) > 300);
    assert_true(bw_utf8_valid(err.mend, strlen(err.mend)));
}

static void test_bytes_that_are_no_text(void **state) {
    (void)state;
    static const struct {
        const char *bytes;
        size_t length;
    } BYTES[] = {{"5 mm\0", 5}, {"\0", 1}, {"5 \xff", 3}, {"5 m\xc2", 4}, {"5 \xed\xa0\x80", 5}};
    struct bw_quantity q;
    double factor, offset;
    for (size_t i = 0; i < ROWS(BYTES); i++) {
        struct bw_err err = {0}, other = {0};
        assert_false(
            bw_quantity_read(BYTES[i].bytes, BYTES[i].length, BW_DIM_LENGTH, NULL, &q, &err));
        assert_string_equal(err.what, LENGTH "bytes that are no text");
        assert_true(bw_utf8_valid(err.value, strlen(err.value)));
        assert_false(
            bw_unit_read(BYTES[i].bytes, BYTES[i].length, BW_DIM_LENGTH, &factor, &offset, &other));
        assert_string_equal(other.what, LENGTH "bytes that are no text");
    }
}

static void test_length_limit(void **state) {
    (void)state;
    char text[BW_MAX_QUANTITY_TEXT + 1];
    memset(text, ' ', sizeof text);
    memcpy(text, "5 mm", 4);
    struct bw_quantity q;
    struct bw_err err = {0};
    assert_true(bw_quantity_read(text, BW_MAX_QUANTITY_TEXT, BW_DIM_LENGTH, NULL, &q, &err));
    assert_false(bw_quantity_read(text, sizeof text, BW_DIM_LENGTH, NULL, &q, &err));
    assert_string_equal(err.what, LENGTH "a text longer than any quantity");
    memset(text, 'q', sizeof text);
    memcpy(text, "5 ", 2);
    bw_err_clear(&err);
    assert_false(bw_quantity_read(text, BW_MAX_QUANTITY_TEXT, BW_DIM_LENGTH, NULL, &q, &err));
    assert_string_equal(err.mend, LENGTHS);
}

// A long unit of characters that take three bytes is quoted up to a whole one.
static void test_quotes_whole_characters(void **state) {
    (void)state;
    for (size_t shift = 0; shift < 3; shift++) {
        char text[BW_MAX_QUANTITY_TEXT] = "5 qqq";
        for (size_t i = 0; i < 60; i++) memcpy(text + 2 + shift + 3 * i, "木", 3);
        struct bw_quantity q;
        struct bw_err err = {0};
        assert_false(bw_quantity_read(text, 182 + shift, BW_DIM_LENGTH, NULL, &q, &err));
        assert_true(bw_utf8_valid(err.what, strlen(err.what)));
        assert_true(bw_utf8_valid(err.value, strlen(err.value)));
    }
}

static void test_units_alone(void **state) {
    (void)state;
    static const struct {
        const char *text;
        enum bw_dim dim;
        double factor, offset;
    } UNITS[] = {
        {"mm", BW_DIM_LENGTH, 1e-3, 0},
        {" ft/min ", BW_DIM_FEED, 0.00508, 0},
        {"m³/h", BW_DIM_FLOW, 1.0 / 3600, 0},
        {"°C", BW_DIM_TEMPERATURE, 1, 273.15},
        {"%", BW_DIM_RATIO, 0.01, 0},
        {"", BW_DIM_RATIO, 1, 0},
        {"", BW_DIM_NUMBER, 1, 0},
        {"", BW_DIM_SHORE, 1, 0},
        {"Shore A", BW_DIM_SHORE, 1, 0},
    };
    for (size_t i = 0; i < ROWS(UNITS); i++) {
        double factor = 42, offset = 42;
        struct bw_err err = {0};
        assert_true(bw_unit_read(UNITS[i].text, strlen(UNITS[i].text), UNITS[i].dim, &factor,
                                 &offset, &err));
        assert_true(close_to(factor, UNITS[i].factor) && close_to(offset, UNITS[i].offset));
    }
}

static void test_bad_units_alone(void **state) {
    (void)state;
    static const struct {
        const char *text;
        enum bw_dim dim;
        const char *what, *mend;
    } UNITS[] = {
        {"", BW_DIM_LENGTH, LENGTH "no unit", LENGTHS},
        {"m/s", BW_DIM_LENGTH, LENGTH "a speed", LENGTHS},
        {"milimeter", BW_DIM_LENGTH, LENGTH "the unknown unit \"milimeter\"",
         "did you mean millimeter?"},
        {"5 mm", BW_DIM_LENGTH, LENGTH "two numbers",
         "write one number without a space, such as 1200 or 7.625, or a fraction such as 7 5/8"},
        {"%", BW_DIM_NUMBER, PLAIN "a percentage", "write the number without a unit"},
    };
    for (size_t i = 0; i < ROWS(UNITS); i++) {
        double factor = 42, offset = 43;
        struct bw_err err = {0};
        assert_false(bw_unit_read(UNITS[i].text, strlen(UNITS[i].text), UNITS[i].dim, &factor,
                                  &offset, &err));
        assert_int_equal(err.code, BW_INPUT);
        assert_string_equal(err.what, UNITS[i].what);
        assert_string_equal(err.mend, UNITS[i].mend);
        assert_true(factor == 42 && offset == 43);
    }
}

// ---- showing ----

static const struct {
    double v, sd;
    enum bw_dim dim;
    const char *si, *us;
} SHOWN[] = {
    {0.0146, 0.0002, BW_DIM_LENGTH, "14.6 ± 0.2 mm", "0.575 ± 0.008 in"},
    {0.0146, 0.00013, BW_DIM_LENGTH, "14.60 ± 0.13 mm", "0.575 ± 0.005 in"},
    {0.0146, NO, BW_DIM_LENGTH, "14.6 mm", "0.5748 in"},
    {2.6162, NO, BW_DIM_LENGTH, "2616 mm", "103 in"},
    {12.3456, NO, BW_DIM_LENGTH, "12346 mm", "486 in"},
    {0.12192, NO, BW_DIM_FEED, "7.315 m/min", "24 ft/min"},
    {8.89e-5, NO, BW_DIM_DEPTH, "88.9 µm", "0.0035 in"},
    {1.016e-5, NO, BW_DIM_DEPTH, "10.16 µm", "0.0004 in"},
    {1e-8, NO, BW_DIM_DEPTH, "0.01 µm", "3.937e-07 in"},
    {2.4384, NO, BW_DIM_TRAVEL, "2.438 m", "8 ft"},
    {17.78, NO, BW_DIM_SPEED, "17.78 m/s", "3500 ft/min"},
    {18, 0.54, BW_DIM_SPEED, "18.0 ± 0.5 m/s", "3540 ± 110 ft/min"},
    {123.456, 30, BW_DIM_SPEED, "120 ± 30 m/s", "24000 ± 6000 ft/min"},
    {0.96, 0.0996, BW_DIM_NUMBER, "0.96 ± 0.10", "0.96 ± 0.10"},
    {0.96, 0.096, BW_DIM_NUMBER, "0.960 ± 0.096", "0.960 ± 0.096"},
    {0.96, 0.095, BW_DIM_NUMBER, "0.960 ± 0.095", "0.960 ± 0.095"},
    {0.96, 0.094, BW_DIM_NUMBER, "0.96 ± 0.09", "0.96 ± 0.09"},
    {0.003, 12, BW_DIM_NUMBER, "0 ± 12", "0 ± 12"},
    {-0.004, 0.2, BW_DIM_NUMBER, "0.0 ± 0.2", "0.0 ± 0.2"},
    {-0.0, NO, BW_DIM_NUMBER, "0", "0"},
    {-40, NO, BW_DIM_NUMBER, "-40", "-40"},
    {-4, 300, BW_DIM_NUMBER, "0 ± 300", "0 ± 300"},
    {12345, 300, BW_DIM_NUMBER, "12300 ± 300", "12300 ± 300"},
    {5, 1e-20, BW_DIM_NUMBER, "5 ± 1e-20", "5 ± 1e-20"},
    {3e15, NO, BW_DIM_NUMBER, "3e+15", "3e+15"},
    {3e15, 1.26e14, BW_DIM_NUMBER, "3e+15 ± 1.3e+14", "3e+15 ± 1.3e+14"},
    {123456.789, 4.2e-8, BW_DIM_NUMBER, "123456.789 ± 4e-08", "123456.789 ± 4e-08"},
    {3e15, 2.26e14, BW_DIM_NUMBER, "3e+15 ± 2e+14", "3e+15 ± 2e+14"},
    {999999.6, NO, BW_DIM_NUMBER, "1000000", "1000000"},
    {999.96, NO, BW_DIM_NUMBER, "1000", "1000"},
    {0.03, NO, BW_DIM_RATIO, "3 %", "3 %"},
    {0.45, 0.03, BW_DIM_RATIO, "45 % ± 3 %", "45 % ± 3 %"},
    {293.15, NO, BW_DIM_TEMPERATURE, "20 °C", "68 °F"},
    {268.15, NO, BW_DIM_TEMPERATURE, "-5 °C", "23 °F"},
    {293.15, 1, BW_DIM_TEMPERATURE, "20.0 ± 1.0 °C", "68.0 ± 1.8 °F"},
    {298.906692, NO, BW_DIM_PRESSURE, "298.9 Pa", "1.2 inH2O"},
    {6e5, NO, BW_DIM_AIR_PRESSURE, "6 bar", "87.02 psi"},
    {0.51914218752, NO, BW_DIM_FLOW, "1869 m³/h", "1100 cfm"},
    {3728.499357911351, NO, BW_DIM_POWER, "3.728 kW", "5 hp"},
    {0.25, NO, BW_DIM_STROKES, "15 /min", "15 /min"},
    {24.6, NO, BW_DIM_TURNS, "1476 rpm", "1476 rpm"},
    {650, NO, BW_DIM_DENSITY, "650 kg/m³", "40.58 lb/ft³"},
    {40, 3, BW_DIM_SHORE, "40 ± 3 Shore A", "40 ± 3 Shore A"},
    {NO, NO, BW_DIM_LENGTH, "unknown", "unknown"},
    {NO, 0.1, BW_DIM_LENGTH, "unknown", "unknown"},
    {5, 0, BW_DIM_NUMBER, "5", "5"},
    {5, -1, BW_DIM_NUMBER, "5", "5"},
};

static void test_shows_rounded_by_the_sd(void **state) {
    (void)state;
    char text[BW_QUANTITY_TEXT];
    for (size_t i = 0; i < ROWS(SHOWN); i++) {
        struct bw_quantity q = bw_about(SHOWN[i].v, SHOWN[i].sd);
        assert_string_equal(bw_quantity_text(text, q, SHOWN[i].dim, BW_UNITS_SI), SHOWN[i].si);
        assert_string_equal(bw_quantity_text(text, q, SHOWN[i].dim, BW_UNITS_US), SHOWN[i].us);
    }
}

static void test_shows_infinities_as_unknown(void **state) {
    (void)state;
    char text[BW_QUANTITY_TEXT];
    struct bw_quantity endless = bw_exactly((double)INFINITY), sure = bw_about(5, (double)INFINITY);
    assert_string_equal(bw_quantity_text(text, endless, BW_DIM_LENGTH, BW_UNITS_SI), "unknown");
    assert_string_equal(bw_quantity_text(text, sure, BW_DIM_NUMBER, BW_UNITS_SI), "5");
}

static void test_values_without_units(void **state) {
    (void)state;
    char text[BW_QUANTITY_TEXT];
    struct bw_quantity q = bw_about(0.0146, 0.0002), r = bw_about(0.45, 0.03);
    assert_string_equal(bw_quantity_value(text, q, BW_DIM_LENGTH, BW_UNITS_SI), "14.6 ± 0.2");
    assert_string_equal(bw_quantity_value(text, r, BW_DIM_RATIO, BW_UNITS_SI), "45 ± 3");
    assert_string_equal(bw_quantity_value(text, BW_UNKNOWN, BW_DIM_LENGTH, BW_UNITS_SI), "unknown");
}

// ---- dims ----

static void test_every_dim_is_whole(void **state) {
    (void)state;
    for (int i = 0; i < BW_DIM_COUNT; i++) {
        enum bw_dim dim = (enum bw_dim)i;
        assert_true(bw_dim_word(dim)[0] != '\0');
        for (int j = 0; j < i; j++)
            assert_string_not_equal(bw_dim_name(dim), bw_dim_name((enum bw_dim)j));
        for (int k = 0; k < 2; k++) {
            enum bw_units units = (enum bw_units)k;
            struct bw_quantity q;
            struct bw_err err = {0};
            // The examples in messages can be typed, the display units read.
            assert_true(read_text(bw_dim_example(dim, units), dim, &q, &err));
            double factor = 0, offset = 0;
            const char *unit = bw_dim_unit(dim, units);
            assert_true(bw_unit_read(unit, strlen(unit), dim, &factor, &offset, &err));
            assert_true(close_to(bw_dim_to_si(dim, units, 3), 3 * factor + offset));
            assert_true(close_to(bw_dim_from_si(dim, units, 3 * factor + offset), 3));
        }
    }
    assert_true(bw_dim_same(BW_DIM_FEED, BW_DIM_SPEED));
    assert_true(bw_dim_same(BW_DIM_DEPTH, BW_DIM_TRAVEL));
    assert_false(bw_dim_same(BW_DIM_FEED, BW_DIM_LENGTH));
}

static void test_units_by_option(void **state) {
    (void)state;
    enum bw_units units = BW_UNITS_SI;
    struct bw_err err = {0};
    assert_true(bw_units_choose("us", &units, &err));
    assert_int_equal(units, BW_UNITS_US);
    assert_true(bw_units_choose("si", &units, &err));
    assert_int_equal(units, BW_UNITS_SI);
    assert_false(bw_units_choose("metric", &units, &err));
    assert_int_equal(err.code, BW_USAGE);
    assert_string_equal(err.what, "units are si or us");
    assert_string_equal(err.value, "metric");
    assert_string_equal(err.mend, "write --units si or --units us");
}

static void set(const char *name, const char *value) {
    assert_int_equal(value == NULL ? unsetenv(name) : setenv(name, value, 1), 0);
}

static void test_units_by_locale(void **state) {
    (void)state;
    static const struct {
        const char *all, *measurement, *lang;
        enum bw_units units;
    } LOCALES[] = {
        {NULL, NULL, NULL, BW_UNITS_SI},
        {NULL, NULL, "en_US.UTF-8", BW_UNITS_US},
        {NULL, NULL, "es_US", BW_UNITS_US},
        {NULL, NULL, "en_LR.UTF-8", BW_UNITS_US},
        {NULL, NULL, "my_MM", BW_UNITS_US},
        {NULL, NULL, "en_GB.UTF-8", BW_UNITS_SI},
        {NULL, NULL, "de_DE@euro", BW_UNITS_SI},
        {NULL, NULL, "C.UTF-8", BW_UNITS_SI},
        {NULL, "de_DE.UTF-8", "en_US.UTF-8", BW_UNITS_SI},
        {"en_US.UTF-8", "de_DE.UTF-8", "de_DE.UTF-8", BW_UNITS_US},
        {"", "", "en_US.UTF-8", BW_UNITS_US},
        {"C", NULL, "en_US.UTF-8", BW_UNITS_SI},
    };
    for (size_t i = 0; i < ROWS(LOCALES); i++) {
        set("LC_ALL", LOCALES[i].all);
        set("LC_MEASUREMENT", LOCALES[i].measurement);
        set("LANG", LOCALES[i].lang);
        enum bw_units units = BW_UNITS_SI;
        struct bw_err err = {0};
        assert_true(bw_units_choose(NULL, &units, &err));
        assert_int_equal(units, LOCALES[i].units);
    }
}

static void test_allocates_nothing(void **state) {
    (void)state;
    unsigned long before = bw_alloc_requests();
    test_reads_what_people_write(NULL);
    test_refuses_with_a_mend(NULL);
    test_shows_rounded_by_the_sd(NULL);
    assert_int_equal(bw_alloc_requests(), before);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_reads_what_people_write),
        cmocka_unit_test(test_reads_what_the_manual_promises),
        cmocka_unit_test(test_refuses_with_a_mend),
        cmocka_unit_test(test_no_ways_where_none_are_asked_for),
        cmocka_unit_test(test_a_long_list_of_ways_is_cut),
        cmocka_unit_test(test_bytes_that_are_no_text),
        cmocka_unit_test(test_length_limit),
        cmocka_unit_test(test_quotes_whole_characters),
        cmocka_unit_test(test_units_alone),
        cmocka_unit_test(test_bad_units_alone),
        cmocka_unit_test(test_shows_rounded_by_the_sd),
        cmocka_unit_test(test_shows_infinities_as_unknown),
        cmocka_unit_test(test_values_without_units),
        cmocka_unit_test(test_every_dim_is_whole),
        cmocka_unit_test(test_units_by_option),
        cmocka_unit_test(test_units_by_locale),
        cmocka_unit_test(test_allocates_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
