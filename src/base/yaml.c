// yaml.c - the one place that knows libfyaml: events in, our tree and plain words out.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// libfyaml scans; everything that is policy is ours: what is refused, the limits, unique keys,
// where exactly a thing stands. Places are counted from byte offsets here, because the library
// counts a tab as several columns. Events are pulled one by one and put on a stack of BW_MAX_DEPTH
// maps and lists, so nothing recurses.
#include "base/yaml.h"

#include "base/alloc.h"
#include "base/format.h"
#include "base/place.h"
#include "base/utf8.h"

#include <libfyaml.h>
#include <stdlib.h>
#include <string.h>

#define HEADROOM ((size_t)64 << 10)

// A map or list that is still open.
struct frame {
    struct bw_node *node;
    size_t offset;    // where it began
    const char *key;  // of a map: read, its value not yet
    int key_line, key_column;
};

struct reader {
    struct bw_arena *arena;
    struct bw_err *err;
    struct bw_place place;  // moves forward with the events: placing all nodes costs one pass
    struct frame stack[BW_MAX_DEPTH];
    int depth;
    size_t nodes;
    size_t end;  // just behind the last token
    bool seen;   // the first document began
    struct bw_node *root;
};

// ---- refusals -----------------------------------------------------------------------------------

// '\0' behind the end; the text itself holds none.
static char peek(const struct reader *r, size_t offset) {
    return offset < r->place.length ? r->place.text[offset] : '\0';
}

static bool at(struct reader *r, size_t offset) {
    return bw_place_blame(&r->place, offset, r->err);
}

static bool refuse(struct reader *r, size_t offset, const char *mend, const char *what, ...)
    BW_PRINTF(4, 5);
static bool refuse(struct reader *r, size_t offset, const char *mend, const char *what, ...) {
    char sentence[BW_MAX_ERROR_TEXT];
    va_list args;
    va_start(args, what);
    (void)bw_vformat(sentence, sizeof sentence, what, args);
    va_end(args);
    (void)bw_fail(r->err, BW_SYNTAX, "%s", sentence);
    bw_err_mend(r->err, "%s", mend);
    return at(r, offset);
}

static bool out_of_memory(struct reader *r) {
    bw_err_file(r->err, r->place.file);
    return bw_fail_memory(r->err);
}

// ---- before the scanner -------------------------------------------------------------------------

static bool is_blank(char c) { return c == ' ' || c == '\t'; }

// Past blanks, line breaks and comments.
static size_t next_content(const struct reader *r, size_t offset) {
    while (offset < r->place.length) {
        char c = peek(r, offset);
        if (c == '#')
            offset = bw_place_line_end(&r->place, offset);
        else if (is_blank(c) || c == '\n' || c == '\r')
            offset++;
        else
            break;
    }
    return offset;
}

// What the scanner would take minutes over: a long run of blanks, or lines that begin with %.
static bool check_lines(struct reader *r) {
    size_t run = 0;
    for (size_t i = 0; i < r->place.length; i++) {
        char c = peek(r, i);
        bool line_break = c == '\n' || c == '\r';
        run = is_blank(c) || line_break ? run + 1 : 0;
        if (run > BW_MAX_BLANK_RUN) {
            (void)bw_fail(r->err, BW_LIMIT, "more than %d spaces and empty lines in a row",
                          BW_MAX_BLANK_RUN);
            return at(r, i);
        }
        if ((line_break || i == 0) && peek(r, line_break ? i + 1 : i) == '%')
            return refuse(r, line_break ? i + 1 : i, "remove this line, or indent it if it is text",
                          "directives (%%) are not taken");
    }
    return true;
}

static bool check_start(struct reader *r) {
    size_t first = next_content(r, 0);
    if (first == r->place.length)
        return refuse(r, 0, "write key: value lines", "the document is empty");
    return check_lines(r);
}

// ---- the scanner's errors in plain words --------------------------------------------------------

#define UNEVEN                                                                                     \
    "this line does not line up with those it belongs to",                                         \
        "indent the lines of one group by the same number of spaces"

static const struct plain {
    const char *library;  // a piece of libfyaml's message
    const char *what, *mend;
} PLAIN[] = {
    {"trailing content after", "text follows the closing quote",
     "put the whole value inside the quotes, or use none"},
    {"nested block mapping on the same line", "a second colon on one line",
     "put the inner key on a line of its own, indented, or quote the value"},
    {"invalid indentation in mapping", UNEVEN},
    {"invalid mapping in plain multiline", UNEVEN},
    {"wrongly indented", UNEVEN},
    {"wrong indendation", UNEVEN},
    {"expected '-'", UNEVEN},
    {"tab", "a tab where only spaces may stand", "indent with spaces"},
    {"expected key", "a key was expected here",
     "write key: value, or indent a list under the key it belongs to"},
    {"mismatched", "this bracket does not close the one that is open",
     "close [ with ] and { with }, the inner one first"},
    {"extra comma", "a value is missing before this comma", "remove the comma, or write the value"},
    {"comma in the beginning", "a value is missing before this comma",
     "remove the comma, or write the value"},
    {"at the end of block sequence", "a list item starts with a dash, and this line has none",
     "start it with \"- \", or indent it like the key it belongs to"},
    {"invalid value after mapping", "this line belongs to no key",
     "check its indentation, and that its key ends with a colon"},
    {"block sequence on the same line", "a list may not begin on the line of its key",
     "put each \"- \" item on a line below the key, or quote the value"},
    {"missing comma", "a comma or a closing bracket is missing before this",
     "separate items with commas and close what was opened"},
    {"invalid extra closing", "a closing bracket that nothing opened",
     "remove it, or quote the value"},
    {"expected node content", "a value is missing here", "write one, or remove what is left over"},
    {"anchor", "anchors and aliases (& and *) are not taken",
     "write the values out; quote a text that starts with & or *"},
    {"alias", "anchors and aliases (& and *) are not taken",
     "write the values out; quote a text that starts with & or *"},
    {"uri", "tags (!) are not taken", "remove it; quote a text that starts with !"},
    {"tag", "tags (!) are not taken", "remove it; quote a text that starts with !"},
    {"escape", "no such escape in double quotes",
     "write \\\\ for a backslash, or use single quotes"},
    {"surrogate", "no such character", "write the character itself"},
    {"block scalar", "this cannot stand in a block of text after | or >",
     "put only | or > after the colon and the text below it, indented evenly"},
    {"mapping key (not allowed", "a key may not start with a question mark here",
     "write it as key: value, or quote it"},
    {"used as key", "a key must stand on one line", "shorten it or remove the line break"},
    {"comment", "a comment needs a space before its #", "put a space before #, or quote the value"},
    {"document", "a document marker in the wrong place", "remove the --- or ... line"},
};

// Where the line's indentation ends; *tab: the first tab in it, or SIZE_MAX.
static size_t indentation(const struct reader *r, size_t offset, size_t *tab) {
    size_t i = bw_place_line_begin(&r->place, offset);
    *tab = SIZE_MAX;
    for (; is_blank(peek(r, i)); i++)
        if (peek(r, i) == '\t' && *tab == SIZE_MAX) *tab = i;
    return i;
}

static bool refuse_tab(struct reader *r, size_t tab) {
    return refuse(r, tab, "indent with spaces", "this line is indented with a tab");
}

// The first word of a line in which no colon makes a key.
static bool is_bare_line(const struct reader *r, size_t word) {
    size_t tab, end = bw_place_line_end(&r->place, word);
    return word == indentation(r, word, &tab) &&
           memchr(r->place.text + word, ':', end - word) == NULL;
}

// A line without the ": " that makes it a key. `word` is where it begins.
static bool refuse_no_colon(struct reader *r, size_t word) {
    size_t end = bw_place_line_end(&r->place, word);
    for (size_t i = word; i + 1 < end; i++)
        if (peek(r, i) == ':' && !is_blank(peek(r, i + 1)))
            return refuse(r, i, "write it as key: value", "a space is missing after the colon");
    return refuse(r, word, "write it as key: value", "a colon is missing after this key");
}

// The library read two lines as one key: either the first lacks its colon, or the second is
// indented as if it went on with the value above it.
static bool refuse_joined_lines(struct reader *r, size_t begin, size_t end) {
    size_t tab, first_word = indentation(r, begin, &tab);
    while (first_word + 1 < begin && peek(r, first_word) == '-') first_word += 2;
    if (first_word >= begin) return refuse_no_colon(r, begin);
    return refuse(r, indentation(r, end, &tab), "line it up with the key it belongs beside",
                  "this line is indented under a key that has its value already");
}

static bool refuse_open_bracket(struct reader *r, size_t offset) {
    if (r->depth > 0) offset = r->stack[r->depth - 1].offset;
    bool brace = peek(r, offset) == '{';
    return refuse(r, offset, brace ? "close it with }" : "close it with ]",
                  "a bracket is opened here and not closed");
}

static bool refuse_open_quote(struct reader *r, size_t offset) {
    char before = offset > 0 ? peek(r, offset - 1) : ' ';
    if (before == '"' || before == '\'') offset--;
    return refuse(r, offset, "close it on the same line; inches may be written as in",
                  "a quote is opened here and not closed");
}

static bool stands_behind_dashes(const struct reader *r, size_t offset) {
    size_t line = bw_place_line_begin(&r->place, offset);
    return offset >= line + 4 && memcmp(r->place.text + line, "--- ", 4) == 0;
}

static bool translate(struct reader *r, const char *said, size_t begin, size_t end) {
    bool joined = strstr(said, "multiline plain key") != NULL;
    size_t tab;
    (void)indentation(r, joined ? end : begin, &tab);
    if (tab != SIZE_MAX) return refuse_tab(r, tab);
    if (joined) return refuse_joined_lines(r, begin, end);
    if (stands_behind_dashes(r, begin))
        return refuse(r, begin, "put it on the next line", "nothing may stand behind ---");
    bool no_key = strstr(said, "value after mapping") != NULL && is_bare_line(r, begin);
    if (no_key || strstr(said, "expected ':'") != NULL) return refuse_no_colon(r, begin);
    if (strstr(said, "without a closing") != NULL) return refuse_open_bracket(r, begin);
    if (strstr(said, "without closing quote") != NULL ||
        (strstr(said, "wrongly indented") != NULL && strstr(said, "quoted") != NULL))
        return refuse_open_quote(r, begin);
    if (strstr(said, "cannot start with") != NULL && peek(r, begin) > ' ')
        return refuse(r, begin, "put the value in quotes", "a value may not start with %c",
                      peek(r, begin));
    for (size_t i = 0; i < sizeof PLAIN / sizeof PLAIN[0]; i++)
        if (strstr(said, PLAIN[i].library) != NULL)
            return refuse(r, begin, PLAIN[i].mend, "%s", PLAIN[i].what);
    return refuse(r, begin, "check colons, indentation, quotes and brackets here",
                  "this cannot be read as YAML");
}

// libfyaml does not survive a failed malloc while it takes its input (a few hundred bytes);
// everywhere else it reports it. Asking for more just before turns that into an answer.
static bool has_headroom(void) {
    void *room = bw_alloc(HEADROOM);
    bw_free(room);
    return room != NULL;
}

// The parser stopped: says why. Some faults it does not name.
static bool explain(struct reader *r, struct fy_diag *diag) {
    void *position = NULL;
    if (!has_headroom()) return out_of_memory(r);
    for (struct fy_diag_error *said; (said = fy_diag_errors_iterate(diag, &position)) != NULL;) {
        if (said->type != FYET_ERROR || said->msg == NULL || said->fyt == NULL) continue;
        const struct fy_mark *begin = fy_token_start_mark(said->fyt);
        const struct fy_mark *end = fy_token_end_mark(said->fyt);
        if (begin == NULL || end == NULL || end->input_pos > r->place.length) continue;
        return translate(r, said->msg, begin->input_pos, end->input_pos);
    }
    return translate(r, "", next_content(r, r->end), r->place.length);
}

// ---- building the tree --------------------------------------------------------------------------

static struct frame *top(struct reader *r) {
    return r->depth == 0 ? NULL : &r->stack[r->depth - 1];
}

static bool wants_key(struct reader *r) {
    const struct frame *frame = top(r);
    return frame != NULL && frame->node->kind == BW_NODE_MAP && frame->key == NULL;
}

static size_t begin_of(struct reader *r, struct fy_token *token) {
    const struct fy_mark *mark = token == NULL ? NULL : fy_token_start_mark(token);
    return mark == NULL ? next_content(r, r->end) : mark->input_pos;
}

static void note_end(struct reader *r, struct fy_token *token) {
    const struct fy_mark *mark = token == NULL ? NULL : fy_token_end_mark(token);
    if (mark != NULL && mark->input_pos <= r->place.length) r->end = mark->input_pos;
}

// Anchors and tags may stand before any value.
static bool check_properties(struct reader *r, struct fy_token *anchor, struct fy_token *tag) {
    if (anchor != NULL)
        return refuse(r, begin_of(r, anchor) - 1, "write the value out where it is used",
                      "anchors (&) are not taken");
    if (tag != NULL)
        return refuse(r, begin_of(r, tag), "remove it; every value is read as text",
                      "tags (!) are not taken");
    return true;
}

// Hangs `node` under the open map or list, or makes it the root.
static bool attach(struct reader *r, struct bw_node *node, size_t offset) {
    if (++r->nodes > BW_MAX_NODES) {
        bw_err_mend(r->err, "split the document");
        (void)bw_fail(r->err, BW_LIMIT, "more than %d values in one document", BW_MAX_NODES);
        return at(r, offset);
    }
    struct frame *frame = top(r);
    if (frame == NULL) {
        r->root = node;
        return true;
    }
    node->key = frame->key;
    node->key_line = frame->key_line;
    node->key_column = frame->key_column;
    frame->key = NULL;
    bw_node_add(frame->node, node);
    return true;
}

static bool open_container(struct reader *r, enum bw_node_kind kind, struct fy_token *token) {
    size_t offset = begin_of(r, token);
    if (wants_key(r))
        return refuse(r, offset, "write a word as the key", "a key must be a plain word");
    if (r->depth == BW_MAX_DEPTH) {
        bw_err_mend(r->err, "nest less, or close what is left open");
        (void)bw_fail(r->err, BW_LIMIT, "nested more than %d deep", BW_MAX_DEPTH);
        return at(r, offset);
    }
    struct bw_node *node = bw_node_new(r->arena, kind);
    if (node == NULL) return out_of_memory(r);
    // A map without a brace stands where its first key does; see take_key.
    bool brace = peek(r, offset) == '{';
    if (kind == BW_NODE_LIST || brace) {
        bw_place_move(&r->place, offset);
        node->line = r->place.line;
        node->column = r->place.column;
    }
    if (!attach(r, node, offset)) return false;
    r->stack[r->depth++] = (struct frame){.node = node, .offset = offset};
    note_end(r, token);
    return true;
}

static int by_key(const void *a, const void *b) {
    const struct bw_node *left = *(const struct bw_node *const *)a;
    const struct bw_node *right = *(const struct bw_node *const *)b;
    int order = strcmp(left->key, right->key);
    if (order != 0) return order;
    if (left->key_line != right->key_line) return left->key_line < right->key_line ? -1 : 1;
    return left->key_column < right->key_column ? -1 : 1;
}

static bool refuse_twice(struct reader *r, const struct bw_node *first,
                         const struct bw_node *second) {
    size_t offset = 0;
    for (int line = 1; line < second->key_line; line++) {
        offset = bw_place_line_end(&r->place, offset);
        offset += peek(r, offset) == '\r' && peek(r, offset + 1) == '\n' ? 2 : 1;
    }
    for (int column = 1; column < second->key_column; column++)
        offset += bw_utf8_step(r->place.text + offset, r->place.length - offset, &(uint32_t){0});
    return refuse(r, offset, "keep one of the two", "\"%.100s\" is given twice, first in line %d",
                  second->key, first->key_line);
}

// Sorted, equal keys are neighbours: hostile keys cannot make this slow as they could a hash. The
// second occurrence that comes first in the document is the one to show.
static bool check_unique(struct reader *r, const struct bw_node *map) {
    size_t n = bw_node_count(map), i = 0;
    const struct bw_node **sorted = bw_arena_array(r->arena, n, sizeof(const struct bw_node *));
    if (sorted == NULL) return out_of_memory(r);
    for (const struct bw_node *child = map->child; child != NULL; child = child->next)
        sorted[i++] = child;
    qsort(sorted, n, sizeof(const struct bw_node *), by_key);
    const struct bw_node *first = NULL, *second = NULL;
    for (i = 1; i < n; i++) {
        if (strcmp(sorted[i - 1]->key, sorted[i]->key) != 0) continue;
        bool sooner =
            second == NULL || sorted[i]->key_line < second->key_line ||
            (sorted[i]->key_line == second->key_line && sorted[i]->key_column < second->key_column);
        if (!sooner) continue;
        first = sorted[i - 1];
        second = sorted[i];
    }
    return second == NULL || refuse_twice(r, first, second);
}

static bool close_container(struct reader *r, struct fy_token *token) {
    note_end(r, token);
    const struct bw_node *node = r->stack[--r->depth].node;
    return node->kind != BW_NODE_MAP || check_unique(r, node);
}

static bool check_text(struct reader *r, const char *text, size_t length, size_t offset) {
    if (memchr(text, '\0', length) != NULL)
        return refuse(r, offset, "remove the \\0", "a NUL character in a text");
    if (!bw_utf8_valid(text, length))
        return refuse(r, offset, "write the character itself",
                      "an escape in this text stands for no character");
    return true;
}

// YAML would quietly append an ill-indented line to the text above it.
static bool check_further_lines(struct reader *r, struct fy_token *token, size_t begin) {
    const struct fy_mark *mark = fy_token_end_mark(token);
    size_t end = mark == NULL ? begin : mark->input_pos;
    for (size_t i = begin; i < end; i++) {
        if (peek(r, i) != '\n' && peek(r, i) != '\r') continue;
        size_t tab, word = indentation(r, i + 1, &tab);
        if (tab != SIZE_MAX) return refuse_tab(r, tab);
        if (word + 1 < end && peek(r, word) == '-' && is_blank(peek(r, word + 1)))
            return refuse(r, word, "line up the dashes, or leave the key above without a value",
                          "a list item under a line that has its value already");
    }
    return true;
}

static bool take_key(struct reader *r, const struct bw_node *scalar, size_t offset) {
    if (scalar->length == 0)
        return refuse(r, offset, "write it as key: value", "a key is missing before the colon");
    if (!scalar->quoted && strcmp(scalar->text, "<<") == 0)
        return refuse(r, offset, "write the keys out", "merge keys (<<) are not taken");
    struct frame *frame = top(r);
    frame->key = scalar->text;
    frame->key_line = scalar->line;
    frame->key_column = scalar->column;
    if (frame->node->line == 0) {
        frame->node->line = scalar->line;
        frame->node->column = scalar->column;
    }
    return true;
}

static bool means_nothing(const char *text, size_t length) {
    return length == 0 || (length == 1 && text[0] == '~') ||
           (length == 4 && memcmp(text, "null", 4) == 0);
}

struct scalar {
    const char *text;  // the token's, valid as long as its event
    size_t length;
    size_t offset;  // of the opening quote, or the first character
    bool plain, absent;
};

static bool read_scalar(struct reader *r, struct fy_token *token, struct scalar *out) {
    struct scalar scalar = {.text = "", .offset = begin_of(r, token), .plain = true};
    scalar.absent = token == NULL;
    if (token != NULL) {
        enum fy_scalar_style style = fy_scalar_token_get_style(token);
        bool quotes = style == FYSS_SINGLE_QUOTED || style == FYSS_DOUBLE_QUOTED;
        if (quotes && scalar.offset > 0) scalar.offset--;
        scalar.plain = style == FYSS_PLAIN;
        scalar.text = fy_token_get_text(token, &scalar.length);
        if (scalar.text == NULL) return out_of_memory(r);
        if (scalar.plain && !check_further_lines(r, token, scalar.offset)) return false;
    }
    *out = scalar;
    return check_text(r, scalar.text, scalar.length, scalar.offset);
}

// Nothing after "key:" stands where the key does, nothing after "-" where the dash does.
static void place_scalar(struct reader *r, struct bw_node *node, const struct scalar *scalar) {
    const struct frame *frame = top(r);
    if (scalar->absent && frame != NULL && frame->key != NULL) {
        node->line = frame->key_line;
        node->column = frame->key_column;
        return;
    }
    bw_place_move(&r->place, scalar->offset);
    if (scalar->absent && scalar->offset < r->place.length) r->end = scalar->offset + 1;
    node->line = r->place.line;
    node->column = r->place.column;
}

static bool take_scalar(struct reader *r, struct fy_token *token) {
    struct scalar scalar;
    if (!read_scalar(r, token, &scalar)) return false;
    bool key = wants_key(r);
    bool nothing = !key && scalar.plain && means_nothing(scalar.text, scalar.length);
    struct bw_node *node = nothing ? bw_node_new(r->arena, BW_NODE_NULL)
                                   : bw_node_text(r->arena, scalar.text, scalar.length);
    if (node == NULL) return out_of_memory(r);
    node->quoted = !scalar.plain;
    place_scalar(r, node, &scalar);
    note_end(r, token);
    return key ? take_key(r, node, scalar.offset) : attach(r, node, scalar.offset);
}

static bool begin_document(struct reader *r, const struct fy_event *event) {
    size_t offset = begin_of(r, event->document_start.document_start);
    if (r->seen && peek(r, offset) == '.')
        offset = next_content(r, offset + 3);  // behind the ... of the first
    if (r->seen)
        return refuse(r, offset, "keep one document in a file", "a second document begins here");
    r->seen = true;
    note_end(r, event->document_start.document_start);
    return true;
}

static bool take_event(struct reader *r, const struct fy_event *event) {
    switch (event->type) {
    case FYET_DOCUMENT_START: return begin_document(r, event);
    case FYET_DOCUMENT_END: note_end(r, event->document_end.document_end); return true;
    case FYET_ALIAS:
        return refuse(r, begin_of(r, event->alias.anchor) - 1,
                      "write the value out, or quote a text that starts with *",
                      "aliases (*) are not taken");
    case FYET_SCALAR:
        return check_properties(r, event->scalar.anchor, event->scalar.tag) &&
               take_scalar(r, event->scalar.value);
    case FYET_MAPPING_START:
        return check_properties(r, event->mapping_start.anchor, event->mapping_start.tag) &&
               open_container(r, BW_NODE_MAP, event->mapping_start.mapping_start);
    case FYET_SEQUENCE_START:
        return check_properties(r, event->sequence_start.anchor, event->sequence_start.tag) &&
               open_container(r, BW_NODE_LIST, event->sequence_start.sequence_start);
    case FYET_MAPPING_END: return close_container(r, event->mapping_end.mapping_end);
    case FYET_SEQUENCE_END: return close_container(r, event->sequence_end.sequence_end);
    default: return true;
    }
}

static bool take_events(struct reader *r, struct fy_parser *parser, struct fy_diag *diag) {
    bool complete = false;
    for (struct fy_event *event; (event = fy_parser_parse(parser)) != NULL;) {
        complete = event->type == FYET_STREAM_END;
        bool taken = take_event(r, event);
        fy_parser_event_free(parser, event);
        if (!taken) return false;
    }
    if (!complete || fy_parser_get_stream_error(parser)) return explain(r, diag);
    if (r->root == NULL || r->root->kind == BW_NODE_NULL)
        return refuse(r, 0, "write key: value lines", "the document is empty");
    return true;
}

static bool parse(struct reader *r) {
    bool done = false;
    struct fy_parser *parser = NULL;
    struct fy_diag_cfg quiet;
    fy_diag_cfg_default(&quiet);
    quiet.fp = NULL;
    if (!has_headroom()) return out_of_memory(r);
    struct fy_diag *diag = fy_diag_create(&quiet);
    if (diag == NULL) return out_of_memory(r);
    fy_diag_set_collect_errors(diag, true);
    struct fy_parse_cfg config = {.flags = FYPCF_DEFAULT_VERSION_1_2 | FYPCF_JSON_NONE,
                                  .diag = diag};
    parser = fy_parser_create(&config);
    if (parser == NULL || fy_parser_set_string(parser, r->place.text, r->place.length) != 0)
        (void)out_of_memory(r);
    else
        done = take_events(r, parser, diag);
    fy_parser_destroy(parser);
    fy_diag_destroy(diag);
    return done;
}

bool bw_yaml_read(struct bw_arena *arena, const char *file, const char *bytes, size_t length,
                  struct bw_node **out, struct bw_err *err) {
    struct reader r = {.arena = arena, .err = err, .place = bw_place_begin(file, bytes, length)};
    if (length > BW_MAX_DOCUMENT_BYTES) {
        bw_err_file(err, file);
        bw_err_mend(err, "is it the right file?");
        return bw_fail(err, BW_LIMIT, "larger than %zu bytes", BW_MAX_DOCUMENT_BYTES);
    }
    if (!bw_place_check_text(&r.place, err) || !check_start(&r) || !parse(&r)) return false;
    *out = r.root;
    return true;
}
