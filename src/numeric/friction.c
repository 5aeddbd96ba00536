// friction.c - see friction.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Colebrook's equation 1/sqrt f = -2 log10(e/3.7 + 2.51/(Re sqrt f)) is what handbook tables print.
// With x = 1/sqrt f it is x + 2 log10(e/3.7 + 2.51 x/Re) = 0, convex and rising in x: Newton from
// Haaland's value needs three steps. The explicit formulas differ from it by up to 3 % in rough or
// slow ducts, and their slopes by more; a network solver needs both right, so they serve as
// comparison only.
#include "numeric/friction.h"

#include <math.h>

#define LAMINAR 2000.0
#define TURBULENT 4000.0

static struct bw_friction colebrook(double re, double e) {
    double x = 1 / sqrt(bw_friction_haaland(re, e)), sum = 0, slope = 0;
    for (int i = 0; i < 6; i++) {
        sum = e / 3.7 + 2.51 * x / re;
        slope = 2 / M_LN10 * (2.51 / re) / sum;  // of the logarithm in x
        x -= (x + 2 * log10(sum)) / (1 + slope);
    }
    // Differentiating the equation: dx (1 + slope) = slope x dRe/Re, and f = x^-2.
    return (struct bw_friction){1 / (x * x), -2 * slope / (1 + slope)};
}

struct bw_friction bw_friction(double re, double e) {
    if (re <= LAMINAR) return (struct bw_friction){64 / re, -1};
    if (re >= TURBULENT) return colebrook(re, e);
    struct bw_friction end = colebrook(TURBULENT, e);
    double span = log(TURBULENT / LAMINAR), t = log(re / LAMINAR) / span;
    double y0 = log(64 / LAMINAR), y1 = log(end.factor), m0 = -span, m1 = end.slope * span;
    double y = (2 * t * t * t - 3 * t * t + 1) * y0 + (t * t * t - 2 * t * t + t) * m0 +
               (3 * t * t - 2 * t * t * t) * y1 + (t * t * t - t * t) * m1;
    double dy =
        (6 * t * t - 6 * t) * (y0 - y1) + (3 * t * t - 4 * t + 1) * m0 + (3 * t * t - 2 * t) * m1;
    return (struct bw_friction){exp(y), dy / span};
}

double bw_friction_churchill(double re, double e) {
    double a = pow(2.457 * log(1 / (pow(7 / re, 0.9) + 0.27 * e)), 16), b = pow(37530 / re, 16);
    return 8 * pow(pow(8 / re, 12) + pow(a + b, -1.5), 1.0 / 12);
}

double bw_friction_haaland(double re, double e) {
    double x = -1.8 * log10(pow(e / 3.7, 1.11) + 6.9 / re);
    return 1 / (x * x);
}

double bw_friction_altshul(double re, double e) {
    double f = 0.11 * pow(e + 68 / re, 0.25);
    return f >= 0.018 ? f : 0.85 * f + 0.0028;
}
