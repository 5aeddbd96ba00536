// json.h - JSON into the node tree, and a writer.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_JSON_H
#define BW_BASE_JSON_H

#include "base/buffer.h"
#include "base/node.h"

// As bw_yaml_read. Duplicate keys, NaN, trailing text and NUL are refused. Nodes carry no line
// (JSON errors name the path); a syntax error names line and column.
bool bw_json_read(struct bw_arena *arena, const char *file, const char *bytes, size_t length,
                  struct bw_node **out, struct bw_err *err) BW_CHECKED;

// A writer with two-space indentation. Commas and newlines are its business. Keys in the order
// given.
struct bw_json {
    struct bw_buffer *to;
    int depth;
    bool first;      // nothing written yet at this depth
    bool after_key;
    bool one_line;   // no line breaks and no blanks between values; set after bw_json_begin
};

struct bw_json bw_json_begin(struct bw_buffer *to);
void bw_json_open(struct bw_json *json, char bracket);    // '{' or '['
void bw_json_close(struct bw_json *json, char bracket);   // '}' or ']'
void bw_json_key(struct bw_json *json, const char *key);
void bw_json_text(struct bw_json *json, const char *text);  // escaped; NULL gives null
void bw_json_number(struct bw_json *json, double value);    // NaN and infinities give null
void bw_json_count(struct bw_json *json, long value);
void bw_json_bool(struct bw_json *json, bool value);
void bw_json_null(struct bw_json *json);

#endif
