// grit.c - see grit.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/grit.h"

#include "base/format.h"

#include <assert.h>
#include <ctype.h>
#include <math.h>
#include <string.h>
#include <strings.h>

static const struct bw_choice SERIES[] = {
    {"FEPA P", "ISO 6344, printed P80"},
    {"CAMI", "ANSI B74.18, printed as a bare 80"},
    {NULL, NULL},
};
static const struct bw_choice CLASSES[] = {
    {"macro", "told apart by sieving"},
    {"micro", "told apart by settling"},
    {NULL, NULL},
};

static const struct bw_field FIELDS[] = {
    {.name = "grit", .offset = offsetof(struct bw_grit, name), .kind = BW_TEXT, .required = true,
     .help = "the grade with its series, as people write it"},
    {BW_AT(struct bw_grit, series), .kind = BW_CHOICE, .of = SERIES, .required = true,
     .help = "whose scale it is"},
    {BW_AT(struct bw_grit, size), .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH, .required = true,
     .min = 1e-6, .max = 3e-3, .help = "average grain size"},
    {BW_AT(struct bw_grit, tolerance), .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH, .min = 1e-7,
     .max = 1e-5, .help = "what the standard allows that average"},
    {BW_AT(struct bw_grit, class), .kind = BW_CHOICE, .of = CLASSES, .help = "how it is graded"},
    BW_TRADE_ORIGIN(struct bw_grit, origin),
    BW_END_FIELDS,
};
static const struct bw_record RECORD = {
    .name = "grit", .help = "one grade of coated abrasive", .fields = FIELDS,
    .size = sizeof(struct bw_grit)};

// In front of the number, as stored.
static const char *const PREFIX[BW_GRIT_SERIES_COUNT] = {"P", "CAMI "};

// What no single row can show: names fit their series, series stand together, sizes fall.
static bool check(const struct bw_trade_table *table, const void *rows, struct bw_err *err) {
    const struct bw_grit *grits = rows;
    for (size_t i = 0; i < table->n_rows; i++) {
        const char *prefix = PREFIX[grits[i].series];
        const char *number = grits[i].name + strlen(prefix);
        if (strncmp(grits[i].name, prefix, strlen(prefix)) != 0 || *number < '1' || *number > '9' ||
            strspn(number, "0123456789") != strlen(number)) {
            bw_fail(err, BW_INPUT, "not a grit of the series %s", SERIES[grits[i].series].name);
            bw_err_mend(err, "write %s and a number", prefix);
            return bw_trade_table_blame(table, i, "grit", err);
        }
        if (i == 0 || grits[i].series > grits[i - 1].series) continue;
        if (grits[i].series < grits[i - 1].series) {
            bw_fail(err, BW_INPUT, "the series are mixed");
            bw_err_mend(err, "first all FEPA P, then all CAMI");
            return bw_trade_table_blame(table, i, "series", err);
        }
        if (grits[i].size.v >= grits[i - 1].size.v) {
            bw_fail(err, BW_INPUT, "not finer than %s in the line above", grits[i - 1].name);
            bw_err_mend(err, "within a series rows go from coarse to fine");
            return bw_trade_table_blame(table, i, "size", err);
        }
    }
    if (grits[0].series == BW_GRIT_FEPA_P && grits[table->n_rows - 1].series == BW_GRIT_CAMI)
        return true;
    bw_fail(err, BW_INPUT, "one of the two series is missing");
    return bw_trade_table_blame(table, table->n_rows - 1, "series", err);
}

const struct bw_trade_carried bw_grits_carried = {"grits", &RECORD, check};

bool bw_grits_load(struct bw_arena *arena, struct bw_grits *out, struct bw_err *err) {
    struct bw_list rows;
    if (!bw_trade_table_load(arena, &bw_grits_carried, &rows, err)) return false;
    struct bw_grits grits = {.items = rows.items, .n = rows.n};
    for (size_t i = grits.n; i-- > 0;) {
        grits.first[grits.items[i].series] = i;
        grits.count[grits.items[i].series]++;
    }
    *out = grits;
    return true;
}

// ---- names ----

#define LONGEST_NAME 40

// Small letters; blanks, dashes, # and the word grit out: "FEPA P-80 grit" is fepap80. What is too
// long for a grit is cut, and still too long for one.
static void squeeze(const char *text, size_t length, char squeezed[LONGEST_NAME]) {
    size_t n = 0;
    for (size_t i = 0; i < length && n + 1 < LONGEST_NAME; i++) {
        unsigned char c = (unsigned char)text[i];
        if (c != ' ' && c != '-' && c != '#') squeezed[n++] = (char)tolower(c);
    }
    squeezed[n] = '\0';
    if (n > 4 && strcmp(squeezed + n - 4, "grit") == 0) squeezed[n - 4] = '\0';
}

static const char *after(const char *text, const char *prefix) {
    size_t length = strlen(prefix);
    return strncmp(text, prefix, length) == 0 ? text + length : NULL;
}

static bool is_number(const char *text) {
    size_t digits = strspn(text, "0123456789");
    return digits > 0 && digits <= 5 && text[digits] == '\0';
}

static const struct bw_grit *find(const struct bw_grits *grits, enum bw_grit_series series,
                                  const char *number) {
    for (size_t i = 0; i < grits->count[series]; i++) {
        const struct bw_grit *grit = &grits->items[grits->first[series] + i];
        if (strcmp(grit->name + strlen(PREFIX[series]), number) == 0) return grit;
    }
    return NULL;
}

static void with_size(const struct bw_grit *grit, char text[LONGEST_NAME]) {
    (void)bw_format(text, LONGEST_NAME, "%s (%.3g µm)", grit->name, grit->size.v * 1e6);
}

// A number alone: which series it means cannot be seen from it.
static bool refuse_bare(const struct bw_grits *grits, const char *number, struct bw_err *err) {
    char p[LONGEST_NAME], cami[LONGEST_NAME];
    const struct bw_grit *of_p = find(grits, BW_GRIT_FEPA_P, number);
    const struct bw_grit *of_cami = find(grits, BW_GRIT_CAMI, number);
    if (of_p != NULL) with_size(of_p, p);
    if (of_cami != NULL) with_size(of_cami, cami);
    if (of_p != NULL && of_cami != NULL) {
        bw_fail(err, BW_INPUT, "a bare number may be %s or %s", p, cami);
        bw_err_mend(err, "look at the belt's back: with a P before the number write %s, else %s",
                    of_p->name, of_cami->name);
    } else if (of_p != NULL || of_cami != NULL) {
        bw_fail(err, BW_INPUT, "a grit needs its series");
        bw_err_mend(err, "the only one of that number is %s", of_p != NULL ? p : cami);
    } else {
        bw_fail(err, BW_INPUT, "no such grit in either series");
        bw_err_mend(err, "write it as P80 or CAMI 80; `beltwright table grits` lists them");
    }
    return false;
}

// A series and a number that is not in it: the two grades it lies between, by number.
static bool refuse_unknown(const struct bw_grits *grits, enum bw_grit_series series,
                           const char *number, struct bw_err *err) {
    size_t length = strlen(number);
    const struct bw_grit *items = &grits->items[grits->first[series]];
    size_t finer = 0;
    for (; finer < grits->count[series]; finer++) {
        const char *other = items[finer].name + strlen(PREFIX[series]);
        if (strlen(other) > length || (strlen(other) == length && strcmp(other, number) > 0)) break;
    }
    bw_fail(err, BW_INPUT, "no such grit in the series %s", SERIES[series].name);
    if (finer == 0)
        bw_err_mend(err, "the coarsest is %s", items[0].name);
    else if (finer == grits->count[series])
        bw_err_mend(err, "the finest is %s", items[finer - 1].name);
    else
        bw_err_mend(err, "the nearest are %s and %s", items[finer - 1].name, items[finer].name);
    return false;
}

// The number behind the series' name, NULL if `name` is not written so.
static const char *split(const char *name, enum bw_grit_series *series) {
    static const struct {
        const char *prefix;
        enum bw_grit_series series;
    } WRITTEN[] = {{"fepap", BW_GRIT_FEPA_P}, {"p", BW_GRIT_FEPA_P},  {"cami", BW_GRIT_CAMI},
                   {"us", BW_GRIT_CAMI},      {"ansi", BW_GRIT_CAMI}};
    for (size_t i = 0; i < sizeof WRITTEN / sizeof *WRITTEN; i++) {
        const char *number = after(name, WRITTEN[i].prefix);
        if (number == NULL || !is_number(number)) continue;
        *series = WRITTEN[i].series;
        return number;
    }
    return NULL;
}

static bool refuse(const struct bw_grits *grits, const char *name, struct bw_err *err) {
    enum bw_grit_series series;
    const char *number = split(name, &series);
    if (number != NULL) return refuse_unknown(grits, series, number, err);
    if (is_number(name)) return refuse_bare(grits, name, err);
    number = after(name, "f");
    bool bonded = number != NULL && is_number(number);
    bw_fail(err, BW_INPUT, bonded ? "F grades are for grinding wheels" : "not a grit");
    bw_err_mend(err, "look at the belt's back; belts are written P80 or CAMI 80");
    return false;
}

bool bw_grit_read(const struct bw_grits *grits, const char *text, size_t length,
                  const struct bw_grit **out, struct bw_err *err) {
    char name[LONGEST_NAME], value[BW_MAX_ERROR_FIELD];
    squeeze(text, length, name);
    enum bw_grit_series series;
    const char *number = split(name, &series);
    const struct bw_grit *grit = number == NULL ? NULL : find(grits, series, number);
    if (grit != NULL) {
        *out = grit;
        return true;
    }
    refuse(grits, name, err);
    (void)snprintf(value, sizeof value, "%.*s", (int)(length < 80 ? length : 80), text);
    bw_err_value(err, value);
    return false;
}

// ---- sizes ----

const struct bw_grit *bw_grit_nearest(const struct bw_grits *grits, double size_m,
                                      enum bw_grit_series series) {
    assert(size_m > 0);
    const struct bw_grit *items = &grits->items[grits->first[series]], *best = items;
    for (size_t i = 1; i < grits->count[series]; i++)
        if (fabs(log(items[i].size.v / size_m)) < fabs(log(best->size.v / size_m)))
            best = &items[i];
    return best;
}

const struct bw_grit *bw_grit_other(const struct bw_grits *grits, const struct bw_grit *grit,
                                    double *ratio_out) {
    enum bw_grit_series series = grit->series == BW_GRIT_FEPA_P ? BW_GRIT_CAMI : BW_GRIT_FEPA_P;
    const struct bw_grit *other = bw_grit_nearest(grits, grit->size.v, series);
    if (ratio_out != NULL) *ratio_out = other->size.v / grit->size.v;
    return other;
}

const struct bw_grit *bw_grit_coarser(const struct bw_grits *grits, const struct bw_grit *grit) {
    return grit == &grits->items[grits->first[grit->series]] ? NULL : grit - 1;
}

const struct bw_grit *bw_grit_finer(const struct bw_grits *grits, const struct bw_grit *grit) {
    size_t past = grits->first[grit->series] + grits->count[grit->series];
    return grit + 1 == &grits->items[past] ? NULL : grit + 1;
}

int bw_grit_order(const struct bw_grit *a, const struct bw_grit *b) {
    if (a->size.v != b->size.v) return a->size.v > b->size.v ? -1 : 1;
    return a->series - b->series;
}

long bw_grit_skips(const struct bw_grits *grits, const struct bw_grit *from,
                   const struct bw_grit *to) {
    if (from->series != to->series)
        from = bw_grit_nearest(grits, from->size.v, (enum bw_grit_series)to->series);
    return to > from ? to - from - 1 : 0;
}
