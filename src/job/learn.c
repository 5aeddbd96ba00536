// learn.c - see learn.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: Dirichlet means in three levels, each the prior of the next with a fixed strength, every
// case used once at its own level. Why: a shop with three jobs stays near what all shops teach, one
// with two hundred speaks for itself, and the order of closing does not matter. Rejected: fitting
// the strengths (a handful of sites says nothing of them), forgetting old cases (a machine's
// history is short). Source of the mean: any text on the Dirichlet-multinomial, from memory.
#include "job/learn.h"

#include <math.h>
#include <string.h>

// The network takes counts on top of shipped cases; so many counts leave only the learned shares.
#define COUNTS_FOR_SHARES 1e9

// ---- a job as a case ----------------------------------------------------------------------------

static double said_yes(const char *answer) {
    static const struct {
        const char *word;
        double yes;
    } WORDS[] = {{"y", 1},  {"yes", 1},           {"n", 0},
                 {"no", 0}, {"rather yes", 0.75}, {"rather no", 0.25}};
    for (size_t i = 0; i < sizeof WORDS / sizeof *WORDS; i++)
        if (strcmp(WORDS[i].word, answer) == 0) return WORDS[i].yes;
    return BW_NAN;
}

// The reply an answer entry stands for; false: it says nothing here.
static bool reply_of(const struct bw_knowledge *knowledge, const struct bw_node *body,
                     struct bw_reply *out) {
    size_t check = bw_check_find(knowledge, bw_body_text(body, "check"));
    const char *answer = bw_body_text(body, "answer");
    struct bw_err ignored = {0};
    struct bw_quantity reading;
    if (check == BW_NO_INDEX) return false;
    *out = (struct bw_reply){.row = check, .kind = BW_REPLY_UNKNOWN, .reading = BW_NAN};
    double yes = said_yes(answer);
    if (!isnan(yes)) {
        *out = bw_reply_graded(check, yes);
    } else if (knowledge->limit[check].given &&
               bw_quantity_read(answer, strlen(answer), knowledge->limit[check].dim, NULL, &reading,
                                &ignored) &&
               bw_known(reading)) {
        *out = bw_reply_reading(knowledge, check, reading.v, reading.sd);
    }
    const char *head = bw_body_text(body, "head");
    if (head[0] > '0' && head[0] <= '9') {
        out->head = (size_t)(head[0] - '0');
        out->head_sure = 0.9;
    }
    return true;
}

static bool add_answer(const struct bw_line *line, struct bw_case *c, struct bw_err *err) {
    struct bw_reply reply;
    if (!reply_of(c->network->knowledge, line->body, &reply)) return true;
    return bw_case_reply(c, reply, err);
}

static bool add_findings(const struct bw_line *line, struct bw_arena *arena, struct bw_case *c,
                         struct bw_err *err) {
    const struct bw_node *findings = bw_node_find(line->body, "findings");
    struct bw_buffer text = {0};
    struct bw_found_list found;
    if (findings == NULL) return true;
    struct bw_json json = bw_json_begin(&text);
    bw_node_emit(&json, findings);
    bool *used = NULL;
    const struct bw_document document = {"findings", text.data, text.length};
    bool done =
        !text.failed ? bw_findings_read(arena, &document, &found, err) : bw_fail_memory(err);
    if (done) {
        used = bw_arena_array(arena, found.n + 1, sizeof *used);
        done = used != NULL ? bw_case_find(c, &found, used, err) : bw_fail_memory(err);
    }
    bw_buffer_free(&text);
    return done;
}

static bool add_fix(const struct bw_line *line, struct bw_case *c, struct bw_err *err) {
    const char *result = bw_body_text(line->body, "result");
    size_t remedy = bw_remedy_find(c->network->knowledge, bw_body_text(line->body, "remedy"));
    bool less = strcmp(result, "less") == 0;
    if (remedy == BW_NO_INDEX || (!less && strcmp(result, "same") != 0)) return true;
    return bw_case_tried(c, remedy, less, err);
}

// What the title names, where nothing better was said.
static bool add_title(const struct bw_job *job, struct bw_arena *arena, struct bw_case *c,
                      struct bw_err *err) {
    struct bw_hearing heard;
    if (job->title[0] == '\0') return true;
    if (!bw_hear(c->network, job->title, arena, &heard, err)) return false;
    for (size_t i = 0; i < heard.n; i++) {
        const struct bw_heard *one = &heard.items[i];
        if (one->unclear || bw_case_reply_to(c, one->check) != NULL) continue;
        if (!bw_case_reply(c, bw_reply_graded(one->check, one->yes ? 1 : 0), err)) return false;
    }
    return true;
}

bool bw_job_case(const struct bw_job *job, struct bw_arena *arena, struct bw_case *c,
                 struct bw_err *err) {
    for (size_t i = 0; i < job->n; i++) {
        const struct bw_line *line = &job->lines[i];
        if (line->state != BW_LINE_COUNTS) continue;
        bool done = line->kind == BW_ENTRY_ANSWER  ? add_answer(line, c, err)
                    : line->kind == BW_ENTRY_STUDY ? add_findings(line, arena, c, err)
                    : line->kind == BW_ENTRY_FIX   ? add_fix(line, c, err)
                                                   : true;
        if (!done) return false;
    }
    return add_title(job, arena, c, err);
}

// ---- one lesson ---------------------------------------------------------------------------------

static bool is(const struct bw_node *body, const char *key, const char *word) {
    return strcmp(bw_body_text(body, key), word) == 0;
}

// The causes named; false: one is not in the knowledge.
static bool named_causes(const struct bw_knowledge *knowledge, const struct bw_node *body,
                         struct bw_lesson *lesson) {
    const struct bw_node *causes = bw_node_find(body, "causes");
    for (const struct bw_node *at = causes == NULL ? NULL : causes->child; at != NULL;
         at = at->next) {
        if (at->kind != BW_NODE_TEXT || lesson->n == BW_MAX_LESSON_CAUSES) return false;
        size_t cause = bw_cause_find(knowledge, at->text);
        if (cause == BW_NO_INDEX && strcmp(at->text, "other") != 0) return false;
        lesson->cause[lesson->n++] = cause;
    }
    return lesson->n > 0;
}

// What the shipped numbers believe of each, from all that was said.
static bool share(const struct bw_lessons *lessons, const struct bw_job *job,
                  struct bw_lesson *lesson, struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    const struct bw_features none = bw_features_none();
    const struct bw_network_from from = {lessons->knowledge, &none, NULL};
    struct bw_network network;
    struct bw_case c;
    struct bw_thought thought;
    double sum = 0;
    if (arena == NULL) return bw_fail_memory(err);
    bool done = bw_network_make(&from, arena, &network, err) &&
                bw_case_begin(&network, arena, &c, err) && bw_job_case(job, arena, &c, err) &&
                bw_case_think(&c, BW_NO_INDEX, 1, arena, &thought, err);
    for (size_t i = 0; done && i < lesson->n; i++) {
        size_t at = lesson->cause[i] == BW_NO_INDEX ? network.net.causes - 1
                                                    : network.index[lesson->cause[i]];
        lesson->share[i] = at == BW_NO_INDEX ? 0 : thought.belief.cause[at] + 1e-9;
        sum += lesson->share[i];
    }
    for (size_t i = 0; done && i < lesson->n; i++) lesson->share[i] /= sum;
    bw_arena_free(arena);
    return done;
}

// Graded answers and fixes, copied from the entries.
static bool gather(const struct bw_lessons *lessons, const struct bw_job *job,
                   struct bw_lesson *lesson, struct bw_err *err) {
    struct bw_reply *replies = bw_arena_array(lessons->arena, job->n + 1, sizeof *replies);
    struct bw_lesson_fix *fixes = bw_arena_array(lessons->arena, job->n + 1, sizeof *fixes);
    if (replies == NULL || fixes == NULL) return bw_fail_memory(err);
    lesson->replies = replies;
    lesson->fixes.items = fixes;
    for (size_t i = 0; i < job->n; i++) {
        const struct bw_line *line = &job->lines[i];
        struct bw_reply reply;
        if (line->state != BW_LINE_COUNTS) continue;
        if (line->kind == BW_ENTRY_ANSWER && reply_of(lessons->knowledge, line->body, &reply) &&
            reply.kind == BW_REPLY_GRADED)
            replies[lesson->n_replies++] = reply;
        if (line->kind != BW_ENTRY_FIX) continue;
        size_t remedy = bw_remedy_find(lessons->knowledge, bw_body_text(line->body, "remedy"));
        bool gone = is(line->body, "result", "gone");
        if (remedy != BW_NO_INDEX && (gone || is(line->body, "result", "same")))
            fixes[lesson->fixes.n++] = (struct bw_lesson_fix){remedy, gone};
    }
    return true;
}

static bool grow(struct bw_lessons *lessons, struct bw_err *err) {
    if (lessons->n < lessons->capacity) return true;
    size_t capacity = lessons->capacity == 0 ? 64 : 2 * lessons->capacity;
    struct bw_lesson *items = bw_arena_array(lessons->arena, capacity, sizeof *items);
    if (items == NULL) return bw_fail_memory(err);
    if (lessons->n > 0) memcpy(items, lessons->items, lessons->n * sizeof *items);
    lessons->items = items;
    lessons->capacity = capacity;
    return true;
}

bool bw_lessons_take(struct bw_lessons *lessons, const struct bw_job *job, struct bw_err *err) {
    if (!job->closed) return true;
    const struct bw_node *body = job->closing->body;
    struct bw_lesson lesson = {.site = job->site, .machine = job->machine};
    if (is(body, "outcome", "guess")) {
        lessons->guesses++;
        return true;
    }
    if (is(body, "outcome", "not found")) {
        lessons->not_found++;
        return true;
    }
    lesson.shared = is(body, "outcome", "one of these");
    if ((!lesson.shared && !is(body, "outcome", "verified")) ||
        !named_causes(lessons->knowledge, body, &lesson)) {
        lessons->unknown++;
        return true;
    }
    lesson.share[0] = 1;
    if (lesson.n > 1 && !share(lessons, job, &lesson, err)) return false;
    if (!gather(lessons, job, &lesson, err) || !grow(lessons, err)) return false;
    lessons->items[lessons->n++] = lesson;
    return true;
}

// ---- counts -------------------------------------------------------------------------------------

enum level { ALL, SITE, MACHINE };

static bool same(const char *a, const char *b) {
    return a != NULL && b != NULL && a[0] != '\0' && strcmp(a, b) == 0;
}

static enum level level_of(const struct bw_lesson *lesson, const char *site, const char *machine) {
    bool here = same(lesson->site, site);
    if (same(lesson->machine, machine) && (here || site == NULL || site[0] == '\0')) return MACHINE;
    return here ? SITE : ALL;
}

// Moves the shares towards the cases of one level: (strength share + cases) / (strength + n).
struct place {
    const char *site, *machine;
};

static void learn_level(const struct bw_lessons *lessons, const struct place *place,
                        enum level level, double strength, double *shares) {
    size_t n = lessons->knowledge->causes + 1;
    double cases = strength;
    for (size_t c = 0; c < n; c++) shares[c] *= strength;
    for (size_t i = 0; i < lessons->n; i++) {
        const struct bw_lesson *lesson = &lessons->items[i];
        if (level_of(lesson, place->site, place->machine) != level) continue;
        cases += 1;
        for (size_t k = 0; k < lesson->n; k++)
            shares[lesson->cause[k] == BW_NO_INDEX ? n - 1 : lesson->cause[k]] += lesson->share[k];
    }
    for (size_t c = 0; c < n; c++) shares[c] /= cases;
}

bool bw_lessons_shares(const struct bw_lessons *lessons, const char *site, const char *machine,
                       double *shipped, double *learned, struct bw_err *err) {
    const struct bw_knowledge *k = lessons->knowledge;
    const struct place place = {site, machine};
    double sum = 0, unlisted = k->assume.unlisted.v;
    for (size_t c = 0; c < k->causes; c++) sum += k->cause[c].weight.v;
    if (!(sum > 0)) return bw_fail(err, BW_INPUT, "the causes of the knowledge have no weight");
    for (size_t c = 0; c < k->causes; c++) shipped[c] = (1 - unlisted) * k->cause[c].weight.v / sum;
    shipped[k->causes] = unlisted;
    memcpy(learned, shipped, (k->causes + 1) * sizeof *learned);
    learn_level(lessons, &place, ALL, k->assume.strength_weight.v, learned);
    learn_level(lessons, &place, SITE, BW_SITE_STRENGTH, learned);
    learn_level(lessons, &place, MACHINE, BW_MACHINE_STRENGTH, learned);
    return true;
}

// An answer in a case with one cause speaks of that cause's link; shared, for each by its share.
static void count_links(const struct bw_lessons *lessons, double *yes, double *no) {
    size_t causes = lessons->knowledge->causes;
    for (size_t i = 0; i < lessons->n; i++) {
        const struct bw_lesson *lesson = &lessons->items[i];
        for (size_t r = 0; r < lesson->n_replies; r++) {
            for (size_t k = 0; k < lesson->n; k++) {
                if (lesson->cause[k] == BW_NO_INDEX) continue;
                size_t at = lesson->replies[r].row * causes + lesson->cause[k];
                if (!(lessons->knowledge->link[at] > 0)) continue;
                yes[at] += lesson->share[k] * lesson->replies[r].yes;
                no[at] += lesson->share[k] * (1 - lesson->replies[r].yes);
            }
        }
    }
}

static void count_cures(const struct bw_lessons *lessons, double *cured, double *uncured) {
    size_t causes = lessons->knowledge->causes;
    for (size_t i = 0; i < lessons->n; i++) {
        const struct bw_lesson *lesson = &lessons->items[i];
        const struct bw_lesson_fix *fix = lesson->fixes.items;
        for (size_t f = 0; f < lesson->fixes.n; f++) {
            if (lesson->shared || lesson->cause[0] == BW_NO_INDEX) continue;
            (fix[f].cured ? cured : uncured)[fix[f].remedy * causes + lesson->cause[0]] += 1;
        }
    }
}

bool bw_lessons_learned(const struct bw_lessons *lessons, const char *site, const char *machine,
                        struct bw_arena *arena, struct bw_learned *out, struct bw_err *err) {
    const struct bw_knowledge *k = lessons->knowledge;
    size_t links = k->checks * k->causes, cures = k->remedies * k->causes;
    double *shipped = bw_arena_array(arena, k->causes + 1, sizeof(double));
    double *cause = bw_arena_array(arena, k->causes + 1, sizeof(double));
    double *yes = bw_arena_array(arena, links + 1, sizeof(double));
    double *no = bw_arena_array(arena, links + 1, sizeof(double));
    double *cured = bw_arena_array(arena, cures + 1, sizeof(double));
    double *uncured = bw_arena_array(arena, cures + 1, sizeof(double));
    if (bw_arena_failed(arena)) return bw_fail_memory(err);
    if (!bw_lessons_shares(lessons, site, machine, shipped, cause, err)) return false;
    for (size_t c = 0; c <= k->causes; c++) cause[c] *= COUNTS_FOR_SHARES;
    count_links(lessons, yes, no);
    count_cures(lessons, cured, uncured);
    *out = (struct bw_learned){.cause = cause,
                               .unlisted = cause[k->causes],
                               .yes = yes,
                               .no = no,
                               .cured = cured,
                               .uncured = uncured};
    return true;
}
