// html.h - the frame of every page, and its small parts.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_WEB_HTML_H
#define BW_WEB_HTML_H

#include "web/exchange.h"

// Begins a page in the exchange's response; what is written follows in response.body until
// bw_html_end. `title` goes into the head and the first heading.
struct bw_buffer *bw_html_begin(struct bw_exchange *exchange, int status, const char *title);
void bw_html_end(struct bw_exchange *exchange);

// `open`, the text escaped, `close`.
void bw_html_words(struct bw_buffer *out, const char *open, const char *text, const char *close);
// Paragraphs separated by blank lines, as <p>.
void bw_html_paragraphs(struct bw_buffer *out, const char *text);
// The hidden field that every form needs.
void bw_html_token(const struct bw_exchange *exchange, struct bw_buffer *out);

#endif
