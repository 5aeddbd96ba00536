// view.c - the study `shopair` as a person reads it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/shopair/part.h"

#include <math.h>

static const char *const RISK[] = {"low", "raised", "HIGH"};

static const char *optional(struct bw_text *text, double v) {
    const char *word = isnan(v) ? "" : bw_arena_format(text->arena, "%.1f", v);
    return word == NULL ? "?" : word;
}

// Humidities to whole percents, moistures to tenths: nobody reads them closer.
static const char *percent(struct bw_text *text, struct bw_quantity q, int digits) {
    if (!bw_known(q)) return "?";
    if (bw_sd_known(q)) return bw_text_quantity(text, q, BW_DIM_RATIO);
    const char *word = bw_arena_format(text->arena, "%.*f\u00a0%%", digits, 100 * q.v);
    return word == NULL ? "?" : word;
}

// Heat is paid by the kW, or by BTU an hour.
static const char *heat(struct bw_text *text, struct bw_quantity q) {
    bool us = text->units == BW_UNITS_US;
    const char *word = bw_arena_format(text->arena, us ? "%.0f\u00a0BTU/h" : "%.1f\u00a0kW",
                                       us ? q.v * 3.412142 : q.v / 1e3);
    return word == NULL ? "?" : word;
}

static const char *ohms(struct bw_text *text, struct bw_quantity q) {
    if (!(q.v >= 1e4) || bw_sd_known(q)) return bw_text_quantity(text, q, BW_DIM_RESISTANCE);
    bool mega = q.v >= 1e6;
    const char *word = bw_arena_format(text->arena, "%.3g\u00a0%s", q.v / (mega ? 1e6 : 1e3),
                                       mega ? "Mohm" : "kohm");
    return word == NULL ? "?" : word;
}

static struct bw_quantity size_of(struct bw_quantity q) {
    return (struct bw_quantity){fabs(q.v), q.sd, q.way};
}

static void air(const struct shopair_output *out, struct bw_text *text) {
    const struct shopair_state *in = out->indoor;
    bw_text_heading(text, "The air");
    bw_text_para(text, "%s, %s; wet bulb %s, dew point %s.",
                 bw_text_quantity(text, in->temperature, BW_DIM_TEMPERATURE),
                 percent(text, in->humidity, 0),
                 bw_text_quantity(text, in->wet_bulb, BW_DIM_TEMPERATURE),
                 bw_text_quantity(text, in->dew_point, BW_DIM_TEMPERATURE));
    const struct shopair_load *load = out->load;
    if (out->outdoor != NULL)
        bw_text_para(text, "Outdoor air of %s and %s, warmed to this with nothing added, has %s.",
                     bw_text_quantity(text, out->outdoor->temperature, BW_DIM_TEMPERATURE),
                     percent(text, out->outdoor->humidity, 0), percent(text, load->humidity, 0));
}

static void return_lines(const struct shopair_output *out, struct bw_text *text) {
    if (out->returns.n == 0) return;
    const char *flow =
        bw_arena_format(text->arena, "outdoors, %s", bw_text_unit(text, BW_DIM_FLOW));
    const char *water =
        bw_arena_format(text->arena, "water, %s/h", bw_text_unit(text, BW_DIM_MASS));
    if (flow == NULL || water == NULL) return;
    bw_text_gap(text);
    const char *titles[] = {"returned", flow, water, "heat", "cost an hour", NULL};
    bw_text_table(text, "rrdrd", titles);
    for (size_t i = 0; i < out->returns.n; i++) {
        const struct shopair_return_row *r =
            (const struct shopair_return_row *)out->returns.items + i;
        bw_text_cell(text, "%.0f %%", 100 * r->returned.v);
        bw_text_cell(text, "%.0f", bw_dim_from_si(BW_DIM_FLOW, text->units, r->outdoors.v));
        bw_text_cell(text, "%.1f", bw_dim_from_si(BW_DIM_MASS, text->units, r->water.v));
        bw_text_cell(text, "%s", heat(text, r->heat));
        if (bw_known(r->cost))
            bw_text_cell(text, "%.2f", r->cost.v);
        else
            bw_text_cell(text, "%s", "");
    }
    bw_text_table_end(text);
    bw_text_gap(text);
    bw_text_caution(text, "returned air carries the finest wood dust back to people; hardwood dust "
                          "causes cancer. Local law may limit or forbid it, and asks for filters, "
                          "monitoring and explosion isolation. Ask before you return any.");
}

static void load_lines(const struct shopair_output *out, struct bw_text *text) {
    const struct shopair_load *load = out->load;
    if (out->outdoor == NULL) return;
    bw_text_gap(text);
    bw_text_heading(text, "What outdoor air costs");
    if (bw_known(load->water)) {
        bw_text_item(text, "- ", "%s goes outdoors and comes back in cold and dry.",
                     bw_text_quantity(text, load->outdoors, BW_DIM_FLOW));
        bw_text_item(text, "- ",
                     "Holding the humidity wanted takes %.1f %s of water an hour. Evaporating it "
                     "takes %s of heat, by steam or by spray alike; warming the air another %s.",
                     bw_dim_from_si(BW_DIM_MASS, text->units, load->water.v),
                     bw_text_unit(text, BW_DIM_MASS), heat(text, load->latent),
                     heat(text, load->sensible));
        if (bw_known(load->cost))
            bw_text_item(text, "- ", "At the prices given that is %.2f an hour.", load->cost.v);
    }
    if (bw_known(load->humidifier_reach))
        bw_text_item(text, "- ", "The humidifier holds %s against that.",
                     percent(text, load->humidifier_reach, 0));
    bw_text_item(text, "- ",
                 "An evaporative cooler reaches %s at the most in this make-up air; in the air of "
                 "now it would give %s at %s.",
                 percent(text, load->cooler_reach, 0),
                 bw_text_quantity(text, load->cooler_temperature, BW_DIM_TEMPERATURE),
                 percent(text, load->cooler_humidity, 0));
    return_lines(out, text);
}

static void static_lines(const struct shopair_output *out, struct bw_text *text) {
    bw_text_gap(text);
    bw_text_heading(text, "Static: risk %s", RISK[out->risk]);
    if (out->risk_dry != out->risk_damp)
        bw_text_para(text, "Not sure: within the ± of the humidity it may be %s to %s.",
                     RISK[out->risk_damp], RISK[out->risk_dry]);
    for (size_t i = 0; i < out->reasons.n; i++)
        bw_text_item(text, "- ", "%s",
                     ((const struct shopair_reason *)out->reasons.items + i)->text);
    if (out->remedies.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "Means against it, in this order");
    for (size_t i = 0; i < out->remedies.n; i++) {
        const struct shopair_remedy *r = (const struct shopair_remedy *)out->remedies.items + i;
        char mark[24];
        (void)snprintf(mark, sizeof mark, "%zu. ", i + 1);
        bw_text_item(text, mark, "%s: %s; %s.%s%s%s", r->remedy, r->can, r->cannot,
                     r->caution == NULL ? "" : " Mind: ", r->caution == NULL ? "" : r->caution,
                     r->caution == NULL ? "" : ".");
    }
    bw_text_gap(text);
    bw_text_caution(text, "a spark sets off wood dust in air. Where sparks are seen, stop, and "
                          "have ducts, hoses and collector bonded before running on.");
}

static void ground_lines(const struct shopair_output *out, struct bw_text *text) {
    if (out->grounds.n > 0) {
        bw_text_gap(text);
        bw_text_heading(text, "Ground path");
        for (size_t i = 0; i < out->grounds.n; i++) {
            const struct shopair_ground_row *row =
                (const struct shopair_ground_row *)out->grounds.items + i;
            bw_text_item(text, "- ", "%s, %s: %s.", row->at, ohms(text, row->resistance),
                         row->verdict);
        }
        bw_text_gap(text);
        bw_text_caution(text, "power locked out before probes or hands touch anything; the "
                              "grounding conductor is a licensed electrician's work under the "
                              "local code.");
    }
    if (out->rods.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "Ground rods, for the electrician");
    const char *titles[] = {"rods", "ohm", "best soil of the kind", "worst", NULL};
    bw_text_table(text, "rddd", titles);
    for (size_t i = 0; i < out->rods.n; i++) {
        const struct shopair_rod_row *row = (const struct shopair_rod_row *)out->rods.items + i;
        bw_text_cell(text, "%.0f", row->rods.v);
        bw_text_cell(text, "%.1f", row->resistance.v);
        bw_text_cell(text, "%s", optional(text, row->low.v));
        bw_text_cell(text, "%s", optional(text, row->high.v));
    }
    bw_text_table_end(text);
    bw_text_gap(text);
    bw_text_para(text,
                 "Frost and drought raise these severalfold. NEC: rods of 8 ft at least, 6 ft "
                 "apart; a single one above 25 ohm needs a second as the service's electrode "
                 "(250.53), not where it only stands beside a machine (250.54); its copper "
                 "need be no larger than 6 AWG. Elsewhere the local code.");
    bw_text_gap(text);
    bw_text_caution(text, "earth is no path for a fault: a rod never replaces the equipment "
                          "grounding conductor and must be bonded to it (NEC 250.4(A)(5), 250.54). "
                          "A rod that cures static mostly shows that the bond was broken.");
}

static void wood_lines(const struct shopair_output *out, struct bw_text *text) {
    const struct shopair_wood *wood = out->wood;
    bw_text_gap(text);
    bw_text_heading(text, "Wood and belts");
    bw_text_item(text, "- ",
                 "In this air wood comes to %s moisture in some weeks; at the humidity "
                 "wanted to %s%s%s.",
                 percent(text, wood->moisture, 1), percent(text, wood->at_target, 1),
                 bw_known(wood->at_dry) ? "; in outdoor air warmed to " : "",
                 bw_known(wood->at_dry) ? percent(text, wood->at_dry, 1) : "");
    if (wood->wood != NULL) {
        bw_text_item(text, "- ", "%s of that width %s by %s at the humidity wanted: %s.",
                     wood->wood, wood->change.v < 0 ? "shrinks" : "swells",
                     bw_text_quantity(text, size_of(wood->change), BW_DIM_LENGTH), wood->verdict);
        if (bw_known(wood->change_dry))
            bw_text_item(text, "- ", "Left in the dry air it %s by %s.",
                         wood->change_dry.v < 0 ? "shrinks" : "swells",
                         bw_text_quantity(text, size_of(wood->change_dry), BW_DIM_LENGTH));
    }
    bw_text_item(text, "- ", "%s", out->belts_text);
}

static void year_lines(const struct shopair_output *out, struct bw_text *text) {
    if (out->months.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "Through the year, nothing added");
    const char *titles[] = {"month", NULL, "outdoors", "in the shop", NULL, "wood", "static"};
    titles[1] = bw_text_unit(text, BW_DIM_TEMPERATURE);
    titles[4] = bw_arena_format(text->arena, "water, %s/h", bw_text_unit(text, BW_DIM_MASS));
    if (titles[4] == NULL) return;
    bw_text_table(text, "ldrrdrl", titles);
    for (size_t i = 0; i < out->months.n; i++) {
        const struct shopair_month_row *m = (const struct shopair_month_row *)out->months.items + i;
        bw_text_cell(text, "%s", m->month);
        bw_text_cell(text, "%.1f", bw_dim_from_si(BW_DIM_TEMPERATURE, text->units, m->outdoor.v));
        bw_text_cell(text, "%.0f %%", 100 * m->outdoor_humidity.v);
        bw_text_cell(text, "%.0f %%", 100 * m->indoor.v);
        bw_text_cell(text, "%s",
                     optional(text, bw_dim_from_si(BW_DIM_MASS, text->units, m->water.v)));
        bw_text_cell(text, "%.1f %%", 100 * m->moisture.v);
        bw_text_cell(text, "%s", RISK[m->risk]);
    }
    bw_text_table_end(text);
}

void shopair_view(const void *out_, struct bw_text *text) {
    const struct shopair_output *out = out_;
    bw_text_para(text, "%s", out->answer);
    bw_text_gap(text);
    air(out, text);
    static_lines(out, text);
    ground_lines(out, text);
    load_lines(out, text);
    wood_lines(out, text);
    year_lines(out, text);
}

// The shop's humidity through the year, and where static begins and belts keep.
void shopair_draw(const void *out_, struct bw_plots *plots) {
    const struct shopair_output *out = out_;
    size_t n = out->months.n;
    if (n < 2) return;
    double *x = bw_arena_array(plots->arena, 4 * n, sizeof *x);
    if (x == NULL) {
        plots->failed = true;
        return;
    }
    double *shop = x + n, *dry = x + 2 * n, *damp = x + 3 * n;
    for (size_t i = 0; i < n; i++) {
        const struct shopair_month_row *m = (const struct shopair_month_row *)out->months.items + i;
        x[i] = (double)m->number;
        shop[i] = m->indoor.v;
        dry[i] = 0.3;
        damp[i] = 0.65;
    }
    struct bw_plot *plot =
        bw_plot_new(plots, "shop-humidity", "Humidity in the shop, nothing added");
    plot->alternative = "Relative humidity of the heated shop by month, with 30 %, under which "
                        "static is to be expected, and 65 %, above which belts suffer.";
    plot->x_title = "month";
    plot->y_title = "relative humidity";
    plot->x_dim = BW_DIM_NUMBER;
    plot->y_dim = BW_DIM_RATIO;
    bw_plot_series(plots, plot,
                   (struct bw_series){.kind = BW_MARK_LINE,
                                      .name = "in the shop",
                                      .style = "main",
                                      .x = x,
                                      .y = shop,
                                      .n = n});
    bw_plot_series(plots, plot,
                   (struct bw_series){.kind = BW_MARK_LINE,
                                      .name = "static below",
                                      .style = "warn",
                                      .x = x,
                                      .y = dry,
                                      .n = n});
    bw_plot_series(plots, plot,
                   (struct bw_series){.kind = BW_MARK_LINE,
                                      .name = "belts suffer above",
                                      .style = "second",
                                      .x = x,
                                      .y = damp,
                                      .n = n});
}
