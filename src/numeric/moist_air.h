// moist_air.h - moist air: saturation, humidity ratio, dew point, wet bulb, enthalpy, density.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Temperatures in K, pressures in Pa. Valid for -100 to 200 °C (148 to 473 K) and pressures above
// the vapour's own. Ideal gas without enhancement factor: within 0.7 % of real air at 1 bar.
#ifndef BW_NUMERIC_MOIST_AIR_H
#define BW_NUMERIC_MOIST_AIR_H

#include "base/err.h"

#define BW_ZERO_C 273.15  // K
#define BW_STANDARD_PRESSURE 101325.0

struct bw_moist_air {
    double temperature, pressure;  // K, Pa
    double ratio;                  // kg of water for each kg of dry air
    double humidity;               // relative, 0 to 1; above ice below 0.01 °C
    double vapour;                 // Pa
    double dew_point, wet_bulb;    // K; frost point and ice bulb below freezing
    double enthalpy;               // J for each kg of dry air, from 0 °C
    double volume;                 // m3 for each kg of dry air
    double density;                // kg/m3 of the mixture
};

// What is known, NaN elsewhere: exactly two of the four.
struct bw_moist_given {
    double temperature, humidity, wet_bulb, dew_point;
};

// Saturation pressure above ice (to 0.01 °C) or water. ASHRAE Fundamentals 2017 ch. 1 eq. 5, 6.
double bw_air_saturation(double temperature);
// The temperature at which that is the saturation pressure, within 1e-9 K.
double bw_air_saturated_at(double vapour);
// Standard atmosphere at an altitude in m (ASHRAE 2017 ch. 1 eq. 3).
double bw_air_standard_pressure(double altitude);
// Humidity ratio of a vapour pressure, and of saturated air.
double bw_air_ratio(double vapour, double pressure);
double bw_air_saturated_ratio(double temperature, double pressure);

// The whole state from temperature and humidity ratio (taken as at least 1e-7 and not above
// saturation).
struct bw_moist_air bw_air_of_ratio(double temperature, double ratio, double pressure);
// The whole state from any two. Error BW_INPUT: not two, or two that no air can have.
bool bw_air_of(struct bw_moist_given given, double pressure, struct bw_moist_air *out,
               struct bw_err *err) BW_CHECKED;
// Dynamic viscosity of air, Pa s (Sutherland's formula; U.S. Standard Atmosphere 1976, eq. 51).
double bw_air_viscosity(double temperature);

#endif
