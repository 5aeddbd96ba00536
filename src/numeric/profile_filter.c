// profile_filter.c - see profile_filter.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Both filters fit a polynomial under a Gaussian window around each point and take its value there
// (ISO 16610-28 for the ends, ISO 16610-31 for the robust one; both from memory). In the Hermite
// polynomials of x = (j - i)/sigma all that is needed are the moments
//
//     m_k(i) = sum over j of He_k(x) G(j - i) v_j,   G the normal density with sd sigma,
//
// of the weights and of weights times heights. Away from the ends of an unweighted profile m_1 =
// m_2 = 0, and the line is the plain Gaussian filter, ISO 16610-21.
//
// A Gaussian of sd sigma is three of smaller sd one after another, and He_k(x) G is a derivative of
// it, which may be taken in any of the three. So the profile is smoothed and thinned to every
// step-th point (sd s1 = 1.3 step), the moments are summed on the thin grid (sd s2), and smoothed
// back to the full grid (sd s1 again), s2^2 = sigma^2 - 2 s1^2. What thinning folds back is below
// exp(-31) of the heights: the method is the direct sum to 1e-12 of the largest height, at some 45
// products a point whatever the cut-off. Windows end at 7.5 sd (6e-14 of their weight).
//
// Rejected: the FFT (twice the memory, the same time, awkward ends), recursive and box cascades
// (their transmission is only nearly Gaussian), the direct sum (5000 products a point at 2.5 mm).
#include "numeric/profile_filter.h"

#include "base/alloc.h"

#include <math.h>
#include <string.h>

#define REACH 7.5  // sd at which a window ends
#define FIRST 1.3  // sd of the thinning Gaussian, in steps
#define STEPS 6.0  // steps in one sigma
#define MOMENTS 5  // He_0 to He_4
#define EDGE 11    // points of the thin grid beyond the profile, REACH * FIRST rounded up, and 1
#define TAPS (2 * EDGE)
// exp(-u)(1 + u) = 1/2: the second-order window whose line keeps half of a wave of the cut-off.
#define SECOND_ORDER 1.6783469900166605
#define BIWEIGHT 4.4478  // 3 / 0.6745: three sd of normal heights, from their median distance

// Several sums at once: one alone waits for each addition.
static double dot(const double *a, const double *b, size_t n) {
    double s[4] = {0};
    size_t i = 0;
    for (; i + 4 <= n; i += 4)
        for (size_t k = 0; k < 4; k++) s[k] += a[i + k] * b[i + k];
    for (; i < n; i++) s[0] += a[i] * b[i];
    return (s[0] + s[1]) + (s[2] + s[3]);
}

static double gauss(double t, double sd) {
    double x = t / sd;
    return exp(-0.5 * x * x) / (sd * sqrt(2 * M_PI));
}

static double hermite(int k, double x) {
    double before = 0, now = 1;
    for (int i = 0; i < k; i++) {
        double next = x * now - i * before;
        before = now;
        now = next;
    }
    return now;
}

struct window {
    double sigma;
    size_t step;              // 1: summed directly
    size_t reach;             // of the middle kernels, in steps
    double *middle[MOMENTS];  // 2 reach + 1 each
    size_t first_reach;       // of the thinning kernel, in points
    double *first;            // 2 first_reach + 1
    double *last;             // TAPS for each of `step` phases
    double *block;            // all of them
};

static void window_close(struct window *window) { bw_free(window->block); }

static void fill_middle(struct window *window, double sd) {
    for (int k = 0; k < MOMENTS; k++) {
        for (size_t q = 0; q <= 2 * window->reach; q++) {
            double t = ((double)q - (double)window->reach) * (double)window->step;
            window->middle[k][q] = hermite(k, t / sd) * gauss(t, sd) * pow(window->sigma / sd, k) *
                                   (double)window->step;
        }
    }
}

static void fill_thinning(struct window *window, double sd) {
    for (size_t q = 0; q <= 2 * window->first_reach; q++)
        window->first[q] = gauss((double)q - (double)window->first_reach, sd);
    double step = (double)window->step;
    for (size_t phase = 0; phase < window->step; phase++)
        for (size_t t = 0; t < TAPS; t++)
            window->last[phase * TAPS + t] =
                gauss(((double)t - (EDGE - 1)) * step - (double)phase, sd) * step;
}

static bool window_open(struct window *window, double sigma, struct bw_err *err) {
    size_t step = sigma < 2 * STEPS ? 1 : (size_t)(sigma / STEPS);
    double thin = step == 1 ? 0 : FIRST * (double)step;
    double middle = sqrt(sigma * sigma - 2 * thin * thin);
    *window = (struct window){.sigma = sigma,
                              .step = step,
                              .reach = (size_t)ceil(REACH * middle / (double)step),
                              .first_reach = (size_t)ceil(REACH * thin)};
    size_t each = 2 * window->reach + 1, first = 2 * window->first_reach + 1;
    window->block = bw_alloc_zero(MOMENTS * each + first + step * TAPS, sizeof(double));
    if (window->block == NULL) return bw_fail_memory(err);
    for (size_t k = 0; k < MOMENTS; k++) window->middle[k] = window->block + k * each;
    window->first = window->block + MOMENTS * each;
    window->last = window->first + first;
    fill_middle(window, middle);
    if (step > 1) fill_thinning(window, thin);
    return true;
}

// The part of a kernel of `reach` around `at` that lies on 0 .. n - 1.
static double clipped(const double *kernel, size_t reach, const double *v, size_t n, long at) {
    long low = at - (long)reach, high = at + (long)reach;
    long skip = low < 0 ? -low : 0;
    if (high >= (long)n) high = (long)n - 1;
    if (low + skip > high) return 0;
    return dot(kernel + skip, v + low + skip, (size_t)(high - low - skip + 1));
}

// A signal made ready to be asked for its moments.
struct moments {
    const struct window *window;
    const double *v;  // summed directly from it; NULL: thinned
    size_t n;
    double *thin[MOMENTS];
    size_t thin_n;
    double *block;
};

static void moments_close(struct moments *moments) { bw_free(moments->block); }

// Points of the thin grid for n points, EDGE of them on either side beyond the profile.
static size_t thin_count(const struct window *window, size_t n) {
    return (n - 1) / window->step + 2 + 2 * EDGE;
}

static bool moments_open(struct moments *moments, const struct window *window, size_t n,
                         size_t orders, struct bw_err *err) {
    *moments = (struct moments){.window = window, .n = n};
    if (window->step == 1) return true;
    size_t thin_n = thin_count(window, n);
    moments->thin_n = thin_n;
    moments->block = bw_alloc_zero((orders + 1) * thin_n, sizeof(double));
    if (moments->block == NULL) return bw_fail_memory(err);
    for (size_t k = 0; k < orders; k++) moments->thin[k] = moments->block + (k + 1) * thin_n;
    return true;
}

static void moments_of(struct moments *moments, const double *v) {
    const struct window *window = moments->window;
    moments->v = v;
    if (window->step == 1) return;
    double *thinned = moments->block;
    for (size_t m = 0; m < moments->thin_n; m++)
        thinned[m] = clipped(window->first, window->first_reach, v, moments->n,
                             ((long)m - EDGE) * (long)window->step);
    for (size_t k = 0; k < MOMENTS && moments->thin[k] != NULL; k++)
        for (size_t m = 0; m < moments->thin_n; m++)
            moments->thin[k][m] =
                clipped(window->middle[k], window->reach, thinned, moments->thin_n, (long)m);
}

static double moment(const struct moments *moments, size_t k, size_t i) {
    const struct window *window = moments->window;
    if (window->step == 1)
        return clipped(window->middle[k], window->reach, moments->v, moments->n, (long)i);
    size_t m = i / window->step, phase = i % window->step;
    return dot(window->last + phase * TAPS, moments->thin[k] + m + 1, TAPS);
}

// --- the Gaussian ------------------------------------------------------------------------------

// tails[k][t]: sum of He_k G over all points from t on, for t = 0 .. reach + 1.
static bool tails_open(double sigma, size_t reach, double **out, struct bw_err *err) {
    double *tails = bw_alloc_zero(3 * (reach + 2), sizeof *tails);
    if (tails == NULL) return bw_fail_memory(err);
    for (size_t k = 0; k < 3; k++) {
        double *tail = tails + k * (reach + 2);
        for (size_t t = reach + 1; t-- > 0;)
            tail[t] = tail[t + 1] + hermite((int)k, (double)t / sigma) * gauss((double)t, sigma);
    }
    *out = tails;
    return true;
}

// m_k of a profile of ones with `left` points to the left of this one and `right` to its right.
static double ones(const double *tails, size_t reach, size_t k, const size_t sides[2]) {
    const double *tail = tails + k * (reach + 2);
    double sum = -(tail[0] - tail[1]);  // the point itself counts on both sides
    for (size_t side = 0; side < 2; side++) {
        double part = tail[0] - (sides[side] >= reach ? 0 : tail[sides[side] + 1]);
        sum += side == 0 && k % 2 == 1 ? -part : part;
    }
    // For odd k the point itself is 0.
    return sum;
}

static void gaussian_line(const struct moments *moments, const double *tails, size_t reach,
                          double *line) {
    size_t n = moments->n;
    double whole = ones(tails, reach, 0, (const size_t[2]){reach, reach});
    for (size_t i = 0; i < n; i++) {
        const size_t sides[2] = {i, n - 1 - i};
        double q0 = moment(moments, 0, i);
        if (sides[0] >= reach && sides[1] >= reach) {
            line[i] = q0 / whole;
            continue;
        }
        double m0 = ones(tails, reach, 0, sides), m1 = ones(tails, reach, 1, sides);
        double m2 = ones(tails, reach, 2, sides) + m0, q1 = moment(moments, 1, i);
        double det = m0 * m2 - m1 * m1;
        line[i] = det > 0 ? (q0 * m2 - q1 * m1) / det : q0 / m0;  // det 0: a single point
    }
}

bool bw_filter_gaussian(const double *z, size_t n, double cut_off, double *line,
                        struct bw_err *err) {
    double sigma = cut_off * sqrt(M_LN2 / 2) / M_PI;
    size_t reach = (size_t)ceil(REACH * sigma);
    struct window window = {0};
    struct moments moments = {0};
    double *tails = NULL;
    bool ok = window_open(&window, sigma, err) && moments_open(&moments, &window, n, 2, err) &&
              tails_open(sigma, reach, &tails, err);
    if (ok) {
        moments_of(&moments, z);
        gaussian_line(&moments, tails, reach, line);
    }
    bw_free(tails);
    moments_close(&moments);
    window_close(&window);
    return ok;
}

double bw_filter_transmission(double cut_off, double wave) {
    return exp2(-(cut_off / wave) * (cut_off / wave));
}

// --- the robust one ----------------------------------------------------------------------------

double bw_median(double *values, size_t n) {
    size_t low = 0, high = n - 1, middle = n / 2;
    while (low < high) {
        double pivot = values[low + (high - low) / 2];
        size_t i = low, j = high;
        for (;;) {
            while (values[i] < pivot) i++;
            while (values[j] > pivot) j--;
            if (i >= j) break;
            double swap = values[i];
            values[i++] = values[j];
            values[j--] = swap;
        }
        // Now values[low .. j] <= pivot <= values[j + 1 .. high].
        if (middle <= j)
            high = j;
        else
            low = j + 1;
    }
    return values[middle];
}

// Gaussian elimination on the 3 x 3 normal matrix; false where nothing supports a parabola.
static bool solve3(double a[3][4]) {
    for (int c = 0; c < 3; c++) {
        if (!(a[c][c] > 1e-9)) return false;
        for (int r = c + 1; r < 3; r++) {
            double f = a[r][c] / a[c][c];
            for (int k = c; k < 4; k++) a[r][k] -= f * a[c][k];
        }
    }
    for (int r = 2; r >= 0; r--) {
        for (int k = r + 1; k < 3; k++) a[r][3] -= a[r][k] * a[k][3];
        a[r][3] /= a[r][r];
    }
    return true;
}

// The parabola's value at its middle from the moments of weights m and weighted heights q: products
// of He_0, He_1, He_2 are sums of He_0 to He_4, and He_2(0) = -1.
static bool parabola(const double m[5], const double q[3], double *value) {
    double a[3][4] = {{m[0], m[1], m[2], q[0]},
                      {m[1], m[2] + m[0], m[3] + 2 * m[1], q[1]},
                      {m[2], m[3] + 2 * m[1], m[4] + 4 * m[2] + 2 * m[0], q[2]}};
    if (!solve3(a)) return false;
    *value = a[0][3] - a[2][3];
    return true;
}

struct robust {
    const double *z;
    double *line, *weights, *heights;
    size_t n;
    struct moments of_weights, of_heights;
};

static void robust_line(struct robust *r) {
    moments_of(&r->of_weights, r->weights);
    moments_of(&r->of_heights, r->heights);
    for (size_t i = 0; i < r->n; i++) {
        double m[5], q[3], value;
        for (size_t k = 0; k < 5; k++) m[k] = moment(&r->of_weights, k, i);
        for (size_t k = 0; k < 3; k++) q[k] = moment(&r->of_heights, k, i);
        // Inside a pore wider than the window nothing has a say: the line before stays.
        if (parabola(m, q, &value)) r->line[i] = value;
    }
}

// New weights from the distances; returns the median distance.
static double robust_weights(struct robust *r) {
    for (size_t i = 0; i < r->n; i++) r->heights[i] = fabs(r->z[i] - r->line[i]);
    double median = bw_median(r->heights, r->n), limit = BIWEIGHT * median;
    for (size_t i = 0; i < r->n; i++) {
        double x = limit > 0 ? (r->z[i] - r->line[i]) / limit : 0, rest = 1 - x * x;
        r->weights[i] = rest > 0 ? rest * rest : 0;
        r->heights[i] = r->weights[i] * r->z[i];
    }
    return median;
}

static int robust_rounds(struct robust *r) {
    for (size_t i = 0; i < r->n; i++) {
        r->weights[i] = 1;
        r->heights[i] = r->line[i] = r->z[i];
    }
    double before = (double)INFINITY, largest = 0;
    for (size_t i = 0; i < r->n; i++) largest = fmax(largest, fabs(r->z[i]));
    for (int round = 1; round < BW_FILTER_ROUNDS; round++) {
        robust_line(r);
        double median = robust_weights(r);
        // A profile that is its own mean line leaves rounding errors, which are not to be weighed.
        if (!(median > 1e-12 * largest) || !(fabs(before - median) > 1e-6 * median)) return round;
        before = median;
    }
    return BW_FILTER_ROUNDS;
}

bool bw_filter_robust(const double *z, size_t n, double cut_off, double *line, int *rounds_out,
                      struct bw_err *err) {
    double sigma = cut_off * sqrt(SECOND_ORDER / 2) / M_PI;
    struct window window = {0};
    struct robust r = {.z = z, .line = line, .n = n};
    r.weights = bw_alloc_zero(2 * n, sizeof *r.weights);
    bool ok = r.weights != NULL || bw_fail_memory(err);
    ok = ok && window_open(&window, sigma, err) &&
         moments_open(&r.of_weights, &window, n, 5, err) &&
         moments_open(&r.of_heights, &window, n, 3, err);
    if (ok) {
        r.heights = r.weights + n;
        int rounds = robust_rounds(&r);
        if (rounds_out != NULL) *rounds_out = rounds;
    }
    moments_close(&r.of_heights);
    moments_close(&r.of_weights);
    window_close(&window);
    bw_free(r.weights);
    return ok;
}

// --- form --------------------------------------------------------------------------------------

// Polynomials orthogonal on n evenly spaced points (Gram), by their recurrence p_{k+1} = x p_k -
// b_k p_{k-1} with x from -1 to 1; the norm of p_k is n times the product of b_1 to b_k.
struct gram {
    double b[9], scale;
    int degree;
};

static struct gram gram_of(size_t n, int degree) {
    struct gram gram = {.degree = degree, .scale = n > 1 ? 2 / (double)(n - 1) : 0};
    for (int k = 1; k <= degree; k++) {
        double across = (double)n * (double)n - (double)k * k;
        gram.b[k] = gram.scale * gram.scale * k * k * across / (4 * (4.0 * k * k - 1));
    }
    return gram;
}

static void gram_at(const struct gram *gram, double x, double p[9]) {
    p[0] = 1;
    if (gram->degree > 0) p[1] = x;
    for (int k = 1; k < gram->degree; k++) p[k + 1] = x * p[k] - gram->b[k] * p[k - 1];
}

void bw_profile_level(double *z, size_t n, int degree) {
    if ((size_t)degree >= n) degree = (int)n - 1;
    const struct gram gram = gram_of(n, degree);
    double c[9] = {0}, p[9] = {0}, norm = (double)n;
    for (size_t i = 0; i < n; i++) {
        gram_at(&gram, gram.scale * (double)i - 1, p);
        for (int k = 0; k <= degree; k++) c[k] += z[i] * p[k];
    }
    for (int k = 0; k <= degree; k++) {
        if (k > 0) norm *= gram.b[k];
        c[k] /= norm;
    }
    for (size_t i = 0; i < n; i++) {
        gram_at(&gram, gram.scale * (double)i - 1, p);
        for (int k = 0; k <= degree; k++) z[i] -= c[k] * p[k];
    }
}
