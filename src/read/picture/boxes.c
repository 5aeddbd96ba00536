// boxes.c - see boxes.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Nothing is built up: each question walks the few kilobytes again, so there is no table whose
// sizes a hostile file could choose.
#include "read/picture/boxes.h"

uint64_t bytes_get_long(struct bytes *bytes, unsigned count) {
    if (bytes->left < count) {
        bytes->over = true;
        bytes->left = 0;
        return 0;
    }
    uint64_t value = 0;
    for (unsigned i = 0; i < count; i++) value = value << 8 | bytes->at[i];
    bytes->at += count;
    bytes->left -= count;
    return value;
}

uint32_t bytes_get(struct bytes *bytes, unsigned count) {
    return (uint32_t)bytes_get_long(bytes, count);
}

struct bytes bytes_take(struct bytes *bytes, size_t count) {
    struct bytes taken = {.at = bytes->at, .left = count};
    if (count > bytes->left) {
        bytes->over = taken.over = true;
        taken.left = count = bytes->left;
    }
    bytes->at += count;
    bytes->left -= count;
    return taken;
}

bool box_next(struct bytes *in, uint32_t *kind, struct bytes *body) {
    if (in->left < 8) return false;
    size_t whole = in->left;
    uint64_t size = bytes_get(in, 4);
    *kind = bytes_get(in, 4);
    if (size == 1) size = bytes_get_long(in, 8);
    if (size == 0) size = whole;
    size_t head = whole - in->left;
    if (in->over || size < head || size > whole) {
        in->over = true;
        in->left = 0;
        return false;
    }
    *body = bytes_take(in, (size_t)size - head);
    return true;
}

bool box_find(struct bytes in, uint32_t kind, struct bytes *body) {
    uint32_t found;
    struct bytes inside;
    while (box_next(&in, &found, &inside)) {
        if (found != kind) continue;
        *body = inside;
        return true;
    }
    return false;
}

// Version of a "full" box, whose flags are passed over.
static uint32_t version(struct bytes *body) { return bytes_get(body, 4) >> 24; }

bool items_open(struct bytes meta, struct items *out, struct bw_err *err) {
    struct items items = {0};
    struct bytes primary, properties, handler;
    (void)version(&meta);
    if (!box_find(meta, KIND('h', 'd', 'l', 'r'), &handler) ||
        !box_find(meta, KIND('p', 'i', 't', 'm'), &primary) ||
        !box_find(meta, KIND('i', 'i', 'n', 'f'), &items.info) ||
        !box_find(meta, KIND('i', 'l', 'o', 'c'), &items.places) ||
        !box_find(meta, KIND('i', 'p', 'r', 'p'), &properties) ||
        !box_find(properties, KIND('i', 'p', 'c', 'o'), &items.properties) ||
        !box_find(properties, KIND('i', 'p', 'm', 'a'), &items.owners))
        return bw_fail(err, BW_INPUT, "the HEIC lacks a part of its directory");
    (void)bytes_get_long(&handler, 8);
    if (bytes_get(&handler, 4) != KIND('p', 'i', 'c', 't'))
        return bw_fail(err, BW_UNSUPPORTED, "the HEIC file holds no still picture");
    (void)box_find(meta, KIND('i', 'r', 'e', 'f'), &items.references);
    (void)box_find(meta, KIND('i', 'd', 'a', 't'), &items.inner);
    items.primary = bytes_get(&primary, version(&primary) == 0 ? 2 : 4);
    if (primary.over) return bw_fail(err, BW_INPUT, "the HEIC does not name its main picture");
    *out = items;
    return true;
}

uint32_t item_kind(const struct items *items, uint32_t id) {
    struct bytes info = items->info, entry;
    uint32_t kind;
    (void)bytes_get(&info, version(&info) == 0 ? 2 : 4);
    while (box_next(&info, &kind, &entry)) {
        if (kind != KIND('i', 'n', 'f', 'e')) continue;
        uint32_t form = version(&entry);
        if (form != 2 && form != 3) continue;
        if (bytes_get(&entry, form == 2 ? 2 : 4) != id) continue;
        (void)bytes_get(&entry, 2);  // protection
        return bytes_get(&entry, 4);
    }
    return 0;
}

bool item_refers(const struct items *items, uint32_t id, uint32_t kind, struct bytes *ids,
                 unsigned *id_bytes) {
    struct bytes references = items->references, entry;
    if (references.left == 0) return false;
    unsigned size = version(&references) == 0 ? 2 : 4;
    uint32_t found;
    while (box_next(&references, &found, &entry)) {
        if (found != kind || bytes_get(&entry, size) != id) continue;
        uint32_t n = bytes_get(&entry, 2);
        *ids = bytes_take(&entry, (size_t)n * size);
        *id_bytes = size;
        return !ids->over;
    }
    return false;
}

uint32_t item_about(const struct items *items, uint32_t kind, uint32_t by, uint32_t to) {
    struct bytes references = items->references, entry;
    if (references.left == 0) return 0;
    unsigned size = version(&references) == 0 ? 2 : 4;
    uint32_t found;
    while (box_next(&references, &found, &entry)) {
        if (found != by) continue;
        uint32_t from = bytes_get(&entry, size), n = bytes_get(&entry, 2);
        for (uint32_t i = 0; i < n && !entry.over; i++)
            if (bytes_get(&entry, size) == to && item_kind(items, from) == kind) return from;
    }
    return 0;
}

// Property by its place in the file's list, counted from 1.
static bool property_at(const struct items *items, uint32_t index, uint32_t *kind,
                        struct bytes *body) {
    struct bytes all = items->properties;
    for (uint32_t i = 0; i < index; i++)
        if (!box_next(&all, kind, body)) return false;
    return index > 0;
}

bool item_property(const struct items *items, uint32_t id, size_t n, uint32_t *kind,
                   struct bytes *body) {
    struct bytes owners = items->owners;
    uint32_t head = bytes_get(&owners, 4), form = head >> 24;
    bool wide = (head & 1) != 0;
    uint32_t entries = bytes_get(&owners, 4);
    for (uint32_t i = 0; i < entries && !owners.over; i++) {
        uint32_t owner = bytes_get(&owners, form == 0 ? 2 : 4);
        uint32_t count = bytes_get(&owners, 1);
        struct bytes list = bytes_take(&owners, (size_t)count * (wide ? 2 : 1));
        if (owner != id) continue;
        if (n >= count) return false;
        (void)bytes_take(&list, n * (wide ? 2 : 1));
        uint32_t index = bytes_get(&list, wide ? 2 : 1) & (wide ? 0x7fffu : 0x7fu);
        return property_at(items, index, kind, body);
    }
    return false;
}

bool item_property_find(const struct items *items, uint32_t id, uint32_t kind, struct bytes *body) {
    uint32_t found;
    for (size_t n = 0; item_property(items, id, n, &found, body); n++)
        if (found == kind) return true;
    return false;
}

// How the place box writes its numbers.
struct place_form {
    uint32_t version;
    unsigned offset, length, base, index;  // bytes of each number
};

static bool number_size(unsigned bytes) { return bytes == 0 || bytes == 4 || bytes == 8; }

static bool read_form(struct bytes *places, struct place_form *form) {
    form->version = version(places);
    uint32_t sizes = bytes_get(places, 2);
    form->offset = sizes >> 12;
    form->length = sizes >> 8 & 15;
    form->base = sizes >> 4 & 15;
    form->index = form->version == 0 ? 0 : sizes & 15;
    return form->version <= 2 && number_size(form->offset) && number_size(form->length) &&
           number_size(form->base) && number_size(form->index);
}

bool item_piece(const struct items *items, uint32_t id, size_t n, struct piece *out) {
    struct bytes places = items->places;
    struct place_form form;
    if (!read_form(&places, &form)) return false;
    uint32_t entries = bytes_get(&places, form.version < 2 ? 2 : 4);
    for (uint32_t i = 0; i < entries && !places.over; i++) {
        uint32_t owner = bytes_get(&places, form.version < 2 ? 2 : 4);
        uint32_t method = form.version == 0 ? 0 : bytes_get(&places, 2) & 15;
        uint32_t elsewhere = bytes_get(&places, 2);
        uint64_t base = bytes_get_long(&places, form.base);
        uint32_t pieces = bytes_get(&places, 2);
        size_t one = form.index + form.offset + form.length;
        struct bytes list = bytes_take(&places, pieces * one);
        if (owner != id) continue;
        if (n >= pieces || method > 1 || elsewhere != 0 || list.over) return false;
        (void)bytes_take(&list, n * one + form.index);
        uint64_t offset = bytes_get_long(&list, form.offset);
        *out = (struct piece){
            .inside = method == 1, .at = base + offset, .size = bytes_get_long(&list, form.length)};
        return !list.over && out->at >= base;
    }
    return false;
}
