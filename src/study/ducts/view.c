// view.c - the study `ducts` as a person reads it: a tree with its faults in words, then the rest.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/ducts/part.h"

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
    bw_text_cell(text, "%s", VERDICT[row->verdict]);
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
    const char *speed = bw_arena_format(text->arena, "speed, %s",
                                        bw_text_unit(text, BW_DIM_SPEED));
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

static void remedies(const struct ducts_output *out, struct bw_text *text) {
    if (out->remedies.n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "What would help, each solved again");
    const char *titles[] = {"change", "effort", "worst port", "has", "slowest", "enough", NULL};
    bw_text_table(text, "lllrrl", titles);
    for (size_t i = 0; i < out->remedies.n && i < 12; i++) {
        const struct ducts_remedy_row *r = remedy_at(out, i);
        bw_text_cell(text, "%s", r->what);
        bw_text_cell(text, "%s", r->effort);
        bw_text_cell(text, "%s", r->worst == NULL ? "" : r->worst);
        bw_text_cell(text, "%.0f %%", 100 * r->share.v);
        bw_text_cell(text, "%s", bw_text_quantity(text, r->velocity, BW_DIM_SPEED));
        bw_text_cell(text, "%s", r->works ? "YES" : "no");
    }
    bw_text_table_end(text);
    bw_text_gap(text);
    const char *told = NULL;
    for (size_t i = 0; i < out->remedies.n && i < 12; i++) {
        const struct ducts_remedy_row *r = remedy_at(out, i);
        if (told != NULL && strcmp(told, r->caution) == 0) continue;
        told = r->caution;
        bw_text_caution(text, "%s: %s.", r->what, r->caution);
    }
}

static void settings(const struct ducts_output *out, struct bw_text *text) {
    if (!(out->tried.v > 0)) return;
    bw_text_gap(text);
    bw_text_heading(text, "May be open together (%.0f settings tried)", out->tried.v);
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

static void suspects(const struct ducts_output *out, struct bw_text *text) {
    if (!bw_known(out->misfit)) return;
    bw_text_gap(text);
    bw_text_heading(text, "Measured against computed");
    if (out->suspects.n == 0)
        bw_text_para(text, "Nothing disagrees beyond the ± (misfit %.1f), or no single line "
                           "explains it.",
                     out->misfit.v);
    for (size_t i = 0; i < out->suspects.n; i++) {
        const struct ducts_suspect_row *s =
            (const struct ducts_suspect_row *)out->suspects.items + i;
        bw_text_item(text, "- ", "%s, %.2g times its loss: %s. Misfit %.1f, before %.1f.", s->line,
                     s->factor.v, s->text, s->misfit.v, out->misfit.v);
    }
}

void ducts_view(const void *out_, struct bw_text *text) {
    const struct ducts_output *out = out_;
    bw_text_para(text, "%s%s%s", out->name == NULL ? "" : out->name,
                 out->name == NULL ? "" : ": ", out->answer);
    bw_text_gap(text);
    tree(out, text);
    fans(out, text);
    remedies(out, text);
    suspects(out, text);
    settings(out, text);
    bw_text_gap(text);
    for (size_t i = 0; i < out->notes.n; i++)
        bw_text_item(text, "- ", "%s",
                     ((const struct ducts_note_row *)out->notes.items + i)->text);
    bw_text_gap(text);
    bw_text_caution(text, "dust systems explode. Changes to ducts, fan or collector keep "
                          "isolation, venting, bonding and spark protection as the code and "
                          "the maker asked; "
                          "some codes size a wood system with all gates open. Shutting gates may "
                          "leave too little air in the trunk: keep its velocity above %s.",
                    bw_text_quantity(text, out->transport, BW_DIM_SPEED));
}
