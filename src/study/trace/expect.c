// expect.c - see expect.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// That Ra and its kin grow in a straight line with mean grain size is published for beech at P60,
// P100 and P150 (Gurau 2019, BioResources 14(2):4512); slope and offset are not, and depend on
// stock, pressure, the belt's age and the tester. So nothing is expected before the shop's own
// readings tell: three grits at least, since a line through two always fits.
#include "study/trace/expect.h"

#include <math.h>
#include <string.h>
#include <strings.h>

static bool same_stock(const char *a, const char *b) {
    return a == NULL || b == NULL || strcasecmp(a, b) == 0;
}

static bool comparable(const struct trace_kind *kind, const struct trace_reading *reading) {
    int direction = reading->direction == BW_NO_CHOICE ? TRACE_ACROSS : reading->direction;
    if (!bw_known(reading->ra) || reading->grit == NULL) return false;
    if (direction != kind->direction || !same_stock(kind->stock, reading->stock)) return false;
    if (isnan(kind->cut_off) || !bw_known(reading->cut_off)) return true;
    return fabs(reading->cut_off.v / kind->cut_off - 1) < 0.01;
}

// Least squares of y on x; the residual sd is the second pass.
struct straight {
    double mean_x, mean_y, slope, sxx, sd;
};

static bool fit(const double *x, const double *y, size_t n, struct straight *out) {
    struct straight line = {0};
    for (size_t i = 0; i < n; i++) {
        line.mean_x += x[i] / (double)n;
        line.mean_y += y[i] / (double)n;
    }
    double sxy = 0, rest = 0;
    for (size_t i = 0; i < n; i++) {
        line.sxx += (x[i] - line.mean_x) * (x[i] - line.mean_x);
        sxy += (x[i] - line.mean_x) * (y[i] - line.mean_y);
    }
    if (!(line.sxx > 0) || n < 4) return false;
    line.slope = sxy / line.sxx;
    for (size_t i = 0; i < n; i++) {
        double d = y[i] - line.mean_y - line.slope * (x[i] - line.mean_x);
        rest += d * d;
    }
    line.sd = sqrt(rest / (double)(n - 2));
    *out = line;
    return true;
}

static long different(const double *x, size_t n) {
    long count = 0;
    for (size_t i = 0; i < n; i++) {
        size_t k = 0;
        while (k < i && x[k] != x[i]) k++;
        count += k == i;
    }
    return count;
}

// What the line says of one more place read after a grit of that size.
static struct bw_quantity line_at(const struct straight *line, double size, size_t n) {
    double off = size - line->mean_x, ra = line->mean_y + line->slope * off;
    double sd = line->sd * sqrt(1 + 1 / (double)n + off * off / line->sxx);
    return ra > 0 ? bw_about(ra, sd) : BW_UNKNOWN;
}

// The readings that count, as points; two more are left for the line's ends.
struct points {
    const struct trace_kind *kind;
    double *x, *y;  // grain size, Ra
    struct trace_grain *grains;
    size_t n;
};

static bool collect(const struct bw_grits *grits, const struct bw_list *record, struct points *out,
                    struct bw_err *err) {
    for (size_t i = 0; i < record->n; i++) {
        const struct trace_reading *reading = (const struct trace_reading *)record->items + i;
        const struct bw_grit *grit;
        if (!comparable(out->kind, reading)) continue;
        if (!bw_grit_read(grits, reading->grit, strlen(reading->grit), &grit, err)) {
            bw_err_within(err, "grit");
            bw_err_within_index(err, "record.readings", i);
            return false;
        }
        out->x[out->n] = grit->size.v;
        out->y[out->n] = reading->ra.v;
        out->grains[out->n++] = (struct trace_grain){TRACE_ON_RECORD, bw_exactly(grit->size.v),
                                                     bw_exactly(reading->ra.v)};
    }
    return true;
}

bool trace_expect(struct bw_arena *arena, const struct bw_grits *grits,
                  const struct bw_list *record, const struct trace_kind *kind,
                  struct trace_expected *out, struct bw_err *err) {
    struct points p = {.kind = kind,
                       .x = bw_arena_array(arena, 2 * record->n + 2, sizeof(double)),
                       .grains = bw_arena_array(arena, record->n + 2, sizeof *p.grains)};
    struct straight line;
    if (p.x == NULL || p.grains == NULL) return bw_fail_memory(err);
    p.y = p.x + record->n + 1;
    if (!collect(grits, record, &p, err)) return false;
    *out = (struct trace_expected){.readings = (long)p.n,
                                   .grits = different(p.x, p.n),
                                   .ra = BW_UNKNOWN,
                                   .grains = {p.grains, p.n}};
    if (out->grits < 3 || !fit(p.x, p.y, p.n, &line)) return true;
    if (kind->grit != NULL) out->ra = line_at(&line, kind->grit->size.v, p.n);
    double low = p.x[0], high = p.x[0];
    for (size_t i = 1; i < p.n; i++) {
        low = fmin(low, p.x[i]);
        high = fmax(high, p.x[i]);
    }
    p.grains[p.n] = (struct trace_grain){TRACE_EXPECTED, bw_exactly(low), line_at(&line, low, p.n)};
    p.grains[p.n + 1] =
        (struct trace_grain){TRACE_EXPECTED, bw_exactly(high), line_at(&line, high, p.n)};
    out->grains.n = p.n + 2;
    return true;
}

const char *trace_compare(struct bw_arena *arena, const struct trace_expected *expected,
                          struct bw_quantity ra, const struct bw_grit *grit) {
    if (grit == NULL || !bw_known(ra)) return NULL;
    if (!bw_known(expected->ra))
        return bw_arena_format(arena,
                               "not calibrated: this shop's record has %ld of the three grits "
                               "needed to say what %s should leave",
                               expected->grits, grit->name);
    double sd = hypot(expected->ra.sd, bw_sd_known(ra) ? ra.sd : 0);
    double off = (ra.v - expected->ra.v) / sd;
    if (off > 2)
        return bw_arena_format(arena,
                               "rougher than %s usually leaves here: scratches of the grit before "
                               "not cleared, a coarser or new belt, or chatter",
                               grit->name);
    if (off < -2)
        return bw_arena_format(arena,
                               "smoother than %s usually leaves here: a dull, loaded or glazed "
                               "belt rubs instead of cutting, or it was read along the scratches",
                               grit->name);
    return bw_arena_format(arena, "as %s usually leaves here", grit->name);
}
