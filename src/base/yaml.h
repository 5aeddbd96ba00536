// yaml.h - YAML documents into the node tree.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Taken: maps, lists, plain, quoted and block scalars, comments. Refused with place and mend:
// aliases and anchors, merge keys, tags, directives, a second document, duplicate keys, a complex
// key, NUL and ill-formed UTF-8, more than BW_MAX_DOCUMENT_BYTES, BW_MAX_DEPTH, BW_MAX_NODES.
#ifndef BW_BASE_YAML_H
#define BW_BASE_YAML_H

#include "base/node.h"

// `file` is only for messages. The tree lives in `arena`. Errors: BW_SYNTAX, BW_LIMIT, BW_MEMORY,
// with file, line, column and the source line for the caret.
bool bw_yaml_read(struct bw_arena *arena, const char *file, const char *bytes, size_t length,
                  struct bw_node **out, struct bw_err *err) BW_CHECKED;

#endif
