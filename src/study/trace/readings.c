// readings.c - what a pocket tester showed, grouped and judged.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/trace/work.h"

#include <math.h>
#include <string.h>
#include <strings.h>

static int direction_of(const struct trace_reading *reading) {
    return reading->direction == BW_NO_CHOICE ? TRACE_ACROSS : reading->direction;
}

static bool same_text(const char *a, const char *b) {
    return a == NULL || b == NULL ? a == b : strcasecmp(a, b) == 0;
}

static bool same_kind(const struct trace_reading *a, const struct trace_reading *b) {
    bool cut_off =
        bw_known(a->cut_off) ? fabs(a->cut_off.v - b->cut_off.v) < 1e-9 : !bw_known(b->cut_off);
    return cut_off && same_text(a->grit, b->grit) && same_text(a->stock, b->stock) &&
           direction_of(a) == direction_of(b);
}

// --- the tester's settings ---------------------------------------------------------------------

// The cut-off that so much roughness asks for (ISO 4288:1996, from memory), m.
static double cut_off_for(double ra) {
    static const double MOST[] = {0.02e-6, 0.1e-6, 2e-6, 10e-6};
    static const double CUT_OFF[] = {0.08e-3, 0.25e-3, 0.8e-3, 2.5e-3, 8e-3};
    size_t i = 0;
    while (i < 4 && ra > MOST[i]) i++;
    return CUT_OFF[i];
}

static void settings(struct trace_work *w, const struct trace_reading *reading) {
    double cut_off = reading->cut_off.v;
    if (!bw_known(reading->cut_off))
        trace_remark(w, "Write down the cut-off: readings at different cut-offs cannot be "
                        "compared.");
    else if (bw_known(reading->ra) && cut_off < 0.99 * cut_off_for(reading->ra.v))
        trace_remark(w, trace_say(w,
                                  "Ra %.3g µm asks for a cut-off of %.3g mm; at %.3g mm longer "
                                  "waves are left out and it reads low.",
                                  1e6 * reading->ra.v, 1e3 * cut_off_for(reading->ra.v),
                                  1e3 * cut_off));
    if (bw_known(reading->length) && bw_known(reading->cut_off) &&
        reading->length.v < 4.99 * cut_off)
        trace_remark(w, trace_say(w,
                                  "Measured over %.3g mm, less than five cut-offs of %.3g mm: "
                                  "such readings scatter more.",
                                  1e3 * reading->length.v, 1e3 * cut_off));
    if (direction_of(reading) == TRACE_ALONG)
        trace_remark(w, "Measured along the scratches: it reads low. Measure across them.");
    if (!bw_known(reading->ra) || !bw_known(reading->rz)) return;
    double ratio = reading->rz.v / reading->ra.v;
    if (ratio < 1)
        trace_remark(w, "An Rz below its Ra cannot be: were the two mixed up?");
    else if (ratio < 4)
        trace_remark(w, "Rz is under four times Ra: that is more a wave than scratches; look for "
                        "chatter with a straightedge of light or a trace.");
    else if (ratio > 12)
        trace_remark(w, "Rz is over twelve times Ra: a few deep places decide it, pores or stray "
                        "scratches; judge the sanding by Ra.");
}

// --- groups --------------------------------------------------------------------------------

struct sum {
    double v, square, weight, n;  // n: readings; weight: places they stand for
};

static void add(struct sum *sum, struct bw_quantity q, long places) {
    if (!bw_known(q)) return;
    double weight = places == BW_NO_COUNT ? 1 : (double)places;
    sum->v += weight * q.v;
    sum->square += weight * q.v * q.v;
    sum->weight += weight;
    sum->n++;
}

// Readings that are means of several places differ less: weighted, so that the sd is of one place.
static double place_sd(const struct sum *sum) {
    double mean = sum->v / sum->weight;
    if (sum->n < 2) return BW_NAN;
    return sqrt(fmax(sum->square - sum->v * mean, 0) / (sum->n - 1));
}

static struct bw_quantity mean_of(const struct sum *sum) {
    if (!(sum->weight > 0)) return BW_UNKNOWN;
    double sd = place_sd(sum) / sqrt(sum->weight);
    return bw_about(sum->v / sum->weight, sd > 0 ? sd : BW_NAN);
}

static bool judge(struct trace_work *w, size_t at, struct trace_group *group, struct bw_err *err) {
    const struct trace_reading *first = (const struct trace_reading *)w->in->readings.items + at;
    struct trace_expected expected;
    struct trace_kind kind = {
        .stock = first->stock, .cut_off = first->cut_off.v, .direction = direction_of(first)};
    if (!trace_grit(w, first->grit, &kind.grit, err)) {
        bw_err_within(err, "grit");
        bw_err_within_index(err, "readings", at);
        return false;
    }
    if (!trace_expect(w->arena, &w->grits, &w->record, &kind, &expected, err)) return false;
    group->expected = expected.ra;
    group->compared = trace_compare(w->arena, &expected, group->ra, kind.grit);
    return trace_grains(w, &expected, kind.grit, group->ra) || bw_fail_memory(err);
}

static bool group_of(struct trace_work *w, size_t at, struct trace_group *group,
                     struct bw_err *err) {
    const struct trace_reading *readings = w->in->readings.items, *first = readings + at;
    struct sum ra = {0}, rz = {0};
    double places = 0;
    for (size_t i = at; i < w->in->readings.n; i++) {
        if (!same_kind(first, &readings[i])) continue;
        add(&ra, readings[i].ra, readings[i].places);
        add(&rz, readings[i].rz, readings[i].places);
        places += readings[i].places == BW_NO_COUNT ? 1 : (double)readings[i].places;
        settings(w, &readings[i]);
    }
    *group = (struct trace_group){.grit = first->grit,
                                  .stock = first->stock,
                                  .direction = direction_of(first),
                                  .readings = (long)places,
                                  .cut_off = first->cut_off,
                                  .ra = mean_of(&ra),
                                  .rz = mean_of(&rz),
                                  .scatter = BW_UNKNOWN,
                                  .expected = BW_UNKNOWN};
    const struct sum *decides = ra.n > 0 ? &ra : &rz;
    double sd = place_sd(decides);
    if (sd > 0) group->scatter = bw_exactly(sd * decides->weight / decides->v);
    if (places < 5)
        trace_remark(w, "Fewer than five places were read; wood differs from place to place.");
    return judge(w, at, group, err);
}

bool trace_readings(struct trace_work *w, struct bw_err *err) {
    const struct trace_reading *readings = w->in->readings.items;
    struct trace_group *groups = bw_arena_array(w->arena, w->in->readings.n + 1, sizeof *groups);
    if (groups == NULL) return bw_fail_memory(err);
    w->out.groups.items = groups;
    for (size_t i = 0; i < w->in->readings.n; i++) {
        bool new = true;
        for (size_t k = 0; k < i && new; k++) new = !same_kind(&readings[k], &readings[i]);
        if (new && !group_of(w, i, &groups[w->out.groups.n++], err)) return false;
    }
    return true;
}
