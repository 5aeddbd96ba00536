// view.c - the study `trace` as people read it, as plots, and as findings.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/trace/record.h"

#include <math.h>
#include <string.h>

static const char *depth(struct bw_text *text, struct bw_quantity q) {
    return bw_text_quantity(text, q, BW_DIM_DEPTH);
}
static const char *length(struct bw_text *text, struct bw_quantity q) {
    return bw_text_quantity(text, q, BW_DIM_LENGTH);
}

// --- typed readings ----------------------------------------------------------------------------

static void group_line(const struct trace_group *group, struct bw_text *text) {
    bw_text_cell(text, "%s", group->grit == NULL ? "" : group->grit);
    bw_text_cell(text, "%s", group->stock == NULL ? "" : group->stock);
    bw_text_cell(text, "%s", group->direction == 1 ? "along" : "");
    bw_text_cell(text, "%s", bw_known(group->cut_off) ? length(text, group->cut_off) : "");
    bw_text_cell(text, "%ld", group->readings);
    bw_text_cell(text, "%s", bw_known(group->ra) ? depth(text, group->ra) : "");
    bw_text_cell(text, "%s", bw_known(group->rz) ? depth(text, group->rz) : "");
    bw_text_cell(text, "%s", bw_known(group->expected) ? depth(text, group->expected) : "");
}

static void groups(const struct trace_output *out, struct bw_text *text) {
    static const char *const TITLES[] = {"grit",   "on", "",   "cut-off",
                                         "places", "Ra", "Rz", "usually"};
    if (out->groups.n == 0) return;
    bw_text_gap(text);
    bw_text_table(text, "llllrlll", TITLES);
    const struct trace_group *items = out->groups.items;
    for (size_t i = 0; i < out->groups.n; i++) group_line(&items[i], text);
    bw_text_table_end(text);
    for (size_t i = 0; i < out->groups.n; i++) {
        if (items[i].compared == NULL || (i == 0 && out->parameters.n == 0)) continue;
        bw_text_item(text, "- ", "%s: %s.", items[i].grit, items[i].compared);
    }
}

// --- a trace -----------------------------------------------------------------------------------

struct row {
    const char *name, *means;
    size_t offset;  // in trace_parameters
    enum bw_dim dim;
};
#define ROW(member, title, dimension, words)                                                       \
    { title, words, offsetof(struct trace_parameters, member), dimension }
static const struct row ROWS[] = {
    ROW(ra, "Ra", BW_DIM_DEPTH, "mean height"),
    ROW(rq, "Rq", BW_DIM_DEPTH, "root mean square"),
    ROW(rz, "Rz", BW_DIM_DEPTH, "peak to valley, mean of sections"),
    ROW(rt, "Rt", BW_DIM_DEPTH, "peak to valley, all of it"),
    ROW(rp, "Rp", BW_DIM_DEPTH, "highest peak"),
    ROW(rv, "Rv", BW_DIM_DEPTH, "lowest valley"),
    ROW(rsk, "Rsk", BW_DIM_NUMBER, "skew: below 0 valleys, above peaks"),
    ROW(rku, "Rku", BW_DIM_NUMBER, "3 is even, more is spiky"),
    ROW(rsm, "RSm", BW_DIM_LENGTH, "width of a hill and its dale"),
    ROW(rdq, "Rdq", BW_DIM_NUMBER, "slope"),
    ROW(rk, "Rk", BW_DIM_DEPTH, "core"),
    ROW(rpk, "Rpk", BW_DIM_DEPTH, "peaks above it"),
    ROW(rvk, "Rvk", BW_DIM_DEPTH, "valleys below it"),
    ROW(mr1, "Mr1", BW_DIM_RATIO, "material above the core"),
    ROW(mr2, "Mr2", BW_DIM_RATIO, "material above the valleys"),
    ROW(wa, "Wa", BW_DIM_DEPTH, "waviness, mean height"),
    ROW(wq, "Wq", BW_DIM_DEPTH, "waviness, root mean square"),
};

static struct bw_quantity at(const struct trace_parameters *p, const struct row *row) {
    struct bw_quantity q;
    memcpy(&q, (const char *)p + row->offset, sizeof q);
    return q;
}

static const char *shown(struct bw_text *text, struct bw_quantity q, enum bw_dim dim) {
    return bw_known(q) ? bw_text_quantity(text, q, dim) : "";
}

static void parameters(const struct trace_output *out, struct bw_text *text) {
    static const char *const TITLES[] = {"", "ISO 21920-2", "ISO 4287", ""};
    const struct trace_parameters *both = out->parameters.items;
    bw_text_gap(text);
    bw_text_table(text, "lddl", TITLES);
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        const struct row *row = &ROWS[i];
        const char *first = shown(text, at(&both[0], row), row->dim);
        const char *second = shown(text, at(&both[1], row), row->dim);
        if (first[0] == '\0' && second[0] == '\0') continue;
        bw_text_cell(text, "%s", row->name);
        bw_text_cell(text, "%s", first);
        bw_text_cell(text, "%s", strcmp(first, second) == 0 ? "" : second);
        bw_text_cell(text, "%s", row->means);
    }
    bw_text_table_end(text);
}

static void sanding(const struct trace_sanding *s, struct bw_text *text) {
    bw_text_gap(text);
    bw_text_para(text,
                 "The sanding without the wood: Ra %s, core %s (robust mean line, between %s and "
                 "%s).",
                 depth(text, s->ra), depth(text, s->rk), depth(text, s->low), depth(text, s->high));
    if (s->pores.v > 0)
        bw_text_item(text, "- ", "Pores take %s of the length, %s deep on average.",
                     bw_text_quantity(text, s->pores, BW_DIM_RATIO), depth(text, s->pore_depth));
    else
        bw_text_item(text, "- ", "No pores.");
    if (s->fuzz.v > 0)
        bw_text_item(text, "- ", "Fibres stand up on %s of it%s.",
                     bw_text_quantity(text, s->fuzz, BW_DIM_RATIO),
                     s->fuzz.v > 0.01 ? ": a dull belt, too fine a last grit for damp or soft "
                                        "wood, or no time to settle"
                                      : "");
}

static void mark_sets(const struct trace_output *out, struct bw_text *text) {
    static const char *const TITLES[] = {"marks every", "height", "seen",
                                         "lines",       "in the", "by chance"};
    const struct trace_mark_set *sets = out->mark_sets.items;
    if (out->mark_sets.n == 0) return;
    bw_text_gap(text);
    bw_text_table(text, "ddrrll", TITLES);
    for (size_t i = 0; i < out->mark_sets.n; i++) {
        bw_text_cell(text, "%s", length(text, sets[i].pitch));
        bw_text_cell(text, "%s", depth(text, sets[i].height));
        bw_text_cell(text, "%ld", sets[i].found);
        bw_text_cell(text, "%ld", sets[i].harmonics);
        bw_text_cell(text, "%s", sets[i].on);
        bw_text_cell(text, "%s",
                     sets[i].false_alarm.v < 1e-4 ? "under 1 in 10000"
                                                  : bw_text_odds(text, sets[i].false_alarm.v));
    }
    bw_text_table_end(text);
    bw_text_gap(text);
    bw_text_para(text, "Which part leaves them:");
    for (size_t i = 0; i < out->mark_sets.n; i++)
        bw_text_item(text, "  ", "beltwright source MACHINE.yaml --mark \"%s\"", sets[i].mark);
}

static void how_measured(const struct trace_output *out, struct bw_text *text) {
    bw_text_gap(text);
    bw_text_para(text, "%s, %ld points, %s apart; %ld section%s of %s%s%s%s%s.", out->kind,
                 out->points, depth(text, out->spacing), out->sections,
                 out->sections == 1 ? "" : "s", length(text, out->cut_off),
                 bw_known(out->short_cut_off) ? ", short cut-off " : "",
                 bw_known(out->short_cut_off) ? depth(text, out->short_cut_off) : "",
                 bw_known(out->wave_limit) ? ", waves up to " : "",
                 bw_known(out->wave_limit) ? length(text, out->wave_limit) : "");
    if (out->profiles > 1)
        bw_text_para(text, "Means of %ld profiles of the surface; ± is from their differences.",
                     out->profiles);
    else if (out->sections > 1)
        bw_text_para(text, "± is from the differences between sections.");
    if (out->voids > 0)
        bw_text_para(text, "%ld points had no height; straight lines were drawn across them.",
                     out->voids);
}

void trace_text(const void *out_, struct bw_text *text) {
    const struct trace_output *out = out_;
    bw_text_para(text, "%s", out->answer);
    groups(out, text);
    if (out->parameters.n > 0) {
        parameters(out, text);
        if (out->sanding != NULL) sanding(out->sanding, text);
        mark_sets(out, text);
        how_measured(out, text);
    }
    if (out->remarks.n == 0) return;
    bw_text_gap(text);
    for (size_t i = 0; i < out->remarks.n; i++)
        bw_text_item(text, "- ", "%s", ((const struct trace_remark *)out->remarks.items + i)->text);
}

// --- plots -------------------------------------------------------------------------------------

static void draw(struct bw_plots *plots, struct bw_plot *plot, const struct trace_curve *curve,
                 const char *style) {
    size_t n = curve->points.n;
    const struct trace_point *points = curve->points.items;
    double *x = bw_arena_array(plots->arena, n + 1, sizeof *x);
    double *y = bw_arena_array(plots->arena, n + 1, sizeof *y);
    if (x == NULL || y == NULL) {
        plots->failed = true;
        return;
    }
    for (size_t i = 0; i < n; i++) {
        x[i] = points[i].at.v;
        y[i] = points[i].height.v;
    }
    bw_plot_series(
        plots, plot,
        (struct bw_series){
            .kind = BW_MARK_LINE, .name = curve->name, .style = style, .x = x, .y = y, .n = n});
}

static struct bw_plot *profile_plot(struct bw_plots *plots, const char *id, const char *title,
                                    const char *alternative) {
    struct bw_plot *plot = bw_plot_new(plots, id, title);
    plot->alternative = alternative;
    plot->x_title = "along the trace";
    plot->y_title = "height";
    plot->x_dim = BW_DIM_LENGTH;
    plot->y_dim = BW_DIM_DEPTH;
    return plot;
}

static void level(struct bw_plots *plots, struct bw_plot *plot, double to, double height,
                  const char *name) {
    const double x[2] = {0, to}, y[2] = {height, height};
    bw_plot_series(
        plots, plot,
        (struct bw_series){
            .kind = BW_MARK_LINE, .name = name, .style = "second", .x = x, .y = y, .n = 2});
}

static void material_plot(const struct trace_output *out, struct bw_plots *plots) {
    size_t n = out->material.n;
    const struct trace_share *shares = out->material.items;
    double *x = bw_arena_array(plots->arena, n + 1, sizeof *x);
    double *y = bw_arena_array(plots->arena, n + 1, sizeof *y);
    struct bw_plot *plot = bw_plot_new(plots, "material-ratio", "Material ratio");
    plot->alternative = "The share of the length that lies above each height of the roughness.";
    plot->x_title = "material";
    plot->y_title = "height";
    plot->x_dim = BW_DIM_RATIO;
    plot->y_dim = BW_DIM_DEPTH;
    if (x == NULL || y == NULL) {
        plots->failed = true;
        return;
    }
    for (size_t i = 0; i < n; i++) {
        x[i] = shares[i].share.v;
        y[i] = shares[i].height.v;
    }
    bw_plot_series(
        plots, plot,
        (struct bw_series){
            .kind = BW_MARK_LINE, .name = "material", .style = "main", .x = x, .y = y, .n = n});
}

// The points of one kind, as one series.
static void dots(const struct trace_output *out, int dot, struct bw_plots *plots,
                 struct bw_plot *plot) {
    static const struct bw_series LOOKS[] = {
        [TRACE_ON_RECORD] = {.kind = BW_MARK_DOTS, .name = "on record", .style = "muted"},
        [TRACE_EXPECTED] = {.kind = BW_MARK_BAND, .name = "usually", .style = "second"},
        [TRACE_MEASURED] = {.kind = BW_MARK_DOTS, .name = "measured", .style = "measured"},
    };
    const struct trace_grain *grains = out->grains.items;
    double *room = bw_arena_array(plots->arena, 3 * out->grains.n + 3, sizeof *room);
    if (room == NULL) {
        plots->failed = true;
        return;
    }
    double *x = room, *y = x + out->grains.n + 1, *sd = y + out->grains.n + 1;
    struct bw_series series = LOOKS[dot];
    for (size_t i = 0; i < out->grains.n; i++) {
        if (grains[i].dot != dot || !bw_known(grains[i].ra)) continue;
        x[series.n] = grains[i].size.v;
        y[series.n] = grains[i].ra.v;
        sd[series.n++] = bw_sd_known(grains[i].ra) ? grains[i].ra.sd : 0;
    }
    series.x = x;
    series.y = y;
    if (dot != TRACE_ON_RECORD) series.sd = sd;
    if (series.n > 0) bw_plot_series(plots, plot, series);
    if (dot != TRACE_EXPECTED || series.n == 0) return;
    series.kind = BW_MARK_LINE;
    series.name = "";
    bw_plot_series(plots, plot, series);
}

static void grain_plot(const struct trace_output *out, struct bw_plots *plots) {
    if (out->grains.n == 0) return;
    struct bw_plot *plot = bw_plot_new(plots, "roughness-by-grain", "Roughness by grain size");
    plot->alternative = "Each reading of the shop's record by the size of the last grit's grain, "
                        "the line through them with the sd of one place, and what was measured.";
    plot->x_title = "mean grain size";
    plot->y_title = "Ra";
    plot->x_dim = plot->y_dim = BW_DIM_DEPTH;
    dots(out, TRACE_EXPECTED, plots, plot);
    dots(out, TRACE_ON_RECORD, plots, plot);
    dots(out, TRACE_MEASURED, plots, plot);
}

void trace_plots(const void *out_, struct bw_plots *plots) {
    const struct trace_output *out = out_;
    const struct trace_curve *curves = out->curves.items;
    grain_plot(out, plots);
    if (out->curves.n < 3) return;
    struct bw_plot *plot =
        profile_plot(plots, "profile", "The trace and its mean line",
                     "The height along the trace, and the mean line that is its waviness.");
    draw(plots, plot, &curves[0], "muted");
    draw(plots, plot, &curves[1], "main");
    plot = profile_plot(plots, "roughness", "Roughness",
                        "What lies above and below the mean line along the trace.");
    draw(plots, plot, &curves[2], "main");
    if (out->curves.n > 3 && out->sanding != NULL) {
        plot = profile_plot(plots, "pores", "Sanding, pores and fuzz",
                            "The trace about its robust mean line; what lies below the lower level "
                            "is pores, above the upper one fuzz.");
        draw(plots, plot, &curves[3], "main");
        level(plots, plot, out->length.v, out->sanding->low.v, "pores below");
        level(plots, plot, out->length.v, out->sanding->high.v, "fuzz above");
    }
    material_plot(out, plots);
}

// --- findings ----------------------------------------------------------------------------------

static void add(struct bw_findings *findings, const char *kind, const char *about,
                struct bw_quantity q) {
    if (bw_known(q))
        bw_findings_add(findings,
                        (struct bw_finding){
                            kind, about, q.v, q.sd,
                            strcmp(kind, "mark-pitch") == 0 ? BW_DIM_LENGTH : BW_DIM_DEPTH, NULL});
}

static void compare(struct bw_findings *findings, const char *about, struct bw_quantity ra,
                    struct bw_quantity expected) {
    if (!bw_known(ra) || !bw_known(expected)) return;
    double sd = hypot(expected.sd, bw_sd_known(ra) ? ra.sd : 0);
    if (fabs(ra.v - expected.v) > 2 * sd)
        add(findings, ra.v > expected.v ? "rougher-than-grit" : "smoother-than-grit", about,
            bw_about(ra.v - expected.v, sd));
}

void trace_findings(const void *out_, struct bw_findings *findings) {
    const struct trace_output *out = out_;
    const struct trace_group *group = out->groups.items;
    for (size_t i = 0; i < out->groups.n; i++) {
        const char *about = group[i].grit == NULL ? "panel" : group[i].grit;
        add(findings, "roughness", about, group[i].ra);
        compare(findings, about, group[i].ra, group[i].expected);
    }
    if (out->parameters.n == 0) return;
    const struct trace_parameters *p = out->parameters.items;
    add(findings, "roughness", "trace", p[0].ra);
    add(findings, "waviness", "trace", p[0].wa);
    compare(findings, "trace", p[0].ra, out->expected);
    const struct trace_mark_set *sets = out->mark_sets.items;
    for (size_t i = 0; i < out->mark_sets.n; i++) {
        const char *about = bw_arena_format(findings->arena, "mark %zu", i + 1);
        if (about == NULL) {
            findings->failed = true;
            return;
        }
        add(findings, "mark-pitch", about, sets[i].pitch);
        add(findings, "mark-height", about, sets[i].height);
    }
}
