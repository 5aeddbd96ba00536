// harmonics.c - see harmonics.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: a Bayes factor line by line. Noise averaged over L spectra follows a Gamma law of shape L
// and mean 1; a line of unknown strength the same with a mean spread evenly over 3 to 43 dB. A bin
// may also hold a line for some other reason: one in CLUTTER does, so no single line can say more
// than chance / CLUTTER however strong it is. That cap is what keeps one tone of another machine
// from passing for a shaft, and real noise, whose tail is heavier than Gamma's, from passing for
// tones; many weak lines in their places still add up, which a search for single peaks would miss.
// f is integrated over its prior on a grid fine enough for the highest line, so that looking in
// many places costs what it should. Source: Jaynes, Probability Theory, chapter 17, and the product
// of orders of Leclere and others 2016 (both from memory). Rejected: the harmonic product (one
// missing line kills it), the cepstrum (ambiguous octaves, no levels).
#include "numeric/harmonics.h"

#include "base/quantity.h"

#include <gsl/gsl_sf_gamma.h>
#include <math.h>

#define CLUTTER 0.004
#define LEVELS 14      // of a line's strength, 3 dB apart from 3 dB on
#define NEAR_BINS 2.5  // an explained line covers so many bins each side

static double log_gamma_law(double ratio, double mean, int shape) {
    double x = ratio / mean;
    return shape * log((double)shape) - gsl_sf_lngamma(shape) + (shape - 1) * log(x) - shape * x -
           log(mean);
}

// ln of density under a line over density under noise or clutter.
static double log_line_factor(double ratio, int segments) {
    ratio = fmax(ratio, 1e-3);
    double noise = log_gamma_law(ratio, 1, segments), top = -HUGE_VAL, terms[LEVELS];
    for (int i = 0; i < LEVELS; i++) {
        terms[i] = log_gamma_law(ratio, 1 + pow(10, 0.3 * (i + 1)), segments);
        top = fmax(top, terms[i]);
    }
    double sum = 0;
    for (int i = 0; i < LEVELS; i++) sum += exp(terms[i] - top);
    double line = top + log(sum / LEVELS), most = fmax(line, noise);
    double other = most + log((1 - CLUTTER) * exp(noise - most) + CLUTTER * exp(line - most));
    return line - other;
}

// The same from a table by decibels, in steps of a quarter; one is made for each search.
#define TABLE_LOW (-30.0)
#define TABLE_STEP 0.25
#define TABLE 330

struct factors {
    double log_factor[TABLE];
};

static void fill_factors(int segments, struct factors *out) {
    for (int i = 0; i < TABLE; i++)
        out->log_factor[i] = log_line_factor(pow(10, (TABLE_LOW + TABLE_STEP * i) / 10), segments);
}

static double factor_at(const struct factors *factors, double ratio) {
    double at = (10 * log10(fmax(ratio, 1e-3)) - TABLE_LOW) / TABLE_STEP;
    if (at >= TABLE - 1) return factors->log_factor[TABLE - 1];
    int i = (int)at;
    double part = at - i;
    return factors->log_factor[i] * (1 - part) + factors->log_factor[i + 1] * part;
}

double bw_lines_at(const struct bw_lines *lines, double f) {
    double at = f / lines->step_hz;
    if (!(at >= 1) || at >= (double)lines->n - 1) return 0;
    size_t i = (size_t)at;
    double part = at - (double)i;
    double a = (double)lines->ratio[i], b = (double)lines->ratio[i + 1];
    return a * (1 - part) + b * part;
}

double bw_lines_threshold(int segments) {
    // The Gamma law's tail at 1e-5: 11.5 for one spectrum; Wilson and Hilferty's cube for more.
    double l = segments, c = 1 / (9 * l);
    return segments == 1 ? 11.5 : pow(1 - c + 4.26 * sqrt(c), 3);
}

static bool explained(const struct bw_search *s, double f) {
    double near = NEAR_BINS * s->lines->step_hz;
    for (int i = 0; i < s->n_explained; i++) {
        double g = s->explained[i].rate_hz;
        if (g > 4 * near && f > g / 2 && fabs(f - g * round(f / g)) < near) return true;
    }
    return false;
}

static bool usable(const struct bw_search *s, double f) {
    return f < ((double)s->lines->n - 2) * s->lines->step_hz && f > 2 * s->lines->step_hz &&
           !explained(s, f);
}

// How well the levels of the lines that stand out fall as they should; ln, at most 0.
static double log_fall(const struct bw_family *family, const double *level_db) {
    double sum = 0, squares = 0;
    int n = 0;
    if (isnan(family->fall_db)) return 0;
    for (int k = 0; k < family->n; k++) {
        if (isnan(level_db[k])) continue;
        double v = level_db[k] + family->fall_db * k;
        sum += v;
        squares += v * v;
        n++;
    }
    if (n < 2) return 0;
    double scatter = squares - sum * sum / n;
    return -scatter / (2 * family->spread_db * family->spread_db);
}

static double evidence_at(const struct bw_search *s, const struct factors *factors, double f) {
    double sum = 0, level[BW_HARMONICS_MOST];
    double least = bw_lines_threshold(s->lines->segments) / 2;
    for (int k = 0; k < s->family->n; k++) {
        double at = f * (k + 1);
        level[k] = BW_NAN;
        if (!usable(s, at)) continue;
        double ratio = bw_lines_at(s->lines, at), chance = s->family->chance[k];
        sum += log(1 - chance + chance * exp(factor_at(factors, ratio)));
        if (ratio > least) level[k] = 10 * log10(ratio);
    }
    return sum + log_fall(s->family, level);
}

double bw_harmonics_at(const struct bw_search *s, double f) {
    struct factors factors;
    fill_factors(s->lines->segments, &factors);
    return evidence_at(s, &factors, f);
}

// The place of the highest ratio near `f`, by a parabola through three logarithms.
static bool peak_near(const struct bw_lines *lines, double f, double reach, double *at,
                      double *ratio) {
    long first = lround((f - reach) / lines->step_hz), last = lround((f + reach) / lines->step_hz);
    if (first < 1) first = 1;
    if (last > (long)lines->n - 2) last = (long)lines->n - 2;
    long best = first;
    for (long i = first; i <= last; i++)
        if (lines->ratio[i] > lines->ratio[best]) best = i;
    if (first > last) return false;
    double a = log((double)lines->ratio[best - 1] + 1e-9),
           b = log((double)lines->ratio[best] + 1e-9);
    double c = log((double)lines->ratio[best + 1] + 1e-9), bend = a - 2 * b + c;
    double shift = bend < 0 ? 0.5 * (a - c) / bend : 0;
    *at = ((double)best + fmax(-0.5, fmin(0.5, shift))) * lines->step_hz;
    *ratio = (double)lines->ratio[best];
    return true;
}

// One pass of weighted least squares through the places of the lines that stand out, f_k = k f,
// each looked for within a bin of where `f` puts it, never where something else explains it.
static double fit(const struct bw_search *s, double f, struct bw_found *out) {
    double threshold = bw_lines_threshold(s->lines->segments), step = s->lines->step_hz;
    double weight = 0, moment = 0, second = 0;
    out->counted = out->looked = 0;
    for (int k = 0; k < s->family->n; k++) {
        double ratio, at, order = k + 1;
        out->level_db[k] = BW_NAN;
        if (!usable(s, f * order)) continue;
        out->looked++;
        if (!peak_near(s->lines, f * order, step, &at, &ratio) || !usable(s, at)) continue;
        out->level_db[k] = 10 * log10(ratio);
        if (ratio < threshold) continue;
        out->counted++;
        // A peak's place: half a bin over the root of its ratio, never better than a twentieth.
        double sd = step * fmax(0.05, 0.5 / sqrt(ratio)) / order, w = 1 / (sd * sd);
        weight += w;
        moment += w * at / order;
        second += w * (at / order) * (at / order);
    }
    if (out->counted == 0) return f;
    double mean = moment / weight, misfit = fmax(0, second - weight * mean * mean);
    double widen = out->counted > 1 ? fmax(1, misfit / (out->counted - 1)) : 1;
    out->sd = sqrt(widen / weight);
    return mean;
}

static void refine(const struct bw_search *s, struct bw_found *out) {
    double first = fit(s, out->f, out);
    out->f = fit(s, first, out);
}

void bw_harmonics_find(const struct bw_search *s, struct bw_found *out) {
    struct bw_found found = {.log_evidence = 0, .f = s->middle};
    struct factors factors;
    fill_factors(s->lines->segments, &factors);
    double half = s->reach * s->relative_sd;
    // Half a bin at the highest line that fits.
    double highest = fmin(s->family->n * s->middle, (double)s->lines->n * s->lines->step_hz);
    double step = 0.4 * s->lines->step_hz / fmax(highest, s->middle);
    long n = (long)ceil(half / step);
    if (n > 20000) n = 20000;
    if (n < 1) n = 1;
    step = half > 0 ? half / (double)n : step;
    double top = -HUGE_VAL, sum = 0, total = 0, mean = 0, square = 0;  // of ln f, weighted
    for (long i = -n; i <= n; i++) {
        double z = s->relative_sd > 0 ? (double)i * step / s->relative_sd : 0;
        double f = s->middle * exp((double)i * step), prior = exp(-z * z / 2);
        double value = evidence_at(s, &factors, f);
        total += prior;
        double joint = value + log(prior);
        if (joint > top) {
            double fade = exp(top - joint);
            sum *= fade;
            mean *= fade;
            square *= fade;
            top = joint;
            found.f = f;
        }
        double x = (double)i * step, weight = exp(joint - top);
        sum += weight;
        mean += weight * x;
        square += weight * x * x;
    }
    found.log_evidence = top + log(sum / total);
    found.sd = found.f * fmax(step, 1e-6);
    refine(s, &found);
    // Other places that are nearly as likely widen it.
    mean /= sum;
    found.sd = hypot(found.sd, found.f * sqrt(fmax(0, square / sum - mean * mean)));
    *out = found;
}
