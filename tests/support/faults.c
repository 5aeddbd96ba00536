// faults.c - see faults.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/faults.h"

#include "base/alloc.h"
#include "base/emit.h"
#include "base/json.h"
#include "support/random_record.h"

#include <assert.h>
#include <string.h>

#define MOST_FIELDS 1024
#define MOST_FAULTS 65536

// Where a fault may be made: a field of a map in the document, and the path of that map.
struct spot {
    struct bw_arena *arena;
    const struct bw_record *record;
    const struct bw_field *field;
    struct bw_node *map, *node;
    char *path;  // of the fault; begins as the field's
    const char *mend;
};

// ---- what is done to the document ----

static char *format(struct spot *spot, const char *a, const char *b) {
    char *text = bw_arena_format(spot->arena, "%s%s", a, b);
    assert(text != NULL);
    return text;
}

static void become(struct bw_node *node, enum bw_node_kind kind) {
    node->kind = kind;
    node->quoted = false;
    node->child = node->last = NULL;
}

static void become_text(struct spot *spot, const char *text) {
    become(spot->node, BW_NODE_TEXT);
    spot->node->text = format(spot, text, "");
    spot->node->length = strlen(text);
}

static void become_quantity(struct spot *spot, double si, const char *more) {
    char text[120];
    enum bw_dim dim = spot->field->dim;
    (void)snprintf(text, sizeof text, "%.17g %s%s", bw_dim_from_si(dim, BW_UNITS_SI, si),
                   bw_dim_unit(dim, BW_UNITS_SI), more);
    become_text(spot, text);
}

static void become_count(struct spot *spot, double value) {
    char text[40];
    (void)snprintf(text, sizeof text, "%.0f", value);
    become_text(spot, text);
}

static void become_number(struct spot *spot, double value) {
    if (spot->field->kind == BW_COUNT)
        become_count(spot, value);
    else
        become_quantity(spot, value, "");
}

static double beyond(const struct bw_field *field) {
    if (field->kind == BW_COUNT) return 1;
    return isinf(field->min) || isinf(field->max) ? 1 : 0.01 * (field->max - field->min);
}

static void add_key(struct spot *spot, const char *key) {
    struct bw_node *node = bw_node_text(spot->arena, "1", 1);
    bool added = node != NULL && bw_node_add_key(spot->arena, spot->map, key, node);
    assert(added);
    (void)added;
}

// The path of another key of the same map.
static void move_path(struct spot *spot, const char *key) {
    size_t stem = strlen(spot->path) - strlen(spot->field->name);
    spot->path[stem] = '\0';
    spot->path = format(spot, spot->path, key);
}

static void make_missing(struct spot *spot) {
    struct bw_node *before = NULL;
    for (struct bw_node *child = spot->map->child; child != spot->node; child = child->next)
        before = child;
    if (before == NULL)
        spot->map->child = spot->node->next;
    else
        before->next = spot->node->next;
    if (spot->map->last == spot->node) spot->map->last = before;
}

static void make_unknown(struct spot *spot) { become_text(spot, "unknown"); }
static void make_word(struct spot *spot) { become_text(spot, "qqzz"); }
static void make_nan(struct spot *spot) { become_text(spot, "nan"); }
static void make_half(struct spot *spot) { become_text(spot, "1.5"); }
static void make_list(struct spot *spot) { become(spot->node, BW_NODE_LIST); }
static void make_map(struct spot *spot) { become(spot->node, BW_NODE_MAP); }
static void make_empty(struct spot *spot) { become_text(spot, ""); }
static void make_unit(struct spot *spot) { become_text(spot, "1 qqzz"); }
static void make_low(struct spot *spot) {
    become_number(spot, spot->field->min - beyond(spot->field));
}
static void make_high(struct spot *spot) {
    become_number(spot, spot->field->max + beyond(spot->field));
}

static void make_dim(struct spot *spot) {
    bool length = bw_dim_same(spot->field->dim, BW_DIM_LENGTH);
    become_text(spot, length ? "1 kg" : "1 mm");
}

static void make_comma(struct spot *spot) {
    become_text(spot, format(spot, "1,5 ", bw_dim_unit(spot->field->dim, BW_UNITS_SI)));
}

static void make_huge(struct spot *spot) {
    become_text(spot, format(spot, "1e999 ", bw_dim_unit(spot->field->dim, BW_UNITS_SI)));
}

static void make_sd(struct spot *spot) {
    const struct bw_field *field = spot->field;
    become_quantity(spot, field->min < field->max && !isinf(field->min) ? field->min : 300, " ± 0");
}

static void make_way(struct spot *spot) {
    const struct bw_field *field = spot->field;
    become_quantity(spot, field->min < field->max ? field->min : 300, " by qqzz");
}

static void make_misspelt(struct spot *spot) {
    const char *name = spot->field->name;
    char *key = format(spot, name, name + strlen(name) - 1);
    spot->node->key = key;
    spot->mend = format(spot, "did you mean ", name);
    move_path(spot, key);
}

static void make_strange(struct spot *spot) {
    add_key(spot, "qqzzqqzz");
    move_path(spot, "qqzzqqzz");
    spot->mend = "keys here: ";
}

static void make_twice(struct spot *spot) {
    char *key = format(spot, spot->field->name, "");
    for (char *c = key; *c != '\0'; c++)
        *c = *c == '_' ? '-' : (char)(*c - ('a' <= *c && *c <= 'z' ? 32 : 0));
    add_key(spot, key);
    move_path(spot, key);
}

static void make_many(struct spot *spot) {
    for (size_t n = bw_node_count(spot->node); n <= bw_field_count_max(spot->field); n++) {
        struct bw_node *copy = bw_node_new(spot->arena, BW_NODE_MAP);
        assert(copy != NULL);
        *copy = *spot->node->child;
        copy->next = NULL;
        bw_node_add(spot->node, copy);
    }
}

static void make_bad_item(struct spot *spot) {
    become(spot->node->child, BW_NODE_LIST);
    spot->path = format(spot, spot->path, "[0]");
}

static void make_two_variants(struct spot *spot) {
    struct spot inner = *spot;
    inner.map = spot->node;
    add_key(&inner, "second");
}

// ---- where it can be done ----

static bool limited(const struct bw_field *field) {
    return field->min < field->max && (field->kind == BW_QUANTITY || field->kind == BW_COUNT);
}
static bool is_required(const struct spot *spot) { return spot->field->required; }
static bool is_quantity(const struct spot *spot) { return spot->field->kind == BW_QUANTITY; }
static bool is_count(const struct spot *spot) { return spot->field->kind == BW_COUNT; }
static bool is_number(const struct spot *spot) { return is_quantity(spot) || is_count(spot); }
static bool is_choice(const struct spot *spot) { return spot->field->kind == BW_CHOICE; }
static bool is_oneof(const struct spot *spot) { return spot->field->kind == BW_ONEOF; }
static bool is_options(const struct spot *spot) { return is_choice(spot) || is_oneof(spot); }
static bool is_list(const struct spot *spot) { return spot->field->kind == BW_LIST; }
static bool not_list(const struct spot *spot) { return !is_list(spot); }
static bool has_low(const struct spot *spot) {
    return limited(spot->field) && !isinf(spot->field->min);
}
static bool has_high(const struct spot *spot) {
    return limited(spot->field) && !isinf(spot->field->max);
}
static bool is_needed_list(const struct spot *spot) { return is_list(spot) && is_required(spot); }
static bool is_needed_text(const struct spot *spot) {
    return spot->field->kind == BW_TEXT && is_required(spot);
}
static bool takes_no_map(const struct spot *spot) {
    enum bw_kind kind = spot->field->kind;
    return kind == BW_COUNT || kind == BW_CHOICE || kind == BW_TEXT;
}
static bool takes_no_text(const struct spot *spot) {
    return spot->field->kind == BW_RECORD && !bw_record_has_leads(spot->field->of);
}
static bool is_first(const struct spot *spot) { return spot->node == spot->map->child; }
static bool is_long(const struct spot *spot) { return strlen(spot->field->name) > 2; }
static bool any(const struct spot *spot) { return spot != NULL; }
static bool has_ways(const struct spot *spot) {
    return is_quantity(spot) && spot->field->of != NULL;
}

static const struct {
    const char *name;
    bool (*applies)(const struct spot *);
    void (*make)(struct spot *);
    enum bw_code code;
} FAULTS[] = {
    {"missing", is_required, make_missing, BW_INPUT},
    {"said to be unknown", is_required, make_unknown, BW_INPUT},
    {"of another dimension", is_quantity, make_dim, BW_INPUT},
    {"not a number", is_number, make_word, BW_INPUT},
    {"nan", is_number, make_nan, BW_INPUT},
    {"half of a whole number", is_count, make_half, BW_INPUT},
    {"below the least", has_low, make_low, BW_INPUT},
    {"above the most", has_high, make_high, BW_INPUT},
    {"too large for a number", is_number, make_huge, BW_INPUT},
    {"of an unknown unit", is_quantity, make_unit, BW_INPUT},
    {"with a decimal comma", is_number, make_comma, BW_INPUT},
    {"sure beyond measure", is_quantity, make_sd, BW_INPUT},
    {"measured in an unknown way", has_ways, make_way, BW_INPUT},
    {"misspelt", is_long, make_misspelt, BW_INPUT},
    {"beside a strange key", is_first, make_strange, BW_INPUT},
    {"given twice", any, make_twice, BW_INPUT},
    {"a list", not_list, make_list, BW_INPUT},
    {"a map", takes_no_map, make_map, BW_INPUT},
    {"a text", takes_no_text, make_word, BW_INPUT},
    {"an empty text", is_needed_text, make_empty, BW_INPUT},
    {"no such choice", is_options, make_word, BW_INPUT},
    {"two variants at once", is_oneof, make_two_variants, BW_INPUT},
    {"an empty list", is_needed_list, make_list, BW_INPUT},
    {"a list of lists", is_list, make_bad_item, BW_INPUT},
    {"too many", is_list, make_many, BW_LIMIT},
};
#define FAULT_COUNT (sizeof FAULTS / sizeof *FAULTS)

// ---- walking a document ----

// Which faults were made at which paths already, in this document or an earlier one.
struct tried {
    uint64_t hash[MOST_FAULTS];
    size_t n;
};

static bool try_once(struct tried *tried, const char *path, size_t fault) {
    uint64_t hash = 0xCBF29CE484222325u + fault;  // FNV-1a
    for (; *path != '\0'; path++) hash = (hash ^ (unsigned char)*path) * 0x100000001B3u;
    for (size_t i = 0; i < tried->n; i++)
        if (tried->hash[i] == hash) return false;
    assert(tried->n < MOST_FAULTS);
    tried->hash[tried->n++] = hash;
    return true;
}

struct walk {
    struct bw_arena *arena;
    struct tried *tried;
    struct spot spot;  // where a fault was made
    size_t fault;
    bool made;
};

static void visit_record(struct walk *walk, const struct bw_record *record, struct bw_node *map,
                         const char *path);

static void visit_items(struct walk *walk, struct spot *spot) {
    size_t i = 0;
    for (struct bw_node *item = spot->node->child; item != NULL && !walk->made;
         item = item->next, i++) {
        char index[24];
        (void)snprintf(index, sizeof index, "[%zu]", i);
        visit_record(walk, spot->field->of, item, format(spot, spot->path, index));
    }
}

static void visit_below(struct walk *walk, struct spot *spot) {
    const struct bw_field *field = spot->field;
    struct bw_node *node = spot->node;
    if (field->kind == BW_RECORD) visit_record(walk, field->of, node, spot->path);
    const struct bw_file_kind *file = field->kind == BW_FILE ? field->of : NULL;
    if (file != NULL && file->record != NULL) visit_record(walk, file->record, node, spot->path);
    if (field->kind == BW_LIST) visit_items(walk, spot);
    if (field->kind != BW_ONEOF) return;
    for (const struct bw_choice_record *one = field->of; one->name != NULL; one++)
        if (strcmp(one->name, node->child->key) == 0)
            visit_record(walk, one->record, node->child,
                         format(spot, format(spot, spot->path, "."), one->name));
}

// Makes the first fault that was not tried yet, here or below.
static void visit_field(struct walk *walk, const struct bw_record *record,
                        const struct bw_field *field, struct bw_node *map, const char *path) {
    struct bw_node *node = (struct bw_node *)bw_node_find(map, field->name);
    if (node == NULL) return;
    struct spot spot = {walk->arena, record, field, map, node, NULL, ""};
    spot.path =
        bw_arena_format(walk->arena, "%s%s%s", path, path[0] == '\0' ? "" : ".", field->name);
    assert(spot.path != NULL);
    for (size_t i = 0; i < FAULT_COUNT; i++) {
        if (!FAULTS[i].applies(&spot) || !try_once(walk->tried, spot.path, i)) continue;
        FAULTS[i].make(&spot);
        walk->spot = spot;
        walk->fault = i;
        walk->made = true;
        return;
    }
    visit_below(walk, &spot);
}

static void visit_record(struct walk *walk, const struct bw_record *record, struct bw_node *map,
                         const char *path) {
    for (const struct bw_field *field = record->fields; field->name != NULL && !walk->made; field++)
        visit_field(walk, record, field, map, path);
}

// ---- which fields there are ----

struct fields {
    const struct bw_record *record[MOST_FIELDS];
    const struct bw_field *field[MOST_FIELDS];
    bool reached[MOST_FIELDS];
    size_t n;
};

static void collect(struct fields *fields, const struct bw_record *record) {
    for (size_t i = 0; i < fields->n; i++)
        if (fields->record[i] == record) return;
    for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
        assert(fields->n < MOST_FIELDS);
        bool raw =
            field->kind == BW_FILE && ((const struct bw_file_kind *)field->of)->record == NULL;
        if (raw) continue;
        fields->record[fields->n] = record;
        fields->field[fields->n++] = field;
    }
    for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
        const struct bw_choice_record *one = field->of;
        const struct bw_file_kind *file = field->of;
        if (field->kind == BW_RECORD || field->kind == BW_LIST) collect(fields, field->of);
        if (field->kind == BW_FILE && file->record != NULL) collect(fields, file->record);
        if (field->kind == BW_ONEOF)
            for (; one->name != NULL; one++) collect(fields, one->record);
    }
}

static void mark(struct fields *fields, const struct bw_field *field) {
    for (size_t i = 0; i < fields->n; i++)
        if (fields->field[i] == field) fields->reached[i] = true;
}

// ---- the check ----

static bool told_badly(const struct walk *walk, const struct bw_err *err, const char *how,
                       struct faults_report *out) {
    (void)snprintf(out->failed, sizeof out->failed,
                   "%s, %s: %s; said \"%.200s\" at \"%.100s\" with mend \"%.200s\"",
                   walk->spot.path, FAULTS[walk->fault].name, how, err->what, err->field,
                   err->mend);
    return false;
}

static bool told_well(const struct walk *walk, const struct bw_record *record,
                      const struct bw_node *root, struct faults_report *out) {
    struct bw_err err = {0};
    const struct bw_binding binding = {.arena = walk->arena, .load = random_load};
    unsigned char *bound = bw_arena_get(walk->arena, record->size);
    assert(bound != NULL);
    memset(bound, 0xA5, record->size);
    if (bw_bind(&binding, root, record, bound, &err)) return told_badly(walk, &err, "taken", out);
    for (size_t i = 0; i < record->size; i++)
        if (bound[i] != 0xA5) return told_badly(walk, &err, "the output was touched", out);
    if (err.code != FAULTS[walk->fault].code)
        return told_badly(walk, &err, bw_code_id(err.code), out);
    if (strcmp(err.field, walk->spot.path) != 0) return told_badly(walk, &err, "wrong path", out);
    if (err.mend[0] == '\0' || strstr(err.mend, walk->spot.mend) == NULL)
        return told_badly(walk, &err, "no such mend", out);
    return true;
}

// The document as JSON; the caller frees it. NULL: no draw met the record's rules.
static char *random_document(const struct bw_record *record, uint64_t seed) {
    struct bw_arena *arena = bw_arena_new(0);
    assert(arena != NULL);
    // Now nearly everything is given, now little: rules forbid some keys beside others.
    struct random_how how = {.arena = arena, .state = seed, .items = 3};
    how.given = 0.3 + 0.7 * random_share(&how.state);
    void *value = bw_arena_get(arena, record->size);
    struct bw_buffer buffer = {0};
    assert(value != NULL);
    bool drawn = random_record(&how, record, value);
    struct bw_json json = bw_json_begin(&buffer);
    if (drawn) bw_emit_record(&json, record, value, NULL);
    bw_arena_free(arena);
    return drawn ? bw_buffer_take(&buffer) : NULL;
}

static struct bw_node *read_document(struct bw_arena *arena, const char *document) {
    struct bw_node *root = NULL;
    struct bw_err err = {0};
    bool read = bw_json_read(arena, NULL, document, strlen(document), &root, &err);
    assert(read);
    return read ? root : NULL;
}

// A document in which no fault was made must be taken, or every fault would be "told".
static bool check_whole(const struct bw_record *record, const char *document,
                        struct faults_report *out) {
    struct bw_arena *arena = bw_arena_new(0);
    assert(arena != NULL);
    const struct bw_binding binding = {.arena = arena, .load = random_load};
    struct bw_err err = {0};
    void *bound = bw_arena_get(arena, record->size);
    bool whole = bw_bind(&binding, read_document(arena, document), record, bound, &err);
    if (!whole)
        (void)snprintf(out->failed, sizeof out->failed,
                       "a valid document is refused: %.150s: %.300s", err.field, err.what);
    bw_arena_free(arena);
    return whole;
}

// Makes and checks one fault that was not tried yet. False: there is none, or it was told badly.
static bool check_fault(const struct bw_record *record, const char *document, struct tried *tried,
                        struct fields *fields, struct faults_report *out) {
    struct bw_arena *arena = bw_arena_new(0);
    assert(arena != NULL);
    struct bw_node *root = read_document(arena, document);
    struct walk walk = {.arena = arena, .tried = tried};
    visit_record(&walk, record, root, "");
    bool well = walk.made && told_well(&walk, record, root, out);
    if (walk.made) {
        out->made++;
        mark(fields, walk.spot.field);
    }
    bw_arena_free(arena);
    return well;
}

// A text that the record's own rule reads ("LF", "left front") is never met by random words.
static bool is_excused(const struct fields *fields, size_t i) {
    return fields->field[i]->kind == BW_TEXT && fields->record[i]->check != NULL;
}

static bool all_reached(const struct fields *fields) {
    for (size_t i = 0; i < fields->n; i++)
        if (!fields->reached[i] && !is_excused(fields, i)) return false;
    return true;
}

bool faults_check(const struct bw_record *record, uint64_t seed, size_t documents,
                  struct faults_report *out) {
    struct fields *fields = bw_alloc_zero(1, sizeof *fields);
    struct tried *tried = bw_alloc_zero(1, sizeof *tried);
    assert(fields != NULL && tried != NULL);
    *out = (struct faults_report){0};
    collect(fields, record);
    size_t most = 20 * documents;  // rules may forbid a field in most random documents
    for (size_t d = 0; d < (all_reached(fields) ? documents : most) && out->failed[0] == '\0';
         d++) {
        char *document = random_document(record, seed + d);
        if (document == NULL) {
            (void)snprintf(out->failed, sizeof out->failed, "no random document meets the rules");
            break;
        }
        bool on = check_whole(record, document, out);
        while (on && check_fault(record, document, tried, fields, out)) continue;
        bw_free(document);
    }
    out->fields = fields->n;
    for (size_t i = 0; i < fields->n; i++) {
        if (fields->reached[i] || is_excused(fields, i))
            out->reached++;
        else
            (void)snprintf(out->unreached, sizeof out->unreached, "%.30s.%.40s",
                           fields->record[i]->name, fields->field[i]->name);
    }
    bw_free(fields);
    bw_free(tried);
    return out->failed[0] == '\0';
}
