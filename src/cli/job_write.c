// job_write.c - `beltwright job new|fix|undo|close|reopen|erase`: entries that people write.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/utf8.h"
#include "cli/job.h"
#include "reason/knowledge.h"

#include <string.h>

static const char *said(struct bw_desk *desk, const char *done, const struct bw_entry *entry) {
    const char *text = bw_arena_format(desk->cli->arena, "%s as %s in job %s.", done,
                                       bw_short(entry->id), bw_short(entry->job));
    return text == NULL ? "?" : text;
}

// ---- new ----------------------------------------------------------------------------------------

static bool write_new(struct bw_desk *desk) {
    struct bw_buffer body = {0};
    struct bw_entry entry;
    struct bw_json json = bw_desk_body(&body);
    const char *kind = bw_given_value(desk->given, "kind");
    const char *machine = bw_given_value(desk->given, "machine");
    bool done = true;
    bw_desk_text(&json, "title", bw_given_value(desk->given, "title"));
    bw_desk_text(&json, "kind", kind == NULL ? "complaint" : kind);
    bw_desk_text(&json, "site", bw_given_value(desk->given, "site"));
    if (machine != NULL) {
        bw_desk_text(&json, "machine", machine);
        bw_json_key(&json, "files");
        bw_json_open(&json, '[');
        done = bw_desk_attach(desk, machine, &json);
        bw_json_close(&json, ']');
    }
    bw_json_close(&json, '}');
    if (!done) {
        bw_buffer_free(&body);
        return false;
    }
    if (!bw_desk_write(desk, NULL, BW_ENTRY_OPENED, &body, &entry)) return false;
    const char *told = bw_arena_format(desk->cli->arena,
                                       "Job %s is open. Its full name is %s; %s or last is enough.",
                                       bw_short(entry.id), entry.id, bw_short(entry.id));
    return bw_desk_tell(desk, &entry, told == NULL ? "?" : told);
}

static bool known_choice(const struct bw_arguments *given, const char *option, const char *choices,
                         struct bw_err *err) {
    const char *value = bw_given_value(given, option);
    size_t length = value == NULL ? 0 : strlen(value);
    if (value == NULL) return true;
    for (const char *at = choices; *at != '\0'; at += strcspn(at, " "), at += strspn(at, " "))
        if (strcspn(at, " ") == length && memcmp(at, value, length) == 0) return true;
    bw_err_within(err, strcmp(option, "kind") == 0 ? "--kind" : "--result");
    bw_err_value(err, value);
    bw_err_mend(err, "one of: %s", choices);
    return bw_fail(err, BW_INPUT, "is not known");
}

#define KINDS "complaint inspection commissioning dispute"

static bool run_new(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return known_choice(given, "kind", KINDS, err) && bw_desk_run(cli, given, write_new, NULL, err);
}

static const struct bw_option NEW_OPTIONS[] = {
    {.name = "title",
     .value = "TITLE",
     .takes = BW_TAKES_WORD,
     .positional = true,
     .required = true,
     .help = "what is wrong, in the caller's words"},
    {.name = "kind",
     .value = "KIND",
     .takes = BW_TAKES_CHOICE,
     .choices = KINDS,
     .help = "complaint (without it, this), inspection, commissioning or dispute"},
    {.name = "site",
     .value = "SITE",
     .takes = BW_TAKES_WORD,
     .help = "the shop or plant, by the name it always gets; no person's name"},
    {.name = "machine",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .help = "the machine file; it is kept with the job"},
    BW_OPTION_AT,
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_new = {
    .page = {.name = "job-new",
             .summary = "open a job",
             .about = "Opens a job: one complaint at one machine, or an inspection, a "
                      "commissioning, a dispute. What people are called and how to reach them goes "
                      "into an entry of its own (job add JOB party), which can be erased.",
             .example = "beltwright job new \"bars across the grain\" --site \"Hollow Creek\" "
                        "--machine examples/three-head.yaml",
             .options = NEW_OPTIONS},
    .run = run_new,
};

// ---- fix ----------------------------------------------------------------------------------------

static bool write_fix(struct bw_desk *desk) {
    struct bw_buffer body = {0};
    struct bw_entries set;
    struct bw_job job;
    struct bw_entry entry;
    if (!bw_desk_job(desk, &set, &job)) return false;
    struct bw_json json = bw_desk_body(&body);
    bw_desk_text(&json, "text", bw_given_value(desk->given, "what"));
    bw_desk_text(&json, "remedy", bw_given_value(desk->given, "remedy"));
    bw_desk_text(&json, "result", bw_given_value(desk->given, "result"));
    bw_json_close(&json, '}');
    return bw_desk_write(desk, job.id, BW_ENTRY_FIX, &body, &entry) &&
           bw_desk_tell(desk, &entry, said(desk, "The fix is kept", &entry));
}

#define RESULTS "gone less same unknown"

static bool run_fix(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return known_choice(given, "result", RESULTS, err) &&
           bw_desk_run(cli, given, write_fix, NULL, err);
}

static const struct bw_option FIX_OPTIONS[] = {
    BW_OPTION_JOB,
    {.name = "what",
     .value = "WHAT",
     .takes = BW_TAKES_WORD,
     .positional = true,
     .required = true,
     .help = "what was done, in one sentence"},
    {.name = "remedy",
     .value = "ID",
     .takes = BW_TAKES_WORD,
     .help = "the remedy it is in the knowledge"},
    {.name = "result",
     .value = "RESULT",
     .takes = BW_TAKES_CHOICE,
     .choices = RESULTS,
     .help = "gone, less, same or unknown: what became of the fault"},
    BW_OPTION_AT,
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_fix = {
    .page = {.name = "job-fix",
             .summary = "note what was repaired or set, and what came of it",
             .about = "Notes a repair or a setting. One thing at a time tells most: a fix that was "
                      "done with others in one go shows only that one of them was it.",
             .example = "beltwright job fix last \"new belt on head 2\" --result gone",
             .options = FIX_OPTIONS},
    .run = run_fix,
};

// ---- undo ---------------------------------------------------------------------------------------

static bool write_undo(struct bw_desk *desk) {
    struct bw_entries set;
    struct bw_job job;
    struct bw_entry entry;
    const struct bw_line *line;
    const char *word = bw_given_value(desk->given, "entry");
    if (!bw_desk_job(desk, &set, &job)) return false;
    if (word == NULL)
        line = bw_job_last(&job);
    else if (!bw_desk_line(desk, &job, word, &line))
        return false;
    if (line == NULL || line->state != BW_LINE_COUNTS || line->kind == BW_ENTRY_OPENED) {
        if (word != NULL) bw_err_value(desk->err, word);
        bw_err_mend(desk->err, "beltwright job show %s lists its entries", bw_short(job.id));
        return bw_fail(desk->err, BW_INPUT, "there is nothing here to take back");
    }
    const char *told =
        bw_arena_format(desk->cli->arena, "Taken back: %s %s. It stays in the history.",
                        line->entry->kind, bw_short(line->entry->id));
    return bw_desk_correct(desk, &set, line, NULL, &entry) &&
           bw_desk_tell(desk, &entry, told == NULL ? "?" : told);
}

static bool run_undo(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return bw_desk_run(cli, given, write_undo, NULL, err);
}

static const struct bw_option UNDO_OPTIONS[] = {
    BW_OPTION_JOB,
    {.name = "entry",
     .value = "ENTRY",
     .takes = BW_TAKES_WORD,
     .positional = true,
     .help = "the entry; without it, the last one that counts"},
    BW_OPTION_AT,
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_undo = {
    .page = {.name = "job-undo",
             .summary = "take an entry back",
             .about = "Takes an entry back: it no longer counts, and stays in the history.",
             .example = "beltwright job undo last",
             .options = UNDO_OPTIONS},
    .run = run_undo,
};

// ---- close, reopen ------------------------------------------------------------------------------

static bool has_cause(const struct bw_arguments *given) { return bw_given(given, "cause"); }

static bool unknown_cause(struct bw_desk *desk, const struct bw_knowledge *k, const char *cause) {
    const char *nearest = NULL;
    size_t least = 1 + strlen(cause) / 3;
    for (size_t c = 0; c < k->causes; c++) {
        size_t distance = bw_text_distance(cause, k->cause[c].id);
        if (distance >= least) continue;
        least = distance;
        nearest = k->cause[c].id;
    }
    bw_err_within(desk->err, "--cause");
    bw_err_value(desk->err, cause);
    if (nearest != NULL) bw_err_mend(desk->err, "did you mean %s?", nearest);
    bw_err_mend(desk->err,
                "beltwright knowledge --all lists the causes; other is for what is on no list");
    return bw_fail(desk->err, BW_NOT_FOUND, "the knowledge has no such cause");
}

// A misspelt cause would teach nothing and nobody would see it.
static bool causes_are_known(struct bw_desk *desk) {
    struct bw_knowledge knowledge;
    if (!has_cause(desk->given)) return true;
    if (!bw_knowledge_load(desk->cli->arena, NULL, 0, NULL, &knowledge, desk->err)) return false;
    for (size_t i = 0; i < desk->given->n; i++) {
        const struct bw_given *item = &desk->given->items[i];
        if (strcmp(item->option->name, "cause") != 0 || strcmp(item->value, "other") == 0) continue;
        if (bw_cause_find(&knowledge, item->value) == SIZE_MAX)
            return unknown_cause(desk, &knowledge, item->value);
    }
    return true;
}

static bool write_close(struct bw_desk *desk) {
    struct bw_buffer body = {0};
    struct bw_entries set;
    struct bw_job job;
    struct bw_entry entry;
    size_t causes = 0;
    if (!causes_are_known(desk) || !bw_desk_job(desk, &set, &job)) return false;
    if (job.closed) {
        bw_err_mend(desk->err, "reopen it first: beltwright job reopen %s", bw_short(job.id));
        return bw_fail(desk->err, BW_INPUT, "the job is closed already");
    }
    struct bw_json json = bw_desk_body(&body);
    bw_json_key(&json, "causes");
    bw_json_open(&json, '[');
    for (size_t i = 0; i < desk->given->n; i++) {
        if (strcmp(desk->given->items[i].option->name, "cause") != 0) continue;
        bw_json_text(&json, desk->given->items[i].value);
        causes++;
    }
    bw_json_close(&json, ']');
    bw_desk_text(&json, "note", bw_given_value(desk->given, "note"));
    bw_desk_text(&json, "outcome",
                 causes == 0                      ? "not found"
                 : bw_given(desk->given, "guess") ? "guess"
                 : causes == 1                    ? "verified"
                                                  : "one of these");
    bw_json_close(&json, '}');
    return bw_desk_write(desk, job.id, BW_ENTRY_CLOSED, &body, &entry) &&
           bw_desk_tell(desk, &entry, said(desk, "The closing is kept", &entry));
}

static bool run_close(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    if (bw_given(given, "guess") && !has_cause(given)) {
        bw_err_mend(err, "give --cause as well, or leave --guess out");
        return bw_fail(err, BW_USAGE, "--guess needs a cause");
    }
    return bw_desk_run(cli, given, write_close, NULL, err);
}

static const struct bw_option CLOSE_OPTIONS[] = {
    BW_OPTION_JOB,
    {.name = "cause",
     .value = "ID",
     .takes = BW_TAKES_WORD,
     .repeats = true,
     .help = "what it was, as the knowledge names it; several: one of these, done in one go"},
    {.name = "guess",
     .help = "it was not proven: the fault went, or nobody looked; teaches nothing"},
    {.name = "note", .value = "TEXT", .takes = BW_TAKES_WORD, .help = "a sentence about it"},
    BW_OPTION_AT,
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_close = {
    .page = {.name = "job-close",
             .summary = "close a job and say what it was",
             .about =
                 "Closes a job. A cause that was proven, alone, by the same measurement before "
                 "and after, teaches the next diagnosis; several done in one go share what "
                 "they teach; a guess teaches nothing.",
             .example = "beltwright job close last --cause splice_high",
             .options = CLOSE_OPTIONS},
    .run = run_close,
};

static bool write_reopen(struct bw_desk *desk) {
    struct bw_buffer body = {0};
    struct bw_entries set;
    struct bw_job job;
    struct bw_entry entry;
    if (!bw_desk_job(desk, &set, &job)) return false;
    if (!job.closed) return bw_fail(desk->err, BW_INPUT, "the job is open");
    struct bw_json json = bw_desk_body(&body);
    bw_desk_text(&json, "note", bw_given_value(desk->given, "note"));
    bw_json_close(&json, '}');
    return bw_desk_write(desk, job.id, BW_ENTRY_REOPENED, &body, &entry) &&
           bw_desk_tell(desk, &entry, said(desk, "The reopening is kept", &entry));
}

static bool run_reopen(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return bw_desk_run(cli, given, write_reopen, NULL, err);
}

static const struct bw_option REOPEN_OPTIONS[] = {
    BW_OPTION_JOB,
    {.name = "note", .value = "TEXT", .takes = BW_TAKES_WORD, .help = "why, in a sentence"},
    BW_OPTION_AT,
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_reopen = {
    .page = {.name = "job-reopen",
             .summary = "open a closed job again",
             .about = "Opens a closed job again. What its closing taught is forgotten with it.",
             .example = "beltwright job reopen last --note \"it is back\"",
             .options = REOPEN_OPTIONS},
    .run = run_reopen,
};

// ---- erase --------------------------------------------------------------------------------------

static struct bw_entry erased(const struct bw_entry *entry) {
    struct bw_entry gone = {.tick = entry->tick, .time_ms = bw_ulid_time(entry->id)};
    memcpy(gone.id, entry->id, BW_ID_TEXT);
    memcpy(gone.job, entry->job, BW_ID_TEXT);
    return gone;
}

static bool put_erased(struct bw_desk *desk, struct bw_entry *items, size_t n) {
    struct bw_entries set;
    size_t changed;
    if (!bw_entries_make(desk->cli->arena, items, n, &set, desk->err) ||
        !bw_store_put(desk->store, &set, &changed, desk->err))
        return false;
    struct bw_text text = bw_cli_text(desk->cli, desk->units);
    struct bw_json json = bw_json_begin(&text.out);
    if (desk->json) {
        bw_json_open(&json, '{');
        bw_desk_text(&json, "shape", "job-erased/1");
        bw_json_key(&json, "entries");
        bw_json_count(&json, (long)changed);
        bw_json_close(&json, '}');
    } else {
        bw_text_para(&text,
                     "Erased here: %zu. That something was there stays on record. Other devices "
                     "erase it with their next merge; archives made before still hold it.",
                     changed);
    }
    return bw_write(desk->cli, "-", &text.out, desk->err);
}

static bool write_erase(struct bw_desk *desk) {
    struct bw_entries set;
    struct bw_job job;
    const struct bw_line *line;
    const char *word = bw_given_value(desk->given, "entry");
    if (!bw_desk_job(desk, &set, &job)) return false;
    struct bw_entry *items = bw_arena_array(desk->cli->arena, job.n + 1, sizeof *items);
    size_t n = 0;
    if (items == NULL) return bw_fail_memory(desk->err);
    if (word != NULL) {
        if (!bw_desk_line(desk, &job, word, &line)) return false;
        items[n++] = erased(line->entry);
    }
    for (size_t i = 0; i < job.n && word == NULL; i++)
        if (job.lines[i].kind == BW_ENTRY_PARTY) items[n++] = erased(job.lines[i].entry);
    if (n > 0) return put_erased(desk, items, n);
    return bw_fail(desk->err, BW_INPUT, "there are no people's data in this job");
}

static bool run_erase(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    if (bw_given(given, "entry") == bw_given(given, "party")) {
        bw_err_mend(err, "name the entry, or give --party");
        return bw_fail(err, BW_USAGE, "it must be said what to erase");
    }
    return bw_desk_run(cli, given, write_erase, NULL, err);
}

static const struct bw_option ERASE_OPTIONS[] = {
    BW_OPTION_JOB,
    {.name = "entry",
     .value = "ENTRY",
     .takes = BW_TAKES_WORD,
     .positional = true,
     .help = "the entry; its corrections and what only it had attached go with it"},
    {.name = "party", .help = "all people's data of the job"},
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_erase = {
    .page = {.name = "job-erase",
             .summary = "erase people's data for good",
             .about = "Erases an entry, or all people's data of a job: from the store, its index "
                      "and its attachments, with the freed space overwritten. This cannot be "
                      "undone. The fact that an entry was there stays, and erases it on other "
                      "devices when they merge.",
             .example = "beltwright job erase last --party",
             .options = ERASE_OPTIONS},
    .run = run_erase,
};
