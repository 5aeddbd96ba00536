// measure.c - see measure.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Order of work, as ISO 21920-2 and 4287 have it: form off, short waves off (primary profile), mean
// line of the cut-off; above it the roughness, the line itself is the waviness (less what is longer
// than the wave limit, if one is given). ISO 13565-1 draws the line for Rk anew after valleys are
// filled up to the first line; ISO 21920-2 takes the plain roughness.
#include "study/trace/measure.h"

#include "base/quantity.h"
#include "numeric/profile_filter.h"
#include "study/trace/record.h"

#include <math.h>
#include <string.h>

// Cut-off, the short cut-off that goes with it, and the Ra up to which it is meant (ISO 4288:1996,
// ISO 3274:1996; from memory). m.
static const struct class {
    double cut_off, short_cut_off, most_ra;
} CLASSES[] = {
    {0.08e-3, 2.5e-6, 0.02e-6}, {0.25e-3, 2.5e-6, 0.1e-6}, {0.8e-3, 2.5e-6, 2e-6},
    {2.5e-3, 8e-6, 10e-6},      {8e-3, 25e-6, 80e-6},
};
#define CLASS_COUNT (sizeof CLASSES / sizeof CLASSES[0])
#define WOOD_CUT_OFF 2.5e-3
#define USUAL_SECTIONS 5

static size_t whole_sections(struct trace_heights h, double cut_off) {
    return (size_t)((double)h.n * h.dx / cut_off * (1 + 1e-9));
}

static bool rough_mean(struct bw_arena *arena, struct trace_heights h, double cut_off, double *ra,
                       struct bw_err *err) {
    double *line = bw_arena_array(arena, h.n, sizeof *line);
    if (line == NULL) return bw_fail_memory(err);
    if (!bw_filter_gaussian(h.z, h.n, cut_off / h.dx, line, err)) return false;
    double sum = 0;
    for (size_t i = 0; i < h.n; i++) sum += fabs(h.z[i] - line[i]);
    *ra = sum / (double)h.n;
    return true;
}

// The least class that the roughness measured with it fits, of those the trace has room for.
static bool class_of(struct bw_arena *arena, struct trace_heights h, double *cut_off,
                     struct trace_note *note, struct bw_err *err) {
    size_t found = CLASS_COUNT;
    for (size_t i = 0; i < CLASS_COUNT && whole_sections(h, CLASSES[i].cut_off) >= 1; i++) {
        double ra;
        if (CLASSES[i].cut_off < 10 * h.dx) continue;
        found = i;
        if (!rough_mean(arena, h, CLASSES[i].cut_off, &ra, err)) return false;
        if (ra <= CLASSES[i].most_ra) break;
        if (i + 1 < CLASS_COUNT && whole_sections(h, CLASSES[i + 1].cut_off) < 1)
            (void)snprintf(note->text, sizeof note->text,
                           "The trace is too short for the cut-off that such roughness asks for; "
                           "trace at least %.0f mm.",
                           5e3 * CLASSES[i + 1].cut_off);
    }
    if (found == CLASS_COUNT)
        return bw_fail(err, BW_INPUT,
                       "the trace is too short, or its points too far apart, for any "
                       "cut-off of the standard; give cut_off");
    *cut_off = CLASSES[found].cut_off;
    return true;
}

static double short_of(double cut_off) {
    size_t i = 0;
    while (i + 1 < CLASS_COUNT && CLASSES[i].cut_off < cut_off * 0.99) i++;
    return CLASSES[i].short_cut_off;
}

bool trace_settle(struct bw_arena *arena, struct trace_heights h, struct trace_settings *s,
                  struct trace_note *note, struct bw_err *err) {
    bool given = s->cut_off > 0;
    if (!given && s->wood && whole_sections(h, WOOD_CUT_OFF) >= 2) s->cut_off = WOOD_CUT_OFF;
    if (!(s->cut_off > 0) && !class_of(arena, h, &s->cut_off, note, err)) return false;
    if (s->cut_off < BW_LEAST_CUT_OFF * h.dx)
        return bw_fail(err, BW_INPUT, "points are %.4g mm apart, too far for a cut-off of %.4g mm",
                       1e3 * h.dx, 1e3 * s->cut_off);
    size_t whole = whole_sections(h, s->cut_off);
    if (whole < 1)
        return bw_fail(err, BW_INPUT, "the trace is %.4g mm long, less than one cut-off of %.4g mm",
                       1e3 * h.dx * (double)h.n, 1e3 * s->cut_off);
    if (s->sections == 0 || s->sections > whole) s->sections = whole;
    if (!(s->short_cut_off > 0)) {
        s->short_cut_off = short_of(s->cut_off);
        if (s->short_cut_off < BW_LEAST_CUT_OFF * h.dx) s->short_cut_off = 0;
    }
    return true;
}

// --- one profile -----------------------------------------------------------------------------

static double *fresh(struct bw_arena *arena, size_t n) {
    return bw_arena_array(arena, n, sizeof(double));
}

static bool draw_line(const double *z, struct trace_heights h, const struct trace_settings *s,
                      struct trace_measured *m, struct bw_err *err) {
    int rounds = 0;
    double cut_off = s->cut_off / h.dx;
    if (!s->robust) return bw_filter_gaussian(z, h.n, cut_off, m->line, err);
    if (!bw_filter_robust(z, h.n, cut_off, m->line, &rounds, err)) return false;
    m->rounds = rounds;
    return true;
}

static bool split_waves(struct trace_heights h, const struct trace_settings *s,
                        struct trace_measured *m, struct bw_err *err) {
    size_t bytes = h.n * sizeof(double);
    if (s->short_cut_off > 0) {
        if (!bw_filter_gaussian(h.z, h.n, s->short_cut_off / h.dx, m->primary, err)) return false;
    } else {
        memcpy(m->primary, h.z, bytes);
    }
    if (!draw_line(m->primary, h, s, m, err)) return false;
    for (size_t i = 0; i < h.n; i++) m->r[i] = m->primary[i] - m->line[i];
    memcpy(m->w, m->line, bytes);
    if (!(s->wave_limit > 0)) return true;
    if (!bw_filter_gaussian(m->line, h.n, s->wave_limit / h.dx, m->w, err)) return false;
    for (size_t i = 0; i < h.n; i++) m->w[i] = m->line[i] - m->w[i];
    return true;
}

static void waviness(struct trace_measured *m) {
    double a = 0, q = 0;
    size_t n = m->measured;
    for (size_t i = m->begin; i < m->begin + n; i++) {
        a += fabs(m->w[i]);
        q += m->w[i] * m->w[i];
    }
    m->wa = a / (double)n;
    m->wq = sqrt(q / (double)n);
}

// The core by ISO 13565: valleys filled to the line, the line drawn again.
static bool core_of_1996(struct trace_heights h, const struct trace_settings *s,
                         struct trace_measured *m, struct bw_err *err) {
    double *filled = m->clean, *line = m->descending;  // both are filled later
    for (size_t i = 0; i < h.n; i++) filled[i] = fmax(m->primary[i], m->line[i]);
    if (!bw_filter_gaussian(filled, h.n, s->cut_off / h.dx, line, err)) return false;
    for (size_t i = 0; i < h.n; i++) filled[i] = m->primary[i] - line[i];
    if (!bw_heights_sort(filled + m->begin, m->measured, err)) return false;
    bw_material_measure(filled + m->begin, m->measured, &m->material[TRACE_4287]);
    return true;
}

// --- wood ------------------------------------------------------------------------------------

struct kept {
    double sum, square, count;
};

// Mean distance from the core's mean, of points between the limits.
static double kept_mean(const double *z, size_t n, const struct bw_core *core, struct kept *all) {
    double sum = 0, count = 0;
    for (size_t i = 0; i < n; i++) {
        double d = z[i] - core->mean;
        if (z[i] < core->low || z[i] > core->high) continue;
        sum += fabs(d);
        count++;
        all->sum += fabs(d);
        all->square += d * d;
        all->count++;
    }
    return count > 0 ? sum / count : BW_NAN;
}

static void core_heights(const double *z, struct trace_heights h, const struct trace_settings *s,
                         struct trace_core *core) {
    struct kept all = {0};
    double sum = 0, square = 0, count = 0;
    for (size_t i = 0; i < s->sections; i++) {
        size_t begin = (size_t)llround((double)i * s->cut_off / h.dx);
        size_t end = (size_t)llround((double)(i + 1) * s->cut_off / h.dx);
        if (end > h.n) end = h.n;
        double a = kept_mean(z + begin, end - begin, &core->at, &all);
        if (isnan(a)) continue;
        sum += a;
        square += a * a;
        count++;
    }
    core->ra = all.sum / all.count;
    core->rq = sqrt(all.square / all.count);
    double variance = (square - sum * sum / count) / (count - 1);
    core->ra_sd = count > 1 ? sqrt(fmax(variance, 0) / count) : BW_NAN;
}

static bool wood_core(struct bw_arena *arena, struct trace_heights h,
                      const struct trace_settings *s, struct trace_measured *m,
                      struct bw_err *err) {
    struct trace_core *core = &m->core;
    double *clean = fresh(arena, h.n);
    size_t n = m->measured;
    int rounds = 0;
    if (clean == NULL) return bw_fail_memory(err);
    if (!bw_filter_robust(m->primary, h.n, s->cut_off / h.dx, clean, &rounds, err)) return false;
    if (rounds > m->rounds) m->rounds = rounds;
    for (size_t i = 0; i < h.n; i++) clean[i] = m->primary[i] - clean[i];
    m->drawn_core = clean;
    memcpy(m->clean, clean + m->begin, n * sizeof *clean);
    if (!bw_heights_sort(m->clean, n, err)) return false;
    bw_core_find(m->clean, n, &core->at);
    core_heights(clean + m->begin, (struct trace_heights){NULL, n, h.dx, 0}, s, core);
    size_t first = 0, end = n;
    while (first < n && m->clean[first] > core->at.high) first++;
    while (end > first && m->clean[end - 1] < core->at.low) end--;
    struct bw_material material;
    bw_material_measure(m->clean + first, end - first, &material);
    core->rk = material.k;
    double depth = 0;
    for (size_t i = end; i < n; i++) depth += core->at.mean - m->clean[i];
    core->pore_depth = end < n ? depth / (double)(n - end) : BW_NAN;
    return true;
}

bool trace_measure(struct bw_arena *arena, struct trace_heights h, const struct trace_settings *s,
                   struct trace_measured *out, struct bw_err *err) {
    struct trace_measured m = {.primary = fresh(arena, h.n),
                               .line = fresh(arena, h.n),
                               .r = fresh(arena, h.n),
                               .w = fresh(arena, h.n),
                               .clean = fresh(arena, h.n),
                               .descending = fresh(arena, h.n)};
    if (bw_arena_failed(arena)) return bw_fail_memory(err);
    m.measured = (size_t)llround((double)s->sections * s->cut_off / h.dx);
    if (m.measured > h.n) m.measured = h.n;
    m.begin = (h.n - m.measured) / 2;
    if (!split_waves(h, s, &m, err) || !core_of_1996(h, s, &m, err)) return false;
    const struct bw_heights rough = {m.r + m.begin, m.measured, h.dx, s->cut_off, s->sections};
    bw_texture_measure(&rough, BW_ISO_21920, &m.rough[TRACE_21920]);
    bw_texture_measure(&rough, BW_ISO_4287, &m.rough[TRACE_4287]);
    waviness(&m);
    memcpy(m.descending, rough.z, m.measured * sizeof *m.r);
    if (!bw_heights_sort(m.descending, m.measured, err)) return false;
    bw_material_measure(m.descending, m.measured, &m.material[TRACE_21920]);
    if (s->wood && !wood_core(arena, h, s, &m, err)) return false;
    *out = m;
    return true;
}
