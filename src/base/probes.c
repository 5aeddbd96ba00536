// probes.c - see probes.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/probes.h"

#include <string.h>

static bool choose_dim(const char *name, enum bw_dim *out, struct bw_err *err) {
    for (int dim = 0; dim < BW_DIM_COUNT; dim++) {
        if (strcmp(bw_dim_name((enum bw_dim)dim), name) != 0) continue;
        *out = (enum bw_dim)dim;
        return true;
    }
    bw_err_value(err, name);
    bw_err_mend(err, "such as length, speed, pressure or temperature");
    return bw_fail(err, BW_INPUT, "no such kind of quantity");
}

static bool read_input(const struct bw_probe_value *in, enum bw_dim *dim, struct bw_quantity *out,
                       struct bw_err *err) {
    return choose_dim(in[0].text, dim, err) &&
           bw_quantity_read(in[1].text, strlen(in[1].text), *dim, NULL, out, err);
}

static bool quantity_si(const struct bw_probe_value *in, struct bw_probe_value *out,
                        struct bw_err *err) {
    enum bw_dim dim;
    struct bw_quantity q = BW_UNKNOWN;
    if (!read_input(in, &dim, &q, err)) return false;
    out->v = q.v;
    return true;
}

static bool quantity_sd(const struct bw_probe_value *in, struct bw_probe_value *out,
                        struct bw_err *err) {
    enum bw_dim dim;
    struct bw_quantity q = BW_UNKNOWN;
    if (!read_input(in, &dim, &q, err)) return false;
    out->v = q.sd;
    return true;
}

static bool quantity_shown(const struct bw_probe_value *in, struct bw_probe_value *out,
                           struct bw_err *err) {
    static char text[BW_QUANTITY_TEXT];  // outlives the call; checks run one after another
    enum bw_dim dim = BW_DIM_NUMBER;
    enum bw_units units;
    struct bw_quantity q = BW_UNKNOWN;
    if (!read_input(in, &dim, &q, err) || !bw_units_choose(in[2].text, &units, err)) return false;
    out->text = bw_quantity_text(text, q, dim, units);
    return true;
}

#define WRITTEN                                                                                    \
    {.name = "kind", .text = true}, { .name = "written", .text = true }

const struct bw_probe bw_base_probes[] = {
    {.name = "quantity_si",
     .help = "a written quantity in SI units",
     .inputs = {WRITTEN},
     .dim = BW_DIM_NUMBER,
     .run = quantity_si},
    {.name = "quantity_sd",
     .help = "its standard deviation in SI units",
     .inputs = {WRITTEN},
     .dim = BW_DIM_NUMBER,
     .run = quantity_sd},
    {.name = "quantity_shown",
     .help = "a written quantity as it is shown, in si or us units",
     .inputs = {WRITTEN, {.name = "units", .text = true}},
     .text = true,
     .run = quantity_shown},
    {.name = NULL},
};
