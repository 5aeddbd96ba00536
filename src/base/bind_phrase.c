// bind_phrase.c - one line of words into a map: "14.6 mm at 24 ft/min", "place=LF,value=18.02mm".
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A double quote opens a quoted value only where a value begins; anywhere else it is an inch mark.
#include "base/bind.h"

#include "base/suggest.h"
#include "base/utf8.h"

#include <string.h>

struct phrase {
    struct bw_arena *arena;
    const struct bw_record *record;
    const char *text;
    size_t length;
    struct bw_node *map;
    struct bw_err *err;
};

// Bytes of the space at `i`, 0 if none stands there; pasted text brings no-break and thin spaces
// along.
static size_t space(const struct phrase *phrase, size_t i) {
    uint32_t c;
    size_t step = bw_utf8_step(phrase->text + i, phrase->length - i, &c);
    if (step == 0) return 0;
    bool is =
        c == ' ' || (c >= 9 && c <= 13) || c == 0xA0 || c == 0x2007 || c == 0x2009 || c == 0x202F;
    return is ? step : 0;
}

static size_t skip_spaces(const struct phrase *phrase, size_t i) {
    size_t step;
    while (i < phrase->length && (step = space(phrase, i)) > 0) i += step;
    return i;
}

// The end of text[start, end) without the spaces before it.
static size_t trim(const struct phrase *phrase, size_t start, size_t end) {
    size_t last = start;
    for (size_t i = start; i < end;) {
        size_t step = space(phrase, i);
        i += step > 0 ? step : 1;
        if (step == 0) last = i;
    }
    return last;
}

// Past the closing quote of a value that opens at `i`. 0: it is never closed.
static size_t skip_quoted(const struct phrase *phrase, size_t i) {
    const char *close = memchr(phrase->text + i + 1, '"', phrase->length - i - 1);
    if (close != NULL) return (size_t)(close - phrase->text) + 1;
    bw_err_mend(phrase->err, "close it with \"");
    (void)bw_fail(phrase->err, BW_INPUT, "a quoted text is not closed");
    return 0;
}

// Adds text[start, end) under `key`. Nothing at all there means not given.
static bool add_value(const struct phrase *phrase, const char *key, size_t start, size_t end) {
    const char *text = phrase->text + start;
    size_t length = end - start;
    bool quoted = length > 0 && text[0] == '"';
    if (quoted) {
        if (text[length - 1] != '"' || length < 2) {
            bw_err_mend(phrase->err, "put the whole value between the quotes");
            return bw_fail(phrase->err, BW_INPUT, "something follows a quoted text");
        }
        text++;
        length -= 2;
    }
    struct bw_node *node = length == 0 && !quoted ? bw_node_new(phrase->arena, BW_NODE_NULL)
                                                  : bw_node_text(phrase->arena, text, length);
    if (node == NULL || !bw_node_add_key(phrase->arena, phrase->map, key, node))
        return bw_fail_memory(phrase->err);
    node->quoted = quoted;
    return true;
}

static bool begin(struct phrase *phrase) {
    if (phrase->length > BW_MAX_PHRASE) {
        bw_err_mend(phrase->err, "keep it under %d characters, or give it in a file",
                    BW_MAX_PHRASE);
        return bw_fail(phrase->err, BW_LIMIT, "is too long: %zu bytes", phrase->length);
    }
    phrase->map = bw_node_new(phrase->arena, BW_NODE_MAP);
    return phrase->map != NULL || bw_fail_memory(phrase->err);
}

// ---- phrases ----

static char lower(char c) { return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c; }

// The end of `lead` if its words stand at `i` and a space or the end follows; else 0.
static size_t match(const struct phrase *phrase, size_t i, const char *lead) {
    for (; *lead != '\0'; lead++) {
        if (i >= phrase->length) return 0;
        size_t step = space(phrase, i);
        if (*lead == ' ' && step > 0)
            i = skip_spaces(phrase, i);
        else if (step == 0 && lower(phrase->text[i]) == lower(*lead))
            i++;
        else
            return 0;
    }
    return i == phrase->length || space(phrase, i) > 0 ? i : 0;
}

// The field whose lead stands at `i`, the longest where several do. `*end` is set when one does.
static const struct bw_field *find_lead(const struct phrase *phrase, size_t i, size_t *end) {
    const struct bw_field *found = NULL;
    for (const struct bw_field *field = phrase->record->fields; field->name != NULL; field++) {
        if (field->lead == NULL || field->lead[0] == '\0') continue;
        size_t after = match(phrase, i, field->lead);
        if (after == 0 || (found != NULL && strlen(field->lead) <= strlen(found->lead))) continue;
        found = field;
        *end = after;
    }
    return found;
}

static const struct bw_field *first_field(const struct bw_record *record) {
    for (const struct bw_field *field = record->fields; field->name != NULL; field++)
        if (field->lead != NULL && field->lead[0] == '\0') return field;
    return NULL;
}

static bool no_lead(const struct phrase *phrase) {
    struct bw_words words = {.n = 0};
    for (const struct bw_field *field = phrase->record->fields; field->name != NULL; field++)
        if (field->lead != NULL) bw_words_add(&words, field->lead);
    bw_words_mend(&words, "", "begin with one of", phrase->err);
    return bw_fail(phrase->err, BW_INPUT, "begins with no known word");
}

// Closes the value of `field` (NULL: what stands before the first lead of a record that has no
// first field).
static bool close_value(const struct phrase *phrase, const struct bw_field *field, size_t start,
                        size_t end) {
    start = skip_spaces(phrase, start);
    if (start > end) start = end;
    end = trim(phrase, start, end);
    if (end > start && phrase->text[end - 1] == ',') end = trim(phrase, start, end - 1);
    if (start == end && (field == NULL || field->lead[0] == '\0')) return true;
    if (field == NULL) return no_lead(phrase);
    if (start == end) {
        bw_err_mend(phrase->err, "after \"%s\" write %s", field->lead, field->help);
        return bw_fail(phrase->err, BW_INPUT, "nothing stands after \"%s\"", field->lead);
    }
    if (bw_node_find(phrase->map, field->name) != NULL) {
        bw_err_mend(phrase->err, "say it once");
        return bw_fail(phrase->err, BW_INPUT, "\"%s\" is said twice", field->lead);
    }
    return add_value(phrase, field->name, start, end);
}

static bool split(const struct phrase *phrase) {
    const struct bw_field *field = first_field(phrase->record);
    size_t start = 0, end = 0;
    bool word_begins = true, value_begins = true;
    for (size_t i = 0; i < phrase->length;) {
        size_t step = space(phrase, i);
        const struct bw_field *next = NULL;
        if (step > 0) {
            i += step;
            word_begins = true;
            continue;
        }
        if (word_begins) next = find_lead(phrase, i, &end);
        if (next != NULL) {
            if (!close_value(phrase, field, start, i)) return false;
            field = next;
            i = start = end;
            value_begins = true;
            continue;
        }
        i = value_begins && phrase->text[i] == '"' ? skip_quoted(phrase, i) : i + 1;
        if (i == 0) return false;
        word_begins = value_begins = false;
    }
    return close_value(phrase, field, start, phrase->length);
}

bool bw_phrase_read(struct bw_arena *arena, const struct bw_record *record, const char *text,
                    size_t length, struct bw_node **out, struct bw_err *err) {
    struct phrase phrase = {arena, record, text, length, NULL, err};
    if (!begin(&phrase) || !split(&phrase)) return false;
    *out = phrase.map;
    return true;
}

// ---- groups ----

static bool letter(char c) { return lower(c) >= 'a' && lower(c) <= 'z'; }

static bool key_byte(char c) {
    return letter(c) || (c >= '0' && c <= '9') || c == '_' || c == '-' || c == ' ';
}

// A group opens with "key=", and a key with a letter.
static bool is_group(const struct phrase *phrase) {
    size_t i = skip_spaces(phrase, 0);
    if (i == phrase->length || !letter(phrase->text[i])) return false;
    while (i < phrase->length && key_byte(phrase->text[i])) i++;
    return i < phrase->length && phrase->text[i] == '=';
}

static bool no_key(const struct phrase *phrase, size_t start, size_t end) {
    char part[BW_MAX_ERROR_FIELD];
    int shown = end - start > 100 ? 100 : (int)(end - start);
    (void)snprintf(part, sizeof part, "%.*s", shown, phrase->text + start);
    bw_err_value(phrase->err, part);
    bw_err_mend(phrase->err, "write key=value,key=value; put \" round a value that holds a comma");
    return bw_fail(phrase->err, BW_INPUT, "has a part without a key");
}

// Reads the "key=value" that begins at `i`; the comma after it, or the end, is left in `*end`.
static bool read_part(const struct phrase *phrase, size_t i, size_t *end) {
    size_t equals = i, start, stop;
    while (equals < phrase->length && key_byte(phrase->text[equals])) equals++;
    size_t key_end = trim(phrase, i, equals);
    if (equals == phrase->length || phrase->text[equals] != '=' || key_end == i)
        return no_key(phrase, i, phrase->length);
    start = stop = skip_spaces(phrase, equals + 1);
    if (start < phrase->length && phrase->text[start] == '"') {
        stop = skip_quoted(phrase, start);
        if (stop == 0) return false;
    }
    while (stop < phrase->length && phrase->text[stop] != ',') stop++;
    const char *key = bw_arena_text(phrase->arena, phrase->text + i, key_end - i);
    if (key == NULL) return bw_fail_memory(phrase->err);
    *end = stop;
    if (bw_node_find(phrase->map, key) == NULL)
        return add_value(phrase, key, start, trim(phrase, start, stop));
    bw_err_mend(phrase->err, "say it once");
    return bw_fail(phrase->err, BW_INPUT, "\"%s\" is said twice", key);
}

bool bw_group_read(struct bw_arena *arena, const struct bw_record *record, const char *text,
                   size_t length, struct bw_node **out, struct bw_err *err) {
    struct phrase phrase = {arena, record, text, length, NULL, err};
    if (!begin(&phrase)) return false;
    if (!is_group(&phrase)) return bw_phrase_read(arena, record, text, length, out, err);
    for (size_t i = 0, end = 0; i < length; i = end + 1)
        if (!read_part(&phrase, skip_spaces(&phrase, i), &end)) return false;
    *out = phrase.map;
    return true;
}
