// replay.c - runs a fuzz target over files and folders of inputs without a fuzzer.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// usage: replay_x FILE|FOLDER...   Each input is one test (TAP). One that breaks the target ends
// the program there, its name printed before. Exit 1: an input cannot be read, or there are none.
#include "whole_file.h"

#include <dirent.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static size_t ran;

static bool replay_file(const char *path) {
    struct bw_buffer content = {0};
    // A block of exactly the input's size, so that a sanitizer sees the first byte read too many.
    uint8_t *exact = NULL;
    bool whole = whole_file(path, &content);
    if (whole) exact = malloc(content.length == 0 ? 1 : content.length);
    if (exact != NULL) {
        if (content.length > 0) memcpy(exact, content.data, content.length);
        printf("# %s\n", path);
        (void)fflush(stdout);
        (void)LLVMFuzzerTestOneInput(exact, content.length);
        printf("ok %zu - %s\n", ++ran, path);
    }
    whole = exact != NULL;
    free(exact);
    bw_buffer_free(&content);
    return whole;
}

static bool replay(const char *path);

static bool replay_folder(const char *path) {
    DIR *folder = opendir(path);
    if (folder == NULL) return false;
    bool ok = true;
    for (const struct dirent *entry; ok && (entry = readdir(folder)) != NULL;) {
        if (entry->d_name[0] == '.') continue;
        struct bw_buffer inner = {0};
        bw_buffer_format(&inner, "%s/%s", path, entry->d_name);
        ok = !inner.failed && replay(inner.data);
        bw_buffer_free(&inner);
    }
    (void)closedir(folder);
    return ok;
}

static bool replay(const char *path) {
    struct stat about;
    bool ok = stat(path, &about) == 0;
    if (ok) ok = S_ISDIR(about.st_mode) ? replay_folder(path) : replay_file(path);
    if (!ok) fprintf(stderr, "replay: %s: cannot be read\n", path);
    return ok;
}

int main(int argc, char **argv) {
    bool ok = true;
    for (int i = 1; i < argc; i++) ok = replay(argv[i]) && ok;
    printf("1..%zu\n", ran);
    return ok && ran > 0 ? 0 : 1;
}
