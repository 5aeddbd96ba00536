// bearings.c - which part of a bearing is damaged, from the beats of the whitened sound.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A flaw is struck a fixed number of times a turn; each blow rings the housing, and the loudness of
// that ringing beats at the rate of the blows. So the family of lines at order x shaft rate in the
// squared-envelope spectrum is looked for, for each part, in the whole band and in its quarters (a
// resonance may lie anywhere: all bands have the same prior), with the slip that real bearings
// have. Harmonics.c gives the Bayes factor of each.
//
// That there is a family does not yet name the part. A bearing that is bad in one place leaves weak
// families of its other parts as well, above all when a ball is damaged, whose own blows come and
// go as it turns; on public recordings such strays stand up to 19 dB out of the noise (10 s), the
// blows of a damaged race 25 to 36 dB. So a family's height says whether it names a part or only
// that something is wrong, and "cannot tell" is an outcome with its own weight, fed besides by
// lines that nothing explains. Heights grow with the length of the spectrum and are taken to 10 s.
//
// Lines at whole multiples of the shaft or of other things heard say nothing about a bearing, and
// neither does a line in the middle of a longer comb (a splice's blows are such a comb).
#include "study/listen/part.h"

#include "machine/sources.h"

#include <math.h>
#include <string.h>

// Before listening: chances that a bearing somebody records is damaged so (estimates; common
// practice, no source).
static const double PRIOR[LISTEN_PARTS] = {0.02, 0.03, 0.05, 0.05, 0.75, 0.10};
#define SLIP 0.006      // relative sd of a part's rate over its order
#define SLIP_REACH 2.5  // sd
#define NAMED_DB 30.0   // height of a damaged part's blows at 10 s, mean and sd
#define NAMED_SD 6.0
#define STRAY_DB 14.0  // and of strays
#define STRAY_SD 4.0
#define SEEN_DB 10.0  // lower is noise
#define SPAN_DB 40.0  // heights that harmonics.c takes as equally likely
#define SURE 0.9
#define LIKELY 0.6

struct place {  // one bearing to judge
    const char *id, *name, *designation;
    bool outer_turns;
    double shaft, sd;  // Hz
};

struct finding {  // one part in one band
    int band;
    struct bw_found found;
    double height;        // dB at 10 s of its highest line, -inf: none
    double named, stray;  // Bayes factors
};

static const char *const PART_WORDS[] = {"the cage", "a ball or roller", "the outer race",
                                         "the inner race"};

static double normal_law(double x, double mean, double sd) {
    double z = (x - mean) / sd;
    return exp(-z * z / 2) / (sd * sqrt(2 * M_PI));
}

// A line at f = k g of a comb whose neighbours stand as high belongs to that comb.
static bool within_comb(const struct bw_lines *lines, double f) {
    double mine = bw_lines_at(lines, f), floor = fmax(10, mine / 16);
    for (int k = 3; k <= 60; k++) {
        double g = f / k;
        if (g < 20 * lines->step_hz) return false;
        int strong = 0;
        for (int j = k - 2; j <= k + 2; j++) strong += j != k && bw_lines_at(lines, j * g) > floor;
        if (strong >= 3) return true;
    }
    return false;
}

static double highest(const struct bw_found *found, const struct bw_lines *lines) {
    double top = -HUGE_VAL;
    for (int k = 0; k < 3; k++)
        if (found->level_db[k] > top) top = found->level_db[k];
    return top - 10 * log10(1 / lines->step_hz / 10);
}

static struct bw_family family_of(int part) {
    // Chance of each harmonic to stand out where there is damage; heights fall by about 3 dB each.
    static const double RACE[] = {0.85, 0.75, 0.65, 0.5, 0.4};
    struct bw_family family = {.n = 5, .fall_db = 3, .spread_db = 4};
    memcpy(family.chance, RACE, sizeof RACE);
    if (part == LISTEN_CAGE) family.n = 4;
    return family;
}

static void judge(const struct listen_ear *ear, const struct place *place, double order, int part,
                  struct finding *out) {
    struct bw_family family = family_of(part);
    const struct bw_lines *lines = &ear->spectra.bands[out->band].lines;
    struct bw_explained explained[BW_EXPLAINED_MOST + 1];
    int n = 0;
    explained[n++].rate_hz = place->shaft;
    for (int i = 0; i < ear->n_explained; i++) explained[n++] = ear->explained[i];
    struct bw_search search = {.lines = lines,
                               .family = &family,
                               .explained = explained,
                               .n_explained = n,
                               .middle = order * place->shaft,
                               .relative_sd = hypot(SLIP, place->sd / place->shaft),
                               .reach = SLIP_REACH};
    bw_harmonics_find(&search, &out->found);
    double factor = exp(fmin(out->found.log_evidence, 200));
    out->height = highest(&out->found, lines);
    out->named = out->stray = fmin(factor, 1);  // no line stands out: at most evidence against
    if (out->height < SEEN_DB || out->found.counted == 0) return;
    if (within_comb(lines, out->found.f)) return;
    out->named = factor * SPAN_DB * normal_law(fmin(out->height, NAMED_DB), NAMED_DB, NAMED_SD);
    out->stray = factor * SPAN_DB * normal_law(fmax(out->height, STRAY_DB), STRAY_DB, STRAY_SD);
}

// A line near a whole multiple of f, shifted by up to three turns of the shaft or one of the cage.
static bool near_family(double at, double f, double shaft, double cage, double near) {
    if (!(f > 0)) return false;
    for (int k = 1; k <= 6; k++) {
        for (int turns = -3; turns <= 3; turns++)
            if (fabs(at - k * f - turns * shaft) < near) return true;
        if (fabs(fabs(at - k * f) - cage) < near) return true;
    }
    return false;
}

static bool is_explained(const struct listen_ear *ear, double shaft, double f, double near) {
    if (fabs(f - shaft * round(f / shaft)) < near) return true;
    for (int e = 0; e < ear->n_explained; e++) {
        double g = ear->explained[e].rate_hz;
        if (g > 4 * near && fabs(f - g * round(f / g)) < near) return true;
    }
    return false;
}

// Lines that nothing explains, in one band, `best` the rate of the likeliest part's blows: the
// Bayes factor of "something is wrong". In noise of real machines heights beyond 10 dB (at 10 s)
// thin out by e every 1.5 dB, about one line a spectrum; damage of any kind leaves some five,
// evenly over 8 to 35 dB. Measured on one public recording of a healthy bearing, and taken
// generously.
#define UNEXPLAINED_DB 13.0
static double unexplained(const struct listen_ear *ear, const struct bw_lines *lines, double shaft,
                          double best, double cage) {
    double gain = 10 * log10(1 / lines->step_hz / 10), sum = -4, near = 2.5 * lines->step_hz;
    size_t first = (size_t)(0.3 * shaft / lines->step_hz) + 4;
    size_t last = (size_t)fmin((double)lines->n - 2, 15 * shaft / lines->step_hz);
    for (size_t i = first; i < last; i++) {
        const float *r = lines->ratio;
        double f = (double)i * lines->step_hz, db = 10 * log10((double)r[i] + 1e-9) - gain;
        if (db < UNEXPLAINED_DB || r[i] < r[i - 1] || r[i] < r[i + 1]) continue;
        if (is_explained(ear, shaft, f, near) || near_family(f, best, shaft, cage, 2 * near) ||
            within_comb(lines, f))
            continue;
        double noise = 1 / 1.5 * exp(-(db - 10) / 1.5);
        sum += log(5.0 / 27 / noise);
    }
    return exp(fmin(sum, 100));
}

static int count_sidebands(const struct finding *f, const struct bw_lines *lines, double apart) {
    double least = bw_lines_threshold(lines->segments);
    int n = 0;
    for (int k = 1; k <= 2; k++)
        for (int side = -1; side <= 1; side += 2)
            n += bw_lines_at(lines, k * f->found.f + side * apart) > least;
    return n;
}

// --- one bearing -------------------------------------------------------------------------------

struct judged {
    struct finding best[4];  // of each part, the band that says most
    double weight[LISTEN_PARTS];
    double part_rate[4];
};

static bool weigh(struct listen_ear *ear, const struct place *place, const double orders[4],
                  struct judged *out) {
    const struct bw_band *bands = ear->spectra.bands;
    double strays = 0, oddities = 0;
    int n_bands = 0;
    for (int p = 0; p < 4; p++) {
        double named = 0, stray = 0;
        n_bands = 0;
        out->part_rate[p] = orders[p] * place->shaft;
        for (int b = 0; b < BW_SPECTRA_BANDS; b++) {
            if (bands[b].lines.n == 0) continue;
            struct finding f = {.band = b};
            judge(ear, place, orders[p], p, &f);
            n_bands++;
            named += f.named;
            stray += f.stray;
            if (n_bands == 1 || f.named > out->best[p].named) out->best[p] = f;
        }
        if (n_bands > 0) out->weight[p] = PRIOR[p] * named / n_bands;
        strays = fmax(strays, stray / 2);  // each part leaves strays with a chance of a half
    }
    if (n_bands == 0) return false;
    int most = 0;
    for (int p = 1; p < 4; p++)
        if (out->best[p].named > out->best[most].named) most = p;
    double blows = out->best[most].named > 1 ? out->best[most].found.f : 0;
    for (int b = 0; b < BW_SPECTRA_BANDS; b++)
        if (bands[b].lines.n > 0)
            oddities += unexplained(ear, &bands[b].lines, place->shaft, blows, out->part_rate[0]);
    // Whatever is damaged leaves lines that nothing explains.
    double odd = 0.5 + 0.5 * oddities / n_bands;
    for (int p = 0; p < 4; p++) out->weight[p] *= odd;
    out->weight[LISTEN_NONE] = PRIOR[LISTEN_NONE];
    out->weight[LISTEN_UNKNOWN] = PRIOR[LISTEN_UNKNOWN] * odd * (0.5 + strays / n_bands);
    double total = 0;
    for (int p = 0; p < LISTEN_PARTS; p++) total += out->weight[p];
    for (int p = 0; p < LISTEN_PARTS; p++) out->weight[p] /= total;
    return true;
}

// A recording too short or too dull to have heard anything says nothing either way.
static const char *deaf(const struct listen_ear *ear, const struct place *place, double cage) {
    if (place->shaft * cage * ear->spectra.seconds < LISTEN_TURNS)
        return bw_arena_format(ear->run->arena, "Too short: %.0f turns of the cage need %.0f s.",
                               LISTEN_TURNS, ceil(LISTEN_TURNS / (place->shaft * cage)));
    if (ear->spectra.top_hz < 20 * place->shaft)
        return "Too dull: it holds no sound where a bearing's blows ring.";
    return NULL;
}

static int verdict_of(const struct judged *j) {
    int best = 0;
    for (int p = 1; p < LISTEN_PARTS; p++)
        if (j->weight[p] > j->weight[best]) best = p;
    return j->weight[best] < LIKELY ? LISTEN_UNKNOWN : best;
}

static const char *verdict_words(struct bw_arena *arena, int part, double chance) {
    if (part < LISTEN_NONE)
        return bw_arena_format(arena, "%s %s is damaged",
                               chance >= SURE ? "it sounds as if" : "perhaps", PART_WORDS[part]);
    return part == LISTEN_NONE ? "no damage heard" : "cannot tell";
}

static const char *evidence_words(const struct listen_ear *ear, const struct judged *j, int part,
                                  const struct listen_bearing *b) {
    struct bw_arena *arena = ear->run->arena;
    if (part == LISTEN_NONE) return "No family of blows at the rates of its parts, in any band.";
    int most = 0;
    for (int p = 1; p < 4; p++)
        if (j->best[p].named > j->best[most].named) most = p;
    const struct finding *f = &j->best[part < LISTEN_NONE ? part : most];
    if (part == LISTEN_UNKNOWN && f->height < SEEN_DB)
        return "Beats that fit neither a part of it nor anything else that was heard.";
    return bw_arena_format(
        arena, "%s%.2f Hz, %.3f a turn, %d of %d harmonics, the highest %.0f dB over the noise%s",
        part == LISTEN_UNKNOWN ? "Beats too weak to name a part: " : "Blows at ", f->found.f,
        f->found.f / b->shaft.v, f->found.counted, f->found.looked, f->height,
        part == LISTEN_UNKNOWN ? " (a damaged ball often leaves no more)." : ".");
}

static void fill_rate(const struct listen_ear *ear, const struct judged *j, int part, double cage,
                      struct listen_bearing *out) {
    if (part >= LISTEN_NONE) return;
    const struct finding *f = &j->best[part];
    const struct bw_band *band = &ear->spectra.bands[f->band];
    out->rate = bw_about(f->found.f, f->found.sd);
    out->low = bw_exactly(band->low_hz);
    out->high = bw_exactly(band->high_hz);
    out->harmonics = f->found.counted;
    double apart = part == LISTEN_ELEMENT ? cage * out->shaft.v : out->shaft.v;
    out->sidebands = count_sidebands(f, &band->lines, apart);
}

static void fill(struct listen_ear *ear, const struct place *place, const struct judged *j,
                 double cage, struct listen_bearing *out) {
    struct bw_arena *arena = ear->run->arena;
    *out = (struct listen_bearing){.id = place->id,
                                   .name = place->name,
                                   .shaft = bw_about(place->shaft, place->sd),
                                   .rate = BW_UNKNOWN,
                                   .low = BW_UNKNOWN,
                                   .high = BW_UNKNOWN,
                                   .harmonics = BW_NO_COUNT,
                                   .sidebands = BW_NO_COUNT,
                                   .cage = bw_exactly(j->weight[LISTEN_CAGE]),
                                   .element = bw_exactly(j->weight[LISTEN_ELEMENT]),
                                   .outer = bw_exactly(j->weight[LISTEN_OUTER]),
                                   .inner = bw_exactly(j->weight[LISTEN_INNER]),
                                   .none = bw_exactly(j->weight[LISTEN_NONE]),
                                   .unknown = bw_exactly(j->weight[LISTEN_UNKNOWN])};
    out->part = verdict_of(j);
    fill_rate(ear, j, out->part, cage, out);
    out->verdict = verdict_words(arena, out->part, j->weight[out->part]);
    out->evidence = evidence_words(ear, j, out->part, out);
}

// The band to draw: that of the part most spoken for.
static void chart_of(const struct listen_ear *ear, const struct judged *j,
                     const struct listen_bearing *bearing, struct listen_charts *charts) {
    bool worse = charts->bearing == NULL || bearing->none.v < charts->bearing->none.v;
    if (!worse) return;
    int most = 0;
    for (int p = 1; p < 4; p++)
        if (j->weight[p] > j->weight[most]) most = p;
    charts->bearing = bearing;
    charts->band = ear->spectra.bands[j->best[most].band];
    memcpy(charts->part_rate, j->part_rate, sizeof j->part_rate);
    for (int p = 0; p < 4; p++)
        if (j->best[p].named > 10) charts->part_rate[p] = j->best[p].found.f;
}

static bool one(struct listen_ear *ear, const struct place *place, struct listen_bearing *out,
                struct listen_charts *charts, struct bw_err *err) {
    double orders[4];
    struct judged j = {0};
    if (!bw_source_bearing_orders(ear->run->arena, place->designation, place->outer_turns, orders,
                                  err))
        return false;
    const char *why = deaf(ear, place, orders[0]);
    if (why == NULL && !weigh(ear, place, orders, &j))
        why = "It holds no band to listen to a bearing in.";
    if (why != NULL) {
        j = (struct judged){0};
        memcpy(j.weight, PRIOR, sizeof PRIOR);  // as before listening, and not even "none" is meant
        j.weight[LISTEN_UNKNOWN] += j.weight[LISTEN_NONE];
        j.weight[LISTEN_NONE] = 0;
    }
    fill(ear, place, &j, orders[0], out);
    if (why != NULL)
        out->evidence = why;
    else
        chart_of(ear, &j, out, charts);
    return true;
}

// --- which bearings ----------------------------------------------------------------------------

static const struct listen_turner *turner_by_id(const struct listen_ear *ear, const char *id) {
    for (int i = 0; i < ear->n_turners; i++)
        if (ear->turners[i].source != NULL && strcmp(ear->turners[i].source->id, id) == 0)
            return &ear->turners[i];
    return NULL;
}

// The rate of a turner after all that was heard: its own family, or the belief.
static void rate_of(const struct listen_ear *ear, const struct listen_turner *t,
                    struct place *place) {
    place->shaft = t->stated;
    place->sd = t->stated_sd;
    if (t->form.n > 0) {
        place->shaft = exp(bw_gauss_mean(ear->told, &t->form));
        place->sd = place->shaft * bw_gauss_sd(ear->told, &t->form);
    }
    if (t->heard && t->decided) {
        place->shaft = t->rate;
        place->sd = t->sd;
    }
}

struct places {
    struct place items[LISTEN_MOST_BEARINGS + 1];
    int n;
};

static void add_place(struct listen_ear *ear, struct places *places, const char *id,
                      const char *designation, bool outer_turns) {
    const struct listen_turner *t = id == NULL ? NULL : turner_by_id(ear, id);
    if (designation == NULL || t == NULL || places->n == LISTEN_MOST_BEARINGS) return;
    struct place *place = &places->items[places->n++];
    *place = (struct place){
        .id = id,
        .name = bw_arena_format(ear->run->arena, "bearing of the %s", t->source->name),
        .designation = designation,
        .outer_turns = outer_turns};
    rate_of(ear, t, place);
}

static void places_of_machine(struct listen_ear *ear, struct places *places) {
    struct bw_arena *arena = ear->run->arena;
    const struct bw_machine *machine = ear->model->machine;
    for (size_t h = 0; h < machine->heads.n; h++) {
        const struct bw_head *head = bw_machine_head(machine, h);
        const struct bw_roller *rollers = head->rollers.items;
        if (head->drum != NULL)
            add_place(ear, places, bw_arena_format(arena, "head%zu.drum", h + 1),
                      head->drum->bearing, false);
        for (size_t i = 0; i < head->rollers.n; i++)
            add_place(ear, places, bw_arena_format(arena, "head%zu.roller%zu", h + 1, i + 1),
                      rollers[i].bearing, rollers[i].shaft_fixed == BW_YES);
        if (head->motor != NULL)
            add_place(ear, places, bw_arena_format(arena, "head%zu.motor", h + 1),
                      head->motor->bearing, false);
    }
}

static void place_given(struct listen_ear *ear, struct places *places) {
    if (ear->input->bearing == NULL) return;
    const struct listen_turner *t = &ear->turners[ear->n_turners - 1];  // the shaft, added last
    struct place *place = &places->items[places->n++];
    *place =
        (struct place){.name = bw_arena_format(ear->run->arena, "bearing %s", ear->input->bearing),
                       .designation = ear->input->bearing,
                       .outer_turns = ear->input->outer_turns == BW_YES};
    rate_of(ear, t, place);
}

bool listen_bearings(struct listen_ear *ear, struct bw_list *out, struct listen_charts *charts,
                     struct bw_err *err) {
    struct places places = {.n = 0};
    if (ear->model != NULL) places_of_machine(ear, &places);
    place_given(ear, &places);
    size_t n = (size_t)places.n;
    struct listen_bearing *items = bw_arena_array(ear->run->arena, n + 1, sizeof *items);
    if (items == NULL) return bw_fail_memory(err);
    for (size_t i = 0; i < n; i++) {
        if (one(ear, &places.items[i], &items[i], charts, err)) continue;
        bw_err_within(err, "bearing");
        return false;
    }
    *out = (struct bw_list){items, n};
    return true;
}
