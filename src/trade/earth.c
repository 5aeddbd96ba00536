// earth.c - see earth.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/earth.h"

#include "base/suggest.h"

#include <math.h>
#include <strings.h>

static const struct bw_field FIELDS[] = {
    {.name = "soil", .offset = offsetof(struct bw_soil, name), .kind = BW_TEXT, .required = true,
     .help = "the kind of soil"},
    {BW_AT(struct bw_soil, resistivity), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 1,
     .max = 1e4, .required = true, .help = "average, ohm metres"},
    {BW_AT(struct bw_soil, low), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 1, .max = 1e4,
     .required = true, .help = "lowest told, ohm metres"},
    {BW_AT(struct bw_soil, high), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 1, .max = 1e5,
     .required = true, .help = "highest told, ohm metres"},
    BW_TRADE_ORIGIN(struct bw_soil, origin),
    BW_END_FIELDS,
};
static const struct bw_record RECORD = {.name = "soil",
                                        .help = "how well one kind of soil conducts",
                                        .fields = FIELDS,
                                        .size = sizeof(struct bw_soil)};

static bool check(const struct bw_trade_table *table, const void *rows, struct bw_err *err) {
    const struct bw_soil *soils = rows;
    for (size_t i = 0; i < table->n_rows; i++) {
        double v = soils[i].resistivity.v;
        if (soils[i].low.v <= v && v <= soils[i].high.v) continue;
        bw_fail(err, BW_INPUT, "the average lies outside its range");
        return bw_trade_table_blame(table, i, "resistivity", err);
    }
    return true;
}

const struct bw_trade_carried bw_soils_carried = {"soils", &RECORD, check};

bool bw_soil_find(struct bw_arena *arena, const char *name, const struct bw_soil **out,
                  struct bw_err *err) {
    struct bw_list rows;
    if (!bw_trade_table_load(arena, &bw_soils_carried, &rows, err)) return false;
    struct bw_words words = {.n = 0};
    for (size_t i = 0; i < rows.n; i++) {
        const struct bw_soil *soil = (const struct bw_soil *)rows.items + i;
        if (strcasecmp(soil->name, name) == 0) {
            *out = soil;
            return true;
        }
        bw_words_add(&words, soil->name);
    }
    bw_fail(err, BW_INPUT, "not in the table of soils");
    bw_err_value(err, name);
    bw_words_mend(&words, name, "the table soils has", err);
    return false;
}

double bw_rod(double resistivity, double length, double diameter) {
    return resistivity / (2 * M_PI * length) * (log(8 * length / diameter) - 1);
}

double bw_rods(double one, long n) {
    static const double COUNT[] = {1, 2, 3, 4, 8, 12, 16, 20, 24};
    static const double FACTOR[] = {1, 1.16, 1.29, 1.36, 1.68, 1.80, 1.92, 2.00, 2.16};
    size_t i = 1;
    while (i < 8 && COUNT[i] < (double)n) i++;
    double t = log((double)n / COUNT[i - 1]) / log(COUNT[i] / COUNT[i - 1]);
    return one * (FACTOR[i - 1] + t * (FACTOR[i] - FACTOR[i - 1])) / (double)n;
}
