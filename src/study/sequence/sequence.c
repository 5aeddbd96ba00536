// sequence.c - the study `sequence`: from machine, stock, finish and shelf to three plans.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/sequence/sequence.h"

#include "study/sequence/answer.h"
#include "study/sequence/meter.h"

#include <math.h>
#include <string.h>

#define MOST_PLANS 5

struct work {
    struct shop shop;
    struct sequence_output out;
    double cheapest;  // money a m2
    int passes;       // of the cheapest plan
};

// --- one plan as an answer -----------------------------------------------------------------------

static void load_of(const struct shop *shop, const struct point *at, double takes,
                    struct sequence_step *step) {
    const struct shop_head *head = at->head;
    step->load_sharp = step->load_dull = step->amps_low = step->amps_high = BW_UNKNOWN;
    step->meter = "no motor power in the machine file";
    if (isnan(head->power)) return;
    double spread = exp(shop->energy_sd);
    double sharp = shop_power(shop, at, takes) / shop_motor(head, step->speed.v);
    double low = sharp / spread, high = sharp * shop->in->dull.v * spread;
    step->load_sharp = bw_exactly(sharp);
    step->load_dull = bw_exactly(sharp * shop->in->dull.v);
    // The band is the meter's: from an easy sharp belt to a hard dull one.
    if (!isnan(head->idle) && !isnan(head->full)) {
        step->amps_low = bw_exactly(meter_amps(head->idle, head->full, low));
        step->amps_high = bw_exactly(meter_amps(head->idle, head->full, fmin(high, 1.2)));
    }
    step->meter = high < METER_LEAST  ? "under 30 % load the meter cannot decide"
                  : low < METER_LEAST ? "below 30 % load the meter cannot decide; above it counts"
                                      : "the meter decides";
}

static bool add_steps(struct shop *shop, const struct asked *asked, struct sequence_plan *plan) {
    size_t n = (size_t)asked->plan.n_steps;
    struct sequence_step *steps = bw_arena_array(shop->arena, n + 1, sizeof *steps);
    if (steps == NULL) return false;
    double reserve = 1, before = BW_NAN;
    struct question plain = question_plain();
    for (size_t i = 0; i < n; i++) {
        const struct plan_step *step = &asked->plan.steps[i];
        const struct plan_way *way = &asked->problem->ways[step->way];
        const struct shop_head *head = &shop->heads[way->head];
        struct point at = {head, &head->parts[way->tag], &asked->belts[way->belt],
                           shop->feeds[asked->plan.feed[step->pass]]};
        struct use_limits limits = shop_limits(shop, &plain, &at);
        double takes = step->removal * PLAN_STEP_M;
        reserve = fmin(reserve, 1 - takes / limits.most);
        steps[i] = (struct sequence_step){.pass = step->pass + 1,
                                          .head = head->name,
                                          .grit = at.belt->grit->name,
                                          .part = at.part->name,
                                          .feed = bw_exactly(at.feed),
                                          .speed = bw_exactly(limits.speed),
                                          .takes = bw_exactly(takes),
                                          .most = bw_exactly(limits.most),
                                          .clears = bw_exactly(before)};
        steps[i].heat = bw_exactly(shop->in->dull.v * shop_heat(shop, &at, takes));
        load_of(shop, &at, takes, &steps[i]);
        before = at.belt->clear;
    }
    plan->steps = (struct bw_list){steps, n};
    plan->reserve = bw_exactly(reserve);
    return true;
}

// The heads that stay lifted throughout, or NULL.
static const char *lifted(struct shop *shop, const struct asked *asked) {
    const char *all = NULL;
    for (int h = 0; h < shop->n_heads; h++) {
        bool used = false;
        for (int i = 0; i < asked->plan.n_steps; i++) used |= asked->plan.steps[i].head == h;
        if (used) continue;
        const char *name = shop->heads[h].name;
        all = all == NULL ? name : shop_say(shop, "%s, %s", all, name);
    }
    return all;
}

static bool describe(struct work *w, const char *name, const struct asked *asked,
                     struct sequence_plan *out) {
    struct shop *shop = &w->shop;
    struct sequence_plan plan = {
        .name = name, .words = plan_words(shop, asked), .passes = asked->plan.passes};
    plan.lifted = lifted(shop, asked);
    double money = shop_money(shop, asked);
    double removed = asked->plan.removed * PLAN_STEP_M;
    plan.cost = shop->money ? bw_exactly(money) : BW_UNKNOWN;
    plan.relative = bw_exactly(money / w->cheapest);
    plan.output = bw_exactly(3600 / shop_time(shop, asked));
    plan.removed = bw_exactly(removed);
    plan.through = plan.through_edge = BW_UNKNOWN;
    if (bw_known(shop->in->veneer)) {
        plan.through = bw_exactly(shop_through(shop, removed));
        if (shop->in->edge.v > 0)
            plan.through_edge = bw_exactly(shop_through(shop, removed + shop->in->edge.v));
    }
    const struct plan_step *last = &asked->plan.steps[asked->plan.n_steps - 1];
    const struct shelf_belt *belt = &asked->belts[asked->problem->ways[last->way].belt];
    plan.ra = bw_exactly(shop_ra(shop, belt));
    if (!add_steps(shop, asked, &plan)) return false;
    *out = plan;
    return true;
}

// --- the goals -----------------------------------------------------------------------------------

// The most reserve that can be had in no more passes than the cheapest plan, in twentieths.
static bool ask_safest(struct work *w, struct question *q, struct asked *out, struct bw_err *err) {
    for (int i = 10; i <= 20; i++) {
        *q = question_plain();
        q->slowest = w->shop.in->least_feed.v;
        q->passes = w->passes;
        q->loose[LIMIT_MOST] = q->loose[LIMIT_CONTACT] = q->loose[LIMIT_POWER] =
            q->loose[LIMIT_HEAT] = i / 20.0;
        if (!shop_ask(&w->shop, q, out, err)) return false;
        if (out->plan.cost != PLAN_NEVER) return true;
    }
    return true;
}

static bool ask_goal(struct work *w, int goal, struct question *q, struct asked *out,
                     struct bw_err *err) {
    if (goal == GOAL_SAFEST) return ask_safest(w, q, out, err);
    *q = question_plain();
    q->slowest = w->shop.in->least_feed.v;
    if (goal == GOAL_FASTEST) {
        q->weight_time = 1;
        q->weight_money = 1e-2;
    }
    if (goal == GOAL_FEWEST) q->weight_pass = 1e3;
    if (goal == GOAL_WEIGHTED) {
        // Each against its own best, so that weights compare shares.
        struct question fast;
        struct asked fastest;
        if (!ask_goal(w, GOAL_FASTEST, &fast, &fastest, err)) return false;
        const struct sequence_input *in = w->shop.in;
        if (fastest.plan.cost != PLAN_NEVER) {
            q->weight_money = in->weight_cost.v / w->cheapest;
            q->weight_time = in->weight_time.v / shop_time(&w->shop, &fastest);
            q->weight_pass = in->weight_passes.v;
        }
    }
    return shop_ask(&w->shop, q, out, err);
}

struct named {
    const char *name;
    int goal;
    struct asked asked;
};

// The goal's plan first, then the other two of the three on the front; equal ones share a line.
static bool add_plans(struct work *w, struct named *all, size_t n, struct bw_err *err) {
    struct sequence_plan *plans = bw_arena_array(w->shop.arena, n, sizeof *plans);
    if (plans == NULL) return bw_fail_memory(err);
    size_t kept = 0;
    for (size_t i = 0; i < n; i++) {
        const char *name = all[i].name;
        if (name == NULL) continue;
        for (size_t k = i + 1; k < n; k++) {
            bool same =
                all[k].name != NULL && plan_same(&all[i].asked, &all[k].asked) &&
                memcmp(all[i].asked.plan.feed, all[k].asked.plan.feed,
                       sizeof all[i].asked.plan.feed) == 0 &&
                shop_money(&w->shop, &all[k].asked) <= shop_money(&w->shop, &all[i].asked) * 1.02;
            if (!same) continue;
            name = shop_say(&w->shop, "%s, %s", name, all[k].name);
            all[k].name = NULL;
        }
        if (!describe(w, name, &all[i].asked, &plans[kept++])) return bw_fail_memory(err);
    }
    w->out.plans = (struct bw_list){plans, kept};
    return true;
}

static bool ask_all(struct work *w, struct named *all, size_t *n, struct question *base,
                    struct bw_err *err) {
    static const char *const NAMES[] = {"cheapest", "fastest", "safest", "fewest passes",
                                        "weighted"};
    int goal = w->shop.in->goal;
    const int goals[] = {goal, GOAL_CHEAPEST, GOAL_FASTEST, GOAL_SAFEST};
    *n = 0;
    for (size_t i = 0; i < 4; i++) {
        if (i > 0 && goals[i] == goal) continue;
        struct question q;
        struct named *at = &all[*n];
        *at = (struct named){.name = NAMES[goals[i]], .goal = goals[i]};
        if (!ask_goal(w, goals[i], &q, &at->asked, err)) return false;
        if (i == 0) *base = q;
        ++*n;
    }
    return true;
}

// How much finer removals than the planner's steps could save at most.
static bool find_bound(struct work *w, const struct question *base, const struct asked *plan,
                       struct bw_err *err) {
    struct question q = *base;
    struct asked other;
    q.between = true;
    if (!shop_ask(&w->shop, &q, &other, err)) return false;
    w->out.bound = bw_exactly(fmax(0, 1 - (double)other.plan.cost / (double)plan->plan.cost));
    return true;
}

// --- the front -----------------------------------------------------------------------------------

static bool beaten(const struct sequence_point *points, size_t n,
                   const struct sequence_point *point) {
    for (size_t i = 0; i < n; i++)
        if (points[i].passes <= point->passes && points[i].feed.v >= point->feed.v * (1 - 1e-9) &&
            points[i].cost.v <= point->cost.v * (1 + 1e-9))
            return true;
    return false;
}

// For each number of passes and each slowest feed, from the fastest down, the cheapest plan.
static bool add_front(struct work *w, struct bw_err *err) {
    struct shop *shop = &w->shop;
    size_t room = (size_t)(shop->passes * shop->n_feeds), n = 0;
    struct sequence_point *points = bw_arena_array(shop->arena, room, sizeof *points);
    if (points == NULL) return bw_fail_memory(err);
    for (int passes = 1; passes <= shop->passes; passes++) {
        for (int f = shop->n_feeds - 1; f >= 0; f--) {
            struct question q = question_plain();
            struct asked asked;
            q.passes = passes;
            q.slowest = fmax(shop->feeds[f], shop->in->least_feed.v);
            if (!shop_ask(shop, &q, &asked, err)) return false;
            if (asked.plan.cost == PLAN_NEVER) continue;
            double slowest = (double)INFINITY;
            for (int p = 0; p < asked.plan.passes; p++)
                slowest = fmin(slowest, shop->feeds[asked.plan.feed[p]]);
            struct sequence_point point = {.passes = asked.plan.passes,
                                           .feed = bw_exactly(slowest),
                                           .cost =
                                               bw_exactly(shop_money(shop, &asked) / w->cheapest),
                                           .output = bw_exactly(3600 / shop_time(shop, &asked)),
                                           .words = plan_words(shop, &asked)};
            if (!beaten(points, n, &point)) points[n++] = point;
        }
    }
    w->out.front = (struct bw_list){points, n};
    return true;
}

// --- cautions ------------------------------------------------------------------------------------

static void caution(struct work *w, struct lines *lines, const char *about, const char *text) {
    (void)w;
    lines_add(lines, (struct sequence_line){.about = about, .text = text, .share = BW_UNKNOWN});
}

static bool add_cautions(struct work *w) {
    struct lines lines;
    const struct sequence_input *in = w->shop.in;
    const struct bw_wood *wood = w->shop.wood;
    if (!lines_new(&w->shop, &lines, 10)) return false;
    if (in->orientation == END_GRAIN)
        caution(w, &lines, "end grain",
                "end grain burns and tears at its edges: glue run-off rails round the block, sand "
                "them away after, keep the feed moving, and read the amps before trusting these "
                "figures");
    if (wood->burns >= 2 || in->orientation == END_GRAIN)
        caution(w, &lines, "burning",
                shop_say(&w->shop,
                         "%s scorches readily: at the first brown streak lighten the "
                         "finest belt, clean it or change it; never let the feed stop "
                         "under a running belt. After burn marks or sparks stop, and "
                         "watch collector and ducts for smouldering for at least an hour",
                         wood->name));
    if (wood->loads >= 2)
        caution(w, &lines, "loading",
                shop_say(&w->shop,
                         "%s loads belts: open coat, full extraction, clean the belt "
                         "before it glazes",
                         wood->name));
    if (wood->structure == BW_COATING)
        caution(w, &lines, "lacquer dust",
                "lacquer dust and wood dust are not mixed in one collector, and sealer must be "
                "cured hard before it is sanded");
    if (bw_known(in->veneer))
        caution(w, &lines, "sanding through",
                "run one panel of the thinnest lot first and look at its edges and corners: the "
                "chance told here is only as good as the tolerances given");
    if (w->shop.marks + w->shop.spread > 1.5e-3)
        caution(
            w, &lines, "much stock",
            "so much is a planer's work where there is one. Thin boards out of flat are pressed "
            "flat by the hold-downs and spring back: sanding does not straighten them");
    if (wood->structure == BW_PANEL && w->shop.marks + w->shop.spread > 0.3e-3)
        caution(w, &lines, "skin", "more than 0.3 mm goes through the dense skin of many boards");
    caution(w, &lines, "hands",
            "lock out power and air before hands go to a belt, wait until drums stand still, and "
            "nobody stands in line with the infeed. Wood dust harms lungs and burns: run with the "
            "extraction on");
    w->out.cautions = (struct bw_list){lines.items, lines.n};
    return true;
}

// --- all of it -----------------------------------------------------------------------------------

static const char *best_words(struct work *w, const struct sequence_plan *plan) {
    return shop_say(&w->shop, "%s in %ld pass%s.", plan->words, plan->passes,
                    plan->passes == 1 ? "" : "es");
}

static void set_answer(struct work *w, bool found) {
    if (!found)
        w->out.answer = "There is no plan that keeps all limits.";
    else
        w->out.answer = best_words(w, w->out.plans.items);
}

static bool explain(struct work *w, const struct question *base, const struct asked *plan,
                    struct bw_err *err) {
    struct lines binds, runner, doubts;
    struct shop *shop = &w->shop;
    if (!lines_new(shop, &binds, LIMIT_COUNT) || !lines_new(shop, &runner, 2) ||
        !lines_new(shop, &doubts, 16))
        return bw_fail_memory(err);
    if (!answer_binds(shop, base, plan, &binds, err) ||
        !answer_runner_up(shop, base, plan, &runner, err) ||
        !answer_doubts(shop, base, plan, &doubts, err) || !find_bound(w, base, plan, err))
        return false;
    w->out.binds = (struct bw_list){binds.items, binds.n};
    w->out.runner_up = (struct bw_list){runner.items, runner.n};
    w->out.doubts = (struct bw_list){doubts.items, doubts.n};
    return shop->in->front != 1 || add_front(w, err);
}

static bool judge(struct work *w, struct bw_err *err) {
    struct lines judged, measured;
    size_t room = 4 * w->shop.in->setup.n + 2;
    if (!lines_new(&w->shop, &judged, room) || !lines_new(&w->shop, &measured, room))
        return bw_fail_memory(err);
    if (!answer_judged(&w->shop, &judged, &measured, err)) return false;
    w->out.judged = (struct bw_list){judged.items, judged.n};
    w->out.measured = (struct bw_list){measured.items, measured.n};
    return true;
}

static bool run(struct bw_run *run_, const void *in, void *out, struct bw_err *err) {
    struct work w = {.cheapest = 1};
    struct question base;
    struct asked cheapest;
    w.out.bound = BW_UNKNOWN;
    if (!shop_open(run_->arena, in, &w.shop, err)) return false;
    w.out.machine = w.shop.machine->name;
    w.out.money = w.shop.money ? 1 : 0;
    if (!judge(&w, err) || !ask_goal(&w, GOAL_CHEAPEST, &base, &cheapest, err)) return false;
    bool found = cheapest.plan.cost != PLAN_NEVER;
    if (found) {
        struct named all[MOST_PLANS];
        size_t n;
        w.cheapest = shop_money(&w.shop, &cheapest);
        w.passes = cheapest.plan.passes;
        if (!ask_all(&w, all, &n, &base, err) || !explain(&w, &base, &all[0].asked, err) ||
            !add_plans(&w, all, n, err))
            return false;
    } else {
        struct lines clashes;
        if (!lines_new(&w.shop, &clashes, LIMIT_COUNT + 2)) return bw_fail_memory(err);
        if (!answer_clashes(&w.shop, &base, &clashes, err)) return false;
        w.out.clashes = (struct bw_list){clashes.items, clashes.n};
    }
    set_answer(&w, found);
    if (!add_cautions(&w) || w.shop.failed) return bw_fail_memory(err);
    w.out.assumed = (struct bw_list){w.shop.assumed, w.shop.n_assumed};
    *(struct sequence_output *)out = w.out;
    return true;
}

const struct bw_study bw_study_sequence = {
    .name = "sequence",
    .summary = "which grit on which head, how much it takes, at what feed, in how many passes",
    .about =
        "The cheapest, the fastest and the safest plan for this machine, stock, finish and shelf, "
        "each proven: no other choice of belts, heads, feeds and passes that keeps all limits is "
        "better. With it what binds and what that costs, the runner-up, which uncertain numbers "
        "would change it, and the amps to expect, so that it can be checked at the machine.\n\n"
        "A set-up given belt by belt is judged. Amps read with it calibrate the energy this wood "
        "really takes, which the tables only guess. Where no plan keeps all limits the smallest "
        "set that clashes is named, with what would free it.\n\n"
        "Limits on stock and scratch are one practitioner's rule of thumb, energies and last "
        "grits are from memory: see the tables removal, cutting, finishes, contacts.",
    .example = "beltwright sequence examples/three-head.yaml --wood \"hard maple\" "
               "--width \"600 mm\" --passes 1 --setup \"P120 on 1 takes 0.4 mm\" --setup \"P180 on "
               "3 takes 0.1 mm\"",
    .in = &sequence_input_record,
    .out = &sequence_output_record,
    .shape = 1,
    .heavy = true,
    .run = run,
    .text = sequence_text,
    .findings = sequence_findings,
};
