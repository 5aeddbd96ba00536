// card.h - the photo card, and a board of known pitch as a check of the scale.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_MARKS_CARD_H
#define BW_STUDY_MARKS_CARD_H

#include "base/arena.h"
#include "study/marks/frame.h"
#include "study/marks/record.h"

// How to take a photo that marks can be found in, step by step; trade practice, no source.
// The sentences are nobody's to free.
struct bw_list marks_card(void);

// Takes out what a board of known pitch showed the scale to be off by.
void marks_correct(const struct marks_input *in, struct marks_frame *frame);
// Holds the answer's sets against the board's known pitch: how far the scale is off, and the dots
// per inch that photos from the same distance have. Nothing where no set comes near.
void marks_check_scale(const struct marks_input *in, struct marks_output *out);

#endif
