// node.h - the one tree every document, option and form becomes before the binder reads it.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_NODE_H
#define BW_BASE_NODE_H

#include "base/arena.h"
#include "base/err.h"

enum bw_node_kind {
    BW_NODE_NULL,    // YAML ~ or empty, JSON null
    BW_NODE_TEXT,    // any scalar, as written; numbers stay text
    BW_NODE_MAP,     // children have keys
    BW_NODE_LIST     // children have none
};

// Lives in an arena. Siblings in document order. Keys are unique within a map (readers refuse
// others).
struct bw_node {
    enum bw_node_kind kind;
    bool quoted;             // a quoted YAML scalar or JSON string
    int line, column;        // of the value, 1-based, 0: not from a document
    int key_line, key_column;
    const char *key;         // NULL in lists and at the root
    const char *text;        // TEXT only
    size_t length;           // of text
    struct bw_node *child, *last, *next;
};

struct bw_node *bw_node_new(struct bw_arena *arena, enum bw_node_kind kind) BW_CHECKED;
// Copies text and key. NULL: out of memory.
struct bw_node *bw_node_text(struct bw_arena *arena, const char *text, size_t length) BW_CHECKED;
void bw_node_add(struct bw_node *parent, struct bw_node *child);
bool bw_node_add_key(struct bw_arena *arena, struct bw_node *map, const char *key,
                     struct bw_node *child) BW_CHECKED;
// The child of a map under `key`, or NULL.
const struct bw_node *bw_node_find(const struct bw_node *map, const char *key);
size_t bw_node_count(const struct bw_node *node);

#endif
