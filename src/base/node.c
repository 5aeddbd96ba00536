// node.c - see node.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/node.h"

#include <string.h>

struct bw_node *bw_node_new(struct bw_arena *arena, enum bw_node_kind kind) {
    struct bw_node *node = bw_arena_get(arena, sizeof *node);
    if (node != NULL) node->kind = kind;
    return node;
}

struct bw_node *bw_node_text(struct bw_arena *arena, const char *text, size_t length) {
    struct bw_node *node = bw_node_new(arena, BW_NODE_TEXT);
    if (node == NULL) return NULL;
    node->text = bw_arena_text(arena, text, length);
    node->length = length;
    return node->text == NULL ? NULL : node;
}

void bw_node_add(struct bw_node *parent, struct bw_node *child) {
    if (parent->last == NULL)
        parent->child = child;
    else
        parent->last->next = child;
    parent->last = child;
}

bool bw_node_add_key(struct bw_arena *arena, struct bw_node *map, const char *key,
                     struct bw_node *child) {
    child->key = bw_arena_text(arena, key, strlen(key));
    if (child->key == NULL) return false;
    bw_node_add(map, child);
    return true;
}

const struct bw_node *bw_node_find(const struct bw_node *map, const char *key) {
    for (const struct bw_node *child = map->child; child != NULL; child = child->next)
        if (child->key != NULL && strcmp(child->key, key) == 0) return child;
    return NULL;
}

size_t bw_node_count(const struct bw_node *node) {
    size_t n = 0;
    for (const struct bw_node *child = node->child; child != NULL; child = child->next) n++;
    return n;
}
