// bind_file.c - the loader of a door that may open files: bw_load_file.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/bind.h"

#include "base/buffer.h"
#include "base/csv_nodes.h"
#include "base/json.h"
#include "base/yaml.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

static const char *cannot_open(int number) {
    switch (number) {
    case ENOENT: return "there is no such file";
    case ENOTDIR: return "part of its path is not a folder";
    case EACCES: return "it may not be read by this user";
    case ENAMETOOLONG: return "the name is too long";
    default: return "it cannot be opened";
    }
}

static bool refuse(struct bw_err *err, enum bw_code code, const char *what,
                   const struct bw_file_kind *kind, const char *path) {
    bw_err_mend(err, "looked for %s; give the name of a %s, with its folder", path, kind->name);
    return bw_fail(err, code, "%s", what);
}

// Opens without waiting: a pipe without a writer would hang the program. -1: failed.
static int open_plain(const struct bw_file_kind *kind, const char *path, struct bw_err *err) {
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
    if (fd < 0) {
        enum bw_code code = errno == ENOENT || errno == ENOTDIR ? BW_NOT_FOUND : BW_IO;
        (void)refuse(err, code, cannot_open(errno), kind, path);
        return -1;
    }
    struct stat about;
    const char *wrong = NULL;
    if (fstat(fd, &about) != 0)
        wrong = "it cannot be opened";
    else if (S_ISDIR(about.st_mode))
        wrong = "it is a folder, not a file";
    else if (!S_ISREG(about.st_mode))
        wrong = "it is a device or a pipe, not a file; pipe it in as -";
    if (wrong == NULL) return fd;
    (void)refuse(err, BW_INPUT, wrong, kind, path);
    (void)close(fd);
    return -1;
}

static bool read_all(int fd, size_t max, struct bw_buffer *out, struct bw_err *err) {
    char chunk[16384];
    for (;;) {
        ssize_t n = read(fd, chunk, sizeof chunk);
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) {
            bw_err_mend(err, "see whether the disk or the network behind it is well");
            return bw_fail(err, BW_IO, "reading stopped after %zu bytes", out->length);
        }
        if (n == 0) return true;
        if ((size_t)n > max - out->length) {
            bw_err_mend(err, "is it the right file?");
            return bw_fail(err, BW_LIMIT, "is larger than %zu bytes", max);
        }
        bw_buffer_add(out, chunk, (size_t)n);
        if (out->failed) return bw_fail_memory(err);
    }
}

// A name in a document is meant from where the document is.
static const char *beside(struct bw_arena *arena, const char *document, const char *name) {
    const char *slash = document == NULL || name[0] == '/' ? NULL : strrchr(document, '/');
    if (slash == NULL) return bw_arena_text(arena, name, strlen(name));
    return bw_arena_format(arena, "%.*s%s", (int)(slash - document + 1), document, name);
}

static bool is_json(const char *bytes, size_t length) {
    size_t i = length >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    while (i < length && strchr(" \t\r\n", bytes[i]) != NULL && bytes[i] != '\0') i++;
    return i < length && bytes[i] == '{';
}

bool bw_document_read(struct bw_arena *arena, const char *file, const char *bytes, size_t length,
                      struct bw_node **out, struct bw_err *err) {
    return is_json(bytes, length) ? bw_json_read(arena, file, bytes, length, out, err)
                                  : bw_yaml_read(arena, file, bytes, length, out, err);
}

// The field that a CSV file's rows are: the only list of a record. NULL: never CSV.
static const struct bw_field *rows_of(const struct bw_record *record) {
    const struct bw_field *rows = NULL;
    for (const struct bw_field *field = record->fields; field->name != NULL; field++) {
        if (field->kind != BW_LIST) continue;
        if (rows != NULL) return NULL;
        rows = field;
    }
    return rows;
}

static bool is_csv(const char *file) {
    size_t length = strlen(file);
    return length > 4 && strcasecmp(file + length - 4, ".csv") == 0;
}

static bool read_tree(const struct bw_binding *binding, const struct bw_record *record,
                      const struct bw_buffer *bytes, struct bw_node **out, struct bw_err *err) {
    struct bw_arena *arena = binding->arena;
    const char *data = bytes->data == NULL ? "" : bytes->data;
    const struct bw_field *rows = is_csv(binding->file) ? rows_of(record) : NULL;
    struct bw_node *list;
    if (rows == NULL) return bw_document_read(arena, binding->file, data, bytes->length, out, err);
    if (!bw_csv_nodes(arena, binding->file, data, bytes->length, &list, err)) return false;
    *out = bw_node_new(arena, BW_NODE_MAP);
    return (*out != NULL && bw_node_add_key(arena, *out, rows->name, list)) || bw_fail_memory(err);
}

// Documents named inside documents stop here: one file, one record.
static bool load_document(const struct bw_binding *binding, const struct bw_file_kind *kind,
                          const struct bw_buffer *bytes, void **out, struct bw_err *err) {
    struct bw_node *root;
    if (!read_tree(binding, kind->record, bytes, &root, err)) return false;
    if (root->kind != BW_NODE_MAP) {
        bw_err_mend(err, "write the keys of a %s, one a line, each with a colon", kind->name);
        bw_err_place(err, root->line, root->column);
        return bw_fail(err, BW_INPUT, root->kind == BW_NODE_NULL ? "is empty" : "holds no keys");
    }
    void *content = bw_arena_get(binding->arena, kind->record->size);
    if (content == NULL) return bw_fail_memory(err);
    if (!bw_bind(binding, root, kind->record, content, err)) return false;
    *out = content;
    return true;
}

static bool take_bytes(struct bw_arena *arena, const struct bw_buffer *bytes, void **out,
                       struct bw_err *err) {
    *out = bw_arena_text(arena, bytes->data == NULL ? "" : bytes->data, bytes->length);
    return *out != NULL || bw_fail_memory(err);
}

bool bw_open_file(const struct bw_file_kind *kind, const char *name,
                  const struct bw_binding *binding, struct bw_open_file *out, struct bw_err *err) {
    bool piped = strcmp(name, "-") == 0;
    const char *path = piped ? "standard input" : beside(binding->arena, binding->file, name);
    if (path == NULL) return bw_fail_memory(err);
    int fd = piped ? STDIN_FILENO : open_plain(kind, path, err);
    if (fd < 0) return false;
    *out = (struct bw_open_file){path, fd};
    return true;
}

void bw_close_file(const struct bw_open_file *file) {
    if (file->fd != STDIN_FILENO) (void)close(file->fd);
}

static bool load(const struct bw_open_file *file, const struct bw_file_kind *kind,
                 const struct bw_binding *binding, struct bw_file *out, struct bw_err *err) {
    struct bw_buffer bytes = {0};
    size_t max = kind->max_bytes == 0 ? BW_MAX_DOCUMENT_BYTES : kind->max_bytes;
    void *content = NULL;
    struct bw_binding inner = *binding;
    inner.file = file->path;
    inner.shape = kind->shape;
    inner.load = NULL;
    bool done = read_all(file->fd, max, &bytes, err);
    inner.source = bytes.data;
    inner.source_length = bytes.length;
    if (done)
        done = kind->record == NULL ? take_bytes(binding->arena, &bytes, &content, err)
                                    : load_document(&inner, kind, &bytes, &content, err);
    if (done)
        *out = (struct bw_file){.name = file->path,
                                .content = content,
                                .size = kind->record == NULL ? bytes.length : 0};
    bw_buffer_free(&bytes);
    return done;
}

bool bw_load_open(const struct bw_open_file *file, const struct bw_file_kind *kind,
                  const struct bw_binding *binding, struct bw_file *out, struct bw_err *err) {
    if (kind->medium != BW_MEDIUM_NONE) {
        bw_err_mend(err, "give the study by itself");
        bw_fail(err, BW_REFUSED, "a %s cannot be decoded here", kind->name);
    } else if (load(file, kind, binding, out, err)) {
        return true;
    }
    bw_err_file(err, file->path);
    return false;
}

bool bw_load_file(void *door, const struct bw_file_kind *kind, const char *name,
                  struct bw_file *out, struct bw_binding *binding, struct bw_err *err) {
    (void)door;
    struct bw_open_file file;
    if (!bw_open_file(kind, name, binding, &file, err)) return false;
    bool done = bw_load_open(&file, kind, binding, out, err);
    bw_close_file(&file);
    return done;
}
