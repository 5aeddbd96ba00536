// replay.h - what a job says now: a pure function of its set of entries.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_JOB_REPLAY_H
#define BW_JOB_REPLAY_H

#include "base/json.h"
#include "job/set.h"

enum bw_line_state {
    BW_LINE_COUNTS,
    BW_LINE_WITHDRAWN,  // taken back
    BW_LINE_ERASED,
    BW_LINE_WAITING,  // corrects or withdraws an entry that is not here yet
    BW_LINE_NEWER     // of a kind or shape this program does not know
};

// One entry that is not itself a correction, as it counts now.
struct bw_line {
    const struct bw_entry *entry;
    enum bw_entry_kind kind;
    enum bw_line_state state;
    const struct bw_entry *by;   // the correction that counts, NULL: none
    const struct bw_node *body;  // what counts; NULL unless BW_LINE_COUNTS
    // What other corrections, made without knowledge of that one, say.
    const struct bw_node *const *also;
    size_t n_also;
};

struct bw_job {
    const char *id;
    struct bw_line *lines;  // by tick, then id
    size_t n;
    // From the first entry as it counts now; "" where nothing is said.
    const char *title, *kind, *site, *machine;
    bool closed;
    const struct bw_line *closing;  // the last closing if closed, else NULL
    int64_t opened_ms, changed_ms;
    int opened_offset_min;
    long last_tick;
    size_t entries;  // all of them, erased ones too
};

// `set` must hold one job and outlive the result. Errors: BW_INPUT (a stored line is damaged),
// BW_MEMORY.
bool bw_job_replay(struct bw_arena *arena, const struct bw_entries *set, struct bw_job *out,
                   struct bw_err *err) BW_CHECKED;

// Corrections of `id` that count now and that a new one must name as known ("over"): written into
// `ids` as a JSON list.
bool bw_job_over(struct bw_arena *arena, const struct bw_entries *set, const char *id,
                 struct bw_json *json, struct bw_err *err) BW_CHECKED;

// The last line that can be taken back, NULL: none.
const struct bw_line *bw_job_last(const struct bw_job *job);
const struct bw_line *bw_job_line(const struct bw_job *job, const char *id);

// {"shape": "job/1", ...}.
void bw_job_emit(struct bw_json *json, const struct bw_job *job);

// A text of a body, "" if it has none; a number's text as written.
const char *bw_body_text(const struct bw_node *body, const char *key);
// Writes a tree as it was read.
void bw_node_emit(struct bw_json *json, const struct bw_node *node);

#endif
