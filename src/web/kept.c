// kept.c - see kept.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#define _DEFAULT_SOURCE  // the kind of a folder's entry
#include "web/kept.h"

#include <dirent.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool is_document(const char *name) {
    static const char *const ENDS[] = {".yaml", ".yml", ".json", ".csv"};
    size_t length = strlen(name);
    if (name[0] == '.') return false;
    for (size_t i = 0; i < sizeof ENDS / sizeof ENDS[0]; i++) {
        size_t end = strlen(ENDS[i]);
        if (length > end && strcmp(name + length - end, ENDS[i]) == 0) return true;
    }
    return false;
}

// The file may be of that shape: it says so, or says nothing.
static bool may_be(int folder, const char *name, const char *shape) {
    char head[1024];
    int fd = openat(folder, name, O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
    if (fd < 0) return false;
    ssize_t n = read(fd, head, sizeof head - 1);
    (void)close(fd);
    if (n < 0) return false;
    head[n] = '\0';
    const char *said = strstr(head, "shape");
    if (said == NULL) return true;
    said += strlen("shape") + strspn(said + strlen("shape"), "\": ");
    return strncmp(said, shape, strlen(shape)) == 0;
}

static int by_name(const void *a, const void *b) {
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

bool bw_kept_list(struct bw_arena *arena, const char *folder, const char *shape,
                  struct bw_kept *out) {
    *out = (struct bw_kept){bw_arena_array(arena, BW_MAX_KEPT, sizeof *out->names), 0};
    if (out->names == NULL) return false;
    DIR *entries = folder == NULL ? NULL : opendir(folder);
    if (entries == NULL) return true;
    bool good = true;
    for (struct dirent *entry; good && (entry = readdir(entries)) != NULL;) {
        bool plain = entry->d_type == DT_REG || entry->d_type == DT_UNKNOWN;
        if (!plain || !is_document(entry->d_name) || out->n == BW_MAX_KEPT) continue;
        if (shape != NULL && !may_be(dirfd(entries), entry->d_name, shape)) continue;
        const char *name = bw_arena_text(arena, entry->d_name, strlen(entry->d_name));
        good = name != NULL;
        if (good) out->names[out->n++] = name;
    }
    (void)closedir(entries);
    qsort(out->names, out->n, sizeof *out->names, by_name);
    return good;
}

int bw_kept_open(struct bw_arena *arena, const char *folder, const char *name) {
    struct bw_kept list;
    struct stat about;
    if (!bw_kept_list(arena, folder, NULL, &list)) return -1;
    if (list.n == 0 || bsearch(&name, list.names, list.n, sizeof *list.names, by_name) == NULL)
        return -1;
    const char *path = bw_arena_format(arena, "%s/%s", folder, name);
    int fd = path == NULL ? -1 : open(path, O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
    if (fd < 0) return -1;
    if (fstat(fd, &about) == 0 && S_ISREG(about.st_mode)) return fd;
    (void)close(fd);
    return -1;
}
