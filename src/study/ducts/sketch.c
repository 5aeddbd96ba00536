// sketch.c - see sketch.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/ducts/sketch.h"

#include <math.h>

struct sketch {
    struct bw_arena *arena;
    struct ducts_line *lines;
    size_t n;
};

// A part with all its fields not given but those the caller then sets.
static void *part(struct sketch *s, struct ducts_line *line, enum ducts_kind kind) {
    const struct bw_record *record = ducts_part_kinds[kind].record;
    void *item = bw_arena_get(s->arena, record->size);
    if (item == NULL) return NULL;
    bw_record_clear(record, item);
    struct ducts_part *parts = line->parts.items;
    parts[line->parts.n++].by[kind] = item;
    return item;
}

static struct ducts_line *line_of(struct sketch *s, struct ducts_line line) {
    struct ducts_line *made = &s->lines[s->n++];
    *made = line;
    made->parts = (struct bw_list){bw_arena_array(s->arena, 8, sizeof(struct ducts_part)), 0};
    return made->parts.items == NULL ? NULL : made;
}

static bool straight(struct sketch *s, struct ducts_line *to, double length) {
    struct ducts_straight *duct = part(s, to, DUCTS_STRAIGHT);
    if (duct == NULL) return false;
    *duct = (struct ducts_straight){bw_exactly(length), bw_exactly(0.00015)};
    return true;
}

static bool branch(struct sketch *s, const struct ducts_branch *b, const char *to) {
    struct ducts_line *made = line_of(s, (struct ducts_line){.name = b->name,
                                                             .from = "room",
                                                             .to = to,
                                                             .diameter = b->diameter,
                                                             .minimum = b->minimum});
    if (made == NULL) return false;
    struct ducts_hood *hood = part(s, made, DUCTS_HOOD);
    if (hood == NULL) return false;
    hood->entry = "flanged";
    if (b->flex.v > 0) {
        struct ducts_flex *flex = part(s, made, DUCTS_FLEX);
        if (flex == NULL) return false;
        *flex = (struct ducts_flex){b->flex, bw_exactly(0.0015), bw_exactly(0)};
    }
    if (!straight(s, made, b->length.v)) return false;
    if (b->elbows > 0) {
        struct ducts_elbow *elbow = part(s, made, DUCTS_ELBOW);
        if (elbow == NULL) return false;
        *elbow = (struct ducts_elbow){bw_exactly(M_PI / 2), bw_exactly(1.5), 5, b->elbows};
    }
    if (b->gate == 1) {
        struct ducts_gate *gate = part(s, made, DUCTS_GATE);
        if (gate == NULL) return false;
        *gate = (struct ducts_gate){bw_exactly(1), bw_exactly(0.03)};
    }
    return true;
}

static bool collector(struct sketch *s, const struct ducts_file *file, const char *from,
                      struct bw_quantity diameter) {
    struct ducts_line *made = line_of(s, (struct ducts_line){.name = "collector",
                                                             .from = from,
                                                             .to = "outdoors",
                                                             .diameter = diameter,
                                                             .minimum = BW_UNKNOWN});
    if (made == NULL) return false;
    if (file->filter != NULL) {
        struct ducts_filter *filter = part(s, made, DUCTS_FILTER);
        if (filter == NULL) return false;
        *filter = *file->filter;
    }
    struct ducts_fan *fan = part(s, made, DUCTS_FAN);
    struct ducts_loss *out = part(s, made, DUCTS_EXIT);
    if (fan == NULL || out == NULL) return false;
    if (file->fan != NULL)
        *fan = *file->fan;
    else  // worked out once the ducts are known
        *fan = (struct ducts_fan){.most_flow = bw_exactly(1),
                                  .most_pressure = bw_exactly(1000),
                                  .motor = BW_UNKNOWN,
                                  .speed = BW_UNKNOWN,
                                  .curve_speed = BW_UNKNOWN,
                                  .curve_density = bw_exactly(1.2),
                                  .efficiency = bw_exactly(0.55)};
    out->factor = bw_exactly(1);
    return true;
}

bool ducts_sketch(struct bw_arena *arena, const struct ducts_file *file, struct bw_list *lines,
                  struct bw_list *junctions) {
    size_t n = file->branches.n;
    const struct ducts_branch *branches = file->branches.items;
    struct sketch s = {arena, bw_arena_array(arena, 2 * n + 1, sizeof(struct ducts_line)), 0};
    struct ducts_junction *wyes = bw_arena_array(arena, n + 1, sizeof *wyes);
    if (s.lines == NULL || wyes == NULL) return false;
    const char *at = "point 1", *trunk = NULL;
    size_t n_wyes = 0;
    // Two lines that just meet need no point of their own, but a fitting does.
    for (size_t i = 0; i < n; i++) {
        const struct ducts_branch *b = &branches[i];
        const char *next = bw_arena_format(arena, "point %zu", i + 2);
        const char *name = bw_arena_format(arena, "trunk after %s", b->name);
        if (next == NULL || name == NULL || !branch(&s, b, at)) return false;
        if (trunk != NULL)
            wyes[n_wyes++] = (struct ducts_junction){at, trunk, b->name, bw_exactly(M_PI / 6)};
        struct ducts_line *made = line_of(
            &s,
            (struct ducts_line){
                .name = name, .from = at, .to = next, .diameter = b->trunk, .minimum = BW_UNKNOWN});
        if (made == NULL || !straight(&s, made, b->run.v)) return false;
        trunk = name;
        at = next;
    }
    if (!collector(&s, file, at, branches[n - 1].trunk)) return false;
    *lines = (struct bw_list){s.lines, s.n};
    *junctions = (struct bw_list){wyes, n_wyes};
    return true;
}
