// signs.h - what else a set of marks could be, and what its thirds say.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_MARKS_SIGNS_H
#define BW_STUDY_MARKS_SIGNS_H

#include "study/marks/find.h"
#include "study/marks/frame.h"
#include "study/marks/look.h"

// How the pitch behaves along the panel.
enum marks_pace { PACE_CONSTANT, PACE_ENDS, PACE_TREND, PACE_UNEVEN, PACE_OPEN };
enum marks_pace marks_pace_of(const struct bw_wave *wave);
const char *marks_pace_text(enum marks_pace pace);
// Standard deviation of the pitch in pixels, the thirds' disagreement included.
double marks_pitch_sd(const struct bw_wave *wave);
double marks_slant_sd(const struct bw_wave *wave);

struct marks_scene {
    const struct marks_frame *frame;
    const struct marks_look *look;
    bool down;
};
// The pitch is that of a JPEG's blocks and it lies along them.
bool marks_is_jpeg(const struct marks_scene *scene, const struct bw_wave *wave);
// Sentences, at most MARKS_MOST_SIGNS.
#define MARKS_MOST_SIGNS 6
size_t marks_signs(const struct marks_scene *scene, const struct bw_wave *wave,
                   const char *out[MARKS_MOST_SIGNS]);

#endif
