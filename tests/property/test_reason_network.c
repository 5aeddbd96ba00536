// test_reason_network.c - random networks: the posterior against plain enumeration of every set.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/belief.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>

#include <cmocka.h>

#define MOST_CAUSES 11
#define MOST_CHECKS 18

static uint64_t state;

static double uniform(void) {
    state += 0x9e3779b97f4a7c15u;
    uint64_t z = state;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return (double)((z ^ (z >> 31)) >> 11) * 0x1p-53;
}

struct sample {
    double odds[MOST_CAUSES], quiet[MOST_CHECKS], miss[MOST_CHECKS * MOST_CAUSES];
    struct bw_answer answer[MOST_CHECKS];
    struct bw_net net;
    size_t answers;
};

static void draw(struct sample *s) {
    size_t n = 1 + (size_t)(uniform() * MOST_CAUSES), m = 1 + (size_t)(uniform() * MOST_CHECKS);
    for (size_t c = 0; c < n; c++)
        s->odds[c] = uniform() < 0.05 ? 0.0 : pow(10.0, -3.0 + 3.0 * uniform());
    for (size_t f = 0; f < m; f++) {
        s->quiet[f] = 1.0 - (uniform() < 0.1 ? 0.0 : 0.4 * uniform());
        for (size_t c = 0; c < n; c++)
            s->miss[f * n + c] = uniform() < 0.5 ? 1.0 : uniform() < 0.05 ? 0.0 : uniform();
    }
    s->answers = (size_t)(uniform() * (double)(m + 1));
    for (size_t f = 0; f < s->answers; f++) {
        bool yes = uniform() < 0.5, sure = uniform() < 0.3;
        double wrong = sure ? 0.0 : 0.3 * uniform();
        s->answer[f] = (struct bw_answer){.check = (size_t)(uniform() * (double)m),
                                          .if_yes = yes ? 1.0 - wrong : wrong,
                                          .if_no = yes ? wrong : 1.0 - wrong};
        if (uniform() < 0.1) s->answer[f].if_yes = 20.0 * uniform(), s->answer[f].if_no = 1.0;
    }
    s->net = (struct bw_net){n, m, s->odds, uniform() < 0.5 ? 1.0 : uniform(), s->quiet, s->miss};
}

struct truth {
    long double cause[MOST_CAUSES], share[MOST_CAUSES], nothing, three, more;
    long double best;
};

static long double weigh(const struct sample *s, unsigned set) {
    long double weight = set == 0 ? (long double)s->net.nothing : 1.0L;
    size_t n = s->net.causes;
    for (size_t c = 0; c < n; c++)
        if ((set >> c & 1) != 0) weight *= (long double)s->odds[c];
    for (size_t f = 0; f < s->answers; f++) {
        const struct bw_answer *said = &s->answer[f];
        long double no = (long double)s->quiet[said->check];
        for (size_t c = 0; c < n; c++)
            if ((set >> c & 1) != 0) no *= (long double)s->miss[said->check * n + c];
        weight *= (long double)said->if_yes * (1.0L - no) + (long double)said->if_no * no;
    }
    return weight;
}

static struct truth enumerate(const struct sample *s) {
    struct truth t = {0};
    size_t n = s->net.causes;
    for (unsigned set = 0; set < 1u << n; set++) {
        unsigned size = 0;
        for (size_t c = 0; c < n; c++) size += set >> c & 1;
        long double weight = weigh(s, set);
        if (size > 3) {
            t.more += weight;
            continue;
        }
        t.three += weight;
        if (size == 0) t.nothing = weight;
        if (weight > t.best) t.best = weight;
        for (size_t c = 0; c < n; c++) {
            if ((set >> c & 1) == 0) continue;
            t.cause[c] += weight;
            t.share[c] += weight / size;
        }
    }
    return t;
}

static void assert_near(double got, long double want) {
    long double gap = fabsl((long double)got - want);
    if (gap > 1e-12L * (fabsl(want) > 1e-300L ? fabsl(want) : 1.0L) && gap > 1e-15L)
        fail_msg("got %.17g, want %.17Lg", got, want);
}

static void compare(const struct sample *s, struct bw_arena *arena) {
    struct truth t = enumerate(s);
    struct bw_belief b;
    struct bw_err err = {0};
    const struct bw_evidence said = {&s->net, s->answer, s->answers};
    bool ok = bw_belief_find(&said, 8, arena, &b, &err);
    if (!(t.three > 0)) {
        assert_false(ok);
        assert_int_equal(err.code, BW_FAILED);
        return;
    }
    assert_true(ok);
    double sum = b.nothing;
    for (size_t c = 0; c < s->net.causes; c++) {
        assert_near(b.cause[c], t.cause[c] / t.three);
        assert_near(b.share[c], t.share[c] / t.three);
        sum += b.share[c];
    }
    assert_near(b.nothing, t.nothing / t.three);
    assert_near(sum, 1.0L);
    assert_true(b.n_sets >= 1);
    assert_near(b.sets[0].probability, t.best / t.three);
    for (size_t i = 1; i < b.n_sets; i++)
        assert_true(b.sets[i].probability <= b.sets[i - 1].probability);
    // The evidence: the answers' weight over the prior's, sets of up to three above, all sets
    // below.
    long double all = (long double)s->net.nothing - 1.0L, product = 1.0L;
    for (size_t c = 0; c < s->net.causes; c++) product *= 1.0L + (long double)s->odds[c];
    assert_true(fabsl((long double)b.log_evidence - logl(t.three / (all + product))) < 1e-9L);
    // The bound holds, and is the truth itself while all answers are expanded.
    long double left = t.more / (t.more + t.three);
    assert_true((long double)b.left_out >= left * (1.0L - 1e-12L));
    if (s->answers <= 10 && (long double)b.left_out > left * 1.001L + 1e-6L)
        fail_msg("bound %.9g is far above %.9Lg", b.left_out, left);
}

static void test_against_enumeration(void **unused) {
    (void)unused;
    state = 20240229;
    for (int i = 0; i < 400; i++) {
        struct sample s;
        draw(&s);
        struct bw_arena *arena = bw_arena_new(0);
        assert_non_null(arena);
        compare(&s, arena);
        bw_arena_free(arena);
    }
}

// An answer that fits yes and no alike changes nothing; the order of answers changes nothing.
static void test_indifferent_and_order(void **unused) {
    (void)unused;
    state = 7;
    for (int i = 0; i < 100; i++) {
        struct sample s;
        draw(&s);
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_belief plain, more;
        struct bw_err err = {0};
        struct bw_answer again[MOST_CHECKS + 1];
        again[0] = (struct bw_answer){.check = s.net.checks - 1, .if_yes = 0.4, .if_no = 0.4};
        for (size_t f = 0; f < s.answers; f++) again[s.answers - f] = s.answer[f];
        const struct bw_evidence once = {&s.net, s.answer, s.answers};
        const struct bw_evidence twice = {&s.net, again, s.answers + 1};
        bool ok = bw_belief_find(&once, 0, arena, &plain, &err);
        bw_err_clear(&err);
        assert_int_equal(bw_belief_find(&twice, 0, arena, &more, &err), ok);
        for (size_t c = 0; ok && c < s.net.causes; c++)
            assert_true(fabs(plain.cause[c] - more.cause[c]) < 1e-12);
        bw_arena_free(arena);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_enumeration),
        cmocka_unit_test(test_indifferent_and_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
