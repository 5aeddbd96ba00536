// year.c - the shop through twelve months, from means typed in or an EPW weather file.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// EPW is an open format: eight header lines, then one line an hour, fields parted by commas; the
// second is the month, the seventh the dry bulb in °C (99.9: missing), the ninth the relative
// humidity in % (999: missing). Humidities are averaged as kg of water per kg of dry air: relative
// ones of warm noons and cold nights have no common mean.
#include "study/shopair/part.h"

#include "base/number.h"
#include "trade/timber.h"

#include <math.h>
#include <string.h>

struct month {
    double temperature, ratio;  // sums while reading
    long n;
};

#define HEADER_LINES 8
#define FIELDS_NEEDED 9

// The first fields of a line; false if there are fewer.
static bool fields_of(const char *line, size_t length, struct month *months) {
    const char *at = line, *end = line + length;
    double value[FIELDS_NEEDED] = {0};
    for (int i = 0; i < FIELDS_NEEDED; i++) {
        const char *comma = memchr(at, ',', (size_t)(end - at));
        if (comma == NULL) return false;
        struct bw_err ignored = {.code = BW_OK};
        bool wanted = i == 1 || i == 6 || i == 8;
        if (wanted && !bw_number(at, (size_t)(comma - at), &value[i], &ignored)) return false;
        at = comma + 1;
    }
    double t = value[6], h = value[8];
    if (value[1] < 1 || value[1] > 12 || floor(value[1]) < value[1]) return false;
    if (t >= 99.9 || h >= 999) return true;  // missing: the other hours make the mean
    if (t < -70 || t > 70 || h < 0 || h > 110) return false;
    struct month *month = &months[(int)value[1] - 1];
    double kelvin = t + BW_ZERO_C;
    month->temperature += kelvin;
    double vapour = fmin(h / 100, 1) * bw_air_saturation(kelvin);
    month->ratio += bw_air_ratio(vapour, BW_STANDARD_PRESSURE);
    month->n++;
    return true;
}

static bool read_epw(const struct bw_file *file, struct month months[12], struct bw_err *err) {
    const char *at = file->content, *end = at + file->size;
    for (int line = 1; at < end; line++) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        if (stop == NULL) stop = end;
        if (line > HEADER_LINES && stop - at > 1 && !fields_of(at, (size_t)(stop - at), months)) {
            bw_fail(err, BW_SYNTAX, "not a line of an EPW weather file");
            bw_err_file(err, file->name);
            bw_err_place(err, line, 1);
            bw_err_mend(err, "after eight header lines each line holds year, month, day, hour, "
                             "minute, source, dry bulb, dew point, humidity and more");
            return false;
        }
        at = stop + 1;
    }
    for (int i = 0; i < 12; i++) {
        if (months[i].n > 0) continue;
        bw_fail(err, BW_INPUT, "the weather file has no readings for month %d", i + 1);
        bw_err_file(err, file->name);
        bw_err_mend(err, "take a file of a whole year, or give the months");
        return false;
    }
    return true;
}

static bool gather(const struct shopair_input *in, struct month months[12], struct bw_err *err) {
    if (in->climate.name != NULL) return read_epw(&in->climate, months, err);
    for (size_t i = 0; i < in->months.n; i++) {
        const struct shopair_month *given = (const struct shopair_month *)in->months.items + i;
        struct month *month = &months[given->month - 1];
        if (month->n > 0) {
            bw_fail(err, BW_INPUT, "month %ld is given twice", given->month);
            bw_err_within_index(err, "months", i);
            return false;
        }
        month->n = 1;
        month->temperature = given->temperature.v;
        month->ratio = bw_air_ratio(given->humidity.v * bw_air_saturation(given->temperature.v),
                                    BW_STANDARD_PRESSURE);
    }
    return true;
}

static const char *const NAMES[] = {"January",   "February", "March",    "April",
                                    "May",       "June",     "July",     "August",
                                    "September", "October",  "November", "December"};

static struct shopair_month_row row_of(const struct shopair_input *in, double indoor,
                                       struct bw_moist_air out, const char *name) {
    double pressure = out.pressure;
    // A summer hotter than the shop's temperature comes in as it is: nothing cools it.
    double t = fmax(indoor, out.temperature);
    struct bw_moist_air shop = bw_air_of_ratio(t, out.ratio, pressure);
    struct bw_moist_air wanted =
        bw_air_of_ratio(t, bw_air_ratio(in->target.v * bw_air_saturation(t), pressure), pressure);
    struct shopair_month_row row = {.month = name,
                                    .outdoor = bw_exactly(out.temperature),
                                    .outdoor_humidity = bw_exactly(out.humidity),
                                    .indoor = bw_exactly(shop.humidity),
                                    .water = BW_UNKNOWN,
                                    .moisture = bw_exactly(bw_wood_moisture(t, shop.humidity)),
                                    .risk = shopair_humidity_risk(shop.humidity)};
    if (bw_known(in->extraction)) {
        double dry_air = in->extraction.v * (1 - in->returned.v) / wanted.volume;
        row.water = bw_exactly(3600 * fmax(dry_air * (wanted.ratio - out.ratio), 0));
    }
    return row;
}

bool shopair_year(struct bw_arena *arena, const struct shopair_input *in, double indoor,
                  struct shopair_output *out, struct bw_err *err) {
    struct month months[12] = {{0}};
    if (in->months.n == 0 && in->climate.name == NULL) return true;
    if (!gather(in, months, err)) return false;
    struct shopair_month_row *rows = bw_arena_array(arena, 12, sizeof *rows);
    if (rows == NULL) return bw_fail_memory(err);
    size_t n = 0;
    for (int i = 0; i < 12; i++) {
        if (months[i].n == 0) continue;
        double t = months[i].temperature / (double)months[i].n;
        // The sums were taken at standard pressure; the vapour is what the air brings.
        double ratio = months[i].ratio / (double)months[i].n;
        double vapour = BW_STANDARD_PRESSURE * ratio / (0.621945 + ratio);
        double pressure = shopair_pressure(in);
        struct bw_moist_air air = bw_air_of_ratio(t, bw_air_ratio(vapour, pressure), pressure);
        rows[n] = row_of(in, indoor, air, NAMES[i]);
        rows[n++].number = i + 1;
    }
    out->months = (struct bw_list){rows, n};
    return true;
}
