// quantity.c - see quantity.h. Reading goes: plain text, then the forms from the outside in: "by WAY",
// "±", number and unit. Every refusal says what is needed with two examples, what came, and the mend.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/quantity.h"

#include "base/number.h"
#include "base/unit.h"
#include "base/utf8.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

static const struct {
    const char *word, *unit[2];
    enum bw_physical of;
} DIMS[] = {
#define BW_X(name, word, physical, si, us) {word, {si, us}, BW_OF_##physical},
    BW_DIMS(BW_X)
#undef BW_X
};
static const struct {
    const char *name, *example[2];
} SHOWN[BW_DIM_COUNT] = {
    [BW_DIM_NUMBER] = {"number", {"3", "0.5"}},
    [BW_DIM_RATIO] = {"ratio", {"3 %", "0.03"}},
    [BW_DIM_LENGTH] = {"length", {"14.6 mm", "5/8 in"}},
    [BW_DIM_DEPTH] = {"depth", {"12 µm", "0.0005 in"}},
    [BW_DIM_TRAVEL] = {"travel", {"2.5 m", "8 ft"}},
    [BW_DIM_AREA] = {"area", {"0.5 m²", "5 ft²"}},
    [BW_DIM_FEED] = {"feed", {"7.3 m/min", "24 ft/min"}},
    [BW_DIM_SPEED] = {"speed", {"18 m/s", "3500 ft/min"}},
    [BW_DIM_RATE] = {"rate", {"35.8 Hz", "2150 rpm"}},
    [BW_DIM_TURNS] = {"turns", {"1475 rpm", "24.6 Hz"}},
    [BW_DIM_STROKES] = {"strokes", {"15 /min", "15 strokes per minute"}},
    [BW_DIM_FLOW] = {"flow", {"1870 m³/h", "1100 cfm"}},
    [BW_DIM_PRESSURE] = {"pressure", {"300 Pa", "1.2 inH2O"}},
    [BW_DIM_AIR_PRESSURE] = {"air pressure", {"6 bar", "90 psi"}},
    [BW_DIM_POWER] = {"power", {"3.5 kW", "5 hp"}},
    [BW_DIM_TEMPERATURE] = {"temperature", {"20 °C", "68 °F"}},
    [BW_DIM_ANGLE] = {"angle", {"1.5 deg", "26 mrad"}},
    [BW_DIM_TIME] = {"time", {"30 s", "2 min 30 s"}},
    [BW_DIM_MINUTES] = {"minutes", {"20 min", "1.5 h"}},
    [BW_DIM_MASS] = {"mass", {"12 kg", "26 lb"}},
    [BW_DIM_DENSITY] = {"density", {"650 kg/m³", "41 lb/ft³"}},
    [BW_DIM_CURRENT] = {"current", {"12 A", "800 mA"}},
    [BW_DIM_RESISTANCE] = {"resistance", {"0.1 ohm", "1 megohm"}},
    [BW_DIM_SHORE] = {"shore", {"40 Shore A", "40"}},
};

// ---- what dims are called and shown in ----

const char *bw_dim_word(enum bw_dim dim) { return DIMS[dim].word; }
const char *bw_dim_name(enum bw_dim dim) { return SHOWN[dim].name; }
const char *bw_dim_unit(enum bw_dim dim, enum bw_units units) { return DIMS[dim].unit[units]; }
const char *bw_dim_example(enum bw_dim dim, enum bw_units units) { return SHOWN[dim].example[units]; }
bool bw_dim_same(enum bw_dim a, enum bw_dim b) { return DIMS[a].of == DIMS[b].of; }

static struct bw_unit_found display_unit(enum bw_dim dim, enum bw_units units) {
    struct bw_unit_found found = {.of = BW_OF_NONE, .factor = 1.0, .offset = 0.0};
    const char *name = DIMS[dim].unit[units];
    char plain[BW_PLAIN_TEXT];
    size_t length = bw_unit_plain(name, strlen(name), plain);
    if (length > 0) (void)bw_unit_find(plain, length, DIMS[dim].of, &found);
    return found;
}

double bw_dim_from_si(enum bw_dim dim, enum bw_units units, double si) {
    struct bw_unit_found unit = display_unit(dim, units);
    return (si - unit.offset) / unit.factor;
}

double bw_dim_to_si(enum bw_dim dim, enum bw_units units, double shown) {
    struct bw_unit_found unit = display_unit(dim, units);
    return shown * unit.factor + unit.offset;
}

// ---- reading ----

// What is being read, for messages.
struct ask {
    enum bw_dim dim;
    const char *text;  // as given
    size_t length;
    struct bw_err *err;
};
// A piece of the plain text.
struct span {
    const char *at;
    size_t n;
};
// A number with its unit, or without (bare).
struct measure {
    double number;  // as written; of "5 ft 3 in" 63, the unit being the last
    struct bw_unit_found unit;
    bool bare;
};

static bool refuse(const struct ask *ask, const char *got, ...) BW_PRINTF(2, 3);
static bool refuse(const struct ask *ask, const char *got, ...) {
    char came[BW_MAX_ERROR_TEXT], value[BW_MAX_QUANTITY_TEXT + 1];
    va_list args;
    va_start(args, got);
    (void)vsnprintf(came, sizeof came, got, args);
    va_end(args);
    size_t keep = ask->length;
    if (keep >= sizeof value) keep = bw_utf8_cut(ask->text, sizeof value - 1);
    memcpy(value, ask->text, keep);
    value[keep] = '\0';
    bw_err_value(ask->err, value);
    bw_err_mend(ask->err, "write it as %s or %s", SHOWN[ask->dim].example[0],
                SHOWN[ask->dim].example[1]);
    return bw_fail(ask->err, BW_INPUT, "needs %s such as %s or %s, got %s", DIMS[ask->dim].word,
                   SHOWN[ask->dim].example[0], SHOWN[ask->dim].example[1], came);
}

static bool is_digit(char c) { return c >= '0' && c <= '9'; }
static char folded(char c) { return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c); }

static struct span cut(struct span span, size_t from) {
    return (struct span){span.at + from, span.n - from};
}
static struct span trim(struct span span) {
    while (span.n > 0 && *span.at == ' ') span = cut(span, 1);
    while (span.n > 0 && span.at[span.n - 1] == ' ') span.n--;
    return span;
}
static bool begins(struct span span, const char *word) {
    size_t n = strlen(word);
    if (span.n < n) return false;
    for (size_t i = 0; i < n; i++)
        if (folded(span.at[i]) != word[i]) return false;
    return true;
}
static bool is(struct span span, const char *word) {
    return span.n == strlen(word) && begins(span, word);
}
// Where `word` first stands in the span; its length if nowhere.
static size_t find(struct span span, const char *word) {
    for (size_t i = 0; i < span.n; i++)
        if (begins(cut(span, i), word)) return i;
    return span.n;
}

static bool takes_bare(enum bw_dim dim) {
    return DIMS[dim].of == BW_OF_NONE || DIMS[dim].of == BW_OF_SHORE;
}

// Digits at the start of a span: their count.
static size_t digits(struct span span) {
    size_t n = 0;
    while (n < span.n && is_digit(span.at[n])) n++;
    return n;
}

static bool convert(const struct ask *ask, struct span digits_of, double *out) {
    struct bw_err inner = {0};
    if (bw_number(digits_of.at, digits_of.n, out, &inner)) return true;
    return refuse(ask, "a number too large to work with");
}

// Reads "5/8" if it stands there; *used 0 if not.
static bool read_fraction(const struct ask *ask, struct span text, double *out, size_t *used) {
    size_t above = digits(text), below = 0;
    *used = 0;
    if (above > 0 && above < text.n && text.at[above] == '/') below = digits(cut(text, above + 1));
    if (below == 0) return true;
    double top, bottom;
    if (!convert(ask, (struct span){text.at, above}, &top)) return false;
    if (!convert(ask, (struct span){text.at + above + 1, below}, &bottom)) return false;
    if (bottom == 0.0) return refuse(ask, "a fraction with 0 below the line");
    *used = above + 1 + below;
    *out = top / bottom;
    return true;
}

// Reads the fraction of "7 5/8" and "7-5/8" behind a whole number and adds it.
static bool read_mixed(const struct ask *ask, struct span rest, double *number, size_t *used) {
    struct span after = trim(rest);
    if (after.n > 0 && *after.at == '-') after = trim(cut(after, 1));
    double part = 0.0;
    size_t size = 0;
    *used = 0;
    if (after.at == rest.at || !read_fraction(ask, after, &part, &size)) return ask->err->code == BW_OK;
    if (size == 0) return true;
    if (part >= 1.0) {
        bw_err_mend(ask->err, "write the whole number and what is over, such as 7 5/8 in");
        return refuse(ask, "a fraction of 1 or more behind a whole number");
    }
    *number += part;
    *used = (size_t)(after.at - rest.at) + size;
    return true;
}

static bool refuse_commas(const struct ask *ask, struct span text, bool minus) {
    char whole[BW_NUMBER_TEXT], decimal[BW_NUMBER_TEXT];
    size_t run = bw_number_commas(text.at, text.n, whole, decimal);
    struct span unit = trim(cut(text, run));
    int n = (int)(unit.n < 30 ? unit.n : 30);
    const char *dash = minus ? "-" : "", *space = n > 0 ? " " : "";
    if (whole[0] != '\0' && decimal[0] != '\0')
        bw_err_mend(ask->err, "write %s%s%s%.*s or %s%s%s%.*s, whichever is meant", dash, whole, space,
                    n, unit.at, dash, decimal, space, n, unit.at);
    else if (whole[0] != '\0' || decimal[0] != '\0')
        bw_err_mend(ask->err, "write %s%s%s%.*s, without the comma", dash,
                    whole[0] != '\0' ? whole : decimal, space, n, unit.at);
    return refuse(ask, "a comma between digits");
}

// Reads the number at the front, sign and fraction included; *rest is what follows.
static bool read_number(const struct ask *ask, struct span text, double *out, struct span *rest) {
    char whole[BW_NUMBER_TEXT], decimal[BW_NUMBER_TEXT];
    bool minus = text.n > 0 && *text.at == '-';
    if (minus || (text.n > 0 && *text.at == '+')) text = trim(cut(text, 1));
    if (bw_number_commas(text.at, text.n, whole, decimal) > 0) return refuse_commas(ask, text, minus);
    double number = 0.0;
    size_t used = 0, more = 0;
    if (!read_fraction(ask, text, &number, &used)) return false;
    if (used == 0) {
        used = bw_number_scan(text.at, text.n);
        if (used == 0) return refuse(ask, "a text that does not begin with a number");
        if (!convert(ask, (struct span){text.at, used}, &number)) return false;
        bool is_whole = used == digits(text);
        if (is_whole && !read_mixed(ask, cut(text, used), &number, &more)) return false;
        used += more;
    }
    *out = minus ? -number : number;
    *rest = trim(cut(text, used));
    return true;
}

// Says why what follows a number is no unit.
static bool refuse_unit(const struct ask *ask, struct span unit) {
    char nearest[BW_UNIT_TEXT];
    enum bw_physical of = DIMS[ask->dim].of;
    struct bw_unit_found found;
    int n = (int)(unit.n < 60 ? unit.n : 60);
    bool dash = *unit.at == '-' && is_digit(trim(cut(unit, 1)).n > 0 ? *trim(cut(unit, 1)).at : ' ');
    if (dash || begins(unit, "to ")) {
        bw_err_mend(ask->err, "give the middle with a ±, such as 14.6 ± 0.2 mm");
        return refuse(ask, "a range");
    }
    if (is_digit(*unit.at)) {
        bw_err_mend(ask->err, "write one number without a space, such as 1200 or 7.625, or a "
                              "fraction such as 7 5/8");
        return refuse(ask, "two numbers");
    }
    for (size_t i = unit.n; i-- > 0;) {
        if (unit.at[i] != ' ' || !bw_unit_find(unit.at, i, of, &found)) continue;
        struct span over = trim(cut(unit, i));
        bw_err_mend(ask->err, "leave it out");
        return refuse(ask, "\"%.*s\" behind the unit", (int)over.n, over.at);
    }
    if (bw_unit_nearest(unit.at, unit.n, of, nearest)[0] != '\0')
        bw_err_mend(ask->err, "did you mean %s?", nearest);
    else bw_err_mend(ask->err, "units that fit: %s", bw_physical_units(of));
    return refuse(ask, "the unknown unit \"%.*s\"", n, unit.at);
}

// Looks the unit up and holds it against what is wanted.
static bool read_unit(const struct ask *ask, struct span unit, struct bw_unit_found *out) {
    enum bw_physical of = DIMS[ask->dim].of;
    if (!bw_unit_find(unit.at, unit.n, of, out)) return refuse_unit(ask, unit);
    if (ask->dim == BW_DIM_NUMBER) {
        bw_err_mend(ask->err, "write the number without a unit");
        return refuse(ask, "%s", bw_physical_word(out->of));
    }
    if (out->of != of) {
        bw_err_mend(ask->err, "units that fit: %s", bw_physical_units(of));
        return refuse(ask, "%s", bw_physical_word(out->of));
    }
    if (out->rival != NULL) {
        bw_err_mend(ask->err, "write %s or %s, whichever is meant", out->unit->name, out->rival->name);
        return refuse(ask, "a unit that can be read in two ways");
    }
    return true;
}

// "5 ft 3 in", "2 min 30 s": where the second number begins, 0 if there is none. A digit counts only
// behind a space, a prime or a dash, so that m3/h and mmH2O stay whole.
static size_t second_number(struct span unit) {
    for (size_t i = 1; i < unit.n; i++) {
        char before = unit.at[i - 1];
        if (is_digit(unit.at[i]) && (before == ' ' || before == '\'' || before == '-')) {
            struct span name = {unit.at, i};
            bool dash = before == '-';
            if (dash && (i < 2 || (unit.at[i - 2] != '\'' && unit.at[i - 2] != ' '))) continue;
            if (dash) name.n--;
            return trim(name).n == 0 ? 0 : i;
        }
    }
    return 0;
}

static bool read_second(const struct ask *ask, double first, struct span unit, size_t at,
                        struct measure *out) {
    struct bw_unit_found large, small;
    struct span name = {unit.at, at}, rest;
    if (name.at[name.n - 1] == '-') name.n--;
    name = trim(name);
    double second;
    if (!read_unit(ask, name, &large) || !read_number(ask, cut(unit, at), &second, &rest)) return false;
    if (rest.n == 0) {
        bw_err_mend(ask->err, "write both units, such as 5 ft 3 in or 2 min 30 s");
        return refuse(ask, "a second number without a unit");
    }
    if (!read_unit(ask, rest, &small)) return false;
    bool fits = large.of == BW_OF_LENGTH || large.of == BW_OF_TIME || large.of == BW_OF_MASS;
    if (!fits || floor(first) != first || small.factor >= large.factor ||
        second * small.factor >= large.factor) {
        bw_err_mend(ask->err, "write it in one unit, or as in 5 ft 3 in or 2 min 30 s");
        return refuse(ask, "two numbers that do not make one");
    }
    double over = fabs(first) * (large.factor / small.factor) + second;
    *out = (struct measure){signbit(first) ? -over : over, small, false};
    return true;
}

// Reads a number and its unit.
static bool read_measure(const struct ask *ask, struct span text, struct measure *out) {
    struct span unit;
    double number;
    if (!read_number(ask, text, &number, &unit)) return false;
    if (unit.n == 0) {
        *out = (struct measure){.number = number, .unit = {.factor = 1.0}, .bare = true};
        return true;
    }
    size_t second = second_number(unit);
    if (second > 0) return read_second(ask, number, unit, second, out);
    struct measure read = {.number = number};
    if (!read_unit(ask, unit, &read.unit)) return false;
    *out = read;
    return true;
}

static bool refuse_bare(const struct ask *ask, double number) {
    char text[BW_NUMBER_TEXT];
    const char *const *unit = DIMS[ask->dim].unit;
    bw_number_text(text, number);
    if (strcmp(unit[0], unit[1]) == 0) bw_err_mend(ask->err, "write %s %s, if that is meant", text, unit[0]);
    else bw_err_mend(ask->err, "write %s %s or %s %s, whichever is meant", text, unit[0], text, unit[1]);
    return refuse(ask, "a number without a unit");
}

// Reads what stands behind the ±. `value` may take its unit from there.
static bool read_sd(const struct ask *ask, struct span text, bool bracketed, struct measure *value,
                    double *sd) {
    struct measure spread;
    struct span unit;
    double number;
    if (text.n == 0) return refuse(ask, "nothing behind the ±");
    if (find(text, "+-") < text.n || find(text, "+/-") < text.n) return refuse(ask, "two ±");
    if (!read_number(ask, text, &number, &unit)) return false;
    bool percent = is(unit, "%"), points = ask->dim == BW_DIM_RATIO;
    if (percent && points && value->bare && !bracketed) {
        char v[BW_NUMBER_TEXT];
        bw_number_text(v, value->number);
        bw_err_mend(ask->err, "write %s %% ± %.*s or %.12g %% ± %.*s, whichever is meant", v,
                    (int)text.n, text.at, 100 * value->number, (int)text.n, text.at);
        return refuse(ask, "a %% behind the ± alone");
    }
    if (percent && DIMS[ask->dim].of == BW_OF_TEMPERATURE) {
        bw_err_mend(ask->err, "write the ± in degrees, such as 68 °F ± 2 °F");
        return refuse(ask, "a ± in %% of a temperature");
    }
    if (percent && !points) {
        spread = (struct measure){number / 100 * fabs(value->number), value->unit, false};
    } else {
        if (!read_measure(ask, text, &spread)) return false;
        if (spread.bare) spread.unit = value->unit;
        else if (value->bare) value->unit = spread.unit, value->bare = false;
    }
    if (!(spread.number > 0.0)) {
        bool below = number < 0.0;
        bw_err_mend(ask->err, "write by how much it may well be off (one standard deviation), or "
                              "leave the ± out");
        return refuse(ask, below ? "a ± below 0" : "a ± of 0");
    }
    *sd = spread.number * spread.unit.factor;
    return true;
}

// "(14.6 ± 0.2) mm": blanks the brackets.
static bool open_brackets(char *plain, size_t length) {
    char *close = memchr(plain, ')', length);
    if (plain[0] != '(' || close == NULL || strstr(plain, "+-") == NULL) return false;
    if (strstr(plain, "+-") > close) return false;
    plain[0] = *close = ' ';
    return true;
}

// Do two texts agree but for letters' case and the width of spaces?
static bool same_words(struct span a, const char *b) {
    size_t i = 0;
    for (; i < a.n; i++, b++) {
        while (i > 0 && i + 1 < a.n && a.at[i] == ' ' && a.at[i - 1] == ' ') i++;
        if (*b == '\0' || folded(a.at[i]) != folded(*b)) return false;
    }
    return *b == '\0';
}

static bool read_way(const struct ask *ask, struct span text, const struct bw_way *ways, int *out) {
    char names[BW_MAX_ERROR_TEXT] = "";
    size_t n = 0;
    for (int i = 0; ways != NULL && ways[i].name != NULL; i++) {
        if (same_words(text, ways[i].name)) {
            *out = i;
            return true;
        }
        int more = snprintf(names + n, sizeof names - n, "%s%s", i > 0 ? ", " : "", ways[i].name);
        if (more > 0 && (size_t)more < sizeof names - n) n += (size_t)more;
    }
    if (n == 0) {
        bw_err_mend(ask->err, "leave \"by\" and what follows out; a ± may say how sure it is");
        return refuse(ask, "a way of measuring, which is not asked for here");
    }
    bw_err_mend(ask->err, "ways known here: %s", names);
    if (text.n == 0) return refuse(ask, "\"by\" without a way of measuring");
    return refuse(ask, "the unknown way of measuring \"%.*s\"", (int)(text.n < 60 ? text.n : 60),
                  text.at);
}

static double usual_sd(const struct bw_way *way, double v) {
    double sd = hypot(way->relative_sd * v, way->absolute_sd);
    return sd > 0.0 ? sd : BW_NAN;
}

// The value and its ±, without a way.
static bool read_value(const struct ask *ask, struct span text, bool bracketed,
                       struct bw_quantity *out) {
    static const char *const SIGNS[] = {"+-", "+/-"};
    struct measure value;
    struct span left = text, right = {NULL, 0};
    for (size_t i = 0; i < 2; i++) {
        size_t at = find(left, SIGNS[i]);
        if (at == left.n) continue;
        right = trim(cut(text, at + strlen(SIGNS[i])));
        left.n = at;
    }
    bool spread = left.n < text.n;
    left = trim(left);
    if (left.n == 0) return refuse(ask, spread ? "no value before the ±" : "nothing");
    if (!read_measure(ask, left, &value)) return false;
    struct bw_quantity read = BW_UNKNOWN;
    if (spread && !read_sd(ask, right, bracketed, &value, &read.sd)) return false;
    if (value.bare && !takes_bare(ask->dim)) return refuse_bare(ask, value.number);
    read.v = value.number * value.unit.factor + value.unit.offset;
    if (!isfinite(read.v) || (spread && !isfinite(read.sd)))
        return refuse(ask, "a number too large to work with");
    if (DIMS[ask->dim].of == BW_OF_TEMPERATURE && read.v < 0.0) {
        bw_err_mend(ask->err, "check the sign and the unit");
        return refuse(ask, "one below absolute zero");
    }
    *out = read;
    return true;
}

bool bw_quantity_read(const char *text, size_t length, enum bw_dim dim, const struct bw_way *ways,
                      struct bw_quantity *out, struct bw_err *err) {
    struct ask ask = {dim, text, length, err};
    if (length > BW_MAX_QUANTITY_TEXT) return refuse(&ask, "a text longer than any quantity");
    if (!bw_utf8_valid(text, length) || memchr(text, '\0', length) != NULL)
        return refuse(&ask, "bytes that are no text");
    char plain[BW_PLAIN_TEXT];
    struct span all = {plain, bw_unit_plain(text, length, plain)};
    all = trim(all);
    if (is(all, "unknown") || is(all, "?")) {
        *out = BW_UNKNOWN;
        return true;
    }
    bool bracketed = open_brackets(plain + (all.at - plain), all.n);
    size_t by = find(all, " by ");
    if (by == all.n && all.n >= 3 && is(cut(all, all.n - 3), " by")) by = all.n - 3;
    struct bw_quantity read;
    int way = -1;
    if (!read_value(&ask, trim((struct span){all.at, by}), bracketed, &read)) return false;
    if (by < all.n && !read_way(&ask, trim(cut(all, by + 3)), ways, &way)) return false;
    if (way >= 0 && isnan(read.sd)) read.sd = usual_sd(&ways[way], read.v);
    read.way = way;
    *out = read;
    return true;
}

bool bw_unit_read(const char *text, size_t length, enum bw_dim dim, double *factor, double *offset,
                  struct bw_err *err) {
    struct ask ask = {dim, text, length, err};
    char plain[BW_PLAIN_TEXT];
    if (length > BW_MAX_QUANTITY_TEXT) return refuse(&ask, "a text longer than any unit");
    struct span unit = {plain, bw_unit_plain(text, length, plain)};
    struct bw_unit_found found = {.factor = 1.0};
    unit = trim(unit);
    if (unit.n == 0 && !takes_bare(dim)) {
        bw_err_mend(err, "units that fit: %s", bw_physical_units(DIMS[dim].of));
        return refuse(&ask, "no unit");
    }
    if (unit.n > 0 && !read_unit(&ask, unit, &found)) return false;
    *factor = found.factor;
    *offset = found.offset;
    return true;
}

// ---- showing ----

// Decimals at which a standard deviation is cut; negative: before the point.
static int sd_decimals(double sd) {
    int two, exponent;
    bw_number_lead(sd, &two, &exponent);
    return (two <= 19 || two >= 95 ? 1 : 0) - exponent;
}

static void show_rounded(char text[BW_NUMBER_TEXT], double value, int decimals) {
    if (decimals >= 0) {
        bw_number_fixed(text, value, decimals);
    } else {
        double step = pow(10.0, -decimals);
        bw_number_fixed(text, nearbyint(value / step) * step, 0);
    }
}

static void show_alone(char text[BW_NUMBER_TEXT], double value) {
    if (fabs(value) >= 1000.0 && fabs(value) < 1e12) bw_number_fixed(text, value, 0);
    else bw_number_digits(text, value, 4);
}

// `unit` is what stands behind the number, its space included.
static void show(char text[BW_QUANTITY_TEXT], double value, double sd, bool ratio, const char *unit) {
    char v[BW_NUMBER_TEXT], s[BW_NUMBER_TEXT];
    if (isnan(sd)) {
        show_alone(v, value);
        (void)snprintf(text, BW_QUANTITY_TEXT, "%s%s", v, unit);
        return;
    }
    int decimals = sd_decimals(sd);
    if (decimals > 12 || fabs(value) >= 1e12 || sd >= 1e12) {
        bw_number_text(v, value);
        bw_number_digits(s, sd, 2);
    } else {
        show_rounded(v, value, decimals);
        show_rounded(s, sd, decimals);
    }
    // A ± in % could be read as "of the value"; a percentage carries its sign twice.
    (void)snprintf(text, BW_QUANTITY_TEXT, "%s%s ± %s%s", v, ratio ? unit : "", s, unit);
}

static const char *show_in(char text[BW_QUANTITY_TEXT], struct bw_quantity q, enum bw_dim dim,
                           enum bw_units units, bool with_unit) {
    struct bw_unit_found shown = display_unit(dim, units);
    double value = (q.v - shown.offset) / shown.factor, sd = q.sd / shown.factor;
    char unit[16] = "";
    if (!isfinite(value)) {
        (void)snprintf(text, BW_QUANTITY_TEXT, "unknown");
        return text;
    }
    const char *name = DIMS[dim].unit[units];
    if (with_unit && name[0] != '\0') (void)snprintf(unit, sizeof unit, " %s", name);
    if (!isfinite(sd) || !(sd > 0.0)) sd = BW_NAN;
    show(text, value, sd, dim == BW_DIM_RATIO, unit);
    return text;
}

const char *bw_quantity_text(char text[BW_QUANTITY_TEXT], struct bw_quantity q, enum bw_dim dim,
                             enum bw_units units) {
    return show_in(text, q, dim, units, true);
}

const char *bw_quantity_value(char text[BW_QUANTITY_TEXT], struct bw_quantity q, enum bw_dim dim,
                              enum bw_units units) {
    return show_in(text, q, dim, units, false);
}

// ---- choosing units ----

bool bw_units_choose(const char *option, enum bw_units *out, struct bw_err *err) {
    if (option != NULL) {
        bool us = strcmp(option, "us") == 0;
        if (!us && strcmp(option, "si") != 0) {
            bw_err_value(err, option);
            bw_err_mend(err, "write --units si or --units us");
            return bw_fail(err, BW_USAGE, "units are si or us");
        }
        *out = us ? BW_UNITS_US : BW_UNITS_SI;
        return true;
    }
    static const char *const NAMES[] = {"LC_ALL", "LC_MEASUREMENT", "LANG"};
    const char *locale = NULL;
    for (size_t i = 0; i < 3 && (locale == NULL || locale[0] == '\0'); i++) locale = getenv(NAMES[i]);
    const char *country = locale == NULL ? NULL : strchr(locale, '_');
    bool us = country != NULL && (strncmp(country, "_US", 3) == 0 || strncmp(country, "_LR", 3) == 0 ||
                                  strncmp(country, "_MM", 3) == 0);
    *out = us ? BW_UNITS_US : BW_UNITS_SI;
    return true;
}
