// store_suite.c - see store_suite.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/store_suite.h"

#include "base/alloc.h"
#include "store/sync.h"
#include "support/jobs.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

static const struct store_kind *kind;

struct bench {
    struct bw_arena *arena;
    struct bw_store *store;
    struct bw_err err;
};

static void begin(struct bench *b) {
    *b = (struct bench){.arena = bw_arena_new(0), .store = kind->fresh()};
}

static void end(struct bench *b) {
    bw_store_close(b->store);
    bw_arena_free(b->arena);
}

static size_t put(struct bench *b, const struct bw_entry *items, size_t n) {
    size_t changed = 999;
    struct bw_entries set = job_set(b->arena, items, n);
    if (!bw_store_put(b->store, &set, &changed, &b->err)) fail_msg("%s", b->err.what);
    return changed;
}

static struct bw_entries get(struct bench *b, const char *job) {
    struct bw_entries set;
    if (!bw_store_get(b->store, job, b->arena, &set, &b->err)) fail_msg("%s", b->err.what);
    return set;
}

static struct bw_job_rows list(struct bench *b, const struct bw_job_query *query) {
    struct bw_job_rows rows;
    if (!bw_store_list(b->store, query, b->arena, &rows, &b->err)) fail_msg("%s", b->err.what);
    return rows;
}

static struct bw_entry opened(struct bench *b, const char *title, const char *site) {
    return job_entry(b->arena, NULL, 1, BW_ENTRY_OPENED,
                     bw_arena_format(b->arena, "{\"title\":\"%s\",\"site\":\"%s\"}", title, site));
}

static void what_is_put_comes_back(void **state) {
    (void)state;
    struct bench b;
    uint64_t seed = 99;
    begin(&b);
    for (int i = 0; i < 20; i++) {
        struct bw_entries set = job_random(b.arena, &seed, 3 + job_dice(&seed) % 30);
        assert_int_equal(put(&b, set.items, set.n), set.n);
        assert_int_equal(put(&b, set.items, set.n), 0);  // idempotent
        struct bw_entries back = get(&b, set.items[0].job);
        assert_true(job_sets_equal(&set, &back));
        assert_string_equal(job_told(b.arena, &set), job_told(b.arena, &back));
    }
    end(&b);
}

// Whatever the parts and their order, the store holds what merge in memory gives.
static void put_is_merge(void **state) {
    (void)state;
    uint64_t seed = 7;
    for (int i = 0; i < 15; i++) {
        struct bench b;
        begin(&b);
        struct bw_entries all = job_random(b.arena, &seed, 4 + job_dice(&seed) % 25), sum = {0};
        for (int part = 0; part < 4; part++) {
            struct bw_entry items[40];
            size_t n = 0;
            for (size_t k = 0; k < all.n; k++) {
                uint64_t dice = job_dice(&seed) % 20;
                if (dice >= 9) items[n++] = all.items[k];
                if (dice == 8) items[n++] = job_erased(&all.items[k]);
            }
            if (n == 0) continue;
            struct bw_entries set = job_set(b.arena, items, n);
            put(&b, items, n);
            assert_true(bw_entries_merge(b.arena, &sum, &set, &sum, &b.err));
            struct bw_entries back = get(&b, all.items[0].job);
            assert_true(job_sets_equal(&sum, &back));
        }
        end(&b);
    }
}

static void the_list_is_what_replay_says(void **state) {
    (void)state;
    struct bench b;
    begin(&b);
    struct bw_entry one = opened(&b, "lines", "Tern Lane"),
                    two = opened(&b, "bars", "Hollow Creek");
    put(&b, &one, 1);
    put(&b, &two, 1);
    struct bw_entry note = job_entry(b.arena, one.id, 2, BW_ENTRY_NOTE, "{\"text\":\"later\"}");
    put(&b, &note, 1);
    struct bw_job_rows rows = list(&b, &(struct bw_job_query){.most = 0});
    assert_int_equal(rows.n, 2);
    assert_string_equal(rows.items[0].title, "lines");  // the last changed first
    assert_int_equal(rows.items[0].entries, 2);
    assert_int_equal(rows.items[0].last_tick, 2);
    assert_int_equal(rows.items[0].opened_offset_min, 60);
    assert_true(rows.items[0].changed_ms == note.time_ms);
    struct bw_entry closed =
        job_entry(b.arena, two.id, 2, BW_ENTRY_CLOSED, "{\"outcome\":\"none\"}");
    put(&b, &closed, 1);
    rows = list(&b, &(struct bw_job_query){.state = 2});
    assert_int_equal(rows.n, 1);
    assert_string_equal(rows.items[0].title, "bars");
    assert_int_equal(list(&b, &(struct bw_job_query){.state = 1}).n, 1);
    assert_int_equal(list(&b, &(struct bw_job_query){.site = "Tern Lane"}).n, 1);
    assert_int_equal(list(&b, &(struct bw_job_query){.site = "Tern"}).n, 0);
    assert_int_equal(list(&b, &(struct bw_job_query){.most = 1}).n, 1);
    assert_int_equal(list(&b, &(struct bw_job_query){.ending = one.id + 18}).n, 1);
    struct bw_entry title = job_entry(
        b.arena, one.id, 3, BW_ENTRY_CORRECTION,
        bw_arena_format(b.arena, "{\"of\":\"%s\",\"body\":{\"title\":\"lines along\"}}", one.id));
    put(&b, &title, 1);
    rows = list(&b, &(struct bw_job_query){.state = 1});
    assert_string_equal(rows.items[0].title, "lines along");
    end(&b);
}

static bool rows_equal(const struct bw_job_rows *a, const struct bw_job_rows *b) {
    if (a->n != b->n) return false;
    for (size_t i = 0; i < a->n; i++) {
        const struct bw_job_row *x = &a->items[i], *y = &b->items[i];
        if (strcmp(x->job, y->job) != 0 || strcmp(x->title, y->title) != 0) return false;
        if (strcmp(x->site, y->site) != 0 || strcmp(x->kind, y->kind) != 0) return false;
        if (x->closed != y->closed || x->entries != y->entries) return false;
        if (x->last_tick != y->last_tick || x->changed_ms != y->changed_ms) return false;
        if (x->opened_ms != y->opened_ms || strcmp(x->machine, y->machine) != 0) return false;
    }
    return true;
}

// The derived table is kept up entry by entry; made anew it is the same.
static void what_is_derived_may_be_dropped(void **state) {
    (void)state;
    struct bench b;
    uint64_t seed = 31;
    begin(&b);
    for (int i = 0; i < 12; i++) {
        struct bw_entries set = job_random(b.arena, &seed, 3 + job_dice(&seed) % 12);
        put(&b, &set.items[0], set.n / 2);
        for (size_t k = set.n; k-- > 0;) put(&b, &set.items[k], 1);
    }
    struct bw_job_rows before = list(&b, &(struct bw_job_query){.most = 0});
    struct bw_job_rows found = list(&b, &(struct bw_job_query){.words = "c1"});
    assert_true(bw_store_rebuild(b.store, &b.err));
    struct bw_job_rows after = list(&b, &(struct bw_job_query){.most = 0});
    struct bw_job_rows again = list(&b, &(struct bw_job_query){.words = "c1"});
    assert_true(before.n == 12 && rows_equal(&before, &after));
    assert_true(found.n > 0 && rows_equal(&found, &again));
    end(&b);
}

static void words_are_found(void **state) {
    (void)state;
    struct bench b;
    begin(&b);
    struct bw_entry job = opened(&b, "Lines along the grain", "Tern Lane");
    put(&b, &job, 1);
    struct bw_entry note = job_entry(b.arena, job.id, 2, BW_ENTRY_NOTE,
                                     "{\"text\":\"The SPLICE of head 2, 17.9 mm; Gr\xc3\xb6\xc3\x9f"
                                     "e\"}");
    put(&b, &note, 1);
    static const char *const FOUND[] = {"splice", "Spli head",  "17.9", "gr\xc3\xb6\xc3\x9f",
                                        "tern",   "lines grain"};
    static const char *const MISSED[] = {"plice", "splice lines", "drum", "' OR 1=1 --", "\" * ("};
    for (size_t i = 0; i < sizeof FOUND / sizeof *FOUND; i++)
        if (list(&b, &(struct bw_job_query){.words = FOUND[i]}).n != 1) fail_msg("%s", FOUND[i]);
    for (size_t i = 0; i + 1 < sizeof MISSED / sizeof *MISSED; i++)
        if (list(&b, &(struct bw_job_query){.words = MISSED[i]}).n != 0) fail_msg("%s", MISSED[i]);
    end(&b);
}

static const char *attach(struct bench *b, const char *bytes, size_t length) {
    char sha256[BW_SHA256_TEXT];
    uint64_t size;
    struct job_bytes from = {.bytes = bytes, .length = length};
    const struct bw_supply source = job_source(&from);
    if (!bw_store_attach(b->store, &source, sha256, &size, &b->err)) fail_msg("%s", b->err.what);
    assert_true(size == length);
    return bw_arena_text(b->arena, sha256, sizeof sha256 - 1);
}

static void attachments_come_back_in_pieces(void **state) {
    (void)state;
    struct bench b;
    begin(&b);
    static const size_t SIZES[] = {0, 1, BW_PIECE_BYTES, BW_PIECE_BYTES + 1,
                                   3 * BW_PIECE_BYTES - 7};
    for (size_t i = 0; i < sizeof SIZES / sizeof *SIZES; i++) {
        char *bytes = bw_arena_get(b.arena, SIZES[i] + 1);
        struct bw_buffer back = {0};
        uint64_t size;
        for (size_t k = 0; k < SIZES[i]; k++) bytes[k] = (char)(k * k + i);
        const char *sha256 = attach(&b, bytes, SIZES[i]);
        assert_string_equal(sha256, attach(&b, bytes, SIZES[i]));  // there already
        assert_true(bw_store_attached(b.store, sha256, &size, &b.err) && size == SIZES[i]);
        assert_true(bw_store_attachment(b.store, sha256, SIZES[i], &back, &b.err));
        assert_int_equal(back.length, SIZES[i]);
        if (SIZES[i] > 0) assert_memory_equal(back.data, bytes, SIZES[i]);
        if (SIZES[i] > 0)
            assert_false(bw_store_attachment(b.store, sha256, SIZES[i] - 1, &back, &b.err));
        bw_buffer_free(&back);
    }
    struct bw_err err = {0};
    uint64_t size;
    assert_false(bw_store_attached(b.store, "0000", &size, &err));
    assert_int_equal(err.code, BW_NOT_FOUND);
    end(&b);
}

static struct bw_entry with_file(struct bench *b, const char *job, long tick, const char *sha256) {
    return job_entry(
        b->arena, job, tick, BW_ENTRY_FILE,
        bw_arena_format(b->arena, "{\"files\":[{\"name\":\"a.jpg\",\"sha256\":\"%s\"}]}", sha256));
}

static void erasing_takes_body_words_and_files(void **state) {
    (void)state;
    struct bench b;
    uint64_t size;
    begin(&b);
    const char *own = attach(&b, "own", 3), *shared = attach(&b, "shared", 6);
    struct bw_entry job = opened(&b, "lines", "Tern Lane");
    struct bw_entry party =
        job_entry(b.arena, job.id, 2, BW_ENTRY_PARTY, "{\"name\":\"Quillworth\"}");
    struct bw_entry mend = job_entry(
        b.arena, job.id, 3, BW_ENTRY_CORRECTION,
        bw_arena_format(b.arena, "{\"of\":\"%s\",\"body\":{\"name\":\"Quillworthy\"}}", party.id));
    struct bw_entry one = with_file(&b, job.id, 4, own), two = with_file(&b, job.id, 5, shared),
                    three = with_file(&b, job.id, 6, shared);
    struct bw_entry all[] = {job, party, mend, one, two, three};
    put(&b, all, 6);
    assert_int_equal(list(&b, &(struct bw_job_query){.words = "quillw"}).n, 1);
    struct bw_entry gone[] = {job_erased(&party), job_erased(&one), job_erased(&two)};
    assert_int_equal(put(&b, gone, 3), 4);  // with the correction
    assert_int_equal(put(&b, gone, 3), 0);
    assert_int_equal(put(&b, all, 6), 0);  // nothing comes back
    assert_int_equal(list(&b, &(struct bw_job_query){.words = "quillw"}).n, 0);
    assert_true(bw_store_attached(b.store, shared, &size, &b.err));
    struct bw_err err = {0};
    assert_false(bw_store_attached(b.store, own, &size, &err));
    struct bw_entries back = get(&b, job.id);
    assert_int_equal(back.n, 6);
    assert_true(bw_entry_erased(bw_entries_find(&back, party.id)));
    assert_true(bw_entry_erased(bw_entries_find(&back, mend.id)));
    assert_int_equal(bw_entries_find(&back, three.id)->n_files, 1);
    // A correction that comes late, from a device that has not heard of it.
    struct bw_entry late = job_entry(
        b.arena, job.id, 6, BW_ENTRY_CORRECTION,
        bw_arena_format(b.arena, "{\"of\":\"%s\",\"body\":{\"name\":\"Quill\"}}", party.id));
    assert_int_equal(put(&b, &late, 1), 1);
    back = get(&b, job.id);
    assert_true(bw_entry_erased(bw_entries_find(&back, late.id)));
    end(&b);
}

static void new_entries_get_the_next_tick(void **state) {
    (void)state;
    struct bench b;
    struct bw_entry first, second;
    begin(&b);
    struct bw_draft draft = {
        .time_ms = 1700000000000, .kind = BW_ENTRY_OPENED, .body = "{\"title\":\"t\"}"};
    assert_true(bw_store_write(b.store, b.arena, &draft, &first, &b.err));
    assert_int_equal(first.tick, 1);
    draft.job = first.id;
    draft.kind = BW_ENTRY_NOTE;
    draft.body = "{\"text\":\"n\"}";
    assert_true(bw_store_write(b.store, b.arena, &draft, &second, &b.err));
    assert_int_equal(second.tick, 2);
    assert_string_equal(first.device, second.device);
    assert_string_equal(second.job, first.id);
    struct bw_err err = {0};
    draft.job = "01ARZ3NDEKTSV4RRFFQ69G5FAV";
    assert_false(bw_store_write(b.store, b.arena, &draft, &second, &err));
    assert_int_equal(err.code, BW_NOT_FOUND);
    end(&b);
}

static void settings_are_kept(void **state) {
    (void)state;
    struct bench b;
    struct bw_buffer value = {0};
    char device[BW_MAX_DEVICE + 1], same[BW_MAX_DEVICE + 1];
    begin(&b);
    assert_true(bw_store_setting(b.store, "x", &value, &b.err) && value.length == 0);
    assert_true(bw_store_set(b.store, "x", "one", &b.err));
    assert_true(bw_store_set(b.store, "x", "it's two", &b.err));
    assert_true(bw_store_setting(b.store, "x", &value, &b.err));
    assert_string_equal(value.data, "it's two");
    bw_buffer_free(&value);
    assert_true(bw_store_device(b.store, device, &b.err));
    struct bw_store *other = kind->again();
    assert_true(bw_store_device(other, same, &b.err));
    assert_string_equal(device, same);
    bw_store_close(other);
    end(&b);
}

static void somebody_elses_change_is_seen(void **state) {
    (void)state;
    struct bench b;
    char job[BW_ID_TEXT];
    begin(&b);
    struct bw_store *other = kind->again();
    assert_true(bw_store_watch(other, 0, job, &b.err));
    assert_true(bw_store_watch(other, 30, job, &b.err));
    assert_string_equal(job, "");
    struct bw_entry one = opened(&b, "lines", "Tern Lane");
    put(&b, &one, 1);
    assert_true(bw_store_watch(other, 2000, job, &b.err));
    assert_true(strcmp(job, "?") == 0 || strcmp(job, one.id) == 0);
    bw_store_close(other);
    end(&b);
}

static void two_doors_see_one_store(void **state) {
    (void)state;
    struct bench b;
    begin(&b);
    struct bench c = {.arena = b.arena, .store = kind->again()};
    struct bw_entry one = opened(&b, "lines", "Tern Lane"), two = opened(&b, "bars", "Tern Lane");
    put(&b, &one, 1);
    put(&c, &two, 1);
    assert_int_equal(list(&b, &(struct bw_job_query){.most = 0}).n, 2);
    assert_int_equal(get(&c, one.id).n, 1);
    bw_store_close(c.store);
    end(&b);
}

// Through an archive into a store that is empty, and once more into the same.
static void an_archive_carries_all(void **state) {
    (void)state;
    struct bench b;
    struct bw_sync sum;
    uint64_t seed = 5;
    begin(&b);
    char *big = bw_arena_get(b.arena, BW_PIECE_BYTES + 100);
    memset(big, 'p', BW_PIECE_BYTES + 100);
    const char *sha256 = attach(&b, big, BW_PIECE_BYTES + 100);
    struct bw_entries set = job_random(b.arena, &seed, 20);
    put(&b, set.items, set.n);
    struct bw_entry photo = with_file(&b, set.items[0].job, 2, sha256);
    put(&b, &photo, 1);
    struct bw_entries before = get(&b, photo.job);
    FILE *file = tmpfile();
    const char *jobs[] = {photo.job};
    assert_true(bw_sync_export(b.store, jobs, 1, file, &b.err));
    bw_store_close(b.store);
    b.store = kind->fresh();
    rewind(file);
    if (!bw_sync_import(file, "a.tar", b.store, &sum, &b.err)) fail_msg("%s", b.err.what);
    assert_int_equal(sum.entries, before.n);
    assert_int_equal(sum.files, 1);
    struct bw_entries after = get(&b, photo.job);
    assert_true(job_sets_equal(&before, &after));
    uint64_t size;
    assert_true(bw_store_attached(b.store, sha256, &size, &b.err));
    rewind(file);
    assert_true(bw_sync_import(file, "a.tar", b.store, &sum, &b.err));
    assert_true(sum.jobs == 0 && sum.entries == 0 && sum.files == 0);
    (void)fclose(file);
    end(&b);
}

int store_suite_run(const struct store_kind *which) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_put_comes_back),
        cmocka_unit_test(put_is_merge),
        cmocka_unit_test(the_list_is_what_replay_says),
        cmocka_unit_test(what_is_derived_may_be_dropped),
        cmocka_unit_test(words_are_found),
        cmocka_unit_test(attachments_come_back_in_pieces),
        cmocka_unit_test(erasing_takes_body_words_and_files),
        cmocka_unit_test(new_entries_get_the_next_tick),
        cmocka_unit_test(settings_are_kept),
        cmocka_unit_test(somebody_elses_change_is_seen),
        cmocka_unit_test(two_doors_see_one_store),
        cmocka_unit_test(an_archive_carries_all),
    };
    kind = which;
    return cmocka_run_group_tests_name(which->name, tests, NULL, NULL);
}
