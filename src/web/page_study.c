// page_study.c - any study's form and answer, from its description.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "web/form.h"
#include "web/html.h"
#include "web/pack.h"

#include "base/number.h"
#include "study/study.h"

#include <string.h>

static const struct bw_form_fault NO_FAULT = {"", "", "", ""};

static const struct bw_study *find(struct bw_exchange *exchange) {
    const struct bw_study *study = bw_study_find(exchange->rest);
    if (study == NULL)
        bw_web_trouble(exchange, 404, "There is no page of that name.",
                       "The first page lists what there is.");
    return study;
}

static void write_form(struct bw_exchange *exchange, const struct bw_study *study,
                       const struct bw_form_fault *fault) {
    struct bw_buffer *out = &exchange->response.body;
    bw_buffer_format(out,
                     "<form method=\"post\" enctype=\"multipart/form-data\" "
                     "action=\"/study/%s\" novalidate>\n",
                     study->name);
    bw_html_token(exchange, out);
    // Enter in a field presses the first button of a form: it must be this one.
    bw_buffer_text(out, "<button class=\"unseen\" name=\"go\" value=\"1\" tabindex=\"-1\" "
                        "aria-hidden=\"true\"></button>\n");
    bw_form_write(exchange, study->in, fault, out);
    bw_buffer_text(out, "<button class=\"go\" name=\"go\" value=\"1\">Work it out</button>\n"
                        "</form>\n");
}

static void write_about(const struct bw_study *study, struct bw_buffer *out) {
    bw_buffer_text(out, "<details class=\"about\"><summary>What this does</summary>\n");
    bw_html_paragraphs(out, study->about);
    bw_buffer_text(out, "</details>\n");
}

static void form_page(struct bw_exchange *exchange, const struct bw_study *study, int status,
                      const struct bw_form_fault *fault) {
    struct bw_buffer *out = bw_html_begin(exchange, status, study->name);
    bw_html_words(out, "<p>", study->summary, ".</p>\n");
    if (fault->what[0] != '\0') {
        bw_html_words(out, "<p class=\"trouble\" role=\"alert\">", fault->what, "");
        if (fault->value[0] != '\0') bw_html_words(out, ": <q>", fault->value, "</q>");
        if (fault->mend[0] != '\0') bw_html_words(out, "<br>", fault->mend, "");
        if (fault->field[0] != '\0') bw_html_words(out, "<br>At: ", fault->field, "");
        bw_buffer_text(out, "</p>\n");
    }
    write_about(study, out);
    write_form(exchange, study, fault);
    bw_html_end(exchange);
}

bool bw_web_study(struct bw_exchange *exchange) {
    const struct bw_study *study = find(exchange);
    if (study != NULL) form_page(exchange, study, 200, &NO_FAULT);
    return true;
}

// ---- the answer ----

static const char *text_of(struct bw_exchange *exchange, const char *result, size_t length,
                           const char *name) {
    struct bw_packed run;
    if (!bw_pack_find(result, length, name, &run)) return "";
    const char *text = bw_arena_text(exchange->arena, run.bytes, run.length);
    return text == NULL ? "" : text;
}

static int status_of(const char *text) {
    struct bw_err ignored = {0};
    long status;
    return bw_count(text, strlen(text), 400, 599, &status, &ignored) ? (int)status : 500;
}

// "machine.yaml:12: there is no such part": where a file was at fault.
static const char *with_place(struct bw_exchange *exchange, const char *what, const char *file,
                              const char *line) {
    if (file[0] == '\0') return what;
    const char *whole = bw_arena_format(exchange->arena, "%s%s%s: %s", file,
                                        line[0] == '\0' ? "" : ", line ", line, what);
    return whole == NULL ? what : whole;
}

static void fault_page(struct bw_exchange *exchange, const struct bw_study *study,
                       const char *result, size_t length) {
    const char *what = text_of(exchange, result, length, "what");
    const struct bw_form_fault fault = {
        .field = text_of(exchange, result, length, "field"),
        .what = with_place(exchange, what, text_of(exchange, result, length, "file"),
                           text_of(exchange, result, length, "line")),
        .value = text_of(exchange, result, length, "value"),
        .mend = text_of(exchange, result, length, "mend"),
    };
    form_page(exchange, study, status_of(text_of(exchange, result, length, "status")), &fault);
}

static void write_plots(struct bw_buffer *out, const char *result, size_t length) {
    struct bw_packed run;
    for (size_t at = 0; bw_pack_next(result, length, &at, &run);) {
        if (strcmp(run.name, "plot") != 0) continue;
        bw_buffer_text(out, "<figure>");
        bw_buffer_add(out, run.bytes, run.length);
        bw_buffer_text(out, "</figure>\n");
    }
}

static void answer_page(struct bw_exchange *exchange, const struct bw_study *study,
                        const char *result, size_t length) {
    struct bw_packed words;
    struct bw_buffer *out = bw_html_begin(exchange, 200, study->name);
    bw_buffer_text(out, "<div class=\"answer\">\n");
    if (bw_pack_find(result, length, "words", &words))
        bw_buffer_add(out, words.bytes, words.length);
    bw_buffer_text(out, "</div>\n");
    write_plots(out, result, length);
    bw_buffer_text(out, "<details><summary>Change something</summary>\n");
    write_form(exchange, study, &NO_FAULT);
    bw_buffer_text(out, "</details>\n<details><summary>For other programs (JSON)</summary>\n");
    bw_html_words(out, "<pre tabindex=\"0\">", text_of(exchange, result, length, "answer"),
                  "</pre>\n</details>\n");
    write_about(study, out);
    bw_html_end(exchange);
}

static void done(void *with, const char *result, size_t length, const char *why) {
    struct bw_exchange *exchange = with;
    const struct bw_study *study = bw_study_find(exchange->rest);
    struct bw_packed run;
    if (result == NULL)
        bw_web_trouble(exchange, 500, why, "Try again; if it stays so, try fewer or smaller data.");
    else if (bw_pack_find(result, length, "answer", &run))
        answer_page(exchange, study, result, length);
    else
        fault_page(exchange, study, result, length);
    exchange->waiting = false;
    exchange->web->wake(exchange);
}

bool bw_web_study_run(struct bw_exchange *exchange) {
    const struct bw_study *study = find(exchange);
    struct bw_buffer input = {0};
    struct bw_err err = {0};
    if (study == NULL) return true;
    if (bw_part_text(exchange, "more")[0] != '\0') {
        form_page(exchange, study, 200, &NO_FAULT);
        return true;
    }
    bool good = bw_form_read(exchange, study->in, &input, &err);
    if (good) {
        bw_pack_text(&exchange->request, "study", study->name);
        bw_pack_text(&exchange->request, "units", exchange->units == BW_UNITS_US ? "us" : "si");
        bw_pack_add(&exchange->request, "input", input.data, input.length);
    }
    bw_buffer_free(&input);
    if (!good) {
        const struct bw_form_fault fault = {err.field, err.what, err.value, err.mend};
        form_page(exchange, study, bw_code_http(err.code), &fault);
    } else if (!bw_exchange_work(exchange, done)) {
        bw_web_trouble(exchange, 503, "Too much is being worked out just now.",
                       "Wait a moment and send it again.");
    }
    return true;
}
