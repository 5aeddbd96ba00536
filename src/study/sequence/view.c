// view.c - the study `sequence` as people read it, and as findings.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/sequence/record.h"

#include <math.h>
#include <string.h>

static const char *titled(struct bw_text *text, const char *word, enum bw_dim dim) {
    const char *title = bw_arena_format(text->arena, "%s, %s", word, bw_text_unit(text, dim));
    return title == NULL ? "?" : title;
}

// Millimetres to a hundredth, inches to four places: what a readout shows.
static const char *depth(struct bw_text *text, struct bw_quantity q) {
    double shown = bw_dim_from_si(BW_DIM_LENGTH, text->units, q.v);
    const char *form = text->units == BW_UNITS_US ? "%.4f" : shown < 0.0995 ? "%.3f" : "%.2f";
    const char *said = form[2] == '4'   ? bw_arena_format(text->arena, "%.4f", shown)
                       : form[2] == '3' ? bw_arena_format(text->arena, "%.3f", shown)
                                        : bw_arena_format(text->arena, "%.2f", shown);
    return said == NULL ? "?" : said;
}

static const char *figures(struct bw_text *text, double si, enum bw_dim dim) {
    double shown = bw_dim_from_si(dim, text->units, si);
    const char *said = shown >= 10 ? bw_arena_format(text->arena, "%.0f", shown)
                                   : bw_arena_format(text->arena, "%.1f", shown);
    return said == NULL ? "?" : said;
}

static const struct sequence_line *line_at(const struct bw_list *list, size_t i) {
    return (const struct sequence_line *)list->items + i;
}

static void load_cell(const struct sequence_step *step, struct bw_text *text) {
    if (!bw_known(step->load_sharp))
        bw_text_cell(text, " ");
    else
        bw_text_cell(text, "%.0f-%.0f %%", 100 * step->load_sharp.v, 100 * step->load_dull.v);
}

static void amps_cell(const struct sequence_step *step, struct bw_text *text) {
    if (!bw_known(step->amps_low))
        bw_text_cell(text, "%s", "");
    else
        bw_text_cell(text, "%.0f-%.0f", step->amps_low.v, step->amps_high.v);
}

static void step_table(const struct sequence_plan *plan, struct bw_text *text) {
    const char *titles[] = {"pass",
                            "head",
                            "belt",
                            "by",
                            titled(text, "takes", BW_DIM_LENGTH),
                            titled(text, "at most", BW_DIM_LENGTH),
                            titled(text, "feed", BW_DIM_FEED),
                            titled(text, "belt", BW_DIM_SPEED),
                            "motor",
                            "amps",
                            NULL};
    bw_text_table(text, "lllldddrrr", titles);
    for (size_t i = 0; i < plan->steps.n; i++) {
        const struct sequence_step *step = (const struct sequence_step *)plan->steps.items + i;
        bw_text_cell(text, "%ld", step->pass);
        bw_text_cell(text, "%s", step->head);
        bw_text_cell(text, "%s", step->grit);
        bw_text_cell(text, "%s", step->part);
        bw_text_cell(text, "%s", depth(text, step->takes));
        bw_text_cell(text, "%s", depth(text, step->most));
        bw_text_cell(text, "%s", figures(text, step->feed.v, BW_DIM_FEED));
        bw_text_cell(text, "%s", figures(text, step->speed.v, BW_DIM_SPEED));
        load_cell(step, text);
        amps_cell(step, text);
    }
    bw_text_table_end(text);
}

// "1 in 3,000", without the comma; from one in ten up as people take it.
static const char *chance(struct bw_text *text, double p) {
    if (p > 0.1) return bw_text_odds(text, p);
    if (p < 1e-6) return "less than 1 in a million";
    double step = pow(10, floor(-log10(p)));
    const char *said =
        bw_arena_format(text->arena, "1 in %.0f", round(1 / p / step * 2) / 2 * step);
    return said == NULL ? "?" : said;
}

static void plan_facts(const struct sequence_output *out, const struct sequence_plan *plan,
                       struct bw_text *text) {
    double square = bw_dim_to_si(BW_DIM_AREA, text->units, 1);
    const char *unit = bw_text_unit(text, BW_DIM_AREA);
    const char *cost =
        out->money == 1
            ? bw_arena_format(text->arena, "%.3g a %s", plan->cost.v * square, unit)
            : bw_arena_format(text->arena, "%.2f times the cheapest's", plan->relative.v);
    bw_text_para(
        text, "Output %.0f %s/h with no gaps between parts, cost %s, reserve %.0f %%, %s %s off.",
        plan->output.v / square, unit, cost == NULL ? "?" : cost, 100 * plan->reserve.v,
        depth(text, plan->removed), bw_text_unit(text, BW_DIM_LENGTH));
    if (plan->lifted != NULL) bw_text_para(text, "Lifted: %s.", plan->lifted);
    if (bw_known(plan->through))
        bw_text_para(text, "Sanded through at the thinnest place: %s%s%s.",
                     chance(text, plan->through.v),
                     bw_known(plan->through_edge) ? "; at edges: " : "; edges not reckoned",
                     bw_known(plan->through_edge) ? chance(text, plan->through_edge.v) : "");
}

static void plan_section(const struct sequence_output *out, const struct sequence_plan *plan,
                         struct bw_text *text) {
    bw_text_gap(text);
    bw_text_heading(text, "%s: %s", plan->name, plan->words);
    step_table(plan, text);
    bw_text_gap(text);
    plan_facts(out, plan, text);
}

static void section(const char *title, const struct bw_list *list, struct bw_text *text) {
    if (list->n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "%s", title);
    for (size_t i = 0; i < list->n; i++)
        bw_text_item(text, "- ", "%s: %s.", line_at(list, i)->about, line_at(list, i)->text);
}

static void runner_up(const struct sequence_output *out, struct bw_text *text) {
    if (out->runner_up.n == 0) return;
    const struct sequence_line *line = line_at(&out->runner_up, 0);
    bw_text_gap(text);
    bw_text_heading(text, "Runner-up");
    if (!bw_known(line->share))
        bw_text_item(text, "- ", "None: %s.", line->text);
    else
        bw_text_item(text, "- ", "%s (%s), %.1f %% behind.", line->about, line->text,
                     100 * line->share.v);
}

static void front(const struct sequence_output *out, struct bw_text *text) {
    if (out->front.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "Plans that nothing beats");
    const char *titles[] = {"passes", titled(text, "slowest feed", BW_DIM_FEED), "cost", "belts",
                            NULL};
    bw_text_table(text, "ldrl", titles);
    for (size_t i = 0; i < out->front.n; i++) {
        const struct sequence_point *point = (const struct sequence_point *)out->front.items + i;
        bw_text_cell(text, "%ld", point->passes);
        bw_text_cell(text, "%s", figures(text, point->feed.v, BW_DIM_FEED));
        bw_text_cell(text, "%.2f", point->cost.v);
        bw_text_cell(text, "%s", point->words);
    }
    bw_text_table_end(text);
}

static void check_at_the_machine(const struct sequence_output *out, struct bw_text *text) {
    const struct sequence_plan *plan = out->plans.items;
    bw_text_gap(text);
    bw_text_heading(text, "At the machine");
    bw_text_item(text, "- ",
                 "Motor: share of its power, belt sharp to about to be changed. Amps: what the "
                 "machine's own meter should show, doubts of the tables included.");
    for (size_t i = 0; i < plan->steps.n; i++) {
        const struct sequence_step *step = (const struct sequence_step *)plan->steps.items + i;
        if (step->pass == 1)
            bw_text_item(text, "- ", "%s, %s: %s.", step->head, step->grit, step->meter);
    }
    if (out->judged.n > 0)
        bw_text_item(text, "- ",
                     "If the change is also to find a fault, change one thing at a time: belts "
                     "first, then removals, then the feed, one panel after each.");
    if (bw_known(out->bound))
        bw_text_item(text, "- ",
                     "Proven best among removals in steps of 0.0001 in (2.5 µm) and feeds 12 %% "
                     "apart; removals in between could save %.1f %% at most.",
                     100 * out->bound.v);
}

static void assumptions(const struct sequence_output *out, struct bw_text *text) {
    bw_text_gap(text);
    bw_text_heading(text, "Taken for granted");
    for (size_t i = 0; i < out->assumed.n; i++)
        bw_text_item(text, "- ", "%s: %s.", line_at(&out->assumed, i)->about,
                     line_at(&out->assumed, i)->text);
    bw_text_item(text, "- ",
                 "from memory or rule of thumb, to be replaced by your own trials: stock and "
                 "scratch by grit, energy to cut, last grits, what drums and platens take.");
}

void sequence_text(const void *out_, struct bw_text *text) {
    const struct sequence_output *out = out_;
    bw_text_para(text, "%s%s%s", out->machine == NULL ? "" : out->machine,
                 out->machine == NULL ? "" : ": ", out->answer);
    section("The set-up as it is", &out->judged, text);
    section("By the amps read", &out->measured, text);
    section("These cannot all be kept", &out->clashes, text);
    for (size_t i = 0; i < out->plans.n; i++)
        plan_section(out, (const struct sequence_plan *)out->plans.items + i, text);
    section("What binds", &out->binds, text);
    runner_up(out, text);
    section("What would change the plan", &out->doubts, text);
    front(out, text);
    if (out->plans.n > 0) check_at_the_machine(out, text);
    assumptions(out, text);
    bw_text_gap(text);
    for (size_t i = 0; i < out->cautions.n; i++)
        bw_text_caution(text, "%s.", line_at(&out->cautions, i)->text);
}

void sequence_findings(const void *out_, struct bw_findings *findings) {
    const struct sequence_output *out = out_;
    for (size_t i = 0; i < out->judged.n; i++) {
        const struct sequence_line *line = line_at(&out->judged, i);
        if (line->kind == NULL) continue;
        bool count = strcmp(line->kind, "skipped-grit") == 0;
        bw_findings_add(findings, (struct bw_finding){.kind = line->kind,
                                                      .about = line->about,
                                                      .v = line->share.v,
                                                      .sd = BW_NAN,
                                                      .dim = count ? BW_DIM_NUMBER : BW_DIM_RATIO});
    }
    for (size_t i = 0; i < out->measured.n; i++) {
        const struct sequence_line *line = line_at(&out->measured, i);
        if (line->kind != NULL)
            bw_findings_add(findings, (struct bw_finding){.kind = line->kind,
                                                          .about = line->about,
                                                          .v = line->share.v,
                                                          .sd = BW_NAN,
                                                          .dim = BW_DIM_RATIO});
    }
}
