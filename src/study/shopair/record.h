// record.h - what the study `shopair` takes and gives.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SHOPAIR_RECORD_H
#define BW_STUDY_SHOPAIR_RECORD_H

#include "base/field.h"

struct shopair_ground {
    struct bw_quantity resistance;
    const char *at;
    int part;
};
enum shopair_part { PART_METAL, PART_HOSE, PART_BELT };
struct shopair_month {
    struct bw_quantity temperature, humidity;
    long month;
};
struct shopair_input {
    struct bw_quantity temperature, humidity, wet_bulb, dew_point, altitude, pressure;
    struct bw_quantity outdoor_temperature, outdoor_humidity;
    struct bw_quantity extraction, returned, target, cooler, humidifier;
    struct bw_quantity energy_price, water_price;
    const char *wood, *soil;
    struct bw_quantity width, wood_moisture, resistivity, rod_length, rod_diameter;
    int antistatic, dust, sawn;
    struct bw_list grounds, months;
    struct bw_file climate;
};
enum shopair_dust { DUST_CLEAN, DUST_CLINGS, DUST_SHOCKS };

// --- answers
struct shopair_state {
    struct bw_quantity temperature, humidity, wet_bulb, dew_point, pressure, density;
    struct bw_quantity ratio, enthalpy;
};
struct shopair_load {
    struct bw_quantity outdoors, humidity, water, latent, sensible, cost;
    struct bw_quantity cooler_temperature, cooler_humidity, cooler_reach, humidifier_reach;
};
struct shopair_return_row {  // one share of filtered air that comes back
    struct bw_quantity returned, outdoors, water, heat, cost;
};
struct shopair_wood {
    const char *wood, *verdict;
    struct bw_quantity moisture, at_target, at_dry, change, change_dry;
};
struct shopair_month_row {
    const char *month;
    struct bw_quantity outdoor, outdoor_humidity, indoor, water, moisture;
    int risk;
    long number;  // 1 for January
};
struct shopair_reason {
    const char *text;
};
struct shopair_remedy {
    const char *remedy, *can, *cannot, *caution;
};
struct shopair_ground_row {
    const char *at, *verdict;
    struct bw_quantity resistance;
    int open;
};
struct shopair_rod_row {
    struct bw_quantity rods, resistance, low, high;
};
enum shopair_risk { RISK_LOW, RISK_RAISED, RISK_HIGH };
struct shopair_output {
    const char *answer;
    const struct shopair_state *indoor, *outdoor;
    const struct shopair_load *load;
    const struct shopair_wood *wood;
    int risk, risk_dry, risk_damp, belts, path;
    const char *belts_text;
    struct bw_list reasons, remedies, grounds, rods, returns, months;
};
enum shopair_belts { BELTS_FINE, BELTS_DRY, BELTS_DAMP, BELTS_WARM };
enum shopair_path { PATH_SOUND, PATH_OPEN, PATH_LOOSE, PATH_UNKNOWN };

extern const struct bw_record shopair_input_record, shopair_output_record;

#endif
