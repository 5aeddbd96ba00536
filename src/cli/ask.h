// ask.h - an interview shown in a terminal or, line by line, to another program.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_CLI_ASK_H
#define BW_CLI_ASK_H

#include "cli/cli.h"
#include "reason/interview.h"
#include "reason/verdict.h"

struct bw_ask {
    struct bw_cli *cli;
    enum bw_units units;
    const struct bw_knowledge *knowledge;
    struct bw_interview i;
    bool travel_told;  // a visit was announced
};

// --- In words (ask_text.c). Each writes at once.
// The prompt of the stage: a question, a choice, a step with what is needed for it.
bool bw_ask_text_step(struct bw_ask *ask, struct bw_err *err) BW_CHECKED;
// What was understood of a sentence.
bool bw_ask_text_heard(struct bw_ask *ask, struct bw_err *err) BW_CHECKED;
// All symptoms to choose from.
bool bw_ask_text_list(struct bw_ask *ask, struct bw_err *err) BW_CHECKED;
bool bw_ask_text_how(struct bw_ask *ask, struct bw_err *err) BW_CHECKED;
bool bw_ask_text_why(struct bw_ask *ask, struct bw_err *err) BW_CHECKED;
bool bw_ask_text_help(struct bw_ask *ask, struct bw_err *err) BW_CHECKED;
// What is to be said after a yes to a check.
bool bw_ask_text_alarm(struct bw_ask *ask, size_t check, struct bw_err *err) BW_CHECKED;
// Where the case stands, and how it ended.
bool bw_ask_text_verdict(struct bw_ask *ask, struct bw_err *err) BW_CHECKED;
bool bw_ask_text_end(struct bw_ask *ask, struct bw_err *err) BW_CHECKED;

// --- For programs (ask_json.c): the step, or the end, as one line of JSON.
bool bw_ask_json_step(struct bw_ask *ask, struct bw_err *err) BW_CHECKED;
bool bw_ask_json_error(struct bw_ask *ask, const struct bw_err *what,
                       struct bw_err *err) BW_CHECKED;
// A line of input: {"answer": "y", "head": 2} or plain words. The words, in the arena.
bool bw_ask_json_line(struct bw_ask *ask, const char *line, const char **out,
                      struct bw_err *err) BW_CHECKED;

// The name of a cause of the knowledge, BW_NO_INDEX: something on no list.
const char *bw_ask_cause(const struct bw_ask *ask, size_t cause);

#endif
