// svg.c - see svg.h. Layout first, then everything from the back to the front.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/svg.h"

#include "report/label.h"
#include "report/svg_part.h"

#include <math.h>
#include <string.h>

#define TITLE_SIZE 15
#define MAX_TITLE_LINES 3
#define BESIDE_WIDTH 520  // from here on names stand at the ends of lines

// Light, then what the dark changes; print stays light. Colours keep 4.5:1 to the paper and differ
// in lightness as well as hue.
static const char STYLE[] =
    ".bw-plot text{font-family:system-ui,sans-serif;font-size:13px;fill:#1b1f23}\n"
    ".bw-plot .p-title{font-size:15px;font-weight:600}\n"
    ".bw-plot .p-tick,.bw-plot .p-axis{fill:#525b66}\n"
    ".bw-plot .p-tick{font-size:12px}\n"
    ".bw-plot .p-note{paint-order:stroke;stroke:#fff;stroke-width:3px;"
    "stroke-linejoin:round}\n"
    ".bw-plot .p-paper{fill:#fff}\n"
    ".bw-plot .p-grid{stroke:#e3e6ea;fill:none}\n"
    ".bw-plot .p-base{stroke:#7b8490;fill:none}\n"
    ".bw-plot .p-spot{stroke:#1b1f23;fill:#fff;stroke-width:1.5}\n"
    ".bw-plot .p-main{color:#0b5cad}\n"
    ".bw-plot .p-second{color:#c2410c}\n"
    ".bw-plot .p-warn{color:#a3195b}\n"
    ".bw-plot .p-measured{color:#1b1f23}\n"
    ".bw-plot .p-muted{color:#6b7280}\n"
    ".bw-plot .p-line{stroke:currentColor;fill:none;stroke-width:2.25;stroke-linejoin:round;"
    "stroke-linecap:round}\n"
    ".bw-plot .p-muted .p-line{stroke-width:1.25}\n"
    ".bw-plot .p-1 .p-line{stroke-dasharray:7 5}\n"
    ".bw-plot .p-2 .p-line{stroke-dasharray:1 5}\n"
    ".bw-plot .p-3 .p-line{stroke-dasharray:9 5 1 5}\n"
    ".bw-plot .p-line.p-case{stroke:#fff;stroke-width:5;stroke-opacity:.75;"
    "stroke-dasharray:none}\n"
    ".bw-plot .p-thin{stroke:currentColor;fill:none;stroke-width:1.25}\n"
    ".bw-plot .p-line.p-fine{stroke-width:1}\n"
    ".bw-plot .p-lead{stroke:currentColor;fill:none;stroke-width:.75;opacity:.6}\n"
    ".bw-plot .p-dot{fill:currentColor;stroke:none}\n"
    ".bw-plot .p-area{fill:currentColor;fill-opacity:.16;stroke:none}\n"
    ".bw-plot .p-bar{fill:currentColor;fill-opacity:.75;stroke:currentColor}\n"
    "@media screen and (prefers-color-scheme:dark){\n"
    ".bw-plot text{fill:#e8eaed}\n"
    ".bw-plot .p-tick,.bw-plot .p-axis{fill:#aab2bd}\n"
    ".bw-plot .p-note{stroke:#14181d}\n"
    ".bw-plot .p-paper{fill:#14181d}\n"
    ".bw-plot .p-grid{stroke:#2b323b}\n"
    ".bw-plot .p-base{stroke:#7b8490}\n"
    ".bw-plot .p-spot{stroke:#e8eaed;fill:#14181d}\n"
    ".bw-plot .p-main{color:#6cb2ff}\n"
    ".bw-plot .p-second{color:#ffa45c}\n"
    ".bw-plot .p-warn{color:#ff8ab5}\n"
    ".bw-plot .p-measured{color:#e8eaed}\n"
    ".bw-plot .p-muted{color:#98a1ad}\n"
    "}\n";

const char *bw_svg_style(void) { return STYLE; }

// ---- layout -------------------------------------------------------------------------------------

static bool stands_on_base(enum bw_mark_kind kind) {
    return kind == BW_MARK_STEMS || kind == BW_MARK_BARS;
}

static void cover_series(struct bw_drawing *d, const struct bw_series *series, bool x, bool y) {
    bool spread = series->sd != NULL && !stands_on_base(series->kind);
    for (size_t i = 0; i < series->n; i++) {
        double sd = spread && isfinite(series->sd[i]) ? series->sd[i] : 0;
        if (x) bw_axis_cover(&d->x, series->x[i]);
        if (!y) continue;
        bw_axis_cover(&d->y, series->y[i] - sd);
        bw_axis_cover(&d->y, series->y[i] + sd);
    }
    if (y && series->n > 0 && stands_on_base(series->kind)) bw_axis_cover(&d->y, bw_svg_zero(d));
}

static bool is_given(double min, double max, bool log) {
    return isfinite(min) && isfinite(max) && min < max && (!log || min > 0);
}

// What marks at the left and right edge need for themselves, px.
static double edge_room(const struct bw_drawing *d) {
    double room = 0;
    for (const struct bw_series *series = d->plot->series; series != NULL; series = series->next) {
        if (series->kind == BW_MARK_DOTS || series->kind == BW_MARK_STEMS)
            room = fmax(room, 2 * BW_SVG_MARKER);
        if (series->kind == BW_MARK_BARS && series->n > 0)
            room = fmax(room, (d->right - d->left) / (2 * (double)series->n));
    }
    return room;
}

// Bytes of the title's next line, and in *next where the one after begins.
static size_t title_line(const struct bw_drawing *d, const char *title, const char **next) {
    size_t length = strlen(title);
    size_t cut = bw_label_fit(title, length, TITLE_SIZE, d->width - 2 * BW_SVG_MARGIN);
    while (cut < length && cut > 0 && title[cut] != ' ') cut--;
    if (cut == 0) cut = length;  // one endless word
    *next = title + cut + strspn(title + cut, " ");
    return cut;
}

static size_t title_lines(const struct bw_drawing *d) {
    const char *rest = bw_svg_or_empty(d->plot->title);
    size_t lines = 0;
    for (; *rest != '\0' && lines < MAX_TITLE_LINES; lines++) (void)title_line(d, rest, &rest);
    return lines;
}

static double widest_end_label(const struct bw_plot *plot, size_t *count) {
    double widest = 0;
    *count = 0;
    for (const struct bw_series *series = plot->series; series != NULL; series = series->next) {
        if (!bw_svg_ends_in_line(series) || !bw_svg_gets_label(plot, series)) continue;
        widest = fmax(widest, bw_label_width(series->name, BW_SVG_TEXT));
        (*count)++;
    }
    return widest;
}

// As many x ticks as their words leave room for.
static void settle_x(struct bw_drawing *d) {
    struct bw_axis axis = d->x;
    for (size_t most = 9; most >= 2; most--) {
        d->x = axis;
        bw_axis_settle(&d->x, most, false);
        double words = 0;
        for (size_t i = 0; i < d->x.n; i++)
            words += bw_label_width(d->x.ticks[i].text, BW_SVG_TICK) + 1.5 * BW_SVG_TICK;
        if (words <= d->right - d->left) break;
    }
}

static void lay_out_axes(struct bw_drawing *d) {
    const struct bw_plot *plot = d->plot;
    bool x_given = is_given(plot->x_min, plot->x_max, plot->x_log);
    bool y_given = is_given(plot->y_min, plot->y_max, plot->y_log);
    double widest = 0;
    for (const struct bw_series *series = plot->series; series != NULL; series = series->next)
        cover_series(d, series, !x_given, !y_given);
    if (x_given) bw_axis_cover(&d->x, plot->x_min);
    if (x_given) bw_axis_cover(&d->x, plot->x_max);
    if (y_given) bw_axis_cover(&d->y, plot->y_min);
    if (y_given) bw_axis_cover(&d->y, plot->y_max);
    bw_axis_settle(&d->y, d->bottom - d->top > 280 ? 8 : 6, !y_given);
    for (size_t i = 0; i < d->y.n; i++)
        widest = fmax(widest, bw_label_width(d->y.ticks[i].text, BW_SVG_TICK));
    d->left = BW_SVG_MARGIN + widest + 8;
    settle_x(d);
    double room = x_given ? 0 : edge_room(d);
    d->x.begin = d->left + room;
    d->x.end = d->right - room;
    d->y.begin = d->bottom - (y_given || !d->y.log ? 0 : BW_SVG_MARKER);
    d->y.end = d->top + (y_given || !d->y.log ? 0 : BW_SVG_MARKER);
}

static double key_rows_end(const struct bw_drawing *d, double top) {
    struct bw_spot at = {BW_SVG_MARGIN, top};
    bool any = false;
    for (const struct bw_series *series = d->plot->series; series != NULL; series = series->next) {
        if (!bw_svg_in_key(d, series)) continue;
        (void)bw_svg_next_in_key(d, &at, series->name);
        any = true;
    }
    return any ? at.y + BW_SVG_LINE : 0;
}

// Equal scales: the height follows from the width, or where that would be too tall, the other way
// round.
static void make_equal(struct bw_drawing *d) {
    const struct bw_plot *plot = d->plot;
    double wide = d->x.end - d->x.begin, most = 1.25 * d->width;
    double tall = wide * (plot->y_max - plot->y_min) / (plot->x_max - plot->x_min);
    if (tall > most) {
        d->x.end = d->x.begin + wide * most / tall;
        d->right = d->x.end;
        tall = most;
    }
    d->bottom = d->top + tall;
    d->y.begin = d->bottom;
    d->y.end = d->top;
}

// No axes: a step is a line of text both ways, and the height follows from the rows.
static void lay_out_drawing(struct bw_drawing *d) {
    d->left = BW_SVG_MARGIN;
    d->right = d->width - BW_SVG_MARGIN;
    d->top = 2 * BW_SVG_MARGIN + (double)title_lines(d) * (BW_SVG_LINE + 2);
    d->bottom = d->top - d->plot->y_min * BW_SVG_ROW;
    d->x.begin = d->left;
    d->x.end = d->right;
    d->x.lo = 0;
    d->x.hi = (d->right - d->left) / BW_SVG_ROW;
    d->y.begin = d->bottom;
    d->y.end = d->top;
    d->y.lo = d->plot->y_min;
    d->y.hi = 0;
    double key_end = key_rows_end(d, d->bottom + 8);
    d->key_top = key_end > 0 ? d->bottom + 8 : 0;
    d->height = (key_end > 0 ? key_end : d->bottom) + BW_SVG_MARGIN - 4;
}

static void lay_out(struct bw_drawing *d) {
    if (d->plot->drawing) {
        lay_out_drawing(d);
        return;
    }
    size_t ends;
    double widest = widest_end_label(d->plot, &ends);
    double tall = fmin(fmax(d->width / 2, 200), 400);
    d->top = BW_SVG_MARGIN + (double)title_lines(d) * (BW_SVG_LINE + 2) + BW_SVG_LINE + 12;
    d->bottom = d->top + tall;
    d->beside = d->width >= BESIDE_WIDTH && ends > 0 && ends <= BW_MAX_LABELS &&
                (double)ends * BW_SVG_LABEL_GAP <= tall;
    d->right = d->width - BW_SVG_MARGIN - 6;
    if (d->beside) d->right -= fmin(widest + 1, 0.34 * d->width) + BW_SVG_LEAD + BW_SVG_SAMPLE;
    lay_out_axes(d);
    const struct bw_plot *plot = d->plot;
    if (plot->equal && is_given(plot->x_min, plot->x_max, plot->x_log) &&
        is_given(plot->y_min, plot->y_max, plot->y_log))
        make_equal(d);
    double below = d->bottom + 2 * BW_SVG_LINE + 8;
    double key_end = key_rows_end(d, below + 8);
    d->key_top = key_end > 0 ? below + 8 : 0;
    d->height = (key_end > 0 ? key_end : below) + BW_SVG_MARGIN - 4;
}

// ---- the frame ----------------------------------------------------------------------------------

// No ids: a page may hold the same plot twice.
static void write_head(const struct bw_drawing *d, bool bare) {
    struct bw_px wide = bw_px(d->width), high = bw_px(d->height);
    bw_buffer_format(d->out,
                     "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"bw-plot\" role=\"img\" "
                     "width=\"%s\" height=\"%s\" viewBox=\"0 0 %s %s\" data-plot=\"",
                     wide.text, high.text, wide.text, high.text);
    bw_svg_element(d->out, "", bw_svg_or_empty(d->plot->id), "\">\n<title>");
    bw_svg_element(d->out, "", bw_svg_or_empty(d->plot->title), "</title>\n<desc>");
    bw_svg_element(d->out, "", bw_svg_or_empty(d->plot->alternative), "</desc>\n");
    if (!bare) bw_buffer_format(d->out, "<style>\n%s</style>\n", STYLE);
    bw_buffer_format(d->out, "<path class=\"p-paper\" d=\"M0,0H%sV%sH0z\"/>\n", wide.text,
                     high.text);
}

// What does not fit into the last line is cut there.
static void write_title(const struct bw_drawing *d) {
    const char *rest = bw_svg_or_empty(d->plot->title), *next;
    struct bw_words words = {.class = "p-title",
                             .anchor = "start",
                             .x = BW_SVG_MARGIN,
                             .y = BW_SVG_MARGIN + BW_SVG_LINE - 3,
                             .room = d->width - 2 * BW_SVG_MARGIN,
                             .size = TITLE_SIZE};
    for (size_t line = 1; *rest != '\0' && line <= MAX_TITLE_LINES; line++) {
        size_t length = title_line(d, rest, &next);
        if (line == MAX_TITLE_LINES) length = strlen(rest);
        bw_svg_text(d->out, words, rest, length);
        words.y += BW_SVG_LINE + 2;
        rest = next;
    }
}

static void write_axis_title(const struct bw_drawing *d, const char *title, enum bw_dim dim,
                             struct bw_words words) {
    struct bw_buffer whole = {0};
    const char *unit = bw_dim_unit(dim, d->x.units);
    bw_buffer_text(&whole, bw_svg_or_empty(title));
    if (unit[0] != '\0') bw_buffer_format(&whole, whole.length > 0 ? ", %s" : "%s", unit);
    if (whole.failed)
        d->out->failed = true;
    else if (whole.length > 0)
        bw_svg_words(d->out, words, whole.data);
    bw_buffer_free(&whole);
}

static void write_axes(const struct bw_drawing *d) {
    struct bw_buffer *out = d->out;
    bw_buffer_text(out, "<path class=\"p-grid\" d=\"");
    for (size_t i = 0; i < d->y.n; i++)
        bw_buffer_format(out, "M%s,%sH%s", bw_px(d->left).text,
                         bw_px(bw_axis_at(&d->y, d->y.ticks[i].at)).text, bw_px(d->right).text);
    for (size_t i = 0; i < d->x.n; i++)
        bw_buffer_format(out, "M%s,%sV%s", bw_px(bw_axis_at(&d->x, d->x.ticks[i].at)).text,
                         bw_px(d->top).text, bw_px(d->bottom + 5).text);
    bw_buffer_format(out, "\"/>\n<path class=\"p-base\" d=\"M%s,%sH%s\"/>\n", bw_px(d->left).text,
                     bw_px(bw_svg_baseline(d)).text, bw_px(d->right).text);
    for (size_t i = 0; i < d->y.n; i++)
        bw_svg_words(out,
                     (struct bw_words){"p-tick", "end", d->left - 6,
                                       bw_axis_at(&d->y, d->y.ticks[i].at) + BW_SVG_TICK / 3.0, 0,
                                       BW_SVG_TICK},
                     d->y.ticks[i].text);
    for (size_t i = 0; i < d->x.n; i++)
        bw_svg_words(out,
                     (struct bw_words){"p-tick", "middle", bw_axis_at(&d->x, d->x.ticks[i].at),
                                       d->bottom + BW_SVG_LINE, 0, BW_SVG_TICK},
                     d->x.ticks[i].text);
    double room = d->width - 2 * BW_SVG_MARGIN;
    write_axis_title(
        d, d->plot->y_title, d->plot->y_dim,
        (struct bw_words){"p-axis", "start", BW_SVG_MARGIN, d->top - 12, room, BW_SVG_TEXT});
    write_axis_title(d, d->plot->x_title, d->plot->x_dim,
                     (struct bw_words){"p-axis", "end", d->right, d->bottom + 2 * BW_SVG_LINE + 1,
                                       d->right - BW_SVG_MARGIN, BW_SVG_TEXT});
}

static bool is_empty(const struct bw_drawing *d) {
    if (d->plot->raster.codes != NULL) return false;
    struct bw_spot spot;
    for (const struct bw_series *series = d->plot->series; series != NULL; series = series->next)
        for (size_t i = 0; i < series->n; i++)
            if (bw_svg_spot(d, series, i, 0, &spot)) return false;
    return true;
}

bool bw_svg_write(const struct bw_plot *plot, const struct bw_svg_options *options,
                  struct bw_buffer *out, struct bw_err *err) {
    double width = options->width == 0 ? 640 : options->width;
    struct bw_drawing d = {.plot = plot, .out = out, .width = fmin(fmax(width, 280), 2000)};
    d.x = bw_axis_begin(plot->x_dim, options->units, plot->x_log);
    d.y = bw_axis_begin(plot->y_dim, options->units, plot->y_log);
    lay_out(&d);
    write_head(&d, options->bare);
    write_title(&d);
    if (!plot->drawing) write_axes(&d);
    bw_svg_marks(&d);
    if (d.beside) bw_svg_end_names(&d);
    bw_svg_notes(&d);
    bw_svg_key(&d);
    if (is_empty(&d))
        bw_svg_words(out,
                     (struct bw_words){"p-axis", "middle", (d.left + d.right) / 2,
                                       (d.top + d.bottom) / 2, 0, BW_SVG_TEXT},
                     "nothing to show");
    bw_buffer_text(out, "</svg>\n");
    if (!out->failed) return true;
    if (out->length > BW_MAX_BUFFER_BYTES / 2)
        return bw_fail(err, BW_LIMIT, "the drawing is larger than %zu bytes", BW_MAX_BUFFER_BYTES);
    return bw_fail_memory(err);
}
