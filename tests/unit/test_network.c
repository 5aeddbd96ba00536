// test_network.c - two published looped networks, a tree, and networks that cannot be solved.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/network.h"

#include "base/alloc.h"
#include "numeric/friction.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

static struct bw_network_loss square(const void *with, int edge, double own, double other) {
    (void)other;
    double k = ((const double *)with)[edge], root = sqrt(own * own + 1e-18);
    return (struct bw_network_loss){.loss = k * own * root,
                                    .by_own = k * (root + own * own / root)};
}

static void solve(const struct bw_network *network, double *flow, double *pressure) {
    struct bw_network_solver *solver;
    struct bw_network_evidence evidence;
    struct bw_err err = {.code = BW_OK};
    assert_true(bw_network_new(network, &solver, &err));
    if (!bw_network_solve(solver, flow, pressure, &evidence, &err)) fail_msg("%s", err.what);
    assert_true(evidence.converged && evidence.imbalance < 1e-9 && evidence.mismatch < 1e-9);
    bw_network_free(solver);
}

// Ten pipes, three loops: a public vignette on Hardy Cross. Its printed flows stop after three
// passes at 1 % of the mean flow and are not converged (pipe 6: .0090, exact .0088); compared here
// with the exact solution, and with the printed one within its own stopping rule.
static void ten_pipes_in_three_loops(void **state) {
    (void)state;
    static const double K[] = {159.7828,  535.9666, 669.9582,  669.9582,  535.9666,
                               2430.5356, 207.7883, 2430.5356, 2430.5356, 207.7883};
    // Loops by the vignette's list: 1 2 3 4 5; 4 6 7 8; 3 9 10 6, the shared pipes the other way.
    static const struct bw_network_edge EDGES[] = {{0, 1, -1}, {1, 2, -1}, {2, 3, -1}, {3, 4, -1},
                                                   {4, 0, -1}, {3, 5, -1}, {5, 6, -1}, {6, 4, -1},
                                                   {2, 7, -1}, {7, 5, -1}};
    static const double EXACT[] = {.038228, .038228, .023153,  -.025647, -.041772,
                                   .008800, .003875, -.016125, .015075,  -.004925};
    static const double PRINTED[] = {.0383, .0383, .0232,  -.0258, -.0417,
                                     .0090, .0041, -.0159, .0151,  -.0049};
    // What each point draws follows from any flows that balance: the vignette's starting ones.
    static const double START[] = {.040, .040, .02, -.02, -.04, 0, 0, -.02, .02, 0};
    double drawn[8] = {0}, fixed[8], flow[10], pressure[8] = {0};
    for (int e = 0; e < 10; e++) {
        drawn[EDGES[e].from] -= START[e];
        drawn[EDGES[e].to] += START[e];
        flow[e] = 0.01;
    }
    for (int i = 0; i < 8; i++) fixed[i] = i == 0 ? 0 : (double)NAN;
    struct bw_network network = {8, 10, EDGES, fixed, drawn, square, K};
    solve(&network, flow, pressure);
    for (int e = 0; e < 10; e++) {
        if (fabs(flow[e] - EXACT[e]) > 2e-6) print_message("pipe %d: %g\n", e + 1, flow[e]);
        assert_true(fabs(flow[e] - EXACT[e]) < 2e-6);
        assert_true(fabs(flow[e] - PRINTED[e]) < 0.00035);
    }
}

// Two loops: K = 200, 2500, 500, 800, 300, 0.5 m3/s from C to B (the same source's code).
static void five_pipes_in_two_loops(void **state) {
    (void)state;
    static const double K[] = {200, 2500, 500, 800, 300};
    // Loop 1: pipes 1, 2, 3; loop 2: 2 against its sense, 4, 5. Points A, B, C, D.
    static const struct bw_network_edge EDGES[] = {
        {0, 1, -1}, {1, 2, -1}, {2, 0, -1}, {1, 3, -1}, {3, 2, -1}};
    static const double START[] = {.3, .1, -.2, .2, -.3};
    static const double EXACT[] = {.274669, .064182, -.225331, .210487, -.289513};
    double drawn[4] = {0}, fixed[4] = {0, (double)NAN, (double)NAN, (double)NAN};
    double flow[5] = {.1, .1, .1, .1, .1}, pressure[4] = {0};
    for (int e = 0; e < 5; e++) {
        drawn[EDGES[e].from] -= START[e];
        drawn[EDGES[e].to] += START[e];
    }
    struct bw_network network = {4, 5, EDGES, fixed, drawn, square, K};
    solve(&network, flow, pressure);
    for (int e = 0; e < 5; e++) assert_true(fabs(flow[e] - EXACT[e]) < 1e-6);
    double loop1 = 0, loop2 = 0;
    for (int e = 0; e < 3; e++) loop1 += K[e] * flow[e] * fabs(flow[e]);
    loop2 = -K[1] * flow[1] * fabs(flow[1]) + K[3] * flow[3] * fabs(flow[3]) +
            K[4] * flow[4] * fabs(flow[4]);
    assert_true(fabs(loop1) < 1e-9 && fabs(loop2) < 1e-9);
}

// A loop of water pipes with Colebrook friction, solved by another simulator (its test case "mixed
// net"): nodes 0-5, pressures in bar, within 1e-3 for it takes another density along the pipes.
struct pipe {
    double length, diameter;
};
static const struct pipe PIPES[] = {{1000, .09}, {500, .075}, {3500, .1},
                                    {5000, .08}, {8400, .2},  {1000, .08}};
static struct bw_network_loss water(const void *with, int edge, double own, double other) {
    (void)with;
    (void)other;
    const double rho = 998.2061, mu = .001001605;
    const struct pipe *p = &PIPES[edge];
    double area = M_PI / 4 * p->diameter * p->diameter, size = fmax(fabs(own), 1e-15);
    struct bw_friction f = bw_friction(rho * size / area * p->diameter / mu, 1e-5 / p->diameter);
    double c = p->length / p->diameter * rho / (2 * area * area);
    return (struct bw_network_loss){.loss = c * f.factor * size * own,
                                    .by_own = c * f.factor * size * (2 + f.slope)};
}

static void a_loop_of_water_pipes(void **state) {
    (void)state;
    static const struct bw_network_edge EDGES[] = {{1, 5, -1}, {1, 4, -1}, {4, 5, -1},
                                                   {0, 3, -1}, {3, 2, -1}, {3, 1, -1}};
    static const double BAR[] = {5, 3.551125, 3.617619, 3.619605, 3.233948, 4.219934};
    static const double SPEED[] = {-.778736, .667930, -.517061, .438399, .015942, .199280};
    const double rho = 998.2061;
    double drawn[] = {0, 3 / rho, .5 / rho, .7 / rho, 7 / rho, -9 / rho};
    double fixed[] = {5e5, (double)NAN, (double)NAN, (double)NAN, (double)NAN, (double)NAN};
    double flow[6] = {.001, .001, .001, .001, .001, .001}, pressure[6] = {0};
    struct bw_network network = {6, 6, EDGES, fixed, drawn, water, NULL};
    solve(&network, flow, pressure);
    for (int i = 0; i < 6; i++) {
        double area = M_PI / 4 * PIPES[i].diameter * PIPES[i].diameter;
        assert_true(fabs(pressure[i] / 1e5 / BAR[i] - 1) < 1e-3);
        assert_true(fabs(flow[i] / area / SPEED[i] - 1) < 1e-3);
    }
}

static void nothing_fixed_is_refused(void **state) {
    (void)state;
    static const double K[] = {1, 1};
    static const struct bw_network_edge EDGES[] = {{0, 1, -1}, {1, 0, -1}};
    double fixed[] = {(double)NAN, (double)NAN};
    struct bw_network network = {2, 2, EDGES, fixed, NULL, square, K};
    struct bw_network_solver *solver = NULL;
    struct bw_err err = {.code = BW_OK};
    assert_false(bw_network_new(&network, &solver, &err));
    assert_int_equal(err.code, BW_INPUT);
    assert_null(solver);
}

static void an_island_is_refused(void **state) {
    (void)state;
    static const double K[] = {1, 1, 1};
    static const struct bw_network_edge EDGES[] = {{0, 1, -1}, {2, 3, -1}, {3, 2, -1}};
    double fixed[] = {0, 1, (double)NAN, (double)NAN};
    double flow[3] = {1, 1, 1}, pressure[4] = {0};
    struct bw_network network = {4, 3, EDGES, fixed, NULL, square, K};
    struct bw_network_solver *solver;
    struct bw_network_evidence evidence;
    struct bw_err err = {.code = BW_OK};
    assert_true(bw_network_new(&network, &solver, &err));
    assert_false(bw_network_solve(solver, flow, pressure, &evidence, &err));
    assert_int_equal(err.code, BW_FAILED);
    bw_network_free(solver);
}

static bool whole(void *with) {
    static const double K[] = {2, 3, 5};
    static const struct bw_network_edge EDGES[] = {{0, 1, -1}, {1, 2, -1}, {0, 2, -1}};
    double fixed[] = {100, (double)NAN, 0}, flow[3] = {1, 1, 1}, pressure[3] = {0};
    struct bw_network network = {3, 3, EDGES, fixed, NULL, square, K};
    struct bw_network_solver *solver;
    struct bw_network_evidence evidence;
    struct bw_err err = {.code = BW_OK};
    (void)with;
    if (!bw_network_new(&network, &solver, &err)) return false;
    bool done = bw_network_solve(solver, flow, pressure, &evidence, &err);
    bw_network_free(solver);
    if (done) assert_true(fabs(flow[0] - sqrt(20.0)) < 1e-9);
    if (!done) assert_int_equal(err.code, BW_MEMORY);
    return done;
}

static void memory_may_run_out_anywhere(void **state) {
    (void)state;
    assert_true(torture(whole, NULL) > 5);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ten_pipes_in_three_loops), cmocka_unit_test(five_pipes_in_two_loops),
        cmocka_unit_test(a_loop_of_water_pipes),    cmocka_unit_test(nothing_fixed_is_refused),
        cmocka_unit_test(an_island_is_refused),     cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
