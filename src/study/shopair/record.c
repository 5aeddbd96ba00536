// record.c - the fields of the study `shopair`, in and out, each defined here and nowhere else.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/shopair/record.h"

// --- in --------------------------------------------------------------------------------------

// Common practice, no source: what such instruments are worth a year after they were bought.
static const struct bw_way HUMIDITY_WAYS[] = {
    {.name = "meter", .help = "an electronic meter", .absolute_sd = 0.03},
    {.name = "dial", .help = "a dial on the wall", .absolute_sd = 0.08},
    {.name = "salt", .help = "a meter set over a salt solution", .absolute_sd = 0.01},
    {.name = NULL},
};
static const struct bw_choice YES_NO[] = {{"no", NULL}, {"yes", NULL}, {NULL, NULL}};
static const struct bw_choice DUSTS[] = {
    {"clean", "dust goes with the air"},
    {"clings", "dust cakes on platen, belt, guards or panel"},
    {"shocks", "people feel or see sparks"},
    {NULL, NULL},
};
static const struct bw_choice SAWN[] = {
    {"flat", "flat-sawn: the rings lie along the width"},
    {"quarter", "quarter-sawn: the rings stand across the width"},
    {NULL, NULL},
};
static const struct bw_choice PARTS[] = {
    {"metal", "bed, head, frame, duct: metal all the way"},
    {"hose", "a hose through its wire"},
    {"belt", "a belt or cover said to conduct"},
    {NULL, NULL},
};

#define IN(member) BW_AT(struct shopair_input, member)
#define CELSIUS(t) ((t) + 273.15)

static const struct bw_field GROUND_FIELDS[] = {
    {BW_AT(struct shopair_ground, resistance), .kind = BW_QUANTITY, .dim = BW_DIM_RESISTANCE,
     .min = 0, .max = 1e15, .required = true, .lead = "",
     .help = "read to the equipment grounding conductor, power locked out"},
    {BW_AT(struct shopair_ground, at), .kind = BW_TEXT, .required = true, .lead = "at",
     .help = "the place: bed, head 1, duct, hose"},
    {BW_AT(struct shopair_ground, part), .kind = BW_CHOICE, .of = PARTS, .fallback = "metal",
     .lead = "of", .help = "what the path leads through"},
    BW_END_FIELDS,
};
static const struct bw_record GROUND = {.name = "ground reading",
                                        .help = "resistance from a place to ground",
                                        .fields = GROUND_FIELDS,
                                        .size = sizeof(struct shopair_ground)};
static const struct bw_field MONTH_FIELDS[] = {
    {BW_AT(struct shopair_month, month), .kind = BW_COUNT, .min = 1, .max = 12, .required = true,
     .lead = "month", .help = "1 for January"},
    {BW_AT(struct shopair_month, temperature), .kind = BW_QUANTITY, .dim = BW_DIM_TEMPERATURE,
     .min = CELSIUS(-60), .max = CELSIUS(55), .required = true, .lead = "",
     .help = "outdoor mean of the month"},
    {BW_AT(struct shopair_month, humidity), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0.01,
     .max = 1, .required = true, .lead = "humidity", .help = "outdoor mean relative humidity"},
    BW_END_FIELDS,
};
static const struct bw_record MONTH = {.name = "month",
                                       .help = "the outdoor climate of one month",
                                       .fields = MONTH_FIELDS,
                                       .size = sizeof(struct shopair_month)};
static const struct bw_file_kind CLIMATE = {.name = "EPW weather file",
                                            .max_bytes = (size_t)8 << 20};

static const struct bw_field INPUT_FIELDS[] = {
    {IN(temperature), .kind = BW_QUANTITY, .dim = BW_DIM_TEMPERATURE, .min = CELSIUS(-40),
     .max = CELSIUS(60), .help = "shop temperature; give two of this and the next three"},
    {IN(humidity), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .of = HUMIDITY_WAYS, .min = 0.005,
     .max = 1, .help = "shop relative humidity"},
    {IN(wet_bulb), .kind = BW_QUANTITY, .dim = BW_DIM_TEMPERATURE, .min = CELSIUS(-40),
     .max = CELSIUS(60), .help = "shop wet-bulb temperature"},
    {IN(dew_point), .kind = BW_QUANTITY, .dim = BW_DIM_TEMPERATURE, .min = CELSIUS(-60),
     .max = CELSIUS(60), .help = "shop dew point"},
    {IN(altitude), .kind = BW_QUANTITY, .dim = BW_DIM_TRAVEL, .min = -500, .max = 5000,
     .fallback = "0 m", .help = "height above the sea"},
    {IN(pressure), .kind = BW_QUANTITY, .dim = BW_DIM_PRESSURE, .min = 50e3, .max = 110e3,
     .help = "air pressure by a barometer there, not reduced to the sea; in place of altitude"},
    {IN(outdoor_temperature), .kind = BW_QUANTITY, .dim = BW_DIM_TEMPERATURE, .min = CELSIUS(-60),
     .max = CELSIUS(55), .help = "outdoor temperature"},
    {IN(outdoor_humidity), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0.01, .max = 1,
     .fallback = "80 %", .help = "outdoor relative humidity"},
    {IN(extraction), .kind = BW_QUANTITY, .dim = BW_DIM_FLOW, .min = 0.01, .max = 200,
     .help = "air that the dust system takes out of the shop"},
    {IN(returned), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0, .max = 1, .fallback = "0 %",
     .help = "share of it that comes back filtered"},
    {IN(target), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0.1, .max = 0.9,
     .fallback = "45 %", .help = "humidity wanted in the shop"},
    {IN(cooler), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0.3, .max = 1, .fallback = "85 %",
     .help = "effectiveness of an evaporative cooler's pad"},
    {IN(humidifier), .kind = BW_QUANTITY, .dim = BW_DIM_MASS, .min = 0.05, .max = 2000,
     .help = "water that a humidifier gives in one hour"},
    {IN(energy_price), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0, .max = 100,
     .help = "price of one kWh of heat, your money"},
    {IN(water_price), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 0, .max = 1000,
     .fallback = "0", .help = "price of 1000 kg of treated water, same money"},
    {IN(wood), .kind = BW_TEXT, .help = "a wood of the table movement"},
    {IN(width), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.01, .max = 5,
     .fallback = "300 mm", .help = "width across the grain, of a glued panel or a board"},
    {IN(sawn), .kind = BW_CHOICE, .of = SAWN, .fallback = "flat", .help = "how the boards lie"},
    {IN(wood_moisture), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO, .min = 0.01, .max = 0.3,
     .help = "moisture of the wood by meter; else what the shop's air gives"},
    {IN(antistatic), .kind = BW_CHOICE, .of = YES_NO, .help = "whether the belts are antistatic"},
    {IN(dust), .kind = BW_CHOICE, .of = DUSTS, .help = "how the dust behaves"},
    {IN(grounds), .kind = BW_LIST, .of = &GROUND, .count_max = 40,
     .help = "readings of the ground path"},
    {IN(soil), .kind = BW_TEXT, .help = "kind of soil, of the table soils, for ground rods"},
    {IN(resistivity), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = 1, .max = 1e5,
     .help = "measured soil resistivity in ohm metres, in place of soil"},
    {IN(rod_length), .kind = BW_QUANTITY, .dim = BW_DIM_TRAVEL, .min = 0.5, .max = 30,
     .fallback = "8 ft", .help = "length of a ground rod in the soil"},
    {IN(rod_diameter), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.005, .max = 0.1,
     .fallback = "5/8 in", .help = "diameter of a ground rod"},
    {IN(months), .kind = BW_LIST, .of = &MONTH, .count_max = 12,
     .help = "outdoor climate by month"},
    {IN(climate), .kind = BW_FILE, .of = &CLIMATE, .help = "an EPW weather file in their place"},
    BW_END_FIELDS,
};

static const char *input_rule(const void *record, const char **field) {
    const struct shopair_input *in = record;
    int n = bw_known(in->temperature) + bw_known(in->humidity) + bw_known(in->wet_bulb) +
            bw_known(in->dew_point);
    *field = bw_known(in->temperature) ? "humidity" : "temperature";
    if (n < 2) return "needs two of temperature, humidity, wet bulb and dew point";
    if (n > 2) return "takes two of temperature, humidity, wet bulb and dew point, not more";
    *field = "extraction";
    bool year = in->months.n > 0 || in->climate.name != NULL;
    bool outdoors = year || bw_known(in->outdoor_temperature);
    if (bw_known(in->extraction) && !outdoors)
        return "the water an extraction takes away needs the outdoor temperature, or a year";
    *field = "soil";
    if (in->soil != NULL && bw_known(in->resistivity)) return "give soil or resistivity, not both";
    *field = "months";
    if (in->months.n > 0 && in->climate.name != NULL) return "give months or a climate, not both";
    return NULL;
}

const struct bw_record shopair_input_record = {.name = "shopair input",
                                               .help = "the air of a shop, and what stands in it",
                                               .fields = INPUT_FIELDS,
                                               .size = sizeof(struct shopair_input),
                                               .check = input_rule};

// --- out -------------------------------------------------------------------------------------

static const struct bw_choice RISKS[] = {
    {"low", "static is not a likely cause now"},
    {"raised", "static builds up where something helps it"},
    {"high", "expect static"},
    {NULL, NULL},
};
static const struct bw_choice BELTS[] = {
    {"fine", "inside the usual window"},
    {"dry", "drier than belts like"},
    {"damp", "damper than belts like"},
    {"temperature", "too cold or too warm"},
    {NULL, NULL},
};
static const struct bw_choice PATHS[] = {
    {"sound", "every reading is within its limit"},
    {"open", "a reading is above what drains static"},
    {"loose", "a metal path reads above 10 ohm"},
    {"unmeasured", "nothing was read"},
    {NULL, NULL},
};

#define OF(type, member, what, dimension)                                                          \
    { BW_AT(struct type, member), .kind = BW_QUANTITY, .dim = dimension, .help = what }
#define WORDS(type, member, what)                                                                  \
    { BW_AT(struct type, member), .kind = BW_TEXT, .help = what }
#define RECORD_OF(id, title, type, list, what)                                                     \
    static const struct bw_record id = {                                                           \
        .name = title, .help = what, .fields = list, .size = sizeof(struct type)}

static const struct bw_field STATE_FIELDS[] = {
    OF(shopair_state, temperature, "dry bulb", BW_DIM_TEMPERATURE),
    OF(shopair_state, humidity, "relative humidity", BW_DIM_RATIO),
    OF(shopair_state, wet_bulb, "wet bulb", BW_DIM_TEMPERATURE),
    OF(shopair_state, dew_point, "dew or frost point", BW_DIM_TEMPERATURE),
    OF(shopair_state, pressure, "air pressure", BW_DIM_PRESSURE),
    OF(shopair_state, density, "density", BW_DIM_DENSITY),
    OF(shopair_state, ratio, "kg of water for each kg of dry air", BW_DIM_NUMBER),
    OF(shopair_state, enthalpy, "kJ for each kg of dry air, from 0 °C", BW_DIM_NUMBER),
    BW_END_FIELDS,
};
RECORD_OF(STATE, "air", shopair_state, STATE_FIELDS, "moist air");

static const struct bw_field LOAD_FIELDS[] = {
    OF(shopair_load, outdoors, "air thrown outdoors and made up from there", BW_DIM_FLOW),
    OF(shopair_load, humidity, "humidity outdoor air has once warmed, nothing added", BW_DIM_RATIO),
    OF(shopair_load, water, "water for one hour at the humidity wanted", BW_DIM_MASS),
    OF(shopair_load, latent, "heat that evaporates it", BW_DIM_POWER),
    OF(shopair_load, sensible, "heat that warms the make-up air", BW_DIM_POWER),
    OF(shopair_load, cost, "heat and water for one hour, in the money of the prices",
       BW_DIM_NUMBER),
    OF(shopair_load, cooler_temperature, "shop air after the evaporative cooler's pad",
       BW_DIM_TEMPERATURE),
    OF(shopair_load, cooler_humidity, "its humidity there", BW_DIM_RATIO),
    OF(shopair_load, cooler_reach, "most a cooler can hold: make-up warmed, wetted, warmed again",
       BW_DIM_RATIO),
    OF(shopair_load, humidifier_reach, "what the humidifier holds against the make-up air",
       BW_DIM_RATIO),
    BW_END_FIELDS,
};
RECORD_OF(LOAD, "make-up air", shopair_load, LOAD_FIELDS, "what air thrown outdoors costs");

static const struct bw_field WOOD_FIELDS[] = {
    WORDS(shopair_wood, wood, "the wood"),
    OF(shopair_wood, moisture, "moisture the shop's air gives wood in time", BW_DIM_RATIO),
    OF(shopair_wood, at_target, "the same at the humidity wanted", BW_DIM_RATIO),
    OF(shopair_wood, at_dry, "the same in outdoor air warmed, nothing added", BW_DIM_RATIO),
    OF(shopair_wood, change, "change of the width from now to the humidity wanted", BW_DIM_LENGTH),
    OF(shopair_wood, change_dry, "change of the width from now to that dry air", BW_DIM_LENGTH),
    WORDS(shopair_wood, verdict, "what that means"),
    BW_END_FIELDS,
};
RECORD_OF(WOOD, "wood", shopair_wood, WOOD_FIELDS, "what the air does to wood");

static const struct bw_field MONTH_ROW_FIELDS[] = {
    WORDS(shopair_month_row, month, "the month"),
    {BW_AT(struct shopair_month_row, number), .kind = BW_COUNT, .help = "its number"},
    OF(shopair_month_row, outdoor, "outdoor temperature", BW_DIM_TEMPERATURE),
    OF(shopair_month_row, outdoor_humidity, "outdoor humidity", BW_DIM_RATIO),
    OF(shopair_month_row, indoor, "shop humidity, nothing added", BW_DIM_RATIO),
    OF(shopair_month_row, water, "water for one hour at the humidity wanted", BW_DIM_MASS),
    OF(shopair_month_row, moisture, "moisture that gives wood", BW_DIM_RATIO),
    {BW_AT(struct shopair_month_row, risk), .kind = BW_CHOICE, .of = RISKS,
     .help = "static by humidity alone"},
    BW_END_FIELDS,
};
RECORD_OF(MONTH_ROW, "month row", shopair_month_row, MONTH_ROW_FIELDS, "one month in the shop");

static const struct bw_field REASON_FIELDS[] = {
    WORDS(shopair_reason, text, "one reason"),
    BW_END_FIELDS,
};
RECORD_OF(REASON, "reason", shopair_reason, REASON_FIELDS, "why the risk is what it is");

static const struct bw_field REMEDY_FIELDS[] = {
    WORDS(shopair_remedy, remedy, "what to do"),
    WORDS(shopair_remedy, can, "what it can do"),
    WORDS(shopair_remedy, cannot, "what it cannot"),
    WORDS(shopair_remedy, caution, "what to mind"),
    BW_END_FIELDS,
};
RECORD_OF(REMEDY, "static remedy", shopair_remedy, REMEDY_FIELDS, "one means against static");

static const struct bw_field GROUND_ROW_FIELDS[] = {
    WORDS(shopair_ground_row, at, "the place"),
    OF(shopair_ground_row, resistance, "resistance to ground", BW_DIM_RESISTANCE),
    {BW_AT(struct shopair_ground_row, open), .kind = BW_CHOICE, .of = PATHS,
     .help = "how it stands"},
    WORDS(shopair_ground_row, verdict, "what that means"),
    BW_END_FIELDS,
};
RECORD_OF(GROUND_ROW, "ground path", shopair_ground_row, GROUND_ROW_FIELDS,
          "one place's path to ground");

static const struct bw_field ROD_FIELDS[] = {
    OF(shopair_rod_row, rods, "number of rods, one length apart", BW_DIM_NUMBER),
    OF(shopair_rod_row, resistance, "resistance in the soil named", BW_DIM_RESISTANCE),
    OF(shopair_rod_row, low, "in the best such soil", BW_DIM_RESISTANCE),
    OF(shopair_rod_row, high, "in the worst such soil", BW_DIM_RESISTANCE),
    BW_END_FIELDS,
};
RECORD_OF(ROD, "ground rods", shopair_rod_row, ROD_FIELDS, "resistance of a number of rods");

static const struct bw_field RETURN_FIELDS[] = {
    OF(shopair_return_row, returned, "share of the extracted air that comes back", BW_DIM_RATIO),
    OF(shopair_return_row, outdoors, "air thrown outdoors", BW_DIM_FLOW),
    OF(shopair_return_row, water, "water for one hour at the humidity wanted", BW_DIM_MASS),
    OF(shopair_return_row, heat, "heat to warm and wet the make-up air", BW_DIM_POWER),
    OF(shopair_return_row, cost, "of one hour, in the money of the prices", BW_DIM_NUMBER),
    BW_END_FIELDS,
};
RECORD_OF(RETURN, "returned air", shopair_return_row, RETURN_FIELDS, "what returning air saves");

#define OUT(member) BW_AT(struct shopair_output, member)

static const struct bw_field OUTPUT_FIELDS[] = {
    {OUT(answer), .kind = BW_TEXT, .help = "the answer in one sentence"},
    {OUT(indoor), .kind = BW_RECORD, .of = &STATE, .help = "the shop's air"},
    {OUT(outdoor), .kind = BW_RECORD, .of = &STATE, .help = "the outdoor air"},
    {OUT(load), .kind = BW_RECORD, .of = &LOAD, .help = "what make-up air costs"},
    {OUT(wood), .kind = BW_RECORD, .of = &WOOD, .help = "what the air does to wood"},
    {OUT(risk), .kind = BW_CHOICE, .of = RISKS, .help = "risk of static"},
    {OUT(risk_dry), .kind = BW_CHOICE, .of = RISKS,
     .help = "the same if the humidity is one standard deviation lower"},
    {OUT(risk_damp), .kind = BW_CHOICE, .of = RISKS, .help = "and one higher"},
    {OUT(reasons), .kind = BW_LIST, .of = &REASON, .help = "why"},
    {OUT(path), .kind = BW_CHOICE, .of = PATHS, .help = "the ground path"},
    {OUT(grounds), .kind = BW_LIST, .of = &GROUND_ROW, .help = "the ground path place by place"},
    {OUT(remedies), .kind = BW_LIST, .of = &REMEDY, .help = "means against static compared"},
    {OUT(belts), .kind = BW_CHOICE, .of = BELTS, .help = "whether belts keep in this air"},
    {OUT(belts_text), .kind = BW_TEXT, .help = "what to do about the belts"},
    {OUT(rods), .kind = BW_LIST, .of = &ROD, .help = "ground rods, for the electrician"},
    {OUT(returns), .kind = BW_LIST, .of = &RETURN,
     .help = "none, half and all of the extracted air returned, compared"},
    {OUT(months), .kind = BW_LIST, .of = &MONTH_ROW, .help = "the year"},
    BW_END_FIELDS,
};
const struct bw_record shopair_output_record = {.name = "shopair",
                                                .help = "the air of a shop and what follows",
                                                .fields = OUTPUT_FIELDS,
                                                .size = sizeof(struct shopair_output)};
