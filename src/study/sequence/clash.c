// clash.c - why there is no plan: the smallest set of limits that clash, and what would free it.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A set of limits clashes when no plan keeps just these. Striking out limits one by one while the
// rest still clashes leaves a set none of which can be spared; then all smaller sets are tried by
// growing size, so that the one named is a smallest there is.
#include "study/sequence/answer.h"

#include <string.h>

static bool possible(struct shop *shop, const struct question *base, unsigned set, bool *out,
                     struct bw_err *err) {
    struct question q = *base;
    struct asked asked;
    q.whether = true;
    for (int i = 0; i < LIMIT_COUNT; i++) q.off[i] = (set >> i & 1U) == 0;
    if (!shop_ask(shop, &q, &asked, err)) return false;
    *out = asked.plan.cost != PLAN_NEVER;
    return true;
}

static int members(unsigned set) {
    int n = 0;
    for (; set != 0; set &= set - 1) n++;
    return n;
}

// Strikes out what can be spared, one by one: none of the rest can.
static bool small_clash(struct shop *shop, const struct question *base, unsigned *out,
                        struct bw_err *err) {
    unsigned set = (1U << LIMIT_COUNT) - 1;
    for (int i = 0; i < LIMIT_COUNT; i++) {
        bool can;
        unsigned rest = set & ~(1U << i);
        if (!possible(shop, base, rest, &can, err)) return false;
        if (!can) set = rest;
    }
    *out = set;
    return true;
}

static bool smallest_clash(struct shop *shop, const struct question *base, unsigned *out,
                           struct bw_err *err) {
    if (!small_clash(shop, base, out, err)) return false;
    int found = members(*out);
    for (int size = 1; size < found; size++) {
        for (unsigned set = 1; set < 1U << LIMIT_COUNT; set++) {
            bool can;
            if (members(set) != size) continue;
            if (!possible(shop, base, set, &can, err)) return false;
            if (can) continue;
            *out = set;
            return true;
        }
    }
    return true;
}

// What loosening of one limit alone makes a plan possible; NULL: none tried.
static bool freed_by(struct shop *shop, const struct question *base, enum limit limit,
                     const char **out, struct bw_err *err) {
    static const double FACTORS[] = {1.1, 1.25, 1.5, 2, 3, 5};
    struct asked asked;
    *out = NULL;
    for (size_t i = 0; i < sizeof FACTORS / sizeof *FACTORS; i++) {
        struct question q = *base;
        q.loose[limit] = FACTORS[i];
        if (limit == LIMIT_FEED) q.slowest = base->slowest / FACTORS[i];
        if (limit == LIMIT_FINISH || limit == LIMIT_SPEED) q.off[limit] = true;
        q.whether = true;
        if (!shop_ask(shop, &q, &asked, err)) return false;
        if (asked.plan.cost == PLAN_NEVER) continue;
        q.whether = false;
        if (!shop_ask(shop, &q, &asked, err)) return false;
        const char *with = plan_words(shop, &asked);
        double f = FACTORS[i];
        *out = limit == LIMIT_PASSES   ? shop_say(shop, "one pass more would do: %s", with)
               : limit == LIMIT_SKIP   ? shop_say(shop, "one grade more left out: %s", with)
               : limit == LIMIT_FINISH ? shop_say(shop, "with another last grit: %s", with)
               : limit == LIMIT_SPEED  ? shop_say(shop, "with a slower belt: %s", with)
               : limit == LIMIT_STOCK
                   ? shop_say(shop, "a %.0f %% smaller cut would do: %s", 100 * (1 - 1 / f), with)
               : limit == LIMIT_FEED ? shop_say(shop, "a feed slower by %.0f %% would do: %s",
                                                100 * (1 - 1 / f), with)
               : limit == LIMIT_CLEAR
                   ? shop_say(shop, "only by leaving scratch in the face")
                   : shop_say(shop, "%.0f %% more would do: %s", 100 * (f - 1), with);
        return true;
    }
    return true;
}

// Whether these belts beside the shelf make a plan possible.
static bool helps(struct shop *shop, const struct question *base, const struct bw_grit *one,
                  const struct bw_grit *two, bool *out, struct bw_err *err) {
    struct question q = *base;
    struct asked asked;
    q.with[0] = one;
    q.with[1] = two;
    q.whether = true;
    if (!shop_ask(shop, &q, &asked, err)) return false;
    *out = asked.plan.cost != PLAN_NEVER;
    return true;
}

// The usual grits of the P series, coarse to fine.
static size_t usual_grits(const struct shop *shop, const struct bw_grit *out[32]) {
    size_t n = 0, first = shop->grits.first[BW_GRIT_FEPA_P];
    for (size_t i = 0; i < shop->grits.count[BW_GRIT_FEPA_P] && n < 32; i++) {
        const struct bw_grit *grit = &shop->grits.items[first + i];
        if (grit->size.v < 600e-6 && grit->size.v > 34e-6) out[n++] = grit;
    }
    return n;
}

// Belts from outside the shelf that make a plan possible: any one, else the first pair.
static bool freed_by_belts(struct shop *shop, const struct question *base, struct lines *out,
                           struct bw_err *err) {
    const struct bw_grit *grits[32];
    const char *all = NULL, *pair = NULL;
    size_t n = usual_grits(shop, grits);
    bool can;
    for (size_t i = 0; i < n; i++) {
        if (!helps(shop, base, grits[i], NULL, &can, err)) return false;
        if (can) all = all == NULL ? grits[i]->name : shop_say(shop, "%s, %s", all, grits[i]->name);
    }
    for (size_t i = 0; i < n && all == NULL && pair == NULL; i++) {
        for (size_t k = i + 1; k < n && pair == NULL; k++) {
            if (!helps(shop, base, grits[i], grits[k], &can, err)) return false;
            if (can) pair = shop_say(shop, "%s and %s", grits[i]->name, grits[k]->name);
        }
    }
    if (all != NULL)
        lines_add(out, (struct sequence_line){
                           .about = "one belt more",
                           .share = BW_UNKNOWN,
                           .text = shop_say(shop, "any one of these would do: %s", all)});
    if (pair != NULL)
        lines_add(out, (struct sequence_line){.about = "two belts more",
                                              .share = BW_UNKNOWN,
                                              .text = shop_say(shop, "%s would do", pair)});
    return true;
}

bool answer_clashes(struct shop *shop, const struct question *base, struct lines *out,
                    struct bw_err *err) {
    unsigned set;
    if (!smallest_clash(shop, base, &set, err)) return false;
    for (int i = 0; i < LIMIT_COUNT; i++) {
        if ((set >> i & 1U) == 0) continue;
        const char *free;
        if (!freed_by(shop, base, (enum limit)i, &free, err)) return false;
        lines_add(out, (struct sequence_line){
                           .about = limit_word((enum limit)i),
                           .text = free == NULL ? "loosening it alone does not help" : free,
                           .share = BW_UNKNOWN});
    }
    // More passes may help even where they are not in the set.
    const char *free;
    if ((set >> LIMIT_PASSES & 1U) == 0) {
        if (!freed_by(shop, base, LIMIT_PASSES, &free, err)) return false;
        if (free != NULL)
            lines_add(out, (struct sequence_line){.about = limit_word(LIMIT_PASSES),
                                                  .text = free,
                                                  .share = BW_UNKNOWN});
    }
    return freed_by_belts(shop, base, out, err);
}
