// test_archive.c - archives as written, and every way in which one from outside can be bad.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/archive.h"

#include "base/alloc.h"
#include "support/jobs.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define SHA_ABC "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

struct heard {
    size_t jobs, entries, files;
    uint64_t bytes;
};

static bool piece(void *with, const struct bw_archive_part *part, struct bw_err *err) {
    (void)err;
    ((struct heard *)with)->bytes += part->length;
    return true;
}

static bool file_end(void *with, const char *sha256, uint64_t size, struct bw_err *err) {
    (void)sha256, (void)size, (void)err;
    ((struct heard *)with)->files++;
    return true;
}

static bool job(void *with, struct bw_arena *arena, const struct bw_entries *set,
                struct bw_err *err) {
    (void)arena, (void)err;
    ((struct heard *)with)->jobs++;
    ((struct heard *)with)->entries += set->n;
    return true;
}

static bool read_bytes(const char *bytes, size_t length, struct heard *heard, struct bw_err *err) {
    struct heard fresh = {0};
    const struct bw_archive_sink sink = {
        .with = &fresh, .piece = piece, .file_end = file_end, .job = job};
    FILE *file = tmpfile();
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, length, file), length);
    rewind(file);
    bool done = bw_archive_read(file, "a.tar", &sink, err);
    (void)fclose(file);
    *heard = fresh;
    return done;
}

// A sound archive: one file "abc" and a job of `n` entries.
static char *sound(struct bw_arena *arena, long n, size_t *length) {
    struct bw_err err = {0};
    char *bytes = NULL;
    FILE *file = open_memstream(&bytes, length);
    struct bw_entry items[16];
    items[0] = job_entry(arena, NULL, 1, BW_ENTRY_OPENED, "{\"title\":\"lines\"}");
    for (long i = 1; i < n; i++)
        items[i] = job_entry(arena, items[0].id, i + 1, BW_ENTRY_NOTE, "{\"text\":\"a note\"}");
    items[n - 1] = job_erased(&items[n - 1]);
    struct bw_entries set = job_set(arena, items, (size_t)n);
    struct bw_archive_writer writer = bw_archive_begin(file);
    bw_archive_file(&writer, SHA_ABC, 3);
    bw_archive_piece(&writer, "abc", 3);
    bw_archive_file_end(&writer, 3);
    bw_archive_job(&writer, &set);
    assert_true(bw_archive_end(&writer, &err));
    assert_int_equal(fclose(file), 0);
    return bytes;
}

static void what_is_written_is_read(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    struct heard heard;
    size_t length, again;
    char *bytes = sound(arena, 5, &length), *same = sound(arena, 5, &again);
    if (!read_bytes(bytes, length, &heard, &err)) fail_msg("%s", err.what);
    assert_true(heard.jobs == 1 && heard.entries == 5 && heard.files == 1 && heard.bytes == 3);
    assert_int_equal(length, again);
    assert_memory_equal(bytes, same, length);  // the same jobs, the same bytes
    free(bytes);
    free(same);
    bw_arena_free(arena);
}

// tar itself must be able to read it: an outside judge of the format.
static void other_programs_read_it(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    size_t length;
    char *bytes = sound(arena, 3, &length);
    const char *folder = job_folder(arena);
    FILE *file = fopen(bw_arena_format(arena, "%s/a.tar", folder), "wb");
    assert_int_equal(fwrite(bytes, 1, length, file), length);
    assert_int_equal(fclose(file), 0);
    const char *command = bw_arena_format(
        arena, "cd %s && tar xOf a.tar files/" SHA_ABC " | sha256sum | grep -q " SHA_ABC, folder);
    assert_int_equal(system(command), 0);
    job_folder_remove(folder);
    free(bytes);
    bw_arena_free(arena);
}

static void a_cut_archive_is_refused_wherever_it_is_cut(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    size_t length;
    char *bytes = sound(arena, 3, &length);
    for (size_t cut = 0; cut < length - 1024; cut += cut < 600 ? 7 : 61) {
        struct bw_err err = {0};
        struct heard heard;
        assert_false(read_bytes(bytes, cut, &heard, &err));
        assert_int_equal(err.code, BW_SYNTAX);
        assert_string_equal(err.file, "a.tar");
    }
    free(bytes);
    bw_arena_free(arena);
}

// Any byte changed: refused, or the archive says the same (padding, owner).
static void a_changed_byte_never_changes_what_is_taken(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    size_t length, refused = 0;
    char *bytes = sound(arena, 3, &length);
    for (size_t at = 0; at < length; at++) {
        struct bw_err err = {0};
        struct heard heard;
        char was = bytes[at];
        bytes[at] = (char)(was ^ 0x15);
        bool taken = read_bytes(bytes, length, &heard, &err);
        refused += !taken;
        // A changed entry has another id; it cannot pass for the old one. What may change is a
        // note's word, and then the id with it.
        if (taken) assert_true(heard.jobs == 1 && heard.entries == 3 && heard.files == 1);
        bytes[at] = was;
    }
    assert_true(refused > 1000);
    free(bytes);
    bw_arena_free(arena);
}

// ---- archives made by hand ----------------------------------------------------------------------

static void member(struct bw_buffer *to, const char *name, char type, const char *size,
                   const char *bytes) {
    char block[512] = {0};
    unsigned sum = 0;
    (void)snprintf(block, 100, "%s", name);
    (void)snprintf(block + 124, 12, "%s", size);
    memset(block + 148, ' ', 8);
    block[156] = type;
    memcpy(block + 257, "ustar\00000", 8);
    for (size_t i = 0; i < sizeof block; i++) sum += (unsigned char)block[i];
    (void)snprintf(block + 148, 7, "%06o", sum);
    bw_buffer_add(to, block, sizeof block);
    bw_buffer_text(to, bytes);
    bw_buffer_fill(to, '\0', (512 - strlen(bytes) % 512) % 512);
}

static void text_member(struct bw_buffer *to, const char *name, const char *bytes) {
    char size[32];
    (void)snprintf(size, sizeof size, "%011zo", strlen(bytes));
    member(to, name, '0', size, bytes);
}

static struct bw_buffer begun(void) {
    struct bw_buffer to = {0};
    text_member(&to, "beltwright.json", "{\"shape\":\"archive/1\"}");
    return to;
}

static void refused(struct bw_buffer *archive, enum bw_code code, const char *word) {
    struct bw_err err = {0};
    struct heard heard;
    bw_buffer_fill(archive, '\0', 1024);
    assert_false(archive->failed);
    if (read_bytes(archive->data, archive->length, &heard, &err)) fail_msg("taken: %s", word);
    if (err.code != code || strstr(err.what, word) == NULL) fail_msg("%d %s", err.code, err.what);
    bw_buffer_free(archive);
}

static void hostile_names_are_refused(void **state) {
    (void)state;
    static const char *const NAMES[] = {
        "../../etc/passwd",
        "/etc/passwd",
        "files/../x",
        "files/" SHA_ABC "/x",
        "jobs/x.jsonl",
        "jobs/.jsonl",
        "",
        "files/BA7816BF8F01CFEA414140DE5DAE2223B00361A396177A9CB410FF61F20015AD"};
    for (size_t i = 0; i < sizeof NAMES / sizeof *NAMES; i++) {
        struct bw_buffer archive = begun();
        text_member(&archive, NAMES[i], "abc");
        refused(&archive, BW_INPUT, "no archive of jobs has");
    }
    for (const char *type = "123456xgL"; *type != '\0'; type++) {
        struct bw_buffer archive = begun();
        member(&archive, "files/" SHA_ABC, *type, "00000000003", "abc");
        refused(&archive, BW_INPUT, "no plain file");
    }
}

static void hostile_sizes_are_refused(void **state) {
    (void)state;
    static const char *const SIZES[] = {"77777777777", "00000000004000000", "-0000000001", "9", "",
                                        "\200"};
    for (size_t i = 0; i < sizeof SIZES / sizeof *SIZES; i++) {
        struct bw_buffer archive = begun();
        struct bw_err err = {0};
        struct heard heard;
        member(&archive, "files/" SHA_ABC, '0', SIZES[i], "abc");
        assert_false(read_bytes(archive.data, archive.length, &heard, &err));
        assert_true(err.code == BW_LIMIT || err.code == BW_SYNTAX || err.code == BW_INPUT);
        bw_buffer_free(&archive);
    }
    struct bw_buffer archive = begun();  // a bomb: a thousand members of 8 GiB each
    member(&archive, "files/" SHA_ABC, '0', "20000000000", "abc");
    refused(&archive, BW_LIMIT, "too large");
}

static void a_wrong_hash_is_refused(void **state) {
    (void)state;
    struct bw_buffer archive = begun();
    text_member(&archive, "files/" SHA_ABC, "abd");
    refused(&archive, BW_INPUT, "SHA-256");
}

static void what_is_no_archive_is_refused(void **state) {
    (void)state;
    struct bw_buffer archive = {0};
    bw_buffer_fill(&archive, 'x', 1024);
    refused(&archive, BW_SYNTAX, "not an archive");
    refused(&archive, BW_SYNTAX, "empty");
    text_member(&archive, "files/" SHA_ABC, "abc");
    refused(&archive, BW_SYNTAX, "not an archive");
    text_member(&archive, "beltwright.json", "{\"shape\":\"archive/2\"}");
    refused(&archive, BW_UNSUPPORTED, "kind this program does not know");
}

static void hostile_entries_are_refused(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_entry first = job_entry(arena, NULL, 1, BW_ENTRY_OPENED, "{\"title\":\"t\"}");
    struct bw_entry high = job_entry(arena, first.id, 9000, BW_ENTRY_NOTE, "{\"text\":\"n\"}");
    struct bw_entry other = job_entry(arena, NULL, 1, BW_ENTRY_OPENED, "{\"title\":\"other\"}");
    const char *name = bw_arena_format(arena, "jobs/%s.jsonl", first.id);
    const struct {
        const char *lines, *word;
        enum bw_code code;
    } CASES[] = {
        {bw_arena_format(arena, "%s\n%s\n", first.line, high.line), "tick 9000", BW_INPUT},
        {bw_arena_format(arena, "%s\n", high.line), "first entry is missing", BW_INPUT},
        {bw_arena_format(arena, "%s\n", other.line), "another job", BW_INPUT},
        {bw_arena_format(arena, "%s\n%s\n", first.line, other.line), "mixed", BW_INPUT},
        {first.line, "no end", BW_SYNTAX},
        {"", "without entries", BW_INPUT},
        {"{}\n", "missing", BW_INPUT},
        {"[]\n", "object", BW_SYNTAX},
        {"{\"erased\":\"x\",\"job\":1,\"tick\":1}\n", "erased", BW_INPUT},
        {bw_arena_format(arena, "{\"erased\":\"%s\",\"job\":\"%s\",\"tick\":99999999999999}\n",
                         first.id, first.id),
         "", BW_INPUT},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        struct bw_buffer archive = begun();
        text_member(&archive, name, CASES[i].lines);
        refused(&archive, CASES[i].code, CASES[i].word);
    }
    bw_arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_written_is_read),
        cmocka_unit_test(other_programs_read_it),
        cmocka_unit_test(a_cut_archive_is_refused_wherever_it_is_cut),
        cmocka_unit_test(a_changed_byte_never_changes_what_is_taken),
        cmocka_unit_test(hostile_names_are_refused),
        cmocka_unit_test(hostile_sizes_are_refused),
        cmocka_unit_test(a_wrong_hash_is_refused),
        cmocka_unit_test(what_is_no_archive_is_refused),
        cmocka_unit_test(hostile_entries_are_refused),
    };
    return cmocka_run_group_tests_name("archive", tests, NULL, NULL);
}
