// plan.c - how many panels and places to read for a wanted accuracy, and the card to do it by.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/thickness/part.h"

#include <math.h>
#include <string.h>

#define MOST_PLAN_PANELS 10

struct grid {
    int columns, rows;
};
static const struct grid GRIDS[] = {{3, 3}, {3, 4}, {5, 3}, {5, 4}};

static double spread_over(int k, int n) { return n < 2 ? 0 : 2.0 * k / (n - 1) - 1; }

// The worst standard deviation of right against left, crown and ends, for one panel read with a
// gauge of sd 1; more panels make it smaller by the root of their number.
static bool worst_sd(struct work *w, struct grid grid, double *out, struct bw_err *err) {
    enum { TERMS = 5 };
    size_t n = (size_t)(grid.columns * grid.rows);
    double *x = items(w, n * TERMS, sizeof *x), *y = items(w, n, sizeof *y);
    if (w->failed) return bw_fail_memory(err);
    double reach = 1 - 2 * w->in->inset.v / panel_width(w->in);  // of the places, of the half width
    for (size_t i = 0; i < n; i++) {
        int row = (int)i / grid.columns;
        double across = reach * spread_over((int)i % grid.columns, grid.columns);
        const double terms[TERMS] = {1, across / 2, 1.0 / 3 - across * across, row == 0,
                                     row == grid.rows - 1};
        memcpy(x + i * TERMS, terms, sizeof terms);
    }
    struct bw_linear model = {x, y, n, TERMS};
    struct bw_linear_fit fit;
    if (!bw_linear_fit(w->run->arena, &model, &fit, err)) return false;
    *out = 0;
    for (size_t k = 1; k < TERMS; k++) *out = fmax(*out, bw_linear_sd(&fit, TERMS, k, 1));
    return true;
}

static void places(struct work *w, struct grid grid) {
    struct thickness_place *rows = blank_items(w, "places", (size_t)(grid.columns * grid.rows));
    if (rows == NULL) return;
    static const char *const SIDES[] = {"L", "C", "R"}, *const ENDS[] = {"F", "M", "B"};
    double length = panel_length(w->in), width = panel_width(w->in), inset = w->in->inset.v;
    size_t n = 0;
    for (int r = 0; r < grid.rows; r++) {
        for (int c = 0; c < grid.columns; c++, n++) {
            bool named = grid.columns == 3 && grid.rows == 3;
            rows[n].name =
                named ? say(w, "%s%s", SIDES[c], ENDS[r]) : say(w, "%c%d", 'A' + c, r + 1);
            rows[n].across =
                bw_exactly(width / 2 + spread_over(c, grid.columns) * (width / 2 - inset));
            rows[n].along =
                bw_exactly(length / 2 + spread_over(r, grid.rows) * (length / 2 - inset));
        }
    }
    w->out.places = (struct bw_list){rows, n};
}

// The least number of readings that is good enough, fewer places before more panels.
bool plan_report(struct work *w, struct bw_err *err) {
    double gauge = w->in->gauge.v, wanted = w->in->accuracy.v;
    struct grid best = GRIDS[0];
    double best_sd = (double)INFINITY;
    int panels = 0, least = 0;
    for (size_t g = 0; g < sizeof GRIDS / sizeof *GRIDS; g++) {
        double one;
        if (!worst_sd(w, GRIDS[g], &one, err)) return false;
        int need = (int)fmin(ceil(pow(gauge * one / wanted, 2)), MOST_PLAN_PANELS);
        if (need < 3) need = 3;  // steps from panel to panel want three at least
        int readings = need * GRIDS[g].columns * GRIDS[g].rows;
        double sd = gauge * one / sqrt(need);
        bool good = sd <= wanted * (1 + 1e-9), best_good = best_sd <= wanted * (1 + 1e-9);
        if (panels > 0 && (best_good ? !good || readings >= least : !good && sd >= best_sd))
            continue;
        best = GRIDS[g];
        best_sd = sd;
        panels = need;
        least = readings;
    }
    w->out.panels_to_measure = panels;
    w->out.columns = best.columns;
    w->out.rows = best.rows;
    w->out.planned = bw_exactly(best_sd);
    w->out.wanted = bw_exactly(wanted);
    places(w, best);
    return !w->failed || bw_fail_memory(err);
}
