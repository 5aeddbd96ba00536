// test_reason_belief.c - published two-level values, both leak conventions, failures.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "reason/belief.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>

#include <cmocka.h>

static struct bw_arena *arena;

static int setup(void **unused) {
    (void)unused;
    arena = bw_arena_new(0);
    return arena == NULL;
}
static int teardown(void **unused) {
    (void)unused;
    bw_arena_free(arena);
    return 0;
}

static void near(double got, double want, double within) {
    if (!(fabs(got - want) <= within)) fail_msg("got %.12g, want %.12g", got, want);
}

static const double alike5[5] = {0.1, 0.1, 0.1, 0.1, 0.1};

// A general belief-network library's own tests of its noisy-OR, net form: leak 0.0001, weights .1
// .3 .5 .7 .9; P(no) printed to five digits. Read in its test source.
static void test_net_leak(void **unused) {
    (void)unused;
    const double quiet[1] = {1 - 0.0001}, miss[5] = {0.9, 0.7, 0.5, 0.3, 0.1};
    struct bw_net net = {5, 1, alike5, 1, quiet, miss};
    const unsigned short one[] = {4}, two[] = {4, 3}, three[] = {4, 3, 2};
    near(1 - bw_net_yes(&net, 0, one, 1), 0.09999, 1e-9);
    near(1 - bw_net_yes(&net, 0, two, 2), 0.029997, 1e-9);
    near(1 - bw_net_yes(&net, 0, three, 3), 0.0149985, 1e-9);
}

// The same library's compound form, where a weight holds the leak already: 0.1, 0.030003,
// 0.015003. The net form gives these only after taking the leak out of each weight; taken as they
// are, it must not.
static void test_compound_leak(void **unused) {
    (void)unused;
    const double leak = 0.0001, weight[3] = {0.9, 0.7, 0.5};
    const double quiet[1] = {1 - leak};
    double as_is[3], taken_out[3];
    for (int i = 0; i < 3; i++) {
        as_is[i] = 1 - weight[i];
        taken_out[i] = (1 - weight[i]) / (1 - leak);
    }
    const unsigned short set[] = {0, 1, 2};
    struct bw_net right = {3, 1, alike5, 1, quiet, taken_out};
    near(1 - bw_net_yes(&right, 0, set, 1), 0.1, 1e-9);
    near(1 - bw_net_yes(&right, 0, set, 2), 0.030003, 5e-7);
    near(1 - bw_net_yes(&right, 0, set, 3), 0.015003, 5e-7);
    struct bw_net wrong = {3, 1, alike5, 1, quiet, as_is};
    assert_true(fabs(1 - bw_net_yes(&wrong, 0, set, 1) - 0.1) > 5e-6);
}

// Fever from cold, flu, malaria with P(no) .6 .2 .1, no leak: the textbook table of all eight sets
// (read in the same library's tests; the table itself is well known).
static void test_fever(void **unused) {
    (void)unused;
    const double quiet[1] = {1}, miss[3] = {0.6, 0.2, 0.1};
    struct bw_net net = {3, 1, alike5, 1, quiet, miss};
    const struct {
        unsigned short set[3];
        size_t n;
        double yes;
    } rows[] = {{{0}, 0, 0},   {{2}, 1, 0.9},     {{1}, 1, 0.8},     {{2, 1}, 2, 0.98},
                {{0}, 1, 0.4}, {{0, 2}, 2, 0.94}, {{0, 1}, 2, 0.88}, {{0, 1, 2}, 3, 0.988}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        near(bw_net_yes(&net, 0, rows[i].set, rows[i].n), rows[i].yes, 1e-12);
}

static struct bw_belief find(const struct bw_net *net, const struct bw_answer *said, size_t n) {
    struct bw_belief b;
    struct bw_err err = {0};
    assert_true(bw_belief_find(&(struct bw_evidence){net, said, n}, 16, arena, &b, &err));
    return b;
}

// Priors .1 .05 .2, leaks .01 .02, links (.8 .3 .1) and (.2 .9 .4), both findings there: P =
// 0.046416999, posteriors 0.548171 0.369822 0.430235. Computed apart by expansion and by
// enumeration.
static void test_two_findings(void **unused) {
    (void)unused;
    const double odds[3] = {0.1 / 0.9, 0.05 / 0.95, 0.2 / 0.8}, quiet[2] = {0.99, 0.98};
    const double miss[6] = {0.2, 0.7, 0.9, 0.8, 0.1, 0.6};
    struct bw_net net = {3, 2, odds, 1, quiet, miss};
    const struct bw_answer both[] = {{0, 1, 0}, {1, 1, 0}};
    struct bw_belief b = find(&net, both, 2);
    near(exp(b.log_evidence), 0.046416999, 1e-9);
    near(b.cause[0], 0.548171, 5e-7);
    near(b.cause[1], 0.369822, 5e-7);
    near(b.cause[2], 0.430235, 5e-7);
    near(b.left_out, 0, 1e-9);
}

// The part of a general library's inference tests that is two-level: P(snow) .4; traffic slow .6
// / .35; risk .8 / .4. Slow traffic: .533333. Virtual evidence on traffic (normal .3, slow .7):
// .45. And on risk (yes .7, no .3): .52443609. Read in its test source.
static void test_virtual_evidence(void **unused) {
    (void)unused;
    const double odds[1] = {0.4 / 0.6}, quiet[2] = {0.65, 0.6};
    const double miss[2] = {0.4 / 0.65, 0.2 / 0.6};
    struct bw_net net = {1, 2, odds, 1, quiet, miss};
    const struct bw_answer slow[] = {{0, 1, 0}};
    near(find(&net, slow, 1).cause[0], 0.533333, 5e-7);
    const struct bw_answer soft[] = {{0, 0.7, 0.3}, {1, 0.7, 0.3}};
    near(find(&net, soft, 1).cause[0], 0.45, 1e-12);
    near(find(&net, soft, 2).cause[0], 0.52443609, 5e-9);
}

// The two-level part of the well-known chest clinic network (Lauritzen & Spiegelhalter 1988; its
// tables as they are passed round with several libraries): tuberculosis .0104 and cancer .055, each
// enough for the check "either"; an X-ray shows .98 of those and .05 of the rest, which is a soft
// answer to that check. P(either) .064828 and P(X-ray shows) .11029 by full enumeration of all
// eight variables, done apart from this program; the posteriors follow by Bayes.
static void test_chest_clinic(void **unused) {
    (void)unused;
    const double odds[2] = {0.0104 / 0.9896, 0.055 / 0.945}, quiet[1] = {1}, miss[2] = {0, 0};
    struct bw_net net = {2, 1, odds, 1, quiet, miss};
    const struct bw_answer either[] = {{0, 1, 0}}, shows[] = {{0, 0.98, 0.05}};
    near(exp(find(&net, either, 1).log_evidence), 0.064828, 1e-9);
    struct bw_belief b = find(&net, shows, 1);
    near(exp(b.log_evidence), 0.11029, 5e-7);
    near(b.cause[0], 0.0104 * 0.98 / 0.11029004, 1e-7);
    near(b.cause[1], 0.055 * 0.98 / 0.11029004, 1e-7);
}

// Answers that fit together have conflict below 0, answers that do not above.
static void test_conflict(void **unused) {
    (void)unused;
    const double odds[2] = {0.1, 0.1}, quiet[2] = {0.99, 0.99};
    const double miss[4] = {0.05, 1, 0.05, 1};
    struct bw_net net = {2, 2, odds, 1, quiet, miss};
    const struct bw_answer agree[] = {{0, 0.95, 0.05}, {1, 0.95, 0.05}};
    const struct bw_answer clash[] = {{0, 0.95, 0.05}, {1, 0.05, 0.95}};
    assert_true(find(&net, agree, 2).conflict < -0.5);
    assert_true(find(&net, clash, 2).conflict > 0.5);
    near(find(&net, agree, 1).conflict, 0, 1e-12);
}

static void test_impossible(void **unused) {
    (void)unused;
    const double odds[1] = {0.1}, quiet[1] = {1}, miss[1] = {0};
    struct bw_net net = {1, 1, odds, 0, quiet, miss};
    const struct bw_answer never[] = {{0, 0, 1}};
    struct bw_belief b = {.causes = 77};
    struct bw_err err = {0};
    assert_false(bw_belief_find(&(struct bw_evidence){&net, never, 1}, 4, arena, &b, &err));
    assert_int_equal(err.code, BW_FAILED);
    assert_int_equal(b.causes, 77);
}

static void test_memory(void **unused) {
    (void)unused;
    const double quiet[1] = {0.99}, miss[5] = {0.9, 0.7, 0.5, 0.3, 0.1};
    struct bw_net net = {5, 1, alike5, 1, quiet, miss};
    const struct bw_answer yes[] = {{0, 1, 0}};
    unsigned long n = 1;
    for (bool done = false; !done; n++) {
        struct bw_arena *own = bw_arena_new(0);
        struct bw_belief b = {.causes = 77};
        struct bw_err err = {0};
        bw_alloc_fail_at(n);
        done = bw_belief_find(&(struct bw_evidence){&net, yes, 1}, 60000, own, &b, &err);
        bw_alloc_fail_at(0);
        if (!done) assert_int_equal(err.code, BW_MEMORY);
        if (!done) assert_int_equal(b.causes, 77);
        bw_arena_free(own);
    }
    assert_true(n > 2);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_net_leak),
        cmocka_unit_test(test_compound_leak),
        cmocka_unit_test(test_fever),
        cmocka_unit_test(test_two_findings),
        cmocka_unit_test(test_virtual_evidence),
        cmocka_unit_test(test_chest_clinic),
        cmocka_unit_test(test_conflict),
        cmocka_unit_test(test_impossible),
        cmocka_unit_test(test_memory),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
