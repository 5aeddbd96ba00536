// route.c - which page answers which address.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "web/html.h"
#include "web/pack.h"

#include <string.h>

static const struct bw_route ROUTES[] = {
    {BW_GET, "/", bw_web_home},
    {BW_GET, "/style.css", bw_web_style},
    {BW_GET, "/healthz", bw_web_health},
    {BW_POST, "/settings", bw_web_settings},
    {BW_GET, "/study/*", bw_web_study},
    {BW_POST, "/study/*", bw_web_study_run},
    {BW_GET, "/api/openapi.json", bw_web_api_document},
    {BW_GET, "/api/studies", bw_web_api_list},
    {BW_GET, "/api/studies/*", bw_web_api_study},
    {BW_POST, "/api/studies/*", bw_web_api_run},
};

const struct bw_part *bw_part_find(const struct bw_exchange *exchange, const char *name) {
    for (const struct bw_part *part = exchange->parts; part != NULL; part = part->next)
        if (strcmp(part->name, name) == 0) return part;
    return NULL;
}

const char *bw_part_text(const struct bw_exchange *exchange, const char *name) {
    const struct bw_part *part = bw_part_find(exchange, name);
    return part == NULL ? "" : part->text;
}

// The rest of the path behind a star, "" where there is none, NULL: another route.
static const char *rest_of(const struct bw_route *route, const char *path) {
    size_t length = strlen(route->path);
    if (route->path[length - 1] != '*') return strcmp(route->path, path) == 0 ? "" : NULL;
    if (strncmp(route->path, path, length - 1) != 0) return NULL;
    const char *rest = path + length - 1;
    return rest[0] == '\0' || strchr(rest, '/') != NULL ? NULL : rest;
}

// A form is taken only from a page of this very server run. Other programs have no token; what a
// browser sends for another site's page says so in its Origin, and came no further than server.c.
static bool may_post(const struct bw_exchange *exchange) {
    return strncmp(exchange->path, "/api/", 5) == 0 ||
           strcmp(bw_part_text(exchange, "token"), exchange->web->token) == 0;
}

void bw_web_trouble(struct bw_exchange *exchange, int status, const char *what, const char *mend) {
    struct bw_buffer *out = bw_html_begin(exchange, status, "That did not work");
    bw_html_words(out, "<p class=\"trouble\">", what, "</p>\n");
    if (mend[0] != '\0') bw_html_words(out, "<p>", mend, "</p>\n");
    bw_buffer_text(out, "<p><a class=\"button\" href=\"/\">Back to the beginning</a></p>\n");
    bw_html_end(exchange);
}

void bw_route_run(struct bw_exchange *exchange) {
    bool known = false;
    for (size_t i = 0; i < sizeof ROUTES / sizeof ROUTES[0]; i++) {
        const char *rest = rest_of(&ROUTES[i], exchange->path);
        if (rest == NULL) continue;
        known = true;
        if (ROUTES[i].method != exchange->method) continue;
        exchange->rest = rest;
        if (exchange->method == BW_POST && !may_post(exchange))
            bw_web_trouble(exchange, 403, "This form is of an earlier day or of another site.",
                           "Load the page anew and send it again.");
        else if (!ROUTES[i].run(exchange))
            exchange->response.body.failed = true;
        return;
    }
    if (known)
        bw_web_trouble(exchange, 405, "This address cannot be asked that way.", "");
    else
        bw_web_trouble(exchange, 404, "There is no page of that name.", "");
}

bool bw_exchange_file(struct bw_exchange *exchange, const char *name, int fd, bool opened) {
    if (exchange->n_files == BW_MAX_WORK_FILES) return false;
    if (opened) exchange->opened[exchange->n_opened++] = fd;
    exchange->files[exchange->n_files++] = fd;
    bw_pack_text(&exchange->request, "file", name);
    return true;
}

bool bw_exchange_work(struct bw_exchange *exchange, void (*done)(void *with, const char *result,
                                                                 size_t length, const char *why)) {
    if (exchange->request.failed) return false;
    const struct bw_task task = {.request = &exchange->request,
                                 .files = exchange->files,
                                 .n_files = exchange->n_files,
                                 .done = done,
                                 .with = exchange};
    exchange->waiting = true;  // before the task: it may fail, and be told so, at once
    if (bw_work_add(exchange->web->work, &task)) return true;
    exchange->waiting = false;
    return false;
}
