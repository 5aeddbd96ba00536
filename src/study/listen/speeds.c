// speeds.c - what turns how fast, from families of lines; plates only say where to look.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every source of the machine file has a rate with a standard deviation. The family with the most
// evidence is taken first, and the belief is told its rate; that sharpens where the others are
// looked for (a splice heard fixes the belt speed, and every roller's rate is then a ratio of
// lengths). So on until nothing else speaks up. Two parts that could both own a family are named
// both, and the belief is told nothing: a rate given to the wrong part would be worse than none.
//
// A family is looked for twice: in the sound itself (runout, imbalance) and in the beats of its
// loudness, the squared envelope (a splice's blows ring far above their own rate).
#include "study/listen/part.h"

#include <math.h>

#define ENOUGH 5.0       // ln of a Bayes factor of 150
#define COMB 8           // lines that no part but a splice has
#define RIVAL 2.5        // sd
#define VAGUE 0.002      // relative sd; a rate less sure is shown, not told on
#define SAME 0.003       // relative; nearer rates cannot be told apart
#define REACH 3.5        // sd looked at
#define CREEP 0.003      // relative sd of belt on drum over a ratio of lengths (common practice)
#define LEAST_SD 1.5e-4  // relative: a machine's speed is not steadier
#define UNNAMED_LOW 4.0
#define UNNAMED_HIGH 120.0
#define UNNAMED_MOST 4

// Chances are estimates: common practice, no source.
static void set_family(struct bw_family *family, int n, double first, double fall) {
    *family = (struct bw_family){.n = n, .fall_db = BW_NAN};
    for (int k = 0; k < n; k++) family->chance[k] = first * pow(fall, k);
}

static struct bw_family family_of(const struct bw_source *source) {
    struct bw_family family;
    switch (source->part) {
    case BW_PART_SPLICE: set_family(&family, 20, 0.6, 0.95); break;
    case BW_PART_BRUSH: set_family(&family, 8, 0.6, 0.85); break;
    default: set_family(&family, 6, 0.75, 0.7); break;
    }
    return family;
}

static bool heard_part(enum bw_part part) {
    return part == BW_PART_SPLICE || part == BW_PART_DRUM || part == BW_PART_ROLLER ||
           part == BW_PART_MOTOR || part == BW_PART_BRUSH || part == BW_PART_DRIVE_BELT;
}

static void add_sources(struct listen_ear *ear) {
    long only = ear->input->head;
    for (int i = 0; i < ear->model->n_sources && ear->n_turners < LISTEN_MOST_SPEEDS; i++) {
        const struct bw_source *source = &ear->model->sources[i];
        if (!source->timed || !heard_part(source->part)) continue;
        if (only != BW_NO_COUNT && source->head != (int)only - 1) continue;
        double sd = bw_gauss_sd(ear->told, &source->form);
        struct listen_turner *t = &ear->turners[ear->n_turners++];
        *t = (struct listen_turner){.source = source,
                                    .name = source->name,
                                    .form = source->form,
                                    .stated = exp(bw_gauss_mean(ear->told, &source->form)),
                                    .family = family_of(source)};
        t->stated_sd = t->stated * sd;
    }
}

static void add_shaft(struct listen_ear *ear) {
    struct bw_quantity shaft = ear->input->shaft;
    if (!bw_known(shaft)) return;
    struct listen_turner *t = &ear->turners[ear->n_turners++];
    *t = (struct listen_turner){.name = "the shaft given",
                                .stated = shaft.v,
                                .stated_sd = bw_sd_known(shaft) ? shaft.sd : 0.015 * shaft.v};
    set_family(&t->family, 8, 0.7, 0.85);
}

static void explain(struct listen_ear *ear, double rate) {
    if (ear->n_explained < BW_EXPLAINED_MOST)
        ear->explained[ear->n_explained++] = (struct bw_explained){rate};
}

// Evidence in the sound or in its beats, whichever has more; half a chance each.
static void look(const struct listen_ear *ear, const struct listen_turner *t, double middle,
                 double relative_sd, struct bw_found *out) {
    const struct bw_lines *where[] = {&ear->spectra.lines, &ear->spectra.bands[0].lines};
    struct bw_found found[2];
    for (int i = 0; i < 2; i++) {
        struct bw_search search = {.lines = where[i],
                                   .family = &t->family,
                                   .explained = ear->explained,
                                   .n_explained = ear->n_explained,
                                   .middle = middle,
                                   .relative_sd = relative_sd,
                                   .reach = REACH};
        found[i] = (struct bw_found){.log_evidence = -HUGE_VAL};
        if (where[i]->n > 0) bw_harmonics_find(&search, &found[i]);
    }
    double a = found[0].log_evidence, b = found[1].log_evidence, top = fmax(a, b);
    *out = found[b > a ? 1 : 0];
    out->log_evidence = top + log((exp(a - top) + exp(b - top)) / 2);
}

static void look_for(const struct listen_ear *ear, const struct listen_turner *t,
                     struct bw_found *out) {
    double middle = t->stated, sd = t->stated_sd / t->stated;
    if (t->form.n > 0) {
        middle = exp(bw_gauss_mean(ear->told, &t->form));
        sd = hypot(bw_gauss_sd(ear->told, &t->form), CREEP);
    }
    look(ear, t, middle, sd, out);
}

// Where a turner may be by all that is told, as sd from its middle.
static double away(const struct listen_ear *ear, const struct listen_turner *t, double f) {
    double middle = log(t->stated), sd = t->stated_sd / t->stated;
    if (t->form.n > 0) {
        middle = bw_gauss_mean(ear->told, &t->form);
        sd = hypot(bw_gauss_sd(ear->told, &t->form), CREEP);
    }
    return fabs(log(f) - middle) / sd;
}

// Another part, not heard yet, could own these lines: it may be there by the file, and it has no
// lines of its own that this one could not own.
static bool rivalled(const struct listen_ear *ear, int mine, const struct bw_found *all) {
    const struct listen_turner *me = &ear->turners[mine];
    if (all[mine].counted >= COMB) return false;
    for (int i = 0; i < ear->n_turners; i++) {
        const struct listen_turner *t = &ear->turners[i];
        if (i == mine || t->heard || away(ear, t, all[mine].f) > RIVAL) continue;
        bool own = all[i].log_evidence >= ENOUGH && fabs(all[i].f / all[mine].f - 1) > SAME;
        if (!own || away(ear, me, all[i].f) < RIVAL) return true;
    }
    return false;
}

// Lines that another part was given already.
static bool taken(const struct listen_ear *ear, double f) {
    for (int i = 0; i < ear->n_heard; i++)
        if (fabs(f / ear->turners[ear->order[i]].rate - 1) < SAME) return true;
    return false;
}

static void take(struct listen_ear *ear, int i, const struct bw_found *all) {
    struct listen_turner *t = &ear->turners[i];
    t->heard = true;
    t->found = all[i];
    t->decided = all[i].sd < VAGUE * all[i].f && !rivalled(ear, i, all);
    t->rate = t->found.f;
    t->sd = hypot(t->found.sd, LEAST_SD * t->found.f);
    ear->order[ear->n_heard++] = i;
    if (t->decided && t->form.n > 0)
        bw_gauss_observe(ear->told, &t->form, log(t->rate), t->sd / t->rate);
    explain(ear, t->rate);
}

static int loudest(const struct listen_ear *ear, struct bw_found *all) {
    int best = -1;
    for (int i = 0; i < ear->n_turners; i++) {
        const struct listen_turner *t = &ear->turners[i];
        if (t->heard) continue;
        look_for(ear, t, &all[i]);
        if (all[i].log_evidence < ENOUGH || all[i].counted == 0 || taken(ear, all[i].f)) continue;
        if (best < 0 || all[i].log_evidence > all[best].log_evidence) best = i;
    }
    return best;
}

// Families that nobody has named, where there is no machine file and no shaft.
static void add_unnamed(struct listen_ear *ear) {
    for (int n = 0; n < UNNAMED_MOST; n++) {
        struct listen_turner t = {
            .name = "a family of lines", .stated = BW_NAN, .stated_sd = BW_NAN};
        set_family(&t.family, 10, 0.7, 0.93);
        struct bw_found found;
        // So wide a normal law is nearly even between the two ends.
        double low = fmax(UNNAMED_LOW, 2 * ear->verdict->slowest.v / LISTEN_TURNS * 4);
        double half = log(UNNAMED_HIGH / low) / 2;
        look(ear, &t, sqrt(low * UNNAMED_HIGH), half / REACH * 3, &found);
        if (found.log_evidence < ENOUGH || found.counted < 3) return;
        t.heard = t.decided = true;
        t.found = found;
        t.rate = found.f;
        t.sd = hypot(found.sd, LEAST_SD * found.f);
        ear->order[ear->n_heard++] = ear->n_turners;
        ear->turners[ear->n_turners++] = t;
        explain(ear, found.f);
    }
}

bool listen_speeds(struct listen_ear *ear, struct bw_err *err) {
    struct bw_found all[LISTEN_MOST_SPEEDS];
    if (!isnan(ear->mains)) explain(ear, 2 * ear->mains);
    if (ear->model != NULL) add_sources(ear);
    add_shaft(ear);
    if (ear->n_turners == 0) add_unnamed(ear);
    for (;;) {
        if (ear->run->cancel != NULL && atomic_load(ear->run->cancel))
            return bw_fail(err, BW_CANCELLED, "stopped on request");
        int best = loudest(ear, all);
        if (best < 0) return true;
        take(ear, best, all);
    }
}

double listen_level(const struct listen_ear *ear, const struct listen_turner *turner) {
    const struct bw_spectra *s = &ear->spectra;
    double power = 0;
    for (int k = 1; k <= turner->family.n; k++) {
        double f = k * turner->rate;
        size_t i = (size_t)lround(f / s->lines.step_hz);
        if (i + 1 >= s->lines.n) break;
        power += (double)s->power[i];
    }
    return 10 * log10(power + 1e-20);
}
