// finding.c - findings documents, and what each kind of finding says about a check.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method. A value that a check asks for is judged as if it had been typed there. A verdict becomes
// a likelihood ratio, small enough that a mistaken study can be outvoted by two plain answers. A
// probability (what left a mark) had the study's own shares in it; they are divided out again, so
// that ours are not counted twice: ratio = odds said / odds of the class before any mark. All
// ratios and shares are estimates, no source; docs/knowledge.md lists them.
#include "reason/finding.h"

#include "base/bind.h"
#include "base/utf8.h"

#include <math.h>
#include <string.h>

#define MOST_RATIO 30.0  // of one probability: it is never sure beyond the study's own errors

struct found_document {
    const char *study;
    struct bw_list findings;
};
struct found_row {
    const char *kind, *about, *unit, *entry;
    struct bw_quantity value, sd;
};

#define NUMBER(type, member) BW_AT(type, member), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER
static const struct bw_field ROW_FIELDS[] = {
    {BW_AT(struct found_row, kind), .kind = BW_TEXT, .required = true, .help = "what kind"},
    {BW_AT(struct found_row, about), .kind = BW_TEXT, .help = "what it is about"},
    {NUMBER(struct found_row, value), .help = "its value, in the unit given"},
    {NUMBER(struct found_row, sd), .help = "its standard deviation, in the same unit"},
    {BW_AT(struct found_row, unit), .kind = BW_TEXT, .help = "unit; none: a plain number"},
    {BW_AT(struct found_row, entry), .kind = BW_TEXT, .help = "entry of a job it came from"},
    BW_END_FIELDS,
};
static const struct bw_record ROW = {.name = "finding",
                                     .help = "what a study found",
                                     .fields = ROW_FIELDS,
                                     .size = sizeof(struct found_row)};
static const struct bw_field DOCUMENT_FIELDS[] = {
    {BW_AT(struct found_document, study), .kind = BW_TEXT, .help = "the study that found them"},
    {BW_AT(struct found_document, findings), .kind = BW_LIST, .of = &ROW, .help = "what it found"},
    BW_END_FIELDS,
};
static const struct bw_record DOCUMENT = {.name = "findings",
                                          .help = "what a study found, ready to be reasoned over",
                                          .fields = DOCUMENT_FIELDS,
                                          .size = sizeof(struct found_document)};

// ---- the mapping ----

enum by { BY_VALUE, BY_RATIO, BY_NOTHING };

static const struct rule {
    const char *kind, *check;
    enum by by;
    double ratio;
    enum bw_dim dim;
} RULES[] = {
    {"mark-pitch", "chatter", BY_RATIO, 10, BW_DIM_LENGTH},
    {"starved-port", "port_air", BY_RATIO, 12, BW_DIM_FLOW},
    {"port-enough", "port_air", BY_RATIO, 1.0 / 12, BW_DIM_FLOW},
    {"low-transport-velocity", "duct_settled", BY_RATIO, 3, BW_DIM_SPEED},
    {"duct-disagrees", "duct_settled", BY_RATIO, 4, BW_DIM_NUMBER},
    {"blinded-filter", "filter_drop", BY_RATIO, 8, BW_DIM_NUMBER},
    {"leaking-gate", "collector_shared", BY_RATIO, 6, BW_DIM_NUMBER},
    {"leaking-duct", "hose_split", BY_RATIO, 4, BW_DIM_LENGTH},
    {"humidity", "rh_low", BY_VALUE, 0, BW_DIM_RATIO},
    {"dry-air", NULL, BY_NOTHING, 0, BW_DIM_RATIO},  // its humidity is a finding already
    {"damp-belts", "rh_high", BY_VALUE, 0, BW_DIM_RATIO},
    {"ground-path", "static_path", BY_VALUE, 0, BW_DIM_RESISTANCE},
    {"open-ground-path", "static_path", BY_VALUE, 0, BW_DIM_RESISTANCE},
};

// Sources of a mark by their ids in `rates`, and how large a share each class has before any mark.
static const struct source_class {
    const char *check;
    double share;
    const char *parts[6];  // the id after its head, or as a whole
} CLASSES[] = {
    {"pitch_splice", 0.35, {"splice"}},
    {"pitch_drum", 0.25, {"drum"}},
    {"pitch_motor", 0.15, {"motor", "roller", "drivebelt", "brush"}},
    {"pitch_feed", 0.15, {"feed.", "holddown", "outfeed"}},
    {"pitch_planer", 0.10, {"planer"}},
};
#define CLASS_COUNT (sizeof CLASSES / sizeof *CLASSES)

static const struct rule *rule_of(const char *kind) {
    for (size_t i = 0; i < sizeof RULES / sizeof *RULES; i++)
        if (strcmp(RULES[i].kind, kind) == 0) return &RULES[i];
    return NULL;
}

static bool to_si(const struct found_row *row, struct bw_found *out, struct bw_err *err) {
    const struct rule *rule = rule_of(row->kind);
    double factor = 1, offset = 0;
    if (rule != NULL && row->unit != NULL && row->unit[0] != '\0' &&
        !bw_unit_read(row->unit, strlen(row->unit), rule->dim, &factor, &offset, err)) {
        bw_err_within(err, "unit");
        return false;
    }
    *out = (struct bw_found){.kind = row->kind,
                             .about = row->about == NULL ? "" : row->about,
                             .unit = row->unit,
                             .entry = row->entry,
                             .value = row->value.v * factor + offset,
                             .sd = row->sd.v * factor};
    return true;
}

bool bw_findings_read(struct bw_arena *arena, const struct bw_document *document,
                      struct bw_found_list *out, struct bw_err *err) {
    struct bw_node *root;
    struct found_document bound;
    struct bw_binding binding = {.arena = arena,
                                 .file = document->name,
                                 .source = document->bytes,
                                 .source_length = document->length,
                                 .shape = BW_FINDINGS_SHAPE};
    if (!bw_document_read(arena, document->name, document->bytes, document->length, &root, err) ||
        !bw_bind(&binding, root, &DOCUMENT, &bound, err))
        return false;
    struct bw_found *items = bw_arena_array(arena, bound.findings.n, sizeof *items);
    if (items == NULL) return bw_fail_memory(err);
    const struct found_row *rows = bound.findings.items;
    for (size_t i = 0; i < bound.findings.n; i++) {
        if (to_si(&rows[i], &items[i], err)) continue;
        bw_err_within_index(err, "findings", i);
        bw_err_file(err, document->name);
        return false;
    }
    *out = (struct bw_found_list){items, bound.findings.n};
    return true;
}

// ---- what left a mark ----

struct class_found {
    double not_it;   // chance that no mark is of this class
    double of_mark;  // of the mark in hand: its sources exclude each other, so they add up
    double of_head[BW_MAX_HEADS];
};

// "head2.drum" is head 2 and "drum"; a bearing counts with its shaft.
static const char *after_head(const char *id, size_t *head) {
    *head = 0;
    if (strncmp(id, "head", 4) != 0 || !bw_is_digit(id[4])) return id;
    const char *at = id + 4;
    for (; bw_is_digit(*at) && *head <= BW_MAX_HEADS; at++)
        *head = 10 * *head + (size_t)(*at - '0');
    if (*head > BW_MAX_HEADS) *head = 0;
    return *at == '.' ? at + 1 : at;
}

static size_t class_of(const char *part) {
    for (size_t c = 0; c < CLASS_COUNT; c++)
        for (size_t i = 0; i < 6 && CLASSES[c].parts[i] != NULL; i++)
            if (strncmp(part, CLASSES[c].parts[i], strlen(CLASSES[c].parts[i])) == 0) return c;
    return CLASS_COUNT;
}

static void add_source(const struct bw_found *found, struct class_found *classes) {
    size_t head, c = class_of(after_head(found->about, &head));
    if (c == CLASS_COUNT || !(found->value >= 0 && found->value <= 1)) return;
    classes[c].of_mark += found->value;
    if (head > 0) classes[c].of_head[head - 1] += found->value;
}

// The findings of one mark follow its pitch.
static void end_mark(struct class_found *classes) {
    for (size_t c = 0; c < CLASS_COUNT; c++) {
        classes[c].not_it *= 1 - fmin(classes[c].of_mark, 1);
        classes[c].of_mark = 0;
    }
}

static bool reply_class(struct bw_case *c, size_t class, const struct class_found *found,
                        struct bw_err *err) {
    size_t check = bw_check_find(c->network->knowledge, CLASSES[class].check);
    if (check == BW_NO_INDEX || !c->network->check_open[check]) return true;
    double p = 1 - found->not_it, share = CLASSES[class].share;
    double ratio = p / fmax(1 - p, 1e-9) / (share / (1 - share));
    struct bw_reply reply = {.row = check,
                             .kind = BW_REPLY_RATIO,
                             .ratio = fmin(fmax(ratio, 1 / MOST_RATIO), MOST_RATIO),
                             .reading = NAN,
                             .from = "mark-source"};
    for (size_t h = 0; ratio > 1 && h < c->network->features.heads; h++) {
        double sure = found->of_head[h] / p;
        if (sure <= reply.head_sure) continue;
        reply.head = h + 1;
        reply.head_sure = fmin(sure, 0.98);
    }
    return bw_case_reply(c, reply, err);
}

static bool reply_sources(struct bw_case *c, const struct bw_found_list *found, bool *used,
                          struct bw_err *err) {
    struct class_found classes[CLASS_COUNT] = {{.of_mark = 0}};
    for (size_t k = 0; k < CLASS_COUNT; k++) classes[k].not_it = 1;
    bool any = false;
    for (size_t i = 0; i < found->n; i++) {
        if (strcmp(found->items[i].kind, "mark-pitch") == 0) end_mark(classes);
        if (strcmp(found->items[i].kind, "mark-source") != 0) continue;
        any = used[i] = true;
        add_source(&found->items[i], classes);
    }
    end_mark(classes);
    for (size_t k = 0; any && k < CLASS_COUNT; k++)
        if (!reply_class(c, k, &classes[k], err)) return false;
    return true;
}

// ---- everything else ----

// Of several values for one check the one nearest to a yes counts: one open path is enough.
static bool stands_already(const struct bw_case *c, const struct bw_reply *reply) {
    const struct bw_reply *before = bw_case_reply_to(c, reply->row);
    return before != NULL && before->from != NULL && before->kind == BW_REPLY_GRADED &&
           before->yes >= reply->yes;
}

static bool reply_rule(struct bw_case *c, const struct bw_found *found, const struct rule *rule,
                       struct bw_err *err) {
    const struct bw_knowledge *k = c->network->knowledge;
    size_t check = bw_check_find(k, rule->check);
    if (check == BW_NO_INDEX || !c->network->check_open[check]) return true;
    if (rule->by == BY_RATIO) {
        struct bw_reply reply = {.row = check,
                                 .kind = BW_REPLY_RATIO,
                                 .ratio = rule->ratio,
                                 .reading = found->value,
                                 .from = rule->kind};
        return bw_case_reply(c, reply, err);
    }
    if (!k->limit[check].given || isnan(found->value)) return true;
    struct bw_reply reply = bw_reply_reading(k, check, found->value, found->sd);
    reply.from = rule->kind;
    return stands_already(c, &reply) || bw_case_reply(c, reply, err);
}

bool bw_case_find(struct bw_case *c, const struct bw_found_list *found, bool *used,
                  struct bw_err *err) {
    for (size_t i = 0; i < found->n; i++) {
        const struct rule *rule = rule_of(found->items[i].kind);
        used[i] = rule != NULL;
        if (rule == NULL || rule->by == BY_NOTHING) continue;
        if (!reply_rule(c, &found->items[i], rule, err)) return false;
    }
    return reply_sources(c, found, used, err);
}
