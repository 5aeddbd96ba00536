// entry.c - see entry.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/entry.h"

#include "base/format.h"
#include "base/json.h"
#include "base/number.h"
#include "base/utf8.h"

#include <string.h>
#include <time.h>

static const struct {
    const char *word;
    long shape;
} KINDS[] = {
#define BW_X(name, word, shape) {word, shape},
    BW_ENTRY_KINDS(BW_X)
#undef BW_X
};

const char *bw_entry_kind_word(enum bw_entry_kind kind) {
    return kind < BW_ENTRY_UNKNOWN ? KINDS[kind].word : "unknown";
}

enum bw_entry_kind bw_entry_kind_of(const char *kind, const char *shape) {
    struct bw_err ignored = {0};
    for (int i = 0; i < BW_ENTRY_UNKNOWN; i++) {
        if (strcmp(KINDS[i].word, kind) != 0) continue;
        const char *slash = strrchr(shape, '/');
        long number;
        bool known = slash != NULL &&
                     bw_count(slash + 1, strlen(slash + 1), 1, KINDS[i].shape, &number, &ignored);
        return known ? (enum bw_entry_kind)i : BW_ENTRY_UNKNOWN;
    }
    return BW_ENTRY_UNKNOWN;
}

void bw_entry_id(const char *line, size_t length, int64_t time_ms, char out[BW_ID_TEXT]) {
    unsigned char hash[BW_SHA256_BYTES];
    struct bw_sha256 state = bw_sha256_begin();
    bw_sha256_add(&state, line, length);
    bw_sha256_end(&state, hash);
    bw_ulid_text(time_ms, hash, out);
}

int bw_entry_order(const struct bw_entry *a, const struct bw_entry *b) {
    if (a->tick != b->tick) return a->tick < b->tick ? -1 : 1;
    return strcmp(a->id, b->id);
}

// ---- writing ------------------------------------------------------------------------------------

// Keys in the order of their letters, no blanks: one entry has one line.
static void write_line(const struct bw_draft *draft, struct bw_buffer *out) {
    bw_buffer_format(out, "{\"body\":%s,\"device\":\"%s\",\"job\":", draft->body, draft->device);
    if (draft->job == NULL)
        bw_buffer_text(out, "null");
    else
        bw_buffer_format(out, "\"%s\"", draft->job);
    bw_buffer_format(out, ",\"kind\":\"%s\",\"offset\":%d,\"shape\":\"%s/%ld\"",
                     KINDS[draft->kind].word, draft->offset_min, KINDS[draft->kind].word,
                     KINDS[draft->kind].shape);
    bw_buffer_format(out, ",\"tick\":%ld,\"time\":%lld}", draft->tick, (long long)draft->time_ms);
}

bool bw_entry_make(struct bw_arena *arena, const struct bw_draft *draft, struct bw_entry *out,
                   struct bw_err *err) {
    struct bw_buffer line = {0};
    write_line(draft, &line);
    bool done =
        !line.failed ? bw_entry_read(arena, line.data, line.length, out, err) : bw_fail_memory(err);
    bw_buffer_free(&line);
    return done;
}

// ---- reading ------------------------------------------------------------------------------------

static bool wrong(struct bw_err *err, const char *key, const char *what, const char *value) {
    bw_err_within(err, key);
    if (value != NULL) bw_err_value(err, value);
    bw_err_mend(err, "the entry was made by another program or is damaged; see docs/job.md");
    return bw_fail(err, BW_INPUT, "%s", what);
}

static bool take_number(const struct bw_node *root, const char *key, long min, long max, long *out,
                        struct bw_err *err) {
    const struct bw_node *node = bw_node_find(root, key);
    struct bw_err inner = {0};
    if (node == NULL) return wrong(err, key, "is missing", NULL);
    if (node->kind == BW_NODE_TEXT && !node->quoted &&
        bw_count(node->text, node->length, min, max, out, &inner))
        return true;
    return wrong(err, key, "is not a whole number in its range",
                 node->kind == BW_NODE_TEXT ? node->text : NULL);
}

static bool made_of(const char *text, size_t length, const char *letters, size_t most) {
    return length > 0 && length <= most && strspn(text, letters) == length;
}

static bool take_text(const struct bw_node *root, const char *key, const char *letters,
                      const char **out, struct bw_err *err) {
    const struct bw_node *node = bw_node_find(root, key);
    if (node == NULL) return wrong(err, key, "is missing", NULL);
    if (node->kind != BW_NODE_TEXT || !made_of(node->text, node->length, letters, BW_MAX_DEVICE))
        return wrong(err, key, "is not a short word",
                     node->kind == BW_NODE_TEXT ? node->text : NULL);
    *out = node->text;
    return true;
}

// An id in `node`, or NULL where it may be missing.
static bool take_id(const struct bw_node *node, const char *key, const char **out,
                    struct bw_err *err) {
    *out = NULL;
    if (node == NULL || node->kind == BW_NODE_NULL) return true;
    if (node->kind != BW_NODE_TEXT || !bw_ulid_is(node->text))
        return wrong(err, key, "is not an entry's id",
                     node->kind == BW_NODE_TEXT ? node->text : NULL);
    *out = node->text;
    return true;
}

// The attachments an entry refers to: body.files[].sha256, whatever the kind.
static bool take_files(struct bw_arena *arena, const struct bw_node *body, struct bw_entry *out,
                       struct bw_err *err) {
    const struct bw_node *list = bw_node_find(body, "files");
    if (list == NULL) return true;
    if (list->kind != BW_NODE_LIST) return wrong(err, "files", "is not a list", NULL);
    size_t n = bw_node_count(list);
    if (n > BW_MAX_ENTRY_FILES) return bw_fail(err, BW_LIMIT, "an entry names too many files");
    const char **files = bw_arena_array(arena, n + 1, sizeof *files);
    if (files == NULL) return bw_fail_memory(err);
    n = 0;
    for (const struct bw_node *file = list->child; file != NULL; file = file->next) {
        const struct bw_node *hash =
            file->kind == BW_NODE_MAP ? bw_node_find(file, "sha256") : NULL;
        if (hash == NULL || hash->kind != BW_NODE_TEXT || !bw_sha256_is_text(hash->text))
            return wrong(err, "files", "names no SHA-256", NULL);
        files[n++] = hash->text;
    }
    out->files = files;
    out->n_files = n;
    return true;
}

#define LOWER "abcdefghijklmnopqrstuvwxyz"
#define DIGIT "0123456789"
#define WORD LOWER DIGIT "-"

static bool take_body(struct bw_arena *arena, const struct bw_node *root, struct bw_entry *out,
                      struct bw_err *err) {
    const struct bw_node *body = bw_node_find(root, "body");
    if (body == NULL || body->kind != BW_NODE_MAP)
        return wrong(err, "body", "is missing or is no object", NULL);
    enum bw_entry_kind kind = bw_entry_kind_of(out->kind, out->shape);
    if (kind == BW_ENTRY_CORRECTION || kind == BW_ENTRY_WITHDRAWN) {
        if (!take_id(bw_node_find(body, "of"), "body.of", &out->names, err)) return false;
        if (out->names == NULL) return wrong(err, "body.of", "is missing", NULL);
    }
    return take_files(arena, body, out, err);
}

static bool take_all(struct bw_arena *arena, const struct bw_node *root, struct bw_entry *out,
                     struct bw_err *err) {
    long time_ms, offset;
    const char *job;
    if (!take_text(root, "kind", WORD, &out->kind, err)) return false;
    if (!take_text(root, "shape", WORD "/", &out->shape, err)) return false;
    if (!take_text(root, "device", WORD, &out->device, err)) return false;
    if (!take_number(root, "tick", 1, BW_MAX_TICK, &out->tick, err)) return false;
    if (!take_number(root, "time", 0, BW_MAX_TIME_MS, &time_ms, err)) return false;
    if (!take_number(root, "offset", -14 * 60, 14 * 60, &offset, err)) return false;
    if (!take_id(bw_node_find(root, "job"), "job", &job, err)) return false;
    bool opens = strcmp(out->kind, KINDS[BW_ENTRY_OPENED].word) == 0;
    if (opens != (job == NULL))
        return wrong(err, "job", "is missing, or stands in the first entry", NULL);
    out->time_ms = time_ms;
    out->offset_min = (int)offset;
    bw_entry_id(out->line, out->length, out->time_ms, out->id);
    memcpy(out->job, job == NULL ? out->id : job, BW_ID_TEXT);
    return take_body(arena, root, out, err);
}

static bool read_root(struct bw_arena *arena, const char *line, size_t length, struct bw_node **out,
                      struct bw_err *err) {
    if (length > BW_MAX_ENTRY_BYTES)
        return bw_fail(err, BW_LIMIT, "an entry is larger than %zu bytes", BW_MAX_ENTRY_BYTES);
    if (length == 0 || memchr(line, '\n', length) != NULL || memchr(line, '\r', length) != NULL)
        return bw_fail(err, BW_SYNTAX, "an entry is one line");
    if (!bw_json_read(arena, "entry", line, length, out, err)) return false;
    return (*out)->kind == BW_NODE_MAP || bw_fail(err, BW_SYNTAX, "an entry is a JSON object");
}

bool bw_entry_read(struct bw_arena *arena, const char *line, size_t length, struct bw_entry *out,
                   struct bw_err *err) {
    struct bw_node *root;
    if (!read_root(arena, line, length, &root, err)) return false;
    struct bw_entry entry = {.line = bw_arena_text(arena, line, length), .length = length};
    if (entry.line == NULL) return bw_fail_memory(err);
    if (!take_all(arena, root, &entry, err)) return false;
    *out = entry;
    return true;
}

bool bw_entry_body(struct bw_arena *arena, const struct bw_entry *entry, const struct bw_node **out,
                   struct bw_err *err) {
    *out = NULL;
    if (entry->line == NULL) return true;
    struct bw_node *root;
    if (!read_root(arena, entry->line, entry->length, &root, err)) return false;
    *out = bw_node_find(root, "body");
    return *out != NULL || bw_fail(err, BW_INPUT, "an entry has no body");
}

// ---- words --------------------------------------------------------------------------------------

void bw_words_plain(const char *text, struct bw_buffer *out) {
    bool gap = true;
    for (; *text != '\0'; text++) {
        bool word = bw_is_letter(*text) || bw_is_digit(*text) || (unsigned char)*text >= 0x80;
        if (word && gap) bw_buffer_char(out, ' ');
        if (word) bw_buffer_char(out, bw_folded(*text));
        gap = !word;
    }
}

// What of a body is prose; a study's numbers are not searched.
static const char *const PROSE[] = {"title",  "text",  "note",   "site",   "machine", "study",
                                    "name",   "phone", "email",  "place",  "answer",  "check",
                                    "remedy", "cause", "causes", "reading"};

static bool is_prose(const char *key) {
    for (size_t i = 0; i < sizeof PROSE / sizeof *PROSE; i++)
        if (strcmp(PROSE[i], key) == 0) return true;
    return false;
}

static void texts_of(const struct bw_node *node, struct bw_buffer *out) {
    if (node->kind == BW_NODE_TEXT) bw_words_plain(node->text, out);
    for (const struct bw_node *child = node->child; child != NULL; child = child->next)
        if (child->kind == BW_NODE_TEXT) bw_words_plain(child->text, out);
}

void bw_entry_words(const char *kind, const struct bw_node *body, struct bw_buffer *out) {
    if (body == NULL) return;
    if (strcmp(kind, KINDS[BW_ENTRY_CORRECTION].word) == 0) body = bw_node_find(body, "body");
    if (body == NULL) return;
    for (const struct bw_node *child = body->child; child != NULL; child = child->next)
        if (child->key != NULL && is_prose(child->key)) texts_of(child, out);
}

const char *bw_clock_text(char text[BW_CLOCK_TEXT], int64_t time_ms, int offset_min) {
    time_t seconds = (time_t)(time_ms / 1000 + 60 * (int64_t)offset_min);
    struct tm parts = {.tm_mday = 1};
    (void)gmtime_r(&seconds, &parts);
    (void)bw_format(text, BW_CLOCK_TEXT, "%04d-%02d-%02d %02d:%02d", parts.tm_year + 1900,
                    parts.tm_mon + 1, parts.tm_mday, parts.tm_hour, parts.tm_min);
    return text;
}
