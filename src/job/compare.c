// compare.c - see compare.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: the difference of two independent normal estimates, 95 % interval. Why: studies hand out
// values with standard deviations and nothing else. A single test before and after cannot say more;
// what a person did between them (a warm machine, another belt) is not in the numbers. Rejected: a
// p-value (nobody in a workshop decides by one), and "no difference" as proof of sameness.
#include "job/compare.h"

#include <math.h>
#include <string.h>

#define Z95 1.959963984540054  // of the normal distribution, 0.975; any statistics text

static const struct bw_finding *same(const struct bw_findings *in, const struct bw_finding *as) {
    for (size_t i = 0; i < in->n; i++)
        if (strcmp(in->items[i].kind, as->kind) == 0 &&
            strcmp(in->items[i].about, as->about) == 0 && in->items[i].dim == as->dim)
            return &in->items[i];
    return NULL;
}

static struct bw_compared pair(const struct bw_finding *one, const struct bw_finding *two,
                               double matters) {
    const struct bw_finding *any = one != NULL ? one : two;
    struct bw_compared c = {.kind = any->kind,
                            .about = any->about,
                            .dim = any->dim,
                            .before = one == NULL ? BW_NAN : one->v,
                            .before_sd = one == NULL ? BW_NAN : one->sd,
                            .after = two == NULL ? BW_NAN : two->v,
                            .after_sd = two == NULL ? BW_NAN : two->sd,
                            .change = BW_CHANGE_UNKNOWN};
    c.difference = c.after - c.before;
    double half = Z95 * hypot(c.before_sd, c.after_sd);
    c.low = c.difference - half;
    c.high = c.difference + half;
    if (isnan(half) || isnan(c.difference)) return c;
    if (c.low > 0)
        c.change = BW_CHANGE_UP;
    else if (c.high < 0)
        c.change = BW_CHANGE_DOWN;
    else if (half <= matters * fabs(c.before))
        c.change = BW_CHANGE_NONE_SHOWN;
    return c;
}

bool bw_compare(struct bw_arena *arena, const struct bw_findings *before,
                const struct bw_findings *after, double matters, struct bw_comparison *out,
                struct bw_err *err) {
    struct bw_comparison made = {0};
    made.items = bw_arena_array(arena, before->n + after->n + 1, sizeof *made.items);
    if (made.items == NULL) return bw_fail_memory(err);
    for (size_t i = 0; i < before->n; i++)
        made.items[made.n++] = pair(&before->items[i], same(after, &before->items[i]), matters);
    for (size_t i = 0; i < after->n; i++)
        if (same(before, &after->items[i]) == NULL)
            made.items[made.n++] = pair(NULL, &after->items[i], matters);
    *out = made;
    return true;
}

const char *bw_change_word(enum bw_change change, enum bw_better better) {
    switch (change) {
    case BW_CHANGE_NONE_SHOWN: return "no difference shown";
    case BW_CHANGE_UNKNOWN: return "not enough data";
    case BW_CHANGE_UP:
    case BW_CHANGE_DOWN: break;
    }
    bool up = change == BW_CHANGE_UP;
    if (better == BW_BETTER_NOT_SAID) return up ? "more" : "less";
    return up == (better == BW_BETTER_MORE) ? "improved" : "worse";
}
