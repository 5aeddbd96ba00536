// thickness.c - the study `thickness`: from readings on panels to what to set on the machine.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/thickness/thickness.h"

#include "machine/machine.h"
#include "study/thickness/part.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

// The term that stands out most, as the answer.
static void answer(struct work *w) {
    const struct thickness_term *most = NULL;
    const struct thickness_term *terms = w->out.terms.items;
    for (size_t i = 0; i < w->out.terms.n; i++)
        if (terms[i].shown == BW_YES &&
            (most == NULL || fabs(terms[i].value.v) > fabs(most->value.v)))
            most = &terms[i];
    if (most != NULL)
        w->out.answer = say(w, "%c%s.", toupper((unsigned char)most->text[0]), most->text + 1);
    else if (w->out.terms.n > 0)
        w->out.answer = "The panels are even as far as these readings tell.";
    else if (w->out.places.n > 0)
        w->out.answer = "Nothing was read yet: measure by this plan.";
    else if (w->out.heads.n > 0)
        w->out.answer = "Head by head, as below.";
    else if (w->n > 0)
        w->out.answer = "Too few readings to tell a shape: read at least three places.";
    else
        w->out.answer = "Settings, as below.";
}

static bool report(struct work *w, struct bw_err *err) {
    bool settings = w->in->timings.n > 0 || w->in->strokes.n > 0;
    if (w->n == 0 && !settings) return plan_report(w, err);
    if (w->n > 0 && (!shape_report(w, err) || !gauge_report(w, err) || !heads_report(w, err)))
        return false;
    return tracking_report(w, err) && shoes_report(w, err);
}

static bool run(struct bw_run *run_, const void *in, void *out, struct bw_err *err) {
    struct work w = {.run = run_, .in = in};
    bw_record_clear(&thickness_output_record, &w.out);
    w.out.notes.items = w.notes = items(&w, MOST_NOTES, sizeof *w.notes);
    if (w.failed) return bw_fail_memory(err);
    const struct bw_machine *machine = w.in->machine.content;
    if (machine != NULL) w.out.machine = machine->name;
    if (!points_read(&w, err) || !report(&w, err)) return false;
    answer(&w);
    if (w.failed) return bw_fail_memory(err);
    *(struct thickness_output *)out = w.out;
    return true;
}

const struct bw_study bw_study_thickness = {
    .name = "thickness",
    .summary = "panels out of size: taper, crown, ends, lanes, steps, and what to set",
    .about =
        "Thickness read at a few places on a few panels, before and after, becomes taper, crown, "
        "dipping ends, worn lanes and steps from panel to panel, each with its ±, and the taper "
        "becomes adjuster moves. A reading that does not fit the others is left out and named. "
        "Without readings it plans the measuring and prints the card.\n\n"
        "Strips swapped between the machine's sides (--reading lane=left,run=1 ...) or twin panels "
        "of which one runs end for end tell the panel from the machine; upto and only tell what "
        "each head takes and which one tapers. The same panel is never turned and run again: that "
        "sands the evidence away.\n\n"
        "Given as well: repeated readings (the gauge), a target and tolerance (capability), the "
        "machine's display by kind of belt, minutes since start, what the shoes of a sectional "
        "platen leave at the edges at two feeds, and timed strokes of the belt.",
    .example = "beltwright thickness --file examples/thickness.csv --panel-length \"900 mm\" "
               "--panel-width \"600 mm\" --target \"18 mm\" --tolerance \"0.15 mm\" "
               "--adjuster-span \"1500 mm\"",
    .in = &thickness_input_record,
    .out = &thickness_output_record,
    .shape = 1,
    .run = run,
    .text = thickness_text,
    .plots = thickness_plots,
    .findings = thickness_findings,
};
