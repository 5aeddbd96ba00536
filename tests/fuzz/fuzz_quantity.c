// fuzz_quantity.c - any bytes as a quantity, a unit, a number: what is taken reads back as shown.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Input: one byte for the dimension and the units shown, the rest is the text.
#include "base/number.h"
#include "base/quantity.h"
#include "base/unit.h"
#include "base/utf8.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool truth) {
    if (!truth) abort();
}

static const struct bw_way WAYS[] = {
    {"plate", "", 0.05, 0.0, 1.0}, {"timed 3 m", "", 0.01, 0.001, 0.0}, {.name = NULL}};

static void refused_in_good_order(const struct bw_err *err) {
    must(err->code == BW_INPUT);
    must(err->what[0] != '\0' && err->mend[0] != '\0');
    must(bw_utf8_valid(err->what, strlen(err->what)));
    must(bw_utf8_valid(err->value, strlen(err->value)));
    must(bw_utf8_valid(err->mend, strlen(err->mend)));
}

// Shown, read and shown again it is the same text.
static void comes_back(struct bw_quantity q, enum bw_dim dim, enum bw_units units) {
    char text[BW_QUANTITY_TEXT], again[BW_QUANTITY_TEXT];
    struct bw_quantity back;
    struct bw_err err = {0};
    size_t length = strlen(bw_quantity_text(text, q, dim, units));
    must(length < sizeof text && bw_utf8_valid(text, length));
    bool read = bw_quantity_read(text, length, dim, NULL, &back, &err);
    // Rounding may lead below absolute zero, or above the largest double.
    bool edge = dim == BW_DIM_TEMPERATURE && q.v < 200.0;
    if (!read)
        must(edge || fabs(q.v) > 1e300);
    else if (!edge)
        must(strcmp(bw_quantity_text(again, back, dim, units), text) == 0);
}

static void as_quantity(const char *text, size_t length, enum bw_dim dim, enum bw_units units) {
    struct bw_quantity q = bw_about(42.0, 43.0);
    struct bw_err err = {0};
    if (!bw_quantity_read(text, length, dim, WAYS, &q, &err)) {
        must(q.v == 42.0 && q.sd == 43.0 && q.way == -1);
        refused_in_good_order(&err);
        return;
    }
    must(err.code == BW_OK);
    must(!isinf(q.v) && !isinf(q.sd) && !(q.sd <= 0.0));
    must(bw_known(q) || !bw_sd_known(q));
    must(q.way >= -1 && q.way < 2);
    comes_back(q, dim, units);
}

static void as_unit(const char *text, size_t length, enum bw_dim dim) {
    double factor = 42.0, offset = 43.0;
    struct bw_err err = {0};
    if (bw_unit_read(text, length, dim, &factor, &offset, &err)) {
        must(factor > 0.0 && isfinite(factor) && isfinite(offset));
    } else {
        must(factor == 42.0 && offset == 43.0);
        refused_in_good_order(&err);
    }
}

static void as_number(const char *text, size_t length) {
    char shown[BW_NUMBER_TEXT];
    double value = 42.0, back = 0.0;
    long count = 42;
    struct bw_err err = {0}, other = {0};
    if (bw_number(text, length, &value, &err)) {
        must(isfinite(value));
        bw_number_digits(shown, value, 17);
        must(bw_number(shown, strlen(shown), &back, &err) && back == value);
    } else {
        must(value == 42.0);
        refused_in_good_order(&err);
    }
    if (bw_count(text, length, -7, 1000000, &count, &other))
        must(count >= -7 && count <= 1000000);
    else
        refused_in_good_order(&other);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size < 1) return 0;
    enum bw_dim dim = (enum bw_dim)(data[0] / 2 % BW_DIM_COUNT);
    const char *text = (const char *)data + 1;
    as_quantity(text, size - 1, dim, data[0] % 2 == 0 ? BW_UNITS_SI : BW_UNITS_US);
    as_unit(text, size - 1, dim);
    as_number(text, size - 1);
    return 0;
}
