// worker.c - see worker.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "web/worker.h"

#include "base/alloc.h"
#include "base/json.h"
#include "read/media.h"
#include "report/svg.h"
#include "study/door.h"
#include "web/pack.h"

#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

// Readable on a phone as it is, and half as wide again on a bench screen.
#define PLOT_WIDTH 420

struct request {
    const char *bytes;
    size_t length;
    struct bw_arena *arena;
};

// The content of the request's first run of that name as text; "" if there is none.
static const char *text_of(const struct request *request, const char *name) {
    struct bw_packed run;
    if (!bw_pack_find(request->bytes, request->length, name, &run)) return "";
    const char *text = bw_arena_text(request->arena, run.bytes, run.length);
    return text == NULL ? "" : text;
}

// A loader for bw_binding: only files that came along.
static bool load(void *door, const struct bw_file_kind *kind, const char *name, struct bw_file *out,
                 struct bw_binding *binding, struct bw_err *err) {
    const struct request *request = door;
    struct bw_packed run;
    int fd = BW_WORKER_FILES;
    for (size_t at = 0; bw_pack_next(request->bytes, request->length, &at, &run);) {
        if (strcmp(run.name, "file") != 0) continue;
        if (run.length == strlen(name) && memcmp(run.bytes, name, run.length) == 0) {
            const struct bw_open_file file = {bw_arena_text(binding->arena, name, run.length), fd};
            if (file.path == NULL) return bw_fail_memory(err);
            return bw_media_load_open(NULL, &file, kind, binding, out, err);
        }
        fd++;
    }
    bw_err_mend(err, "give the %s itself", kind->name);
    return bw_fail(err, BW_REFUSED, "this file did not come along");
}

static bool add_plots(const struct bw_study *study, const void *answer, enum bw_units units,
                      struct request *request, struct bw_buffer *out, struct bw_err *err) {
    struct bw_plots plots = {.arena = request->arena, .units = units};
    if (study->plots == NULL) return true;
    study->plots(answer, &plots);
    if (plots.failed) return bw_fail_memory(err);
    const struct bw_svg_options options = {.width = PLOT_WIDTH, .units = units, .bare = true};
    for (const struct bw_plot *plot = plots.first; plot != NULL; plot = plot->next) {
        struct bw_buffer svg = {0};
        bool drawn = bw_svg_write(plot, &options, &svg, err);
        if (drawn) bw_pack_add(out, "plot", svg.data, svg.length);
        bw_buffer_free(&svg);
        if (!drawn) return false;
    }
    return true;
}

static void add_buffer(struct bw_buffer *out, const char *name, struct bw_buffer *part) {
    if (part->failed) out->failed = true;
    if (part->length > 0) bw_pack_add(out, name, part->data, part->length);
    bw_buffer_free(part);
}

static bool add_views(const struct bw_study *study, const void *answer, enum bw_units units,
                      struct request *request, struct bw_buffer *out, struct bw_err *err) {
    struct bw_buffer json = {0}, findings = {0};
    struct bw_json writer = bw_json_begin(&json);
    bw_study_emit(&writer, study, answer);
    add_buffer(out, "answer", &json);
    writer = bw_json_begin(&findings);
    if (!bw_findings_emit(&writer, study, answer, request->arena)) out->failed = true;
    add_buffer(out, "findings", &findings);
    struct bw_text text = {.arena = request->arena, .units = units, .form = BW_TEXT_HTML};
    study->text(answer, &text);
    add_buffer(out, "words", &text.out);
    if (out->failed || bw_arena_failed(request->arena)) return bw_fail_memory(err);
    return add_plots(study, answer, units, request, out, err);
}

static bool work(struct request *request, struct bw_buffer *out, struct bw_err *err) {
    const char *input = text_of(request, "input");
    const struct bw_study *study = bw_study_find(text_of(request, "study"));
    if (study == NULL) return bw_fail(err, BW_NOT_FOUND, "there is no study of that name");
    struct bw_binding binding = {.arena = request->arena, .load = load, .door = request};
    if (!bw_units_choose(text_of(request, "units"), &binding.units, err)) return false;
    struct bw_run run = {.arena = request->arena};
    struct bw_node *root;
    const void *in;
    void *answer;
    return bw_json_read(request->arena, "", input, strlen(input), &root, err) &&
           bw_study_bind(study, &binding, root, &in, err) &&
           bw_study_run(study, &run, in, &answer, err) &&
           add_views(study, answer, binding.units, request, out, err);
}

static void add_text(struct bw_buffer *out, const char *name, const char *text) {
    if (text[0] != '\0') bw_pack_text(out, name, text);
}

static void add_error(struct bw_buffer *out, const struct bw_err *err) {
    struct bw_buffer json = {0};
    struct bw_json writer = bw_json_begin(&json);
    char number[24];
    bw_error_emit(&writer, err);
    add_buffer(out, "error", &json);
    (void)snprintf(number, sizeof number, "%d", bw_code_http(err->code));
    add_text(out, "status", number);
    (void)snprintf(number, sizeof number, "%d", err->line);
    if (err->line > 0) add_text(out, "line", number);
    add_text(out, "what", err->what);
    add_text(out, "file", err->file);
    add_text(out, "field", err->field);
    add_text(out, "value", err->value);
    add_text(out, "mend", err->mend);
}

static bool write_all(int fd, const struct bw_buffer *out) {
    for (size_t done = 0; done < out->length;) {
        ssize_t n = write(fd, out->data + done, out->length - done);
        if (n <= 0) return false;
        done += (size_t)n;
    }
    return true;
}

int bw_worker_main(void) {
    struct stat about;
    struct bw_err err = {0};
    if (fstat(BW_WORKER_REQUEST, &about) != 0 || about.st_size <= 0) return 1;
    struct request request = {.length = (size_t)about.st_size, .arena = bw_arena_new(0)};
    void *map = mmap(NULL, request.length, PROT_READ, MAP_PRIVATE, BW_WORKER_REQUEST, 0);
    if (map == MAP_FAILED || request.arena == NULL) return 1;
    request.bytes = map;
    struct bw_buffer out = {0};
    if (!work(&request, &out, &err)) {
        bw_buffer_free(&out);
        add_error(&out, &err);
    }
    bool written = !out.failed && write_all(BW_WORKER_RESULT, &out);
    bw_buffer_free(&out);
    bw_arena_free(request.arena);
    (void)munmap(map, request.length);
    return written ? 0 : 1;
}
