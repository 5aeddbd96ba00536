// fuzz_table.c - any bytes as a table: read, bound as grits and as bearings, filtered, printed.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/bearing.h"
#include "trade/grit.h"
#include "trade/tables.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool holds) {
    if (!holds) abort();
}

// What is refused has a code and words; what is taken keeps what the header promises.
static void bind(struct bw_arena *arena, const struct bw_trade_table *table,
                 const struct bw_trade_carried *as) {
    struct bw_err err = {0};
    struct bw_list rows;
    bool taken = bw_trade_table_bind(arena, table, as->record, &rows, &err);
    if (taken) must(rows.n == table->n_rows);
    if (taken && as->check != NULL) taken = as->check(table, rows.items, &err);
    must(taken == (err.code == BW_OK) && (taken || err.what[0] != '\0'));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const char *const WORDS[] = {"p", "read in"};
    struct bw_arena *arena = bw_arena_new((size_t)16 << 20);
    struct bw_err err = {0};
    const struct bw_trade_table *table;
    struct bw_trade_rows rows;
    if (!bw_trade_table_read(arena, "fuzz.csv", (const char *)data, size, &table, &err)) {
        must(err.code != BW_OK && err.what[0] != '\0');
        bw_arena_free(arena);
        return 0;
    }
    must(table->n_rows > 0 && table->n_rows <= BW_MAX_TABLE_ROWS && table->title[0] != '\0');
    bind(arena, table, &bw_grits_carried);
    bind(arena, table, &bw_bearings_carried);
    if (bw_trade_table_filter(arena, table, WORDS, 2, &rows, &err)) {
        struct bw_text text = {.arena = arena};
        bw_trade_table_text(table, rows, &text);
        bw_buffer_free(&text.out);
        struct bw_buffer out = {0};
        struct bw_json json = bw_json_begin(&out);
        bw_trade_table_json(table, rows, &json);
        bw_buffer_free(&out);
    }
    bw_arena_free(arena);
    return 0;
}
