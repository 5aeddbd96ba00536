// field.h - how a record is described once; options, forms, JSON, schema and checks follow from it.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_FIELD_H
#define BW_BASE_FIELD_H

#include "base/arena.h"
#include "base/node.h"
#include "base/quantity.h"

#include <stddef.h>

// C type behind each kind, at the field's offset:
enum bw_kind {
    BW_QUANTITY,  // struct bw_quantity;   .dim; .of: const struct bw_way[] or NULL
    BW_COUNT,     // long, BW_NO_COUNT if not given
    BW_CHOICE,    // int index, BW_NO_CHOICE if not given; .of: const struct bw_choice[]
    BW_TEXT,      // const char *, NULL if not given
    BW_FILE,      // struct bw_file;       .of: const struct bw_file_kind
    BW_RECORD,    // void * (NULL if not given);  .of: const struct bw_record
    BW_LIST,      // struct bw_list of records;   .of: const struct bw_record (the item)
    BW_ONEOF      // struct bw_oneof;      .of: const struct bw_choice_record[]
};

#define BW_NO_COUNT (-2147483647L)
#define BW_NO_CHOICE (-1)

struct bw_choice {  // the list ends with name NULL
    const char *name, *help;
};
struct bw_list {
    void *items;  // contiguous records of the item's size
    size_t n;
};
struct bw_oneof {
    int which;  // index into the list, -1: not given
    void *item;
};
struct bw_record;
struct bw_choice_record {  // the list ends with name NULL
    const char *name, *help;
    const struct bw_record *record;
};
// A file the door reads before the study runs. A document kind is parsed and bound to `record`; a
// raw kind (record NULL) hands over the bytes; a medium is decoded by a reader, another program.
enum bw_medium {
    BW_MEDIUM_NONE,     // a document, or bytes
    BW_MEDIUM_PICTURE,  // content: const struct bw_picture * (read/picture.h), size 0
    BW_MEDIUM_PROFILE,  // content: const struct bw_profile * (read/profile.h), size 0
    BW_MEDIUM_SOUND     // content: const struct bw_sound * (read/sound.h), size 0
};
struct bw_file_kind {
    const char *name;   // "machine file"
    const char *shape;  // "machine/1" for documents
    const struct bw_record *record;
    size_t max_bytes;  // 0: BW_MAX_DOCUMENT_BYTES; of a medium its reader says how much
    enum bw_medium medium;
};
struct bw_file {
    const char *name;  // as given, "inline" when the content stood in the document; NULL: not given
    const void *content;  // the bound record, the bytes, or what the medium says; the arena's
    size_t size;          // of bytes; 0 for all else
};

struct bw_field {
    const char *name;  // [a-z][a-z0-9_]*: the key; the option is --name with dashes
    const char *help;  // one sentence, no full stop
    enum bw_kind kind;
    enum bw_dim dim;  // QUANTITY
    size_t offset;
    const void *of;
    double min, max;       // QUANTITY (SI) and COUNT, inclusive; min == max: no limits
    const char *fallback;  // taken when nothing is given, as the user would write it; NULL: none
    unsigned count_max;    // LIST: most items, 0: 1000
    bool required;
    bool positional;   // on the command line given without --name, in order
    bool flag;         // CHOICE of no and yes: on the command line --name alone says yes
    const char *lead;  // in a phrase (below) the word before this field's value; "" for the first
};

// A record may be written as one line, "14.6 mm at 24 ft/min is splice": the value of the field
// whose lead is "" first, then lead words and values in any order. Only QUANTITY, COUNT, CHOICE,
// TEXT fields may have leads; the values of one field never contain another field's lead as a word.
struct bw_record {
    const char *name;  // "belt": for messages and schema titles
    const char *help;
    const struct bw_field *fields;  // the list ends with name NULL
    size_t size;                    // of the C struct
    // Rules between fields. NULL when all is well, else what is wrong; *field names the field to
    // blame.
    const char *(*check)(const void *record, const char **field);
};

// Field initialisers: { BW_AT(struct bw_belt, length), .kind = BW_QUANTITY, ... }
#define BW_AT(type, member) .name = #member, .offset = offsetof(type, member)
#define BW_END_FIELDS                                                                              \
    { .name = NULL }

// Keys as people write them: case does not matter, and space, dash and underscore are one ("Belt
// speed" is belt_speed).
bool bw_key_same(const char *a, const char *b);
// The field under that key, however written, or NULL.
const struct bw_field *bw_field_find(const struct bw_record *record, const char *name);
void *bw_field_at(const struct bw_field *field, void *record);
const void *bw_field_in(const struct bw_field *field, const void *record);
// One-line summary of what may be written there: "a length, 300 to 20000 mm", "one of: paper,
// cloth". Cut at `size` between characters.
void bw_field_takes(const struct bw_field *field, enum bw_units units, char *text, size_t size);
// The limits alone: "300 to 20000 mm", "at least 0 Pa"; "" if there are none.
void bw_field_limits(const struct bw_field *field, enum bw_units units, char *text, size_t size);
// Every field not given, as a fresh record; bytes that belong to no field are zero.
void bw_record_clear(const struct bw_record *record, void *out);

// The name of a field's possible values, 0-based, NULL past the last: a CHOICE's, a ONEOF's
// variants', a QUANTITY's ways. NULL for other kinds.
const char *bw_field_option(const struct bw_field *field, size_t i);

// Most items a LIST takes.
size_t bw_field_count_max(const struct bw_field *field);
// Some file in it or in a record below it is decoded by a reader.
bool bw_record_has_medium(const struct bw_record *record);
// Some field may be written in a phrase.
bool bw_record_has_leads(const struct bw_record *record);

// Finds what is wrong with a description itself and all records below it: names, help, double or
// clashing keys and leads, offsets outside the struct or overlapping, missing or misplaced `of`,
// impossible limits, fallbacks that do not bind, two records of one name, a field "shape" at the
// top of a document. For a test over every record. Error BW_FAILED with the path.
bool bw_record_lint(const struct bw_record *record, struct bw_err *err) BW_CHECKED;

#endif
