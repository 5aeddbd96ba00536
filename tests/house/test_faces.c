// test_faces.c - help, man page, completion and schema of every command say the same.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Each option and word stands in each of them once, and each field of a study has one place. A new
// study gets all this free.
#include "toy.h"
#include "typed.h"

#include "base/json.h"
#include "cli/cli.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static bool is_name(const char *name) {
    return name[0] >= 'a' && name[0] <= 'z' &&
           name[strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789-")] == '\0';
}

static void every_description_is_sound(void **state) {
    (void)state;
    for (const struct bw_study *const *at = bw_studies(); *at != NULL; at++) {
        const struct bw_study *study = *at;
        assert_true(is_name(study->name));
        assert_ptr_equal(bw_study_find(study->name), study);  // no two of one name
        assert_true(strlen(study->summary) <= 80);
        assert_true(study->summary[strlen(study->summary) - 1] != '.');
        assert_true(strlen(study->about) > strlen(study->summary));
        assert_true(study->shape >= 1);
        assert_int_equal(occurrences(study->example, "beltwright "), 1);
    }
}

// Calls `check` with every page but the program's own.
static void each_page(void (*check)(struct bw_arena *arena, const struct bw_page *page)) {
    const char *name;
    for (size_t i = 0; (name = bw_page_name(i)) != NULL; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_page page;
        struct bw_err err = {0};
        assert_true(bw_page_find(arena, name, &page, &err));
        check(arena, &page);
        bw_arena_free(arena);
    }
}

// Lines of `text` that begin, after spaces, with `form` and then a space or the line's end.
static int lines_with(const char *text, const char *form) {
    int n = 0;
    size_t length = strlen(form);
    for (const char *line = text; line != NULL && *line != '\0';) {
        const char *word = line + strspn(line, " ");
        if (strncmp(word, form, length) == 0 && strchr(" \n", word[length]) != NULL) n++;
        line = strchr(line, '\n');
        if (line != NULL) line++;
    }
    return n;
}

static void names_are_unique(struct bw_arena *arena, const struct bw_page *page) {
    (void)arena;
    struct bw_err err = {0};
    struct bw_page same;
    assert_true(bw_page_find(arena, page->name, &same, &err));
    assert_ptr_equal(same.study, page->study);
    for (const struct bw_option *one = page->options; one->name != NULL; one++)
        for (const struct bw_option *two = page->options; two < one; two++)
            if (strcmp(one->name, two->name) == 0) fail_msg("%s: two %s", page->name, one->name);
}

static void every_name_is_unique(void **state) {
    (void)state;
    each_page(names_are_unique);
}

static void fields_have_one_place(struct bw_arena *arena, const struct bw_page *page) {
    (void)arena;
    if (page->study == NULL) return;
    for (const struct bw_field *field = page->study->in->fields; field->name != NULL; field++) {
        int places = 0;
        for (const struct bw_option *option = page->options; option->name != NULL; option++)
            places += option->field == field;
        assert_int_equal(places, bw_field_is_typed(field) ? 1 : 0);
        if (places == 0) assert_int_equal(field->kind, BW_ONEOF);
    }
}

static void every_field_has_one_place(void **state) {
    (void)state;
    each_page(fields_have_one_place);
}

static void help_has_all(struct bw_arena *arena, const struct bw_page *page) {
    struct typed help = type_well("beltwright help %s", page->name);
    struct typed same = type_well("beltwright %s --help", page->name);
    assert_string_equal(help.out, same.out);
    for (const struct bw_option *option = page->options; option->name != NULL; option++) {
        const char *form = bw_option_form(arena, option);
        if (lines_with(help.out, form) != 1)
            fail_msg("%s: %s stands in the help %d times", page->name, form,
                     lines_with(help.out, form));
    }
    if (page->example != NULL) assert_int_equal(lines_with(help.out, page->example), 1);
    typed_free(&help);
    typed_free(&same);
}

static void help_has_every_option_once(void **state) {
    (void)state;
    each_page(help_has_all);
}

// The form as the man page prints it.
static const char *man_entry(struct bw_arena *arena, const char *form) {
    struct bw_buffer out = {0};
    bw_buffer_text(&out, ".TP\n\\fB");
    for (const char *c = form; *c != '\0'; c++) {
        if (*c == '-') bw_buffer_char(&out, '\\');
        bw_buffer_char(&out, *c);
    }
    bw_buffer_text(&out, "\\fR\n");
    const char *entry = bw_arena_text(arena, out.data, out.length);
    bw_buffer_free(&out);
    return entry;
}

static void man_has_all(struct bw_arena *arena, const struct bw_page *page) {
    struct typed man = type_well("beltwright man %s", page->name);
    for (const struct bw_option *option = page->options; option->name != NULL; option++) {
        const char *entry = man_entry(arena, bw_option_form(arena, option));
        if (occurrences(man.out, entry) != 1)
            fail_msg("%s: the man page has %d of\n%s", page->name, occurrences(man.out, entry),
                     entry);
    }
    typed_free(&man);
}

static void man_has_every_option_once(void **state) {
    (void)state;
    each_page(man_has_all);
}

static void bash_has_all(struct bw_arena *arena, const struct bw_page *page) {
    struct typed bash = type_well("beltwright completion bash");
    const char *list = bw_arena_format(arena, "    %s:-*) _beltwright_words '", page->name);
    const char *begin = strstr(bash.out, list);
    assert_non_null(begin);
    begin += strlen(list);
    const char *words = bw_arena_format(arena, " %.*s ", (int)strcspn(begin, "'"), begin);
    int options = 0;
    for (const struct bw_option *option = page->options; option->name != NULL; option++) {
        if (option->positional) continue;
        options++;
        assert_int_equal(occurrences(words, bw_arena_format(arena, " --%s ", option->name)), 1);
        const char *value = bw_arena_format(arena, "    %s:--%s) ", page->name, option->name);
        assert_int_equal(occurrences(bash.out, value), option->value == NULL ? 0 : 1);
    }
    assert_int_equal(occurrences(words, " --"), options);
    typed_free(&bash);
}

static void zsh_has_all(struct bw_arena *arena, const struct bw_page *page) {
    struct typed zsh = type_well("beltwright completion zsh");
    const char *begin = strstr(zsh.out, bw_arena_format(arena, "    %s) _arguments", page->name));
    assert_non_null(begin);
    const char *end = strstr(begin, ";;");
    assert_non_null(end);
    const char *block = bw_arena_text(arena, begin, (size_t)(end - begin));
    for (const struct bw_option *option = page->options; option->name != NULL; option++) {
        const char *mark = option->value == NULL ? "" : "=";
        const char *spec = bw_arena_format(arena, "--%s%s[", option->name, mark);
        if (!option->positional) assert_int_equal(occurrences(block, spec), 1);
    }
    typed_free(&zsh);
}

static void completion_has_every_option_once(void **state) {
    (void)state;
    each_page(bash_has_all);
    each_page(zsh_has_all);
}

// The properties at the root are the fields and "shape", no more and no less.
static void schema_is_of(struct bw_arena *arena, const char *line, const struct bw_record *record) {
    struct typed schema = type_well("%s", line);
    struct bw_err err = {0};
    struct bw_node *root;
    assert_true(bw_json_read(arena, "", schema.out, strlen(schema.out), &root, &err));
    const struct bw_node *properties = bw_node_find(root, "properties");
    assert_non_null(properties);
    size_t n = 0;
    for (const struct bw_field *field = record->fields; field->name != NULL; field++, n++)
        if (bw_node_find(properties, field->name) == NULL)
            fail_msg("%s: no property %s", line, field->name);
    assert_non_null(bw_node_find(properties, "shape"));
    assert_int_equal(bw_node_count(properties), n + 1);
    typed_free(&schema);
}

static void schemas_are_of(struct bw_arena *arena, const struct bw_page *page) {
    if (page->study == NULL) return;
    schema_is_of(arena, bw_arena_format(arena, "beltwright schema %s", page->name),
                 page->study->in);
    schema_is_of(arena, bw_arena_format(arena, "beltwright schema %s in", page->name),
                 page->study->in);
    schema_is_of(arena, bw_arena_format(arena, "beltwright schema %s out", page->name),
                 page->study->out);
    for (const struct bw_field *field = page->study->in->fields; field->name != NULL; field++) {
        const struct bw_file_kind *kind = field->of;
        if (field->kind != BW_FILE || kind->record == NULL) continue;
        int length = (int)strcspn(kind->shape, "/");
        schema_is_of(arena, bw_arena_format(arena, "beltwright schema %.*s", length, kind->shape),
                     kind->record);
    }
}

static void every_property_is_a_field(void **state) {
    (void)state;
    each_page(schemas_are_of);
}

static const struct CMUnitTest TESTS[] = {
    cmocka_unit_test(every_description_is_sound),
    cmocka_unit_test(every_name_is_unique),
    cmocka_unit_test(every_field_has_one_place),
    cmocka_unit_test(help_has_every_option_once),
    cmocka_unit_test(man_has_every_option_once),
    cmocka_unit_test(completion_has_every_option_once),
    cmocka_unit_test(every_property_is_a_field),
};

static int setup(void **state) {
    (void)state;
    toy_register();
    return setenv("COLUMNS", "100", 1);
}

int main(void) { return cmocka_run_group_tests(TESTS, setup, NULL); }
