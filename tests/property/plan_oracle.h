// plan_oracle.h - small troubleshooting problems solved exactly, and a policy's exact cost on them.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Plain recursion over what was answered, what was tried and where one stands, each state solved
// once. It shares nothing with plan.c but the two functions that say what a step costs.
#ifndef BW_TESTS_PLAN_ORACLE_H
#define BW_TESTS_PLAN_ORACLE_H

#include "reason/plan.h"

#include <math.h>
#include <string.h>

#define ORACLE_H 6
#define ORACLE_T 5
#define ORACLE_F 4
#define ORACLE_STATES (243 * 16 * 4)

struct oracle {
    size_t h, t, f;
    double mass[ORACLE_H], yes[ORACLE_T * ORACLE_H], cure[ORACLE_F * ORACLE_H];
    struct bw_work test_work[ORACLE_T], fix_work[ORACLE_F];
    struct bw_plan_costs costs;
    bool by_plan;  // follow bw_plan_next instead of the best action
    double value[ORACLE_STATES];
    bool known[ORACLE_STATES];
};

struct oracle_state {
    int answer[ORACLE_T];  // 0 not asked, 1 yes, 2 no
    unsigned tried;
    struct bw_stand stand;
    double mass[ORACLE_H];
};

static size_t oracle_index(const struct oracle_state *s) {
    size_t code = 0;
    for (size_t t = 0; t < ORACLE_T; t++) code = code * 3 + (size_t)s->answer[t];
    return (code * 16 + s->tried) * 4 + (s->stand.on_site ? 1 : 0) + (s->stand.locked ? 2 : 0);
}

static double oracle_value(struct oracle *o, const struct oracle_state *s);

static double oracle_test(struct oracle *o, const struct oracle_state *s, size_t t) {
    struct oracle_state yes = *s, no;
    double cost = bw_work_cost(&o->test_work[t], &o->costs, &yes.stand);
    no = yes;
    yes.answer[t] = 1;
    no.answer[t] = 2;
    double p = 0;
    for (size_t c = 0; c < o->h; c++) p += s->mass[c] * o->yes[t * o->h + c];
    for (size_t c = 0; c < o->h; c++) {
        yes.mass[c] = p > 0 ? s->mass[c] * o->yes[t * o->h + c] / p : 0;
        no.mass[c] = p < 1 ? s->mass[c] * (1 - o->yes[t * o->h + c]) / (1 - p) : 0;
    }
    if (p > 1e-12) cost += p * oracle_value(o, &yes);
    if (p < 1 - 1e-12) cost += (1 - p) * oracle_value(o, &no);
    return cost;
}

// Fixes r and, unless q == f, q after it in the same lock-out.
static double oracle_fix(struct oracle *o, const struct oracle_state *s, size_t r, size_t q) {
    struct oracle_state after = *s;
    double cost = 0;
    if (q < o->f) cost += bw_work_cost(&o->fix_work[r], &o->costs, &after.stand);
    cost += bw_fix_cost(&o->fix_work[q < o->f ? q : r], &o->costs, &after.stand);
    after.tried |= 1u << r;
    if (q < o->f) after.tried |= 1u << q;
    double left = 0;
    for (size_t c = 0; c < o->h; c++) {
        after.mass[c] *= 1 - o->cure[r * o->h + c];
        if (q < o->f) after.mass[c] *= 1 - o->cure[q * o->h + c];
        left += after.mass[c];
    }
    if (!(left > 1e-12)) return cost;
    for (size_t c = 0; c < o->h; c++) after.mass[c] /= left;
    return cost + left * oracle_value(o, &after);
}

// The specialist's fee, and the cheapest cure of what it is.
static double oracle_hire(const struct oracle *o, const struct oracle_state *s) {
    double sum = 0;
    for (size_t c = 0; c < o->h; c++) {
        double cheapest = HUGE_VAL;
        for (size_t r = 0; r < o->f; r++) {
            double cure = o->cure[r * o->h + c];
            double cost = (o->fix_work[r].minutes + o->costs.prove) / cure;
            if (cure > 0 && cost < cheapest) cheapest = cost;
        }
        sum += s->mass[c] * (o->costs.specialist + (cheapest < HUGE_VAL ? cheapest : 0));
    }
    return sum;
}

static double oracle_best(struct oracle *o, const struct oracle_state *s) {
    double best = oracle_hire(o, s);
    for (size_t t = 0; t < o->t; t++) {
        if (s->answer[t] != 0) continue;
        double cost = oracle_test(o, s, t);
        if (cost < best) best = cost;
    }
    for (size_t r = 0; r < o->f; r++) {
        if ((s->tried >> r & 1) != 0) continue;
        double cost = oracle_fix(o, s, r, o->f);
        if (cost < best) best = cost;
        for (size_t q = 0; q < o->f; q++) {
            bool doors = o->fix_work[r].belts == BW_BELTS_STOPPED &&
                         o->fix_work[q].belts == BW_BELTS_STOPPED;
            if (q == r || (s->tried >> q & 1) != 0 || !doors) continue;
            cost = oracle_fix(o, s, r, q);
            if (cost < best) best = cost;
        }
    }
    return best;
}

// The cost of what bw_plan_next would do here, and after it.
static double oracle_follow(struct oracle *o, const struct oracle_state *s) {
    double yes[ORACLE_T * ORACLE_H];
    struct bw_work work[ORACLE_T];
    size_t number[ORACLE_T], n = 0;
    bool done[ORACLE_F];
    for (size_t t = 0; t < o->t; t++) {
        if (s->answer[t] != 0) continue;
        memcpy(yes + n * o->h, o->yes + t * o->h, o->h * sizeof *yes);
        work[n] = o->test_work[t];
        number[n++] = t;
    }
    for (size_t r = 0; r < o->f; r++) done[r] = (s->tried >> r & 1) != 0;
    struct bw_plan_problem p = {.hypotheses = o->h,
                                .mass = s->mass,
                                .tests = n,
                                .yes = yes,
                                .test_work = work,
                                .fixes = o->f,
                                .cure = o->cure,
                                .fix_work = o->fix_work,
                                .done = done,
                                .stand = s->stand,
                                .costs = o->costs};
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_plan plan;
    struct bw_err err = {0};
    if (arena == NULL || !bw_plan_next(&p, 1, arena, &plan, &err)) return (double)NAN;
    struct bw_choice_made c = plan.choices[0];
    bw_arena_free(arena);
    switch (c.act) {
    case BW_ACT_TEST: return oracle_test(o, s, number[c.which]);
    case BW_ACT_FIX: return oracle_fix(o, s, c.which, o->f);
    case BW_ACT_TWO_FIXES: return oracle_fix(o, s, c.which, c.second);
    case BW_ACT_SPECIALIST: break;
    }
    return oracle_hire(o, s);
}

static double oracle_value(struct oracle *o, const struct oracle_state *s) {
    size_t i = oracle_index(s);
    if (!o->known[i]) {
        o->value[i] = o->by_plan ? oracle_follow(o, s) : oracle_best(o, s);
        o->known[i] = true;
    }
    return o->value[i];
}

// Expected minutes from the phone, nothing known yet.
static double oracle_solve(struct oracle *o, bool by_plan) {
    struct oracle_state start = {.tried = 0};
    memcpy(start.mass, o->mass, o->h * sizeof *o->mass);
    memset(o->known, 0, sizeof o->known);
    o->by_plan = by_plan;
    return oracle_value(o, &start);
}

// A random problem of the trade's shape: a phone question or two, looks, measurements behind doors;
// fixes of which some the owner can do. `uniform` draws from [0, 1).
static void oracle_draw(struct oracle *o, double (*uniform)(void)) {
    o->h = 3 + (size_t)(uniform() * (ORACLE_H - 2));
    o->t = 2 + (size_t)(uniform() * (ORACLE_T - 1));
    o->f = 2 + (size_t)(uniform() * (ORACLE_F - 1));
    double sum = 0;
    for (size_t c = 0; c < o->h; c++) sum += o->mass[c] = pow(uniform(), 2) + 0.02;
    for (size_t c = 0; c < o->h; c++) o->mass[c] /= sum;
    for (size_t t = 0; t < o->t; t++) {
        for (size_t c = 0; c < o->h; c++)
            o->yes[t * o->h + c] =
                uniform() < 0.5 ? 0.03 + 0.1 * uniform() : 0.5 + 0.45 * uniform();
        double kind = uniform();
        o->test_work[t] = (struct bw_work){.minutes = kind < 0.3 ? 1 : 2 + 12 * uniform(),
                                           .on_site = kind >= 0.3,
                                           .fit_minutes = kind > 0.9 ? 6 : 0,
                                           .belts = kind < 0.3    ? BW_BELTS_EITHER
                                                    : kind < 0.65 ? BW_BELTS_STOPPED
                                                                  : BW_BELTS_RUNNING};
    }
    for (size_t r = 0; r < o->f; r++) {
        for (size_t c = 0; c < o->h; c++)
            o->cure[r * o->h + c] =
                c + 1 < o->h && (c % o->f == r || uniform() < 0.15) ? 0.5 + 0.45 * uniform() : 0;
        bool owner = uniform() < 0.3;
        o->fix_work[r] =
            (struct bw_work){.minutes = 5 + 115 * pow(uniform(), 2),
                             .on_site = !owner,
                             .again = !owner && uniform() < 0.25,
                             .belts = uniform() < 0.7 ? BW_BELTS_STOPPED : BW_BELTS_EITHER};
    }
    o->costs = (struct bw_plan_costs){.travel = 40 + 60 * uniform(),
                                      .lock_out = 8,
                                      .close_up = 4,
                                      .prove = 5,
                                      .specialist = 250 + 350 * uniform()};
}

#endif
