// test_sequence_plan.c - the planner against trying everything, on random small problems.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/sequence/plan.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define PROBLEMS 500

static uint64_t seed = 20260;
static int pick(int low, int high) {
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return low + (int)(seed % (uint64_t)(high - low + 1));
}

// --- the plain oracle: every feed, every use, every removal --------------------------------------

struct oracle {
    const struct plan_problem *p;
    int fitted[12];  // belt on each head, -1: none yet
    int64_t best;
};
struct state {
    int pass, feed, head, belt, removed, used;
    bool ends;  // the last use may be the last
    int64_t cost;
};

static void try_head(struct oracle *o, struct state at);

static void try_pass(struct oracle *o, struct state at) {
    const struct plan_problem *p = o->p;
    bool enough = p->exact ? at.removed == p->need : at.removed >= p->need;
    bool over = !p->exact && p->cap >= 0 && at.removed > p->cap;
    bool done = at.belt >= 0 && at.ends && p->last[at.belt] && enough && !over;
    if (done && at.cost < o->best) o->best = at.cost;
    if (at.pass == p->passes) return;
    int64_t before = at.cost;
    at.head = at.used = 0;
    for (at.feed = 0; at.feed < p->feeds; at.feed++) {
        at.cost = before + p->feed_cost[at.feed];
        try_head(o, at);
    }
}

static int64_t plain_cost(const struct plan_way *way, int removal) {
    int64_t cost = way->fixed;
    for (int k = 1; k <= removal; k++)
        cost += k > way->knee ? way->steep : k > way->floor ? way->slope : 0;
    return cost;
}

static void try_way(struct oracle *o, const struct plan_way *way, struct state at) {
    const struct plan_problem *p = o->p;
    int least = at.belt < 0 ? p->first[way->belt] : p->step[at.belt][way->belt];
    if (way->belt < at.belt || least < 0) return;
    int before = o->fitted[way->head];
    o->fitted[way->head] = way->belt;
    for (int r = least < 1 ? 1 : least; r <= way->most[at.feed]; r++) {
        struct state next = at;
        next.head++;
        next.used++;
        next.belt = way->belt;
        next.ends = way->ends;
        next.removed += r;
        next.cost += plain_cost(way, r) + (before != way->belt ? p->mount : 0);
        try_head(o, next);
    }
    o->fitted[way->head] = before;
}

static void try_head(struct oracle *o, struct state at) {
    if (at.head == o->p->heads) {
        at.pass++;
        if (at.used > 0) try_pass(o, at);
        return;
    }
    for (size_t i = 0; i < o->p->n_ways; i++)
        if (o->p->ways[i].head == at.head) try_way(o, &o->p->ways[i], at);
    at.head++;
    try_head(o, at);
}

// --- random problems ---------------------------------------------------------------------------

struct drawn {
    struct plan_problem p;
    struct plan_way ways[24];
};

static void draw(struct drawn *d) {
    struct plan_problem *p = &d->p;
    memset(d, 0, sizeof *d);
    p->heads = pick(1, 3);
    p->passes = pick(1, p->heads == 1 ? 3 : p->heads == 2 ? 2 : 1);
    p->belts = pick(1, 4);
    p->feeds = pick(1, 2);
    p->need = pick(0, 8);
    p->exact = pick(0, 2) == 0;
    p->cap = pick(0, 1) == 0 ? -1 : p->need + pick(-1, 3);
    p->mount = pick(0, 30);
    for (int f = 0; f < p->feeds; f++) p->feed_cost[f] = pick(1, 60);
    for (int a = 0; a < p->belts; a++) {
        p->first[a] = pick(-1, 2);
        p->last[a] = a >= p->belts / 2;
        for (int b = 0; b < p->belts; b++) p->step[a][b] = b == a ? 1 : pick(-1, 4);
    }
    for (int h = 0; h < p->heads; h++) {
        for (int b = 0; b < p->belts; b++) {
            if (pick(0, 3) == 0) continue;
            struct plan_way *way = &d->ways[p->n_ways++];
            *way = (struct plan_way){.head = h, .belt = b, .fixed = pick(0, 20)};
            way->ends = pick(0, 3) > 0;
            way->slope = pick(0, 5);
            way->steep = way->slope + pick(0, 5);
            way->floor = pick(0, 2);
            way->knee = way->floor + pick(0, 2);
            for (int f = 0; f < p->feeds; f++) way->most[f] = pick(0, 5);
        }
    }
    p->ways = d->ways;
}

// Keeps every limit, and costs what it says?
static void check_answer(const struct plan_problem *p, const struct plan_answer *answer) {
    int belt = -1, removed = 0, fitted[12], last_pass = -1, last_head = -1;
    bool ends = false;
    int64_t cost = 0;
    memset(fitted, -1, sizeof fitted);
    for (int pass = 0; pass < answer->passes; pass++) cost += p->feed_cost[answer->feed[pass]];
    for (int i = 0; i < answer->n_steps; i++) {
        const struct plan_step *step = &answer->steps[i];
        const struct plan_way *way = &p->ways[step->way];
        assert_true(step->pass > last_pass || (step->pass == last_pass && step->head > last_head));
        assert_int_equal(way->head, step->head);
        assert_true(way->belt >= belt);
        int least = belt < 0 ? p->first[way->belt] : p->step[belt][way->belt];
        assert_true(least >= 0 && step->removal >= least && step->removal >= 1);
        assert_true(step->removal <= way->most[answer->feed[step->pass]]);
        cost += plan_use_cost(way, step->removal);
        if (fitted[step->head] != way->belt) cost += p->mount;
        fitted[step->head] = belt = way->belt;
        removed += step->removal;
        ends = way->ends;
        last_pass = step->pass;
        last_head = step->head;
    }
    assert_true(p->last[belt] && ends);
    assert_true(p->exact ? removed == p->need : removed >= p->need);
    if (!p->exact && p->cap >= 0) assert_true(removed <= p->cap);
    assert_int_equal(removed, answer->removed);
    assert_true(cost == answer->cost);
}

static void the_planner_equals_trying_everything(void **state) {
    (void)state;
    int feasible = 0, several = 0;
    for (int i = 0; i < PROBLEMS; i++) {
        static struct drawn d;
        draw(&d);
        struct oracle oracle = {.p = &d.p, .best = PLAN_NEVER};
        memset(oracle.fitted, -1, sizeof oracle.fitted);
        try_pass(&oracle, (struct state){.belt = -1});
        struct bw_err err = {0};
        struct bw_arena *arena = bw_arena_new(0);
        struct plan_answer answer;
        assert_true(plan_solve(arena, &d.p, &answer, &err));
        if (answer.cost != oracle.best)
            fail_msg("problem %d: planner %lld, everything %lld", i, (long long)answer.cost,
                     (long long)oracle.best);
        if (answer.cost != PLAN_NEVER) {
            check_answer(&d.p, &answer);
            feasible++;
            several += answer.passes > 1;
        }
        bw_arena_free(arena);
    }
    // The draw is worth something: many problems of either kind, some plans of several passes.
    assert_true(feasible > PROBLEMS / 5 && feasible < PROBLEMS * 9 / 10 && several > 20);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(the_planner_equals_trying_everything)};
    return cmocka_run_group_tests_name("sequence plan", tests, NULL, NULL);
}
