// svg_part.h - what the files of the SVG writer share; nobody else includes it.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_REPORT_SVG_PART_H
#define BW_REPORT_SVG_PART_H

#include "base/buffer.h"
#include "base/plot.h"
#include "report/axis.h"

// All in px.
#define BW_SVG_TEXT 13
#define BW_SVG_TICK 12
#define BW_SVG_LINE 18  // from one line of words to the next
#define BW_SVG_ROW 26        // a step in a drawing
#define BW_SVG_MARGIN 10
#define BW_SVG_SAMPLE 26     // a piece of line or a marker before a name
#define BW_SVG_LEAD 14       // from the axes' edge to the sample before a name there
#define BW_SVG_LABEL_GAP 16  // between names one above the other
#define BW_SVG_MARKER 4.5    // radius

// One drawing under way: the plot, where its parts go, and the bytes so far.
struct bw_drawing {
    const struct bw_plot *plot;
    struct bw_buffer *out;
    double width, height;
    double left, right, top, bottom;  // of the area between the axes
    double key_top;                   // 0: no key
    bool beside;                      // names at the ends of lines
    struct bw_axis x, y;
};

// ---- bytes ----

// A coordinate in tenths of a px, the same in every locale: bw_px(x).text.
struct bw_px {
    char text[24];
};
struct bw_px bw_px(double value);

// `open`, the text escaped, `close`.
void bw_svg_element(struct bw_buffer *out, const char *open, const char *text, const char *close);

struct bw_words {
    const char *class;   // "p-tick"
    const char *anchor;  // "start", "middle", "end"
    double x, y;         // of the baseline
    double room;         // cut with an ellipsis beyond; 0: any
    double size;
};
void bw_svg_text(struct bw_buffer *out, struct bw_words words, const char *text, size_t length);
void bw_svg_words(struct bw_buffer *out, struct bw_words words, const char *text);
const char *bw_svg_or_empty(const char *text);

// ---- looks ----

#define BW_SVG_PATTERNS 4

struct bw_look {
    const char *style;
    int pattern;  // of the line, and of the marker
};
struct bw_look bw_svg_look(const struct bw_plot *plot, const struct bw_series *series);
void bw_svg_open_look(struct bw_buffer *out, struct bw_look look);

// ---- places ----

struct bw_spot {
    double x, y;
};
// Point i, moved by `sds` standard deviations. False: it has no place.
bool bw_svg_spot(const struct bw_drawing *d, const struct bw_series *series, size_t i, double sds,
                 struct bw_spot *out);
// Zero of the unit shown on the y axis, in SI (0 °C is not 0 K); where bars and stems stand, px.
double bw_svg_zero(const struct bw_drawing *d);
double bw_svg_baseline(const struct bw_drawing *d);

// Inside the axes, or on their edge.
bool bw_svg_is_inside(const struct bw_drawing *d, struct bw_spot spot);

// ---- names ----

bool bw_svg_is_named(const struct bw_series *series);
// The first series of its name; a band and its line share one label.
bool bw_svg_gets_label(const struct bw_plot *plot, const struct bw_series *series);
bool bw_svg_ends_in_line(const struct bw_series *series);
bool bw_svg_in_key(const struct bw_drawing *d, const struct bw_series *series);
// The place of the next name in the key, left and top; `at` moves on, to a new row where need be.
struct bw_spot bw_svg_next_in_key(const struct bw_drawing *d, struct bw_spot *at, const char *name);

// ---- the parts, from the back to the front ----

void bw_svg_marks(const struct bw_drawing *d);
void bw_svg_marker(struct bw_buffer *out, int pattern, struct bw_spot at);
void bw_svg_end_names(const struct bw_drawing *d);
void bw_svg_notes(const struct bw_drawing *d);
void bw_svg_key(const struct bw_drawing *d);

#endif
