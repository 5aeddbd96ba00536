// unit.c - see unit.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// One row a unit; quotients such as ft/min or "feet per minute" are put together from two rows, so
// that each spelling stands here once. Sources: SI = the SI brochure, 9th edition; YP = the
// international yard and pound agreement of 1959 (1 yd = 0.9144 m, 1 lb = 0.453 592 37 kg); GN =
// standard acceleration of gravity 9.806 65 m/s² (3rd CGPM, 1901); 811 = NIST SP 811 (2008), appendix
// B. All of these are exact, so every factor is, up to the rounding of a double. All from memory;
// tests/unit/test_unit.c holds them against the units program where that is installed.
//
// A column of water has no length of its own in pascals: it depends on the water's temperature. Taken
// here is the conventional column of 1000 kg/m³ under standard gravity (811: "conventional"), 249.089
// Pa to the inch. Water at 4 °C gives 0.003 % less, water at 60 °F 0.10 % less; gauges are worse.
// The horsepower is the mechanical one, 550 ft lbf/s; the electrical one (746 W) is 0.04 % more.
#include "base/unit.h"

#include "base/utf8.h"

#include <math.h>
#include <string.h>

#define FOOT 0.3048
#define INCH 0.0254
#define POUND 0.45359237
#define GRAVITY 9.80665
#define PI 3.14159265358979323846
#define FLAT(name, spellings, of, factor, source) {name, spellings, BW_OF_##of, factor, 0.0, source}

static const struct bw_unit UNITS[] = {
    FLAT("%", "%|percent|per cent|pct", NONE, 0.01, "ISO 80000-1"),

    FLAT("m", "m|meter|meters|metre|metres", LENGTH, 1.0, "SI"),
    FLAT("cm", "cm|centimeter|centimeters|centimetre|centimetres", LENGTH, 1e-2, "SI"),
    FLAT("mm", "mm|millimeter|millimeters|millimetre|millimetres", LENGTH, 1e-3, "SI"),
    FLAT("µm", "um|micron|microns|micrometer|micrometers|micrometre|micrometres", LENGTH, 1e-6, "SI"),
    FLAT("nm", "nm|nanometer|nanometers|nanometre|nanometres", LENGTH, 1e-9, "SI"),
    FLAT("km", "km|kilometer|kilometers|kilometre|kilometres", LENGTH, 1e3, "SI"),
    FLAT("in", "in|\"|inch|inches|ins", LENGTH, INCH, "YP"),
    FLAT("ft", "ft|'|foot|feet", LENGTH, FOOT, "YP"),
    FLAT("yd", "yd|yard|yards|yds", LENGTH, 0.9144, "YP"),
    FLAT("mil", "mil|mils|thou|thous", LENGTH, INCH / 1000, "YP"),
    FLAT("mi", "mi|mile|miles", LENGTH, 5280 * FOOT, "YP"),

    FLAT("m²", "m2|sq m|square meter|square meters|square metre|square metres", AREA, 1.0, "SI"),
    FLAT("cm²", "cm2|sq cm|square centimeter|square centimeters|square centimetre|square centimetres",
         AREA, 1e-4, "SI"),
    FLAT("mm²", "mm2|sq mm|square millimeter|square millimeters|square millimetre|square millimetres",
         AREA, 1e-6, "SI"),
    FLAT("in²", "in2|sq in|sq inch|square inch|square inches", AREA, INCH * INCH, "YP"),
    FLAT("ft²", "ft2|sq ft|square foot|square feet", AREA, FOOT * FOOT, "YP"),

    FLAT("m³", "m3|cu m|cubic meter|cubic meters|cubic metre|cubic metres", VOLUME, 1.0, "SI"),
    FLAT("l", "l|L|liter|liters|litre|litres|dm3", VOLUME, 1e-3, "SI"),
    FLAT("cm³", "cm3|cc|ml|cubic centimeter|cubic centimeters|cubic centimetre|cubic centimetres",
         VOLUME, 1e-6, "SI"),
    FLAT("in³", "in3|cu in|cubic inch|cubic inches", VOLUME, INCH * INCH * INCH, "YP"),
    FLAT("ft³", "ft3|cu ft|cubic foot|cubic feet", VOLUME, FOOT * FOOT * FOOT, "YP"),

    FLAT("ft/min", "fpm|sfpm|sfm", SPEED, FOOT / 60, "YP"),
    FLAT("ft/s", "fps", SPEED, FOOT, "YP"),
    FLAT("in/min", "ipm", SPEED, INCH / 60, "YP"),
    FLAT("km/h", "kmh|kph|kmph", SPEED, 1.0 / 3.6, "SI"),
    FLAT("mph", "mph", SPEED, 5280 * FOOT / 3600, "YP"),

    FLAT("Hz", "Hz|hertz|cps|s-1", FREQUENCY, 1.0, "SI"),
    FLAT("kHz", "kHz|kilohertz", FREQUENCY, 1e3, "SI"),
    FLAT("rpm", "rpm|min-1", FREQUENCY, 1.0 / 60, "811"),
    FLAT("/min", "cpm|spm", FREQUENCY, 1.0 / 60, "811"),
    FLAT("rps", "rps", FREQUENCY, 1.0, "811"),
    FLAT("turns", "1|r|rev|revs|revolution|revolutions|turn|turns", COUNT, 1.0, "counting"),
    FLAT("strokes", "stroke|strokes|cycle|cycles|c|time|times", COUNT, 1.0, "counting"),

    FLAT("cfm", "cfm|acfm", FLOW, FOOT * FOOT * FOOT / 60, "YP"),
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
         POUND * GRAVITY / (INCH * INCH), "YP, GN"),
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
    FLAT("hp", "hp|horsepower", POWER, 550 * FOOT * POUND * GRAVITY, "YP, GN"),
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
    FLAT("lb/ft³", "pcf", DENSITY, POUND / (FOOT * FOOT * FOOT), "YP"),

    FLAT("A", "A|amp|amps|ampere|amperes", CURRENT, 1.0, "SI"),
    FLAT("mA", "mA|milliamp|milliamps|milliampere|milliamperes", CURRENT, 1e-3, "SI"),
    FLAT("ohm", "ohm|ohms", RESISTANCE, 1.0, "SI"),
    FLAT("mohm", "mohm|mOhm|milliohm|milliohms", RESISTANCE, 1e-3, "SI"),
    FLAT("kohm", "kohm|kohms|kiloohm|kiloohms|kilohm|kilohms", RESISTANCE, 1e3, "SI"),
    FLAT("Mohm", "Mohm|MOhm|megohm|megohms|megaohm|megaohms", RESISTANCE, 1e6, "SI"),
    FLAT("Gohm", "Gohm|gigaohm|gigaohms|gigohm|gigohms", RESISTANCE, 1e9, "SI"),

    FLAT("Shore A", "Shore A|Shore|Sh A|A Shore|A|duro|durometer|durometer A|duro A", SHORE, 1.0,
         "ISO 48-4"),
    FLAT("Shore D", "Shore D|Sh D|D Shore|durometer D", SHORE_D, 1.0, "ISO 48-4"),
};

static const struct {
    enum bw_physical above, below, of;
} QUOTIENTS[] = {
    {BW_OF_LENGTH, BW_OF_TIME, BW_OF_SPEED},
    {BW_OF_COUNT, BW_OF_TIME, BW_OF_FREQUENCY},
    {BW_OF_VOLUME, BW_OF_TIME, BW_OF_FLOW},
    {BW_OF_MASS, BW_OF_VOLUME, BW_OF_DENSITY},
};
static const struct bw_unit ONE = FLAT("", "", COUNT, 1.0, "counting");  // the 1 of "/min"

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
    {0x09, " "},      {0xa0, " "},      {0xb0, "deg"},    {0xb1, "+-"},     {0xb2, "2"},
    {0xb3, "3"},      {0xb4, "'"},      {0xb5, "u"},      {0xb9, "1"},      {0xba, "deg"},
    {0xbc, " 1/4"},   {0xbd, " 1/2"},   {0xbe, " 3/4"},   {0x2b9, "'"},     {0x2ba, "\""},
    {0x2da, "deg"},   {0x3a9, "ohm"},   {0x3bc, "u"},     {0x2010, "-"},    {0x2011, "-"},
    {0x2012, "-"},    {0x2013, "-"},    {0x2018, "'"},    {0x2019, "'"},    {0x201c, "\""},
    {0x201d, "\""},   {0x202f, " "},    {0x2032, "'"},    {0x2033, "\""},   {0x2044, "/"},
    {0x205f, " "},    {0x207b, "-"},    {0x2103, "degC"}, {0x2109, "degF"}, {0x2126, "ohm"},
    {0x2150, " 1/7"}, {0x2151, " 1/9"}, {0x2152, " 1/10"}, {0x2153, " 1/3"}, {0x2154, " 2/3"},
    {0x2155, " 1/5"}, {0x2156, " 2/5"}, {0x2157, " 3/5"}, {0x2158, " 4/5"}, {0x2159, " 1/6"},
    {0x215a, " 5/6"}, {0x215b, " 1/8"}, {0x215c, " 3/8"}, {0x215d, " 5/8"}, {0x215e, " 7/8"},
    {0x2212, "-"},    {0x2215, "/"},    {0x3000, " "},    {0xfe63, "-"},    {0xfeff, ""},
    {0xff0d, "-"},
};

static bool is_digit(char c) { return c >= '0' && c <= '9'; }
static bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }
static char folded(char c) { return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c); }

static const char *plain_of(uint32_t point) {
    if (point >= 0x2000 && point <= 0x200a) return " ";
    if (point >= 0x200b && point <= 0x200d) return "";
    for (size_t i = 0; i < ROWS(PLAIN); i++)
        if (PLAIN[i].from == point) return PLAIN[i].to;
    return NULL;
}

// A thin or no-break space between digit groups of three ("1 200 mm" as ISO 80000-1 prints it); an
// ordinary space may part two numbers and is left to the reader to refuse.
static bool groups_digits(uint32_t point, const char *before, size_t written, const char *after,
                          size_t left) {
    if (point != 0xa0 && point != 0x2009 && point != 0x202f) return false;
    size_t run = 0;
    while (run < written && is_digit(before[written - 1 - run])) run++;
    bool whole = run == written || (before[written - 1 - run] != '.' && before[written - 1 - run] != ',');
    if (run == 0 || run > 9 || !whole || left < 3) return false;
    bool three = is_digit(after[0]) && is_digit(after[1]) && is_digit(after[2]);
    return three && (left == 3 || (!is_digit(after[3]) && after[3] != '/'));
}

size_t bw_unit_plain(const char *text, size_t length, char plain[BW_PLAIN_TEXT]) {
    size_t n = 0;
    for (size_t i = 0; i < length && i < BW_MAX_QUANTITY_TEXT;) {
        uint32_t point = 0;
        size_t step = bw_utf8_step(text + i, length - i, &point);
        if (step == 0) step = 1;
        const char *to = plain_of(point);
        size_t size = to == NULL ? step : strlen(to);
        if (groups_digits(point, plain, n, text + i + step, length - i - step)) size = 0;
        // m^2 is m2; two primes make one double prime.
        bool power = point == '^' && n > 0 && is_letter(plain[n - 1]) && i + 1 < length &&
                     (text[i + 1] == '2' || text[i + 1] == '3');
        if (power) size = 0;
        memcpy(plain + n, to == NULL ? text + i : to, size);
        n += size;
        if (n >= 2 && plain[n - 1] == '\'' && plain[n - 2] == '\'') plain[--n - 1] = '"';
        i += step;
    }
    plain[n] = '\0';
    return n;
}

// ---- finding ----

// Is `text` the spelling? A space of the spelling may be missing; a full stop after a letter is not read.
static bool is_spelt(const char *spelling, size_t size, const char *text, size_t length, bool fold) {
    size_t i = 0, j = 0;
    while (i < size || j < length) {
        if (j > 0 && j < length && text[j] == '.' && is_letter(text[j - 1])) {
            j++;
        } else if (i < size && spelling[i] == ' ') {
            i++;
            while (j < length && text[j] == ' ') j++;
        } else {
            if (i == size || j == length) return false;
            char a = spelling[i++], b = text[j++];
            if (fold ? folded(a) != folded(b) : a != b) return false;
        }
    }
    return true;
}

// Steps through the spellings of a unit: the next one at *at, its size; false at the end.
static bool next_spelling(const char **at, size_t *size) {
    if (*at == NULL || **at == '\0') return false;
    *size = strcspn(*at, "|");
    return true;
}

static bool unit_is_spelt(const struct bw_unit *unit, const char *text, size_t length, bool fold) {
    size_t size;
    for (const char *at = unit->spellings; next_spelling(&at, &size);
         at += size + (at[size] == '|' ? 1 : 0))
        if (is_spelt(at, size, text, length, fold)) return true;
    return false;
}

// Searches one row after the other; `only` BW_OF_COUNT_OF: any kind of unit.
static bool search(const char *text, size_t length, enum bw_physical only, bool fold,
                   struct bw_unit_found *out) {
    const struct bw_unit *found = NULL, *rival = NULL;
    for (size_t i = 0; i < ROWS(UNITS); i++) {
        if (only != BW_OF_COUNT_OF && UNITS[i].of != only) continue;
        if (!unit_is_spelt(&UNITS[i], text, length, fold)) continue;
        if (found == NULL) found = &UNITS[i];
        else if (rival == NULL && UNITS[i].of == found->of) rival = &UNITS[i];
    }
    if (found == NULL) return false;
    *out = (struct bw_unit_found){found->of, found->factor, found->offset, found, rival};
    return true;
}

static bool find_one(const char *text, size_t length, enum bw_physical only,
                     struct bw_unit_found *out) {
    return search(text, length, only, false, out) || search(text, length, only, true, out);
}

static void trim(const char **text, size_t *length) {
    while (*length > 0 && **text == ' ') (*text)++, (*length)--;
    while (*length > 0 && (*text)[*length - 1] == ' ') (*length)--;
}

// Parts "ft/min", "feet per minute", "/min" and "per minute"; *below is where the second half begins.
static bool split_quotient(const char *text, size_t length, size_t *above, size_t *below) {
    for (size_t i = 0; i < length; i++) {
        bool word = (i == 0 || text[i - 1] == ' ') && length - i > 4 && folded(text[i]) == 'p' &&
                    folded(text[i + 1]) == 'e' && folded(text[i + 2]) == 'r' && text[i + 3] == ' ';
        if (!word && text[i] != '/') continue;
        *above = i;
        *below = i + (word ? 4 : 1);
        return true;
    }
    return false;
}

static bool find_quotient(const char *text, size_t length, enum bw_physical wanted,
                          struct bw_unit_found *out) {
    size_t above, below;
    if (!split_quotient(text, length, &above, &below)) return false;
    const char *top = text, *bottom = text + below;
    size_t top_size = above, bottom_size = length - below;
    trim(&top, &top_size);
    trim(&bottom, &bottom_size);
    bool found = false;
    for (size_t i = 0; i < ROWS(QUOTIENTS); i++) {
        struct bw_unit_found a = {BW_OF_COUNT, 1.0, 0.0, &ONE, NULL}, b;
        bool counts = QUOTIENTS[i].above == BW_OF_COUNT && top_size == 0;
        if (!counts && !find_one(top, top_size, QUOTIENTS[i].above, &a)) continue;
        if (!find_one(bottom, bottom_size, QUOTIENTS[i].below, &b)) continue;
        if (found && QUOTIENTS[i].of != wanted) continue;
        found = true;
        *out = (struct bw_unit_found){QUOTIENTS[i].of, a.factor / b.factor, 0.0, a.unit, NULL};
    }
    return found;
}

bool bw_unit_find(const char *plain, size_t length, enum bw_physical wanted,
                  struct bw_unit_found *out) {
    trim(&plain, &length);
    if (length == 0) return false;
    struct bw_unit_found quotient;
    if (find_one(plain, length, wanted, out)) return true;
    bool divided = find_quotient(plain, length, wanted, &quotient);
    if (divided && quotient.of == wanted) *out = quotient;
    else if (find_one(plain, length, BW_OF_COUNT_OF, out)) return true;
    else if (divided) *out = quotient;
    return divided;
}

// ---- suggesting ----

// The nearest spelling among the rows of one kind (BW_OF_COUNT_OF: all); better than *best only.
static void nearest_of(const char *text, enum bw_physical only, size_t *best,
                       char out[BW_UNIT_TEXT]) {
    for (size_t i = 0; i < ROWS(UNITS); i++) {
        if (only != BW_OF_COUNT_OF && UNITS[i].of != only) continue;
        size_t size;
        for (const char *at = UNITS[i].spellings; next_spelling(&at, &size);
             at += size + (at[size] == '|' ? 1 : 0)) {
            char spelling[BW_UNIT_TEXT];
            if (size >= sizeof spelling) continue;
            memcpy(spelling, at, size);
            spelling[size] = '\0';
            size_t distance = bw_text_distance(text, spelling);
            if (distance >= *best) continue;
            *best = distance;
            memcpy(out, spelling, size + 1);
        }
    }
}

static bool nearest_one(const char *text, size_t length, enum bw_physical wanted,
                        char out[BW_UNIT_TEXT]) {
    char copy[BW_UNIT_TEXT];
    out[0] = '\0';
    if (length < 2 || length >= sizeof copy) return false;
    memcpy(copy, text, length);
    copy[length] = '\0';
    // One slip in a short name, one in three letters in a long one.
    size_t best = (length < 6 ? 1 : length / 3) + 1;
    nearest_of(copy, wanted, &best, out);
    if (out[0] == '\0') nearest_of(copy, BW_OF_COUNT_OF, &best, out);
    return out[0] != '\0';
}

const char *bw_unit_nearest(const char *plain, size_t length, enum bw_physical wanted,
                            char out[BW_UNIT_TEXT]) {
    trim(&plain, &length);
    size_t above, below;
    if (!split_quotient(plain, length, &above, &below)) {
        (void)nearest_one(plain, length, wanted, out);
        return out;
    }
    enum bw_physical top_of = BW_OF_LENGTH, bottom_of = BW_OF_TIME;
    for (size_t i = 0; i < ROWS(QUOTIENTS); i++) {
        if (QUOTIENTS[i].of != wanted) continue;
        top_of = QUOTIENTS[i].above;
        bottom_of = QUOTIENTS[i].below;
    }
    const char *top = plain, *bottom = plain + below;
    size_t top_size = above, bottom_size = length - below;
    trim(&top, &top_size);
    trim(&bottom, &bottom_size);
    char a[BW_UNIT_TEXT], b[BW_UNIT_TEXT];
    struct bw_unit_found found;
    out[0] = '\0';
    bool near_a = top_size == 0 || find_one(top, top_size, top_of, &found);
    if (near_a && top_size < sizeof a) memcpy(a, top, top_size), a[top_size] = '\0';
    else near_a = nearest_one(top, top_size, top_of, a);
    bool near_b = find_one(bottom, bottom_size, bottom_of, &found);
    if (near_b && bottom_size < sizeof b) memcpy(b, bottom, bottom_size), b[bottom_size] = '\0';
    else near_b = nearest_one(bottom, bottom_size, bottom_of, b);
    size_t length_a = strlen(a);
    if (!near_a || !near_b || length_a + 1 + strlen(b) >= BW_UNIT_TEXT) return out;
    memcpy(out, a, length_a);
    out[length_a] = '/';
    memcpy(out + length_a + 1, b, strlen(b) + 1);
    return out;
}
