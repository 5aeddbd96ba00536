// test_table.c - tables: what is read, what is refused and with which words, and the carried ones.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "base/embedded.h"
#include "support/torture.h"
#include "trade/tables.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
// cmocka.h wants the five above in front of it.
#include <cmocka.h>

struct part {
    const char *name;
    struct bw_quantity size;
    long count;
    int kind;
    struct bw_trade_origin origin;
};
static const struct bw_choice KINDS[] = {{"round", NULL}, {"flat", NULL}, {NULL, NULL}};
static const struct bw_field PART_FIELDS[] = {
    {BW_AT(struct part, name), .kind = BW_TEXT, .required = true, .help = "what it is called"},
    {BW_AT(struct part, size), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .required = true,
     .min = 0.001, .max = 1, .help = "how long it is"},
    {BW_AT(struct part, count), .kind = BW_COUNT, .min = 1, .max = 20, .help = "how many"},
    {BW_AT(struct part, kind), .kind = BW_CHOICE, .of = KINDS, .help = "its shape"},
    BW_TRADE_ORIGIN(struct part, origin),
    BW_END_FIELDS,
};
static const struct bw_record PART = {
    .name = "part", .help = "a part", .fields = PART_FIELDS, .size = sizeof(struct part)};

#define HEAD "# Parts\n#\n# Invented, for a test.\n"
#define NAMES "name,size,count,kind,source,status,note\n"
#define UNITS "-,mm,1,-,-,-,-\n"
#define TOP HEAD NAMES UNITS
#define ROW "a,12,3,round,a book,read in,\n"

static bool load(struct bw_arena *arena, const char *text, size_t length, struct bw_list *rows,
                 struct bw_err *err) {
    const struct bw_trade_table *table;
    return bw_trade_table_read(arena, "parts.csv", text, length, &table, err) &&
           bw_trade_table_bind(arena, table, &PART, rows, err);
}

static void values_and_places_are_kept(void **state) {
    (void)state;
    static const char TEXT[] =
        TOP ROW "b,0.5e2,,,\"a \"\"good\"\" book, 2nd\",from memory,\"two\nlines\"\n"
                "c,7,1,flat,a rule,common practice,x";
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    const struct bw_trade_table *table;
    struct bw_list rows;
    assert_true(bw_trade_table_read(arena, "parts.csv", TEXT, strlen(TEXT), &table, &err));
    assert_string_equal(table->title, "Parts");
    assert_int_equal(table->n_notes, 1);
    assert_string_equal(table->notes[0], "Invented, for a test.");
    assert_int_equal(table->n_columns, 7);
    assert_int_equal(table->n_rows, 3);
    assert_string_equal(table->columns[1].unit, "mm");
    assert_string_equal(table->columns[0].unit, "");
    assert_true(bw_trade_table_bind(arena, table, &PART, &rows, &err));
    const struct part *parts = rows.items;
    assert_int_equal(rows.n, 3);
    assert_true(fabs(parts[0].size.v - 0.012) < 1e-15);
    assert_true(fabs(parts[1].size.v - 0.050) < 1e-15);
    assert_int_equal(parts[0].count, 3);
    assert_int_equal(parts[1].count, BW_NO_COUNT);
    assert_int_equal(parts[1].kind, BW_NO_CHOICE);
    assert_int_equal(parts[2].kind, 1);
    assert_string_equal(parts[1].origin.source, "a \"good\" book, 2nd");
    assert_string_equal(parts[1].origin.note, "two\nlines");
    assert_null(parts[0].origin.note);
    assert_int_equal(parts[0].origin.status, BW_READ_IN);
    assert_int_equal(parts[1].origin.status, BW_FROM_MEMORY);
    assert_int_equal(parts[2].origin.status, BW_COMMON_PRACTICE);
    // The third row stands in line 9, for the cell before it has a line end in it.
    assert_int_equal(table->cells[14].line, 9);
    assert_int_equal(table->cells[15].column, 3);
    bw_arena_free(arena);
}

// The same rows from files as other programs write them.
static void line_ends_and_marks_make_no_difference(void **state) {
    (void)state;
    static const char *const TEXTS[] = {
        TOP ROW,
        TOP "a,12,3,round,a book,read in,",
        "\xef\xbb\xbf" TOP ROW,
        "# Parts\r\n#\r\n# Invented, for a test.\r\n"
        "name,size,count,kind,source,status,note\r\n-,mm,1,-,-,-,-\r\n"
        "a,12,3,round,a book,read in,\r\n",
        TOP "\"a\",\"12\",\"3\",\"round\",\"a book\",\"read in\",\"\"\n",
        HEAD "source,name,size,count,kind,status,note\n-,-,in,1,-,-,-\n"
             "a book,a,0.47244094488188976,3,round,read in,\n",
    };
    for (size_t i = 0; i < sizeof TEXTS / sizeof *TEXTS; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_err err = {0};
        struct bw_list rows;
        if (!load(arena, TEXTS[i], strlen(TEXTS[i]), &rows, &err)) fail_msg("%zu: %s", i, err.what);
        const struct part *part = rows.items;
        assert_int_equal(rows.n, 1);
        assert_string_equal(part->name, "a");
        assert_true(fabs(part->size.v - 0.012) < 1e-15);
        assert_int_equal(part->count, 3);
        assert_int_equal(part->kind, 0);
        bw_arena_free(arena);
    }
}

// Every way to spoil a table by hand: place, column, and words of the message and of its mend.
static const struct {
    const char *text;
    enum bw_code code;
    int line, column;
    const char *field, *what, *mend;
} SPOILT[] = {
    {"", BW_SYNTAX, 1, 1, "", "opens with its title", "# Title"},
    {NAMES UNITS ROW, BW_SYNTAX, 1, 1, "", "opens with its title", "# Title"},
    {"# Parts\n" NAMES UNITS ROW, BW_SYNTAX, 1, 1, "", "opens with its title", "licence"},
    {"#\n# Parts\n" NAMES UNITS ROW, BW_SYNTAX, 1, 1, "", "opens with its title", "# Title"},
    {HEAD, BW_SYNTAX, 4, 1, "", "ends too early", "add"},
    {HEAD NAMES, BW_SYNTAX, 5, 1, "", "ends too early", "add"},
    {TOP, BW_INPUT, 6, 1, "", "without rows", "at least one row"},
    {HEAD NAMES "-,mm,1,-,-,-\n" ROW, BW_INPUT, 5, 1, "", "6 units under 7 columns", "its unit"},
    {HEAD "name,Size,count,kind,source,status,note\n" UNITS ROW, BW_INPUT, 4, 6, "",
     "not a column name", "small letters"},
    {HEAD "name,size,count,size,source,status,note\n" UNITS ROW, BW_INPUT, 4, 17, "",
     "same name", "rename"},
    {HEAD NAMES "-,,1,-,-,-,-\n" ROW, BW_INPUT, 5, 3, "size", "no unit", "write the unit"},
    {HEAD "name,size,count,kind,origin,status,note\n" UNITS ROW, BW_INPUT, 4, 36, "",
     "no column source", "source,status,note"},
    {HEAD "name,size,count,kind,source,worth,note\n" UNITS ROW, BW_INPUT, 4, 35, "",
     "no column status", "source,status,note"},
    {HEAD "name,size,count,sort,source,status,note\n" UNITS ROW, BW_INPUT, 4, 17, "",
     "unknown column", "take it out"},
    {HEAD "name,size,kind,source,status,note\n-,mm,-,-,-,-\na,12,round,a book,read in,\n", BW_INPUT,
     4, 1, "", "no column count", "add it"},
    {HEAD NAMES "-,m/s,1,-,-,-,-\n" ROW, BW_INPUT, 5, 3, "size", "", "mm"},
    {HEAD NAMES "-,-,1,-,-,-,-\n" ROW, BW_INPUT, 5, 3, "size", "wrong unit", "write mm"},
    {HEAD NAMES "-,1,1,-,-,-,-\n" ROW, BW_INPUT, 5, 3, "size", "", "mm"},
    {HEAD NAMES "-,mm,-,-,-,-,-\n" ROW, BW_INPUT, 5, 6, "count", "wrong unit", "write 1"},
    {HEAD NAMES "-,mm,1,mm,-,-,-\n" ROW, BW_INPUT, 5, 8, "kind", "wrong unit", "write -"},
    {HEAD NAMES "-,mn,1,-,-,-,-\n" ROW, BW_INPUT, 5, 3, "size", "", ""},
    {TOP "a,12,3,round,a book,read in\n", BW_INPUT, 6, 1, "", "6 cells under 7 columns", "commas"},
    {TOP "a,12,3,round,a book,read in,,\n", BW_LIMIT, 6, 30, "", "more than 7", "comma"},
    {TOP ROW "\n" ROW, BW_SYNTAX, 7, 1, "", "empty line", "take it out"},
    {TOP ROW "\n", BW_SYNTAX, 7, 1, "", "empty line", "take it out"},
    {TOP "# more\n" ROW, BW_SYNTAX, 6, 1, "", "comment among the rows", "above the header"},
    {TOP "a,\"12,3,round,a book,read in,\n", BW_SYNTAX, 6, 3, "", "never ends", "close it"},
    {TOP "a,\"12\"3,3,round,a book,read in,\n", BW_SYNTAX, 6, 7, "", "after the closing", "comma"},
    {TOP "a,1\"2,3,round,a book,read in,\n", BW_SYNTAX, 6, 4, "", "in the middle", "in quotes"},
    {TOP "a, 12,3,round,a book,read in,\n", BW_SYNTAX, 6, 3, "", "blank beside", "take it out"},
    {TOP "a,12,3,round ,a book,read in,\n", BW_SYNTAX, 6, 8, "", "blank beside", "take it out"},
    {TOP "a,12,3,round,a\tbook,read in,\n", BW_SYNTAX, 6, 15, "", "tab", "blank"},
    {TOP "a,12,3,round,a\abook,read in,\n", BW_SYNTAX, 6, 15, "", "control character", "remove"},
    {TOP "a,12,3,round,a book,read in,\ra", BW_SYNTAX, 6, 29, "", "carriage return", "line ends"},
    {TOP "a,12,3,round,B\xfc" "ch,read in,\n", BW_SYNTAX, 6, 15, "", "UTF-8", "UTF-8"},
    {TOP ",12,3,round,a book,read in,\n", BW_INPUT, 6, 1, "name", "without a name", "first column"},
    {TOP ROW "A,13,3,round,a book,read in,\n", BW_INPUT, 7, 1, "name", "same name as in line 6",
     "one of the two"},
    {TOP "a,12,3,round,,read in,\n", BW_INPUT, 6, 14, "source", "a source", "common practice"},
    {TOP "a,12,3,round,a book,,\n", BW_INPUT, 6, 1, "status", "missing", "read in"},
    {TOP "a,12,3,round,a book,verified,\n", BW_INPUT, 6, 21, "status", "choices", "read in"},
    {TOP "a,,3,round,a book,read in,\n", BW_INPUT, 6, 1, "size", "missing", "how long"},
    {TOP "a,12 mm,3,round,a book,read in,\n", BW_INPUT, 6, 3, "size", "", "under the column"},
    {TOP "a,\"1,2\",3,round,a book,read in,\n", BW_INPUT, 6, 3, "size", "", ""},
    {TOP "a,nan,3,round,a book,read in,\n", BW_INPUT, 6, 3, "size", "", "bare number"},
    {TOP "a,?,3,round,a book,read in,\n", BW_INPUT, 6, 3, "size", "", "bare number"},
    {TOP "a,0.9,3,round,a book,read in,\n", BW_INPUT, 6, 3, "size", "out of range", ""},
    {TOP "a,-12,3,round,a book,read in,\n", BW_INPUT, 6, 3, "size", "out of range", ""},
    {TOP "a,1001,3,round,a book,read in,\n", BW_INPUT, 6, 3, "size", "out of range", ""},
    {TOP "a,12,3.5,round,a book,read in,\n", BW_INPUT, 6, 6, "count", "whole number", "1 to 20"},
    {TOP "a,12,21,round,a book,read in,\n", BW_INPUT, 6, 6, "count", "1 to 20", "1 to 20"},
    {TOP "a,12,3,rund,a book,read in,\n", BW_INPUT, 6, 8, "kind", "choices", "round"},
};

static void spoilt_tables_are_refused_with_place_and_mend(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof SPOILT / sizeof *SPOILT; i++) {
        struct bw_arena *arena = bw_arena_new(0);
        struct bw_err err = {0};
        struct bw_list rows = {.n = 99};
        bool taken = load(arena, SPOILT[i].text, strlen(SPOILT[i].text), &rows, &err);
        bool right = !taken && rows.n == 99 && err.code == SPOILT[i].code &&
                     err.line == SPOILT[i].line && err.column == SPOILT[i].column &&
                     strcmp(err.file, "parts.csv") == 0 && err.what[0] != '\0' &&
                     err.mend[0] != '\0' && strcmp(err.field, SPOILT[i].field) == 0 &&
                     strstr(err.what, SPOILT[i].what) != NULL &&
                     strstr(err.mend, SPOILT[i].mend) != NULL;
        if (!right) {
            bw_err_print(&err, stderr);
            fail_msg("case %zu: %s", i, SPOILT[i].text);
        }
        bw_arena_free(arena);
    }
}

// The value and the line with its caret, in one case where all of them stand.
static void a_message_shows_the_value_and_the_line(void **state) {
    (void)state;
    static const char TEXT[] = TOP ROW "b,7 \xc2\xb5m,3,round,a book,read in,\n";
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    struct bw_list rows;
    assert_false(load(arena, TEXT, strlen(TEXT), &rows, &err));
    assert_string_equal(err.value, "7 \xc2\xb5m");
    assert_string_equal(err.excerpt, "b,7 \xc2\xb5m,3,round,a book,read in,");
    assert_int_equal(err.line, 7);
    assert_int_equal(err.column, 3);
    bw_arena_free(arena);
}

// A table of `rows` rows and one note of `note` bytes in the first of them.
static char *long_table(size_t rows, size_t note, size_t *length) {
    struct bw_buffer text = {0};
    bw_buffer_text(&text, TOP "first,12,3,round,a book,read in,");
    bw_buffer_fill(&text, 'x', note);
    for (size_t i = 1; i < rows; i++)
        bw_buffer_format(&text, "\nr%zu,12,3,round,a book,read in,", i);
    bw_buffer_char(&text, '\n');
    *length = text.length;
    return bw_buffer_take(&text);
}

static enum bw_code load_long(size_t rows, size_t note) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    struct bw_list list;
    size_t length;
    char *text = long_table(rows, note, &length);
    assert_non_null(text);
    if (load(arena, text, length, &list, &err)) assert_int_equal(list.n, rows);
    bw_free(text);
    bw_arena_free(arena);
    return err.code;
}

static void limits_are_kept_and_not_one_too_few(void **state) {
    (void)state;
    assert_int_equal(load_long(BW_MAX_TABLE_ROWS, 0), BW_OK);
    assert_int_equal(load_long(BW_MAX_TABLE_ROWS + 1, 0), BW_LIMIT);
    assert_int_equal(load_long(1, BW_MAX_TABLE_CELL), BW_OK);
    assert_int_equal(load_long(1, BW_MAX_TABLE_CELL + 1), BW_LIMIT);
    assert_int_equal(load_long(1, BW_MAX_DOCUMENT_BYTES), BW_LIMIT);
    struct bw_buffer wide = {0};
    bw_buffer_text(&wide, HEAD "a");
    for (int i = 0; i < BW_MAX_TABLE_COLUMNS; i++) bw_buffer_format(&wide, ",a%d", i);
    bw_buffer_text(&wide, "\n");
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    struct bw_list list;
    assert_false(load(arena, wide.data, wide.length, &list, &err));
    assert_int_equal(err.code, BW_LIMIT);
    bw_buffer_free(&wide);
    bw_arena_free(arena);
}

// ---- the carried tables ----

static void every_carried_table_loads(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    for (const struct bw_trade_carried *const *table = bw_trade_tables(); *table != NULL; table++) {
        struct bw_err err = {0};
        struct bw_list rows;
        if (!bw_record_lint((*table)->record, &err) ||
            !bw_trade_table_load(arena, *table, &rows, &err)) {
            bw_err_print(&err, stderr);
            fail_msg("%s", (*table)->name);
        }
        assert_true(rows.n > 0);
    }
    bw_arena_free(arena);
}

// A CSV file nobody loads would never be checked.
static void every_csv_file_is_a_carried_table(void **state) {
    (void)state;
    size_t carried = 0, files = 0;
    for (const struct bw_trade_carried *const *table = bw_trade_tables(); *table != NULL; table++)
        carried++;
    for (size_t i = 0; bw_embedded_name(i) != NULL; i++) {
        const char *name = bw_embedded_name(i), *end = strstr(name, ".csv");
        if (end == NULL || strchr(name, '/') != NULL) continue;
        const struct bw_trade_carried *const *table = bw_trade_tables();
        while (*table != NULL && (strlen((*table)->name) != (size_t)(end - name) ||
                                  strncmp((*table)->name, name, (size_t)(end - name)) != 0))
            table++;
        if (*table == NULL) fail_msg("%s is not in the list of tables", name);
        files++;
    }
    assert_int_equal(carried, files);
}

static void an_unknown_name_is_told_the_known_ones(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    const struct bw_trade_table *table = NULL;
    struct bw_err err = {0};
    assert_false(bw_trade_table_open(arena, "kinds of glue", &table, &err));
    assert_int_equal(err.code, BW_NOT_FOUND);
    assert_string_equal(err.value, "kinds of glue");
    assert_non_null(strstr(err.mend, "bearings"));
    assert_non_null(strstr(err.mend, "grits"));
    bw_err_clear(&err);
    assert_false(bw_trade_table_open(arena, "grit", &table, &err));
    assert_string_equal(err.mend, "did you mean grits?");
    bw_err_clear(&err);
    assert_false(bw_trade_table_open(arena, "../secret", &table, &err));
    assert_int_equal(err.code, BW_NOT_FOUND);
    assert_null(table);
    bw_arena_free(arena);
}

static void words_choose_rows(void **state) {
    (void)state;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    const struct bw_trade_table *table;
    struct bw_trade_rows rows;
    assert_true(bw_trade_table_open(arena, "grits", &table, &err));
    assert_true(bw_trade_table_filter(arena, table, NULL, 0, &rows, &err));
    assert_int_equal(rows.n, table->n_rows);
    const char *const name[] = {"p80"};
    assert_true(bw_trade_table_filter(arena, table, name, 1, &rows, &err));
    assert_int_equal(rows.n, 1);
    assert_string_equal(table->cells[rows.items[0] * table->n_columns].text, "P80");
    const char *const two[] = {"cami", "from MEMORY"};
    assert_true(bw_trade_table_filter(arena, table, two, 2, &rows, &err));
    assert_true(rows.n > 1);
    for (size_t i = 0; i < rows.n; i++) {
        const struct bw_csv_cell *cells = table->cells + rows.items[i] * table->n_columns;
        assert_string_equal(cells[bw_trade_column_find(table, "series")].text, "CAMI");
        assert_string_equal(cells[bw_trade_column_find(table, "status")].text, "from memory");
        assert_true(i == 0 || rows.items[i] > rows.items[i - 1]);
    }
    const char *const apart[] = {"cami", "400"};
    assert_true(bw_trade_table_filter(arena, table, apart, 2, &rows, &err));
    assert_int_equal(rows.n, 1);
    assert_string_equal(table->cells[rows.items[0] * table->n_columns].text, "CAMI 400");
    const char *const none[] = {"no such word"};
    assert_true(bw_trade_table_filter(arena, table, none, 1, &rows, &err));
    assert_int_equal(rows.n, 0);
    bw_arena_free(arena);
}

static void a_table_prints_with_its_sources(void **state) {
    (void)state;
    static const char TEXT[] = TOP ROW "b,1.5,,,a rule of thumb,common practice,mind it\n"
                                       "c,130,,flat,a book,derived,\n";
    static const char WANTED[] = "Parts\n"
                                 "  name  size mm  count  kind   source  status           note\n"
                                 "  ----  -------  -----  -----  ------  ---------------  -------\n"
                                 "  a        12        3  round       1  read in\n"
                                 "  b         1.5                     2  common practice  mind it\n"
                                 "  c       130           flat        1  derived\n"
                                 "\n"
                                 "  Sources\n"
                                 "  1. a book\n"
                                 "  2. a rule of thumb\n"
                                 "\n"
                                 "  Invented, for a test.\n";
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    const struct bw_trade_table *table;
    struct bw_trade_rows rows;
    assert_true(bw_trade_table_read(arena, "parts.csv", TEXT, strlen(TEXT), &table, &err));
    assert_true(bw_trade_table_filter(arena, table, NULL, 0, &rows, &err));
    struct bw_text text = {.arena = arena};
    bw_trade_table_text(table, rows, &text);
    assert_string_equal(text.out.data, WANTED);
    bw_buffer_free(&text.out);
    struct bw_text empty = {.arena = arena};
    bw_trade_table_text(table, (struct bw_trade_rows){.n = 0}, &empty);
    assert_non_null(strstr(empty.out.data, "No row holds all of these words."));
    bw_buffer_free(&empty.out);
    bw_arena_free(arena);
}

static void a_table_as_json_has_numbers_and_texts(void **state) {
    (void)state;
    static const char TEXT[] = TOP "12,12.50,3,,a \"\"book,read in,\n";
    static const char *const WANTED[] = {"\"name\": \"12\"", "\"size\": 12.5,", "\"count\": 3,",
                                         "\"unit\": \"mm\"", "\"unit\": \"1\"",
                                         "\"shape\": \"table/1\""};
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    const struct bw_trade_table *table;
    struct bw_trade_rows rows;
    struct bw_buffer out = {0};
    struct bw_node *tree;
    static const char GOOD[] = TOP "12,12.50,3,,\"a \"\"book\",read in,\n";
    assert_false(bw_trade_table_read(arena, "parts.csv", TEXT, strlen(TEXT), &table, &err));
    bw_err_clear(&err);
    assert_true(bw_trade_table_read(arena, "parts.csv", GOOD, strlen(GOOD), &table, &err));
    assert_true(bw_trade_table_filter(arena, table, NULL, 0, &rows, &err));
    struct bw_json json = bw_json_begin(&out);
    bw_trade_table_json(table, rows, &json);
    for (size_t i = 0; i < sizeof WANTED / sizeof *WANTED; i++)
        if (strstr(out.data, WANTED[i]) == NULL) fail_msg("%s not in %s", WANTED[i], out.data);
    assert_null(strstr(out.data, "kind\": "));
    assert_true(bw_json_read(arena, "out", out.data, out.length, &tree, &err));
    const struct bw_node *row = bw_node_find(tree, "rows")->child;
    assert_string_equal(bw_node_find(row, "source")->text, "a \"book");
    bw_buffer_free(&out);
    bw_arena_free(arena);
}

// ---- memory ----

static bool load_grits(void *with) {
    (void)with;
    struct bw_err err = {0};
    struct bw_list rows = {.n = 99};
    struct bw_arena *arena = bw_arena_new(0);
    bool done = arena != NULL && bw_trade_table_load(arena, *bw_trade_tables(), &rows, &err);
    if (!done) assert_int_equal(rows.n, 99);
    if (!done && arena != NULL) assert_int_equal(err.code, BW_MEMORY);
    bw_arena_free(arena);
    return done;
}

static bool print_grits(void *with) {
    (void)with;
    struct bw_err err = {0};
    const struct bw_trade_table *table;
    struct bw_trade_rows rows;
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_text text = {.arena = arena};
    bool done = arena != NULL && bw_trade_table_open(arena, "grits", &table, &err) &&
                bw_trade_table_filter(arena, table, NULL, 0, &rows, &err);
    if (done) {
        bw_trade_table_text(table, rows, &text);
        done = !text.out.failed && !bw_arena_failed(arena);
    }
    if (done) assert_non_null(strstr(text.out.data, "CAMI 1200"));
    bw_buffer_free(&text.out);
    bw_arena_free(arena);
    return done;
}

static void every_failed_allocation_is_told(void **state) {
    (void)state;
    assert_true(torture(load_grits, NULL) > 3);
    assert_true(torture(print_grits, NULL) > 3);
}

// The arena asks for memory seldom; here it is full at every single request.
static void a_full_arena_is_told(void **state) {
    (void)state;
    size_t max = 1;
    for (bool done = false; !done; max += 40) {
        struct bw_err err = {0};
        struct bw_list rows = {.n = 99};
        struct bw_arena *arena = bw_arena_new(max);
        done = bw_trade_table_load(arena, *bw_trade_tables(), &rows, &err);
        if (!done) assert_int_equal(err.code, BW_MEMORY);
        if (!done) assert_int_equal(rows.n, 99);
        bw_arena_free(arena);
    }
    assert_true(max > 1000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_and_places_are_kept),
        cmocka_unit_test(line_ends_and_marks_make_no_difference),
        cmocka_unit_test(spoilt_tables_are_refused_with_place_and_mend),
        cmocka_unit_test(a_message_shows_the_value_and_the_line),
        cmocka_unit_test(limits_are_kept_and_not_one_too_few),
        cmocka_unit_test(every_carried_table_loads),
        cmocka_unit_test(every_csv_file_is_a_carried_table),
        cmocka_unit_test(an_unknown_name_is_told_the_known_ones),
        cmocka_unit_test(words_choose_rows),
        cmocka_unit_test(a_table_prints_with_its_sources),
        cmocka_unit_test(a_table_as_json_has_numbers_and_texts),
        cmocka_unit_test(every_failed_allocation_is_told),
        cmocka_unit_test(a_full_arena_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
