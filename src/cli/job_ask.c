// job_ask.c - `beltwright job ask|answer`: the next step of a job, from all that is in it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/ask.h"
#include "cli/job.h"
#include "job/learn.h"
#include "machine/machine.h"
#include "reason/call.h"

#include <string.h>

// The machine as it was kept with the job; nothing known where there is none.
static bool features_of(struct bw_desk *desk, const struct bw_job *job, struct bw_features *out) {
    const struct bw_line *first = bw_job_line(job, job->id);
    const struct bw_node *body = first == NULL ? NULL : first->body;
    const struct bw_node *files = body == NULL ? NULL : bw_node_find(body, "files");
    const char *sha256 = files == NULL ? "" : bw_body_text(files->child, "sha256");
    const struct bw_binding binding = {.arena = desk->cli->arena, .units = desk->units};
    const struct bw_kept_file kept = {&bw_machine_file, job->machine, sha256, &binding};
    struct bw_file file;
    *out = bw_features_none();
    if (sha256[0] == '\0') return true;
    if (!bw_desk_load(desk, &kept, &file)) return false;
    *out = bw_features_of(file.content);
    return true;
}

struct thinking {
    struct bw_knowledge knowledge;
    struct bw_network network;
    struct bw_ask ask;
};

// The interview as it stands after all that the job's entries say.
static bool think(struct bw_desk *desk, const struct bw_job *job, struct thinking *t) {
    struct bw_arena *arena = desk->cli->arena;
    struct bw_lessons lessons;
    struct bw_learned learned;
    struct bw_features features;
    t->ask = (struct bw_ask){
        .cli = desk->cli, .units = desk->units, .knowledge = &t->knowledge, .travel_told = true};
    if (!bw_knowledge_load(arena, NULL, 0, NULL, &t->knowledge, desk->err) ||
        !features_of(desk, job, &features) || !bw_desk_lessons(desk, &t->knowledge, &lessons) ||
        !bw_lessons_learned(&lessons, job->site, job->machine, arena, &learned, desk->err))
        return false;
    const struct bw_network_from from = {&t->knowledge, &features, &learned};
    return bw_network_make(&from, arena, &t->network, desk->err) &&
           bw_interview_begin(&t->network, arena, &t->ask.i, desk->err) &&
           bw_job_case(job, arena, &t->ask.i.c, desk->err) &&
           bw_interview_enough(&t->ask.i, desk->err);
}

// How the answer to the step is typed.
static void tell_how(struct bw_desk *desk, const struct bw_job *job, const struct thinking *t) {
    const struct bw_next *next = bw_interview_next(&t->ask.i);
    const char *name = bw_short(job->id);
    if (next->kind == BW_NEXT_CHECK)
        fprintf(desk->cli->out, "beltwright job answer %s %s y\n", name,
                t->knowledge.check[next->which].id);
    else if (next->kind == BW_NEXT_REMEDY)
        fprintf(desk->cli->out,
                "beltwright job fix %s \"what was done\" --remedy %s --result gone\n", name,
                t->knowledge.remedy[next->which].id);
    else
        fprintf(desk->cli->out, "beltwright job show %s\n", name);
}

static bool tell_step(struct bw_desk *desk, const struct bw_job *job) {
    struct thinking t;
    bool done = think(desk, job, &t);
    if (done && desk->json)
        done = bw_ask_json_step(&t.ask, desk->err);
    else if (done && bw_given(desk->given, "now"))
        done = bw_ask_text_verdict(&t.ask, desk->err);
    else if (done && bw_given(desk->given, "how"))
        done = bw_ask_text_how(&t.ask, desk->err);
    else if (done && bw_given(desk->given, "why"))
        done = bw_ask_text_why(&t.ask, desk->err);
    else if (done && (done = bw_ask_text_step(&t.ask, desk->err)))
        tell_how(desk, job, &t);
    bw_interview_end(&t.ask.i);
    return done;
}

static bool ask(struct bw_desk *desk) {
    struct bw_entries set;
    struct bw_job job;
    return bw_desk_job(desk, &set, &job) && tell_step(desk, &job);
}

static bool run_ask(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return bw_desk_run(cli, given, ask, NULL, err);
}

static const struct bw_option ASK_OPTIONS[] = {
    BW_OPTION_JOB,
    {.name = "now", .help = "where it stands: causes, what speaks for and against, what to do"},
    {.name = "how", .help = "how the step is done"},
    {.name = "why", .help = "why just this step"},
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_UNITS,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_ask = {
    .page = {.name = "job-ask",
             .summary = "say what to check or do next in a job",
             .about = "Reasons over everything in the job: what the title says, answers, findings "
                      "of studies, fixes that did not end the fault, the machine file, and what "
                      "proven jobs at this machine, this site and everywhere taught. It answers "
                      "with the step that pays best next.",
             .example = "beltwright job ask last",
             .options = ASK_OPTIONS},
    .run = run_ask,
};

// ---- answer -------------------------------------------------------------------------------------

// The entry that answers the same check already, or NULL.
static const struct bw_line *answered(const struct bw_job *job, const char *check) {
    for (size_t i = job->n; i-- > 0;) {
        const struct bw_line *line = &job->lines[i];
        if (line->kind == BW_ENTRY_ANSWER && line->state == BW_LINE_COUNTS &&
            strcmp(bw_body_text(line->body, "check"), check) == 0)
            return line;
    }
    return NULL;
}

static bool check_answer(struct bw_desk *desk, const char *check, const char *answer) {
    struct bw_knowledge knowledge;
    struct bw_said said;
    if (!bw_knowledge_load(desk->cli->arena, NULL, 0, NULL, &knowledge, desk->err)) return false;
    size_t which = bw_check_find(&knowledge, check);
    if (which != BW_NO_INDEX) return bw_said_read(&knowledge, which, answer, &said, desk->err);
    bw_err_value(desk->err, check);
    bw_err_mend(desk->err, "beltwright job ask names the check it asks");
    return bw_fail(desk->err, BW_NOT_FOUND, "there is no such check in the knowledge");
}

static bool answer(struct bw_desk *desk) {
    const char *check = bw_given_value(desk->given, "check");
    const char *said = bw_given_value(desk->given, "answer");
    struct bw_entries set;
    struct bw_job job;
    struct bw_entry entry;
    struct bw_buffer body = {0};
    if (!bw_desk_job(desk, &set, &job) || !check_answer(desk, check, said)) return false;
    struct bw_json json = bw_desk_body(&body);
    bw_desk_text(&json, "check", check);
    bw_desk_text(&json, "answer", said);
    bw_desk_text(&json, "head", bw_given_value(desk->given, "head"));
    bw_json_close(&json, '}');
    const struct bw_line *before = answered(&job, check);
    bool done = before == NULL ? bw_desk_write(desk, job.id, BW_ENTRY_ANSWER, &body, &entry)
                               : bw_desk_correct(desk, &set, before, &body, &entry);
    if (!done) return false;
    if (desk->json || bw_given(desk->given, "quiet")) return bw_desk_tell(desk, &entry, "Kept.");
    return bw_store_get(desk->store, job.id, desk->cli->arena, &set, desk->err) &&
           bw_job_replay(desk->cli->arena, &set, &job, desk->err) && tell_step(desk, &job);
}

static bool run_answer(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return bw_desk_run(cli, given, answer, NULL, err);
}

static const struct bw_option ANSWER_OPTIONS[] = {
    BW_OPTION_JOB,
    {.name = "check",
     .value = "CHECK",
     .takes = BW_TAKES_WORD,
     .positional = true,
     .required = true,
     .help = "the check, by its name in the knowledge; job ask says it"},
    {.name = "answer",
     .value = "ANSWER",
     .takes = BW_TAKES_WORD,
     .positional = true,
     .required = true,
     .help = "y, n, ? for don't know, or a reading with its unit"},
    {.name = "head", .value = "N", .takes = BW_TAKES_WORD, .help = "the head it was seen at"},
    {.name = "quiet", .help = "do not say what to do next"},
    BW_OPTION_AT,
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_UNITS,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_answer = {
    .page = {.name = "job-answer",
             .summary = "answer a check, and hear what to do next",
             .about = "Keeps the answer to a check. A second answer to the same check corrects the "
                      "first.",
             .example = "beltwright job answer last chatter y",
             .options = ANSWER_OPTIONS},
    .run = run_answer,
};
