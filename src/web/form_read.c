// form_read.c - see form.h: what was sent, as JSON and files.
// SPDX-License-Identifier: GPL-3.0-or-later
#define _GNU_SOURCE  // memfd_create
#include "web/form.h"

#include "base/json.h"
#include "base/number.h"
#include "web/kept.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

struct reading {
    struct bw_exchange *exchange;
    struct bw_json json;
    struct bw_err *err;
};

static const struct bw_part *part_at(const struct reading *reading, const char *prefix,
                                     const char *name, const char *tail) {
    const char *path = bw_arena_format(reading->exchange->arena, "%s%s%s", prefix, name, tail);
    return path == NULL ? NULL : bw_part_find(reading->exchange, path);
}

static const char *text_at(const struct reading *reading, const char *prefix, const char *name,
                           const char *tail) {
    const struct bw_part *part = part_at(reading, prefix, name, tail);
    return part == NULL ? "" : part->text;
}

// What the sender put into "NAME.n", and one more where that button was pressed.
size_t bw_form_items(const struct bw_exchange *exchange, const struct bw_field *field) {
    const char *name = bw_arena_format(exchange->arena, "%s.n", field->name);
    const char *said = name == NULL ? "" : bw_part_text(exchange, name);
    struct bw_err ignored = {0};
    size_t most = bw_field_count_max(field);
    long n = 0;
    if (most > BW_MAX_FORM_ITEMS) most = BW_MAX_FORM_ITEMS;
    if (!bw_count(said, strlen(said), 0, BW_MAX_FORM_ITEMS, &n, &ignored)) n = 1;
    if (strcmp(bw_part_text(exchange, "more"), field->name) == 0) n++;
    return n < 1 ? 1 : (size_t)n > most ? most : (size_t)n;
}

// ---- files ----

// A name by which nothing else goes along.
static const char *own_name(const struct reading *reading, const char *name) {
    const char *own =
        bw_arena_format(reading->exchange->arena, "%zu-%s", reading->exchange->n_files + 1, name);
    if (own == NULL) (void)bw_fail_memory(reading->err);
    return own;
}

static bool take_file(struct reading *reading, const char *name, int fd, bool opened) {
    if (!bw_exchange_file(reading->exchange, name, fd, opened)) {
        if (opened) (void)close(fd);
        return bw_fail(reading->err, BW_LIMIT, "more than %d files", BW_MAX_WORK_FILES);
    }
    bw_json_text(&reading->json, name);
    return true;
}

static bool take_typed(struct reading *reading, const struct bw_part *part) {
    int fd = memfd_create("beltwright-typed", MFD_CLOEXEC);
    bool written = fd >= 0 && write(fd, part->text, part->length) == (ssize_t)part->length &&
                   lseek(fd, 0, SEEK_SET) == 0;
    const char *name = own_name(reading, "typed");
    if (written && name != NULL) return take_file(reading, name, fd, true);
    if (fd >= 0) (void)close(fd);
    return bw_fail(reading->err, BW_IO, "what was typed cannot be kept");
}

static bool take_kept(struct reading *reading, const char *name) {
    int fd = bw_kept_open(reading->exchange->arena, reading->exchange->web->folder, name);
    if (fd >= 0) return take_file(reading, name, fd, true);
    bw_err_value(reading->err, name);
    bw_err_mend(reading->err, "choose one of those offered, or send the file");
    return bw_fail(reading->err, BW_INPUT, "this file is not kept here");
}

// A file sent, one kept here, or one typed; false with nothing taken where none is given.
static bool has_file(const struct reading *reading, const char *prefix, const char *name) {
    const struct bw_part *part = part_at(reading, prefix, name, "");
    return (part != NULL && part->fd >= 0) || text_at(reading, prefix, name, ".kept")[0] != '\0' ||
           text_at(reading, prefix, name, ".text")[0] != '\0';
}

static bool take_any(struct reading *reading, const char *prefix, const char *name) {
    const struct bw_part *part = part_at(reading, prefix, name, "");
    const char *chosen = text_at(reading, prefix, name, ".kept");
    if (part != NULL && part->fd >= 0) {
        const char *own = own_name(reading, part->file_name);
        return own != NULL && take_file(reading, own, part->fd, false);
    }
    if (chosen[0] != '\0') return take_kept(reading, chosen);
    return take_typed(reading, part_at(reading, prefix, name, ".text"));
}

// ---- values ----

// "24 ft/min" known by "display" is written as it would be on a line of its own.
static const char *with_way(const struct reading *reading, const char *text, const char *way) {
    if (way[0] == '\0' || strstr(text, " by ") != NULL) return text;
    const char *whole = bw_arena_format(reading->exchange->arena, "%s by %s", text, way);
    return whole == NULL ? text : whole;
}

static bool is_given(const struct reading *reading, const struct bw_field *field,
                     const char *prefix) {
    if (field->kind == BW_FILE) return has_file(reading, prefix, field->name);
    const char *text = text_at(reading, prefix, field->name, "");
    return text[strspn(text, " \t\r\n")] != '\0';
}

static bool take_plain(struct reading *reading, const struct bw_field *field, const char *prefix) {
    bw_json_key(&reading->json, field->name);
    if (field->kind == BW_FILE) {
        if (take_any(reading, prefix, field->name)) return true;
        bw_err_within(reading->err, field->name);
        return false;
    }
    const char *text = text_at(reading, prefix, field->name, "");
    if (field->kind == BW_QUANTITY)
        text = with_way(reading, text, text_at(reading, prefix, field->name, ".by"));
    bw_json_text(&reading->json, text);
    return true;
}

static bool any_given(const struct reading *reading, const struct bw_record *record,
                      const char *prefix) {
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        if (bw_form_is_plain(field) && is_given(reading, field, prefix)) return true;
    return false;
}

static bool take_group(struct reading *reading, const struct bw_record *record,
                       const char *prefix) {
    bw_json_open(&reading->json, '{');
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        if (bw_form_is_plain(field) && is_given(reading, field, prefix) &&
            !take_plain(reading, field, prefix))
            return false;
    bw_json_close(&reading->json, '}');
    return true;
}

// Items left empty count for nothing, wherever they stand.
static bool take_list(struct reading *reading, const struct bw_field *field) {
    size_t n = bw_form_items(reading->exchange, field);
    bool begun = false;
    for (size_t i = 0; i < n; i++) {
        const char *prefix = bw_arena_format(reading->exchange->arena, "%s.%zu.", field->name, i);
        if (prefix == NULL) return bw_fail_memory(reading->err);
        if (!any_given(reading, field->of, prefix)) continue;
        if (!begun) {
            bw_json_key(&reading->json, field->name);
            bw_json_open(&reading->json, '[');
        }
        begun = true;
        if (!take_group(reading, field->of, prefix)) return false;
    }
    if (begun) bw_json_close(&reading->json, ']');
    return true;
}

static bool take_record(struct reading *reading, const struct bw_field *field) {
    const char *prefix = bw_arena_format(reading->exchange->arena, "%s.", field->name);
    if (prefix == NULL) return bw_fail_memory(reading->err);
    if (!any_given(reading, field->of, prefix)) return true;
    bw_json_key(&reading->json, field->name);
    return take_group(reading, field->of, prefix);
}

static bool take_field(struct reading *reading, const struct bw_field *field) {
    switch (field->kind) {
    case BW_LIST: return take_list(reading, field);
    case BW_RECORD: return take_record(reading, field);
    case BW_ONEOF: return true;
    default: return !is_given(reading, field, "") || take_plain(reading, field, "");
    }
}

bool bw_form_read(struct bw_exchange *exchange, const struct bw_record *record,
                  struct bw_buffer *json, struct bw_err *err) {
    struct reading reading = {exchange, bw_json_begin(json), err};
    bw_json_open(&reading.json, '{');
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        if (!take_field(&reading, field)) return false;
    bw_json_close(&reading.json, '}');
    return !json->failed || bw_fail_memory(err);
}
