// fuzz_bind.c - any bytes through the binder: a record that comes back equal, or a message.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The first byte says what the rest is: r a rich document, m a machine file, k a mark in one line.
#include "base/alloc.h"
#include "base/bind.h"
#include "base/emit.h"
#include "base/utf8.h"
#include "base/yaml.h"
#include "machine/machine.h"
#include "support/random_record.h"
#include "support/rich.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool holds) {
    if (!holds) abort();
}

static void check_message(const struct bw_err *err) {
    must(err->code != BW_OK && err->what[0] != '\0');
    must(err->code == BW_MEMORY || err->mend[0] != '\0');
    const char *const texts[] = {err->what,  err->file, err->field,
                                 err->value, err->mend, err->excerpt};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        must(bw_utf8_valid(texts[i], strlen(texts[i])));
}

// What was taken leaves as JSON and comes back the same.
static void check_return(struct bw_arena *arena, const struct bw_record *record,
                         const void *bound) {
    struct bw_buffer buffer = {0};
    struct bw_json json = bw_json_begin(&buffer);
    bw_emit_record(&json, record, bound, NULL);
    char *text = bw_buffer_take(&buffer);
    void *again = bw_arena_get(arena, record->size);
    struct bw_node *root;
    struct bw_err err = {0};
    char path[160];
    const struct bw_binding binding = {.arena = arena};
    must(text != NULL && again != NULL);
    must(bw_json_read(arena, NULL, text, strlen(text), &root, &err));
    must(bw_bind(&binding, root, record, again, &err));
    must(same_record(record, bound, again, path));
    bw_free(text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size == 0) return 0;
    const char *text = (const char *)data + 1;
    size_t length = size - 1;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *root = NULL;
    struct bw_err err = {0};
    const struct bw_record *record = data[0] == 'm'   ? &bw_machine_record
                                     : data[0] == 'k' ? &rich_mark_record
                                                      : &rich_record;
    void *bound = arena == NULL ? NULL : bw_arena_get(arena, record->size);
    must(bound != NULL);
    const struct bw_binding binding = {.arena = arena, .source = text, .source_length = length};
    bool read = data[0] == 'k' ? bw_group_read(arena, record, text, length, &root, &err)
                               : bw_yaml_read(arena, NULL, text, length, &root, &err);
    if (read && bw_bind(&binding, root, record, bound, &err))
        check_return(arena, record, bound);
    else
        check_message(&err);
    bw_arena_free(arena);
    return 0;
}
