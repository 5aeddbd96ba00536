// test_unit.c - the table of units, and how their names are recognised.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/unit.h"

#include "base/number.h"
#include "base/utf8.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define ROWS(array) (sizeof(array) / sizeof *(array))

static struct bw_span span(const char *text) { return (struct bw_span){text, strlen(text)}; }

static bool find(const char *plain, enum bw_physical wanted, struct bw_unit_found *out) {
    return bw_unit_find(span(plain), wanted, out);
}

// NIST SP 811 (2008), appendix B.8, "to convert from ... multiply by", as printed there (7 digits,
// or exact): from memory. Compared to half a unit of the last digit printed.
static const struct {
    const char *name;
    enum bw_physical of;
    double factor, half;
} PUBLISHED[] = {
    {"in", BW_OF_LENGTH, 2.54e-2, 0},
    {"ft", BW_OF_LENGTH, 3.048e-1, 0},
    {"yd", BW_OF_LENGTH, 9.144e-1, 0},
    {"mile", BW_OF_LENGTH, 1.609344e3, 0},
    {"mil", BW_OF_LENGTH, 2.54e-5, 0},
    {"micron", BW_OF_LENGTH, 1e-6, 0},
    {"ft2", BW_OF_AREA, 9.290304e-2, 0},
    {"in2", BW_OF_AREA, 6.4516e-4, 0},
    {"ft3", BW_OF_VOLUME, 2.831685e-2, 5e-9},
    {"in3", BW_OF_VOLUME, 1.638706e-5, 5e-12},
    {"l", BW_OF_VOLUME, 1e-3, 0},
    {"ft/min", BW_OF_SPEED, 5.08e-3, 0},
    {"ft/s", BW_OF_SPEED, 3.048e-1, 0},
    {"in/s", BW_OF_SPEED, 2.54e-2, 0},
    {"km/h", BW_OF_SPEED, 2.777778e-1, 5e-8},
    {"mph", BW_OF_SPEED, 4.4704e-1, 0},
    {"ft3/min", BW_OF_FLOW, 4.719474e-4, 5e-11},
    {"cfm", BW_OF_FLOW, 4.719474e-4, 5e-11},
    {"rpm", BW_OF_FREQUENCY, 1.666667e-2, 5e-9},
    {"psi", BW_OF_PRESSURE, 6.894757e3, 5e-4},
    {"bar", BW_OF_PRESSURE, 1e5, 0},
    {"inH2O", BW_OF_PRESSURE, 2.490889e2, 5e-5},
    {"mmH2O", BW_OF_PRESSURE, 9.80665, 0},
    {"inHg", BW_OF_PRESSURE, 3.386389e3, 5e-4},
    {"mmHg", BW_OF_PRESSURE, 1.333224e2, 5e-5},
    {"hp", BW_OF_POWER, 7.456999e2, 5e-5},
    {"metric horsepower", BW_OF_POWER, 7.354988e2, 5e-5},
    {"lb", BW_OF_MASS, 4.5359237e-1, 0},
    {"oz", BW_OF_MASS, 2.834952e-2, 5e-9},
    {"lb/ft3", BW_OF_DENSITY, 1.601846e1, 5e-6},
    {"g/cm3", BW_OF_DENSITY, 1e3, 0},
    {"deg", BW_OF_ANGLE, 1.745329e-2, 5e-9},
    {"h", BW_OF_TIME, 3.6e3, 0},
    {"day", BW_OF_TIME, 8.64e4, 0},
};

static void test_factors_as_published(void **state) {
    (void)state;
    for (size_t i = 0; i < ROWS(PUBLISHED); i++) {
        struct bw_unit_found found;
        assert_true(find(PUBLISHED[i].name, PUBLISHED[i].of, &found));
        assert_int_equal(found.of, PUBLISHED[i].of);
        double slack = PUBLISHED[i].half + 4e-16 * PUBLISHED[i].factor;
        if (fabs(found.factor - PUBLISHED[i].factor) > slack)
            fail_msg("%s: %.17g, published %.17g", PUBLISHED[i].name, found.factor,
                     PUBLISHED[i].factor);
    }
}

// Fixed points of the scales: water freezes and boils, the scales cross (ITS-90; textbooks).
static void test_temperatures(void **state) {
    (void)state;
    static const struct {
        const char *unit;
        double number, kelvin;
    } POINTS[] = {
        {"degC", 0, 273.15},   {"degC", 100, 373.15}, {"degF", 32, 273.15},
        {"degF", 212, 373.15}, {"degF", -40, 233.15}, {"degC", -40, 233.15},
        {"K", 300, 300},       {"degF", -459.67, 0},  {"degF", 68, 293.15},
    };
    for (size_t i = 0; i < ROWS(POINTS); i++) {
        struct bw_unit_found found;
        assert_true(find(POINTS[i].unit, BW_OF_TEMPERATURE, &found));
        double kelvin = POINTS[i].number * found.factor + found.offset;
        assert_true(fabs(kelvin - POINTS[i].kelvin) < 1e-12 * 373);
    }
}

// What the units program calls our rows where the names differ, "" where it has no such thing.
static const char *name_elsewhere(const char *ours) {
    static const char *const NAMES[][2] = {
        {"%", "percent"},
        {"µm", "um"},
        {"m²", "m^2"},
        {"cm²", "cm^2"},
        {"mm²", "mm^2"},
        {"in²", "in^2"},
        {"ft²", "ft^2"},
        {"m³", "m^3"},
        {"mm³", "mm^3"},
        {"cm³", "cm^3"},
        {"in³", "in^3"},
        {"ft³", "ft^3"},
        {"rpm", "1/min"},
        {"/min", "1/min"},
        {"rps", "1/s"},
        {"km/h", "km/hour"},
        {"rad", "radian"},
        {"mrad", "milliradian"},
        {"m³/h", "m^3/hour"},
        {"mmH2O", "mm water"},
        {"PS", "metrichorsepower"},
        {"deg", "degree"},
        {"h", "hour"},
        {"days", "day"},
        {"lb/ft³", "lb/ft^3"},
        {"mohm", "milliohm"},
        {"kohm", "kiloohm"},
        {"Mohm", "megaohm"},
        {"Gohm", "gigaohm"},
        {"°C", "K"},
        {"°F", "degF"},
        {"turns", ""},
        {"strokes", ""},
        {"Shore A", ""},
        {"Shore D", ""},
    };
    for (size_t i = 0; i < ROWS(NAMES); i++)
        if (strcmp(NAMES[i][0], ours) == 0) return NAMES[i][1];
    return ours;
}

static const char *si_elsewhere(enum bw_physical of) {
    static const char *const SI[] = {
        [BW_OF_NONE] = "1",         [BW_OF_LENGTH] = "m",       [BW_OF_AREA] = "m^2",
        [BW_OF_VOLUME] = "m^3",     [BW_OF_SPEED] = "m/s",      [BW_OF_FREQUENCY] = "1/s",
        [BW_OF_FLOW] = "m^3/s",     [BW_OF_PRESSURE] = "Pa",    [BW_OF_POWER] = "W",
        [BW_OF_TEMPERATURE] = "K",  [BW_OF_ANGLE] = "radian",   [BW_OF_TIME] = "s",
        [BW_OF_MASS] = "kg",        [BW_OF_DENSITY] = "kg/m^3", [BW_OF_CURRENT] = "A",
        [BW_OF_RESISTANCE] = "ohm", [BW_OF_SHORE] = "",         [BW_OF_SHORE_D] = "",
        [BW_OF_COUNT] = "",         [BW_OF_FORCE] = "N",        [BW_OF_ENERGY] = "J",
        [BW_OF_AREAL_MASS] = "kg/m^2",
        [BW_OF_ENERGY_DENSITY] = "J/m^3",
        [BW_OF_FLUX] = "W/m^2",
    };
    return SI[of];
}

// The units program (GNU units, where installed) has its own table. It calls our name or the one
// above the same factor, but for the Shore scales and counts, which it does not know.
static void test_factors_of_the_units_program(void **state) {
    (void)state;
    if (system("command -v units >/dev/null 2>&1") != 0) skip();
    // Without the locale, and what brings it, that the suite may be run in: see tests/locale/.
    static char command[8192] = "env -u LD_PRELOAD LC_ALL=C units -t -o %.17g <<'END'\n";
    size_t n = strlen(command), count;
    const struct bw_unit *units = bw_units_table(&count);
    for (size_t i = 0; i < count; i++) {
        const char *name = name_elsewhere(units[i].name);
        if (name[0] == '\0') continue;
        n += (size_t)snprintf(command + n, sizeof command - n, "%s\n%s\n", name,
                              si_elsewhere(units[i].of));
        assert_true(n < sizeof command);
    }
    FILE *pipe = popen(command, "r");
    assert_non_null(pipe);
    char line[256];
    for (size_t i = 0; i < count; i++) {
        if (name_elsewhere(units[i].name)[0] == '\0') continue;
        assert_non_null(fgets(line, sizeof line, pipe));
        double factor = 0.0;
        struct bw_err err = {0};
        if (!bw_number(line, strcspn(line, "\n"), &factor, &err))
            fail_msg("%s: the units program says: %s", units[i].name, line);
        // Both tables are exact up to a few roundings of a double.
        if (fabs(factor - units[i].factor) > 1e-14 * units[i].factor)
            fail_msg("%s: %.17g, the units program has %.17g", units[i].name, units[i].factor,
                     factor);
    }
    assert_null(fgets(line, sizeof line, pipe));
    assert_int_equal(pclose(pipe), 0);
}

// Every spelling finds its own row, as printed and, unless another row is spelt so, in capitals.
static void test_every_spelling_is_found(void **state) {
    (void)state;
    size_t count, spellings = 0;
    const struct bw_unit *units = bw_units_table(&count);
    for (size_t i = 0; i < count; i++) {
        char copy[512], *rest = copy;
        assert_in_range(snprintf(copy, sizeof copy, "%s", units[i].spellings), 1, sizeof copy - 1);
        for (char *name; (name = strtok_r(rest, "|", &rest)) != NULL; spellings++) {
            struct bw_unit_found found;
            assert_true(find(name, units[i].of, &found));
            assert_ptr_equal(found.unit, &units[i]);
            assert_null(found.rival);
            assert_true(found.factor == units[i].factor && found.offset == units[i].offset);
            for (char *c = name; *c != '\0'; c++)
                if (*c >= 'a' && *c <= 'z') *c = (char)(*c - 'a' + 'A');
            assert_true(find(name, units[i].of, &found));
            if (found.rival == NULL) assert_true(found.factor == units[i].factor);
        }
    }
    assert_true(spellings > 250);
}

// What is shown to people is also understood.
static void test_every_name_is_understood(void **state) {
    (void)state;
    size_t count;
    const struct bw_unit *units = bw_units_table(&count);
    char plain[BW_PLAIN_TEXT];
    for (size_t i = 0; i < count; i++) {
        struct bw_unit_found found;
        bw_unit_plain(units[i].name, strlen(units[i].name), plain);
        assert_true(find(plain, units[i].of, &found));
        assert_true(fabs(found.factor - units[i].factor) <= 1e-15 * units[i].factor);
        assert_true(units[i].source[0] != '\0');
    }
    for (int of = 0; of < BW_OF_ANY; of++) {
        char list[200], *rest = list;
        (void)snprintf(list, sizeof list, "%s", bw_physical_units((enum bw_physical)of));
        for (char *name; (name = strtok_r(rest, ",", &rest)) != NULL;) {
            struct bw_unit_found found;
            bw_unit_plain(name, strlen(name), plain);
            assert_true(find(plain, (enum bw_physical)of, &found));
            assert_int_equal(found.of, of);
        }
    }
}

static void test_names_as_people_write_them(void **state) {
    (void)state;
    static const struct {
        const char *name;
        enum bw_physical wanted, of;
        double factor;
    } NAMES[] = {
        {"in.", BW_OF_LENGTH, BW_OF_LENGTH, 0.0254},
        {"IN", BW_OF_LENGTH, BW_OF_LENGTH, 0.0254},
        {"MM", BW_OF_LENGTH, BW_OF_LENGTH, 0.001},
        {"Ft/Min", BW_OF_SPEED, BW_OF_SPEED, 0.00508},
        {"ft. / min.", BW_OF_SPEED, BW_OF_SPEED, 0.00508},
        {"feet per minute", BW_OF_SPEED, BW_OF_SPEED, 0.00508},
        {"ft per min", BW_OF_SPEED, BW_OF_SPEED, 0.00508},
        {"metres per second", BW_OF_SPEED, BW_OF_SPEED, 1.0},
        {"SFPM", BW_OF_SPEED, BW_OF_SPEED, 0.00508},
        {"cubic feet per minute", BW_OF_FLOW, BW_OF_FLOW, 4.719474432e-4},
        {"cu. ft./min", BW_OF_FLOW, BW_OF_FLOW, 4.719474432e-4},
        {"l/s", BW_OF_FLOW, BW_OF_FLOW, 0.001},
        {"in. w.c.", BW_OF_PRESSURE, BW_OF_PRESSURE, 249.08891},
        {"in WC", BW_OF_PRESSURE, BW_OF_PRESSURE, 249.08891},
        {"inWC", BW_OF_PRESSURE, BW_OF_PRESSURE, 249.08891},
        {"\"wc", BW_OF_PRESSURE, BW_OF_PRESSURE, 249.08891},
        {"inches of water", BW_OF_PRESSURE, BW_OF_PRESSURE, 249.08891},
        {"per minute", BW_OF_FREQUENCY, BW_OF_FREQUENCY, 1.0 / 60},
        {"/min", BW_OF_FREQUENCY, BW_OF_FREQUENCY, 1.0 / 60},
        {"1/s", BW_OF_FREQUENCY, BW_OF_FREQUENCY, 1.0},
        {"strokes per minute", BW_OF_FREQUENCY, BW_OF_FREQUENCY, 1.0 / 60},
        {"r/min", BW_OF_FREQUENCY, BW_OF_FREQUENCY, 1.0 / 60},
        {"min-1", BW_OF_FREQUENCY, BW_OF_FREQUENCY, 1.0 / 60},
        {"per cent", BW_OF_NONE, BW_OF_NONE, 0.01},
        {"mohm", BW_OF_RESISTANCE, BW_OF_RESISTANCE, 1e-3},
        {"Mohm", BW_OF_RESISTANCE, BW_OF_RESISTANCE, 1e6},
        {"Megohms", BW_OF_RESISTANCE, BW_OF_RESISTANCE, 1e6},
        {"mPa", BW_OF_PRESSURE, BW_OF_PRESSURE, 1e-3},
        {"MPa", BW_OF_PRESSURE, BW_OF_PRESSURE, 1e6},
        // The kind wanted decides where a name has two meanings.
        {"A", BW_OF_CURRENT, BW_OF_CURRENT, 1.0},
        {"A", BW_OF_SHORE, BW_OF_SHORE, 1.0},
        {"C", BW_OF_TEMPERATURE, BW_OF_TEMPERATURE, 1.0},
        {"m", BW_OF_TIME, BW_OF_LENGTH, 1.0},
        {"m/s", BW_OF_LENGTH, BW_OF_SPEED, 1.0},
        {"lb/ft3", BW_OF_MASS, BW_OF_DENSITY, 16.018463373960142},
    };
    for (size_t i = 0; i < ROWS(NAMES); i++) {
        struct bw_unit_found found;
        if (!find(NAMES[i].name, NAMES[i].wanted, &found)) fail_msg("%s: unknown", NAMES[i].name);
        assert_int_equal(found.of, NAMES[i].of);
        assert_null(found.rival);
        if (fabs(found.factor - NAMES[i].factor) > 1e-14 * NAMES[i].factor)
            fail_msg("%s: %.17g", NAMES[i].name, found.factor);
    }
}

static void test_names_that_may_be_misread(void **state) {
    (void)state;
    struct bw_unit_found found;
    assert_true(find("MOHM", BW_OF_RESISTANCE, &found));
    assert_non_null(found.rival);
    assert_true(find("mpa", BW_OF_PRESSURE, &found));
    assert_non_null(found.rival);
    static const char *const UNKNOWN[] = {
        "",      " ",      "x",     "m m",     "c m",  "i n",   "mm mm",
        "m/s/s", "m//s",   "m/",    "/",       "per",  "per m", "s/m",
        "mm/in", "kg/min", "hp/h",  "in h 2o", "mm..", ".mm",   "ft-lb",
        "m^2",   "mm 2",   "cubic", "A/s",     "scfm", "degX",  "per min per min",
    };
    for (size_t i = 0; i < ROWS(UNKNOWN); i++)
        if (find(UNKNOWN[i], BW_OF_LENGTH, &found)) fail_msg("\"%s\" is known", UNKNOWN[i]);
}

static void test_suggestions(void **state) {
    (void)state;
    static const struct {
        const char *name;
        enum bw_physical wanted;
        const char *near;
    } NEAR[] = {
        {"milimeter", BW_OF_LENGTH, "millimeter"},
        {"inchs", BW_OF_LENGTH, "inch"},
        {"feets", BW_OF_LENGTH, "feet"},
        {"mmm", BW_OF_LENGTH, "mm"},
        {"m/minuet", BW_OF_SPEED, "m/minute"},
        {"ft/mim", BW_OF_SPEED, "ft/min"},
        {"feat per minute", BW_OF_SPEED, "feet/minute"},
        {"fmp", BW_OF_SPEED, "fpm"},
        {"storkes/min", BW_OF_FREQUENCY, "strokes/min"},
        {"/mim", BW_OF_FREQUENCY, "/min"},
        {"kilowat", BW_OF_POWER, "kilowatt"},
        {"hertzs", BW_OF_FREQUENCY, "hertz"},
        {"pis", BW_OF_PRESSURE, "psi"},
        {"cmf", BW_OF_FLOW, "cfm"},
        {"pouns", BW_OF_LENGTH, "pound"},  // of another kind, for want of a better
        {"x", BW_OF_LENGTH, ""},
        {"furlong", BW_OF_LENGTH, ""},
        {"mm/fortnight", BW_OF_SPEED, ""},
        {"furlong/s", BW_OF_SPEED, ""},
        {"", BW_OF_LENGTH, ""},
    };
    char out[BW_UNIT_TEXT];
    for (size_t i = 0; i < ROWS(NEAR); i++) {
        bw_unit_nearest(span(NEAR[i].name), NEAR[i].wanted, out);
        if (strcmp(out, NEAR[i].near) != 0) fail_msg("%s: \"%s\"", NEAR[i].name, out);
    }
    char longest[BW_UNIT_TEXT + 1];
    memset(longest, 'm', sizeof longest);
    longest[BW_UNIT_TEXT] = '\0';
    assert_string_equal(bw_unit_nearest(span(longest), BW_OF_LENGTH, out), "");
}

static void test_plain_text(void **state) {
    (void)state;
    static const struct {
        const char *text, *plain;
    } PLAIN[] = {
        {"14.6 mm", "14.6 mm"},
        {"−5 °C", "-5 degC"},
        {"–5 ℃", "-5 degC"},
        {"68 ℉", "68 degF"},
        {"68 ºF", "68 degF"},
        {"7⅝ in", "7 5/8 in"},
        {"7 ⅝″", "7  5/8\""},
        {"½”", " 1/2\""},
        {"5′ 3″", "5' 3\""},
        {"5’ 3’’", "5' 3\""},
        {"5' 3''", "5' 3\""},
        {"12 µm", "12 um"},  // the micro sign
        {"12 μm", "12 um"},  // the Greek letter
        {"5 kΩ", "5 kohm"},  // the Greek letter
        {"5 MΩ", "5 Mohm"},  // the ohm sign
        {"18 ± 0.3", "18 +- 0.3"},
        {"1870 m³/h", "1870 m3/h"},
        {"1870 m^3/h", "1870 m3/h"},
        {"2^3", "2^3"},
        {"1500 min⁻¹", "1500 min-1"},
        {"5⁄8 in", "5/8 in"},
        {"7\xc2\xa0mm", "7 mm"},
        {"7\xe2\x80\x89mm", "7 mm"},
        {"7\xe2\x80\xafmm", "7 mm"},
        {"7\tmm\r\n", "7 mm  "},
        {"\xef\xbb\xbf"
         "7 mm",
         "7 mm"},
        {"7\xe2\x80\x8bmm", "7mm"},
        // Digit groups of three with thin or no-break spaces (ISO 80000-1), and what is none.
        {"1\xe2\x80\x89"
         "200 mm",
         "1200 mm"},
        {"12\xe2\x80\xaf"
         "345\xe2\x80\xaf"
         "678 Pa",
         "12345678 Pa"},
        {"123\xe2\x80\x89"
         "456 mm",
         "123456 mm"},
        {"1\xc2\xa0"
         "200",
         "1200"},
        {"7\xe2\x80\x89"
         "5/8 in",
         "7 5/8 in"},
        {"1\xe2\x80\x89"
         "125/1000 in",
         "1 125/1000 in"},
        {"1\xe2\x80\x89"
         "20 mm",
         "1 20 mm"},
        {"1\xe2\x80\x89"
         "2000 mm",
         "1 2000 mm"},
        {"14.6\xe2\x80\x89"
         "200 mm",
         "14.6 200 mm"},
        {"1234\xe2\x80\x89"
         "200 mm",
         "1234 200 mm"},
        {"1 200 mm", "1 200 mm"},
        {"木", "木"},
        {"\xff", "\xff"},
        {"", ""},
    };
    char plain[BW_PLAIN_TEXT];
    for (size_t i = 0; i < ROWS(PLAIN); i++) {
        size_t length = bw_unit_plain(PLAIN[i].text, strlen(PLAIN[i].text), plain);
        if (strcmp(plain, PLAIN[i].plain) != 0) fail_msg("%s: \"%s\"", PLAIN[i].text, plain);
        assert_int_equal(length, strlen(plain));
    }
}

// No character grows beyond what the buffer's size is made for.
static void test_plain_text_fits(void **state) {
    (void)state;
    for (uint32_t point = 0x80; point < 0x10000; point++) {
        if (point >= 0xd800 && point < 0xe000) continue;
        char text[BW_MAX_QUANTITY_TEXT + 4], plain[BW_PLAIN_TEXT];
        size_t size = point < 0x800 ? 2 : 3;
        text[0] = (char)(size == 2 ? 0xc0 | point >> 6 : 0xe0 | point >> 12);
        if (size == 3) text[1] = (char)(0x80 | (point >> 6 & 0x3f));
        text[size - 1] = (char)(0x80 | (point & 0x3f));
        assert_true(bw_unit_plain(text, size, plain) <= 2 * size);
        for (size_t i = size; i + size <= BW_MAX_QUANTITY_TEXT; i += size)
            memcpy(text + i, text, size);
        size_t filled = BW_MAX_QUANTITY_TEXT / size * size;
        assert_true(bw_unit_plain(text, filled, plain) < BW_PLAIN_TEXT);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_factors_as_published),
        cmocka_unit_test(test_temperatures),
        cmocka_unit_test(test_factors_of_the_units_program),
        cmocka_unit_test(test_every_spelling_is_found),
        cmocka_unit_test(test_every_name_is_understood),
        cmocka_unit_test(test_names_as_people_write_them),
        cmocka_unit_test(test_names_that_may_be_misread),
        cmocka_unit_test(test_suggestions),
        cmocka_unit_test(test_plain_text),
        cmocka_unit_test(test_plain_text_fits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
