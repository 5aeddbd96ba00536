// job_move.c - `beltwright job export|import|merge`: jobs between devices.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/job.h"

#include "store/sync.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

// ---- export -------------------------------------------------------------------------------------

// All jobs, or those named.
static bool chosen(struct bw_desk *desk, const char ***jobs, size_t *n) {
    struct bw_arena *arena = desk->cli->arena;
    struct bw_job_rows rows = {0};
    bool all = !bw_given(desk->given, "job");
    const struct bw_job_query query = {.most = 0};
    if (all && !bw_store_list(desk->store, &query, arena, &rows, desk->err)) return false;
    size_t most = rows.n + desk->given->n;
    const char **list = bw_arena_array(arena, most + 1, sizeof *list);
    *n = 0;
    for (size_t i = 0; list != NULL && i < rows.n; i++) list[(*n)++] = rows.items[i].job;
    for (size_t i = 0; list != NULL && i < desk->given->n; i++) {
        if (strcmp(desk->given->items[i].option->name, "job") != 0) continue;
        char *job = bw_arena_get(arena, BW_ID_TEXT);
        if (job == NULL) return bw_fail_memory(desk->err);
        if (!bw_desk_find(desk, desk->given->items[i].value, job)) return false;
        list[(*n)++] = job;
    }
    *jobs = list;
    return list != NULL || bw_fail_memory(desk->err);
}

static bool cannot_write(struct bw_desk *desk, const char *path) {
    bw_err_file(desk->err, path);
    bw_err_mend(desk->err,
                "nothing was written; name a file in a folder with room and the right to write");
    return bw_fail(desk->err, BW_IO, "the archive cannot be written: %s", strerror(errno));
}

// Under another name until it is whole.
static bool write_archive(struct bw_desk *desk, const char *path, const char *const *jobs,
                          size_t n) {
    const char *part = bw_arena_format(desk->cli->arena, "%s.part", path);
    if (part == NULL) return bw_fail_memory(desk->err);
    FILE *file = fopen(part, "wb");
    if (file == NULL) return cannot_write(desk, path);
    bool done = bw_sync_export(desk->store, jobs, n, file, desk->err);
    if (done && fsync(fileno(file)) != 0) done = cannot_write(desk, path);
    if (fclose(file) != 0 && done) done = cannot_write(desk, path);
    if (done && rename(part, path) != 0) done = cannot_write(desk, path);
    if (!done) (void)unlink(part);
    return done;
}

static bool export(struct bw_desk *desk) {
    const char *path = bw_given_value(desk->given, "output");
    const char **jobs;
    size_t n;
    if (!chosen(desk, &jobs, &n)) return false;
    if (n == 0) return bw_fail(desk->err, BW_NOT_FOUND, "there are no jobs to export");
    if (!write_archive(desk, path, jobs, n)) return false;
    struct bw_text text = bw_cli_text(desk->cli, desk->units);
    struct bw_json json = bw_json_begin(&text.out);
    if (desk->json) {
        bw_json_open(&json, '{');
        bw_desk_text(&json, "shape", "job-export/1");
        bw_desk_text(&json, "file", path);
        bw_json_key(&json, "jobs");
        bw_json_count(&json, (long)n);
        bw_json_close(&json, '}');
    } else {
        bw_text_para(&text, "%zu job%s in %s, with people's data as they are.", n,
                     n == 1 ? "" : "s", path);
    }
    return bw_write(desk->cli, "-", &text.out, desk->err);
}

static bool run_export(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return bw_desk_run(cli, given, export, NULL, err);
}

static const struct bw_option EXPORT_OPTIONS[] = {
    {.name = "output",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .positional = true,
     .required = true,
     .help = "the archive to write, such as jobs.tar"},
    {.name = "job",
     .value = "JOB",
     .takes = BW_TAKES_WORD,
     .positional = true,
     .repeats = true,
     .help = "a job, by its name or the last letters of it; without any, all"},
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_export = {
    .page = {.name = "job-export",
             .summary = "write jobs into one archive",
             .about = "Writes jobs with all that was attached into one archive, a plain tar of "
                      "JSON lines and files that any unpacker opens.",
             .example = "beltwright job export jobs.tar",
             .options = EXPORT_OPTIONS},
    .run = run_export,
};

// ---- import, merge ------------------------------------------------------------------------------

static bool tell_sync(struct bw_desk *desk, const char *done, const struct bw_sync *here,
                      const struct bw_sync *there) {
    struct bw_text text = bw_cli_text(desk->cli, desk->units);
    struct bw_json json = bw_json_begin(&text.out);
    if (desk->json) {
        bw_json_open(&json, '{');
        bw_desk_text(&json, "shape", "job-sync/1");
        for (int i = 0; i < (there == NULL ? 1 : 2); i++) {
            const struct bw_sync *sum = i == 0 ? here : there;
            bw_json_key(&json, i == 0 ? "here" : "there");
            bw_json_open(&json, '{');
            bw_json_key(&json, "jobs");
            bw_json_count(&json, (long)sum->jobs);
            bw_json_key(&json, "entries");
            bw_json_count(&json, (long)sum->entries);
            bw_json_key(&json, "files");
            bw_json_count(&json, (long)sum->files);
            bw_json_close(&json, '}');
        }
        bw_json_close(&json, '}');
    } else {
        bw_text_para(&text, "%s: %zu new here (%zu jobs, %zu files).", done, here->entries,
                     here->jobs, here->files);
        if (there != NULL)
            bw_text_para(&text, "New there: %zu (%zu jobs, %zu files).", there->entries,
                         there->jobs, there->files);
    }
    return bw_write(desk->cli, "-", &text.out, desk->err);
}

static bool import(struct bw_desk *desk) {
    const char *path = bw_given_value(desk->given, "file");
    struct bw_sync sum;
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        bw_err_file(desk->err, path);
        bw_err_mend(desk->err, "give the name of an archive made with job export");
        return bw_fail(desk->err, errno == ENOENT ? BW_NOT_FOUND : BW_IO, "it cannot be opened: %s",
                       strerror(errno));
    }
    bool done = bw_sync_import(file, path, desk->store, &sum, desk->err);
    (void)fclose(file);
    return done && tell_sync(desk, "Entries taken in", &sum, NULL);
}

static bool run_import(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return bw_desk_run(cli, given, import, NULL, err);
}

static const struct bw_option IMPORT_OPTIONS[] = {
    {.name = "file",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .positional = true,
     .required = true,
     .help = "an archive made with job export"},
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_import = {
    .page = {.name = "job-import",
             .summary = "take in the jobs of an archive",
             .about = "Takes in the jobs of an archive: the union with what is here. The whole "
                      "archive is read and checked first; one that is damaged changes nothing.",
             .example = "beltwright job import jobs.tar",
             .options = IMPORT_OPTIONS},
    .run = run_import,
};

static bool merge(struct bw_desk *desk) {
    const char *where = bw_given_value(desk->given, "other");
    struct bw_store *other;
    struct bw_sync here = {0}, there = {0};
    bool back = !bw_given(desk->given, "pull");
    if (!bw_store_open(where, &other, desk->err)) return false;
    bool done = bw_sync_pull(other, desk->store, &here, desk->err) &&
                (!back || bw_sync_pull(desk->store, other, &there, desk->err));
    bw_store_close(other);
    return done && tell_sync(desk, "Merged", &here, back ? &there : NULL);
}

static bool run_merge(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    return bw_desk_run(cli, given, merge, NULL, err);
}

static const struct bw_option MERGE_OPTIONS[] = {
    {.name = "other",
     .value = "OTHER",
     .takes = BW_TAKES_FOLDER,
     .positional = true,
     .required = true,
     .help = "the other store: a folder, or a server as postgresql://..."},
    {.name = "pull", .help = "change only this store, not the other"},
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job_merge = {
    .page = {.name = "job-merge",
             .summary = "bring two stores to the same jobs",
             .about = "Brings two stores together: both hold the union of their entries "
                      "afterwards, and what one has erased the other erases too.",
             .example = "beltwright job merge /media/stick/beltwright",
             .options = MERGE_OPTIONS},
    .run = run_merge,
};
