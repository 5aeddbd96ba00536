// axis.c - see axis.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/axis.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define FARTHEST_PX 1e5
// Ranges narrower than this share of their values are noise of the last digits, not a range.
#define NARROWEST_SHARE 1e-9

struct bw_axis bw_axis_begin(enum bw_dim dim, enum bw_units units, bool log) {
    return (struct bw_axis){.dim = dim,
                            .units = units,
                            .log = log,
                            .lo = INFINITY,
                            .hi = -INFINITY,
                            .whole = dim == BW_DIM_NUMBER && !log};
}

// Beyond 1e100 nothing is measured, and differences would overflow.
static bool has_place(const struct bw_axis *axis, double shown) {
    return fabs(shown) <= 1e100 && (!axis->log || shown >= 1e-100);
}

void bw_axis_cover(struct bw_axis *axis, double si) {
    double shown = bw_dim_from_si(axis->dim, axis->units, si);
    if (!has_place(axis, shown)) return;
    if (shown != floor(shown)) axis->whole = false;
    if (shown < axis->lo) axis->lo = shown;
    if (shown > axis->hi) axis->hi = shown;
}

// digits * 10^exponent by whole-number arithmetic: 25, -2 gives "0.25"; far from 1, 12, 11 gives
// "1.2e12".
static void decimal(char text[48], long long digits, int exponent) {
    char all[24];
    for (; digits != 0 && digits % 10 == 0; digits /= 10) exponent++;
    int n = snprintf(all, sizeof all, "%lld", llabs(digits));
    int before = n + exponent;  // digits before the point, if above zero
    const char *sign = digits < 0 ? "-" : "";
    if (digits == 0)
        (void)snprintf(text, 48, "0");
    else if (before > 10 || before < -5)
        (void)snprintf(text, 48, "%s%.1s%s%se%d", sign, all, n > 1 ? "." : "", all + 1, before - 1);
    else if (before <= 0)
        (void)snprintf(text, 48, "%s0.%.*s%s", sign, -before, "00000", all);
    else if (before < n)
        (void)snprintf(text, 48, "%s%.*s.%s", sign, before, all, all + before);
    else
        (void)snprintf(text, 48, "%s%s%.*s", sign, all, before - n, "0000000000");
}

static void add_tick(struct bw_axis *axis, long long digits, int exponent) {
    // Dividing by 10^n is correctly rounded where multiplying by 10^-n is not.
    double power = pow(10, abs(exponent));
    double at = exponent < 0 ? (double)digits / power : (double)digits * power;
    double slack = 1e-9 * (axis->hi - axis->lo);
    if (axis->n == BW_MAX_TICKS || at < axis->lo - slack || at > axis->hi + slack) return;
    struct bw_tick *tick = &axis->ticks[axis->n++];
    tick->at = at;
    decimal(tick->text, digits, exponent);
}

struct step {
    int digit;  // 1, 2, 5
    int exponent;
    double size;
    double first, last;  // in steps from zero
};

// The step's first and last tick: within the range, or around it.
static struct step fit_step(const struct bw_axis *axis, int digit, int exponent, bool round_out) {
    const double slack = 1e-9;  // of a step: what is a whole number but for rounding
    struct step step = {.digit = digit, .exponent = exponent, .size = digit * pow(10, exponent)};
    double lo = axis->lo / step.size, hi = axis->hi / step.size;
    step.first = round_out ? floor(lo + slack) : ceil(lo - slack);
    step.last = round_out ? ceil(hi - slack) : floor(hi + slack);
    return step;
}

// The smallest step of the form 1, 2, 5 times a power of ten with at most `most` ticks.
static struct step choose_step(const struct bw_axis *axis, size_t most, bool round_out) {
    static const int DIGITS[] = {1, 2, 5};
    int exponent = (int)floor(log10((axis->hi - axis->lo) / (double)most));
    if (axis->whole && exponent < 0) exponent = 0;
    for (;; exponent++)
        for (size_t i = 0; i < 3; i++) {
            struct step step = fit_step(axis, DIGITS[i], exponent, round_out);
            if (step.last - step.first < (double)most) return step;
        }
}

static void linear_ticks(struct bw_axis *axis, size_t most, bool round_out) {
    struct step step = choose_step(axis, most, round_out);
    if (round_out) {
        axis->lo = step.first * step.size;
        axis->hi = step.last * step.size;
    }
    for (double k = step.first; k <= step.last; k++)
        add_tick(axis, (long long)k * step.digit, step.exponent);
}

// Ticks at 1, 2, 5 times powers of ten, or at every `stride`th power (0: the former).
static size_t fill_log_ticks(struct bw_axis *axis, int stride) {
    int first = (int)floor(log10(axis->lo)), last = (int)ceil(log10(axis->hi));
    axis->n = 0;
    for (int exponent = first; exponent <= last; exponent += stride == 0 ? 1 : stride) {
        add_tick(axis, 1, exponent);
        if (stride == 0) add_tick(axis, 2, exponent);
        if (stride == 0) add_tick(axis, 5, exponent);
    }
    return axis->n;
}

// The finest set that keeps within `most`. Within a decade even steps say more.
static void log_ticks(struct bw_axis *axis, size_t most) {
    size_t fine = fill_log_ticks(axis, 0);
    for (int stride = 1; fine > most; stride++) {
        size_t n = fill_log_ticks(axis, stride);
        if (n <= most) return;
    }
    if (fine >= 3) return;
    axis->n = 0;
    linear_ticks(axis, most, false);
}

static void open_up(struct bw_axis *axis) {
    if (axis->lo > axis->hi) {
        axis->lo = axis->log ? 1 : 0;
        axis->hi = axis->log ? 10 : 1;
    }
    double larger = fmax(fabs(axis->lo), fabs(axis->hi));
    if (axis->hi - axis->lo > NARROWEST_SHARE * larger) return;
    if (axis->log) {
        axis->lo /= 2;
        axis->hi *= 2;
        return;
    }
    double room = larger > 0 ? larger / 10 : 1;
    axis->lo -= room;
    axis->hi += room;
}

void bw_axis_settle(struct bw_axis *axis, size_t most, bool round_out) {
    assert(most >= (round_out ? 3 : 2) && most <= BW_MAX_TICKS);
    open_up(axis);
    axis->n = 0;
    if (axis->log)
        log_ticks(axis, most);
    else
        linear_ticks(axis, most, round_out);
}

double bw_axis_at(const struct bw_axis *axis, double shown) {
    double share = axis->log ? log(shown / axis->lo) / log(axis->hi / axis->lo)
                             : (shown - axis->lo) / (axis->hi - axis->lo);
    double px = axis->begin + share * (axis->end - axis->begin);
    double least = fmin(axis->begin, axis->end) - FARTHEST_PX;
    double most = fmax(axis->begin, axis->end) + FARTHEST_PX;
    return fmin(fmax(px, least), most);
}

bool bw_axis_place(const struct bw_axis *axis, double si, double *px_out) {
    double shown = bw_dim_from_si(axis->dim, axis->units, si);
    if (!has_place(axis, shown)) return false;
    *px_out = bw_axis_at(axis, shown);
    return true;
}
