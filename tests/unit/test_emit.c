// test_emit.c - records out as JSON and back again, and the schema that describes them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/bind.h"
#include "base/emit.h"
#include "support/random_record.h"
#include "support/rich.h"
#include "support/torture.h"

#include "base/alloc.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char *emitted(const struct bw_record *record, const void *value, const char *shape) {
    struct bw_buffer buffer = {0};
    struct bw_json json = bw_json_begin(&buffer);
    bw_emit_record(&json, record, value, shape);
    char *text = bw_buffer_take(&buffer);
    assert_non_null(text);
    return text;
}

static char *schema_of(const struct bw_record *record, const char *shape) {
    struct bw_buffer buffer = {0};
    struct bw_json json = bw_json_begin(&buffer);
    bw_emit_schema(&json, record, shape);
    char *text = bw_buffer_take(&buffer);
    assert_non_null(text);
    return text;
}

static void check_emitted(const struct bw_record *record, const void *value, const char *shape,
                          const char *expected) {
    char *text = emitted(record, value, shape);
    assert_string_equal(text, expected);
    bw_free(text);
}

static void values_leave_in_display_units(void **state) {
    (void)state;
    struct rich rich;
    bw_record_clear(&rich_record, &rich);
    check_emitted(&rich_record, &rich, NULL, "{}\n");
    rich.length = bw_about(2.6162, 0.002);
    rich.temperature = bw_about(293.15, 0.5);
    rich.moisture = bw_exactly(0.08);
    rich.at_least = bw_exactly(90);
    rich.factor = bw_about(3, 0.25);
    rich.speed = (struct bw_quantity){.v = 18, .sd = 0.2, .way = 1};
    rich.heads = 3;
    rich.backing = 0;
    rich.name = "a \"b\"\n";
    rich.photo = (struct bw_file){.name = "p.jpg", .content = "x", .size = 1};
    struct rich_elbow elbow = {.angle = bw_exactly(0.5 * 3.141592653589793)};
    rich.element = (struct bw_oneof){.which = 0, .item = &elbow};
    struct rich_roll roll;
    bw_record_clear(&rich_roll_record, &roll);
    roll.name = "r";
    rich.rolls = (struct bw_file){.name = "r.yaml", .content = &roll};
    rich.spares = (struct bw_list){.items = &roll, .n = 1};
    check_emitted(
        &rich_record, &rich, "rich/1",
        "{\n"
        "  \"shape\": \"rich/1\",\n"
        "  \"length\": {\n    \"value\": 2616.2,\n    \"sd\": 2,\n    \"unit\": \"mm\"\n  },\n"
        "  \"speed\": {\n    \"value\": 18,\n    \"sd\": 0.2,\n    \"unit\": \"m/s\",\n    \"by\": "
        "\"timed 3 m\"\n  },\n"
        "  \"temperature\": {\n    \"value\": 20,\n    \"sd\": 0.5,\n    \"unit\": \"°C\"\n  },\n"
        "  \"moisture\": 0.08,\n"
        "  \"factor\": {\n    \"value\": 3,\n    \"sd\": 0.25\n  },\n"
        "  \"at_least\": {\n    \"value\": 90,\n    \"unit\": \"s\"\n  },\n"
        "  \"heads\": 3,\n"
        "  \"backing\": \"paper\",\n"
        "  \"name\": \"a \\\"b\\\"\\n\",\n"
        "  \"rolls\": {\n    \"name\": \"r\"\n  },\n"
        "  \"photo\": \"p.jpg\",\n"
        "  \"spares\": [\n    {\n      \"name\": \"r\"\n    }\n  ],\n"
        "  \"element\": {\n    \"elbow\": {\n      \"angle\": {\n        \"value\": 90,\n"
        "        \"unit\": \"deg\"\n      }\n    }\n  }\n"
        "}\n");
}

static void a_way_without_an_sd_is_named(void **state) {
    (void)state;
    struct rich rich;
    bw_record_clear(&rich_record, &rich);
    rich.moisture = (struct bw_quantity){.v = 0.08, .sd = NAN, .way = 0};
    check_emitted(&rich_record, &rich, NULL,
                  "{\n  \"moisture\": {\n    \"value\": 8,\n    \"unit\": \"%\",\n"
                  "    \"by\": \"rule\"\n  }\n}\n");
}

// bind(read(emit(x))) is x, and emits the same bytes again.
static void round_trip(const struct bw_record *record, uint64_t seed) {
    struct bw_arena *arena = bw_arena_new(0);
    struct random_how how = {
        .arena = arena, .state = seed, .given = (double)(seed % 11) / 10, .items = 4};
    void *before = bw_arena_get(arena, record->size), *after = bw_arena_get(arena, record->size);
    assert_true(before != NULL && after != NULL && random_record(&how, record, before));
    char *first = emitted(record, before, "rich/1");
    struct bw_node *root = NULL;
    struct bw_err err = {0};
    const struct bw_binding binding = {.arena = arena, .shape = "rich/1"};
    if (!bw_json_read(arena, NULL, first, strlen(first), &root, &err) ||
        !bw_bind(&binding, root, record, after, &err))
        fail_msg("seed %lu: %s: %s in %s", (unsigned long)seed, err.field, err.what, first);
    char path[160];
    if (!same_record(record, before, after, path))
        fail_msg("seed %lu: %s differs: %s", (unsigned long)seed, path, first);
    char *second = emitted(record, after, "rich/1");
    assert_string_equal(first, second);
    bw_free(first);
    bw_free(second);
    bw_arena_free(arena);
}

static void what_leaves_comes_back_equal(void **state) {
    (void)state;
    for (uint64_t seed = 1; seed <= 300; seed++) round_trip(&rich_record, seed);
}

// The judge of the test above must be able to say no.
static void different_records_differ(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    size_t differ = 0;
    for (uint64_t seed = 1; seed <= 20; seed++) {
        struct random_how a = {.arena = arena, .state = seed, .given = 0.5, .items = 3};
        struct random_how b = {.arena = arena, .state = seed + 1000, .given = 0.5, .items = 3};
        struct rich one, other;
        char path[160];
        assert_true(random_record(&a, &rich_record, &one) &&
                    random_record(&b, &rich_record, &other));
        if (!same_record(&rich_record, &one, &other, path)) differ++;
        assert_true(same_record(&rich_record, &one, &one, path));
    }
    assert_int_equal(differ, 20);
    struct rich_roll one = {.name = "a", .diameter = bw_exactly(0.1), .teeth = 3, .fixed = 0},
                     other = one;
    char path[160];
    other.diameter.v *= 1 + 1e-10;
    assert_false(same_record(&rich_roll_record, &one, &other, path));
    assert_string_equal(path, "diameter");
    bw_arena_free(arena);
}

static void the_schema_of_a_small_record(void **state) {
    (void)state;
    char *text = schema_of(&rich_roll_record, "roll/1");
    assert_string_equal(
        text,
        "{\n"
        "  \"$schema\": \"https://json-schema.org/draft/2020-12/schema\",\n"
        "  \"title\": \"roll\",\n"
        "  \"description\": \"a roll\",\n"
        "  \"type\": \"object\",\n"
        "  \"properties\": {\n"
        "    \"shape\": {\n      \"const\": \"roll/1\"\n    },\n"
        "    \"name\": {\n      \"description\": \"what it is called\",\n      \"type\": "
        "\"string\"\n    },\n"
        "    \"diameter\": {\n"
        "      \"description\": \"diameter (a length, 10 to 1000 mm)\",\n"
        "      \"anyOf\": [\n"
        "        {\n          \"type\": \"string\"\n        },\n"
        "        {\n"
        "          \"type\": \"object\",\n"
        "          \"properties\": {\n"
        "            \"value\": {\n              \"type\": \"number\"\n            },\n"
        "            \"sd\": {\n              \"type\": \"number\"\n            },\n"
        "            \"unit\": {\n              \"type\": \"string\",\n"
        "              \"examples\": [\n                \"mm\",\n                \"in\"\n          "
        "    ]\n            }\n"
        "          },\n"
        "          \"required\": [\n            \"value\",\n            \"unit\"\n          ],\n"
        "          \"additionalProperties\": false\n"
        "        }\n"
        "      ]\n"
        "    },\n"
        "    \"teeth\": {\n      \"description\": \"teeth of its sprocket\",\n      \"type\": "
        "\"integer\",\n"
        "      \"minimum\": 1,\n      \"maximum\": 400\n    },\n"
        "    \"fixed\": {\n      \"description\": \"yes where the shaft stands still\",\n"
        "      \"enum\": [\n        \"no\",\n        \"yes\"\n      ],\n      \"default\": "
        "\"no\"\n    }\n"
        "  },\n"
        "  \"required\": [\n    \"name\"\n  ],\n"
        "  \"additionalProperties\": false\n"
        "}\n");
    bw_free(text);
}

// Every field of every record below has exactly one property, and every record one definition.
static void the_schema_holds_every_field(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    struct bw_node *root = NULL;
    char *text = schema_of(&rich_record, NULL);
    assert_true(bw_json_read(arena, NULL, text, strlen(text), &root, &err));
    const struct bw_node *defs = bw_node_find(root, "$defs");
    assert_int_equal(bw_node_count(defs), 4);
    const struct {
        const struct bw_node *at;
        size_t fields;
    } cases[] = {
        {root, 19},
        {bw_node_find(defs, "roll"), 4 + 1},
        {bw_node_find(defs, "mark"), 4},
        {bw_node_find(defs, "elbow"), 1},
        {bw_node_find(defs, "fan"), 4},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        assert_int_equal(bw_node_count(bw_node_find(cases[i].at, "properties")), cases[i].fields);
    assert_null(bw_node_find(bw_node_find(root, "properties"), "shape"));
    // The roll is also a document of its own, so there it may carry its shape.
    assert_non_null(bw_node_find(bw_node_find(bw_node_find(defs, "roll"), "properties"), "shape"));
    assert_int_equal(bw_node_count(bw_node_find(root, "required")), 5);
    bw_free(text);
    bw_arena_free(arena);
}

// Asks an independent validator (python3-jsonschema) whether random records meet the schema.
static void records_meet_their_schema(void **state) {
    (void)state;
    if (system("python3 -W ignore -c 'import jsonschema' 2>/dev/null") != 0) skip();
    FILE *python = popen("python3 -W ignore -c '\n"
                         "import json, sys, jsonschema\n"
                         "schema, *documents = [json.loads(p) for p in "
                         "sys.stdin.read().split(\"\\0\") if p.strip()]\n"
                         "jsonschema.Draft202012Validator.check_schema(schema)\n"
                         "v = jsonschema.Draft202012Validator(schema)\n"
                         "good, bad = documents[:-4], documents[-4:]\n"
                         "for d in good: v.validate(d)\n"
                         "assert len(good) == 100\n"
                         "assert not any(v.is_valid(d) for d in bad)\n"
                         "'",
                         "w");
    assert_non_null(python);
    char *schema = schema_of(&rich_record, "rich/1");
    (void)fprintf(python, "%s%c", schema, 0);
    bw_free(schema);
    struct bw_arena *arena = bw_arena_new(0);
    for (uint64_t seed = 1; seed <= 100; seed++) {
        struct random_how how = {
            .arena = arena, .state = seed, .given = 0.7, .items = 3, .raw_files = true};
        struct rich rich;
        assert_true(random_record(&how, &rich_record, &rich));
        char *text = emitted(&rich_record, &rich, "rich/1");
        (void)fprintf(python, "%s%c", text, 0);
        bw_free(text);
    }
    static const char *const BAD[] = {
        "{}",
        "{\"shape\": \"x\", \"length\": \"3 m\", \"heads\": 1, \"backing\": \"film\", \"name\": "
        "\"x\", \"marks\": [\"3 mm\"]}",
        "{\"length\": \"3 m\", \"heads\": 13, \"backing\": \"film\", \"name\": \"x\", \"marks\": "
        "[\"3 mm\"]}",
        "{\"length\": \"3 m\", \"heads\": 1, \"backing\": \"film\", \"name\": \"x\", \"marks\": "
        "[\"3 mm\"], \"q\": 1}",
    };
    for (size_t i = 0; i < 4; i++) (void)fprintf(python, "%s%c", BAD[i], 0);
    bw_arena_free(arena);
    assert_int_equal(pclose(python), 0);
}

static bool emit_short_of_memory(void *with) {
    struct bw_buffer buffer = {0};
    struct bw_json json = bw_json_begin(&buffer);
    bw_emit_record(&json, &rich_record, with, "rich/1");
    bw_emit_schema(&json, &rich_record, "rich/1");
    bool done = !buffer.failed;
    bw_buffer_free(&buffer);
    return done;
}

static void memory_may_run_out(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct random_how how = {.arena = arena, .state = 5, .given = 1, .items = 3};
    struct rich rich;
    assert_true(random_record(&how, &rich_record, &rich));
    assert_true(torture(emit_short_of_memory, &rich) > 0);
    bw_arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_leave_in_display_units),
        cmocka_unit_test(a_way_without_an_sd_is_named),
        cmocka_unit_test(what_leaves_comes_back_equal),
        cmocka_unit_test(different_records_differ),
        cmocka_unit_test(the_schema_of_a_small_record),
        cmocka_unit_test(the_schema_holds_every_field),
        cmocka_unit_test(records_meet_their_schema),
        cmocka_unit_test(memory_may_run_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
