// test_plan.c - the next step on small random problems, against the policy found by exhaustion.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "plan_oracle.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#define PROBLEMS 150

static uint64_t state;

static double uniform(void) {
    state += 0x9e3779b97f4a7c15u;
    uint64_t z = state;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return (double)((z ^ (z >> 31)) >> 11) * 0x1p-53;
}

// On average within 5 % of the best policy there is, and never worse than repairing by trial alone
// by more than a tenth. The truth comes from the oracle, which shares with the planner only the two
// functions that say what a step costs.
static void within_five_percent_of_the_best(void **unused) {
    (void)unused;
    state = 5;
    struct oracle *o = calloc(1, sizeof *o);
    assert_non_null(o);
    double best = 0, ours = 0, worst = 0;
    for (int i = 0; i < PROBLEMS; i++) {
        oracle_draw(o, uniform);
        double optimum = oracle_solve(o, false), policy = oracle_solve(o, true);
        assert_true(optimum > 0 && policy >= optimum * (1 - 1e-9));
        best += optimum;
        ours += policy;
        worst = fmax(worst, policy / optimum);
    }
    free(o);
    print_message("expected cost %.2f %% above the optimum, worst problem %.1f %%\n",
                  100 * (ours / best - 1), 100 * (worst - 1));
    assert_true(ours <= 1.05 * best);
}

// The classical order by chance over cost, where it is known to be best: one fault, perfect
// independent repairs, fixed costs, no questions. p .4 .3 .2 .1, costs 5 15 1 8: order 3 1 2 4,
// expected cost 11.8 (all 24 orders enumerated elsewhere).
static void chance_over_cost_where_it_is_best(void **unused) {
    (void)unused;
    const double p[5] = {0.4, 0.3, 0.2, 0.1, 0}, minutes[4] = {5, 15, 1, 8};
    const size_t order[4] = {2, 0, 1, 3};
    double cure[4 * 5] = {0}, mass[5], left = 1, cost = 0;
    struct bw_work work[4];
    bool done[4] = {false};
    for (size_t r = 0; r < 4; r++) {
        cure[r * 5 + r] = 1;
        work[r] = (struct bw_work){.minutes = minutes[r]};
    }
    memcpy(mass, p, sizeof mass);
    for (size_t step = 0; step < 4; step++) {
        struct bw_plan_problem problem = {.hypotheses = 5,
                                          .mass = mass,
                                          .fixes = 4,
                                          .cure = cure,
                                          .fix_work = work,
                                          .done = done,
                                          .costs = {.specialist = 1000}};
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_plan plan;
        struct bw_err err = {0};
        assert_true(bw_plan_next(&problem, 1, arena, &plan, &err));
        assert_int_equal(plan.choices[0].act, BW_ACT_FIX);
        assert_int_equal(plan.choices[0].which, order[step]);
        if (step == 0) assert_true(fabs(plan.mend_now - 11.8) < 1e-9);
        bw_arena_free(arena);
        size_t r = order[step];
        cost += left * minutes[r];
        left -= p[r];
        done[r] = true;
        mass[r] = 0;
        double sum = 0;
        for (size_t c = 0; c < 5; c++) sum += mass[c];
        for (size_t c = 0; c < 5 && sum > 0; c++) mass[c] /= sum;
    }
    assert_true(fabs(cost - 11.8) < 1e-9);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(within_five_percent_of_the_best),
        cmocka_unit_test(chance_over_cost_where_it_is_best),
    };
    return cmocka_run_group_tests_name("plan", tests, NULL, NULL);
}
