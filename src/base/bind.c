// bind.c - see bind.h. One function per kind of field; paths grow as an error rises.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Where an error came from is known at three depths: the value's node gives line, column and text
// (`blame`), each record on the way up adds its step to the path, and bw_bind adds the document's
// name and the source line. An error that already names a file rose out of another document and is
// left as it is.
#include "base/bind.h"

#include "base/number.h"
#include "base/place.h"
#include "base/suggest.h"
#include "base/utf8.h"

#include <string.h>
#include <strings.h>

#define TAKES_TEXT 240

// One record being bound, and the ones around it.
struct level {
    const struct bw_binding *binding;
    const struct bw_record *record;
    const struct level *above;
    struct bw_err *err;
};

static bool bind_record(const struct level *at, const struct bw_node *node, void *out);

static const char *node_word(const struct bw_node *node) {
    switch (node->kind) {
    case BW_NODE_MAP: return "a group of keys";
    case BW_NODE_LIST: return "a list";
    case BW_NODE_TEXT: return "a text";
    case BW_NODE_NULL: break;
    }
    return "nothing";
}

// Adds what the node knows of the error's place, and one step to its path. Always false.
static bool blame(const struct level *at, const struct bw_node *node, const char *step) {
    struct bw_err *err = at->err;
    if (err->file[0] != '\0') return false;
    if (node->line > 0) bw_err_place(err, node->line, node->column);
    if (node->kind == BW_NODE_TEXT) bw_err_value(err, node->text);
    if (step != NULL) bw_err_within(err, step);
    return false;
}

static bool wrong_kind(const struct level *at, const struct bw_field *field,
                       const struct bw_node *node) {
    char takes[TAKES_TEXT];
    bw_field_takes(field, at->binding->units, takes, sizeof takes);
    bw_err_mend(at->err, "write %s", takes);
    return bw_fail(at->err, BW_INPUT, "cannot be %s", node_word(node));
}

static const struct bw_node *find_key(const struct bw_node *map, const char *name) {
    for (const struct bw_node *child = map->child; child != NULL; child = child->next)
        if (bw_key_same(child->key, name)) return child;
    return NULL;
}

static bool says_unknown(const struct bw_node *node) {
    if (node->kind == BW_NODE_NULL) return true;
    if (node->kind != BW_NODE_TEXT) return false;
    const char *text = node->text + strspn(node->text, " ");
    size_t length = strcspn(text, " ");
    if (text[length + strspn(text + length, " ")] != '\0') return false;
    return (length == 1 && text[0] == '?') || (length == 7 && strncasecmp(text, "unknown", 7) == 0);
}

// A quoted "unknown" is a text like any other where a text is wanted.
static bool not_given(const struct bw_field *field, const struct bw_node *node) {
    if (node == NULL) return true;
    if (field->kind == BW_TEXT && node->quoted) return false;
    if (field->kind == BW_QUANTITY && node->kind == BW_NODE_MAP) {
        const struct bw_node *value = find_key(node, "value");
        return value != NULL && says_unknown(value);
    }
    return says_unknown(node);
}

// Refuses ill-formed UTF-8 and control characters but tab and line break: they could steer a
// terminal.
static bool check_text(const struct level *at, const struct bw_node *node) {
    if (node->kind != BW_NODE_TEXT) return true;
    for (size_t i = 0, step; i < node->length; i += step) {
        uint32_t c;
        step = bw_utf8_step(node->text + i, node->length - i, &c);
        if (step > 0 && (c >= 0x20 || c == '\t' || c == '\n') && (c < 0x7F || c >= 0xA0)) continue;
        bw_err_mend(at->err, "remove them, or save the text as UTF-8");
        return bw_fail(at->err, BW_INPUT, "holds characters that are no text");
    }
    return true;
}

// ---- quantities ----

// A quantity spelt out as a map is a small record of texts, so that its keys are checked like any
// others.
struct spelt {
    const char *value, *sd, *unit, *by;
};
static const struct bw_field SPELT_FIELDS[] = {
    {BW_AT(struct spelt, value), .kind = BW_TEXT, .required = true, .help = "the number"},
    {BW_AT(struct spelt, sd), .kind = BW_TEXT, .help = "standard deviation in the same unit"},
    {BW_AT(struct spelt, unit), .kind = BW_TEXT, .help = "unit, such as mm or ft/min"},
    {BW_AT(struct spelt, by), .kind = BW_TEXT, .help = "the way it was measured"},
    BW_END_FIELDS,
};
static const struct bw_record SPELT = {.name = "quantity",
                                       .help = "a number with its unit",
                                       .fields = SPELT_FIELDS,
                                       .size = sizeof(struct spelt)};

// "14.6 mm ± 0.2 by rule" out of its four parts. NULL: failed.
static const char *quantity_words(const struct level *at, const struct bw_node *node) {
    if (node->kind == BW_NODE_TEXT) return node->text;
    const struct level inner = {at->binding, &SPELT, at, at->err};
    struct spelt spelt;
    if (!bind_record(&inner, node, &spelt)) return NULL;
    bool unit = spelt.unit != NULL, sd = spelt.sd != NULL, by = spelt.by != NULL;
    const char *words = bw_arena_format(at->binding->arena, "%s%s%s%s%s%s%s", spelt.value,
                                        unit ? " " : "", unit ? spelt.unit : "", sd ? " ± " : "",
                                        sd ? spelt.sd : "", by ? " by " : "", by ? spelt.by : "");
    if (words == NULL) (void)bw_fail_memory(at->err);
    return words;
}

static bool outside(const struct bw_field *field, double v) {
    if (field->min >= field->max) return false;
    double slack = 1e-9 * (isinf(field->max) ? 1 : fabs(field->max));  // 12 in is not quite 0.3048
    return v < field->min - fmin(slack, 1e-9 * fabs(field->min)) || v > field->max + slack;
}

// Offers the unit in which the number would have been possible: 1900 m for a belt was 1900 mm.
static void suggest_unit(const struct level *at, const struct bw_field *field, const char *words) {
    size_t digits = strspn(words, "0123456789 .,/+-");
    while (digits > 0 && (words[digits - 1] == ' ' || words[digits - 1] == '/')) digits--;
    char offers[2][BW_QUANTITY_TEXT];
    size_t n = 0;
    for (int i = 0; i < 2 * BW_DIM_COUNT && n < 2 && digits > 0 && digits < 20; i++) {
        enum bw_dim dim = (enum bw_dim)(i / 2);
        char offer[BW_QUANTITY_TEXT];
        int length = snprintf(offer, sizeof offer, "%.*s %s", (int)digits, words,
                              bw_dim_unit(dim, (enum bw_units)(i % 2)));
        struct bw_quantity q;
        struct bw_err ignored = {0};
        bool fits = bw_quantity_read(offer, (size_t)length, field->dim, NULL, &q, &ignored) &&
                    bw_known(q) && !outside(field, q.v);
        if (!fits || (n == 1 && strcmp(offers[0], offer) == 0)) continue;
        memcpy(offers[n++], offer, sizeof offer);
    }
    if (n == 2) bw_err_mend(at->err, "did you mean %s or %s?", offers[0], offers[1]);
    if (n == 1) bw_err_mend(at->err, "did you mean %s?", offers[0]);
}

static bool out_of_range(const struct level *at, const struct bw_field *field, const char *words) {
    char limits[TAKES_TEXT];
    bw_field_limits(field, at->binding->units, limits, sizeof limits);
    bw_err_value(at->err, words);
    suggest_unit(at, field, words);
    bw_err_mend(at->err, "write %s, %s", bw_dim_word(field->dim), limits);
    return bw_fail(at->err, BW_INPUT, "is out of range, takes %s", limits);
}

static bool bind_quantity(const struct level *at, const struct bw_field *field,
                          const struct bw_node *node, void *out) {
    if (node->kind == BW_NODE_LIST) return wrong_kind(at, field, node);
    const char *words = quantity_words(at, node);
    struct bw_quantity q;
    if (words == NULL ||
        !bw_quantity_read(words, strlen(words), field->dim, field->of, &q, at->err))
        return false;
    if (outside(field, q.v)) return out_of_range(at, field, words);
    *(struct bw_quantity *)out = q;
    return true;
}

// ---- other scalars ----

static bool bind_count(const struct level *at, const struct bw_field *field,
                       const struct bw_node *node, void *out) {
    if (node->kind != BW_NODE_TEXT) return wrong_kind(at, field, node);
    bool limits = field->min < field->max;
    long min = limits && !isinf(field->min) ? (long)field->min : -2147483646L;
    long max = limits && !isinf(field->max) ? (long)field->max : 2147483647L;
    return bw_count(node->text, node->length, min, max, out, at->err);
}

static bool find_option(const struct level *at, const struct bw_field *field, const char *word,
                        int *out) {
    struct bw_words words = {.n = 0};
    const char *option;
    for (int i = 0; (option = bw_field_option(field, (size_t)i)) != NULL; i++) {
        if (bw_key_same(option, word)) {
            *out = i;
            return true;
        }
        bw_words_add(&words, option);
    }
    bw_err_value(at->err, word);
    bw_words_mend(&words, word, "choose one of", at->err);
    return bw_fail(at->err, BW_INPUT, "is not one of the choices");
}

static bool bind_choice(const struct level *at, const struct bw_field *field,
                        const struct bw_node *node, void *out) {
    if (node->kind != BW_NODE_TEXT) return wrong_kind(at, field, node);
    return find_option(at, field, node->text, out);
}

static bool bind_text(const struct level *at, const struct bw_field *field,
                      const struct bw_node *node, void *out) {
    if (node->kind != BW_NODE_TEXT) return wrong_kind(at, field, node);
    if (field->required && node->length == 0) {
        bw_err_mend(at->err, "give %s (%s)", field->name, field->help);
        return bw_fail(at->err, BW_INPUT, "is empty");
    }
    const char *text = bw_arena_text(at->binding->arena, node->text, node->length);
    if (text == NULL) return bw_fail_memory(at->err);
    *(const char **)out = text;
    return true;
}

// ---- records within records ----

// A fresh inner record, bound. `*out` is set on success.
static bool bind_inner(const struct level *at, const struct bw_record *record,
                       const struct bw_node *node, void **out) {
    const struct level inner = {at->binding, record, at, at->err};
    void *item = bw_arena_get(at->binding->arena, record->size);
    if (item == NULL) return bw_fail_memory(at->err);
    if (!bind_record(&inner, node, item)) return false;
    *out = item;
    return true;
}

static bool bind_inner_record(const struct level *at, const struct bw_field *field,
                              const struct bw_node *node, void *out) {
    return bind_inner(at, field->of, node, out);
}

static bool too_many(const struct level *at, size_t n, size_t max) {
    bw_err_mend(at->err, "leave out %zu", n - max);
    return bw_fail(at->err, BW_LIMIT, "has %zu items, at most %zu %s", n, max,
                   max == 1 ? "is taken" : "are taken");
}

static bool bind_items(const struct level *at, const struct bw_record *record,
                       const struct bw_node *first, char *items) {
    const struct level inner = {at->binding, record, at, at->err};
    size_t i = 0;
    for (const struct bw_node *node = first; node != NULL; node = node->next, i++) {
        if (bind_record(&inner, node, items + i * record->size)) continue;
        (void)blame(at, node, NULL);
        if (at->err->file[0] == '\0') bw_err_within_index(at->err, "", i);
        return false;
    }
    return true;
}

static bool bind_list(const struct level *at, const struct bw_field *field,
                      const struct bw_node *node, void *out) {
    const struct bw_record *record = field->of;
    struct bw_node alone = *node;  // one item alone stands for a list of one
    alone.next = NULL;
    const struct bw_node *first = node->kind == BW_NODE_LIST ? node->child : &alone;
    size_t n = node->kind == BW_NODE_LIST ? bw_node_count(node) : 1;
    size_t max = bw_field_count_max(field);
    if (n > max) return too_many(at, n, max);
    if (n == 0 && field->required) {
        bw_err_mend(at->err, "give at least one %s", record->name);
        return bw_fail(at->err, BW_INPUT, "is an empty list");
    }
    if (n == 0) return true;
    char *items = bw_arena_array(at->binding->arena, n, record->size);
    if (items == NULL) return bw_fail_memory(at->err);
    if (!bind_items(at, record, first, items)) return false;
    *(struct bw_list *)out = (struct bw_list){.items = items, .n = n};
    return true;
}

// One variant, named by the only key of a map, or by a word alone when nothing more is to be said
// of it.
static bool bind_oneof(const struct level *at, const struct bw_field *field,
                       const struct bw_node *node, void *out) {
    static const struct bw_node NOTHING = {.kind = BW_NODE_MAP};
    const struct bw_choice_record *variants = field->of;
    struct bw_oneof one = {.which = -1};
    if (node->kind == BW_NODE_LIST) return wrong_kind(at, field, node);
    if (node->kind == BW_NODE_MAP && bw_node_count(node) != 1) {
        char takes[TAKES_TEXT];
        bw_field_takes(field, at->binding->units, takes, sizeof takes);
        bw_err_mend(at->err, "write %s", takes);
        return bw_fail(at->err, BW_INPUT, "needs exactly one key, got %zu", bw_node_count(node));
    }
    const struct bw_node *inner = node->kind == BW_NODE_MAP ? node->child : &NOTHING;
    if (!find_option(at, field, inner == &NOTHING ? node->text : inner->key, &one.which))
        return false;
    if (inner->kind == BW_NODE_NULL) inner = &NOTHING;
    if (!bind_inner(at, variants[one.which].record, inner, &one.item))
        return blame(at, inner, variants[one.which].name);
    *(struct bw_oneof *)out = one;
    return true;
}

// "shape" may stand at the top of a document; it names the kind of document and its version.
static bool check_shape(const struct bw_node *node, const char *shape, struct bw_err *err) {
    const struct bw_node *said = node->kind == BW_NODE_MAP ? bw_node_find(node, "shape") : NULL;
    if (said == NULL || shape == NULL) return true;
    if (said->kind == BW_NODE_TEXT && strcmp(said->text, shape) == 0) return true;
    bw_err_place(err, said->line, said->column);
    if (said->kind == BW_NODE_TEXT) bw_err_value(err, said->text);
    bw_err_mend(err, "write shape: %s, or give a document of that shape", shape);
    (void)bw_fail(err, BW_INPUT, "is not %s", shape);
    bw_err_within(err, "shape");
    return false;
}

static bool bind_inline_file(const struct level *at, const struct bw_file_kind *kind,
                             const struct bw_node *node, struct bw_file *out) {
    if (kind->record == NULL) {
        bw_err_mend(at->err, "give the file's name");
        return bw_fail(at->err, BW_INPUT, "this %s cannot stand in the document", kind->name);
    }
    const struct level document = {at->binding, kind->record, NULL, at->err};
    void *content = bw_arena_get(at->binding->arena, kind->record->size);
    if (content == NULL) return bw_fail_memory(at->err);
    if (!check_shape(node, kind->shape, at->err) || !bind_record(&document, node, content))
        return false;
    *out = (struct bw_file){.name = "inline", .content = content};
    return true;
}

static bool bind_file(const struct level *at, const struct bw_field *field,
                      const struct bw_node *node, void *out) {
    const struct bw_file_kind *kind = field->of;
    if (node->kind == BW_NODE_MAP) return bind_inline_file(at, kind, node, out);
    if (node->kind != BW_NODE_TEXT) return wrong_kind(at, field, node);
    if (at->binding->load == NULL) {
        bw_err_mend(at->err, "give the %s itself", kind->name);
        return bw_fail(at->err, BW_REFUSED, "a file cannot be named here");
    }
    struct bw_binding copy = *at->binding;
    return at->binding->load(at->binding->door, kind, node->text, out, &copy, at->err);
}

// ---- one record ----

static bool (*const BINDERS[])(const struct level *, const struct bw_field *,
                               const struct bw_node *, void *) = {
    [BW_QUANTITY] = bind_quantity, [BW_COUNT] = bind_count, [BW_CHOICE] = bind_choice,
    [BW_TEXT] = bind_text,         [BW_FILE] = bind_file,   [BW_RECORD] = bind_inner_record,
    [BW_LIST] = bind_list,         [BW_ONEOF] = bind_oneof,
};

static bool missing(const struct level *at, const struct bw_field *field,
                    const struct bw_node *node) {
    char takes[TAKES_TEXT];
    bw_field_takes(field, at->binding->units, takes, sizeof takes);
    bw_err_mend(at->err, "give %s (%s): %s", field->name, field->help, takes);
    return bw_fail(at->err, BW_INPUT, node == NULL ? "is missing" : "cannot be unknown");
}

static bool bind_field(const struct level *at, const struct bw_field *field,
                       const struct bw_node *map, void *record) {
    const struct bw_node *node = find_key(map, field->name);
    struct bw_node usual = {.kind = BW_NODE_TEXT, .text = field->fallback};
    if (not_given(field, node)) {
        if (field->required) {
            (void)missing(at, field, node);
            return blame(at, node == NULL ? map : node, field->name);
        }
        if (field->fallback == NULL) return true;
        usual.length = strlen(field->fallback);
        node = &usual;
    }
    if (check_text(at, node) && BINDERS[field->kind](at, field, node, bw_field_at(field, record)))
        return true;
    if (field->kind == BW_COUNT || field->kind == BW_QUANTITY) {
        char takes[TAKES_TEXT];
        bw_field_takes(field, at->binding->units, takes, sizeof takes);
        bw_err_mend(at->err, "write %s", takes);
    }
    return blame(at, node, field->name);
}

static bool twice(const struct level *at, const struct bw_node *first,
                  const struct bw_node *second) {
    bw_err_place(at->err, second->key_line, second->key_column);
    if (first->key_line < second->key_line)
        bw_err_mend(at->err, "keep line %d or line %d", first->key_line, second->key_line);
    else
        bw_err_mend(at->err, "keep one of them");
    (void)bw_fail(at->err, BW_INPUT, "is given twice, as \"%s\" and \"%s\"", first->key,
                  second->key);
    bw_err_within(at->err, second->key);
    return false;
}

static void suggest_key(const struct level *at, const char *said) {
    struct bw_words words = {.n = 0};
    for (const struct bw_field *field = at->record->fields; field->name != NULL; field++)
        bw_words_add(&words, field->name);
    bw_words_mend(&words, said, "keys here", at->err);
}

static bool inner_has(const struct bw_field *field, const char *key) {
    if (field->kind == BW_RECORD || field->kind == BW_LIST)
        return bw_field_find(field->of, key) != NULL;
    if (field->kind != BW_ONEOF) return false;
    for (const struct bw_choice_record *one = field->of; one->name != NULL; one++)
        if (bw_field_find(one->record, key) != NULL) return true;
    return false;
}

// A key that is right one level deeper or higher is told its place.
static void suggest_place(const struct level *at, const char *key) {
    for (const struct bw_field *field = at->record->fields; field->name != NULL; field++)
        if (inner_has(field, key)) bw_err_mend(at->err, "it belongs under %s", field->name);
    if (at->above != NULL && bw_field_find(at->above->record, key) != NULL)
        bw_err_mend(at->err, "it belongs one level up, in the %s", at->above->record->name);
}

static bool unknown_key(const struct level *at, const struct bw_node *node) {
    bw_err_place(at->err, node->key_line, node->key_column);
    suggest_place(at, node->key);
    suggest_key(at, node->key);
    (void)bw_fail(at->err, BW_INPUT, "is not a key of this %s", at->record->name);
    bw_err_within(at->err, node->key);
    return false;
}

static bool check_keys(const struct level *at, const struct bw_node *map) {
    for (const struct bw_node *child = map->child; child != NULL; child = child->next) {
        if (at->above == NULL && strcmp(child->key, "shape") == 0) continue;
        const struct bw_field *field = bw_field_find(at->record, child->key);
        if (field == NULL) return unknown_key(at, child);
        const struct bw_node *first = find_key(map, field->name);
        if (first != child) return twice(at, first, child);
    }
    return true;
}

static bool check_rule(const struct level *at, const struct bw_node *map, const void *record) {
    if (at->record->check == NULL) return true;
    const char *name = NULL;
    const char *wrong = at->record->check(record, &name);
    if (wrong == NULL) return true;
    const struct bw_node *node = name == NULL ? NULL : find_key(map, name);
    const struct bw_field *field = name == NULL ? NULL : bw_field_find(at->record, name);
    if (field != NULL) bw_err_mend(at->err, "%s: %s", field->name, field->help);
    bw_err_mend(at->err, "change one of the keys of this %s", at->record->name);
    (void)bw_fail(at->err, BW_INPUT, "%s", wrong);
    return blame(at, node == NULL ? map : node, name);
}

// A phrase as a map; its parts stand where the phrase stands.
static bool spell_out(const struct level *at, const struct bw_node *node, struct bw_node **out) {
    if (!check_text(at, node)) return false;
    bool group = memchr(node->text, '=', node->length) != NULL;
    if (!group && !bw_record_has_leads(at->record)) {
        suggest_key(at, "");
        return bw_fail(at->err, BW_INPUT, "cannot be one text");
    }
    struct bw_node *map;
    if (!bw_group_read(at->binding->arena, at->record, node->text, node->length, &map, at->err))
        return false;
    for (struct bw_node *part = map->child; part != NULL; part = part->next) {
        part->line = part->key_line = node->line;
        part->column = part->key_column = node->column;
    }
    map->line = node->line;
    map->column = node->column;
    *out = map;
    return true;
}

static bool bind_record(const struct level *at, const struct bw_node *node, void *out) {
    struct bw_node *spelt = NULL;
    if (node->kind == BW_NODE_TEXT) {
        if (!spell_out(at, node, &spelt)) return false;
        node = spelt;
    }
    if (node->kind != BW_NODE_MAP) {
        suggest_key(at, "");
        return bw_fail(at->err, BW_INPUT, "needs the keys of this %s, got %s", at->record->name,
                       node_word(node));
    }
    if (!check_keys(at, node)) return false;
    bw_record_clear(at->record, out);
    for (const struct bw_field *field = at->record->fields; field->name != NULL; field++)
        if (!bind_field(at, field, node, out)) return false;
    return check_rule(at, node, out);
}

// ---- the document ----

// Walks to the error's place in the source, for the line that is shown over the caret.
static void add_excerpt(const struct bw_binding *binding, struct bw_err *err) {
    struct bw_place place = bw_place_begin(binding->file, binding->source, binding->source_length);
    while (place.offset < place.length &&
           (place.line < err->line || (place.line == err->line && place.column < err->column)))
        bw_place_move(&place, place.offset + 1);
    if (place.line == err->line) (void)bw_place_blame(&place, place.offset, err);
}

bool bw_bind(const struct bw_binding *binding, const struct bw_node *node,
             const struct bw_record *record, void *out, struct bw_err *err) {
    const struct level top = {binding, record, NULL, err};
    void *bound = bw_arena_get(binding->arena, record->size);
    if (bound == NULL) return bw_fail_memory(err);
    if (check_shape(node, binding->shape, err) && bind_record(&top, node, bound)) {
        memcpy(out, bound, record->size);
        return true;
    }
    if (err->file[0] != '\0') return false;
    (void)blame(&top, node, NULL);
    if (binding->source != NULL && err->line > 0) add_excerpt(binding, err);
    bw_err_file(err, binding->file);
    return false;
}
