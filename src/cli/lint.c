// lint.c - `beltwright lint [FILE...]`: whether knowledge files are whole, safe and of use.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/bind.h"
#include "reason/lint.h"

#include <string.h>

static bool load(struct bw_cli *cli, const struct bw_arguments *given, struct bw_document *out,
                 size_t *n, struct bw_err *err) {
    const struct bw_file_kind kind = {.name = "knowledge file"};
    struct bw_binding binding = {.arena = cli->arena};
    *n = 0;
    for (size_t i = 0; i < given->n; i++) {
        struct bw_file file;
        if (!given->items[i].option->positional) continue;
        if (!bw_load_file(NULL, &kind, given->items[i].value, &file, &binding, err)) return false;
        out[(*n)++] = (struct bw_document){file.name, file.content, file.size};
    }
    return true;
}

static bool is_among(const struct bw_document *documents, size_t n, const char *file) {
    for (size_t i = 0; i < n; i++)
        if (strcmp(documents[i].name, file) == 0) return true;
    return n == 0;
}

struct tally {
    size_t errors, warnings;
};

// What is doubtful in the files that were named; all of it where none was.
static bool tell(struct bw_cli *cli, const struct bw_complaints *complaints,
                 const struct bw_document *documents, size_t n, struct tally *out) {
    for (size_t i = 0; i < complaints->n; i++) {
        const struct bw_complaint *c = &complaints->items[i];
        if (!c->error && !is_among(documents, n, c->file)) continue;
        *(c->error ? &out->errors : &out->warnings) += 1;
        fprintf(cli->out, "%s:%d:%d: %s: %s\n", c->file, c->line, c->column,
                c->error ? "error" : "warning", c->text);
    }
    return !bw_arena_failed(cli->arena);
}

static bool judge(const struct tally *tally, bool strict, struct bw_err *err) {
    size_t bad = tally->errors + (strict ? tally->warnings : 0);
    if (bad == 0) return true;
    return bw_fail(err, BW_INPUT, "%zu to mend", bad);
}

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    struct bw_document *documents = bw_arena_array(cli->arena, given->n, sizeof *documents);
    struct bw_complaints complaints = {.arena = cli->arena};
    struct bw_knowledge k;
    struct tally tally = {0, 0};
    struct bw_err why = {0};
    size_t n;
    if (documents == NULL) return bw_fail_memory(err);
    if (!load(cli, given, documents, &n, err)) return false;
    if (bw_given(given, "alone") && n == 0)
        return bw_fail(err, BW_USAGE, "--alone needs a file to judge");
    bool read = bw_given(given, "alone")
                    ? bw_knowledge_read(cli->arena, documents, n, &complaints, &k, &why)
                    : bw_knowledge_load(cli->arena, documents, n, &complaints, &k, &why);
    if (read) bw_knowledge_lint(&k, &complaints);
    if (!tell(cli, &complaints, documents, n, &tally)) return bw_fail_memory(err);
    if (!read) {
        // Several errors were listed above; one that stands alone is told in full.
        if (tally.errors == 0) *err = why;
        return tally.errors == 0 ? false : bw_fail(err, why.code, "%zu to mend", tally.errors);
    }
    fprintf(cli->out, "%zu causes, %zu checks, %zu remedies: %zu errors, %zu warnings\n", k.causes,
            k.checks, k.remedies, tally.errors, tally.warnings);
    return judge(&tally, bw_given(given, "strict"), err);
}

static const struct bw_option OPTIONS[] = {
    {.name = "file",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .positional = true,
     .repeats = true,
     .help = "knowledge laid on top of what is shipped; without any, what is shipped is judged"},
    {.name = "alone", .help = "judge the files by themselves, without what is shipped"},
    {.name = "strict", .help = "warnings count as errors"},
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_lint = {
    .page = {.name = "lint",
             .summary = "check knowledge files: safety, references, what leads nowhere",
             .about =
                 "Reads causes, checks and remedies as `ask` would and says what is wrong, each "
                 "with file, line, column and the mend. A step that needs a running belt behind an "
                 "open door is refused. Errors: what cannot be used, causes nothing leads to, "
                 "nothing tells apart or nothing mends. Warnings: what can't matter, what is said "
                 "without a caution, odd shares.\n\n"
                 "Exit status: 0 nothing to mend, 2 something to mend, 1 the work failed.",
             .example = "beltwright lint",
             .options = OPTIONS},
    .run = run,
};
