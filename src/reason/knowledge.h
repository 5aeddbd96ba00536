// knowledge.h - causes, checks and remedies: the records of a knowledge file, joined.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// docs/knowledge.md is the reader's version. Several files are laid on one another: an entry
// whose id is there already changes the fields it gives, `also` adds to or replaces single links,
// `drop` takes entries out.
#ifndef BW_REASON_KNOWLEDGE_H
#define BW_REASON_KNOWLEDGE_H

#include "reason/features.h"

#define BW_KNOWLEDGE_SHAPE "knowledge/1"
#define BW_MAX_CAUSES                                                                              \
    400  // C(400, 3) sets are ten million: the most that is still answered while one waits
#define BW_MAX_KNOWN_CHECKS 1000

enum bw_group { BW_GROUP_BELT, BW_GROUP_MACHINE, BW_GROUP_SETUP, BW_GROUP_WOOD, BW_GROUP_SHOP };
enum bw_check_kind { BW_SYMPTOM, BW_ASK, BW_LOOK, BW_MEASURE, BW_SWAP, BW_CHECK_KINDS };
enum bw_where { BW_ON_PHONE, BW_AT_MACHINE };
enum bw_belts_need { BW_ANY_BELTS, BW_STOPPED, BW_RUNNING };
enum bw_door { BW_DOOR_SHUT, BW_DOOR_OPEN };
enum bw_remedy_kind { BW_CURE, BW_STOP_GAP };
enum bw_who { BW_OWNER, BW_TECHNICIAN, BW_SPECIALIST, BW_ELECTRICIAN };

struct bw_known_link {
    const char *cause;  // an id, or "any GROUP"
    struct bw_quantity chance;
};
struct bw_known_name {
    const char *name;
};
struct bw_known_need {
    int feature;
};

struct bw_known_cause {
    const char *id, *name, *plain;
    int group, per_head;
    struct bw_quantity weight;
    struct bw_list needs;  // struct bw_known_need
};

// "ratio below 35 % within 5 %": how a typed reading becomes yes or no.
struct bw_known_reading {
    int of;
    const char *below, *above, *within;
};

struct bw_known_check {
    const char *id, *question, *how, *yes, *no, *caution, *alarm;
    int kind, place, belts, door, lock, names_head;
    struct bw_quantity minutes, fit;  // s
    struct bw_quantity leak, others, wrong;
    struct bw_list given, also;            // struct bw_known_link
    struct bw_list when, words, words_no;  // struct bw_known_name
    struct bw_list needs;                  // struct bw_known_need
    const struct bw_known_reading *reading;
};

struct bw_known_remedy {
    const char *id, *name, *how, *parts, *caution, *verify, *costs_output, *may_stand;
    int kind, who, belts, door, lock;
    struct bw_quantity minutes, down;  // s
    struct bw_quantity money;
    long lead;                   // days
    struct bw_list cures, also;  // struct bw_known_link
    struct bw_list needs;
};

struct bw_assumptions {
    struct bw_quantity travel, lock_out, close_up, prove, failed, specialist, wait, patience;  // s
    struct bw_quantity hour, down, together, unlisted, unsaid, doubt, doubt_weight;
    struct bw_quantity wrong_symptom, wrong_ask, wrong_look, wrong_measure, wrong_swap;
    struct bw_quantity strength_weight, strength_link;
};

// The limit of a reading, made ready.
struct bw_limit {
    bool given, yes_above;
    enum bw_dim dim;
    double at, blur;  // SI; the truth turns from no to yes over about 2 blur
};

// Where an entry was written, for messages: the file that touched it last, and its map there.
struct bw_origin {
    const char *file;
    const struct bw_node *node;
};

struct bw_knowledge {
    struct bw_assumptions assume;
    const struct bw_known_cause *cause;
    const struct bw_known_check *check;
    const struct bw_known_remedy *remedy;
    size_t causes, checks, remedies;
    const double *link;            // [checks * causes]: chance that the cause alone makes it yes
    const double *cure;            // [remedies * causes]
    const struct bw_limit *limit;  // [checks]
    const unsigned *cause_needs, *check_needs, *remedy_needs;  // features, as bits
    const bool *when;    // [checks * checks]: row per check, the symptoms that call for it
    const bool *always;  // [checks]: asked whatever the symptoms
    const struct bw_origin *cause_at, *check_at, *remedy_at;
};

// One thing wrong with the files, for lint and for messages.
struct bw_complaint {
    bool error;  // else a warning
    const char *file;
    int line, column;
    const char *text;
};
struct bw_complaints {
    struct bw_arena *arena;
    struct bw_complaint *items;
    size_t n, capacity;
};

struct bw_document {
    const char *name, *bytes;
    size_t length;
};

// Reads and joins `documents` in order; everything lives in the arena. Broken references and
// unsafe steps are all written to `complaints` (may be NULL) before it fails with the first.
// Errors: BW_SYNTAX, BW_INPUT, BW_LIMIT, BW_MEMORY; BW_REFUSED for a step that could hurt
// somebody.
bool bw_knowledge_read(struct bw_arena *arena, const struct bw_document *documents, size_t n,
                       struct bw_complaints *complaints, struct bw_knowledge *out,
                       struct bw_err *err) BW_CHECKED;

// The knowledge carried in the program, with `more` laid on top.
bool bw_knowledge_load(struct bw_arena *arena, const struct bw_document *more, size_t n,
                       struct bw_complaints *complaints, struct bw_knowledge *out,
                       struct bw_err *err) BW_CHECKED;

// Index of an entry, or SIZE_MAX.
size_t bw_cause_find(const struct bw_knowledge *knowledge, const char *id);
size_t bw_check_find(const struct bw_knowledge *knowledge, const char *id);
size_t bw_remedy_find(const struct bw_knowledge *knowledge, const char *id);

const char *bw_group_word(int group);      // "belt"
const char *bw_check_kind_word(int kind);  // "question"
const char *bw_who_word(int who);

void bw_complain(struct bw_complaints *to, const struct bw_complaint *complaint);

extern const struct bw_record bw_knowledge_record;  // of one document

#endif
