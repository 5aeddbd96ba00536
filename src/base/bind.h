// bind.h - the one reader of node trees: node in, C record out, or a message with the path.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_BIND_H
#define BW_BASE_BIND_H

#include "base/field.h"

// What the door supplies. `load` turns a file name into content (parsing and binding documents);
// NULL: files are refused unless their content stands inline as a map.
struct bw_binding {
    struct bw_arena *arena;  // the record's texts, lists and inner records live here
    const char *file;    // the document's name, for messages and for names beside it; NULL: none
    const char *source;  // the document's text, for the caret; NULL: none
    size_t source_length;
    const char *shape;    // what "shape" must say where it stands in the document; NULL: anything
    enum bw_units units;  // in which limits are told
    bool (*load)(void *door, const struct bw_file_kind *kind, const char *name, struct bw_file *out,
                 struct bw_binding *binding, struct bw_err *err);
    void *door;
};

// Binds `node` (a map, or a scalar phrase where the record has leads) to `out`, a struct of
// record->size bytes. Keys may be written as bw_key_same allows. A QUANTITY takes text or a map
// {value, sd, unit, by}; COUNT and CHOICE take text; LIST takes a list, or one item alone; ONEOF a
// map whose one key is the variant, or the variant's name alone. "unknown", "?" and null mean not
// given: the fallback is taken, so a field that is required or has a fallback is always known
// afterwards. "shape" is allowed at the root. Errors: BW_INPUT (missing fields, unknown keys, wrong
// kinds, ranges, the record's own rule), BW_LIMIT (too many items), BW_REFUSED (a file where none
// may be named), BW_MEMORY, and what `load` gives; with path (items counted from 0), line, column,
// value and mend. `out` untouched on failure.
bool bw_bind(const struct bw_binding *binding, const struct bw_node *node,
             const struct bw_record *record, void *out, struct bw_err *err) BW_CHECKED;

// Splits a phrase into a map node of texts. A value that begins with a double quote ends at the
// next one and may hold lead words. Errors: BW_INPUT, BW_LIMIT (longer than BW_MAX_PHRASE).
bool bw_phrase_read(struct bw_arena *arena, const struct bw_record *record, const char *text,
                    size_t length, struct bw_node **out, struct bw_err *err) BW_CHECKED;

// Splits "place=LF,value=18.02mm" (no lead words needed) into a map node; a value may be quoted
// with "". A text without "=" is tried as a phrase.
bool bw_group_read(struct bw_arena *arena, const struct bw_record *record, const char *text,
                   size_t length, struct bw_node **out, struct bw_err *err) BW_CHECKED;

// Reads a document, YAML or JSON by its content ('{' first means JSON). Errors as bw_yaml_read,
// bw_json_read.
bool bw_document_read(struct bw_arena *arena, const char *file, const char *bytes, size_t length,
                      struct bw_node **out, struct bw_err *err) BW_CHECKED;

// A file as a door has opened it. `path` is for messages and for what lies beside it.
struct bw_open_file {
    const char *path;
    int fd;
};
// Opens what `name` means to the document being bound (binding->file, NULL: none): a plain file, or
// "-", the standard input. Errors: BW_NOT_FOUND, BW_IO, BW_INPUT (a folder, a pipe), BW_MEMORY.
// bw_close_file gives it back.
bool bw_open_file(const struct bw_file_kind *kind, const char *name,
                  const struct bw_binding *binding, struct bw_open_file *out,
                  struct bw_err *err) BW_CHECKED;
void bw_close_file(const struct bw_open_file *file);  // leaves the standard input open
// Reads and binds an open file as bw_load_file does. A medium is refused: BW_REFUSED.
bool bw_load_open(const struct bw_open_file *file, const struct bw_file_kind *kind,
                  const struct bw_binding *binding, struct bw_file *out,
                  struct bw_err *err) BW_CHECKED;

// A door's loader for files named on a command line: reads at most kind->max_bytes from the file
// system, YAML or JSON by content ('{' first means JSON), checks "shape" if present, binds. A file
// NAME.csv is the rows of the record's only list, where it has one only. A raw kind gives the
// bytes; a medium needs bw_media_load (read/media.h). `door` is unused.
bool bw_load_file(void *door, const struct bw_file_kind *kind, const char *name,
                  struct bw_file *out, struct bw_binding *binding, struct bw_err *err) BW_CHECKED;

#endif
