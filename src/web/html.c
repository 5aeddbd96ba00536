// html.c - see html.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "web/html.h"

#include "base/markup.h"

#include <string.h>

void bw_html_words(struct bw_buffer *out, const char *open, const char *text, const char *close) {
    bw_buffer_text(out, open);
    bw_markup_escape(out, text, strlen(text));
    bw_buffer_text(out, close);
}

void bw_html_paragraphs(struct bw_buffer *out, const char *text) {
    while (*text != '\0') {
        const char *end = strstr(text, "\n\n");
        size_t length = end == NULL ? strlen(text) : (size_t)(end - text);
        bw_buffer_text(out, "<p>");
        bw_markup_escape(out, text, length);
        bw_buffer_text(out, "</p>\n");
        text += length + strspn(text + length, "\n");
    }
}

void bw_html_token(const struct bw_exchange *exchange, struct bw_buffer *out) {
    bw_html_words(out, "<input type=\"hidden\" name=\"token\" value=\"", exchange->web->token,
                  "\">\n");
}

static void units_form(const struct bw_exchange *exchange, struct bw_buffer *out) {
    bool us = exchange->units == BW_UNITS_US;
    bw_buffer_text(out, "<form method=\"post\" action=\"/settings\">\n");
    bw_html_token(exchange, out);
    bw_html_words(out, "<input type=\"hidden\" name=\"back\" value=\"", exchange->path, "\">\n");
    bw_buffer_format(out,
                     "<button name=\"units\" value=\"%s\">%s <span class=\"quiet\">now %s"
                     "</span></button>\n</form>\n",
                     us ? "si" : "us", us ? "Show m and mm" : "Show ft and in",
                     us ? "ft and in" : "m and mm");
}

struct bw_buffer *bw_html_begin(struct bw_exchange *exchange, int status, const char *title) {
    struct bw_buffer *out = &exchange->response.body;
    bw_buffer_free(out);
    exchange->response.status = status;
    exchange->response.type = "text/html; charset=utf-8";
    bw_buffer_text(out,
                   "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                   "<meta name=\"viewport\" content=\"width=device-width, "
                   "initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light dark\">\n");
    bw_html_words(out, "<title>", title, " - beltwright</title>\n");
    bw_buffer_text(out, "<link rel=\"stylesheet\" href=\"/style.css?" BELTWRIGHT_VERSION "\">\n"
                        "<link rel=\"icon\" href=\"data:,\">\n</head>\n<body>\n"
                        "<a class=\"skip\" href=\"#main\">To the content</a>\n"
                        "<header><a class=\"name\" href=\"/\">beltwright</a>\n");
    units_form(exchange, out);
    bw_html_words(out, "</header>\n<main id=\"main\">\n<h1>", title, "</h1>\n");
    return out;
}

void bw_html_end(struct bw_exchange *exchange) {
    bw_buffer_text(&exchange->response.body, "</main>\n</body>\n</html>\n");
}
