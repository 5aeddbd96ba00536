// card.c - see card.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A planed board is the best test object there is: one knife that stands high leaves marks every
// feed over speed, hundreds of them, at a pitch known better than any ruler is read. What its photo
// says beyond what is known is the error of the scale, with the ± of both.
#include "study/marks/card.h"

#include <math.h>

#define INCH 0.0254
#define NEAR 0.2  // a set this close to the known pitch is taken as the board's

static struct marks_sentence CARD[] = {
    {"Mark the panel: two pencil lines square across it, 500 mm apart by a steel rule, near both "
     "ends of the picture; an arrow along the feed; L and R as the feeder sees them; the panel's "
     "number, the feed setting, the heads that cut, last one last"},
    {"Darken the place. Lamps flicker, and through a phone's shutter a flicker looks like chatter"},
    {"One torch lying low, shining along the feed from one side; for lines along the feed, across "
     "it. No flash"},
    {"Phone square above, 40 to 60 cm, no zoom, focus held on the face; both lines in the picture, "
     "nothing else on the panel"},
    {"A second shot with the phone turned a quarter turn: what turns with the phone is the "
     "camera's"},
    {"Then rub a crayon or soft pencil, flat on a hard block, lightly over the face: it inks the "
     "high spots and beats any light. Photograph that too, in plain light"},
    {"Send the file itself, by cable or as a document: messengers shrink photos, and fine marks "
     "fold into coarse ones"},
    {"Film a panel of known length in cut, its nose and its tail past one post of the machine: "
     "that gives the feed"},
};

struct bw_list marks_card(void) {
    return (struct bw_list){CARD, sizeof CARD / sizeof *CARD};
}

void marks_correct(const struct marks_input *in, struct marks_frame *frame) {
    if (!bw_known(in->scale_off) || !bw_known(frame->pixel)) return;
    double stretch = 1 + in->scale_off.v;
    double sd = bw_sd_known(in->scale_off) ? in->scale_off.sd : 0;
    frame->pixel.v /= stretch;
    frame->pixel.sd = hypot(frame->pixel.sd / stretch, frame->pixel.v * sd / stretch);
}

// The set nearest the known pitch; without a scale the surest.
static const struct marks_answer *board_set(const struct marks_input *in,
                                            const struct marks_output *out) {
    const struct marks_answer *sets = out->mark_sets.items, *nearest = NULL;
    double least = NEAR;
    for (size_t i = 0; i < out->mark_sets.n; i++) {
        if (!bw_known(sets[i].pitch)) return &sets[0];
        double apart = fabs(log(sets[i].pitch.v / in->known_pitch.v));
        if (apart >= least) continue;
        least = apart;
        nearest = &sets[i];
    }
    return nearest;
}

void marks_check_scale(const struct marks_input *in, struct marks_output *out) {
    if (!bw_known(in->known_pitch)) return;
    const struct marks_answer *set = board_set(in, out);
    if (set == NULL) return;
    double known = in->known_pitch.v;
    double sd = bw_sd_known(in->known_pitch) ? in->known_pitch.sd / known : 0;
    // The scale's own ± is what is being tried, so only the pixels' counts here.
    sd = hypot(sd, set->pitch_px.sd / set->pitch_px.v);
    double dpi = INCH * set->pitch_px.v / known;
    out->board_dpi = bw_about(dpi, dpi * sd);
    if (!bw_known(set->pitch)) return;
    double off = set->pitch.v / known - 1;
    out->scale_off = bw_about(off, (1 + off) * sd);
    double claimed = hypot(sd, set->pitch.sd / set->pitch.v);
    out->scale_holds = fabs(off) <= 2 * claimed;
}
