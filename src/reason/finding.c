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

enum by {
    BY_VALUE,    // as a reading
    BY_SIZE,     // its size, whichever side it is on
    BY_MINUS,    // what is thin is a minus there, a plus here
    BY_RATIO,    // the finding itself is the verdict
    BY_OVER,     // a verdict if its size is over the limit
    BY_UNDER,    // a verdict if its size is not
    BY_NO,       // a probability that the answer is no; `limit`: share of yes before it
    BY_NOTHING,  // another finding of the same study says it
};

static const struct rule {
    const char *kind, *about;  // about NULL: anything
    const char *check;
    enum by by;
    double ratio;
    enum bw_dim dim;
    double limit;  // SI
} RULES[] = {
    {"mark-pitch", NULL, "chatter", BY_RATIO, 10, BW_DIM_LENGTH, 0},
    {"panel-shape", "taper", "sides_differ", BY_SIZE, 0, BW_DIM_LENGTH, 0},
    {"panel-shape", "crown", "middle_sides", BY_SIZE, 0, BW_DIM_LENGTH, 0},
    {"panel-shape", "lead", "ends_middle", BY_MINUS, 0, BW_DIM_LENGTH, 0},
    {"panel-shape", "trail", "ends_middle", BY_MINUS, 0, BW_DIM_LENGTH, 0},
    {"readout-off", NULL, "display_off", BY_OVER, 6, BW_DIM_LENGTH, 1e-4},
    {"warming-drift", NULL, "first_tenth", BY_VALUE, 0, BW_DIM_LENGTH, 0},
    {"platen-delay", NULL, "ends_grow_feed", BY_OVER, 8, BW_DIM_TIME, 0.005},
    {"platen-sensor", NULL, "ends_grow_feed", BY_OVER, 1.0 / 4, BW_DIM_LENGTH, 1e-3},
    {"skipped-grit", NULL, "grit_gap", BY_OVER, 12, BW_DIM_NUMBER, 0.5},
    {"skipped-grit", NULL, "grit_order", BY_UNDER, 12, BW_DIM_NUMBER, 0.5},
    {"scratch-left", NULL, "grit_gap", BY_RATIO, 3, BW_DIM_RATIO, 0},
    {"overloaded-head", NULL, "cut_over", BY_RATIO, 5, BW_DIM_RATIO, 0},
    {"idle-head", NULL, "removal_head", BY_RATIO, 6, BW_DIM_RATIO, 0},
    {"starved-port", NULL, "port_air", BY_RATIO, 12, BW_DIM_FLOW, 0},
    {"port-enough", NULL, "port_air", BY_RATIO, 1.0 / 12, BW_DIM_FLOW, 0},
    {"low-transport-velocity", NULL, "duct_settled", BY_RATIO, 3, BW_DIM_SPEED, 0},
    {"duct-disagrees", NULL, "duct_settled", BY_RATIO, 4, BW_DIM_NUMBER, 0},
    {"blinded-filter", NULL, "filter_drop", BY_RATIO, 8, BW_DIM_NUMBER, 0},
    {"leaking-gate", NULL, "port_air", BY_RATIO, 3, BW_DIM_NUMBER, 0},
    {"leaking-duct", NULL, "hose_split", BY_RATIO, 5, BW_DIM_LENGTH, 0},
    {"humidity", NULL, "rh_low", BY_VALUE, 0, BW_DIM_RATIO, 0},
    {"dry-air", NULL, NULL, BY_NOTHING, 0, BW_DIM_RATIO, 0},
    {"damp-belts", NULL, "rh_high", BY_VALUE, 0, BW_DIM_RATIO, 0},
    {"ground-path", NULL, "static_path", BY_VALUE, 0, BW_DIM_RESISTANCE, 0},
    {"open-ground-path", NULL, "static_path", BY_VALUE, 0, BW_DIM_RESISTANCE, 0},
    {"bearing-sound", NULL, "sound_bearing", BY_NO, 0, BW_DIM_RATIO, 0.1},
    {"bearing-cage", NULL, NULL, BY_NOTHING, 0, BW_DIM_RATIO, 0},
    {"bearing-element", NULL, NULL, BY_NOTHING, 0, BW_DIM_RATIO, 0},
    {"bearing-outer-race", NULL, NULL, BY_NOTHING, 0, BW_DIM_RATIO, 0},
    {"bearing-inner-race", NULL, NULL, BY_NOTHING, 0, BW_DIM_RATIO, 0},
    {"bearing-cannot-tell", NULL, NULL, BY_NOTHING, 0, BW_DIM_RATIO, 0},
};
#define RULE_COUNT (sizeof RULES / sizeof *RULES)

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

// All rules of one kind have its dimension.
static const struct rule *first_rule(const char *kind) {
    for (size_t i = 0; i < RULE_COUNT; i++)
        if (strcmp(RULES[i].kind, kind) == 0) return &RULES[i];
    return NULL;
}

static bool is_ruled(const struct rule *rule, const struct bw_found *found) {
    return strcmp(rule->kind, found->kind) == 0 &&
           (rule->about == NULL || strcmp(rule->about, found->about) == 0);
}

static bool to_si(const struct found_row *row, struct bw_found *out, struct bw_err *err) {
    const struct rule *rule = first_rule(row->kind);
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
                             .reading = BW_NAN,
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

// The likelihood ratio of a verdict; 1: it says nothing.
static double ratio_of(const struct rule *rule, const struct bw_found *found) {
    double size = fabs(found->value), limit = rule->limit;
    switch (rule->by) {
    case BY_RATIO: return rule->ratio;
    case BY_OVER: return size > limit ? rule->ratio : 1;
    case BY_UNDER: return size > limit ? 1 : rule->ratio;
    case BY_NO: {
        double no = fmin(fmax(found->value, 1e-9), 1 - 1e-9);
        double ratio = (1 - no) / no / (limit / (1 - limit));
        return fmin(fmax(ratio, 1 / MOST_RATIO), MOST_RATIO);
    }
    default: return 1;
    }
}

static bool reply_reading(struct bw_case *c, const struct bw_found *found, const struct rule *rule,
                          size_t check, struct bw_err *err) {
    const struct bw_knowledge *k = c->network->knowledge;
    if (!k->limit[check].given || isnan(found->value)) return true;
    double value = rule->by == BY_SIZE    ? fabs(found->value)
                   : rule->by == BY_MINUS ? -found->value
                                          : found->value;
    struct bw_reply reply = bw_reply_reading(k, check, value, found->sd);
    reply.from = rule->kind;
    return stands_already(c, &reply) || bw_case_reply(c, reply, err);
}

static bool reply_rule(struct bw_case *c, const struct bw_found *found, const struct rule *rule,
                       struct bw_err *err) {
    if (rule->by == BY_NOTHING) return true;
    size_t check = bw_check_find(c->network->knowledge, rule->check);
    if (check == BW_NO_INDEX || !c->network->check_open[check]) return true;
    if (rule->by == BY_VALUE || rule->by == BY_SIZE || rule->by == BY_MINUS)
        return reply_reading(c, found, rule, check, err);
    struct bw_reply reply = {.row = check,
                             .kind = BW_REPLY_RATIO,
                             .ratio = ratio_of(rule, found),
                             .reading = found->value,
                             .from = rule->kind};
    bool says_nothing = isnan(found->value) || fabs(reply.ratio - 1) < 1e-12;
    return says_nothing || bw_case_reply(c, reply, err);
}

bool bw_case_find(struct bw_case *c, const struct bw_found_list *found, bool *used,
                  struct bw_err *err) {
    for (size_t i = 0; i < found->n; i++) {
        used[i] = false;
        for (size_t r = 0; r < RULE_COUNT; r++) {
            if (!is_ruled(&RULES[r], &found->items[i])) continue;
            used[i] = true;
            if (!reply_rule(c, &found->items[i], &RULES[r], err)) return false;
        }
    }
    return reply_sources(c, found, used, err);
}
