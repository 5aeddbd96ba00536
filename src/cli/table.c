// table.c - `beltwright table [NAME [WORD]...]`: the trade's tables with their sources.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/json.h"
#include "trade/tables.h"

#include <string.h>

static bool list(struct bw_cli *cli, struct bw_err *err) {
    struct bw_text text = bw_cli_text(cli, BW_UNITS_SI);
    static const char *const TITLES[] = {"table", "what it holds", "rows", NULL};
    bw_text_table(&text, "llr", TITLES);
    for (const struct bw_trade_carried *const *at = bw_trade_tables(); *at != NULL; at++) {
        const struct bw_trade_table *table;
        if (!bw_trade_table_open(cli->arena, (*at)->name, &table, err)) {
            bw_buffer_free(&text.out);
            return false;
        }
        bw_text_cell(&text, "%s", (*at)->name);
        bw_text_cell(&text, "%s", table->title);
        bw_text_cell(&text, "%zu", table->n_rows);
    }
    bw_text_table_end(&text);
    return bw_write(cli, "-", &text.out, err);
}

static bool list_json(struct bw_cli *cli, struct bw_err *err) {
    struct bw_buffer out = {0};
    struct bw_json json = bw_json_begin(&out);
    bw_json_open(&json, '{');
    bw_json_key(&json, "shape");
    bw_json_text(&json, "tables/1");
    bw_json_key(&json, "tables");
    bw_json_open(&json, '[');
    for (const struct bw_trade_carried *const *at = bw_trade_tables(); *at != NULL; at++)
        bw_json_text(&json, (*at)->name);
    bw_json_close(&json, ']');
    bw_json_close(&json, '}');
    return bw_write(cli, "-", &out, err);
}

// The words after the table's name.
static bool chosen_rows(struct bw_cli *cli, const struct bw_trade_table *table,
                        const struct bw_arguments *given, struct bw_trade_rows *out,
                        struct bw_err *err) {
    const char **words = bw_arena_array(cli->arena, given->n, sizeof *words);
    if (words == NULL) return bw_fail_memory(err);
    size_t n = 0;
    for (size_t i = 0; i < given->n; i++)
        if (strcmp(given->items[i].option->name, "word") == 0) words[n++] = given->items[i].value;
    if (!bw_trade_table_filter(cli->arena, table, words, n, out, err)) return false;
    if (out->n > 0 || n == 0) return true;
    bw_fail(err, BW_NOT_FOUND, "no row of this table has all these words");
    bw_err_mend(err, "leave words out; without any, the whole table is printed");
    return false;
}

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    const char *name = bw_given_value(given, "name");
    bool json = bw_given(given, "json");
    if (name == NULL) return json ? list_json(cli, err) : list(cli, err);
    const struct bw_trade_table *table;
    struct bw_trade_rows rows;
    if (!bw_trade_table_open(cli->arena, name, &table, err)) return false;
    if (!chosen_rows(cli, table, given, &rows, err)) return false;
    if (!json) {
        struct bw_text text = bw_cli_text(cli, BW_UNITS_SI);
        bw_trade_table_text(table, rows, &text);
        return bw_write(cli, "-", &text.out, err);
    }
    struct bw_buffer out = {0};
    struct bw_json writer = bw_json_begin(&out);
    bw_trade_table_json(table, rows, &writer);
    return bw_write(cli, "-", &out, err);
}

static const struct bw_option OPTIONS[] = {
    {.name = "name",
     .value = "NAME",
     .takes = BW_TAKES_WORD,
     .positional = true,
     .help = "the table; without it, the tables there are"},
    {.name = "word",
     .value = "WORD",
     .takes = BW_TAKES_WORD,
     .positional = true,
     .repeats = true,
     .help = "only rows in which every word occurs; a row's own name means that row alone"},
    {.name = "json", .help = "print the table as JSON"},
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_table = {
    .page = {.name = "table",
             .summary = "print a table of the trade, with the source of every row",
             .about = "Prints one of the tables the program reckons with: every row with its "
                      "source and how far that source was seen.",
             .example = "beltwright table grits P80",
             .options = OPTIONS},
    .run = run,
};
