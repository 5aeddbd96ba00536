// quantity.c - see quantity.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reading turns the text into plain text (unit.h) and takes the forms apart from the outside in:
// "by WAY", "±", number and unit. Every refusal says what is needed with two examples, what came,
// and the mend.
#include "base/quantity.h"

#include "base/format.h"
#include "base/number.h"
#include "base/unit.h"
#include "base/utf8.h"

#include <assert.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <threads.h>

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
    [BW_DIM_FORCE] = {"force", {"6400 N", "1450 lbf"}},
    [BW_DIM_GRAMMAGE] = {"grammage", {"300 g/m²", "300 g/m²"}},
    [BW_DIM_CUTTING_ENERGY] = {"cutting energy", {"0.25 J/mm³", "0.25 J/mm³"}},
    [BW_DIM_HEAT] = {"heat", {"1.6 W/mm²", "1.6 W/mm²"}},
};

// ---- what dims are called and shown in ----

const char *bw_dim_word(enum bw_dim dim) { return DIMS[dim].word; }
const char *bw_dim_name(enum bw_dim dim) { return SHOWN[dim].name; }
const char *bw_dim_unit(enum bw_dim dim, enum bw_units units) { return DIMS[dim].unit[units]; }
const char *bw_dim_example(enum bw_dim dim, enum bw_units units) {
    return SHOWN[dim].example[units];
}
bool bw_dim_same(enum bw_dim a, enum bw_dim b) { return DIMS[a].of == DIMS[b].of; }

// The display units, looked up once.
static struct bw_unit_found display[BW_DIM_COUNT][2];

static void find_display(void) {
    for (size_t dim = 0; dim < BW_DIM_COUNT; dim++) {
        for (size_t units = 0; units < 2; units++) {
            const char *name = DIMS[dim].unit[units];
            char plain[BW_PLAIN_TEXT];
            struct bw_unit_found found = {.factor = 1.0};
            struct bw_span span = {plain, bw_unit_plain(name, strlen(name), plain)};
            bool is_unit = bw_unit_find(span, DIMS[dim].of, &found);
            assert(is_unit == (name[0] != '\0'));
            display[dim][units] = found;
        }
    }
}

static struct bw_unit_found display_unit(enum bw_dim dim, enum bw_units units) {
    static once_flag once = ONCE_FLAG_INIT;
    call_once(&once, find_display);
    return display[dim][units];
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
    bool bracketed;  // "(45 ± 3) %": the unit is of both
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
    (void)bw_vformat(came, sizeof came, got, args);
    va_end(args);
    size_t keep = ask->length;
    if (keep >= sizeof value) keep = bw_utf8_cut(ask->text, sizeof value - 1);
    memcpy(value, ask->text, keep);
    value[keep] = '\0';
    if (bw_utf8_valid(value, strlen(value))) bw_err_value(ask->err, value);
    bw_err_mend(ask->err, "write it as %s or %s", SHOWN[ask->dim].example[0],
                SHOWN[ask->dim].example[1]);
    (void)bw_fail(ask->err, BW_INPUT, "needs %s such as %s or %s, got %s", DIMS[ask->dim].word,
                  SHOWN[ask->dim].example[0], SHOWN[ask->dim].example[1], came);
    return false;
}

static bool begins(struct bw_span span, const char *word) {
    size_t n = strlen(word);
    if (span.n < n) return false;
    for (size_t i = 0; i < n; i++)
        if (bw_folded(span.at[i]) != word[i]) return false;
    return true;
}
static bool is(struct bw_span span, const char *word) {
    return span.n == strlen(word) && begins(span, word);
}

static bool takes_bare(enum bw_dim dim) {
    return DIMS[dim].of == BW_OF_NONE || DIMS[dim].of == BW_OF_SHORE;
}

// Digits at the start of a span: their count.
static size_t digits(struct bw_span span) {
    size_t n = 0;
    while (n < span.n && bw_is_digit(span.at[n])) n++;
    return n;
}

// As many bytes of a span as a message quotes.
static int quoted(struct bw_span span) {
    return (int)(span.n <= 60 ? span.n : bw_utf8_cut(span.at, 60));
}

static bool convert(const struct ask *ask, struct bw_span number, double *out) {
    struct bw_err inner = {0};
    if (bw_number(number.at, number.n, out, &inner)) return true;
    return refuse(ask, "a number too large to work with");
}

// Reads "5/8" if it stands there; *used 0 if not.
static bool read_fraction(const struct ask *ask, struct bw_span text, double *out, size_t *used) {
    size_t above = digits(text), below = 0;
    *used = 0;
    if (above > 0 && above < text.n && text.at[above] == '/')
        below = digits(bw_span_from(text, above + 1));
    if (below == 0) return true;
    double top, bottom;
    if (!convert(ask, (struct bw_span){text.at, above}, &top)) return false;
    if (!convert(ask, (struct bw_span){text.at + above + 1, below}, &bottom)) return false;
    if (bottom == 0.0) return refuse(ask, "a fraction with 0 below the line");
    *used = above + 1 + below;
    *out = top / bottom;
    return true;
}

// Reads the fraction of "7 5/8" and "7-5/8" behind a whole number, if any, and adds it.
static bool read_mixed(const struct ask *ask, struct bw_span rest, double *number, size_t *used) {
    struct bw_span after = bw_span_trim(rest);
    double part = 0.0;
    size_t size = 0;
    if (after.n > 0 && *after.at == '-') after = bw_span_trim(bw_span_from(after, 1));
    *used = 0;
    if (after.at == rest.at) return true;
    if (!read_fraction(ask, after, &part, &size)) return false;
    if (size == 0) return true;
    if (part >= 1.0) {
        bw_err_mend(ask->err, "write the whole number and what is over, such as 7 5/8");
        return refuse(ask, "a fraction of 1 or more behind a whole number");
    }
    *number += part;
    *used = (size_t)(after.at - rest.at) + size;
    return true;
}

static bool refuse_commas(const struct ask *ask, struct bw_span text, bool minus) {
    char whole[BW_NUMBER_TEXT], decimal[BW_NUMBER_TEXT];
    size_t run = bw_number_commas(text.at, text.n, whole, decimal);
    struct bw_span unit = bw_span_trim(bw_span_from(text, run));
    int n = quoted(unit);
    const char *dash = minus ? "-" : "", *space = n > 0 ? " " : "";
    if (whole[0] != '\0' && decimal[0] != '\0')
        bw_err_mend(ask->err, "write %s%s%s%.*s or %s%s%s%.*s, whichever is meant", dash, whole,
                    space, n, unit.at, dash, decimal, space, n, unit.at);
    else if (whole[0] != '\0' || decimal[0] != '\0')
        bw_err_mend(ask->err, "write %s%s%s%.*s, without the comma", dash,
                    whole[0] != '\0' ? whole : decimal, space, n, unit.at);
    return refuse(ask, "a comma between digits");
}

// Reads the number at the front, sign and fraction included; *rest is what follows.
static bool read_number(const struct ask *ask, struct bw_span text, double *out,
                        struct bw_span *rest) {
    char whole[BW_NUMBER_TEXT], decimal[BW_NUMBER_TEXT];
    bool minus = text.n > 0 && *text.at == '-';
    if (minus || (text.n > 0 && *text.at == '+')) text = bw_span_trim(bw_span_from(text, 1));
    if (bw_number_commas(text.at, text.n, whole, decimal) > 0)
        return refuse_commas(ask, text, minus);
    double number = 0.0;
    size_t used = 0, more = 0;
    if (!read_fraction(ask, text, &number, &used)) return false;
    if (used == 0) {
        used = bw_number_scan(text.at, text.n);
        if (used == 0) {
            bw_err_mend(ask->err, "begin with the number; how far it may be off goes behind a ±");
            return refuse(ask, "a text that does not begin with a number");
        }
        if (!convert(ask, (struct bw_span){text.at, used}, &number)) return false;
        bool is_whole = used == digits(text);
        if (is_whole && !read_mixed(ask, bw_span_from(text, used), &number, &more)) return false;
        used += more;
    }
    *out = minus ? -number : number;
    *rest = bw_span_trim(bw_span_from(text, used));
    return true;
}

// Is it the second half of "14-15" or "14 to 15", the first being read?
static bool is_range(struct bw_span rest) {
    struct bw_span after = bw_span_trim(bw_span_from(rest, 1));
    if (*rest.at == '-') return after.n == 0 || bw_is_digit(*after.at);
    return is(rest, "to") || begins(rest, "to ");
}

// Says why what follows a number is no unit.
static bool refuse_unit(const struct ask *ask, struct bw_span unit) {
    char nearest[BW_UNIT_TEXT];
    enum bw_physical of = DIMS[ask->dim].of;
    struct bw_unit_found found;
    struct bw_span rest = unit;  // what follows the longest piece that is a unit
    for (size_t i = unit.n; i-- > 0 && rest.n == unit.n;) {
        struct bw_span piece = {unit.at, i};
        if (unit.at[i] == ' ' && bw_unit_find(piece, of, &found))
            rest = bw_span_trim(bw_span_from(unit, i));
    }
    if (is_range(rest)) {
        bw_err_mend(ask->err, "write the middle, and behind a ± how far it may well be off");
        return refuse(ask, "a range");
    }
    if (rest.n < unit.n) {
        bw_err_mend(ask->err, "leave out what follows the unit");
        return refuse(ask, "\"%.*s\" behind the unit", quoted(rest), rest.at);
    }
    if (bw_is_digit(*unit.at)) {
        bw_err_mend(ask->err, "write one number without a space, such as 1200 or 7.625, or a "
                              "fraction such as 7 5/8");
        return refuse(ask, "two numbers");
    }
    if (ask->dim == BW_DIM_NUMBER)
        bw_err_mend(ask->err, "write the number without a unit");
    else if (bw_unit_nearest(unit, of, nearest)[0] != '\0')
        bw_err_mend(ask->err, "did you mean %s?", nearest);
    else
        bw_err_mend(ask->err, "units that fit: %s", bw_physical_units(of));
    return refuse(ask, "the unknown unit \"%.*s\"", quoted(unit), unit.at);
}

// Looks the unit up and holds it against what is wanted.
static bool read_unit(const struct ask *ask, struct bw_span unit, struct bw_unit_found *out) {
    enum bw_physical of = DIMS[ask->dim].of;
    if (!bw_unit_find(unit, of, out)) return refuse_unit(ask, unit);
    if (ask->dim == BW_DIM_NUMBER) {
        bw_err_mend(ask->err, "write the number without a unit");
        return refuse(ask, "%s", bw_physical_word(out->of));
    }
    if (out->of != of) {
        bw_err_mend(ask->err, "units that fit: %s", bw_physical_units(of));
        return refuse(ask, "%s", bw_physical_word(out->of));
    }
    if (out->rival != NULL) {
        bw_err_mend(ask->err, "write %s or %s, whichever is meant", out->unit->name,
                    out->rival->name);
        return refuse(ask, "a unit that can be read in two ways");
    }
    return true;
}

// Where the second number of "5 ft 3 in" or "2 min 30 s" begins in what follows the first; 0 if
// there is none. Only a digit behind a space or a prime begins one, so that m3/h and min-1 stay
// whole.
static size_t second_number(struct bw_span unit) {
    for (size_t i = 1; i < unit.n; i++) {
        bool apart = unit.at[i - 1] == ' ' || unit.at[i - 1] == '\'';
        if (i >= 2 && unit.at[i - 1] == '-' && unit.at[i - 2] == '\'') apart = true;  // 5'-3"
        if (apart && bw_is_digit(unit.at[i])) return i;
    }
    return 0;
}

// Reads the rest of "5 ft 3 in"; `at` is where the 3 stands in `unit`.
static bool read_second(const struct ask *ask, double first, struct bw_span unit, size_t at,
                        struct measure *out) {
    struct bw_unit_found large, small;
    struct bw_span name = {unit.at, at}, rest;
    double second;
    if (name.at[name.n - 1] == '-') name.n--;
    if (!read_unit(ask, bw_span_trim(name), &large)) return false;
    if (!read_number(ask, bw_span_from(unit, at), &second, &rest)) return false;
    if (rest.n == 0) {
        bw_err_mend(ask->err, "write both units, such as 5 ft 3 in or 2 min 30 s");
        return refuse(ask, "a second number without a unit");
    }
    if (!read_unit(ask, rest, &small)) return false;
    bool kind = large.of == BW_OF_LENGTH || large.of == BW_OF_TIME || large.of == BW_OF_MASS;
    bool fits = floor(first) == first && second * small.factor < large.factor;
    if (!kind || !fits || small.factor >= large.factor) {
        bw_err_mend(ask->err, "write it in one unit, or as in 5 ft 3 in or 2 min 30 s");
        return refuse(ask, "two numbers that do not make one");
    }
    double over = fabs(first) * (large.factor / small.factor) + second;
    *out = (struct measure){signbit(first) ? -over : over, small, false};
    return true;
}

// Reads a number and its unit.
static bool read_measure(const struct ask *ask, struct bw_span text, struct measure *out) {
    struct bw_span unit;
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
    if (strcmp(unit[0], unit[1]) == 0)
        bw_err_mend(ask->err, "write %s %s, if that is meant", text, unit[0]);
    else
        bw_err_mend(ask->err, "write %s %s or %s %s, whichever is meant", text, unit[0], text,
                    unit[1]);
    return refuse(ask, "a number without a unit");
}

// Refuses "0.03 ± 3 %" for a ratio: is it 3 % ± 3 %, or 0.03 % ± 3 %?
static bool refuse_shared_percent(const struct ask *ask, double number, struct bw_span sd) {
    char as_is[BW_NUMBER_TEXT], times_100[BW_NUMBER_TEXT];
    bw_number_text(as_is, number);
    bw_number_text(times_100, 100.0 * number);
    bw_err_mend(ask->err, "write %s %% ± %.*s or %s %% ± %.*s, whichever is meant", as_is,
                quoted(sd), sd.at, times_100, quoted(sd), sd.at);
    return refuse(ask, "a %% only behind the ±");
}

// Reads what stands behind the ±. A bare `value` takes its unit from there.
static bool read_spread(const struct ask *ask, struct bw_span text, struct measure *value,
                        struct measure *out) {
    struct measure spread;
    struct bw_span unit;
    struct bw_unit_found found = {.of = BW_OF_ANY};
    double number;
    if (!read_number(ask, text, &number, &unit)) return false;
    bool percent = bw_unit_find(unit, BW_OF_NONE, &found) && found.of == BW_OF_NONE;
    if (percent && ask->dim == BW_DIM_RATIO && value->bare && !ask->bracketed)
        return refuse_shared_percent(ask, value->number, text);
    if (percent && DIMS[ask->dim].of == BW_OF_TEMPERATURE) {
        bw_err_mend(ask->err, "write the ± in degrees, such as 68 °F ± 2 °F");
        return refuse(ask, "a ± in %% of a temperature");
    }
    if (percent && ask->dim != BW_DIM_RATIO) {
        double part = number * found.factor * fabs(value->number);
        *out = (struct measure){.number = part, .unit = value->unit};
        return true;
    }
    if (!read_measure(ask, text, &spread)) return false;
    if (spread.bare) {
        spread.unit = value->unit;
    } else if (value->bare) {
        value->unit = spread.unit;
        value->bare = false;
    }
    *out = spread;
    return true;
}

// Parts "VALUE ± SD"; false where there is no ±.
static bool split_spread(struct bw_span text, struct bw_span *value, struct bw_span *sd) {
    for (size_t i = 0; i < text.n; i++) {
        struct bw_span from = bw_span_from(text, i);
        size_t size = begins(from, "+-") ? 2 : begins(from, "+/-") ? 3 : 0;
        if (size == 0) continue;
        *value = bw_span_trim((struct bw_span){text.at, i});
        *sd = bw_span_trim(bw_span_from(from, size));
        return true;
    }
    *value = bw_span_trim(text);
    return false;
}

static bool read_sd(const struct ask *ask, struct bw_span text, struct measure *value,
                    double *out) {
    struct measure spread = {.bare = true};
    struct bw_span left, right;
    if (text.n == 0) return refuse(ask, "nothing behind the ±");
    if (split_spread(text, &left, &right)) return refuse(ask, "two ±");
    if (!read_spread(ask, text, value, &spread)) return false;
    double sd = spread.number * spread.unit.factor;
    if (!(sd > 0.0)) {
        bw_err_mend(ask->err, "write how far it may well be off (one standard deviation), or leave "
                              "the ± out");
        return refuse(ask, sd < 0.0 ? "a ± below 0" : "a ± of 0");
    }
    *out = sd;
    return true;
}

// Blanks the brackets of "(14.6 ± 0.2) mm"; true where a unit follows them.
static bool open_brackets(char *plain) {
    char *open = plain + strspn(plain, " "), *close = strchr(open, ')');
    const char *sign = strstr(open, "+-");
    if (*open != '(' || close == NULL || sign == NULL || sign > close) return false;
    *open = *close = ' ';
    return close[1 + strspn(close + 1, " ")] != '\0';
}

// Do two texts agree but for letters' case and the width of spaces? `a` is trimmed.
static bool same_words(struct bw_span a, const char *b) {
    size_t i = 0;
    for (; i < a.n; i++, b++) {
        while (i > 0 && a.at[i] == ' ' && a.at[i - 1] == ' ') i++;
        if (*b == '\0' || bw_folded(a.at[i]) != bw_folded(*b)) return false;
    }
    return *b == '\0';
}

static bool read_way(const struct ask *ask, struct bw_span text, const struct bw_way *ways,
                     int *out) {
    struct bw_span name = bw_span_trim(text);
    char names[BW_MAX_ERROR_TEXT] = "";
    size_t n = 0;
    for (int i = 0; ways != NULL && ways[i].name != NULL; i++) {
        if (same_words(name, ways[i].name)) {
            *out = i;
            return true;
        }
        int more = snprintf(names + n, sizeof names - n, "%s%s", i > 0 ? ", " : "", ways[i].name);
        n = more >= 0 && (size_t)more < sizeof names - n ? n + (size_t)more : sizeof names - 1;
    }
    if (n == 0) {
        bw_err_mend(ask->err, "leave out \"by\" and what follows; a ± says how sure it is");
        return refuse(ask, "a way of measuring, which is not asked for here");
    }
    bw_err_mend(ask->err, "ways known here: %s", names);
    if (name.n == 0) return refuse(ask, "\"by\" without a way of measuring");
    return refuse(ask, "the unknown way of measuring \"%.*s\"", quoted(name), name.at);
}

static double usual_sd(const struct bw_way *way, double v) {
    double sd = hypot(way->relative_sd * v, way->absolute_sd);
    return sd > 0.0 ? sd : BW_NAN;
}

// Reads the value and its ±.
static bool read_value(const struct ask *ask, struct bw_span text, struct bw_quantity *out) {
    struct measure value;
    struct bw_span left, right;
    struct bw_quantity read = BW_UNKNOWN;
    bool spread = split_spread(text, &left, &right);
    if (left.n == 0) return refuse(ask, spread ? "no value before the ±" : "nothing");
    if (!read_measure(ask, left, &value)) return false;
    if (spread && !read_sd(ask, right, &value, &read.sd)) return false;
    if (value.bare && !takes_bare(ask->dim)) return refuse_bare(ask, value.number);
    read.v = value.number * value.unit.factor + value.unit.offset;
    if (!isfinite(read.v) || isinf(read.sd)) return refuse(ask, "a number too large to work with");
    if (DIMS[ask->dim].of == BW_OF_TEMPERATURE && read.v < 0.0) {
        bw_err_mend(ask->err, "check the sign and the unit");
        return refuse(ask, "one below absolute zero");
    }
    *out = read;
    return true;
}

// Parts "VALUE by WAY"; false where there is no way.
static bool split_way(struct bw_span text, struct bw_span *value, struct bw_span *way) {
    static const char BY[] = " by";
    for (size_t i = 0; i < text.n; i++) {
        size_t end = i + sizeof BY - 1;
        if (!begins(bw_span_from(text, i), BY) || (end < text.n && text.at[end] != ' ')) continue;
        *value = (struct bw_span){text.at, i};
        *way = bw_span_from(text, end);
        return true;
    }
    *value = text;
    return false;
}

static bool check_bytes(const struct ask *ask) {
    if (ask->length > BW_MAX_QUANTITY_TEXT) return refuse(ask, "a text longer than any quantity");
    if (bw_utf8_valid(ask->text, ask->length) && memchr(ask->text, '\0', ask->length) == NULL)
        return true;
    return refuse(ask, "bytes that are no text");
}

bool bw_quantity_read(const char *text, size_t length, enum bw_dim dim, const struct bw_way *ways,
                      struct bw_quantity *out, struct bw_err *err) {
    struct ask ask = {.dim = dim, .text = text, .length = length, .err = err};
    if (!check_bytes(&ask)) return false;
    char plain[BW_PLAIN_TEXT];
    struct bw_span all = {plain, bw_unit_plain(text, length, plain)}, value, named;
    ask.bracketed = open_brackets(plain);
    all = bw_span_trim(all);
    struct bw_quantity read = BW_UNKNOWN;
    if (!is(all, "unknown") && !is(all, "?")) {
        bool way = split_way(all, &value, &named);
        if (!read_value(&ask, value, &read)) return false;
        if (way && !read_way(&ask, named, ways, &read.way)) return false;
        if (way && isnan(read.sd)) read.sd = usual_sd(&ways[read.way], read.v);
    }
    *out = read;
    return true;
}

bool bw_unit_read(const char *text, size_t length, enum bw_dim dim, double *factor, double *offset,
                  struct bw_err *err) {
    struct ask ask = {.dim = dim, .text = text, .length = length, .err = err};
    if (!check_bytes(&ask)) return false;
    char plain[BW_PLAIN_TEXT];
    struct bw_span unit = {plain, bw_unit_plain(text, length, plain)};
    struct bw_unit_found found = {.factor = 1.0};
    unit = bw_span_trim(unit);
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

// How many digits of a standard deviation are shown, and how many of them behind the point
// (negative: so many zeros stand before it).
static int sd_digits(double sd, int *decimals) {
    int two, exponent;
    bw_number_lead(sd, &two, &exponent);
    int digits = two <= 19 || two >= 95 ? 2 : 1;
    *decimals = digits - 1 - exponent;
    return digits;
}

// Digits before the decimal point.
static int places_before(double value) {
    int two, exponent = -1;
    if (value != 0.0) bw_number_lead(value, &two, &exponent);
    return exponent < 0 ? 0 : exponent + 1;
}

// To tens, hundreds ... where `decimals` is negative; digits behind the point are left alone.
static double rounded(double value, int decimals) {
    if (decimals >= 0) return value;
    double step = pow(10.0, -decimals);
    return nearbyint(value / step) * step;
}

static void show_rounded(char text[BW_NUMBER_TEXT], double value, int decimals) {
    bw_number_fixed(text, rounded(value, decimals), decimals >= 0 ? decimals : 0);
}

// A hair under it as well: the way through SI and back may take the last bit.
static bool is_huge(double value) { return fabs(value) >= 1e12 * (1 - 1e-12); }

static void show_alone(char text[BW_NUMBER_TEXT], double value) {
    if (fabs(value) >= 1000.0 && !is_huge(value))
        bw_number_fixed(text, value, 0);
    else
        bw_number_digits(text, value, 4);
}

// `unit` is what stands behind the number, its space included.
static void show(char text[BW_QUANTITY_TEXT], double value, double sd, bool ratio,
                 const char *unit) {
    char v[BW_NUMBER_TEXT], s[BW_NUMBER_TEXT];
    if (isnan(sd)) {
        show_alone(v, value);
        (void)snprintf(text, BW_QUANTITY_TEXT, "%s%s", v, unit);
        return;
    }
    int decimals, digits_of_sd = sd_digits(sd, &decimals);
    bool huge = is_huge(rounded(value, decimals)) || is_huge(rounded(sd, decimals));
    if (huge || decimals > 9 || places_before(value) + decimals > 12) {
        // More digits than a measurement has: each number as short as it goes.
        bw_number_text(v, value);
        bw_number_digits(s, sd, digits_of_sd);
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
    for (size_t i = 0; i < 3 && (locale == NULL || locale[0] == '\0'); i++)
        locale = getenv(NAMES[i]);
    const char *country = locale == NULL ? NULL : strchr(locale, '_');
    bool us =
        country != NULL && (strncmp(country, "_US", 3) == 0 || strncmp(country, "_LR", 3) == 0 ||
                            strncmp(country, "_MM", 3) == 0);
    *out = us ? BW_UNITS_US : BW_UNITS_SI;
    return true;
}
