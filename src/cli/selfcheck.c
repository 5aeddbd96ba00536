// selfcheck.c - `beltwright selfcheck [FILE]...`: the published checks, run in this very program.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/checks.h"
#include "cli/cli.h"

#include "base/embedded.h"

#include <string.h>

#define FOLDER "checks/"

struct session {
    struct bw_cli *cli;
    struct bw_text text;
    bool all;
    struct bw_check_count sum;
};

static bool check_one(struct session *session, const struct bw_check_file *file,
                      struct bw_err *err) {
    struct bw_check_count count;
    if (!bw_checks_run(file, session->all, &session->text, &count, err)) return false;
    if (count.failed == 0)
        bw_text_item(&session->text, "", "%s: %zu passed", file->name, count.passed);
    else
        bw_text_item(&session->text, "", "%s: %zu passed, %zu failed", file->name, count.passed,
                     count.failed);
    session->sum.passed += count.passed;
    session->sum.failed += count.failed;
    return true;
}

static bool check_carried(struct session *session, struct bw_err *err) {
    struct bw_check_file file;
    for (size_t i = 0; (file.name = bw_embedded_name(i)) != NULL; i++) {
        const char *ending = strrchr(file.name, '.');
        if (strncmp(file.name, FOLDER, strlen(FOLDER)) != 0) continue;
        if (ending == NULL || strcmp(ending, ".txt") != 0) continue;
        if (!bw_embedded_find(file.name, &file.bytes, &file.length)) continue;
        if (!check_one(session, &file, err)) return false;
    }
    return true;
}

static bool check_file(struct session *session, const char *name, struct bw_err *err) {
    static const struct bw_file_kind KIND = {.name = "check file",
                                             .max_bytes = BW_MAX_DOCUMENT_BYTES};
    struct bw_binding binding = {.arena = session->cli->arena};
    struct bw_file file;
    if (!bw_load_file(NULL, &KIND, name, &file, &binding, err)) return false;
    const struct bw_check_file checks = {file.name, file.content, file.size};
    return check_one(session, &checks, err);
}

static bool check_all(struct session *session, const struct bw_arguments *given,
                      struct bw_err *err) {
    if (!bw_given(given, "file")) return check_carried(session, err);
    for (size_t i = 0; i < given->n; i++) {
        if (strcmp(given->items[i].option->name, "file") != 0) continue;
        if (!check_file(session, given->items[i].value, err)) return false;
    }
    return true;
}

// A program that carries no checks has proved nothing.
static bool verdict(const struct bw_check_count *sum, struct bw_err *err) {
    if (sum->failed == 0 && sum->passed > 0) return true;
    if (sum->failed == 0) return bw_fail(err, BW_FAILED, "there are no checks");
    return bw_fail(err, BW_FAILED, "%zu of %zu checks failed", sum->failed,
                   sum->passed + sum->failed);
}

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    struct session session = {
        .cli = cli, .text = bw_cli_text(cli, BW_UNITS_SI), .all = bw_given(given, "all")};
    if (!check_all(&session, given, err)) {
        bw_buffer_free(&session.text.out);
        return false;
    }
    bw_text_item(&session.text, "", "%zu passed, %zu failed", session.sum.passed,
                 session.sum.failed);
    return bw_write(cli, "-", &session.text.out, err) && verdict(&session.sum, err);
}

static const struct bw_option OPTIONS[] = {
    {.name = "file",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .positional = true,
     .repeats = true,
     .help = "a file of checks to run in place of those the program carries"},
    {.name = "all", .help = "show every check, not only those that failed"},
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_selfcheck = {
    .page = {.name = "selfcheck",
             .summary = "run the published checks in this program",
             .about = "Runs the checks the program carries: known answers from standards, "
                      "handbooks and worked examples, each with its source. A check that fails is "
                      "shown in full, and the exit status is 1.",
             .example = "beltwright selfcheck",
             .options = OPTIONS},
    .run = run,
};
