// draw.c - the dust system as a drawing: a labelled tree, every verdict a word, no colour needed.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Air runs from the left to the right: each line is a row of its own, from the column of the point
// it comes from to that of the point it goes to, then up or down to where it joins. The trunk's end
// stands at the right. What is short of air or too slow is said beside it; its line has another
// pattern too.
#include "study/ducts/part.h"

#include <math.h>
#include <string.h>
#include <strings.h>

struct tree {
    struct bw_plots *plots;
    const struct ducts_output *out;
    struct bw_plot *plot;
    double *row, *column;  // of each line: its height, and how many lines follow it
    int rows, columns;
};

static const struct ducts_line_row *line_at(const struct tree *t, size_t i) {
    return (const struct ducts_line_row *)t->out->lines.items + i;
}

static bool is_open_air(const char *name) {
    return strcasecmp(name, "room") == 0 || strcasecmp(name, "outdoors") == 0;
}

// Rows from the top, hoods first, then what they join; columns from the fan's end.
static void place(struct tree *t, size_t i, int column) {
    if (!isnan(t->row[i])) return;
    t->row[i] = -1;  // under way: a loop ends here
    t->column[i] = column;
    if (column + 1 > t->columns) t->columns = column + 1;
    double sum = 0;
    int n = 0;
    for (size_t k = 0; k < t->out->lines.n && !is_open_air(line_at(t, i)->from); k++) {
        if (strcasecmp(line_at(t, k)->to, line_at(t, i)->from) != 0 || !isnan(t->row[k])) continue;
        place(t, k, column + 1);
        sum += t->row[k];
        n++;
    }
    t->row[i] = n > 0 ? sum / n : t->rows++;
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

static const char *quantity(struct bw_plots *plots, double v, enum bw_dim dim) {
    char text[BW_QUANTITY_TEXT];
    return say(plots, "%s", bw_quantity_text(text, bw_exactly(v), dim, plots->units));
}

static const char *verdict(const struct ducts_line_row *row) {
    static const char *const PORT[] = {"", " STARVED", " unsure", ""};
    static const char *const DUST[] = {"", " SETTLES", "", " shut"};
    if (row->hole) return " LEAK";
    if (row->verdict == DUCT_STARVED) return row->speed == DUCT_SETTLES ? " STARVED, SETTLES"
                                                                        : PORT[DUCT_STARVED];
    return row->verdict == DUCT_UNSURE ? PORT[DUCT_UNSURE] : DUST[row->speed];
}

static const char *style(const struct ducts_line_row *row) {
    if (row->hole || row->verdict == DUCT_STARVED || row->speed == DUCT_SETTLES) return "warn";
    return row->speed == DUCT_IDLE ? "muted" : "main";
}

static const char *meaning(const char *style_) {
    if (strcmp(style_, "warn") == 0) return "short of air, slow, or leaking";
    return strcmp(style_, "muted") == 0 ? "shut" : "as it should be";
}

// Where line i ends: at the row of the line that goes on from there, one column on.
static double end_row(const struct tree *t, size_t i) {
    for (size_t k = 0; k < t->out->lines.n; k++)
        if (k != i && strcasecmp(line_at(t, k)->from, line_at(t, i)->to) == 0 &&
            !is_open_air(line_at(t, i)->to))
            return t->row[k];
    return t->row[i];
}

static void draw_line(struct tree *t, size_t i) {
    const struct ducts_line_row *row = line_at(t, i);
    double *x = bw_arena_array(t->plots->arena, 6, sizeof *x);
    if (x == NULL) {
        t->plots->failed = true;
        return;
    }
    double *y = x + 3, from = t->columns - 1 - t->column[i];
    x[0] = from;
    x[1] = x[2] = from + 1;
    y[0] = y[1] = -t->row[i];
    y[2] = -end_row(t, i);
    const char *look = style(row);
    bw_plot_series(t->plots, t->plot,
                   (struct bw_series){.kind = BW_MARK_LINE, .name = meaning(look), .style = look,
                                      .x = x, .y = y, .n = 3});
    if (is_open_air(row->from) && !row->hole)
        bw_plot_series(t->plots, t->plot,
                       (struct bw_series){.kind = BW_MARK_DOTS, .name = "a port", .style = "measured",
                                          .x = x, .y = y, .n = 1});
    bw_plot_note(t->plots, t->plot, from + 0.04, -t->row[i] + 0.01,
                 say(t->plots, "%s %s%s", row->name, quantity(t->plots, row->flow.v, BW_DIM_FLOW),
                     verdict(row)));
    bw_plot_note(t->plots, t->plot, from + 0.04, -t->row[i] - 0.01,
                 quantity(t->plots, row->velocity.v, BW_DIM_SPEED));
}

void ducts_draw(const void *out_, struct bw_plots *plots) {
    struct tree t = {.plots = plots, .out = out_};
    size_t n = t.out->lines.n;
    if (n == 0 || n > DUCTS_MOST_DRAWN) return;
    t.row = bw_arena_array(plots->arena, 2 * n, sizeof *t.row);
    if (t.row == NULL) {
        plots->failed = true;
        return;
    }
    t.column = t.row + n;
    for (size_t i = 0; i < n; i++) t.row[i] = BW_NAN;
    for (size_t i = 0; i < n; i++)
        if (is_open_air(line_at(&t, i)->to)) place(&t, i, 0);
    for (size_t i = 0; i < n; i++) place(&t, i, 0);
    t.plot = bw_plot_new(plots, "dust-system",
                         t.out->name == NULL ? "The dust system" : t.out->name);
    t.plot->alternative = say(plots, "%s Air runs from the ports at the left to the fan at the "
                                     "right; the table of lines holds the same numbers.",
                              t.out->answer);
    t.plot->drawing = true;
    t.plot->x_max = t.columns;
    t.plot->y_min = -t.rows + 0.4;
    t.plot->y_max = 0.6;
    for (size_t i = 0; i < n; i++) draw_line(&t, i);
}
