// job_add.c - `beltwright job add|recheck`: studies, notes, files and people inside a job.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A study entry keeps the input as it was typed, the bytes of every file it named, the version,
// the answer and the findings, so that it can be run again with nothing but the entry.
#include "cli/job.h"

#include "base/number.h"
#include "base/suggest.h"
#include "read/media.h"
#include "study/door.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

// ---- a study ------------------------------------------------------------------------------------

// A file as the study named it, still open.
struct kept {
    const char *name;
    int fd;
    struct kept *next;
};

struct keeper {
    struct bw_media_door media;
    struct kept *first;
};

static void close_kept(const struct keeper *keeper) {
    for (const struct kept *kept = keeper->first; kept != NULL; kept = kept->next)
        (void)close(kept->fd);
}

static bool keep(struct keeper *keeper, struct bw_arena *arena, const char *name, int fd,
                 struct bw_err *err) {
    struct kept *kept = bw_arena_get(arena, sizeof *kept);
    const char *copy = bw_arena_text(arena, name, strlen(name));
    if (kept == NULL || copy == NULL) return bw_fail_memory(err);
    *kept = (struct kept){copy, dup(fd), keeper->first};
    if (kept->fd < 0) return bw_fail(err, BW_LIMIT, "too many files: %s", strerror(errno));
    keeper->first = kept;
    return true;
}

// Loads a file as any door does and keeps it open, so that the very bytes that were read are kept.
static bool load_and_keep(void *door, const struct bw_file_kind *kind, const char *name,
                          struct bw_file *out, struct bw_binding *binding, struct bw_err *err) {
    struct keeper *keeper = door;
    struct bw_open_file file;
    if (strcmp(name, "-") == 0) {
        bw_err_mend(err, "save it as a file first");
        return bw_fail(err, BW_UNSUPPORTED, "what comes through a pipe cannot be kept in a job");
    }
    if (!bw_open_file(kind, name, binding, &file, err)) return false;
    bool done = bw_media_load_open(&keeper->media, &file, kind, binding, out, err) &&
                keep(keeper, binding->arena, name, file.fd, err);
    bw_close_file(&file);
    return done;
}

struct study_input {
    struct bw_node *root;
    struct bw_binding binding;
    const char *name;  // of the document, or NULL
};

// The input as one tree: from the options, or from the document.
static bool read_input(struct bw_desk *desk, const struct bw_page *page,
                       const struct bw_arguments *typed, struct study_input *out) {
    static const struct bw_file_kind DOCUMENT = {.name = "document",
                                                 .max_bytes = BW_MAX_DOCUMENT_BYTES};
    struct bw_arena *arena = desk->cli->arena;
    const char *input = bw_given_value(typed, "input");
    struct bw_file file;
    if (input == NULL) return bw_study_nodes(arena, page, typed, &out->root, desk->err);
    if (!bw_study_only_document(arena, typed, desk->err)) return false;
    if (!bw_load_file(NULL, &DOCUMENT, input, &file, &out->binding, desk->err)) {
        bw_err_within(desk->err, "--input");
        return false;
    }
    out->binding.file = file.name;
    out->binding.source = file.content;
    out->binding.source_length = file.size;
    out->name = input;
    return bw_document_read(arena, file.name, file.content, file.size, &out->root, desk->err);
}

static void emit_result(struct bw_json *json, const struct bw_study *study, const void *answer) {
    bw_json_key(json, "result");
    bw_study_emit(json, study, answer);
}

static bool write_body(struct bw_desk *desk, const struct bw_study *study,
                       const struct study_input *input, const void *answer,
                       struct bw_buffer *body) {
    const struct keeper *keeper = input->binding.door;
    struct bw_json json = bw_desk_body(body);
    bw_desk_text(&json, "study", study->name);
    bw_desk_text(&json, "version", BELTWRIGHT_VERSION);
    bw_json_key(&json, "input");
    bw_node_emit(&json, input->root);
    bw_json_key(&json, "files");
    bw_json_open(&json, '[');
    for (const struct kept *kept = keeper->first; kept != NULL; kept = kept->next)
        if (!bw_desk_attach_fd(desk, kept->name, kept->fd, &json)) return false;
    bw_json_close(&json, ']');
    emit_result(&json, study, answer);
    bw_json_key(&json, "findings");
    if (!bw_findings_emit(&json, study, answer, desk->cli->arena)) return bw_fail_memory(desk->err);
    bw_json_close(&json, '}');
    return true;
}

static bool tell_study(struct bw_desk *desk, const struct bw_study *study, const void *answer,
                       const struct bw_entry *entry) {
    struct bw_text text = bw_cli_text(desk->cli, desk->units);
    struct bw_json json = bw_json_begin(&text.out);
    if (desk->json) {
        bw_json_open(&json, '{');
        bw_desk_text(&json, "shape", "job-entry/1");
        bw_desk_text(&json, "job", entry->job);
        bw_desk_text(&json, "entry", entry->id);
        bw_desk_text(&json, "kind", entry->kind);
        emit_result(&json, study, answer);
        bw_json_close(&json, '}');
    } else {
        study->text(answer, &text);
        bw_text_gap(&text);
        text.indent = 0;
        bw_text_para(&text, "Kept as %s in job %s.", bw_short(entry->id), bw_short(entry->job));
    }
    return bw_write(desk->cli, "-", &text.out, desk->err);
}

static bool run_and_keep(struct bw_desk *desk, const char *job, const struct bw_page *page,
                         const struct bw_arguments *typed, struct keeper *keeper) {
    struct bw_buffer body = {0};
    struct bw_entry entry;
    const void *in;
    void *answer;
    keeper->media.unjailed = bw_given(typed, "unjailed");
    struct study_input input = {.binding = {.arena = desk->cli->arena,
                                            .units = desk->units,
                                            .load = load_and_keep,
                                            .door = keeper}};
    struct bw_run run = {.arena = desk->cli->arena};
    if (!read_input(desk, page, typed, &input)) return false;
    if (!bw_study_bind(page->study, &input.binding, input.root, &in, desk->err) ||
        !bw_study_run(page->study, &run, in, &answer, desk->err)) {
        if (input.name == NULL) bw_study_blame(desk->cli->arena, page, typed, desk->err);
        return false;
    }
    if (!write_body(desk, page->study, &input, answer, &body)) {
        bw_buffer_free(&body);
        return false;
    }
    return bw_desk_write(desk, job, BW_ENTRY_STUDY, &body, &entry) &&
           tell_study(desk, page->study, answer, &entry);
}

bool bw_job_add_study(struct bw_desk *desk, const char *job, const struct bw_page *page,
                      const struct bw_arguments *typed) {
    struct keeper keeper = {0};
    bool done = run_and_keep(desk, job, page, typed, &keeper);
    close_kept(&keeper);
    return done;
}

// ---- notes, files, people -----------------------------------------------------------------------

static const struct {
    const char *what;
    enum bw_entry_kind kind;
    const char
        *words;  // the keys of the words that follow, separated by blanks; the first is needed
    const char *mend;
} SORTS[] = {
    {"note", BW_ENTRY_NOTE, "text", "job add JOB note \"what is worth keeping\""},
    {"file", BW_ENTRY_FILE, "file text", "job add JOB file photo.jpg \"left edge\""},
    {"party", BW_ENTRY_PARTY, "name phone email place role",
     "job add JOB party NAME PHONE EMAIL PLACE ROLE; only the name is needed"},
    {"reading", BW_ENTRY_READING, "reading value place",
     "job add JOB reading drum_circumference \"503.4 mm\" \"head 1\""},
};

static bool no_such_sort(struct bw_desk *desk, const char *what) {
    struct bw_words words = {.n = 0};
    for (size_t i = 0; i < sizeof SORTS / sizeof *SORTS; i++) bw_words_add(&words, SORTS[i].what);
    for (const struct bw_study *const *study = bw_studies(); *study != NULL; study++)
        bw_words_add(&words, (*study)->name);
    bw_err_value(desk->err, what);
    bw_words_mend(&words, what, "there are", desk->err);
    return bw_fail(desk->err, BW_NOT_FOUND, "there is nothing of that name to add");
}

// The words after WHAT, each under its key.
static bool write_words(struct bw_desk *desk, size_t sort, struct bw_json *json) {
    const char *key = SORTS[sort].words;
    for (size_t i = 0; i < desk->given->n; i++) {
        const struct bw_given *item = &desk->given->items[i];
        if (strcmp(item->option->name, "word") != 0) continue;
        size_t length = strcspn(key, " ");
        const char *name = bw_arena_text(desk->cli->arena, key, length);
        if (name == NULL) return bw_fail_memory(desk->err);
        if (length == 0) {
            bw_err_value(desk->err, item->value);
            bw_err_mend(desk->err, "%s", SORTS[sort].mend);
            return bw_fail(desk->err, BW_USAGE, "one word too many");
        }
        if (strcmp(name, "file") == 0) {
            bw_json_key(json, "files");
            bw_json_open(json, '[');
            if (!bw_desk_attach(desk, item->value, json)) return false;
            bw_json_close(json, ']');
        } else {
            bw_desk_text(json, name, item->value);
        }
        key += length;
        key += strspn(key, " ");
    }
    return true;
}

static bool store_words(struct bw_desk *desk, size_t sort, struct bw_buffer *body,
                        struct bw_entry *entry) {
    struct bw_entries set;
    struct bw_job job;
    const struct bw_line *line;
    const char *instead = bw_given_value(desk->given, "instead");
    if (!bw_desk_job(desk, &set, &job)) {
        bw_buffer_free(body);
        return false;
    }
    if (instead == NULL) return bw_desk_write(desk, job.id, SORTS[sort].kind, body, entry);
    if (!bw_desk_line(desk, &job, instead, &line)) {
        bw_buffer_free(body);
        return false;
    }
    if (line->kind == SORTS[sort].kind) return bw_desk_correct(desk, &set, line, body, entry);
    bw_buffer_free(body);
    bw_err_value(desk->err, instead);
    return bw_fail(desk->err, BW_INPUT, "that entry is no %s", SORTS[sort].what);
}

static bool add(struct bw_desk *desk) {
    const char *what = bw_given_value(desk->given, "what");
    size_t sort = 0, n = sizeof SORTS / sizeof *SORTS;
    struct bw_buffer body = {0};
    struct bw_entry entry;
    while (sort < n && strcmp(SORTS[sort].what, what) != 0) sort++;
    if (sort == n) return no_such_sort(desk, what);
    if (!bw_given(desk->given, "word")) {
        bw_err_mend(desk->err, "%s", SORTS[sort].mend);
        return bw_fail(desk->err, BW_USAGE, "what it says is missing");
    }
    struct bw_json json = bw_desk_body(&body);
    if (!write_words(desk, sort, &json)) {
        bw_buffer_free(&body);
        return false;
    }
    bw_json_close(&json, '}');
    if (!store_words(desk, sort, &body, &entry)) return false;
    const char *told = bw_arena_format(desk->cli->arena, "The %s is kept as %s in job %s.", what,
                                       bw_short(entry.id), bw_short(entry.job));
    return bw_desk_tell(desk, &entry, told == NULL ? "?" : told);
}

static bool run_add(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return bw_desk_run(cli, given, add, NULL, err);
}

static const struct bw_option ADD_OPTIONS[] = {
    BW_OPTION_JOB,
    {.name = "what",
     .value = "WHAT",
     .takes = BW_TAKES_WORD,
     .positional = true,
     .required = true,
     .help = "a study, with its own words and options behind it; or note, file, party, reading"},
    {.name = "word",
     .value = "WORD",
     .takes = BW_TAKES_FILE,
     .positional = true,
     .repeats = true,
     .help = "a note's text; a file and what it shows; a party's name, phone, email, place and "
             "role; a reading's name, value and place"},
    {.name = "instead",
     .value = "ENTRY",
     .takes = BW_TAKES_WORD,
     .help = "correct this entry in place of adding one"},
    BW_OPTION_AT,
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

// --- `job add JOB STUDY ...` is read by the study's page.

struct added_study {
    const char *job;
    const struct bw_page *page;
};

static bool add_study(struct bw_desk *desk) {
    const struct added_study *added = desk->with;
    char job[BW_ID_TEXT];
    return bw_desk_find(desk, added->job, job) &&
           bw_job_add_study(desk, job, added->page, desk->given);
}

// The study's page with the options that every entry has.
static bool study_page(struct bw_arena *arena, const char *name, struct bw_page *out,
                       struct bw_err *err) {
    static const struct bw_option MORE[] = {BW_OPTION_AT, BW_OPTION_STORE};
    size_t n = 0;
    if (!bw_page_find(arena, name, out, err)) return false;
    while (out->options[n].name != NULL) n++;
    struct bw_option *options = bw_arena_array(arena, n + 3, sizeof *options);
    if (options == NULL) return bw_fail_memory(err);
    memcpy(options, out->options, n * sizeof *options);
    memcpy(options + n, MORE, sizeof MORE);
    out->options = options;
    return true;
}

static bool raw_add(struct bw_cli *cli, int argc, char **argv, bool *taken, struct bw_err *err) {
    struct bw_page page;
    struct bw_arguments given;
    if (argc < 3 || bw_study_find(argv[2]) == NULL) return true;
    *taken = true;
    if (!study_page(cli->arena, argv[2], &page, err)) return false;
    if (!bw_options_read(cli->arena, &page, argc - 2, argv + 2, &given, err)) return false;
    if (bw_given(&given, "help")) return bw_help_write(cli, &page, err);
    const struct added_study added = {argv[1], &page};
    return bw_desk_run(cli, &given, add_study, &added, err);
}

const struct bw_command bw_command_job_add = {
    .page = {.name = "job-add",
             .summary = "add a study, a note, a file, people or a reading to a job",
             .about = "Runs a study inside a job and keeps its input, the files it read, its "
                      "answer and its findings; or keeps a note, a file, people's data, a reading. "
                      "A study's own words and options follow its name, as without a job.",
             .example = "beltwright job add last note \"the owner says it began on Monday\"",
             .options = ADD_OPTIONS},
    .run = run_add,
    .raw = raw_add,
};

// ---- recheck ------------------------------------------------------------------------------------

// Where a study's files come from when it is run again.
struct shelf {
    struct bw_desk *desk;
    const struct bw_node *files;
};

// The attachment as an open file without a name.
static FILE *take_down(struct bw_store *store, const char *sha256, struct bw_err *err) {
    uint64_t size;
    if (!bw_store_attached(store, sha256, &size, err)) return NULL;
    FILE *file = tmpfile();
    bool good = file != NULL;
    for (uint64_t at = 0, i = 0; good && at < size; at += BW_PIECE_BYTES, i++) {
        struct bw_buffer piece = {0};
        good = bw_store_piece(store, sha256, i, &piece, err) &&
               fwrite(piece.data, 1, piece.length, file) == piece.length;
        bw_buffer_free(&piece);
    }
    if (good && fflush(file) == 0 && lseek(fileno(file), 0, SEEK_SET) == 0) return file;
    if (file != NULL) (void)fclose(file);
    bw_fail(err, BW_IO, "no temporary file can be made");
    return NULL;
}

static bool load_sha256(struct bw_store *store, const struct bw_kept_file *kept,
                        struct bw_file *out, struct bw_err *err) {
    const struct bw_media_door media = {.unjailed = false};
    FILE *file = take_down(store, kept->sha256, err);
    if (file == NULL) return false;
    const struct bw_open_file open = {kept->name, fileno(file)};
    bool done = bw_media_load_open(&media, &open, kept->kind, kept->binding, out, err);
    (void)fclose(file);
    return done;
}

bool bw_desk_load(struct bw_desk *desk, const struct bw_kept_file *kept, struct bw_file *out) {
    return load_sha256(desk->store, kept, out, desk->err);
}

static bool load_kept(void *door, const struct bw_file_kind *kind, const char *name,
                      struct bw_file *out, struct bw_binding *binding, struct bw_err *err) {
    const struct shelf *shelf = door;
    const struct bw_node *kept = shelf->files == NULL ? NULL : shelf->files->child;
    while (kept != NULL && strcmp(bw_body_text(kept, "name"), name) != 0) kept = kept->next;
    if (kept == NULL) {
        bw_err_file(err, name);
        return bw_fail(err, BW_NOT_FOUND, "the entry has no file of that name");
    }
    const struct bw_kept_file file = {kind, name, bw_body_text(kept, "sha256"), binding};
    return load_sha256(shelf->desk->store, &file, out, err);
}

// The first place where two trees differ by more than rounding; NULL: none.
static const char *difference(struct bw_arena *arena, const struct bw_node *a,
                              const struct bw_node *b, const char *path) {
    struct bw_err ignored = {0};
    double x, y;
    if (a == NULL || b == NULL || a->kind != b->kind) return path;
    if (a->kind == BW_NODE_TEXT) {
        if (strcmp(a->text, b->text) == 0) return NULL;
        bool numbers = bw_number(a->text, a->length, &x, &ignored) &&
                       bw_number(b->text, b->length, &y, &ignored);
        if (numbers && fabs(x - y) <= 1e-9 * fmax(fabs(x), fabs(y))) return NULL;
        return bw_arena_format(arena, "%s: %s, now %s", path, a->text, b->text);
    }
    const struct bw_node *i = a->child, *k = b->child;
    for (size_t n = 0; i != NULL && k != NULL; i = i->next, k = k->next, n++) {
        const char *inner = i->key == NULL ? bw_arena_format(arena, "%s[%zu]", path, n)
                                           : bw_arena_format(arena, "%s%s%s", path,
                                                             path[0] == '\0' ? "" : ".", i->key);
        if (inner == NULL) return path;
        if (i->key != NULL && strcmp(i->key, k->key) != 0) return inner;
        const char *found = difference(arena, i, k, inner);
        if (found != NULL) return found;
    }
    return i == NULL && k == NULL ? NULL : path;
}

// Runs the study of `line` again. `what`: in words what came of it.
static bool recheck_line(struct bw_desk *desk, const struct bw_line *line, bool *same,
                         const char **what) {
    struct bw_arena *arena = desk->cli->arena;
    const struct bw_study *study = bw_study_find(bw_body_text(line->body, "study"));
    struct shelf shelf = {desk, bw_node_find(line->body, "files")};
    const struct bw_binding binding = {
        .arena = arena, .units = desk->units, .load = load_kept, .door = &shelf};
    const struct bw_node *input = bw_node_find(line->body, "input");
    struct bw_run run = {.arena = arena};
    struct bw_err why = {0};
    struct bw_buffer fresh = {0};
    struct bw_node *now;
    const void *in;
    void *answer;
    *same = false;
    *what = "this program has no such study";
    if (study == NULL || input == NULL) return true;
    if (!bw_study_bind(study, &binding, input, &in, &why) ||
        !bw_study_run(study, &run, in, &answer, &why)) {
        *what = bw_arena_format(arena, "no longer runs: %s", why.what);
        return *what != NULL && why.code != BW_MEMORY ? true : bw_fail_memory(desk->err);
    }
    struct bw_json json = bw_json_begin(&fresh);
    bw_study_emit(&json, study, answer);
    bool read =
        !fresh.failed && bw_json_read(arena, "answer", fresh.data, fresh.length, &now, desk->err);
    bw_buffer_free(&fresh);
    if (!read) return false;
    const char *differs = difference(arena, bw_node_find(line->body, "result"), now, "");
    *same = differs == NULL;
    *what = *same ? "the same" : bw_arena_format(arena, "differs at %s", differs);
    return *what != NULL || bw_fail_memory(desk->err);
}

static void emit_recheck(struct bw_json *json, const struct bw_line *line, bool same,
                         const char *what) {
    bw_json_open(json, '{');
    bw_desk_text(json, "entry", line->entry->id);
    bw_desk_text(json, "study", bw_body_text(line->body, "study"));
    bw_desk_text(json, "version", bw_body_text(line->body, "version"));
    bw_json_key(json, "same");
    bw_json_bool(json, same);
    bw_desk_text(json, "what", what);
    bw_json_close(json, '}');
}

static bool recheck_all(struct bw_desk *desk, const struct bw_job *job, struct bw_text *text,
                        struct bw_json *json) {
    static const char *const TITLES[] = {"entry", "study", "version", "run again", NULL};
    if (json == NULL) bw_text_table(text, "llll", TITLES);
    for (size_t i = 0; i < job->n; i++) {
        const struct bw_line *line = &job->lines[i];
        const char *what;
        bool same;
        if (line->kind != BW_ENTRY_STUDY || line->state != BW_LINE_COUNTS) continue;
        if (!recheck_line(desk, line, &same, &what)) return false;
        if (json != NULL) {
            emit_recheck(json, line, same, what);
            continue;
        }
        bw_text_cell(text, "%s", bw_short(line->entry->id));
        bw_text_cell(text, "%s", bw_body_text(line->body, "study"));
        bw_text_cell(text, "%s", bw_body_text(line->body, "version"));
        bw_text_cell(text, "%s", what);
    }
    if (json == NULL) bw_text_table_end(text);
    return true;
}

static bool recheck(struct bw_desk *desk) {
    struct bw_entries set;
    struct bw_job job;
    if (!bw_desk_job(desk, &set, &job)) return false;
    struct bw_text text = bw_cli_text(desk->cli, desk->units);
    struct bw_json json = bw_json_begin(&text.out);
    if (desk->json) {
        bw_json_open(&json, '{');
        bw_desk_text(&json, "shape", "job-recheck/1");
        bw_desk_text(&json, "version", BELTWRIGHT_VERSION);
        bw_json_key(&json, "studies");
        bw_json_open(&json, '[');
    }
    if (!recheck_all(desk, &job, &text, desk->json ? &json : NULL)) {
        bw_buffer_free(&text.out);
        return false;
    }
    if (desk->json) {
        bw_json_close(&json, ']');
        bw_json_close(&json, '}');
    } else if (text.out.length == 0) {
        bw_text_para(&text, "There are no studies in this job.");
    }
    return bw_write(desk->cli, "-", &text.out, desk->err);
}

static bool run_recheck(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return bw_desk_run(cli, given, recheck, NULL, err);
}

static const struct bw_option RECHECK_OPTIONS[] = {
    BW_OPTION_JOB, BW_OPTION_STORE, BW_OPTION_JSON, BW_OPTION_UNITS, BW_OPTION_HELP, BW_END_OPTIONS,
};

const struct bw_command bw_command_job_recheck = {
    .page = {.name = "job-recheck",
             .summary = "run a job's studies again and show what changed",
             .about = "Runs every study of a job again with this program and the files kept in the "
                      "job, and shows where the answer differs from the one on record. The record "
                      "stays as it is.",
             .example = "beltwright job recheck last",
             .options = RECHECK_OPTIONS},
    .run = run_recheck,
};
