// answer.c - see answer.h: what binds, the runner-up, doubts.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/sequence/answer.h"

#include <math.h>
#include <string.h>

bool lines_new(struct shop *shop, struct lines *lines, size_t room) {
    *lines = (struct lines){.room = room};
    lines->items = bw_arena_array(shop->arena, room, sizeof *lines->items);
    return lines->items != NULL;
}

void lines_add(struct lines *lines, struct sequence_line line) {
    if (lines->n < lines->room) lines->items[lines->n++] = line;
}

const char *limit_word(enum limit limit) {
    static const char *const WORDS[LIMIT_COUNT] = {
        [LIMIT_MOST] = "what the grits take off",
        [LIMIT_CLEAR] = "clearing the scratch before",
        [LIMIT_SKIP] = "the largest grit step",
        [LIMIT_CONTACT] = "what drum or platen takes off",
        [LIMIT_POWER] = "motor power",
        [LIMIT_HEAT] = "heat against the good case",
        [LIMIT_SPEED] = "belt speed",
        [LIMIT_FINISH] = "the last grit",
        [LIMIT_STOCK] = "the stock to take off",
        [LIMIT_THROUGH] = "sanding through",
        [LIMIT_FEED] = "the slowest feed",
        [LIMIT_PASSES] = "the number of passes",
    };
    return WORDS[limit];
}

const char *plan_words(struct shop *shop, const struct asked *asked) {
    const char *words = "";
    for (int i = 0; i < asked->plan.n_steps; i++) {
        const struct plan_step *step = &asked->plan.steps[i];
        const char *link = i == 0 ? "" : step->pass != step[-1].pass ? " / " : " - ";
        const struct plan_way *way = &asked->problem->ways[step->way];
        words = shop_say(shop, "%s%s%s", words, link, asked->belts[way->belt].grit->name);
    }
    return words;
}

// The same belts on the same heads in the same passes; removals and feeds may differ.
bool plan_same(const struct asked *a, const struct asked *b) {
    if (a->plan.n_steps != b->plan.n_steps || a->plan.cost == PLAN_NEVER ||
        b->plan.cost == PLAN_NEVER)
        return false;
    for (int i = 0; i < a->plan.n_steps; i++) {
        const struct plan_step *x = &a->plan.steps[i], *y = &b->plan.steps[i];
        const struct bw_grit *g = a->belts[a->problem->ways[x->way].belt].grit;
        if (x->pass != y->pass || x->head != y->head ||
            g != b->belts[b->problem->ways[y->way].belt].grit)
            return false;
    }
    return true;
}

static double saving(const struct asked *plan, const struct asked *other) {
    return 1 - (double)other->plan.cost / (double)plan->plan.cost;
}

bool answer_binds(struct shop *shop, const struct question *base, const struct asked *plan,
                  struct lines *out, struct bw_err *err) {
    for (int limit = 0; limit < LIMIT_COUNT; limit++) {
        if (limit == LIMIT_FINISH || limit == LIMIT_SPEED) continue;  // not a matter of degree
        struct question q = *base;
        struct asked other;
        q.loose[limit] *= 1.1;
        if (limit == LIMIT_FEED) q.slowest /= 1.1;
        if (!shop_ask(shop, &q, &other, err)) return false;
        double saves = saving(plan, &other);
        if (!(saves > 1e-3)) continue;
        const char *room = limit == LIMIT_PASSES  ? "One pass more"
                           : limit == LIMIT_SKIP  ? "One grade more between belts"
                           : limit == LIMIT_STOCK ? "A tenth less"
                                                  : "A tenth more room";
        const char *then =
            plan_same(plan, &other) ? "" : shop_say(shop, ", with %s", plan_words(shop, &other));
        lines_add(out, (struct sequence_line){.about = limit_word((enum limit)limit),
                                              .text = shop_say(shop, "%s would save %.1f %%%s",
                                                               room, 100 * saves, then),
                                              .share = bw_exactly(saves)});
    }
    // The dearest first.
    for (size_t i = 1; i < out->n; i++) {
        for (size_t k = i; k > 0 && out->items[k].share.v > out->items[k - 1].share.v; k--) {
            struct sequence_line line = out->items[k];
            out->items[k] = out->items[k - 1];
            out->items[k - 1] = line;
        }
    }
    return true;
}

bool answer_runner_up(struct shop *shop, const struct question *base, const struct asked *plan,
                      struct lines *out, struct bw_err *err) {
    struct asked best = {.plan.cost = PLAN_NEVER};
    int without = -1;
    for (int i = 0; i < plan->plan.n_steps; i++) {
        int belt = plan->problem->ways[plan->plan.steps[i].way].belt;
        struct question q = *base;
        struct asked other;
        q.without = belt;
        if (!shop_ask(shop, &q, &other, err)) return false;
        if (other.plan.cost >= best.plan.cost) continue;
        best = other;
        without = belt;
    }
    if (without < 0) {
        lines_add(out, (struct sequence_line){
                           .about = "none",
                           .share = BW_UNKNOWN,
                           .text = "leave out any one of these belts and there is no plan"});
        return true;
    }
    double dearer = (double)best.plan.cost / (double)plan->plan.cost - 1;
    lines_add(
        out, (struct sequence_line){
                 .about = plan_words(shop, &best),
                 .text = shop_say(shop, "does without %s%s", plan->belts[without].grit->name,
                                  best.plan.passes > plan->plan.passes ? ", with more passes" : ""),
                 .share = bw_exactly(dearer)});
    return true;
}

// --- doubts ------------------------------------------------------------------------------------

struct doubt {
    const char *about, *text;
    double energy, most, clear, marks, life, hour;  // factors
};

static double times(double factor) { return factor > 0 ? factor : 1; }

static bool ask_doubt(struct shop *shop, struct question q, const struct asked *plan,
                      const struct doubt *doubt, struct lines *out) {
    struct bw_err err = {0};  // memory alone can fail, and `failed` tells
    struct asked other;
    q.energy *= times(doubt->energy);
    q.most *= times(doubt->most);
    q.clear *= times(doubt->clear);
    q.marks *= times(doubt->marks);
    q.life *= times(doubt->life);
    q.hour *= times(doubt->hour);
    if (!shop_ask(shop, &q, &other, &err)) return false;
    if (plan_same(plan, &other)) return true;
    const char *then = other.plan.cost == PLAN_NEVER
                           ? "there is no plan"
                           : shop_say(shop, "it is %s", plan_words(shop, &other));
    lines_add(out, (struct sequence_line){.about = doubt->about,
                                          .text = shop_say(shop, "%s %s", doubt->text, then),
                                          .share = BW_UNKNOWN});
    return true;
}

bool answer_doubts(struct shop *shop, const struct question *base, const struct asked *plan,
                   struct lines *out, struct bw_err *err) {
    double energy = exp(shop->energy_sd);
    const struct doubt DOUBTS[] = {
        {"energy to cut", shop_say(shop, "cutting %.1f times as easily", energy),
         .energy = 1 / energy},
        {"energy to cut", shop_say(shop, "cutting %.1f times as hard", energy), .energy = energy},
        {"what grits take off", "taking a fifth less", .most = 0.8},
        {"what grits take off", "taking a quarter more", .most = 1.25},
        {"what clears a scratch", "needing a fifth less", .clear = 0.8},
        {"what clears a scratch", "needing a quarter more", .clear = 1.25},
        {"marks coming in", "a third less deep", .marks = 1 / 1.5},
        {"marks coming in", "half as deep again", .marks = 1.5},
        {"belts' lives", "a third shorter", .life = 1 / 1.5},
        {"belts' lives", "half as long again", .life = 1.5},
        {"the hour's cost", "a third cheaper", .hour = 1 / 1.5},
        {"the hour's cost", "half as dear again", .hour = 1.5},
    };
    for (size_t i = 0; i < sizeof DOUBTS / sizeof *DOUBTS; i++)
        if (!ask_doubt(shop, *base, plan, &DOUBTS[i], out)) return bw_fail_memory(err);
    return true;
}
