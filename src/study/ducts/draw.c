// draw.c - the dust system as a labelled tree: from the fan's end down to the ports.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// One row a line, what flows into it below and one step to the right, as in the text. The verdict
// is a word and a shape, so that print and a reader who sees no colour lose nothing.
#include "study/ducts/part.h"

#include <math.h>
#include <string.h>
#include <strings.h>

struct tree {
    struct bw_plots *plots;
    const struct ducts_output *out;
    struct bw_plot *plot;
    double *row;  // of each line, NaN: not drawn yet
    int rows;
};

static const struct ducts_line_row *line_at(const struct tree *t, size_t i) {
    return (const struct ducts_line_row *)t->out->lines.items + i;
}

static bool is_open_air(const char *name) {
    return strcasecmp(name, "room") == 0 || strcasecmp(name, "outdoors") == 0;
}

static const char *say(struct bw_plots *plots, const char *format, ...) BW_PRINTF(2, 3);
static const char *say(struct bw_plots *plots, const char *format, ...) {
    va_list args;
    va_start(args, format);
    const char *text = bw_arena_vformat(plots->arena, format, args);
    va_end(args);
    if (text == NULL) plots->failed = true;
    return text == NULL ? "" : text;
}

static const char *quantity(struct bw_plots *plots, struct bw_quantity q, enum bw_dim dim) {
    char text[BW_QUANTITY_TEXT];
    return say(plots, "%s", bw_quantity_text(text, q, dim, plots->units));
}

// --- words and shapes --------------------------------------------------------------------------

struct look {
    const char *style, *name, *word;
};
static const struct look FINE = {"main", "as it should be", ""};
static const struct look SHORT = {"warn", "trouble, named beside it", " SHORT OF AIR"};
static const struct look BOTH = {"warn", "trouble, named beside it", " SHORT OF AIR, DUST SETTLES"};
static const struct look SLOW = {"warn", "trouble, named beside it", " DUST SETTLES"};
static const struct look HOLE = {"warn", "trouble, named beside it", " LEAK"};
static const struct look UNSURE = {"second", "the ± does not decide", " unsure"};
static const struct look CLOSED = {"muted", "shut", " shut"};

static struct look look_of(const struct ducts_line_row *row) {
    if (row->hole) return HOLE;
    if (row->speed == DUCT_IDLE) return CLOSED;
    if (row->verdict == DUCT_STARVED) return row->speed == DUCT_SETTLES ? BOTH : SHORT;
    if (row->speed == DUCT_SETTLES) return SLOW;
    return row->verdict == DUCT_UNSURE ? UNSURE : FINE;
}

static const char *label(struct tree *t, const struct ducts_line_row *row) {
    struct bw_plots *p = t->plots;
    char value[BW_QUANTITY_TEXT];
    const char *flow = quantity(p, row->flow, BW_DIM_FLOW);
    if (bw_known(row->minimum)) {
        double least = bw_dim_from_si(BW_DIM_FLOW, p->units, row->minimum.v);
        (void)bw_quantity_value(value, row->flow, BW_DIM_FLOW, p->units);
        flow = say(p, "%s of %.0f %s", value, least, bw_dim_unit(BW_DIM_FLOW, p->units));
    }
    return say(p, "%s%s: %s, %s", row->name, look_of(row).word, flow,
               quantity(p, row->velocity, BW_DIM_SPEED));
}

// --- the tree ----------------------------------------------------------------------------------

static void draw_line(struct tree *t, size_t i, int depth, double parent) {
    const struct ducts_line_row *row = line_at(t, i);
    double *x = bw_arena_array(t->plots->arena, 8, sizeof *x);
    if (x == NULL) {
        t->plots->failed = true;
        return;
    }
    double *y = x + 4, at = -t->row[i] - 0.5;
    x[0] = x[1] = depth > 0 ? depth - 0.5 : 0.1;
    x[2] = x[3] = depth + 0.5;
    y[0] = depth > 0 ? parent : at;
    y[1] = y[2] = y[3] = at;
    struct look look = look_of(row);
    bw_plot_series(
        t->plots, t->plot,
        (struct bw_series){
            .kind = BW_MARK_LINE, .name = "duct", .style = "measured", .x = x, .y = y, .n = 3});
    bw_plot_series(t->plots, t->plot,
                   (struct bw_series){.kind = BW_MARK_DOTS,
                                      .name = look.name,
                                      .style = look.style,
                                      .x = x + 3,
                                      .y = y + 3,
                                      .n = 1});
    bw_plot_note(t->plots, t->plot, depth + 0.85, at, label(t, row));
}

// In the order of the text: a line, then what flows into where it begins.
static void draw_from(struct tree *t, size_t i, int depth, double parent) {
    if (!isnan(t->row[i])) return;
    t->row[i] = t->rows++;
    double here = -t->row[i] - 0.5;
    draw_line(t, i, depth, parent);
    for (size_t k = 0; k < t->out->lines.n && !is_open_air(line_at(t, i)->from); k++)
        if (strcasecmp(line_at(t, k)->to, line_at(t, i)->from) == 0)
            draw_from(t, k, depth + 1, here);
}

void ducts_draw(const void *out_, struct bw_plots *plots) {
    struct tree t = {.plots = plots, .out = out_};
    size_t n = t.out->lines.n;
    if (n == 0 || n > DUCTS_MOST_DRAWN) return;
    t.row = bw_arena_array(plots->arena, n, sizeof *t.row);
    if (t.row == NULL) {
        plots->failed = true;
        return;
    }
    for (size_t i = 0; i < n; i++) t.row[i] = BW_NAN;
    t.plot =
        bw_plot_new(plots, "dust-system", t.out->name == NULL ? "The dust system" : t.out->name);
    t.plot->alternative = say(plots,
                              "%s A tree from the fan's end down to the ports; the table "
                              "of lines holds the same numbers.",
                              t.out->answer);
    t.plot->drawing = true;
    t.plot->x_dim = t.plot->y_dim = BW_DIM_NUMBER;
    for (size_t i = 0; i < n; i++)
        if (is_open_air(line_at(&t, i)->to)) draw_from(&t, i, 0, 0);
    for (size_t i = 0; i < n; i++) draw_from(&t, i, 0, 0);
    t.plot->y_min = -t.rows;
}
