// sqlite_file.c - attachments, in pieces inside the database.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "store/sqlite.h"

#include <string.h>

// The pieces of a new attachment, which has a number and as yet no name.
static bool put_pieces(struct sqlite_store *store, const struct bw_supply *source, int64_t number,
                       char sha256[BW_SHA256_TEXT], uint64_t *size, struct bw_err *err) {
    struct bw_sha256 hash = bw_sha256_begin();
    bool done = false;
    uint64_t total = 0;
    char *bytes = bw_alloc(BW_PIECE_BYTES);
    if (bytes == NULL) return bw_fail_memory(err);
    for (int64_t piece = 0;; piece++) {
        size_t length = BW_PIECE_BYTES;
        if (!source->next(source->with, bytes, &length, err)) break;
        if (length == 0) {
            done = true;
            break;
        }
        total += length;
        if (total > BW_MAX_ATTACHMENT_BYTES) {
            bw_fail(err, BW_LIMIT, "an attachment may have 1 GiB at most");
            break;
        }
        bw_sha256_add(&hash, bytes, length);
        if (!bw_sqlite_run(store, err, "INSERT INTO piece VALUES (?, ?, ?)", "iib", number, piece,
                           (const void *)bytes, length))
            break;
    }
    bw_free(bytes);
    bw_sha256_end_text(&hash, sha256);
    *size = total;
    return done;
}

// 1: there, 0: not, -1: failed.
static int look_up(struct sqlite_store *store, const char *sha256, uint64_t *size, int64_t *number,
                   struct bw_err *err) {
    sqlite3_stmt *statement = bw_sqlite_query(
        store, err, "SELECT number, size FROM attachment WHERE sha256 = ?", "t", sha256);
    if (statement == NULL) return -1;
    int row = bw_sqlite_step(store, statement, err);
    if (row > 0) {
        *number = sqlite3_column_int64(statement, 0);
        *size = (uint64_t)sqlite3_column_int64(statement, 1);
    }
    (void)sqlite3_finalize(statement);
    return row;
}

static bool put_attachment(struct sqlite_store *store, const struct bw_supply *source,
                           char sha256[BW_SHA256_TEXT], uint64_t *size, struct bw_err *err) {
    int64_t there;
    if (!bw_sqlite_run(store, err, "INSERT INTO attachment (size) VALUES (0)", "")) return false;
    int64_t number = sqlite3_last_insert_rowid(store->db);
    if (!put_pieces(store, source, number, sha256, size, err)) return false;
    int known = look_up(store, sha256, size, &there, err);
    if (known < 0) return false;
    if (known > 0)
        return bw_sqlite_run(store, err, "DELETE FROM piece WHERE attachment = ?", "i", number) &&
               bw_sqlite_run(store, err, "DELETE FROM attachment WHERE number = ?", "i", number);
    return bw_sqlite_run(store, err, "UPDATE attachment SET sha256 = ?, size = ? WHERE number = ?",
                         "tii", sha256, (int64_t)*size, number);
}

bool bw_sqlite_attach(struct bw_store *base, const struct bw_supply *source,
                      char sha256[BW_SHA256_TEXT], uint64_t *size, struct bw_err *err) {
    struct sqlite_store *store = (struct sqlite_store *)base;
    if (!bw_sqlite_begin(store, err)) return false;
    return bw_sqlite_end(store, put_attachment(store, source, sha256, size, err), err);
}

static bool not_here(const char *sha256, struct bw_err *err) {
    bw_err_value(err, sha256);
    bw_err_mend(err, "merge from the device it was added on");
    return bw_fail(err, BW_NOT_FOUND, "this attachment is not here");
}

bool bw_sqlite_attached(struct bw_store *base, const char *sha256, uint64_t *size,
                        struct bw_err *err) {
    int64_t number;
    int row = look_up((struct sqlite_store *)base, sha256, size, &number, err);
    return row > 0 || (row == 0 && not_here(sha256, err));
}

bool bw_sqlite_piece(struct bw_store *base, const char *sha256, uint64_t number,
                     struct bw_buffer *out, struct bw_err *err) {
    struct sqlite_store *store = (struct sqlite_store *)base;
    sqlite3_stmt *statement = bw_sqlite_query(
        store, err,
        "SELECT bytes FROM piece JOIN attachment ON attachment.number = piece.attachment "
        "WHERE sha256 = ? AND piece.number = ?",
        "ti", sha256, (int64_t)number);
    if (statement == NULL) return false;
    int row = bw_sqlite_step(store, statement, err);
    if (row > 0)
        bw_buffer_add(out, sqlite3_column_blob(statement, 0),
                      (size_t)sqlite3_column_bytes(statement, 0));
    (void)sqlite3_finalize(statement);
    if (row == 0) return not_here(sha256, err);
    if (row > 0 && out->failed) return bw_fail_memory(err);
    return row > 0;
}
