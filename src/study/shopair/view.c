// view.c - the study `shopair` as a person reads it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/shopair/part.h"

static const char *const RISK[] = {"low", "raised", "HIGH"};

static const char *optional(struct bw_text *text, double v) {
    const char *word = isnan(v) ? "" : bw_arena_format(text->arena, "%.1f", v);
    return word == NULL ? "?" : word;
}

static void air(const struct shopair_output *out, struct bw_text *text) {
    const struct shopair_state *in = out->indoor;
    bw_text_heading(text, "The air");
    bw_text_para(text, "%s, %s; wet bulb %s, dew point %s.",
                 bw_text_quantity(text, in->temperature, BW_DIM_TEMPERATURE),
                 bw_text_quantity(text, in->humidity, BW_DIM_RATIO),
                 bw_text_quantity(text, in->wet_bulb, BW_DIM_TEMPERATURE),
                 bw_text_quantity(text, in->dew_point, BW_DIM_TEMPERATURE));
    const struct shopair_load *load = out->load;
    if (out->outdoor != NULL)
        bw_text_para(text, "Outdoor air of %s and %s, warmed to this with nothing added, has %s.",
                     bw_text_quantity(text, out->outdoor->temperature, BW_DIM_TEMPERATURE),
                     bw_text_quantity(text, out->outdoor->humidity, BW_DIM_RATIO),
                     bw_text_quantity(text, load->humidity, BW_DIM_RATIO));
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
                     "Holding the humidity wanted takes %s of water an hour. Evaporating it takes "
                     "%s of heat, by steam or by spray alike; warming the air another %s.",
                     bw_text_quantity(text, load->water, BW_DIM_MASS),
                     bw_text_quantity(text, load->latent, BW_DIM_POWER),
                     bw_text_quantity(text, load->sensible, BW_DIM_POWER));
        if (bw_known(load->cost))
            bw_text_item(text, "- ", "At the prices given that is %.2f an hour.", load->cost.v);
        bw_text_item(text, "- ",
                     "Returning filtered air saves both in proportion to what comes back.");
    }
    bw_text_item(text, "- ",
                 "An evaporative cooler reaches %s at the most in this make-up air; in the air of "
                 "now it would give %s at %s.",
                 bw_text_quantity(text, load->cooler_reach, BW_DIM_RATIO),
                 bw_text_quantity(text, load->cooler_temperature, BW_DIM_TEMPERATURE),
                 bw_text_quantity(text, load->cooler_humidity, BW_DIM_RATIO));
    if (!bw_known(load->water)) return;
    bw_text_gap(text);
    bw_text_caution(text, "returned air carries the finest wood dust back to people; hardwood dust "
                          "causes cancer. Local law may limit or forbid it, and asks for filters, "
                          "monitoring and explosion isolation. Ask before you return any.");
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
            bw_text_item(text, "- ", "%s, %s: %s.", row->at,
                         bw_text_quantity(text, row->resistance, BW_DIM_RESISTANCE), row->verdict);
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
    bw_text_caution(text, "earth is no path for a fault: a rod never replaces the equipment "
                          "grounding conductor and must be bonded to it (NEC 250.4(A)(5), 250.54). "
                          "A rod that cures static mostly shows that the bond was broken.");
}

static void wood_lines(const struct shopair_output *out, struct bw_text *text) {
    const struct shopair_wood *wood = out->wood;
    bw_text_gap(text);
    bw_text_heading(text, "Wood and belts");
    bw_text_item(text, "- ", "In this air wood comes to %s moisture in some weeks; at the humidity "
                             "wanted to %s%s%s.",
                 bw_text_quantity(text, wood->moisture, BW_DIM_RATIO),
                 bw_text_quantity(text, wood->at_target, BW_DIM_RATIO),
                 bw_known(wood->at_dry) ? "; in outdoor air warmed to " : "",
                 bw_known(wood->at_dry) ? bw_text_quantity(text, wood->at_dry, BW_DIM_RATIO) : "");
    if (wood->wood != NULL) {
        bw_text_item(text, "- ", "%s of that width changes by %s: %s.", wood->wood,
                     bw_text_quantity(text, wood->change, BW_DIM_LENGTH), wood->verdict);
        if (bw_known(wood->change_dry))
            bw_text_item(text, "- ", "Left in the dry air it changes by %s.",
                         bw_text_quantity(text, wood->change_dry, BW_DIM_LENGTH));
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
        const struct shopair_month_row *m =
            (const struct shopair_month_row *)out->months.items + i;
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
