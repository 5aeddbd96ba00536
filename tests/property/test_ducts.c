// test_ducts.c - balance, energy and gates on random duct systems; slopes; a fault found again.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/bind.h"
#include "base/buffer.h"
#include "study/ducts/ducts.h"
#include "study/ducts/model.h"
#include "study/ducts/record.h"
#include "support/ask.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static uint64_t seed;
static double uniform(double low, double high) {
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return low + (high - low) * (double)(seed >> 11) / 9007199254740992.0;
}

// A trunk with `n` branches, each with a gate; junctions of the flow-dependent form if `fittings`.
static struct ducts_file *random_file(struct bw_arena *arena, int n, bool fittings) {
    struct bw_buffer doc = {0};
    bw_buffer_text(&doc, "lines:\n");
    for (int i = 0; i < n; i++) {
        double d = uniform(80, 200);
        bw_buffer_format(&doc,
                         "  - {name: b%d, to: p%d, diameter: %.1f mm, parts: [{hood: {loss: "
                         "%.2f}}, {flex: %.2f m}, {straight: %.2f m}, {gate: 100 %%}]}\n",
                         i, i, d, uniform(0.05, 2), uniform(0.1, 4), uniform(0.2, 15));
        bw_buffer_format(&doc,
                         "  - {name: t%d, from: p%d, to: p%d, diameter: %.1f mm, parts: "
                         "[{straight: %.2f m}]}\n",
                         i, i, i + 1, 150 + 40 * sqrt(i + 1.0), uniform(0.3, 12));
    }
    bw_buffer_format(&doc,
                     "  - {name: out, from: p%d, diameter: 400 mm, parts: [{filter: %.0f Pa at 1 "
                     "m³/s}, {fan: {most flow: %.2f m³/s, most pressure: %.0f Pa}}, {exit: 1}]}\n",
                     n, uniform(50, 900), uniform(0.5, 5), uniform(800, 5000));
    if (fittings && n > 1) bw_buffer_text(&doc, "junctions:\n");
    for (int i = 1; fittings && i < n; i++)
        bw_buffer_format(&doc, "  - {at: p%d, main: t%d, branch: b%d, angle: %.0f deg}\n", i,
                         i - 1, i, uniform(20, 60));
    struct bw_err err = {.code = BW_OK};
    struct bw_node *root;
    struct ducts_file *file = bw_arena_get(arena, sizeof *file);
    char *text = bw_arena_text(arena, doc.data, doc.length);
    bw_buffer_free(&doc);
    struct bw_binding binding = {.arena = arena};
    bool bound = bw_document_read(arena, "random", text, strlen(text), &root, &err) &&
                 bw_bind(&binding, root, &ducts_file_record, file, &err);
    if (!bound) fail_msg("%s %s\n%s", err.field, err.what, text);
    return file;
}

static void solve(struct ducts_model *m) {
    struct bw_err err = {.code = BW_OK};
    if (!ducts_solve(m, &err)) fail_msg("seed %llu: %s", (unsigned long long)seed, err.what);
    assert_true(m->evidence.imbalance < 1e-9 && m->evidence.mismatch < 1e-9);
}

// What flows in flows out; and fans put in what all else loses (the open air has no pressure).
static void balances(const struct ducts_model *m) {
    double largest = 0, energy = 0, turned = 0;
    for (int i = 0; i < m->n_runs; i++) {
        double other = m->runs[i].wye < 0 ? 0 : m->flow[m->wyes[m->runs[i].wye].out];
        double power = m->flow[i] * ducts_line_loss(m, i, m->flow[i], other).loss;
        largest = fmax(largest, fabs(m->flow[i]));
        energy += power;
        turned += fabs(power);
    }
    for (int node = 2; node < m->n_nodes; node++) {
        double sum = 0;
        for (int i = 0; i < m->n_runs; i++)
            sum += (m->runs[i].to == node ? m->flow[i] : 0) -
                   (m->runs[i].from == node ? m->flow[i] : 0);
        assert_true(fabs(sum) < 1e-9 * largest);
    }
    assert_true(fabs(energy) < 1e-9 * turned);
}

static void mass_and_energy_balance(void **state) {
    (void)state;
    for (int k = 0; k < 60; k++) {
        seed = 88172645463325252u + (uint64_t)k * 2654435761u;
        struct bw_arena *arena = bw_arena_new(0);
        struct ducts_model m;
        struct bw_err err = {.code = BW_OK};
        int n = 1 + k % 30;
        assert_true(ducts_model_open(arena, random_file(arena, n, k % 2 == 0), false, &m, &err));
        solve(&m);
        balances(&m);
        for (int g = 0; g < m.n_gates; g++)
            if (uniform(0, 1) < 0.4) ducts_gate_set(&m, m.gates[g], uniform(0, 1) < 0.5 ? 0 : 0.5);
        solve(&m);
        balances(&m);
        ducts_model_close(&m);
        bw_arena_free(arena);
    }
}

// With losses that rise with their own flow alone (no flow-dependent fittings) and one fan whose
// pressure falls with flow, shutting one gate cannot take air from another branch.
static void shutting_a_gate_takes_nothing_from_others(void **state) {
    (void)state;
    for (int k = 0; k < 25; k++) {
        seed = 362436069u + (uint64_t)k * 40503u;
        struct bw_arena *arena = bw_arena_new(0);
        struct ducts_model m;
        struct bw_err err = {.code = BW_OK};
        int n = 2 + k % 9;
        double before[12];
        assert_true(ducts_model_open(arena, random_file(arena, n, false), false, &m, &err));
        solve(&m);
        for (int g = 0; g < n; g++) before[g] = m.flow[m.gates[g]];
        int shut = k % n;
        ducts_gate_set(&m, m.gates[shut], 0);
        solve(&m);
        for (int g = 0; g < n; g++)
            if (g != shut) assert_true(m.flow[m.gates[g]] >= before[g] * (1 - 1e-9));
        assert_true(m.flow[m.gates[shut]] < before[shut]);
        ducts_model_close(&m);
        bw_arena_free(arena);
    }
}

static void slopes_of_a_fitting_are_exact(void **state) {
    (void)state;
    seed = 521288629u;
    for (int k = 0; k < 400; k++) {
        struct ducts_wye w = {.area_ratio = uniform(0.1, 1), .angle = uniform(0.3, 1.4),
                              .pressure = uniform(10, 5000)};
        bool branch = k % 2 == 0;
        double own = uniform(-0.5, 1.5), common = uniform(-0.5, 1.5), h = 1e-6;
        // At a kink both slopes are right; finite differences straddle it.
        double x = (branch ? own : common - own) / common;
        if (fabs(own) < 1e-3 || fabs(common) < 1e-3 || fabs(own - common) < 1e-3) continue;
        if (fabs(x - 7.0 / 18) < 1e-2) continue;
        struct bw_network_loss at = ducts_wye_loss(&w, branch, own, common);
        double by_own = (ducts_wye_loss(&w, branch, own + h, common).loss -
                         ducts_wye_loss(&w, branch, own - h, common).loss) / (2 * h);
        double by_common = (ducts_wye_loss(&w, branch, own, common + h).loss -
                            ducts_wye_loss(&w, branch, own, common - h).loss) / (2 * h);
        double scale = w.pressure * (1 + 1 / (w.area_ratio * w.area_ratio));
        assert_true(fabs(at.by_own - by_own) < 1e-5 * scale);
        assert_true(fabs(at.by_other - by_common) < 1e-5 * scale);
    }
}

// Plugs one branch of the example eightfold, takes the flows that follow for measured, and asks.
static void a_plugged_branch_is_found(void **state) {
    (void)state;
    static const char *const PORTS[] = {"head 1 left", "head 1 right", "head 2", "head 3"};
    for (int plugged = 0; plugged < 4; plugged++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_binding binding = {.arena = arena};
        struct bw_file file;
        struct ducts_model m;
        struct bw_err err = {.code = BW_OK};
        assert_true(bw_load_file(NULL, &ducts_file_kind, "examples/ducts-plant.yaml", &file,
                                 &binding, &err));
        assert_true(ducts_model_open(arena, file.content, false, &m, &err));
        m.runs[ducts_run_find(&m, PORTS[plugged])].scale = 8;
        solve(&m);
        char *json = bw_arena_format(arena, "{\"network\": \"examples/ducts-plant.yaml\", "
                                            "\"draws\": 0, \"settings\": \"no\", \"measured\": [");
        for (int i = 0; i < 4; i++)
            json = bw_arena_format(arena, "%s%s\"%.6f m³/s at %s\"", json, i > 0 ? ", " : "",
                                   m.flow[ducts_run_find(&m, PORTS[i])], PORTS[i]);
        ducts_model_close(&m);
        json = bw_arena_format(arena, "%s]}", json);
        const struct ducts_output *out = must_ask(arena, &bw_study_ducts, json);
        const struct ducts_suspect_row *first = out->suspects.items;
        assert_true(out->suspects.n > 0);
        assert_string_equal(first->line, PORTS[plugged]);
        assert_true(fabs(first->factor.v - 8) < 0.1);
        bw_arena_free(arena);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mass_and_energy_balance),
        cmocka_unit_test(shutting_a_gate_takes_nothing_from_others),
        cmocka_unit_test(slopes_of_a_fitting_are_exact),
        cmocka_unit_test(a_plugged_branch_is_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
