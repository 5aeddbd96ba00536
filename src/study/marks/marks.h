// marks.h - the study `marks`, see marks.c.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_MARKS_MARKS_H
#define BW_STUDY_MARKS_MARKS_H

#include "study/marks/find.h"
#include "study/marks/frame.h"
#include "study/study.h"

extern const struct bw_study bw_study_marks;

// What the plots need of the run, beside the answer.
struct marks_drawing {
    struct marks_frame frame;
    struct marks_found found;
    bool down;
};

void marks_text(const void *out, struct bw_text *text);
void marks_plots(const void *out, struct bw_plots *plots);
void marks_findings(const void *out, struct bw_findings *findings);

#endif
