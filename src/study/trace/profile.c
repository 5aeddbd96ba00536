// profile.c - see profile.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/trace/profile.h"

#include "numeric/profile_filter.h"

#include <math.h>
#include <string.h>

#define MOST_MISSING 0.1  // share of a profile that may be filled

static const double UNITS[] = {1e-6, 1e-3, 1e-9, 1, 0.0254, 2.54e-5, 2.54e-8};  // as the choices

static bool unit_of(bool bare, int given, const char *field, double *out, struct bw_err *err) {
    if (bare && given != BW_NO_CHOICE) {
        *out = UNITS[given];
        return true;
    }
    *out = 1;
    if (!bare && given == BW_NO_CHOICE) return true;
    bw_err_within(err, field);
    if (bare) {
        bw_err_mend(err, "give it: um, mm, nm, m, in, mil or uin");
        return bw_fail(err, BW_INPUT, "the file does not tell this unit");
    }
    bw_err_mend(err, "leave it out; if the file is wrong, mend its header");
    return bw_fail(err, BW_INPUT, "the file tells this unit itself");
}

static bool spacing_of(const struct trace_input *in, const struct bw_profile *file, double *dx,
                       struct bw_err *err) {
    bool none = (file->about.flags & BW_PROFILE_NO_PLACES) != 0;
    if (none && bw_known(in->spacing)) {
        *dx = in->spacing.v;
        return true;
    }
    if (!none && !bw_known(in->spacing)) return true;
    bw_err_within(err, "spacing");
    if (none) {
        bw_err_mend(err, "give it, such as 0.5 um");
        return bw_fail(err, BW_INPUT, "the file does not tell how far its points are apart");
    }
    bw_err_mend(err, "leave it out; if the file is wrong, mend the file");
    return bw_fail(err, BW_INPUT, "the file tells how far its points are apart");
}

bool trace_source_open(const struct trace_input *in, struct trace_source *out, struct bw_err *err) {
    const struct bw_profile *file = in->file.content;
    unsigned flags = file->about.flags;
    struct trace_source source = {
        .file = file, .columns = in->lines == TRACE_COLUMNS, .form = (int)in->form};
    bool bare_places = (flags & BW_PROFILE_BARE_PLACES) != 0 && (flags & BW_PROFILE_NO_PLACES) == 0;
    bool ok = unit_of((flags & BW_PROFILE_BARE_HEIGHTS) != 0, in->height_unit, "height_unit",
                      &source.height_unit, err) &&
              unit_of(bare_places, in->place_unit, "place_unit", &source.place_unit, err);
    source.dx = file->about.dx * source.place_unit;
    if (!ok || !spacing_of(in, file, &source.dx, err)) {
        bw_err_file(err, in->file.name);
        return false;
    }
    if (file->about.rows < 2) source.columns = false;
    size_t others = (size_t)(source.columns ? file->about.columns : file->about.rows);
    source.n = (size_t)(source.columns ? file->about.rows : file->about.columns);
    if (source.columns) source.dx = file->about.dy;
    source.profiles = others < TRACE_MOST_PROFILES ? others : TRACE_MOST_PROFILES;
    *out = source;
    return true;
}

// The file's heights of one profile, as they are.
static void fetch(const struct trace_source *source, size_t which, double *z) {
    const struct bw_profile *file = source->file;
    size_t columns = (size_t)file->about.columns, rows = (size_t)file->about.rows;
    size_t others = source->columns ? columns : rows;
    size_t at = (2 * which + 1) * others / (2 * source->profiles);
    for (size_t i = 0; i < source->n; i++)
        z[i] = source->height_unit * (source->columns ? file->heights[i * columns + at]
                                                      : file->heights[at * columns + i]);
}

// Gaps inside by straight lines; missing ends are cut off.
static size_t fill(double **z, size_t *n) {
    size_t first = 0, missing = 0;
    while (*n > 0 && isnan((*z)[*n - 1])) (*n)--;
    while (first < *n && isnan((*z)[first])) first++;
    *z += first;
    *n -= first;
    for (size_t i = 1; i < *n; i++) {
        if (!isnan((*z)[i])) continue;
        size_t next = i;
        while (isnan((*z)[next])) next++;
        double from = (*z)[i - 1], step = ((*z)[next] - from) / (double)(next - i + 1);
        missing += next - i;
        for (size_t k = 1; i < next; i++, k++) (*z)[i] = from + step * (double)k;
    }
    return missing;
}

// Places as told in the file onto even ones, by straight lines between neighbours.
static void even_out(const struct trace_source *source, const double *z, double *out) {
    const double *x = source->file->x;
    double dx = source->file->about.dx;
    size_t k = 0;
    for (size_t i = 0; i < source->n; i++) {
        double at = x[0] + dx * (double)i;
        while (k + 2 < source->n && x[k + 1] < at) k++;
        double share = (at - x[k]) / (x[k + 1] - x[k]);
        out[i] = z[k] + (share > 1 ? 1 : share) * (z[k + 1] - z[k]);
    }
}

bool trace_profile(struct bw_arena *arena, const struct trace_source *source, size_t which,
                   struct trace_heights *out, struct bw_err *err) {
    size_t n = source->n;
    double *z = bw_arena_array(arena, n, sizeof *z);
    if (z == NULL) return bw_fail_memory(err);
    fetch(source, which, z);
    if (source->file->x != NULL && !source->columns) {
        double *even = bw_arena_array(arena, n, sizeof *even);
        if (even == NULL) return bw_fail_memory(err);
        even_out(source, z, even);
        z = even;
    }
    size_t filled = fill(&z, &n);
    if (n < 2 || (double)filled > MOST_MISSING * (double)n) {
        bw_err_mend(err, "trace again, or cut the file to the part that was seen");
        return bw_fail(err, BW_INPUT, "%zu of %zu points have no height, more than one in ten",
                       source->n - n + filled, source->n);
    }
    bw_profile_level(z, n, source->form);
    *out = (struct trace_heights){z, n, source->dx, filled};
    return true;
}
