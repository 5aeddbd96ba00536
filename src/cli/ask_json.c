// ask_json.c - the interview for other programs: one JSON object a line.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// docs/belief.md lists the keys. Shapes: "ask-step/1" and, for a slip, "ask-error/1".
#include "cli/ask.h"

#include "base/json.h"

#include <string.h>

// The writer sets one key a line; a line of its own is what goes through a pipe. A line break
// inside a text is escaped, so every raw one is layout.
static bool write_line(struct bw_ask *ask, struct bw_buffer *pretty, struct bw_err *err) {
    struct bw_buffer line = {0};
    for (size_t i = 0; i < pretty->length; i++) {
        if (pretty->data[i] != '\n') {
            bw_buffer_char(&line, pretty->data[i]);
            continue;
        }
        while (i + 1 < pretty->length && pretty->data[i + 1] == ' ') i++;
    }
    bw_buffer_char(&line, '\n');
    line.failed = line.failed || pretty->failed;
    bw_buffer_free(pretty);
    return bw_write(ask->cli, "-", &line, err);
}

static void text(struct bw_json *json, const char *key, const char *value) {
    if (value == NULL) return;
    bw_json_key(json, key);
    bw_json_text(json, value);
}
static void number(struct bw_json *json, const char *key, double value) {
    bw_json_key(json, key);
    bw_json_number(json, value);
}
static void count(struct bw_json *json, const char *key, size_t value) {
    bw_json_key(json, key);
    bw_json_count(json, (long)value);
}
static void flag(struct bw_json *json, const char *key, bool value) {
    bw_json_key(json, key);
    bw_json_bool(json, value);
}

static void symptoms(const struct bw_ask *ask, struct bw_json *json) {
    bw_json_key(json, "choices");
    bw_json_open(json, '[');
    for (size_t s = 0; s < ask->i.n_symptoms; s++) {
        const struct bw_known_check *check = &ask->knowledge->check[ask->i.symptoms[s]];
        bw_json_open(json, '{');
        count(json, "number", s + 1);
        text(json, "id", check->id);
        text(json, "question", check->question);
        bw_json_close(json, '}');
    }
    bw_json_close(json, ']');
}

static void heard(const struct bw_ask *ask, struct bw_json *json) {
    if (ask->i.heard.n == 0) return;
    bw_json_key(json, "heard");
    bw_json_open(json, '[');
    for (size_t h = 0; h < ask->i.heard.n; h++) {
        const struct bw_heard *one = &ask->i.heard.items[h];
        bw_json_open(json, '{');
        text(json, "id", ask->knowledge->check[one->check].id);
        text(json, "answer", one->unclear ? "unclear" : one->yes ? "yes" : "no");
        text(json, "alarm", one->yes ? ask->knowledge->check[one->check].alarm : NULL);
        bw_json_close(json, '}');
    }
    bw_json_close(json, ']');
}

static void check_step(const struct bw_ask *ask, struct bw_json *json, size_t check) {
    const struct bw_known_check *c = &ask->knowledge->check[check];
    text(json, "kind", bw_check_kind_word(c->kind));
    text(json, "id", c->id);
    text(json, "question", c->question);
    text(json, "how", c->how);
    text(json, "yes", c->yes);
    text(json, "no", c->no);
    text(json, "caution", c->caution);
    text(json, "alarm", c->alarm);
    text(json, "place", c->place == BW_AT_MACHINE ? "machine" : "phone");
    flag(json, "lock_out", c->lock == BW_YES || bw_known(c->fit));
    flag(json, "belts_running", c->belts == BW_RUNNING);
    flag(json, "takes_head", ask->i.c.network->features.heads > 1);
    if (ask->knowledge->limit[check].given)
        text(json, "takes_reading", bw_dim_unit(ask->knowledge->limit[check].dim, ask->units));
}

static void remedy(const struct bw_ask *ask, struct bw_json *json, size_t index, double chance) {
    static const char *const WHO[] = {"owner", "technician", "specialist", "electrician"};
    const struct bw_known_remedy *r = &ask->knowledge->remedy[index];
    bw_json_open(json, '{');
    text(json, "id", r->id);
    text(json, "name", r->name);
    text(json, "kind", r->kind == BW_CURE ? "cure" : "stop-gap");
    text(json, "how", r->how);
    text(json, "who", WHO[r->who]);
    text(json, "parts", r->parts);
    text(json, "caution", r->caution);
    text(json, "verify", r->verify);
    text(json, "costs_output", r->costs_output);
    text(json, "may_stand", r->may_stand);
    flag(json, "lock_out", r->lock == BW_YES);
    number(json, "minutes", r->minutes.v / 60);
    count(json, "lead_days", (size_t)r->lead);
    number(json, "chance", chance);
    bw_json_close(json, '}');
}

static void remedy_step(const struct bw_ask *ask, struct bw_json *json,
                        const struct bw_next *next) {
    text(json, "kind", "remedy");
    bw_json_key(json, "remedies");
    bw_json_open(json, '[');
    remedy(ask, json, next->which, next->chance);
    if (next->second != BW_NO_INDEX) remedy(ask, json, next->second, next->chance);
    bw_json_close(json, ']');
}

static void next_step(const struct bw_ask *ask, struct bw_json *json) {
    const struct bw_next *next = bw_interview_next(&ask->i);
    if (next->kind == BW_NEXT_CHECK)
        check_step(ask, json, next->which);
    else if (next->kind == BW_NEXT_REMEDY)
        remedy_step(ask, json, next);
    else
        text(json, "kind", "specialist");
    number(json, "minutes", next->minutes);
    number(json, "saves", next->saves);
    number(json, "chance", next->chance);
}

static void causes(const struct bw_ask *ask, struct bw_json *json, const struct bw_verdict *v) {
    bw_json_key(json, "causes");
    bw_json_open(json, '[');
    for (size_t c = 0; c < v->n_causes; c++) {
        size_t index = v->causes[c].cause;
        const struct bw_known_cause *cause =
            index == BW_NO_INDEX ? NULL : &ask->knowledge->cause[index];
        bw_json_open(json, '{');
        text(json, "id", cause == NULL ? "unlisted" : cause->id);
        text(json, "name", bw_ask_cause(ask, index));
        text(json, "group", cause == NULL ? NULL : bw_group_word(cause->group));
        text(json, "plain", cause == NULL ? NULL : cause->plain);
        number(json, "probability", v->causes[c].probability);
        if (v->causes[c].head > 0) count(json, "head", v->causes[c].head);
        bw_json_close(json, '}');
    }
    bw_json_close(json, ']');
}

static const char *row_id(const struct bw_ask *ask, size_t row) {
    const struct bw_knowledge *k = ask->knowledge;
    return row < k->checks ? k->check[row].id : k->remedy[(row - k->checks) % k->remedies].id;
}

static void weights(const struct bw_ask *ask, struct bw_json *json, const char *key,
                    const struct bw_verdict_reason *list, size_t n) {
    bw_json_key(json, key);
    bw_json_open(json, '[');
    for (size_t r = 0; r < n; r++) {
        bw_json_open(json, '{');
        text(json, "id", row_id(ask, list[r].row));
        number(json, "weight", list[r].weight);
        bw_json_close(json, '}');
    }
    bw_json_close(json, ']');
}

static void turns(const struct bw_ask *ask, struct bw_json *json, const struct bw_verdict *v) {
    bw_json_key(json, "would_change");
    bw_json_open(json, '[');
    for (size_t t = 0; t < v->n_turns; t++) {
        bw_json_open(json, '{');
        text(json, "id", row_id(ask, v->turns[t].row));
        text(json, "answer", v->turns[t].yes ? "yes" : "no");
        flag(json, "answered", v->turns[t].answered);
        text(json, "cause", bw_ask_cause(ask, v->turns[t].cause));
        bw_json_close(json, '}');
    }
    bw_json_close(json, ']');
}

static void advice(const struct bw_ask *ask, struct bw_json *json, const char *key,
                   const struct bw_list *list) {
    const struct bw_advice *items = list->items;
    bw_json_key(json, key);
    bw_json_open(json, '[');
    for (size_t i = 0; i < list->n && i < 4; i++)
        remedy(ask, json, items[i].remedy, items[i].chance);
    bw_json_close(json, ']');
}

static void verdict(const struct bw_ask *ask, struct bw_json *json, const struct bw_verdict *v) {
    causes(ask, json, v);
    weights(ask, json, "speaks_for", v->speaks_for, v->n_for);
    weights(ask, json, "speaks_against", v->speaks_against, v->n_against);
    turns(ask, json, v);
    number(json, "conflict", v->conflict);
    number(json, "misfit", v->misfit);
    if (v->odd != BW_NO_INDEX) text(json, "fits_least", row_id(ask, v->odd));
    number(json, "left_out", v->left_out);
    advice(ask, json, "tonight", &v->stop_gaps);
    advice(ask, json, "for_good", &v->cures);
}

static void end(const struct bw_ask *ask, struct bw_json *json) {
    static const char *const ENDINGS[] = {"cured", "specialist", "stopped"};
    text(json, "kind", "end");
    text(json, "ending", ENDINGS[ask->i.ending]);
    if (ask->i.ending == BW_ENDING_CURED) {
        struct bw_culprit culprit = bw_interview_culprit(&ask->i);
        text(json, "cause",
             culprit.cause == BW_NO_INDEX ? "unlisted" : ask->knowledge->cause[culprit.cause].id);
        number(json, "probability", culprit.probability);
    }
    if (ask->i.cured_by != BW_NO_INDEX)
        text(json, "cured_by", row_id(ask, ask->knowledge->checks + ask->i.cured_by));
    if (ask->i.cured_second != BW_NO_INDEX)
        text(json, "cured_also_by", row_id(ask, ask->knowledge->checks + ask->i.cured_second));
}

static void stage(const struct bw_ask *ask, struct bw_json *json) {
    static const char *const STAGES[] = {"complaint", "which", "more"};
    heard(ask, json);
    if (ask->i.stage == BW_STAGE_END)
        end(ask, json);
    else if (ask->i.stage == BW_STAGE_STEP)
        next_step(ask, json);
    else {
        text(json, "kind", STAGES[ask->i.stage]);
        symptoms(ask, json);
    }
}

bool bw_ask_json_step(struct bw_ask *ask, struct bw_err *err) {
    struct bw_buffer out = {0};
    struct bw_json json = bw_json_begin(&out);
    struct bw_arena *work = bw_arena_new(0);
    struct bw_verdict v;
    bool thought = ask->i.work != NULL && ask->i.stage >= BW_STAGE_STEP;
    bool found =
        work != NULL && (!thought || bw_verdict_find(&ask->i.c, &ask->i.options, work, &v, err));
    if (!found) {
        bw_arena_free(work);
        return work == NULL ? bw_fail_memory(err) : false;
    }
    bw_json_open(&json, '{');
    text(&json, "shape", "ask-step/1");
    count(&json, "step", ask->i.steps + 1);
    stage(ask, &json);
    if (thought) verdict(ask, &json, &v);
    bw_json_close(&json, '}');
    bw_arena_free(work);
    return write_line(ask, &out, err);
}

bool bw_ask_json_error(struct bw_ask *ask, const struct bw_err *what, struct bw_err *err) {
    struct bw_buffer out = {0};
    struct bw_json json = bw_json_begin(&out);
    bw_json_open(&json, '{');
    text(&json, "shape", "ask-error/1");
    text(&json, "what", what->what);
    if (what->mend[0] != '\0') text(&json, "mend", what->mend);
    bw_json_close(&json, '}');
    return write_line(ask, &out, err);
}

bool bw_ask_json_line(struct bw_ask *ask, const char *line, const char **out, struct bw_err *err) {
    struct bw_node *root;
    if (line[0] != '{') {
        *out = line;
        return true;
    }
    if (!bw_json_read(ask->cli->arena, "", line, strlen(line), &root, err)) return false;
    const struct bw_node *answer = bw_node_find(root, "answer"), *head = bw_node_find(root, "head");
    if (answer == NULL || answer->kind != BW_NODE_TEXT)
        return bw_fail(err, BW_INPUT, "needs an answer: {\"answer\": \"y\"}");
    const char *words =
        head == NULL || head->kind != BW_NODE_TEXT
            ? bw_arena_text(ask->cli->arena, answer->text, answer->length)
            : bw_arena_format(ask->cli->arena, "%s, head %s", answer->text, head->text);
    if (words == NULL) return bw_fail_memory(err);
    *out = words;
    return true;
}
