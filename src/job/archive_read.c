// archive_read.c - the reading half of archive.h, for archives from anywhere.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "base/json.h"
#include "base/number.h"
#include "job/archive.h"
#include "job/replay.h"

#include <string.h>

#define BLOCK 512

struct reading {
    FILE *from;
    const struct bw_archive_sink *sink;
    struct bw_err *err;
    unsigned char *piece;  // BW_PIECE_BYTES
    uint64_t total;
    long members;
    bool opened;  // beltwright.json was read
};

struct member {
    char name[101];
    uint64_t size;
};

static bool broken(struct reading *r, enum bw_code code, const char *what, const char *value) {
    if (value != NULL) bw_err_value(r->err, value);
    bw_err_mend(r->err, "nothing was taken; fetch the archive again from where it was made");
    return bw_fail(r->err, code, "%s", what);
}

static bool get(struct reading *r, void *to, size_t length) {
    if (fread(to, 1, length, r->from) == length) return true;
    if (ferror(r->from)) return bw_fail(r->err, BW_IO, "the archive cannot be read");
    return broken(r, BW_SYNTAX, "the archive is cut short", NULL);
}

static bool octal(const unsigned char *at, size_t digits, uint64_t *out) {
    uint64_t value = 0;
    for (size_t i = 0; i < digits; i++) {
        if (at[i] < '0' || at[i] > '7') return false;
        value = value << 3 | (uint64_t)(at[i] - '0');
    }
    *out = value;
    return at[digits] == '\0' || at[digits] == ' ';
}

static bool sum_is_right(const unsigned char block[BLOCK]) {
    uint64_t written;
    unsigned sum = 0;
    for (size_t i = 0; i < BLOCK; i++) sum += i >= 148 && i < 156 ? ' ' : block[i];
    return octal(block + 148, 6, &written) && written == sum;
}

// Plain files with a short name only: no links, no long names, no prefix.
static bool header(struct reading *r, const unsigned char block[BLOCK], struct member *out) {
    if (memcmp(block + 257, "ustar\00000", 8) != 0 || !sum_is_right(block))
        return broken(r, BW_SYNTAX, "this is not an archive of jobs, or it is damaged", NULL);
    memcpy(out->name, block, 100);
    out->name[100] = '\0';
    if (block[156] != '0' || block[345] != '\0')
        return broken(r, BW_INPUT, "the archive holds something that is no plain file", out->name);
    if (!octal(block + 124, 11, &out->size))
        return broken(r, BW_SYNTAX, "a size in the archive cannot be read", out->name);
    r->total += out->size;
    if (out->size > BW_MAX_ARCHIVE_BYTES || r->total > BW_MAX_ARCHIVE_BYTES ||
        ++r->members > BW_MAX_ARCHIVE_MEMBERS)
        return broken(r, BW_LIMIT, "the archive is larger than this program takes", out->name);
    return true;
}

static bool skip_padding(struct reading *r, uint64_t size) {
    unsigned char rest[BLOCK];
    return get(r, rest, (size_t)((BLOCK - size % BLOCK) % BLOCK));
}

static bool read_file(struct reading *r, const struct member *member, const char *sha256) {
    struct bw_sha256 hash = bw_sha256_begin();
    char found[BW_SHA256_TEXT];
    if (member->size > BW_MAX_ATTACHMENT_BYTES)
        return broken(r, BW_LIMIT, "an attachment is too large", sha256);
    for (uint64_t at = 0; at < member->size;) {
        uint64_t left = member->size - at;
        size_t n = left < BW_PIECE_BYTES ? (size_t)left : BW_PIECE_BYTES;
        if (!get(r, r->piece, n)) return false;
        bw_sha256_add(&hash, r->piece, n);
        const struct bw_archive_part part = {sha256, member->size, at, r->piece, n};
        if (!r->sink->piece(r->sink->with, &part, r->err)) return false;
        at += n;
    }
    bw_sha256_end_text(&hash, found);
    if (strcmp(found, sha256) != 0)
        return broken(r, BW_INPUT, "an attachment does not have the SHA-256 it is named by",
                      sha256);
    return skip_padding(r, member->size) &&
           r->sink->file_end(r->sink->with, sha256, member->size, r->err);
}

// {"erased": ID, "job": ID, "tick": N}
static bool read_erased(const struct bw_node *root, struct bw_entry *out, struct bw_err *err) {
    const char *id = bw_body_text(root, "erased"), *job = bw_body_text(root, "job");
    const char *tick = bw_body_text(root, "tick");
    struct bw_entry entry = {.tick = 0};
    if (!bw_ulid_is(id) || !bw_ulid_is(job)) {
        bw_err_mend(err, "it has the keys erased, job and tick");
        return bw_fail(err, BW_INPUT, "what is left of an erased entry cannot be read");
    }
    if (!bw_count(tick, strlen(tick), 1, BW_MAX_TICK, &entry.tick, err)) return false;
    memcpy(entry.id, id, BW_ID_TEXT);
    memcpy(entry.job, job, BW_ID_TEXT);
    entry.time_ms = bw_ulid_time(id);
    *out = entry;
    return true;
}

bool bw_archive_line(struct bw_arena *arena, const char *line, size_t length, struct bw_entry *out,
                     struct bw_err *err) {
    struct bw_node *root;
    static const char ERASED[] = "{\"erased\":";
    if (length < sizeof ERASED || memcmp(line, ERASED, sizeof ERASED - 1) != 0)
        return bw_entry_read(arena, line, length, out, err);
    if (length > 1000) return bw_fail(err, BW_LIMIT, "what is left of an erased entry is too long");
    return bw_json_read(arena, "entry", line, length, &root, err) && read_erased(root, out, err);
}

static size_t count_lines(const char *text, size_t length) {
    size_t n = 0;
    for (size_t i = 0; i < length; i++) n += text[i] == '\n';
    return n;
}

struct lines {
    const char *job, *text;
    size_t length;
};

static bool read_lines(struct reading *r, struct bw_arena *arena, const struct lines *lines,
                       struct bw_entries *out) {
    size_t n = count_lines(lines->text, lines->length);
    if (n > BW_MAX_ENTRIES) return broken(r, BW_LIMIT, "a job has too many entries", lines->job);
    struct bw_entry *items = bw_arena_array(arena, n + 1, sizeof *items);
    if (items == NULL) return bw_fail_memory(r->err);
    const char *at = lines->text, *end = lines->text + lines->length;
    for (size_t i = 0; i < n; i++) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        if (!bw_archive_line(arena, at, (size_t)(stop - at), &items[i], r->err)) {
            bw_err_within_index(r->err, lines->job, i);
            return false;
        }
        at = stop + 1;
    }
    if (at != end) return broken(r, BW_SYNTAX, "the last entry of a job has no end", lines->job);
    return bw_entries_make(arena, items, n, out, r->err) && bw_entries_check_job(out, r->err);
}

static bool read_job(struct reading *r, const struct member *member, const char *job) {
    bool done = false;
    struct bw_entries set;
    if (member->size > BW_MAX_BUFFER_BYTES) return broken(r, BW_LIMIT, "a job is too large", job);
    struct bw_arena *arena = bw_arena_new(0);
    char *text = arena == NULL ? NULL : bw_arena_get(arena, (size_t)member->size + 1);
    if (text == NULL) {
        bw_fail_memory(r->err);
        goto out;
    }
    if (!get(r, text, (size_t)member->size) || !skip_padding(r, member->size)) goto out;
    const struct lines lines = {job, text, (size_t)member->size};
    if (!read_lines(r, arena, &lines, &set)) goto out;
    if (strcmp(set.items[0].job, job) != 0) {
        broken(r, BW_INPUT, "a job's entries belong to another job than its name says", job);
        goto out;
    }
    done = r->sink->job(r->sink->with, arena, &set, r->err);
out:
    bw_arena_free(arena);
    return done;
}

static bool read_title(struct reading *r, const struct member *member) {
    char text[1000];
    struct bw_node *root;
    if (member->size > sizeof text)
        return broken(r, BW_LIMIT, "the archive's title is too long", NULL);
    if (!get(r, text, (size_t)member->size) || !skip_padding(r, member->size)) return false;
    struct bw_arena *arena = bw_arena_new(0);
    if (arena == NULL) return bw_fail_memory(r->err);
    bool done = bw_json_read(arena, "beltwright.json", text, (size_t)member->size, &root, r->err);
    if (done && strcmp(bw_body_text(root, "shape"), BW_ARCHIVE_SHAPE) != 0) {
        bw_err_value(r->err, bw_body_text(root, "shape"));
        bw_err_mend(r->err, "import it with the newer version of the program");
        done =
            bw_fail(r->err, BW_UNSUPPORTED, "the archive is of a kind this program does not know");
    }
    r->opened = done;
    bw_arena_free(arena);
    return done;
}

// "jobs/ID.jsonl"
static bool job_name(const char *name, char job[BW_ID_TEXT]) {
    size_t length = strlen(name);
    if (length != 5 + BW_ID_TEXT - 1 + 6 || memcmp(name, "jobs/", 5) != 0) return false;
    memcpy(job, name + 5, BW_ID_TEXT - 1);
    job[BW_ID_TEXT - 1] = '\0';
    return bw_ulid_is(job) && strcmp(name + 5 + BW_ID_TEXT - 1, ".jsonl") == 0;
}

static bool read_member(struct reading *r, const struct member *member) {
    char job[BW_ID_TEXT];
    const char *name = member->name;
    if (!r->opened) {
        if (strcmp(name, "beltwright.json") == 0) return read_title(r, member);
        return broken(r, BW_SYNTAX, "this is not an archive of jobs", name);
    }
    if (strncmp(name, "files/", 6) == 0 && bw_sha256_is_text(name + 6))
        return read_file(r, member, name + 6);
    if (job_name(name, job)) return read_job(r, member, job);
    return broken(r, BW_INPUT, "the archive holds a member that no archive of jobs has", name);
}

static bool is_end(const unsigned char block[BLOCK]) {
    for (size_t i = 0; i < BLOCK; i++)
        if (block[i] != 0) return false;
    return true;
}

static bool read_all(struct reading *r) {
    unsigned char block[BLOCK];
    struct member member;
    for (;;) {
        if (!get(r, block, BLOCK)) return false;
        if (is_end(block)) break;
        if (!header(r, block, &member) || !read_member(r, &member)) return false;
    }
    return r->opened || broken(r, BW_SYNTAX, "the archive is empty", NULL);
}

bool bw_archive_read(FILE *from, const char *name, const struct bw_archive_sink *sink,
                     struct bw_err *err) {
    struct reading r = {.from = from, .sink = sink, .err = err};
    r.piece = bw_alloc(BW_PIECE_BYTES);
    bool done = r.piece != NULL ? read_all(&r) : bw_fail_memory(err);
    bw_free(r.piece);
    if (!done) bw_err_file(err, name);
    return done;
}
