// store.c - what is the same for every kind of store: choosing one, and what is made of its parts.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/store.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>

// ---- opening ------------------------------------------------------------------------------------

static bool is_server(const char *where) {
    return strncmp(where, "postgresql://", 13) == 0 || strncmp(where, "postgres://", 11) == 0;
}

// The XDG base directory specification; a relative XDG_DATA_HOME is to be ignored.
static bool usual_folder(struct bw_buffer *out, struct bw_err *err) {
    const char *own = getenv("BELTWRIGHT_HOME"), *data = getenv("XDG_DATA_HOME");
    const char *home = getenv("HOME");
    if (own != NULL && own[0] != '\0')
        bw_buffer_text(out, own);
    else if (data != NULL && data[0] == '/')
        bw_buffer_format(out, "%s/beltwright", data);
    else if (home != NULL && home[0] == '/')
        bw_buffer_format(out, "%s/.local/share/beltwright", home);
    if (out->failed) return bw_fail_memory(err);
    if (out->length > 0) return true;
    bw_err_mend(err, "set BELTWRIGHT_HOME to a folder, or give --store");
    return bw_fail(err, BW_USAGE, "there is no home folder to keep jobs in");
}

bool bw_store_open(const char *where, struct bw_store **out, struct bw_err *err) {
    struct bw_buffer folder = {0};
    if (where != NULL)
        bw_buffer_text(&folder, where);
    else if (!usual_folder(&folder, err))
        return false;
    bool done = false;
    if (folder.failed)
        (void)bw_fail_memory(err);
    else if (is_server(folder.data))
        done = bw_store_module_open(folder.data, out, err);
    else
        done = bw_store_sqlite_open(folder.data, out, err);
    bw_buffer_free(&folder);
    return done;
}

void bw_store_close(struct bw_store *store) {
    if (store != NULL) store->ops->close(store);
}

// ---- the interface ------------------------------------------------------------------------------

bool bw_store_put(struct bw_store *store, const struct bw_entries *set, size_t *changed,
                  struct bw_err *err) {
    return store->ops->put(store, set, changed, err);
}

bool bw_store_get(struct bw_store *store, const char *job, struct bw_arena *arena,
                  struct bw_entries *out, struct bw_err *err) {
    return store->ops->get(store, job, arena, out, err);
}

bool bw_store_last_tick(struct bw_store *store, const char *job, long *out, struct bw_err *err) {
    return store->ops->last_tick(store, job, out, err);
}

bool bw_store_list(struct bw_store *store, const struct bw_job_query *query, struct bw_arena *arena,
                   struct bw_job_rows *out, struct bw_err *err) {
    return store->ops->list(store, query, arena, out, err);
}

bool bw_store_ids(struct bw_store *store, struct bw_arena *arena, struct bw_ids *out,
                  struct bw_err *err) {
    return store->ops->ids(store, arena, out, err);
}

bool bw_store_attach(struct bw_store *store, const struct bw_supply *source,
                     char sha256[BW_SHA256_TEXT], uint64_t *size, struct bw_err *err) {
    return store->ops->attach(store, source, sha256, size, err);
}

bool bw_store_attached(struct bw_store *store, const char *sha256, uint64_t *size,
                       struct bw_err *err) {
    return store->ops->attached(store, sha256, size, err);
}

bool bw_store_piece(struct bw_store *store, const char *sha256, uint64_t number,
                    struct bw_buffer *out, struct bw_err *err) {
    return store->ops->piece(store, sha256, number, out, err);
}

bool bw_store_rebuild(struct bw_store *store, struct bw_err *err) {
    return store->ops->rebuild(store, err);
}

bool bw_store_setting(struct bw_store *store, const char *name, struct bw_buffer *out,
                      struct bw_err *err) {
    return store->ops->setting(store, name, out, err);
}

bool bw_store_set(struct bw_store *store, const char *name, const char *value, struct bw_err *err) {
    return store->ops->set(store, name, value, err);
}

bool bw_store_watch(struct bw_store *store, int milliseconds, char job[BW_ID_TEXT],
                    struct bw_err *err) {
    return store->ops->watch(store, milliseconds, job, err);
}

// ---- made of these ------------------------------------------------------------------------------

bool bw_store_attachment(struct bw_store *store, const char *sha256, size_t most,
                         struct bw_buffer *out, struct bw_err *err) {
    uint64_t size;
    if (!bw_store_attached(store, sha256, &size, err)) return false;
    if (size > most) return bw_fail(err, BW_LIMIT, "the attachment is larger than %zu bytes", most);
    uint64_t pieces = (size + BW_PIECE_BYTES - 1) / BW_PIECE_BYTES;
    for (uint64_t i = 0; i < pieces; i++)
        if (!bw_store_piece(store, sha256, i, out, err)) return false;
    return true;
}

static bool new_device(char name[BW_MAX_DEVICE + 1], struct bw_err *err) {
    static const char LETTERS[] = "0123456789abcdefghjkmnpqrstvwxyz";
    unsigned char random[8];
    if (getrandom(random, sizeof random, 0) != (ssize_t)sizeof random)
        return bw_fail(err, BW_IO, "no random number for this device: %s", strerror(errno));
    for (size_t i = 0; i < sizeof random; i++) name[i] = LETTERS[random[i] % 32];
    name[sizeof random] = '\0';
    return true;
}

bool bw_store_device(struct bw_store *store, char device[BW_MAX_DEVICE + 1], struct bw_err *err) {
    struct bw_buffer kept = {0};
    bool done = bw_store_setting(store, "device", &kept, err);
    if (done && kept.length > 0 && kept.length <= BW_MAX_DEVICE)
        memcpy(device, kept.data, kept.length + 1);
    else if (done)
        done = new_device(device, err) && bw_store_set(store, "device", device, err);
    bw_buffer_free(&kept);
    return done;
}

bool bw_store_write(struct bw_store *store, struct bw_arena *arena, const struct bw_draft *draft,
                    struct bw_entry *out, struct bw_err *err) {
    char device[BW_MAX_DEVICE + 1];
    struct bw_draft full = *draft;
    struct bw_entry entry;
    long last = 0;
    if (!bw_store_device(store, device, err)) return false;
    if (draft->job != NULL && !bw_store_last_tick(store, draft->job, &last, err)) return false;
    if (last >= BW_MAX_TICK) {
        bw_err_mend(err, "open a new job for the same machine");
        return bw_fail(err, BW_LIMIT, "the job has %d entries and is full", BW_MAX_ENTRIES);
    }
    full.device = device;
    full.tick = last + 1;
    if (!bw_entry_make(arena, &full, &entry, err)) return false;
    const struct bw_entries one = {.items = &entry, .n = 1};
    if (!bw_store_put(store, &one, NULL, err)) return false;
    *out = entry;
    return true;
}

// ---- what is derived ----------------------------------------------------------------------------

bool bw_store_row(struct bw_arena *arena, const struct bw_entries *set, struct bw_job_row *out,
                  struct bw_err *err) {
    struct bw_job job;
    if (!bw_job_replay(arena, set, &job, err)) return false;
    *out = (struct bw_job_row){.title = job.title,
                               .kind = job.kind,
                               .site = job.site,
                               .machine = job.machine,
                               .closed = job.closed,
                               .opened_ms = job.opened_ms,
                               .opened_offset_min = job.opened_offset_min,
                               .changed_ms = job.changed_ms,
                               .entries = (long)job.entries,
                               .last_tick = job.last_tick};
    memcpy(out->job, job.id, BW_ID_TEXT);
    return true;
}

bool bw_store_words(struct bw_arena *arena, const struct bw_entry *entry, struct bw_buffer *out,
                    struct bw_err *err) {
    const struct bw_node *body;
    if (bw_entry_erased(entry)) return true;
    if (!bw_entry_body(arena, entry, &body, err)) return false;
    bw_entry_words(entry->kind, body, out);
    return !out->failed || bw_fail_memory(err);
}

bool bw_store_row_depends(const struct bw_entry *entry) {
    switch (bw_entry_kind_of(entry->kind, entry->shape)) {
    case BW_ENTRY_OPENED:
    case BW_ENTRY_CLOSED:
    case BW_ENTRY_REOPENED:
    case BW_ENTRY_CORRECTION:
    case BW_ENTRY_WITHDRAWN: return true;
    default: return false;
    }
}
