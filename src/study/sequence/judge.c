// judge.c - a set-up as it is, head by head, and what its amps say of the wood.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/sequence/answer.h"
#include "study/sequence/meter.h"

#include <math.h>
#include <string.h>

struct judged {
    const struct sequence_use *use;
    const struct shop_head *head;
    struct shelf_belt belt;
    const char *name;
};

// A verdict is words before anybody chose units, so both are told.
static const char *depth(struct shop *shop, double m) {
    return shop_say(shop, "%.2f mm (%.4f in)", 1e3 * m, m / 25.4e-3);
}

static void verdict(struct lines *out, const struct judged *j, const char *kind, const char *text,
                    double share) {
    lines_add(out, (struct sequence_line){
                       .about = j->name, .kind = kind, .text = text, .share = bw_exactly(share)});
}

static bool resolve(struct shop *shop, size_t i, struct judged *out, struct bw_err *err) {
    out->use = (const struct sequence_use *)shop->in->setup.items + i;
    const char *grit = out->use->grit;
    out->belt = (struct shelf_belt){.price = 1, .life = 1};
    if (!bw_grit_read(&shop->grits, grit, strlen(grit), &out->belt.grit, err)) return false;
    out->belt.most = bw_sanding_most(&shop->sanding, out->belt.grit->size.v);
    out->belt.clear = bw_sanding_clear(&shop->sanding, out->belt.grit->size.v);
    out->name = shop_say(shop, "head %ld", out->use->head);
    out->head = NULL;
    for (int h = 0; h < shop->n_heads; h++)
        if ((long)shop->heads[h].index + 1 == out->use->head) out->head = &shop->heads[h];
    return true;
}

// Against the belt before it. Returns whether anything is wrong.
static bool judge_step(struct shop *shop, const struct judged *before, const struct judged *j,
                       struct lines *out) {
    const char *was = before->belt.grit->name, *is = j->belt.grit->name;
    int order = bw_grit_order(before->belt.grit, j->belt.grit);
    if (order > 0) {
        verdict(out, j, "skipped-grit",
                shop_say(shop, "%s is coarser than the %s before it: its scratch stays", is, was),
                0);
        return true;
    }
    if (order == 0) return false;
    long skips = bw_grit_skips(&shop->grits, before->belt.grit, j->belt.grit);
    double clear = before->belt.clear;
    if (clear > j->belt.most * (1 + 1e-6)) {
        verdict(out, j, "skipped-grit",
                shop_say(shop,
                         "%s cannot clear the %s before it: that takes %s, and %s takes %s at "
                         "most; put a grit between",
                         is, was, depth(shop, clear), is, depth(shop, j->belt.most)),
                (double)skips);
        return true;
    }
    if (skips > shop->in->largest_skip) {
        verdict(out, j, "skipped-grit",
                shop_say(shop, "%ld grades are left out between %s and %s", skips, was, is),
                (double)skips);
        return true;
    }
    if (!bw_known(j->use->takes) || j->use->takes.v >= clear * (1 - 1e-6)) return false;
    verdict(out, j, "scratch-left",
            shop_say(shop,
                     "takes %s; clearing the %s before it needs %s: its scratch comes up in "
                     "the finish",
                     depth(shop, j->use->takes.v), was, depth(shop, clear)),
            j->use->takes.v / clear);
    return true;
}

static bool judge_load(struct shop *shop, const struct judged *j, struct lines *out) {
    if (!bw_known(j->use->takes)) return false;
    double takes = j->use->takes.v;
    if (takes < 5e-6) {
        verdict(out, j, "idle-head", "does not cut: it hardly touches the stock", 0);
        return true;
    }
    double most = j->belt.most;
    enum limit by = LIMIT_MOST;
    if (j->head != NULL) {
        struct question q = question_plain();
        double feed = bw_known(j->use->feed) ? j->use->feed.v : shop->feeds[0];
        struct use_limits best = {.most = -1};
        for (int i = 0; i < j->head->n_parts; i++) {
            struct point at = {j->head, &j->head->parts[i], &j->belt, feed};
            struct use_limits l = shop_limits(shop, &q, &at);
            if (l.most > best.most) best = l;
        }
        most = best.most;
        by = best.by;
    }
    if (takes <= most * (1 + 1e-6)) return false;
    if (most <= 0) {
        verdict(out, j, "overloaded-head",
                shop_say(shop, "%s does not belong on this head", j->belt.grit->name), 2);
        return true;
    }
    verdict(out, j, "overloaded-head",
            shop_say(shop,
                     "overloaded: takes %s, at most %s by %s; it polishes and burns instead of "
                     "cutting",
                     depth(shop, takes), depth(shop, most), limit_word(by)),
            takes / most);
    return true;
}

static bool judge_last(struct shop *shop, const struct judged *j, struct lines *out) {
    double size = j->belt.grit->size.v;
    const struct bw_finish *finish = shop->finish;
    bool coarse = size > finish->coarsest * 1.02, fine = size < finish->finest * 0.98;
    if (!coarse && !fine) return false;
    verdict(out, j, "last-grit",
            shop_say(shop, "%s is %s for %s: end between %s and %s", j->belt.grit->name,
                     coarse ? "too coarse" : "finer than need be", finish->name,
                     finish->coarsest_grit, finish->finest_grit),
            size / (coarse ? finish->coarsest : finish->finest));
    return true;
}

static void read_meter(struct shop *shop, const struct judged *j, struct lines *out) {
    const struct shop_head *head = j->head;
    if (head == NULL || !bw_known(j->use->reads)) return;
    if (isnan(head->idle) || isnan(head->full)) {
        verdict(out, j, NULL,
                "amps say nothing without idle and full amps of this head: give "
                "them as \"2 idles 11 A full 28 A\"",
                BW_NAN);
        return;
    }
    double share = meter_share(head->idle, head->full, j->use->reads.v);
    if (share < METER_LEAST) {
        verdict(out, j, NULL,
                shop_say(shop, "%.0f %% load or less: this low the meter cannot decide",
                         100 * METER_LEAST),
                BW_NAN);
        return;
    }
    if (share > 1)
        verdict(out, j, "overloaded-head",
                shop_say(shop, "the motor runs at %.0f %% of its plate", 100 * share), share);
    if (!bw_known(j->use->takes) || !bw_known(j->use->feed) || !(j->use->takes.v > 0) ||
        isnan(head->power))
        return;
    // shop_power is calibrated by these very readings: set against the table itself.
    struct point at = {head, &head->parts[head->n_parts - 1], &j->belt, j->use->feed.v};
    double table = shop_power(shop, &at, j->use->takes.v) / shop->energy;
    double ratio = share * head->power / table;
    double energy =
        bw_sanding_energy(&shop->sanding, j->belt.grit->size.v, shop->wood->density.v) * ratio;
    verdict(out, j, NULL,
            shop_say(shop, "%.0f %% load: %s on %s needs %.2f J/mm³ here, %.1f times the table's",
                     100 * share, j->belt.grit->name, shop->wood->name, 1e-9 * energy, ratio),
            ratio);
}

bool answer_judged(struct shop *shop, struct lines *judged, struct lines *measured,
                   struct bw_err *err) {
    struct judged before = {.use = NULL}, j = {.use = NULL};
    for (size_t i = 0; i < shop->in->setup.n; i++) {
        if (!resolve(shop, i, &j, err)) return false;
        bool wrong = judge_load(shop, &j, judged);
        if (i > 0) wrong = judge_step(shop, &before, &j, judged) || wrong;
        if (i + 1 == shop->in->setup.n) wrong = judge_last(shop, &j, judged) || wrong;
        if (!wrong)
            verdict(judged, &j, NULL,
                    bw_known(j.use->takes)
                        ? shop_say(shop, "%s: nothing wrong", j.belt.grit->name)
                        : shop_say(shop, "%s: its step is right; what it takes was not told",
                                   j.belt.grit->name),
                    BW_NAN);
        read_meter(shop, &j, measured);
        before = j;
    }
    return true;
}
