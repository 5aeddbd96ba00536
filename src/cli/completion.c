// completion.c - `beltwright completion bash|zsh`: a completion script, made from the pages.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include <string.h>

static void page_names(struct bw_buffer *out) {
    const char *name;
    for (size_t i = 0; (name = bw_page_name(i)) != NULL; i++)
        if (!bw_page_is_member(name)) bw_buffer_format(out, "%s%s", i == 0 ? "" : " ", name);
}

// Calls `write` with the first word of each family of commands, once.
static void each_family(struct bw_buffer *out, struct bw_arena *arena,
                        void (*write)(struct bw_buffer *out, const char *family)) {
    const char *name, *last = "";
    for (size_t i = 0; (name = bw_page_name(i)) != NULL; i++) {
        if (!bw_page_is_member(name)) continue;
        const char *family = bw_arena_text(arena, name, strcspn(name, "-"));
        if (family == NULL || strcmp(family, last) == 0) continue;
        write(out, family);
        last = family;
    }
}

// --- bash

static void bash_value(struct bw_buffer *out, const struct bw_option *option) {
    switch (option->takes) {
    case BW_TAKES_FILE: bw_buffer_text(out, "compopt -o default"); break;
    case BW_TAKES_FOLDER: bw_buffer_text(out, "compopt -o dirnames"); break;
    case BW_TAKES_CHOICE: bw_buffer_format(out, "_beltwright_words '%s'", option->choices); break;
    case BW_TAKES_PAGE:
        bw_buffer_text(out, "_beltwright_words '");
        page_names(out);
        bw_buffer_char(out, '\'');
        break;
    case BW_TAKES_WORD:
    case BW_TAKES_NOTHING: bw_buffer_char(out, ':'); break;
    }
}

// What follows an option that takes a value.
static void bash_values(struct bw_buffer *out, const struct bw_page *page) {
    for (const struct bw_option *option = page->options; option->name != NULL; option++) {
        if (option->positional || option->value == NULL) continue;
        bw_buffer_format(out, "    %s:--%s) ", page->name, option->name);
        bash_value(out, option);
        bw_buffer_text(out, "; return ;;\n");
    }
}

static void bash_words(struct bw_buffer *out, const struct bw_page *page) {
    bw_buffer_format(out, "    %s:-*) _beltwright_words '", page->name);
    const char *gap = "";
    for (const struct bw_option *option = page->options; option->name != NULL; option++) {
        if (option->positional) continue;
        bw_buffer_format(out, "%s--%s", gap, option->name);
        gap = " ";
    }
    bw_buffer_text(out, "' ;;\n");
    const struct bw_option *word = page->options;
    if (word->name == NULL || !word->positional) return;
    bw_buffer_format(out, "    %s:*) ", page->name);
    for (; word->name != NULL && word->positional; word++) {
        bash_value(out, word);
        bw_buffer_text(out, "; ");
    }
    bw_buffer_text(out, ";;\n");
}

static bool each_page(struct bw_buffer *out, struct bw_arena *arena,
                      void (*write)(struct bw_buffer *out, const struct bw_page *page),
                      struct bw_err *err) {
    const char *name;
    for (size_t i = 0; (name = bw_page_name(i)) != NULL; i++) {
        struct bw_page page;
        if (!bw_page_find(arena, name, &page, err)) return false;
        write(out, &page);
    }
    return true;
}

// From the third word on "job new" is the command job-new.
static void bash_family(struct bw_buffer *out, const char *family) {
    bw_buffer_format(out,
                     "  [[ $command == %s ]] && (( COMP_CWORD > 2 )) && "
                     "command=%s-${COMP_WORDS[2]}\n",
                     family, family);
}

static bool bash(struct bw_buffer *out, struct bw_arena *arena, struct bw_err *err) {
    bw_buffer_text(out,
                   "# bash completion for beltwright " BELTWRIGHT_VERSION "\n"
                   "# Put it where bash-completion looks, or: "
                   "eval \"$(beltwright completion bash)\"\n\n"
                   "# Adds those of the words that begin with what was typed.\n"
                   "_beltwright_words() {\n"
                   "  local typed=${COMP_WORDS[COMP_CWORD]} word\n"
                   "  for word in $1; do\n"
                   "    [[ $word == \"$typed\"* ]] && COMPREPLY+=(\"$word\")\n"
                   "  done\n"
                   "}\n\n"
                   "_beltwright() {\n"
                   "  local typed=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}\n"
                   "  COMPREPLY=()\n"
                   "  if (( COMP_CWORD == 1 )); then\n"
                   "    _beltwright_words '");
    page_names(out);
    bw_buffer_text(out, " --help --version'\n    return\n  fi\n"
                        "  local command=${COMP_WORDS[1]}\n");
    each_family(out, arena, bash_family);
    bw_buffer_text(out, "  case $command:$before in\n");
    if (!each_page(out, arena, bash_values, err)) return false;
    bw_buffer_text(out, "  esac\n  case $command:$typed in\n");
    if (!each_page(out, arena, bash_words, err)) return false;
    bw_buffer_text(out, "  esac\n}\n\ncomplete -F _beltwright "
                        "beltwright\n");
    return true;
}

// --- zsh

// Text within single quotes where : [ ] \ mean something to _arguments.
static void zsh_text(struct bw_buffer *out, const char *text) {
    for (; *text != '\0'; text++) {
        if (*text == '\'') {
            bw_buffer_text(out, "'\\''");
            continue;
        }
        if (strchr(":[]\\", *text) != NULL) bw_buffer_char(out, '\\');
        bw_buffer_char(out, *text);
    }
}

static void zsh_value(struct bw_buffer *out, const struct bw_option *option) {
    bw_buffer_char(out, ':');
    zsh_text(out, option->positional ? option->name : option->value);
    bw_buffer_char(out, ':');
    switch (option->takes) {
    case BW_TAKES_FILE: bw_buffer_text(out, "_files"); break;
    case BW_TAKES_FOLDER: bw_buffer_text(out, "_files -/"); break;
    case BW_TAKES_CHOICE: bw_buffer_format(out, "(%s)", option->choices); break;
    case BW_TAKES_PAGE:
        bw_buffer_char(out, '(');
        page_names(out);
        bw_buffer_char(out, ')');
        break;
    case BW_TAKES_WORD:
    case BW_TAKES_NOTHING: bw_buffer_char(out, ' '); break;
    }
}

static void zsh_page(struct bw_buffer *out, const struct bw_page *page) {
    bw_buffer_format(out, "    %s) _arguments", page->name);
    int place = 1;
    for (const struct bw_option *option = page->options; option->name != NULL; option++) {
        bw_buffer_text(out, " \\\n      '");
        if (option->positional && option->repeats) {
            bw_buffer_char(out, '*');
        } else if (option->positional) {
            bw_buffer_format(out, "%d%s", place++, option->required ? "" : ":");
        } else {
            bw_buffer_format(out, "%s--%s%s[", option->repeats ? "*" : "", option->name,
                             option->value == NULL ? "" : "=");
            zsh_text(out, option->help);
            bw_buffer_char(out, ']');
        }
        if (option->value != NULL) zsh_value(out, option);
        bw_buffer_char(out, '\'');
    }
    bw_buffer_text(out, " ;;\n");
}

static void zsh_command(struct bw_buffer *out, const struct bw_page *page) {
    if (bw_page_is_member(page->name)) return;
    bw_buffer_format(out, "    '%s:", page->name);
    zsh_text(out, page->summary);
    bw_buffer_text(out, "'\n");
}

static void zsh_family(struct bw_buffer *out, const char *family) {
    bw_buffer_format(out,
                     "  if [[ $words[1] == %s ]] && (( CURRENT > 2 )); then\n"
                     "    shift words\n    (( CURRENT-- ))\n    words[1]=%s-$words[1]\n  fi\n",
                     family, family);
}

static bool zsh(struct bw_buffer *out, struct bw_arena *arena, struct bw_err *err) {
    bw_buffer_text(out, "#compdef beltwright\n"
                        "# zsh completion for beltwright " BELTWRIGHT_VERSION "\n"
                        "# Put it as _beltwright into a folder of $fpath.\n\n"
                        "_beltwright() {\n"
                        "  local -a commands=(\n");
    if (!each_page(out, arena, zsh_command, err)) return false;
    bw_buffer_text(out, "  )\n"
                        "  if (( CURRENT == 2 )); then\n"
                        "    _describe command commands\n"
                        "    return\n"
                        "  fi\n"
                        "  shift words\n"
                        "  (( CURRENT-- ))\n");
    each_family(out, arena, zsh_family);
    bw_buffer_text(out, "  case $words[1] in\n");
    if (!each_page(out, arena, zsh_page, err)) return false;
    bw_buffer_text(out, "  esac\n}\n\n_beltwright \"$@\"\n");
    return true;
}

static bool unknown_shell(const char *shell, struct bw_err *err) {
    bw_fail(err, BW_USAGE, "there is no completion for that shell");
    bw_err_value(err, shell);
    bw_err_mend(err, "SHELL is bash or zsh");
    return false;
}

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    const char *shell = bw_given_value(given, "shell");
    struct bw_buffer out = {0};
    bool good = strcmp(shell, "bash") == 0  ? bash(&out, cli->arena, err)
                : strcmp(shell, "zsh") == 0 ? zsh(&out, cli->arena, err)
                                            : unknown_shell(shell, err);
    if (good) return bw_write(cli, "-", &out, err);
    bw_buffer_free(&out);
    return false;
}

static const struct bw_option OPTIONS[] = {
    {.name = "shell",
     .value = "SHELL",
     .takes = BW_TAKES_CHOICE,
     .choices = "bash zsh",
     .positional = true,
     .required = true,
     .help = "bash or zsh"},
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_completion = {
    .page = {.name = "completion",
             .summary = "print a completion script for a shell",
             .about = "Prints a script that lets the shell complete commands, options and file "
                      "names. For bash: eval \"$(beltwright completion bash)\". For zsh: save it "
                      "as _beltwright in a folder of $fpath.",
             .example = "beltwright completion bash",
             .options = OPTIONS},
    .run = run,
};
