// test_quantity.c - what is shown of a quantity reads back as that quantity.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/number.h"
#include "base/quantity.h"

#include "support/random_record.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define DRAWS 4000

// A size between 10^low and 10^high, evenly by powers of ten.
static double random_size(uint64_t *state, double low, double high) {
    return pow(10.0, low + (high - low) * random_share(state));
}

static struct bw_quantity random_quantity(uint64_t *state, enum bw_dim dim) {
    struct bw_quantity q = bw_exactly(random_size(state, -9.0, 9.0));
    bool sd = random_below(state, 4) > 0;
    if (dim == BW_DIM_TEMPERATURE) {
        // Well above absolute zero, which is refused even where rounding went below it.
        q.v = 200.0 + 1000.0 * random_share(state);
        if (sd) q.sd = random_size(state, -12.0, 1.0);
        return q;
    }
    if (random_below(state, 3) == 0) q.v = -q.v;
    if (random_below(state, 50) == 0) q.v = 0.0;
    if (sd) q.sd = random_size(state, -12.0, 9.0);
    return q;
}

static double to_number(const char *text, size_t length) {
    double number = 0.0;
    struct bw_err err = {0};
    assert_true(bw_number(text, length, &number, &err));
    return number;
}

// Half a unit of the last digit of a shown number, worked out from its characters.
static double half_last_digit(const char *number, size_t length) {
    const char *e = memchr(number, 'e', length), *point = memchr(number, '.', length);
    const char *end = e == NULL ? number + length : e;
    double half = 0.5;
    if (point != NULL && point < end) half *= pow(10.0, -(double)(end - point - 1));
    if (e != NULL) half *= pow(10.0, to_number(e + 1, length - (size_t)(e + 1 - number)));
    return half;
}

// Zeros in front of the point may be rounding: with "120 ± 30" the 2 is the last digit that counts.
static double slack_of(const char *value, const char *sd) {
    size_t n = strspn(value, "-0123456789.e+"), m = sd == NULL ? 0 : strspn(sd, "0123456789.e+");
    double slack = half_last_digit(value, n);
    bool whole = m > 0 && memchr(sd, '.', m) == NULL && memchr(sd, 'e', m) == NULL;
    for (; whole && m > 1 && sd[m - 1] == '0'; m--) slack *= 10.0;
    return slack;
}

static void comes_back(struct bw_quantity q, enum bw_dim dim, enum bw_units units) {
    char text[BW_QUANTITY_TEXT], again[BW_QUANTITY_TEXT];
    struct bw_quantity back;
    struct bw_err err = {0};
    bw_quantity_text(text, q, dim, units);
    const char *sd = strstr(text, "± ");
    if (sd != NULL) sd += strlen("± ");
    assert_int_equal(sd != NULL, bw_sd_known(q));
    if (strncmp(text, "-0 ", 3) == 0 || strcmp(text, "-0") == 0) fail_msg("%s", text);
    double shown = bw_dim_from_si(dim, units, q.v), factor = 1.0;
    double number = to_number(text, strspn(text, "-0123456789.e+"));
    double rounding = 1e-12 * fabs(shown);
    if (dim == BW_DIM_TEMPERATURE) rounding += 1e-12 * 300;  // the offset cancels
    if (fabs(number - shown) > slack_of(text, sd) * (1 + 1e-9) + rounding)
        fail_msg("%.17g shown as %s", shown, text);
    if (!bw_quantity_read(text, strlen(text), dim, NULL, &back, &err))
        fail_msg("%s: %s", text, err.what);
    if (dim != BW_DIM_TEMPERATURE) factor = bw_dim_to_si(dim, units, 1.0);
    if (fabs(back.v - bw_dim_to_si(dim, units, number)) > 1e-12 * (fabs(q.v) + 300 * factor))
        fail_msg("%s reads as %.17g", text, back.v);
    // A second showing says the same.
    assert_string_equal(bw_quantity_text(again, back, dim, units), text);
}

// A ± has one digit, or two from 1.0 to 1.9 (and where one digit would round up to 10).
static void sd_has_its_digits(struct bw_quantity q, enum bw_dim dim, enum bw_units units) {
    char text[BW_QUANTITY_TEXT];
    const char *sd = strstr(bw_quantity_text(text, q, dim, units), "± ");
    if (sd == NULL) return;
    sd += strlen("± ");
    char digits[BW_QUANTITY_TEXT];
    size_t n = 0, length = strspn(sd, "0123456789.");
    for (size_t i = 0; i < length; i++)
        if (sd[i] != '.' && (n > 0 || sd[i] != '0')) digits[n++] = sd[i];
    if (memchr(sd, '.', length) == NULL)
        while (n > 1 && digits[n - 1] == '0' && (n > 2 || digits[0] != '1')) n--;
    assert_true(n == 1 || n == 2);
    if (n == 2 && digits[0] != '1' && !(digits[0] == '9' && digits[1] >= '5'))
        fail_msg("%s has a digit too many", text);
}

static void test_shown_and_read_back(void **state) {
    (void)state;
    uint64_t seed = 20;
    for (int dim = 0; dim < BW_DIM_COUNT; dim++) {
        for (int n = 0; n < DRAWS; n++) {
            enum bw_units units = n % 2 == 0 ? BW_UNITS_SI : BW_UNITS_US;
            struct bw_quantity q = random_quantity(&seed, (enum bw_dim)dim);
            comes_back(q, (enum bw_dim)dim, units);
            sd_has_its_digits(q, (enum bw_dim)dim, units);
        }
    }
}

// Text made of the pieces quantities are made of, in any order: taken or refused, never half.
static void test_any_mixture_is_taken_or_refused(void **state) {
    (void)state;
    static const char *const PIECES[] = {
        "14.6",    "7",   "5/8",   "0",   "-",  "−",  "+",  ",",   ".",        " ",
        "mm",      "in",  "\"",    "'",   "ft", "/",  "%",  "±",   "+/-",      "by",
        "plate",   "per", "min",   "s",   "°F", "K",  "(",  ")",   "1e5",      "e",
        "?",       "½",   "inH2O", "rpm", "1/", "to", "m³", "ohm", "\xc2\xa0", "\xe2\x80\x89",
        "Shore A",
    };
    static const struct bw_way WAYS[] = {{"plate", "", 0.05, 0.0, 1.0}, {.name = NULL}};
    uint64_t seed = 4;
    size_t taken = 0;
    for (int n = 0; n < 40000; n++) {
        char text[BW_MAX_QUANTITY_TEXT + 1] = "";
        size_t length = 0, pieces = 1 + random_below(&seed, 7);
        for (size_t i = 0; i < pieces; i++) {
            const char *piece = PIECES[random_below(&seed, sizeof PIECES / sizeof *PIECES)];
            memcpy(text + length, piece, strlen(piece));
            length += strlen(piece);
        }
        enum bw_dim dim = (enum bw_dim)random_below(&seed, BW_DIM_COUNT);
        struct bw_quantity q = bw_about(42, 43);
        struct bw_err err = {0};
        bool read = bw_quantity_read(text, length, dim, WAYS, &q, &err);
        assert_true(read == (err.code == BW_OK));
        if (!read) {
            assert_true(q.v == 42 && q.sd == 43 && q.way == -1);
            assert_true(err.code == BW_INPUT && err.what[0] != '\0' && err.mend[0] != '\0');
            continue;
        }
        taken++;
        assert_false(isinf(q.v) || isinf(q.sd) || q.sd <= 0.0);
        if (!bw_known(q) || (dim == BW_DIM_TEMPERATURE && q.v < 200.0)) continue;
        comes_back(q, dim, n % 2 == 0 ? BW_UNITS_SI : BW_UNITS_US);
    }
    print_message("# %zu of 40000 mixtures are quantities\n", taken);
    assert_true(taken > 200);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_shown_and_read_back),
        cmocka_unit_test(test_any_mixture_is_taken_or_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
