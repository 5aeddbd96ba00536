// lifetime.c - see lifetime.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: with z = b ln(t) - a the censored log likelihood is concave in (a, b) for both families
// (log-concave densities), so Newton's method with step halving finds its one maximum from
// anywhere. A profile likelihood is the same climb with a or b held, or with the second group's
// ages scaled. Sources: Meeker and Escobar 1998, chapters 8 and 11 (from memory); checked against
// the worked example of the NIST/SEMATECH handbook 8.4.1.3 and scipy. Rejected: least squares on
// probability paper (biased under censoring), normal intervals (too short below, too long above).
#include "numeric/lifetime.h"

#include <gsl/gsl_sf_erf.h>
#include <gsl/gsl_sf_gamma.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

// --- the two laws ----------------------------------------------------------------------------

struct law {  // a log density or log survival and its derivatives
    double value, slope, curvature;
};

static struct law ended(enum bw_life_family family, double z) {
    if (family == BW_WEIBULL) {
        double e = exp(z);
        return (struct law){z - e, 1 - e, -e};
    }
    return (struct law){-0.5 * z * z - 0.5 * log(2 * M_PI), -z, -1};
}

static struct law running(enum bw_life_family family, double z) {
    if (family == BW_WEIBULL) {
        double e = exp(z);
        return (struct law){-e, -e, -e};
    }
    double hazard = gsl_sf_hazard(z);
    return (struct law){gsl_sf_log_erfc(z * M_SQRT1_2) - M_LN2, -hazard, -hazard * (hazard - z)};
}

// --- one climb -------------------------------------------------------------------------------

struct sample {  // logarithms of ages, shifted by their mean
    enum bw_life_family family;
    const double *y;
    const bool *ended;
    size_t n;
};
struct point {
    double b, a;
    bool hold_b, hold_a;
};
struct hill {  // log likelihood without the -ln(t) of the ended, gradient and Hessian
    double value, gb, ga, bb, ab, aa;
};

static struct hill hill_at(const struct sample *s, const struct point *p) {
    struct hill h = {0};
    for (size_t i = 0; i < s->n; i++) {
        double z = p->b * s->y[i] - p->a;
        struct law law = s->ended[i] ? ended(s->family, z) : running(s->family, z);
        h.value += law.value;
        h.gb += law.slope * s->y[i];
        h.ga -= law.slope;
        h.bb += law.curvature * s->y[i] * s->y[i];
        h.ab -= law.curvature * s->y[i];
        h.aa += law.curvature;
        if (!s->ended[i]) continue;
        h.value += log(p->b);
        h.gb += 1 / p->b;
        h.bb -= 1 / (p->b * p->b);
    }
    return h;
}

static void newton(const struct hill *h, const struct point *p, double *db, double *da) {
    *db = *da = 0;
    if (p->hold_a && p->hold_b) return;
    if (p->hold_a) {
        *db = -h->gb / h->bb;
    } else if (p->hold_b) {
        *da = -h->ga / h->aa;
    } else {
        double determinant = h->bb * h->aa - h->ab * h->ab;
        *db = -(h->aa * h->gb - h->ab * h->ga) / determinant;
        *da = -(h->bb * h->ga - h->ab * h->gb) / determinant;
    }
}

// Climbs from *p to the top; returns the height there. `steps` 0 where it did not get there.
static double climb(const struct sample *s, struct point *p, int *steps) {
    enum { MOST = 200 };
    struct hill here = hill_at(s, p);
    for (*steps = 1; *steps <= MOST; (*steps)++) {
        double db, da;
        newton(&here, p, &db, &da);
        double gain = db * here.gb + da * here.ga;  // twice what is left to climb
        if (!(gain > 1e-18 * (1 + fabs(here.value)))) return here.value;
        double step = 1;
        struct point next = *p;
        struct hill there = here;
        for (int halving = 0; halving < 60; halving++, step /= 2) {
            next.b = p->b + step * db;
            next.a = p->a + step * da;
            if (!(next.b > 0)) continue;
            there = hill_at(s, &next);
            if (there.value >= here.value) break;
        }
        if (!(there.value >= here.value)) return here.value;
        bool still = there.value - here.value <= 1e-15 * (1 + fabs(here.value));
        *p = next;
        here = there;
        if (still) return here.value;
    }
    *steps = 0;
    return here.value;
}

// --- samples ---------------------------------------------------------------------------------

struct logs {
    double *y;
    bool *ended;
    double mean, first;  // of all; of the ended
    size_t n, n_ended;
};

static bool logs_of(struct bw_arena *arena, const struct bw_lives *lives, struct logs *out) {
    *out = (struct logs){.y = bw_arena_array(arena, lives->n + 1, sizeof(double)),
                         .ended = bw_arena_array(arena, lives->n + 1, sizeof(bool)),
                         .n = lives->n};
    if (out->y == NULL || out->ended == NULL) return false;
    for (size_t i = 0; i < lives->n; i++) {
        out->y[i] = log(lives->items[i].age);
        out->ended[i] = lives->items[i].ended;
        out->mean += out->y[i] / (double)lives->n;
        if (lives->items[i].ended) {
            out->n_ended++;
            out->first += out->y[i];
        }
    }
    for (size_t i = 0; i < lives->n; i++) out->y[i] -= out->mean;
    return true;
}

static double spread(const struct logs *logs) {
    double square = 0;
    for (size_t i = 0; i < logs->n; i++) square += logs->y[i] * logs->y[i];
    double sd = sqrt(square / (double)(logs->n > 1 ? logs->n - 1 : 1));
    return sd > 1e-3 ? sd : 1e-3;
}

static bool enough(const struct bw_lives *lives, struct bw_err *err) {
    double first = 0;
    size_t count = 0;
    bool differ = false;
    for (size_t i = 0; i < lives->n; i++) {
        if (!lives->items[i].ended) continue;
        if (count++ > 0 && lives->items[i].age != first) differ = true;
        first = lives->items[i].age;
    }
    if (differ) return true;
    return bw_fail(err, BW_INPUT, "needs at least two ended lives of different length, has %zu",
                   count);
}

bool bw_life_fit(struct bw_arena *arena, enum bw_life_family family, const struct bw_lives *lives,
                 struct bw_life_fit *out, struct bw_err *err) {
    struct logs logs;
    if (!enough(lives, err)) return false;
    if (!logs_of(arena, lives, &logs)) return bw_fail_memory(err);
    struct sample sample = {family, logs.y, logs.ended, lives->n};
    struct point p = {.b = 1 / spread(&logs)};
    int steps;
    double height = climb(&sample, &p, &steps);
    if (steps == 0 || !isfinite(height))
        return bw_fail(err, BW_FAILED, "the lives could not be fitted");
    *out = (struct bw_life_fit){.family = family,
                                .location = p.a / p.b + logs.mean,
                                .scale = 1 / p.b,
                                .log_likelihood = height - logs.first,
                                .iterations = steps,
                                .converged = true};
    return true;
}

// --- what a fit says -------------------------------------------------------------------------

double bw_life_shape(const struct bw_life_fit *fit) { return 1 / fit->scale; }

double bw_life_survival(const struct bw_life_fit *fit, double age) {
    if (age <= 0) return 1;
    return exp(running(fit->family, (log(age) - fit->location) / fit->scale).value);
}

// Quantile of the standard law, e.
static double standard(enum bw_life_family family, double share) {
    if (family == BW_WEIBULL) return log(-log1p(-share));
    // Bisection on the normal's own survival: no second set of coefficients to keep right.
    double low = -40, high = 40;
    for (int i = 0; i < 200; i++) {
        double middle = (low + high) / 2;
        *(0.5 * erfc(-middle * M_SQRT1_2) < share ? &low : &high) = middle;
    }
    return (low + high) / 2;
}

double bw_life_quantile(const struct bw_life_fit *fit, double share_ended) {
    return exp(fit->location + fit->scale * standard(fit->family, share_ended));
}

double bw_life_mean(const struct bw_life_fit *fit) {
    double s = fit->scale;
    return fit->family == BW_WEIBULL ? exp(fit->location + gsl_sf_lngamma(1 + s))
                                     : exp(fit->location + s * s / 2);
}

double bw_life_sd(const struct bw_life_fit *fit) {
    double s = fit->scale, mean = bw_life_mean(fit);
    if (fit->family == BW_LOGNORMAL) return mean * sqrt(expm1(s * s));
    double ratio = exp(gsl_sf_lngamma(1 + 2 * s) - 2 * gsl_sf_lngamma(1 + s));
    return mean * sqrt(ratio - 1);
}

// --- profiles --------------------------------------------------------------------------------

// Height of the profile at `x`; larger is likelier.
struct profile {
    struct sample sample;
    const struct logs *logs;
    struct point start;
    double e;            // standard quantile, for a quantile's profile
    double *shifted;     // scratch, n
    const bool *second;  // for a ratio: which belong to the second group
    double (*at)(struct profile *profile, double x);
};

static double at_quantile(struct profile *profile, double x) {
    for (size_t i = 0; i < profile->sample.n; i++) profile->shifted[i] = profile->logs->y[i] - x;
    struct sample sample = profile->sample;
    sample.y = profile->shifted;
    struct point p = {.b = profile->start.b, .a = -profile->e, .hold_a = true};
    int steps;
    return climb(&sample, &p, &steps);
}

static double at_log_shape(struct profile *profile, double x) {
    struct point p = {.b = exp(x), .a = profile->start.a, .hold_b = true};
    int steps;
    return climb(&profile->sample, &p, &steps);
}

static double at_log_ratio(struct profile *profile, double x) {
    for (size_t i = 0; i < profile->sample.n; i++)
        profile->shifted[i] = profile->logs->y[i] - (profile->second[i] ? x : 0);
    struct sample sample = profile->sample;
    sample.y = profile->shifted;
    struct point p = profile->start;
    int steps;
    double height = climb(&sample, &p, &steps);
    profile->start.b = p.b;
    return height;
}

// Where the profile has fallen by drop/2 on one side of its top; `step` gives side and scale.
static double edge(struct profile *profile, double top, double height, double step) {
    double inside = top, outside = top + step;
    for (int i = 0; i < 60 && profile->at(profile, outside) > height; i++) {
        inside = outside;
        step *= 1.7;
        outside += step;
    }
    if (profile->at(profile, outside) > height)
        return step > 0 ? (double)INFINITY : -(double)INFINITY;
    for (int i = 0; i < 80; i++) {
        double middle = (inside + outside) / 2;
        *(profile->at(profile, middle) > height ? &inside : &outside) = middle;
    }
    return (inside + outside) / 2;
}

static struct bw_interval both_edges(struct profile *profile, double top, double drop) {
    double height = profile->at(profile, top) - drop / 2;
    return (struct bw_interval){exp(edge(profile, top, height, -0.05)),
                                exp(edge(profile, top, height, 0.05))};
}

static bool profile_of(struct bw_arena *arena, const struct bw_lives *lives,
                       const struct bw_life_fit *fit, struct profile *out) {
    struct logs *logs = bw_arena_get(arena, sizeof *logs);
    if (logs == NULL || !logs_of(arena, lives, logs)) return false;
    *out = (struct profile){
        .logs = logs,
        .shifted = bw_arena_array(arena, lives->n + 1, sizeof(double)),
        .sample = {fit->family, logs->y, logs->ended, lives->n},
        .start = {.b = 1 / fit->scale, .a = (fit->location - logs->mean) / fit->scale}};
    return out->shifted != NULL;
}

bool bw_life_quantile_interval(struct bw_arena *arena, const struct bw_lives *lives,
                               const struct bw_life_fit *fit, const double share_and_drop[2],
                               struct bw_interval *out, struct bw_err *err) {
    struct profile profile;
    if (!profile_of(arena, lives, fit, &profile)) return bw_fail_memory(err);
    profile.e = standard(fit->family, share_and_drop[0]);
    profile.at = at_quantile;
    double top = fit->location + fit->scale * profile.e - profile.logs->mean;
    *out = both_edges(&profile, top, share_and_drop[1]);
    out->low *= exp(profile.logs->mean);
    out->high *= exp(profile.logs->mean);
    return true;
}

bool bw_life_shape_interval(struct bw_arena *arena, const struct bw_lives *lives,
                            const struct bw_life_fit *fit, double drop, struct bw_interval *out,
                            struct bw_err *err) {
    struct profile profile;
    if (!profile_of(arena, lives, fit, &profile)) return bw_fail_memory(err);
    profile.at = at_log_shape;
    *out = both_edges(&profile, -log(fit->scale), drop);
    return true;
}

// --- two groups ------------------------------------------------------------------------------

static double best_log_ratio(struct profile *profile) {
    // Golden section: the profile has one top (the likelihood is concave in all three numbers).
    const double GOLD = 0.6180339887498949;
    double low = -6, high = 6;
    double x = high - GOLD * (high - low), y = low + GOLD * (high - low);
    double fx = profile->at(profile, x), fy = profile->at(profile, y);
    while (high - low > 1e-9) {
        if (fx > fy) {
            high = y;
            y = x;
            fy = fx;
            x = high - GOLD * (high - low);
            fx = profile->at(profile, x);
        } else {
            low = x;
            x = y;
            fx = fy;
            y = low + GOLD * (high - low);
            fy = profile->at(profile, y);
        }
    }
    return (low + high) / 2;
}

static bool some_ended(const struct bw_lives *lives) {
    for (size_t i = 0; i < lives->n; i++)
        if (lives->items[i].ended) return true;
    return false;
}

bool bw_life_compare(struct bw_arena *arena, enum bw_life_family family,
                     const struct bw_lives groups[2], double drop, struct bw_life_ratio *out,
                     struct bw_err *err) {
    size_t first = groups[0].n, n = first + groups[1].n;
    struct bw_life *all = bw_arena_array(arena, n + 1, sizeof *all);
    bool *second = bw_arena_array(arena, n + 1, sizeof *second);
    if (all == NULL || second == NULL) return bw_fail_memory(err);
    for (size_t i = 0; i < n; i++) {
        second[i] = i >= first;
        all[i] = second[i] ? groups[1].items[i - first] : groups[0].items[i];
    }
    if (!some_ended(&groups[0]) || !some_ended(&groups[1]))
        return bw_fail(err, BW_INPUT, "each group needs at least one ended life");
    const struct bw_lives together = {all, n};
    struct bw_life_fit fit;
    struct profile profile;
    if (!bw_life_fit(arena, family, &together, &fit, err)) return false;
    if (!profile_of(arena, &together, &fit, &profile)) return bw_fail_memory(err);
    profile.second = second;
    profile.at = at_log_ratio;
    double top = best_log_ratio(&profile);
    double scale = 1 / profile.start.b;
    *out = (struct bw_life_ratio){.ratio = exp(top), .scale = scale};
    out->interval = both_edges(&profile, top, drop);
    return true;
}

// --- the record itself -----------------------------------------------------------------------

static int by_age(const void *x, const void *y) {
    const struct bw_life *a = x, *b = y;
    if (a->age != b->age) return a->age < b->age ? -1 : 1;
    return (int)b->ended - (int)a->ended;  // at a tie the ended come first
}

size_t bw_life_record(struct bw_arena *arena, const struct bw_lives *lives, double *ages,
                      double *shares) {
    size_t n = lives->n;
    struct bw_life *sorted = bw_arena_array(arena, n + 1, sizeof *sorted);
    if (sorted == NULL) return 0;
    if (n > 0) memcpy(sorted, lives->items, n * sizeof *sorted);
    qsort(sorted, n, sizeof *sorted, by_age);
    double share = 1;
    size_t steps = 0;
    for (size_t i = 0; i < n; i++) {
        if (!sorted[i].ended) continue;
        share *= 1 - 1.0 / (double)(n - i);
        if (steps > 0 && ages[steps - 1] == sorted[i].age) steps--;
        ages[steps] = sorted[i].age;
        shares[steps++] = share;
    }
    return steps;
}

static double gap_of(const struct bw_life_fit *fit, const double *ages, const double *shares,
                     size_t steps) {
    double gap = 0, before = 1;
    for (size_t i = 0; i < steps; i++) {
        double fitted = bw_life_survival(fit, ages[i]);
        gap = fmax(gap, fmax(fabs(fitted - shares[i]), fabs(fitted - before)));
        before = shares[i];
    }
    return gap;
}

static double uniform(uint64_t *state) {  // splitmix64
    *state += 0x9e3779b97f4a7c15u;
    uint64_t z = *state;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return ((double)((z ^ (z >> 31)) >> 11) + 0.5) * 0x1p-53;
}

// A record as the fit would make it: those that run are cut at their age, the ended at the longest
// age on record.
static void simulate(const struct bw_lives *lives, const struct bw_life_fit *fit, uint64_t *state,
                     struct bw_life *out) {
    double longest = 0;
    for (size_t i = 0; i < lives->n; i++) longest = fmax(longest, lives->items[i].age);
    for (size_t i = 0; i < lives->n; i++) {
        double age = bw_life_quantile(fit, uniform(state));
        double cut = lives->items[i].ended ? 2 * longest : lives->items[i].age;
        out[i] = (struct bw_life){age < cut ? age : cut, age < cut};
    }
}

bool bw_life_goodness(struct bw_arena *arena, const struct bw_lives *lives,
                      const struct bw_life_fit *fit, const uint64_t rounds_and_seed[2],
                      struct bw_life_check *out, struct bw_err *err) {
    size_t n = lives->n;
    double *ages = bw_arena_array(arena, n + 1, sizeof *ages);
    double *shares = bw_arena_array(arena, n + 1, sizeof *shares);
    struct bw_life *drawn = bw_arena_array(arena, n + 1, sizeof *drawn);
    if (ages == NULL || shares == NULL || drawn == NULL) return bw_fail_memory(err);
    double gap = gap_of(fit, ages, shares, bw_life_record(arena, lives, ages, shares));
    const struct bw_lives again_lives = {drawn, n};
    uint64_t state = rounds_and_seed[1];
    size_t larger = 0, done = 0;
    for (uint64_t round = 0; round < rounds_and_seed[0]; round++) {
        struct bw_arena *scratch = bw_arena_new(0);
        struct bw_life_fit again;
        struct bw_err ignored = {0};
        if (scratch == NULL) return bw_fail_memory(err);
        simulate(lives, fit, &state, drawn);
        if (bw_life_fit(scratch, fit->family, &again_lives, &again, &ignored)) {
            size_t steps = bw_life_record(scratch, &again_lives, ages, shares);
            larger += gap_of(&again, ages, shares, steps) >= gap;
            done++;
        }
        bw_arena_free(scratch);
    }
    *out = (struct bw_life_check){gap, ((double)larger + 1) / ((double)done + 1)};
    return true;
}

// --- age replacement -------------------------------------------------------------------------

// Integral of survival from 0 to `age`, Simpson's rule on even steps.
static double mean_until(const struct bw_life_fit *fit, double age) {
    enum { STEPS = 400 };
    double sum = 1 + bw_life_survival(fit, age);
    for (int i = 1; i < STEPS; i++)
        sum += (i % 2 == 1 ? 4 : 2) * bw_life_survival(fit, age * i / STEPS);
    return sum * age / STEPS / 3;
}

double bw_life_cost(const struct bw_life_fit *fit, double age, double planned, double failure) {
    if (isinf(age)) return failure / bw_life_mean(fit);
    double ended = 1 - bw_life_survival(fit, age);
    return (planned + (failure - planned) * ended) / mean_until(fit, age);
}

double bw_life_best_age(const struct bw_life_fit *fit, double planned, double failure) {
    double wait = bw_life_cost(fit, (double)INFINITY, planned, failure);
    double best = (double)INFINITY, least = wait * 0.999;
    double low = log(bw_life_quantile(fit, 1e-4)), high = log(bw_life_quantile(fit, 0.9999));
    enum { GRID = 400 };
    for (int i = 0; i <= GRID; i++) {
        double age = exp(low + (high - low) * i / GRID);
        double cost = bw_life_cost(fit, age, planned, failure);
        if (cost < least) best = age;
        least = fmin(least, cost);
    }
    if (isinf(best)) return best;
    // Golden section around the best of the grid, in ln(age).
    double step = (high - low) / GRID, a = log(best) - step, b = log(best) + step;
    for (int i = 0; i < 60; i++) {
        double x = b - 0.6180339887 * (b - a), y = a + 0.6180339887 * (b - a);
        bool left = bw_life_cost(fit, exp(x), planned, failure) <
                    bw_life_cost(fit, exp(y), planned, failure);
        *(left ? &b : &a) = left ? y : x;
    }
    return exp((a + b) / 2);
}
