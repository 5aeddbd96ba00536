// bearing.c - see bearing.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Kinematics of a bearing that rolls without slip, r = (d / D) cos phi. With the inner ring turning
// once, its raceway (diameter D - d cos phi) drags the elements; the cage goes at the mean of the
// two raceway speeds:
//     FTF  = (1 - r) / 2
//     BPFO = n FTF       = n (1 - r) / 2
//     BPFI = n (1 - FTF) = n (1 + r) / 2
//     BSF  = D / (2 d) (1 - r^2)
// With the outer ring turning round a fixed shaft the cage goes FTF = (1 + r) / 2, but what passes
// a race counts the cage against that race: BPFO = n (1 - FTF) and BPFI = n FTF, which are the same
// n (1 - r) / 2 and n (1 + r) / 2 as before.
//
// TRAP: public pages are found that swap the signs (1 + r for the outer race, 1 - r for the inner).
// They are wrong: the outer raceway is the longer one, so elements pass each of its points less
// often than half n per turn. BPFO < BPFI always, and BPFO + BPFI = n.
#include "trade/bearing.h"

#include "base/bind.h"

#include <assert.h>
#include <math.h>
#include <string.h>
#include <strings.h>

#define PI 3.14159265358979323846

// The geometry's fields, for the table's rows and for geometries written out.
#define GEOMETRY_FIELDS(type, member)                                                              \
    {.name = "count", .offset = offsetof(type, member elements), .kind = BW_COUNT, .min = 3,       \
     .max = 100, .required = true, .lead = "", .help = "balls or rollers in one row"},             \
    {.name = "diameter", .offset = offsetof(type, member element_diameter), .kind = BW_QUANTITY,   \
     .dim = BW_DIM_LENGTH, .min = 5e-4, .max = 0.2, .required = true, .lead = "of",                \
     .help = "diameter of one ball or roller"},                                                    \
    {.name = "pitch_circle", .offset = offsetof(type, member pitch_diameter), .kind = BW_QUANTITY, \
     .dim = BW_DIM_LENGTH, .min = 2e-3, .max = 2, .required = true, .lead = "on",                  \
     .help = "diameter of the circle through their centres"},                                      \
    {.name = "angle", .offset = offsetof(type, member contact_angle), .kind = BW_QUANTITY,         \
     .dim = BW_DIM_ANGLE, .min = 0, .max = 1.4, .lead = "at", .fallback = "0 deg",                 \
     .help = "contact angle, 0 for deep-groove bearings"}

static const char *check_geometry(const void *record, const char **field) {
    return bw_bearing_check(record, field);
}

static const char *check_row(const void *record, const char **field) {
    const struct bw_bearing *bearing = record;
    return bw_bearing_check(&bearing->geometry, field);
}

static const struct bw_field GEOMETRY_FIELDS_ALONE[] = {
    GEOMETRY_FIELDS(struct bw_bearing_geometry, ),
    BW_END_FIELDS,
};
static const struct bw_record GEOMETRY = {
    .name = "bearing_geometry", .help = "a bearing's inner geometry",
    .fields = GEOMETRY_FIELDS_ALONE, .size = sizeof(struct bw_bearing_geometry),
    .check = check_geometry};

static const struct bw_field FIELDS[] = {
    {.name = "bearing", .offset = offsetof(struct bw_bearing, name), .kind = BW_TEXT,
     .required = true, .help = "designation without seals and clearance"},
    GEOMETRY_FIELDS(struct bw_bearing, geometry.),
    BW_TRADE_ORIGIN(struct bw_bearing, origin),
    BW_END_FIELDS,
};
static const struct bw_record RECORD = {
    .name = "bearing", .help = "a rolling bearing's inner geometry", .fields = FIELDS,
    .size = sizeof(struct bw_bearing), .check = check_row};

const struct bw_trade_carried bw_bearings_carried = {"bearings", &RECORD, NULL};

const char *bw_bearing_check(const struct bw_bearing_geometry *geometry, const char **field) {
    double d = geometry->element_diameter.v, D = geometry->pitch_diameter.v;
    *field = "diameter";
    if (d >= D) return "the elements are thicker than their pitch circle";
    // Neighbours touch where the chord between their centres is d.
    if (d > D * sin(PI / (double)geometry->elements))
        return "so many elements of that diameter do not fit on the pitch circle";
    return NULL;
}

bool bw_bearings_load(struct bw_arena *arena, struct bw_bearings *out, struct bw_err *err) {
    struct bw_list rows;
    if (!bw_trade_table_load(arena, &bw_bearings_carried, &rows, err)) return false;
    *out = (struct bw_bearings){.items = rows.items, .n = rows.n};
    return true;
}

// A designation may go on after its digits with seals, cage and clearance, none of which move the
// balls.
static const struct bw_bearing *find(const struct bw_bearings *bearings, const char *text) {
    for (size_t i = 0; i < bearings->n; i++) {
        const char *name = bearings->items[i].name;
        size_t length = strlen(name);
        if (strcasecmp(text, name) == 0) return &bearings->items[i];
        bool digits = strspn(name, "0123456789") == length;
        if (digits && strncmp(text, name, length) == 0 && strspn(text + length, "0123456789") == 0)
            return &bearings->items[i];
    }
    return NULL;
}

// "9 balls of 7.94 mm ..." without the word after the count; NULL: no such word, so no geometry.
static char *without_word(struct bw_arena *arena, const char *text) {
    static const char *const WORDS[] = {"balls", "rollers", "elements"};
    size_t digits = strspn(text, "0123456789"), gap = strspn(text + digits, " ");
    const char *word = text + digits + gap;
    for (size_t i = 0; digits > 0 && i < sizeof WORDS / sizeof *WORDS; i++) {
        size_t length = strlen(WORDS[i]);
        bool ends = strncasecmp(word, WORDS[i], length) == 0 &&
                    (word[length] == ' ' || word[length] == '\0');
        if (ends)
            return bw_arena_format(arena, "%.*s%s", (int)digits, text, word + length);
    }
    return NULL;
}

static bool refuse_name(const char *text, struct bw_err *err) {
    bw_fail(err, BW_NOT_FOUND, "the geometry of this bearing is not known here");
    bw_err_value(err, text);
    bw_err_mend(err,
                "count and measure: \"9 balls of 7.94 mm on 38.5 mm\" (the pitch circle is about "
                "half of bore plus outside diameter); or reckon with 0.4 x balls a turn for the "
                "outer race, 0.6 x balls for the inner, 0.4 for the cage (common practice, no "
                "source)");
    return false;
}

bool bw_bearing_read(struct bw_arena *arena, const struct bw_bearings *bearings, const char *text,
                     size_t length, struct bw_bearing_geometry *out, struct bw_err *err) {
    while (length > 0 && text[0] == ' ') text++, length--;
    while (length > 0 && text[length - 1] == ' ') length--;
    if (length > BW_MAX_PHRASE) return bw_fail(err, BW_LIMIT, "too long for a bearing");
    const char *copy = bw_arena_text(arena, text, length);
    if (copy == NULL) return bw_fail_memory(err);
    const struct bw_bearing *bearing = find(bearings, copy);
    if (bearing != NULL) {
        *out = bearing->geometry;
        return true;
    }
    const char *phrase = without_word(arena, copy);
    if (phrase == NULL) return refuse_name(copy, err);
    struct bw_node *node;
    const struct bw_binding binding = {.arena = arena};
    return bw_phrase_read(arena, &GEOMETRY, phrase, strlen(phrase), &node, err) &&
           bw_bind(&binding, node, &GEOMETRY, out, err);
}

struct bw_bearing_orders bw_bearing_orders(const struct bw_bearing_geometry *geometry,
                                           enum bw_bearing_turning turning) {
    double n = (double)geometry->elements;
    double d = geometry->element_diameter.v, D = geometry->pitch_diameter.v;
    double r = d / D * cos(geometry->contact_angle.v);
    assert(d > 0 && r > 0 && r < 1);
    return (struct bw_bearing_orders){
        .cage = (turning == BW_INNER_TURNS ? 1 - r : 1 + r) / 2,
        .outer_race = n * (1 - r) / 2,
        .inner_race = n * (1 + r) / 2,
        .spin = D / (2 * d) * (1 - r * r),
        .element = D / d * (1 - r * r),
    };
}

struct bw_bearing_orders bw_bearing_rule(long elements) {
    double n = (double)elements;
    return (struct bw_bearing_orders){.cage = 0.4,
                                      .outer_race = 0.4 * n,
                                      .inner_race = 0.6 * n,
                                      .spin = BW_NAN,
                                      .element = BW_NAN};
}
