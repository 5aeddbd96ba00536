// fuzz_air.c - any bytes as an EPW weather file, and as the readings of a traverse.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "base/bind.h"
#include "study/airflow/traverse.h"
#include "study/shopair/record.h"
#include "study/shopair/shopair.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool holds) {
    if (!holds) abort();
}

static void as_climate(struct bw_arena *arena, const char *bytes, size_t size) {
    struct shopair_input in;
    struct shopair_output out;
    struct bw_err err = {0};
    struct bw_run run = {.arena = arena, .seed = 1};
    bw_record_clear(bw_study_shopair.in, &in);
    in.temperature = bw_exactly(293.15);
    in.humidity = bw_exactly(0.4);
    in.altitude = bw_exactly(0);
    in.outdoor_humidity = bw_exactly(0.8);
    in.returned = bw_exactly(0);
    in.target = bw_exactly(0.45);
    in.cooler = bw_exactly(0.85);
    in.water_price = bw_exactly(0);
    in.width = bw_exactly(0.3);
    in.sawn = 0;
    in.extraction = bw_exactly(1);
    in.climate = (struct bw_file){.name = "fuzz.epw", .content = bytes, .size = size};
    if (!bw_study_shopair.run(&run, &in, &out, &err)) {
        must(err.code != BW_OK && err.what[0] != '\0');
        return;
    }
    must(out.months.n == 12);
    for (size_t i = 0; i < 12; i++) {
        const struct shopair_month_row *m = (const struct shopair_month_row *)out.months.items + i;
        must(isfinite(m->outdoor.v) && m->indoor.v >= 0 && isfinite(m->water.v));
    }
}

static void as_readings(struct bw_arena *arena, const char *bytes, size_t size) {
    struct traverse t;
    struct bw_err err = {0};
    char *text = bw_arena_text(arena, bytes, size);
    if (text == NULL || strlen(text) != size) return;
    for (int rule = 0; rule < 3; rule++)
        for (int by = BY_PITOT; by <= BY_HOT_WIRE; by++) {
            const struct airflow_section section = {.at = "fuzz",
                                                    .readings = text,
                                                    .rule = rule,
                                                    .instrument = by,
                                                    .diameter = bw_exactly(0.25),
                                                    .width = BW_UNKNOWN,
                                                    .height = BW_UNKNOWN,
                                                    .factor = BW_UNKNOWN};
            if (!traverse_read(&section, 1.2, &t, &err)) {
                must(err.code != BW_OK && err.what[0] != '\0');
                bw_err_clear(&err);
                continue;
            }
            must(isfinite(t.mean) && t.rows * t.columns <= TRAVERSE_MOST && t.rows > 0);
            must(t.missing + t.wild < t.rows * t.columns && isfinite(t.row_spread));
        }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    long live = bw_alloc_live();
    struct bw_arena *arena = bw_arena_new((size_t)16 << 20);
    as_climate(arena, (const char *)data, size);
    if (size < 2048) as_readings(arena, (const char *)data, size);
    bw_arena_free(arena);
    must(bw_alloc_live() == live);
    return 0;
}
