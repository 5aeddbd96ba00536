// part.h - what the files of the study `ducts` share.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_DUCTS_PART_H
#define BW_STUDY_DUCTS_PART_H

#include "study/ducts/model.h"
#include "study/ducts/record.h"
#include "study/study.h"

#define DUCTS_SHUT 0.1  // a gate open less than this counts as shut

struct ducts_reading {
    int run;
    bool pressure;  // else flow
    double value, sd;
};
struct ducts_work {
    struct bw_run *run;
    const struct ducts_input *in;
    struct ducts_model *model;
    struct ducts_output *out;
    bool *live;    // lines that an open hood feeds, as of the last ducts_state
    double *sd;    // of the lines' flows, m3/s; 0: not drawn
    double power;  // at all fans' shafts as it stands, W
    struct ducts_reading *readings;
    size_t n_readings;
    double *off;   // scratch, of each reading
    double *mend;  // of each item: what takes a suspect's fault back; NULL: no suspect
    const char *mend_what;
    const double *gain;  // of each item's log loss by each reading; NULL: nothing was calibrated
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
double ducts_power(const struct ducts_model *model);              // at all fans' shafts, W

// gates.c
bool ducts_settings(struct ducts_work *w, struct bw_err *err) BW_CHECKED;
// remedy.c
bool ducts_remedies(struct ducts_work *w, struct bw_err *err) BW_CHECKED;
// balance.c; a gate takes part that is open and whose port has a least flow.
bool ducts_takes_part(const struct ducts_model *model, int run);
bool ducts_settle(struct ducts_model *model, struct bw_err *err) BW_CHECKED;
bool ducts_balance(struct ducts_work *w, struct bw_err *err) BW_CHECKED;
// size.c: a fan to serve the least flows, and gates that balance it; then what was sized.
bool ducts_size_fan(struct ducts_work *w, struct bw_err *err) BW_CHECKED;
bool ducts_sizes(struct ducts_work *w, struct bw_err *err) BW_CHECKED;
double ducts_gate_opening(const struct ducts_model *model, double loss);
// doubt.c: fills w->sd by losses drawn from their spread.
bool ducts_spread(struct ducts_work *w, struct bw_err *err) BW_CHECKED;
// suspect.c: what disagrees with the readings; sets the model to them.
bool ducts_suspects(struct ducts_work *w, struct bw_err *err) BW_CHECKED;
double ducts_predict(const struct ducts_model *model, const struct ducts_reading *reading);
// view.c
void ducts_view(const void *out, struct bw_text *text);
// draw.c; larger systems than this have no picture.
#define DUCTS_MOST_DRAWN 40
void ducts_draw(const void *out, struct bw_plots *plots);

#endif
