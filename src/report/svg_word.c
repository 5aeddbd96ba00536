// svg_word.c - the words in a plot: names at the ends of lines or in the key, notes at points.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/label.h"
#include "report/svg_part.h"

#include <math.h>
#include <string.h>

// A band that has a line shows the line.
static enum bw_mark_kind kind_of_sample(const struct bw_plot *plot,
                                        const struct bw_series *series) {
    for (const struct bw_series *other = plot->series; other != NULL; other = other->next)
        if (other->kind == BW_MARK_LINE && strcmp(bw_svg_or_empty(other->name), series->name) == 0)
            return BW_MARK_LINE;
    return series->kind;
}

static void draw_sample(const struct bw_drawing *d, const struct bw_series *series,
                        struct bw_spot at) {
    struct bw_look look = bw_svg_look(d->plot, series);
    struct bw_spot middle = {at.x + BW_SVG_SAMPLE / 2.0, at.y};
    bw_svg_open_look(d->out, look);
    switch (kind_of_sample(d->plot, series)) {
    case BW_MARK_LINE:
        bw_buffer_format(d->out, "<path class=\"p-line\" d=\"M%s,%sh%d\"/>\n", bw_px(at.x + 1).text,
                         bw_px(at.y).text, BW_SVG_SAMPLE - 2);
        break;
    case BW_MARK_BAND:
    case BW_MARK_BARS:
        bw_buffer_format(d->out, "<path class=\"%s\" d=\"M%s,%sh%dv10h-%dz\"/>\n",
                         series->kind == BW_MARK_BAND ? "p-area" : "p-bar", bw_px(at.x + 2).text,
                         bw_px(at.y - 5).text, BW_SVG_SAMPLE - 4, BW_SVG_SAMPLE - 4);
        break;
    case BW_MARK_STEMS:
        bw_buffer_format(d->out, "<path class=\"p-thin\" d=\"M%s,%sv-8\"/>\n", bw_px(middle.x).text,
                         bw_px(at.y + 6).text);
        middle.y -= 2;
        bw_svg_marker(d->out, look.pattern, middle);
        break;
    case BW_MARK_DOTS: bw_svg_marker(d->out, look.pattern, middle); break;
    }
    bw_buffer_text(d->out, "</g>\n");
}

// The last point to be seen.
static bool end_of(const struct bw_drawing *d, const struct bw_series *series,
                   struct bw_spot *out) {
    for (size_t i = series->n; i > 0; i--) {
        struct bw_spot spot;
        if (!bw_svg_spot(d, series, i - 1, 0, &spot)) continue;
        if (!bw_svg_is_inside(d, spot)) continue;
        *out = spot;
        return true;
    }
    return false;
}

void bw_svg_end_names(const struct bw_drawing *d) {
    const struct bw_series *named[BW_MAX_LABELS];
    struct bw_spot ends[BW_MAX_LABELS];
    double heights[BW_MAX_LABELS];
    size_t n = 0;
    for (const struct bw_series *series = d->plot->series; series != NULL; series = series->next) {
        if (!bw_svg_ends_in_line(series) || !bw_svg_gets_label(d->plot, series)) continue;
        if (!end_of(d, series, &ends[n])) continue;
        named[n] = series;
        heights[n] = ends[n].y;
        n++;
    }
    bw_label_spread(heights, n, BW_SVG_LABEL_GAP, d->top + 4, d->bottom);
    double x = d->right + BW_SVG_LEAD + BW_SVG_SAMPLE + 6;
    for (size_t i = 0; i < n; i++) {
        bw_svg_open_look(d->out, bw_svg_look(d->plot, named[i]));
        bw_buffer_format(d->out, "<path class=\"p-lead\" d=\"M%s,%sL%s,%s\"/>\n</g>\n",
                         bw_px(ends[i].x + 3).text, bw_px(ends[i].y).text,
                         bw_px(d->right + BW_SVG_LEAD).text, bw_px(heights[i]).text);
        draw_sample(d, named[i], (struct bw_spot){d->right + BW_SVG_LEAD, heights[i]});
        bw_svg_words(d->out,
                     (struct bw_words){"p-key", "start", x, heights[i] + BW_SVG_TEXT / 3.0,
                                       d->width - BW_SVG_MARGIN - x, BW_SVG_TEXT},
                     named[i]->name);
    }
}

void bw_svg_key(const struct bw_drawing *d) {
    struct bw_spot at = {BW_SVG_MARGIN, d->key_top};
    if (d->key_top == 0) return;
    for (const struct bw_series *series = d->plot->series; series != NULL; series = series->next) {
        if (!bw_svg_in_key(d, series)) continue;
        struct bw_spot place = bw_svg_next_in_key(d, &at, series->name);
        draw_sample(d, series, (struct bw_spot){place.x, place.y + BW_SVG_LINE / 2.0});
        double x = place.x + BW_SVG_SAMPLE + 6;
        bw_svg_words(d->out,
                     (struct bw_words){"p-key", "start", x,
                                       place.y + BW_SVG_LINE / 2.0 + BW_SVG_TEXT / 3.0,
                                       d->width - BW_SVG_MARGIN - x, BW_SVG_TEXT},
                     series->name);
    }
}

#define MAX_WATCHED 2000  // a line of more points lies everywhere anyway

// A line, a dot or the spot of a note lies under the box.
static bool hides_something(const struct bw_drawing *d, const struct bw_box *box) {
    struct bw_spot at, before;
    for (const struct bw_series *series = d->plot->series; series != NULL; series = series->next) {
        bool joined = false;
        if (series->n > MAX_WATCHED || series->kind == BW_MARK_BAND) continue;
        for (size_t i = 0; i < series->n; i++) {
            bool here = bw_svg_spot(d, series, i, 0, &at);
            bool line = joined && series->kind == BW_MARK_LINE;
            struct bw_spot from = line ? before : at;
            if (here && bw_box_is_crossed(box, from.x, from.y, at.x, at.y)) return true;
            joined = here;
            before = at;
        }
    }
    for (const struct bw_note *note = d->plot->notes; note != NULL; note = note->next)
        if (bw_axis_place(&d->x, note->x, &at.x) && bw_axis_place(&d->y, note->y, &at.y) &&
            bw_box_is_crossed(box, at.x, at.y, at.x, at.y))
            return true;
    return false;
}

// Around the spot, try by try: right above, left above, right below, left below, then further off.
static struct bw_box note_box(struct bw_spot at, double wide, int try) {
    double far = 7 + (double)(try / 4) * BW_SVG_LABEL_GAP;
    double x = try % 2 == 1 ? at.x - 8 - wide : at.x + 8;
    double y = try % 4 >= 2 ? at.y + far : at.y - far - BW_SVG_TEXT;
    return (struct bw_box){x, y, x + wide, y + BW_SVG_TEXT + 2};
}

#define MAX_NOTES 40

struct notes {
    struct bw_box boxes[MAX_NOTES];
    size_t n;
};

// Takes the first place clear of words and lines, else the first clear of words. False: none.
static bool place_note(const struct bw_drawing *d, struct bw_spot at, const char *text,
                       struct notes *notes) {
    const struct bw_box all = {d->left, d->top - 2, d->right, d->bottom};
    double wide = bw_label_width(text, BW_SVG_TEXT);
    bool found = false, best = false;
    if (notes->n == MAX_NOTES) return false;
    for (int try = 0; try < 12 && !best; try++) {
        struct bw_box box = note_box(at, wide, try);
        bool clear = bw_box_inside(&box, &all);
        for (size_t k = 0; k < notes->n && clear; k++)
            clear = !bw_box_overlaps(&box, &notes->boxes[k]);
        if (!clear) continue;
        best = !hides_something(d, &box);
        if (best || !found) notes->boxes[notes->n] = box;
        found = true;
    }
    notes->n += found;
    return found;
}

static void write_label(const struct bw_drawing *d, const struct bw_note *note) {
    struct bw_spot at;
    if (!bw_axis_place(&d->x, note->x, &at.x) || !bw_axis_place(&d->y, note->y, &at.y)) return;
    bw_svg_words(d->out,
                 (struct bw_words){"p-note", "start", at.x, at.y + BW_SVG_TEXT / 3.0,
                                   fmax(d->right - at.x, 40), BW_SVG_TEXT},
                 note->text);
}

void bw_svg_notes(const struct bw_drawing *d) {
    struct notes notes = {.n = 0};
    for (const struct bw_note *note = d->plot->notes; note != NULL && d->plot->drawing;
         note = note->next)
        write_label(d, note);
    if (d->plot->drawing) return;
    for (const struct bw_note *note = d->plot->notes; note != NULL; note = note->next) {
        struct bw_spot at;
        bool placed = bw_axis_place(&d->x, note->x, &at.x) && bw_axis_place(&d->y, note->y, &at.y);
        if (!placed || !bw_svg_is_inside(d, at)) continue;
        bw_buffer_text(d->out, "<g>");
        bw_svg_element(d->out, "<title>", note->text, "</title>");
        bw_buffer_format(d->out, "<circle class=\"p-spot\" cx=\"%s\" cy=\"%s\" r=\"3.5\"/></g>\n",
                         bw_px(at.x).text, bw_px(at.y).text);
        // A word without a free place is left to the spot's own title.
        if (!place_note(d, at, note->text, &notes)) continue;
        const struct bw_box *box = &notes.boxes[notes.n - 1];
        bw_svg_words(d->out,
                     (struct bw_words){"p-note", "start", box->left, box->top + BW_SVG_TEXT - 2, 0,
                                       BW_SVG_TEXT},
                     note->text);
    }
}
