// lint.h - what is doubtful in knowledge files that can be used.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// What makes files unusable or could hurt somebody is refused by bw_knowledge_read already. Here
// is the rest: entries nothing leads to, numbers that cannot matter, shares that are odd.
#ifndef BW_REASON_LINT_H
#define BW_REASON_LINT_H

#include "reason/knowledge.h"

// Shares of all weight beyond which a group is odd. Belts: common practice says 15-20 % of calls.
#define BW_BELT_SHARE_MIN 0.10
#define BW_BELT_SHARE_MAX 0.25
#define BW_GROUP_SHARE_MIN 0.02
#define BW_GROUP_SHARE_MAX 0.60

// Writes everything to `complaints`, whose arena remembers when memory ran out. Errors among them:
// two causes no check tells apart though their cures differ, a cause without symptom or cure.
void bw_knowledge_lint(const struct bw_knowledge *knowledge, struct bw_complaints *complaints);

#endif
