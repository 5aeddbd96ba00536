// test_views.c - every study's own example through all its views, and through the library.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Text, JSON, findings, plots; the library's promises. A new study gets all this free.
#include "beltwright/beltwright.h"
#include "toy.h"
#include "typed.h"

#include "base/alloc.h"
#include "base/emit.h"
#include "base/json.h"
#include "cli/cli.h"
#include "study/door.h"
#include "support/torture.h"

#include <dirent.h>
#include <fcntl.h>
#include <pthread.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

// The input that a study's example makes up, as JSON with its files inline. The caller frees it.
static char *example_input(const struct bw_study *study) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_page page;
    struct bw_arguments given;
    struct bw_err err = {0};
    const void *in;
    char *line = strdup(study->example), *words[MOST_WORDS];
    int n = split(line, words);
    bool typed = bw_page_find(arena, study->name, &page, &err) &&
                 bw_options_read(arena, &page, n - 1, words + 1, &given, &err) &&
                 bw_study_typed(arena, &page, &given, &in, &err);
    if (!typed) fail_msg("$ %s\n%s: %s", study->example, err.field, err.what);
    struct bw_buffer out = {0};
    struct bw_json json = bw_json_begin(&out);
    bw_emit_record(&json, study->in, in, NULL);
    free(line);
    bw_arena_free(arena);
    return bw_buffer_take(&out);
}

static struct bw_node *read_json(struct bw_arena *arena, const char *text) {
    struct bw_node *root = NULL;
    struct bw_err err = {0};
    if (!bw_json_read(arena, "", text, strlen(text), &root, &err))
        fail_msg("%d:%d: %s\n%s", err.line, err.column, err.what, text);
    return root;
}

static void the_answer_is_text(void **state) {
    (void)state;
    for (const struct bw_study *const *at = bw_studies(); *at != NULL; at++) {
        struct typed si = type_well("%s --units si", (*at)->example);
        struct typed us = type_well("%s --units us", (*at)->example);
        struct typed again = type_well("%s --units si", (*at)->example);
        assert_true(strlen(si.out) > 20);
        assert_string_equal(si.messages, "");
        assert_string_not_equal(si.out, us.out);
        assert_string_equal(si.out, again.out);
        typed_free(&si);
        typed_free(&us);
        typed_free(&again);
    }
}

// JSON opens with its shape, is read back by its own description, and does not depend on --units.
static void the_answer_is_json(void **state) {
    (void)state;
    for (const struct bw_study *const *at = bw_studies(); *at != NULL; at++) {
        struct bw_arena *arena = bw_arena_new(0);
        char shape[BW_SHAPE_TEXT];
        struct bw_err err = {0};
        struct typed typed = type_well("%s --json", (*at)->example);
        struct typed us = type_well("%s --json --units us", (*at)->example);
        assert_string_equal(typed.out, us.out);
        assert_null(strstr(typed.out, ": null"));  // what is not given is left out
        struct bw_node *root = read_json(arena, typed.out);
        assert_string_equal(root->child->key, "shape");
        assert_string_equal(root->child->text, bw_study_shape(shape, *at));
        const struct bw_binding binding = {.arena = arena, .shape = shape};
        void *out = bw_arena_get(arena, (*at)->out->size);
        if (!bw_bind(&binding, root, (*at)->out, out, &err))
            fail_msg("%s: %s: %s", (*at)->name, err.field, err.what);
        typed_free(&typed);
        typed_free(&us);
        bw_arena_free(arena);
    }
}

// Opens what a study's input names to be decoded by a reader.
static unsigned open_media(const struct bw_study *study, const char *input,
                           struct beltwright_file *files, unsigned most) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_node *root = read_json(arena, input);
    unsigned n = 0;
    for (const struct bw_field *field = study->in->fields; field->name != NULL; field++) {
        const struct bw_node *node = bw_node_find(root, field->name);
        if (field->kind != BW_FILE || node == NULL || node->kind != BW_NODE_TEXT) continue;
        assert_true(n < most);
        files[n] = (struct beltwright_file){strdup(node->text), open(node->text, O_RDONLY)};
        assert_true(files[n++].descriptor >= 0);
    }
    bw_arena_free(arena);
    return n;
}

static void close_media(struct beltwright_file *files, unsigned n) {
    for (unsigned i = 0; i < n; i++) {
        free((char *)(uintptr_t)files[i].name);
        assert_int_equal(close(files[i].descriptor), 0);
    }
}

// The same document through the library and through --input: the same bytes. It lies in the
// working directory, from which the files it names are looked for.
static void the_library_answers_the_same(void **state) {
    (void)state;
    for (const struct bw_study *const *at = bw_studies(); *at != NULL; at++) {
        char name[] = "beltwright-input-XXXXXX";
        struct beltwright_file files[4];
        char *input = example_input(*at), *output = NULL;
        int fd = mkstemp(name);
        assert_true(fd >= 0);
        assert_int_equal(write(fd, input, strlen(input)), strlen(input));
        assert_int_equal(close(fd), 0);
        struct typed typed = type_well("beltwright %s --input %s --json", (*at)->name, name);
        assert_int_equal(unlink(name), 0);
        unsigned n = open_media(*at, input, files, 4);
        assert_int_equal(beltwright_run_files((*at)->name, input, files, n, &output), 0);
        assert_string_equal(output, typed.out);
        close_media(files, n);
        beltwright_free(output);
        bw_free(input);
        typed_free(&typed);
    }
}

static char *whole_file(const char *name) {
    FILE *file = fopen(name, "rb");
    if (file == NULL) fail_msg("%s cannot be opened", name);
    struct bw_buffer buffer = {0};
    for (int c; (c = getc(file)) != EOF;) bw_buffer_char(&buffer, (char)c);
    assert_int_equal(fclose(file), 0);
    return bw_buffer_take(&buffer);
}

// A kind stands in the table of docs/findings.md as `kind`.
static bool is_documented(const char *page, const char *kind) {
    char entry[120];
    (void)snprintf(entry, sizeof entry, "| `%s` |", kind);
    return strstr(page, entry) != NULL;
}

static void findings_are_documented(void **state) {
    (void)state;
    char *page = whole_file("docs/findings.md");
    for (const struct bw_study *const *at = bw_studies(); *at != NULL; at++) {
        if ((*at)->findings == NULL) continue;
        struct bw_arena *arena = bw_arena_new(0);
        struct typed typed = type_well("%s --findings -", (*at)->example);
        struct bw_node *root = read_json(arena, typed.out);
        assert_string_equal(root->child->text, "findings/1");
        const struct bw_node *list = bw_node_find(root, "findings");
        assert_non_null(list->child);
        for (const struct bw_node *one = list->child; one != NULL; one = one->next) {
            const char *kind = bw_node_find(one, "kind")->text;
            assert_non_null(bw_node_find(one, "about"));
            assert_non_null(bw_node_find(one, "value"));
            // The toy's own kind shows that an undocumented one would be found.
            if (is_documented(page, kind) == (*at == &toy_study))
                fail_msg("%s: finding %s, docs/findings.md", (*at)->name, kind);
        }
        typed_free(&typed);
        bw_arena_free(arena);
    }
    bw_free(page);
}

static void check_pictures(const char *folder) {
    DIR *entries = opendir(folder);
    int n = 0;
    assert_non_null(entries);
    for (struct dirent *entry; (entry = readdir(entries)) != NULL;) {
        if (entry->d_name[0] == '.') continue;
        char name[400];
        (void)snprintf(name, sizeof name, "%s/%s", folder, entry->d_name);
        char *svg = whole_file(name);
        if (strstr(entry->d_name, ".png") != NULL) {  // beside the drawing of the same name
            assert_memory_equal(svg, "\x89PNG", 4);
            bw_free(svg);
            assert_int_equal(unlink(name), 0);
            continue;
        }
        assert_non_null(strstr(entry->d_name, ".svg"));
        assert_non_null(strstr(svg, "<svg"));
        assert_non_null(strstr(svg, "</svg>\n"));
        bw_free(svg);
        assert_int_equal(unlink(name), 0);
        n++;
    }
    assert_int_equal(closedir(entries), 0);
    assert_int_equal(rmdir(folder), 0);
    assert_true(n > 0);
}

static void plots_are_pictures(void **state) {
    (void)state;
    char base[] = "/tmp/beltwright-plots-XXXXXX", folder[sizeof base + 8];
    assert_non_null(mkdtemp(base));
    (void)snprintf(folder, sizeof folder, "%s/new", base);
    for (const struct bw_study *const *at = bw_studies(); *at != NULL; at++) {
        if ((*at)->plots == NULL) continue;
        struct typed typed = type_well("%s --plot %s", (*at)->example, folder);
        typed_free(&typed);
        check_pictures(folder);
    }
    assert_int_equal(rmdir(base), 0);
}

// Every allocation fails once: the library says so (or returns NULL) and leaks nothing.
static bool run_library(void *with) {
    const struct bw_study *study = &toy_study;
    char *output = NULL;
    int status = beltwright_run(study->name, with, &output);
    bool done = status == 0;
    if (done)
        assert_non_null(strstr(output, "\"shape\": \"toy/1\""));
    else
        assert_int_equal(status, 1);
    if (!done && output != NULL) assert_non_null(strstr(output, "\"code\": \"memory\""));
    beltwright_free(output);
    return done;
}

static bool describe(void *with) {
    char *text = beltwright_describe(with);
    bool done = text != NULL;
    beltwright_free(text);
    return done;
}

static bool list(void *with) {
    (void)with;
    char *text = beltwright_list();
    bool done = text != NULL;
    beltwright_free(text);
    return done;
}

static void the_library_survives_want_of_memory(void **state) {
    (void)state;
    char name[] = "toy", *input = example_input(&toy_study);
    print_message("# %lu allocations in a run\n", torture(run_library, input));
    torture(describe, name);
    torture(list, NULL);
    bw_free(input);
}

static bool help_page(void *with) {
    (void)with;
    struct typed typed = type("beltwright toy --help");
    bool done = typed.status == 0;
    if (!done) assert_non_null(strstr(typed.messages, "out of memory"));
    typed_free(&typed);
    return done;
}

static bool whole_command(void *with) {
    struct typed typed = type("%s", (const char *)with);
    bool done = typed.status == 0;
    if (!done) assert_non_null(strstr(typed.messages, "out of memory"));
    typed_free(&typed);
    return done;
}

static void the_program_survives_want_of_memory(void **state) {
    (void)state;
    torture(help_page, NULL);
    char man[] = "beltwright man toy", bash[] = "beltwright completion bash";
    char zsh[] = "beltwright completion zsh", findings[300], json[300], text[300];
    (void)snprintf(findings, sizeof findings, "%s --findings -", toy_study.example);
    (void)snprintf(json, sizeof json, "%s --json", toy_study.example);
    (void)snprintf(text, sizeof text, "%s", toy_study.example);
    torture(whole_command, man);
    torture(whole_command, bash);
    torture(whole_command, zsh);
    torture(whole_command, findings);
    torture(whole_command, json);
    torture(whole_command, text);
}

// --- the library's own promises

struct job {
    const char *name, *input;
    char *output;
    int status;
};

static void *work(void *with) {
    struct job *job = with;
    for (int i = 0; i < 20; i++) {
        beltwright_free(job->output);
        job->status = beltwright_run(job->name, job->input, &job->output);
    }
    return NULL;
}

static void threads_do_not_meet(void **state) {
    (void)state;
    char *input = example_input(&toy_study);
    struct job jobs[4] = {{.name = "toy", .input = input},
                          {.name = "toy", .input = "{\"length\": 1}"},
                          {.name = "toy", .input = input},
                          {.name = "nosuchstudy", .input = "{}"}};
    pthread_t threads[4];
    for (int i = 0; i < 4; i++)
        assert_int_equal(pthread_create(&threads[i], NULL, work, &jobs[i]), 0);
    for (int i = 0; i < 4; i++) assert_int_equal(pthread_join(threads[i], NULL), 0);
    assert_int_equal(jobs[0].status, 0);
    assert_string_equal(jobs[0].output, jobs[2].output);
    assert_int_equal(jobs[1].status, 2);
    assert_non_null(strstr(jobs[1].output, "\"code\": \"input\""));
    assert_int_equal(jobs[3].status, 2);
    assert_non_null(strstr(jobs[3].output, "\"code\": \"not-found\""));
    for (int i = 0; i < 4; i++) beltwright_free(jobs[i].output);
    bw_free(input);
}

static void errors_are_documents(void **state) {
    (void)state;
    static const struct {
        const char *input, *expected;
    } CASES[] = {
        {"{\"stock\": \"tests/house/stock.yaml\", \"length\": \"2 m\", \"width\": \"1 m\"}",
         "{\n  \"shape\": \"error/1\",\n  \"code\": \"refused\",\n"
         "  \"what\": \"a file cannot be named here\",\n  \"field\": \"stock\",\n"
         "  \"value\": \"tests/house/stock.yaml\",\n"
         "  \"mend\": \"give the stock file itself\"\n}\n"},
        {"{\"stock\": {\"density\": \"650 kg/m3\"}, \"length\": \"2 m\", \"width\": \"1 kg\"}",
         "{\n  \"shape\": \"error/1\",\n  \"code\": \"input\",\n"
         "  \"what\": \"needs a length such as 2.5 m or 8 ft, got a mass\",\n"
         "  \"field\": \"width\",\n  \"value\": \"1 kg\",\n"
         "  \"mend\": \"units that fit: µm, mm, cm, m, in, ft, mil\"\n}\n"},
        {"{\"stock\": ", "{\n  \"shape\": \"error/1\",\n  \"code\": \"syntax\",\n"},
        {"", "{\n  \"shape\": \"error/1\",\n  \"code\": \"syntax\",\n"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        char *output = NULL;
        assert_int_equal(beltwright_run("toy", CASES[i].input, &output), 2);
        if (strncmp(output, CASES[i].expected, strlen(CASES[i].expected)) != 0)
            assert_string_equal(output, CASES[i].expected);
        beltwright_free(output);
    }
}

static void the_library_lists_and_describes(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    assert_string_equal(beltwright_version(), BELTWRIGHT_VERSION);
    assert_null(beltwright_describe("nosuchstudy"));
    beltwright_free(NULL);
    char *text = beltwright_list();
    const struct bw_node *one = read_json(arena, text)->child;
    for (const struct bw_study *const *at = bw_studies(); *at != NULL; at++, one = one->next) {
        char *description = beltwright_describe((*at)->name);
        const struct bw_node *root = read_json(arena, description);
        assert_string_equal(bw_node_find(one, "name")->text, (*at)->name);
        assert_string_equal(bw_node_find(root, "summary")->text, (*at)->summary);
        assert_non_null(bw_node_find(bw_node_find(root, "input"), "properties"));
        assert_non_null(bw_node_find(bw_node_find(root, "output"), "properties"));
        beltwright_free(description);
    }
    assert_null(one);
    beltwright_free(text);
    bw_arena_free(arena);
}

// A photo is decoded by the jailed reader on its way to the study, by either door; the library
// takes it from whoever opened it and opens nothing itself.
static void a_photo_reaches_the_study(void **state) {
    (void)state;
    struct typed typed =
        type("%s --photo tests/fixtures/picture/turned.jpg --json", toy_study.example);
    if (typed.status != 0 && strstr(typed.messages, "jail") != NULL) {
        typed_free(&typed);
        skip();  // this machine cannot build the whole jail
    }
    assert_string_equal(typed.messages, "");
    assert_non_null(strstr(typed.out, "\"pixels\": "));
    const char *input = "{\"stock\": {\"density\": \"700 kg/m3\"}, \"length\": \"2 m\", "
                        "\"width\": \"1 m\", \"photo\": \"the batch\"}";
    struct beltwright_file file = {"the batch",
                                   open("tests/fixtures/picture/turned.jpg", O_RDONLY)};
    assert_true(file.descriptor >= 0);
    char *output = NULL;
    assert_int_equal(beltwright_run_files("toy", input, &file, 1, &output), 0);
    assert_non_null(strstr(output, "\"pixels\": "));
    beltwright_free(output);
    assert_int_equal(beltwright_run("toy", input, &output), 2);
    assert_non_null(strstr(output, "a file cannot be named here"));
    beltwright_free(output);
    file.name = "another";
    assert_int_equal(beltwright_run_files("toy", input, &file, 1, &output), 2);
    assert_non_null(strstr(output, "this file was not handed over"));
    beltwright_free(output);
    assert_int_equal(close(file.descriptor), 0);
    typed_free(&typed);
}

static const struct CMUnitTest TESTS[] = {
    cmocka_unit_test(the_answer_is_text),
    cmocka_unit_test(the_answer_is_json),
    cmocka_unit_test(the_library_answers_the_same),
    cmocka_unit_test(findings_are_documented),
    cmocka_unit_test(plots_are_pictures),
    cmocka_unit_test(a_photo_reaches_the_study),
    cmocka_unit_test(the_library_survives_want_of_memory),
    cmocka_unit_test(the_program_survives_want_of_memory),
    cmocka_unit_test(threads_do_not_meet),
    cmocka_unit_test(errors_are_documents),
    cmocka_unit_test(the_library_lists_and_describes),
};

static int setup(void **state) {
    (void)state;
    toy_register();
    return unsetenv("COLUMNS");
}

int main(void) { return cmocka_run_group_tests(TESTS, setup, NULL); }
