// knowledge_join.c - lays knowledge files on one another, entry by entry and key by key.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/knowledge_document.h"

#include <stdint.h>
#include <string.h>

static bool is_given(const struct bw_field *field, const void *at) {
    switch (field->kind) {
    case BW_QUANTITY: return bw_known(*(const struct bw_quantity *)at);
    case BW_COUNT: return *(const long *)at != BW_NO_COUNT;
    case BW_CHOICE: return *(const int *)at != BW_NO_CHOICE;
    case BW_TEXT: return *(const char *const *)at != NULL;
    case BW_RECORD: return *(const void *const *)at != NULL;
    case BW_LIST: return ((const struct bw_list *)at)->n > 0;
    default: return false;
    }
}

static size_t size_of(const struct bw_field *field) {
    switch (field->kind) {
    case BW_QUANTITY: return sizeof(struct bw_quantity);
    case BW_COUNT: return sizeof(long);
    case BW_CHOICE: return sizeof(int);
    case BW_TEXT: return sizeof(const char *);
    case BW_RECORD: return sizeof(void *);
    case BW_LIST: return sizeof(struct bw_list);
    default: return 0;
    }
}

// Copies what `from` gives; single links pile up.
static bool lay(struct bw_arena *arena, const struct bw_record *record, void *onto,
                const void *from) {
    for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
        const void *given = bw_field_in(field, from);
        void *kept = bw_field_at(field, onto);
        if (!is_given(field, given)) continue;
        if (strcmp(field->name, "also") != 0 || !is_given(field, kept)) {
            memcpy(kept, given, size_of(field));
            continue;
        }
        const struct bw_list *before = kept, *more = given;
        size_t size = ((const struct bw_record *)field->of)->size;
        char *items = bw_arena_array(arena, before->n + more->n, size);
        if (items == NULL) return false;
        memcpy(items, before->items, before->n * size);
        memcpy(items + before->n * size, more->items, more->n * size);
        *(struct bw_list *)kept = (struct bw_list){items, before->n + more->n};
    }
    return true;
}

static const char *id_of(const struct bw_joined *joined, const void *entry) {
    return *(const char *const *)((const char *)entry + joined->id_offset);
}

static size_t find(const struct bw_joined *joined, const char *id) {
    for (size_t i = 0; i < joined->n; i++)
        if (strcmp(id_of(joined, joined->items + i * joined->record->size), id) == 0) return i;
    return SIZE_MAX;
}

static bool grow(struct bw_arena *arena, struct bw_joined *joined) {
    size_t room = joined->room == 0 ? 64 : 2 * joined->room;
    char *items = bw_arena_array(arena, room, joined->record->size);
    struct bw_origin *at = bw_arena_array(arena, room, sizeof *at);
    if (items == NULL || at == NULL) return false;
    if (joined->n > 0) {
        memcpy(items, joined->items, joined->n * joined->record->size);
        memcpy(at, joined->at, joined->n * sizeof *at);
    }
    joined->items = items;
    joined->at = at;
    joined->room = room;
    return true;
}

const struct bw_node *bw_node_item(const struct bw_node *map, const char *key, size_t index) {
    for (const struct bw_node *child = map->child; child != NULL; child = child->next) {
        if (child->key == NULL || !bw_key_same(child->key, key)) continue;
        if (child->kind != BW_NODE_LIST) return child;
        const struct bw_node *item = child->child;
        for (; item != NULL && index > 0; index--) item = item->next;
        return item == NULL ? child : item;
    }
    return map;
}

static bool twice(const struct bw_origin *first, const struct bw_origin *second, const char *id,
                  struct bw_err *err) {
    bw_err_file(err, second->file);
    bw_err_place(err, second->node->line, second->node->column);
    bw_err_value(err, id);
    bw_err_mend(err, "give it another id, or join it with line %d", first->node->line);
    return bw_fail(err, BW_INPUT, "the id stands twice in this file");
}

static bool join_list(struct bw_join *join, struct bw_joined *joined,
                      const struct bw_origin *document, const struct bw_list *list,
                      struct bw_err *err) {
    const char *file = document->file;
    const struct bw_record *record = joined->record;
    for (size_t i = 0; i < list->n; i++) {
        const void *entry = (const char *)list->items + i * record->size;
        struct bw_origin at = {file, bw_node_item(document->node, joined->key, i)};
        size_t n = find(joined, id_of(joined, entry));
        if (n != SIZE_MAX && joined->at[n].file == file)
            return twice(&joined->at[n], &at, id_of(joined, entry), err);
        if (n == SIZE_MAX) {
            if (joined->n == joined->room && !grow(join->arena, joined)) return bw_fail_memory(err);
            n = joined->n++;
            bw_record_clear(record, joined->items + n * record->size);
        }
        joined->at[n] = at;
        if (!lay(join->arena, record, joined->items + n * record->size, entry))
            return bw_fail_memory(err);
    }
    return true;
}

static bool drop_from(struct bw_joined *joined, const char *id) {
    size_t n = find(joined, id), size = joined->record->size;
    if (n == SIZE_MAX) return false;
    memmove(joined->items + n * size, joined->items + (n + 1) * size, (joined->n - n - 1) * size);
    memmove(joined->at + n, joined->at + n + 1, (joined->n - n - 1) * sizeof *joined->at);
    joined->n--;
    return true;
}

static bool drop(struct bw_join *join, const char *file, const struct bw_node *root,
                 const struct bw_list *list, struct bw_err *err) {
    const struct bw_known_name *names = list->items;
    for (size_t i = 0; i < list->n; i++) {
        const char *id = names[i].name;
        bool found = drop_from(&join->causes, id);
        found = drop_from(&join->checks, id) || found;
        found = drop_from(&join->remedies, id) || found;
        if (found) continue;
        const struct bw_node *at = bw_node_item(root, "drop", i);
        bw_err_file(err, file);
        bw_err_place(err, at->line, at->column);
        bw_err_value(err, id);
        return bw_fail(err, BW_NOT_FOUND, "no earlier file has an entry of that id");
    }
    return true;
}

static const struct bw_record *item_of(const char *key) {
    return bw_field_find(&bw_knowledge_record, key)->of;
}

bool bw_join_begin(struct bw_join *join, struct bw_arena *arena, struct bw_err *err) {
    *join = (struct bw_join){.arena = arena,
                             .causes = {.key = "causes",
                                        .record = item_of("causes"),
                                        .id_offset = offsetof(struct bw_known_cause, id)},
                             .checks = {.key = "checks",
                                        .record = item_of("checks"),
                                        .id_offset = offsetof(struct bw_known_check, id)},
                             .remedies = {.key = "remedies",
                                          .record = item_of("remedies"),
                                          .id_offset = offsetof(struct bw_known_remedy, id)}};
    bw_record_clear(&bw_assumptions_record, &join->assume);
    return grow(arena, &join->causes) && grow(arena, &join->checks) && grow(arena, &join->remedies)
               ? true
               : bw_fail_memory(err);
}

bool bw_join_document(struct bw_join *join, const char *file, const struct bw_node *root,
                      const struct bw_knowledge_document *document, struct bw_err *err) {
    if (!drop(join, file, root, &document->drop, err)) return false;
    if (document->assumptions != NULL &&
        !lay(join->arena, &bw_assumptions_record, &join->assume, document->assumptions))
        return bw_fail_memory(err);
    const struct bw_origin whole = {file, root};
    return join_list(join, &join->causes, &whole, &document->causes, err) &&
           join_list(join, &join->checks, &whole, &document->checks, err) &&
           join_list(join, &join->remedies, &whole, &document->remedies, err);
}
