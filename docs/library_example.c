/* library_example.c - how another program uses libbeltwright.
 * SPDX-License-Identifier: GPL-3.0-or-later
 *
 *   library_example                     lists the studies
 *   library_example STUDY < input.json  runs one: prints the answer, or an error document
 *
 * Build: cc library_example.c -lbeltwright
 */
#include <beltwright/beltwright.h>

#include <stdio.h>

#define MOST_INPUT 1048576

static char input[MOST_INPUT + 1];

static int list(void) {
    char *studies = beltwright_list();
    if (studies == NULL) return 1;
    printf("libbeltwright %s\n%s", beltwright_version(), studies);
    beltwright_free(studies);
    return 0;
}

int main(int argc, char **argv) {
    if (argc < 2) return list();
    size_t length = fread(input, 1, MOST_INPUT, stdin);
    input[length] = '\0';
    char *output = NULL;
    int status = beltwright_run(argv[1], input, &output);
    if (output != NULL) fputs(output, stdout);
    beltwright_free(output);
    return status;
}
