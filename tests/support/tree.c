// tree.c - see tree.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/tree.h"

#include "base/number.h"
#include "base/utf8.h"

#include <stdlib.h>
#include <string.h>

#define MUST(condition)                                                                            \
    do {                                                                                           \
        if (!(condition)) {                                                                        \
            fprintf(stderr, "%s:%d: must hold: %s\n", __FILE__, __LINE__, #condition);             \
            abort();                                                                               \
        }                                                                                          \
    } while (0)

static int by_text(const void *a, const void *b) {
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static void check_keys(const struct bw_node *map) {
    size_t n = bw_node_count(map), i = 0;
    const char **keys = calloc(n + 1, sizeof *keys);
    MUST(keys != NULL);
    for (const struct bw_node *child = map->child; child != NULL; child = child->next)
        keys[i++] = child->key;
    qsort(keys, n, sizeof *keys, by_text);
    for (i = 1; i < n; i++) MUST(strcmp(keys[i - 1], keys[i]) != 0);
    free(keys);
}

static size_t check_node(const struct bw_node *node, bool places, int depth) {
    size_t count = 1;
    MUST(!places || (node->line > 0 && node->column > 0));
    MUST(node->key == NULL || bw_utf8_valid(node->key, strlen(node->key)));
    MUST((node->kind == BW_NODE_TEXT) == (node->text != NULL));
    if (node->kind == BW_NODE_TEXT)
        MUST(strlen(node->text) == node->length && bw_utf8_valid(node->text, node->length));
    if (node->kind == BW_NODE_TEXT || node->kind == BW_NODE_NULL) {
        MUST(node->child == NULL);
        return count;
    }
    MUST(depth < BW_MAX_DEPTH);
    for (const struct bw_node *child = node->child; child != NULL; child = child->next) {
        MUST((child->key != NULL) == (node->kind == BW_NODE_MAP));
        MUST(child->next != NULL || child == node->last);
        count += check_node(child, places, depth + 1);
    }
    if (node->kind == BW_NODE_MAP) check_keys(node);
    return count;
}

void tree_check(const struct bw_node *root, bool places) {
    MUST(root->key == NULL && root->next == NULL);
    MUST(check_node(root, places, 0) <= BW_MAX_NODES);
}

void tree_check_error(const struct bw_err *err) {
    const char *const texts[] = {err->what,  err->file, err->field,
                                 err->value, err->mend, err->excerpt};
    MUST(err->code != BW_OK && err->code != BW_MEMORY && err->what[0] != '\0');
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++)
        MUST(bw_utf8_valid(texts[i], strlen(texts[i])) && strchr(texts[i], '\n') == NULL);
    MUST((err->line > 0) == (err->column > 0));
    MUST(err->excerpt[0] == '\0' ||
         (size_t)err->column <= bw_utf8_characters(err->excerpt, strlen(err->excerpt)) + 1);
}

static void write_bare(struct bw_json *json, const struct bw_node *node) {
    double value;
    struct bw_err err = {0};
    if (strcmp(node->text, "true") == 0 || strcmp(node->text, "false") == 0)
        bw_json_bool(json, node->text[0] == 't');
    else if (bw_number(node->text, node->length, &value, &err))
        bw_json_number(json, value);
    else
        bw_json_text(json, node->text);
}

void tree_write(struct bw_json *json, const struct bw_node *node) {
    bool map = node->kind == BW_NODE_MAP;
    if (node->kind == BW_NODE_NULL) {
        bw_json_null(json);
    } else if (node->kind == BW_NODE_TEXT && node->quoted) {
        bw_json_text(json, node->text);
    } else if (node->kind == BW_NODE_TEXT) {
        write_bare(json, node);
    } else {
        bw_json_open(json, map ? '{' : '[');
        for (const struct bw_node *child = node->child; child != NULL; child = child->next) {
            if (map) bw_json_key(json, child->key);
            tree_write(json, child);
        }
        bw_json_close(json, map ? '}' : ']');
    }
}

bool tree_equal(const struct bw_node *a, const struct bw_node *b) {
    if (a->kind != b->kind || (a->key == NULL) != (b->key == NULL)) return false;
    if (a->key != NULL && strcmp(a->key, b->key) != 0) return false;
    if (a->kind == BW_NODE_TEXT && strcmp(a->text, b->text) != 0) return false;
    const struct bw_node *x = a->child, *y = b->child;
    for (; x != NULL && y != NULL; x = x->next, y = y->next)
        if (!tree_equal(x, y)) return false;
    return x == NULL && y == NULL;
}
