// svg_part.c - see svg_part.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/svg_part.h"

#include "base/markup.h"
#include "report/label.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct bw_px bw_px(double value) {
    struct bw_px out;
    long tenths = lround(10 * value);
    long whole = labs(tenths) / 10, part = labs(tenths) % 10;
    const char *sign = tenths < 0 ? "-" : "";
    if (part == 0)
        (void)snprintf(out.text, sizeof out.text, "%s%ld", sign, whole);
    else
        (void)snprintf(out.text, sizeof out.text, "%s%ld.%ld", sign, whole, part);
    return out;
}

void bw_svg_element(struct bw_buffer *out, const char *open, const char *text, const char *close) {
    bw_buffer_text(out, open);
    bw_markup_escape(out, text, strlen(text));
    bw_buffer_text(out, close);
}

void bw_svg_text(struct bw_buffer *out, struct bw_words words, const char *text, size_t length) {
    size_t fits = words.room > 0 ? bw_label_fit(text, length, words.size, words.room) : length;
    bw_buffer_format(out, "<text class=\"%s\" x=\"%s\" y=\"%s\" text-anchor=\"%s\">", words.class,
                     bw_px(words.x).text, bw_px(words.y).text, words.anchor);
    bw_markup_escape(out, text, fits);
    if (fits < length) bw_buffer_text(out, "…");
    bw_buffer_text(out, "</text>\n");
}

void bw_svg_words(struct bw_buffer *out, struct bw_words words, const char *text) {
    bw_svg_text(out, words, text, strlen(text));
}

const char *bw_svg_or_empty(const char *text) { return text == NULL ? "" : text; }

// Every style begins with a pattern and a marker of its own; further series of the style take the
// next.
static const struct {
    const char *style;
    int first;
} STYLES[] = {{"main", 0}, {"second", 1}, {"measured", 0}, {"warn", 3}, {"muted", 0}};

static size_t style_of(const struct bw_series *series) {
    for (size_t i = 0; i < sizeof STYLES / sizeof STYLES[0]; i++)
        if (series->style != NULL && strcmp(series->style, STYLES[i].style) == 0) return i;
    return 0;
}

bool bw_svg_is_named(const struct bw_series *series) {
    return series->name != NULL && series->name[0] != '\0';
}

static bool same_name(const struct bw_series *a, const struct bw_series *b) {
    return bw_svg_is_named(a) && bw_svg_is_named(b) && strcmp(a->name, b->name) == 0;
}

// A band and its line share name, look and label.
static const struct bw_series *first_of_name(const struct bw_plot *plot,
                                             const struct bw_series *series) {
    const struct bw_series *first = plot->series;
    while (first != series && !same_name(first, series)) first = first->next;
    return first;
}

struct bw_look bw_svg_look(const struct bw_plot *plot, const struct bw_series *series) {
    size_t style = style_of(series);
    const struct bw_series *first = first_of_name(plot, series);
    int before = 0;
    for (const struct bw_series *other = plot->series; other != first; other = other->next)
        if (style_of(other) == style && first_of_name(plot, other) == other) before++;
    return (struct bw_look){STYLES[style].style, (STYLES[style].first + before) % BW_SVG_PATTERNS};
}

void bw_svg_open_look(struct bw_buffer *out, struct bw_look look) {
    bw_buffer_format(out, "<g class=\"p-%s p-%d\">\n", look.style, look.pattern);
}

bool bw_svg_gets_label(const struct bw_plot *plot, const struct bw_series *series) {
    return bw_svg_is_named(series) && first_of_name(plot, series) == series;
}

bool bw_svg_ends_in_line(const struct bw_series *series) {
    return series->kind == BW_MARK_LINE || series->kind == BW_MARK_BAND;
}

bool bw_svg_in_key(const struct bw_drawing *d, const struct bw_series *series) {
    return bw_svg_gets_label(d->plot, series) && !(d->beside && bw_svg_ends_in_line(series));
}

struct bw_spot bw_svg_next_in_key(const struct bw_drawing *d, struct bw_spot *at,
                                  const char *name) {
    double wide = BW_SVG_SAMPLE + 6 + bw_label_width(name, BW_SVG_TEXT);
    if (at->x > BW_SVG_MARGIN && at->x + wide > d->width - BW_SVG_MARGIN) {
        at->x = BW_SVG_MARGIN;
        at->y += BW_SVG_LINE;
    }
    struct bw_spot place = *at;
    at->x += wide + BW_SVG_LABEL_GAP;
    return place;
}

bool bw_svg_spot(const struct bw_drawing *d, const struct bw_series *series, size_t i, double sds,
                 struct bw_spot *out) {
    double sd = sds == 0 ? 0 : series->sd[i];
    return bw_axis_place(&d->x, series->x[i], &out->x) &&
           bw_axis_place(&d->y, series->y[i] + sds * sd, &out->y);
}

double bw_svg_zero(const struct bw_drawing *d) { return bw_dim_to_si(d->y.dim, d->y.units, 0); }

double bw_svg_baseline(const struct bw_drawing *d) {
    double at;
    bool zero = !d->y.log && bw_axis_place(&d->y, bw_svg_zero(d), &at);
    return zero && at > d->top && at < d->bottom ? at : d->bottom;
}

bool bw_svg_is_inside(const struct bw_drawing *d, struct bw_spot spot) {
    return spot.x > d->left - 0.5 && spot.x < d->right + 0.5 && spot.y > d->top - 0.5 &&
           spot.y < d->bottom + 0.5;
}
