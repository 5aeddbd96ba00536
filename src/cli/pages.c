// pages.c - the page of every command: a study's is made from its description.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/suggest.h"
#include "study/study.h"

#include <string.h>

// What every study has beside its own fields.
static const struct bw_option JSON = {.name = "json", .help = "print the answer as JSON"};
static const struct bw_option UNITS = {.name = "units",
                                       .value = "si|us",
                                       .takes = BW_TAKES_CHOICE,
                                       .choices = "si us",
                                       .help = "units of the printed answer; without it, those of "
                                               "the locale"};
static const struct bw_option INPUT = {.name = "input",
                                       .value = "FILE",
                                       .takes = BW_TAKES_FILE,
                                       .help = "take the whole input from one document, JSON or "
                                               "YAML, in place of all words and options above; "
                                               "- reads standard input"};
static const struct bw_option PLOT = {.name = "plot",
                                      .value = "FOLDER",
                                      .takes = BW_TAKES_FOLDER,
                                      .help = "write each plot into the folder as an SVG picture"};
static const struct bw_option FINDINGS = {.name = "findings",
                                          .value = "FILE",
                                          .takes = BW_TAKES_FILE,
                                          .help = "write the findings as JSON; - writes them to "
                                                  "standard output in place of the answer"};
static const struct bw_option UNJAILED = BW_OPTION_UNJAILED;
static const struct bw_option HELP = BW_OPTION_HELP;

static bool has_scalar(const struct bw_record *record) {
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        if (bw_field_is_scalar(field)) return true;
    return false;
}

// What lies deeper than one group comes as a document.
bool bw_field_is_typed(const struct bw_field *field) {
    if (field->kind == BW_RECORD || field->kind == BW_LIST) return has_scalar(field->of);
    return field->kind != BW_ONEOF;
}

// The key with dashes; a list's option names one item, so a closing s goes: marks, --mark.
static const char *option_name(struct bw_arena *arena, const struct bw_field *field) {
    size_t length = strlen(field->name);
    if (field->kind == BW_LIST && length > 1 && field->name[length - 1] == 's') length--;
    char *name = bw_arena_text(arena, field->name, length);
    for (char *c = name; c != NULL && *c != '\0'; c++)
        if (*c == '_') *c = '-';
    return name;
}

static const char *choice_names(struct bw_arena *arena, const struct bw_choice *choices) {
    const char *names = "";
    for (size_t i = 0; choices[i].name != NULL && names != NULL; i++)
        names = bw_arena_format(arena, "%s%s%s", names, i == 0 ? "" : " ", choices[i].name);
    return names;
}

// What stands for the value in help; capitals are what the reader puts in.
static const char *value_word(struct bw_arena *arena, const struct bw_field *field) {
    switch (field->kind) {
    case BW_QUANTITY: return "VALUE";
    case BW_COUNT: return "N";
    case BW_CHOICE: return "CHOICE";
    case BW_TEXT: return "TEXT";
    case BW_FILE: return "FILE";
    default: return bw_upper(arena, ((const struct bw_record *)field->of)->name);
    }
}

static enum bw_takes takes_of(const struct bw_field *field) {
    if (field->kind == BW_CHOICE) return BW_TAKES_CHOICE;
    return field->kind == BW_FILE ? BW_TAKES_FILE : BW_TAKES_WORD;
}

static struct bw_option field_option(struct bw_arena *arena, const struct bw_field *field) {
    return (struct bw_option){
        .name = option_name(arena, field),
        .value = field->flag ? NULL : value_word(arena, field),
        .help = field->help,
        .takes = takes_of(field),
        .choices = field->kind == BW_CHOICE && !field->flag ? choice_names(arena, field->of) : NULL,
        .positional = field->positional,
        .required = field->required && field->fallback == NULL,
        .repeats = field->kind == BW_LIST,
        .field = field,
    };
}

static const struct bw_option *study_options(struct bw_arena *arena, const struct bw_study *study) {
    size_t n = 0;
    while (study->in->fields[n].name != NULL) n++;
    struct bw_option *options = bw_arena_array(arena, n + 8, sizeof *options);
    if (options == NULL) return NULL;
    struct bw_option *next = options;
    // Words first, in order; then the options in the order of the description.
    for (int words = 1; words >= 0; words--)
        for (const struct bw_field *field = study->in->fields; field->name != NULL; field++)
            if (field->positional == (words == 1) && bw_field_is_typed(field))
                *next++ = field_option(arena, field);
    *next++ = INPUT;
    *next++ = JSON;
    *next++ = UNITS;
    if (study->plots != NULL) *next++ = PLOT;
    if (study->findings != NULL) *next++ = FINDINGS;
    if (bw_record_has_medium(study->in)) *next++ = UNJAILED;
    *next++ = HELP;
    return bw_arena_failed(arena) ? NULL : options;
}

static const struct bw_option PROGRAM_OPTIONS[] = {
    {.name = "command",
     .value = "COMMAND",
     .takes = BW_TAKES_PAGE,
     .positional = true,
     .required = true,
     .help = "one of the commands"},
    BW_OPTION_HELP,
    {.name = "version", .letter = 'V', .help = "say which version this is"},
    BW_END_OPTIONS,
};

static const struct bw_page PROGRAM = {
    .name = "",
    .summary = "from marks on sanded panels to the part of the machine at fault",
    .about = "For people who service wide-belt sanding machines. Each command takes what was "
             "measured and a description of the machine, and answers with the answer first, the "
             "reason after it, and what to do next.\n\n"
             "Values are written with their units, metric or US: 24 ft/min, 7.3 m/min, 103 in, "
             "7 5/8 in, 14.6 mm ± 0.2. A value that is not known may be left out or written "
             "unknown.",
    .options = PROGRAM_OPTIONS,
};

bool bw_page_is_member(const char *name) { return strchr(name, '-') != NULL; }

const char *bw_page_typed(struct bw_arena *arena, const char *name) {
    char *typed = bw_arena_text(arena, name, strlen(name));
    char *dash = typed == NULL ? NULL : strchr(typed, '-');
    if (dash != NULL) *dash = ' ';
    return typed == NULL ? "?" : typed;
}

const char *bw_page_name(size_t index) {
    const struct bw_study *const *studies = bw_studies();
    size_t n = 0;
    for (; studies[n] != NULL; n++)
        if (n == index) return studies[n]->name;
    const struct bw_command *const *commands = bw_commands();
    for (size_t i = 0; commands[i] != NULL; i++)
        if (n + i == index) return commands[i]->page.name;
    return NULL;
}

static bool no_page(const char *name, struct bw_err *err) {
    struct bw_words words = {.n = 0};
    const char *known;
    for (size_t i = 0; (known = bw_page_name(i)) != NULL; i++) bw_words_add(&words, known);
    bw_fail(err, BW_NOT_FOUND, "there is no command of that name");
    bw_err_value(err, name);
    const char *nearest = bw_words_nearest(&words, name);
    if (nearest != NULL) bw_err_mend(err, "did you mean %s?", nearest);
    bw_err_mend(err, "beltwright --help lists the commands");
    return false;
}

bool bw_page_find(struct bw_arena *arena, const char *name, struct bw_page *out,
                  struct bw_err *err) {
    if (name[0] == '\0') {
        *out = PROGRAM;
        return true;
    }
    const struct bw_command *const *command = bw_commands();
    for (; *command != NULL; command++) {
        if (strcmp((*command)->page.name, name) != 0) continue;
        *out = (*command)->page;
        return true;
    }
    const struct bw_study *study = bw_study_find(name);
    if (study == NULL) return no_page(name, err);
    const struct bw_option *options = study_options(arena, study);
    if (options == NULL) return bw_fail_memory(err);
    *out =
        (struct bw_page){study->name, study->summary, study->about, study->example, options, study};
    return true;
}
