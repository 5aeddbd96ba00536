// sync.c - see sync.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sync.h"

#include "base/alloc.h"

#include <stdlib.h>
#include <string.h>

// ---- store to store -----------------------------------------------------------------------------

struct pull {
    struct bw_store *from, *to;
    struct bw_sync sum;
    struct bw_err *err;
};

struct copying {
    struct bw_store *from;
    const char *sha256;
    uint64_t next, pieces;
};

static bool next_piece(void *with, void *to, size_t *length, struct bw_err *err) {
    struct copying *copying = with;
    struct bw_buffer bytes = {0};
    size_t n = 0;
    bool done = true;
    if (copying->next < copying->pieces) {
        done = bw_store_piece(copying->from, copying->sha256, copying->next++, &bytes, err);
        n = bytes.length;
        if (done && n > *length)
            done = bw_fail(err, BW_FAILED, "a piece of an attachment is too large");
    }
    if (done && n > 0) memcpy(to, bytes.data, n);
    if (done) *length = n;
    bw_buffer_free(&bytes);
    return done;
}

static bool has_file(struct bw_store *store, const char *sha256, uint64_t *size, bool *out,
                     struct bw_err *err) {
    struct bw_err why = {0};
    *out = bw_store_attached(store, sha256, size, &why);
    if (*out || why.code == BW_NOT_FOUND) return true;
    *err = why;
    return false;
}

// A file neither has is waited for; it may come with a later merge.
static bool pull_file(struct pull *p, const char *sha256) {
    uint64_t size;
    bool here, there;
    char found[BW_SHA256_TEXT];
    if (!has_file(p->to, sha256, &size, &here, p->err)) return false;
    if (here) return true;
    if (!has_file(p->from, sha256, &size, &there, p->err)) return false;
    if (!there) return true;
    struct copying copying = {
        .from = p->from, .sha256 = sha256, .pieces = (size + BW_PIECE_BYTES - 1) / BW_PIECE_BYTES};
    const struct bw_supply source = {.with = &copying, .next = next_piece};
    if (!bw_store_attach(p->to, &source, found, &size, p->err)) return false;
    p->sum.files++;
    if (strcmp(found, sha256) == 0) return true;
    bw_err_value(p->err, sha256);
    return bw_fail(p->err, BW_INPUT, "an attachment of the other store is damaged");
}

// An id vouches for its line; a store elsewhere may be damaged.
static bool check_ids(const struct bw_entries *set, struct bw_err *err) {
    for (size_t i = 0; i < set->n; i++) {
        const struct bw_entry *entry = &set->items[i];
        char id[BW_ID_TEXT];
        if (bw_entry_erased(entry)) continue;
        bw_entry_id(entry->line, entry->length, entry->time_ms, id);
        if (strcmp(id, entry->id) == 0) continue;
        bw_err_value(err, entry->id);
        bw_err_mend(err, "that store is damaged; nothing of this job was taken");
        return bw_fail(err, BW_INPUT, "an entry's bytes do not have its id");
    }
    return true;
}

static bool pull_job(struct pull *p, const char *job) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_entries set;
    size_t changed = 0;
    if (arena == NULL) return bw_fail_memory(p->err);
    bool done = bw_store_get(p->from, job, arena, &set, p->err) && check_ids(&set, p->err) &&
                bw_entries_check_job(&set, p->err);
    for (size_t i = 0; done && i < set.n; i++)
        for (size_t k = 0; done && k < set.items[i].n_files; k++)
            done = pull_file(p, set.items[i].files[k]);
    done = done && bw_store_put(p->to, &set, &changed, p->err);
    p->sum.entries += changed;
    p->sum.jobs += changed > 0;
    bw_arena_free(arena);
    return done;
}

static int by_text(const void *a, const void *b) {
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

// The jobs of which `from` has an id, or an erasure, that `to` has not; each once.
static bool lacking(struct bw_arena *arena, const struct bw_ids *from, const struct bw_ids *to,
                    const char ***jobs, size_t *n, struct bw_err *err) {
    const char **list = bw_arena_array(arena, from->n + 1, sizeof *list);
    if (list == NULL) return bw_fail_memory(err);
    size_t found = 0, kept = 0;
    for (size_t i = 0, k = 0; i < from->n; i++) {
        while (k < to->n && strcmp(to->items[k].id, from->items[i].id) < 0) k++;
        bool here = k < to->n && strcmp(to->items[k].id, from->items[i].id) == 0;
        if (!here || (from->items[i].erased && !to->items[k].erased))
            list[found++] = from->items[i].job;
    }
    if (found > 0) qsort(list, found, sizeof *list, by_text);
    for (size_t i = 0; i < found; i++)
        if (kept == 0 || strcmp(list[kept - 1], list[i]) != 0) list[kept++] = list[i];
    *jobs = list;
    *n = kept;
    return true;
}

bool bw_sync_pull(struct bw_store *from, struct bw_store *to, struct bw_sync *out,
                  struct bw_err *err) {
    struct pull p = {.from = from, .to = to, .err = err};
    struct bw_ids theirs, ours;
    const char **jobs;
    size_t n;
    struct bw_arena *arena = bw_arena_new(0);
    if (arena == NULL) return bw_fail_memory(err);
    bool done = bw_store_ids(from, arena, &theirs, err) && bw_store_ids(to, arena, &ours, err) &&
                lacking(arena, &theirs, &ours, &jobs, &n, err);
    for (size_t i = 0; done && i < n; i++) done = pull_job(&p, jobs[i]);
    bw_arena_free(arena);
    if (done) *out = p.sum;
    return done;
}

// ---- into an archive ----------------------------------------------------------------------------

static bool export_file(struct bw_store *from, const char *sha256, struct bw_archive_writer *writer,
                        struct bw_err *err) {
    uint64_t size;
    bool here;
    if (!has_file(from, sha256, &size, &here, err)) return false;
    if (!here) return true;
    bw_archive_file(writer, sha256, size);
    for (uint64_t i = 0; i < (size + BW_PIECE_BYTES - 1) / BW_PIECE_BYTES; i++) {
        struct bw_buffer piece = {0};
        bool done = bw_store_piece(from, sha256, i, &piece, err);
        if (done) bw_archive_piece(writer, piece.data, piece.length);
        bw_buffer_free(&piece);
        if (!done) return false;
    }
    bw_archive_file_end(writer, size);
    return true;
}

// The files of one job, each once; those two jobs share come twice, which the reader takes.
static bool export_files(struct bw_store *from, struct bw_arena *arena,
                         const struct bw_entries *set, struct bw_archive_writer *writer,
                         struct bw_err *err) {
    size_t n = 0;
    for (size_t i = 0; i < set->n; i++) n += set->items[i].n_files;
    const char **files = bw_arena_array(arena, n + 1, sizeof *files);
    if (files == NULL) return bw_fail_memory(err);
    n = 0;
    for (size_t i = 0; i < set->n; i++)
        for (size_t k = 0; k < set->items[i].n_files; k++) files[n++] = set->items[i].files[k];
    if (n > 0) qsort(files, n, sizeof *files, by_text);
    for (size_t i = 0; i < n; i++) {
        if (i > 0 && strcmp(files[i - 1], files[i]) == 0) continue;
        if (!export_file(from, files[i], writer, err)) return false;
    }
    return true;
}

// Attachments come before the entries that name them.
static bool export_job(struct bw_store *from, const char *job, struct bw_archive_writer *writer,
                       struct bw_err *err) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_entries set;
    if (arena == NULL) return bw_fail_memory(err);
    bool done =
        bw_store_get(from, job, arena, &set, err) && export_files(from, arena, &set, writer, err);
    if (done) bw_archive_job(writer, &set);
    bw_arena_free(arena);
    return done;
}

bool bw_sync_export(struct bw_store *from, const char *const *jobs, size_t n, FILE *to,
                    struct bw_err *err) {
    struct bw_archive_writer writer = bw_archive_begin(to);
    for (size_t i = 0; i < n; i++)
        if (!export_job(from, jobs[i], &writer, err)) return false;
    return bw_archive_end(&writer, err);
}

// ---- out of an archive --------------------------------------------------------------------------

static bool look_piece(void *with, const struct bw_archive_part *part, struct bw_err *err) {
    (void)with, (void)part, (void)err;
    return true;
}

static bool look_end(void *with, const char *sha256, uint64_t size, struct bw_err *err) {
    (void)with, (void)sha256, (void)size, (void)err;
    return true;
}

static bool look_job(void *with, struct bw_arena *arena, const struct bw_entries *set,
                     struct bw_err *err) {
    (void)with, (void)arena, (void)set, (void)err;
    return true;
}

struct import {
    struct bw_store *to;
    struct bw_sync sum;
    FILE *spool;  // one attachment at a time
};

static bool take_piece(void *with, const struct bw_archive_part *part, struct bw_err *err) {
    struct import *import = with;
    if (part->at == 0) rewind(import->spool);
    return fwrite(part->bytes, 1, part->length, import->spool) == part->length ||
           bw_fail(err, BW_IO, "no room for an attachment in the folder for temporary files");
}

struct spooled {
    FILE *file;
    uint64_t left;
};

static bool next_spooled(void *with, void *to, size_t *length, struct bw_err *err) {
    struct spooled *spooled = with;
    size_t n = spooled->left < *length ? (size_t)spooled->left : *length;
    if (n > 0 && fread(to, 1, n, spooled->file) != n)
        return bw_fail(err, BW_IO, "a temporary file cannot be read");
    spooled->left -= n;
    *length = n;
    return true;
}

static bool take_file(void *with, const char *sha256, uint64_t size, struct bw_err *err) {
    struct import *import = with;
    char found[BW_SHA256_TEXT];
    uint64_t there;
    bool here;
    if (!has_file(import->to, sha256, &there, &here, err)) return false;
    if (here) return true;
    rewind(import->spool);
    struct spooled spooled = {.file = import->spool, .left = size};
    const struct bw_supply source = {.with = &spooled, .next = next_spooled};
    import->sum.files++;
    return bw_store_attach(import->to, &source, found, &there, err);
}

static bool take_job(void *with, struct bw_arena *arena, const struct bw_entries *set,
                     struct bw_err *err) {
    (void)arena;
    struct import *import = with;
    size_t changed = 0;
    if (!bw_store_put(import->to, set, &changed, err)) return false;
    import->sum.entries += changed;
    import->sum.jobs += changed > 0;
    return true;
}

bool bw_sync_import(FILE *file, const char *name, struct bw_store *to, struct bw_sync *out,
                    struct bw_err *err) {
    const struct bw_archive_sink look = {
        .piece = look_piece, .file_end = look_end, .job = look_job};
    struct import import = {.to = to};
    const struct bw_archive_sink take = {
        .with = &import, .piece = take_piece, .file_end = take_file, .job = take_job};
    if (!bw_archive_read(file, name, &look, err)) return false;
    if (fseek(file, 0, SEEK_SET) != 0) {
        bw_err_file(err, name);
        bw_err_mend(err, "save it as a file first");
        return bw_fail(err, BW_INPUT, "an archive is read twice, which a pipe does not allow");
    }
    import.spool = tmpfile();
    if (import.spool == NULL) return bw_fail(err, BW_IO, "no temporary file can be made");
    bool done = bw_archive_read(file, name, &take, err);
    (void)fclose(import.spool);
    if (done) *out = import.sum;
    return done;
}
