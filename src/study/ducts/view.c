// view.c - the study `ducts` as a person reads it: a tree with its faults in words, then the rest.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/ducts/part.h"

#include <math.h>
#include <string.h>
#include <strings.h>

static const char *const VERDICT[] = {"enough", "STARVED", "unsure", ""};
static const char *const SPEED[] = {"", "SETTLES", "too fast", "shut"};

static const struct ducts_line_row *line_at(const struct ducts_output *out, size_t i) {
    return (const struct ducts_line_row *)out->lines.items + i;
}

static const struct ducts_remedy_row *remedy_at(const struct ducts_output *out, size_t i) {
    return (const struct ducts_remedy_row *)out->remedies.items + i;
}

static bool is_open_air(const char *name) {
    return strcasecmp(name, "room") == 0 || strcasecmp(name, "outdoors") == 0;
}

static void cells(const struct ducts_output *out, size_t i, int depth, struct bw_text *text) {
    const struct ducts_line_row *row = line_at(out, i);
    char bars[2 * 24 + 1] = "";
    for (int d = 0; d < depth && d < 24; d++) memcpy(bars + 2 * d, "| ", 3);
    bw_text_cell(text, "%s%s", bars, row->name);
    bw_text_cell(text, "%s", bw_text_value(text, row->flow, BW_DIM_FLOW));
    if (bw_known(row->minimum))
        bw_text_cell(text, "%.0f", bw_dim_from_si(BW_DIM_FLOW, text->units, row->minimum.v));
    else
        bw_text_cell(text, "%s", "");
    bw_text_cell(text, "%s", row->hole ? "LEAK" : VERDICT[row->verdict]);
    bw_text_cell(text, "%s", bw_text_value(text, row->velocity, BW_DIM_SPEED));
    bw_text_cell(text, "%s", SPEED[row->speed]);
}

// From the fan's end towards the hoods: a line, then what flows into where it begins.
static void branch(const struct ducts_output *out, size_t i, int depth, bool *told,
                   struct bw_text *text) {
    if (told[i]) return;
    told[i] = true;
    cells(out, i, depth, text);
    if (is_open_air(line_at(out, i)->from)) return;
    for (size_t k = 0; k < out->lines.n; k++)
        if (strcasecmp(line_at(out, k)->to, line_at(out, i)->from) == 0)
            branch(out, k, depth + 1, told, text);
}

static void tree(const struct ducts_output *out, struct bw_text *text) {
    bool *told = bw_arena_array(text->arena, out->lines.n + 1, sizeof *told);
    const char *flow = bw_arena_format(text->arena, "flow, %s", bw_text_unit(text, BW_DIM_FLOW));
    const char *speed = bw_arena_format(text->arena, "speed, %s", bw_text_unit(text, BW_DIM_SPEED));
    if (told == NULL || flow == NULL || speed == NULL) return;
    const char *titles[] = {"line", flow, "least", "port", speed, "dust", NULL};
    bw_text_table(text, "ldrldl", titles);
    for (size_t i = 0; i < out->lines.n; i++)
        if (is_open_air(line_at(out, i)->to)) branch(out, i, 0, told, text);
    for (size_t i = 0; i < out->lines.n; i++) branch(out, i, 0, told, text);
    bw_text_table_end(text);
}

static void fans(const struct ducts_output *out, struct bw_text *text) {
    bw_text_gap(text);
    for (size_t i = 0; i < out->fans.n; i++) {
        const struct ducts_fan_row *fan = (const struct ducts_fan_row *)out->fans.items + i;
        bw_text_item(text, "- ", "Fan in %s: %s at %s, %s at its shaft; %s.", fan->line,
                     bw_text_quantity(text, fan->flow, BW_DIM_FLOW),
                     bw_text_quantity(text, fan->pressure, BW_DIM_PRESSURE),
                     bw_text_quantity(text, fan->power, BW_DIM_POWER), fan->text);
    }
}

static void parts(const struct ducts_output *out, struct bw_text *text) {
    if (!out->tell_parts) return;
    bw_text_gap(text);
    bw_text_heading(text, "Part by part, in the direction of the air");
    const char *speed = bw_arena_format(text->arena, "speed, %s", bw_text_unit(text, BW_DIM_SPEED));
    const char *loss =
        bw_arena_format(text->arena, "loss, %s", bw_text_unit(text, BW_DIM_PRESSURE));
    if (speed == NULL || loss == NULL) return;
    const char *titles[] = {"line", "part", speed, loss, "behind it", NULL};
    bw_text_table(text, "llddd", titles);
    const char *line = "";
    for (size_t i = 0; i < out->parts.n; i++) {
        const struct ducts_part_row *p = (const struct ducts_part_row *)out->parts.items + i;
        bw_text_cell(text, "%s", strcmp(line, p->line) == 0 ? "" : p->line);
        bw_text_cell(text, "%s", p->part);
        bw_text_cell(text, "%s", bw_text_value(text, p->velocity, BW_DIM_SPEED));
        bw_text_cell(text, "%s", bw_text_value(text, p->loss, BW_DIM_PRESSURE));
        bw_text_cell(text, "%s", bw_text_value(text, p->pressure, BW_DIM_PRESSURE));
        line = p->line;
    }
    bw_text_table_end(text);
    bw_text_gap(text);
    bool tight = out->imbalance.v < 1e-9 && out->mismatch.v < 1e-9;
    bw_text_para(text,
                 "Behind it: total pressure against the room. What a fitting between lines "
                 "costs is not among the parts. Solved in %.0f steps; flows and pressures "
                 "balance %s.",
                 out->steps.v, tight ? "to a billionth" : "NO BETTER than the JSON tells");
}

#define MOST_WORKING 6
#define MOST_OTHERS 4

// The first few that work, then a few that do not, so that nobody tries them in vain.
static bool is_shown(const struct ducts_output *out, size_t i) {
    size_t alike = 0;
    for (size_t k = 0; k < i; k++) alike += remedy_at(out, k)->works == remedy_at(out, i)->works;
    return alike < (remedy_at(out, i)->works ? MOST_WORKING : MOST_OTHERS);
}

static void remedy_cells(const struct ducts_remedy_row *r, struct bw_text *text) {
    bw_text_cell(text, "%s", r->works ? "YES" : "no");
    bw_text_cell(text, "%s", r->worst == NULL ? "" : r->worst);
    bw_text_cell(text, "%.0f %%", 100 * r->share.v);
    bw_text_cell(text, "%s", bw_text_quantity(text, r->velocity, BW_DIM_SPEED));
    bw_text_cell(text, "%s", r->effort);
    if (isinf(r->cost.v) || !bw_known(r->cost))
        bw_text_cell(text, "%s", "");
    else
        bw_text_cell(text, "%.0f", r->cost.v);
    bw_text_cell(text, "%s%s", r->what, r->overload ? ": OVERLOADS the motor" : "");
}

static void tell_caution(const struct ducts_output *out, size_t i, const char *caution,
                         struct bw_text *text) {
    if (caution == NULL) return;
    for (size_t k = 0; k < i; k++) {
        const struct ducts_remedy_row *r = remedy_at(out, k);
        if (is_shown(out, k) && (r->caution == caution || r->caution_too == caution)) return;
    }
    bw_text_caution(text, "%s.", caution);
}

static void remedies(const struct ducts_output *out, struct bw_text *text) {
    if (out->remedies.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(
        text, "What would help, each solved again%s%s",
        out->first == NULL ? "" : "; with this done first: ", out->first == NULL ? "" : out->first);
    const char *titles[] = {"enough", "worst port", "has",    "slowest",
                            "effort", "cost",       "change", NULL};
    bw_text_table(text, "llrrlrl", titles);
    for (size_t i = 0; i < out->remedies.n; i++)
        if (is_shown(out, i)) remedy_cells(remedy_at(out, i), text);
    bw_text_table_end(text);
    bw_text_gap(text);
    const struct ducts_remedy_row *best = remedy_at(out, 0);
    if (best->works)
        bw_text_para(text,
                     "After the first, of what each port needs: %s. Slowest then: %s at %s; dust "
                     "needs %s.",
                     best->everywhere, best->slowest == NULL ? "no line" : best->slowest,
                     bw_text_quantity(text, best->velocity, BW_DIM_SPEED),
                     bw_text_quantity(text, out->transport, BW_DIM_SPEED));
    if (best->works && best->gates != NULL) bw_text_para(text, "Gates then open: %s.", best->gates);
    if (!best->works)
        bw_text_para(text, "No one change and no two of these give every open port its air and "
                           "keep dust moving. Run fewer machines at a time, or plan a larger "
                           "change with whoever builds the system.");
    bw_text_para(text, "Effort: none, a hand on a gate; little, under an hour; some, half a day "
                       "and a bought part; much, a day or more.");
    bw_text_gap(text);
    for (size_t i = 0; i < out->remedies.n; i++) {
        if (!is_shown(out, i)) continue;
        tell_caution(out, i, remedy_at(out, i)->caution, text);
        tell_caution(out, i, remedy_at(out, i)->caution_too, text);
    }
}

static void balance(const struct ducts_output *out, struct bw_text *text) {
    if (out->balance.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "Gates set so that all open ports share alike");
    const char *flow = bw_arena_format(text->arena, "flow, %s", bw_text_unit(text, BW_DIM_FLOW));
    const char *titles[] = {"gate of", "open", flow == NULL ? "" : flow, "has", NULL};
    bw_text_table(text, "lrrr", titles);
    for (size_t i = 0; i < out->balance.n; i++) {
        const struct ducts_balance_row *r =
            (const struct ducts_balance_row *)out->balance.items + i;
        bw_text_cell(text, "%s", r->line);
        bw_text_cell(text, "%.0f %%", 100 * r->open.v);
        bw_text_cell(text, "%s", bw_text_value(text, r->flow, BW_DIM_FLOW));
        bw_text_cell(text, "%.0f %%", 100 * r->share.v);
    }
    bw_text_table_end(text);
    bw_text_gap(text);
    bool carries = out->balance_velocity.v >= out->transport.v;
    bw_text_para(text,
                 "Slowest then: %s at %s; dust needs %s%s. Mark the gates: a balance lasts "
                 "until somebody moves one.",
                 out->balance_slowest == NULL ? "no line" : out->balance_slowest,
                 bw_text_quantity(text, out->balance_velocity, BW_DIM_SPEED),
                 bw_text_quantity(text, out->transport, BW_DIM_SPEED),
                 carries ? "" : ", so dust SETTLES there: do not run it so");
}

static void sizes(const struct ducts_output *out, struct bw_text *text) {
    if (out->sizes.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "Sized from the least flows, with 5 %% in hand");
    const char *size = bw_arena_format(text->arena, "size, %s", bw_text_unit(text, BW_DIM_LENGTH));
    const char *flow = bw_arena_format(text->arena, "flow, %s", bw_text_unit(text, BW_DIM_FLOW));
    const char *speed = bw_arena_format(text->arena, "speed, %s", bw_text_unit(text, BW_DIM_SPEED));
    if (size == NULL || flow == NULL || speed == NULL) return;
    const char *titles[] = {"line", size, flow, speed, "gate open", NULL};
    bw_text_table(text, "lrddr", titles);
    for (size_t i = 0; i < out->sizes.n; i++) {
        const struct ducts_size_row *r = (const struct ducts_size_row *)out->sizes.items + i;
        bw_text_cell(text, "%s", r->line);
        bw_text_cell(text, "%s", bw_text_value(text, r->diameter, BW_DIM_LENGTH));
        bw_text_cell(text, "%s", bw_text_value(text, r->flow, BW_DIM_FLOW));
        bw_text_cell(text, "%s", bw_text_value(text, r->velocity, BW_DIM_SPEED));
        if (bw_known(r->open))
            bw_text_cell(text, "%.0f %%", 100 * r->open.v);
        else
            bw_text_cell(text, "%s", "");
    }
    bw_text_table_end(text);
    if (!bw_known(out->duty_flow)) return;
    bw_text_gap(text);
    bw_text_item(text, "- ",
                 "The fan it takes: %s at %s total pressure, %s at its shaft, so a "
                 "motor of %s. All above is solved with a fan whose curve passes "
                 "there; take its maker's curve when you have it.",
                 bw_text_quantity(text, out->duty_flow, BW_DIM_FLOW),
                 bw_text_quantity(text, out->duty_pressure, BW_DIM_PRESSURE),
                 bw_text_quantity(text, out->duty_power, BW_DIM_POWER),
                 bw_text_quantity(text, out->duty_motor, BW_DIM_POWER));
    bw_text_gap(text);
    bw_text_caution(text, "a wood dust system is engineered for fire and explosion too: venting, "
                          "isolation, bonding and where the collector stands. Have the plan "
                          "checked by whoever is licensed for it; some codes size a wood system "
                          "with all gates open.");
}

static void settings(const struct ducts_output *out, struct bw_text *text) {
    if (!(out->tried.v > 0)) return;
    bw_text_gap(text);
    bw_text_heading(text, "May be open together (%.0f setting%s tried)", out->tried.v,
                    out->tried.v > 1 ? "s" : "");
    if (out->settings.n == 0) {
        bw_text_para(text, "No setting gives every open port its air and keeps dust moving.");
        return;
    }
    const char *titles[] = {"worst port", "has", "slowest line", "at", "open, all others shut",
                            NULL};
    bw_text_table(text, "lrlrl", titles);
    for (size_t i = 0; i < out->settings.n; i++) {
        const struct ducts_setting_row *s =
            (const struct ducts_setting_row *)out->settings.items + i;
        bw_text_cell(text, "%s", s->worst == NULL ? "" : s->worst);
        if (bw_known(s->share))
            bw_text_cell(text, "%.0f %%", 100 * s->share.v);
        else
            bw_text_cell(text, "%s", "");
        bw_text_cell(text, "%s", s->slowest);
        bw_text_cell(text, "%s", bw_text_quantity(text, s->velocity, BW_DIM_SPEED));
        bw_text_cell(text, "%s", s->open);
    }
    bw_text_table_end(text);
}

static void suspect(const struct ducts_output *out, size_t i, struct bw_text *text) {
    const struct ducts_suspect_row *s = (const struct ducts_suspect_row *)out->suspects.items + i;
    const char *odds = out->suspects.n == 1 ? "" : bw_text_odds(text, s->chance.v);
    const char *comma = out->suspects.n == 1 ? "" : ", ";
    if (bw_known(s->hole))
        bw_text_item(text, "- ", "%s, as large as a round one of %s%s%s: %s.", s->line,
                     bw_text_quantity(text, s->hole, BW_DIM_LENGTH), comma, odds, s->text);
    else if (strcmp(s->element, "fan") == 0)
        bw_text_item(text, "- ", "%s, its fan at %.0f %% of its speed%s%s: %s.", s->line,
                     100 * s->factor.v, comma, odds, s->text);
    else
        bw_text_item(text, "- ", "%s, its %s with %.2g times its loss%s%s: %s.", s->line,
                     s->element, s->factor.v, comma, odds, s->text);
}

static void suspects(const struct ducts_output *out, struct bw_text *text) {
    if (!bw_known(out->misfit)) return;
    bw_text_gap(text);
    bw_text_heading(text, "Measured against computed");
    if (out->misfit.v <= out->expected.v)
        bw_text_para(text, "Nothing disagrees beyond the ± (misfit %.1f, chance gives up to %.1f).",
                     out->misfit.v, out->expected.v);
    else if (out->suspects.n == 0)
        bw_text_para(text,
                     "They disagree (misfit %.1f, chance gives up to %.1f), and no single "
                     "fault explains it: two at once, a wrong reading, or a file that is not "
                     "this system. Read again, and check the gates.",
                     out->misfit.v, out->expected.v);
    else
        bw_text_para(text,
                     "Something is not as the file says (misfit %.1f, chance gives up to "
                     "%.1f). One fault that explains the readings:",
                     out->misfit.v, out->expected.v);
    for (size_t i = 0; i < out->suspects.n; i++) suspect(out, i, text);
    if (out->suspects.n > 1)
        bw_text_para(text, "More readings part them: the static suction behind the hoods, and the "
                           "pressure over the filter.");
    if (out->calibrated)
        bw_text_para(text, "All flows here are set to the readings%s.",
                     out->suspects.n > 0 ? ", with the first of these taken as true" : "");
    if (out->suspects.n > 0) {
        bw_text_gap(text);
        bw_text_caution(text, "look into ducts and hoods locked out, the fan at rest; a plug may "
                              "smoulder, so open it with water at hand and no sparks.");
    }
}

static bool returns_air(const struct ducts_output *out) {
    for (size_t i = 0; i < out->lines.n; i++)
        if (strcasecmp(line_at(out, i)->to, "room") == 0 && line_at(out, i)->flow.v > 0)
            return true;
    return false;
}

void ducts_view(const void *out_, struct bw_text *text) {
    const struct ducts_output *out = out_;
    bw_text_para(text, "%s%s%s", out->name == NULL ? "" : out->name, out->name == NULL ? "" : ": ",
                 out->answer);
    bw_text_gap(text);
    tree(out, text);
    fans(out, text);
    parts(out, text);
    suspects(out, text);
    sizes(out, text);
    remedies(out, text);
    balance(out, text);
    settings(out, text);
    bw_text_gap(text);
    for (size_t i = 0; i < out->notes.n; i++)
        bw_text_item(text, "- ", "%s", ((const struct ducts_note_row *)out->notes.items + i)->text);
    bw_text_gap(text);
    if (returns_air(out))
        bw_text_caution(text, "air blown back into the room carries the finest wood dust to "
                              "people; hardwood dust causes cancer. Local law may limit or forbid "
                              "it, and asks for filters, monitoring and explosion isolation.");
    bw_text_caution(text,
                    "dust systems explode. Changes to ducts, fan or collector keep "
                    "isolation, venting, bonding and spark protection as the code and "
                    "the maker asked; "
                    "some codes size a wood system with all gates open. Shutting gates may "
                    "leave too little air in the trunk: keep its velocity above %s.",
                    bw_text_quantity(text, out->transport, BW_DIM_SPEED));
}
