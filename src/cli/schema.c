// schema.c - `beltwright schema NAME [in|out]`: JSON Schema of a study or a kind of document.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/emit.h"
#include "base/suggest.h"
#include "study/door.h"

#include <string.h>

// A kind of document is known by the first part of its shape: machine/1 is "machine".
static const char *document_name(struct bw_arena *arena, const struct bw_file_kind *kind) {
    return bw_arena_text(arena, kind->shape, strcspn(kind->shape, "/"));
}

// The `index`-th document kind that some study takes; kinds may come more than once.
static const struct bw_file_kind *document(size_t index) {
    for (const struct bw_study *const *study = bw_studies(); *study != NULL; study++) {
        const struct bw_field *field = (*study)->in->fields;
        for (; field->name != NULL; field++) {
            if (field->kind != BW_FILE) continue;
            const struct bw_file_kind *kind = field->of;
            if (kind->record != NULL && index-- == 0) return kind;
        }
    }
    return NULL;
}

static bool not_found(struct bw_arena *arena, const char *name, struct bw_err *err) {
    struct bw_words words = {.n = 0};
    const struct bw_study *const *studies = bw_studies();
    for (size_t i = 0; studies[i] != NULL; i++) bw_words_add(&words, studies[i]->name);
    const struct bw_file_kind *kind;
    for (size_t i = 0; (kind = document(i)) != NULL; i++) {
        size_t first = 0;
        while (document(first) != kind) first++;
        const char *word = first < i ? NULL : document_name(arena, kind);
        if (word != NULL) bw_words_add(&words, word);
    }
    bw_fail(err, BW_NOT_FOUND, "there is no schema of that name");
    bw_err_value(err, name);
    if (words.n > 0) bw_words_mend(&words, name, "there are", err);
    return false;
}

static bool write_schema(struct bw_cli *cli, const struct bw_record *record, const char *shape,
                         struct bw_err *err) {
    struct bw_buffer out = {0};
    struct bw_json json = bw_json_begin(&out);
    bw_emit_schema(&json, record, shape);
    return bw_write(cli, "-", &out, err);
}

static bool direction(const char *word, bool *out, struct bw_err *err) {
    *out = word != NULL && strcmp(word, "out") == 0;
    if (word == NULL || *out || strcmp(word, "in") == 0) return true;
    bw_fail(err, BW_USAGE, "DIRECTION is in or out");
    bw_err_value(err, word);
    bw_err_mend(err, "write in for what the study takes, out for what it answers");
    return false;
}

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    const char *name = bw_given_value(given, "name");
    bool answer;
    char shape[BW_SHAPE_TEXT];
    if (!direction(bw_given_value(given, "direction"), &answer, err)) return false;
    const struct bw_study *study = bw_study_find(name);
    if (study != NULL && answer)
        return write_schema(cli, study->out, bw_study_shape(shape, study), err);
    if (study != NULL) return write_schema(cli, study->in, bw_study_input_shape(shape, study), err);
    const struct bw_file_kind *kind;
    for (size_t i = 0; (kind = document(i)) != NULL; i++) {
        const char *word = document_name(cli->arena, kind);
        if (word == NULL) return bw_fail_memory(err);
        if (strcmp(word, name) == 0) return write_schema(cli, kind->record, kind->shape, err);
    }
    return not_found(cli->arena, name, err);
}

static const struct bw_option OPTIONS[] = {
    {.name = "name",
     .value = "NAME",
     .takes = BW_TAKES_PAGE,
     .positional = true,
     .required = true,
     .help = "a study, or a kind of document that studies take"},
    {.name = "direction",
     .value = "DIRECTION",
     .takes = BW_TAKES_CHOICE,
     .choices = "in out",
     .positional = true,
     .help = "in: what the study takes (without it, this); out: what it answers"},
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_schema = {
    .page = {.name = "schema",
             .summary = "print the JSON Schema of an input, an answer or a document",
             .about = "Prints the JSON Schema (draft 2020-12) of what a study takes or answers, or "
                      "of a document such as the machine file. Editors and scripts can check "
                      "documents against it.",
             .example = "beltwright schema machine",
             .options = OPTIONS},
    .run = run,
};
