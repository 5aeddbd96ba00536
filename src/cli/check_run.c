// check_run.c - asks the program what a check asks, and compares.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/checks.h"

#include "base/embedded.h"
#include "base/number.h"
#include "base/suggest.h"
#include "study/door.h"

#include <string.h>

// An answer, or the error given in its place.
struct answer {
    const char *text;  // a word, NULL: a quantity
    double v;
    enum bw_dim dim;
    struct bw_err err;
};

// --- probes: name key=value key="two words" key='1/16"'

struct call {
    const char *rest;
    struct bw_arena *arena;
};

static const char *take(struct call *call, const char *stops) {
    size_t length = strcspn(call->rest, stops);
    const char *word = bw_arena_text(call->arena, call->rest, length);
    call->rest += length;
    return word;
}

static void skip_spaces(struct call *call) { call->rest += strspn(call->rest, " \n\r\t"); }

static bool unreadable(struct bw_err *err, const char *what, const char *value) {
    bw_fail(err, BW_INPUT, "%s", what);
    bw_err_value(err, value);
    bw_err_mend(err, "write: name input=\"value\" input=\"value\"");
    bw_err_within(err, "do");
    return false;
}

// One key=value; the value without its quotes.
static bool take_input(struct call *call, const char **key, const char **value,
                       struct bw_err *err) {
    *key = take(call, "= \n");
    if (*key == NULL) return bw_fail_memory(err);
    if (*call->rest != '=') return unreadable(err, "an input has no value", *key);
    call->rest++;
    char quote[2] = {*call->rest, '\0'};
    bool quoted = quote[0] == '"' || quote[0] == '\'';
    if (quoted) call->rest++;
    *value = take(call, quoted ? quote : " \n");
    if (*value == NULL) return bw_fail_memory(err);
    if (!quoted) return true;
    if (*call->rest != quote[0]) return unreadable(err, "a quote is not closed", *value);
    call->rest++;
    return true;
}

static const struct bw_probe *find_probe(const char *name, struct bw_err *err) {
    struct bw_words words = {.n = 0};
    for (const struct bw_probe *const *list = bw_probe_lists(); *list != NULL; list++) {
        for (const struct bw_probe *probe = *list; probe->name != NULL; probe++) {
            if (strcmp(probe->name, name) == 0) return probe;
            bw_words_add(&words, probe->name);
        }
    }
    bw_fail(err, BW_NOT_FOUND, "there is no probe of that name");
    bw_err_value(err, name);
    bw_words_mend(&words, name, "there are", err);
    bw_err_within(err, "do");
    return NULL;
}

static int input_index(const struct bw_probe *probe, const char *key) {
    for (int i = 0; probe->inputs[i].name != NULL; i++)
        if (bw_key_same(probe->inputs[i].name, key)) return i;
    return -1;
}

static bool read_input(const struct bw_probe *probe, int i, const char *value,
                       struct bw_probe_value *out, struct bw_err *err) {
    struct bw_quantity q = BW_UNKNOWN;
    if (!probe->inputs[i].text &&
        !bw_quantity_read(value, strlen(value), probe->inputs[i].dim, NULL, &q, err)) {
        bw_err_within(err, probe->inputs[i].name);
        return false;
    }
    *out = (struct bw_probe_value){.v = q.v, .text = value};
    return true;
}

static bool read_inputs(struct call *call, const struct bw_probe *probe,
                        struct bw_probe_value in[BW_PROBE_INPUTS], struct bw_err *err) {
    bool seen[BW_PROBE_INPUTS] = {false};
    for (skip_spaces(call); *call->rest != '\0'; skip_spaces(call)) {
        const char *key, *value;
        if (!take_input(call, &key, &value, err)) return false;
        int i = input_index(probe, key);
        if (i < 0) return unreadable(err, "the probe has no such input", key);
        if (seen[i]) return unreadable(err, "an input is given twice", key);
        seen[i] = true;
        if (!read_input(probe, i, value, &in[i], err)) return false;
    }
    for (int i = 0; probe->inputs[i].name != NULL; i++)
        if (!seen[i]) return unreadable(err, "an input is missing", probe->inputs[i].name);
    return true;
}

static bool ask_probe(struct bw_arena *arena, const char *words, struct answer *out,
                      struct bw_err *err) {
    struct call call = {.rest = words, .arena = arena};
    struct bw_probe_value in[BW_PROBE_INPUTS] = {{0}}, value = {.v = 0};
    const char *name = take(&call, " \n");
    if (name == NULL) return bw_fail_memory(err);
    const struct bw_probe *probe = find_probe(name, err);
    if (probe == NULL || !read_inputs(&call, probe, in, err)) return false;
    *out = (struct answer){.dim = probe->dim};
    if (!probe->run(in, &value, &out->err)) return true;
    out->text = probe->text ? value.text : NULL;
    out->v = value.v;
    return true;
}

// --- studies

// Documents that a study's input names are carried in the program, beside the checks.
static bool load_carried(void *door, const struct bw_file_kind *kind, const char *name,
                         struct bw_file *out, struct bw_binding *binding, struct bw_err *err) {
    (void)door;
    const char *bytes;
    size_t length;
    struct bw_node *root;
    if (!bw_embedded_find(name, &bytes, &length)) {
        bw_fail(err, BW_NOT_FOUND, "the program carries no document of that name");
        bw_err_value(err, name);
        bw_err_mend(err, "put it under data/ and name it from there");
        return false;
    }
    if (kind->record == NULL) {
        *out = (struct bw_file){.name = name, .content = bytes, .size = length};
        return true;
    }
    struct bw_binding inner = {.arena = binding->arena,
                               .file = name,
                               .source = bytes,
                               .source_length = length,
                               .shape = kind->shape};
    void *content = bw_arena_get(binding->arena, kind->record->size);
    if (content == NULL) return bw_fail_memory(err);
    if (!bw_document_read(binding->arena, name, bytes, length, &root, err)) return false;
    if (!bw_bind(&inner, root, kind->record, content, err)) return false;
    *out = (struct bw_file){.name = name, .content = content};
    return true;
}

static bool read_document(struct bw_arena *arena, const char *input, struct bw_node **out,
                          struct bw_err *err) {
    const char *bytes = input;
    size_t length = strlen(input);
    if (input[0] != '{' && !bw_embedded_find(input, &bytes, &length)) {
        bw_fail(err, BW_NOT_FOUND, "the program carries no document of that name");
        bw_err_value(err, input);
        bw_err_mend(err, "write the input as {...}, or name a document under data/");
        return false;
    }
    return bw_document_read(arena, "", bytes, length, out, err);
}

// Runs the study; `err` of the answer is what the study or its input is refused for.
static bool run_study(struct bw_arena *arena, const struct bw_study *study, const char *input,
                      const void **out, struct bw_err *err) {
    struct bw_binding binding = {.arena = arena, .load = load_carried};
    struct bw_run run = {.arena = arena};
    struct bw_node *root;
    const void *in;
    void *result;
    if (!read_document(arena, input, &root, err)) return false;
    if (!bw_study_bind(study, &binding, root, &in, err)) return false;
    if (!bw_study_run(study, &run, in, &result, err)) return false;
    *out = result;
    return true;
}

static bool no_place(struct bw_err *err, const char *what, const char *rest) {
    bw_fail(err, BW_INPUT, "%s", what);
    bw_err_value(err, rest);
    bw_err_mend(err, "write field.field, list[0].field or list[key=word].field, "
                     "as in the study's JSON");
    bw_err_within(err, "at");
    return false;
}

// The text of a TEXT or CHOICE field, NULL: neither, or not given.
static const char *word_in(const struct bw_field *field, const void *record) {
    const void *at = bw_field_in(field, record);
    if (field->kind == BW_TEXT) return *(const char *const *)at;
    if (field->kind != BW_CHOICE || *(const int *)at < 0) return NULL;
    return bw_field_option(field, (size_t) * (const int *)at);
}

// The item chosen by "3" or "key=word"; NULL: none.
static const void *item(struct bw_list list, const struct bw_record *record, const char *choice) {
    const char *equals = strchr(choice, '=');
    struct bw_err ignored = {0};
    long index;
    if (equals == NULL) {
        if (!bw_count(choice, strlen(choice), 0, 1000000, &index, &ignored)) return NULL;
        return (size_t)index < list.n ? (const char *)list.items + (size_t)index * record->size
                                      : NULL;
    }
    for (size_t i = 0; i < list.n; i++) {
        const void *one = (const char *)list.items + i * record->size;
        for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
            const char *word = word_in(field, one);
            if (strlen(field->name) != (size_t)(equals - choice) || word == NULL) continue;
            if (strncmp(field->name, choice, (size_t)(equals - choice)) == 0 &&
                strcmp(word, equals + 1) == 0)
                return one;
        }
    }
    return NULL;
}

// One step of the path into what lies below a field; the last step stays at its field.
struct position {
    const struct bw_record *record;
    const void *at;
    const struct bw_field *field;
};

static bool descend(struct bw_arena *arena, struct position *position, struct call *path,
                    struct bw_err *err) {
    const struct bw_field *field = position->field;
    const void *at = bw_field_in(field, position->at);
    const struct bw_record *below = field->of;
    const void *next = NULL;
    if (field->kind == BW_RECORD) {
        next = *(const void *const *)at;
    } else if (field->kind == BW_LIST && *path->rest == '[') {
        path->rest++;
        const char *choice = take(path, "]");
        if (choice == NULL) return bw_fail_memory(err);
        if (*path->rest == ']') path->rest++;
        next = item(*(const struct bw_list *)at, below, choice);
    } else if (field->kind == BW_ONEOF) {
        const struct bw_oneof *one = at;
        next = one->item;
        if (next != NULL) below = ((const struct bw_choice_record *)field->of)[one->which].record;
    }
    (void)arena;
    if (next == NULL) return no_place(err, "the answer has nothing there", path->rest);
    if (*path->rest == '.') path->rest++;
    *position = (struct position){.record = below, .at = next};
    return true;
}

static bool walk(struct bw_arena *arena, const char *words, struct position *position,
                 struct bw_err *err) {
    struct call path = {.rest = words, .arena = arena};
    for (;;) {
        const char *name = take(&path, ".[");
        if (name == NULL) return bw_fail_memory(err);
        position->field = bw_field_find(position->record, name);
        if (position->field == NULL) return no_place(err, "the answer has no such field", name);
        if (*path.rest == '\0') return true;
        if (*path.rest == '.') path.rest++;
        if (!descend(arena, position, &path, err)) return false;
    }
}

static bool read_answer(const struct position *position, struct answer *out, struct bw_err *err) {
    const void *at = bw_field_in(position->field, position->at);
    *out = (struct answer){.v = BW_NAN};
    switch (position->field->kind) {
    case BW_QUANTITY:
        out->v = ((const struct bw_quantity *)at)->v;
        out->dim = position->field->dim;
        return true;
    case BW_COUNT:
        if (*(const long *)at != BW_NO_COUNT) out->v = (double)*(const long *)at;
        out->dim = BW_DIM_NUMBER;
        return true;
    case BW_LIST:
        out->v = (double)((const struct bw_list *)at)->n;
        out->dim = BW_DIM_NUMBER;
        return true;
    case BW_CHOICE:
    case BW_TEXT: out->text = word_in(position->field, position->at); return true;
    default: return no_place(err, "there stands no single value", position->field->name);
    }
}

static bool ask_study(struct bw_arena *arena, const struct bw_check *check, struct answer *out,
                      struct bw_err *err) {
    const struct bw_study *study = bw_study_find(check->study);
    if (study == NULL) {
        bw_fail(err, BW_NOT_FOUND, "there is no study of that name");
        bw_err_value(err, check->study);
        bw_err_mend(err, "beltwright --help lists the studies");
        return false;
    }
    *out = (struct answer){.v = BW_NAN};
    struct position position = {.record = study->out};
    if (!run_study(arena, study, check->input, &position.at, &out->err)) return true;
    if (check->at == NULL) return true;
    return walk(arena, check->at, &position, err) && read_answer(&position, out, err);
}

// --- comparing

static bool bad_expectation(struct bw_err *err, const char *what) {
    bw_fail(err, BW_INPUT, "%s", what);
    bw_err_mend(err, "write a value ± its tolerance, a number exactly, \"a word\", unknown, "
                     "or error KIND at FIELD");
    bw_err_within(err, "expect");
    return false;
}

static const char *value_words(struct bw_arena *arena, const struct answer *answer) {
    if (answer->err.code != BW_OK) {
        const struct bw_err *why = &answer->err;
        const char *at = why->field[0] == '\0' ? "" : " at ";
        return bw_arena_format(arena, "error %s%s%s: %s", bw_code_id(why->code), at, why->field,
                               why->what);
    }
    if (answer->text != NULL) return bw_arena_format(arena, "\"%s\"", answer->text);
    if (isnan(answer->v)) return "unknown";
    char number[BW_NUMBER_TEXT];
    bw_number_text(number, bw_dim_from_si(answer->dim, BW_UNITS_SI, answer->v));
    return bw_arena_format(arena, "%s %s", number, bw_dim_unit(answer->dim, BW_UNITS_SI));
}

// "error input at heads[0].drum": kind, and the field if one is named.
static bool compare_error(struct bw_arena *arena, const char *expect, const struct bw_err *got,
                          bool *passed, struct bw_err *err) {
    struct call call = {.rest = expect + strlen("error"), .arena = arena};
    skip_spaces(&call);
    const char *id = take(&call, " ");
    if (id == NULL) return bw_fail_memory(err);
    enum bw_code code = BW_OK;
    for (int i = 1; i < BW_CODE_COUNT; i++)
        if (strcmp(bw_code_id((enum bw_code)i), id) == 0) code = (enum bw_code)i;
    if (code == BW_OK) return bad_expectation(err, "there is no error of that kind");
    skip_spaces(&call);
    *passed = got->code == code;
    if (*call.rest == '\0') return true;
    if (strncmp(call.rest, "at ", 3) != 0)
        return bad_expectation(err, "the kind of error is followed by at and a field");
    *passed = *passed && strcmp(got->field, call.rest + 3) == 0;
    return true;
}

static bool compare_word(const char *expect, const struct answer *answer, bool *passed,
                         struct bw_err *err) {
    size_t length = strlen(expect);
    if (length < 2 || expect[0] != '"' || expect[length - 1] != '"')
        return bad_expectation(err, "the answer is a word, and a word is expected in quotes");
    *passed =
        strlen(answer->text) == length - 2 && memcmp(answer->text, expect + 1, length - 2) == 0;
    return true;
}

static bool compare_value(const char *expect, const struct answer *answer, bool *passed,
                          struct bw_err *err) {
    static const char EXACTLY[] = " exactly";
    size_t length = strlen(expect), tail = strlen(EXACTLY);
    bool exactly = length > tail && strcmp(expect + length - tail, EXACTLY) == 0;
    if (exactly) length -= tail;
    struct bw_quantity q;
    if (!bw_quantity_read(expect, length, answer->dim, NULL, &q, err)) {
        bw_err_within(err, "expect");
        return false;
    }
    if (bw_known(q) && !exactly && !bw_sd_known(q))
        return bad_expectation(err, "the value has no tolerance");
    double tolerance = exactly ? 0 : q.sd;
    *passed = bw_known(q) && fabs(answer->v - q.v) <= tolerance;
    return true;
}

bool bw_check_run(struct bw_arena *arena, const struct bw_check *check, struct bw_outcome *out,
                  struct bw_err *err) {
    struct answer answer;
    bool asked = check->call != NULL ? ask_probe(arena, check->call, &answer, err)
                                     : ask_study(arena, check, &answer, err);
    if (!asked) return false;
    if (answer.err.code == BW_MEMORY) return bw_fail_memory(err);
    bool passed = false, compared = true;
    if (strncmp(check->expect, "error", strlen("error")) == 0)
        compared = compare_error(arena, check->expect, &answer.err, &passed, err);
    else if (answer.err.code == BW_OK && answer.text == NULL && isnan(answer.v))
        passed = strcmp(check->expect, "unknown") == 0;
    else if (answer.err.code == BW_OK && answer.text != NULL)
        compared = compare_word(check->expect, &answer, &passed, err);
    else if (answer.err.code == BW_OK)
        compared = compare_value(check->expect, &answer, &passed, err);
    if (!compared) return false;
    const char *got = value_words(arena, &answer);
    if (got == NULL) return bw_fail_memory(err);
    *out = (struct bw_outcome){.passed = passed, .got = got};
    return true;
}
