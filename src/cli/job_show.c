// job_show.c - `beltwright job show|list|find`.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/job.h"

#include "study/door.h"

#include <string.h>

// ---- one line of a job in words -----------------------------------------------------------------

// The first line of a study's own text, from its stored answer.
static const char *study_words(struct bw_desk *desk, const struct bw_node *body, bool whole) {
    struct bw_arena *arena = desk->cli->arena;
    const char *name = bw_body_text(body, "study");
    const struct bw_study *study = bw_study_find(name);
    const struct bw_node *result = bw_node_find(body, "result");
    struct bw_err ignored = {0};
    void *out = study == NULL ? NULL : bw_arena_get(arena, study->out->size);
    const struct bw_binding binding = {.arena = arena};
    if (out == NULL || result == NULL || !bw_bind(&binding, result, study->out, out, &ignored))
        return bw_arena_format(arena, "%s (by version %s)", name, bw_body_text(body, "version"));
    struct bw_text text = bw_cli_text(desk->cli, desk->units);
    study->text(out, &text);
    const char *all = text.out.data == NULL ? "" : text.out.data;
    size_t length = whole ? strlen(all) : strcspn(all, "\n");
    const char *kept = whole ? bw_arena_text(arena, all, length)
                             : bw_arena_format(arena, "%s: %.*s", name, (int)length, all);
    bw_buffer_free(&text.out);
    return kept;
}

static const char *file_words(struct bw_arena *arena, const struct bw_node *body) {
    const struct bw_node *files = bw_node_find(body, "files");
    const struct bw_node *first = files == NULL ? NULL : files->child;
    const char *text = bw_body_text(body, "text");
    return bw_arena_format(arena, "%s%s%s", first == NULL ? "?" : bw_body_text(first, "name"),
                           text[0] == '\0' ? "" : ": ", text);
}

static const char *closed_words(struct bw_arena *arena, const struct bw_node *body) {
    const char *words = bw_body_text(body, "outcome");
    const struct bw_node *causes = bw_node_find(body, "causes");
    const char *gap = ": ";
    for (const struct bw_node *at = causes == NULL ? NULL : causes->child; at != NULL;
         at = at->next, gap = ", ")
        words = bw_arena_format(arena, "%s%s%s", words, gap, at->text == NULL ? "?" : at->text);
    const char *note = bw_body_text(body, "note");
    return note[0] == '\0' ? words : bw_arena_format(arena, "%s (%s)", words, note);
}

// Texts of the body by their keys: "name A. Nobody, phone 555".
static const char *texts(struct bw_arena *arena, const struct bw_node *body) {
    const char *words = "";
    for (const struct bw_node *at = body->child; at != NULL; at = at->next)
        if (at->kind == BW_NODE_TEXT)
            words = bw_arena_format(arena, "%s%s%s %s", words, words[0] == '\0' ? "" : ", ",
                                    at->key, at->text);
    return words;
}

static const char *counting_words(struct bw_desk *desk, const struct bw_line *line,
                                  const struct bw_node *body) {
    struct bw_arena *arena = desk->cli->arena;
    switch (line->kind) {
    case BW_ENTRY_OPENED: return bw_body_text(body, "title");
    case BW_ENTRY_NOTE: return bw_body_text(body, "text");
    case BW_ENTRY_REOPENED: return bw_body_text(body, "note");
    case BW_ENTRY_STUDY: return study_words(desk, body, false);
    case BW_ENTRY_FILE: return file_words(arena, body);
    case BW_ENTRY_CLOSED: return closed_words(arena, body);
    case BW_ENTRY_ANSWER:
        return bw_arena_format(arena, "%s: %s", bw_body_text(body, "check"),
                               bw_body_text(body, "answer"));
    case BW_ENTRY_READING:
        return bw_arena_format(arena, "%s: %s", bw_body_text(body, "reading"),
                               bw_body_text(body, "value"));
    case BW_ENTRY_FIX: {
        const char *result = bw_body_text(body, "result");
        return bw_arena_format(arena, "%s%s%s", bw_body_text(body, "text"),
                               result[0] == '\0' ? "" : ": ", result);
    }
    default: return texts(arena, body);
    }
}

const char *bw_line_words(struct bw_desk *desk, const struct bw_line *line) {
    const char *words = "?";
    switch (line->state) {
    case BW_LINE_ERASED: return "erased";
    case BW_LINE_WITHDRAWN: return "taken back";
    case BW_LINE_WAITING: return "corrects an entry that is not here yet";
    case BW_LINE_NEWER: return "of a newer program, which shows it; kept as it is";
    case BW_LINE_COUNTS: break;
    }
    words = counting_words(desk, line, line->body);
    if (line->by != NULL)
        words = bw_arena_format(desk->cli->arena, "%s (corrected)", words == NULL ? "?" : words);
    for (size_t i = 0; i < line->n_also; i++)
        words = bw_arena_format(desk->cli->arena, "%s; also said: %s", words,
                                counting_words(desk, line, line->also[i]));
    return words == NULL ? "?" : words;
}

// ---- show ---------------------------------------------------------------------------------------

static void show_lines(struct bw_desk *desk, const struct bw_job *job, struct bw_text *text) {
    static const char *const TITLES[] = {"entry", "when", "what", "says", NULL};
    char clock[BW_CLOCK_TEXT];
    bw_text_table(text, "llll", TITLES);
    for (size_t i = 0; i < job->n; i++) {
        const struct bw_line *line = &job->lines[i];
        bool gone = line->state == BW_LINE_ERASED;
        bw_text_cell(text, "%s", bw_short(line->entry->id));
        bw_text_cell(text, "%s",
                     bw_clock_text(clock, line->entry->time_ms, line->entry->offset_min));
        bw_text_cell(text, "%s", gone ? "" : line->entry->kind);
        bw_text_cell(text, "%s", bw_line_words(desk, line));
    }
    bw_text_table_end(text);
}

static void show_all(struct bw_desk *desk, const struct bw_job *job, struct bw_text *text) {
    char clock[BW_CLOCK_TEXT];
    bw_text_para(text, "%s", job->title[0] == '\0' ? "(no title)" : job->title);
    bw_text_gap(text);
    bw_text_item(text, "", "Job %s, %s, %s; opened %s.", bw_short(job->id),
                 job->kind[0] == '\0' ? "job" : job->kind, job->closed ? "closed" : "open",
                 bw_clock_text(clock, job->opened_ms, job->opened_offset_min));
    if (job->site[0] != '\0') bw_text_item(text, "", "Site: %s.", job->site);
    if (job->machine[0] != '\0') bw_text_item(text, "", "Machine: %s.", job->machine);
    if (job->closed) bw_text_item(text, "", "It was: %s.", bw_line_words(desk, job->closing));
    bw_text_gap(text);
    show_lines(desk, job, text);
}

static bool show_one(struct bw_desk *desk, const struct bw_job *job, const char *word) {
    const struct bw_line *line;
    if (!bw_desk_line(desk, job, word, &line)) return false;
    struct bw_text text = bw_cli_text(desk->cli, desk->units);
    char clock[BW_CLOCK_TEXT];
    const char *kind = line->state == BW_LINE_ERASED ? "erased" : line->entry->kind;
    bw_text_para(&text, "%s %s, %s", kind, line->entry->id,
                 bw_clock_text(clock, line->entry->time_ms, line->entry->offset_min));
    bw_text_gap(&text);
    if (line->state == BW_LINE_COUNTS && line->kind == BW_ENTRY_STUDY) {
        const char *whole = study_words(desk, line->body, true);
        bw_buffer_text(&text.out, whole == NULL ? "" : whole);
    } else {
        bw_text_para(&text, "%s", bw_line_words(desk, line));
    }
    return bw_write(desk->cli, "-", &text.out, desk->err);
}

static bool show(struct bw_desk *desk) {
    struct bw_entries set;
    struct bw_job job;
    const char *word = bw_given_value(desk->given, "entry");
    if (!bw_desk_job(desk, &set, &job)) return false;
    if (word != NULL && !desk->json) return show_one(desk, &job, word);
    struct bw_text text = bw_cli_text(desk->cli, desk->units);
    struct bw_json json = bw_json_begin(&text.out);
    if (desk->json)
        bw_job_emit(&json, &job);
    else
        show_all(desk, &job, &text);
    return bw_write(desk->cli, "-", &text.out, desk->err);
}

static bool run_show(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return bw_desk_run(cli, given, show, NULL, err);
}

static const struct bw_option SHOW_OPTIONS[] = {
    BW_OPTION_JOB,
    {.name = "entry",
     .value = "ENTRY",
     .takes = BW_TAKES_WORD,
     .positional = true,
     .help = "one entry in full"},
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_UNITS,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_show = {
    .page = {.name = "job-show",
             .summary = "show a job and its entries",
             .about = "Shows what a job says now: corrected entries as corrected, those taken back "
                      "as such. What another device said at the same time stands beside it.",
             .example = "beltwright job show last",
             .options = SHOW_OPTIONS},
    .run = run_show,
};

// ---- list, find ---------------------------------------------------------------------------------

static void emit_rows(struct bw_json *json, const struct bw_job_rows *rows) {
    char clock[BW_CLOCK_TEXT];
    bw_json_open(json, '{');
    bw_desk_text(json, "shape", "jobs/1");
    bw_json_key(json, "jobs");
    bw_json_open(json, '[');
    for (size_t i = 0; i < rows->n; i++) {
        const struct bw_job_row *row = &rows->items[i];
        bw_json_open(json, '{');
        bw_desk_text(json, "job", row->job);
        bw_desk_text(json, "title", row->title);
        bw_desk_text(json, "kind", row->kind);
        bw_desk_text(json, "site", row->site);
        bw_desk_text(json, "machine", row->machine);
        bw_desk_text(json, "state", row->closed ? "closed" : "open");
        bw_desk_text(json, "opened", bw_clock_text(clock, row->opened_ms, row->opened_offset_min));
        bw_json_key(json, "entries");
        bw_json_count(json, row->entries);
        bw_json_close(json, '}');
    }
    bw_json_close(json, ']');
    bw_json_close(json, '}');
}

static void tell_rows(struct bw_text *text, const struct bw_job_rows *rows) {
    static const char *const TITLES[] = {"job",  "opened",  "kind",  "state",
                                         "site", "entries", "title", NULL};
    char clock[BW_CLOCK_TEXT];
    if (rows->n == 0) bw_text_para(text, "No jobs.");
    bw_text_table(text, "lllllrl", TITLES);
    for (size_t i = 0; i < rows->n; i++) {
        const struct bw_job_row *row = &rows->items[i];
        bw_text_cell(text, "%s", bw_short(row->job));
        bw_text_cell(text, "%.10s", bw_clock_text(clock, row->opened_ms, row->opened_offset_min));
        bw_text_cell(text, "%s", row->kind);
        bw_text_cell(text, "%s", row->closed ? "closed" : "open");
        bw_text_cell(text, "%s", row->site);
        bw_text_cell(text, "%ld", row->entries);
        bw_text_cell(text, "%s", row->title);
    }
    bw_text_table_end(text);
}

static bool list_jobs(struct bw_desk *desk, const struct bw_job_query *query) {
    struct bw_job_rows rows;
    if (!bw_store_list(desk->store, query, desk->cli->arena, &rows, desk->err)) return false;
    struct bw_text text = bw_cli_text(desk->cli, desk->units);
    struct bw_json json = bw_json_begin(&text.out);
    if (desk->json)
        emit_rows(&json, &rows);
    else
        tell_rows(&text, &rows);
    return bw_write(desk->cli, "-", &text.out, desk->err);
}

static bool list(struct bw_desk *desk) {
    const struct bw_job_query query = {
        .site = bw_given_value(desk->given, "site"),
        .machine = bw_given_value(desk->given, "machine"),
        .state = bw_given(desk->given, "open")     ? 1
                 : bw_given(desk->given, "closed") ? 2
                                                   : 0,
    };
    return list_jobs(desk, &query);
}

static bool run_list(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    if (bw_given(given, "open") && bw_given(given, "closed"))
        return bw_fail(err, BW_USAGE, "--open and --closed leave nothing; give one of them");
    return bw_desk_run(cli, given, list, NULL, err);
}

static const struct bw_option LIST_OPTIONS[] = {
    {.name = "open", .help = "only open jobs"},
    {.name = "closed", .help = "only closed jobs"},
    {.name = "site", .value = "SITE", .takes = BW_TAKES_WORD, .help = "only jobs at this site"},
    {.name = "machine",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .help = "only jobs at the machine of this name, as it was given"},
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_list = {
    .page = {.name = "job-list",
             .summary = "list jobs, the last changed first",
             .about = "Lists jobs, the last changed first.",
             .example = "beltwright job list --open",
             .options = LIST_OPTIONS},
    .run = run_list,
};

static bool find(struct bw_desk *desk) {
    struct bw_buffer words = {0};
    for (size_t i = 0; i < desk->given->n; i++) {
        if (strcmp(desk->given->items[i].option->name, "word") != 0) continue;
        bw_words_plain(desk->given->items[i].value, &words);
    }
    const char *kept = words.failed || words.length == 0
                           ? NULL
                           : bw_arena_text(desk->cli->arena, words.data, words.length);
    bw_buffer_free(&words);
    if (kept != NULL) return list_jobs(desk, &(struct bw_job_query){.words = kept});
    return bw_fail(desk->err, BW_INPUT, "there is no word to look for");
}

static bool run_find(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return bw_desk_run(cli, given, find, NULL, err);
}

static const struct bw_option FIND_OPTIONS[] = {
    {.name = "word",
     .value = "WORD",
     .takes = BW_TAKES_WORD,
     .positional = true,
     .required = true,
     .repeats = true,
     .help = "a word, or its first letters; all words must stand in one entry"},
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_find = {
    .page = {.name = "job-find",
             .summary = "find jobs by words in their entries",
             .about = "Finds the jobs that have an entry with all these words: titles, notes, "
                      "fixes, causes, sites, people.",
             .example = "beltwright job find splice head",
             .options = FIND_OPTIONS},
    .run = run_find,
};
