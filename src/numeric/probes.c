// probes.c - see probes.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "numeric/probes.h"

#include "numeric/friction.h"
#include "numeric/moist_air.h"

#include <string.h>

static bool choose(const char *const words[], const char *said, int *out, struct bw_err *err) {
    for (int i = 0; words[i] != NULL; i++) {
        if (strcmp(words[i], said) != 0) continue;
        *out = i;
        return true;
    }
    bw_fail(err, BW_INPUT, "not such a word");
    bw_err_value(err, said);
    return false;
}

// ---- moist air ----

static bool saturation(const struct bw_probe_value *in, struct bw_probe_value *out,
                       struct bw_err *err) {
    (void)err;
    out->v = bw_air_saturation(in[0].v);
    return true;
}

static bool standard_pressure(const struct bw_probe_value *in, struct bw_probe_value *out,
                              struct bw_err *err) {
    (void)err;
    out->v = bw_air_standard_pressure(in[0].v);
    return true;
}

static bool saturated_ratio(const struct bw_probe_value *in, struct bw_probe_value *out,
                            struct bw_err *err) {
    (void)err;
    out->v = bw_air_saturated_ratio(in[0].v, in[1].v);
    return true;
}

static bool part_of(const struct bw_moist_air *air, const char *what, double *out,
                    struct bw_err *err) {
    static const char *const WHAT[] = {"ratio",  "enthalpy", "volume", "density",
                                       "vapour", "humidity", NULL};
    int i;
    if (!choose(WHAT, what, &i, err)) return false;
    const double of[] = {air->ratio,   air->enthalpy / 1e3, air->volume,
                         air->density, air->vapour,         air->humidity};
    *out = of[i];
    return true;
}

static bool by_humidity(const struct bw_probe_value *in, struct bw_probe_value *out,
                        struct bw_err *err) {
    struct bw_moist_air air;
    struct bw_moist_given given = {in[1].v, in[2].v, BW_NAN, BW_NAN};
    return bw_air_of(given, in[3].v, &air, err) && part_of(&air, in[0].text, &out->v, err);
}

static bool by_wet_bulb(const struct bw_probe_value *in, struct bw_probe_value *out,
                        struct bw_err *err) {
    struct bw_moist_air air;
    struct bw_moist_given given = {in[1].v, BW_NAN, in[2].v, BW_NAN};
    return bw_air_of(given, in[3].v, &air, err) && part_of(&air, in[0].text, &out->v, err);
}

static bool by_ratio(const struct bw_probe_value *in, struct bw_probe_value *out,
                     struct bw_err *err) {
    struct bw_moist_air air = bw_air_of_ratio(in[1].v, in[2].v, in[3].v);
    return part_of(&air, in[0].text, &out->v, err);
}

static bool dew_point(const struct bw_probe_value *in, struct bw_probe_value *out,
                      struct bw_err *err) {
    struct bw_moist_air air;
    struct bw_moist_given given = {in[0].v, in[1].v, BW_NAN, BW_NAN};
    if (!bw_air_of(given, in[2].v, &air, err)) return false;
    out->v = air.dew_point;
    return true;
}

static bool wet_bulb(const struct bw_probe_value *in, struct bw_probe_value *out,
                     struct bw_err *err) {
    struct bw_moist_air air;
    struct bw_moist_given given = {in[0].v, in[1].v, BW_NAN, BW_NAN};
    if (!bw_air_of(given, in[2].v, &air, err)) return false;
    out->v = air.wet_bulb;
    return true;
}

// ---- friction ----

static bool friction(const struct bw_probe_value *in, struct bw_probe_value *out,
                     struct bw_err *err) {
    static const char *const BY[] = {"colebrook", "churchill", "haaland", "altshul", NULL};
    int i;
    if (!choose(BY, in[2].text, &i, err)) return false;
    const double of[] = {
        bw_friction(in[0].v, in[1].v).factor, bw_friction_churchill(in[0].v, in[1].v),
        bw_friction_haaland(in[0].v, in[1].v), bw_friction_altshul(in[0].v, in[1].v)};
    out->v = of[i];
    return true;
}

#define TEMPERATURE                                                                                \
    { .name = "temperature", .dim = BW_DIM_TEMPERATURE }
#define HUMIDITY                                                                                   \
    { .name = "humidity", .dim = BW_DIM_RATIO }
#define PRESSURE                                                                                   \
    { .name = "pressure", .dim = BW_DIM_PRESSURE }
#define WHAT                                                                                       \
    { .name = "what", .text = true }

const struct bw_probe bw_numeric_probes[] = {
    {.name = "saturation_pressure",
     .help = "of water vapour above water or ice",
     .inputs = {TEMPERATURE},
     .dim = BW_DIM_PRESSURE,
     .run = saturation},
    {.name = "standard_pressure",
     .help = "of the atmosphere at an altitude",
     .inputs = {{.name = "altitude", .dim = BW_DIM_TRAVEL}},
     .dim = BW_DIM_PRESSURE,
     .run = standard_pressure},
    {.name = "saturated_ratio",
     .help = "kg of water for each kg of dry air at saturation",
     .inputs = {TEMPERATURE, PRESSURE},
     .dim = BW_DIM_NUMBER,
     .run = saturated_ratio},
    {.name = "air_by_humidity",
     .help = "ratio, enthalpy (kJ/kg), volume, density, vapour",
     .inputs = {WHAT, TEMPERATURE, HUMIDITY, PRESSURE},
     .dim = BW_DIM_NUMBER,
     .run = by_humidity},
    {.name = "air_by_wet_bulb",
     .help = "the same, and humidity, from the wet bulb",
     .inputs = {WHAT, TEMPERATURE, {.name = "wet_bulb", .dim = BW_DIM_TEMPERATURE}, PRESSURE},
     .dim = BW_DIM_NUMBER,
     .run = by_wet_bulb},
    {.name = "air_by_ratio",
     .help = "the same from the humidity ratio",
     .inputs = {WHAT, TEMPERATURE, {.name = "ratio", .dim = BW_DIM_NUMBER}, PRESSURE},
     .dim = BW_DIM_NUMBER,
     .run = by_ratio},
    {.name = "dew_point",
     .help = "dew or frost point",
     .inputs = {TEMPERATURE, HUMIDITY, PRESSURE},
     .dim = BW_DIM_TEMPERATURE,
     .run = dew_point},
    {.name = "wet_bulb",
     .help = "wet or ice bulb",
     .inputs = {TEMPERATURE, HUMIDITY, PRESSURE},
     .dim = BW_DIM_TEMPERATURE,
     .run = wet_bulb},
    {.name = "friction_factor",
     .help = "Darcy's, by colebrook, churchill, haaland or altshul",
     .inputs = {{.name = "reynolds", .dim = BW_DIM_NUMBER},
                {.name = "roughness", .dim = BW_DIM_NUMBER},
                {.name = "by", .text = true}},
     .dim = BW_DIM_NUMBER,
     .run = friction},
    {.name = NULL},
};
