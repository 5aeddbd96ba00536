// call.h - a call written out: what the caller says, what is so at his machine, how it ended.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// It answers whatever is asked, in whatever order, so that a call stays good when the order of
// questions changes. docs/belief.md has the keys.
#ifndef BW_REASON_CALL_H
#define BW_REASON_CALL_H

#include "reason/interview.h"

#define BW_CALL_SHAPE "call/1"

// "line_snakes is no", "chatter is yes on 2", "rh_low is 28 %".
struct bw_call_fact {
    const char *check, *is;
    long on;  // head, BW_NO_COUNT: none named
};
struct bw_call {
    const char *title, *story, *machine, *says, *also_says;
    struct bw_list facts;     // struct bw_call_fact
    const char *cause;        // what it was
    struct bw_list cured_by;  // struct bw_known_name: remedies that end it
};
extern const struct bw_record bw_call_record;
extern const struct bw_file_kind bw_call_file;

// All names are known, every answer can be read. Errors: BW_INPUT with the field.
bool bw_call_check(const struct bw_call *call, const struct bw_knowledge *knowledge,
                   struct bw_err *err) BW_CHECKED;
// What would be typed at the interview's stage: "" is Enter; what the call does not tell is "?".
const char *bw_call_line(const struct bw_call *call, const struct bw_interview *i,
                         struct bw_arena *arena);

// Reads one typed answer to a step: y, n, ?, less, a reading, each with a head behind it ("y 2",
// "yes, head 2"). `check` BW_NO_INDEX: a remedy. Error: BW_INPUT with a mend.
bool bw_said_read(const struct bw_knowledge *knowledge, size_t check, const char *text,
                  struct bw_said *out, struct bw_err *err) BW_CHECKED;

#endif
