// study.c - runs any study from the command line: options or a document in, the views out.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Options become nodes, as a document would; only the binder reads them. What it then has to say
// about a field is said about the option that was typed.
#include "cli/cli.h"

#include "base/bind.h"
#include "base/json.h"
#include "read/media.h"
#include "report/png.h"
#include "report/svg.h"
#include "study/door.h"

#include <ctype.h>
#include <errno.h>
#include <string.h>
#include <sys/stat.h>

// The option that fills `field`, and how often it was given.
static const struct bw_option *filler(const struct bw_page *page, const char *key, size_t length) {
    for (const struct bw_option *option = page->options; option->name != NULL; option++) {
        if (option->field == NULL) continue;
        if (strlen(option->field->name) == length && memcmp(option->field->name, key, length) == 0)
            return option;
    }
    return NULL;
}

static size_t times_given(const struct bw_arguments *given, const struct bw_option *option) {
    size_t times = 0;
    for (size_t i = 0; i < given->n; i++) times += given->items[i].option == option;
    return times;
}

// "marks[1].pitch" becomes "--mark 2, pitch"; places within a file are left alone.
void bw_study_blame(struct bw_arena *arena, const struct bw_page *page,
                    const struct bw_arguments *given, struct bw_err *err) {
    if (err->file[0] != '\0' || err->field[0] == '\0') return;
    size_t length = strcspn(err->field, ".[");
    const struct bw_option *option = filler(page, err->field, length);
    if (option == NULL) return;
    const char *rest = err->field + length;
    char number[24] = "";
    if (*rest == '[') {
        size_t index = 0;
        for (rest++; isdigit((unsigned char)*rest); rest++)
            index = 10 * index + (size_t)(*rest - '0');
        rest += *rest == ']';
        if (times_given(given, option) > 1)
            (void)snprintf(number, sizeof number, " %zu", index + 1);
    }
    rest += *rest == '.';
    const char *place = bw_arena_format(arena, "%s%s%s%s", bw_option_typed(arena, option), number,
                                        *rest == '\0' ? "" : ", ", rest);
    if (place == NULL) return;
    err->field[0] = '\0';
    bw_err_within(err, place);
}

static bool add_node(struct bw_arena *arena, struct bw_node *root, const struct bw_field *field,
                     struct bw_node *value) {
    if (field->kind != BW_LIST) return bw_node_add_key(arena, root, field->name, value);
    // The list was made here, at its first item.
    struct bw_node *list = (struct bw_node *)bw_node_find(root, field->name);
    if (list == NULL) {
        list = bw_node_new(arena, BW_NODE_LIST);
        if (list == NULL || !bw_node_add_key(arena, root, field->name, list)) return false;
    }
    bw_node_add(list, value);
    return true;
}

bool bw_study_nodes(struct bw_arena *arena, const struct bw_page *page,
                    const struct bw_arguments *given, struct bw_node **out, struct bw_err *err) {
    if (!bw_options_complete(arena, page, given, err)) return false;
    struct bw_node *root = bw_node_new(arena, BW_NODE_MAP);
    if (root == NULL) return bw_fail_memory(err);
    for (size_t i = 0; i < given->n; i++) {
        const struct bw_given *item = &given->items[i];
        if (item->option->field == NULL) continue;
        const char *value = item->option->field->flag ? "yes" : item->value;
        struct bw_node *text = bw_node_text(arena, value, strlen(value));
        if (text == NULL || !add_node(arena, root, item->option->field, text))
            return bw_fail_memory(err);
    }
    *out = root;
    return true;
}

bool bw_study_typed(struct bw_arena *arena, const struct bw_page *page,
                    const struct bw_arguments *given, const void **in, struct bw_err *err) {
    struct bw_node *root;
    struct bw_media_door door = {.unjailed = bw_given(given, "unjailed")};
    struct bw_binding binding = {.arena = arena, .load = bw_media_load, .door = &door};
    if (!bw_study_nodes(arena, page, given, &root, err)) return false;
    if (!bw_units_choose(bw_given_value(given, "units"), &binding.units, err)) return false;
    if (bw_study_bind(page->study, &binding, root, in, err)) return true;
    bw_study_blame(arena, page, given, err);
    return false;
}

// A document holds the whole input; what is typed beside it would be lost.
bool bw_study_only_document(struct bw_arena *arena, const struct bw_arguments *given,
                            struct bw_err *err) {
    for (size_t i = 0; i < given->n; i++) {
        const struct bw_option *option = given->items[i].option;
        if (option->field == NULL) continue;
        bw_fail(err, BW_USAGE, "%s cannot stand beside --input", bw_option_typed(arena, option));
        bw_err_value(err, given->items[i].value);
        bw_err_mend(err, "put it into the document, or leave --input out");
        return false;
    }
    return true;
}

// Files that the document names are looked for beside it.
static bool bind_document(struct bw_cli *cli, const struct bw_study *study,
                          const struct bw_arguments *given, const void **in, struct bw_err *err) {
    const char *name = bw_given_value(given, "input");
    const struct bw_file_kind kind = {.name = "document", .max_bytes = BW_MAX_DOCUMENT_BYTES};
    struct bw_media_door door = {.unjailed = bw_given(given, "unjailed")};
    struct bw_binding binding = {.arena = cli->arena, .load = bw_media_load, .door = &door};
    struct bw_file file;
    struct bw_node *root;
    if (!bw_units_choose(bw_given_value(given, "units"), &binding.units, err)) return false;
    if (!bw_load_file(NULL, &kind, name, &file, &binding, err)) {
        bw_err_within(err, "--input");
        return false;
    }
    binding.file = file.name;
    binding.source = file.content;
    binding.source_length = file.size;
    return bw_document_read(cli->arena, file.name, file.content, file.size, &root, err) &&
           bw_study_bind(study, &binding, root, in, err);
}

static bool write_answer(struct bw_cli *cli, const struct bw_study *study, const void *out,
                         enum bw_units units, struct bw_err *err) {
    struct bw_text text = bw_cli_text(cli, units);
    study->text(out, &text);
    return bw_write(cli, "-", &text.out, err);
}

static bool write_json(struct bw_cli *cli, const struct bw_study *study, const void *out,
                       struct bw_err *err) {
    struct bw_buffer buffer = {0};
    struct bw_json json = bw_json_begin(&buffer);
    bw_study_emit(&json, study, out);
    return bw_write(cli, "-", &buffer, err);
}

static bool write_findings(struct bw_cli *cli, const struct bw_study *study, const void *out,
                           const char *name, struct bw_err *err) {
    struct bw_buffer buffer = {0};
    struct bw_json json = bw_json_begin(&buffer);
    bool good = bw_findings_emit(&json, study, out, cli->arena);
    if (!good) buffer.failed = true;
    return bw_write(cli, name, &buffer, err);
}

static bool make_folder(const char *folder, struct bw_err *err) {
    if (mkdir(folder, 0777) == 0 || errno == EEXIST) return true;
    bw_fail(err, BW_IO, "the folder cannot be made: %s", strerror(errno));
    bw_err_file(err, folder);
    return false;
}

// Where a picture lies under the plot, also as a picture.
static bool write_overlay(struct bw_cli *cli, const struct bw_plot *plot, const char *folder,
                          struct bw_err *err) {
    if (plot->raster.codes == NULL) return true;
    const char *name = bw_arena_format(cli->arena, "%s/%s.png", folder, plot->id);
    struct bw_buffer png = {0};
    if (name == NULL) return bw_fail_memory(err);
    bool drawn = bw_overlay_write(plot, &png, err);
    if (!drawn) bw_buffer_free(&png);
    return drawn && bw_write(cli, name, &png, err);
}

static bool write_plots(struct bw_cli *cli, const struct bw_study *study, const void *out,
                        const char *folder, enum bw_units units, struct bw_err *err) {
    struct bw_plots plots = {.arena = cli->arena, .units = units};
    study->plots(out, &plots);
    if (plots.failed) return bw_fail_memory(err);
    if (!make_folder(folder, err)) return false;
    for (const struct bw_plot *plot = plots.first; plot != NULL; plot = plot->next) {
        const char *name = bw_arena_format(cli->arena, "%s/%s.svg", folder, plot->id);
        struct bw_buffer svg = {0};
        if (name == NULL) return bw_fail_memory(err);
        bool drawn = bw_svg_write(plot, &(struct bw_svg_options){.units = units}, &svg, err);
        if (!drawn) bw_buffer_free(&svg);
        if (!drawn || !bw_write(cli, name, &svg, err)) return false;
        if (!write_overlay(cli, plot, folder, err)) return false;
    }
    return true;
}

// The files first: when one cannot be written, no answer has been printed that looks complete.
static bool write_views(struct bw_cli *cli, const struct bw_page *page,
                        const struct bw_arguments *given, const void *out, enum bw_units units,
                        struct bw_err *err) {
    const char *folder = bw_given_value(given, "plot");
    const char *findings = bw_given_value(given, "findings");
    if (folder != NULL && !write_plots(cli, page->study, out, folder, units, err)) return false;
    if (findings != NULL && !write_findings(cli, page->study, out, findings, err)) return false;
    if (findings != NULL && strcmp(findings, "-") == 0) return true;
    if (bw_given(given, "json")) return write_json(cli, page->study, out, err);
    return write_answer(cli, page->study, out, units, err);
}

static bool views_fit(const struct bw_arguments *given, struct bw_err *err) {
    const char *findings = bw_given_value(given, "findings");
    if (findings == NULL || strcmp(findings, "-") != 0 || !bw_given(given, "json")) return true;
    bw_fail(err, BW_USAGE, "--json and --findings - both want standard output");
    bw_err_mend(err, "give --findings the name of a file");
    return false;
}

bool bw_study_command(struct bw_cli *cli, const struct bw_page *page,
                      const struct bw_arguments *given, struct bw_err *err) {
    enum bw_units units;
    const char *input = bw_given_value(given, "input");
    const void *in;
    void *out;
    if (!bw_units_choose(bw_given_value(given, "units"), &units, err)) {
        bw_err_within(err, "--units");
        return false;
    }
    if (!views_fit(given, err)) return false;
    bool bound = input == NULL ? bw_study_typed(cli->arena, page, given, &in, err)
                               : bw_study_only_document(cli->arena, given, err) &&
                                     bind_document(cli, page->study, given, &in, err);
    if (!bound) return false;
    struct bw_run run = {.arena = cli->arena};
    if (!bw_study_run(page->study, &run, in, &out, err)) {
        if (input == NULL) bw_study_blame(cli->arena, page, given, err);
        return false;
    }
    return write_views(cli, page, given, out, units, err);
}
