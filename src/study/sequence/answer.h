// answer.h - the parts of the answer that are worked out one by one.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SEQUENCE_ANSWER_H
#define BW_STUDY_SEQUENCE_ANSWER_H

#include "study/sequence/shop.h"

// A list of lines that grows up to `room`; more are dropped.
struct lines {
    struct sequence_line *items;
    size_t n, room;
};
bool lines_new(struct shop *shop, struct lines *lines, size_t room);
void lines_add(struct lines *lines, struct sequence_line line);

const char *limit_word(enum limit limit);
// "P80 - P120 - P180", passes parted by " / ".
const char *plan_words(struct shop *shop, const struct asked *asked);
bool plan_same(const struct asked *a, const struct asked *b);

// What binds, the runner-up, which uncertain numbers would change the plan. `base` is the question
// the plan answers.
bool answer_binds(struct shop *shop, const struct question *base, const struct asked *plan,
                  struct lines *out, struct bw_err *err) BW_CHECKED;
bool answer_runner_up(struct shop *shop, const struct question *base, const struct asked *plan,
                      struct lines *out, struct bw_err *err) BW_CHECKED;
bool answer_doubts(struct shop *shop, const struct question *base, const struct asked *plan,
                   struct lines *out, struct bw_err *err) BW_CHECKED;
// Why there is no plan: a smallest set of limits that cannot all be kept, and what would free it.
bool answer_clashes(struct shop *shop, const struct question *base, struct lines *out,
                    struct bw_err *err) BW_CHECKED;
// The set-up head by head; and what its amps say.
bool answer_judged(struct shop *shop, struct lines *judged, struct lines *measured,
                   struct bw_err *err) BW_CHECKED;

#endif
