// marks.c - equally spaced marks in a trace: pitch, height, and the chance that it is chance.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The middle profile, pores and fuzz clipped to the core's limits, is averaged to some 16000 points
// and its spectrum taken under a Hann window. The floor is a running quartile over a band of
// frequencies, so that grain, whose power falls with frequency, is no mark. A peak of r times the
// floor has the chance exp(-r/TAIL) in one place of many: on real boards the tail is nearly twice
// as heavy as Gaussian noise has it. Then the octave is settled, the pitch refined without the
// window by the greatest power over all harmonics, each weighed by its floor (its sd is the bound
// for a line in noise, with a tenth of a per cent for the instrument's drive), the marks are taken
// out, and the search begins again.
#include "numeric/fft.h"
#include "numeric/profile_filter.h"
#include "study/trace/work.h"

#include <complex.h>
#include <math.h>
#include <string.h>

#define MOST_SETS 3
#define MOST_HARMONICS 8
#define MOST_POINTS 16384
#define SHORTEST 0.5e-3  // m: shorter is scratches
#define LEAST_MARKS 6    // in the trace, to call them equally spaced
#define PAD 4
#define TAIL 2.5  // heavier than measured on boards (1.8: 13.7 where Gaussian noise has 7.7)
#define CHANCE 0.01
#define STANDS_OUT 12               // ratio of a harmonic of a known rate: chance 1e-3
#define DRIVE 1e-3                  // sd of the scale along the trace (common practice, no source)
#define QUARTER 0.2876820724517809  // of an exponential law of mean 1: -ln(3/4)

struct search {
    double *y, *power, *floor, *scratch;  // y: n; the rest: bins
    size_t n, bins;
    double d, length, df;  // m, m, 1/m
    size_t first, last;    // bins searched
    struct bw_fft fft;
};

// --- the spectrum ------------------------------------------------------------------------------

static void thin(const struct trace_measured *m, size_t by, struct search *s) {
    const struct bw_core *core = &m->core.at;
    for (size_t i = 0; i < s->n; i++) {
        double sum = 0;
        for (size_t k = i * by; k < (i + 1) * by; k++) {
            double z = m->primary[k], off = m->drawn_core == NULL ? 0 : m->drawn_core[k];
            if (m->drawn_core != NULL) z += fmin(fmax(off, core->low), core->high) - off;
            sum += z;
        }
        s->y[i] = sum / (double)by;
    }
    bw_profile_level(s->y, s->n, 1);
}

static void transform(struct search *s) {
    double scale = 0, norm = 0;
    for (size_t i = 0; i < s->n; i++) scale = fmax(scale, fabs(s->y[i]));
    for (size_t i = 0; i < s->n; i++) {
        double window = 0.5 - 0.5 * cos(2 * M_PI * ((double)i + 0.5) / (double)s->n);
        s->fft.in[i] = (float)(s->y[i] / scale * window);
        norm += window * window;
    }
    memset(s->fft.in + s->n, 0, (s->fft.size - s->n) * sizeof *s->fft.in);
    bw_fft_run(&s->fft);
    for (size_t k = 0; k < s->bins; k++) {
        double re = (double)crealf(s->fft.out[k]), im = (double)cimagf(s->fft.out[k]);
        s->power[k] = (re * re + im * im) * scale * scale / norm;
    }
}

// Lower quartile of power[low .. high), which marks hardly reach, each multiplied by
// (k / at)^tilt.
static double quartile(struct search *s, const size_t band[2], double at, double tilt) {
    size_t n = 0;
    for (size_t k = band[0]; k < band[1]; k++)
        s->scratch[n++] = s->power[k] * pow((double)k / at, tilt);
    (void)bw_median(s->scratch, n);
    return fmax(bw_median(s->scratch, n / 2) / QUARTER, 1e-60);
}

// The floor at a node, from f/1.5 to 1.5 f and 20 cells at least, levelled by the fall between the
// band's halves.
static double node_floor(struct search *s, size_t at) {
    size_t low = (size_t)((double)at / 1.5), high = (size_t)((double)at * 1.5) + 1;
    if (high < low + 20 * PAD) high = low + 20 * PAD;
    if (low < PAD) low = PAD;
    if (high > s->bins) high = s->bins;
    size_t middle = (low + high) / 2;
    double left = quartile(s, (const size_t[2]){low, middle}, 1, 0);
    double right = quartile(s, (const size_t[2]){middle, high}, 1, 0);
    double octave = log((double)(middle + high) / (double)(low + middle));
    double tilt = fmin(fmax(log(left / right) / octave, 0), 4);
    return quartile(s, (const size_t[2]){low, high}, (double)at, tilt);
}

static void find_floor(struct search *s) {
    size_t from = s->first;
    double before = node_floor(s, from);
    for (size_t k = 0; k <= from; k++) s->floor[k] = before;
    while (from + 1 < s->bins) {
        size_t to = (size_t)ceil((double)from * 1.1) + 1;
        if (to >= s->bins) to = s->bins - 1;
        double next = node_floor(s, to), span = log((double)to / (double)from);
        for (size_t k = from + 1; k <= to; k++)
            s->floor[k] = before * pow(next / before, log((double)k / (double)from) / span);
        before = next;
        from = to;
    }
}

static double ratio_at(const struct search *s, double f) {
    double best = 0;
    size_t k = (size_t)llround(f / s->df);
    for (size_t i = k > 1 ? k - 1 : 1; i <= k + 1 && i < s->bins; i++)
        best = fmax(best, s->power[i] / s->floor[i]);
    return best;
}

// --- one set -----------------------------------------------------------------------------------

struct set {
    double f, sd, chance, height, height_sd;
    int harmonics;
};

// exp(2 pi i turns); I is a float, and clang has no CMPLX.
static double complex turned(double turns) {
    return cos(2 * M_PI * turns) + sin(2 * M_PI * turns) * (double complex)I;
}

static double complex line_at(const struct search *s, double f) {
    double complex sum = 0, turn = turned(-f * s->d), now = 1;
    for (size_t i = 0; i < s->n; i++) {
        sum += s->y[i] * now;
        now *= turn;
    }
    return sum;
}

static double floor_at(const struct search *s, double f) {
    size_t k = (size_t)llround(f / s->df);
    return s->floor[k < s->bins ? k : s->bins - 1];
}

// Power of all harmonics over their floors, without the window.
static double likelihood(const struct search *s, const struct set *set, double f) {
    double sum = 0;
    for (int k = 1; k <= set->harmonics; k++) {
        double complex line = line_at(s, k * f);
        sum += (creal(line) * creal(line) + cimag(line) * cimag(line)) / (double)s->n /
               floor_at(s, k * f);
    }
    return sum;
}

static void refine(const struct search *s, struct set *set) {
    double reach = 0.5 / s->length / set->harmonics, low = set->f - reach, high = set->f + reach;
    const double golden = 0.6180339887498949;
    double a = high - golden * (high - low), b = low + golden * (high - low);
    double at_a = likelihood(s, set, a), at_b = likelihood(s, set, b);
    for (int i = 0; i < 30; i++) {
        if (at_a > at_b) {
            high = b;
            b = a;
            at_b = at_a;
            a = high - golden * (high - low);
            at_a = likelihood(s, set, a);
        } else {
            low = a;
            a = b;
            at_a = at_b;
            b = low + golden * (high - low);
            at_b = likelihood(s, set, b);
        }
    }
    set->f = (low + high) / 2;
}

// The strongest peak; half its rate where that and what only it explains stand out too.
static bool strongest(const struct search *s, struct set *set) {
    double best = 0, cells = (double)(s->last - s->first) / PAD;
    for (size_t k = s->first; k <= s->last; k++) {
        if (!(s->power[k] / s->floor[k] > best)) continue;
        best = s->power[k] / s->floor[k];
        set->f = (double)k * s->df;
    }
    set->chance = fmin(1, cells * exp(-best / TAIL));
    if (set->chance > CHANCE) return false;
    for (int part = 4; part >= 2; part--) {
        double f = set->f / part;
        if (f < (double)s->first * s->df || ratio_at(s, f) < STANDS_OUT ||
            ratio_at(s, (part + 1) * f) < STANDS_OUT)
            continue;
        set->f = f;
        break;
    }
    set->harmonics = 1;
    while (set->harmonics < MOST_HARMONICS &&
           (set->harmonics + 1) * set->f < (double)s->last * s->df &&
           ratio_at(s, (set->harmonics + 1) * set->f) > STANDS_OUT)
        set->harmonics++;
    return true;
}

// Height from valley to ridge of the mean mark, the pitch's sd, and the marks taken out.
static void take_out(struct search *s, struct set *set) {
    double complex line[MOST_HARMONICS];
    double weight = 0, variance = 0, top = 0, bottom = 0;
    for (int k = 1; k <= set->harmonics; k++) {
        line[k - 1] = 2 * line_at(s, k * set->f) / (double)s->n;
        double amplitude = cabs(line[k - 1]), floor = floor_at(s, k * set->f);
        weight += k * k * amplitude * amplitude * (double)s->n / 4 / floor;
        variance += 2 * floor / (double)s->n;
    }
    for (int i = 0; i < 400; i++) {
        double z = 0;
        for (int k = 1; k <= set->harmonics; k++) z += creal(line[k - 1] * turned(k * i / 400.0));
        top = i == 0 ? z : fmax(top, z);
        bottom = i == 0 ? z : fmin(bottom, z);
    }
    set->height = top - bottom;
    set->height_sd = 2 * sqrt(variance);
    double drive = DRIVE * set->f;
    set->sd = sqrt(1.5 / (M_PI * M_PI * s->length * s->length * weight) + drive * drive);
    for (int k = 1; k <= set->harmonics; k++) {
        double complex turn = turned(k * set->f * s->d), now = line[k - 1];
        for (size_t i = 0; i < s->n; i++) {
            s->y[i] -= creal(now);
            now *= turn;
        }
    }
}

// --- all of them -------------------------------------------------------------------------------

static void tell(struct trace_work *w, const struct search *s, const struct set *set,
                 double cut_off) {
    struct trace_mark_set *sets = w->out.mark_sets.items;
    struct bw_quantity pitch = bw_about(1 / set->f, set->sd / (set->f * set->f));
    struct bw_quantity height = bw_about(set->height, set->height_sd);
    char pitch_text[BW_QUANTITY_TEXT], height_text[BW_QUANTITY_TEXT];
    (void)bw_quantity_text(pitch_text, pitch, BW_DIM_LENGTH, BW_UNITS_SI);
    (void)bw_quantity_text(height_text, height, BW_DIM_DEPTH, BW_UNITS_SI);
    sets[w->out.mark_sets.n++] =
        (struct trace_mark_set){.pitch = pitch,
                                .height = height,
                                .false_alarm = bw_exactly(set->chance),
                                .harmonics = set->harmonics,
                                .found = (long)(s->length * set->f),
                                .on = pitch.v < cut_off ? "roughness" : "waviness",
                                .mark = trace_say(w, "%s depth %s", pitch_text, height_text)};
}

static bool open_search(struct trace_work *w, size_t by, struct search *s, struct bw_err *err) {
    size_t size = bw_fft_size(PAD * s->n);
    s->bins = size / 2 + 1;
    s->df = 1 / ((double)size * s->d);
    s->first = (size_t)ceil(LEAST_MARKS / s->length / s->df);
    s->last = (size_t)(fmin(1 / SHORTEST, 0.4 / s->d) / s->df);
    s->y = bw_arena_array(w->arena, s->n + 3 * s->bins, sizeof(double));
    if (s->y == NULL) return bw_fail_memory(err);
    s->power = s->y + s->n;
    s->floor = s->power + s->bins;
    s->scratch = s->floor + s->bins;
    if (!bw_fft_real(size, &s->fft, err)) return false;
    thin(&w->middle, by, s);
    return true;
}

bool trace_marks(struct trace_work *w, const struct trace_settings *settings, struct bw_err *err) {
    const struct trace_heights *h = &w->heights;
    size_t by = (h->n + MOST_POINTS - 1) / MOST_POINTS;
    struct search s = {.n = h->n / by, .d = h->dx * (double)by};
    s.length = (double)s.n * s.d;
    w->out.mark_sets.items = bw_arena_array(w->arena, MOST_SETS, sizeof(struct trace_mark_set));
    if (w->out.mark_sets.items == NULL) return bw_fail_memory(err);
    if (s.n < 200 || s.length < LEAST_MARKS * 2 * SHORTEST) return true;
    if (!open_search(w, by, &s, err)) return false;
    bool more = s.last > s.first + 20 * PAD;
    for (int i = 0; i < MOST_SETS && more; i++) {
        struct set set;
        transform(&s);
        find_floor(&s);
        more = strongest(&s, &set);
        if (!more) break;
        refine(&s, &set);
        take_out(&s, &set);
        tell(w, &s, &set, settings->cut_off);
    }
    bw_fft_free(&s.fft);
    return true;
}
