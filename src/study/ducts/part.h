// part.h - what the files of the study `ducts` share.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_DUCTS_PART_H
#define BW_STUDY_DUCTS_PART_H

#include "study/ducts/model.h"
#include "study/ducts/record.h"
#include "study/study.h"

struct ducts_work {
    struct bw_run *run;
    const struct ducts_input *in;
    struct ducts_model *model;
    struct ducts_output *out;
    bool *live;  // lines that an open hood feeds, as of the last ducts_state
    double *sd;  // of the lines' flows, m3/s; 0: not drawn
    bool failed;
};
const char *ducts_say(struct ducts_work *w, const char *format, ...) BW_PRINTF(2, 3);
void *ducts_array(struct ducts_work *w, size_t n, size_t size);

// How the system stands with its last flows.
struct ducts_state {
    int worst;        // line with the least share of its least flow, -1: none is known
    double share;     // of it; NaN: none
    int slowest;      // slowest line in use
    double velocity;  // m/s there
};
struct ducts_state ducts_state(struct ducts_work *w);
double ducts_velocity(const struct ducts_model *model, int run);  // lowest along it, m/s
double ducts_power(const struct ducts_model *model);  // at all fans' shafts, W

// gates.c
bool ducts_settings(struct ducts_work *w, struct bw_err *err) BW_CHECKED;
// remedy.c
bool ducts_remedies(struct ducts_work *w, struct bw_err *err) BW_CHECKED;
// doubt.c: fills w->sd by losses drawn from their spread.
bool ducts_spread(struct ducts_work *w, struct bw_err *err) BW_CHECKED;
bool ducts_suspects(struct ducts_work *w, struct bw_err *err) BW_CHECKED;
// view.c
void ducts_view(const void *out, struct bw_text *text);

#endif
