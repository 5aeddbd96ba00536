// page_home.c - the first page, and the small ones: settings, style sheet, health.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "web/html.h"

#include "base/embedded.h"
#include "report/svg.h"
#include "study/study.h"

#include <string.h>

bool bw_web_home(struct bw_exchange *exchange) {
    struct bw_buffer *out = bw_html_begin(exchange, 200, "What do you want to know?");
    bw_buffer_text(out, "<ul class=\"choices\">\n");
    for (const struct bw_study *const *at = bw_studies(); *at != NULL; at++) {
        bw_buffer_format(out, "<li><a href=\"/study/%s\"><strong>%s</strong>", (*at)->name,
                         (*at)->name);
        bw_html_words(out, " <span>", (*at)->summary, "</span></a></li>\n");
    }
    bw_buffer_text(out, "</ul>\n<p class=\"quiet\">Nothing leaves this machine.</p>\n");
    bw_html_end(exchange);
    return true;
}

// Only to a page of our own: "//elsewhere" would be another site.
static const char *back_to(const struct bw_exchange *exchange) {
    const char *back = bw_part_text(exchange, "back");
    bool own = back[0] == '/' && back[1] != '/' && back[1] != '\\' &&
               back[strspn(back, "/abcdefghijklmnopqrstuvwxyz0123456789-")] == '\0';
    return own ? back : "/";
}

bool bw_web_settings(struct bw_exchange *exchange) {
    bool us = strcmp(bw_part_text(exchange, "units"), "us") == 0;
    exchange->response.status = 303;
    exchange->response.type = "text/plain";
    exchange->response.location = back_to(exchange);
    exchange->response.cookie =
        us ? "units=us; Path=/; SameSite=Strict; HttpOnly; Max-Age=31536000"
           : "units=si; Path=/; SameSite=Strict; HttpOnly; Max-Age=31536000";
    return true;
}

bool bw_web_style(struct bw_exchange *exchange) {
    const char *bytes;
    size_t length;
    if (!bw_embedded_find("web/style.css", &bytes, &length)) return false;
    exchange->response.status = 200;
    exchange->response.type = "text/css; charset=utf-8";
    exchange->response.keep = true;
    bw_buffer_add(&exchange->response.body, bytes, length);
    bw_buffer_text(&exchange->response.body, bw_svg_style());
    return true;
}

bool bw_web_health(struct bw_exchange *exchange) {
    exchange->response.status = 200;
    exchange->response.type = "text/plain; charset=utf-8";
    bw_buffer_text(&exchange->response.body, "well\n");
    return true;
}
