// tree.h - what must hold for any tree a reader hands out, and for any error it gives instead.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TESTS_TREE_H
#define BW_TESTS_TREE_H

#include "base/json.h"

// Aborts with a message unless: at most BW_MAX_NODES nodes, BW_MAX_DEPTH maps and lists deep; keys
// in maps only, not empty, unique; every text valid UTF-8 without NUL and as long as it says; with
// `places`, a line and column for every node.
void tree_check(const struct bw_node *root, bool places);

// Aborts unless the error has a code, a sentence, valid UTF-8 throughout, and a column with a line.
void tree_check_error(const struct bw_err *err);

// Writes the tree as JSON: quoted texts as strings, bare ones as what they are, else as strings.
void tree_write(struct bw_json *json, const struct bw_node *node);

// Same kinds, keys, texts, order.
bool tree_equal(const struct bw_node *a, const struct bw_node *b);

#endif
