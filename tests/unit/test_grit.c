// test_grit.c - grits: names as people write them, published crossovers, neighbours.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "trade/grit.h"

#include "base/number.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
// cmocka.h wants the ones above in front of it.
#include <cmocka.h>

static struct bw_arena *arena;
static struct bw_grits grits;

static int set_up(void **state) {
    (void)state;
    struct bw_err err = {0};
    arena = bw_arena_new(0);
    return bw_grits_load(arena, &grits, &err) ? 0 : 1;
}
static int tear_down(void **state) {
    (void)state;
    bw_arena_free(arena);
    return 0;
}

static const struct bw_grit *read(const char *text) {
    struct bw_err err = {0};
    const struct bw_grit *grit;
    if (!bw_grit_read(&grits, text, strlen(text), &grit, &err))
        fail_msg("%s: %s (%s)", text, err.what, err.mend);
    return grit;
}

static void names_are_read_as_people_write_them(void **state) {
    (void)state;
    static const struct {
        const char *written, *name;
    } CASES[] = {
        {"P80", "P80"},           {"p80", "P80"},           {"P 80", "P80"},
        {"p-80", "P80"},          {"FEPA P80", "P80"},      {"fepa P 80", "P80"},
        {"P80 grit", "P80"},      {" P80 ", "P80"},         {"P#80", "P80"},
        {"P1000", "P1000"},       {"P2500", "P2500"},       {"P12", "P12"},
        {"CAMI 80", "CAMI 80"},   {"cami80", "CAMI 80"},    {"US 80", "CAMI 80"},
        {"us80 grit", "CAMI 80"}, {"ANSI 80", "CAMI 80"},   {"CAMI-1200", "CAMI 1200"},
        {"CAMI 16", "CAMI 16"},   {"CAMI 80-Grit", "CAMI 80"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++)
        assert_string_equal(read(CASES[i].written)->name, CASES[i].name);
    for (size_t i = 0; i < grits.n; i++)
        assert_ptr_equal(read(grits.items[i].name), &grits.items[i]);
}

static void other_names_are_refused_with_what_to_write(void **state) {
    (void)state;
    static const struct {
        const char *written, *what, *mend;
    } CASES[] = {
        {"80", "P80 (201 µm) or CAMI 80 (192 µm)", "write P80, else CAMI 80"},
        {"400", "P400 (35 µm) or CAMI 400 (23.6 µm)", "write P400, else CAMI 400"},
        {"#120", "P120 (125 µm) or CAMI 120 (116 µm)", "P before the number"},
        {"2500", "needs its series", "P2500 (8.4 µm)"},
        {"90", "no such grit in either series", "P80 or CAMI 80"},
        {"P90", "no such grit in the series FEPA P", "P80 and P100"},
        {"P160", "no such grit in the series FEPA P", "P150 and P180"},
        {"P5", "no such grit in the series FEPA P", "coarsest is P12"},
        {"P99999", "no such grit in the series FEPA P", "finest is P2500"},
        {"CAMI 2500", "no such grit in the series CAMI", "finest is CAMI 1200"},
        {"US 90", "no such grit in the series CAMI", "CAMI 80 and CAMI 100"},
        {"CAMI 5", "no such grit in the series CAMI", "coarsest is CAMI 16"},
        {"F80", "F grades are for grinding wheels", "P80 or CAMI 80"},
        {"", "not a grit", "P80 or CAMI 80"},
        {"P", "not a grit", "P80 or CAMI 80"},
        {"grit", "not a grit", "P80 or CAMI 80"},
        {"P80X", "not a grit", "P80 or CAMI 80"},
        {"P 8O", "not a grit", "P80 or CAMI 80"},
        {"P80.5", "not a grit", "P80 or CAMI 80"},
        {"P-0x50", "not a grit", "P80 or CAMI 80"},
        {"P80000000000000000000000000000000000000000000", "not a grit", "P80 or CAMI 80"},
        {"very coarse", "not a grit", "P80 or CAMI 80"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        struct bw_err err = {0};
        const struct bw_grit *grit = NULL;
        const char *written = CASES[i].written;
        assert_false(bw_grit_read(&grits, written, strlen(written), &grit, &err));
        assert_null(grit);
        assert_int_equal(err.code, BW_INPUT);
        if (strstr(err.what, CASES[i].what) == NULL || strstr(err.mend, CASES[i].mend) == NULL)
            fail_msg("%s: %s / %s", written, err.what, err.mend);
        assert_string_equal(err.value, written);
    }
}

// A trade finishing chart (read in) prints the P sizes from P150 on in whole µm. The finest macro
// grades it prints are the table's own; the micro grades of the table are decimals from memory and
// must agree.
static void micro_grades_agree_with_a_printed_chart(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double um;
    } CHART[] = {{"P240", 60},  {"P280", 52},  {"P320", 46},  {"P360", 40},  {"P400", 35},
                 {"P500", 30},  {"P600", 26},  {"P800", 22},  {"P1000", 18}, {"P1200", 15},
                 {"P1500", 13}, {"P2000", 10}, {"P2500", 8}};
    for (size_t i = 0; i < sizeof CHART / sizeof *CHART; i++) {
        double um = read(CHART[i].name)->size.v * 1e6;
        // Half a µm of rounding; the chart's P240 is rounded to tens.
        double allowed = i == 0 ? 5 : 0.5 + 1e-9;
        if (fabs(um - CHART[i].um) > allowed) fail_msg("%s: %g", CHART[i].name, um);
    }
}

// Which grits a chart and a public page on grit numbers (read in) put beside each other.
static void crossovers_agree_with_printed_ones(void **state) {
    (void)state;
    static const struct {
        const char *cami, *p, *or_p;
    } CHART[] = {{"CAMI 60", "P60", "P60"},     {"CAMI 180", "P180", "P180"},
                 {"CAMI 220", "P220", "P220"},  {"CAMI 240", "P280", "P280"},
                 {"CAMI 320", "P400", "P400"},  {"CAMI 360", "P500", "P600"},
                 {"CAMI 400", "P800", "P800"},  {"CAMI 500", "P1000", "P1000"},
                 {"CAMI 600", "P1200", "P1200"}, {"CAMI 800", "P1500", "P1500"}};
    for (size_t i = 0; i < sizeof CHART / sizeof *CHART; i++) {
        const char *other = bw_grit_other(&grits, read(CHART[i].cami), NULL)->name;
        if (strcmp(other, CHART[i].p) != 0 && strcmp(other, CHART[i].or_p) != 0)
            fail_msg("%s: %s", CHART[i].cami, other);
    }
}

// Logarithms of size ratios worked out by hand from the printed sizes (derived).
static void ratios_are_those_worked_out_by_hand(void **state) {
    (void)state;
    static const struct {
        const char *cami, *p;
        double log_ratio;
    } CASES[] = {{"CAMI 400", "P800", 0.079}, {"CAMI 320", "P400", 0.028},
                 {"CAMI 240", "P280", 0.025}, {"CAMI 600", "P1200", 0.045},
                 {"CAMI 100", "P120", 0.120}};
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        double ratio;
        const struct bw_grit *other = bw_grit_other(&grits, read(CASES[i].cami), &ratio);
        assert_string_equal(other->name, CASES[i].p);
        assert_true(fabs(-log(ratio) - CASES[i].log_ratio) < 0.0006);
    }
}

// The table's own words: equal numbers lie within 15 % up to 220 and part from 240 on.
static void equal_numbers_part_above_220(void **state) {
    (void)state;
    for (size_t i = 0; i < grits.count[BW_GRIT_CAMI]; i++) {
        const struct bw_grit *cami = &grits.items[grits.first[BW_GRIT_CAMI] + i];
        const char *number = cami->name + strlen("CAMI ");
        char name[16];
        (void)snprintf(name, sizeof name, "P%s", number);
        struct bw_err err = {0};
        const struct bw_grit *p;
        if (!bw_grit_read(&grits, name, strlen(name), &p, &err)) continue;
        double apart = fabs(log(cami->size.v / p->size.v));
        double n;
        assert_true(bw_number(number, strlen(number), &n, &err));
        if (n <= 220)
            assert_true(apart < log(1.15));
        else
            assert_true(cami->size.v < p->size.v);
    }
}

static void nearest_is_the_nearest_by_ratio(void **state) {
    (void)state;
    for (double size = 3e-6; size < 4e-3; size *= 1.013) {
        for (int series = 0; series < BW_GRIT_SERIES_COUNT; series++) {
            const struct bw_grit *found =
                bw_grit_nearest(&grits, size, (enum bw_grit_series)series);
            assert_int_equal(found->series, series);
            double apart = found->size.v > size ? found->size.v / size : size / found->size.v;
            for (size_t i = 0; i < grits.n; i++) {
                double other = grits.items[i].size.v;
                double ratio = other > size ? other / size : size / other;
                if (grits.items[i].series == series) assert_true(ratio > apart * (1 - 1e-12));
            }
        }
    }
    for (size_t i = 0; i < grits.n; i++)
        assert_ptr_equal(bw_grit_nearest(&grits, grits.items[i].size.v,
                                         (enum bw_grit_series)grits.items[i].series),
                         &grits.items[i]);
}

// 2 is as far from 4 as from 1 by ratio; by difference 1 would be nearer.
static void of_two_equally_near_the_coarser_is_taken(void **state) {
    (void)state;
    const struct bw_grit two[] = {{.size = {.v = 4}}, {.size = {.v = 1}}};
    const struct bw_grits pair = {.items = two, .n = 2, .count = {2, 0}};
    assert_ptr_equal(bw_grit_nearest(&pair, 2, BW_GRIT_FEPA_P), &two[0]);
    assert_ptr_equal(bw_grit_nearest(&pair, 1.99, BW_GRIT_FEPA_P), &two[1]);
    assert_ptr_equal(bw_grit_nearest(&pair, 2.01, BW_GRIT_FEPA_P), &two[0]);
}

static void neighbours_and_skips(void **state) {
    (void)state;
    assert_string_equal(bw_grit_finer(&grits, read("P80"))->name, "P100");
    assert_string_equal(bw_grit_coarser(&grits, read("P80"))->name, "P60");
    assert_null(bw_grit_coarser(&grits, read("P12")));
    assert_null(bw_grit_finer(&grits, read("P2500")));
    assert_null(bw_grit_coarser(&grits, read("CAMI 16")));
    assert_null(bw_grit_finer(&grits, read("CAMI 1200")));
    assert_int_equal(bw_grit_skips(&grits, read("P80"), read("P100")), 0);
    assert_int_equal(bw_grit_skips(&grits, read("P80"), read("P120")), 1);
    assert_int_equal(bw_grit_skips(&grits, read("P80"), read("P180")), 3);
    assert_int_equal(bw_grit_skips(&grits, read("P80"), read("P80")), 0);
    assert_int_equal(bw_grit_skips(&grits, read("P120"), read("P80")), 0);
    assert_int_equal(bw_grit_skips(&grits, read("CAMI 80"), read("P100")), 0);
    assert_int_equal(bw_grit_skips(&grits, read("CAMI 80"), read("P120")), 1);
    assert_int_equal(bw_grit_skips(&grits, read("CAMI 50"), read("P60")), 0);
    // By size, not by number: CAMI 400 is as fine as P800.
    assert_int_equal(bw_grit_skips(&grits, read("CAMI 400"), read("P1000")), 0);
    assert_int_equal(bw_grit_skips(&grits, read("CAMI 400"), read("P600")), 0);
}

static int by_size(const void *a, const void *b) {
    return bw_grit_order(*(const struct bw_grit *const *)a, *(const struct bw_grit *const *)b);
}

static void order_goes_by_size_through_both_series(void **state) {
    (void)state;
    const struct bw_grit *sorted[200];
    assert_true(grits.n <= 200);
    for (size_t i = 0; i < grits.n; i++) sorted[i] = &grits.items[grits.n - 1 - i];
    qsort(sorted, grits.n, sizeof *sorted, by_size);
    assert_string_equal(sorted[0]->name, "P12");
    assert_string_equal(sorted[grits.n - 1]->name, "CAMI 1200");
    for (size_t i = 1; i < grits.n; i++) {
        assert_true(sorted[i]->size.v <= sorted[i - 1]->size.v);
        assert_true(by_size(&sorted[i], &sorted[i - 1]) > 0);
    }
    assert_int_equal(by_size(&sorted[3], &sorted[3]), 0);
    const struct bw_grit p = {.series = BW_GRIT_FEPA_P, .size = {.v = 1}};
    const struct bw_grit cami = {.series = BW_GRIT_CAMI, .size = {.v = 1}};
    assert_true(bw_grit_order(&p, &cami) < 0 && bw_grit_order(&cami, &p) > 0);
}

// What the table's own rule refuses.
static void spoilt_grit_tables_are_refused(void **state) {
    (void)state;
#define TOP                                                                                        \
    "# Grits\n# For a test.\n"                                                                     \
    "grit,series,size,tolerance,class,source,status,note\n-,-,µm,µm,-,-,-,-\n"
#define P12 "P12,FEPA P,1815,,macro,x,read in,\n"
#define CAMI16 "CAMI 16,CAMI,1320,,,x,read in,\n"
    static const struct {
        const char *text, *what, *field;
        int line;
    } CASES[] = {
        {TOP P12 "P16,FEPA P,1815,,,x,read in,\n" CAMI16, "not finer than P12", "size", 6},
        {TOP P12 "P16,FEPA P,1900,,,x,read in,\n" CAMI16, "not finer than P12", "size", 6},
        {TOP P12 CAMI16 "P16,FEPA P,1324,,,x,read in,\n", "series are mixed", "series", 7},
        {TOP P12, "one of the two series", "series", 5},
        {TOP CAMI16, "one of the two series", "series", 5},
        {TOP P12 "16,CAMI,1320,,,x,read in,\n", "not a grit of the series CAMI", "grit", 6},
        {TOP "CAMI 12,FEPA P,1815,,,x,read in,\n" CAMI16, "not a grit of", "grit", 5},
        {TOP "P12x,FEPA P,1815,,,x,read in,\n" CAMI16, "not a grit of", "grit", 5},
        {TOP "P012,FEPA P,1815,,,x,read in,\n" CAMI16, "not a grit of", "grit", 5},
        {TOP "P12,FEPA P,0.5,,,x,read in,\n" CAMI16, "out of range", "size", 5},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        struct bw_err err = {0};
        const struct bw_trade_table *table;
        struct bw_list rows;
        const char *text = CASES[i].text;
        assert_true(bw_trade_table_read(arena, "grits.csv", text, strlen(text), &table, &err));
        bool taken = bw_trade_table_bind(arena, table, bw_grits_carried.record, &rows, &err) &&
                     bw_grits_carried.check(table, rows.items, &err);
        if (taken || strstr(err.what, CASES[i].what) == NULL || err.line != CASES[i].line ||
            strcmp(err.field, CASES[i].field) != 0 || strcmp(err.file, "grits.csv") != 0) {
            bw_err_print(&err, stderr);
            fail_msg("case %zu", i);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_are_read_as_people_write_them),
        cmocka_unit_test(other_names_are_refused_with_what_to_write),
        cmocka_unit_test(micro_grades_agree_with_a_printed_chart),
        cmocka_unit_test(crossovers_agree_with_printed_ones),
        cmocka_unit_test(ratios_are_those_worked_out_by_hand),
        cmocka_unit_test(equal_numbers_part_above_220),
        cmocka_unit_test(nearest_is_the_nearest_by_ratio),
        cmocka_unit_test(of_two_equally_near_the_coarser_is_taken),
        cmocka_unit_test(neighbours_and_skips),
        cmocka_unit_test(order_goes_by_size_through_both_series),
        cmocka_unit_test(spoilt_grit_tables_are_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
