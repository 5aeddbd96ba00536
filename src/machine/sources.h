// sources.h - how often each kind of source is at fault, and in which form.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_MACHINE_SOURCES_H
#define BW_MACHINE_SOURCES_H

#include "machine/model.h"

// Prior share of everything that is not in the machine file (estimate; common practice, no source).
#define BW_UNLISTED_WEIGHT 0.15

// Fills weight and the usual harmonics of a part.
void bw_source_prior(enum bw_part part, struct bw_source *source);
// n joints in one turn, neither equally high nor evenly spaced: strongest at the n-th harmonic,
// searched to 2n.
void bw_splice_harmonics(long splices, struct bw_source *source);
// The planer's form is one turn of its head; knives 0: unknown.
void bw_planer_harmonics(long knives, long showing, struct bw_source *source);

// Events per turn of the shaft at cage, balls (both races struck), outer and inner race.
// `designation` as bw_bearing_read takes it. Errors: BW_NOT_FOUND, BW_INPUT.
bool bw_source_bearing_orders(struct bw_arena *arena, const char *designation, bool outer_turns,
                              double orders[4], struct bw_err *err) BW_CHECKED;

// What presses a head's belt on the panel, with usual values where the file has none.
struct bw_press {
    bool displacement;  // steel drum: the belt goes where the drum goes; else it presses
    double radius;      // m, drum with its belt; NaN: no drum
    double contact;     // m along the feed; 0 for displacement
};
struct bw_press bw_head_press(const struct bw_head *head);

// What a head's pressing part allows at a pitch.
struct bw_height bw_head_height(const struct bw_head *head, double pitch);

#endif
