// test_bind.c - documents into records, and what is said when they do not fit.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/bind.h"
#include "base/json.h"
#include "base/yaml.h"
#include "support/faults.h"
#include "support/rich.h"
#include "support/torture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

// What every rich document needs, in one line, so that a case's own line is line 2.
#define NEEDED "{length: 103 in, heads: 2, backing: cloth, name: x, marks: [{pitch: 14 mm}]"
#define WITH(more) NEEDED ",\n" more "}\n"

struct bound {
    struct bw_arena *arena;
    struct rich rich;
    struct bw_err err;
    bool done;
};

static struct bound bind_yaml(const char *yaml) {
    struct bound bound = {.arena = bw_arena_new(0)};
    struct bw_node *root = NULL;
    struct bw_err read = {0};
    assert_non_null(bound.arena);
    if (!bw_yaml_read(bound.arena, "t.yaml", yaml, strlen(yaml), &root, &read))
        fail_msg("%s: %s", yaml, read.what);
    const struct bw_binding binding = {
        .arena = bound.arena, .file = "t.yaml", .source = yaml, .source_length = strlen(yaml)};
    bound.done = bw_bind(&binding, root, &rich_record, &bound.rich, &bound.err);
    return bound;
}

static struct rich good(struct bound bound) {
    if (!bound.done) fail_msg("%s: %s", bound.err.field, bound.err.what);
    return bound.rich;
}

static void near(double a, double b) {
    if (!(fabs(a - b) <= 1e-12 * fabs(b))) fail_msg("%.17g is not %.17g", a, b);
}

// ---- what is taken ----

static void every_kind_is_bound(void **state) {
    (void)state;
    struct bound bound = bind_yaml("shape: rich/1\n"
                                   "Length: 103 in\n"
                                   "depth: 5 µm ± 1\n"
                                   "speed: 18 m/s by timed 3 m\n"
                                   "at least: 2 min 30 s\n"
                                   "heads: 3\n"
                                   "Backing: CLOTH\n"
                                   "name: \"unknown\"\n"
                                   "roll: {name: top, diameter: 4 in, fixed: yes}\n"
                                   "marks:\n"
                                   "  - 14.6 mm by rule at 24 ft/min is Top-Roll note chalked\n"
                                   "  - {pitch: 10 mm, is: drum}\n"
                                   "spares: idler of 120 mm\n"
                                   "element: {fan: {power: 4 kW, pulley: {name: p}}}\n"
                                   "rolls: {shape: roll/1, name: inner}\n");
    struct rich rich = good(bound);
    near(rich.length.v, 2.6162);
    near(rich.depth.v, 5e-6);
    near(rich.depth.sd, 1e-6);
    assert_int_equal(rich.speed.way, 1);
    near(rich.speed.sd, 0.18);
    near(rich.at_least.v, 150);
    assert_int_equal(rich.heads, 3);
    assert_int_equal(rich.backing, 1);
    assert_string_equal(rich.name, "unknown");
    assert_string_equal(rich.note, "none");
    assert_string_equal(rich.roll->name, "top");
    assert_int_equal(rich.roll->fixed, 1);
    assert_int_equal(rich.marks.n, 2);
    const struct rich_mark *marks = rich.marks.items;
    near(marks[0].pitch.v, 0.0146);
    near(marks[0].pitch.sd, 0.0146 * 0.015);
    near(marks[0].feed.v, 24 * 0.3048 / 60);
    assert_int_equal(marks[0].is, 2);
    assert_string_equal(marks[0].note, "chalked");
    assert_int_equal(marks[1].is, 1);
    assert_null(marks[1].note);
    assert_int_equal(rich.spares.n, 1);
    const struct rich_roll *spare = rich.spares.items;
    near(spare->diameter.v, 0.12);
    assert_int_equal(spare->fixed, 0);
    assert_int_equal(rich.element.which, 1);
    const struct rich_fan *fan = rich.element.item;
    near(fan->power.v, 4000);
    assert_string_equal(fan->pulley->name, "p");
    assert_string_equal(rich.rolls.name, "inline");
    assert_string_equal(((const struct rich_roll *)rich.rolls.content)->name, "inner");
    assert_null(rich.photo.name);
    bw_arena_free(bound.arena);
}

static void what_is_not_given_is_unknown_or_the_fallback(void **state) {
    (void)state;
    const char *const yaml[] = {
        NEEDED "}",
        WITH("depth: unknown, speed: '?', count: UNKNOWN, note: "),
        WITH("depth: , speed: ~, roll: unknown, spares: [], element: '?'"),
        WITH("depth: {value: unknown}, speed: {Value: '?', by: plate}, rolls: unknown"),
    };
    for (size_t i = 0; i < sizeof yaml / sizeof *yaml; i++) {
        struct bound bound = bind_yaml(yaml[i]);
        struct rich rich = good(bound);
        assert_false(bw_known(rich.depth));
        near(rich.speed.v, 18);
        near(rich.speed.sd, 1.8);
        assert_int_equal(rich.speed.way, 0);
        assert_true(rich.count == BW_NO_COUNT);
        assert_string_equal(rich.note, "none");
        assert_null(rich.roll);
        assert_null(rich.rolls.name);
        assert_int_equal(rich.spares.n, 0);
        assert_int_equal(rich.element.which, -1);
        bw_arena_free(bound.arena);
    }
}

static void a_quantity_may_be_spelt_out(void **state) {
    (void)state;
    const struct {
        const char *yaml;
        double v, sd;
        int way;
    } cases[] = {
        {WITH("speed: {value: 18, unit: m/s}"), 18, NAN, -1},
        {WITH("speed: {value: 1.8e+01, sd: 2e-1, unit: m/s}"), 18, 0.2, -1},
        {WITH("speed: {value: 18 m/s ± 3 %}"), 18, 0.54, -1},
        {WITH("speed: {VALUE: 18, Unit: m/s, by: plate}"), 18, 1.8, 0},
        {WITH("speed: {value: 18, sd: 0.2, unit: m/s, by: timed 3 m}"), 18, 0.2, 1},
        {WITH("speed: {value: 18, sd: 5 %, unit: m/s, by: plate}"), 18, 0.9, 0},
        {WITH("speed: {value: 18, sd: , unit: m/s}"), 18, NAN, -1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct bound bound = bind_yaml(cases[i].yaml);
        struct bw_quantity q = good(bound).speed;
        near(q.v, cases[i].v);
        if (isnan(cases[i].sd))
            assert_false(bw_sd_known(q));
        else
            near(q.sd, cases[i].sd);
        assert_int_equal(q.way, cases[i].way);
        bw_arena_free(bound.arena);
    }
}

static void a_variant_may_stand_alone(void **state) {
    (void)state;
    const char *const yaml[] = {WITH("element: fan"), WITH("element: {Fan: }"),
                                WITH("element: {fan: {}}")};
    for (size_t i = 0; i < sizeof yaml / sizeof *yaml; i++) {
        struct bound bound = bind_yaml(yaml[i]);
        struct rich rich = good(bound);
        assert_int_equal(rich.element.which, 1);
        assert_false(bw_known(((const struct rich_fan *)rich.element.item)->power));
        bw_arena_free(bound.arena);
    }
}

static void limits_are_inclusive(void **state) {
    (void)state;
    const char *const yaml[] = {WITH("depth: 0 mm"),          WITH("depth: 1 mm"),
                                WITH("depth: 1000 µm"),       WITH("moisture: 100 %"),
                                WITH("hardness: 5"),          WITH("temperature: -23.15 °C"),
                                WITH("temperature: 56.85 °C")};
    for (size_t i = 0; i < sizeof yaml / sizeof *yaml; i++) {
        struct bound bound = bind_yaml(yaml[i]);
        (void)good(bound);
        bw_arena_free(bound.arena);
    }
}

// ---- what is refused, and how ----

static const struct {
    const char *yaml;
    int line, column;
    const char *field, *what, *value, *mend;
} REFUSED[] = {
    // keys
    {WITH("dpth: 5 µm"), 2, 1, "dpth", "is not a key of this rich", "", "did you mean depth?"},
    {WITH("qqzz: 5 µm"), 2, 1, "qqzz", "is not a key", "", "keys here: length, depth, speed,"},
    {WITH("diameter: 5 mm"), 2, 1, "diameter", "is not a key", "", "it belongs under roll"},
    {WITH("angle: 5 deg"), 2, 1, "angle", "is not a key", "", "it belongs under element"},
    {WITH("pitch: 5 mm"), 2, 1, "pitch", "is not a key", "", "it belongs under marks"},
    {WITH("roll: {name: x, backing: cloth}"), 2, 17, "roll.backing", "not a key of this roll", "",
     "one level up, in the rich"},
    {WITH("roll: {name: x, shape: roll/1}"), 2, 17, "roll.shape", "not a key", "",
     "keys here: name"},
    {WITH("Length: 3 m"), 2, 1, "Length", "is given twice, as \"length\" and \"Length\"", "",
     "keep line 1 or line 2"},
    {WITH("depth: 1 mm, Depth: 2 mm"), 2, 14, "Depth", "is given twice", "", "keep one of them"},
    {"{length: 103 in}", 1, 1, "heads", "is missing", "",
     "give heads (number of heads): a whole number, 1 to 12"},
    // quantities
    {WITH("speed: 3 kg"), 2, 8, "speed", "needs a speed", "3 kg", "units that fit"},
    {WITH("speed: [3]"), 2, 8, "speed", "cannot be a list", "",
     "write a speed, 0.5 to 60 m/s; by: plate"},
    {WITH("speed: {value: 3, unti: m/s}"), 2, 19, "speed.unti", "is not a key of this quantity", "",
     "did you mean unit?"},
    {WITH("speed: {unit: m/s}"), 2, 8, "speed.value", "is missing", "", "give value (the number)"},
    {WITH("speed: {value: [3]}"), 2, 16, "speed.value", "cannot be a list", "", "write a text"},
    {WITH("speed: {value: 3}"), 2, 8, "speed", "without a unit", "3", "write 3 m/s or 3 ft/min"},
    {WITH("speed: 0.1 m/s"), 2, 8, "speed", "is out of range, takes 0.5 to 60 m/s", "0.1 m/s",
     "write a speed, 0.5 to 60 m/s"},
    {WITH("speed: 4000 m/s"), 2, 8, "speed", "is out of range", "4000 m/s",
     "did you mean 4000 ft/min?"},
    {WITH("speed: 4000 m/min"), 2, 8, "speed", "is out of range", "4000 m/min",
     "did you mean 4000 ft/min?"},
    {WITH("speed: {value: 4000, unit: m/s}"), 2, 8, "speed", "is out of range", "4000 m/s",
     "did you mean 4000 ft/min?"},
    {WITH("at_least: -3 s"), 2, 11, "at_least", "is out of range, takes at least 0 s", "-3 s",
     "write a time, at least 0 s"},
    // other scalars
    {WITH("count: 1.5"), 2, 8, "count", "", "1.5", ""},
    {WITH("count: {a: 1}"), 2, 8, "count", "cannot be a group of keys", "", "write a whole number"},
    {"{length: 103 in, heads: 13}", 1, 25, "heads", "", "13", ""},
    {"{length: 103 in, heads: 2, backing: clth}", 1, 37, "backing", "is not one of the choices",
     "clth", "did you mean cloth?"},
    {"{length: 103 in, heads: 2, backing: x}", 1, 37, "backing", "is not one", "x",
     "choose one of: paper, cloth, film"},
    {"{length: 103 in, heads: 2, backing: '?'}", 1, 37, "backing", "cannot be unknown", "?",
     "give backing (what carries the grain): one of: paper"},
    {"{length: 103 in, heads: 2, backing: film, name: ''}", 1, 49, "name", "is empty", "",
     "give name (name of the belt)"},
    {WITH("note: \"a\\e[2Jb\""), 2, 7, "note", "characters that are no text", "a [2Jb",
     "remove them"},
    // records, lists, variants
    {WITH("roll: [a]"), 2, 7, "roll", "needs the keys of this roll, got a list", "",
     "keys here: name, diameter"},
    {WITH("roll: {name: x, diameter: 15 m}"), 2, 27, "roll.diameter", "is out of range", "15 m",
     "did you mean 15 mm or 15 in?"},
    {WITH("roll: of 5 cm"), 2, 7, "roll.name", "is missing", "of 5 cm",
     "give name (what it is called): a text"},
    {WITH("roll: x of 5 kg"), 2, 7, "roll.diameter", "needs a length", "5 kg", "units that fit"},
    {WITH("roll: x of 5 cm of 6 cm"), 2, 7, "roll", "\"of\" is said twice", "x of 5 cm of 6 cm",
     "say it once"},
    {WITH("spares: [{name: a}, {name: b, teeth: 0}]"), 2, 38, "spares[1].teeth", "", "0", ""},
    {WITH("spares: [a, ~]"), 2, 13, "spares[1]", "got nothing", "", "keys here: name"},
    {WITH("element: {elbow: {angle: 9 rad}}"), 2, 26, "element.elbow.angle", "is out of range",
     "9 rad", "did you mean 9 deg?"},
    {WITH("element: elbow"), 2, 10, "element.elbow.angle", "is missing", "elbow",
     "give angle (how far it turns)"},
    {WITH("element: {elbo: {}}"), 2, 10, "element", "is not one of the choices", "elbo",
     "did you mean elbow?"},
    {WITH("element: {elbow: {}, fan: {}}"), 2, 10, "element", "needs exactly one key, got 2", "",
     "elbow, fan"},
    {WITH("element: {}"), 2, 10, "element", "needs exactly one key, got 0", "", "elbow, fan"},
    // files
    {WITH("rolls: a.yaml"), 2, 8, "rolls", "a file cannot be named here", "a.yaml",
     "give the roll file itself"},
    {WITH("rolls: {shape: x/1}"), 2, 16, "rolls.shape", "is not roll/1", "x/1",
     "write shape: roll/1"},
    {WITH("rolls: {nam: y}"), 2, 9, "rolls.nam", "is not a key", "", "did you mean name?"},
    {WITH("rolls: [a]"), 2, 8, "rolls", "cannot be a list", "", "write the name of a roll file"},
    {WITH("photo: {a: b}"), 2, 8, "photo", "this picture cannot stand in the document", "",
     "give the file's name"},
    // rules between fields
    {"{length: 3 m, heads: 1, backing: film, name: x,\nmarks: [{pitch: 29 m,\n  feed: 1 "
     "m/min}]}",
     2, 17, "marks[0].pitch", "the panel does not travel so far", "29 m",
     "pitch: from mark to mark"},
};

static void messages_lead_to_the_place_and_the_mend(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof REFUSED / sizeof *REFUSED; i++) {
        struct bound bound = bind_yaml(REFUSED[i].yaml);
        const struct bw_err *err = &bound.err;
        bool right = !bound.done && err->line == REFUSED[i].line &&
                     err->column == REFUSED[i].column &&
                     strcmp(err->field, REFUSED[i].field) == 0 &&
                     strstr(err->what, REFUSED[i].what) != NULL &&
                     strcmp(err->value, REFUSED[i].value) == 0 &&
                     strstr(err->mend, REFUSED[i].mend) != NULL && err->mend[0] != '\0' &&
                     strcmp(err->file, "t.yaml") == 0 && err->excerpt[0] != '\0';
        if (!right)
            fail_msg("case %zu %s: %d:%d %s: %s (\"%s\") [%s] %s", i, REFUSED[i].yaml, err->line,
                     err->column, err->field, err->what, err->value, err->mend, err->excerpt);
        bw_arena_free(bound.arena);
    }
}

static void too_many_items_are_a_limit(void **state) {
    (void)state;
    struct bound bound = bind_yaml(
        "{length: 3 m, heads: 1, backing: film, name: x, marks: [1 mm, 2 mm, 3 mm, 4 mm]}");
    assert_false(bound.done);
    assert_int_equal(bound.err.code, BW_LIMIT);
    assert_string_equal(bound.err.what, "has 4 items, at most 3 are taken");
    assert_string_equal(bound.err.mend, "leave out 1");
    bw_arena_free(bound.arena);
}

static void the_caret_stands_under_the_value(void **state) {
    (void)state;
    struct bound bound = bind_yaml("# größer\r\nlength: 3 m\r\nname: \"äö\" \r\nheads: 99\r\n");
    assert_false(bound.done);
    assert_int_equal(bound.err.line, 4);
    assert_int_equal(bound.err.column, 8);
    assert_string_equal(bound.err.excerpt, "heads: 99");
    bw_arena_free(bound.arena);
}

static void limits_are_told_in_the_units_chosen(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *root;
    struct bw_err err = {0};
    struct rich rich;
    const char yaml[] = WITH("depth: 5 m");
    assert_true(bw_yaml_read(arena, NULL, yaml, strlen(yaml), &root, &err));
    const struct bw_binding binding = {.arena = arena, .units = BW_UNITS_US};
    assert_false(bw_bind(&binding, root, &rich_record, &rich, &err));
    assert_string_equal(err.what, "is out of range, takes 0 to 0.03937 in");
    assert_string_equal(err.file, "");
    assert_string_equal(err.excerpt, "");
    bw_arena_free(arena);
}

static void json_errors_name_the_path(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *root;
    struct bw_err err = {0};
    struct rich rich;
    const char json[] =
        "{\"length\": \"3 m\", \"heads\": 1, \"backing\": \"film\", \"name\": \"x\","
        " \"marks\": [\"3 mm\", {\"pitch\": 5}]}";
    assert_true(bw_json_read(arena, "a.json", json, strlen(json), &root, &err));
    const struct bw_binding binding = {
        .arena = arena, .file = "a.json", .source = json, .source_length = strlen(json)};
    assert_false(bw_bind(&binding, root, &rich_record, &rich, &err));
    assert_string_equal(err.field, "marks[1].pitch");
    assert_string_equal(err.file, "a.json");
    assert_string_equal(err.value, "5");
    assert_int_equal(err.line, 0);
    bw_arena_free(arena);
}

// A door that takes bytes from elsewhere (a form) may pass what no document could hold.
static void bytes_that_are_no_text_are_refused(void **state) {
    (void)state;
    const struct {
        const char *bytes;
        size_t length;
    } cases[] = {
        {"5 mm\0 ", 6}, {"5 mm\xff", 5}, {"5 mm\x1b", 5}, {"5 mm\xc2\x9b", 6}, {"5 mm\x7f", 5}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_node *node = bw_node_text(arena, cases[i].bytes, cases[i].length);
        struct bw_err err = {0};
        struct rich_mark mark;
        const struct bw_binding binding = {.arena = arena};
        assert_false(bw_bind(&binding, node, &rich_mark_record, &mark, &err));
        assert_string_equal(err.what, "holds characters that are no text");
        struct bw_node *map = bw_node_new(arena, BW_NODE_MAP);
        assert_true(bw_node_add_key(arena, map, "pitch", node));
        bw_err_clear(&err);
        assert_false(bw_bind(&binding, map, &rich_mark_record, &mark, &err));
        assert_string_equal(err.field, "pitch");
        assert_string_equal(err.what, "holds characters that are no text");
        bw_arena_free(arena);
    }
}

static void a_door_may_demand_a_shape(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *root;
    struct bw_err err = {0};
    struct rich_roll roll = {.name = "before"};
    const char yaml[] = "shape: roll/2\nname: x\n";
    assert_true(bw_yaml_read(arena, NULL, yaml, strlen(yaml), &root, &err));
    struct bw_binding binding = {.arena = arena, .shape = "roll/1"};
    assert_false(bw_bind(&binding, root, &rich_roll_record, &roll, &err));
    assert_string_equal(err.field, "shape");
    assert_string_equal(roll.name, "before");
    bw_err_clear(&err);
    binding.shape = "roll/2";
    assert_true(bw_bind(&binding, root, &rich_roll_record, &roll, &err));
    assert_string_equal(roll.name, "x");
    bw_arena_free(arena);
}

static void every_fault_in_every_field_is_told(void **state) {
    (void)state;
    struct faults_report report;
    if (!faults_check(&rich_record, 1, 12, &report)) fail_msg("%s", report.failed);
    if (report.reached < report.fields) fail_msg("%s got no fault", report.unreached);
    assert_true(report.made > 300);
}

static bool bind_short_of_memory(void *with) {
    (void)with;
    const char yaml[] = WITH("rolls: {name: x}, spares: [a, b of 3 cm], element: {fan: {pulley: "
                             "p}}, speed: {value: 3, unit: m/s}");
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *root;
    struct bw_err err = {0};
    struct rich rich;
    if (arena == NULL) return false;
    const struct bw_binding binding = {
        .arena = arena, .source = yaml, .source_length = strlen(yaml)};
    bool done = bw_yaml_read(arena, NULL, yaml, strlen(yaml), &root, &err) &&
                bw_bind(&binding, root, &rich_record, &rich, &err);
    if (!done) assert_int_equal(err.code, BW_MEMORY);
    bw_arena_free(arena);
    return done;
}

// The arena asks for memory rarely: here it ends at every byte instead.
static void a_full_arena_is_told(void **state) {
    (void)state;
    const char yaml[] = WITH("rolls: {name: x}, spares: [a, b of 3 cm], element: {fan: {pulley: "
                             "p}}, speed: {value: 3, unit: m/s}");
    assert_true(torture(bind_short_of_memory, NULL) > 0);
    bool done = false;
    for (size_t max = 256; !done; max += 16) {
        struct bw_arena *arena = bw_arena_new(max);
        struct bw_node *root;
        struct bw_err err = {0};
        struct rich rich;
        const struct bw_binding binding = {.arena = arena};
        done = bw_yaml_read(arena, NULL, yaml, strlen(yaml), &root, &err) &&
               bw_bind(&binding, root, &rich_record, &rich, &err);
        if (!done) assert_int_equal(err.code, BW_MEMORY);
        bw_arena_free(arena);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_kind_is_bound),
        cmocka_unit_test(what_is_not_given_is_unknown_or_the_fallback),
        cmocka_unit_test(a_quantity_may_be_spelt_out),
        cmocka_unit_test(a_variant_may_stand_alone),
        cmocka_unit_test(limits_are_inclusive),
        cmocka_unit_test(messages_lead_to_the_place_and_the_mend),
        cmocka_unit_test(too_many_items_are_a_limit),
        cmocka_unit_test(the_caret_stands_under_the_value),
        cmocka_unit_test(limits_are_told_in_the_units_chosen),
        cmocka_unit_test(json_errors_name_the_path),
        cmocka_unit_test(bytes_that_are_no_text_are_refused),
        cmocka_unit_test(a_door_may_demand_a_shape),
        cmocka_unit_test(every_fault_in_every_field_is_told),
        cmocka_unit_test(a_full_arena_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
