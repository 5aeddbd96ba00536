// svg.h - a plot as an SVG drawing: real text, title and description, classes instead of colours.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_REPORT_SVG_H
#define BW_REPORT_SVG_H

#include "base/buffer.h"
#include "base/plot.h"

// Zero-initialise for the defaults.
struct bw_svg_options {
    int width;            // CSS px, 0: 640; taken between 280 and 2000. The height follows.
    enum bw_units units;  // of ticks and axis titles
    bool bare;            // without its style, for a page that has bw_svg_style in its style sheet
};

// Writes one <svg> element, usable alone or inside an HTML page, with its own style: light, dark
// (where the reader prefers it) and print. Every style has its own line pattern and marker, so
// nothing hangs on colour. Names stand at the ends of lines where there is room, else in a key
// below. Points that have no place (NaN, infinite, not above zero on a log axis) leave gaps. Texts
// are escaped. The same plot gives the same bytes. Errors: BW_MEMORY, BW_LIMIT (above
// BW_MAX_BUFFER_BYTES); `out` may then hold a part.
bool bw_svg_write(const struct bw_plot *plot, const struct bw_svg_options *options,
                  struct bw_buffer *out, struct bw_err *err) BW_CHECKED;
// The style every drawing has, as CSS.
const char *bw_svg_style(void);

#endif
