// moist_air.c - see moist_air.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: the formulations of ASHRAE Fundamentals 2017, chapter 1 (equation numbers below), which
// tables and charts of the trade are made from. They are explicit in temperature and humidity
// ratio; dew point, wet bulb and pairs without temperature are found by halving an interval in
// which the sought function only rises or falls. Newton was rejected: the ice and water branches
// leave a step at 0 °C where it cycles, and 60 halvings cost a microsecond each.
#include "numeric/moist_air.h"

#include <math.h>

#define LOWEST (BW_ZERO_C - 100)
#define HIGHEST (BW_ZERO_C + 200)
#define LEAST_RATIO 1e-7  // drier air than this no instrument tells from dry
#define MASS_RATIO 0.621945

double bw_air_saturation(double t) {
    if (t <= BW_ZERO_C + 0.01)  // eq. 5
        return exp(-5.6745359e3 / t + 6.3925247 - 9.677843e-3 * t + 6.2215701e-7 * t * t +
                   2.0747825e-9 * t * t * t - 9.484024e-13 * t * t * t * t + 4.1635019 * log(t));
    return exp(-5.8002206e3 / t + 1.3914993 - 4.8640239e-2 * t + 4.1764768e-5 * t * t -
               1.4452093e-8 * t * t * t + 6.5459673 * log(t));  // eq. 6
}

// Where a rising function passes zero between low and high; an end where it does not.
static double rising_root(double (*f)(double x, const void *with), const void *with, double low,
                          double high) {
    for (int i = 0; i < 60; i++) {
        double middle = (low + high) / 2;
        *(f(middle, with) < 0 ? &low : &high) = middle;
    }
    return (low + high) / 2;
}

static double above_saturation(double t, const void *vapour) {
    return bw_air_saturation(t) - *(const double *)vapour;
}

double bw_air_saturated_at(double vapour) {
    return rising_root(above_saturation, &vapour, LOWEST, HIGHEST);
}

double bw_air_standard_pressure(double altitude) {
    return BW_STANDARD_PRESSURE * pow(1 - 2.25577e-5 * altitude, 5.2559);  // eq. 3
}

double bw_air_ratio(double vapour, double pressure) {
    return MASS_RATIO * vapour / (pressure - vapour);  // eq. 20
}

double bw_air_saturated_ratio(double t, double pressure) {
    double vapour = bw_air_saturation(t);
    return vapour < pressure ? bw_air_ratio(vapour, pressure) : (double)INFINITY;
}

// Humidity ratio of air at t with wet bulb w (eq. 33 above freezing, 35 below).
static double ratio_of_wet_bulb(double t, double w, double pressure) {
    double c = t - BW_ZERO_C, b = w - BW_ZERO_C, saturated = bw_air_saturated_ratio(w, pressure);
    if (b >= 0)
        return ((2501 - 2.326 * b) * saturated - 1.006 * (c - b)) / (2501 + 1.86 * c - 4.186 * b);
    return ((2830 - 0.24 * b) * saturated - 1.006 * (c - b)) / (2830 + 1.86 * c - 2.1 * b);
}

struct wet_bulb_of {
    double t, ratio, pressure;
};

static double above_ratio(double w, const void *with) {
    const struct wet_bulb_of *of = with;
    return ratio_of_wet_bulb(of->t, w, of->pressure) - of->ratio;
}

struct bw_moist_air bw_air_of_ratio(double t, double ratio, double pressure) {
    double c = t - BW_ZERO_C;
    ratio = fmax(fmin(ratio, bw_air_saturated_ratio(t, pressure)), LEAST_RATIO);
    struct bw_moist_air air = {.temperature = t, .pressure = pressure, .ratio = ratio};
    air.vapour = pressure * ratio / (MASS_RATIO + ratio);
    air.humidity = air.vapour / bw_air_saturation(t);
    air.dew_point = fmin(bw_air_saturated_at(air.vapour), t);
    struct wet_bulb_of of = {t, ratio, pressure};
    air.wet_bulb = rising_root(above_ratio, &of, air.dew_point, t);
    air.enthalpy = 1e3 * (1.006 * c + ratio * (2501 + 1.86 * c));  // eq. 30
    air.volume = 287.042 * t * (1 + 1.607858 * ratio) / pressure;  // eq. 26
    air.density = (1 + ratio) / air.volume;                        // eq. 11
    return air;
}

struct pair {  // what to meet when the temperature is sought
    double wet_bulb, humidity, ratio, pressure;
};

// At a given wet bulb warmer air is drier; so the shortfall rises with t.
static double too_dry(double t, const void *with) {
    const struct pair *pair = with;
    double ratio = ratio_of_wet_bulb(t, pair->wet_bulb, pair->pressure);
    if (!isnan(pair->ratio)) return pair->ratio - ratio;
    double vapour = pair->pressure * ratio / (MASS_RATIO + ratio);
    return pair->humidity - vapour / bw_air_saturation(t);
}

static bool contradict(struct bw_err *err, const char *what) {
    bw_fail(err, BW_INPUT, "%s", what);
    bw_err_mend(err, "read both again at the same place and time, wick wet, out of the sun");
    return false;
}

static bool with_temperature(struct bw_moist_given given, double pressure, struct bw_moist_air *out,
                             struct bw_err *err) {
    double t = given.temperature, ratio;
    double saturated = bw_air_saturation(t);
    if (saturated >= pressure) return contradict(err, "water would boil at this temperature");
    if (!isnan(given.humidity)) {
        ratio = bw_air_ratio(given.humidity * saturated, pressure);
    } else if (!isnan(given.dew_point)) {
        if (given.dew_point > t + 1e-9)
            return contradict(err, "the dew point lies above the temperature");
        ratio = bw_air_ratio(bw_air_saturation(given.dew_point), pressure);
    } else {
        if (given.wet_bulb > t + 1e-9)
            return contradict(err, "the wet bulb lies above the temperature");
        ratio = ratio_of_wet_bulb(t, given.wet_bulb, pressure);
        if (ratio < 0) return contradict(err, "the wet bulb is lower than even dry air would give");
    }
    *out = bw_air_of_ratio(t, ratio, pressure);
    return true;
}

bool bw_air_of(struct bw_moist_given given, double pressure, struct bw_moist_air *out,
               struct bw_err *err) {
    int known = !isnan(given.temperature) + !isnan(given.humidity) + !isnan(given.wet_bulb) +
                !isnan(given.dew_point);
    if (known != 2) {
        bw_fail(err, BW_INPUT, "needs two of temperature, humidity, wet bulb and dew point");
        bw_err_mend(err, "give just two of the four");
        return false;
    }
    if (!isnan(given.temperature)) return with_temperature(given, pressure, out, err);
    double t;
    if (isnan(given.wet_bulb)) {
        t = bw_air_saturated_at(bw_air_saturation(given.dew_point) / given.humidity);
    } else {
        if (!isnan(given.dew_point) && given.dew_point > given.wet_bulb + 1e-9)
            return contradict(err, "the dew point lies above the wet bulb");
        struct pair pair = {given.wet_bulb, given.humidity, (double)NAN, pressure};
        if (!isnan(given.dew_point))
            pair.ratio = bw_air_ratio(bw_air_saturation(given.dew_point), pressure);
        t = rising_root(too_dry, &pair, given.wet_bulb, HIGHEST);
    }
    if (t > HIGHEST - 0.01) return contradict(err, "no air up to 200 °C has both of these");
    given.temperature = t;
    if (!isnan(given.dew_point)) given.wet_bulb = given.humidity = (double)NAN;
    if (!isnan(given.humidity)) given.wet_bulb = (double)NAN;
    return with_temperature(given, pressure, out, err);
}

double bw_air_viscosity(double t) { return 1.458e-6 * t * sqrt(t) / (t + 110.4); }
