// traverse.c - see traverse.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Velocities are averaged, not pressures: the root of the mean pressure reads high. All rules here
// give each reading the same weight; they differ in where the readings stand. On a power-law
// profile with exponent 1/7 the log rules are within 0.4 % of the integral, equal areas within 1 %
// (tests/unit/test_traverse.c). A missing reading is made from its neighbours along the row, a wild
// one (negative, or less than 0.4 or more than 2.5 times the row's median) likewise; both are told.
#include "study/airflow/traverse.h"

#include "base/number.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bool traverse_points(int rule, bool round, int n, double *fractions) {
    static const double TCHEBYCHEFF[3][5] = {
        {.032, .137, .312}, {.024, .100, .194, .334}, {.0189, .0764, .1554, .2150, .3567}};
    static const double LINEAR[3][5] = {
        {.032, .135, .321}, {.021, .117, .184, .345}, {.019, .077, .153, .217, .361}};
    static const double RECTANGLE[3][4] = {
        {.074, .288, .5}, {.061, .235, .437}, {.053, .203, .366, .5}};
    const double *half;
    if (rule == RULE_AREA || rule == RULE_FACE) {
        if (n < 1 || (round && n % 2 != 0)) return false;
        for (int i = 0; i < n; i++) {
            double p = (2 * i + 1) / (double)(2 * n);
            // Rings of equal area in a round duct, strips of equal width in a rectangular one.
            fractions[i] = !round      ? p
                           : i < n / 2 ? 0.5 * (1 - sqrt(1 - 2 * p))
                                       : 0.5 * (1 + sqrt(2 * p - 1));
        }
        return true;
    }
    if (round && (n == 6 || n == 8 || n == 10))
        half = rule == RULE_LINEAR ? LINEAR[n / 2 - 3] : TCHEBYCHEFF[n / 2 - 3];
    else if (!round && n >= 5 && n <= 7 && rule == RULE_TCHEBYCHEFF)
        half = RECTANGLE[n - 5];
    else
        return false;
    for (int i = 0; i < n; i++) fractions[i] = i < (n + 1) / 2 ? half[i] : 1 - half[n - 1 - i];
    return true;
}

int traverse_usual(bool round, double size) {
    if (round) return size <= 0.25 ? 6 : 8;
    return size < 0.762 ? 5 : size <= 0.914 ? 6 : 7;
}

// --- words to numbers --------------------------------------------------------------------------

struct words {
    const char *at, *end;
};

static size_t next_word(struct words *words, const char **word) {
    while (words->at < words->end && strchr(" ,;\n", *words->at) != NULL) words->at++;
    *word = words->at;
    if (words->at < words->end && *words->at == '|') {
        words->at++;
        return 1;
    }
    while (words->at < words->end && strchr(" ,;|\n", *words->at) == NULL) words->at++;
    return (size_t)(words->at - *word);
}

static bool is_unit(const char *word) { return strchr("0123456789.-+?|", word[0]) == NULL; }

static bool blame(struct bw_err *err, const char *what, const char *word, size_t length) {
    char value[40];
    (void)snprintf(value, sizeof value, "%.*s", (int)(length < 39 ? length : 39), word);
    bw_fail(err, BW_INPUT, "%s", what);
    bw_err_value(err, value);
    bw_err_mend(err, "write rows parted by |, the unit last: 150 185 - 190 | 148 180 203 210 Pa");
    return false;
}

struct typed {
    double number[TRAVERSE_MOST];
    int n, rows, columns;
    double factor, offset;
};

static bool end_row(struct typed *typed, int *in_row, struct bw_err *err) {
    if (typed->rows > 0 && *in_row != typed->columns)
        return blame(err, "the rows of readings are not equally long", "", 0);
    if (*in_row == 0) return blame(err, "a row has no readings", "", 0);
    typed->columns = *in_row;
    typed->rows++;
    *in_row = 0;
    return true;
}

static bool read_words(const char *text, enum bw_dim dim, struct typed *typed, struct bw_err *err) {
    struct words words = {text, text + strlen(text)};
    const char *word;
    size_t length;
    int in_row = 0;
    bool has_unit = false;
    while ((length = next_word(&words, &word)) > 0) {
        if (has_unit) return blame(err, "something stands after the unit", word, length);
        if (word[0] == '|') {
            if (!end_row(typed, &in_row, err)) return false;
            continue;
        }
        if (is_unit(word)) {
            // The unit may be of several words: all that is left.
            size_t rest = (size_t)(words.end - word);
            if (!bw_unit_read(word, rest, dim, &typed->factor, &typed->offset, err)) return false;
            has_unit = true;
            break;
        }
        if (typed->n == TRAVERSE_MOST) return blame(err, "more than 100 readings", word, length);
        bool none = length == 1 && (word[0] == '-' || word[0] == '?');
        double v = BW_NAN;
        if (!none && !bw_number(word, length, &v, err)) return false;
        typed->number[typed->n++] = v;
        in_row++;
    }
    if (!has_unit) return blame(err, "the readings have no unit", "", 0);
    return end_row(typed, &in_row, err);
}

// --- missing and wild --------------------------------------------------------------------------

static int by_value(const void *x, const void *y) {
    double a = *(const double *)x, b = *(const double *)y;
    return (a > b) - (a < b);
}

// Of the known ones; NaN if there is none.
static double median_of(const double *v, int n) {
    double known[TRAVERSE_MOST];
    int m = 0;
    for (int i = 0; i < n; i++)
        if (!isnan(v[i])) known[m++] = v[i];
    if (m == 0) return BW_NAN;
    qsort(known, (size_t)m, sizeof *known, by_value);
    return (known[m / 2] + known[(m - 1) / 2]) / 2;
}

// From the nearest known readings on either side of the row, or the mirrored one at an end.
static double from_neighbours(const double *row, int columns, int i) {
    int a = i - 1, b = i + 1;
    while (a >= 0 && isnan(row[a])) a--;
    while (b < columns && isnan(row[b])) b++;
    if (a >= 0 && b < columns) return row[a] + (row[b] - row[a]) * (i - a) / (double)(b - a);
    double mirror = row[columns - 1 - i];
    if (!isnan(mirror)) return mirror;
    return a >= 0 ? row[a] : row[b];
}

#define FASTEST 150.0  // m/s: no duct is faster

static bool fill(struct traverse *t, struct bw_err *err) {
    double median = median_of(t->velocity, t->rows * t->columns);
    if (!(median > 0))
        return blame(err, "half of the readings show no air: does the fan run?", "", 0);
    if (median > FASTEST) return blame(err, "no duct is that fast: is the unit right?", "", 0);
    for (int i = 0; i < t->rows * t->columns; i++) {
        double v = t->velocity[i];
        if (isnan(v)) t->missing++;
        if (!isnan(v) && (v < 0.4 * median || v > 2.5 * median)) {
            t->wild++;
            t->velocity[i] = BW_NAN;
        }
        t->filled[i] = isnan(t->velocity[i]);
    }
    if (4 * (t->missing + t->wild) > t->rows * t->columns)
        return blame(err, "more than a quarter of the readings are missing or wild", "", 0);
    double filled[TRAVERSE_MOST];
    for (int i = 0; i < t->rows * t->columns; i++) {
        const double *row = t->velocity + i / t->columns * t->columns;
        filled[i] =
            t->filled[i] ? from_neighbours(row, t->columns, i % t->columns) : t->velocity[i];
        if (isnan(filled[i])) return blame(err, "a whole row is missing or wild", "", 0);
    }
    memcpy(t->velocity, filled, sizeof filled);
    return true;
}

static void average(struct traverse *t) {
    double sum = 0, square = 0, top = 0;
    int low = 0, n = t->rows * t->columns;
    for (int r = 0; r < t->rows; r++) {
        double row = 0;
        for (int c = 0; c < t->columns; c++) row += t->velocity[r * t->columns + c];
        sum += row / t->columns;
        square += row / t->columns * (row / t->columns);
    }
    t->mean = sum / t->rows;
    double variance = t->rows < 2 ? 0 : (square - sum * sum / t->rows) / (t->rows - 1);
    t->row_spread = sqrt(fmax(variance, 0) / t->rows) / t->mean;
    for (int i = 0; i < n; i++) top = fmax(top, t->velocity[i]);
    for (int i = 0; i < n; i++)
        if (t->velocity[i] * t->velocity[i] < 0.1 * top * top) low++;
    t->low_share = low / (double)n;
}

bool traverse_read(const struct airflow_section *section, double density, struct traverse *out,
                   struct bw_err *err) {
    struct typed typed = {.factor = 1};
    bool pitot = section->instrument == BY_PITOT, round = !bw_known(section->width);
    if (!read_words(section->readings, pitot ? BW_DIM_PRESSURE : BW_DIM_SPEED, &typed, err))
        return false;
    double fractions[TRAVERSE_MOST];
    if (section->rule != RULE_FACE &&
        !traverse_points(section->rule, round, typed.columns, fractions)) {
        bw_fail(err, BW_INPUT, "this rule has no %d points to a row", typed.columns);
        bw_err_mend(err, round ? "a round duct takes 6, 8 or 10 to a diameter"
                               : "a rectangular duct takes 5, 6 or 7 to a row");
        return false;
    }
    struct traverse t = {.rows = typed.rows, .columns = typed.columns};
    for (int i = 0; i < typed.n; i++) {
        double v = typed.number[i] * typed.factor + typed.offset;
        if (pitot) v = v < 0 ? -1 : sqrt(2 * v / density);
        // A hot wire feels mass flow and is scaled for standard air.
        if (section->instrument == BY_HOT_WIRE) v *= 1.2 / density;
        t.velocity[i] = v;
    }
    if (!fill(&t, err)) return false;
    average(&t);
    *out = t;
    return true;
}
