// test_bind_file.c - files named on a command line: read, refused, and blamed by their own names.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/bind.h"
#include "base/yaml.h"
#include "support/rich.h"
#include "support/torture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[64];

static const char *in_folder(const char *name) {
    static char path[2][200];
    static int turn;
    turn = !turn;
    (void)snprintf(path[turn], sizeof path[turn], "%s/%s", folder, name);
    return path[turn];
}

static void write_file(const char *name, const char *bytes, size_t length) {
    FILE *file = fopen(in_folder(name), "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, length, file), length);
    assert_int_equal(fclose(file), 0);
}
static void write_text(const char *name, const char *text) { write_file(name, text, strlen(text)); }

static int make_folder(void **state) {
    (void)state;
    (void)snprintf(folder, sizeof folder, "/tmp/beltwright-test-XXXXXX");
    return mkdtemp(folder) == NULL ? -1 : 0;
}

static const char *const FILES[] = {
    "a.yaml",     "a.json",   "bom.json", "raw",        "empty", "list.yaml", "text.yaml",
    "shape.yaml", "bad.yaml", "bad.json", "range.yaml", "pipe",  "locked",    "outer.yaml"};

static int remove_folder(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof FILES / sizeof *FILES; i++) (void)unlink(in_folder(FILES[i]));
    return rmdir(folder);
}

static const struct bw_file_kind RAW = {.name = "picture", .max_bytes = 10};

struct loaded {
    struct bw_arena *arena;
    struct bw_file file;
    struct bw_err err;
    bool done;
};

static struct loaded load(const struct bw_file_kind *kind, const char *name) {
    struct loaded loaded = {.arena = bw_arena_new(0), .file = {.name = "before"}};
    struct bw_binding binding = {.arena = loaded.arena};
    assert_non_null(loaded.arena);
    loaded.done = bw_load_file(NULL, kind, name, &loaded.file, &binding, &loaded.err);
    if (!loaded.done) assert_string_equal(loaded.file.name, "before");
    return loaded;
}

static void documents_are_read_by_their_content(void **state) {
    (void)state;
    write_text("a.yaml", "shape: roll/1\nname: top\ndiameter: 4 in\n");
    write_text("a.json", " \n{\"shape\": \"roll/1\", \"name\": \"top\", \"diameter\": \"4 in\"}");
    write_text("bom.json",
               "\xEF\xBB\xBF{\"name\": \"top\", \"diameter\": {\"value\": 4, \"unit\": \"in\"}}");
    const char *const names[] = {"a.yaml", "a.json", "bom.json"};
    for (size_t i = 0; i < 3; i++) {
        struct loaded loaded = load(&rich_roll_file, in_folder(names[i]));
        if (!loaded.done) fail_msg("%s: %s", names[i], loaded.err.what);
        const struct rich_roll *roll = loaded.file.content;
        assert_string_equal(loaded.file.name, in_folder(names[i]));
        assert_int_equal(loaded.file.size, 0);
        assert_string_equal(roll->name, "top");
        assert_true(fabs(roll->diameter.v - 0.1016) < 1e-15);
        bw_arena_free(loaded.arena);
    }
}

static void raw_files_are_handed_over_whole(void **state) {
    (void)state;
    write_file("raw", "\0\xff{\n 1234", 9);
    struct loaded loaded = load(&RAW, in_folder("raw"));
    assert_true(loaded.done);
    assert_int_equal(loaded.file.size, 9);
    assert_memory_equal(loaded.file.content, "\0\xff{\n 1234", 9);
    bw_arena_free(loaded.arena);
    write_file("raw", "0123456789", 10);
    loaded = load(&RAW, in_folder("raw"));
    assert_true(loaded.done);
    bw_arena_free(loaded.arena);
}

static void what_is_no_file_is_refused(void **state) {
    (void)state;
    assert_int_equal(mkfifo(in_folder("pipe"), 0600), 0);
    write_text("locked", "name: x\n");
    assert_int_equal(chmod(in_folder("locked"), 0), 0);
    write_text("raw", "0123456789A");
    char name[300];
    memset(name, 'a', sizeof name);
    name[sizeof name - 1] = '\0';
    const struct {
        const char *path;
        enum bw_code code;
        const char *what;
    } cases[] = {
        {in_folder("nothing.yaml"), BW_NOT_FOUND, "there is no such file"},
        {"/dev/null/x", BW_NOT_FOUND, "part of its path is not a folder"},
        {name, BW_IO, "the name is too long"},
        {folder, BW_INPUT, "it is a folder"},
        {"/dev/zero", BW_INPUT, "it is a device or a pipe"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct loaded loaded = load(&RAW, cases[i].path);
        assert_false(loaded.done);
        assert_int_equal(loaded.err.code, cases[i].code);
        assert_non_null(strstr(loaded.err.what, cases[i].what));
        assert_non_null(strstr(loaded.err.mend, "looked for "));
        assert_non_null(strstr(loaded.err.mend, "the name of a picture"));
        bw_arena_free(loaded.arena);
    }
    struct loaded loaded = load(&RAW, in_folder("pipe"));  // with no writer: must not wait
    assert_int_equal(loaded.err.code, BW_INPUT);
    bw_arena_free(loaded.arena);
    loaded = load(&RAW, in_folder("raw"));
    assert_int_equal(loaded.err.code, BW_LIMIT);
    assert_string_equal(loaded.err.what, "is larger than 10 bytes");
    bw_arena_free(loaded.arena);
    if (geteuid() == 0) return;  // root may read anything
    loaded = load(&rich_roll_file, in_folder("locked"));
    assert_int_equal(loaded.err.code, BW_IO);
    assert_non_null(strstr(loaded.err.what, "may not be read"));
    bw_arena_free(loaded.arena);
}

static void bad_documents_are_blamed_by_name_and_line(void **state) {
    (void)state;
    write_text("empty", "");
    write_text("list.yaml", "- a\n");
    write_text("text.yaml", "\n\njust words\n");
    write_text("shape.yaml", "shape: machine/1\nname: x\n");
    write_text("bad.yaml", "name: x\n  teeth: 3\n");
    write_text("bad.json", "{\"name\": \"x\",\n \"teeth\" 3}");
    write_text("range.yaml", "name: x\nteeth: 0\n");
    const struct {
        const char *name;
        enum bw_code code;
        int line;
        const char *field, *mend;
    } cases[] = {
        {"empty", BW_INPUT, 0, "", ""},
        {"list.yaml", BW_INPUT, 1, "", "write the keys of a roll file"},
        {"text.yaml", BW_INPUT, 3, "", "write the keys of a roll file"},
        {"shape.yaml", BW_INPUT, 1, "shape", "write shape: roll/1"},
        {"bad.yaml", BW_SYNTAX, 2, "", ""},
        {"bad.json", BW_SYNTAX, 2, "", ""},
        {"range.yaml", BW_INPUT, 2, "teeth", ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct loaded loaded = load(&rich_roll_file, in_folder(cases[i].name));
        assert_false(loaded.done);
        if (cases[i].line > 0) assert_int_equal(loaded.err.line, cases[i].line);
        assert_string_equal(loaded.err.file, in_folder(cases[i].name));
        assert_string_equal(loaded.err.field, cases[i].field);
        assert_true(loaded.err.code == cases[i].code || cases[i].line == 0);
        assert_true(loaded.err.mend[0] != '\0' && strstr(loaded.err.mend, cases[i].mend) != NULL);
        bw_arena_free(loaded.arena);
    }
}

static void standard_input_is_a_dash(void **state) {
    (void)state;
    int pipe_ends[2], before = dup(STDIN_FILENO);
    assert_int_equal(pipe(pipe_ends), 0);
    assert_int_equal(write(pipe_ends[1], "name: top\nteeth: 0\n", 19), 19);
    (void)close(pipe_ends[1]);
    assert_true(dup2(pipe_ends[0], STDIN_FILENO) >= 0);
    struct loaded loaded = load(&rich_roll_file, "-");
    (void)dup2(before, STDIN_FILENO);
    (void)close(before);
    (void)close(pipe_ends[0]);
    assert_false(loaded.done);
    assert_string_equal(loaded.err.file, "standard input");
    assert_int_equal(loaded.err.line, 2);
    bw_arena_free(loaded.arena);
}

// Binds a document that names a roll file, as a door does.
static struct bw_err bind_outer(struct bw_arena *arena, const char *rolls, struct rich *rich) {
    struct bw_err err = {0};
    struct bw_node *root = NULL;
    char yaml[400];
    (void)snprintf(yaml, sizeof yaml,
                   "length: 3 m\nheads: 1\nbacking: film\nname: x\nmarks: 3 mm\nrolls: %s\n",
                   rolls);
    const char *outer = bw_arena_format(arena, "%s/outer.yaml", folder);
    const struct bw_binding binding = {.arena = arena,
                                       .file = outer,
                                       .source = yaml,
                                       .source_length = strlen(yaml),
                                       .load = bw_load_file};
    assert_true(bw_yaml_read(arena, "outer.yaml", yaml, strlen(yaml), &root, &err));
    assert_true(bw_bind(&binding, root, &rich_record, rich, &err) == (err.code == BW_OK));
    return err;
}

static void a_document_names_files_beside_it(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct rich rich;
    write_text("a.yaml", "name: top\n");
    struct bw_err err = bind_outer(arena, "a.yaml", &rich);
    assert_int_equal(err.code, BW_OK);
    assert_string_equal(rich.rolls.name, in_folder("a.yaml"));
    assert_string_equal(((const struct rich_roll *)rich.rolls.content)->name, "top");
    err = bind_outer(arena, in_folder("a.yaml"), &rich);
    assert_int_equal(err.code, BW_OK);
    bw_arena_free(arena);
}

static void errors_stay_in_the_file_they_arose_in(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct rich rich;
    write_text("range.yaml", "name: x\nteeth: 0\n");
    struct bw_err err = bind_outer(arena, "range.yaml", &rich);
    assert_string_equal(err.file, in_folder("range.yaml"));
    assert_string_equal(err.field, "teeth");
    assert_int_equal(err.line, 2);
    assert_string_equal(err.excerpt, "teeth: 0");
    err = bind_outer(arena, "missing.yaml", &rich);  // the name is at fault, where it stands
    assert_string_equal(err.file, in_folder("outer.yaml"));
    assert_string_equal(err.field, "rolls");
    assert_int_equal(err.line, 6);
    assert_string_equal(err.value, "missing.yaml");
    assert_string_equal(err.excerpt, "rolls: missing.yaml");
    bw_arena_free(arena);
}

// One level is enough for every document there is; more would let documents name each other in a
// ring.
static void a_named_document_names_no_files(void **state) {
    (void)state;
    static const struct bw_file_kind rich_file = {
        .name = "rich file", .shape = "rich/1", .record = &rich_record};
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_binding binding = {.arena = arena, .load = bw_load_file};
    struct bw_file file;
    struct bw_err err = {0};
    write_text("a.yaml", "name: top\n");
    write_text("outer.yaml", "length: 3 m\nheads: 1\nbacking: film\nname: x\nmarks: 3 mm\n"
                             "rolls: a.yaml\n");
    assert_false(bw_load_file(NULL, &rich_file, in_folder("outer.yaml"), &file, &binding, &err));
    assert_int_equal(err.code, BW_REFUSED);
    assert_string_equal(err.field, "rolls");
    assert_int_equal(err.line, 6);
    bw_arena_free(arena);
}

static bool load_short_of_memory(void *with) {
    const struct bw_file_kind *kind = with;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    struct bw_file file;
    if (arena == NULL) return false;
    struct bw_binding binding = {.arena = arena};
    bool done = bw_load_file(NULL, kind, in_folder("a.yaml"), &file, &binding, &err);
    if (!done) assert_int_equal(err.code, BW_MEMORY);
    bw_arena_free(arena);
    return done;
}

static void memory_may_run_out(void **state) {
    (void)state;
    static const struct bw_file_kind raw = {.name = "raw", .max_bytes = 1000};
    write_text("a.yaml", "name: top\ndiameter: 4 in\n");
    assert_true(torture(load_short_of_memory, (void *)(uintptr_t)&rich_roll_file) > 0);
    assert_true(torture(load_short_of_memory, (void *)(uintptr_t)&raw) > 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(documents_are_read_by_their_content),
        cmocka_unit_test(raw_files_are_handed_over_whole),
        cmocka_unit_test(what_is_no_file_is_refused),
        cmocka_unit_test(bad_documents_are_blamed_by_name_and_line),
        cmocka_unit_test(standard_input_is_a_dash),
        cmocka_unit_test(a_document_names_files_beside_it),
        cmocka_unit_test(errors_stay_in_the_file_they_arose_in),
        cmocka_unit_test(a_named_document_names_no_files),
        cmocka_unit_test(memory_may_run_out),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
