// view.c - the study `wear` as people read it, as a plot, and as findings.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/wear/record.h"
#include "study/wear/wear.h"

#include <math.h>

static const struct wear_life *life_at(const struct wear_output *out, size_t i) {
    return (const struct wear_life *)out->lives.items + i;
}

// Three figures in the unit shown.
static const char *area(struct bw_text *text, struct bw_quantity q) {
    double shown = bw_dim_from_si(BW_DIM_AREA, text->units, q.v);
    if (!(shown > 0)) return "open";
    double step = pow(10, floor(log10(shown)) - 2);
    q = bw_exactly(bw_dim_to_si(BW_DIM_AREA, text->units, round(shown / step) * step));
    return bw_text_quantity(text, q, BW_DIM_AREA);
}

static void shape_line(const struct wear_life *life, struct bw_text *text) {
    bw_text_item(text, "- ", "Weibull shape %.2f (%.2f to %s): %s.", life->weibull_shape.v,
                 life->weibull_low.v,
                 bw_known(life->weibull_high)
                     ? bw_arena_format(text->arena, "%.2f", life->weibull_high.v)
                     : "open",
                 life->pattern);
    if (life->chance.v < 0.05)
        bw_text_item(text, "- ",
                     "The record does not follow the %s law (%.0f simulated records in 100 lie so "
                     "far off): are two kinds of belt or of stock mixed in it?",
                     life->family, 100 * life->chance.v);
    else
        bw_text_item(text, "- ", "Taken as %s%s; the record agrees with it.", life->family,
                     life->other_family.v < 2 ? " (the other law fits as well)" : "");
}

static void money_lines(const struct wear_life *life, struct bw_text *text) {
    double square = bw_dim_to_si(BW_DIM_AREA, text->units, 1);
    const char *unit = bw_text_unit(text, BW_DIM_AREA);
    if (bw_known(life->cost))
        bw_text_item(text, "- ", "Run to its end it costs %.3g a %s.", life->cost.v * square, unit);
    if (bw_known(life->best_age))
        bw_text_item(text, "- ", "Changed at %s it costs %.0f %% less.", area(text, life->best_age),
                     100 * life->saves.v);
    else if (bw_known(life->cost))
        bw_text_item(text, "- ", "A planned change does not pay: run it to its end.");
    if (life->stock != BW_NO_COUNT)
        bw_text_item(text, "- ", "Hold %ld of them: nineteen orders in twenty then come in time.",
                     life->stock);
}

static void life_section(const struct wear_life *life, struct bw_text *text) {
    bw_text_gap(text);
    bw_text_heading(text, "%s: %ld belts, %ld worn out, %ld running or off for another reason",
                    life->kind, life->belts, life->ended, life->running);
    if (!bw_known(life->mean)) return;
    bw_text_item(text, "- ",
                 "Half of them reach %s (95 %%: %s to %s); one in ten ends before %s; "
                 "mean %s.",
                 area(text, life->typical), area(text, life->typical_low),
                 area(text, life->typical_high), area(text, life->early), area(text, life->mean));
    shape_line(life, text);
    money_lines(life, text);
}

static void pair_line(const struct wear_pair *pair, struct bw_text *text) {
    const char *high =
        bw_known(pair->high) ? bw_arena_format(text->arena, "%.2f", pair->high.v) : "open";
    bw_text_item(text, "- ", "%s against %s: %.2f times the life (95 %%: %.2f to %s); %s.",
                 pair->second, pair->first, pair->ratio.v, pair->low.v, high == NULL ? "" : high,
                 pair->verdict);
    if (pair->more != BW_NO_COUNT)
        bw_text_item(text, "  ",
                     "A ratio like that would be decided by about %ld worn out belts "
                     "of each kind.",
                     pair->more);
}

void wear_text(const void *out_, struct bw_text *text) {
    const struct wear_output *out = out_;
    for (size_t i = 0; i < out->lives.n; i++) life_section(life_at(out, i), text);
    if (out->pairs.n > 0) {
        bw_text_gap(text);
        bw_text_heading(text, "Compared");
        for (size_t i = 0; i < out->pairs.n; i++)
            pair_line((const struct wear_pair *)out->pairs.items + i, text);
    }
    if (out->remarks.n == 0) return;
    bw_text_gap(text);
    for (size_t i = 0; i < out->remarks.n; i++)
        bw_text_item(text, "- ", "%s.", ((const struct wear_remark *)out->remarks.items + i)->text);
}

static void record_steps(const struct wear_life *life, size_t i, struct bw_plots *plots,
                         struct bw_plot *plot) {
    size_t n = life->ages.n;
    double *x = bw_arena_array(plots->arena, 2 * n + 2, sizeof *x);
    double *y = bw_arena_array(plots->arena, 2 * n + 2, sizeof *y);
    if (x == NULL || y == NULL) {
        plots->failed = true;
        return;
    }
    size_t m = 0;
    double share = 1;
    x[m] = 0;
    y[m++] = 1;
    for (size_t k = 0; k < n; k++) {
        double age = ((const struct wear_number *)life->ages.items + k)->v.v;
        x[m] = age;
        y[m++] = share;
        share = ((const struct wear_number *)life->survived.items + k)->v.v;
        x[m] = age;
        y[m++] = share;
    }
    struct bw_series series = {.kind = BW_MARK_LINE,
                               .name = life->kind,
                               .style = i == 0   ? "main"
                                        : i == 1 ? "second"
                                                 : "muted",
                               .x = x,
                               .y = y,
                               .n = m};
    bw_plot_series(plots, plot, series);
}

void wear_plots(const void *out_, struct bw_plots *plots) {
    const struct wear_output *out = out_;
    struct bw_plot *plot = bw_plot_new(plots, "belts-still-cutting", "Belts still cutting");
    plot->alternative =
        "For each kind of belt, the share still cutting after a given area, from the "
        "record; belts still running are counted as having lasted at least so long.";
    plot->x_title = "area sanded";
    plot->y_title = "share still cutting";
    plot->x_dim = BW_DIM_AREA;
    plot->y_dim = BW_DIM_RATIO;
    plot->y_min = 0;
    plot->y_max = 1;
    for (size_t i = 0; i < out->lives.n; i++) record_steps(life_at(out, i), i, plots, plot);
}

void wear_findings(const void *out_, struct bw_findings *findings) {
    const struct wear_output *out = out_;
    for (size_t i = 0; i < out->lives.n; i++) {
        const struct wear_life *life = life_at(out, i);
        if (!bw_known(life->mean)) continue;
        bw_findings_add(findings, (struct bw_finding){"belt-life", life->kind, life->typical.v,
                                                      (double)NAN, BW_DIM_AREA, NULL});
    }
}
