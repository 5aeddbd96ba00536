// infer.h - the joint belief over what left each mark.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SOURCE_INFER_H
#define BW_STUDY_SOURCE_INFER_H

#include "study/source/evidence.h"
#include "study/study.h"

// One joint explanation: a hypothesis for every observation under one scenario.
struct state {
    double log_weight, weight;  // weight: normalised over all states kept
    int scenario;
    int choice[MAX_ITEMS];
    struct bw_chain chain;
};

struct belief {
    const struct evidence *evidence;
    struct bw_gauss *gauss[MAX_SCENARIOS];
    struct state *states;  // largest weight first
    int n;
};

// Errors: BW_MEMORY, BW_CANCELLED.
bool infer(struct bw_run *run, const struct evidence *evidence, struct belief *out,
           struct bw_err *err) BW_CHECKED;

static inline const struct hypothesis *state_hypothesis(const struct belief *belief,
                                                        const struct state *state, int item) {
    return &belief->evidence->items[item].hypotheses[state->choice[item]];
}

// Mean and variance of a linear form given all observations, under one state.
void state_predict(const struct belief *belief, const struct state *state,
                   const struct bw_form *form, double *mean, double *variance);

// The same for up to MOST_FORMS forms together.
#define MOST_FORMS 3
struct joint {
    double mean[MOST_FORMS], covariance[MOST_FORMS][MOST_FORMS];
};
void state_predict_joint(const struct belief *belief, const struct state *state,
                         const struct bw_form *forms, int n, struct joint *out);

#endif
