// form.c - see form.h: the controls.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "web/form.h"

#include "web/html.h"
#include "web/kept.h"

#include <string.h>

// One form being written.
struct form {
    const struct bw_exchange *exchange;
    const struct bw_form_fault *fault;
    struct bw_buffer *out;
};

static const char *path_of(const struct form *form, const char *prefix, const char *name) {
    const char *path = bw_arena_format(form->exchange->arena, "%s%s", prefix, name);
    if (path == NULL) form->out->failed = true;
    return path == NULL ? "" : path;
}

static const char *sent(const struct form *form, const char *path, const char *tail) {
    return bw_part_text(form->exchange, path_of(form, path, tail));
}

// "marks[0].pitch" is at the control marks.0.pitch.
static bool is_at_fault(const struct form *form, const char *path) {
    const char *field = form->fault->field;
    for (; *field != '\0' && *path != '\0'; field++) {
        if (*field == ']') continue;
        if (*path != (*field == '[' ? '.' : *field)) return false;
        path++;
    }
    while (*field == ']') field++;
    return *field == *path && form->fault->field[0] != '\0';
}

// "belt_speed" is read "belt speed".
static void label_words(struct bw_buffer *out, const char *name) {
    for (; *name != '\0'; name++) bw_buffer_char(out, *name == '_' ? ' ' : *name);
}

static void write_fault(const struct form *form, const char *path) {
    if (!is_at_fault(form, path)) return;
    bw_html_words(form->out, "<p class=\"trouble\" id=\"", path, "-fault\">");
    bw_html_words(form->out, "", form->fault->what, "");
    if (form->fault->mend[0] != '\0') bw_html_words(form->out, ": ", form->fault->mend, "");
    bw_buffer_text(form->out, "</p>\n");
}

static void words_of(const struct form *form, const struct bw_field *field) {
    label_words(form->out, field->name);
    if (field->required) bw_buffer_text(form->out, " <span class=\"quiet\">needed</span>");
}

// A document has three controls, each with a label of its own.
static bool has_several(const struct bw_field *field) {
    const struct bw_file_kind *kind = field->of;
    return field->kind == BW_FILE && kind->record != NULL;
}

// The label, the help, the fault: what stands before every control.
static void open_control(const struct form *form, const struct bw_field *field, const char *path) {
    char takes[BW_MAX_ERROR_TEXT];
    bool bare = field->kind == BW_CHOICE || field->kind == BW_FILE;
    bool several = has_several(field);
    if (several) {
        bw_html_words(form->out, "<div class=\"control\" role=\"group\" aria-labelledby=\"", path,
                      "-label\">\n");
        bw_html_words(form->out, "<p class=\"label\" id=\"", path, "-label\">");
    } else {
        bw_html_words(form->out, "<div class=\"control\">\n<label for=\"", path, "\">");
    }
    words_of(form, field);
    bw_html_words(form->out,
                  several ? "</p>\n<p class=\"help\" id=\"" : "</label>\n<p class=\"help\" id=\"",
                  path, "-help\">");
    bw_html_words(form->out, "", field->help, "");
    bw_field_takes(field, form->exchange->units, takes, sizeof takes);
    char *ways = strstr(takes, "; by: ");
    if (ways != NULL) *ways = '\0';  // they are offered by themselves
    if (!bare && takes[0] != '\0') bw_html_words(form->out, ": ", takes, "");
    if (field->fallback != NULL) bw_html_words(form->out, ". Left empty: ", field->fallback, "");
    bw_buffer_text(form->out, "</p>\n");
    write_fault(form, path);
}

static void attributes(const struct form *form, const char *path) {
    bool fault = is_at_fault(form, path);
    bw_html_words(form->out, " id=\"", path, "\"");
    bw_html_words(form->out, " name=\"", path, "\"");
    bw_html_words(form->out, " aria-describedby=\"", path, "-help");
    if (fault) bw_html_words(form->out, " ", path, "-fault");
    bw_buffer_format(form->out, "\"%s", fault ? " aria-invalid=\"true\" autofocus" : "");
}

static void option(const struct form *form, const char *value, const char *words, bool chosen) {
    bw_html_words(form->out, "<option value=\"", value, "\"");
    if (chosen) bw_buffer_text(form->out, " selected");
    bw_html_words(form->out, ">", words, "</option>\n");
}

// How it was measured: the ways by name, with what each is.
static void ways(const struct form *form, const struct bw_field *field, const char *path) {
    const char *chosen = sent(form, path, ".by");
    bw_html_words(form->out, "<label class=\"by\" for=\"", path, ".by\">known by</label>\n");
    bw_html_words(form->out, "<select id=\"", path, ".by\"");
    bw_html_words(form->out, " name=\"", path, ".by\">\n");
    option(form, "", "not stated", chosen[0] == '\0');
    for (const struct bw_way *way = field->of; way->name != NULL; way++) {
        const char *words = bw_arena_format(form->exchange->arena, "%s: %s", way->name, way->help);
        option(form, way->name, words == NULL ? way->name : words, strcmp(way->name, chosen) == 0);
    }
    bw_buffer_text(form->out, "</select>\n");
}

static void typed(const struct form *form, const struct bw_field *field, const char *path) {
    bw_buffer_format(form->out, "<input autocomplete=\"off\"%s",
                     field->kind == BW_COUNT ? " inputmode=\"numeric\"" : "");
    attributes(form, path);
    bw_html_words(form->out, " value=\"", sent(form, path, ""), "\">\n");
    if (field->kind == BW_QUANTITY && field->of != NULL) ways(form, field, path);
}

static void choice(const struct form *form, const struct bw_field *field, const char *path) {
    const char *chosen = sent(form, path, ""), *name;
    bw_buffer_text(form->out, "<select");
    attributes(form, path);
    bw_buffer_text(form->out, ">\n");
    option(form, "", field->fallback == NULL ? "not known" : "as usual", chosen[0] == '\0');
    const struct bw_choice *choices = field->of;
    for (size_t i = 0; (name = choices[i].name) != NULL; i++) {
        const char *words =
            choices[i].help == NULL
                ? name
                : bw_arena_format(form->exchange->arena, "%s: %s", name, choices[i].help);
        option(form, name, words == NULL ? name : words, strcmp(name, chosen) == 0);
    }
    bw_buffer_text(form->out, "</select>\n");
}

static void kept(const struct form *form, const struct bw_file_kind *kind, const char *path) {
    struct bw_kept list;
    if (!bw_kept_list(form->exchange->arena, form->exchange->web->folder, kind->shape, &list))
        return;
    if (list.n == 0) return;
    const char *chosen = sent(form, path, ".kept");
    bw_html_words(form->out, "<label class=\"by\" for=\"", path, ".kept\">one kept here</label>\n");
    bw_html_words(form->out, "<select id=\"", path, ".kept\"");
    bw_html_words(form->out, " name=\"", path, ".kept\">\n");
    option(form, "", "none", chosen[0] == '\0');
    for (size_t i = 0; i < list.n; i++)
        option(form, list.names[i], list.names[i], strcmp(list.names[i], chosen) == 0);
    bw_buffer_text(form->out, "</select>\n");
}

static void file(const struct form *form, const struct bw_field *field, const char *path) {
    const struct bw_file_kind *kind = field->of;
    bool picture = kind->medium == BW_MEDIUM_PICTURE;
    if (kind->record != NULL) kept(form, kind, path);
    if (kind->record != NULL)
        bw_html_words(form->out, "<label class=\"by\" for=\"", path, "\">a file</label>\n");
    bw_buffer_format(form->out, "<input type=\"file\"%s",
                     picture ? " accept=\"image/jpeg,image/png,image/tiff,image/heic\"" : "");
    attributes(form, path);
    bw_buffer_text(form->out, ">\n");
    if (kind->record == NULL) return;
    bw_html_words(form->out, "<label class=\"by\" for=\"", path, ".text\">or typed</label>\n");
    bw_html_words(form->out, "<textarea rows=\"3\" spellcheck=\"false\" id=\"", path, ".text\"");
    bw_html_words(form->out, " name=\"", path, ".text\">\n");
    bw_html_words(form->out, "", sent(form, path, ".text"), "</textarea>\n");
}

static void scalar(const struct form *form, const struct bw_field *field, const char *prefix) {
    const char *path = path_of(form, prefix, field->name);
    open_control(form, field, path);
    if (field->kind == BW_CHOICE)
        choice(form, field, path);
    else if (field->kind == BW_FILE)
        file(form, field, path);
    else
        typed(form, field, path);
    bw_buffer_text(form->out, "</div>\n");
}

bool bw_form_is_plain(const struct bw_field *field) {
    return field->kind != BW_RECORD && field->kind != BW_LIST && field->kind != BW_ONEOF;
}

static void group(const struct form *form, const struct bw_record *record, const char *path,
                  const char *prefix) {
    write_fault(form, path);
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        if (bw_form_is_plain(field)) scalar(form, field, prefix);
}

static void record(const struct form *form, const struct bw_field *field) {
    bw_buffer_text(form->out, "<fieldset>\n<legend>");
    label_words(form->out, field->name);
    bw_html_words(form->out, "</legend>\n<p class=\"help\">", field->help, "</p>\n");
    group(form, field->of, field->name, path_of(form, field->name, "."));
    bw_buffer_text(form->out, "</fieldset>\n");
}

static void list(const struct form *form, const struct bw_field *field) {
    const struct bw_record *of = field->of;
    size_t n = bw_form_items(form->exchange, field);
    for (size_t i = 0; i < n; i++) {
        const char *prefix = bw_arena_format(form->exchange->arena, "%s.%zu.", field->name, i);
        const char *path = bw_arena_format(form->exchange->arena, "%s.%zu", field->name, i);
        if (prefix == NULL || path == NULL) return;
        bw_html_words(form->out, "<fieldset>\n<legend>", of->name, "");
        bw_buffer_format(form->out, " %zu</legend>\n", i + 1);
        if (i == 0) bw_html_words(form->out, "<p class=\"help\">", field->help, "</p>\n");
        group(form, of, path, prefix);
        bw_buffer_text(form->out, "</fieldset>\n");
    }
    bw_buffer_format(form->out, "<input type=\"hidden\" name=\"%s.n\" value=\"%zu\">\n",
                     field->name, n);
    if (n >= bw_field_count_max(field) || n >= BW_MAX_FORM_ITEMS) return;
    bw_html_words(form->out, "<button name=\"more\" value=\"", field->name, "\">");
    bw_html_words(form->out, "One more ", of->name, "</button>\n");
}

static bool is_shown(const struct bw_field *field) {
    if (bw_form_is_plain(field)) return true;
    if (field->kind == BW_ONEOF) return false;
    const struct bw_record *of = field->of;
    for (const struct bw_field *inner = of->fields; inner->name != NULL; inner++)
        if (bw_form_is_plain(inner)) return true;
    return false;
}

// What is needed, or given by its place, stands in front. Where nothing must be given, the first
// list does too, for readings come as lists; and where nothing has a place either, all but the
// other lists.
static bool is_front(const struct bw_record *of, const struct bw_field *field) {
    const struct bw_field *list = NULL;
    bool required = false, positional = false;
    for (const struct bw_field *any = of->fields; any->name != NULL; any++) {
        required |= any->required;
        positional |= any->positional;
        if (list == NULL && any->kind == BW_LIST) list = any;
    }
    if (field->required || field->positional) return true;
    if (required) return false;
    return field == list || (!positional && field->kind != BW_LIST);
}

static void write_fields(const struct form *form, const struct bw_record *of, bool front) {
    for (const struct bw_field *field = of->fields; field->name != NULL; field++) {
        if (!is_shown(field) || is_front(of, field) != front) continue;
        if (field->kind == BW_LIST)
            list(form, field);
        else if (field->kind == BW_RECORD)
            record(form, field);
        else
            scalar(form, field, "");
    }
}

static bool has_more(const struct bw_record *of) {
    for (const struct bw_field *field = of->fields; field->name != NULL; field++)
        if (is_shown(field) && !is_front(of, field)) return true;
    return false;
}

// Something in the folded part was sent or is at fault: then it stands open.
static bool is_open(const struct form *form, const struct bw_record *of) {
    for (const struct bw_field *field = of->fields; field->name != NULL; field++) {
        size_t length = strlen(field->name);
        if (is_front(of, field)) continue;
        if (strncmp(form->fault->field, field->name, length) == 0 &&
            strchr(".[", form->fault->field[length]) != NULL)
            return true;
        for (const struct bw_part *part = form->exchange->parts; part != NULL; part = part->next)
            if (part->length > 0 && strncmp(part->name, field->name, length) == 0 &&
                strchr(".", part->name[length]) != NULL)
                return true;
    }
    return false;
}

void bw_form_write(const struct bw_exchange *exchange, const struct bw_record *of,
                   const struct bw_form_fault *fault, struct bw_buffer *out) {
    const struct form form = {exchange, fault, out};
    write_fields(&form, of, true);
    if (!has_more(of)) return;
    bw_buffer_format(out, "<details%s>\n<summary>More that can be said</summary>\n",
                     is_open(&form, of) ? " open" : "");
    write_fields(&form, of, false);
    bw_buffer_text(out, "</details>\n");
}
