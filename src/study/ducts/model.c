// model.c - see model.h: from the file's lines to edges, nodes and items, and what cannot be.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/ducts/model.h"

#include "numeric/moist_air.h"
#include "study/ducts/sketch.h"
#include "trade/hood.h"

#include <math.h>
#include <string.h>
#include <strings.h>

static double area_of(double diameter) { return M_PI / 4 * diameter * diameter; }

// --- points and lines --------------------------------------------------------------------------

static int node_of(struct ducts_model *m, const char *name) {
    for (int i = 0; i < m->n_nodes; i++)
        if (strcasecmp(m->nodes[i], name) == 0) return i;
    m->nodes[m->n_nodes] = name;
    return m->n_nodes++;
}

int ducts_run_find(const struct ducts_model *m, const char *name) {
    for (int i = 0; i < m->n_runs; i++)
        if (strcasecmp(m->runs[i].name, name) == 0) return i;
    return -1;
}

static bool blame(struct bw_err *err, const char *name, const char *what, const char *mend) {
    bw_fail(err, BW_INPUT, "%s", what);
    bw_err_value(err, name);
    bw_err_mend(err, "%s", mend);
    return false;
}

// --- parts -------------------------------------------------------------------------------------

// Relative standard deviations of losses: authors of fitting tables differ by a quarter, of conical
// ones by a half; hose by how it lies (common practice).
static const double SPREAD[] = {
    [DUCTS_HOOD] = 0.20,   [DUCTS_STRAIGHT] = 0.08, [DUCTS_FLEX] = 0.35, [DUCTS_ELBOW] = 0.25,
    [DUCTS_GATE] = 0.30,   [DUCTS_REDUCER] = 0.50,  [DUCTS_LOSS] = 0.25, [DUCTS_SEPARATOR] = 0.20,
    [DUCTS_FILTER] = 0.20, [DUCTS_FAN] = 0,         [DUCTS_EXIT] = 0.05};
static const double FILTER_SCALE[] = {
    [FILTER_CLEAN] = 0.6, [FILTER_SEASONED] = 1, [FILTER_BLINDED] = 2};

static bool hood(struct ducts_model *m, const struct ducts_hood *given, struct ducts_item *item,
                 struct bw_err *err) {
    item->factor = given->loss.v;
    if (bw_known(given->loss)) return true;
    const struct bw_hood *row;
    if (!bw_hood_find(m->arena, given->entry, &row, err)) return false;
    item->factor = row->loss.v;
    return true;
}

static void duct(const struct ducts_straight *straight, struct ducts_item *item) {
    item->law = LAW_FRICTION;
    item->length = straight->length.v;
    item->roughness = straight->roughness.v;
}

// Compressed hose: four times the loss at a moderate 15 %, near ten times at 45 % (measured by two
// laboratories, which differ); between them 1 + 20 c.
static void hose(const struct ducts_flex *flex, struct ducts_item *item) {
    item->law = LAW_FRICTION;
    item->length = flex->length.v * (1 + 20 * flex->compressed.v);
    item->pulled = flex->length.v;
    item->roughness = flex->roughness.v;
    item->spread = hypot(item->spread, 0.5 * fmin(10 * flex->compressed.v, 1));
}

static void reducer(const struct ducts_reducer *change, struct ducts_item *item, double *diameter) {
    double to = change->to.v, smaller = fmin(*diameter, to);
    item->factor = to > *diameter ? bw_expansion_loss(*diameter, to, change->angle.v)
                                  : bw_contraction_loss(*diameter, to, change->angle.v);
    item->diameter = smaller;
    item->area = area_of(smaller);
    *diameter = to;
}

static void filter(const struct ducts_filter *given, struct ducts_item *item) {
    item->law = LAW_LINEAR;
    item->factor = given->pressure.v / given->at.v;
    item->scale = FILTER_SCALE[given->state];
}

// Fritsch and Carlson (1980): slopes that keep a cubic through points from overshooting.
static bool curve_points(struct ducts_model *m, const struct ducts_fan *fan,
                         struct ducts_curve *curve) {
    int n = (int)fan->points.n;
    double *x = bw_arena_array(m->arena, 3 * (size_t)n + 1, sizeof *x);
    if (x == NULL) return false;
    double *y = x + n, *d = y + n;
    for (int i = 0; i < n; i++) {
        const struct ducts_point *point = (const struct ducts_point *)fan->points.items + i;
        x[i] = point->flow.v;
        y[i] = point->pressure.v;
    }
    for (int i = 0; i < n; i++) {
        double before = i > 0 ? (y[i] - y[i - 1]) / (x[i] - x[i - 1]) : BW_NAN;
        double after = i + 1 < n ? (y[i + 1] - y[i]) / (x[i + 1] - x[i]) : BW_NAN;
        if (i == 0)
            d[i] = after;
        else if (i + 1 == n)
            d[i] = before;
        else
            d[i] = before * after <= 0 ? 0 : 2 * before * after / (before + after);
    }
    *curve = (struct ducts_curve){.n = n, .flow = x, .pressure = y, .slope = d};
    return true;
}

static bool fan_item(struct ducts_model *m, const struct ducts_fan *fan, int index) {
    struct ducts_curve *curve = &m->curves[index];
    m->fans[index] = fan;
    m->items[index].law = LAW_FAN;
    if (fan->points.n > 0 && !curve_points(m, fan, curve)) return false;
    if (fan->points.n == 0)
        *curve = (struct ducts_curve){.most_flow = fan->most_flow.v,
                                      .most_pressure = fan->most_pressure.v};
    curve->speed = bw_known(fan->speed) ? fan->speed.v / fan->curve_speed.v : 1;
    curve->density = m->density / fan->curve_density.v;
    return true;
}

static bool gate(struct ducts_model *m, struct ducts_run *run, const struct ducts_gate *given,
                 struct bw_err *err) {
    if (run->gate >= 0)
        return blame(err, run->name, "a line has two gates",
                     "leave one out, or break the line in two at a point between them");
    run->gate = m->n_items - 1;
    run->leak = given->leak.v;
    ducts_gate_set(m, (int)(run - m->runs), given->open.v);
    return true;
}

static bool add_part(struct ducts_model *m, struct ducts_run *run, const struct ducts_part *part,
                     double *diameter, struct bw_err *err) {
    int index = m->n_items++;
    struct ducts_item *item = &m->items[index];
    enum ducts_kind kind = ducts_part_kind(part);
    const void *given = part->by[kind];
    *item = (struct ducts_item){.law = LAW_FACTOR,
                                .kind = kind,
                                .diameter = *diameter,
                                .area = area_of(*diameter),
                                .spread = SPREAD[kind],
                                .scale = 1};
    if (kind == DUCTS_HOOD) return hood(m, given, item, err);
    if (kind == DUCTS_GATE) return gate(m, run, given, err);
    if (kind == DUCTS_FAN) return fan_item(m, given, index) || bw_fail_memory(err);
    if (kind == DUCTS_STRAIGHT) {
        duct(given, item);
    } else if (kind == DUCTS_FLEX) {
        hose(given, item);
    } else if (kind == DUCTS_REDUCER) {
        reducer(given, item, diameter);
    } else if (kind == DUCTS_FILTER) {
        filter(given, item);
        run->filter = index;
    } else if (kind == DUCTS_ELBOW) {
        const struct ducts_elbow *elbow = given;
        item->factor = (double)elbow->times *
                       bw_elbow_loss(&m->fittings, elbow->angle.v, elbow->radius.v, elbow->pieces);
    } else {  // loss, separator, exit
        item->factor = ((const struct ducts_loss *)given)->factor.v;
    }
    return true;
}

static bool add_line(struct ducts_model *m, const struct ducts_line *line, struct bw_err *err) {
    if (ducts_run_find(m, line->name) >= 0)
        return blame(err, line->name, "two lines have this name", "give each line its own name");
    struct ducts_run *run = &m->runs[m->n_runs++];
    *run = (struct ducts_run){.name = line->name,
                              .line = line,
                              .from = node_of(m, line->from),
                              .to = node_of(m, line->to),
                              .first = m->n_items,
                              .gate = -1,
                              .filter = -1,
                              .wye = -1,
                              .open = 1,
                              .minimum = line->minimum.v,
                              .diameter = line->diameter.v,
                              .sized = line->sized};
    if (run->from == run->to)
        return blame(err, line->name, "this line ends where it begins", "name two points");
    double diameter = line->diameter.v;
    for (size_t i = 0; i < line->parts.n; i++) {
        const struct ducts_part *part = (const struct ducts_part *)line->parts.items + i;
        if (add_part(m, run, part, &diameter, err)) continue;
        bw_err_within_index(err, "parts", i);
        return false;
    }
    run->n = m->n_items - run->first;
    if (run->gate >= 0) m->gates[m->n_gates++] = m->n_runs - 1;
    return true;
}

void ducts_gate_set(struct ducts_model *m, int index, double open) {
    struct ducts_run *run = &m->runs[index];
    run->open = open;
    m->items[run->gate].factor = bw_gate_loss(&m->fittings, fmax(open, run->leak));
}

// --- junctions ---------------------------------------------------------------------------------

static double end_area(const struct ducts_run *run) {
    double diameter = run->line->diameter.v;
    for (size_t i = 0; i < run->line->parts.n; i++) {
        const struct ducts_part *part = (const struct ducts_part *)run->line->parts.items + i;
        const struct ducts_reducer *change = part->by[DUCTS_REDUCER];
        if (change != NULL) diameter = change->to.v;
    }
    return area_of(diameter);
}

static bool add_junction(struct ducts_model *m, const struct ducts_junction *junction,
                         struct bw_err *err) {
    int main = ducts_run_find(m, junction->main), branch = ducts_run_find(m, junction->branch);
    if (main < 0 || branch < 0)
        return blame(err, main < 0 ? junction->main : junction->branch,
                     "the junction names a line that is not there", "use a line's name");
    int node = m->runs[main].to, out = -1, begin = 0;
    if (m->runs[branch].to != node || strcasecmp(m->nodes[node], junction->at) != 0)
        return blame(err, junction->at, "its two lines do not both end at this point",
                     "both must go to the point the junction is at");
    for (int i = 0; i < m->n_runs; i++) {
        if (m->runs[i].from != node) continue;
        out = i;
        begin++;
    }
    if (begin != 1)
        return blame(err, junction->at, "no single line leads on from this junction",
                     "just one line must begin at this point");
    if (main == branch || m->runs[main].wye >= 0 || m->runs[branch].wye >= 0)
        return blame(err, junction->at, "a line enters two junctions at its end",
                     "give each junction its own point and two lines");
    double area = area_of(m->runs[out].line->diameter.v);
    m->wyes[m->n_wyes] =
        (struct ducts_wye){.main = main,
                           .branch = branch,
                           .out = out,
                           .area_ratio = fmin(end_area(&m->runs[branch]) / area, 1),
                           .angle = junction->angle.v,
                           .pressure = m->density / (2 * area * area)};
    m->runs[main].wye = m->runs[branch].wye = m->n_wyes++;
    return true;
}

// --- what cannot be ----------------------------------------------------------------------------

static bool has_fan(const struct ducts_model *m, const struct ducts_run *run) {
    for (int i = run->first; i < run->first + run->n; i++)
        if (m->items[i].law == LAW_FAN) return true;
    return false;
}

static bool check_ends(struct ducts_model *m, struct bw_err *err) {
    int *ends = bw_arena_array(m->arena, (size_t)m->n_nodes, sizeof *ends);
    if (ends == NULL) return bw_fail_memory(err);
    for (int i = 0; i < m->n_runs; i++) {
        ends[m->runs[i].from]++;
        ends[m->runs[i].to]++;
    }
    for (int i = 2; i < m->n_nodes; i++)
        if (ends[i] == 1)
            return blame(err, m->nodes[i], "only one line ends at this point: air cannot go on",
                         "a misspelt name? room and outdoors are open air");
    return true;
}

static bool meet(const struct ducts_run *a, const struct ducts_run *b) {
    return (a->to > 1 && (a->to == b->to || a->to == b->from)) ||
           (a->from > 1 && (a->from == b->to || a->from == b->from));
}

// Numbers the groups of lines that meet at points other than open air, handing the smallest on.
static void number_groups(const struct ducts_model *m, int *group) {
    for (int i = 0; i < m->n_runs; i++) group[i] = i;
    for (bool changed = true; changed;) {
        changed = false;
        for (int i = 0; i < m->n_runs; i++)
            for (int k = 0; k < m->n_runs; k++) {
                if (group[k] <= group[i] || !meet(&m->runs[i], &m->runs[k])) continue;
                group[k] = group[i];
                changed = true;
            }
    }
}

// Each line must hang on a fan and on open air.
static bool check_paths(struct ducts_model *m, struct bw_err *err) {
    int *group = bw_arena_array(m->arena, (size_t)m->n_runs, sizeof *group);
    if (group == NULL) return bw_fail_memory(err);
    number_groups(m, group);
    for (int i = 0; i < m->n_runs; i++) {
        bool fan = false, open = false;
        for (int k = 0; k < m->n_runs; k++) {
            if (group[k] != group[i]) continue;
            fan = fan || has_fan(m, &m->runs[k]);
            open = open || m->runs[k].from < 2 || m->runs[k].to < 2;
        }
        if (!fan)
            return blame(err, m->runs[i].name, "no path leads from this line to a fan",
                         "a misspelt point? every line must hang on one system with a fan");
        if (!open)
            return blame(err, m->runs[i].name, "no path leads from this line to open air",
                         "some line must begin in the room and one end outdoors or in the room");
    }
    return true;
}

// --- opening -----------------------------------------------------------------------------------

static bool reserve(struct ducts_model *m, size_t given, size_t parts, size_t junctions) {
    size_t holes = m->file->leaks.n + 2 * given + 2, lines = given + holes;
    parts += holes;
    m->runs = bw_arena_array(m->arena, lines + 1, sizeof *m->runs);
    m->items = bw_arena_array(m->arena, parts + 1, sizeof *m->items);
    m->curves = bw_arena_array(m->arena, parts + 1, sizeof *m->curves);
    m->fans = bw_arena_array(m->arena, parts + 1, sizeof *m->fans);
    m->nodes = bw_arena_array(m->arena, 2 * lines + 2, sizeof *m->nodes);
    m->gates = bw_arena_array(m->arena, lines + 1, sizeof *m->gates);
    m->wyes = bw_arena_array(m->arena, junctions + 1, sizeof *m->wyes);
    m->flow = bw_arena_array(m->arena, lines + 1, sizeof *m->flow);
    m->pressure = bw_arena_array(m->arena, 2 * lines + 2, sizeof *m->pressure);
    return !bw_arena_failed(m->arena);
}

// Sharp-edged: air contracts to 0.61 of the hole, and that velocity is lost (from memory).
#define HOLE_LOSS 2.69

static bool add_hole(struct ducts_model *m, int node, double diameter, struct bw_err *err) {
    const char *name = bw_arena_format(m->arena, "hole at %s", m->nodes[node]);
    struct ducts_line *line = bw_arena_get(m->arena, sizeof *line);
    if (name == NULL || line == NULL) return bw_fail_memory(err);
    line->diameter = bw_exactly(diameter);
    m->runs[m->n_runs++] = (struct ducts_run){.name = name,
                                              .line = line,
                                              .from = DUCTS_ROOM,
                                              .to = node,
                                              .first = m->n_items,
                                              .n = 1,
                                              .gate = -1,
                                              .filter = -1,
                                              .wye = -1,
                                              .open = 1,
                                              .minimum = BW_NAN,
                                              .diameter = diameter,
                                              .hole = true};
    m->items[m->n_items++] = (struct ducts_item){.law = LAW_FACTOR,
                                                 .kind = DUCTS_LOSS,
                                                 .diameter = diameter,
                                                 .area = area_of(diameter),
                                                 .factor = HOLE_LOSS,
                                                 .scale = 1};
    return true;
}

static bool add_leaks(struct ducts_model *m, bool everywhere, struct bw_err *err) {
    for (size_t i = 0; i < m->file->leaks.n; i++) {
        const struct ducts_leak *leak = (const struct ducts_leak *)m->file->leaks.items + i;
        int run = ducts_run_find(m, leak->at), node = run < 0 ? -1 : m->runs[run].to;
        for (int k = 2; k < m->n_nodes && run < 0; k++)
            if (strcasecmp(m->nodes[k], leak->at) == 0) node = k;
        if (node < 2) {
            blame(err, leak->at, "a hole must be at a line that ends inside the system, or a point",
                  "use a line's name, or a point's");
            bw_err_within_index(err, "leaks", i);
            return false;
        }
        if (!add_hole(m, node, leak->hole.v, err)) return false;
    }
    for (int node = 2; everywhere && node < m->n_nodes; node++)
        if (!add_hole(m, node, DUCTS_PINHOLE, err)) return false;
    return true;
}

static bool build_network(struct ducts_model *m, struct bw_err *err) {
    struct bw_network_edge *edges = bw_arena_array(m->arena, (size_t)m->n_runs + 1, sizeof *edges);
    double *fixed = bw_arena_array(m->arena, (size_t)m->n_nodes + 1, sizeof *fixed);
    if (edges == NULL || fixed == NULL) return bw_fail_memory(err);
    for (int i = 0; i < m->n_nodes; i++) fixed[i] = i < 2 ? 0 : BW_NAN;
    for (int i = 0; i < m->n_runs; i++) {
        const struct ducts_run *run = &m->runs[i];
        edges[i] =
            (struct bw_network_edge){run->from, run->to, run->wye < 0 ? -1 : m->wyes[run->wye].out};
    }
    m->network = (struct bw_network){.n_nodes = m->n_nodes,
                                     .n_edges = m->n_runs,
                                     .edges = edges,
                                     .fixed = fixed,
                                     .loss = ducts_line_loss,
                                     .with = m};
    return bw_network_new(&m->network, &m->solver, err);
}

// Where to start: some 15 m/s in every line, no pressures.
static void rest(struct ducts_model *m) {
    for (int i = 0; i < m->n_runs; i++)
        m->flow[i] = 15 * area_of(m->runs[i].diameter) * fmax(m->runs[i].open, 0.05);
    for (int i = 0; i < m->n_nodes; i++) m->pressure[i] = 0;
}

static bool add_all(struct ducts_model *m, struct bw_list lines, struct bw_list junctions,
                    struct bw_err *err) {
    for (size_t i = 0; i < lines.n; i++) {
        if (add_line(m, (const struct ducts_line *)lines.items + i, err)) continue;
        bw_err_within_index(err, "lines", i);
        return false;
    }
    for (size_t i = 0; i < junctions.n; i++) {
        if (add_junction(m, (const struct ducts_junction *)junctions.items + i, err)) continue;
        bw_err_within_index(err, "junctions", i);
        return false;
    }
    return true;
}

bool ducts_model_open(struct bw_arena *arena, const struct ducts_file *file, bool holes,
                      struct ducts_model *m, struct bw_err *err) {
    *m = (struct ducts_model){.arena = arena, .file = file};
    struct bw_list lines = file->lines, junctions = file->junctions;
    if (file->branches.n > 0 && !ducts_sketch(arena, file, &lines, &junctions))
        return bw_fail_memory(err);
    if (!ducts_size_lines(arena, file, &lines, err)) return false;
    m->fan_sized = file->branches.n > 0 && file->fan == NULL;
    struct bw_moist_air air =
        bw_air_of_ratio(file->temperature.v, 0.005, bw_air_standard_pressure(file->altitude.v));
    m->density = bw_known(file->density) ? file->density.v : air.density;
    m->viscosity = bw_air_viscosity(air.temperature);
    size_t parts = 0;
    for (size_t i = 0; i < lines.n; i++)
        parts += ((const struct ducts_line *)lines.items + i)->parts.n;
    if (!bw_fittings_load(arena, &m->fittings, err)) return false;
    if (!reserve(m, lines.n, parts, junctions.n)) return bw_fail_memory(err);
    (void)node_of(m, "room");
    (void)node_of(m, "outdoors");
    if (!add_all(m, lines, junctions, err) || !check_ends(m, err) || !check_paths(m, err) ||
        !add_leaks(m, holes, err) || !build_network(m, err))
        return false;
    rest(m);
    return true;
}

void ducts_model_close(struct ducts_model *m) {
    bw_network_free(m->solver);
    m->solver = NULL;
}

bool ducts_solve(struct ducts_model *m, struct bw_err *err) {
    struct bw_err first = {.code = BW_OK};
    if (bw_network_solve(m->solver, m->flow, m->pressure, &m->evidence, &first)) return true;
    if (first.code == BW_MEMORY) return bw_fail_memory(err);
    rest(m);
    return bw_network_solve(m->solver, m->flow, m->pressure, &m->evidence, err);
}
