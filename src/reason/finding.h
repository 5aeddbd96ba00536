// finding.h - what studies found, as evidence: the mapping from findings to replies.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// docs/knowledge.md has the mapping as a table, with the reason for every ratio. A finding that
// says nothing about causes is kept and named as not used.
#ifndef BW_REASON_FINDING_H
#define BW_REASON_FINDING_H

#include "reason/case.h"

#define BW_FINDINGS_SHAPE "findings/1"

// One finding as a document holds it; `value` is SI.
struct bw_found {
    const char *kind, *about, *unit, *entry;
    double value, sd;  // NaN: not stated
};
struct bw_found_list {
    const struct bw_found *items;
    size_t n;
};

// Reads a findings document, as a study writes it. Values are turned into SI by their unit. Errors:
// BW_SYNTAX, BW_INPUT, BW_MEMORY.
bool bw_findings_read(struct bw_arena *arena, const struct bw_document *document,
                      struct bw_found_list *out, struct bw_err *err) BW_CHECKED;

// The replies that follow from findings, all of one document together (what left a mark is one
// question with several answers). `used` gets a flag for each finding. Errors: BW_LIMIT.
bool bw_case_find(struct bw_case *c, const struct bw_found_list *found, bool *used,
                  struct bw_err *err) BW_CHECKED;

#endif
