// job.h - what the commands that work on jobs share.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_CLI_JOB_H
#define BW_CLI_JOB_H

#include "base/bind.h"
#include "base/json.h"
#include "cli/cli.h"
#include "store/store.h"

// A command at work on a store.
struct bw_desk {
    struct bw_cli *cli;
    const struct bw_arguments *given;
    struct bw_store *store;
    struct bw_err *err;
    bool json;
    enum bw_units units;
    int64_t now_ms;
    int offset_min;
    const void *with;  // what the command hands its work
};

// Options that every one of them has.
#define BW_OPTION_STORE                                                                            \
    {                                                                                              \
        .name = "store", .value = "STORE", .takes = BW_TAKES_FOLDER,                               \
        .help = "the folder the jobs are in, or a server as postgresql://...; without it, "        \
                "BELTWRIGHT_HOME or the user's data folder"                                        \
    }
#define BW_OPTION_JOB                                                                              \
    {                                                                                              \
        .name = "job", .value = "JOB", .takes = BW_TAKES_WORD, .positional = true,                 \
        .required = true,                                                                          \
        .help = "the job: its name, the last four or more letters of it, or last for the one "     \
                "changed last"                                                                     \
    }
#define BW_OPTION_AT                                                                               \
    {                                                                                              \
        .name = "at", .value = "TIME", .takes = BW_TAKES_WORD,                                     \
        .help = "when it was, by the clock here, such as 2026-03-14 09:05; without it, now"        \
    }
#define BW_OPTION_UNITS                                                                            \
    {                                                                                              \
        .name = "units", .value = "si|us", .takes = BW_TAKES_CHOICE, .choices = "si us",           \
        .help = "units of the printed answer; without it, those of the locale"                     \
    }
#define BW_OPTION_JSON                                                                             \
    { .name = "json", .help = "print the answer as JSON" }

// Opens the store, runs `work`, closes it.
bool bw_desk_run(struct bw_cli *cli, const struct bw_arguments *given,
                 bool (*work)(struct bw_desk *desk), const void *with,
                 struct bw_err *err) BW_CHECKED;

// The job a word names. Errors: BW_NOT_FOUND, BW_INPUT (several).
bool bw_desk_find(struct bw_desk *desk, const char *word, char job[BW_ID_TEXT]) BW_CHECKED;
// The job of the command's JOB, its entries and what they say.
bool bw_desk_job(struct bw_desk *desk, struct bw_entries *set, struct bw_job *out) BW_CHECKED;
// The line a word names: an entry's name or its last four or more letters. Errors as above.
bool bw_desk_line(struct bw_desk *desk, const struct bw_job *job, const char *word,
                  const struct bw_line **out) BW_CHECKED;

// Writes an entry; the body is what `json` wrote into `body`, which is freed.
bool bw_desk_write(struct bw_desk *desk, const char *job, enum bw_entry_kind kind,
                   struct bw_buffer *body, struct bw_entry *out) BW_CHECKED;
struct bw_json bw_desk_body(struct bw_buffer *body);                         // opens the object
void bw_desk_text(struct bw_json *json, const char *key, const char *text);  // unless NULL, ""
// The same as a correction of `line`.
bool bw_desk_correct(struct bw_desk *desk, const struct bw_entries *set, const struct bw_line *line,
                     struct bw_buffer *body, struct bw_entry *out) BW_CHECKED;

// Says what was done: "kept as J7K2QM in job ..."; as JSON {"shape": "job-entry/1", ...}.
bool bw_desk_tell(struct bw_desk *desk, const struct bw_entry *entry, const char *done) BW_CHECKED;

// Attaches a file of the file system. Adds {"name", "sha256", "size"} to `json`.
bool bw_desk_attach(struct bw_desk *desk, const char *path, struct bw_json *json) BW_CHECKED;
// The same from the begin of an open file.
bool bw_desk_attach_fd(struct bw_desk *desk, const char *name, int fd,
                       struct bw_json *json) BW_CHECKED;

// The last six letters of an id, by which people name it.
static inline const char *bw_short(const char *id) { return id + BW_ID_TEXT - 1 - 6; }

// What a line says, in one line of words; in the arena.
const char *bw_line_words(struct bw_desk *desk, const struct bw_line *line);

// A file of the job from the store, loaded as any door does.
struct bw_kept_file {
    const struct bw_file_kind *kind;
    const char *name, *sha256;
    const struct bw_binding *binding;
};
bool bw_desk_load(struct bw_desk *desk, const struct bw_kept_file *kept,
                  struct bw_file *out) BW_CHECKED;

// What the store's closed jobs teach (knowledge.c).
struct bw_knowledge;
struct bw_lessons;
bool bw_desk_lessons(struct bw_desk *desk, const struct bw_knowledge *knowledge,
                     struct bw_lessons *out) BW_CHECKED;

// --- studies inside a job (job_add.c)
bool bw_job_add_study(struct bw_desk *desk, const char *job, const struct bw_page *page,
                      const struct bw_arguments *typed) BW_CHECKED;

#endif
