// fitting.c - see fitting.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/fitting.h"

#include <math.h>

#define NUMBER(type, member, low, high, words)                                                     \
    {                                                                                              \
        BW_AT(struct type, member), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = low,         \
                                    .max = high, .help = words                                     \
    }

static const struct bw_field ELBOW_FIELDS[] = {
    {.name = "elbow",
     .offset = offsetof(struct bw_elbow, name),
     .kind = BW_TEXT,
     .required = true,
     .help = "the elbow's shape"},
    NUMBER(bw_elbow, radius, 0.4, 10, "centre-line radius over diameter"),
    NUMBER(bw_elbow, smooth, 0.01, 2, "loss of a smooth elbow"),
    NUMBER(bw_elbow, five, 0.01, 2, "of five pieces"),
    NUMBER(bw_elbow, four, 0.01, 2, "of four pieces"),
    NUMBER(bw_elbow, three, 0.01, 2, "of three pieces"),
    BW_TRADE_ORIGIN(struct bw_elbow, origin),
    BW_END_FIELDS,
};
static const struct bw_record ELBOW = {.name = "elbow row",
                                       .help = "loss of round elbows of one radius",
                                       .fields = ELBOW_FIELDS,
                                       .size = sizeof(struct bw_elbow)};
static const struct bw_field GATE_FIELDS[] = {
    {.name = "gate",
     .offset = offsetof(struct bw_gate, name),
     .kind = BW_TEXT,
     .required = true,
     .help = "the gate's position"},
    NUMBER(bw_gate, open, 0.01, 1, "free height over diameter"),
    NUMBER(bw_gate, loss, 0.001, 1e5, "loss over the full duct's velocity pressure"),
    BW_TRADE_ORIGIN(struct bw_gate, origin),
    BW_END_FIELDS,
};
static const struct bw_record GATE = {.name = "gate row",
                                      .help = "loss of a slide gate at one opening",
                                      .fields = GATE_FIELDS,
                                      .size = sizeof(struct bw_gate)};

static bool elbows_rise(const struct bw_trade_table *table, const void *rows, struct bw_err *err) {
    const struct bw_elbow *e = rows;
    for (size_t i = 1; i < table->n_rows; i++) {
        if (e[i].radius.v > e[i - 1].radius.v && e[i].smooth.v <= e[i - 1].smooth.v) continue;
        bw_fail(err, BW_INPUT, "radii must rise and smooth losses fall from row to row");
        return bw_trade_table_blame(table, i, "radius", err);
    }
    return true;
}

static bool gates_fall(const struct bw_trade_table *table, const void *rows, struct bw_err *err) {
    const struct bw_gate *g = rows;
    for (size_t i = 1; i < table->n_rows; i++) {
        if (g[i].open.v > g[i - 1].open.v && g[i].loss.v < g[i - 1].loss.v) continue;
        bw_fail(err, BW_INPUT, "openings must rise and losses fall from row to row");
        return bw_trade_table_blame(table, i, "open", err);
    }
    return true;
}

const struct bw_trade_carried bw_elbows_carried = {"elbows", &ELBOW, elbows_rise};
const struct bw_trade_carried bw_gates_carried = {"gates", &GATE, gates_fall};

bool bw_fittings_load(struct bw_arena *arena, struct bw_fittings *out, struct bw_err *err) {
    return bw_trade_table_load(arena, &bw_elbows_carried, &out->elbows, err) &&
           bw_trade_table_load(arena, &bw_gates_carried, &out->gates, err);
}

static double interpolate(const double *x, const double *y, int n, double at) {
    if (at <= x[0]) return y[0];
    for (int i = 1; i < n; i++)
        if (at <= x[i]) return y[i - 1] + (at - x[i - 1]) / (x[i] - x[i - 1]) * (y[i] - y[i - 1]);
    return y[n - 1];
}

// SMACNA A-7A: share of the 90 degree loss by angle.
static double angle_share(double angle) {
    static const double DEGREES[] = {0, 20, 30, 45, 60, 75, 90, 110, 130, 150, 180};
    static const double SHARE[] = {0, .31, .45, .60, .78, .90, 1, 1.13, 1.20, 1.28, 1.40};
    return interpolate(DEGREES, SHARE, 11, angle * 180 / M_PI);
}

double bw_elbow_loss(const struct bw_fittings *fittings, double angle, double radius, long pieces) {
    double x[32], y[32];
    int n = 0;
    for (size_t i = 0; i < fittings->elbows.n && n < 32; i++) {
        const struct bw_elbow *e = (const struct bw_elbow *)fittings->elbows.items + i;
        struct bw_quantity q = pieces == 3   ? e->three
                               : pieces == 4 ? e->four
                               : pieces == 5 ? e->five
                                             : e->smooth;
        if (!bw_known(q)) continue;
        x[n] = e->radius.v;
        y[n++] = q.v;
    }
    return interpolate(x, y, n, radius) * angle_share(angle);
}

#define SLOT 0.15  // an open gate's slot (common practice)

double bw_gate_loss(const struct bw_fittings *fittings, double open) {
    const struct bw_gate *g = fittings->gates.items;
    size_t n = fittings->gates.n, i = 1;
    while (i < n && g[i].open.v < open) i++;
    if (i == n) {  // from the last row to fully open, where nothing but the slot is left
        double last = g[n - 1].loss.v, from = g[n - 1].open.v;
        return SLOT + last * fmax(1 - (open - from) / (1 - from), 0);
    }
    double slope = log(g[i].loss.v / g[i - 1].loss.v) / log(g[i].open.v / g[i - 1].open.v);
    return SLOT + g[i - 1].loss.v * pow(open / g[i - 1].open.v, slope);
}

double bw_expansion_loss(double from, double to, double angle) {
    static const double DEGREES[] = {0, 16, 20, 30, 45, 60, 180};
    static const double KEPT[] = {0, 0.41, 0.53, 0.83, 1, 1.1, 1};  // A1/A2 = 1/4 row over Borda
    double ratio = from / to, borda = (1 - ratio * ratio) * (1 - ratio * ratio);
    return borda * interpolate(DEGREES, KEPT, 7, angle * 180 / M_PI);
}

// Rennels: with lambda the contraction of the jet, K = 0.0696 (1 - b^5) lambda^2 + (lambda - 1)^2.
double bw_contraction_loss(double from, double to, double angle) {
    static const double DEGREES[] = {0, 10, 20, 30, 40, 60, 100, 140, 180};
    static const double CONE[] = {.50, .27, .18, .13, .11, .12, .23, .36, .50};
    double b = to / from;
    double lambda = 1 + 0.622 * (1 - 0.215 * b * b - 0.785 * pow(b, 5));
    double sharp = 0.0696 * (1 - pow(b, 5)) * lambda * lambda + (lambda - 1) * (lambda - 1);
    return sharp * interpolate(DEGREES, CONE, 9, angle * 180 / M_PI) / 0.50;
}

struct bw_wye bw_wye_loss(double x, double b, double angle) {
    double f = 2 * cos(angle), c = b <= 0.35 ? 1 : fmax(0.9 * (1 - x), 0.55);
    double rest = 1 - x;
    return (struct bw_wye){
        c * (1 + x * x / (b * b) - 2 * rest * rest - f / b * x * x),
        angle > BW_SQUARE_TEE ? 1.55 * x - x * x : 1 - rest * rest - f / b * x * x,
    };
}
