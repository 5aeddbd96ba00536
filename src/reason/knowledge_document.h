// knowledge_document.h - one knowledge file as bound, before files are joined.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_REASON_KNOWLEDGE_DOCUMENT_H
#define BW_REASON_KNOWLEDGE_DOCUMENT_H

#include "reason/knowledge.h"

struct bw_knowledge_document {
    const struct bw_assumptions *assumptions;
    struct bw_list drop;  // struct bw_known_name
    struct bw_list causes, checks, remedies;
};

extern const struct bw_record bw_assumptions_record;

// The entries of one kind, joined; `at` says where each was touched last.
struct bw_joined {
    const char *key;  // "causes"
    const struct bw_record *record;
    size_t id_offset;
    char *items;  // n records of record->size
    struct bw_origin *at;
    size_t n, room;
};
struct bw_join {
    struct bw_arena *arena;
    struct bw_assumptions assume;
    struct bw_joined causes, checks, remedies;
};

// Lays one bound document on what is there. `root` is its tree. Errors: BW_LIMIT, BW_MEMORY,
// BW_NOT_FOUND.
bool bw_join_document(struct bw_join *join, const char *file, const struct bw_node *root,
                      const struct bw_knowledge_document *document, struct bw_err *err) BW_CHECKED;
bool bw_join_begin(struct bw_join *join, struct bw_arena *arena, struct bw_err *err) BW_CHECKED;

// The n-th entry of a list under `key`, or the value of a key; the node itself where there is none.
const struct bw_node *bw_node_item(const struct bw_node *map, const char *key, size_t index);

// The group named by `word`, -1: none.
int bw_group_find(const char *word, size_t length);

// What a step asks of belts, door and lock-out; `fitted`: something is fitted before it is read.
struct bw_step_safety {
    int belts, door, lock;
    bool fitted;
};
// Why the step could hurt somebody, or NULL; *field names the key to blame.
const char *bw_step_unsafe(const struct bw_step_safety *step, const char **field);

#endif
