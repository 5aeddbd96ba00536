// suggest.h - "did you mean": the mend of a misspelt or misplaced word.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_SUGGEST_H
#define BW_BASE_SUGGEST_H

#include "base/err.h"

#include <stddef.h>

// More than any record has fields, and than there are names of woods; further words are not
// considered.
#define BW_MAX_SUGGEST_WORDS 128

// Words that may stand somewhere, in the order they are to be listed. Zero-initialise; words are
// borrowed.
struct bw_words {
    const char *word[BW_MAX_SUGGEST_WORDS];
    size_t n;
};

void bw_words_add(struct bw_words *words, const char *word);
// The word nearest to `said`, if the edit distance is within a third of its length; else NULL.
const char *bw_words_nearest(const struct bw_words *words, const char *said);
// Sets the mend: the nearest word, else "`lead`: a, b, c", cut after some words when there are
// many.
void bw_words_mend(const struct bw_words *words, const char *said, const char *lead,
                   struct bw_err *err);

#endif
