// test_yaml.c - YAML in: what is taken, what is refused with which words at which place.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "base/buffer.h"
#include "base/yaml.h"
#include "support/torture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

struct document {
    struct bw_arena *arena;
    struct bw_node *root;
    struct bw_err err;
    bool done;
};

static struct document read_bytes(const char *bytes, size_t length) {
    struct document out = {.arena = bw_arena_new(0)};
    assert_non_null(out.arena);
    // A copy of exact size, so that a byte read too far is seen by the sanitizer.
    char *exact = bw_alloc(length);
    assert_non_null(exact);
    memcpy(exact, bytes, length);
    out.done = bw_yaml_read(out.arena, "m.yaml", exact, length, &out.root, &out.err);
    bw_free(exact);
    return out;
}

static struct document take(const char *text) {
    struct document out = read_bytes(text, strlen(text));
    if (!out.done) bw_err_print(&out.err, stderr);
    assert_true(out.done);
    return out;
}

static void drop(struct document *document) { bw_arena_free(document->arena); }

// A tree as text: key=value, {..}, [..], ~, 'quoted'. Order is the document's.
static void show(const struct bw_node *node, struct bw_buffer *out) {
    if (node->key != NULL) bw_buffer_format(out, "%s=", node->key);
    switch (node->kind) {
    case BW_NODE_NULL:
        bw_buffer_char(out, '~');
        return;
    case BW_NODE_TEXT:
        bw_buffer_format(out, node->quoted ? "'%s'" : "%s", node->text);
        return;
    default:
        break;
    }
    bw_buffer_char(out, node->kind == BW_NODE_MAP ? '{' : '[');
    for (const struct bw_node *child = node->child; child != NULL; child = child->next) {
        if (child != node->child) bw_buffer_text(out, ", ");
        show(child, out);
    }
    bw_buffer_char(out, node->kind == BW_NODE_MAP ? '}' : ']');
}

static const struct {
    const char *text, *tree;
} GOOD[] = {
    {"a: 1\nb: x y\n", "{a=1, b=x y}"},
    {"- a\n- b\n", "[a, b]"},
    {"heads:\n  - drum: 160 mm\n    grit: P80\n  - platen:\n", "{heads=[{drum=160 mm, grit=P80}, "
                                                               "{platen=~}]}"},
    {"a: {b: 1, c: [2, 3]}\n", "{a={b=1, c=[2, 3]}}"},
    {"{\"a\": 1, \"b\": [true, null]}", "{a=1, b=[true, ~]}"},
    // Scalars stay text: none of these becomes a boolean, a number or a date.
    {"a: no\nb: 1e3\nc: 0x10\nd: 2024-01-01\ne: .inf\nf: TRUE\n",
     "{a=no, b=1e3, c=0x10, d=2024-01-01, e=.inf, f=TRUE}"},
    // Nothing: only plain and only these.
    {"a:\nb: ~\nc: null\nd: \"\"\ne: '~'\nf: \"null\"\ng: Null\n",
     "{a=~, b=~, c=~, d='', e='~', f='null', g=Null}"},
    {"- a\n-\n- b\n", "[a, ~, b]"},
    {"a: 5\"\nb: 5' 3\"\nc: \"7 5/8\\\"\"\nd: 1/16\"\n",
     "{a=5\", b=5' 3\", c='7 5/8\"', d=1/16\"}"},
    {"a: |\n  one\n  two\nb: >-\n  three\n  four\n", "{a='one\ntwo\n', b='three four'}"},
    {"a: one\n  two\n", "{a=one two}"},
    {"# a comment\na: 1  # another\n\n# and one\nb: x#y\n", "{a=1, b=x#y}"},
    {"---\na: 1\n...\n", "{a=1}"},
    {"\xef\xbb\xbf"
     "a: 1\r\nb:\r\n  c: 2\r\n",
     "{a=1, b={c=2}}"},
    {"a: 18 m/s ± 3 %\nµ: 0.4 µm\n", "{a=18 m/s ± 3 %, µ=0.4 µm}"},
    {"a: \"tab\\there \\u00b5\"\n", "{a='tab\there µ'}"},
    {"a:\tb\n", "{a=b}"},
    {"\"a b\": 1\n'c': 2\n", "{a b=1, c=2}"},
    {"a: -5 °C\nb: −5\n", "{a=-5 °C, b=−5}"},
    {"a: 14.6 mm at 24 ft/min is splice\n", "{a=14.6 mm at 24 ft/min is splice}"},
    {"just a phrase\n", "just a phrase"},
    {"a: <<\n\"<<\": 1\n", "{a=<<, <<=1}"},
};

static void test_taken(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof GOOD / sizeof GOOD[0]; i++) {
        struct document document = take(GOOD[i].text);
        struct bw_buffer shown = {0};
        show(document.root, &shown);
        assert_string_equal(shown.data, GOOD[i].tree);
        bw_buffer_free(&shown);
        drop(&document);
    }
}

static void assert_place(const struct bw_node *node, int line, int column) {
    assert_non_null(node);
    assert_int_equal(node->line, line);
    assert_int_equal(node->column, column);
}

static void test_places(void **state) {
    (void)state;
    struct document document = take("# first line\n"
                                    "ä: \"quoted\"\n"
                                    "heads:\n"
                                    "  - grit: P80\n"
                                    "    drum: {diameter: 160 mm}\n"
                                    "  -\n"
                                    "  - [x, 'y']\n"
                                    "none:\n"
                                    "text: |\n"
                                    "  block\n"
                                    "gaps:\n"
                                    "  -\n"
                                    "# between\n"
                                    "  -\n"
                                    "  - x\n");
    const struct bw_node *root = document.root;
    assert_place(root, 2, 1);
    const struct bw_node *quoted = bw_node_find(root, "ä");
    assert_place(quoted, 2, 4);
    assert_int_equal(quoted->key_line, 2);
    assert_int_equal(quoted->key_column, 1);
    const struct bw_node *heads = bw_node_find(root, "heads");
    assert_place(heads, 4, 3);
    assert_int_equal(heads->key_line, 3);
    const struct bw_node *head = heads->child;
    assert_place(head, 4, 5);
    assert_place(bw_node_find(head, "grit"), 4, 11);
    const struct bw_node *drum = bw_node_find(head, "drum");
    assert_place(drum, 5, 11);
    assert_int_equal(drum->key_column, 5);
    assert_place(bw_node_find(drum, "diameter"), 5, 22);
    assert_place(head->next, 6, 3);
    assert_place(head->next->next, 7, 5);
    assert_place(head->next->next->child->next, 7, 9);
    assert_place(bw_node_find(root, "none"), 8, 1);  // nothing stands where its key does
    assert_place(bw_node_find(root, "text"), 10, 1);
    const struct bw_node *gap = bw_node_find(root, "gaps")->child;
    assert_place(gap, 12, 3);
    assert_place(gap->next, 14, 3);
    assert_place(gap->next->next, 15, 5);
    drop(&document);
}

static void test_columns_count_characters(void **state) {
    (void)state;
    // CRLF is one break, a tab and a wide character are one column each.
    struct document document = take("a: 1\r\nb: {ä: é,\tc: 日本, d: x}\r\n");
    const struct bw_node *b = bw_node_find(document.root, "b");
    assert_place(bw_node_find(b, "c"), 2, 14);
    assert_place(bw_node_find(b, "d"), 2, 21);
    drop(&document);
}

static const struct {
    const char *text;
    int line, column;
    const char *what, *mend, *excerpt;
} BAD[] = {
    // refused on principle
    {"a: &x 1\nb: *x\n", 1, 4, "anchors (&) are not taken", "write the value out where it is used",
     "a: &x 1"},
    {"a: 1\nb: *x\n", 2, 4, "aliases (*) are not taken",
     "write the value out, or quote a text that starts with *", "b: *x"},
    {"&a b: c\n", 1, 1, "anchors (&) are not taken", "write the value out where it is used",
     "&a b: c"},
    {"a:\n  <<: {b: 1}\n", 2, 3, "merge keys (<<) are not taken", "write the keys out",
     "  <<: {b: 1}"},
    {"a: !!str 1\n", 1, 4, "tags (!) are not taken", "remove it; every value is read as text",
     "a: !!str 1"},
    {"a: !thing {b: 1}\n", 1, 4, "tags (!) are not taken",
     "remove it; every value is read as text", "a: !thing {b: 1}"},
    {"a: !e!x 1\n", 1, 4, "tags (!) are not taken", "remove it; quote a text that starts with !",
     "a: !e!x 1"},
    {"# c\n%YAML 1.2\n---\na: 1\n", 2, 1, "directives (%) are not taken",
     "remove this line, or indent it if it is text",
     "%YAML 1.2"},
    {"%TAG ! x:\n---\na: 1\n", 1, 1, "directives (%) are not taken",
     "remove this line, or indent it if it is text", "%TAG ! x:"},
    {"a: |\n  x\n%y\n", 3, 1, "directives (%) are not taken",
     "remove this line, or indent it if it is text", "%y"},
    {"a: 1\n---\nb: 2\n", 2, 1, "a second document begins here", "keep one document in a file",
     "---"},
    {"a: 1\n...\n# c\nb: 2\n", 4, 1, "a second document begins here", "keep one document in a file",
     "b: 2"},
    {"? [a, b]\n: c\n", 1, 3, "a key must be a plain word", "write a word as the key", "? [a, b]"},
    {"{a: 1}: c\n", 1, 1, "a key must be a plain word", "write a word as the key", "{a: 1}: c"},
    {": a\n", 1, 1, "a key is missing before the colon", "write it as key: value", ": a"},
    {"a: 1\nb: 2\na: 3\nb: 4\n", 3, 1, "\"a\" is given twice, first in line 1",
     "keep one of the two", "a: 3"},
    {"x:\n  - {ä: 1, b: 2, ä: 3}\n", 2, 18, "\"ä\" is given twice, first in line 2",
     "keep one of the two", "  - {ä: 1, b: 2, ä: 3}"},
    {"{a: 1, b: 2, b: 3, a: 4}\n", 1, 14, "\"b\" is given twice, first in line 1",
     "keep one of the two", "{a: 1, b: 2, b: 3, a: 4}"},
    {"a: 1\r\n\"a\": 2\r\n", 2, 1, "\"a\" is given twice, first in line 1", "keep one of the two",
     "\"a\": 2"},
    // nothing there
    {"", 1, 1, "the document is empty", "write key: value lines", ""},
    {"# only a comment\n", 1, 1, "the document is empty", "write key: value lines",
     "# only a comment"},
    {"---\n...\n", 1, 1, "the document is empty", "write key: value lines", "---"},
    // characters
    {"a: \xff\n", 1, 4, "this is not UTF-8 text", "save the file as UTF-8", ""},
    {"a: b\nc: \xc3(\n", 2, 4, "this is not UTF-8 text", "save the file as UTF-8", ""},
    {"a: \x01\n", 1, 4, "a control character (U+0001) in the text", "remove it", "a:  "},
    {"a: x\n\xef\xbb\xbf"
     "b: 1\n",
     2, 1, "a byte order mark inside the text", "remove it; most editors do not show it",
     "\xef\xbb\xbf"
     "b: 1"},
    {"a: \"y\\0\"\n", 1, 4, "a NUL character in a text", "remove the \\0", "a: \"y\\0\""},
    {"a: \"\\ud800\"\n", 1, 5, "no such escape in double quotes",
     "write \\\\ for a backslash, or use single quotes", "a: \"\\ud800\""},
    // indentation
    {"a:\n\tb: 1\n", 2, 1, "this line is indented with a tab", "indent with spaces", " b: 1"},
    {"a:\n  b: 1\n\tc: 2\n", 3, 1, "this line is indented with a tab", "indent with spaces",
     " c: 2"},
    {"a:\n  - b\n  \t- c\n", 3, 3, "this line is indented with a tab", "indent with spaces",
     "   - c"},
    {"\ta: 1\n", 1, 1, "this line is indented with a tab", "indent with spaces", " a: 1"},
    {"a: b\n\tc\n", 2, 1, "this line is indented with a tab", "indent with spaces", " c"},
    {"- a\n - b\n", 2, 2, "a list item under a line that has its value already",
     "line up the dashes, or leave the key above without a value", " - b"},
    {"a: b\n  - c\n", 2, 3, "a list item under a line that has its value already",
     "line up the dashes, or leave the key above without a value", "  - c"},
    {"a: {\n\tb: 1}\n", 2, 1, "this line is indented with a tab", "indent with spaces", " b: 1}"},
    {"a\n\tb: 1\n", 2, 1, "this line is indented with a tab", "indent with spaces", " b: 1"},
    {"a:\n  b: 1\n c: 2\n", 3, 2, "this line does not line up with those it belongs to",
     "indent the lines of one group by the same number of spaces", " c: 2"},
    {"  a: 1\nb: 2\n", 2, 1, "this line does not line up with those it belongs to",
     "indent the lines of one group by the same number of spaces", "b: 2"},
    {"heads:\n  - drum: 1\n    grit: 2\n   - drum: 3\n", 4, 4,
     "this line does not line up with those it belongs to",
     "indent the lines of one group by the same number of spaces", "   - drum: 3"},
    {"a: b\n c: d\n", 2, 2, "this line is indented under a key that has its value already",
     "line it up with the key it belongs beside", " c: d"},
    {"- a: 1\n  - b: 2\n", 2, 3, "a key was expected here",
     "write key: value, or indent a list under the key it belongs to", "  - b: 2"},
    {"- a\nb: 1\n", 2, 1, "a list item starts with a dash, and this line has none",
     "start it with \"- \", or indent it like the key it belongs to", "b: 1"},
    // colons
    {"a 1\nb: 2\n", 1, 1, "a colon is missing after this key", "write it as key: value", "a 1"},
    {"a: 1\nb 2\nc: 3\n", 2, 1, "a colon is missing after this key", "write it as key: value",
     "b 2"},
    {"a: 1\nb\n", 2, 1, "a colon is missing after this key", "write it as key: value", "b"},
    {"- a 1\n  b: 2\n", 1, 3, "a colon is missing after this key", "write it as key: value",
     "- a 1"},
    {"a:1\nb: 2\n", 1, 2, "a space is missing after the colon", "write it as key: value", "a:1"},
    {"a: b: c\n", 1, 5, "a second colon on one line",
     "put the inner key on a line of its own, indented, or quote the value", "a: b: c"},
    {"a: - b\n", 1, 4, "a list may not begin on the line of its key",
     "put each \"- \" item on a line below the key, or quote the value", "a: - b"},
    {"--- a: 1\n", 1, 6, "nothing may stand behind ---", "put it on the next line", "--- a: 1"},
    // quotes and brackets
    {"a: \"x\nb: 3\n", 1, 4, "a quote is opened here and not closed",
     "close it on the same line; inches may be written as in", "a: \"x"},
    {"a: 'x\n", 1, 4, "a quote is opened here and not closed",
     "close it on the same line; inches may be written as in", "a: 'x"},
    {"a: \"103\" in\n", 1, 10, "text follows the closing quote",
     "put the whole value inside the quotes, or use none", "a: \"103\" in"},
    {"a: \"C:\\qqq\"\n", 1, 7, "no such escape in double quotes",
     "write \\\\ for a backslash, or use single quotes", "a: \"C:\\qqq\""},
    {"a: [1, 2\n", 1, 4, "a bracket is opened here and not closed", "close it with ]", "a: [1, 2"},
    {"a: {b: 1, c: [2\n", 1, 14, "a bracket is opened here and not closed", "close it with ]",
     "a: {b: 1, c: [2"},
    {"a: {b: 1\nc: 2\n", 2, 2, "a comma or a closing bracket is missing before this",
     "separate items with commas and close what was opened", "c: 2"},
    {"a: {x: [1}\n", 1, 10, "this bracket does not close the one that is open",
     "close [ with ] and { with }, the inner one first", "a: {x: [1}"},
    {"a: ]\n", 1, 4, "a closing bracket that nothing opened", "remove it, or quote the value",
     "a: ]"},
    {"a: [1, , 2]\n", 1, 8, "a value is missing before this comma",
     "remove the comma, or write the value", "a: [1, , 2]"},
    {"a: ,\n", 1, 4, "a value is missing here", "write one, or remove what is left over", "a: ,"},
    // characters YAML keeps for itself
    {"a: @x\n", 1, 4, "a value may not start with @", "put the value in quotes", "a: @x"},
    {"a: %3\n", 1, 4, "a value may not start with %", "put the value in quotes", "a: %3"},
    {"a: ? b\n", 1, 4, "a key may not start with a question mark here",
     "write it as key: value, or quote it", "a: ? b"},
    {"|0\"\"y\n", 1, 1, "this cannot be read as YAML",  // a fault the library does not name
     "check colons, indentation, quotes and brackets here", "|0\"\"y"},
    {"a: |3x\n b\n", 1, 6, "this cannot stand in a block of text after | or >",
     "put only | or > after the colon and the text below it, indented evenly", "a: |3x"},
    {"\"a\nb\": c\n", 1, 1, "a key must stand on one line", "shorten it or remove the line break",
     "\"a"},
};

static void test_refused(void **state) {
    (void)state;
    assert_true(sizeof BAD / sizeof BAD[0] >= 25);
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        struct document document = read_bytes(BAD[i].text, strlen(BAD[i].text));
        const struct bw_err *err = &document.err;
        bool as_expected = !document.done && document.root == NULL && err->code == BW_SYNTAX &&
                           err->line == BAD[i].line && err->column == BAD[i].column &&
                           strcmp(err->what, BAD[i].what) == 0 &&
                           strcmp(err->mend, BAD[i].mend) == 0 &&
                           strcmp(err->excerpt, BAD[i].excerpt) == 0 &&
                           strcmp(err->file, "m.yaml") == 0;
        if (!as_expected) {
            bw_err_print(err, stderr);
            fail_msg("case %zu: %s", i, BAD[i].text);
        }
        drop(&document);
    }
}

static void test_nul_byte(void **state) {
    (void)state;
    struct document document = read_bytes("a: 1\nb: \0x\n", 11);
    assert_false(document.done);
    assert_int_equal(document.err.code, BW_SYNTAX);
    assert_int_equal(document.err.line, 2);
    assert_int_equal(document.err.column, 4);
    assert_string_equal(document.err.what, "a NUL byte in the text");
    drop(&document);
}

static void test_long_line_has_no_caret(void **state) {
    (void)state;
    char text[400];
    memset(text, 'x', sizeof text);
    memcpy(text, "a: \"", 4);
    memcpy(text + 300, "\" b\n", 4);
    struct document document = read_bytes(text, 304);
    assert_false(document.done);
    assert_int_equal(document.err.column, 303);
    assert_string_equal(document.err.excerpt, "");
    drop(&document);
}

// `count` times `piece` between `head` and `tail`.
static struct document read_repeated(const char *head, const char *piece, size_t count,
                                     const char *tail) {
    struct bw_buffer text = {0};
    bw_buffer_text(&text, head);
    for (size_t i = 0; i < count; i++) bw_buffer_text(&text, piece);
    bw_buffer_text(&text, tail);
    assert_false(text.failed);
    struct document document = read_bytes(text.data, text.length);
    bw_buffer_free(&text);
    return document;
}

static void test_limits(void **state) {
    (void)state;
    static const char CLOSING[] = "x]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]";
    struct document deepest = read_repeated("", "[", BW_MAX_DEPTH, CLOSING);
    assert_true(deepest.done);
    drop(&deepest);
    struct document deep = read_repeated("", "[", 200000, "");
    assert_int_equal(deep.err.code, BW_LIMIT);
    assert_string_equal(deep.err.what, "nested more than 32 deep");
    assert_int_equal(deep.err.column, BW_MAX_DEPTH + 1);
    drop(&deep);
    // The list itself is one value.
    struct document most = read_repeated("", "- a\n", BW_MAX_NODES - 1, "");
    assert_true(most.done);
    drop(&most);
    struct document many = read_repeated("", "- a\n", BW_MAX_NODES, "");
    assert_int_equal(many.err.code, BW_LIMIT);
    assert_string_equal(many.err.what, "more than 100000 values in one document");
    assert_int_equal(many.err.line, BW_MAX_NODES);
    drop(&many);
    struct document blank = read_repeated("a: |\n", "\n", BW_MAX_BLANK_RUN, "  x\n");
    assert_int_equal(blank.err.code, BW_LIMIT);
    assert_string_equal(blank.err.what, "more than 500 spaces and empty lines in a row");
    drop(&blank);
    struct document large = read_repeated("a: ", "xxxxxxxx", BW_MAX_DOCUMENT_BYTES / 8, "");
    assert_int_equal(large.err.code, BW_LIMIT);
    assert_string_equal(large.err.what, "larger than 1048576 bytes");
    drop(&large);
}

// Keys made to be slow for a hash or a linear search.
static void test_many_keys(void **state) {
    (void)state;
    struct bw_buffer text = {0};
    // 24517 * 7919 = 123 (mod 50000)
    for (int i = 0; i < 50000; i++) bw_buffer_format(&text, "k%05d: 1\n", (i * 7919) % 50000);
    bw_buffer_text(&text, "k00123: 2\n");
    struct document document = read_bytes(text.data, text.length);
    assert_string_equal(document.err.what, "\"k00123\" is given twice, first in line 24518");
    assert_int_equal(document.err.line, 50001);
    drop(&document);
    bw_buffer_free(&text);
}

static bool read_under_torture(void *with) {
    struct bw_node *root = NULL;
    struct bw_err err = {0};
    const char *text = with;
    struct bw_arena *arena = bw_arena_new(0);
    bool done = arena != NULL && bw_yaml_read(arena, "m.yaml", text, strlen(text), &root, &err);
    if (!done) {
        assert_null(root);
        if (arena != NULL) assert_int_equal(err.code, BW_MEMORY);
    }
    bw_arena_free(arena);
    return done;
}

static void test_out_of_memory(void **state) {
    (void)state;
    struct bw_buffer text = {0};
    for (int i = 0; i < 2000; i++) bw_buffer_format(&text, "key%d: {a: [1, \"two\", ~]}\n", i);
    assert_true(torture(read_under_torture, text.data) > 5);
    bw_buffer_free(&text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_taken),
        cmocka_unit_test(test_places),
        cmocka_unit_test(test_columns_count_characters),
        cmocka_unit_test(test_refused),
        cmocka_unit_test(test_nul_byte),
        cmocka_unit_test(test_long_line_has_no_caret),
        cmocka_unit_test(test_limits),
        cmocka_unit_test(test_many_keys),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
