// view.c - the study `belt` as people read it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/belt/record.h"

static const char *text_at(const struct bw_list *list, size_t i) {
    return ((const struct belt_line *)list->items + i)->text;
}

static void section(const char *title, const struct bw_list *list, struct bw_text *text) {
    if (list->n == 0) return;
    bw_text_gap(text);
    bw_text_heading(text, "%s", title);
    for (size_t i = 0; i < list->n; i++) bw_text_item(text, "- ", "%s.", text_at(list, i));
}

static void properties(const struct belt_output *out, struct bw_text *text) {
    bw_text_gap(text);
    bw_text_heading(text, "Property by property");
    for (size_t i = 0; i < out->parts.n; i++) {
        const struct belt_part *part = (const struct belt_part *)out->parts.items + i;
        bw_text_item(text, "- ", "%s: %s - %s.", part->part, part->choice, part->reason);
    }
}

static void label(const struct belt_output *out, struct bw_text *text) {
    static const char RULE[] = "+--------------------------------------------------------------+";
    bw_text_gap(text);
    bw_text_heading(text, "Label");
    bw_text_para(text, "%s", RULE);
    for (size_t i = 0; i < out->label.n; i++)
        bw_text_item(text, "| ", "%s", text_at(&out->label, i));
    bw_text_para(text, "%s", RULE);
}

void belt_text(const void *out_, struct bw_text *text) {
    const struct belt_output *out = out_;
    bw_text_para(text, "%s.", out->answer);
    bw_text_gap(text);
    bw_text_para(text, "Order: %s.", out->order);
    bw_text_gap(text);
    bw_text_para(text,
                 "Size %s x %s; a delivered belt may be off by %s in length and %s in width "
                 "(from memory, no standard could be read).",
                 bw_text_quantity(text, out->width, BW_DIM_LENGTH),
                 bw_text_quantity(text, out->length, BW_DIM_LENGTH),
                 bw_text_quantity(text, out->length_tolerance, BW_DIM_LENGTH),
                 bw_text_quantity(text, out->width_tolerance, BW_DIM_LENGTH));
    properties(out, text);
    section("Against what is fitted", &out->against, text);
    section("Mind", &out->notes, text);
    section("Keeping it", &out->storage, text);
    label(out, text);
    bw_text_gap(text);
    bw_text_para(text, "For the machine file: %s", out->machine_lines);
    if (bw_known(out->splice_rate))
        bw_text_para(text, "Joints pass at %s, as the study rates reckons.",
                     bw_text_quantity(text, out->splice_rate, BW_DIM_RATE));
    bw_text_gap(text);
    for (size_t i = 0; i < out->cautions.n; i++)
        bw_text_caution(text, "%s.", text_at(&out->cautions, i));
}
