// shopair.c - the study `shopair`: the shop's air, what outdoor air costs, static, ground and wood.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/shopair/shopair.h"

#include "study/shopair/part.h"
#include "trade/timber.h"

#include <math.h>

// --- numbers by formulas ---------------------------------------------------------------------

double shopair_pressure(const struct shopair_input *in) {
    return bw_known(in->pressure) ? in->pressure.v : bw_air_standard_pressure(in->altitude.v);
}

static void outdoors(const struct shopair_input *in, const struct bw_moist_air *room,
                     const struct bw_moist_air *wanted, double *n) {
    struct bw_moist_air out = bw_air_of_ratio(
        in->outdoor_temperature.v,
        bw_air_ratio(in->outdoor_humidity.v * bw_air_saturation(in->outdoor_temperature.v),
                     room->pressure),
        room->pressure);
    n[N_OUT_WET_BULB] = out.wet_bulb;
    n[N_OUT_DEW_POINT] = out.dew_point;
    n[N_OUT_DENSITY] = out.density;
    n[N_OUT_RATIO] = out.ratio;
    n[N_OUT_ENTHALPY] = out.enthalpy / 1e3;
    struct bw_moist_air dry = bw_air_of_ratio(room->temperature, out.ratio, room->pressure);
    n[N_DRY] = dry.humidity;
    n[N_AT_DRY] = bw_wood_moisture(room->temperature, dry.humidity);
    // Make-up air warmed to the shop's temperature, wetted on the pad, warmed back to it.
    double bulb_ratio = bw_air_saturated_ratio(dry.wet_bulb, room->pressure);
    double reached = dry.ratio + in->cooler.v * (bulb_ratio - dry.ratio);
    n[N_REACH] = bw_air_of_ratio(room->temperature, reached, room->pressure).humidity;
    if (!bw_known(in->extraction)) return;
    double thrown = in->extraction.v * (1 - in->returned.v);
    double dry_air = thrown / wanted->volume;  // kg/s
    double water = fmax(dry_air * (wanted->ratio - out.ratio), 0);
    double warm = room->temperature - out.temperature;
    n[N_WATER] = 3600 * water;
    if (bw_known(in->humidifier) && dry_air > 0)
        n[N_HUMIDIFIED] =
            fmin(bw_air_of_ratio(room->temperature, out.ratio + in->humidifier.v / 3600 / dry_air,
                                 room->pressure)
                     .humidity,
                 1);
    n[N_LATENT] = water * 1e3 * (2501 + 1.86 * (room->temperature - BW_ZERO_C));
    n[N_SENSIBLE] = fmax(dry_air * 1e3 * (1.006 + 1.86 * out.ratio) * warm, 0);
    if (bw_known(in->energy_price))
        n[N_COST] = (n[N_LATENT] + n[N_SENSIBLE]) / 1e3 * in->energy_price.v +
                    n[N_WATER] / 1e3 * in->water_price.v;
}

bool shopair_numbers(const struct shopair_input *in, double out[N_COUNT], struct bw_err *err) {
    for (int i = 0; i < N_COUNT; i++) out[i] = BW_NAN;
    struct bw_moist_given given = {in->temperature.v, in->humidity.v, in->wet_bulb.v,
                                   in->dew_point.v};
    struct bw_moist_air room;
    if (!bw_air_of(given, shopair_pressure(in), &room, err)) return false;
    double t = room.temperature;
    struct bw_moist_air wanted = bw_air_of_ratio(
        t, bw_air_ratio(in->target.v * bw_air_saturation(t), room.pressure), room.pressure);
    out[N_TEMPERATURE] = t;
    out[N_HUMIDITY] = room.humidity;
    out[N_WET_BULB] = room.wet_bulb;
    out[N_DEW_POINT] = room.dew_point;
    out[N_DENSITY] = room.density;
    out[N_RATIO] = room.ratio;
    out[N_ENTHALPY] = room.enthalpy / 1e3;
    out[N_COOLED] = t - in->cooler.v * (t - room.wet_bulb);
    // The pad works along the wet bulb: the state after it has the same one.
    struct bw_moist_given pad = {out[N_COOLED], BW_NAN, fmin(room.wet_bulb, out[N_COOLED]), BW_NAN};
    struct bw_moist_air cooled;
    if (!bw_air_of(pad, room.pressure, &cooled, err)) return false;
    out[N_COOLED_HUMIDITY] = cooled.humidity;
    out[N_MOISTURE] = bw_wood_moisture(t, fmin(room.humidity, 1));
    out[N_AT_TARGET] = bw_wood_moisture(t, in->target.v);
    if (bw_known(in->outdoor_temperature)) outdoors(in, &room, &wanted, out);
    return true;
}

// Moves each input that has a ± by it, and adds the squares of what follows. A move that leaves
// what air can be (a wet bulb above the temperature) goes the other way.
static void spread(const struct shopair_input *in, const double at[N_COUNT], double sd[N_COUNT]) {
    const size_t moved[] = {offsetof(struct shopair_input, temperature),
                            offsetof(struct shopair_input, humidity),
                            offsetof(struct shopair_input, wet_bulb),
                            offsetof(struct shopair_input, dew_point),
                            offsetof(struct shopair_input, pressure),
                            offsetof(struct shopair_input, extraction),
                            offsetof(struct shopair_input, outdoor_temperature),
                            offsetof(struct shopair_input, outdoor_humidity)};
    for (int i = 0; i < N_COUNT; i++) sd[i] = 0;
    for (size_t k = 0; k < sizeof moved / sizeof moved[0]; k++) {
        struct shopair_input other = *in;
        struct bw_quantity *q = (struct bw_quantity *)(void *)((char *)&other + moved[k]);
        if (!bw_known(*q) || !bw_sd_known(*q)) continue;
        double step = q->sd, there[N_COUNT];
        struct bw_err ignored = {.code = BW_OK};
        q->v += step;
        if (q == &other.humidity && q->v > 1) q->v -= 2 * step;
        if (!shopair_numbers(&other, there, &ignored)) {
            q->v -= 2 * step;
            bw_err_clear(&ignored);
            if (!shopair_numbers(&other, there, &ignored)) continue;
        }
        for (int i = 0; i < N_COUNT; i++)
            if (!isnan(there[i])) sd[i] = hypot(sd[i], there[i] - at[i]);
    }
}

// --- answers ---------------------------------------------------------------------------------

struct work {
    struct bw_arena *arena;
    const struct shopair_input *in;
    double at[N_COUNT], sd[N_COUNT];
};

static struct bw_quantity number(const struct work *w, enum shopair_number i) {
    return (struct bw_quantity){w->at[i], w->sd[i] > 0 ? w->sd[i] : BW_NAN, -1};
}

static bool air(const struct work *w, struct shopair_output *out) {
    struct shopair_state *in = bw_arena_get(w->arena, sizeof *in);
    struct shopair_state *outside = bw_arena_get(w->arena, sizeof *outside);
    struct shopair_load *load = bw_arena_get(w->arena, sizeof *load);
    if (in == NULL || outside == NULL || load == NULL) return false;
    struct bw_quantity pressure = bw_exactly(shopair_pressure(w->in));
    *in = (struct shopair_state){number(w, N_TEMPERATURE),
                                 number(w, N_HUMIDITY),
                                 number(w, N_WET_BULB),
                                 number(w, N_DEW_POINT),
                                 pressure,
                                 number(w, N_DENSITY),
                                 number(w, N_RATIO),
                                 number(w, N_ENTHALPY)};
    *outside = (struct shopair_state){w->in->outdoor_temperature,
                                      w->in->outdoor_humidity,
                                      number(w, N_OUT_WET_BULB),
                                      number(w, N_OUT_DEW_POINT),
                                      pressure,
                                      number(w, N_OUT_DENSITY),
                                      number(w, N_OUT_RATIO),
                                      number(w, N_OUT_ENTHALPY)};
    *load = (struct shopair_load){
        .outdoors = BW_UNKNOWN,
        .humidity = number(w, N_DRY),
        .water = number(w, N_WATER),
        .latent = number(w, N_LATENT),
        .sensible = number(w, N_SENSIBLE),
        .cost = number(w, N_COST),
        .cooler_temperature = number(w, N_COOLED),
        .cooler_humidity = number(w, N_COOLED_HUMIDITY),
        .cooler_reach = number(w, N_REACH),
        .humidifier_reach = number(w, N_HUMIDIFIED),
    };
    if (bw_known(w->in->extraction))
        load->outdoors = bw_exactly(w->in->extraction.v * (1 - w->in->returned.v));
    out->indoor = in;
    out->outdoor = bw_known(w->in->outdoor_temperature) ? outside : NULL;
    out->load = load;
    return true;
}

// None, half and all of the air returned.
static bool returns(const struct work *w, struct shopair_output *out) {
    struct shopair_return_row *rows = bw_arena_array(w->arena, 3, sizeof *rows);
    if (rows == NULL) return false;
    if (!bw_known(w->in->extraction) || !bw_known(w->in->outdoor_temperature)) return true;
    for (int i = 0; i < 3; i++) {
        struct shopair_input other = *w->in;
        double n[N_COUNT], share = i / 2.0;
        struct bw_err ignored = {.code = BW_OK};
        other.returned = bw_exactly(share);
        if (!shopair_numbers(&other, n, &ignored)) return true;
        rows[i] = (struct shopair_return_row){
            bw_exactly(share), bw_exactly(w->in->extraction.v * (1 - share)),
            bw_exactly(n[N_WATER]), bw_exactly(n[N_LATENT] + n[N_SENSIBLE]), bw_exactly(n[N_COST])};
    }
    out->returns = (struct bw_list){rows, 3};
    return true;
}

#define TIGHT 0.001  // m: a change that opens a joint or jams a drawer (common practice, no source)

static bool wood(const struct work *w, struct shopair_output *out, struct bw_err *err) {
    struct shopair_wood *answer = bw_arena_get(w->arena, sizeof *answer);
    if (answer == NULL) return bw_fail_memory(err);
    *answer = (struct shopair_wood){.moisture = number(w, N_MOISTURE),
                                    .at_target = number(w, N_AT_TARGET),
                                    .at_dry = number(w, N_AT_DRY),
                                    .change = BW_UNKNOWN,
                                    .change_dry = BW_UNKNOWN};
    out->wood = answer;
    if (w->in->wood == NULL) return true;
    const struct bw_movement *row;
    if (!bw_movement_find(w->arena, w->in->wood, &row, err)) {
        bw_err_within(err, "wood");
        return false;
    }
    double coefficient = w->in->sawn == 1 ? row->radial.v : row->tangential.v;
    double now = bw_known(w->in->wood_moisture) ? w->in->wood_moisture.v : w->at[N_MOISTURE];
    double width = w->in->width.v;
    double change = bw_wood_change(width, coefficient, now, w->at[N_AT_TARGET]);
    answer->wood = row->name;
    // A fifth either way: boards of one species differ that much.
    answer->change = bw_about(change, fmax(fabs(change) / 5, 1e-6));
    double dry = bw_wood_change(width, coefficient, now, w->at[N_AT_DRY]);
    if (!isnan(dry)) answer->change_dry = bw_about(dry, fmax(fabs(dry) / 5, 1e-6));
    answer->verdict = fabs(change) < TIGHT ? "that hardly matters"
                      : change > 0         ? "let it take the water on before it is sized"
                                           : "let it give the water off before it is sized";
    return true;
}

// 40 to 60 % and 15 to 25 °C lie inside all but the strictest of five makers' advice; 35 and 65 %
// are where they all warn (read in).
static void belts(const struct work *w, struct shopair_output *out) {
    double h = w->at[N_HUMIDITY], t = w->at[N_TEMPERATURE] - BW_ZERO_C;
    out->belts = BELTS_FINE;
    out->belts_text = "Belts keep in this air. Hang them a day beside the machine before use.";
    if (t < 15 || t > 25) {
        out->belts = BELTS_WARM;
        out->belts_text = "Belts like 15 to 25 °C: store them where it is, and hang them a day "
                          "beside the machine before use.";
    }
    if (h < 0.35) {
        out->belts = BELTS_DRY;
        out->belts_text = "Too dry for belts: they cup and turn brittle. Keep them wrapped until "
                          "a day before use, at 40 to 60 %.";
    }
    if (h > 0.65) {
        out->belts = BELTS_DAMP;
        out->belts_text = "Too damp for belts: they cup, and the bond weakens (glue bonds most). "
                          "Store at 40 to 60 %; run a damp belt unloaded for 5 to 10 minutes "
                          "before work, doors shut.";
    }
}

static void answer(const struct work *w, struct shopair_output *out) {
    static const char *const BY_RISK[] = {"Static is not a likely cause in this air.",
                                          "Static builds up in this air where something helps it.",
                                          "Expect static in this air."};
    out->answer = BY_RISK[out->risk];
    if (out->path == PATH_OPEN)
        out->answer = "The ground path is open: mend it first, whatever the air is like.";
    else if (out->risk == RISK_HIGH && out->path == PATH_UNKNOWN)
        out->answer = "Expect static in this air. Measure the ground path first: nothing else "
                      "helps while it is broken.";
    else if (w->at[N_DRY] < 0.3 && out->risk < RISK_HIGH)
        out->answer = "Static is held off by the water in the air now; outdoor air alone would be "
                      "dry enough for it.";
}

static bool run(struct bw_run *run_, const void *in, void *out_, struct bw_err *err) {
    struct work w = {.arena = run_->arena, .in = in};
    struct shopair_output out = {.belts = BELTS_FINE};
    if (!shopair_numbers(w.in, w.at, err)) return false;
    spread(w.in, w.at, w.sd);
    if (!air(&w, &out) || !returns(&w, &out)) return bw_fail_memory(err);
    if (!wood(&w, &out, err)) return false;
    if (!shopair_grounds(w.arena, w.in, &out) ||
        !shopair_static(w.arena, w.in, number(&w, N_HUMIDITY), &out))
        return bw_fail_memory(err);
    if (!shopair_rods(w.arena, w.in, &out, err) ||
        !shopair_year(w.arena, w.in, w.at[N_TEMPERATURE], &out, err))
        return false;
    belts(&w, &out);
    answer(&w, &out);
    *(struct shopair_output *)out_ = out;
    return true;
}

// --- findings --------------------------------------------------------------------------------

static void findings(const void *out_, struct bw_findings *list) {
    const struct shopair_output *out = out_;
    struct bw_quantity humidity = out->indoor->humidity;
    struct bw_finding finding = {
        .about = "shop air", .v = humidity.v, .sd = humidity.sd, .dim = BW_DIM_RATIO};
    finding.kind = "humidity";
    bw_findings_add(list, finding);
    if (humidity.v < 0.35) {
        finding.kind = "dry-air";
        bw_findings_add(list, finding);
    }
    if (out->belts == BELTS_DAMP) {
        finding.kind = "damp-belts";
        bw_findings_add(list, finding);
    }
    for (size_t i = 0; i < out->grounds.n; i++) {
        const struct shopair_ground_row *row =
            (const struct shopair_ground_row *)out->grounds.items + i;
        bool open = row->open == PATH_OPEN;
        bw_findings_add(list, (struct bw_finding){.kind = open ? "open-ground-path" : "ground-path",
                                                  .about = row->at,
                                                  .v = row->resistance.v,
                                                  .sd = row->resistance.sd,
                                                  .dim = BW_DIM_RESISTANCE});
    }
}

const struct bw_study bw_study_shopair = {
    .name = "shopair",
    .summary = "the shop's air: humidity, static, ground path, wood, and what make-up air costs",
    .about =
        "From two of temperature, humidity, wet bulb and dew point: the state of the shop's air, "
        "the risk of static with its reasons, whether belts keep in it, and the moisture it gives "
        "wood.\n\n"
        "With the outdoor air and the extraction's flow: how dry the shop gets, the water and "
        "heat each hour costs, and how far an evaporative cooler reaches. With twelve months, or "
        "an EPW weather file, the same through the year.\n\n"
        "With readings of the ground path: what is sound and what is open. A sound equipment "
        "grounding conductor already drains static; measure and mend that bond first. Ground rods "
        "are told for the electrician; a rod never replaces that conductor.",
    .example = "beltwright shopair --temperature \"20 °C\" --humidity \"28 % by meter\" "
               "--outdoor-temperature \"-5 °C\" --extraction \"5600 m³/h\" --ground \"0.4 ohm at "
               "bed\" --month \"-3 °C humidity 85 % month 1\" --month \"8 °C humidity 75 % month "
               "4\" --month \"19 °C humidity 68 % month 7\" --month \"9 °C humidity 80 % month "
               "10\"",
    .in = &shopair_input_record,
    .out = &shopair_output_record,
    .shape = 1,
    .run = run,
    .text = shopair_view,
    .plots = shopair_draw,
    .findings = findings,
};
