/* beltwright.h - the public library: list the studies, describe one, run it JSON to JSON.
 * SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Thread safety: calls may run in parallel; results are the caller's, freed with beltwright_free.
 * No ABI promise before 1.0.
 */
#ifndef BELTWRIGHT_H
#define BELTWRIGHT_H

#ifdef __cplusplus
extern "C" {
#endif

/* "0.1.0" */
const char *beltwright_version(void);

/* JSON array of {"name", "summary", "shape"}. NULL: out of memory. */
char *beltwright_list(void);

/* JSON object with "input" and "output" schemas (JSON Schema 2020-12), summary and about text.
 * NULL: no such study, or out of memory. */
char *beltwright_describe(const char *study);

/* Runs a study. `input` is a NUL-terminated JSON object as its input schema describes; documents
 * such as a machine stand inline. Returns an exit status: 0 and *output the answer, or 1 / 2 and
 * *output an object {"shape": "error/1", "code", "what", "field", "value", "mend"}. *output is NULL
 * only when memory is out. */
int beltwright_run(const char *study, const char *input, char **output);

/* A file that a study may read: the name by which the input names it, and a descriptor open for
 * reading at its start, which stays the caller's. */
struct beltwright_file {
    const char *name;
    int descriptor;
};

/* As beltwright_run, but the input may also name `n` files: a photo, a recording. The library
 * itself opens nothing; any other name is refused. Pictures and recordings are decoded by the
 * programs beltwright-read-picture and -sound, which lie beside the running program or the library,
 * or in ../libexec/beltwright; refused where the machine cannot lock them in. */
int beltwright_run_files(const char *study, const char *input, const struct beltwright_file *files,
                         unsigned n, char **output);

/* Frees what the calls above returned; NULL is allowed. */
void beltwright_free(char *text);

#ifdef __cplusplus
}
#endif
#endif
