// case.h - one case in hand: what was said so far, what follows from it, and what to do next.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_REASON_CASE_H
#define BW_REASON_CASE_H

#include "reason/network.h"
#include "reason/plan.h"

#define BW_MAX_REPLIES 400  // a long visit asks forty; studies add a few findings each

// How a reply was given.
enum bw_reply_kind {
    BW_REPLY_GRADED,   // yes, no and between: `yes` from 0 to 1
    BW_REPLY_UNKNOWN,  // "don't know", skipped: says nothing, is not asked again
    BW_REPLY_UNSAID,   // a symptom not mentioned when asked for anything else: a weak no
    BW_REPLY_RATIO  // from a finding: how much likelier it is if the truth is yes than if it is no
};

struct bw_reply {
    size_t row;  // of the network: a check, or a remedy ("still there after it")
    enum bw_reply_kind kind;
    double yes;        // GRADED: 1 yes, 0.75 rather yes, 0.25 rather no, 0 no
    double ratio;      // RATIO
    size_t head;       // 1-based, 0: none named
    double head_sure;  // chance that the named head is right, if the fault is of one head
    double reading;    // as typed, SI; NaN: none
    const char *from;  // a finding's kind, or NULL
};

struct bw_case {
    const struct bw_network *network;
    struct bw_reply *replies;  // room for BW_MAX_REPLIES; the last of a row counts, findings add up
    size_t n;
    struct bw_stand start;  // zero: on the phone; set before the first reply
    struct bw_stand stand;  // follows from the replies
};

// A new case, nothing said. Error: BW_MEMORY.
bool bw_case_begin(const struct bw_network *network, struct bw_arena *arena, struct bw_case *out,
                   struct bw_err *err) BW_CHECKED;

// Adds a reply; where one stands follows from what it took. Errors: BW_LIMIT.
bool bw_case_reply(struct bw_case *c, struct bw_reply reply, struct bw_err *err) BW_CHECKED;
// What came of a remedy that did not end the fault: less than before, or as before. Errors:
// BW_LIMIT.
bool bw_case_tried(struct bw_case *c, size_t remedy, bool less, struct bw_err *err) BW_CHECKED;
// After "anything else?": every symptom that has no reply yet was not mentioned. Errors: BW_LIMIT.
bool bw_case_intake_done(struct bw_case *c, struct bw_err *err) BW_CHECKED;
// Takes the last reply back, with the weak noes of an intake as one; false: there is none.
bool bw_case_undo(struct bw_case *c);
// Keeps the first `n` replies.
void bw_case_rewind(struct bw_case *c, size_t n);

static inline struct bw_reply bw_reply_graded(size_t row, double yes) {
    return (struct bw_reply){.row = row, .yes = yes, .reading = BW_NAN};
}
// A typed reading against the check's limit; `sd` NaN: not stated. The check must have a limit.
struct bw_reply bw_reply_reading(const struct bw_knowledge *knowledge, size_t check, double value,
                                 double sd);

// The reply that counts for a row, or NULL.
const struct bw_reply *bw_case_reply_to(const struct bw_case *c, size_t row);
// A symptom that was said to be there.
bool bw_case_has(const struct bw_case *c, size_t symptom);
// The check may be asked now: the machine allows it, its symptoms are there, it was not answered.
bool bw_case_open(const struct bw_case *c, size_t check);

// The replies as the belief engine takes them. `skip`: leave this reply's row out (BW_NO_INDEX:
// none).
size_t bw_case_answers(const struct bw_case *c, size_t skip, struct bw_answer *out);

struct bw_thought {
    struct bw_belief belief;
    // Of each cause of the network: the chance of each head given that it is the cause, row per
    // cause; only where the machine is known and the cause is of a head.
    const double *head;
    size_t heads;
};

// Belief from the replies. Errors: BW_FAILED (contradiction without any room), BW_MEMORY.
bool bw_case_think(const struct bw_case *c, size_t skip, size_t sets_wanted, struct bw_arena *arena,
                   struct bw_thought *out, struct bw_err *err) BW_CHECKED;

enum bw_next_kind { BW_NEXT_CHECK, BW_NEXT_REMEDY, BW_NEXT_SPECIALIST };

struct bw_next {
    enum bw_next_kind kind;
    size_t which,
        second;  // of the knowledge; second: a remedy done in the same lock-out, else BW_NO_INDEX
    double minutes;   // this step, with travel and lock-out where they fall due, without money
    double expected;  // to a proven repair from here, money and waiting in it
    double saves;     // against only repairing from here, likeliest for its cost first
    double chance;    // CHECK: of a yes; REMEDY: that it cures
    size_t yes_cause, no_cause;  // CHECK: likeliest causes after a yes, after a no (network)
};

struct bw_options {
    struct bw_next *items;  // [0] is the step to take
    size_t n;
    double mend_now;  // expected minutes if one only repairs from here
};

// What to do next, best first, at most `wanted`. Error: BW_MEMORY.
bool bw_case_next(const struct bw_case *c, const struct bw_thought *thought, size_t wanted,
                  struct bw_arena *arena, struct bw_options *out, struct bw_err *err) BW_CHECKED;

// Remedies for what is believed, best first: chance of cure for what it takes. `kind`: cures or
// stop-gaps.
struct bw_advice {
    size_t remedy;
    double chance;  // that it ends the fault (of a stop-gap: that it is good enough)
};
bool bw_case_advice(const struct bw_case *c, const struct bw_thought *thought, int kind,
                    struct bw_arena *arena, struct bw_list *out, struct bw_err *err) BW_CHECKED;

#endif
