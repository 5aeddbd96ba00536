// belief.h - what the answers say: the exact posterior over all sets of up to three causes at once.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The network has two levels. Causes are there or not; a check's true answer is yes unless its
// leak and every cause that is there fail to bring it about (noisy-OR, net convention: the leak
// is apart from the links):
//     P(no | S) = (1 - leak) * product over c in S of (1 - link(c)).
// What was said is not always true: an answer carries how likely it would be said if the truth were
// yes and if it were no. That covers yes, no, "rather yes", wrong answers and findings from studies
// (likelihood ratios) in one form; "don't know" says nothing and is left out.
#ifndef BW_REASON_BELIEF_H
#define BW_REASON_BELIEF_H

#include "base/arena.h"

#define BW_MAX_TOGETHER 3  // causes at once that are enumerated; the rest is bounded (left_out)

// A compiled network. All arrays are borrowed.
struct bw_net {
    size_t causes, checks;
    // P(S) is proportional to the product of the odds of its causes; `nothing` is the weight of
    // the empty set (1: the causes are independent with p = odds / (1 + odds)).
    const double *odds;   // [causes], >= 0
    double nothing;       // >= 0
    const double *quiet;  // [checks]: 1 - leak
    const double *miss;   // [checks * causes], row per check: 1 - link
};

// What was said of one check. Only the ratio counts; both in [0, 1e6], not both 0.
struct bw_answer {
    size_t check;
    double if_yes, if_no;  // likelihood of what was said, the truth being yes or no
};

// All that is known: a network and what was said. Two answers of one check count as two.
struct bw_evidence {
    const struct bw_net *net;
    const struct bw_answer *answers;
    size_t n;
};

struct bw_set {
    unsigned short cause[BW_MAX_TOGETHER];
    unsigned char n;  // 0: nothing on the list
    double probability;
};

// Probabilities are given that at most three causes act at once; `left_out` bounds the rest: the
// probability that more than three do is at most that.
struct bw_belief {
    size_t causes;
    const double *cause;  // [causes]: probability that it acts
    const double
        *share;      // [causes]: its share of the blame (a set's probability split evenly); these
                     // and `nothing` sum to 1
    double nothing;  // probability that no listed cause acts
    double log_evidence;  // ln P(answers), natural, of the sets of up to three
    // ln of how much less likely the answers are together than each alone. Above 0 they speak
    // against each other; a rare case can do so too.
    double conflict;
    double left_out;
    const struct bw_set *sets;  // the most probable, falling; ties by cause number
    size_t n_sets;
};

// `sets_wanted`: how many sets to keep, at most 65535. Exact up to rounding (1e-12 relative).
// Errors: BW_FAILED when the answers are impossible in this network, BW_MEMORY.
bool bw_belief_find(const struct bw_evidence *evidence, size_t sets_wanted, struct bw_arena *arena,
                    struct bw_belief *out, struct bw_err *err) BW_CHECKED;

// P(answer is truly yes | exactly the causes `set` act).
double bw_net_yes(const struct bw_net *net, size_t check, const unsigned short *set, size_t n);

// Mass, in units of the prior weights above, of all sets of more than three causes together with
// the answers, from above: exact by expansion over the ten answers that bound best, the rest at
// their largest. `scale` multiplies each answer's likelihoods (NULL: 1).
bool bw_belief_tail(const struct bw_evidence *evidence, const double *scale, struct bw_arena *arena,
                    double *out, struct bw_err *err) BW_CHECKED;

#endif
