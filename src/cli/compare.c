// compare.c - `beltwright compare BEFORE AFTER`: is it really better?
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/compare.h"
#include "base/emit.h"
#include "base/number.h"
#include "cli/job.h"
#include "report/svg.h"
#include "study/door.h"

#include <errno.h>
#include <math.h>
#include <string.h>
#include <sys/stat.h>

// One of the two answers.
struct answer {
    const char *name;
    const struct bw_study *study;
    const void *out;
    struct bw_findings findings;
};

struct comparing {
    struct bw_cli *cli;
    const struct bw_arguments *given;
    struct bw_err *err;
    enum bw_units units;
    struct answer before, after;
};

// ---- the two answers ----------------------------------------------------------------------------

// A study by the shape of its answer, "name/2".
static const struct bw_study *study_of(const char *shape) {
    char text[BW_SHAPE_TEXT];
    for (const struct bw_study *const *at = bw_studies(); *at != NULL; at++)
        if (strcmp(bw_study_shape(text, *at), shape) == 0) return *at;
    return NULL;
}

static bool take_answer(struct comparing *c, const struct bw_node *root, struct answer *out) {
    const char *shape = root->kind == BW_NODE_MAP ? bw_body_text(root, "shape") : "";
    const struct bw_binding binding = {.arena = c->cli->arena, .units = c->units};
    out->study = study_of(shape);
    if (out->study == NULL) {
        bw_err_file(c->err, out->name);
        bw_err_value(c->err, shape);
        bw_err_mend(c->err, "give what a study printed with --json, by this program");
        return bw_fail(c->err, BW_INPUT, "this is not the answer of a study");
    }
    void *answer = bw_arena_get(c->cli->arena, out->study->out->size);
    if (answer == NULL) return bw_fail_memory(c->err);
    if (!bw_bind(&binding, root, out->study->out, answer, c->err)) {
        bw_err_file(c->err, out->name);
        return false;
    }
    out->out = answer;
    out->findings.arena = c->cli->arena;
    if (out->study->findings != NULL) out->study->findings(answer, &out->findings);
    return !out->findings.failed || bw_fail_memory(c->err);
}

static bool read_file(struct comparing *c, const char *name, struct answer *out) {
    static const struct bw_file_kind KIND = {.name = "file", .max_bytes = BW_MAX_DOCUMENT_BYTES};
    struct bw_binding binding = {.arena = c->cli->arena};
    struct bw_file file;
    struct bw_node *root;
    out->name = name;
    return bw_load_file(NULL, &KIND, name, &file, &binding, c->err) &&
           bw_json_read(c->cli->arena, file.name, file.content, file.size, &root, c->err) &&
           take_answer(c, root, out);
}

static bool take_entry(struct bw_desk *desk, const struct bw_job *job, const char *word,
                       struct comparing *c, struct answer *out) {
    const struct bw_line *line;
    out->name = word;
    if (!bw_desk_line(desk, job, word, &line)) return false;
    const struct bw_node *result = line->kind == BW_ENTRY_STUDY && line->body != NULL
                                       ? bw_node_find(line->body, "result")
                                       : NULL;
    if (result != NULL) return take_answer(c, result, out);
    bw_err_value(desk->err, word);
    return bw_fail(desk->err, BW_INPUT, "this entry is no study that counts");
}

static bool read_entries(struct bw_desk *desk) {
    struct comparing *c = (struct comparing *)desk->with;
    struct bw_entries set;
    struct bw_job job;
    return bw_desk_job(desk, &set, &job) &&
           take_entry(desk, &job, bw_given_value(desk->given, "before"), c, &c->before) &&
           take_entry(desk, &job, bw_given_value(desk->given, "after"), c, &c->after);
}

static bool read_both(struct comparing *c) {
    bool done = bw_given(c->given, "job")
                    ? bw_desk_run(c->cli, c->given, read_entries, c, c->err)
                    : read_file(c, bw_given_value(c->given, "before"), &c->before) &&
                          read_file(c, bw_given_value(c->given, "after"), &c->after);
    if (!done) return false;
    if (c->before.study != c->after.study) {
        bw_err_mend(c->err, "compare two answers of one study");
        return bw_fail(c->err, BW_INPUT, "one is of %s, the other of %s", c->before.study->name,
                       c->after.study->name);
    }
    if (c->before.findings.n + c->after.findings.n > 0) return true;
    return bw_fail(c->err, BW_INPUT, "%s found nothing that can be compared",
                   c->before.study->name);
}

// ---- plots at one scale -------------------------------------------------------------------------

struct range {
    double low, high;
};

static void widen(struct range *range, double v) {
    if (isnan(v)) return;
    if (v < range->low) range->low = v;
    if (v > range->high) range->high = v;
}

static void cover(const struct bw_plot *plot, struct range *x, struct range *y) {
    for (const struct bw_series *s = plot->series; s != NULL; s = s->next) {
        for (size_t i = 0; i < s->n; i++) {
            double sd = s->sd == NULL || isnan(s->sd[i]) ? 0 : s->sd[i];
            widen(x, s->x[i]);
            widen(y, s->y[i] - sd);
            widen(y, s->y[i] + sd);
        }
    }
    if (plot->x_min < plot->x_max) widen(x, plot->x_min), widen(x, plot->x_max);
    if (plot->y_min < plot->y_max) widen(y, plot->y_min), widen(y, plot->y_max);
}

static void one_scale(struct bw_plot *a, struct bw_plot *b) {
    struct range x = {HUGE_VAL, -HUGE_VAL}, y = {HUGE_VAL, -HUGE_VAL};
    cover(a, &x, &y);
    cover(b, &x, &y);
    if (x.low < x.high) a->x_min = b->x_min = x.low, a->x_max = b->x_max = x.high;
    if (y.low < y.high) a->y_min = b->y_min = y.low, a->y_max = b->y_max = y.high;
}

static bool draw(struct comparing *c, const struct bw_plot *plot, const char *folder,
                 const char *when) {
    const struct bw_svg_options options = {.units = c->units};
    const char *name = bw_arena_format(c->cli->arena, "%s/%s-%s.svg", folder, plot->id, when);
    struct bw_buffer svg = {0};
    if (name == NULL) return bw_fail_memory(c->err);
    if (bw_svg_write(plot, &options, &svg, c->err)) return bw_write(c->cli, name, &svg, c->err);
    bw_buffer_free(&svg);
    return false;
}

static bool draw_both(struct comparing *c, const char *folder) {
    const struct bw_study *study = c->before.study;
    struct bw_plots one = {.arena = c->cli->arena, .units = c->units}, two = one;
    if (study->plots == NULL) return bw_fail(c->err, BW_INPUT, "%s draws nothing", study->name);
    study->plots(c->before.out, &one);
    study->plots(c->after.out, &two);
    if (one.failed || two.failed) return bw_fail_memory(c->err);
    if (mkdir(folder, 0777) != 0 && errno != EEXIST) {
        bw_err_file(c->err, folder);
        return bw_fail(c->err, BW_IO, "the folder cannot be made: %s", strerror(errno));
    }
    for (struct bw_plot *a = one.first; a != NULL; a = a->next) {
        struct bw_plot *b = two.first;
        while (b != NULL && strcmp(a->id, b->id) != 0) b = b->next;
        if (b == NULL) continue;
        one_scale(a, b);
        if (!draw(c, a, folder, "before") || !draw(c, b, folder, "after")) return false;
    }
    return true;
}

// ---- what is told -------------------------------------------------------------------------------

// A difference: a temperature's offset cancels.
static double shown(enum bw_dim dim, enum bw_units units, double difference) {
    return bw_dim_from_si(dim, units, difference) - bw_dim_from_si(dim, units, 0);
}

static const char *value(struct bw_text *text, double v, double sd, enum bw_dim dim) {
    return isnan(v) ? "not found" : bw_text_quantity(text, bw_about(v, sd), dim);
}

static const char *interval(struct bw_text *text, const struct bw_compared *c) {
    char low[BW_NUMBER_TEXT], high[BW_NUMBER_TEXT];
    if (isnan(c->low)) return "";
    const char *unit = bw_dim_unit(c->dim, text->units);
    const char *words = bw_arena_format(
        text->arena, "%s to %s%s%s", bw_number_digits(low, shown(c->dim, text->units, c->low), 3),
        bw_number_digits(high, shown(c->dim, text->units, c->high), 3), unit[0] == '\0' ? "" : " ",
        unit);
    return words == NULL ? "?" : words;
}

static enum bw_better better_of(const struct bw_arguments *given) {
    const char *better = bw_given_value(given, "better");
    if (better == NULL) return BW_BETTER_NOT_SAID;
    return strcmp(better, "less") == 0 ? BW_BETTER_LESS : BW_BETTER_MORE;
}

static void tell_words(const struct comparing *c, const struct bw_comparison *all, double matters,
                       struct bw_text *text) {
    static const char *const TITLES[] = {"what", "before", "after", "difference", "verdict", NULL};
    char number[BW_NUMBER_TEXT];
    bw_text_table(text, "lllll", TITLES);
    for (size_t i = 0; i < all->n; i++) {
        const struct bw_compared *one = &all->items[i];
        bw_text_cell(text, "%s, %s", one->kind, one->about);
        bw_text_cell(text, "%s", value(text, one->before, one->before_sd, one->dim));
        bw_text_cell(text, "%s", value(text, one->after, one->after_sd, one->dim));
        bw_text_cell(text, "%s", interval(text, one));
        bw_text_cell(text, "%s", bw_change_word(one->change, better_of(c->given)));
    }
    bw_text_table_end(text);
    bw_text_gap(text);
    bw_text_para(text,
                 "The rule: the difference with its 95 %% interval. All of it on one side of zero: "
                 "a change. Zero within it, and a change by %s %% would have shown: no difference "
                 "shown. Else, or without a ±: not enough data.",
                 bw_number_digits(number, 100 * matters, 3));
    if (all->n > 5)
        bw_text_para(text,
                     "Of %zu values compared, about one in twenty seems to change by chance alone.",
                     all->n);
    bw_text_para(text, "Both must be measured alike: same panel stock, settings and belt, the "
                       "machine as warm as before.");
}

static void emit_value(struct bw_json *json, const char *key, double v, double sd,
                       enum bw_dim dim) {
    if (isnan(v)) return;
    bw_json_key(json, key);
    bw_json_open(json, '{');
    bw_json_key(json, "value");
    bw_json_number(json, bw_dim_from_si(dim, BW_UNITS_SI, v));
    if (!isnan(sd)) {
        bw_json_key(json, "sd");
        bw_json_number(json, shown(dim, BW_UNITS_SI, sd));
    }
    bw_desk_text(json, "unit", bw_dim_unit(dim, BW_UNITS_SI));
    bw_json_close(json, '}');
}

static void emit_pair(struct bw_json *json, const struct bw_compared *one, enum bw_better better) {
    enum bw_dim dim = one->dim == BW_DIM_RATIO ? BW_DIM_NUMBER : one->dim;
    bw_json_open(json, '{');
    bw_desk_text(json, "kind", one->kind);
    bw_desk_text(json, "about", one->about);
    emit_value(json, "before", one->before, one->before_sd, dim);
    emit_value(json, "after", one->after, one->after_sd, dim);
    if (!isnan(one->low)) {
        bw_json_key(json, "difference");
        bw_json_number(json, shown(dim, BW_UNITS_SI, one->difference));
        bw_json_key(json, "low");
        bw_json_number(json, shown(dim, BW_UNITS_SI, one->low));
        bw_json_key(json, "high");
        bw_json_number(json, shown(dim, BW_UNITS_SI, one->high));
    }
    bw_desk_text(json, "verdict", bw_change_word(one->change, better));
    bw_json_close(json, '}');
}

static void tell_json(const struct comparing *c, const struct bw_comparison *all, double matters,
                      struct bw_json *json) {
    bw_json_open(json, '{');
    bw_desk_text(json, "shape", "compare/1");
    bw_desk_text(json, "study", c->before.study->name);
    bw_json_key(json, "matters");
    bw_json_number(json, matters);
    bw_json_key(json, "pairs");
    bw_json_open(json, '[');
    for (size_t i = 0; i < all->n; i++) emit_pair(json, &all->items[i], better_of(c->given));
    bw_json_close(json, ']');
    bw_json_close(json, '}');
}

// ---- the command --------------------------------------------------------------------------------

static bool read_matters(const struct comparing *c, double *out) {
    const char *text = bw_given_value(c->given, "matters");
    struct bw_quantity q = bw_exactly(0.5);
    if (text != NULL && !bw_quantity_read(text, strlen(text), BW_DIM_RATIO, NULL, &q, c->err)) {
        bw_err_within(c->err, "--matters");
        return false;
    }
    *out = q.v;
    if (q.v > 0) return true;
    bw_err_within(c->err, "--matters");
    bw_err_mend(c->err, "write it as 20 %%");
    return bw_fail(c->err, BW_INPUT, "needs a share above 0");
}

static bool check_better(const struct comparing *c) {
    const char *better = bw_given_value(c->given, "better");
    if (better == NULL || strcmp(better, "less") == 0 || strcmp(better, "more") == 0) return true;
    bw_err_within(c->err, "--better");
    bw_err_value(c->err, better);
    bw_err_mend(c->err, "write less or more");
    return bw_fail(c->err, BW_INPUT, "is less or more");
}

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    struct comparing c = {.cli = cli, .given = given, .err = err};
    const char *folder = bw_given_value(given, "plot");
    struct bw_comparison all;
    double matters;
    if (!bw_units_choose(bw_given_value(given, "units"), &c.units, err)) {
        bw_err_within(err, "--units");
        return false;
    }
    if (!read_matters(&c, &matters) || !check_better(&c) || !read_both(&c)) return false;
    if (!bw_compare(cli->arena, &c.before.findings, &c.after.findings, matters, &all, err))
        return false;
    if (folder != NULL && !draw_both(&c, folder)) return false;
    struct bw_text text = bw_cli_text(cli, c.units);
    struct bw_json json = bw_json_begin(&text.out);
    if (bw_given(given, "json"))
        tell_json(&c, &all, matters, &json);
    else
        tell_words(&c, &all, matters, &text);
    return bw_write(cli, "-", &text.out, err);
}

static const struct bw_option OPTIONS[] = {
    {.name = "before",
     .value = "BEFORE",
     .takes = BW_TAKES_FILE,
     .positional = true,
     .required = true,
     .help = "what a study printed with --json; with --job, an entry"},
    {.name = "after",
     .value = "AFTER",
     .takes = BW_TAKES_FILE,
     .positional = true,
     .required = true,
     .help = "the same after the fix"},
    {.name = "job",
     .value = "JOB",
     .takes = BW_TAKES_WORD,
     .help = "compare two entries of this job"},
    {.name = "better",
     .value = "less|more",
     .takes = BW_TAKES_CHOICE,
     .choices = "less more",
     .help = "which way is better, for a verdict of improved or worse"},
    {.name = "matters",
     .value = "SHARE",
     .takes = BW_TAKES_WORD,
     .help = "the change that would matter, as a share of the value before; without it 50 %"},
    {.name = "plot",
     .value = "FOLDER",
     .takes = BW_TAKES_FOLDER,
     .help = "draw the study's plots twice, at one scale, as ID-before.svg and ID-after.svg"},
    BW_OPTION_STORE,
    BW_OPTION_JSON,
    BW_OPTION_UNITS,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_compare = {
    .page = {.name = "compare",
             .summary = "compare a measurement before and after, with a verdict by a stated rule",
             .about = "Compares what any study found before and after: each value with its "
                      "difference, the interval of it, and a verdict: improved, worse, no "
                      "difference shown, or not enough data. Without --better a change is told as "
                      "more or less.",
             .example = "beltwright compare before.json after.json --better less",
             .options = OPTIONS},
    .run = run,
};
