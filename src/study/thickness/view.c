// view.c - the study `thickness` as people read it, as plots, and as findings.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "machine/machine.h"
#include "study/thickness/part.h"

#include <math.h>

#define EACH(type, list)                                                                           \
    (const struct type *item = (list).items, *end = item + (list).n; item != NULL && item < end;   \
     item++)

static const char *length(struct bw_text *text, struct bw_quantity q) {
    return bw_text_quantity(text, q, BW_DIM_LENGTH);
}

// Two figures, for a spread.
static const char *spread(struct bw_text *text, struct bw_quantity q) {
    double shown = bw_dim_from_si(BW_DIM_LENGTH, text->units, q.v);
    if (!(shown > 0)) return length(text, bw_exactly(q.v));
    double step = pow(10, floor(log10(shown)) - 1);
    return length(text,
                  bw_exactly(bw_dim_to_si(BW_DIM_LENGTH, text->units, round(shown / step) * step)));
}

static const char *titled(struct bw_text *text, const char *word) {
    const char *title =
        bw_arena_format(text->arena, "%s, %s", word, bw_text_unit(text, BW_DIM_LENGTH));
    return title == NULL ? "?" : title;
}

static const char *value_or_blank(struct bw_text *text, struct bw_quantity q) {
    return bw_known(q) ? bw_text_value(text, q, BW_DIM_LENGTH) : "";
}

// --- shape ---------------------------------------------------------------------------------------

static void shape_table(const struct thickness_output *out, struct bw_text *text) {
    if (out->terms.n == 0) return;
    bw_text_gap(text);
    const char *titles[] = {"", titled(text, "after"), titled(text, "came in"), "shown", NULL};
    bw_text_table(text, "lddl", titles);
    for
        EACH(thickness_term, out->terms) {
            bw_text_cell(text, "%s", item->name);
            bw_text_cell(text, "%s", bw_text_value(text, item->value, BW_DIM_LENGTH));
            bw_text_cell(text, "%s", value_or_blank(text, item->came_in));
            bw_text_cell(text, "%s", item->shown ? "yes" : "no");
        }
    bw_text_table_end(text);
    bw_text_gap(text);
    for
        EACH(thickness_term, out->terms)
    if (item->shown && item->text != NULL)
        bw_text_item(text, "- ", "%s %s: %s.", item->name, length(text, item->value), item->text);
    bw_text_item(text, "- ",
                 "From %ld readings; right against left is told over %s. One reading "
                 "lies within %s of the fit.",
                 out->readings, length(text, out->over), spread(text, out->sigma));
}

static void wrong_lines(const struct thickness_output *out, struct bw_text *text) {
    if (out->wrong.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "Left out: read these again");
    for
        EACH(thickness_wrong, out->wrong)
    bw_text_item(text, "- ", "panel %s at %s: %s, %s %s than its neighbours say", item->panel,
                 item->place, length(text, item->value),
                 spread(text, bw_exactly(fabs(item->off.v))),
                 item->off.v > 0 ? "thicker" : "thinner");
}

static void adjust_lines(const struct thickness_output *out, struct bw_text *text) {
    if (out->adjust.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "To take the taper out, one of these");
    for
        EACH(thickness_adjust, out->adjust) {
            const char *turns = "";
            if (bw_known(item->turns))
                turns = bw_arena_format(text->arena, " (%s turns)",
                                        bw_text_value(text,
                                                      bw_about(fabs(item->turns.v), item->turns.sd),
                                                      BW_DIM_NUMBER));
            bw_text_item(text, "- ", "%s adjuster: drum and table %s %s%s",
                         item->side == SIDE_LEFT ? "left" : "right",
                         length(text, bw_about(fabs(item->closer.v), item->closer.sd)),
                         item->closer.v > 0 ? "closer" : "further apart",
                         turns == NULL ? "" : turns);
        }
    bw_text_item(text, "- ",
                 "half of it on one side and half, the other way, on the other: thickness in the "
                 "middle stays");
    bw_text_para(text, "Move against the slack, read again, and only then lock it.");
    bw_text_caution(text, "lock out power and air, wait until drums and belts stand still: "
                          "adjusters are never moved with a hand near a running belt");
}

static void panel_table(const struct thickness_output *out, struct bw_text *text) {
    if (out->panels.n < 2) return;
    bw_text_gap(text);
    bw_text_heading(text, "Panel by panel");
    const char *titles[] = {"panel", titled(text, "mean"), titled(text, "step"), NULL};
    bw_text_table(text, "ldd", titles);
    for
        EACH(thickness_panel, out->panels) {
            bw_text_cell(text, "%s", item->panel);
            bw_text_cell(text, "%s", bw_text_value(text, item->mean, BW_DIM_LENGTH));
            bw_text_cell(text, "%s", bw_text_value(text, item->off, BW_DIM_LENGTH));
        }
    bw_text_table_end(text);
}

static void head_table(const struct thickness_output *out, struct bw_text *text) {
    if (out->heads.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "Head by head");
    const char *titles[] = {"head", titled(text, "takes"), titled(text, "right against left"),
                            NULL};
    bw_text_table(text, "ldd", titles);
    for
        EACH(thickness_head, out->heads) {
            bw_text_cell(text, "%s", item->head);
            bw_text_cell(text, "%s", value_or_blank(text, item->removal));
            bw_text_cell(text, "%s", value_or_blank(text, item->taper));
        }
    bw_text_table_end(text);
    bool tapers = false;
    for
        EACH(thickness_head, out->heads) tapers |= bw_known(item->taper);
    if (tapers)
        bw_text_para(text, "A taper that one head alone makes is that head's; one that all make is "
                           "the table's.");
}

// --- gauge and tolerance -------------------------------------------------------------------------

static void gauge_lines(const struct thickness_output *out, struct bw_text *text) {
    if (!bw_known(out->gauge_spread)) return;
    bw_text_gap(text);
    bw_text_heading(text, "The gauge");
    if (!(out->gauge_spread.v > 0)) {
        bw_text_item(text, "- ",
                     "Repeated readings never differ: it reads too coarsely, or is read "
                     "too kindly, to tell its own spread.");
        return;
    }
    bw_text_item(text, "- ", "One person reading one place again: ± %s.",
                 spread(text, out->repeatability));
    if (bw_known(out->people))
        bw_text_item(text, "- ", "From person to person: ± %s; both together ± %s.",
                     spread(text, out->people), spread(text, out->gauge_spread));
    if (bw_known(out->gauge_share))
        bw_text_item(text, "- ", "It takes %.0f %% of the tolerance%s.", 100 * out->gauge_share.v,
                     out->gauge_share.v > 0.3 ? ": too much, a better gauge or steadier hands first"
                     : out->gauge_share.v > 0.1 ? ": just good enough"
                                                : "");
    if (bw_known(out->categories))
        bw_text_item(text, "- ", "It tells %.0f kinds of place apart; five are good.",
                     out->categories.v);
}

static void capability_lines(const struct thickness_output *out, struct bw_text *text) {
    if (!bw_known(out->cp)) return;
    bw_text_gap(text);
    bw_text_heading(text, "Against the tolerance");
    bw_text_item(text, "- ", "Cp %.2f (95 %%: %.2f to %.2f): %s.", out->cp.v, out->cp_low.v,
                 out->cp_high.v,
                 out->cp_low.v > 1.33 ? "panels are even enough"
                 : out->cp_high.v < 1 ? "panels are too uneven for this tolerance"
                                      : "these readings do not settle whether panels are even "
                                        "enough");
    bw_text_item(text, "- ", "Cpk %.2f (95 %%: %.2f to %.2f)%s.", out->cpk.v, out->cpk_low.v,
                 out->cpk_high.v,
                 out->cpk.v < 0.8 * out->cp.v ? ": the mean stands off the target, set that first"
                                              : "");
    bw_text_item(text, "- ", "By these readings %.2g %% of places are out of tolerance.",
                 100 * out->outside.v);
}

static void readout_lines(const struct thickness_output *out, struct bw_text *text) {
    if (out->readouts.n == 0 && !bw_known(out->drift)) return;
    bw_text_gap(text);
    bw_text_heading(text, "Display and warming up");
    for
        EACH(thickness_readout, out->readouts)
    bw_text_item(text, "- ", "%s (%ld panel%s): panels are %s %s than the display says%s",
                 item->belt, item->panels, item->panels == 1 ? "" : "s",
                 length(text, bw_about(fabs(item->off.v), item->off.sd)),
                 item->off.v > 0 ? "thicker" : "thinner",
                 fabs(item->off.v) > 2 * item->off.sd ? "; enter it as this belt's correction"
                                                      : ", which is none to be seen");
    if (!bw_known(out->drift)) return;
    bw_text_item(text, "- ", "Started cold, panels come out %s %s than when warm%s.",
                 length(text, bw_about(fabs(out->drift.v), out->drift.sd)),
                 out->drift.v > 0 ? "thicker" : "thinner",
                 fabs(out->drift.v) > 2 * out->drift.sd ? "; let it run half an hour before the "
                                                          "first good panel"
                                                        : ", which is none to be seen");
}

static void setup_lines(const struct thickness_output *out, struct bw_text *text) {
    if (out->shoes.n > 0) {
        bw_text_gap(text);
        bw_text_heading(text, "Sectional platen");
        for
            EACH(thickness_shoe, out->shoes)
        bw_text_item(text, "- ", "%s: late by %s, sensor off by %s: %s.", item->edge,
                     bw_text_quantity(text, item->delay, BW_DIM_TIME), length(text, item->place),
                     item->text);
    }
    if (out->tracking == NULL) return;
    bw_text_gap(text);
    bw_text_heading(text, "Tracking");
    bw_text_item(text, "- ", "A stroke to the left takes %s, to the right %s: %s.",
                 bw_text_quantity(text, out->stroke_left, BW_DIM_TIME),
                 bw_text_quantity(text, out->stroke_right, BW_DIM_TIME), out->tracking);
    bw_text_caution(text, "strokes are timed through the window, doors shut; rolls, sensor and "
                          "valve are touched with power and air locked out");
}

// --- the card ------------------------------------------------------------------------------------

static void card_table(const struct thickness_output *out, struct bw_text *text) {
    const char *titles[] = {
        "place", titled(text, "from the left"), titled(text, "from the front"), "before", "after",
        NULL};
    bw_text_table(text, "lddll", titles);
    int decimals = text->units == BW_UNITS_US ? 1 : 0;
    for
        EACH(thickness_place, out->places) {
            bw_text_cell(text, "%s", item->name);
            bw_text_cell(text, "%.*f", decimals,
                         bw_dim_from_si(BW_DIM_LENGTH, text->units, item->across.v));
            bw_text_cell(text, "%.*f", decimals,
                         bw_dim_from_si(BW_DIM_LENGTH, text->units, item->along.v));
            bw_text_cell(text, "_________");
            bw_text_cell(text, "_________");
        }
    bw_text_table_end(text);
}

static void card_lines(const struct thickness_output *out, struct bw_text *text) {
    if (out->places.n == 0) return;
    bw_text_gap(text);
    bw_text_item(text, "- ",
                 "%ld panels of one stack, %ld places on each: right against left, crown "
                 "and ends then come to ± %s%s.",
                 out->panels_to_measure, out->columns * out->rows, spread(text, out->planned),
                 out->planned.v > out->wanted.v * 1.000001
                     ? ", which is less than wanted; a better gauge helps more than more panels"
                     : "");
    bw_text_item(text, "- ",
                 "Mark each panel: its number, an arrow along the feed, L and R as the "
                 "feeder sees them. The end that goes in first is the front.");
    bw_text_item(text, "- ",
                 "Read each panel before and after; wipe dust off, same hand, same "
                 "gauge; one place of each panel twice.");
    bw_text_item(text, "- ", "Feed all in one lane, the machine warm, nothing changed between.");
    bw_text_gap(text);
    bw_text_heading(text, "Card, one a panel");
    bw_text_para(text, "Panel ______  lane ______  display ______  minutes since start ______  "
                       "belt ____________  read by ____________");
    bw_text_gap(text);
    card_table(out, text);
}

void thickness_text(const void *out_, struct bw_text *text) {
    const struct thickness_output *out = out_;
    bw_text_para(text, "%s%s%s", out->machine == NULL ? "" : out->machine,
                 out->machine == NULL ? "" : ": ", out->answer);
    shape_table(out, text);
    wrong_lines(out, text);
    adjust_lines(out, text);
    panel_table(out, text);
    head_table(out, text);
    gauge_lines(out, text);
    capability_lines(out, text);
    readout_lines(out, text);
    setup_lines(out, text);
    card_lines(out, text);
    if (out->notes.n > 0) bw_text_gap(text);
    for
        EACH(thickness_note, out->notes) bw_text_item(text, "- ", "%s", item->text);
}

// --- plots ---------------------------------------------------------------------------------------

static void profile_plot(const struct thickness_output *out, struct bw_plots *plots, bool across) {
    size_t n = out->map.n;
    double *x = bw_arena_array(plots->arena, n, sizeof *x);
    double *y = bw_arena_array(plots->arena, n, sizeof *y);
    double *sd = bw_arena_array(plots->arena, n, sizeof *sd);
    if (x == NULL || y == NULL || sd == NULL) {
        plots->failed = true;
        return;
    }
    for (size_t i = 0; i < n; i++) {
        const struct thickness_spot *spot = (const struct thickness_spot *)out->map.items + i;
        x[i] = across ? spot->across.v : spot->along.v;
        y[i] = spot->off.v;
        sd[i] = spot->off.sd;
    }
    struct bw_plot *plot = across ? bw_plot_new(plots, "thickness-across", "Thickness across")
                                  : bw_plot_new(plots, "thickness-along", "Thickness along");
    plot->alternative = across ? "Thickness against the panels' mean over the place across the "
                                 "machine, left to right."
                               : "Thickness against the panels' mean over the place along the "
                                 "panel, from the leading edge.";
    plot->x_title = across ? "right of the machine's middle" : "from the leading edge";
    plot->y_title = "thicker than the mean";
    plot->x_dim = plot->y_dim = BW_DIM_LENGTH;
    bw_plot_series(plots, plot,
                   (struct bw_series){.kind = BW_MARK_DOTS,
                                      .name = "places",
                                      .style = "measured",
                                      .x = x,
                                      .y = y,
                                      .sd = sd,
                                      .n = n});
    if (!across || !bw_known(out->slope)) return;
    double low = x[0], high = x[0];
    for (size_t i = 0; i < n; i++) {
        low = fmin(low, x[i]);
        high = fmax(high, x[i]);
    }
    double ends[2] = {low, high}, line[2] = {out->slope.v * low, out->slope.v * high};
    bw_plot_series(
        plots, plot,
        (struct bw_series){
            .kind = BW_MARK_LINE, .name = "taper", .style = "main", .x = ends, .y = line, .n = 2});
}

// Numbers where they were read, as on a sheet of paper.
static void map_plot(const struct thickness_output *out, struct bw_plots *plots) {
    size_t n = out->map.n;
    double *x = bw_arena_array(plots->arena, n, sizeof *x);
    double *y = bw_arena_array(plots->arena, n, sizeof *y);
    if (x == NULL || y == NULL) {
        plots->failed = true;
        return;
    }
    struct bw_plot *plot = bw_plot_new(plots, "thickness-map", "Thickness map");
    plot->alternative = "At each place the thickness against the panels' mean.";
    plot->x_title = "right of the machine's middle; numbers: thicker than the mean";
    plot->y_title = "from the leading edge";
    plot->x_dim = plot->y_dim = BW_DIM_LENGTH;
    for (size_t i = 0; i < n; i++) {
        const struct thickness_spot *spot = (const struct thickness_spot *)out->map.items + i;
        x[i] = spot->across.v;
        y[i] = spot->along.v;
        char value[BW_QUANTITY_TEXT];
        bw_plot_note(plots, plot, x[i], y[i],
                     bw_quantity_text(value, bw_about(spot->off.v, spot->off.sd), BW_DIM_LENGTH,
                                      plots->units));
    }
    bw_plot_series(
        plots, plot,
        (struct bw_series){
            .kind = BW_MARK_DOTS, .name = "places", .style = "measured", .x = x, .y = y, .n = n});
}

void thickness_plots(const void *out_, struct bw_plots *plots) {
    const struct thickness_output *out = out_;
    if (out->map.n == 0) return;
    map_plot(out, plots);
    profile_plot(out, plots, true);
    profile_plot(out, plots, false);
}

// --- findings ------------------------------------------------------------------------------------

static void add(struct bw_findings *list, const char *kind, const char *about, struct bw_quantity q,
                enum bw_dim dim) {
    if (!bw_known(q)) return;
    bw_findings_add(list, (struct bw_finding){kind, about, q.v, q.sd, dim, NULL});
}

void thickness_findings(const void *out_, struct bw_findings *list) {
    const struct thickness_output *out = out_;
    for
        EACH(thickness_term, out->terms)
    add(list, "panel-shape", item->id, item->value, BW_DIM_LENGTH);
    for
        EACH(thickness_head, out->heads) {
            add(list, "head-removal", item->head, item->removal, BW_DIM_LENGTH);
            add(list, "head-taper", item->head, item->taper, BW_DIM_LENGTH);
        }
    for
        EACH(thickness_readout, out->readouts)
    add(list, "readout-off", item->belt, item->off, BW_DIM_LENGTH);
    add(list, "warming-drift", "machine", out->drift, BW_DIM_LENGTH);
    for
        EACH(thickness_shoe, out->shoes) {
            add(list, "platen-delay", item->edge, item->delay, BW_DIM_TIME);
            add(list, "platen-sensor", item->edge, item->place, BW_DIM_LENGTH);
        }
}
