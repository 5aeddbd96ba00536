// timber.c - see timber.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/timber.h"

#include "base/suggest.h"

#include <strings.h>

static const struct bw_field FIELDS[] = {
    {.name = "wood", .offset = offsetof(struct bw_movement, name), .kind = BW_TEXT,
     .required = true, .help = "the wood as the trade names it"},
    {BW_AT(struct bw_movement, radial), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0.0003,
     .max = 0.004, .required = true, .help = "quarter-sawn, share of width per point of moisture"},
    {BW_AT(struct bw_movement, tangential), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .min = 0.001, .max = 0.006, .required = true,
     .help = "flat-sawn, share of width per point of moisture"},
    BW_TRADE_ORIGIN(struct bw_movement, origin),
    BW_END_FIELDS,
};
static const struct bw_record RECORD = {.name = "wood movement",
                                        .help = "how much one wood moves across the grain",
                                        .fields = FIELDS,
                                        .size = sizeof(struct bw_movement)};

static bool check(const struct bw_trade_table *table, const void *rows, struct bw_err *err) {
    const struct bw_movement *woods = rows;
    for (size_t i = 0; i < table->n_rows; i++) {
        if (woods[i].tangential.v > woods[i].radial.v) continue;
        bw_fail(err, BW_INPUT, "moves less along the rings than across them, which no wood does");
        return bw_trade_table_blame(table, i, "tangential", err);
    }
    return true;
}

const struct bw_trade_carried bw_movement_carried = {"movement", &RECORD, check};

bool bw_movement_find(struct bw_arena *arena, const char *name, const struct bw_movement **out,
                      struct bw_err *err) {
    struct bw_list rows;
    if (!bw_trade_table_load(arena, &bw_movement_carried, &rows, err)) return false;
    const struct bw_movement *woods = rows.items;
    struct bw_words words = {.n = 0};
    for (size_t i = 0; i < rows.n; i++) {
        if (strcasecmp(woods[i].name, name) == 0) {
            *out = &woods[i];
            return true;
        }
        bw_words_add(&words, woods[i].name);
    }
    bw_fail(err, BW_INPUT, "not in the table of wood movement");
    bw_err_value(err, name);
    bw_words_mend(&words, name, "the table movement has", err);
    return false;
}

double bw_wood_moisture(double temperature, double h) {
    double t = temperature - 273.15;
    double w = 349 + 1.29 * t + 0.0135 * t * t;
    double k = 0.805 + 0.000736 * t - 0.00000273 * t * t;
    double k1 = 6.27 - 0.00938 * t - 0.000303 * t * t;
    double k2 = 1.91 + 0.0407 * t - 0.000293 * t * t;
    double kh = k * h;
    double held = (k1 * kh + 2 * k1 * k2 * kh * kh) / (1 + k1 * kh + k1 * k2 * kh * kh);
    return 18 / w * (kh / (1 - kh) + held);
}

// Linear, as the handbook has it between 6 and 14 %; beyond that it overstates a little.
double bw_wood_change(double width, double coefficient, double from, double to) {
    return width * coefficient * 100 * (to - from);
}
