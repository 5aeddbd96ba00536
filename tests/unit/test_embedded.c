// test_embedded.c - the files carried in the program are those of the source tree, byte for byte.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/embedded.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void test_unknown_names(void **state) {
    (void)state;
    const char *bytes = "untouched";
    size_t length = 7;
    assert_false(bw_embedded_find("no-such-file.csv", &bytes, &length));
    assert_false(bw_embedded_find("", &bytes, &length));
    assert_string_equal(bytes, "untouched");
    assert_int_equal(length, 7);
    assert_null(bw_embedded_name(SIZE_MAX));
}

static void test_names_are_sorted_and_found(void **state) {
    (void)state;
    const char *bytes;
    size_t length, count = 0;
    for (; bw_embedded_name(count) != NULL; count++) {
        const char *name = bw_embedded_name(count);
        if (count > 0) assert_true(strcmp(bw_embedded_name(count - 1), name) < 0);
        assert_true(bw_embedded_find(name, &bytes, &length));
        assert_int_equal(bytes[length], '\0');
    }
    assert_null(bw_embedded_name(count));
}

// Tests run in the repository's root, where the files lie.
static void test_bytes_are_the_files(void **state) {
    (void)state;
    for (size_t i = 0; bw_embedded_name(i) != NULL; i++) {
        const char *name = bw_embedded_name(i), *bytes;
        size_t length;
        assert_true(bw_embedded_find(name, &bytes, &length));
        char path[300];
        bool knowledge = strncmp(name, "knowledge/", 10) == 0, web = strncmp(name, "web/", 4) == 0;
        (void)snprintf(path, sizeof path, "%s%s",
                       web         ? "src/web/assets/"
                       : knowledge ? ""
                                   : "data/",
                       web ? name + 4 : name);
        FILE *file = fopen(path, "rb");
        if (file == NULL) fail_msg("%s is embedded but cannot be opened", path);
        for (size_t at = 0; at < length; at++)
            if (fgetc(file) != (unsigned char)bytes[at])
                fail_msg("%s differs at byte %zu", path, at);
        assert_int_equal(fgetc(file), EOF);
        (void)fclose(file);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_unknown_names),
        cmocka_unit_test(test_names_are_sorted_and_found),
        cmocka_unit_test(test_bytes_are_the_files),
    };
    return cmocka_run_group_tests_name("embedded", tests, NULL, NULL);
}
