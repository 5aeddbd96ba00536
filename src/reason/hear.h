// hear.h - a caller's own words: which symptoms and facts of the knowledge they name.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every check may list `words`. Words are compared by their stems, fill words left out, long words
// with one slip forgiven; the longest match wins the words it covers, so that "lines across" is not
// also heard as "lines". "no burning" is heard as the absence of burning.
#ifndef BW_REASON_HEAR_H
#define BW_REASON_HEAR_H

#include "reason/network.h"

struct bw_heard {
    size_t check;   // of the knowledge
    bool yes;       // false: said to be absent
    bool unclear;   // the same words name another symptom as well
    size_t length;  // words matched
};

struct bw_hearing {
    struct bw_heard *items;  // by check number
    size_t n;
};

// What `text` names, of checks this machine can have. Nothing heard is no error. Error: BW_MEMORY.
bool bw_hear(const struct bw_network *network, const char *text, struct bw_arena *arena,
             struct bw_hearing *out, struct bw_err *err) BW_CHECKED;

// Without fill words nothing is left of the phrase, or only a word that is in every complaint.
bool bw_hear_is_common(const char *phrase);

#endif
