// unit.c - see unit.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// One row a unit; quotients such as ft/min or "feet per minute" are put together from two rows, so
// that each spelling stands here once. Sources of the factors, all from memory:
//   SI   the SI brochure, 9th edition
//   YP   the international yard and pound agreement of 1959: 1 yd = 0.9144 m, 1 lb = 0.45359237 kg
//   GN   the standard acceleration of free fall, 9.80665 m/s² (3rd CGPM, 1901)
//   811  NIST SP 811 (2008), appendix B
// These are exact, so every factor is, up to the rounding of a double. tests/unit/test_unit.c holds
// them against published digits, and against the units program where that is installed.
//
// A column of water is no pressure before its temperature is told. Taken here is the conventional
// column of 1000 kg/m³ under standard free fall (811), 249.089 Pa to the inch; water at 4 °C gives
// 0.003 % less, water at 60 °F 0.10 % less, which no gauge in this trade resolves. Mercury
// likewise: the conventional 13595.1 kg/m³. The horsepower is the mechanical one, 550 ft lbf/s;
// the electrical one (746 W) is 0.04 % more.
#include "base/unit.h"

#include "base/utf8.h"

#include <stdio.h>
#include <string.h>

#define FOOT 0.3048
#define INCH 0.0254
#define INCH2 (INCH * INCH)
#define INCH3 (INCH * INCH * INCH)
#define FOOT2 (FOOT * FOOT)
#define FOOT3 (FOOT * FOOT * FOOT)
#define MILE (5280 * FOOT)
#define POUND 0.45359237
#define GRAVITY 9.80665
#define POUND_FORCE (POUND * GRAVITY)
#define PI 3.14159265358979323846
#define FLAT(name, spellings, of, factor, source)                                                  \
    { name, spellings, BW_OF_##of, factor, 0.0, source }

static const struct bw_unit UNITS[] = {
    FLAT("%", "%|percent|per cent|pct", NONE, 0.01, "ISO 80000-1"),

    FLAT("m", "m|meter|meters|metre|metres", LENGTH, 1.0, "SI"),
    FLAT("cm", "cm|centimeter|centimeters|centimetre|centimetres", LENGTH, 1e-2, "SI"),
    FLAT("mm", "mm|millimeter|millimeters|millimetre|millimetres", LENGTH, 1e-3, "SI"),
    FLAT("µm", "um|micron|microns|micrometer|micrometers|micrometre|micrometres", LENGTH, 1e-6,
         "SI"),
    FLAT("nm", "nm|nanometer|nanometers|nanometre|nanometres", LENGTH, 1e-9, "SI"),
    FLAT("km", "km|kilometer|kilometers|kilometre|kilometres", LENGTH, 1e3, "SI"),
    FLAT("in", "in|\"|inch|inches|ins", LENGTH, INCH, "YP"),
    FLAT("ft", "ft|'|foot|feet", LENGTH, FOOT, "YP"),
    FLAT("yd", "yd|yard|yards|yds", LENGTH, 0.9144, "YP"),
    FLAT("mil", "mil|mils|thou|thous", LENGTH, INCH / 1000, "YP"),
    FLAT("mi", "mi|mile|miles", LENGTH, MILE, "YP"),

    FLAT("m²", "m2|sq m|square meter|square meters|square metre|square metres", AREA, 1.0, "SI"),
    FLAT("cm²",
         "cm2|sq cm|square centimeter|square centimeters|square centimetre|square centimetres",
         AREA, 1e-4, "SI"),
    FLAT("mm²",
         "mm2|sq mm|square millimeter|square millimeters|square millimetre|square millimetres",
         AREA, 1e-6, "SI"),
    FLAT("in²", "in2|sq in|sq inch|square inch|square inches", AREA, INCH2, "YP"),
    FLAT("ft²", "ft2|sq ft|square foot|square feet", AREA, FOOT2, "YP"),

    FLAT("m³", "m3|cu m|cubic meter|cubic meters|cubic metre|cubic metres", VOLUME, 1.0, "SI"),
    FLAT("l", "l|L|liter|liters|litre|litres|dm3", VOLUME, 1e-3, "SI"),
    FLAT("mm³", "mm3|cu mm|cubic millimeter|cubic millimeters|cubic millimetre|cubic millimetres",
         VOLUME, 1e-9, "SI"),
    FLAT("cm³", "cm3|cc|ml|cubic centimeter|cubic centimeters|cubic centimetre|cubic centimetres",
         VOLUME, 1e-6, "SI"),
    FLAT("in³", "in3|cu in|cubic inch|cubic inches", VOLUME, INCH3, "YP"),
    FLAT("ft³", "ft3|cu ft|cubic foot|cubic feet", VOLUME, FOOT3, "YP"),

    FLAT("ft/min", "fpm|sfpm|sfm", SPEED, FOOT / 60, "YP"),
    FLAT("ft/s", "fps", SPEED, FOOT, "YP"),
    FLAT("in/min", "ipm", SPEED, INCH / 60, "YP"),
    FLAT("km/h", "kmh|kph|kmph", SPEED, 1.0 / 3.6, "SI"),
    FLAT("mph", "mph", SPEED, MILE / 3600, "YP"),

    FLAT("Hz", "Hz|hertz|cps|s-1", FREQUENCY, 1.0, "SI"),
    FLAT("kHz", "kHz|kilohertz", FREQUENCY, 1e3, "SI"),
    FLAT("rpm", "rpm|min-1", FREQUENCY, 1.0 / 60, "811"),
    FLAT("/min", "cpm|spm", FREQUENCY, 1.0 / 60, "811"),
    FLAT("rps", "rps", FREQUENCY, 1.0, "811"),
    FLAT("turns", "1|r|rev|revs|revolution|revolutions|turn|turns|U", COUNT, 1.0, "counting"),
    FLAT("strokes", "stroke|strokes|cycle|cycles|c|time|times", COUNT, 1.0, "counting"),

    FLAT("cfm", "cfm|acfm", FLOW, FOOT3 / 60, "YP"),
    FLAT("m³/h", "cmh", FLOW, 1.0 / 3600, "SI"),
    FLAT("l/min", "lpm", FLOW, 1e-3 / 60, "SI"),

    FLAT("Pa", "Pa|pascal|pascals", PRESSURE, 1.0, "SI"),
    FLAT("kPa", "kPa|kilopascal|kilopascals", PRESSURE, 1e3, "SI"),
    FLAT("hPa", "hPa|hectopascal|hectopascals", PRESSURE, 1e2, "SI"),
    FLAT("MPa", "MPa|megapascal|megapascals", PRESSURE, 1e6, "SI"),
    FLAT("mPa", "mPa|millipascal|millipascals", PRESSURE, 1e-3, "SI"),
    FLAT("bar", "bar|bars", PRESSURE, 1e5, "811"),
    FLAT("mbar", "mbar|millibar|millibars", PRESSURE, 1e2, "811"),
    FLAT("psi", "psi|psig|lb/in2|lbf/in2|lb/sq in|pounds per square inch", PRESSURE,
         POUND_FORCE / INCH2, "YP, GN"),
    FLAT("inH2O",
         "inH2O|in H2O|\"H2O|\" H2O|inches H2O|in WC|\" WC|inches WC|in WG|\" WG|inches WG|iwc|iwg|"
         "in water|inch of water|inches of water|inch water column|inches water column",
         PRESSURE, 1000 * GRAVITY * INCH, "GN, 811"),
    FLAT("mmH2O", "mm H2O|mm WC|mm WG|mm WS|mm of water", PRESSURE, GRAVITY, "GN, 811"),
    FLAT("inHg", "in Hg|\" Hg|inches Hg|inch of mercury|inches of mercury", PRESSURE,
         13595.1 * GRAVITY * INCH, "GN, 811"),
    FLAT("mmHg", "mm Hg|mm of mercury", PRESSURE, 13.5951 * GRAVITY, "GN, 811"),

    FLAT("W", "W|watt|watts", POWER, 1.0, "SI"),
    FLAT("kW", "kW|kilowatt|kilowatts", POWER, 1e3, "SI"),
    FLAT("hp", "hp|horsepower", POWER, 550 * FOOT * POUND_FORCE, "YP, GN"),
    FLAT("PS", "PS|metric hp|metric horsepower|cv", POWER, 75 * GRAVITY, "GN"),

    {"°C", "degC|deg C|C|celsius|deg celsius|degrees C|degrees celsius", BW_OF_TEMPERATURE, 1.0,
     273.15, "SI"},
    {"°F", "degF|deg F|F|fahrenheit|deg fahrenheit|degrees F|degrees fahrenheit", BW_OF_TEMPERATURE,
     5.0 / 9, 459.67 * 5.0 / 9, "811"},
    FLAT("K", "K|kelvin|kelvins", TEMPERATURE, 1.0, "SI"),

    FLAT("deg", "deg|degree|degrees|degs", ANGLE, PI / 180, "SI"),
    FLAT("rad", "rad|radian|radians", ANGLE, 1.0, "SI"),
    FLAT("mrad", "mrad|milliradian|milliradians", ANGLE, 1e-3, "SI"),

    FLAT("s", "s|sec|secs|second|seconds", TIME, 1.0, "SI"),
    FLAT("ms", "ms|msec|millisecond|milliseconds", TIME, 1e-3, "SI"),
    FLAT("min", "min|mins|minute|minutes", TIME, 60.0, "SI"),
    FLAT("h", "h|hr|hrs|hour|hours", TIME, 3600.0, "SI"),
    FLAT("days", "d|day|days", TIME, 86400.0, "SI"),

    FLAT("kg", "kg|kilogram|kilograms|kgs", MASS, 1.0, "SI"),
    FLAT("g", "g|gram|grams", MASS, 1e-3, "SI"),
    FLAT("mg", "mg|milligram|milligrams", MASS, 1e-6, "SI"),
    FLAT("lb", "lb|lbs|lbm|pound|pounds", MASS, POUND, "YP"),
    FLAT("oz", "oz|ounce|ounces", MASS, POUND / 16, "YP"),
    FLAT("lb/ft³", "pcf", DENSITY, POUND / FOOT3, "YP"),

    FLAT("N", "N|newton|newtons", FORCE, 1.0, "SI"),
    FLAT("kN", "kN|kilonewton|kilonewtons", FORCE, 1e3, "SI"),
    FLAT("lbf", "lbf|pound force|pounds force", FORCE, POUND_FORCE, "YP, GN"),
    FLAT("J", "J|joule|joules", ENERGY, 1.0, "SI"),
    FLAT("kJ", "kJ|kilojoule|kilojoules", ENERGY, 1e3, "SI"),

    FLAT("A", "A|amp|amps|ampere|amperes", CURRENT, 1.0, "SI"),
    FLAT("mA", "mA|milliamp|milliamps|milliampere|milliamperes", CURRENT, 1e-3, "SI"),
    FLAT("ohm", "ohm|ohms", RESISTANCE, 1.0, "SI"),
    FLAT("mohm", "mohm|mOhm|milliohm|milliohms", RESISTANCE, 1e-3, "SI"),
    FLAT("kohm", "kohm|kohms|kiloohm|kiloohms|kilohm|kilohms", RESISTANCE, 1e3, "SI"),
    FLAT("Mohm", "Mohm|MOhm|megohm|megohms|megaohm|megaohms", RESISTANCE, 1e6, "SI"),
    FLAT("Gohm", "Gohm|gigaohm|gigaohms|gigohm|gigohms", RESISTANCE, 1e9, "SI"),

    FLAT("Shore A",
         "Shore A|Shore|Sh A|A Shore|A|deg Shore A|deg Shore|duro|durometer|durometer A|duro A",
         SHORE, 1.0, "ISO 48-4"),
    FLAT("Shore D", "Shore D|Sh D|D Shore|durometer D", SHORE_D, 1.0, "ISO 48-4"),
};

static const struct {
    enum bw_physical above, below, of;
} QUOTIENTS[] = {
    {BW_OF_LENGTH, BW_OF_TIME, BW_OF_SPEED},
    {BW_OF_COUNT, BW_OF_TIME, BW_OF_FREQUENCY},
    {BW_OF_VOLUME, BW_OF_TIME, BW_OF_FLOW},
    {BW_OF_MASS, BW_OF_VOLUME, BW_OF_DENSITY},
    {BW_OF_MASS, BW_OF_AREA, BW_OF_AREAL_MASS},
    {BW_OF_ENERGY, BW_OF_VOLUME, BW_OF_ENERGY_DENSITY},
    {BW_OF_POWER, BW_OF_AREA, BW_OF_FLUX},
};

#define ROWS(array) (sizeof(array) / sizeof *(array))

static const struct {
    const char *word, *units;
} PHYSICALS[] = {
#define BW_X(name, word, units) {word, units},
    BW_PHYSICALS(BW_X)
#undef BW_X
};

const struct bw_unit *bw_units_table(size_t *count) {
    *count = ROWS(UNITS);
    return UNITS;
}

const char *bw_physical_word(enum bw_physical of) { return PHYSICALS[of].word; }
const char *bw_physical_units(enum bw_physical of) { return PHYSICALS[of].units; }

// ---- plain text ----

static const struct {
    uint32_t from;
    const char *to;
} PLAIN[] = {
    {0x09, " "},      {0x0a, " "},      {0x0d, " "},      {0xa0, " "},      {0xb0, "deg"},
    {0xb1, "+-"},     {0xb2, "2"},      {0xb3, "3"},      {0xb4, "'"},      {0xb5, "u"},
    {0xb9, "1"},      {0xba, "deg"},    {0xbc, " 1/4"},   {0xbd, " 1/2"},   {0xbe, " 3/4"},
    {0x2b9, "'"},     {0x2ba, "\""},    {0x2da, "deg"},   {0x3a9, "ohm"},   {0x3bc, "u"},
    {0x2010, "-"},    {0x2011, "-"},    {0x2012, "-"},    {0x2013, "-"},    {0x2018, "'"},
    {0x2019, "'"},    {0x201c, "\""},   {0x201d, "\""},   {0x202f, " "},    {0x2032, "'"},
    {0x2033, "\""},   {0x2044, "/"},    {0x205f, " "},    {0x207b, "-"},    {0x2103, "degC"},
    {0x2109, "degF"}, {0x2126, "ohm"},  {0x2150, " 1/7"}, {0x2151, " 1/9"}, {0x2152, " 1/10"},
    {0x2153, " 1/3"}, {0x2154, " 2/3"}, {0x2155, " 1/5"}, {0x2156, " 2/5"}, {0x2157, " 3/5"},
    {0x2158, " 4/5"}, {0x2159, " 1/6"}, {0x215a, " 5/6"}, {0x215b, " 1/8"}, {0x215c, " 3/8"},
    {0x215d, " 5/8"}, {0x215e, " 7/8"}, {0x2212, "-"},    {0x2215, "/"},    {0x3000, " "},
    {0xfe63, "-"},    {0xfeff, ""},     {0xff0d, "-"},
};

static const char *plain_of(uint32_t point) {
    if (point >= 0x2000 && point <= 0x200a) return " ";
    if (point >= 0x200b && point <= 0x200d) return "";
    for (size_t i = 0; i < ROWS(PLAIN); i++)
        if (PLAIN[i].from == point) return PLAIN[i].to;
    return NULL;
}

static size_t digits_before(const char *plain, size_t n) {
    size_t run = 0;
    while (run < n && bw_is_digit(plain[n - 1 - run])) run++;
    return run;
}

// Does a digit group of exactly three begin at `text`?
static bool is_group(const char *text, size_t length) {
    bool three =
        length >= 3 && bw_is_digit(text[0]) && bw_is_digit(text[1]) && bw_is_digit(text[2]);
    return three && (length == 3 || (!bw_is_digit(text[3]) && text[3] != '/'));
}

// Thin and no-break spaces part digit groups of three ("1 200 mm" as ISO 80000-1 prints it); an
// ordinary space may part two numbers and is left to the reader to refuse. `joined` is how many
// digits at the end of `plain` were groups already.
static bool joins_group(uint32_t point, const char *plain, size_t n, size_t joined) {
    if (point != 0xa0 && point != 0x2009 && point != 0x202f) return false;
    size_t run = digits_before(plain, n);
    bool decimals = run < n && plain[n - 1 - run] == '.';
    return !decimals && (run == joined ? run > 0 : run >= 1 && run <= 3);
}

// The ^ of m^2 and m^3, which plain text leaves out.
static bool is_power(const char *text, size_t length, const char *plain, size_t n) {
    return length >= 2 && text[0] == '^' && (text[1] == '2' || text[1] == '3') && n > 0 &&
           bw_is_letter(plain[n - 1]);
}

size_t bw_unit_plain(const char *text, size_t length, char plain[BW_PLAIN_TEXT]) {
    size_t n = 0, joined = 0;
    if (length > BW_MAX_QUANTITY_TEXT) length = BW_MAX_QUANTITY_TEXT;
    for (size_t i = 0, step; i < length; i += step) {
        uint32_t point = 0;
        step = bw_utf8_step(text + i, length - i, &point);
        if (step == 0) step = 1;
        const char *rest = text + i + step, *to = plain_of(point);
        if (is_power(text + i, length - i, plain, n)) to = "";
        if (is_group(rest, length - i - step) && joins_group(point, plain, n, joined)) {
            joined = digits_before(plain, n) + 3;
            to = "";
        }
        size_t size = to == NULL ? step : strlen(to);
        memcpy(plain + n, to == NULL ? text + i : to, size);
        n += size;
        if (n > 0 && !bw_is_digit(plain[n - 1])) joined = 0;
        // Two primes make one double prime.
        if (n >= 2 && plain[n - 1] == '\'' && plain[n - 2] == '\'') plain[--n - 1] = '"';
    }
    plain[n] = '\0';
    return n;
}

// ---- finding ----

struct bw_span bw_span_from(struct bw_span span, size_t start) {
    return (struct bw_span){span.at + start, span.n - start};
}

struct bw_span bw_span_trim(struct bw_span span) {
    while (span.n > 0 && span.at[0] == ' ') span = bw_span_from(span, 1);
    while (span.n > 0 && span.at[span.n - 1] == ' ') span.n--;
    return span;
}

// Is `name` this spelling? A space of the spelling may be missing; a full stop behind a letter is
// not read ("in. w.c.").
static bool is_spelt(struct bw_span spelling, struct bw_span name, bool fold) {
    size_t i = 0, j = 0;
    while (i < spelling.n || j < name.n) {
        if (j > 0 && j < name.n && name.at[j] == '.' && bw_is_letter(name.at[j - 1])) {
            j++;
        } else if (i < spelling.n && spelling.at[i] == ' ') {
            i++;
            while (j < name.n && name.at[j] == ' ') j++;
        } else {
            if (i == spelling.n || j == name.n) return false;
            char a = spelling.at[i++], b = name.at[j++];
            if (fold ? bw_folded(a) != bw_folded(b) : a != b) return false;
        }
    }
    return true;
}

// The first of several spellings; *rest is moved behind it. Empty at the end.
static struct bw_span next_spelling(const char **rest) {
    struct bw_span spelling = {*rest, strcspn(*rest, "|")};
    *rest += spelling.n + ((*rest)[spelling.n] == '|' ? 1 : 0);
    return spelling;
}

static bool names_unit(const struct bw_unit *unit, struct bw_span name, bool fold) {
    const char *rest = unit->spellings;
    for (struct bw_span s = next_spelling(&rest); s.n > 0; s = next_spelling(&rest))
        if (is_spelt(s, name, fold)) return true;
    return false;
}

static bool search(struct bw_span name, enum bw_physical kind, bool fold,
                   struct bw_unit_found *out) {
    const struct bw_unit *found = NULL, *rival = NULL;
    for (size_t i = 0; i < ROWS(UNITS); i++) {
        const struct bw_unit *unit = &UNITS[i];
        if ((kind != BW_OF_ANY && unit->of != kind) || !names_unit(unit, name, fold)) continue;
        if (found == NULL)
            found = unit;
        else if (rival == NULL && unit->of == found->of)
            rival = unit;
    }
    if (found == NULL) return false;
    *out = (struct bw_unit_found){found->of, found->factor, found->offset, found, rival};
    return true;
}

// A single unit of a kind (BW_OF_ANY: of any): as spelt, else in other letters' case.
static bool find_row(struct bw_span name, enum bw_physical kind, struct bw_unit_found *out) {
    return search(name, kind, false, out) || search(name, kind, true, out);
}

// Parts "ft/min", "feet per minute", "/min" and "per minute".
static bool split_quotient(struct bw_span name, struct bw_span *above, struct bw_span *below) {
    for (size_t i = 0; i < name.n; i++) {
        bool word = name.n - i > 4 && (i == 0 || name.at[i - 1] == ' ') &&
                    is_spelt((struct bw_span){"per", 3}, (struct bw_span){name.at + i, 3}, true) &&
                    name.at[i + 3] == ' ';
        if (!word && name.at[i] != '/') continue;
        *above = bw_span_trim((struct bw_span){name.at, i});
        *below = bw_span_trim(bw_span_from(name, i + (word ? 4 : 1)));
        return true;
    }
    return false;
}

static bool find_quotient(struct bw_span name, enum bw_physical wanted, struct bw_unit_found *out) {
    struct bw_span above, below;
    bool found = false;
    if (!split_quotient(name, &above, &below)) return false;
    for (size_t i = 0; i < ROWS(QUOTIENTS); i++) {
        struct bw_unit_found a = {.of = BW_OF_COUNT, .factor = 1.0}, b;  // the 1 of "/min"
        bool one = QUOTIENTS[i].above == BW_OF_COUNT && above.n == 0;
        if (!one && !find_row(above, QUOTIENTS[i].above, &a)) continue;
        if (!find_row(below, QUOTIENTS[i].below, &b)) continue;
        if (found && QUOTIENTS[i].of != wanted) continue;
        found = true;
        *out = (struct bw_unit_found){
            .of = QUOTIENTS[i].of, .factor = a.factor / b.factor, .unit = a.unit};
    }
    return found;
}

bool bw_unit_find(struct bw_span name, enum bw_physical wanted, struct bw_unit_found *out) {
    name = bw_span_trim(name);
    if (name.n == 0) return false;
    struct bw_unit_found quotient = {.of = BW_OF_ANY};
    if (find_row(name, wanted, out)) return true;
    bool divided = find_quotient(name, wanted, &quotient);
    if (quotient.of != wanted && find_row(name, BW_OF_ANY, out)) return true;
    if (divided) *out = quotient;
    return divided;
}

// ---- suggesting ----

// Puts the spelling nearest to `name` among the rows of one kind into `out`, if it beats *best.
static void nearest_of(const char *name, enum bw_physical kind, size_t *best,
                       char out[BW_UNIT_TEXT]) {
    size_t length = strlen(name);
    for (size_t i = 0; i < ROWS(UNITS); i++) {
        const char *rest = UNITS[i].spellings;
        if (kind != BW_OF_ANY && UNITS[i].of != kind) continue;
        for (struct bw_span s = next_spelling(&rest); s.n > 0; s = next_spelling(&rest)) {
            char spelling[BW_UNIT_TEXT];
            size_t more = s.n > length ? s.n - length : length - s.n;
            if (more >= *best) continue;  // at least so many letters differ
            (void)snprintf(spelling, sizeof spelling, "%.*s", (int)s.n, s.at);
            size_t distance = bw_text_distance(name, spelling);
            if (distance >= *best) continue;
            *best = distance;
            memcpy(out, spelling, sizeof spelling);
        }
    }
}

// The name itself if it is a unit of the kind, else the nearest that is, else of any kind, else "".
static void near_row(struct bw_span name, enum bw_physical kind, char out[BW_UNIT_TEXT]) {
    struct bw_unit_found found;
    char copy[BW_UNIT_TEXT];
    out[0] = '\0';
    if (name.n < 1 || name.n >= sizeof copy) return;
    (void)snprintf(copy, sizeof copy, "%.*s", (int)name.n, name.at);
    if (find_row(name, kind, &found)) {
        memcpy(out, copy, sizeof copy);
        return;
    }
    if (name.n < 2) return;
    // One slip in a short name, one in three letters in a long one.
    size_t best = (name.n < 6 ? 1 : name.n / 3) + 1;
    nearest_of(copy, kind, &best, out);
    if (out[0] == '\0') nearest_of(copy, BW_OF_ANY, &best, out);
}

const char *bw_unit_nearest(struct bw_span name, enum bw_physical wanted, char out[BW_UNIT_TEXT]) {
    struct bw_span above, below;
    name = bw_span_trim(name);
    if (!split_quotient(name, &above, &below)) {
        near_row(name, wanted, out);
        return out;
    }
    enum bw_physical top = BW_OF_LENGTH, bottom = BW_OF_TIME;
    for (size_t i = 0; i < ROWS(QUOTIENTS); i++) {
        if (QUOTIENTS[i].of != wanted) continue;
        top = QUOTIENTS[i].above;
        bottom = QUOTIENTS[i].below;
    }
    char a[BW_UNIT_TEXT], b[BW_UNIT_TEXT];
    near_row(above, top, a);
    near_row(below, bottom, b);
    out[0] = '\0';
    if (b[0] == '\0' || (a[0] == '\0' && above.n > 0)) return out;
    int size = snprintf(out, BW_UNIT_TEXT, "%s/%s", a, b);
    if (size < 0 || size >= BW_UNIT_TEXT) out[0] = '\0';
    return out;
}
