// hood.c - see hood.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/hood.h"

#include "base/suggest.h"

#include <strings.h>

static const struct bw_field FIELDS[] = {
    {.name = "entry", .offset = offsetof(struct bw_hood, name), .kind = BW_TEXT, .required = true,
     .help = "the shape of the entry"},
    {BW_AT(struct bw_hood, loss), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0.001,
     .max = 3, .required = true, .help = "entry loss over velocity pressure"},
    BW_TRADE_ORIGIN(struct bw_hood, origin),
    BW_END_FIELDS,
};
static const struct bw_record RECORD = {.name = "hood entry",
                                        .help = "one shape of duct entry",
                                        .fields = FIELDS,
                                        .size = sizeof(struct bw_hood)};
const struct bw_trade_carried bw_hoods_carried = {"hoods", &RECORD, NULL};

bool bw_hood_find(struct bw_arena *arena, const char *name, const struct bw_hood **out,
                  struct bw_err *err) {
    struct bw_list rows;
    if (!bw_trade_table_load(arena, &bw_hoods_carried, &rows, err)) return false;
    struct bw_words words = {.n = 0};
    for (size_t i = 0; i < rows.n; i++) {
        const struct bw_hood *hood = (const struct bw_hood *)rows.items + i;
        if (strcasecmp(hood->name, name) == 0) {
            *out = hood;
            return true;
        }
        bw_words_add(&words, hood->name);
    }
    bw_fail(err, BW_INPUT, "not in the table of hood entries");
    bw_err_value(err, name);
    bw_words_mend(&words, name, "the table hoods has", err);
    return false;
}
