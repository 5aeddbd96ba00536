// random_record.c - see random_record.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/random_record.h"

#include <string.h>

static uint64_t next(uint64_t *state) {  // splitmix64
    uint64_t z = (*state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

double random_share(uint64_t *state) { return (double)(next(state) >> 11) * 0x1p-53; }
size_t random_below(uint64_t *state, size_t n) { return (size_t)(next(state) % n); }

static double between(uint64_t *state, double low, double high) {
    if (low > 0 && high > 20 * low) return low * pow(high / low, random_share(state));
    return low + (high - low) * random_share(state);
}

static double random_value(uint64_t *state, const struct bw_field *field) {
    double min = field->min, max = field->max;
    if (min >= max) {
        min = field->dim == BW_DIM_TEMPERATURE ? 250 : field->dim == BW_DIM_SHORE ? 1 : 1e-6;
        max = field->dim == BW_DIM_TEMPERATURE ? 330
              : field->dim == BW_DIM_SHORE     ? 99
              : field->dim == BW_DIM_RATIO     ? 1
                                               : 1e6;
    }
    if (isinf(min)) min = isinf(max) ? -1e6 : max - 1e6;
    if (isinf(max)) max = min + 1e6;
    size_t edge = random_below(state, 16);
    return edge == 0 ? min : edge == 1 ? max : between(state, min, max);
}

static size_t options(const struct bw_field *field) {
    size_t n = 0;
    while (bw_field_option(field, n) != NULL) n++;
    return n;
}

static struct bw_quantity random_quantity(uint64_t *state, const struct bw_field *field) {
    struct bw_quantity q = bw_exactly(random_value(state, field));
    double scale = fabs(q.v) > 0 ? fabs(q.v) : 1;
    if (random_below(state, 2) == 0) q.sd = between(state, 1e-6, 0.2) * scale;
    size_t ways = options(field);
    if (ways > 0 && bw_sd_known(q) && random_below(state, 2) == 0)
        q.way = (int)random_below(state, ways);
    return q;
}

static long random_count(uint64_t *state, const struct bw_field *field) {
    double min = field->min, max = field->max;
    if (min >= max) min = -1e6, max = 1e6;
    if (isinf(max)) max = min + 1e6;
    if (isinf(min)) min = max - 1e6;
    return (long)min + (long)random_below(state, (size_t)((long)max - (long)min) + 1);
}

// Texts that are easily taken for something else on the way.
static const char *const TEXTS[] = {
    "plain",
    "two words",
    "unknown",
    "?",
    "null",
    "~",
    "1e3",
    "- item",
    "key: value",
    "a=b, c=d",
    "# not a",
    "\"quoted\"",
    "it's",
    "back\\slash",
    "tab\tx",
    "line\nbreak",
    "Üben größer",
    "𝛑 ± 1",
    "true",
    " spaced ",
    "{",
    "0",
    "-",
    ("\xEF\xBB\xBF"
     "mark"),
    "…",
    "nan",
    "14 mm at 3 m/min",
};

static bool draw(struct random_how *how, const struct bw_record *record, void *out, int depth);

static void *random_inner(struct random_how *how, const struct bw_record *record, size_t n,
                          int depth) {
    char *items = bw_arena_array(how->arena, n, record->size);
    for (size_t i = 0; items != NULL && i < n; i++)
        if (!draw(how, record, items + i * record->size, depth + 1)) return NULL;
    return items;
}

static bool random_list(struct random_how *how, const struct bw_field *field, struct bw_list *out,
                        int depth) {
    size_t max = bw_field_count_max(field);
    if (max > how->items) max = how->items;
    size_t n = 1 + random_below(&how->state, max == 0 ? 1 : max);
    *out = (struct bw_list){.items = random_inner(how, field->of, n, depth), .n = n};
    return out->items != NULL;
}

static bool random_oneof(struct random_how *how, const struct bw_field *field, struct bw_oneof *out,
                         int depth) {
    const struct bw_choice_record *variants = field->of;
    size_t which = random_below(&how->state, options(field));
    *out = (struct bw_oneof){.which = (int)which,
                             .item = random_inner(how, variants[which].record, 1, depth)};
    return out->item != NULL;
}

static bool random_file(struct random_how *how, const struct bw_file_kind *kind,
                        struct bw_file *out, int depth) {
    *out = (struct bw_file){.name = "inline"};
    if (kind->record == NULL) {
        out->content = "bytes";
        out->size = 5;
        return true;
    }
    out->content = random_inner(how, kind->record, 1, depth);
    return out->content != NULL;
}

bool random_load(void *door, const struct bw_file_kind *kind, const char *name, struct bw_file *out,
                 struct bw_binding *binding, struct bw_err *err) {
    (void)door;
    if (kind->record != NULL) {
        bw_err_mend(err, "give the %s itself", kind->name);
        return bw_fail(err, BW_REFUSED, "a file cannot be named here");
    }
    *out = (struct bw_file){
        .name = bw_arena_text(binding->arena, name, strlen(name)), .content = "bytes", .size = 5};
    return out->name != NULL;
}

static bool random_field(struct random_how *how, const struct bw_field *field, void *at,
                         int depth) {
    switch (field->kind) {
    case BW_QUANTITY: *(struct bw_quantity *)at = random_quantity(&how->state, field); return true;
    case BW_COUNT: *(long *)at = random_count(&how->state, field); return true;
    case BW_CHOICE: *(int *)at = (int)random_below(&how->state, options(field)); return true;
    case BW_TEXT:
        *(const char **)at = TEXTS[random_below(&how->state, sizeof TEXTS / sizeof *TEXTS)];
        return true;
    case BW_FILE: return random_file(how, field->of, at, depth);
    case BW_RECORD:
        *(void **)at = random_inner(how, field->of, 1, depth);
        return *(void **)at != NULL;
    case BW_LIST: return random_list(how, field, at, depth);
    case BW_ONEOF: return random_oneof(how, field, at, depth);
    }
    return false;
}

static bool wanted(struct random_how *how, const struct bw_field *field, int depth) {
    if (field->required || field->fallback != NULL) return true;
    if (depth > 6) return false;
    if (field->kind == BW_FILE && !how->raw_files &&
        ((const struct bw_file_kind *)field->of)->record == NULL)
        return false;
    return random_share(&how->state) < how->given;
}

static bool draw_fields(struct random_how *how, const struct bw_record *record, void *out,
                        int depth) {
    bw_record_clear(record, out);
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        if (wanted(how, field, depth) && !random_field(how, field, bw_field_at(field, out), depth))
            return false;
    return true;
}

// A rule may forbid what was asked for, such as everything at once: then any share will do.
static bool draw(struct random_how *how, const struct bw_record *record, void *out, int depth) {
    const double asked = how->given;
    bool drawn = false;
    for (int attempt = 0; attempt < 200 && !drawn; attempt++) {
        const char *field = NULL;
        if (attempt >= 20) how->given = random_share(&how->state);
        drawn = draw_fields(how, record, out, depth) &&
                (record->check == NULL || record->check(out, &field) == NULL);
    }
    how->given = asked;
    return drawn;
}

bool random_record(struct random_how *how, const struct bw_record *record, void *out) {
    return draw(how, record, out, 0);
}

// ---- the same ----

static bool close(double a, double b) {
    if (isnan(a) || isnan(b)) return isnan(a) && isnan(b);
    return fabs(a - b) <= 1e-11 * fmax(fabs(a), fabs(b));
}

static bool same_quantity(const struct bw_field *field, const struct bw_quantity *a,
                          const struct bw_quantity *b) {
    // 12 digits of a temperature are 12 digits of degrees: beside the offset to kelvin, not of the
    // sum.
    double slack = field->dim == BW_DIM_TEMPERATURE ? 1e-9 : 0;
    bool value = close(a->v, b->v) || fabs(a->v - b->v) <= slack;
    return value && close(a->sd, b->sd) && (!bw_known(*a) || a->way == b->way);
}

static bool same_text(const char *a, const char *b) {
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

static bool same_inner(const struct bw_record *record, const void *a, const void *b, char *path) {
    if (a == NULL || b == NULL) return a == b;
    return same_record(record, a, b, path);
}

static bool same_list(const struct bw_record *record, const struct bw_list *a,
                      const struct bw_list *b, char *path) {
    if (a->n != b->n) return false;
    for (size_t i = 0; i < a->n; i++)
        if (!same_record(record, (const char *)a->items + i * record->size,
                         (const char *)b->items + i * record->size, path))
            return false;
    return true;
}

static bool same_oneof(const struct bw_field *field, const struct bw_oneof *a,
                       const struct bw_oneof *b, char *path) {
    const struct bw_choice_record *variants = field->of;
    if (a->which != b->which) return false;
    return a->which < 0 || same_record(variants[a->which].record, a->item, b->item, path);
}

static bool same_file(const struct bw_file_kind *kind, const struct bw_file *a,
                      const struct bw_file *b, char *path) {
    if ((a->name == NULL) != (b->name == NULL) || a->size != b->size) return false;
    if (kind->record != NULL) return same_inner(kind->record, a->content, b->content, path);
    return same_text(a->name, b->name) &&
           (a->size == 0 || memcmp(a->content, b->content, a->size) == 0);
}

static bool same_field(const struct bw_field *field, const void *a, const void *b, char *path) {
    switch (field->kind) {
    case BW_QUANTITY: return same_quantity(field, a, b);
    case BW_COUNT: return *(const long *)a == *(const long *)b;
    case BW_CHOICE: return *(const int *)a == *(const int *)b;
    case BW_TEXT: return same_text(*(const char *const *)a, *(const char *const *)b);
    case BW_FILE: return same_file(field->of, a, b, path);
    case BW_RECORD:
        return same_inner(field->of, *(const void *const *)a, *(const void *const *)b, path);
    case BW_LIST: return same_list(field->of, a, b, path);
    case BW_ONEOF: return same_oneof(field, a, b, path);
    }
    return false;
}

bool same_record(const struct bw_record *record, const void *a, const void *b, char path[160]) {
    for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
        path[0] = '\0';
        if (same_field(field, bw_field_in(field, a), bw_field_in(field, b), path)) continue;
        char inner[160];
        memcpy(inner, path, sizeof inner);
        (void)snprintf(path, 160, "%s%s%.120s", field->name, inner[0] == '\0' ? "" : ".", inner);
        return false;
    }
    return true;
}
