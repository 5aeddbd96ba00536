// json.c - the one place that knows jansson (reading); and the writer.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/json.h"

#include "base/alloc.h"
#include "base/format.h"
#include "base/number.h"
#include "base/place.h"
#include "base/utf8.h"

#include <assert.h>
#include <jansson.h>
#include <string.h>
#include <threads.h>

// Above this a double skips whole numbers.
#define LARGEST_WHOLE ((json_int_t)1 << 53)

// ---- the parser's errors in plain words ---------------------------------------------------------

// jansson's position is the end of the token it stumbled over. Its begin: a string's opening quote,
// a word's or number's first character, any other character itself.
static bool is_word(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '+' || c == '.' || c == '_';
}

static bool is_escaped(const char *text, size_t i) {
    size_t slashes = 0;
    while (slashes < i && text[i - 1 - slashes] == '\\') slashes++;
    return slashes % 2 == 1;
}

static size_t token_begin(const char *text, size_t end) {
    if (end == 0) return 0;
    size_t i = end - 1;
    if (text[i] == '"' && i > 0) {
        do i--;
        while (i > 0 && (text[i] != '"' || is_escaped(text, i)));
    }
    while (i > 0 && is_word(text[i]) && is_word(text[i - 1])) i--;
    while (i > 0 && ((unsigned char)text[i] & 0xc0) == 0x80) i--;
    return i;
}

static const struct plain {
    const char *jansson;  // a piece of its message
    const char *what, *mend;
} PLAIN[] = {
    {"premature end", "the text ends inside a string", "close it with \""},
    {"near end of file", "the text ends before the document is complete",
     "close every { with } and every [ with ]"},
    {"NUL", "a NUL character in a string", "remove the \\u0000"},
    {"newline", "a line break in a string", "write \\n for it, or close the string"},
    {"control character", "a tab in a string", "write \\t for it"},
    {"Unicode", "an escape in this string stands for no character", "write the character itself"},
    {"invalid escape", "no such escape in a string", "write \\\\ for a backslash"},
    {"':' expected", "a colon is missing after the key", "write \"key\": value"},
    {"unexpected token", "a value is missing here", "write one, or remove what is left over"},
    {"string or", "a key must stand in double quotes", "write \"key\": value"},
    {"' expected", "a comma or a closing bracket is missing before this",
     "separate values with commas; text such as \"24 ft/min\" stands in double quotes"},
    {"end of file expected", "text after the end of the document", "remove it"},
    {"parsing depth", "nested far too deep", "nest less"},
    {"overflow", "this number is too large", "write a smaller one"},
    {"too big", "this number is too large", "write a smaller one"},
    {"duplicate", "a key is given twice", "keep one of the two"},
    {"", "this is not a JSON value",
     "put text in double quotes; bare are only numbers, true, "
     "false and null"},
};

// What the message alone does not tell apart.
static struct plain choose(const char *said, char first) {
    bool value = strstr(said, "invalid token") != NULL;
    if (first == '/' || first == '#')
        return (struct plain){said, "JSON has no comments", "remove it, or write YAML"};
    if (first == '}' && strstr(said, "string or") != NULL)
        return (struct plain){said, "a comma with nothing after it", "remove the comma"};
    if (value && first != '\0' && strchr("0123456789+-.", first) != NULL)
        return (struct plain){said, "this is not a JSON number", "write it like 0.5 or -2 or 1e-3"};
    size_t i = 0;
    while (strstr(said, PLAIN[i].jansson) == NULL) i++;  // the last fits all
    return PLAIN[i];
}

// jansson calls some failed requests for memory a syntax error.
static bool is_out_of_memory(const json_error_t *error) {
    void *probe = bw_alloc(1);
    bw_free(probe);
    return probe == NULL || json_error_code(error) == json_error_out_of_memory;
}

static bool explain(const json_error_t *error, struct bw_place *place, struct bw_err *err) {
    if (is_out_of_memory(error)) {
        bw_err_file(err, place->file);
        return bw_fail_memory(err);
    }
    const char *said = error->text;
    size_t end = (size_t)error->position;
    if (end > place->length) end = place->length;
    size_t begin = token_begin(place->text, end);
    if (strstr(said, "newline") != NULL || strstr(said, "control character") != NULL) begin = end;
    if (json_error_code(error) == json_error_premature_end_of_input) begin = place->length;
    if (strstr(said, "invalid escape") != NULL)
        for (begin = end; begin > 0 && place->text[begin - 1] != '\\'; begin--) {
        }
    struct plain plain = choose(said, begin < place->length ? place->text[begin] : '\0');
    bool deep = json_error_code(error) == json_error_stack_overflow;
    (void)bw_fail(err, deep ? BW_LIMIT : BW_SYNTAX, "%s", plain.what);
    bw_err_mend(err, "%s", plain.mend);
    return bw_place_blame(place, begin, err);
}

// ---- the tree -----------------------------------------------------------------------------------

struct reader {
    struct bw_arena *arena;
    struct bw_err *err;
    size_t nodes;
};

// A double in 12 digits where these are enough, else in the 17 that always are.
static const char *real_text(char text[BW_NUMBER_TEXT], double value) {
    double again;
    struct bw_err ignored = {0};
    bw_number_text(text, value);
    if (bw_number(text, strlen(text), &again, &ignored) && again == value) return text;
    (void)bw_format(text, BW_NUMBER_TEXT, "%.16e", value);
    return text;
}

static struct bw_node *convert(struct reader *r, json_t *value, int depth);

static bool convert_list(struct reader *r, json_t *value, struct bw_node *list, int depth) {
    for (size_t i = 0; i < json_array_size(value); i++) {
        struct bw_node *child = convert(r, json_array_get(value, i), depth);
        if (child == NULL) {
            bw_err_within_index(r->err, "", i);
            return false;
        }
        bw_node_add(list, child);
    }
    return true;
}

static bool convert_map(struct reader *r, json_t *value, struct bw_node *map, int depth) {
    for (void *i = json_object_iter(value); i != NULL; i = json_object_iter_next(value, i)) {
        const char *key = json_object_iter_key(i);
        struct bw_node *child = convert(r, json_object_iter_value(i), depth);
        if (child == NULL || !bw_node_add_key(r->arena, map, key, child)) {
            (void)bw_fail_memory(r->err);  // unless the child said why
            bw_err_within(r->err, key);
            return false;
        }
    }
    return true;
}

static struct bw_node *convert_scalar(struct reader *r, const json_t *value) {
    char text[BW_NUMBER_TEXT];
    json_int_t whole = json_integer_value(value);
    struct bw_node *node = NULL;
    switch (json_typeof(value)) {
    case JSON_STRING:
        node = bw_node_text(r->arena, json_string_value(value), json_string_length(value));
        if (node != NULL) node->quoted = true;
        break;
    case JSON_INTEGER:
        (void)snprintf(text, sizeof text, "%" JSON_INTEGER_FORMAT, whole);
        if (whole > LARGEST_WHOLE || whole < -LARGEST_WHOLE) {
            (void)bw_fail(r->err, BW_INPUT, "this whole number is too large to be kept exactly");
            bw_err_value(r->err, text);
            bw_err_mend(r->err, "write it with an exponent (1e16), or in double quotes");
            return NULL;
        }
        node = bw_node_text(r->arena, text, strlen(text));
        break;
    case JSON_REAL:
        (void)real_text(text, json_real_value(value));
        node = bw_node_text(r->arena, text, strlen(text));
        break;
    case JSON_TRUE: node = bw_node_text(r->arena, "true", 4); break;
    case JSON_FALSE: node = bw_node_text(r->arena, "false", 5); break;
    default: node = bw_node_new(r->arena, BW_NODE_NULL);
    }
    if (node == NULL) (void)bw_fail_memory(r->err);
    return node;
}

static struct bw_node *convert(struct reader *r, json_t *value, int depth) {
    if (++r->nodes > BW_MAX_NODES) {
        bw_err_mend(r->err, "split the document");
        (void)bw_fail(r->err, BW_LIMIT, "more than %d values in one document", BW_MAX_NODES);
        return NULL;
    }
    bool map = json_is_object(value);
    if (!map && !json_is_array(value)) return convert_scalar(r, value);
    if (depth == BW_MAX_DEPTH) {
        bw_err_mend(r->err, "nest less, or close what is left open");
        (void)bw_fail(r->err, BW_LIMIT, "nested more than %d deep", BW_MAX_DEPTH);
        return NULL;
    }
    struct bw_node *node = bw_node_new(r->arena, map ? BW_NODE_MAP : BW_NODE_LIST);
    if (node == NULL) {
        (void)bw_fail_memory(r->err);
        return NULL;
    }
    bool done =
        map ? convert_map(r, value, node, depth + 1) : convert_list(r, value, node, depth + 1);
    return done ? node : NULL;
}

// A program that uses jansson beside us loses nothing: bw_alloc and bw_free are malloc and free.
static void use_our_memory(void) { json_set_alloc_funcs(bw_alloc, bw_free); }

bool bw_json_read(struct bw_arena *arena, const char *file, const char *bytes, size_t length,
                  struct bw_node **out, struct bw_err *err) {
    static once_flag once = ONCE_FLAG_INIT;
    struct bw_place place = bw_place_begin(file, bytes, length);
    if (length > BW_MAX_DOCUMENT_BYTES) {
        bw_err_file(err, file);
        bw_err_mend(err, "is it the right file?");
        return bw_fail(err, BW_LIMIT, "larger than %zu bytes", BW_MAX_DOCUMENT_BYTES);
    }
    if (!bw_place_check_text(&place, err)) return false;
    call_once(&once, use_our_memory);
    json_error_t error;
    json_t *json =
        json_loadb(place.text, place.length, JSON_REJECT_DUPLICATES | JSON_DECODE_ANY, &error);
    if (json == NULL) return explain(&error, &place, err);
    struct reader r = {.arena = arena, .err = err};
    struct bw_node *root = convert(&r, json, 0);
    json_decref(json);
    if (root == NULL) {
        bw_err_file(err, file);
        return false;
    }
    *out = root;
    return true;
}

// ---- the writer ---------------------------------------------------------------------------------

struct bw_json bw_json_begin(struct bw_buffer *to) {
    return (struct bw_json){.to = to, .first = true};
}

static void new_line(struct bw_json *json) {
    if (json->one_line) return;
    bw_buffer_char(json->to, '\n');
    bw_buffer_fill(json->to, ' ', 2 * (size_t)json->depth);
}

// Before a value or a key: what has to stand between it and the one before.
static void separate(struct bw_json *json) {
    if (json->after_key) {
        json->after_key = false;
        return;
    }
    if (json->depth > 0) {
        if (!json->first) bw_buffer_char(json->to, ',');
        new_line(json);
    }
    json->first = false;
}

static void end_value(struct bw_json *json) {
    if (json->depth == 0 && !json->one_line) bw_buffer_char(json->to, '\n');
}

static void bare(struct bw_json *json, const char *text) {
    separate(json);
    bw_buffer_text(json->to, text);
    end_value(json);
}

static void escaped(struct bw_buffer *to, const char *text, size_t length) {
    static const char SHORT[] = "\"\\\b\f\n\r\t", LETTER[] = "\"\\bfnrt";
    for (size_t i = 0; i < length;) {
        uint32_t code = 0;
        size_t step = bw_utf8_step(text + i, length - i, &code);
        const char *known = code != 0 && code < 0x80 ? strchr(SHORT, (int)code) : NULL;
        if (step == 0)
            bw_buffer_text(to, "\xef\xbf\xbd");  // ill-formed bytes never leave
        else if (known != NULL)
            bw_buffer_format(to, "\\%c", LETTER[known - SHORT]);
        else if (code < 0x20 || code == 0x7f || code == 0xfeff)  // what the readers refuse bare
            bw_buffer_format(to, "\\u%04x", (unsigned)code);
        else
            bw_buffer_add(to, text + i, step);
        i += step == 0 ? 1 : step;
    }
}

static void string(struct bw_buffer *to, const char *text) {
    bw_buffer_char(to, '"');
    escaped(to, text, strlen(text));
    bw_buffer_char(to, '"');
}

void bw_json_open(struct bw_json *json, char bracket) {
    assert(bracket == '{' || bracket == '[');
    separate(json);
    bw_buffer_char(json->to, bracket);
    json->depth++;
    json->first = true;
}

void bw_json_close(struct bw_json *json, char bracket) {
    assert((bracket == '}' || bracket == ']') && json->depth > 0 && !json->after_key);
    json->depth--;
    if (!json->first) new_line(json);
    bw_buffer_char(json->to, bracket);
    json->first = false;
    end_value(json);
}

void bw_json_key(struct bw_json *json, const char *key) {
    assert(json->depth > 0 && !json->after_key);
    separate(json);
    string(json->to, key);
    bw_buffer_text(json->to, json->one_line ? ":" : ": ");
    json->after_key = true;
}

void bw_json_text(struct bw_json *json, const char *text) {
    if (text == NULL) {
        bw_json_null(json);
        return;
    }
    separate(json);
    string(json->to, text);
    end_value(json);
}

void bw_json_number(struct bw_json *json, double value) {
    char text[BW_NUMBER_TEXT];
    bare(json, bw_number_text(text, value));
}

void bw_json_count(struct bw_json *json, long value) {
    char text[BW_NUMBER_TEXT];
    (void)snprintf(text, sizeof text, "%ld", value);
    bare(json, text);
}

void bw_json_bool(struct bw_json *json, bool value) { bare(json, value ? "true" : "false"); }
void bw_json_null(struct bw_json *json) { bare(json, "null"); }
