// replay.c - see replay.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Corrections are settled from the latest down: one counts unless a later one that counts takes it
// back. A correction must have a larger tick than what it names, which one written by rule has, so
// when an entry is settled all that could change it is settled before. Of several that count, the
// largest by tick and id wins; those that it does not name as known ("over") were written at the
// same time elsewhere and are shown as "also said".
#include "job/replay.h"

#include "base/number.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

struct act {  // a correction or a withdrawal
    const struct bw_entry *entry;
    const struct bw_node *body;
    enum bw_entry_kind kind;
    bool counts;
};

struct replay {
    struct bw_arena *arena;
    const struct bw_entries *set;
    const struct bw_entry **order;  // by tick and id
    struct act *acts;               // from the latest down
    size_t n_acts;
    struct bw_err *err;
};

const char *bw_body_text(const struct bw_node *body, const char *key) {
    const struct bw_node *node = body == NULL ? NULL : bw_node_find(body, key);
    return node == NULL || node->kind != BW_NODE_TEXT ? "" : node->text;
}

static int by_order(const void *a, const void *b) {
    return bw_entry_order(*(const struct bw_entry *const *)a, *(const struct bw_entry *const *)b);
}

static enum bw_entry_kind kind_of(const struct bw_entry *entry) {
    return bw_entry_erased(entry) ? BW_ENTRY_UNKNOWN : bw_entry_kind_of(entry->kind, entry->shape);
}

static bool acts_on_another(enum bw_entry_kind kind) {
    return kind == BW_ENTRY_CORRECTION || kind == BW_ENTRY_WITHDRAWN;
}

static bool sort(struct replay *r) {
    size_t n = r->set->n;
    r->order = bw_arena_array(r->arena, n + 1, sizeof *r->order);
    r->acts = bw_arena_array(r->arena, n + 1, sizeof *r->acts);
    if (r->order == NULL || r->acts == NULL) return bw_fail_memory(r->err);
    for (size_t i = 0; i < n; i++) r->order[i] = &r->set->items[i];
    if (n > 0) qsort(r->order, n, sizeof *r->order, by_order);
    return true;
}

// Some later act that counts withdraws or corrects this one.
static bool is_taken_back(const struct replay *r, const struct bw_entry *entry) {
    for (size_t i = 0; i < r->n_acts; i++) {
        const struct act *act = &r->acts[i];
        if (act->counts && strcmp(act->entry->names, entry->id) == 0) return true;
    }
    return false;
}

static bool settle(struct replay *r) {
    for (size_t i = r->set->n; i-- > 0;) {
        const struct bw_entry *entry = r->order[i];
        enum bw_entry_kind kind = kind_of(entry);
        if (!acts_on_another(kind)) continue;
        struct act act = {.entry = entry, .kind = kind};
        if (!bw_entry_body(r->arena, entry, &act.body, r->err)) return false;
        const struct bw_entry *named = bw_entries_find(r->set, entry->names);
        act.counts = named != NULL && named->tick < entry->tick && !is_taken_back(r, entry);
        r->acts[r->n_acts++] = act;
    }
    return true;
}

static bool knew(const struct bw_node *body, const char *id) {
    const struct bw_node *over = bw_node_find(body, "over");
    if (over == NULL) return false;
    for (const struct bw_node *child = over->child; child != NULL; child = child->next)
        if (child->kind == BW_NODE_TEXT && strcmp(child->text, id) == 0) return true;
    return false;
}

// A correction without a body object is damaged and says nothing.
static const struct bw_node *said_by(const struct act *act) {
    const struct bw_node *body = bw_node_find(act->body, "body");
    return act->kind == BW_ENTRY_CORRECTION && body != NULL && body->kind == BW_NODE_MAP ? body
                                                                                         : NULL;
}

// Applies the acts on one line: the first that counts wins.
static bool apply(struct replay *r, struct bw_line *line) {
    const struct act *winner = NULL;
    const struct bw_node **also = NULL;
    for (size_t i = 0; i < r->n_acts; i++) {
        const struct act *act = &r->acts[i];
        if (!act->counts || strcmp(act->entry->names, line->entry->id) != 0) continue;
        if (winner == NULL) {
            winner = act;
            continue;
        }
        if (knew(winner->body, act->entry->id) || said_by(act) == NULL) continue;
        if (also == NULL) also = bw_arena_array(r->arena, r->n_acts, sizeof *also);
        if (also == NULL) return bw_fail_memory(r->err);
        also[line->n_also++] = said_by(act);
    }
    line->also = also;
    if (winner == NULL) return true;
    line->by = winner->entry;
    line->body = said_by(winner);
    if (line->body == NULL) line->state = BW_LINE_WITHDRAWN;
    return true;
}

static bool make_line(struct replay *r, const struct bw_entry *entry, struct bw_line *line) {
    *line = (struct bw_line){.entry = entry, .kind = kind_of(entry)};
    if (bw_entry_erased(entry)) {
        line->state = BW_LINE_ERASED;
        return true;
    }
    if (line->kind == BW_ENTRY_UNKNOWN) {
        line->state = BW_LINE_NEWER;
        return true;
    }
    if (!bw_entry_body(r->arena, entry, &line->body, r->err)) return false;
    return r->n_acts == 0 || apply(r, line);
}

// Corrections of what is here have no line of their own; one that waits has.
static bool make_lines(struct replay *r, struct bw_job *job) {
    job->lines = bw_arena_array(r->arena, r->set->n + 1, sizeof *job->lines);
    if (job->lines == NULL) return bw_fail_memory(r->err);
    for (size_t i = 0; i < r->set->n; i++) {
        const struct bw_entry *entry = r->order[i];
        enum bw_entry_kind kind = kind_of(entry);
        if (acts_on_another(kind)) {
            if (bw_entries_find(r->set, entry->names) == NULL)
                job->lines[job->n++] =
                    (struct bw_line){.entry = entry, .kind = kind, .state = BW_LINE_WAITING};
            continue;
        }
        if (!make_line(r, entry, &job->lines[job->n++])) return false;
    }
    return true;
}

static void tell_first(const struct bw_line *line, struct bw_job *job) {
    job->title = bw_body_text(line->body, "title");
    job->kind = bw_body_text(line->body, "kind");
    job->site = bw_body_text(line->body, "site");
    job->machine = bw_body_text(line->body, "machine");
    job->opened_ms = line->entry->time_ms;
    job->opened_offset_min = line->entry->offset_min;
}

static void sum_up(const struct bw_entries *set, struct bw_job *job) {
    job->title = job->kind = job->site = job->machine = "";
    for (size_t i = 0; i < job->n; i++) {
        const struct bw_line *line = &job->lines[i];
        if (strcmp(line->entry->id, job->id) == 0) tell_first(line, job);
        if (line->state != BW_LINE_COUNTS) continue;
        if (line->kind == BW_ENTRY_CLOSED) job->closing = line;
        if (line->kind == BW_ENTRY_REOPENED) job->closing = NULL;
    }
    job->closed = job->closing != NULL;
    for (size_t i = 0; i < set->n; i++)
        if (set->items[i].time_ms > job->changed_ms) job->changed_ms = set->items[i].time_ms;
}

bool bw_job_replay(struct bw_arena *arena, const struct bw_entries *set, struct bw_job *out,
                   struct bw_err *err) {
    struct replay r = {.arena = arena, .set = set, .err = err};
    struct bw_job job = {.id = set->n == 0 ? "" : set->items[0].job,
                         .entries = set->n,
                         .last_tick = bw_entries_last_tick(set)};
    if (!sort(&r) || !settle(&r) || !make_lines(&r, &job)) return false;
    sum_up(set, &job);
    *out = job;
    return true;
}

bool bw_job_over(struct bw_arena *arena, const struct bw_entries *set, const char *id,
                 struct bw_json *json, struct bw_err *err) {
    struct replay r = {.arena = arena, .set = set, .err = err};
    if (!sort(&r) || !settle(&r)) return false;
    bw_json_open(json, '[');
    for (size_t i = 0; i < r.n_acts; i++)
        if (r.acts[i].counts && strcmp(r.acts[i].entry->names, id) == 0)
            bw_json_text(json, r.acts[i].entry->id);
    bw_json_close(json, ']');
    return true;
}

const struct bw_line *bw_job_last(const struct bw_job *job) {
    for (size_t i = job->n; i-- > 0;)
        if (job->lines[i].state == BW_LINE_COUNTS && job->lines[i].kind != BW_ENTRY_OPENED)
            return &job->lines[i];
    return NULL;
}

const struct bw_line *bw_job_line(const struct bw_job *job, const char *id) {
    for (size_t i = 0; i < job->n; i++)
        if (strcmp(job->lines[i].entry->id, id) == 0) return &job->lines[i];
    return NULL;
}

// ---- as JSON ------------------------------------------------------------------------------------

static void emit_scalar(struct bw_json *json, const struct bw_node *node) {
    struct bw_err ignored = {0};
    long count;
    double value;
    if (node->quoted)
        bw_json_text(json, node->text);
    else if (bw_count(node->text, node->length, LONG_MIN, LONG_MAX, &count, &ignored))
        bw_json_count(json, count);
    else if (bw_number(node->text, node->length, &value, &ignored))
        bw_json_number(json, value);
    else if (strcmp(node->text, "true") == 0 || strcmp(node->text, "false") == 0)
        bw_json_bool(json, node->text[0] == 't');
    else
        bw_json_text(json, node->text);  // a bare word of YAML
}

void bw_node_emit(struct bw_json *json, const struct bw_node *node) {
    if (node->kind == BW_NODE_NULL) {
        bw_json_null(json);
        return;
    }
    if (node->kind == BW_NODE_TEXT) {
        emit_scalar(json, node);
        return;
    }
    bool map = node->kind == BW_NODE_MAP;
    bw_json_open(json, map ? '{' : '[');
    for (const struct bw_node *child = node->child; child != NULL; child = child->next) {
        if (map) bw_json_key(json, child->key);
        bw_node_emit(json, child);
    }
    bw_json_close(json, map ? '}' : ']');
}

static void emit_text(struct bw_json *json, const char *key, const char *text) {
    if (text == NULL || text[0] == '\0') return;
    bw_json_key(json, key);
    bw_json_text(json, text);
}

static void emit_line(struct bw_json *json, const struct bw_line *line) {
    static const char *const STATES[] = {"counts", "withdrawn", "erased", "waiting", "newer"};
    const struct bw_entry *entry = line->entry;
    char clock[BW_CLOCK_TEXT];
    bw_json_open(json, '{');
    emit_text(json, "id", entry->id);
    bw_json_key(json, "tick");
    bw_json_count(json, entry->tick);
    emit_text(json, "state", STATES[line->state]);
    if (!bw_entry_erased(entry)) {
        emit_text(json, "at", bw_clock_text(clock, entry->time_ms, entry->offset_min));
        emit_text(json, "device", entry->device);
        emit_text(json, "kind", entry->kind);
        emit_text(json, "entry_shape", entry->shape);
    }
    if (line->by != NULL) emit_text(json, "corrected_by", line->by->id);
    if (line->body != NULL) {
        bw_json_key(json, "body");
        bw_node_emit(json, line->body);
    }
    if (line->n_also > 0) {
        bw_json_key(json, "also_said");
        bw_json_open(json, '[');
        for (size_t i = 0; i < line->n_also; i++) bw_node_emit(json, line->also[i]);
        bw_json_close(json, ']');
    }
    bw_json_close(json, '}');
}

void bw_job_emit(struct bw_json *json, const struct bw_job *job) {
    char clock[BW_CLOCK_TEXT];
    bw_json_open(json, '{');
    emit_text(json, "shape", "job/1");
    emit_text(json, "job", job->id);
    emit_text(json, "title", job->title);
    emit_text(json, "kind", job->kind);
    emit_text(json, "site", job->site);
    emit_text(json, "machine", job->machine);
    emit_text(json, "state", job->closed ? "closed" : "open");
    emit_text(json, "opened", bw_clock_text(clock, job->opened_ms, job->opened_offset_min));
    bw_json_key(json, "entries");
    bw_json_open(json, '[');
    for (size_t i = 0; i < job->n; i++) emit_line(json, &job->lines[i]);
    bw_json_close(json, ']');
    bw_json_close(json, '}');
}
