// test_plot.c - display lists: copies, order, and what happens when memory is gone.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/plot.h"
#include "support/torture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void test_everything_is_copied(void **state) {
    (void)state;
    struct bw_plots plots = {.arena = bw_arena_new(0)};
    char id[] = "pitch", title[] = "Pitch", name[] = "splice", word[] = "here";
    double x[] = {1, 2}, y[] = {3, 4}, sd[] = {5, 6};
    struct bw_plot *plot = bw_plot_new(&plots, id, title);
    bw_plot_series(
        &plots, plot,
        (struct bw_series){
            .kind = BW_MARK_DOTS, .name = name, .style = "main", .x = x, .y = y, .sd = sd, .n = 2});
    bw_plot_series(
        &plots, plot,
        (struct bw_series){.kind = BW_MARK_LINE, .style = "second", .x = x, .y = y, .n = 2});
    bw_plot_series(&plots, plot,
                   (struct bw_series){.kind = BW_MARK_LINE, .name = "none", .style = "muted"});
    bw_plot_note(&plots, plot, 1, 2, word);
    bw_plot_note(&plots, plot, 3, 4, "there");
    struct bw_plot *second = bw_plot_new(&plots, "b", "B");
    memset(id, 'x', 2);
    memset(title, 'x', 2);
    memset(name, 'x', 2);
    memset(word, 'x', 2);
    x[0] = y[0] = sd[0] = 99;
    assert_false(plots.failed);
    assert_ptr_equal(plots.first, plot);
    assert_ptr_equal(plot->next, second);
    assert_ptr_equal(plots.last, second);
    assert_string_equal(plot->id, "pitch");
    assert_string_equal(plot->title, "Pitch");
    const struct bw_series *dots = plot->series;
    assert_string_equal(dots->name, "splice");
    assert_true(dots->n == 2 && dots->x[0] == 1 && dots->y[0] == 3 && dots->sd[0] == 5);
    assert_null(dots->next->name);
    assert_null(dots->next->sd);
    assert_int_equal(dots->next->next->n, 0);
    assert_null(dots->next->next->next);
    assert_string_equal(plot->notes->text, "here");
    assert_string_equal(plot->notes->next->text, "there");
    bw_arena_free(plots.arena);
}

static bool build(void *with) {
    (void)with;
    struct bw_plots plots = {.arena = bw_arena_new(0)};
    if (plots.arena == NULL) return false;
    double x[3000] = {0};
    for (int i = 0; i < 20; i++) {
        struct bw_plot *plot = bw_plot_new(&plots, "id", "title");
        bw_plot_series(&plots, plot,
                       (struct bw_series){.kind = BW_MARK_DOTS,
                                          .name = "name",
                                          .style = "main",
                                          .x = x,
                                          .y = x,
                                          .sd = x,
                                          .n = 3000});
        bw_plot_note(&plots, plot, 1, 2, "word");
    }
    // What is there is whole, whatever failed.
    for (const struct bw_plot *plot = plots.first; plot != NULL; plot = plot->next)
        for (const struct bw_series *series = plot->series; series != NULL; series = series->next)
            assert_true(series->x != NULL && series->y != NULL && series->sd != NULL);
    bool done = !plots.failed;
    bw_arena_free(plots.arena);
    return done;
}

static void test_out_of_memory(void **state) {
    (void)state;
    assert_true(torture(build, NULL) > 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_everything_is_copied),
        cmocka_unit_test(test_out_of_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
