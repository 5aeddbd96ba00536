// verdict.h - where a case stands: causes, what speaks for and against, what to do.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_REASON_VERDICT_H
#define BW_REASON_VERDICT_H

#include "reason/case.h"

#define BW_MAX_VERDICT_CAUSES 5
#define BW_MAX_VERDICT_REASONS 4

struct bw_verdict_cause {
    size_t cause;        // of the knowledge; BW_NO_INDEX: something on no list
    double probability;  // that it acts
    size_t head;         // 1-based where one head stands out, else 0
};
// An answer and what it did to the likeliest cause: ln of the factor on its odds, by leaving it
// out.
struct bw_verdict_reason {
    size_t row, reply;  // of the network; of the case
    double weight;
};
// An answer that would put another cause first.
struct bw_verdict_turn {
    size_t row;
    bool answered;   // true: were the answer given wrong; false: still to be asked
    bool yes;        // the answer that turns it
    size_t cause;    // then first; BW_NO_INDEX: something on no list
    double minutes;  // to ask it, where not answered
};

struct bw_verdict {
    struct bw_verdict_cause causes[BW_MAX_VERDICT_CAUSES];  // falling
    size_t n_causes;
    struct bw_verdict_reason speaks_for[BW_MAX_VERDICT_REASONS],
        speaks_against[BW_MAX_VERDICT_REASONS];  // strongest first
    size_t n_for, n_against;
    struct bw_verdict_turn turns[BW_MAX_VERDICT_REASONS];
    size_t n_turns;
    double conflict;  // of all answers together, as struct bw_belief
    // ln of how much rarer the answer that fits least is beside the others than alone, and its row;
    // BW_NO_INDEX: all fit well enough.
    double misfit;
    size_t odd;
    double left_out;
    struct bw_list cures, stop_gaps;  // struct bw_advice, best first
};

// The same case thought over once more for each answer given and each question that is near.
// `options` may be NULL: questions still to be asked are then not looked at. Errors: BW_FAILED,
// BW_MEMORY.
bool bw_verdict_find(const struct bw_case *c, const struct bw_options *options,
                     struct bw_arena *arena, struct bw_verdict *out, struct bw_err *err) BW_CHECKED;

#endif
