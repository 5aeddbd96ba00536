// findings.c - the list a study's findings are gathered in.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/study.h"

#include <string.h>

static bool grow(struct bw_findings *findings) {
    size_t capacity = findings->capacity == 0 ? 16 : 2 * findings->capacity;
    struct bw_finding *items = bw_arena_array(findings->arena, capacity, sizeof *items);
    if (items == NULL) return false;
    if (findings->n > 0) memcpy(items, findings->items, findings->n * sizeof *items);
    findings->items = items;
    findings->capacity = capacity;
    return true;
}

void bw_findings_add(struct bw_findings *findings, struct bw_finding finding) {
    if (findings->failed) return;
    if (findings->n == findings->capacity && !grow(findings)) {
        findings->failed = true;
        return;
    }
    findings->items[findings->n++] = finding;
}
