// law.c - what each part of a duct line loses at a flow, with exact slopes.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Total pressures, constant density. Losses go with q |q|, rounded at q = 0 within a millionth of a
// m3/s so that the slope never vanishes. A converging fitting's pair of losses is written out as a
// form of second degree in branch and common flow, so it stays smooth down to no flow at all; a
// leg that reverses loses one velocity pressure of its own on top of what the fitting gives at the
// edge of its range.
#include "study/ducts/model.h"

#include "numeric/friction.h"

#include <math.h>

#define TINY 1e-6  // m3/s

static struct bw_network_loss square(double c, double q) {
    double root = sqrt(q * q + TINY * TINY);
    return (struct bw_network_loss){.loss = c * q * root, .by_own = c * (root + q * q / root)};
}

static struct bw_network_loss friction(const struct ducts_model *model,
                                       const struct ducts_item *item, double q) {
    double size = fmax(fabs(q), 1e-12);
    double re = model->density * size / item->area * item->diameter / model->viscosity;
    struct bw_friction f = bw_friction(re, item->roughness / item->diameter);
    double c = item->length / item->diameter * model->density / (2 * item->area * item->area);
    return (struct bw_network_loss){.loss = c * f.factor * size * q,
                                    .by_own = c * f.factor * size * (2 + f.slope)};
}

// Pressure of a fan at its curve's speed, and slope.
static struct bw_network_loss plate(const struct ducts_curve *curve, double q) {
    double x = q / curve->most_flow, p = curve->most_pressure;
    // Air driven backwards through a fan meets more than its shut-off pressure.
    return (struct bw_network_loss){.loss = q >= 0 ? p * (1 - x * x) : p * (1 + x * x),
                                    .by_own = -2 * p * fabs(x) / curve->most_flow};
}

static struct bw_network_loss points(const struct ducts_curve *curve, double q) {
    int n = curve->n, i = 0;
    double steepest = curve->pressure[0] / curve->flow[n - 1];
    if (q <= curve->flow[0]) {
        double slope = fmin(curve->slope[0], 0);
        return (struct bw_network_loss){.loss = curve->pressure[0] + slope * (q - curve->flow[0]),
                                        .by_own = slope};
    }
    if (q >= curve->flow[n - 1]) {
        double slope = fmin(curve->slope[n - 1], -steepest);
        return (struct bw_network_loss){
            .loss = curve->pressure[n - 1] + slope * (q - curve->flow[n - 1]), .by_own = slope};
    }
    while (q > curve->flow[i + 1]) i++;
    double h = curve->flow[i + 1] - curve->flow[i], t = (q - curve->flow[i]) / h;
    double y0 = curve->pressure[i], y1 = curve->pressure[i + 1];
    double m0 = h * curve->slope[i], m1 = h * curve->slope[i + 1];
    double y = (2 * t * t * t - 3 * t * t + 1) * y0 + (t * t * t - 2 * t * t + t) * m0 +
               (3 * t * t - 2 * t * t * t) * y1 + (t * t * t - t * t) * m1;
    double d =
        (6 * t * t - 6 * t) * (y0 - y1) + (3 * t * t - 4 * t + 1) * m0 + (3 * t * t - 2 * t) * m1;
    return (struct bw_network_loss){.loss = y, .by_own = d / h};
}

// Fan laws: flow goes with speed, pressure with its square and with density.
static struct bw_network_loss fan(const struct ducts_curve *curve, double q) {
    double s = curve->speed;
    struct bw_network_loss at = curve->n == 0 ? plate(curve, q / s) : points(curve, q / s);
    return (struct bw_network_loss){.loss = -s * s * curve->density * at.loss,
                                    .by_own = -s * curve->density * at.by_own};
}

struct bw_network_loss ducts_item_loss(const struct ducts_model *model, int index, double q) {
    const struct ducts_item *item = &model->items[index];
    struct bw_network_loss loss;
    if (item->law == LAW_FAN) return fan(&model->curves[index], q);
    if (item->law == LAW_FRICTION)
        loss = friction(model, item, q);
    else if (item->law == LAW_LINEAR)
        loss = (struct bw_network_loss){.loss = item->factor * q, .by_own = item->factor};
    else
        loss = square(item->factor * model->density / (2 * item->area * item->area), q);
    loss.loss *= item->scale;
    loss.by_own *= item->scale;
    return loss;
}

// bw_wye_loss times the common velocity pressure, as a form in branch flow q and common flow c,
// with its slopes by both. 0 <= q <= c.
static double branch_form(const struct ducts_wye *w, double q, double c, double slope[2]) {
    double b = w->area_ratio, f = 2 * cos(w->angle), s = c - q;
    double form = c * c + q * q / (b * b) - 2 * s * s - f / b * q * q;
    double by_q = 2 * q / (b * b) + 4 * s - 2 * f / b * q, by_c = 2 * c - 4 * s;
    double x = c > 0 ? q / c : 0, k = 1, k_x = 0;
    if (b > 0.35) {
        k = fmax(0.9 * (1 - x), 0.55);
        k_x = 0.9 * (1 - x) > 0.55 ? -0.9 : 0;
    }
    slope[0] = k * by_q + (c > 0 ? k_x * form / c : 0);
    slope[1] = k * by_c - (c > 0 ? k_x * form * x / c : 0);
    return k * form;
}

static double main_form(const struct ducts_wye *w, double q, double c, double slope[2]) {
    double f = 2 * cos(w->angle) / w->area_ratio, s = c - q;
    if (w->angle > BW_SQUARE_TEE) {
        slope[0] = 1.55 * c - 2 * q;
        slope[1] = 1.55 * q;
        return 1.55 * q * c - q * q;
    }
    slope[0] = 2 * s - 2 * f * q;
    slope[1] = 2 * c - 2 * s;
    return c * c - s * s - f * q * q;
}

struct bw_network_loss ducts_wye_loss(const struct ducts_wye *w, bool branch, double own,
                                      double common) {
    // Held inside the fitting's range, 0 <= own <= common; r is the branch's flow then.
    double c = fmax(common, 0), held = fmin(fmax(own, 0), c), slope[2];
    double r = branch ? held : c - held;
    double form = branch ? branch_form(w, r, c, slope) : main_form(w, r, c, slope);
    bool inside = own > 0 && own < c, above = own >= c;
    double c_by = common > 0 ? 1 : 0;
    double held_by_own = inside ? 1 : 0, held_by_common = above ? c_by : 0;
    double r_by_own = branch ? held_by_own : -held_by_own;
    double r_by_common = branch ? held_by_common : c_by - held_by_common;
    double area = branch ? w->area_ratio : 1;
    struct bw_network_loss beyond = square(w->pressure / (area * area), own - held);
    return (struct bw_network_loss){
        .loss = w->pressure * form + beyond.loss,
        .by_own = w->pressure * slope[0] * r_by_own + beyond.by_own * (1 - held_by_own),
        .by_other = w->pressure * (slope[0] * r_by_common + slope[1] * c_by) -
                    beyond.by_own * held_by_common};
}

struct bw_network_loss ducts_line_loss(const void *with, int line, double own, double other) {
    const struct ducts_model *model = with;
    const struct ducts_run *run = &model->runs[line];
    struct bw_network_loss sum = {0};
    for (int i = run->first; i < run->first + run->n; i++) {
        struct bw_network_loss part = ducts_item_loss(model, i, own);
        sum.loss += part.loss;
        sum.by_own += part.by_own;
        sum.size = fmax(sum.size, fabs(part.loss));
    }
    if (run->booster.most_flow > 0) {
        struct bw_network_loss boost = fan(&run->booster, own);
        sum.loss += boost.loss;
        sum.by_own += boost.by_own;
    }
    if (run->wye < 0) return sum;
    const struct ducts_wye *wye = &model->wyes[run->wye];
    struct bw_network_loss fitting = ducts_wye_loss(wye, wye->branch == line, own, other);
    sum.loss += fitting.loss;
    sum.by_own += fitting.by_own;
    sum.by_other += fitting.by_other;
    return sum;
}
