// stopgap.c - see stopgap.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: a pressing part of length c along the feed passes nothing of a mark whose pitch is c/n,
// so a timed source can be hidden by a feed of c f / n (physics: the transform of a uniform
// pressure; real pads have soft edges, so something is left). Under a drum the highest ridge
// falls with the square of the pitch. A slower feed never raises the load, but it does heat:
// burning woods want watching.
#include "study/source/stopgap.h"

#include "machine/contact.h"
#include "machine/sources.h"

#include <math.h>

#define SLOWEST 0.5  // of the present feed; slower than half is no production

static const char STANDS[] =
    "until the part can be seen to, days rather than weeks; it closes nothing, the fault grows on";

static const char *costs(struct bw_arena *arena, double ratio) {
    return bw_arena_format(arena,
                           "%.0f %% less output; a slower feed heats more: watch woods that burn",
                           100 * (1 - ratio));
}

// The contact length of what smooths last on this head; NaN where displacement decides.
static double smoothing_length(const struct bw_head *head) {
    if (head->contact == BW_STEEL_DRUM || head->contact == BW_BRUSH) return NAN;
    if (head->platen != NULL && bw_known(head->platen->contact)) return head->platen->contact.v;
    if (head->drum != NULL && bw_known(head->drum->contact)) return head->drum->contact.v;
    return NAN;
}

bool stop_gaps(struct bw_arena *arena, const struct bw_model *model, const struct bw_source *source,
               const double pitch_and_feed[2], struct bw_list *out, struct bw_err *err) {
    *out = (struct bw_list){NULL, 0};
    if (!source->timed || source->head < 0) return true;
    struct source_stop_gap *items = bw_arena_array(arena, 2, sizeof *items);
    if (items == NULL) return bw_fail_memory(err);
    out->items = items;
    double pitch = pitch_and_feed[0], feed = pitch_and_feed[1];
    struct bw_quantity slowest = model->machine->feed_min;
    double least = fmax(SLOWEST * feed, bw_known(slowest) ? slowest.v : 0);
    const struct bw_head *head = bw_machine_head(model->machine, (size_t)source->head);
    double length = smoothing_length(head);
    double now = isnan(length) ? 1 : bw_contact_share(length, pitch);
    // The notch next below the present pitch; already in one, there is nothing to gain.
    double n = isnan(length) ? 0 : ceil(length / pitch + 0.02);
    double notch = n >= 1 ? length / n / pitch : 0;
    if (n >= 1 && notch * feed >= least && notch < 0.97 && now > 0.03) {
        items[out->n++] = (struct source_stop_gap){
            .title = "slow the feed so that the pressing part's length covers whole marks",
            .feed = bw_exactly(notch * feed),
            .left = bw_exactly(0.2),
            .costs = costs(arena, notch),
            .stands = STANDS};
    }
    bool drum = head->contact == BW_STEEL_DRUM || head->contact == BW_RUBBER_DRUM ||
                head->contact == BW_COMBINATION;
    double ratio = fmax(2.0 / 3, least / feed);
    if (drum && ratio < 0.9) {
        items[out->n++] =
            (struct source_stop_gap){.title = "slow the feed: the marks move together and flatten",
                                     .feed = bw_exactly(ratio * feed),
                                     .left = bw_exactly(ratio * ratio),
                                     .costs = costs(arena, ratio),
                                     .stands = STANDS};
    }
    for (size_t i = 0; i < out->n; i++)
        if (items[i].costs == NULL) return bw_fail_memory(err);
    return true;
}
