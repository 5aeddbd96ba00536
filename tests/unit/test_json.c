// test_json.c - JSON in and out: trees, refusals with their places, what the writer lets through.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "base/json.h"
#include "support/torture.h"
#include "support/tree.h"

#include <math.h>
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
    char *exact = bw_alloc(length);
    assert_non_null(exact);
    memcpy(exact, bytes, length);
    out.done = bw_json_read(out.arena, "m.json", exact, length, &out.root, &out.err);
    bw_free(exact);
    return out;
}

static void drop(struct document *document) { bw_arena_free(document->arena); }

static void test_tree(void **state) {
    (void)state;
    static const char TEXT[] = "{\"a\": \"x \\u00b5 \\\" \\n\","
                               " \"b\": [1, -2.5, true, false, null, {}], \"\": {\"c\": []}}";
    struct document document = read_bytes(TEXT, strlen(TEXT));
    assert_true(document.done);
    const struct bw_node *root = document.root;
    assert_int_equal(root->kind, BW_NODE_MAP);
    assert_int_equal(bw_node_count(root), 3);
    const struct bw_node *a = bw_node_find(root, "a");
    assert_string_equal(a->text, "x µ \" \n");
    assert_true(a->quoted);
    const struct bw_node *item = bw_node_find(root, "b")->child;
    static const char *const ITEMS[] = {"1", "-2.5", "true", "false"};
    for (size_t i = 0; i < 4; i++, item = item->next) {
        assert_int_equal(item->kind, BW_NODE_TEXT);
        assert_string_equal(item->text, ITEMS[i]);
        assert_false(item->quoted);
    }
    assert_int_equal(item->kind, BW_NODE_NULL);
    assert_int_equal(item->next->kind, BW_NODE_MAP);
    assert_int_equal(bw_node_find(root, "")->child->kind, BW_NODE_LIST);
    drop(&document);
}

static void test_numbers_keep_their_value(void **state) {
    (void)state;
    static const struct {
        const char *json, *text;
    } CASES[] = {
        {"0", "0"},
        {"-0", "0"},
        {"12345678901234", "12345678901234"},
        {"9007199254740992", "9007199254740992"},
        {"-9007199254740992", "-9007199254740992"},
        {"0.1", "0.1"},
        {"2.50", "2.5"},
        {"1e3", "1000"},
        {"1e22", "1e+22"},
        {"0.0000001", "1e-07"},
        // More than twelve digits are kept, in the seventeen that make a double.
        {"0.1234567890123456", "1.2345678901234559e-01"},
        {"-123456789012345.6", "-1.2345678901234559e+14"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        struct document document = read_bytes(CASES[i].json, strlen(CASES[i].json));
        assert_true(document.done);
        assert_string_equal(document.root->text, CASES[i].text);
        drop(&document);
    }
}

static void test_mark_and_line_ends(void **state) {
    (void)state;
    static const char TEXT[] = "\xef\xbb\xbf{\r\n\"a\": \"b\"\r\n}\r\n";
    struct document document = read_bytes(TEXT, strlen(TEXT));
    assert_true(document.done);
    assert_string_equal(bw_node_find(document.root, "a")->text, "b");
    drop(&document);
}

static const struct {
    const char *text;
    int line, column;
    const char *what;
} BAD[] = {
    {"", 1, 1, "the text ends before the document is complete"},
    {" \n ", 2, 2, "the text ends before the document is complete"},
    {"{\"a\": [1, 2", 1, 12, "the text ends before the document is complete"},
    {"{\"a\": \"x", 1, 9, "the text ends inside a string"},
    {"{\"a\": 1,}", 1, 9, "a comma with nothing after it"},
    {"{\n  \"a\": 1\n  \"b\": 2\n}", 3, 3, "a comma or a closing bracket is missing before this"},
    {"[24 ft/min]", 1, 5, "a comma or a closing bracket is missing before this"},
    {"[1, 5,3 mm]", 1, 9, "a comma or a closing bracket is missing before this"},
    {"{\"a\": [1}", 1, 9, "a comma or a closing bracket is missing before this"},
    {"{\"a\" 1}", 1, 6, "a colon is missing after the key"},
    {"{'a': 1}", 1, 2, "a key must stand in double quotes"},
    {"{feed: 1}", 1, 2, "a key must stand in double quotes"},
    {"[1,]", 1, 4, "a value is missing here"},
    {"{\"a\": }", 1, 7, "a value is missing here"},
    {"]", 1, 1, "a value is missing here"},
    {"{\"a\": splice}", 1, 7, "this is not a JSON value"},
    {"[\"µ\", NaN]", 1, 7, "this is not a JSON value"},
    {"[µ]", 1, 2, "this is not a JSON value"},
    {"[-Infinity]", 1, 2, "this is not a JSON number"},
    {"[.5]", 1, 2, "this is not a JSON number"},
    {"[+1]", 1, 2, "this is not a JSON number"},
    {"[01]", 1, 2, "this is not a JSON number"},
    {"[0x10]", 1, 2, "a comma or a closing bracket is missing before this"},
    {"[1e999]", 1, 2, "this number is too large"},
    {"[ -99999999999999999999]", 1, 3, "this number is too large"},
    {"// note\n{}", 1, 1, "JSON has no comments"},
    {"{\"a\": 1} # note", 1, 10, "JSON has no comments"},
    {"{\"a\": 1} {}", 1, 10, "text after the end of the document"},
    {"{\"a\": 1,\n \"µ\": 2, \"a\"  : 3}", 2, 10, "a key is given twice"},
    {"{\"a\": \"one\ntwo\"}", 1, 11, "a line break in a string"},
    {"{\"a\": \"one\ttwo\"}", 1, 11, "a tab in a string"},
    {"{\"a\": \"C:\\qqq\"}", 1, 11, "no such escape in a string"},
    {"{\"a\": \"\\ud800\"}", 1, 7, "an escape in this string stands for no character"},
    {"{\"a\": \"x\\u0000\"}", 1, 7, "a NUL character in a string"},
    {"{\"a\\u0000\": 1}", 1, 2, "a NUL character in a string"},
    {"{\"a\": \"\xff\"}", 1, 8, "this is not UTF-8 text"},
    {"{\"a\": \"\x01\"}", 1, 8, "a control character (U+0001) in the text"},
};

static void test_refused(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        struct document document = read_bytes(BAD[i].text, strlen(BAD[i].text));
        const struct bw_err *err = &document.err;
        bool as_expected = !document.done && document.root == NULL && err->code == BW_SYNTAX &&
                           err->line == BAD[i].line && err->column == BAD[i].column &&
                           strcmp(err->what, BAD[i].what) == 0 && err->mend[0] != '\0' &&
                           strcmp(err->file, "m.json") == 0;
        if (!as_expected) {
            bw_err_print(err, stderr);
            fail_msg("case %zu: %s", i, BAD[i].text);
        }
        drop(&document);
    }
}

static void test_nul_byte(void **state) {
    (void)state;
    struct document document = read_bytes("{\"a\": \0}", 8);
    assert_string_equal(document.err.what, "a NUL byte in the text");
    assert_int_equal(document.err.column, 7);
    drop(&document);
}

static void test_large_whole_number_names_its_path(void **state) {
    (void)state;
    static const char TEXT[] = "{\"heads\": [{}, {\"list\": [[1, 9007199254740993]]}]}";
    struct document document = read_bytes(TEXT, strlen(TEXT));
    assert_false(document.done);
    assert_int_equal(document.err.code, BW_INPUT);
    assert_string_equal(document.err.field, "heads[1].list[0][1]");
    assert_string_equal(document.err.value, "9007199254740993");
    drop(&document);
}

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
    static const char CLOSING[] = "]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]";
    struct document deepest = read_repeated("", "[", BW_MAX_DEPTH, CLOSING + 1);
    assert_true(deepest.done);
    drop(&deepest);
    struct document deep = read_repeated("", "[", BW_MAX_DEPTH + 1, CLOSING);
    assert_int_equal(deep.err.code, BW_LIMIT);
    assert_string_equal(deep.err.what, "nested more than 32 deep");
    drop(&deep);
    struct document deeper = read_repeated("", "[", 200000, "");
    assert_int_equal(deeper.err.code, BW_LIMIT);
    drop(&deeper);
    // The list itself is one value.
    struct document most = read_repeated("[", "0,", BW_MAX_NODES - 2, "0]");
    assert_true(most.done);
    drop(&most);
    struct document many = read_repeated("[", "0,", BW_MAX_NODES - 1, "0]");
    assert_int_equal(many.err.code, BW_LIMIT);
    assert_string_equal(many.err.what, "more than 100000 values in one document");
    drop(&many);
    struct document large = read_repeated("\"", "xxxxxxxx", BW_MAX_DOCUMENT_BYTES / 8, "\"");
    assert_int_equal(large.err.code, BW_LIMIT);
    drop(&large);
}

static bool read_under_torture(void *with) {
    struct bw_node *root = NULL;
    struct bw_err err = {0};
    const char *text = with;
    struct bw_arena *arena = bw_arena_new(0);
    bool done = arena != NULL && bw_json_read(arena, "m.json", text, strlen(text), &root, &err);
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
    bw_buffer_text(&text, "{\"list\": [1, 0.5, \"two\", null, {\"a\": true}]");
    for (int i = 0; i < 300; i++) bw_buffer_format(&text, ", \"key%d\": [\"text %d\"]", i, i);
    bw_buffer_text(&text, "}");
    // jansson's own requests come through our allocator as well.
    assert_true(torture(read_under_torture, text.data) > 900);
    bw_buffer_free(&text);
}

// ---- writer -------------------------------------------------------------------------------------

static void test_written_form(void **state) {
    (void)state;
    struct bw_buffer out = {0};
    struct bw_json json = bw_json_begin(&out);
    bw_json_open(&json, '{');
    bw_json_key(&json, "shape");
    bw_json_text(&json, "rates/1");
    bw_json_key(&json, "empty");
    bw_json_open(&json, '{');
    bw_json_close(&json, '}');
    bw_json_key(&json, "list");
    bw_json_open(&json, '[');
    bw_json_number(&json, 0.1);
    bw_json_count(&json, -3);
    bw_json_bool(&json, true);
    bw_json_null(&json);
    bw_json_text(&json, NULL);
    bw_json_open(&json, '[');
    bw_json_close(&json, ']');
    bw_json_open(&json, '{');
    bw_json_key(&json, "a");
    bw_json_bool(&json, false);
    bw_json_close(&json, '}');
    bw_json_close(&json, ']');
    bw_json_close(&json, '}');
    assert_string_equal(out.data, "{\n"
                                  "  \"shape\": \"rates/1\",\n"
                                  "  \"empty\": {},\n"
                                  "  \"list\": [\n"
                                  "    0.1,\n"
                                  "    -3,\n"
                                  "    true,\n"
                                  "    null,\n"
                                  "    null,\n"
                                  "    [],\n"
                                  "    {\n"
                                  "      \"a\": false\n"
                                  "    }\n"
                                  "  ]\n"
                                  "}\n");
    bw_buffer_free(&out);
}

static void test_written_scalar(void **state) {
    (void)state;
    struct bw_buffer out = {0};
    struct bw_json json = bw_json_begin(&out);
    bw_json_text(&json, "alone");
    assert_string_equal(out.data, "\"alone\"\n");
    bw_buffer_free(&out);
}

static void test_what_is_not_a_number_never_leaves(void **state) {
    (void)state;
    struct bw_buffer out = {0};
    struct bw_json json = bw_json_begin(&out);
    bw_json_open(&json, '[');
    bw_json_number(&json, NAN);
    bw_json_number(&json, INFINITY);
    bw_json_number(&json, -INFINITY);
    bw_json_close(&json, ']');
    assert_string_equal(out.data, "[\n  null,\n  null,\n  null\n]\n");
    bw_buffer_free(&out);
}

// RFC 8259, section 7: what must be escaped, and that ill-formed bytes do not leave.
static void test_escapes(void **state) {
    (void)state;
    struct bw_buffer out = {0};
    struct bw_json json = bw_json_begin(&out);
    bw_json_text(&json, "\" \\ / \b\f\n\r\t \x01\x1f\x7f µ \xff \xed\xa0\x80");
    assert_string_equal(out.data, "\"\\\" \\\\ / \\b\\f\\n\\r\\t \\u0001\\u001f\\u007f µ "
                                  "\xef\xbf\xbd \xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\"\n");
    bw_buffer_free(&out);
    json = bw_json_begin(&out);
    bw_json_open(&json, '{');
    bw_json_key(&json, "a\"b");
    bw_json_null(&json);
    bw_json_close(&json, '}');
    assert_string_equal(out.data, "{\n  \"a\\\"b\": null\n}\n");
    bw_buffer_free(&out);
}

static void test_written_is_read(void **state) {
    (void)state;
    static const char TEXT[] = "{\"a\": [\"x\\u0001\\\"\\\\\", 0.1, 12, true, null, {\"µ\": []}],"
                               " \"b\": \"1\"}";
    struct document document = read_bytes(TEXT, strlen(TEXT));
    assert_true(document.done);
    struct bw_buffer out = {0};
    struct bw_json json = bw_json_begin(&out);
    tree_write(&json, document.root);
    struct document again = read_bytes(out.data, out.length);
    assert_true(again.done);
    assert_true(tree_equal(document.root, again.root));
    bw_buffer_free(&out);
    drop(&document);
    drop(&again);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_tree),
        cmocka_unit_test(test_numbers_keep_their_value),
        cmocka_unit_test(test_mark_and_line_ends),
        cmocka_unit_test(test_refused),
        cmocka_unit_test(test_nul_byte),
        cmocka_unit_test(test_large_whole_number_names_its_path),
        cmocka_unit_test(test_limits),
        cmocka_unit_test(test_out_of_memory),
        cmocka_unit_test(test_written_form),
        cmocka_unit_test(test_written_scalar),
        cmocka_unit_test(test_what_is_not_a_number_never_leaves),
        cmocka_unit_test(test_escapes),
        cmocka_unit_test(test_written_is_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
