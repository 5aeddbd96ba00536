// ask.c - `beltwright ask [MACHINE]`: from the first sentence to the proven repair.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/ask.h"

#include "base/bind.h"
#include "base/number.h"
#include "base/utf8.h"
#include "reason/call.h"

#include <string.h>
#include <unistd.h>

// Where answers come from: a written-out call, lines of a file, or standard input.
struct answers {
    const struct bw_call *call;
    const char *lines;  // what is left of the file; NULL: none
    bool echo;          // answers are not seen by themselves
};

struct session {
    struct bw_ask ask;
    struct answers from;
    bool json;
    bool same_step;  // the question stands above; only the prompt is shown again
};

// ---- lines ----

static const char *file_line(struct session *s) {
    const char *start = s->from.lines;
    if (*start == '\0') return NULL;
    size_t length = strcspn(start, "\n");
    s->from.lines += length + (start[length] == '\n');
    return bw_arena_text(s->ask.cli->arena, start, length);
}

static const char *typed_line(struct session *s) {
    char line[BW_MAX_PHRASE + 1];
    size_t n = 0;
    int c;
    while ((c = getchar()) != EOF && c != '\n')
        if (n < BW_MAX_PHRASE) line[n++] = (char)c;
    if (c == EOF && n == 0) return NULL;
    return bw_arena_text(s->ask.cli->arena, line, n);
}

// The next answer, spaces trimmed; NULL: there are no more. A '#' begins a comment in a file.
static const char *next_line(struct session *s) {
    struct bw_arena *arena = s->ask.cli->arena;
    const char *line = NULL;
    if (s->from.call != NULL)
        line = bw_call_line(s->from.call, &s->ask.i, arena);
    else
        do line = s->from.lines == NULL ? typed_line(s) : file_line(s);
        while (line != NULL && line[0] == '#');
    if (line == NULL) return NULL;
    line += strspn(line, " \t\r");
    size_t n = strlen(line);
    while (n > 0 && strchr(" \t\r", line[n - 1]) != NULL) n--;
    line = bw_arena_text(arena, line, n);
    if (line != NULL && s->from.echo && !s->json)
        fprintf(s->ask.cli->out, "%s\n", line[0] == '\0' ? "(Enter)" : line);
    return line;
}

// ---- what a line does ----

static bool is(const char *line, const char *word) {
    for (; *word != '\0'; line++, word++)
        if (bw_folded(*line) != *word) return false;
    return *line == '\0';
}

// Numbers parted by spaces or commas, each from 1 to n, as places from 0; count 0: other text.
static size_t read_places(const char *line, size_t n, size_t *places, size_t room) {
    size_t count = 0;
    for (line += strspn(line, " ,"); *line != '\0'; line += strspn(line, " ,")) {
        size_t length = strcspn(line, " ,");
        struct bw_err ignored = {0};
        long number;
        if (count == room || !bw_count(line, length, 1, (long)n, &number, &ignored)) return 0;
        places[count++] = (size_t)number - 1;
        line += length;
    }
    return count;
}

static bool is_none(const char *line) {
    return line[0] == '\0' || is(line, "n") || is(line, "no") || is(line, "none") ||
           is(line, "nothing") || is(line, "no more") || is(line, "that's all");
}

#define MOST_PLACES 12

// A line of the first part: words, numbers of the list, or nothing.
static bool take_complaint(struct session *s, const char *line, struct bw_err *err) {
    struct bw_interview *i = &s->ask.i;
    size_t places[MOST_PLACES];
    size_t n = read_places(line, i->n_symptoms, places, MOST_PLACES);
    if (n > 0) return bw_interview_choose(i, places, n, err);
    if (i->stage == BW_STAGE_MORE && is_none(line)) return bw_interview_enough(i, err);
    if (i->stage == BW_STAGE_WHICH && (is_none(line) || is(line, "?")))
        return bw_interview_choose(i, NULL, 0, err);
    if (line[0] == '\0' || is(line, "?"))
        return s->json ? bw_fail(err, BW_INPUT, "say what is wrong, or give a symptom's number")
                       : bw_ask_text_list(&s->ask, err);
    return bw_interview_say(i, line, err) && (s->json || bw_ask_text_heard(&s->ask, err));
}

static bool take_answer(struct session *s, const char *line, struct bw_err *err) {
    struct bw_interview *i = &s->ask.i;
    const struct bw_next next = *bw_interview_next(i);
    size_t check = next.kind == BW_NEXT_CHECK ? next.which : BW_NO_INDEX;
    struct bw_said said;
    if (!bw_said_read(s->ask.knowledge, check, line, &said, err)) return false;
    if (!bw_interview_answer(i, said, err)) return false;
    bool yes = check != BW_NO_INDEX && bw_case_has(&i->c, check);
    return !yes || s->json || bw_ask_text_alarm(&s->ask, check, err);
}

static bool undo(struct session *s, struct bw_err *err) {
    if (bw_interview_undo(&s->ask.i, err)) return true;
    return bw_fail(err, BW_INPUT, "there is nothing to take back");
}

static bool list_if_listing(struct session *s, struct bw_err *err) {
    if (s->ask.i.stage == BW_STAGE_STEP)
        return bw_fail(err, BW_INPUT, "the list is for the beginning; undo leads back there");
    return bw_ask_text_list(&s->ask, err);
}

// Words that are not answers. False in *known: the line is an answer.
static bool take_command(struct session *s, const char *line, bool *known, struct bw_err *err) {
    struct bw_ask *ask = &s->ask;
    bool step = ask->i.stage == BW_STAGE_STEP;
    *known = true;
    if (is(line, "undo") || is(line, "back")) return undo(s, err);
    if (is(line, "stop") || is(line, "quit") || is(line, "exit") || is(line, "end")) {
        bw_interview_stop(&ask->i);
        return true;
    }
    if (!s->json) {
        s->same_step = true;
        if (is(line, "help") || is(line, "h")) return bw_ask_text_help(ask, err);
        if (is(line, "list")) return list_if_listing(s, err);
        if (step && (is(line, "how") || is(line, "how?"))) return bw_ask_text_how(ask, err);
        if (step && (is(line, "why") || is(line, "why?"))) return bw_ask_text_why(ask, err);
        if (step && is(line, "now")) return bw_ask_text_verdict(ask, err);
        s->same_step = false;
    }
    *known = false;
    return true;
}

static bool take_line(struct session *s, const char *line, struct bw_err *err) {
    bool known;
    if (s->json && !bw_ask_json_line(&s->ask, line, &line, err)) return false;
    if (!take_command(s, line, &known, err)) return false;
    if (known) return true;
    return s->ask.i.stage == BW_STAGE_STEP ? take_answer(s, line, err)
                                           : take_complaint(s, line, err);
}

// A slip is told and asked again; only what no answer can mend ends the call.
static bool forgive(struct session *s, struct bw_err *slip, struct bw_err *err) {
    if (slip->code == BW_MEMORY || slip->code == BW_IO || slip->code == BW_LIMIT) {
        *err = *slip;
        return false;
    }
    if (s->json) return bw_ask_json_error(&s->ask, slip, err);
    s->same_step = true;
    fflush(s->ask.cli->out);
    fprintf(s->ask.cli->out, "  %s", slip->what);
    if (slip->mend[0] != '\0') fprintf(s->ask.cli->out, ": %s", slip->mend);
    fputc('\n', s->ask.cli->out);
    return true;
}

static bool talk(struct session *s, struct bw_err *err) {
    while (s->ask.i.stage != BW_STAGE_END) {
        if (s->same_step)
            fputs("> ", s->ask.cli->out);
        else if (!(s->json ? bw_ask_json_step(&s->ask, err) : bw_ask_text_step(&s->ask, err)))
            return false;
        s->same_step = false;
        fflush(s->ask.cli->out);
        const char *line = next_line(s);
        struct bw_err slip = {0};
        if (line == NULL) {
            if (bw_arena_failed(s->ask.cli->arena)) return bw_fail_memory(err);
            if (!s->json && s->from.echo) fputs("(end)\n", s->ask.cli->out);
            bw_interview_stop(&s->ask.i);
        } else if (!take_line(s, line, &slip) && !forgive(s, &slip, err)) {
            return false;
        }
    }
    return s->json ? bw_ask_json_step(&s->ask, err) : bw_ask_text_end(&s->ask, err);
}

// ---- setting up ----

static bool load_raw(struct bw_cli *cli, const char *name, struct bw_document *out,
                     struct bw_err *err) {
    const struct bw_file_kind kind = {.name = "file"};
    struct bw_binding binding = {.arena = cli->arena};
    struct bw_file file;
    if (!bw_load_file(NULL, &kind, name, &file, &binding, err)) return false;
    *out = (struct bw_document){file.name, file.content, file.size};
    return true;
}

// The files of every `option` given.
static bool load_all(struct bw_cli *cli, const struct bw_arguments *given, const char *option,
                     struct bw_document **out, size_t *n, struct bw_err *err) {
    struct bw_document *documents = bw_arena_array(cli->arena, given->n, sizeof *documents);
    if (documents == NULL) return bw_fail_memory(err);
    *n = 0;
    for (size_t i = 0; i < given->n; i++)
        if (strcmp(given->items[i].option->name, option) == 0 &&
            !load_raw(cli, given->items[i].value, &documents[(*n)++], err))
            return false;
    *out = documents;
    return true;
}

static bool load_features(struct bw_cli *cli, const char *name, const char *beside,
                          struct bw_features *out, struct bw_err *err) {
    *out = bw_features_none();
    if (name == NULL) return true;
    struct bw_binding binding = {.arena = cli->arena, .file = beside};
    struct bw_file file;
    if (!bw_load_file(NULL, &bw_machine_file, name, &file, &binding, err)) return false;
    *out = bw_features_of(file.content);
    return true;
}

static bool take_findings(struct session *s, const struct bw_document *documents, size_t n,
                          struct bw_err *err) {
    struct bw_arena *arena = s->ask.cli->arena;
    for (size_t d = 0; d < n; d++) {
        struct bw_found_list found;
        if (!bw_findings_read(arena, &documents[d], &found, err)) return false;
        bool *used = bw_arena_array(arena, found.n, sizeof *used);
        if (used == NULL) return bw_fail_memory(err);
        if (!bw_case_find(&s->ask.i.c, &found, used, err)) return false;
        for (size_t f = 0; f < found.n && !s->json; f++)
            if (!used[f])
                fprintf(s->ask.cli->out, "%s: a finding %s says nothing about causes; left aside\n",
                        documents[d].name, found.items[f].kind);
    }
    return true;
}

static bool load_call(struct bw_cli *cli, const char *name, const struct bw_call **out,
                      const char **file_name, struct bw_err *err) {
    struct bw_binding binding = {.arena = cli->arena};
    struct bw_file file = {.name = NULL};
    if (name != NULL && !bw_load_file(NULL, &bw_call_file, name, &file, &binding, err))
        return false;
    *out = file.content;
    *file_name = file.name;
    return true;
}

static bool load_lines(struct session *s, const char *name, struct bw_err *err) {
    struct bw_document document;
    if (name == NULL) return true;
    if (!load_raw(s->ask.cli, name, &document, err)) return false;
    s->from.lines = bw_arena_text(s->ask.cli->arena, document.bytes, document.length);
    return s->from.lines != NULL || bw_fail_memory(err);
}

static bool begin(struct session *s, const struct bw_arguments *given, struct bw_network *network,
                  struct bw_knowledge *knowledge, struct bw_err *err) {
    struct bw_cli *cli = s->ask.cli;
    const char *machine = bw_given_value(given, "machine"), *call_file;
    struct bw_document *more, *findings;
    struct bw_features features;
    size_t n_more, n_findings;
    if (!load_all(cli, given, "knowledge", &more, &n_more, err) ||
        !load_all(cli, given, "finding", &findings, &n_findings, err) ||
        !load_call(cli, bw_given_value(given, "call"), &s->from.call, &call_file, err) ||
        !load_lines(s, bw_given_value(given, "answers"), err))
        return false;
    bool from_call = machine == NULL && s->from.call != NULL;
    if (from_call) machine = s->from.call->machine;
    if (!load_features(cli, machine, from_call ? call_file : NULL, &features, err) ||
        !bw_knowledge_load(cli->arena, more, n_more, NULL, knowledge, err))
        return false;
    if (s->from.call != NULL && !bw_call_check(s->from.call, knowledge, err)) {
        bw_err_file(err, call_file);
        return false;
    }
    const struct bw_network_from from = {knowledge, &features, NULL};
    if (!bw_network_make(&from, cli->arena, network, err) ||
        !bw_interview_begin(network, cli->arena, &s->ask.i, err))
        return false;
    s->ask.i.c.start.on_site = bw_given(given, "at-machine");
    bw_case_rewind(&s->ask.i.c, 0);
    return take_findings(s, findings, n_findings, err);
}

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    struct bw_knowledge knowledge;
    struct bw_network network;
    struct session s = {.ask = {.cli = cli, .knowledge = &knowledge},
                        .json = bw_given(given, "json")};
    if (!bw_units_choose(bw_given_value(given, "units"), &s.ask.units, err)) {
        bw_err_within(err, "--units");
        return false;
    }
    if (!begin(&s, given, &network, &knowledge, err)) return false;
    s.from.echo = s.from.call != NULL || s.from.lines != NULL || isatty(STDIN_FILENO) == 0;
    bool done = talk(&s, err);
    bw_interview_end(&s.ask.i);
    return done;
}

static const struct bw_option OPTIONS[] = {
    {.name = "machine",
     .value = "MACHINE",
     .takes = BW_TAKES_FILE,
     .positional = true,
     .help = "machine file; without it, causes of any machine are considered"},
    {.name = "finding",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .repeats = true,
     .help = "findings of a study (--findings FILE there)"},
    {.name = "knowledge",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .repeats = true,
     .help = "the shop's own knowledge on top of what is shipped; `lint` checks it"},
    {.name = "at-machine", .help = "somebody is at the machine already; no visit is counted"},
    {.name = "answers",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .help = "take the lines to be typed from a file; # begins a comment"},
    {.name = "call",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .help = "let a written-out call answer, as those in examples/calls"},
    {.name = "json", .help = "one JSON object a line, steps out and answers in"},
    {.name = "units",
     .value = "UNITS",
     .takes = BW_TAKES_CHOICE,
     .choices = "si us",
     .help = "units shown: si or us; without it, the locale's"},
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_ask = {
    .page =
        {.name = "ask",
         .summary = "find the cause of a complaint, question by question, to the proven repair",
         .about =
             "Begins with what is wrong, in the caller's own words, and asks next whatever "
             "pays best: a question on the phone, a look, a measurement, a trial, or the "
             "repair itself where trying it is cheaper than asking. It ends with the causes in "
             "plain words, what speaks for and against them, what to do tonight and for good, "
             "and how the cure is proven.\n\n"
             "Answers are y, n, ? (don't know) or a reading with its unit; \"y 2\" names head 2. "
             "After a repair: y gone, n as before, less. Other words: how, why, now (where it "
             "stands), undo, list, stop.\n\n"
             "The questions and their weights are those of the files in knowledge/, all of them "
             "estimates.",
         .example = "beltwright ask --call examples/calls/winter-static.yaml",
         .options = OPTIONS},
    .run = run,
};
