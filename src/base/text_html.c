// text_html.c - see text.h: the HTML form.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/markup.h"
#include "base/text_part.h"

#include <string.h>

// Line breaks stay line breaks; no-break spaces are HTML's own.
static void words(struct bw_buffer *out, const char *text) {
    for (;;) {
        size_t length = strcspn(text, "\n");
        bw_markup_escape(out, text, length);
        text += length;
        if (*text == '\0') return;
        bw_buffer_text(out, "<br>");
        text++;
    }
}

void bw_text_html_heading(struct bw_text *text, const char *whole) {
    bw_buffer_text(&text->out, "<h2>");
    words(&text->out, whole);
    bw_buffer_text(&text->out, "</h2>\n");
}

// The mark without the spaces round it; how far it stands in says whether it belongs to the item
// above.
void bw_text_html_item(struct bw_text *text, const char *mark, const char *whole) {
    size_t in = strspn(mark, " "), length = strlen(mark + in);
    while (length > 0 && mark[in + length - 1] == ' ') length--;
    bool caution = strncmp(mark, "CAUTION", 7) == 0;
    const char *class = caution           ? " class=\"t-caution\""
                        : mark[0] == '\0' ? ""
                        : in >= 2         ? " class=\"t-item t-inner\""
                                          : " class=\"t-item\"";
    bw_buffer_format(&text->out, "<p%s>", class);
    if (length > 0) {
        bw_buffer_text(&text->out, caution ? "<strong>" : "<span class=\"t-mark\">");
        bw_markup_escape(&text->out, mark + in, length);
        bw_buffer_text(&text->out, caution ? "</strong> " : "</span> ");
    }
    words(&text->out, whole);
    bw_buffer_text(&text->out, "</p>\n");
}

static void row(struct bw_text *text, const struct bw_text_row *cells, const char *element,
                const char *scope) {
    const struct bw_table *table = text->table;
    bw_buffer_text(&text->out, "<tr>");
    for (size_t i = 0; i < table->n; i++) {
        const struct bw_text_column *column = &table->columns[i];
        if (column->empty) continue;
        bw_buffer_format(&text->out, "<%s%s%s>", element, scope,
                         column->align == 'l' ? "" : " class=\"n\"");
        words(&text->out, cells->cells[i]);
        bw_buffer_format(&text->out, "</%s>", element);
    }
    bw_buffer_text(&text->out, "</tr>\n");
}

// In a box that scrolls by itself where the screen is narrow, reachable by keyboard.
void bw_text_html_table(struct bw_text *text) {
    const struct bw_table *table = text->table;
    bw_buffer_text(&text->out, "<div class=\"t-wide\" tabindex=\"0\" role=\"region\" "
                               "aria-label=\"table\"><table>\n<thead>");
    row(text, &table->titles, "th", " scope=\"col\"");
    bw_buffer_text(&text->out, "</thead>\n<tbody>\n");
    for (const struct bw_text_row *at = table->first; at != NULL; at = at->next)
        row(text, at, "td", "");
    bw_buffer_text(&text->out, "</tbody>\n</table></div>\n");
}
