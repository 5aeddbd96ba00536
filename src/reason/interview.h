// interview.h - a call from the first sentence to the proven repair, one step at a time.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A thin order of events around a case: hear the complaint, ask which was meant where words fit
// two symptoms, ask for anything else, then whatever pays best, be it a question, a look, a trial
// or a repair, until a repair is proven. It prints nothing; a terminal, a page or another program
// shows the step and hands back what was said.
#ifndef BW_REASON_INTERVIEW_H
#define BW_REASON_INTERVIEW_H

#include "reason/case.h"
#include "reason/finding.h"
#include "reason/hear.h"

enum bw_stage {
    BW_STAGE_COMPLAINT,  // "what is wrong?": bw_interview_say, or bw_interview_choose
    BW_STAGE_WHICH,      // several symptoms fit the words, or none: the same
    BW_STAGE_MORE,       // "anything else?": the same, or bw_interview_enough
    BW_STAGE_STEP,       // bw_interview_answer
    BW_STAGE_END
};
enum bw_ending { BW_ENDING_CURED, BW_ENDING_SPECIALIST, BW_ENDING_STOPPED };

// An answer to a step. To a remedy: yes, the fault is gone; no, it is as before; partly, less.
enum bw_answer_word { BW_SAID_YES, BW_SAID_NO, BW_SAID_UNKNOWN, BW_SAID_PARTLY, BW_SAID_READING };
struct bw_said {
    enum bw_answer_word word;
    struct bw_quantity reading;  // READING, SI
    size_t head;                 // 1-based, 0: none named
};

struct bw_interview {
    struct bw_arena *arena, *work;  // work: of this step alone
    struct bw_case c;
    enum bw_stage stage;
    enum bw_ending ending;
    size_t steps;  // asked and answered so far, the complaint counted
    // WHICH: what to choose from; COMPLAINT and MORE: all symptoms this machine can have.
    const size_t *symptoms;
    size_t n_symptoms;
    struct bw_hearing heard;  // by the last sentence
    // From STEP on: belief, and what to do next, best first.
    struct bw_thought thought;
    struct bw_options options;
    size_t cured_by, cured_second;  // remedies; BW_NO_INDEX
    struct bw_mark *marks;          // for undo
    size_t n_marks;
};

#define BW_MAX_INTERVIEW_STEPS 200

// Free with bw_interview_end. Error: BW_MEMORY.
bool bw_interview_begin(const struct bw_network *network, struct bw_arena *arena,
                        struct bw_interview *out, struct bw_err *err) BW_CHECKED;
void bw_interview_end(struct bw_interview *i);

// COMPLAINT, WHICH and MORE: a sentence. What was heard is in `heard`; nothing heard leads to
// WHICH, from MORE on to the steps. Errors: BW_LIMIT, BW_MEMORY.
bool bw_interview_say(struct bw_interview *i, const char *text, struct bw_err *err) BW_CHECKED;
// COMPLAINT, WHICH, MORE: symptoms by their place in `symptoms`; none: don't know. Errors as above.
bool bw_interview_choose(struct bw_interview *i, const size_t *places, size_t n,
                         struct bw_err *err) BW_CHECKED;
// MORE: nothing else. Also ends COMPLAINT, with no symptom at all.
bool bw_interview_enough(struct bw_interview *i, struct bw_err *err) BW_CHECKED;
// STEP: an answer to options.items[0]. Errors: BW_INPUT (a reading where none is asked, a head the
// machine does not have), BW_FAILED (the answers contradict each other), BW_LIMIT, BW_MEMORY.
bool bw_interview_answer(struct bw_interview *i, struct bw_said said,
                         struct bw_err *err) BW_CHECKED;
// Any stage: end here.
void bw_interview_stop(struct bw_interview *i);
// Takes back the last sentence, choice or answer. False: there is none. Errors of thinking anew go
// to `err`.
bool bw_interview_undo(struct bw_interview *i, struct bw_err *err);

// At ENDING_CURED: the likeliest cause given that the repair ended the fault.
struct bw_culprit {
    size_t cause;  // of the knowledge; BW_NO_INDEX: something on no list
    double probability;  // that it was at work
};
struct bw_culprit bw_interview_culprit(const struct bw_interview *i);

// The step asked, at STAGE_STEP.
static inline const struct bw_next *bw_interview_next(const struct bw_interview *i) {
    return &i->options.items[0];
}

#endif
