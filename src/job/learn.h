// learn.h - what closed jobs teach, and what a job's entries say to the reasoning.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Only a proven cause teaches. "One of these" (several things done in one lock-out) is shared
// between the causes named by what was believed of them, from the shipped numbers, and marked. A
// guess teaches nothing, so that what the program said never comes back as evidence.
#ifndef BW_JOB_LEARN_H
#define BW_JOB_LEARN_H

#include "job/replay.h"
#include "reason/case.h"
#include "reason/finding.h"
#include "reason/hear.h"

#define BW_MAX_LESSON_CAUSES 8

// ---- a job as a case ----------------------------------------------------------------------------

// Adds to `c` what the job's entries say: answers, findings of studies, fixes that did not end the
// fault, and the symptoms the title names unless they were answered. Checks the knowledge does not
// have are passed over. Errors: BW_LIMIT, BW_INPUT, BW_MEMORY.
bool bw_job_case(const struct bw_job *job, struct bw_arena *arena, struct bw_case *c,
                 struct bw_err *err) BW_CHECKED;

// ---- lessons ------------------------------------------------------------------------------------

struct bw_lesson {
    const char *site, *machine;  // "" where not said
    bool shared;                 // "one of these"
    size_t n;
    size_t cause[BW_MAX_LESSON_CAUSES];  // of the knowledge; BW_NO_INDEX: on no list
    double share[BW_MAX_LESSON_CAUSES];  // sum to 1
    const struct bw_reply *replies;      // graded ones, rows of the network = checks
    size_t n_replies;
    struct bw_list fixes;  // struct bw_lesson_fix
};
struct bw_lesson_fix {
    size_t remedy;
    bool cured;
};

struct bw_lessons {
    const struct bw_knowledge *knowledge;
    struct bw_arena *arena;
    struct bw_lesson *items;
    size_t n, capacity;
    size_t guesses, not_found, unknown;  // closed jobs that teach nothing, by why
};

// Takes a closed job's lesson, if it teaches any; texts are borrowed from the job. Error BW_MEMORY.
bool bw_lessons_take(struct bw_lessons *lessons, const struct bw_job *job,
                     struct bw_err *err) BW_CHECKED;

// The counts for a machine at a site, on top of the shipped numbers. Every case counts once, at the
// level nearest: with the machine, else the site, else all. The shares of causes come from
//   all:     strength_weight shipped cases and the cases of other sites
//   site:    BW_SITE_STRENGTH cases of "all" and those of the site's other machines
//   machine: BW_MACHINE_STRENGTH cases of "site" and its own
// so that little evidence stays near the level above. Links and cures are the same trade
// everywhere and are counted over all; only links the knowledge has are learned, for a few answers
// heard wrong would else tie every check to every cause. NULL for site or machine: not known.
// A Dirichlet of strength A lets a share q vary between sites by a relative variance of 1/(q A). A
// cause's share is taken to differ between sites by a factor of e and between machines of a site by
// a factor of 2 (sd 1 and 0.7 on the log scale: relative variance 1.7 and 0.6; estimates, no
// source), which for a share of 1 % gives
#define BW_SITE_STRENGTH 60.0
#define BW_MACHINE_STRENGTH 160.0
bool bw_lessons_learned(const struct bw_lessons *lessons, const char *site, const char *machine,
                        struct bw_arena *arena, struct bw_learned *out,
                        struct bw_err *err) BW_CHECKED;

// The share of each cause of the knowledge (the last: on no list) as shipped, and as learned.
bool bw_lessons_shares(const struct bw_lessons *lessons, const char *site, const char *machine,
                       double *shipped, double *learned, struct bw_err *err) BW_CHECKED;

#endif
