// knowledge.c - `beltwright knowledge`: what closed jobs have taught.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/number.h"
#include "cli/job.h"
#include "job/learn.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SINCE "learn since"  // the setting: closings before this time (UTC ms) are forgotten

static bool forgotten_before(struct bw_desk *desk, long *out) {
    struct bw_buffer since = {0};
    struct bw_err ignored = {0};
    *out = 0;
    bool done = bw_store_setting(desk->store, SINCE, &since, desk->err);
    if (done && since.length > 0 &&
        !bw_count(since.data, since.length, 0, BW_MAX_TIME_MS, out, &ignored))
        *out = 0;
    bw_buffer_free(&since);
    return done;
}

static bool take_job(struct bw_desk *desk, const char *id, long since, struct bw_lessons *lessons) {
    struct bw_entries set;
    struct bw_job job;
    if (!bw_store_get(desk->store, id, desk->cli->arena, &set, desk->err) ||
        !bw_job_replay(desk->cli->arena, &set, &job, desk->err))
        return false;
    if (!job.closed || job.closing->entry->time_ms < since) return true;
    return bw_lessons_take(lessons, &job, desk->err);
}

bool bw_desk_lessons(struct bw_desk *desk, const struct bw_knowledge *knowledge,
                     struct bw_lessons *out) {
    const struct bw_job_query query = {.state = 2};
    struct bw_job_rows rows;
    long since;
    struct bw_lessons lessons = {.knowledge = knowledge, .arena = desk->cli->arena};
    if (!forgotten_before(desk, &since) ||
        !bw_store_list(desk->store, &query, desk->cli->arena, &rows, desk->err))
        return false;
    for (size_t i = 0; i < rows.n; i++)
        if (!take_job(desk, rows.items[i].job, since, &lessons)) return false;
    *out = lessons;
    return true;
}

// ---- what is told -------------------------------------------------------------------------------

struct learned_cause {
    const char *id, *name;
    double shipped, learned, cases;
};

struct told {
    struct bw_lessons lessons;
    struct learned_cause *causes;  // those any job spoke of, the farthest moved first
    size_t n, shared;
};

static int by_move(const void *a, const void *b) {
    const struct learned_cause *x = a, *y = b;
    double one = fabs(log(x->learned / x->shipped)), two = fabs(log(y->learned / y->shipped));
    if (one != two) return one > two ? -1 : 1;
    return strcmp(x->id, y->id);
}

static double cases_of(const struct bw_lessons *lessons, size_t cause, size_t *shared) {
    double cases = 0;
    for (size_t i = 0; i < lessons->n; i++) {
        const struct bw_lesson *lesson = &lessons->items[i];
        for (size_t k = 0; k < lesson->n; k++)
            if (lesson->cause[k] == cause) cases += lesson->share[k];
        *shared += lesson->shared;
    }
    return cases;
}

static bool gather(struct bw_desk *desk, const struct bw_knowledge *knowledge, struct told *told) {
    struct bw_arena *arena = desk->cli->arena;
    size_t n = knowledge->causes + 1;
    double *shipped = bw_arena_array(arena, n, sizeof *shipped);
    double *learned = bw_arena_array(arena, n, sizeof *learned);
    told->causes = bw_arena_array(arena, n, sizeof *told->causes);
    if (bw_arena_failed(arena)) return bw_fail_memory(desk->err);
    if (!bw_desk_lessons(desk, knowledge, &told->lessons) ||
        !bw_lessons_shares(&told->lessons, bw_given_value(desk->given, "site"),
                           bw_given_value(desk->given, "machine"), shipped, learned, desk->err))
        return false;
    for (size_t c = 0; c < n; c++) {
        bool listed = c < knowledge->causes;
        size_t shared = 0;
        double cases = cases_of(&told->lessons, listed ? c : BW_NO_INDEX, &shared);
        told->shared = shared;
        if (!(cases > 0) && !bw_given(desk->given, "all")) continue;
        told->causes[told->n++] =
            (struct learned_cause){listed ? knowledge->cause[c].id : "other",
                                   listed ? knowledge->cause[c].name : "something on no list",
                                   shipped[c], learned[c], cases};
    }
    if (told->n > 0) qsort(told->causes, told->n, sizeof *told->causes, by_move);
    return true;
}

static void tell_words(const struct told *told, struct bw_text *text) {
    static const char *const TITLES[] = {"cause", "jobs", "shipped", "now", "what it is", NULL};
    const struct bw_lessons *l = &told->lessons;
    char number[BW_NUMBER_TEXT];
    bw_text_para(text, "Learned from %zu proven job%s%s.", l->n, l->n == 1 ? "" : "s",
                 l->n == 0 ? "; what is believed is what is shipped" : "");
    if (told->shared > 0)
        bw_text_item(text, "- ", "%zu of them: one of several causes, shared between them.",
                     told->shared);
    if (l->guesses + l->not_found + l->unknown > 0)
        bw_text_item(text, "- ",
                     "Closed jobs that teach nothing: %zu guessed, %zu without a cause, %zu with "
                     "a cause this program does not know.",
                     l->guesses, l->not_found, l->unknown);
    bw_text_gap(text);
    bw_text_table(text, "lrrrl", TITLES);
    for (size_t i = 0; i < told->n; i++) {
        const struct learned_cause *cause = &told->causes[i];
        bw_text_cell(text, "%s", cause->id);
        bw_text_cell(text, "%s", bw_number_fixed(number, cause->cases, told->shared > 0 ? 1 : 0));
        bw_text_cell(text, "%s %%", bw_number_fixed(number, 100 * cause->shipped, 1));
        bw_text_cell(text, "%s %%", bw_number_fixed(number, 100 * cause->learned, 1));
        bw_text_cell(text, "%s", cause->name);
    }
    bw_text_table_end(text);
    if (told->n > 0)
        bw_text_para(text, "Shares of all complaints, before anything is asked. Causes no job "
                           "spoke of share the rest as shipped.");
}

static void tell_count(struct bw_json *json, const char *key, size_t n) {
    bw_json_key(json, key);
    bw_json_count(json, (long)n);
}

static void tell_json(struct bw_desk *desk, const struct told *told, struct bw_json *json) {
    const struct bw_lessons *l = &told->lessons;
    bw_json_open(json, '{');
    bw_desk_text(json, "shape", "learned/1");
    bw_desk_text(json, "site", bw_given_value(desk->given, "site"));
    bw_desk_text(json, "machine", bw_given_value(desk->given, "machine"));
    tell_count(json, "jobs", l->n);
    tell_count(json, "shared", told->shared);
    tell_count(json, "guesses", l->guesses);
    tell_count(json, "not_found", l->not_found);
    tell_count(json, "unknown", l->unknown);
    bw_json_key(json, "causes");
    bw_json_open(json, '[');
    for (size_t i = 0; i < told->n; i++) {
        const struct learned_cause *cause = &told->causes[i];
        bw_json_open(json, '{');
        bw_desk_text(json, "id", cause->id);
        bw_desk_text(json, "name", cause->name);
        bw_json_key(json, "cases");
        bw_json_number(json, cause->cases);
        bw_json_key(json, "shipped");
        bw_json_number(json, cause->shipped);
        bw_json_key(json, "learned");
        bw_json_number(json, cause->learned);
        bw_json_close(json, '}');
    }
    bw_json_close(json, ']');
    bw_json_close(json, '}');
}

static bool tell(struct bw_desk *desk) {
    struct bw_knowledge knowledge;
    struct told told = {.n = 0};
    if (!bw_knowledge_load(desk->cli->arena, NULL, 0, NULL, &knowledge, desk->err) ||
        !gather(desk, &knowledge, &told))
        return false;
    struct bw_text text = bw_cli_text(desk->cli, desk->units);
    struct bw_json json = bw_json_begin(&text.out);
    if (desk->json)
        tell_json(desk, &told, &json);
    else
        tell_words(&told, &text);
    return bw_write(desk->cli, "-", &text.out, desk->err);
}

// Nothing is deleted: jobs closed before now no longer count, and can again.
static bool set_since(struct bw_desk *desk, bool forget) {
    char number[BW_NUMBER_TEXT];
    (void)snprintf(number, sizeof number, "%lld", forget ? (long long)desk->now_ms : 0);
    if (!bw_store_set(desk->store, SINCE, number, desk->err)) return false;
    struct bw_text text = bw_cli_text(desk->cli, desk->units);
    bw_text_para(&text, forget ? "Jobs closed until now teach nothing any more; --recall has them "
                                 "count again."
                               : "All proven jobs count again.");
    return bw_write(desk->cli, "-", &text.out, desk->err);
}

static bool work(struct bw_desk *desk) {
    if (bw_given(desk->given, "reset")) return set_since(desk, true);
    if (bw_given(desk->given, "recall")) return set_since(desk, false);
    return tell(desk);
}

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    if (bw_given(given, "reset") && bw_given(given, "recall"))
        return bw_fail(err, BW_USAGE, "--reset and --recall undo each other; give one of them");
    return bw_desk_run(cli, given, work, NULL, err);
}

static const struct bw_option OPTIONS[] = {
    {.name = "site", .value = "SITE", .takes = BW_TAKES_WORD, .help = "as it counts at this site"},
    {.name = "machine",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .help = "as it counts at this machine of the site, by the name its jobs gave"},
    {.name = "all", .help = "every cause, also those no job spoke of"},
    {.name = "reset", .help = "have all jobs closed until now teach nothing"},
    {.name = "recall", .help = "have them count again"},
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_knowledge = {
    .page = {.name = "knowledge",
             .summary = "show what proven jobs have taught, and how far it moved",
             .about = "Shows what closed jobs taught: from how many, and how far each cause has "
                      "moved from the shipped estimate. Only proven causes teach; what was one of "
                      "several is shared between them; guesses teach nothing. With --json the "
                      "answer is the export.",
             .example = "beltwright knowledge",
             .options = OPTIONS},
    .run = run,
};
