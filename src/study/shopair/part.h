// part.h - what the files of the study `shopair` share.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SHOPAIR_PART_H
#define BW_STUDY_SHOPAIR_PART_H

#include "numeric/moist_air.h"
#include "study/shopair/record.h"
#include "study/study.h"

// Numbers that come from the input by formulas alone, so that an uncertainty can be carried
// through by moving one input at a time. NaN: not asked for.
enum shopair_number {
    N_TEMPERATURE,
    N_HUMIDITY,
    N_WET_BULB,
    N_DEW_POINT,
    N_DENSITY,
    N_RATIO,
    N_ENTHALPY,
    N_OUT_WET_BULB,
    N_OUT_DEW_POINT,
    N_OUT_DENSITY,
    N_OUT_RATIO,
    N_OUT_ENTHALPY,
    N_DRY,
    N_WATER,
    N_LATENT,
    N_SENSIBLE,
    N_COST,
    N_COOLED,
    N_COOLED_HUMIDITY,
    N_REACH,
    N_HUMIDIFIED,
    N_MOISTURE,
    N_AT_TARGET,
    N_AT_DRY,
    N_COUNT
};
// Writes them to `out`. Error BW_INPUT: readings that contradict each other.
bool shopair_numbers(const struct shopair_input *in, double out[N_COUNT], struct bw_err *err);
double shopair_pressure(const struct shopair_input *in);

// static.c
int shopair_humidity_risk(double humidity);  // enum shopair_risk, by humidity alone
bool shopair_static(struct bw_arena *arena, const struct shopair_input *in,
                    struct bw_quantity humidity, struct shopair_output *out);
bool shopair_grounds(struct bw_arena *arena, const struct shopair_input *in,
                     struct shopair_output *out);
bool shopair_rods(struct bw_arena *arena, const struct shopair_input *in,
                  struct shopair_output *out, struct bw_err *err);

// year.c
bool shopair_year(struct bw_arena *arena, const struct shopair_input *in, double indoor,
                  struct shopair_output *out, struct bw_err *err);

// view.c
void shopair_view(const void *out, struct bw_text *text);
void shopair_draw(const void *out, struct bw_plots *plots);

#endif
