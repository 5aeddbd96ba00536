// knowledge.c - reads knowledge files, joins them, and turns names into numbers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/knowledge_document.h"

#include "base/bind.h"
#include "base/embedded.h"
#include "base/number.h"
#include "base/suggest.h"

#include <stdint.h>
#include <string.h>

// What is being made ready, and where complaints go. `errors` counts those that make the files
// unusable.
struct resolver {
    struct bw_knowledge *k;
    struct bw_arena *arena;
    struct bw_complaints *complaints;
    struct bw_complaint first;  // error
    enum bw_code code;
    size_t errors;
};

void bw_complain(struct bw_complaints *to, const struct bw_complaint *complaint) {
    if (to == NULL) return;
    if (to->n == to->capacity) {
        size_t capacity = to->capacity == 0 ? 32 : 2 * to->capacity;
        struct bw_complaint *items = bw_arena_array(to->arena, capacity, sizeof *items);
        if (items == NULL) return;  // the arena remembers
        if (to->n > 0) memcpy(items, to->items, to->n * sizeof *items);
        to->items = items;
        to->capacity = capacity;
    }
    to->items[to->n++] = *complaint;
}

static void fault(struct resolver *r, enum bw_code code, const struct bw_origin *at,
                  const struct bw_node *node, const char *text) {
    struct bw_complaint complaint = {.error = true,
                                     .file = at->file,
                                     .line = node->line,
                                     .column = node->column,
                                     .text = text == NULL ? "?" : text};
    bw_complain(r->complaints, &complaint);
    if (r->errors++ > 0) return;
    r->first = complaint;
    r->code = code;
}

// The i-th of the entry's `key`, to point at.
static const struct bw_node *part(const struct bw_origin *at, const char *key, size_t i) {
    return bw_node_item(at->node, key, i);
}

static size_t find_cause(const struct bw_knowledge *k, const char *id) {
    for (size_t c = 0; c < k->causes; c++)
        if (strcmp(k->cause[c].id, id) == 0) return c;
    return SIZE_MAX;
}
size_t bw_cause_find(const struct bw_knowledge *knowledge, const char *id) {
    return find_cause(knowledge, id);
}
size_t bw_check_find(const struct bw_knowledge *knowledge, const char *id) {
    for (size_t f = 0; f < knowledge->checks; f++)
        if (strcmp(knowledge->check[f].id, id) == 0) return f;
    return SIZE_MAX;
}
size_t bw_remedy_find(const struct bw_knowledge *knowledge, const char *id) {
    for (size_t r = 0; r < knowledge->remedies; r++)
        if (strcmp(knowledge->remedy[r].id, id) == 0) return r;
    return SIZE_MAX;
}

static const char *nearest_cause(const struct resolver *r, const char *id) {
    const char *best = NULL;
    for (size_t first = 0; first < r->k->causes; first += BW_MAX_SUGGEST_WORDS) {
        struct bw_words words = {.n = 0};
        if (best != NULL) bw_words_add(&words, best);
        for (size_t c = first; c < r->k->causes && words.n < BW_MAX_SUGGEST_WORDS; c++)
            bw_words_add(&words, r->k->cause[c].id);
        const char *near = bw_words_nearest(&words, id);
        if (near != NULL) best = near;
    }
    return best;
}

static void unknown_cause(struct resolver *r, const struct bw_origin *at,
                          const struct bw_node *node, const char *id) {
    const char *near = nearest_cause(r, id);
    fault(r, BW_INPUT, at, node,
          near == NULL ? bw_arena_format(r->arena, "there is no cause \"%s\"", id)
                       : bw_arena_format(r->arena, "there is no cause \"%s\"; did you mean \"%s\"?",
                                         id, near));
}

// ---- links ----

// Which of `row` were named one by one; a group's link only fills the rest.
struct row {
    double *chance;
    bool *named;
};

static void resolve_group(struct resolver *r, const struct bw_origin *at,
                          const struct bw_node *node, const struct bw_known_link *link,
                          struct row *row) {
    const char *word = link->cause + 4;
    int group = bw_group_find(word, strlen(word));
    if (group < 0) {
        fault(r, BW_INPUT, at, node,
              bw_arena_format(r->arena,
                              "there is no group \"%s\"; write any belt, any machine, "
                              "any setup, any wood or any shop",
                              word));
        return;
    }
    for (size_t c = 0; c < r->k->causes; c++)
        if (r->k->cause[c].group == group && !row->named[c]) row->chance[c] = link->chance.v;
}

// A list of links as it stands under a key of an entry.
struct links {
    const struct bw_origin *at;
    const char *key;
    const struct bw_list *list;
};

static void resolve_named(struct resolver *r, const struct links *links, bool replaces,
                          struct row *row) {
    const struct bw_origin *at = links->at;
    const char *key = links->key;
    const struct bw_known_link *link = links->list->items;
    for (size_t i = 0; i < links->list->n; i++) {
        if (strncmp(link[i].cause, "any ", 4) == 0) continue;
        size_t c = find_cause(r->k, link[i].cause);
        if (c == SIZE_MAX)
            unknown_cause(r, at, part(at, key, i), link[i].cause);
        else if (row->named[c] && !replaces)
            fault(r, BW_INPUT, at, part(at, key, i),
                  bw_arena_format(r->arena, "\"%s\" is given twice", link[i].cause));
        else {
            row->chance[c] = link[i].chance.v;
            row->named[c] = true;
        }
    }
}

static void resolve_links(struct resolver *r, const struct links *links, const struct bw_list *also,
                          struct row *row) {
    const struct links more = {links->at, "also", also};
    resolve_named(r, links, false, row);
    resolve_named(r, &more, true, row);
    const struct bw_known_link *link = links->list->items;
    for (size_t i = 0; i < links->list->n; i++)
        if (strncmp(link[i].cause, "any ", 4) == 0)
            resolve_group(r, links->at, part(links->at, links->key, i), &link[i], row);
}

// Causes of the symptoms that call for a check, and not given, get its `others`.
static void resolve_others(const struct bw_knowledge *k, size_t f, double *chance,
                           const bool *named) {
    if (!bw_known(k->check[f].others)) return;
    for (size_t c = 0; c < k->causes; c++) {
        bool related = false;
        for (size_t s = 0; s < k->checks; s++)
            if (k->when[f * k->checks + s] && k->link[s * k->causes + c] > 0) related = true;
        if (related && !named[c]) chance[c] = k->check[f].others.v;
    }
}

// ---- entries ----

static unsigned needs_of(const struct bw_list *needs) {
    const struct bw_known_need *need = needs->items;
    unsigned bits = 0;
    for (size_t i = 0; i < needs->n; i++) bits |= 1u << need[i].feature;
    return bits;
}

// A list of (key, is it there) that an entry cannot do without.
struct must {
    const char *key;
    bool there;
};
static void require(struct resolver *r, const struct bw_origin *at, const char *id,
                    const struct must *must, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (!must[i].there)
            fault(r, BW_INPUT, at, at->node,
                  bw_arena_format(r->arena, "\"%s\" lacks its %s", id, must[i].key));
}

static void check_causes(struct resolver *r) {
    const struct bw_knowledge *k = r->k;
    for (size_t c = 0; c < k->causes; c++) {
        const struct bw_known_cause *cause = &k->cause[c];
        const struct must must[] = {{"group", cause->group != BW_NO_CHOICE},
                                    {"weight", bw_known(cause->weight)},
                                    {"name", cause->name != NULL},
                                    {"plain", cause->plain != NULL}};
        require(r, &k->cause_at[c], cause->id, must, sizeof must / sizeof *must);
    }
}

const char *bw_step_unsafe(const struct bw_step_safety *step, const char **field) {
    int belts = step->belts, door = step->door, lock = step->lock;
    *field = "belts";
    if (belts == BW_RUNNING && door == BW_DOOR_OPEN)
        return "needs running belts behind an open door; see it through the window, hear it, film "
               "it, or "
               "fit a pick-up locked out (fit) and read it with the doors shut";
    if (belts == BW_RUNNING && lock == BW_YES)
        return "needs running belts on a machine that is locked out; say fit for what is done "
               "locked out";
    *field = "door";
    if (door == BW_DOOR_OPEN && lock != BW_YES)
        return "opens a door without lock-out; add lock: yes and belts: stopped";
    if (door == BW_DOOR_OPEN && belts != BW_STOPPED)
        return "opens a door with belts that may run; add belts: stopped";
    if (door == BW_DOOR_OPEN && step->fitted)
        return "is read with the doors shut; fit says what is done before, locked out";
    return NULL;
}

static void check_safety(struct resolver *r, const struct bw_origin *at, const char *id,
                         const struct bw_step_safety *step) {
    const char *field, *why = bw_step_unsafe(step, &field);
    if (why == NULL) return;
    fault(r, BW_REFUSED, at, part(at, field, 0),
          bw_arena_format(r->arena, "refused: \"%s\" %s", id, why));
}

static void check_checks(struct resolver *r) {
    const struct bw_knowledge *k = r->k;
    for (size_t f = 0; f < k->checks; f++) {
        const struct bw_known_check *check = &k->check[f];
        const struct must must[] = {
            {"kind", check->kind != BW_NO_CHOICE}, {"minutes", bw_known(check->minutes)},
            {"question", check->question != NULL}, {"how", check->how != NULL},
            {"yes", check->yes != NULL},           {"no", check->no != NULL},
            {"leak", bw_known(check->leak)},       {"given", check->given.n > 0}};
        require(r, &k->check_at[f], check->id, must, sizeof must / sizeof *must);
        const struct bw_step_safety step = {check->belts, check->door, check->lock,
                                            bw_known(check->fit)};
        check_safety(r, &k->check_at[f], check->id, &step);
    }
}

static void check_remedies(struct resolver *r) {
    const struct bw_knowledge *k = r->k;
    for (size_t i = 0; i < k->remedies; i++) {
        const struct bw_known_remedy *remedy = &k->remedy[i];
        bool stop_gap = remedy->kind == BW_STOP_GAP;
        const struct must must[] = {{"kind", remedy->kind != BW_NO_CHOICE},
                                    {"name", remedy->name != NULL},
                                    {"how", remedy->how != NULL},
                                    {"who", remedy->who != BW_NO_CHOICE},
                                    {"minutes", bw_known(remedy->minutes)},
                                    {"down", bw_known(remedy->down)},
                                    {"caution", remedy->caution != NULL},
                                    {"verify", remedy->verify != NULL},
                                    {"cures", remedy->cures.n > 0},
                                    {"costs_output", !stop_gap || remedy->costs_output},
                                    {"may_stand", !stop_gap || remedy->may_stand != NULL}};
        require(r, &k->remedy_at[i], remedy->id, must, sizeof must / sizeof *must);
        const struct bw_step_safety step = {remedy->belts, remedy->door, remedy->lock, false};
        check_safety(r, &k->remedy_at[i], remedy->id, &step);
    }
}

static void check_assumptions(struct resolver *r, const struct bw_node *root, const char *file) {
    const struct bw_origin at = {file, root};
    for (const struct bw_field *field = bw_assumptions_record.fields; field->name != NULL; field++)
        if (!bw_known(*(const struct bw_quantity *)bw_field_in(field, &r->k->assume)))
            fault(r, BW_INPUT, &at, root,
                  bw_arena_format(r->arena, "the assumptions lack %s", field->name));
}

static void resolve_when(struct resolver *r, size_t f, bool *when, bool *always) {
    const struct bw_knowledge *k = r->k;
    const struct bw_known_name *names = k->check[f].when.items;
    *always = k->check[f].when.n == 0;
    for (size_t i = 0; i < k->check[f].when.n; i++) {
        size_t s = bw_check_find(k, names[i].name);
        if (s == SIZE_MAX || k->check[s].kind != BW_SYMPTOM)
            fault(r, BW_INPUT, &k->check_at[f], part(&k->check_at[f], "when", i),
                  bw_arena_format(r->arena, "there is no symptom \"%s\"", names[i].name));
        else
            when[s] = true;
    }
}

static bool read_limit(struct resolver *r, const char *text, enum bw_dim dim, double *out,
                       struct bw_err *err) {
    struct bw_quantity q;
    if (!bw_quantity_read(text, strlen(text), dim, NULL, &q, err)) return false;
    (void)r;
    *out = q.v;
    return true;
}

static void resolve_reading(struct resolver *r, size_t f, struct bw_limit *limit) {
    const struct bw_known_reading *reading = r->k->check[f].reading;
    if (reading == NULL) return;
    struct bw_err err = {0};
    *limit = (struct bw_limit){
        .given = true, .yes_above = reading->above != NULL, .dim = (enum bw_dim)reading->of};
    const char *at = limit->yes_above ? reading->above : reading->below;
    bool good =
        read_limit(r, at, limit->dim, &limit->at, &err) &&
        (reading->within == NULL || read_limit(r, reading->within, limit->dim, &limit->blur, &err));
    if (good) return;
    const struct bw_origin *origin = &r->k->check_at[f];
    fault(r, BW_INPUT, origin, part(origin, "reading", 0),
          bw_arena_format(r->arena, "the reading's limit: %s", err.what));
}

// Links of symptoms first: `others` looks at them.
static bool resolve_checks(struct resolver *r, struct bw_err *err) {
    struct bw_knowledge *k = r->k;
    double *link = bw_arena_array(r->arena, k->checks * k->causes, sizeof *link);
    bool *named = bw_arena_array(r->arena, k->checks * k->causes, sizeof *named);
    bool *when = bw_arena_array(r->arena, k->checks * k->checks, sizeof *when);
    bool *always = bw_arena_array(r->arena, k->checks, sizeof *always);
    unsigned *needs = bw_arena_array(r->arena, k->checks, sizeof *needs);
    struct bw_limit *limit = bw_arena_array(r->arena, k->checks, sizeof *limit);
    if (link == NULL || named == NULL || when == NULL || always == NULL || needs == NULL ||
        limit == NULL)
        return bw_fail_memory(err);
    k->link = link;
    k->when = when;
    k->always = always;
    k->check_needs = needs;
    k->limit = limit;
    for (size_t f = 0; f < k->checks; f++) {
        struct row row = {link + f * k->causes, named + f * k->causes};
        const struct links given = {&k->check_at[f], "given", &k->check[f].given};
        resolve_links(r, &given, &k->check[f].also, &row);
        resolve_when(r, f, when + f * k->checks, &always[f]);
        needs[f] = needs_of(&k->check[f].needs);
        resolve_reading(r, f, &limit[f]);
    }
    for (size_t f = 0; f < k->checks; f++)
        resolve_others(k, f, link + f * k->causes, named + f * k->causes);
    return true;
}

static bool resolve_rest(struct resolver *r, struct bw_err *err) {
    struct bw_knowledge *k = r->k;
    double *cure = bw_arena_array(r->arena, k->remedies * k->causes, sizeof *cure);
    bool *named = bw_arena_array(r->arena, k->remedies * k->causes, sizeof *named);
    unsigned *cause_needs = bw_arena_array(r->arena, k->causes, sizeof *cause_needs);
    unsigned *remedy_needs = bw_arena_array(r->arena, k->remedies, sizeof *remedy_needs);
    if (cure == NULL || named == NULL || cause_needs == NULL || remedy_needs == NULL)
        return bw_fail_memory(err);
    k->cure = cure;
    k->cause_needs = cause_needs;
    k->remedy_needs = remedy_needs;
    for (size_t c = 0; c < k->causes; c++) cause_needs[c] = needs_of(&k->cause[c].needs);
    for (size_t i = 0; i < k->remedies; i++) {
        struct row row = {cure + i * k->causes, named + i * k->causes};
        const struct links cures = {&k->remedy_at[i], "cures", &k->remedy[i].cures};
        resolve_links(r, &cures, &k->remedy[i].also, &row);
        remedy_needs[i] = needs_of(&k->remedy[i].needs);
    }
    return true;
}

// What is not said: symptoms and questions are for the phone, everything else at the machine;
// belts any, door shut, no lock-out.
static void fill_usual(struct bw_join *join) {
    struct bw_known_check *check = (struct bw_known_check *)(void *)join->checks.items;
    for (size_t f = 0; f < join->checks.n; f++) {
        if (check[f].place == BW_NO_CHOICE)
            check[f].place = check[f].kind <= BW_ASK ? BW_ON_PHONE : BW_AT_MACHINE;
        if (check[f].belts == BW_NO_CHOICE) check[f].belts = BW_ANY_BELTS;
        if (check[f].door == BW_NO_CHOICE) check[f].door = BW_DOOR_SHUT;
        if (check[f].lock == BW_NO_CHOICE) check[f].lock = BW_NO;
        if (check[f].names_head == BW_NO_CHOICE) check[f].names_head = BW_NO;
    }
    struct bw_known_remedy *remedy = (struct bw_known_remedy *)(void *)join->remedies.items;
    for (size_t i = 0; i < join->remedies.n; i++) {
        if (remedy[i].belts == BW_NO_CHOICE) remedy[i].belts = BW_ANY_BELTS;
        if (remedy[i].door == BW_NO_CHOICE) remedy[i].door = BW_DOOR_SHUT;
        if (remedy[i].lock == BW_NO_CHOICE) remedy[i].lock = BW_NO;
        if (remedy[i].lead == BW_NO_COUNT) remedy[i].lead = 0;
        if (!bw_known(remedy[i].money)) remedy[i].money = bw_exactly(0);
    }
    struct bw_known_cause *cause = (struct bw_known_cause *)(void *)join->causes.items;
    for (size_t c = 0; c < join->causes.n; c++)
        if (cause[c].per_head == BW_NO_CHOICE) cause[c].per_head = BW_NO;
}

static bool read_one(struct bw_join *join, const struct bw_document *document,
                     struct bw_node **root, struct bw_err *err) {
    struct bw_knowledge_document bound;
    struct bw_binding binding = {.arena = join->arena,
                                 .file = document->name,
                                 .source = document->bytes,
                                 .source_length = document->length,
                                 .shape = BW_KNOWLEDGE_SHAPE};
    return bw_document_read(join->arena, document->name, document->bytes, document->length, root,
                            err) &&
           bw_bind(&binding, *root, &bw_knowledge_record, &bound, err) &&
           bw_join_document(join, document->name, *root, &bound, err);
}

bool bw_knowledge_read(struct bw_arena *arena, const struct bw_document *documents, size_t n,
                       struct bw_complaints *complaints, struct bw_knowledge *out,
                       struct bw_err *err) {
    struct bw_join join;
    struct bw_node *root = NULL;
    if (!bw_join_begin(&join, arena, err)) return false;
    for (size_t i = 0; i < n; i++)
        if (!read_one(&join, &documents[i], &root, err)) return false;
    if (n == 0 || join.causes.n == 0 || join.checks.n == 0 || join.remedies.n == 0) {
        if (n > 0) bw_err_file(err, documents[n - 1].name);
        return bw_fail(err, BW_INPUT, "needs at least one cause, one check and one remedy");
    }
    if (join.causes.n > BW_MAX_CAUSES || join.checks.n > BW_MAX_KNOWN_CHECKS)
        return bw_fail(err, BW_LIMIT, "has %zu causes and %zu checks, at most %d and %d are taken",
                       join.causes.n, join.checks.n, BW_MAX_CAUSES, BW_MAX_KNOWN_CHECKS);
    fill_usual(&join);
    struct bw_knowledge k = {.assume = join.assume,
                             .cause = (const struct bw_known_cause *)(void *)join.causes.items,
                             .check = (const struct bw_known_check *)(void *)join.checks.items,
                             .remedy = (const struct bw_known_remedy *)(void *)join.remedies.items,
                             .causes = join.causes.n,
                             .checks = join.checks.n,
                             .remedies = join.remedies.n,
                             .cause_at = join.causes.at,
                             .check_at = join.checks.at,
                             .remedy_at = join.remedies.at};
    struct resolver r = {.k = &k, .arena = arena, .complaints = complaints};
    check_assumptions(&r, root, documents[n - 1].name);
    check_causes(&r);
    check_checks(&r);
    check_remedies(&r);
    if (r.errors == 0 && (!resolve_checks(&r, err) || !resolve_rest(&r, err))) return false;
    if (bw_arena_failed(arena)) return bw_fail_memory(err);
    if (r.errors > 0) {
        bw_err_file(err, r.first.file);
        bw_err_place(err, r.first.line, r.first.column);
        return bw_fail(err, r.code, "%s", r.first.text);
    }
    *out = k;
    return true;
}

bool bw_knowledge_load(struct bw_arena *arena, const struct bw_document *more, size_t n,
                       struct bw_complaints *complaints, struct bw_knowledge *out,
                       struct bw_err *err) {
    size_t own = 0, count = 0;
    for (size_t i = 0; bw_embedded_name(i) != NULL; i++)
        own += strncmp(bw_embedded_name(i), "knowledge/", 10) == 0;
    struct bw_document *documents = bw_arena_array(arena, own + n, sizeof *documents);
    if (documents == NULL) return bw_fail_memory(err);
    for (size_t i = 0; bw_embedded_name(i) != NULL; i++) {
        struct bw_document document = {.name = bw_embedded_name(i)};
        if (strncmp(document.name, "knowledge/", 10) != 0) continue;
        if (bw_embedded_find(document.name, &document.bytes, &document.length))
            documents[count++] = document;
    }
    if (n > 0) memcpy(documents + count, more, n * sizeof *more);
    return bw_knowledge_read(arena, documents, count + n, complaints, out, err);
}
