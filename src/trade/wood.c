// wood.c - see wood.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/wood.h"

#include "base/suggest.h"

#include <strings.h>

static const struct bw_choice STRUCTURES[] = {
    {"ring-porous", "hardwood with rings of large pores: oak, ash"},
    {"diffuse", "hardwood with even pores: maple, beech"},
    {"softwood", "conifers"},
    {"panel", "boards made of fibres, chips or veneers"},
    {"coating", "a film on wood"},
    {NULL, NULL},
};
#define RATING(member, what)                                                                       \
    { BW_AT(struct bw_wood, member), .kind = BW_COUNT, .max = 3, .required = true, .help = what }
static const struct bw_field FIELDS[] = {
    {.name = "wood",
     .offset = offsetof(struct bw_wood, name),
     .kind = BW_TEXT,
     .required = true,
     .help = "the wood as the trade names it"},
    {BW_AT(struct bw_wood, also), .kind = BW_TEXT, .help = "another name of it"},
    {BW_AT(struct bw_wood, density), .kind = BW_QUANTITY, .dim = BW_DIM_DENSITY, .min = 100,
     .max = 1500, .required = true, .help = "at about 12 % moisture"},
    {BW_AT(struct bw_wood, hardness), .kind = BW_QUANTITY, .dim = BW_DIM_FORCE, .min = 300,
     .max = 25e3, .help = "Janka hardness on the side grain"},
    {BW_AT(struct bw_wood, structure), .kind = BW_CHOICE, .of = STRUCTURES, .required = true,
     .help = "how it is built"},
    RATING(loads, "how far it loads a belt"),
    RATING(burns, "how readily it scorches"),
    RATING(tannin, "how far iron dust stains it"),
    BW_TRADE_ORIGIN(struct bw_wood, origin),
    BW_END_FIELDS,
};
static const struct bw_record RECORD = {
    .name = "wood", .help = "one wood or panel", .fields = FIELDS, .size = sizeof(struct bw_wood)};
const struct bw_trade_carried bw_woods_carried = {"woods", &RECORD, NULL};

bool bw_wood_find(struct bw_arena *arena, const char *name, const struct bw_wood **out,
                  struct bw_err *err) {
    struct bw_list rows;
    if (!bw_trade_table_load(arena, &bw_woods_carried, &rows, err)) return false;
    const struct bw_wood *woods = rows.items;
    struct bw_words words = {.n = 0};
    for (size_t i = 0; i < rows.n; i++) {
        bool also = woods[i].also != NULL && strcasecmp(woods[i].also, name) == 0;
        if (also || strcasecmp(woods[i].name, name) == 0) {
            *out = &woods[i];
            return true;
        }
        bw_words_add(&words, woods[i].name);
        if (woods[i].also != NULL) bw_words_add(&words, woods[i].also);
    }
    bw_fail(err, BW_INPUT, "not in the table of woods");
    bw_err_value(err, name);
    bw_words_mend(&words, name, "the table woods has", err);
    return false;
}
